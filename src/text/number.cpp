#include "text/number.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <utility>

#include "offnominal/detail/decimal.hpp"
#include "offnominal/detail/text.hpp"
#include "offnominal/files.hpp"
#include "ranges.hpp"

namespace offnominal::files {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }
using detail::lower;

// clang-format off
constexpr UnitSpellings spellings_of_units[] = {
    {"degF", "degf|\xc2\xb0" "f|\xc2\xb0 f|f|deg f|degrees f|degree f|degrees fahrenheit|fahrenheit|\xe2\x84\x89", false, true},
    {"degC", "degc|\xc2\xb0" "c|\xc2\xb0 c|c|deg c|degrees c|degree c|degrees celsius|celsius|\xe2\x84\x83", false, true},
    {"W", "w|watt|watts", true, true},
    {"kW", "kw|kilowatt|kilowatts", false, true},
    {"Btu/h", "btu/h|btuh|btu/hr|btu/hour|btu per hour|btu h", true, true},
    {"MBh", "mbh|mbtuh|mbtu/h|mbtu/hr|kbtuh|kbtu/h|kbtu/hr|1000 btuh|1000 btu/h|1000 btu/hr|btuh x 1000|btu/h x 1000|btuh/1000|thousand btuh|1000's btuh", false, true},
    {"ton", "ton|tons|tons of refrigeration", false, true},
    {"cfm", "cfm|ft3/min|cu ft/min|cubic feet per minute", true, true},
    {"scfm", "scfm|std cfm|standard cfm", true, true},
    {"L/s", "l/s|lps|litres per second|liters per second", true, true},
    {"m3/h", "m3/h|m3/hr|cmh", true, true},
    {"m3/s", "m3/s|cms", false, true},
    {"kg/s", "kg/s", false, true},
    {"lb/h", "lb/h|lb/hr|lbs/hr|lbm/h", true, true},
    {"Pa", "pa", true, true},
    {"kPa", "kpa", false, true},
    {"hPa", "hpa|mbar", false, true},
    {"psia", "psia", false, true},
    {"inHg", "inhg|in hg|in. hg", false, true},
    {"psig", "psig", false, true},
    {"kPag", "kpag|kpa gauge", false, true},
    {"A", "a|amp|amps|ampere|amperes", false, true},
    {"%", "%|percent|per cent|pct", false, true},
    {"1", "ratio|dimensionless", false, true},
    {"Hz", "hz|hertz", false, true},
    {"rpm", "rpm|r/min", true, true},
    {"Btu/Wh", "btu/wh|btuh/w|btu/w h|btu/w\xc2\xb7h", false, true},
    {"W/W", "w/w|kw/kw", false, true},
    {"delta_degF", "delta_degf|delta \xc2\xb0" "f", false, true},
    {"delta_degC", "delta_degc|delta \xc2\xb0" "c|k", false, true},
    {"ft", "ft|feet|foot|'", false, false},
    {"in", "in|inch|inches|\"", false, false},
    {"in_wc", "in. w.c|in.w.c|in w.c|inwc|in wc|iwc|inches of water", false, false},
    {"gr/lb", "gr/lb|gpp|grains per pound", false, false},
    {"s", "s|sec|second|seconds", false, false},
    {"min", "min|minute|minutes", false, false},
    {"h", "h|hr|hour|hours", false, false},
};
// clang-format on

/// As `spellings_of_units` writes it: in lower case, words apart by one blank, no point at the end.
std::string plain(std::string_view typed) {
    std::string out;
    for (std::size_t i = 0; i < typed.size(); ++i) {
        if (typed.substr(i, 2) == "\xc2\xb3") {  // to the third
            out += '3';
            ++i;
        } else if (typed[i] != '^' && !(typed[i] == ' ' && out.ends_with(' '))) {
            out += lower(typed[i]);
        }
    }
    while (out.ends_with('.')) out.pop_back();
    return out;
}

/// Whether `1|2|3` lists a word.
bool lists(std::string_view words, std::string_view word) {
    for (std::size_t at = 0; at <= words.size();) {
        const std::size_t end = std::min(words.find('|', at), words.size());
        if (words.substr(at, end - at) == word) return true;
        at = end + 1;
    }
    return false;
}

/// `1,200`, `12,345.6`: commas between thousands.
bool is_grouped(std::string_view number) {
    std::size_t at = std::min(number.find(','), number.size());
    if (at < 1 || at > 3 || at == number.size() || !ranges::all_of(number.substr(0, at), is_digit)) return false;
    for (; at < number.size() && number[at] == ','; at += 4)
        if (number.size() < at + 4 || !ranges::all_of(number.substr(at + 1, 3), is_digit)) return false;
    return at == number.size() || (number[at] == '.' && ranges::all_of(number.substr(at + 1), is_digit));
}

/// Spellings that may mean something else. Only ever suggested, never accepted.
constexpr std::pair<std::string_view, std::string_view> other_spellings[] = {{"psi", "psia"}};

/// The accepted word that was probably meant, or nothing.
std::string_view nearest(std::span<const std::string_view> accepted, std::string_view typed) {
    const auto accepts = [&](std::string_view word) { return ranges::find(accepted, word) != accepted.end(); };
    if (typed.starts_with("\xc2\xb0")) typed.remove_prefix(2);  // the degree sign
    for (const auto& [other, ours] : other_spellings)
        if (other == lower(typed) && accepts(ours)) return ours;
    return detail::nearest(accepted, typed);
}

/// The unit that files spell `name`: as the table of units calls it, in plain degrees, or as the trade does.
std::optional<Unit> find_unit(std::string_view name, Dimension wanted) {
    const auto own = [wanted](std::string_view word) -> std::optional<Unit> {
        if (const auto unit = units::find(word, wanted)) return unit;
        for (const Unit& unit : units::all)
            if (unit.dimension == wanted && units::in_plain_degrees(unit).name == word)
                return units::in_plain_degrees(unit);
        return std::nullopt;
    };
    if (const auto unit = own(name)) return unit;
    const std::string word = plain(name.substr(0, 64));
    for (const UnitSpellings& row : spellings_of_units)
        if (lists(row.spellings, word))
            if (const auto unit = own(row.unit)) return unit;
    return std::nullopt;
}

std::vector<std::string_view> units_of(Dimension dimension) {
    std::vector<std::string_view> out;
    for (const Unit& unit : units::all)
        if (unit.dimension == dimension) out.push_back(units::in_plain_degrees(unit).name);
    if (dimension == Dimension::temperature_difference) out.emplace_back("K");
    return out;
}

constexpr std::string_view example = "a number such as 33.5";

Complaint too_large() { return {"a number too large or too small to hold", std::string(example)}; }

/// Digits with at most one point and an exponent; from_chars would also take `inf`, `nan` and hexadecimal.
Complaint read_decimal(std::string_view text, Number& out) {
    std::string_view rest = text;
    if (!rest.empty() && (rest[0] == '+' || rest[0] == '-')) rest.remove_prefix(1);
    const std::size_t whole = std::min(rest.find_first_not_of("0123456789"), rest.size());
    std::size_t at = whole, decimals = 0;
    if (at < rest.size() && rest[at] == '.') {
        const std::size_t first = ++at;
        while (at < rest.size() && is_digit(rest[at])) ++at;
        decimals = at - first;
    }
    const bool has_digits = whole + decimals > 0;
    if (has_digits && at < rest.size() && rest[at] == ',' && at + 1 < rest.size() && is_digit(rest[at + 1]))
        return {"a comma in a number", "a point before the decimals, and nothing between thousands"};
    int exponent = 0;
    if (has_digits && at < rest.size() && lower(rest[at]) == 'e') {
        const char* first = rest.data() + at + 1;
        if (at + 1 < rest.size() && *first == '+') ++first;
        const auto end = std::from_chars(first, rest.data() + rest.size(), exponent);
        if (end.ec != std::errc{} || (*first != '-' && !is_digit(*first)))
            return {std::string(not_a_number), std::string(example)};
        constexpr int most = 400;  // past what a double holds; as a count of decimals more would be work without end
        if (exponent < -most || exponent > most) return too_large();
        at = static_cast<std::size_t>(end.ptr - rest.data());
    }
    if (!has_digits || at != rest.size()) return {std::string(not_a_number), std::string(example)};
    constexpr std::size_t longest = 40;  // a page keeps it as typed for every node, and a row of factors again
    if (rest.size() > longest) return {"a number of more than 40 characters", std::string(example)};
    const std::optional<double> value = detail::number_of(rest);
    if (!value || !std::isfinite(*value)) return too_large();
    out.value = text[0] == '-' ? -*value : *value;
    out.decimals = std::max(0, static_cast<int>(std::min<std::size_t>(decimals, 300)) - exponent);
    return {};
}

/// `7/8`
bool read_fraction(std::string_view text, double& out) {
    const std::size_t slash = text.find('/');
    if (slash == std::string_view::npos || slash == 0 || slash > 3 || text.size() - slash - 1 > 3) return false;
    int over = 0, under = 0;
    const auto part = [](std::string_view digits, int& value) {
        return ranges::all_of(digits, is_digit) &&
               std::from_chars(digits.data(), digits.data() + digits.size(), value).ec == std::errc{};
    };
    if (!part(text.substr(0, slash), over) || !part(text.substr(slash + 1), under) || under == 0) return false;
    out = static_cast<double>(over) / under;
    return true;
}

double parsed(std::string_view text) {
    return detail::number_of(text).value_or(std::numeric_limits<double>::quiet_NaN());
}

/// A number with so many decimals that reads back to `si`, or nothing.
std::string fixed_text(double si, const Unit& unit, int decimals) {
    std::string out = detail::fixed_text(unit.from_si(si), decimals);
    return unit.to_si(parsed(out)) == si ? out : std::string();
}

std::size_t length(const std::vector<std::string>& texts) {
    std::size_t out = 0;
    for (const std::string& text : texts) out += text.size();
    return out;
}

/// The same number of decimals in all of a column, as print has it, where there are few.
void align_decimals(std::vector<std::string>& texts) {
    constexpr std::size_t most = 6;
    const auto decimals = [](const std::string& text) {
        const std::size_t point = text.find('.');
        return point == std::string::npos ? 0 : text.size() - point - 1;
    };
    std::size_t all = 0;
    for (const std::string& text : texts) {
        if (text.find('e') != std::string::npos) return;
        all = std::max(all, decimals(text));
    }
    if (all == 0 || all > most) return;
    for (std::string& text : texts) {
        if (text == "-") continue;
        const std::size_t have = decimals(text);
        text.append(have == 0 ? "." : "").append(all - have, '0');
    }
}

/// `7/8`, `1 1/8`; nothing for what is no sixteenth.
std::string fraction_text(double value) {
    if (!(value > 0.0 && value <= 12.0) || value * 16.0 != std::floor(value * 16.0)) return {};
    const int sixteenths = static_cast<int>(value * 16.0), whole = sixteenths / 16;
    int over = sixteenths % 16, under = 16;
    for (; over != 0 && over % 2 == 0; under /= 2) over /= 2;
    std::string out = whole > 0 ? std::to_string(whole) : std::string();
    if (over != 0) out += (out.empty() ? "" : " ") + std::to_string(over) + "/" + std::to_string(under);
    return out;
}

}  // namespace

std::string listed(std::span<const std::string_view> accepted, std::string_view typed) {
    std::string out;
    for (const std::string_view word : accepted) out.append(out.empty() ? "" : ", ").append(word);
    const std::string_view near = accepted.size() > 1 ? nearest(accepted, typed) : std::string_view();
    if (!near.empty()) out.append("; nearest: ").append(near);
    return out;
}

Complaint read_number(std::string_view text, bool fractions, Number& out) {
    if (fractions) {
        double part = 0.0;
        const std::size_t space = text.find_first_of(" -", 1);
        if (read_fraction(text, part)) {
            out = {part, 0};
            return {};
        }
        if (space != std::string_view::npos && read_fraction(trimmed(text.substr(space + 1)), part) && part < 1.0 &&
            ranges::all_of(text.substr(0, space), is_digit)) {
            if (const Complaint c = read_decimal(text.substr(0, space), out)) return c;
            out.value += part;
            return {};
        }
    }
    return read_decimal(text, out);
}

Complaint read_unit(std::string_view name, Dimension wanted, Unit& out) {
    if (const auto unit = find_unit(name, wanted)) {
        out = *unit;
        return {};
    }
    const std::vector<std::string_view> accepted = units_of(wanted);
    for (const Unit& unit : units::all)
        if (unit.name == name)
            return {"a unit of " + std::string(row_of(unit.dimension)->words) + " where " +
                        std::string(row_of(wanted)->words) + " is due",
                    listed(accepted, name)};
    return {"not a unit of " + std::string(row_of(wanted)->words), listed(accepted, name)};
}

Complaint read_unit(std::string_view name, Dimension wanted, Dimension other, Unit& out) {
    Complaint complaint = read_unit(name, wanted, out);
    if (!complaint || other == wanted) return complaint;
    if (!read_unit(name, other, out)) return {};
    std::vector<std::string_view> accepted = units_of(wanted);
    if (!nearest(accepted, name).empty()) return complaint;
    for (const std::string_view unit : units_of(other)) accepted.push_back(unit);
    complaint.problem += " or " + std::string(row_of(other)->words);
    complaint.accepted = listed(accepted, name);
    return complaint;
}

Complaint to_si(const Number& number, const Unit& unit, double& out) {
    out = unit.to_si(number.value);
    return std::isfinite(out) ? Complaint() : too_large();
}

Complaint read_quantity(std::string_view text, Dimension wanted, Measured& out) {
    text = trimmed(text);
    std::size_t end = std::min(text.find_first_of(" \t"), text.size());
    const bool fractions = wanted == Dimension::length;
    double part = 0.0;
    if (fractions && end < text.size()) {  // 1 1/8 in
        const std::size_t next = std::min(text.find_first_not_of(" \t", end), text.size());
        const std::size_t stop = std::min(text.find_first_of(" \t", next), text.size());
        if (read_fraction(text.substr(next, stop - next), part)) end = stop;
    }
    if (wanted == Dimension::ratio && end > 1 && text[end - 1] == '%') --end;  // 55%
    Number number;
    const std::string_view typed = text.substr(0, end), unit = trimmed(text.substr(end));
    const std::string units = listed(units_of(wanted), unit);
    std::string digits(typed);
    if (is_grouped(typed) && !read_unit(unit, wanted, out.unit) &&
        ranges::any_of(spellings_of_units,
                       [&](const UnitSpellings& row) { return row.is_whole && row.unit == out.unit.name; }))
        std::erase(digits, ',');
    if (Complaint c = read_number(digits, fractions, number)) {
        // 25ft: digits that run into letters
        const std::size_t letter = typed.find_first_not_of("+-.0123456789/");
        if (c.problem == not_a_number && letter != std::string_view::npos && letter > 0 && is_digit(typed[letter - 1]))
            return {"no space between number and unit",
                    std::string(typed.substr(0, letter)) + " " + std::string(typed.substr(letter))};
        if (c.problem == not_a_number && wanted != Dimension::ratio)
            c.accepted = "a number, a space and a unit: " + units;
        return c;
    }
    if (unit.empty() && wanted != Dimension::ratio) return {"a number without a unit", units};
    out.text = typed;
    if (unit.empty()) {
        out.si = number.value;
        out.unit = units::one;
        return {};
    }
    if (Complaint c = read_unit(unit, wanted, out.unit)) return c;
    return to_si(number, out.unit, out.si);
}

std::string number_text(double value) {
    const double size = std::abs(value);
    if (value == 0.0 || (size >= 1e-6 && size < 1e15)) return detail::plain_text(value);
    return detail::number_text(value);
}

std::string rounded_text(double value, int digits) { return detail::rounded_text(value, digits); }

std::string number_text(double si, const Unit& unit) {
    if (unit.times == 1.0 && unit.over == 1.0 && unit.offset == 0.0) return number_text(si);
    return number_text(unit.from_si(si), [&](double typed) { return unit.to_si(typed) == si; });
}

std::string number_text(double value, const std::function<bool(double)>& reads_back) {
    for (const int digits : {6, 9, 12, 15, 16, 17})
        if (const double typed = parsed(detail::rounded_text(value, digits)); reads_back(typed))
            return number_text(typed);
    // The way there may have rounded to the wrong neighbour.
    for (const double to : {-HUGE_VAL, HUGE_VAL})
        if (const double typed = std::nextafter(value, to); reads_back(typed)) return number_text(typed);
    return {};
}

std::vector<Unit> units_for(Dimension dimension, bool standard_air) {
    std::vector<Unit> out;
    for (const Unit& unit : units::all)
        if (unit.dimension == dimension &&
            (dimension != Dimension::airflow || unit.name != (standard_air ? units::cfm.name : units::scfm.name)))
            out.push_back(units::in_plain_degrees(unit));
    return out;
}

std::string quantity_text(double si, Dimension dimension, bool standard_air) {
    const ColumnText column = column_text({&si, 1}, units_for(dimension, standard_air));
    return column.texts.front() + (column.unit.name == "1" ? "" : " " + std::string(column.unit.name));
}

std::string quantity_text(const std::string* typed, double si, Dimension dimension, bool standard_air) {
    Measured read;
    const bool holds = typed != nullptr && !read_quantity(*typed, dimension, read) && read.si == si;
    if (holds && (dimension != Dimension::airflow || standard_air || !read.unit.standard_air)) return *typed;
    return quantity_text(si, dimension, standard_air);
}

ColumnText column_text(std::span<const double> si, std::span<const Unit> units) {
    ColumnText best;
    for (const Unit& unit : units) {
        ColumnText column{unit, {}};
        for (const double value : si) {
            column.texts.push_back(std::isnan(value) ? "-" : number_text(value, unit));
            if (column.texts.back().empty()) break;
        }
        const bool complete = column.texts.empty() || !column.texts.back().empty();
        if (complete && (best.texts.empty() || length(column.texts) < length(best.texts))) best = std::move(column);
    }
    if (si.size() > 1) align_decimals(best.texts);
    return best;
}

ColumnText column_text(std::span<const double> si, std::span<const Unit> units, double step) {
    constexpr int most_decimals = 12;
    for (const Unit& unit : units) {
        double printed_step = unit.times / unit.over;
        for (int decimals = 0; decimals <= most_decimals; ++decimals, printed_step /= 10.0) {
            if (std::abs(printed_step / step - 1.0) > 1e-9) continue;
            ColumnText column{unit, {}};
            for (const double value : si)
                column.texts.push_back(std::isnan(value) ? "-" : fixed_text(value, unit, decimals));
            if (ranges::none_of(column.texts, &std::string::empty)) return column;
        }
    }
    return {};
}

ColumnText tubing_text(std::span<const double> si) {
    ColumnText inches{units::in, {}};
    for (const double value : si) {
        const double in = parsed(number_text(value, units::in));
        inches.texts.push_back(fraction_text(in));
        if (inches.texts.back().empty()) return column_text(si, units_for(Dimension::length));
    }
    return inches;
}

}  // namespace offnominal::files

namespace offnominal {
std::span<const UnitSpellings> unit_spellings() noexcept { return files::spellings_of_units; }
}  // namespace offnominal
