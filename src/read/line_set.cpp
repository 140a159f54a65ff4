#include "read/line_set.hpp"

#include <array>
#include <limits>
#include <vector>

#include "read/table.hpp"

namespace offnominal::files {
namespace {

/// `{elbow: 4, tee_branch: 1}`, `none` or `unknown`.
Fittings read_fittings(const Fields& line, const Item& item) {
    const std::string accepted =
        "none, unknown, or how many there are of each: {elbow: 4, tee_run: 1}, of " + accepted_words<Fitting>();
    if (item.kind == Item::Kind::scalar && item.text == "none") return {};
    if (item.kind == Item::Kind::scalar && item.text == "unknown") return Fittings::uncounted();
    if (item.kind != Item::Kind::map) line.refuse(item, line.path("fittings") + ": no count of fittings", accepted);
    Fittings out;
    for (std::size_t i = 0; i < item.keys.size(); ++i) {
        const auto fitting = named<Fitting>(item.keys[i].text);
        if (!fitting) line.refuse(item.keys[i], line.path("fittings") + ": no such fitting", accepted);
        constexpr double most = 1000.0;
        const double count = line.measured(item.values[i], "fittings", Dimension::ratio).si;
        if (!(count >= 0.0 && count <= most && count == static_cast<double>(static_cast<std::uint16_t>(count))))
            line.refuse(item.values[i], line.path("fittings") + ": no whole number from 0 to 1000", accepted);
        out[*fitting] = static_cast<std::uint16_t>(count);
    }
    return out;
}

LineTable read_line_table(const Document& document, const Item& item, const std::string& where, std::string_view output,
                          LineTable::Limits limits) {
    const std::array roles{Role{"length", Dimension::length, Role::Kind::axis},
                           Role{"suction", Dimension::length, Role::Kind::axis}, Role{output, Dimension::ratio},
                           Role{"power", Dimension::ratio}};
    const Table table = read_table(document, item, where, roles);
    const int length = table.column("length"), suction = table.column("suction"), total = table.column(output),
              power = table.column("power");
    std::vector<LineTable::Row> rows;
    for (const Row& row : table.rows())
        rows.push_back({Length{value(row, length)}, Length{value(row, suction)}, value(row, total), value(row, power),
                        mark_of(cell(row, total))});
    return placed(document, item, [&] { return LineTable(std::move(rows), limits); });
}

}  // namespace

LineSet read_line(const Fields& fields) {
    const Item *length = fields.find("length"), *tubing = fields.find("tubing"), *fittings = fields.find("fittings");
    if (length != nullptr && tubing != nullptr)
        fields.refuse(*tubing, fields.path("tubing") + ": beside a length",
                      "length (with its fittings), or tubing (alone) and fittings");
    if (length != nullptr && fittings != nullptr)
        fields.refuse(*fittings, fields.path("fittings") + ": beside a length, which has them in it",
                      "tubing (alone) in place of length");
    if (tubing == nullptr)
        length = &fields.need("length",
                              "the equivalent length (tubing and fittings), such as 50 ft; or tubing: 46 ft "
                              "and fittings: {elbow: 4}");
    const auto suction =
        fields.quantity<Dimension::length>(fields.need("suction", "the suction size, such as 3/4 in"), "suction");
    if (tubing == nullptr) return LineSet::of(fields.quantity<Dimension::length>(*length, "length"), suction);
    const LineSet line = LineSet::of(fields.quantity<Dimension::length>(*tubing, "tubing"), suction);
    return line.with(fittings == nullptr ? Fittings::uncounted() : read_fittings(fields, *fittings));
}

void read_line_set(const Document& document, const Item& item, SystemParts& parts) {
    const Fields fields(document, item, "line_set", {"reference", "lift", "cooling", "heating"});
    LineTable::Limits limits;
    if (const auto lift = fields.range<Dimension::length>("lift")) limits = {lift->first, lift->second};
    if (const Item* typed = fields.find("reference")) {
        const Fields line(document, *typed, "line_set: reference",
                          {"length", "tubing", "fittings", "suction", "liquid"});
        const LineSet reference = read_line(line);
        if (reference.fittings && !reference.fittings->counted)
            line.missing("fittings", "how many there are of each: {elbow: 4}; or length, with its fittings");
        (void)line.quantity<Dimension::length>("liquid");  // checked; no answer depends on it
        parts.reference_line = reference;
    }
    const Item *cooling = fields.find("cooling"), *heating = fields.find("heating");
    if (cooling != nullptr) parts.line_set = read_line_table(document, *cooling, "line_set: cooling", "total", limits);
    if (heating != nullptr)
        parts.heating_line_set = read_line_table(document, *heating, "line_set: heating", "capacity", limits);
    if (cooling == nullptr && heating == nullptr && fields.find("lift") != nullptr)
        fields.missing("cooling", "the table that the lift limits belong to");
}

}  // namespace offnominal::files
