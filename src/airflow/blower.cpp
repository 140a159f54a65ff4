#include "offnominal/airflow/blower.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace offnominal {

double fan_density_ratio(const air::State& at) noexcept {
    return air::si::density_moist(at.dry_bulb.si, at.humidity_ratio.si, at.pressure.si) / air::si::standard_density;
}

BlowerTable::BlowerTable(std::vector<Row> rows, Basis basis) : basis_(std::move(basis)) {
    if (rows.empty()) throw InputError({}, "the blower table has no rows", {}, "tap, static, airflow, power");
    std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) {
        return a.tap != b.tap ? a.tap < b.tap : a.external_static.si < b.external_static.si;
    });
    for (std::size_t first = 0, last = 0; first < rows.size(); first = last) {
        std::vector<double> pressures, values;
        std::vector<Mark> marks;
        for (; last < rows.size() && rows[last].tap == rows[first].tap; ++last) {
            const Row& row = rows[last];
            check(row, pressures);
            pressures.push_back(row.external_static.si);
            values.insert(values.end(), {row.airflow.si, row.power.si});
            marks.push_back(row.mark);
        }
        taps_.push_back({rows[first].tap, Grid({Axis("external static", pressures)}, values, 2, marks)});
    }
}

std::vector<std::string> BlowerTable::taps() const {
    std::vector<std::string> out;
    for (const Tap& tap : taps_) out.push_back(tap.name);
    return out;
}

std::vector<BlowerTable::Row> BlowerTable::rows() const {
    std::vector<Row> out;
    for (const Tap& tap : taps_)
        for (std::size_t i = 0; i < tap.rows.nodes(); ++i) {
            Row row{tap.name, Pressure{tap.rows.breakpoints(0)[i]}, {}, {}, tap.rows.mark(i)};
            if (row.mark == Mark::printed) {
                row.airflow.si = tap.rows.value(i, 0);
                row.power.si = tap.rows.value(i, 1);
            }
            out.push_back(std::move(row));
        }
    return out;
}

Answer<BlowerPoint> BlowerTable::at(std::string_view tap, Pressure external_static,
                                    double density_ratio) const noexcept {
    const double sigma = density_ratio;
    const Tap* found_tap = find(tap);
    if (found_tap == nullptr) return Reason{Why::not_given, About::external_static, -1, -1, 0, 0, 0};
    if (!std::isfinite(external_static.si) || !std::isfinite(sigma) || !(sigma > 0.0))
        return Reason{Why::not_finite, About::external_static, -1, -1, 0, 0, 0};
    const double point[1] = {external_static.si / sigma};
    const auto found = found_tap->rows.at(point);
    if (!found) {
        Reason reason = found.reason();
        reason.about = About::external_static;
        if (reason.why == Why::outside) {
            reason.value *= sigma;
            reason.lower *= sigma;
            reason.upper *= sigma;
        }
        return reason;
    }
    return BlowerPoint{Airflow{found->value[0]}, Power{found->value[1] * sigma},
                       sigma != 1.0 && basis_.motor != BlowerMotor::fixed_speed};
}

const BlowerTable::Tap* BlowerTable::find(std::string_view name) const noexcept {
    for (const Tap& tap : taps_)
        if (tap.name == name) return &tap;
    return nullptr;
}

void BlowerTable::check(const Row& row, const std::vector<double>& pressures) {
    const auto refuse = [&](const char* problem, const char* accepted) {
        throw InputError({}, std::string("tap ") + row.tap + " of the blower table: " + problem, {}, accepted);
    };
    if (!(row.external_static.si >= 0.0)) refuse("an external static pressure below zero", "zero or more");
    if (!pressures.empty() && pressures.back() == row.external_static.si)
        refuse("two rows for the same external static pressure", "one row");
    if (row.mark != Mark::printed) return;
    if (!(row.airflow.si > 0.0)) refuse("an airflow that is not positive", "an airflow, or - where the page is blank");
    if (!(row.power.si > 0.0)) refuse("a power that is not positive", "a power, or - where the page is blank");
}

}  // namespace offnominal
