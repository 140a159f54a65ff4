/// @file
/// What a printed page must be, so that the rest can trust it. Runs once, when a table is built; may throw.
#pragma once

#include <cstdint>
#include <string>

#include "offnominal/detail/real.hpp"
#include "offnominal/ratings/shape.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// Checks one page against its own basis.
class PageCheck {
   public:
    PageCheck(const Basis& basis, const PrintedPage& page, const PageShape& shape)
        : basis_(basis), page_(page), shape_(shape) {}

    /// @throws InputError
    void run() const {
        check_axes();
        for (std::size_t n = 0; n < page_.nodes.size(); ++n)
            if (has_number(page_.nodes[n])) check_node(n);
        check_basis();
        if (humidity_axis(page_) != HumidityAxis::pairs) check_dry_below_wet();
        check_dry_bulbs();
        check_extras();
    }

    [[nodiscard]] static bool has_number(const PrintedNode& node) noexcept {
        return node.mark == Mark::printed || node.mark == Mark::dry;
    }

   private:
    [[noreturn]] void refuse_node(std::size_t node, const std::string& problem, const std::string& accepted) const {
        detail::raise(
            InputError(node < page_.places.size() ? page_.places[node] : InputError::Place{}, problem, {}, accepted));
    }
    [[noreturn]] static void refuse(const std::string& problem, const std::string& text, const std::string& accepted) {
        detail::raise(InputError({}, problem, text, accepted));
    }

    void check_axes() const;
    void check_node(std::size_t n) const;
    void check_units(std::size_t n) const;
    void check_basis() const;
    void check_dry_below_wet() const;
    void check_dry_bulbs() const;
    void check_extras() const;

    const Basis& basis_;
    const PrintedPage& page_;
    const PageShape& shape_;
};

inline void PageCheck::check_axes() const {
    const int humidities =
        int{!page_.entering_wet_bulb.empty()} + int{!page_.relative_humidity.empty()} + int{!page_.pairs.empty()};
    if (humidities > 1)
        refuse("two humidity axes", {}, "one of entering wet bulb, relative humidity, pairs of dry and wet bulb");
    if (page_.outdoor_dry_bulb.empty() || page_.airflow.empty() || humidities == 0)
        refuse("an axis has no breakpoints", {}, "outdoor dry bulb, airflow and a humidity axis, one value or more");
    for (const PageAxis axis : {PageAxis::entering_dry_bulb, PageAxis::pressure})
        if (shape_.breakpoints(axis).size() == 1)
            refuse(axis == PageAxis::pressure ? "one station pressure only" : "one entering dry bulb only", {},
                   axis == PageAxis::pressure ? "the elevation of the page, or two pressures or more"
                                              : "sensible_at, or two entering dry bulbs or more");
    if (!page_.pairs.empty() && shape_.has(PageAxis::entering_dry_bulb))
        refuse("pairs of dry and wet bulb beside an entering-dry-bulb axis", {}, "one of them");
    if (!page_.relative_humidity.empty() && !shape_.has(PageAxis::entering_dry_bulb))
        refuse("relative humidities without an entering-dry-bulb axis", {},
               "entering dry bulbs, or wet bulbs in place of the relative humidities");
    for (const double rh : page_.relative_humidity)
        if (!(rh >= 0.0 && rh <= 1.0))
            refuse("a relative humidity of the axis", std::to_string(rh), "a fraction from 0 to 1 (0.55, not 55)");
    for (const double p : page_.pressure)
        if (!(p >= 50e3 && p <= 110e3))
            refuse("a station pressure of the axis, in Pa", std::to_string(p), "50000 to 110000 Pa");
    for (std::size_t i = 0; i < page_.pairs.size(); ++i) {
        const IndoorPair& pair = page_.pairs[i];
        if (!real::is_finite(pair.dry_bulb) || !real::is_finite(pair.wet_bulb) || pair.wet_bulb > pair.dry_bulb)
            refuse("a pair whose wet bulb is above its dry bulb", std::to_string(pair.wet_bulb),
                   "dry bulb and wet bulb, such as 75/63 degF");
        for (std::size_t j = 0; j < i; ++j)
            if (pair == page_.pairs[j]) refuse("a pair of dry and wet bulb given twice", {}, "each pair once");
    }
    if (page_.nodes.size() != shape_.nodes())
        refuse("the page has " + std::to_string(page_.nodes.size()) + " nodes", {},
               std::to_string(shape_.nodes()) + " nodes, one for each combination of the axes");
}

inline void PageCheck::check_node(std::size_t n) const {
    const PrintedNode& node = page_.nodes[n];
    if (!(node.total > 0.0))
        refuse_node(n, "total capacity must be positive", "a capacity, or - where the page is blank");
    if (page_.has_sensible && !(node.sensible > 0.0))
        refuse_node(n, "sensible capacity must be positive", "a capacity");
    if (page_.has_sensible && node.sensible > node.total)
        refuse_node(n, "sensible capacity above total capacity", "sensible at most total");
    if (page_.has_sensible && (node.mark == Mark::dry) != (node.sensible == node.total))
        refuse_node(n, "a node is dry exactly where sensible equals total", "30.8 30.8d, or a sensible below total");
    if (page_.has_power && !(node.power > 0.0)) refuse_node(n, "power must be positive", "a power");
    if (page_.has_bypass && !(node.bypass > 0.0 && node.bypass < 1.0))
        refuse_node(n, "bypass factor must lie between 0 and 1", "0.03 to 0.30 for usual coils");
    // Past saturation by more than the tolerance of 0.2 degF there is no such air.
    if (shape_.has(PageAxis::entering_dry_bulb) && humidity_axis(page_) == HumidityAxis::wet_bulb &&
        shape_.value(n, PageAxis::humidity) > shape_.value(n, PageAxis::entering_dry_bulb) + 0.2 / 1.8)
        refuse_node(n, "a number where the entering wet bulb is above the entering dry bulb",
                    "- there: no air is wetter than saturated");
    check_units(n);
}

/// Slips of unit or of a decimal place (3.412, 12, 1000, 10) that no air conditioner could explain. Wide bounds, for
/// splits and small packaged units (common practice, no source).
inline void PageCheck::check_units(std::size_t n) const {
    // A map of relative humidities is a full product of its axes: it holds a slow speed at the greatest airflow too.
    const double least = units::Btu_h.to_si(page_.relative_humidity.empty() ? 10.0 : 3.0) / units::cfm.to_si(1.0);
    constexpr double greatest = units::Btu_h.to_si(150.0) / units::cfm.to_si(1.0);
    const PrintedNode& node = page_.nodes[n];
    const double flow = shape_.value(n, PageAxis::airflow);
    if (node.total < least * flow || node.total > greatest * flow)
        refuse_node(n, "total capacity does not fit the airflow: wrong unit or a digit too many or too few?",
                    "10 to 150 Btu/h per cfm, such as 35 MBh at 1000 scfm");
    if (page_.has_power && (node.power < 0.02 * node.total || node.power > node.total))
        refuse_node(n, "power does not fit the capacity: wrong unit or a digit too many or too few?",
                    "2 to 100 % of total capacity in the same unit, such as 2.45 kW for 35 MBh");
}

inline void PageCheck::check_basis() const {
    if (basis_.capacity == CapacityBasis::net && basis_.fan.power.si == 0.0 && basis_.fan.per_airflow.si == 0.0)
        refuse("a net table must name its fan", {}, "fan: 365 W per 1000 scfm, or fan: 420 W");
    const bool own_dry_bulbs = shape_.has(PageAxis::entering_dry_bulb) || !page_.pairs.empty();
    if (page_.has_sensible && !basis_.sensible_at && !own_dry_bulbs)
        refuse("the sensible column needs the entering dry bulb it is printed for", {}, "sensible_at: 80 degF");
    if (page_.has_sensible && !own_dry_bulbs && basis_.sensible_at->si < page_.entering_wet_bulb.front())
        refuse("the sensible column is printed for an entering dry bulb below every entering wet bulb", {},
               "sensible_at: 80 degF");
    if (basis_.elevation && !(basis_.elevation->si >= -500.0 && basis_.elevation->si <= 5000.0))
        refuse("the page's elevation", std::to_string(basis_.elevation->si), "-500 to 5000 m");
    if (basis_.sensible_at && !(basis_.sensible_at->si >= 10.0 && basis_.sensible_at->si <= 50.0))
        refuse("the entering dry bulb of the sensible column", std::to_string(basis_.sensible_at->si),
               "10 to 50 degC, such as 80 degF");
    if (basis_.tolerance && !(*basis_.tolerance >= 0.0 && *basis_.tolerance < 0.5))
        refuse("the maker's tolerance", std::to_string(*basis_.tolerance), "0 to 50 %, such as 5 %");
    if (!(basis_.fan.power.si >= 0.0 && basis_.fan.per_airflow.si >= 0.0))
        refuse("the table's fan", std::to_string(basis_.fan.power.si + basis_.fan.per_airflow.si),
               "a power above zero");
    if (basis_.sensible_slope) {
        const double slope = units::Btu_h_cfm_degF.from_si(basis_.sensible_slope->si);
        if (!(slope >= 1.0 && slope <= 1.2))
            refuse("a sensible slope no air has", std::to_string(slope), "1.08 to 1.10 Btu/h/cfm/delta_degF");
    }
}

inline void PageCheck::check_dry_below_wet() const {
    const std::size_t stride = shape_.stride(PageAxis::humidity), size = shape_.size(PageAxis::humidity);
    for (std::size_t n = 0; n < page_.nodes.size(); ++n) {
        if (page_.nodes[n].mark != Mark::dry) continue;
        for (std::size_t k = 0, low = n - shape_.index(n, PageAxis::humidity) * stride; k < size; ++k, low += stride)
            if (low < n && page_.nodes[low].mark == Mark::printed)
                refuse_node(n, "dry at a higher humidity than a wet node of the same line",
                            "dry nodes below the wet ones");
    }
}

/// At one wet bulb a wet coil takes more sensible from hotter air: else two columns stand in each other's place.
inline void PageCheck::check_dry_bulbs() const {
    if (!page_.has_sensible || humidity_axis(page_) != HumidityAxis::wet_bulb) return;
    const std::size_t stride = shape_.stride(PageAxis::entering_dry_bulb);
    for (std::size_t n = 0; n < page_.nodes.size(); ++n) {
        if (shape_.index(n, PageAxis::entering_dry_bulb) == 0) continue;
        const PrintedNode &below = page_.nodes[n - stride], &here = page_.nodes[n];
        if (has_number(below) && has_number(here) && here.mark == Mark::printed && here.sensible < below.sensible)
            refuse_node(n, "sensible falls as entering dry bulb rises: columns swapped, or a digit?",
                        "more sensible at a higher entering dry bulb");
    }
}

inline void PageCheck::check_extras() const {
    for (const ExtraColumn& extra : page_.extras) {
        if (extra.values.size() != page_.nodes.size())
            refuse("column '" + extra.name + "' has " + std::to_string(extra.values.size()) + " values", {},
                   "one for each node, NaN where blank");
        for (const double v : extra.values) {
            if (extra.unit.dimension == Dimension::gauge_pressure && v < -101325.0)
                refuse("column '" + extra.name + "' holds a gauge pressure below vacuum",
                       std::to_string(extra.unit.from_si(v)), "-14.7 psig (-101.325 kPag) or more");
            if (real::is_infinite(v))
                refuse("column '" + extra.name + "' holds an infinity", {}, "finite numbers, or NaN");
        }
    }
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
