/// @file
/// YAML into a plain tree with places, holding to the part of YAML that a table needs (and JSON with it).
///
/// Refused: a second document, duplicate keys, keys that are not text, tags, anchors and aliases (a bomb needs them, a
/// page does not), nesting deeper than 32, more than 100,000 values. No exception of the YAML library leaves here.
#pragma once

#include <string>
#include <vector>

#include "text.hpp"

namespace offnominal::files {

/// One value of the tree.
struct Item {
    enum class Kind { null, scalar, list, map };

    Kind kind = Kind::null;
    std::string text;          ///< of a scalar
    bool is_block = false;     ///< a scalar written with `|`: its text stands on the lines after `line`
    int line = 1;              ///< from 1
    int byte = 0;              ///< in that line, from 0
    std::vector<Item> keys;    ///< of a map: scalars, all different
    std::vector<Item> values;  ///< of a map, beside `keys`; or of a list
};

/// A checked text and its tree.
struct Document {
    Text text;
    Item root;

    [[nodiscard]] InputError::Place place(const Item& item) const { return text.place(item.line, item.byte); }
    /// Throws an InputError at `item`; a scalar's text is quoted.
    [[noreturn]] void refuse(const Item& item, const std::string& problem, const std::string& accepted) const;
};

/// @throws InputError with the place for anything that is not such YAML
[[nodiscard]] Document parse_tree(Text text);

}  // namespace offnominal::files
