// Systems as bytes. What is written and what is read is one list of members for each type (`members`), so that the two
// cannot disagree. Whole numbers and IEEE doubles stand in little-endian order, lists and texts behind their length.
#include <boost/locale/utf.hpp>
#include <cmath>
#include <concepts>
#include <cstdint>
#include <cstring>
#include <limits>
#include <optional>
#include <utility>

#include "offnominal/embedded.hpp"

namespace offnominal {
namespace {

constexpr std::string_view magic = "offnom\x1a\n";  // an end of file and of line: what was sent as text is seen
constexpr std::uint32_t version = 1;
constexpr std::size_t head = 24;                        // magic, version, length, checksum
constexpr std::size_t greatest = std::size_t{8} << 20;  // some hundred thousand nodes
constexpr std::size_t most_columns = 200;               // of a page, as typed

/// FNV-1a, 64 bits: for accidents, not against malice, which the checks of each member are for.
std::uint64_t checksum(std::string_view bytes) noexcept {
    std::uint64_t out = 0xcbf29ce484222325u;
    for (const char byte : bytes) out = (out ^ static_cast<unsigned char>(byte)) * 0x100000001b3u;
    return out;
}

[[noreturn]] void refuse(const std::string& problem, const std::string& text = {}) {
    detail::raise(InputError({}, problem, text, "what system_to_bytes or offnominal_embed wrote"));
}

/// Which numbers a member may hold beside finite ones.
enum class Beside { nothing, blank, infinity };

class Writer {
   public:
    static constexpr bool reads = false;
    std::string bytes;

    void whole(std::uint64_t value, int size) {
        for (int i = 0; i < size; ++i) bytes += static_cast<char>(value >> (8 * i) & 0xff);
    }
    template <std::integral I>
    void one(I value) {
        whole(static_cast<std::uint64_t>(value), sizeof value);
    }
    void number(double value, Beside) { whole(__builtin_bit_cast(std::uint64_t, value), 8); }
    template <Worded E>
    void choice(E value) {
        one(static_cast<std::uint8_t>(value));
    }
    std::size_t count(std::size_t size, std::size_t) {
        one(static_cast<std::uint32_t>(size));
        return size;
    }
    void text(const std::string& value) {
        one(static_cast<std::uint32_t>(value.size()));
        bytes += value;
    }
};

class Reader {
   public:
    static constexpr bool reads = true;
    std::string_view rest;

    std::uint64_t whole(std::size_t size) {
        std::uint64_t out = 0;
        const std::string_view from = take(size);
        for (std::size_t i = 0; i < size; ++i) out |= std::uint64_t{static_cast<unsigned char>(from[i])} << (8 * i);
        return out;
    }
    template <std::integral I>
    void one(I& value) {
        const std::uint64_t whole_number = whole(sizeof value);
        if (std::same_as<I, bool> && whole_number > 1) refuse("embedded data: neither yes nor no");
        value = static_cast<I>(whole_number);
    }
    void number(double& value, Beside beside) {
        value = __builtin_bit_cast(double, whole(8));
        if ((std::isnan(value) && beside != Beside::blank) || (std::isinf(value) && beside != Beside::infinity))
            refuse("embedded data: not a finite number");
    }
    template <Worded E>
    void choice(E& value) {
        value = static_cast<E>(whole(1));
        if (!known(value)) refuse("embedded data: a choice that is none");
    }
    std::size_t count(std::size_t, std::size_t most) {
        const std::uint64_t size = whole(4);
        if (size > most) refuse("embedded data: longer than any system's", std::to_string(size));
        return static_cast<std::size_t>(size);
    }
    void text(std::string& value) {
        using Utf8 = boost::locale::utf::utf_traits<char>;
        value = take(count(0, rest.size()));
        for (const char *p = value.data(), *const end = p + value.size(); p != end;) {
            const auto c = Utf8::decode(p, end);
            if (!boost::locale::utf::is_valid_codepoint(c) || (c < 0x20 && c != '\t' && c != '\n'))
                refuse("embedded data: a text that is not UTF-8, or holds control characters");
        }
    }

   private:
    std::string_view take(std::size_t size) {
        if (size > rest.size()) refuse("embedded data: it ends too soon");
        const std::string_view out = rest.substr(0, size);
        rest.remove_prefix(size);
        return out;
    }
};

// Members of every type, in the order of the bytes. `each(archive, a, b)` takes one after the other.

template <class Archive, class... T>
void each(Archive& archive, T&... values);

template <class Archive>
void members(Archive& archive, double& value, Beside beside = Beside::nothing) {
    archive.number(value, beside);
}
template <class Archive, std::integral I>
void members(Archive& archive, I& value) {
    archive.one(value);
}
template <class Archive, Worded E>
void members(Archive& archive, E& value) {
    archive.choice(value);
}
template <class Archive>
void members(Archive& archive, std::string& value) {
    archive.text(value);
}
template <class Archive, Dimension D>
void members(Archive& archive, Quantity<D>& value, Beside beside = Beside::nothing) {
    archive.number(value.si, beside);
}
template <class Archive, class T>
void members(Archive& archive, std::optional<T>& value) {
    bool given = value.has_value();
    archive.one(given);
    if (given && !value) value.emplace();
    if (given) each(archive, *value);
}
template <class Archive, class A, class B>
void members(Archive& archive, std::pair<A, B>& value) {
    each(archive, value.first, value.second);
}
/// A list grows as it is read: bytes that promise more than they hold cost nothing.
template <class Archive, class T>
void list(Archive& archive, std::vector<T>& values, std::size_t most) {
    const std::size_t size = archive.count(values.size(), most);
    if constexpr (Archive::reads)
        for (std::size_t i = 0; i < size; ++i) each(archive, values.emplace_back());
    else
        for (T& value : values) each(archive, value);
}
template <class Archive, class T>
void members(Archive& archive, std::vector<T>& values) {
    list(archive, values, greatest);
}
/// A unit is its spelling, and what it measures.
template <class Archive>
void members(Archive& archive, Unit& unit) {
    Dimension dimension = unit.dimension;
    std::string name(unit.name);
    each(archive, dimension, name);
    const auto found = units::find(name, dimension);
    if (!found) refuse("a unit that is none of the table of units", name);
    unit = *found;
}
template <class Archive>
void members(Archive& archive, TypedText& typed) {
    each(archive, typed.key, typed.text);
}
template <class Archive>
void members(Archive& archive, TypedColumn& column) {
    each(archive, column.role, column.unit, column.texts);
}
template <class Archive>
void members(Archive& archive, ExtraColumn& column) {
    each(archive, column.name, column.unit, column.step);
    const std::size_t size = archive.count(column.values.size(), greatest);
    for (std::size_t i = 0; i < size; ++i)
        members(archive, Archive::reads ? column.values.emplace_back() : column.values[i], Beside::blank);
}
template <class Archive>
void members(Archive& archive, IndoorPair& pair) {
    each(archive, pair.dry_bulb, pair.wet_bulb);
}
/// A node without data may hold anything; a printed one is checked by its page.
template <class Archive>
void members(Archive& archive, PrintedNode& node) {
    each(archive, node.mark);
    for (double* const number : {&node.total, &node.sensible, &node.power, &node.bypass})
        members(archive, *number, Beside::blank);
}
template <class Archive>
void members(Archive& archive, HeatingNode& node) {
    each(archive, node.mark);
    for (double* const number : {&node.capacity, &node.power}) members(archive, *number, Beside::blank);
}
template <class Archive>
void members(Archive& archive, TableFan& fan) {
    each(archive, fan.power, fan.per_airflow);
}
template <class Archive>
void members(Archive& archive, RatedPoint& rated) {
    each(archive, rated.total, rated.sensible, rated.power);
}
template <class Archive>
void members(Archive& archive, CertifiedRating& rating) {
    each(archive, rating.net_total, rating.airflow, rating.fan_power);
}
template <class Archive>
void members(Archive& archive, Basis& b) {
    each(archive, b.capacity, b.airflow, b.standard_pound, b.power, b.fan, b.sensible_at, b.sensible_slope, b.elevation,
         b.tolerance, b.sensible_ratio_of, b.rated, b.certified);
}
template <class Archive>
void members(Archive& archive, HeatingBasis& b) {
    each(archive, b.capacity, b.airflow, b.standard_pound, b.power, b.fan, b.printed_at, b.outdoor_relative_humidity,
         b.elevation, b.tolerance);
}
template <class Archive>
void members(Archive& archive, PrintedPage& p) {
    each(archive, p.outdoor_dry_bulb, p.airflow, p.entering_wet_bulb, p.relative_humidity, p.pairs, p.pairs_are_points,
         p.entering_dry_bulb, p.pressure, p.nodes, p.has_sensible, p.has_power, p.has_bypass, p.total_step,
         p.sensible_step, p.power_step);
    for (auto* const columns : {&p.typed, &p.airflow_factors}) list(archive, *columns, most_columns);
    list(archive, p.extras, most_columns);
    each(archive, p.airflow_multiplied, p.infer);
}
template <class Archive>
void members(Archive& archive, HeatingPage& p) {
    each(archive, p.outdoor_dry_bulb, p.airflow, p.entering_dry_bulb, p.nodes, p.has_power, p.capacity_step,
         p.power_step);
    for (auto* const columns : {&p.typed, &p.airflow_factors, &p.edb_factors}) list(archive, *columns, most_columns);
    list(archive, p.extras, most_columns);
    each(archive, p.airflow_multiplied, p.dry_bulb_multiplied);
}

// Tables are written as what they are built from, and built again when they are read.

/// A list of stages, of which each is what `make` makes of its parts.
template <class Basis, class Page, class Stage, class Archive>
void stages(Archive& archive, std::vector<Stage>& values, const auto& make) {
    const std::size_t size = archive.count(values.size(), 1000);
    for (std::size_t i = 0; i < size; ++i) {
        std::string name;
        Basis basis;
        Page page;
        std::optional<double> speed;
        Frost frost = Frost::unknown;
        if constexpr (!Archive::reads) {
            const Stage& stage = values[i];
            name = stage.name, basis = stage.table.basis(), page = stage.table.page(), speed = stage.speed;
            if constexpr (requires { stage.frost; }) frost = stage.frost;
        }
        each(archive, name, frost, speed, basis, page);
        if constexpr (Archive::reads) values.push_back(make(name, frost, speed, basis, page));
    }
}
template <class Archive>
void members(Archive& archive, std::vector<Stage>& values) {
    stages<Basis, PrintedPage>(archive, values, [](auto& name, Frost, auto& speed, auto& basis, auto& page) {
        return Stage{std::move(name), RatingTable(basis, std::move(page)), speed};
    });
}
template <class Archive>
void members(Archive& archive, std::vector<HeatingStage>& values) {
    stages<HeatingBasis, HeatingPage>(
        archive, values, [](auto& name, Frost frost, auto& speed, auto& basis, auto& page) {
            return HeatingStage{std::move(name), frost, HeatingTable(basis, std::move(page)), speed};
        });
}
template <class Archive>
void members(Archive& archive, DefrostFactors& factors) {
    each(archive, factors.capacity, factors.power, factors.time_fraction);
}
template <class Archive>
void members(Archive& archive, DefrostTable::Page& page) {
    each(archive, page.stage, page.outdoor_dry_bulb, page.outdoor_relative_humidity, page.nodes);
}
template <class Archive>
void members(Archive& archive, DefrostTable& table) {
    std::vector<DefrostTable::Page> pages = table.pages();
    list(archive, pages, 1000);
    if constexpr (Archive::reads) table = DefrostTable(std::move(pages));
}
template <class Archive>
void members(Archive& archive, LineTable::Row& row) {
    each(archive, row.length, row.suction, row.total, row.power, row.mark);
}
template <class Archive>
void members(Archive& archive, LineTable& table) {
    std::vector<LineTable::Row> rows = table.rows();
    LineTable::Limits limits = table.limits();
    each(archive, rows);
    for (Length* const lift : {&limits.least_lift, &limits.greatest_lift}) members(archive, *lift, Beside::infinity);
    if constexpr (Archive::reads)
        if (!rows.empty()) table = LineTable(std::move(rows), limits);
}
template <class Archive>
void members(Archive& archive, Fittings& fittings) {
    for (std::uint16_t& count : fittings.counts) each(archive, count);
    each(archive, fittings.counted);
}
template <class Archive>
void members(Archive& archive, LineSet& line) {
    each(archive, line.is_reference, line.beyond);
    for (Length* const length : {&line.equivalent_length, &line.suction, &line.lift, &line.liquid, &line.tubing})
        members(archive, *length, Beside::blank);
    each(archive, line.fittings);
}
template <class Archive>
void members(Archive& archive, AltitudeTable::Row& row) {
    each(archive, row.elevation, row.total, row.power);
}
template <class Archive>
void members(Archive& archive, AltitudeTable& table) {
    std::vector<AltitudeTable::Row> rows = table.rows();
    each(archive, rows);
    if constexpr (Archive::reads)
        if (!rows.empty()) table = AltitudeTable(rows);
}
template <class Archive>
void members(Archive& archive, BlowerTable::Row& row) {
    each(archive, row.tap, row.external_static, row.airflow, row.power, row.mark);
}
template <class Archive>
void members(Archive& archive, BlowerTable& table) {
    std::vector<BlowerTable::Row> rows = table.rows();
    BlowerTable::Basis basis = table.basis();
    each(archive, rows, basis.motor, basis.includes, basis.standard_air, basis.greatest_static);
    if constexpr (Archive::reads)
        if (!rows.empty()) table = BlowerTable(std::move(rows), std::move(basis));
}
template <class Archive>
void members(Archive& archive, Factors& factors) {
    each(archive, factors.total, factors.power);
}
template <class Archive>
void members(Archive& archive, Source& s) {
    each(archive, s.document, s.revision, s.page, s.transcriber, s.checker);
}
template <class Archive>
void members(Archive& archive, Match& m) {
    each(archive, m.name, m.reference, m.factors, m.bypass, m.airflow, m.fan, m.stages);
}
template <class Archive>
void members(Archive& archive, SystemParts& p) {
    each(archive, p.name, p.nominal, p.refrigerant, p.source, p.cooling, p.heating, p.defrost, p.modulation,
         p.speed_unit);
    list(archive, p.matches, 1000);
    each(archive, p.line_set, p.heating_line_set, p.reference_line, p.altitude, p.blower, p.typed);
}

template <class Archive, class... T>
void each(Archive& archive, T&... values) {
    (members(archive, values), ...);
}

}  // namespace

std::string system_to_bytes(const System& system) {
    SystemParts parts = system.parts();
    Writer body;
    members(body, parts);
    Writer out;
    out.bytes = magic;
    out.one(version);
    out.one(static_cast<std::uint32_t>(body.bytes.size()));
    out.one(checksum(body.bytes));
    return out.bytes + body.bytes;
}

System system_from_bytes(std::span<const unsigned char> bytes) {
    const std::string_view all(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    if (!all.starts_with(magic) || all.size() < head) refuse("no embedded system");
    if (all.size() > greatest) refuse("embedded data: longer than any system's", std::to_string(all.size()));
    Reader reader{all.substr(magic.size())};
    if (const auto written = reader.whole(4); written != version)
        refuse("an embedded system of another version than " + std::to_string(version), std::to_string(written));
    if (reader.whole(4) != all.size() - head) refuse("embedded data: not of the length that it says");
    if (reader.whole(8) != checksum(reader.rest)) refuse("embedded data: damaged, its checksum is another");
    SystemParts parts;
    members(reader, parts);
    if (!reader.rest.empty()) refuse("embedded data: something stands behind its end");
    return System(std::move(parts));
}

}  // namespace offnominal
