#include "offnominal/choose.hpp"

#include <algorithm>
#include <array>
#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <numbers>
#include <tuple>
#include <utility>

#include "offnominal/airflow/blower.hpp"
#include "offnominal/derates/defrost.hpp"
#include "offnominal/look_up.hpp"
#include "ranges.hpp"

namespace offnominal {
namespace {

/// Loads that were checked, all three.
struct Loads {
    double total, sensible, latent;
};

void check_given(double value, const char* what, const char* accepted) {
    if (!std::isfinite(value)) throw InputError({}, std::string(what) + " is missing", {}, accepted);
}

Loads loads_of(const DesignLoad& load, UnitSystem units) {
    const auto of = [units](double si) { return shown(si, About::total_capacity, units); };
    double total = load.total.si, sensible = load.sensible.si, latent = load.latent.si;
    for (const auto& [value, what] : {std::pair{total, "total"}, {sensible, "sensible"}, {latent, "latent"}})
        if (!std::isnan(value) && !(value >= 0.0 && std::isfinite(value)))
            throw InputError({}, std::string("load: ") + what, of(value), "a power, zero or more");
    const int given = !std::isnan(total) + !std::isnan(sensible) + !std::isnan(latent);
    if (given < 2)
        throw InputError({}, "load: two of total, sensible and latent are needed", {}, "such as total and sensible");
    if (std::isnan(total)) total = sensible + latent;
    if (std::isnan(sensible)) sensible = total - latent;
    if (std::isnan(latent)) latent = total - sensible;
    constexpr double rounding = 0.01;  // loads are printed in whole hundreds
    if (std::abs(total - sensible - latent) > rounding * total || sensible < 0.0 || latent < 0.0)
        throw InputError({}, "load: total, sensible and latent do not add up",
                         of(total) + ", " + of(sensible) + ", " + of(latent), "total = sensible + latent, within 1 %");
    // Less is a slip, and what a machine has over it no number to reckon with.
    if (!(total >= 1.0 && sensible >= 1.0))
        throw InputError({}, "load: nothing to cool", of(std::min(total, sensible)),
                         "total and sensible of 1 W or more");
    return {total, sensible, latent};
}

void check_heating(const DesignLoad& load, UnitSystem units) {
    const auto degrees = [units](Temperature t) { return shown(t.si, About::outdoor_dry_bulb, units); };
    if (std::isnan(load.heating.si)) {
        if (!std::isnan(load.heating_outdoor_dry_bulb.si))
            throw InputError({}, "outdoor dry bulb at design, heating, without a heating load",
                             degrees(load.heating_outdoor_dry_bulb), "both, or neither");
        return;
    }
    if (!(load.heating.si > 0.0 && std::isfinite(load.heating.si)))
        throw InputError({}, "heating load", shown(load.heating.si, About::heating_capacity, units), "above 0");
    check_given(load.heating_outdoor_dry_bulb.si, "outdoor dry bulb at design, heating", "a temperature");
    check_given(load.heating_entering_dry_bulb.si, "entering dry bulb at design, heating", "a temperature");
    if (!(load.no_heating_load.si > load.heating_outdoor_dry_bulb.si && std::isfinite(load.no_heating_load.si)))
        throw InputError({}, "no heating load at", degrees(load.no_heating_load),
                         "warmer than the outdoor dry bulb at design, heating");
    if (!known(load.heating_frost))
        throw InputError({}, "heating: frost", std::to_string(static_cast<int>(load.heating_frost)),
                         "instantaneous or integrated");
}

void check(const ChooseBy& by) {
    if (by.external_static && !std::isfinite(by.external_static->si))
        throw InputError({}, "external static pressure", brief(by.external_static->si), "a finite number");
    if (by.external_static && !by.airflows.empty())
        throw InputError({}, "airflow beside an external static pressure, which tells it by the blower table", {},
                         "one of the two");
    for (const StandardAirflow& flow : by.airflows)
        if (!(flow.si > 0.0 && std::isfinite(flow.si)))
            throw InputError({}, "airflow", shown(flow.si, About::standard_airflow, by.units), "above 0");
    if (!(by.fan_power_per_airflow >= 0.0 && std::isfinite(by.fan_power_per_airflow)))
        throw InputError({}, "fan power per airflow", brief(by.fan_power_per_airflow), "zero or more");
}

MachineKind kind_of(const System& system, const Match* match) noexcept {
    if (system.parts().modulation != Modulation::staged) return MachineKind::variable_speed;
    return system.stages(match).size() > 1 ? MachineKind::two_speed : MachineKind::single_speed;
}

/// One system and match at the design point.
class Candidate {
   public:
    Candidate(const System& system, const DesignLoad& load, const ChooseBy& by, const Loads& loads, std::size_t number,
              std::int16_t match)
        : system_(system),
          load_(load),
          by_(by),
          loads_(loads),
          number_(number),
          index_(match),
          match_(match < 0 ? nullptr : &system.parts().matches[static_cast<std::size_t>(match)]) {}

    void tell(std::vector<Choice>& out) {
        const std::size_t first = out.size();
        top_ = top_stage();
        if (by_.external_static)
            tell_taps(out);
        else
            tell_airflows(out);
        const Window fits = window(places());
        for (std::size_t k = first; k < out.size(); ++k) {
            out[k].airflow_from.si = fits.from;
            out[k].airflow_to.si = fits.to;
        }
        if (!by_.external_static && by_.airflows.empty() && fits.from < fits.to) {
            const double middle = 0.5 * (fits.from + fits.to);
            out.push_back(judged(StandardAirflow{middle}, middle * watts_, {}));
            out.back().airflow_from.si = fits.from;
            out.back().airflow_to.si = fits.to;
        }
    }

   private:
    [[nodiscard]] Choice empty(StandardAirflow flow, double fan_power, std::string tap) const {
        Choice out;
        out.system = number_;
        out.match = index_;
        out.airflow = flow;
        out.fan_power.si = fan_power;
        out.tap = std::move(tap);
        return out;
    }

    [[nodiscard]] Choice refused(const Reason& reason, std::string tap) const {
        Choice out = empty(StandardAirflow{DesignLoad::not_given}, DesignLoad::not_given, std::move(tap));
        out.misfit = Misfit::no_answer;
        out.reason = reason;
        return out;
    }

    /// Airflows, standard air; none where `to` is not `from` or more.
    struct Window {
        double from = DesignLoad::not_given, to = DesignLoad::not_given;
    };

    /// What a stage's page and the match allow.
    [[nodiscard]] Window allowed(const Stage& stage) const {
        const std::vector<double>& x = stage.table.page().airflow;
        if (x.empty()) return {};
        Window out{*ranges::min_element(x), *ranges::max_element(x)};
        if (match_ != nullptr && match_->airflow) {
            out.from = std::max(out.from, match_->airflow->first.si);
            out.to = std::min(out.to, match_->airflow->second.si);
        }
        return out.from <= out.to ? out : Window{};
    }

    /// The stage whose size is that of the machine: the one that gives most at the design point, each at the greatest
    /// airflow it may have. Where one has no answer there, what the pages print tells.
    [[nodiscard]] std::size_t top_stage() const {
        const std::vector<Stage>& stages = system_.stages(match_);
        if (stages.size() < 2) return 0;
        std::vector<double> total, printed;
        for (const Stage& stage : stages) {
            const double flow = allowed(stage).to;
            Conditions c = asked(StandardAirflow{flow}, flow * watts_);
            c.stage = stage.name;
            const auto e = look_up(system_, load_.site, c);
            total.push_back(e ? e->total_capacity.si : DesignLoad::not_given);
            printed.push_back(0.0);
            for (const PrintedNode& node : stage.table.page().nodes)
                if (node.total > printed.back()) printed.back() = node.total;
        }
        std::size_t top = 0;
        for (std::size_t i = 1; i < stages.size(); ++i) {
            const std::vector<double>& by = std::isnan(total[i] + total[top]) ? printed : total;
            if (by[i] > by[top]) top = i;
        }
        return top;
    }

    /// So many airflows evenly across what is allowed; one where it is one; none where page and match exclude each
    /// other.
    static constexpr int even = 7;
    [[nodiscard]] std::vector<double> places() const {
        const Window all = allowed(system_.stages(match_)[top_]);
        if (!(all.from <= all.to)) return {};
        if (all.from == all.to) return {all.from};
        std::vector<double> out;
        for (int i = 0; i < even; ++i) out.push_back(all.from + (all.to - all.from) * i / (even - 1));
        return out;
    }

    void tell_airflows(std::vector<Choice>& out) const {
        std::vector<StandardAirflow> flows = by_.airflows;
        if (flows.empty())
            for (const double flow : places()) flows.push_back(StandardAirflow{flow});
        if (flows.empty()) out.push_back(refused({Why::no_output, About::airflow, -1, -1, 0, 0, 0}, {}));
        for (const StandardAirflow& flow : flows) out.push_back(judged(flow, flow.si * watts_, {}));
    }

    /// The widest way on which every limit is kept. Between neighbours, the page's own airflows among them, what is
    /// told goes nearly straight, so that each limit is crossed once at most.
    [[nodiscard]] Window window(std::vector<double> at) const {
        if (at.empty()) return {};
        for (const double x : system_.stages(match_)[top_].table.page().airflow)
            if (x > at.front() && x < at.back()) at.push_back(x);
        ranges::sort(at);
        at.erase(std::unique(at.begin(), at.end()), at.end());
        const auto kept = [this](double flow) {
            Choice one;
            const auto e = top_at(StandardAirflow{flow}, flow * watts_);
            return e && e->sensible_capacity ? size(*e, one) : nothing_kept;
        };
        std::vector<Margins> margins;
        for (const double flow : at) margins.push_back(kept(flow));
        if (at.size() == 1) return ranges::all_of(margins[0], is_kept) ? Window{at[0], at[0]} : Window{};
        Window widest, here;
        for (std::size_t i = 0; i + 1 < at.size(); ++i) {
            double from = at[i], to = at[i + 1];
            for (std::size_t k = 0; k < limits; ++k) {
                const double a = margins[i][k], b = margins[i + 1][k];
                if (is_kept(a) && is_kept(b)) continue;
                if (!is_kept(a) && !is_kept(b)) {
                    to = -1.0;
                    break;
                }
                // The last place on the good side, to a millionth.
                const auto margin = [&](double x) { return kept(x)[k]; };
                std::uintmax_t steps = 40;
                const auto [low, high] = boost::math::tools::toms748_solve(
                    margin, at[i], at[i + 1], a, b, boost::math::tools::eps_tolerance<double>(20), steps);
                is_kept(a) ? to = std::min(to, low) : from = std::max(from, high);
            }
            if (!(from <= to)) continue;
            here = here.to == from ? Window{here.from, to} : Window{from, to};
            if (!(widest.to - widest.from >= here.to - here.from)) widest = here;
        }
        return widest;
    }

    /// A blower setting each, in the air that returns.
    void tell_taps(std::vector<Choice>& out) {
        const BlowerTable& blower = system_.parts().blower;
        const bool own = match_ == nullptr || match_->reference;  // the table is of the reference indoor unit
        if (blower.empty() || !own) {
            out.push_back(refused({Why::unknown_tap, About::airflow, -1, -1, 0, 0, 0}, {}));
            return;
        }
        const auto pressure = load_.site.pressure();
        const auto air =
            air::try_state(load_.entering_dry_bulb, load_.entering_humidity, Pressure{pressure ? *pressure : 0.0});
        double watts = 0.0, flows = 0.0;
        for (const std::string& tap : blower.taps()) {
            const auto point =
                air ? blower.at(tap, *by_.external_static, fan_density_ratio(*air)) : Answer<BlowerPoint>(air.reason());
            if (!point) {
                out.push_back(refused(point.reason(), tap));
                continue;
            }
            const double volume = air::si::volume(air->dry_bulb.si, air->humidity_ratio.si, air->pressure.si);
            const StandardAirflow flow{air::si::standard_from_dry_mass(point->airflow.si / volume)};
            watts += point->power.si;
            flows += flow.si;
            out.push_back(judged(flow, point->power.si, tap));
        }
        if (flows > 0.0) watts_ = watts / flows;
    }

    [[nodiscard]] Conditions asked(StandardAirflow flow, double fan_power) const {
        Conditions c;
        c.match = match_ == nullptr ? std::string() : match_->name;
        c.outdoor_dry_bulb = load_.outdoor_dry_bulb;
        c.entering_dry_bulb = load_.entering_dry_bulb;
        c.entering_humidity = load_.entering_humidity;
        c.airflow = AirflowReading::standard(Airflow{flow.si});
        c.boundary = Boundary::coil_and_fan;
        c.fan_power.si = fan_power;
        c.line_set = by_.line_set;
        return c;
    }

    /// What the top stage delivers.
    [[nodiscard]] Answer<Expected> top_at(StandardAirflow flow, double fan_power) const {
        Conditions c = asked(flow, fan_power);
        c.stage = system_.stages(match_)[top_].name;
        return look_up(system_, load_.site, c);
    }

    [[nodiscard]] Choice judged(StandardAirflow flow, double fan_power, std::string tap) const {
        Choice out = empty(flow, fan_power, std::move(tap));
        out.stage = static_cast<std::int16_t>(top_);
        const auto e = top_at(flow, fan_power);
        if (e && e->sensible_capacity) {
            const Margins margins = size(*e, out);
            const auto* const missed = ranges::find_if(margins, [](double x) { return !is_kept(x); });
            if (missed != margins.end()) out.misfit = misfits[static_cast<std::size_t>(missed - margins.begin())];
            out.fits = chance(out);
        } else {
            out.misfit = Misfit::no_answer;
            out.reason = e ? e->no_sensible : e.reason();
        }
        if (std::isfinite(load_.heating.si)) heat(flow, fan_power, out);
        return out;
    }

    /// By how much each limit is kept, as shares of the loads, in the order of `misfits`.
    static constexpr std::size_t limits = 6;
    using Margins = std::array<double, limits>;
    static constexpr std::array<Misfit, limits> misfits = {Misfit::total_low,   Misfit::sensible_low,
                                                           Misfit::latent_low,  Misfit::total_high,
                                                           Misfit::latent_high, Misfit::sensible_high};
    static constexpr Margins nothing_kept = {-1.0, -1.0, -1.0, -1.0, -1.0, -1.0};
    [[nodiscard]] static constexpr bool is_kept(double margin) noexcept { return margin >= 0.0; }

    [[nodiscard]] SizingLimits::Range total_limits() const noexcept {
        return by_.limits.of(kind_of(system_, match_), !system_.parts().heating.empty(), Power{loads_.total});
    }
    /// Without latent load no limit of latent capacity has a meaning.
    [[nodiscard]] bool has_latent() const noexcept { return loads_.latent > 0.0; }

    Margins size(const Expected& e, Choice& out) const {
        out.total = e.total_capacity;
        out.sensible = *e.sensible_capacity;
        out.latent = *e.latent_capacity;
        out.footing = e.footing;
        const double spare = std::max(0.0, out.latent.si - loads_.latent);
        out.credited.si = out.sensible.si + (by_.spare_latent ? 0.5 * spare : 0.0);
        out.total_u = e.uncertainty.combined() / e.total_capacity.si;
        const auto with = [&](double own) { return std::sqrt(out.total_u * out.total_u + own * own); };
        out.sensible_u = with(of_sensible);
        out.latent_u =
            out.latent.si > 0.0 ? with(of_sensible * out.sensible.si / out.latent.si) : DesignLoad::not_given;
        out.total_over = out.total.si / loads_.total;
        out.sensible_over = out.credited.si / loads_.sensible;
        out.latent_over = has_latent() ? out.latent.si / loads_.latent : std::numeric_limits<double>::infinity();
        const SizingLimits::Range total = total_limits(), &sensible = by_.limits.sensible, &latent = by_.limits.latent;
        return {out.total_over - total.least,
                out.sensible_over - sensible.least,
                has_latent() ? out.latent_over - latent.least : 0.0,
                total.most - out.total_over,
                has_latent() ? latent.most - out.latent_over : 0.0,
                sensible.most - out.sensible_over};
    }

    /// That every limit is kept. Of two errors that are independent, shares of their numbers: that of the page, which
    /// total and sensible have in common, and sensible's own; latent is what they leave. At a given error of the page
    /// sensible has to lie between two bounds, since what is credited rises with it and latent falls.
    [[nodiscard]] double chance(const Choice& one) const {
        const double capacity = one.total.si, mean = one.sensible.si, u = one.total_u;
        const SizingLimits::Range total = total_limits(), &sensible = by_.limits.sensible, &latent = by_.limits.latent;
        constexpr double root_half = std::numbers::sqrt2 / 2.0;
        const auto within = [&](double error) {
            const double all = capacity * (1.0 + error), driest = all - loads_.latent;  // sensible without spare latent
            const auto credited_is = [&](double x) { return by_.spare_latent && x < driest ? 2.0 * x - driest : x; };
            double low = credited_is(sensible.least * loads_.sensible),
                   high = credited_is(sensible.most * loads_.sensible);
            if (has_latent()) {
                low = std::max(low, all - latent.most * loads_.latent);
                high = std::min(high, all - latent.least * loads_.latent);
            }
            if (!(low < high)) return 0.0;
            const double center = mean * (1.0 + error), width = of_sensible * mean;
            const auto below = [&](double x) {  // asked millions of times, and Boost's goes by long double
                const double z = (x - center) / width;
                return z > 9.0 ? 1.0 : z < -9.0 ? 0.0 : 0.5 * std::erfc(-z * root_half);
            };
            return below(high) - below(low);
        };
        const double least = total.least * loads_.total / capacity - 1.0,
                     most = total.most * loads_.total / capacity - 1.0;
        if (!(u > 0.0)) return least <= 0.0 && 0.0 <= most ? within(0.0) : 0.0;
        constexpr double enough = 4.5;  // standard deviations
        const double from = std::max(least, -enough * u), to = std::min(most, enough * u);
        if (!(from < to)) return 0.0;
        const auto density = [&](double error) {
            const double z = error / u;
            return std::exp(-0.5 * z * z) * within(error);
        };
        const double share = boost::math::quadrature::gauss<double, 20>::integrate(density, from, to);
        return std::min(1.0, share / (u * std::sqrt(2.0 * std::numbers::pi)));
    }

    /// One page of heating, in one kind of capacity.
    struct Heater {
        const HeatingStage* page;
        Frost frost;
        double at_17 = 0.0, at_47 = 0.0;  ///< where frost is by the regulation's model, what is steady at those degF
        [[nodiscard]] bool by_model() const noexcept { return at_17 > 0.0; }
    };

    /// The capacity, W, or why there is none.
    [[nodiscard]] Answer<double> heating_at(const Heater& heater, double outdoor, Conditions c) const {
        c.stage = heater.page->name;
        c.frost = heater.by_model() ? Frost::instantaneous : heater.frost;
        c.outdoor_dry_bulb.si = outdoor;
        const auto e = look_up(system_, load_.site, c);
        if (!e) return e.reason();
        double out = e->total_capacity.si;
        if (heater.by_model()) {
            // Where the page bends between the two points, frost takes from what it prints the same share.
            constexpr Power any{1.0};
            const HeatingPoint low{Power{heater.at_17}, any}, high{Power{heater.at_47}, any};
            const auto at = [&](Frost kind) {
                return derates::regulatory_frost(low, high, Temperature{outdoor}, kind, Outside::extend);
            };
            const auto steady = at(Frost::instantaneous), frosted = at(Frost::integrated);
            if (!steady) return steady.reason();
            if (!frosted) return frosted.reason();
            out *= frosted->capacity.si / steady->capacity.si;
        }
        return out;
    }

    /// Of the stage that gives most at design, and of the others that have that kind of capacity.
    void heat(StandardAirflow flow, double fan_power, Choice& out) const {
        Conditions c = asked(flow, fan_power);
        c.mode = Mode::heating;
        c.entering_dry_bulb = load_.heating_entering_dry_bulb;
        c.entering_humidity = air::relative_humidity(0.4);  // heated air keeps its moisture; any will do
        c.outdoor_relative_humidity = load_.heating_outdoor_relative_humidity;
        c.auxiliary_heat.si = 0.0;
        if (system_.parts().heating_line_set.empty()) c.line_set.reset();  // factors for cooling are none for heating
        const auto& pages = system_.parts().heating;
        if (pages.empty()) {
            out.no_heating = {Why::no_output, About::heating_capacity, -1, -1, 0, 0, 0};
            return;
        }
        const double design = load_.heating_outdoor_dry_bulb.si, none = load_.no_heating_load.si;
        const Frost wanted = load_.heating_frost;
        std::vector<Heater> heaters;
        const auto try_at_design = [&](const Heater& heater) {
            const auto capacity = heating_at(heater, design, c);
            if (!capacity) {
                // That a page has not the one kind says less than why it has no answer of the other.
                if (out.no_heating.none() || out.no_heating.about == About::frost) out.no_heating = capacity.reason();
                return false;
            }
            if (!(out.heating.si >= *capacity)) {
                out.heating.si = *capacity;
                out.frost = heater.frost;
                out.frost_by_model = heater.by_model();
            }
            heaters.push_back(heater);
            return true;
        };
        for (const HeatingStage& page : pages) {
            if (wanted != Frost::instantaneous && try_at_design({&page, Frost::integrated})) continue;
            if (wanted != Frost::integrated) {
                try_at_design({&page, Frost::instantaneous});
                continue;
            }
            const Heater steady{&page, Frost::instantaneous};
            const auto at_17 = heating_at(steady, derates::frost::kink, c),
                       at_47 = heating_at(steady, derates::frost::mild, c);
            if (at_17 && at_47) try_at_design({&page, Frost::integrated, *at_17, *at_47});
        }
        if (heaters.empty()) return;
        out.no_heating = {};
        out.auxiliary.si = std::max(0.0, load_.heating.si - out.heating.si);
        if (out.auxiliary.si == 0.0) return;
        const auto capacity = [&](double outdoor) {
            double most = DesignLoad::not_given;
            for (const Heater& heater : heaters) {
                if (heater.frost != out.frost || heater.by_model() != out.frost_by_model) continue;
                const auto here = heating_at(heater, outdoor, c);
                if (!here)
                    out.no_heating = here.reason();
                else if (!(most >= *here))
                    most = *here;
            }
            return most;
        };
        // Capacity and load cross once at most above design: the load falls, and capacity does not.
        const auto missing = [&](double outdoor) {
            return load_.heating.si * (none - outdoor) / (none - design) - capacity(outdoor);
        };
        double high = design;
        while (high < none && !(missing(high) <= 0.0)) {
            high += 1.0;
            if (std::isnan(capacity(high))) return;  // past the page before they meet
        }
        if (missing(high) <= 0.0) {
            std::uintmax_t steps = 60;
            const auto [low, up] = boost::math::tools::toms748_solve(
                missing, high - 1.0, high, boost::math::tools::eps_tolerance<double>(40), steps);
            out.balance_point.si = 0.5 * (low + up);
        }
        out.no_heating = {};
    }

    const System& system_;
    const DesignLoad& load_;
    const ChooseBy& by_;
    const Loads& loads_;
    std::size_t number_;
    std::int16_t index_;
    const Match* match_;
    std::size_t top_ = 0;                       ///< stage
    double watts_ = by_.fan_power_per_airflow;  ///< of the fan, for each m3/s
    static constexpr double of_sensible = 0.02;
};

}  // namespace

SizingLimits::Range SizingLimits::of(MachineKind kind, bool heats, Power load) const noexcept {
    Range out = (heats ? heat_pump : total)[static_cast<std::size_t>(kind)];
    if (heats && heat_pump_above.si > 0.0) out.most = 1.0 + heat_pump_above.si / load.si;
    return out;
}

std::vector<Choice> choose(std::span<const System* const> systems, const DesignLoad& load, const ChooseBy& by) {
    if (systems.empty()) throw InputError({}, "systems: none is given", {}, "one or more to choose among");
    const Loads loads = loads_of(load, by.units);
    check_given(load.outdoor_dry_bulb.si, "outdoor dry bulb at design", "a temperature, such as 95 degF");
    check_given(load.entering_dry_bulb.si, "entering dry bulb at design", "a temperature, such as 75 degF");
    check_given(load.entering_humidity.value, "entering humidity at design", "a wet bulb, or another measure");
    check_heating(load, by.units);
    const auto pressure = load.site.pressure();
    if (!pressure) throw Refused(pressure.reason(), explain(pressure.reason(), by.units));
    if (const auto air = air::try_state(load.entering_dry_bulb, load.entering_humidity, Pressure{*pressure}); !air)
        throw Refused(air.reason(), "entering air at design: " + explain(air.reason(), by.units));
    check(by);
    std::vector<Choice> out;
    for (std::size_t i = 0; i < systems.size(); ++i) {
        const auto& matches = systems[i]->parts().matches;
        if (matches.empty()) Candidate(*systems[i], load, by, loads, i, -1).tell(out);
        for (std::size_t m = 0; m < matches.size(); ++m)
            Candidate(*systems[i], load, by, loads, i, static_cast<std::int16_t>(m)).tell(out);
    }
    // What decides the order is sorted, and each choice moved once.
    struct Place {
        bool misses;
        double off;
        std::size_t at;
    };
    std::vector<Place> order;
    for (std::size_t k = 0; k < out.size(); ++k)
        order.push_back({out[k].misfit != Misfit::none,
                         out[k].misfit == Misfit::no_answer ? std::numeric_limits<double>::infinity()
                                                            : std::abs(out[k].total_over - 1.0),
                         k});
    std::sort(order.begin(), order.end(), [](const Place& a, const Place& b) {
        return std::tie(a.misses, a.off, a.at) < std::tie(b.misses, b.off, b.at);
    });
    std::vector<Choice> sorted;
    sorted.reserve(out.size());
    for (const Place& place : order) sorted.push_back(std::move(out[place.at]));
    return sorted;
}

}  // namespace offnominal
