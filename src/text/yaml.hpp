/// @file
/// YAML, read and written. In: a plain tree with places, holding to the part of YAML that a table needs (and JSON with
/// it).
///
/// Refused: a second document, duplicate keys, keys that are not text, tags, anchors and aliases (a bomb needs them, a
/// page does not), and what is past a limit. No exception of the YAML library leaves here.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "offnominal/ratings/page.hpp"
#include "text/raw.hpp"

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

/// The scalars of a tree by the path of their keys, `matches: B: airflow: 0`. The tables of pages are left out: pages
/// keep their own texts. Sorted by path.
[[nodiscard]] TypedTexts texts_of(const Item& root);

class Beside;

/// A checked text and its tree.
struct Document {
    Text text;
    Item root;
    Budget* budget;        ///< of the load that it belongs to
    const Beside* beside;  ///< likewise

    [[nodiscard]] InputError::Place place(const Item& item) const { return text.place(item.line, item.byte); }
    /// Throws an InputError at `item`; a scalar's text is quoted.
    [[noreturn]] void refuse(const Item& item, const std::string& problem, const std::string& accepted) const;
};

/// @throws InputError with the place for anything that is not such YAML
[[nodiscard]] Document parse_tree(Text text, Budget& budget, const Beside& beside);

/// A text as a YAML scalar: as it stands where that reads back, else in quotes. Inside `{}` and `[]` (`in_flow`) more
/// needs quotes.
/// @throws InputError for control characters but tab and line end, and for what is not UTF-8
[[nodiscard]] std::string yaml_text(std::string_view text, bool in_flow = false);

/// Rows of a `|` table, first their names and units.
using TableText = std::vector<std::vector<std::string>>;

/// A YAML file as it grows, line by line. Values are texts that are right already: from `yaml_text` and the like.
class YamlFile {
   public:
    using Pairs = std::vector<std::pair<std::string, std::string>>;

    void pair(std::string_view key, std::string_view value);
    /// `key: {a: b, c: d}`; nothing without pairs.
    void flow(std::string_view key, const Pairs& pairs);
    /// The same with each pair in a line of its own.
    void map(std::string_view key, const Pairs& pairs);
    /// `key: |` and the rows, their columns aligned.
    void table(std::string_view key, const TableText& rows);
    /// `key: |` and the lines of a text.
    void block(std::string_view key, std::string_view text);
    void open(std::string_view key);
    void close() { --depth_; }

    [[nodiscard]] const std::string& text() const noexcept { return text_; }

   private:
    void begin(std::string_view key);

    std::string text_;
    int depth_ = 0;
};

/// `{a: b, c: d}`
[[nodiscard]] std::string flow_text(const YamlFile::Pairs& pairs);

}  // namespace offnominal::files
