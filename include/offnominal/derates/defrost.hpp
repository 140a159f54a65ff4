/// @file
/// Frost on the outdoor coil: a maker's (or Standard 205's) defrost correction, and the US regulation's frost model.
///
/// Both turn steady, frost-free heating into heating averaged over frost build-up and defrost. A page that is printed
/// integrated has that in it already, and is never corrected again.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "offnominal/answer.hpp"
#include "offnominal/detail/decimal.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/ratings/heating_table.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// What frost and defrost do to a frost-free machine.
struct DefrostFactors {
    double capacity = 1.0;       ///< factor on capacity, 0 to 1
    double power = 1.0;          ///< factor on power, not below 0
    double time_fraction = 0.0;  ///< share of the time spent defrosting, 0 to 1
};

/// What a defrost table says at one condition.
struct DefrostReading {
    DefrostFactors factors;
    Footing footing = Footing::inside;
};

/// Defrost corrections over outdoor dry bulb and outdoor relative humidity, for each stage or for all: what ANSI/ASHRAE
/// Standard 205 RS0004 calls `performance_map_defrost_correction`. Factors on *frost-free* capacity and power.
class DefrostTable {
   public:
    struct Page {
        std::string stage;                              ///< empty: for every stage without a page of its own
        std::vector<double> outdoor_dry_bulb;           ///< degC
        std::vector<double> outdoor_relative_humidity;  ///< fraction
        std::vector<DefrostFactors> nodes;              ///< row-major, relative humidity fastest
    };

    DefrostTable() = default;
    /// @throws InputError for no page, two pages of one stage, sizes that do not match, a factor or a relative humidity
    ///         out of its range.
    OFFNOMINAL_INLINE explicit DefrostTable(std::vector<Page> pages) : pages_(std::move(pages)) {
        if (pages_.empty())
            refuse("a defrost table without a page", {}, "outdoor dry bulb, relative humidity, factors");
        for (const Page& page : pages_) {
            for (const Page* other = pages_.data(); other != &page; ++other)
                if (other->stage == page.stage)
                    refuse("two defrost corrections for one stage", page.stage, "one for each stage, or one for all");
            grids_.push_back(built(page));
        }
    }

    [[nodiscard]] const std::vector<Page>& pages() const noexcept { return pages_; }
    /// Whether it has a page for a stage.
    [[nodiscard]] bool holds(std::string_view stage) const noexcept {
        for (const Page& page : pages_)
            if (page.stage.empty() || page.stage == stage) return true;
        return false;
    }

    /// Factors for a stage at an outdoor dry bulb (degC) and an outdoor relative humidity (fraction), or why there are
    /// none: Why::unknown_stage, or what the grid says.
    [[nodiscard]] OFFNOMINAL_INLINE Answer<DefrostReading> at(std::string_view stage, double odb, double rh,
                                                              detail::Edges outside = Outside::refuse) const noexcept {
        std::size_t found = pages_.size();
        for (std::size_t i = 0; i < pages_.size(); ++i)
            if (pages_[i].stage == stage || (pages_[i].stage.empty() && found == pages_.size())) found = i;
        if (found == pages_.size()) return Reason{Why::unknown_stage, About::stage, -1, -1, 0, 0, 0};
        const Grid& grid = grids_[found];
        const std::array<double, 2> point{detail::snapped(odb, grid.breakpoints(0)),
                                          detail::snapped(rh, grid.breakpoints(1))};
        const auto value = detail::read_grid(grid, point, outside);
        if (!value) {
            Reason reason = value.reason();
            if (reason.about == About::axis)
                reason.about = reason.axis == 0 ? About::outdoor_dry_bulb : About::outdoor_relative_humidity;
            return reason;
        }
        return DefrostReading{{value->value[0], value->value[1], value->value[2]}, value->footing};
    }

   private:
    [[noreturn]] static void refuse(const std::string& problem, const std::string& text, const std::string& accepted) {
        detail::raise(InputError({}, problem, text, accepted));
    }
    OFFNOMINAL_INLINE static Grid built(const Page& page) {
        const std::size_t expected = page.outdoor_dry_bulb.size() * page.outdoor_relative_humidity.size();
        if (page.nodes.size() != expected)
            refuse("the defrost table has " + std::to_string(page.nodes.size()) + " nodes", {},
                   std::to_string(expected) + " nodes, one for each combination of the axes");
        const auto check = [](const char* what, double value, double greatest, const char* accepted) {
            if (!(value >= 0.0 && value <= greatest)) refuse(what, detail::number_text(value), accepted);
        };
        for (const double rh : page.outdoor_relative_humidity)
            check("an outdoor relative humidity", rh, 1.0, "a fraction from 0 to 1");
        std::vector<double> values;
        for (const DefrostFactors& node : page.nodes) {
            check("a defrost factor on capacity", node.capacity, 1.0, "a factor from 0 to 1");
            check("a defrost factor on power", node.power, 10.0, "a factor, such as 0.985");
            check("a share of the time spent defrosting", node.time_fraction, 1.0, "a fraction from 0 to 1");
            for (const double value : {node.capacity, node.power, node.time_fraction}) values.push_back(value);
        }
        return Grid({Axis("outdoor dry bulb", page.outdoor_dry_bulb),
                     Axis("outdoor relative humidity", page.outdoor_relative_humidity)},
                    std::move(values), 3);
    }

    std::vector<Page> pages_;
    std::vector<Grid> grids_;
};

/// Heating at one outdoor dry bulb.
struct HeatingPoint {
    Power capacity;
    Power power;
    Footing footing = Footing::inside;

    /// Coefficient of performance; 0 where there is no power.
    [[nodiscard]] OFFNOMINAL_INLINE double cop() const noexcept {
        return power.si > 0.0 ? capacity.si / power.si : 0.0;
    }
};

namespace derates {
inline namespace OFFNOMINAL_ISA {

namespace frost {
inline constexpr double kink = units::degF.to_si(17.0);   ///< degC, test H3
inline constexpr double frost = units::degF.to_si(35.0);  ///< degC, test H2, frost accumulation
inline constexpr double step = units::degF.to_si(45.0);   ///< degC
inline constexpr double mild = units::degF.to_si(47.0);   ///< degC, test H1
/// Frost's factors at 35 degF on the steady line.
inline constexpr double capacity_factor = 0.90;
inline constexpr double power_factor = 0.985;
}  // namespace frost

/// Heating of a single-speed heat pump by the frost model of the US regulation, from its steady points at 17 and 47
/// degF.
///
/// Instantaneous: the line through both. Integrated: at 35 degF
///     Q35 = 0.90 [Q17 + 0.6 (Q47 - Q17)],   P35 = 0.985 [P17 + 0.6 (P47 - P17)],
/// between 17 and 45 degF the line through 17 and 35 degF, elsewhere the steady line. The **step at 45 degF** and the
/// kink at 17 degF are the model's own and are kept: search it by bracketing, not by slopes.
///
/// Source: 10 CFR 430 subpart B appendix M1 (and AHRI 210/240), from memory; the text could not be re-read.
///
/// @param kind     Frost::instantaneous or Frost::integrated; Frost::unknown is Why::not_given.
/// @param outside  below 17 and above 47 degF the regulation continues the steady line, which is an extrapolation:
///                 Why::outside unless asked for by `Outside::extend`, and then Footing::extended.
/// @return capacity and power; Why::not_finite for a point or a dry bulb that is no number, Why::no_output where the
///         continued line leaves no capacity.
[[nodiscard]] inline Answer<HeatingPoint> regulatory_frost(const HeatingPoint& at_17, const HeatingPoint& at_47,
                                                           Temperature outdoor, Frost kind,
                                                           Outside outside = Outside::refuse) noexcept {
    const double t = outdoor.si;
    if (kind == Frost::unknown) return Reason{Why::not_given, About::frost, -1, -1, 0, 0, 0};
    if (!real::is_finite(t)) return Reason{Why::not_finite, About::outdoor_dry_bulb, -1, -1, 0, 0, 0};
    for (const double x : {at_17.capacity.si, at_17.power.si, at_47.capacity.si, at_47.power.si})
        if (!real::is_finite(x)) return Reason{Why::not_finite, About::heating_capacity, -1, -1, 0, 0, 0};
    const bool beyond = t < frost::kink || t > frost::mild;
    if (beyond && outside != Outside::extend)
        return Reason{Why::outside, About::outdoor_dry_bulb, -1, -1, t, frost::kink, frost::mild};

    const auto line = [t](double low, double high, double end) noexcept {
        return t == end ? high : low + (t - frost::kink) / (end - frost::kink) * (high - low);
    };
    const bool frosts = kind == Frost::integrated && t > frost::kink && t < frost::step;
    const auto value = [&](double low, double high, double factor) noexcept {
        return frosts ? line(low, factor * (low + 0.6 * (high - low)), frost::frost) : line(low, high, frost::mild);
    };
    const HeatingPoint out{Power{value(at_17.capacity.si, at_47.capacity.si, frost::capacity_factor)},
                           Power{value(at_17.power.si, at_47.power.si, frost::power_factor)},
                           beyond ? Footing::extended : Footing::inside};
    if (!(out.capacity.si > 0.0) || !(out.power.si > 0.0))
        return Reason{Why::no_output, About::heating_capacity, -1, -1, out.capacity.si, 0, 0};
    return out;
}

/// Whether coils frost at this outdoor air, by that model.
[[nodiscard]] inline bool frosts(Temperature outdoor) noexcept {
    return outdoor.si > frost::kink && outdoor.si < frost::step;
}

/// What that model says of any machine: integrated over instantaneous heating, of one that at 17 degF gives 0.60 of its
/// capacity at 47 degF for 0.84 of the power. At 35 degF every machine has 0.90; between 0.4 and 0.8 instead of 0.60
/// the factor moves by less than 0.02.
[[nodiscard]] inline DefrostFactors regulatory_factors(Temperature outdoor) noexcept {
    if (!frosts(outdoor)) return {};
    constexpr HeatingPoint at_17{Power{0.60}, Power{0.84}}, at_47{Power{1.0}, Power{1.0}};
    const auto steady = regulatory_frost(at_17, at_47, outdoor, Frost::instantaneous),
               frosted = regulatory_frost(at_17, at_47, outdoor, Frost::integrated);
    if (!steady || !frosted) return {};
    return {frosted->capacity.si / steady->capacity.si, frosted->power.si / steady->power.si, 0.0};
}

}  // namespace OFFNOMINAL_ISA
}  // namespace derates

}  // namespace offnominal
OFFNOMINAL_EXACT_END
