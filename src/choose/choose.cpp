#include "offnominal/choose.hpp"

#include <algorithm>
#include <boost/math/tools/roots.hpp>
#include <cmath>
#include <tuple>
#include <utility>

#include "distributions.hpp"
#include "offnominal/airflow/blower.hpp"
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

Loads loads_of(const DesignLoad& load) {
    double total = load.total.si, sensible = load.sensible.si, latent = load.latent.si;
    for (const auto& [value, what] : {std::pair{total, "total"}, {sensible, "sensible"}, {latent, "latent"}})
        if (!std::isnan(value) && !(value >= 0.0 && std::isfinite(value)))
            throw InputError({}, std::string("load: ") + what, brief(value), "a power, zero or more");
    const int given = !std::isnan(total) + !std::isnan(sensible) + !std::isnan(latent);
    if (given < 2)
        throw InputError({}, "load: two of total, sensible and latent are needed", {}, "such as total and sensible");
    if (std::isnan(total)) total = sensible + latent;
    if (std::isnan(sensible)) sensible = total - latent;
    if (std::isnan(latent)) latent = total - sensible;
    constexpr double rounding = 0.01;  // loads are printed in whole hundreds
    const auto of = [](double si) { return shown(si, About::total_capacity, UnitSystem::both); };
    if (std::abs(total - sensible - latent) > rounding * total || sensible < 0.0 || latent < 0.0)
        throw InputError({}, "load: total, sensible and latent do not add up",
                         of(total) + ", " + of(sensible) + ", " + of(latent), "total = sensible + latent, within 1 %");
    // Less is a slip, and what a machine has over it no number to reckon with.
    if (!(total >= 1.0 && sensible >= 1.0))
        throw InputError({}, "load: nothing to cool", brief(std::min(total, sensible)),
                         "total and sensible of 1 W or more");
    return {total, sensible, latent};
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

    void tell(std::vector<Choice>& out) const {
        if (by_.external_static) return tell_taps(out);
        const auto flows = by_.airflows.empty() ? airflows() : by_.airflows;
        if (flows.empty()) out.push_back(refused({Why::no_output, About::airflow, -1, -1, 0, 0, 0}, {}));
        for (const StandardAirflow& flow : flows) out.push_back(judged(flow, flow.si * by_.fan_power_per_airflow, {}));
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

    /// What page and match allow; none where the two exclude each other.
    [[nodiscard]] std::vector<StandardAirflow> airflows() const {
        const std::vector<Stage>& stages = system_.stages(match_);
        double least = std::numeric_limits<double>::infinity(), most = 0.0;
        for (const Stage& stage : stages) {
            const std::vector<double>& x = stage.table.page().airflow;
            if (x.empty()) continue;
            least = std::min(least, *ranges::min_element(x));
            most = std::max(most, *ranges::max_element(x));
        }
        if (match_ != nullptr && match_->airflow) {
            least = std::max(least, match_->airflow->first.si);
            most = std::min(most, match_->airflow->second.si);
        }
        if (!(least <= most)) return {};
        if (least == most) return {StandardAirflow{least}};
        constexpr int steps = 6;
        std::vector<StandardAirflow> out;
        for (int i = 0; i <= steps; ++i) out.push_back(StandardAirflow{least + (most - least) * i / steps});
        return out;
    }

    /// A blower setting each, in the air that returns.
    void tell_taps(std::vector<Choice>& out) const {
        const BlowerTable& blower = system_.parts().blower;
        const bool own = match_ == nullptr || match_->reference;  // the table is of the reference indoor unit
        if (blower.empty() || !own) {
            out.push_back(refused({Why::unknown_tap, About::airflow, -1, -1, 0, 0, 0}, {}));
            return;
        }
        const auto pressure = load_.site.pressure();
        const auto air =
            air::try_state(load_.entering_dry_bulb, load_.entering_humidity, Pressure{pressure ? *pressure : 0.0});
        for (const std::string& tap : blower.taps()) {
            const auto point =
                air ? blower.at(tap, *by_.external_static, fan_density_ratio(*air)) : Answer<BlowerPoint>(air.reason());
            if (!point) {
                out.push_back(refused(point.reason(), tap));
                continue;
            }
            const double volume = air::si::volume(air->dry_bulb.si, air->humidity_ratio.si, air->pressure.si);
            const StandardAirflow flow{air::si::standard_from_dry_mass(point->airflow.si / volume)};
            out.push_back(judged(flow, point->power.si, tap));
        }
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

    [[nodiscard]] Choice judged(StandardAirflow flow, double fan_power, std::string tap) const {
        Choice out = empty(flow, fan_power, std::move(tap));
        Conditions c = asked(flow, fan_power);
        const std::vector<Stage>& stages = system_.stages(match_);
        std::optional<Expected> best;
        for (std::size_t i = 0; i < stages.size(); ++i) {
            c.stage = stages[i].name;
            const auto e = look_up(system_, load_.site, c);
            if (!e) {
                if (i == 0) out.reason = e.reason();
                continue;
            }
            if (best && !(e->total_capacity.si > best->total_capacity.si)) continue;
            best = *e;
            out.stage = static_cast<std::int16_t>(i);
        }
        if (best && !best->sensible_capacity) {
            out.reason = best->no_sensible;
            best.reset();
        }
        if (!best) {
            out.misfit = Misfit::no_answer;
        } else {
            out.reason = {};
            size(*best, out);
        }
        if (std::isfinite(load_.heating.si)) heat(flow, fan_power, out);
        return out;
    }

    void size(const Expected& e, Choice& out) const {
        out.total = e.total_capacity;
        out.sensible = *e.sensible_capacity;
        out.latent = *e.latent_capacity;
        const double spare = std::max(0.0, out.latent.si - loads_.latent);
        out.credited.si = out.sensible.si + (by_.spare_latent ? 0.5 * spare : 0.0);
        out.total_u = e.uncertainty.combined() / e.total_capacity.si;
        out.total_over = out.total.si / loads_.total;
        out.sensible_over = out.credited.si / loads_.sensible;
        out.latent_over = loads_.latent > 0.0 ? out.latent.si / loads_.latent : std::numeric_limits<double>::infinity();
        const SizingLimits& limits = by_.limits;
        const SizingLimits::Range& total = limits.of(kind_of(system_, match_), !system_.parts().heating.empty());
        // Without latent load no limit of latent capacity has a meaning.
        const bool latent = loads_.latent > 0.0;
        out.misfit = out.total_over < total.least                      ? Misfit::total_low
                     : out.sensible_over < limits.sensible.least       ? Misfit::sensible_low
                     : latent && out.latent_over < limits.latent.least ? Misfit::latent_low
                     : out.total_over > total.most                     ? Misfit::total_high
                     : latent && out.latent_over > limits.latent.most  ? Misfit::latent_high
                                                                       : Misfit::none;
        // Sensible is as uncertain as total, and 2 % besides (common practice, no source); the two go together, so that
        // the lesser chance is both.
        const auto below = [](double x, double mean, double u) {
            if (std::isinf(x)) return x > 0.0 ? 1.0 : 0.0;
            return u > 0.0 ? distributions::normal_below(x, mean, u) : x >= mean ? 1.0 : 0.0;
        };
        const double u = out.total_u * out.total_over, s = std::hypot(out.total_u, 0.02) * out.sensible_over;
        const double by_total = below(total.most, out.total_over, u) - below(total.least, out.total_over, u),
                     by_sensible = 1.0 - below(limits.sensible.least, out.sensible_over, s);
        out.fits = std::max(0.0, std::min(by_total, by_sensible));
    }

    /// Integrated capacity where the page prints it, else instantaneous; of the stage that gives most.
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
        const auto capacity = [&](double outdoor) {
            double most = DesignLoad::not_given;
            c.outdoor_dry_bulb.si = outdoor;
            for (const HeatingStage& page : pages)
                for (const Frost frost : {Frost::integrated, Frost::instantaneous}) {
                    c.stage = page.name;
                    c.frost = frost;
                    const auto e = look_up(system_, load_.site, c);
                    if (!e) {
                        if (std::isnan(most)) out.no_heating = e.reason();
                        continue;
                    }
                    if (!(most >= e->total_capacity.si)) most = e->total_capacity.si;
                    break;
                }
            return most;
        };
        const double design = load_.heating_outdoor_dry_bulb.si, none = load_.no_heating_load.si;
        const auto needed = [&](double outdoor) { return load_.heating.si * (none - outdoor) / (none - design); };
        out.heating.si = capacity(design);
        if (std::isnan(out.heating.si)) return;
        out.no_heating = {};
        out.auxiliary.si = std::max(0.0, load_.heating.si - out.heating.si);
        if (out.auxiliary.si == 0.0) return;
        // Capacity and load cross once at most above design: the load falls, and capacity does not.
        const auto missing = [&](double outdoor) { return needed(outdoor) - capacity(outdoor); };
        double high = design;
        while (high < none && !(missing(high) <= 0.0)) {
            high += 1.0;
            if (std::isnan(capacity(high))) return;  // past the page before they meet
        }
        if (!(missing(high) <= 0.0)) return;
        std::uintmax_t steps = 60;
        const auto [low, up] = boost::math::tools::toms748_solve(missing, high - 1.0, high,
                                                                 boost::math::tools::eps_tolerance<double>(40), steps);
        out.balance_point.si = 0.5 * (low + up);
    }

    const System& system_;
    const DesignLoad& load_;
    const ChooseBy& by_;
    const Loads& loads_;
    std::size_t number_;
    std::int16_t index_;
    const Match* match_;
};

}  // namespace

std::vector<Choice> choose(std::span<const System* const> systems, const DesignLoad& load, const ChooseBy& by) {
    const Loads loads = loads_of(load);
    check_given(load.outdoor_dry_bulb.si, "outdoor dry bulb at design", "a temperature, such as 95 degF");
    check_given(load.entering_dry_bulb.si, "entering dry bulb at design", "a temperature, such as 75 degF");
    check_given(load.entering_humidity.value, "entering humidity at design", "a wet bulb, or another measure");
    if (std::isfinite(load.heating.si)) {
        check_given(load.heating_outdoor_dry_bulb.si, "outdoor dry bulb at design, heating", "a temperature");
        if (!(load.heating.si > 0.0)) throw InputError({}, "heating load", brief(load.heating.si), "above 0 W");
        if (!(load.no_heating_load.si > load.heating_outdoor_dry_bulb.si))
            throw InputError({}, "no heating load at", brief(load.no_heating_load.si),
                             "warmer than the outdoor dry bulb at design, heating");
    }
    if (const auto pressure = load.site.pressure(); !pressure)
        throw Refused(pressure.reason(), explain(pressure.reason()));
    for (const StandardAirflow& flow : by.airflows)
        if (!(flow.si > 0.0 && std::isfinite(flow.si))) throw InputError({}, "airflow", brief(flow.si), "above 0 m3/s");
    if (!(by.fan_power_per_airflow >= 0.0 && std::isfinite(by.fan_power_per_airflow)))
        throw InputError({}, "fan power per airflow", brief(by.fan_power_per_airflow), "zero or more");
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
