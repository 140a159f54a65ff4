#include "write.hpp"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <limits>

#include "number.hpp"
#include "text.hpp"

namespace offnominal::files {
namespace {

/// YAML's words for nothing.
constexpr std::string_view nulls[] = {"~", "null", "Null", "NULL"};

/// Whether YAML reads a text back as it stands.
bool is_plain(std::string_view text, bool in_flow) {
    const auto is_word = [](char c) {
        return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_' || c == '/' ||
               static_cast<unsigned char>(c) >= 0x80;
    };
    if (text.empty() || !is_word(text.front()) || text.back() == ' ' || text.back() == ':') return false;
    if (std::ranges::find(nulls, text) != std::end(nulls)) return false;
    if (text.find_first_of("\n\t") != std::string_view::npos) return false;
    if (text.find(" #") != std::string_view::npos || text.find(": ") != std::string_view::npos) return false;
    return !in_flow || text.find_first_of(",[]{}:") == std::string_view::npos;
}

double parsed(std::string_view text) {
    double out = std::numeric_limits<double>::quiet_NaN();
    std::from_chars(text.data(), text.data() + text.size(), out);
    return out;
}

template <class... Format>
std::string printed(double value, Format... format) {
    char out[400];  // of a fixed format, the longest double has 309 digits
    return {out, std::to_chars(out, out + sizeof out, value, format...).ptr};
}

/// A number with so many decimals that reads back to `si`, or nothing.
std::string fixed_text(double si, const Unit& unit, int decimals) {
    std::string out = printed(unit.from_si(si), std::chars_format::fixed, decimals);
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

std::string yaml_text(std::string_view text, bool in_flow) {
    std::string seen = ".";  // for the file's own check of bytes; line ends and tabs can be written in quotes
    for (const char c : text) seen += c == '\n' || c == '\t' ? ' ' : c;
    try {
        (void)Text::from_string(seen, {});
    } catch (const InputError& error) {
        throw InputError({}, "a text that no file can hold: " + error.problem(), error.text(), error.accepted());
    }
    if (is_plain(text, in_flow)) return std::string(text);
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"' || c == '\\') out += '\\';
        if (c == '\n' || c == '\t')
            out += c == '\n' ? "\\n" : "\\t";
        else
            out += c;
    }
    return out + '"';
}

std::string number_text(double value) {
    const double size = std::abs(value);
    if (value == 0.0 || (size >= 1e-6 && size < 1e15)) return printed(value, std::chars_format::fixed);
    return printed(value);
}

std::string number_text(double si, const Unit& unit) {
    if (unit.times == 1.0 && unit.over == 1.0 && unit.offset == 0.0) return number_text(si);
    return number_text(unit.from_si(si), [&](double typed) { return unit.to_si(typed) == si; });
}

std::string number_text(double value, const std::function<bool(double)>& reads_back) {
    for (const int digits : {6, 9, 12, 15, 16, 17})
        if (const double typed = parsed(printed(value, std::chars_format::general, digits)); reads_back(typed))
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
            (dimension != Dimension::airflow || unit.name != (standard_air ? units::cfm : units::scfm).name))
            out.push_back(unit);
    return out;
}

std::string quantity_text(double si, Dimension dimension, bool standard_air) {
    const ColumnText column = column_text({&si, 1}, units_for(dimension, standard_air));
    return column.texts.front() + (column.unit.name == "1" ? "" : " " + std::string(column.unit.name));
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
            if (std::ranges::none_of(column.texts, &std::string::empty)) return column;
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

std::string flow_text(const YamlFile::Pairs& pairs) {
    std::string out = "{";
    for (const auto& [key, value] : pairs) out += (out.size() > 1 ? ", " : "") + key + ": " + value;
    return out + "}";
}

void YamlFile::begin(std::string_view key) {
    text_.append(static_cast<std::size_t>(2 * depth_), ' ').append(key).append(":");
}

void YamlFile::pair(std::string_view key, std::string_view value) {
    begin(key);
    text_.append(" ").append(value).append("\n");
}

void YamlFile::flow(std::string_view key, const Pairs& pairs) {
    if (!pairs.empty()) pair(key, flow_text(pairs));
}

void YamlFile::map(std::string_view key, const Pairs& pairs) {
    if (pairs.empty()) return;
    open(key);
    for (const auto& [name, value] : pairs) pair(name, value);
    close();
}

void YamlFile::open(std::string_view key) {
    begin(key);
    text_ += '\n';
    ++depth_;
}

void YamlFile::table(std::string_view key, const TableText& rows) {
    begin(key);
    text_ += " |\n";
    std::vector<std::size_t> widths;
    for (const auto& row : rows) {
        widths.resize(std::max(widths.size(), row.size()));
        for (std::size_t c = 0; c < row.size(); ++c) widths[c] = std::max(widths[c], row[c].size());
    }
    for (const auto& row : rows) {
        std::string line(static_cast<std::size_t>(2 * depth_ + 2), ' ');
        for (std::size_t c = 0; c < row.size(); ++c) {
            line += row[c];
            if (c + 1 < row.size()) line.append(widths[c] + 2 - row[c].size(), ' ');
        }
        text_ += line + '\n';
    }
}

}  // namespace offnominal::files
