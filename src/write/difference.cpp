#include "write/difference.hpp"

#include <algorithm>
#include <cmath>

namespace offnominal::files {
namespace {

bool same(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }

bool same_extra(const ExtraColumn& a, const ExtraColumn& b) {
    return a.name == b.name && a.unit.dimension == b.unit.dimension && std::ranges::equal(a.values, b.values, same);
}

bool same_node(const PrintedNode& a, const PrintedNode& b) {
    if (a.mark != b.mark) return false;
    return (a.mark != Mark::printed && a.mark != Mark::dry) ||
           (a.total == b.total && a.sensible == b.sensible && a.power == b.power && a.bypass == b.bypass);
}

std::string difference(const PrintedPage& a, const PrintedPage& b, bool was_typed) {
    if (a.outdoor_dry_bulb != b.outdoor_dry_bulb || a.airflow != b.airflow ||
        a.entering_wet_bulb != b.entering_wet_bulb || a.relative_humidity != b.relative_humidity ||
        a.pairs != b.pairs || a.pairs_are_points != b.pairs_are_points || a.entering_dry_bulb != b.entering_dry_bulb ||
        a.pressure != b.pressure)
        return "axes";
    if (a.has_sensible != b.has_sensible || a.has_power != b.has_power || a.has_bypass != b.has_bypass ||
        a.airflow_multiplied != b.airflow_multiplied || a.infer != b.infer)
        return "columns";
    if (!std::ranges::equal(a.nodes, b.nodes, same_node)) return "nodes";
    if (!std::ranges::equal(a.extras, b.extras, same_extra)) return "extra columns";
    if (was_typed &&
        (a.total_step != b.total_step || a.sensible_step != b.sensible_step || a.power_step != b.power_step))
        return "last printed places";
    return {};
}

std::string difference(const HeatingPage& a, const HeatingPage& b, bool was_typed) {
    const auto same_heating = [](const HeatingNode& x, const HeatingNode& y) {
        return x.mark == y.mark && (x.mark != Mark::printed || (x.capacity == y.capacity && x.power == y.power));
    };
    if (a.outdoor_dry_bulb != b.outdoor_dry_bulb || a.airflow != b.airflow ||
        a.entering_dry_bulb != b.entering_dry_bulb)
        return "axes";
    if (a.has_power != b.has_power || a.airflow_multiplied != b.airflow_multiplied ||
        a.dry_bulb_multiplied != b.dry_bulb_multiplied)
        return "columns";
    if (!std::ranges::equal(a.nodes, b.nodes, same_heating)) return "nodes";
    if (!std::ranges::equal(a.extras, b.extras, same_extra)) return "extra columns";
    if (was_typed && (a.capacity_step != b.capacity_step || a.power_step != b.power_step)) return "last printed places";
    return {};
}

template <class AnyStage>
std::string difference_of_stage(const AnyStage& a, const AnyStage& b, bool was_typed) {
    if (a.name != b.name || a.speed != b.speed) return "name or speed";
    if (!same_basis(a.table.basis(), b.table.basis())) return "basis";
    return difference(a.table.page(), b.table.page(), was_typed);
}

}  // namespace

bool same_basis(const Basis& a, const Basis& b) {
    const auto rating = [](const Basis& x) { return x.certified.value_or(CertifiedRating{}); };
    return a.capacity == b.capacity && a.airflow == b.airflow && a.standard_pound == b.standard_pound &&
           a.power == b.power && a.fan.power == b.fan.power && a.fan.per_airflow == b.fan.per_airflow &&
           a.sensible_at == b.sensible_at && a.sensible_slope == b.sensible_slope && a.elevation == b.elevation &&
           a.tolerance == b.tolerance && a.sensible_ratio_of == b.sensible_ratio_of && a.rated.total == b.rated.total &&
           a.rated.sensible == b.rated.sensible && a.rated.power == b.rated.power &&
           a.certified.has_value() == b.certified.has_value() && rating(a).net_total == rating(b).net_total &&
           rating(a).airflow == rating(b).airflow && rating(a).fan_power == rating(b).fan_power;
}

bool same_basis(const HeatingBasis& a, const HeatingBasis& b) {
    return a.capacity == b.capacity && a.airflow == b.airflow && a.standard_pound == b.standard_pound &&
           a.power == b.power && a.fan.power == b.fan.power && a.fan.per_airflow == b.fan.per_airflow &&
           a.printed_at == b.printed_at && a.outdoor_relative_humidity == b.outdoor_relative_humidity &&
           a.elevation == b.elevation && a.tolerance == b.tolerance;
}

std::string difference(const Stage& a, const Stage& b, bool was_typed) { return difference_of_stage(a, b, was_typed); }
std::string difference(const HeatingStage& a, const HeatingStage& b, bool was_typed) {
    return difference_of_stage(a, b, was_typed);
}

std::string difference(const SystemParts& a, const SystemParts& b) {
    if (a.name != b.name || a.nominal != b.nominal || a.refrigerant != b.refrigerant ||
        a.source.document != b.source.document || a.source.revision != b.source.revision ||
        a.source.page != b.source.page || a.source.transcriber != b.source.transcriber ||
        a.source.checker != b.source.checker)
        return "names and source";
    const auto same_stage = [](const Stage& x, const Stage& y) { return difference(x, y, false).empty(); };
    if (!std::ranges::equal(a.cooling, b.cooling, same_stage) || a.modulation != b.modulation) return "stages";
    const auto by_frost = [](const SystemParts& parts) {
        std::vector<HeatingStage> out = parts.heating;
        std::ranges::stable_sort(out, {}, &HeatingStage::frost);
        return out;
    };
    const auto same_heating = [](const HeatingStage& x, const HeatingStage& y) {
        return x.frost == y.frost && difference(x, y, false).empty();
    };
    if (!std::ranges::equal(by_frost(a), by_frost(b), same_heating)) return "heating";
    const auto same_defrost = [](const DefrostTable::Page& x, const DefrostTable::Page& y) {
        return x.stage == y.stage && x.outdoor_dry_bulb == y.outdoor_dry_bulb &&
               x.outdoor_relative_humidity == y.outdoor_relative_humidity &&
               std::ranges::equal(x.nodes, y.nodes, [](const DefrostFactors& p, const DefrostFactors& q) {
                   return p.capacity == q.capacity && p.power == q.power && p.time_fraction == q.time_fraction;
               });
    };
    if (a.defrost.has_value() != b.defrost.has_value() ||
        (a.defrost && !std::ranges::equal(a.defrost->pages(), b.defrost->pages(), same_defrost)))
        return "heating: defrost";
    const auto same_match = [&](const Match& x, const Match& y) {
        return x.name == y.name && x.reference == y.reference && x.factors.total == y.factors.total &&
               x.factors.power == y.factors.power && x.bypass == y.bypass && x.airflow == y.airflow && x.fan == y.fan &&
               std::ranges::equal(x.stages, y.stages, same_stage);
    };
    if (!std::ranges::equal(a.matches, b.matches, same_match)) return "matches";
    const auto same_line = [](const LineTable::Row& x, const LineTable::Row& y) {
        return x.length == y.length && x.suction == y.suction && x.total == y.total && x.power == y.power &&
               x.mark == y.mark;
    };
    if (!std::ranges::equal(a.line_set.rows(), b.line_set.rows(), same_line) ||
        a.line_set.limits().least_lift != b.line_set.limits().least_lift ||
        a.line_set.limits().greatest_lift != b.line_set.limits().greatest_lift)
        return "line_set";
    if (a.reference_line.has_value() != b.reference_line.has_value() ||
        (a.reference_line && (a.reference_line->equivalent_length != b.reference_line->equivalent_length ||
                              a.reference_line->suction != b.reference_line->suction)))
        return "line_set: reference";
    const auto same_altitude = [](const AltitudeTable::Row& x, const AltitudeTable::Row& y) {
        return x.elevation == y.elevation && x.total == y.total && x.power == y.power;
    };
    if (!std::ranges::equal(a.altitude.rows(), b.altitude.rows(), same_altitude)) return "altitude";
    const auto same_blower = [](const BlowerTable::Row& x, const BlowerTable::Row& y) {
        return x.tap == y.tap && x.external_static == y.external_static && x.airflow == y.airflow &&
               x.power == y.power && x.mark == y.mark;
    };
    if (!std::ranges::equal(a.blower.rows(), b.blower.rows(), same_blower) ||
        a.blower.basis().motor != b.blower.basis().motor || a.blower.basis().includes != b.blower.basis().includes ||
        a.blower.basis().standard_air != b.blower.basis().standard_air)
        return "blower";
    return {};
}

}  // namespace offnominal::files
