#include "derates.hpp"

#include <algorithm>
#include <array>
#include <vector>

namespace offnominal::files {

LineTable read_line_table(const Document& document, const Item& item, const std::string& folder,
                          const std::string& where, LineTable::Limits limits) {
    static constexpr std::array roles{Role{"length", Dimension::length, Role::Kind::axis},
                                      Role{"suction", Dimension::length, Role::Kind::axis},
                                      Role{"total", Dimension::ratio}, Role{"power", Dimension::ratio}};
    const Table table = read_table(document, item, folder, where, roles);
    const int length = table.column("length"), suction = table.column("suction"), total = table.column("total"),
              power = table.column("power");
    std::vector<LineTable::Row> rows;
    for (const Row& row : table.rows())
        rows.push_back({{value(row, length)},
                        {value(row, suction)},
                        value(row, total),
                        value(row, power),
                        mark_of(cell(row, total))});
    return placed(document, item, [&] { return LineTable(std::move(rows), limits); });
}

AltitudeTable read_altitude_table(const Document& document, const Item& item, const std::string& folder,
                                  const std::string& where) {
    static constexpr std::array roles{Role{"elevation", Dimension::length, Role::Kind::axis},
                                      Role{"total", Dimension::ratio}, Role{"power", Dimension::ratio}};
    const Table table = read_table(document, item, folder, where, roles);
    const int elevation = table.column("elevation"), total = table.column("total"), power = table.column("power");
    std::vector<AltitudeTable::Row> rows;
    for (const Row& row : table.rows()) {
        if (mark_of(cell(row, total)) != Mark::printed)
            table.refuse(row, "a blank row in the altitude table", "rows with numbers; leave out what is not printed");
        rows.push_back({{value(row, elevation)}, value(row, total), value(row, power)});
    }
    std::ranges::stable_sort(rows, {}, [](const AltitudeTable::Row& row) { return row.elevation.si; });
    return placed(document, item, [&] { return AltitudeTable(rows); });
}

BlowerTable read_blower_table(const Fields& fields, const std::string& folder, BlowerTable::Basis basis) {
    static constexpr std::array roles{Role{"tap", Dimension::ratio, Role::Kind::key},
                                      Role{"static", Dimension::pressure, Role::Kind::axis},
                                      Role{"airflow", Dimension::airflow}, Role{"power", Dimension::power}};
    const Table table = read_table(fields, folder, "blower", roles);
    const int tap = table.column("tap"), pressure = table.column("static"), airflow = table.column("airflow"),
              power = table.column("power");
    if (table[airflow].unit.standard_air)
        throw InputError(table.place(), "blower: standard airflow, where a blower moves actual airflow", "scfm",
                         "cfm, L/s, m3/s, m3/h");
    std::vector<BlowerTable::Row> rows;
    for (const Row& row : table.rows())
        rows.push_back({std::string(cell(row, tap).text),
                        {value(row, pressure)},
                        {value(row, airflow)},
                        {value(row, power)},
                        mark_of(cell(row, airflow))});
    return placed(fields.document(), fields.map(), [&] { return BlowerTable(std::move(rows), std::move(basis)); });
}

}  // namespace offnominal::files
