/// @file
/// What two systems, or two visits, say differently: key by key and node by node. Held against each other are two
/// transcriptions of one page, two revisions of a table, or what was written and what it reads back as. Compiled: link
/// `offnominal::files`. `offnominal.hpp` leaves this header out.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "offnominal/field/visit.hpp"
#include "offnominal/system.hpp"

namespace offnominal {

/// One key of a system or a visit, and what it says.
struct Fact {
    std::string path;          ///< `matches: indoor B: total`
    std::string key;           ///< by which it is matched: the path, but for numbers in it, which are in SI
    std::string text;          ///< a word, or the number with its unit, `900 scfm`; empty: it says nothing
    std::optional<double> si;  ///< of a number
    Dimension dimension = Dimension::ratio;
};

/// A cooling or a heating page as axes and columns, in SI. Refers to the system it comes from.
struct PageColumns {
    struct Axis {
        std::string name;                         ///< `outdoor dry bulb`
        std::vector<std::string> roles;           ///< of its columns: one, or two where it is made of pairs
        std::vector<std::vector<double>> values;  ///< by role: the breakpoints
        Dimension dimension;
        [[nodiscard]] std::size_t size() const noexcept { return values.front().size(); }
    };
    struct Column {
        std::string role;
        Unit unit;                   ///< as printed of an extra column, else SI
        double step = 0.0;           ///< one unit in the last printed place; 0 where it was never printed
        std::vector<double> values;  ///< one for each node; NaN where the page has none
    };

    std::optional<Frost> frost;  ///< of a heating page
    std::string match;           ///< empty: the system's own page
    std::string stage;
    std::optional<double> speed;
    std::vector<Axis> axes;  ///< in the order of the nodes, the last fastest; pages leave out those they do not have
    std::vector<Column> columns;
    std::vector<Mark> marks;
    std::vector<Fact> basis;
    bool infer = false;
    bool multiplied = false;  ///< part of its nodes comes from a multiplier row
    bool points = false;      ///< its pairs are points: nothing is read between them
    Notes notes;              ///< what follows from what it does not say
    std::span<const TypedColumn> typed;
    std::span<const InputError::Place> places;

    /// The index of a node along an axis.
    [[nodiscard]] std::size_t index(std::size_t node, std::size_t axis) const noexcept {
        for (std::size_t i = axes.size(); i-- > axis + 1;) node /= axes[i].size();
        return node % axes[axis].size();
    }
    /// How messages call it: `high`, `indoor B: high`, `heating, integrated: high`.
    [[nodiscard]] std::string label() const;
};

/// The pages of a system: cooling, those of the matches, heating.
[[nodiscard]] std::vector<PageColumns> page_columns(const System& system);

/// What a system says beside its pages.
[[nodiscard]] std::vector<Fact> facts(const System& system);

/// One thing that the second says differently.
struct Difference {
    enum class Kind : std::uint8_t {
        value,
        digits,  ///< the same number with another last printed place
        mark,    ///< blank, dry or beyond the limit in one of them
        node,    ///< only in one of them; so too `column` and `page`
        column,
        page,
        metadata,  ///< what stands beside the tables
    };

    Kind kind = Kind::metadata;
    std::string page;               ///< `high`; empty for what is not of one page
    std::string where;              ///< the node, `odb 95 degF, airflow 1000 scfm`, or the key, `matches: B: total`
    std::string column;             ///< its role; empty if about no single one
    std::string first, second;      ///< what each says, as typed, with its unit; empty where it says nothing
    std::optional<double> percent;  ///< how far the second number is from the first, in percent of the first
    InputError::Place first_place, second_place;  ///< 0 where not known
};
template <>
inline constexpr Word<Difference::Kind> words_of<Difference::Kind>[] = {
    {Difference::Kind::value, "value"},      {Difference::Kind::digits, "digits"}, {Difference::Kind::mark, "mark"},
    {Difference::Kind::node, "node"},        {Difference::Kind::column, "column"}, {Difference::Kind::page, "page"},
    {Difference::Kind::metadata, "metadata"}};

/// Two systems held against each other.
struct Collation {
    /// A column that the two have in different units: its numbers agree within half the coarser of the two last printed
    /// places.
    struct Units {
        std::string role, first, second;
        bool first_is_coarser = true;
        friend bool operator==(const Units&, const Units&) = default;
    };

    std::vector<Difference> differences;  ///< in the order of the file
    std::size_t nodes = 0;                ///< that both have
    std::size_t nodes_same = 0;           ///< of these, those without a difference
    std::size_t only_first = 0, only_second = 0;
    std::vector<Units> units;
};

/// What counts as the same.
enum class Sameness : std::uint8_t {
    print,  ///< what print says: numbers in different units within half a printed step; the name and who typed it may
            ///< differ
    bits,   ///< everything that an answer or a report could tell apart; numbers bit for bit
};

/// Nodes are matched by where they lie on the axes, pages by mode, match and stage.
[[nodiscard]] Collation collate(const System& first, const System& second, Sameness sameness = Sameness::print);
[[nodiscard]] std::vector<Difference> differences(const System& first, const System& second,
                                                  Sameness sameness = Sameness::print);

/// What two visits say differently, numbers bit for bit, texts as typed aside.
[[nodiscard]] std::vector<Difference> differences(const Visit& first, const Visit& second);

/// Whether nothing differs, numbers bit for bit.
[[nodiscard]] bool operator==(const System& first, const System& second);
[[nodiscard]] bool operator==(const Visit& first, const Visit& second);

}  // namespace offnominal
