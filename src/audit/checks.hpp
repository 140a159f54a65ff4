/// @file
/// What an audit holds a page against besides its own smoothness: signs, sizes, the air that leaves, dryness. See
/// `auditor.hpp` for the order.
#pragma once

#include "auditor.hpp"

namespace offnominal::detail {

/// A cell that its surface expects within so many spreads is not accused for less than a certainty.
inline constexpr double doubtful = 3.3;

inline void PageAuditor::check_positive() {
    for (AuditColumn& c : columns_) {
        const bool may_be_negative = is_extra(c) && c.unit.dimension != Dimension::efficiency;
        for (std::size_t n = 0; n < c.values.size() && !may_be_negative; ++n) {
            if (!c.has(n) || (c.values[n] > 0.0 && c.values[n] < most_counted)) continue;
            c.failed[n].add(Check::positive);
            c.weight[n] = 1000.0;  // no machine has such a number
        }
    }
}

/// A node that says dry prints two numbers: the one further from what is implied is wrong; if nothing is, either.
inline void PageAuditor::accuse_dry(AuditColumn& total, AuditColumn& sensible, std::size_t n) {
    const Judged t = total.judged[n];
    Judged s{true, total.values[n], sensible.values[n] - total.values[n], total.step};
    if (t.known) s = {true, t.implied, sensible.values[n] - t.implied, t.spread};
    const bool total_wrong = t.known && std::abs(t.deviation) > std::abs(s.deviation);
    if (total_wrong || !t.known) total.failed[n].add(Check::dryness);
    if (!total_wrong && total.failed[n] == Checks(Check::neighbours)) total.failed[n] = {};
    if (!total_wrong) overrule(sensible, n, s, Check::dryness);
    AuditColumn& accused = total_wrong ? total : sensible;
    accused.weight[n] = std::max(accused.weight[n], 4.0 * Surface::notable_spreads);
}

/// Dry exactly where the wet surfaces cross: a row marked dry among wet ones, or wet among dry ones.
inline void PageAuditor::check_dryness() {
    AuditColumn &total = columns_.front(), *sensible = column("sensible");
    if (sensible == nullptr) return;
    for (const std::size_t n : dry_) {
        if (!total.has(n) || !sensible->has(n)) continue;
        if (total.values[n] != sensible->values[n]) {
            accuse_dry(total, *sensible, n);
            continue;
        }
        const Judged t = wet_total_.judge(n, total.values[n]), s = wet_sensible_.judge(n, sensible->values[n]);
        if (!t.known || !s.known) continue;
        const double least = std::max(Surface::notable_spreads * std::hypot(t.spread, s.spread), 3.0 * total.step);
        if (s.implied - t.implied > -least) continue;
        overrule(*sensible, n, s, Check::dryness);
        if (wet_total_.notable(t)) overrule(total, n, t, Check::dryness);
    }
    for (const std::size_t n : wet_) {
        if (!total.notable(n) || !sensible->notable(n)) continue;
        const Judged t = wet_total_.judge(n, total.values[n]), s = wet_sensible_.judge(n, sensible->values[n]);
        const Judged d = dry_total_.judge(n, total.values[n]);
        if (!d.known || dry_total_.notable(d) || !(s.implied - t.implied > 3.0 * total.step)) continue;
        total.failed[n] = {};  // fine as the total of a dry node
        total.judged[n] = d;
        sensible->failed[n].add(Check::dryness);
        sensible->judged[n] = {true, d.implied, sensible->values[n] - d.implied, d.spread};
    }
}

inline void PageAuditor::check_trends() {
    if (!slipped_.empty()) return;
    using enum PageAxis;
    const bool path = humidity_axis(page_) == HumidityAxis::pairs;
    AuditColumn& total = columns_.front();
    check_trend(total, outdoor_dry_bulb, of_ == PageOf::cooling ? -1.0 : 1.0, false);
    check_trend(total, airflow, 1.0, false);
    if (of_ != PageOf::cooling) return;
    if (!path) check_trend(total, humidity, 1.0, false);
    if (AuditColumn* power = column("power")) check_trend(*power, outdoor_dry_bulb, 1.0, false);
    if (AuditColumn* sensible = column("sensible")) {
        check_trend(*sensible, airflow, 1.0, true);
        if (!path) check_trend(*sensible, humidity, -1.0, true);
        check_trend(*sensible, entering_dry_bulb, 1.0, false);
    }
}

/// Neighbours along an axis that change the wrong way by more than their roundings: the one that stands off further is
/// accused. If many do, the page is what it is.
inline void PageAuditor::check_trend(AuditColumn& c, PageAxis axis, double sign, bool wet_only) {
    std::vector<std::pair<std::size_t, double>> accused;
    std::size_t pairs = 0;
    for (std::size_t n = 0; n < shape_.nodes(); ++n) {
        const std::size_t i = shape_.index(n, axis);
        if (i == 0 || !shape_.has(axis)) continue;
        const std::size_t before = shape_.moved(n, axis, i - 1);
        if (!c.has(n) || !c.has(before)) continue;
        if (wet_only && (page_.nodes[n].mark == Mark::dry || page_.nodes[before].mark == Mark::dry)) continue;
        ++pairs;
        const double wrong = -sign * (c.values[n] - c.values[before]) / c.step;
        if (wrong > 1.5) accused.emplace_back(c.score(n) >= c.score(before) ? n : before, wrong);
    }
    if (accused.size() * 8 > pairs && accused.size() > 2) return;
    for (const auto& [n, steps] : accused) {
        if (c.judged[n].known && c.judged[n].score() < doubtful) continue;  // rough, but where the others expect it
        c.failed[n].add(Check::trend);
        c.weight[n] = std::max(c.weight[n], std::min(steps, Surface::notable_spreads));
    }
}

inline void PageAuditor::accuse(const std::vector<std::size_t>& nodes, Check check) {
    AuditColumn &total = columns_.front(), *sensible = column("sensible");
    if (nodes.size() * 8 > wet_.size() && nodes.size() > 2) return;  // the page's own way, or its basis: a question
    for (const std::size_t n : nodes) {
        AuditColumn& c = total.notable(n) && total.score(n) > sensible->score(n) ? total : *sensible;
        if (c.judged[n].known && c.judged[n].score() < doubtful)
            continue;  // where the others expect it: the page's own way
        c.failed[n].add(check);
        c.weight[n] = std::max(c.weight[n], Surface::notable_spreads);
    }
}

inline void PageAuditor::check_sensible_ratio() {
    const AuditColumn &total = columns_.front(), *sensible = column("sensible");
    if (sensible == nullptr || !slipped_.empty()) return;
    std::vector<std::size_t> wrong;
    for (const std::size_t n : wet_)
        if (sensible->values[n] >= total.values[n] || sensible->values[n] < 0.4 * total.values[n]) wrong.push_back(n);
    accuse(wrong, Check::sensible_ratio);
}

/// No air leaves past saturation, and a wet coil leaves it moist (75 % and more; common practice, no source), whichever
/// way the numbers were rounded.
inline void PageAuditor::check_leaving_air() {
    const AuditColumn &total = columns_.front(), *sensible = column("sensible");
    if (sensible == nullptr || !slipped_.empty()) return;
    std::vector<std::size_t> past, arid;
    for (const std::size_t n : wet_) {
        const double T = total.values[n], S = sensible->values[n], dT = 0.5 * total.step, dS = 0.5 * sensible->step;
        const auto least = air_.leaving_humidity(n, T + dT, S - dS), most = air_.leaving_humidity(n, T - dT, S + dS);
        if (!least || !most) continue;
        if (std::min(*least, *most) > 1.0) past.push_back(n);
        if (std::max(*least, *most) < 0.75 && S < 0.95 * T) arid.push_back(n);
    }
    accuse(past, Check::leaving_air);
    accuse(arid, Check::leaving_air);
}

/// A column whose typical size only another unit explains: total against airflow, power and sensible against total.
inline void PageAuditor::check_column_units() {
    const auto typical = [&](const AuditColumn& c, auto over) {
        std::vector<double> ratios;
        for (std::size_t n = 0; n < c.values.size(); ++n)
            if (c.has(n) && over(n) > 0.0) ratios.push_back(c.values[n] / over(n));
        if (ratios.empty()) return 0.0;
        const auto middle = ratios.begin() + static_cast<std::ptrdiff_t>(ratios.size() / 2);
        std::nth_element(ratios.begin(), middle, ratios.end());
        return *middle;
    };
    // Outside the wide bounds, and inside the narrow ones with a factor (common practice, no source).
    const auto check = [&](const AuditColumn& c, double ratio, double least, double greatest, double low, double high) {
        if (ratio <= 0.0 || (ratio >= least && ratio <= greatest)) return;
        for (const double factor : {3.412142, 12.0, 1000.0, 10.0, 3412.142})
            for (const double f : {factor, 1.0 / factor})
                if (ratio * f >= low && ratio * f <= high) {
                    slipped_.emplace_back(&c, f);
                    return;
                }
    };
    const AuditColumn& total = columns_.front();
    constexpr double per_flow = units::Btu_h.to_si(1.0) / units::cfm.to_si(1.0);
    check(total, typical(total, [&](std::size_t n) { return per_flow * shape_.value(n, PageAxis::airflow); }), 14.0,
          75.0, 22.0, 50.0);
    if (!slipped_.empty()) return;  // nothing can be held against it
    const auto total_at = [&](std::size_t n) { return total.values[n]; };
    if (const AuditColumn* c = column("power")) check(*c, typical(*c, total_at), 0.08, 0.85, 0.14, 0.6);
    if (const AuditColumn* c = column("sensible")) check(*c, typical(*c, total_at), 0.4, 1.0, 0.5, 1.0);
}

}  // namespace offnominal::detail
