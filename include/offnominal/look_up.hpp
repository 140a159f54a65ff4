/// @file
/// The look-up of `expect.hpp`, compiled once, for programs that ask in many sources: with that header each of them
/// compiles all of the look-up again. Compiled: link `offnominal::core`.
#pragma once

#include "offnominal/answer.hpp"
#include "offnominal/conditions.hpp"
#include "offnominal/expected.hpp"
#include "offnominal/site.hpp"
#include "offnominal/system.hpp"

namespace offnominal {

/// `try_expect` of `expect.hpp`: what the system should deliver, or a reason, with the same bits. Thread-safe,
/// allocation-free.
[[nodiscard]] Answer<Expected> look_up(const System& system, const Site& site, const Conditions& conditions) noexcept;

}  // namespace offnominal
