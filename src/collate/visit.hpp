/// @file
/// What a visit says, key by key, as a file has it.
#pragma once

#include <string>
#include <vector>

#include "offnominal/collate.hpp"

namespace offnominal::files {

/// One key of a visit, each part of its path for itself, and what it says. `fact.text` is the text a file has.
struct Said {
    std::vector<std::string> keys;
    Fact fact;
};

/// In the order of a file. What is not given is left out.
/// @param all  adds what a file says by other keys, such as the uncertainty of each input, or has no words for
[[nodiscard]] std::vector<Said> said_of(const Visit& visit, bool all);

/// A reading and how good it is: what an instrument must be good for.
struct Use {
    const Uncertain* uncertain;
    double reading;
};
/// The readings of a visit by instrument and quantity, `dry_bulb` and so on.
struct UseOf {
    std::string instrument, quantity;
    Input input;
    double reading;
};
[[nodiscard]] std::vector<UseOf> uses_of(const Visit& visit);

}  // namespace offnominal::files
