/// @file
/// The audit of a printed page: what a tired typist got wrong, and what the page leaves open.
///
///     const Audit audit = offnominal::audit(stage.table);
///     for (const Suspect& s : audit.suspects) ...      // the most suspect first
///
/// It never corrects anything: it names the cell, what the rest of the page implies, and why, and the typist looks at
/// the print again. A page that `RatingTable` refuses can be audited all the same. May allocate and throw. Compiled:
/// link `offnominal::core`.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/errors.hpp"
#include "offnominal/ratings/heating_table.hpp"
#include "offnominal/ratings/rating_table.hpp"
#include "offnominal/units.hpp"

namespace offnominal {

/// What a cell was held against and does not agree with.
enum class Check : std::uint16_t {
    none = 0,
    positive = 1u << 0,        ///< zero (a blank?), below, or beyond any machine
    unit = 1u << 1,            ///< of a size that only another unit explains: a whole column
    neighbours = 1u << 2,      ///< the smooth surface through the other nodes of its column
    trend = 1u << 3,           ///< the sign by which it must change along an axis
    sensible_ratio = 1u << 4,  ///< sensible from 40 to 100 % of total
    dryness = 1u << 5,         ///< sensible equal to total exactly where the coil is dry
    leaving_air = 1u << 6,     ///< the air that leaves: not past saturation, and moist if the coil is wet
    bypass = 1u << 7,          ///< sensible for its total by the coil's bypass factor
    checksum = 1u << 8,        ///< a column that can be computed from others (split, EER, COP, latent)
    row = 1u << 9,             ///< the row as a whole: it belongs to a neighbour
    axis = 1u << 10,           ///< a label of an axis: the numbers under it belong elsewhere
};

/// Several checks.
class Checks {
   public:
    constexpr Checks() noexcept = default;
    constexpr explicit Checks(Check check) noexcept { add(check); }
    constexpr void add(Check check) noexcept {
        bits_ = static_cast<std::uint16_t>(bits_ | static_cast<std::uint16_t>(check));
    }
    constexpr void add(Checks checks) noexcept { bits_ = static_cast<std::uint16_t>(bits_ | checks.bits_); }
    constexpr void remove(Check check) noexcept {
        bits_ = static_cast<std::uint16_t>(bits_ & ~static_cast<std::uint16_t>(check));
    }
    [[nodiscard]] constexpr bool has(Check check) const noexcept {
        return (bits_ & static_cast<std::uint16_t>(check)) != 0;
    }
    [[nodiscard]] constexpr bool empty() const noexcept { return bits_ == 0; }
    friend constexpr bool operator==(Checks, Checks) = default;

   private:
    std::uint16_t bits_ = 0;
};

/// How a typist makes the printed text out of the implied one.
enum class Slip : std::uint8_t {
    none,              ///< no single slip explains it
    sign,              ///< a minus too many
    swapped_digits,    ///< 24.9 as 29.4
    decimal_point,     ///< 24.9 as 2.49 or 249
    dropped_digit,     ///< 24.9 as 4.9
    extra_digit,       ///< 24.9 as 224.9
    wrong_digit,       ///< 24.9 as 25.9
    neighbour,         ///< the value of a neighbouring cell
    unit,              ///< another unit: a factor of 3.412, 12 or 1000
    blank_as_zero,     ///< a blank typed as 0
    repeated_row,      ///< the row of a neighbour once more
    shifted_row,       ///< the row that belongs to a neighbour
    doubled_digit,     ///< a digit as its neighbour: 800 as 880
    exchanged_blocks,  ///< the numbers under two labels of an axis, each in the other's place
    repeated_block,    ///< the numbers under another label once more
};

/// A word of a typed text that a correction changes: in the column of that name, in a row, or the unit above it.
struct Edit {
    int line = 0;  ///< of the row
    std::string column;
    std::string typed, meant;
    bool unit = false;  ///< the unit under the name of the column, not the row's word
};

/// A cell (or a row, a label of an axis, a column) that does not agree with the rest of the page. It may be right all
/// the same: an audit asks, it never corrects.
struct Suspect {
    /// Its role: `total`, `sensible`, ..., `odb`, `airflow`, ... of a label; `row` for all outputs of a node.
    std::string column;
    std::optional<std::size_t> node;    ///< which node of the page; none: the whole column, or a block
    std::vector<std::size_t> block;     ///< of a label: the nodes it stands for; one suspect for all of them
    InputError::Place place;            ///< where that was typed, as far as the page knows
    std::string cell;                   ///< where it stands in print: `odb 95 degF, airflow 1000 scfm, ewb 67 degF`
    std::string typed;                  ///< as typed, or as it would be printed
    Unit unit = units::one;             ///< as printed
    double printed = 0.0;               ///< SI; of a row its total
    std::optional<double> implied;      ///< SI: by the checks that found it
    double spread = 0.0;                ///< SI: standard deviation of what is implied
    Checks checks;                      ///< all that it fails
    Slip slip = Slip::none;             ///< what would explain it
    std::string guess;                  ///< what may have been meant, in the printed unit: a question to the page
    std::string other;                  ///< of exchanged and repeated blocks: the other label, as typed
    std::optional<std::size_t> source;  ///< of a neighbour's value or row: that node; of another block: its first
    double score = 0.0;                 ///< how many spreads it is off; suspects are ranked by it
    std::vector<Edit> edits;            ///< what `apply` changes in a text; empty where nobody can say what was meant

    /// The text of the file that `place` names with this put right, and nothing else changed: for whoever has looked at
    /// the print.
    /// @param text  as it was when it was audited
    /// @throws InputError if nobody can say what was meant, or for another text
    [[nodiscard]] std::string apply(std::string_view text) const;
    /// The page of which this is a suspect with it put right. @throws InputError if nobody can say what was meant
    [[nodiscard]] PrintedPage apply(const PrintedPage& page) const;
};

/// How far straight lines between neighbours miss the node between them: an upper bound of the page's interpolation
/// error, four times what a straight curve bends to within a cell.
struct LeaveOneOut {
    PageAxis axis = PageAxis::outdoor_dry_bulb;
    std::string column;
    std::size_t nodes = 0;  ///< nodes with two wet neighbours along that axis
    double rms = 0.0;       ///< relative to the value
    double worst = 0.0;     ///< relative to the value, signed: interpolated less printed
    std::size_t at = 0;     ///< the node of the worst
};

/// Something about the whole page that the audit asks and does not assume.
struct Question {
    enum class About : std::uint8_t {
        capacity,     ///< gross or net
        power,        ///< compressor, outdoor unit or system
        sensible_at,  ///< entering dry bulb of the sensible column
        certified,    ///< whether the page at the rating point meets the certified rating
    };
    enum class By : std::uint8_t {
        coil,        ///< the printed bypass factors, or one per airflow, give the printed sensible
        split,       ///< the printed split
        efficiency,  ///< the printed EER or COP
        rating,      ///< the certified rating
    };
    struct Hypothesis {
        std::string name;     ///< `gross`, `net`, `compressor`, ..., `80 degF`
        double misfit = 0.0;  ///< root mean square, relative; of a certified rating the signed difference
    };

    About about = About::capacity;
    By by = By::coil;
    std::string stated;                  ///< what the page says, as a hypothesis' name; empty if it does not
    std::vector<Hypothesis> hypotheses;  ///< the one that closes best first
    bool decisive = false;               ///< the best closes at least three times as well as the next
    std::size_t nodes = 0;               ///< how many nodes could be used
};

/// What an audit of one page found.
struct Audit {
    /// Labels of axes first, each kind the most suspect first: cells are judged with the labels put right.
    std::vector<Suspect> suspects;
    std::vector<Question> questions;
    std::vector<LeaveOneOut> leave_one_out;
    std::size_t nodes = 0;  ///< with numbers
};

/// Audits a page. It takes milliseconds; of ten thousand nodes some seconds.
/// @throws InputError if the nodes do not fit the axes
[[nodiscard]] Audit audit(const Basis& basis, const PrintedPage& page);

/// Audits the page of a table.
[[nodiscard]] inline Audit audit(const RatingTable& table) { return audit(table.basis(), table.page()); }

/// Audits a heating page: its labels and cells. `Suspect::column` is `capacity`, `power`, ...
/// @param frost  whether frost is in its capacities: such a page bends where frost is, and its labels are known less
/// well
/// @throws InputError if the nodes do not fit the axes
[[nodiscard]] Audit audit(const HeatingBasis& basis, const HeatingPage& page, Frost frost);
/// Audits the page of a heating table.
[[nodiscard]] inline Audit audit(const HeatingTable& table, Frost frost) {
    return audit(table.basis(), table.page(), frost);
}

/// Audits the speeds of a variable-speed machine against one another: which of them was mistyped, or has the page of
/// another. Of each page the nodes count whose outdoor and entering air all pages print; of several airflows the middle
/// one.
/// @param speeds  one for each page, SI of `unit`
/// @return for each page what is suspect of its speed (`Suspect::column` is `speed`, `block` the whole page), or
/// nothing
/// @throws InputError unless there is a speed for each page
[[nodiscard]] std::vector<std::optional<Suspect>> audit_speeds(const std::vector<double>& speeds, const Unit& unit,
                                                               const std::vector<PrintedPage>& pages);
/// The same of heating pages.
[[nodiscard]] std::vector<std::optional<Suspect>> audit_speeds(const std::vector<double>& speeds, const Unit& unit,
                                                               const std::vector<HeatingPage>& pages);

/// The machine-readable name of a slip, as Python and records use it.
[[nodiscard]] std::string_view name(Slip slip) noexcept;
/// The machine-readable names of some checks.
[[nodiscard]] std::vector<std::string> names(Checks checks);

/// How a slip made what is printed, in words: "24.9 with two digits swapped?". Empty for none.
[[nodiscard]] std::string describe(Slip slip, const std::string& guess = {});
/// Why a suspect is one, in words.
[[nodiscard]] std::string why(const Suspect& suspect);
/// A suspect as one line: `alder.yaml:35:9: sensible 29.4 MBh, implied 24.9 MBh: 24.9 with two digits swapped?`
[[nodiscard]] std::string describe(const Suspect& suspect);
/// A question in words, with how well each hypothesis closes.
[[nodiscard]] std::string describe(const Question& question);
/// A leave-one-out error in words.
[[nodiscard]] std::string describe(const LeaveOneOut& error);
/// An audit as a text: suspects, questions, leave-one-out errors.
[[nodiscard]] std::string report(const Audit& audit);

}  // namespace offnominal
