// Small files as text, and what the reader says of them once one thing in them is changed.
#pragma once

#include <doctest/doctest.h>

#include <algorithm>
#include <functional>
#include <string>
#include <string_view>

#include "offnominal/files.hpp"

namespace texts {

/// Where the committed tables are.
inline const std::string tables = OFFNOMINAL_TABLES_DIR;

/// The invented "Unit A", two values on each axis, as a page.
inline const std::string page = R"(offnominal: system/1
name: Unit A, invented
cooling:
  basis: {capacity: gross, airflow: standard, sensible_at: 80 degF}
  stages:
    full:
      table: |
        odb   airflow  ewb   total  sensible  power  bypass
        degF  scfm     degF  MBh    MBh       kW     1
        85    1000     63    33.3   29.9      2.19   0.10
        85    1000     67    35.8   25.7      2.23   0.10
        85    1200     63    34.3   33.0      2.19   0.12
        85    1200     67    36.9   28.1      2.23   0.12
        95    1000     63    31.5   29.1      2.48   0.10
        95    1000     67    33.9   24.9      2.52   0.10
        95    1200     63    32.5   32.2      2.48   0.12
        95    1200     67    34.9   27.3      2.52   0.12
)";

inline const std::string visit = R"(offnominal: visit/1
name: kitchen
system: unit-a.yaml
site: {elevation: 0 ft}
stage: full
boundary: coil+fan
fan_power: 420 W
limit: 0.90
readings:
  outdoor: {dry_bulb: 91 degF, instrument: probe}
  return: {dry_bulb: 76 degF, relative_humidity: 55 %, instrument: probe}
  supply: {dry_bulb: 57.2 degF, relative_humidity: 92 %, instrument: probe}
  airflow: {value: 1120 cfm, at: return, instrument: grid}
instruments:
  probe: {dry_bulb: {limits: 0.6 delta_degF}, relative_humidity: {limits: 2 %}}
  grid: {airflow: {expanded: 7 %}}
)";

/// The same place in winter.
inline const std::string heating_visit = R"(offnominal: visit/1
name: kitchen
system: unit-a.yaml
site: {elevation: 0 ft}
mode: heating
stage: full
boundary: coil+fan
fan_power: 420 W
auxiliary_heat: off
defrost_free: true
limit: 0.90
readings:
  outdoor: {dry_bulb: 40 degF, instrument: probe}
  return: {dry_bulb: 70 degF, relative_humidity: 30 %, instrument: probe}
  supply: {dry_bulb: 98 degF, instrument: probe}
  airflow: {value: 1120 cfm, at: return, instrument: grid}
instruments:
  probe: {dry_bulb: {limits: 0.6 delta_degF}, relative_humidity: {limits: 2 %}}
  grid: {airflow: {expanded: 7 %}}
  clamp: {power: {limits: 3 %}}
)";

/// `text` with the first `from` turned into `to`.
inline std::string with(std::string text, std::string_view from, std::string_view to) {
    const std::size_t at = text.find(from);
    REQUIRE_MESSAGE(at != std::string::npos, from);
    return text.replace(at, from.size(), to);
}

/// What the InputError of `call` says.
template <class Call>
std::string complaint(const Call& call) {
    try {
        call();
    } catch (const offnominal::InputError& error) {
        return error.what();
    }
    return "no complaint";
}

inline std::string of_system(std::string_view text) {
    return complaint([&] { (void)offnominal::parse_system(text, "page.yaml", "no-folder"); });
}
inline std::string of_visit(std::string_view text) {
    return complaint([&] { (void)offnominal::parse_visit(text, "visit.yaml"); });
}
/// The same for the page or the visit above with one change.
inline std::string of_page(std::string_view from, std::string_view to) { return of_system(with(page, from, to)); }
inline std::string of_changed_visit(std::string_view from, std::string_view to) {
    return of_visit(with(visit, from, to));
}

inline const offnominal::RatingTable& table_of(const offnominal::System& system, std::string_view stage = "full") {
    return system.stage(stage, nullptr)->table;
}
inline const offnominal::PrintedPage& page_of(const offnominal::System& system, std::string_view stage = "full") {
    return table_of(system, stage).page();
}

/// The least limit within which `load` still reads, and that one below it is refused by its words.
inline std::size_t least(std::size_t offnominal::Limits::*most,
                         const std::function<void(const offnominal::Limits&)>& load) {
    offnominal::Limits limits;
    const auto complaint_at = [&](std::size_t n) {
        limits.*most = n;
        return complaint([&] { load(limits); });
    };
    std::size_t refused = 0, reads = offnominal::Limits{}.*most;
    while (reads - refused > 1) {
        const std::size_t middle = refused + (reads - refused) / 2;
        (complaint_at(middle) == "no complaint" ? reads : refused) = middle;
    }
    CHECK(complaint_at(reads) == "no complaint");
    const auto* const row = std::ranges::find(offnominal::limit_rows, most, &offnominal::LimitRow::most);
    REQUIRE(row != std::end(offnominal::limit_rows));
    const std::string said = complaint_at(refused);
    CAPTURE(said);
    CHECK(said.find("more than ") != std::string::npos);
    CHECK(said.find(std::string(row->counts)) != std::string::npos);
    return reads;
}

}  // namespace texts
