// An audit in words: the only place where its findings are worded.
#include <algorithm>
#include <array>
#include <cmath>

#include "offnominal/audit.hpp"
#include "offnominal/explain.hpp"

namespace offnominal {

std::string_view name(Slip slip) noexcept {
    constexpr std::array names{"none",           "sign",
                               "swapped_digits", "decimal_point",
                               "dropped_digit",  "extra_digit",
                               "wrong_digit",    "neighbour",
                               "unit",           "blank_as_zero",
                               "repeated_row",   "shifted_row",
                               "doubled_digit",  "exchanged_blocks",
                               "repeated_block"};
    return names[static_cast<std::size_t>(slip)];
}

namespace {
struct CheckWords {
    Check check;
    std::string_view name, words;
};
constexpr CheckWords check_words[]{
    CheckWords{Check::positive, "positive", "no machine has zero, less, or so much"},
    CheckWords{Check::unit, "unit", "the column has a size that another unit explains"},
    CheckWords{Check::neighbours, "neighbours", "not on the smooth surface through the other nodes"},
    CheckWords{Check::trend, "trend", "changes the wrong way along an axis"},
    CheckWords{Check::sensible_ratio, "sensible_ratio", "sensible is not 40 to 100 % of total"},
    CheckWords{Check::dryness, "dryness", "dry where the rest of the page is wet, or two numbers on a dry node"},
    CheckWords{Check::leaving_air, "leaving_air", "such air cannot leave the coil: past saturation, or too dry"},
    CheckWords{Check::bypass, "bypass", "not what the coil's bypass factor makes of the total"},
    CheckWords{Check::checksum, "checksum", "not what the other columns give"},
    CheckWords{Check::row, "row", "the whole row belongs elsewhere"},
    CheckWords{Check::axis, "axis", "the numbers under this label belong elsewhere"},
};
}  // namespace

std::vector<std::string> names(Checks checks) {
    std::vector<std::string> out;
    for (const CheckWords& c : check_words)
        if (checks.has(c.check)) out.emplace_back(c.name);
    return out;
}

std::string describe(Slip slip, const std::string& guess) {
    static constexpr std::array words{
        "",
        "with a minus too many",
        "with two digits swapped",
        "with the decimal point in another place",
        "with a digit dropped",
        "with a digit too many",
        "with one digit wrong",
        "replaced by a neighbour's value",
        "in another unit",
        "a blank typed as 0?",
        "replaced by a neighbour's row",
        "replaced by the row that belongs to a neighbour",
        "with a digit typed twice",
        "exchanged with the numbers under it",
        "typed once more",
    };
    const std::string text = words[static_cast<std::size_t>(slip)];
    if (text.empty() || slip == Slip::blank_as_zero) return text;
    return (guess.empty() ? "" : guess + " ") + text + "?";
}

namespace {
std::string in_unit(double si, const Unit& unit, int digits = 4) {
    return brief(unit.from_si(si), digits) + (unit.name == "1" ? "" : " " + std::string(unit.name));
}
std::string in_percent(double ratio) { return brief(100.0 * ratio, 2) + " %"; }
}  // namespace

std::string why(const Suspect& suspect) {
    std::string out;
    for (const CheckWords& c : check_words)
        if (suspect.checks.has(c.check)) out += (out.empty() ? "" : "; ") + std::string(c.words);
    if (suspect.spread > 0.0 && suspect.implied) {
        const double off = std::abs(suspect.printed - *suspect.implied) / suspect.spread;
        out += "; off by " + fixed(off, off < 10.0 ? 1 : 0) + " times the spread of what is implied";
    }
    return out;
}

std::string describe(const Suspect& s) {
    std::string out = s.place.file;
    if (s.place.line > 0) out += (out.empty() ? "line " : ":") + std::to_string(s.place.line);
    if (s.place.line > 0 && s.place.column > 0) out += ":" + std::to_string(s.place.column);
    if (out.empty() && s.node) out = "node " + std::to_string(*s.node);
    const std::string unit = s.unit.name == "1" || s.column == "row" ? "" : " " + std::string(s.unit.name);
    const bool whole_column = !s.node && s.block.empty();
    out += (out.empty() ? "" : ": ") + s.column + (whole_column ? " column, " : " ") + s.typed + unit;
    if (s.block.size() > 1) out += ", " + std::to_string(s.block.size()) + " nodes";
    if (s.slip == Slip::exchanged_blocks)
        return out + ": their numbers exchanged with those of " + s.other + unit + "?";
    if (s.slip == Slip::repeated_block) return out + ": the numbers of " + s.other + unit + " typed once more?";
    if (s.implied && s.column != "row") out += ", implied " + in_unit(*s.implied, s.unit);
    if (whole_column && !s.guess.empty()) return out + ": is the unit " + s.guess + "?";
    const std::string slip = describe(s.slip, s.guess);
    return out + (slip.empty() ? "" : ": " + slip);
}

std::string describe(const Question& q) {
    static constexpr std::array about{"gross or net", "what the power includes",
                                      "entering dry bulb of the sensible column", "certified rating"};
    static constexpr std::array by{"sensible by the coil's bypass factor", "the printed split",
                                   "the printed efficiency", "95 degF outdoors, 80/67 degF entering"};
    std::string out =
        std::string(about[static_cast<std::size_t>(q.about)]) + ", by " + by[static_cast<std::size_t>(q.by)] + ": ";
    for (std::size_t i = 0; i < q.hypotheses.size(); ++i)
        out += (i > 0 ? "; " : "") + q.hypotheses[i].name + " is off by " + in_percent(q.hypotheses[i].misfit);
    out += q.stated.empty() ? "; the page does not say" : "; the page says " + q.stated;
    if (q.hypotheses.size() > 1 && !q.decisive) out += "; that decides nothing";
    return out;
}

std::string describe(const LeaveOneOut& l) {
    static constexpr std::array axes{"outdoor dry bulb", "airflow", "humidity", "entering dry bulb",
                                     "station pressure"};
    return l.column + " along " + axes[static_cast<std::size_t>(l.axis)] + ": " + in_percent(l.rms) +
           " root mean square, " + in_percent(l.worst) + " at worst, " + std::to_string(l.nodes) + " nodes";
}

std::string report(const Audit& audit) {
    std::string out = audit.suspects.empty() ? "no suspects" : "suspects: look at the print again";
    out += " (" + std::to_string(audit.nodes) + " nodes)\n";
    int number = 0;
    for (const Suspect& s : audit.suspects)
        out += "  " + std::to_string(++number) + ". " + describe(s) + "\n       " +
               (s.cell.empty() ? "" : "at " + s.cell + ": ") + why(s) + "\n";
    if (!audit.questions.empty()) out += "questions: asked, not assumed\n";
    for (const Question& q : audit.questions) out += "  " + describe(q) + "\n";
    if (!audit.leave_one_out.empty())
        out += "straight lines between neighbours miss the node between them (leave one out)\n";
    for (const LeaveOneOut& l : audit.leave_one_out) out += "  " + describe(l) + "\n";
    return out;
}

}  // namespace offnominal
