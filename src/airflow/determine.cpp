#include "offnominal/airflow/determine.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "offnominal/airflow/practice.hpp"
#include "offnominal/errors.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/field/practice.hpp"
#include "ranges.hpp"

namespace offnominal {
namespace {

/// What a reading is good for of which nothing is said: a poor instrument's.
template <Dimension D>
double poor(double value) noexcept {
    if constexpr (D == Dimension::pressure) return practice::poor_manometer.si;
    if constexpr (D == Dimension::temperature) return practice::poor_dry_bulb;
    if constexpr (D == Dimension::power) return practice::poor_power * value;
    if constexpr (D == Dimension::length) return practice::poor_length * value;
    if constexpr (D == Dimension::ratio) return practice::poor_efficiency * value;
    return practice::poor_share * value;
}

/// A word for what an instrument is good at, which errors in common go by.
template <Dimension D>
std::string source_of(const ReadBy& by) {
    return by.instrument.empty() ? std::string() : by.instrument + ": " + std::string(name(D));
}

/// One determination while it is worked out: its flow as a function of a few numbers, and what each does to it.
class Determination {
   public:
    Determination(AirflowMethod method, const FlowingAir& air) : air_(air) { out_.method = method; }

    [[noreturn]] void refuse(const std::string& problem, const std::string& text, const char* accepted) const {
        throw InputError({}, "airflow by " + std::string(row_of(out_.method)->words) + ": " + problem, text, accepted);
    }

    /// A number that must be there, above zero.
    template <Dimension D>
    double above_zero(const char* what, const Measured<D>& reading) const {
        const double x = reading.value.si;
        if (std::isnan(x))
            refuse(std::string(what) + ": not given, and there is no default", {}, "a number above zero");
        if (!(x > 0.0 && std::isfinite(x))) refuse(std::string(what) + ": not above zero", brief(x), "above zero");
        return x;
    }
    template <Dimension D>
    double finite(const char* what, const Measured<D>& reading) const {
        const double x = reading.value.si;
        if (std::isnan(x)) refuse(std::string(what) + ": not given, and there is no default", {}, "a number");
        if (!std::isfinite(x)) refuse(std::string(what) + ": not a finite number", {}, "a number");
        return x;
    }
    /// The standard uncertainty of a reading; without one a poor instrument's.
    template <Dimension D>
    double standard(const char* what, const Measured<D>& reading) {
        const double u = reading.standard.si;
        if (std::isnan(u)) {
            out_.notes.add(Note::uncertainty_missing);
            return poor<D>(std::abs(reading.value.si));
        }
        if (!(u >= 0.0 && std::isfinite(u)))
            refuse(std::string(what) + ": its standard uncertainty", brief(u), "zero or more");
        return u;
    }

    /// Which share of its variance a reading has in common with others by its instrument.
    double in_common(const char* what, const ReadBy& by) const {
        const double share = by.shared.value_or(practice::shared_by_one_instrument);
        if (!(share >= 0.0 && share <= 1.0))
            refuse(std::string(what) + ": the share of its variance in common", brief(share), "0 to 1");
        return share;
    }

    /// What moving a number up and down by `u` does, as a share of the flow. Where one side has no answer, the other
    /// tells.
    template <class Flow>
    void vary(const char* what, double x, double u, const Flow& flow, std::string source = {}, double shared = 1.0) {
        if (u == 0.0) return;
        const auto flow_at = [&](double at) {
            try {
                const double f = flow(at);
                return f > 0.0 && std::isfinite(f) ? f : none;
            } catch (const Error&) {
                return none;
            }
        };
        const double here = flow(x), up = flow_at(x + u), down = flow_at(x - u);
        const double effect = (std::isnan(down) ? up - here : std::isnan(up) ? here - down : 0.5 * (up - down)) / here;
        if (!(std::abs(effect) <= most_uncertain))
            refuse(std::string(what) + " is too uncertain: what that does cannot be told", brief(u),
                   "a reading that is better known, or farther from zero or the edge of the table");
        out_.terms.push_back({what, effect, std::move(source), shared});
    }
    template <Dimension D, class Flow>
    void vary(const char* what, const InstrumentReading<D>& reading, const Flow& flow) {
        vary(what, reading.value.si, standard(what, reading), flow, source_of<D>(reading), in_common(what, reading));
    }
    /// Readings of one instrument: `flow` with all of them moved alike.
    template <Dimension D, class Flow>
    void vary(const char* what, const InstrumentReadings<D>& readings, const Flow& flow) {
        Measured<D> of_each;
        double sum = 0.0;
        for (const auto& value : readings.values) sum += value.si;
        of_each.value.si = sum / static_cast<double>(readings.values.size());
        of_each.standard.si = readings.standard.si;
        vary(what, 0.0, standard(what, of_each), flow, source_of<D>(readings), in_common(what, readings));
    }
    /// What the air's density does: `flow` is dry mass at a density that is `share` of the one taken.
    template <class Flow>
    void vary_density(const Flow& flow) {
        const double u = std::isnan(air_.density_u) ? practice::weather_in_pressure : air_.density_u;
        if (!(u >= 0.0 && u < 1.0)) refuse("standard uncertainty of the density", brief(u), "a share, 0.01");
        vary("density", 1.0, u, flow, "density");
    }
    /// What the way itself is good for.
    void own(double share) { out_.terms.push_back({"the method", share, {}, 0.0}); }
    void add(Note note) { out_.notes.add(note); }
    void by(std::string words, Power power) {
        out_.by = std::move(words);
        out_.power = power;
    }

    /// @param dry_mass  kg/s
    [[nodiscard]] DeterminedAirflow told(double dry_mass) && {
        if (!(dry_mass > 0.0 && std::isfinite(dry_mass))) refuse("no flow", brief(dry_mass), "readings of flowing air");
        if (dry_mass > detail::greatest_airflow)
            refuse("more than any duct carries", brief(dry_mass) + " kg/s", "readings of flowing air");
        out_.mass_flow.si = dry_mass;
        out_.airflow = air::standard_airflow(out_.mass_flow);
        out_.actual = air::actual_airflow(out_.mass_flow, air_.state);
        double variance = 0.0;
        for (const AirflowTerm& a : out_.terms)
            for (const AirflowTerm& b : out_.terms)
                variance += &a == &b ? a.effect * a.effect
                            : a.source.empty() || a.source != b.source
                                ? 0.0
                                : a.effect * b.effect * std::min(a.shared, b.shared);
        out_.u = std::sqrt(std::max(variance, 0.0));
        return std::move(out_);
    }

    [[nodiscard]] double volume() const noexcept {
        return air::si::volume(air_.state.dry_bulb.si, air_.state.humidity_ratio.si, air_.state.pressure.si);
    }
    [[nodiscard]] double density() const noexcept {
        return air::si::density_moist(air_.state.dry_bulb.si, air_.state.humidity_ratio.si, air_.state.pressure.si);
    }
    [[nodiscard]] double sigma() const noexcept { return fan_density_ratio(air_.state); }

   private:
    static constexpr double none = std::numeric_limits<double>::quiet_NaN();
    static constexpr double most_uncertain = 1e6;  ///< as a share of the flow: its square is finite

    const FlowingAir& air_;
    DeterminedAirflow out_;
};

[[noreturn]] void refuse_blower(const Reason& reason, const BlowerReading& reading, const BlowerTable& blower) {
    throw Refused(reason, explain(reason, blower, reading.tap));
}

/// What must be added to a measured static pressure for the table's boundary: the reading's drops, each with its sign.
struct Crossed {
    const ComponentDrop* drop;
    double sign;
};
std::vector<Crossed> crossed(const Determination& d, const BlowerReading& reading, const BlowerTable& blower) {
    std::vector<Crossed> out;
    if (const std::string_view unknown = not_a_component(reading.includes); !unknown.empty())
        d.refuse("includes: no such component", std::string(unknown), accepted_includes);
    for (const auto& row : words_of<Component>) {
        const auto read = says(reading.includes, row.value), printed = says(blower.basis().includes, row.value);
        if (!read || read == printed) continue;
        const std::string word(row.word);
        if (!printed) {
            // No coil inside the taps, and the table is silent: nothing says that they differ.
            if (!*read) continue;
            d.refuse("the blower table does not say whether it includes the " + word, blower.basis().includes,
                     "includes of the table, such as wet coil, no filter");
        }
        const auto given = ranges::find(reading.drops, row.value, &ComponentDrop::component);
        if (given == reading.drops.end())
            d.refuse("static pressure read across another boundary than the table's: " +
                         std::string(*read ? "with the " : "without the ") + word,
                     reading.includes, "drops: with that component's drop, or static across what the table includes");
        d.above_zero("drop", given->drop);
        out.push_back({&*given, *read ? 1.0 : -1.0});
    }
    for (const ComponentDrop& one : reading.drops)
        if (ranges::find(out, &one, &Crossed::drop) == out.end())
            d.refuse("a drop of the " + std::string(name(one.component)) +
                         ", which by `includes` stands on the same side of the taps as in the table",
                     reading.includes, "includes that says so of the reading, or no drop");
    return out;
}

}  // namespace

DeterminedAirflow airflow_by(const AirflowShown& r, const FlowingAir& air) {
    Determination d(AirflowMethod::reading, air);
    const double shown = d.above_zero("value", r.value);
    const double per = r.standard ? air::si::standard_density : 1.0 / d.volume();
    d.vary("value", r.value, [&](double x) { return x * per; });
    if (!r.standard) d.vary_density([&](double share) { return shown * per * share; });
    return std::move(d).told(shown * per);
}

DeterminedAirflow airflow_by(const BlowerReading& r, const BlowerTable& blower, const FlowingAir& air) {
    Determination d(AirflowMethod::blower, air);
    if (!blower.has_tap(r.tap)) refuse_blower({Why::unknown_tap, About::external_static}, r, blower);
    const double sigma = d.sigma(), v = d.volume(), read = d.finite("static", r.external_static);
    const std::vector<Crossed> others = crossed(d, r, blower);
    double external_static = read;
    for (const Crossed& one : others) external_static += one.sign * one.drop->drop.value.si;
    const auto at = [&](double pressure, double share) {
        const auto point = blower.at(r.tap, Pressure{pressure}, sigma * share);
        if (!point) refuse_blower(point.reason(), r, blower);
        return *point;
    };
    const auto flow = [&](double pressure) { return at(pressure, 1.0).airflow.si / v; };
    const BlowerPoint point = at(external_static, 1.0);
    d.by("tap " + r.tap, point.power);
    d.vary("static", r.external_static, [&](double x) { return flow(external_static + (x - read)); });
    for (const Crossed& one : others)
        d.vary("drop", one.drop->drop,
               [&](double x) { return flow(external_static + one.sign * (x - one.drop->drop.value.si)); });
    if (r.includes.empty()) {
        d.add(Note::static_boundary_assumed);
        d.vary("static taps", external_static, practice::unsaid_boundary.si, flow);
    }
    d.vary_density([&](double share) { return at(external_static, share).airflow.si * share / v; });
    if (point.law_assumed) {
        d.add(Note::blower_law_assumed);
        d.vary("motor in thin air", 1.0, point.law_u, [&](double share) { return share; });
    }
    d.own(practice::blower_table);
    return std::move(d).told(point.airflow.si / v);
}

DeterminedAirflow airflow_by(const TemperatureRise& r, const FlowingAir& air) {
    Determination d(AirflowMethod::temperature_rise, air);
    const bool fuel = !std::isnan(r.input.value.si);
    const bool electric = !fuel || !std::isnan(r.power.value.si);
    const double power = !electric ? 0.0 : fuel && r.power.value.si == 0.0 ? 0.0 : d.above_zero("power", r.power);
    const double input = fuel ? d.above_zero("input", r.input) : 0.0;
    const double efficiency = fuel ? d.above_zero("efficiency", r.efficiency) : 0.0;
    if (!(efficiency <= 1.0)) d.refuse("efficiency: more heat than the fuel has", brief(efficiency), "80 %, or 0.80");
    const double t1 = d.finite("entering", r.entering), t2 = d.finite("leaving", r.leaving);
    if (!(t2 > t1))
        d.refuse("the air leaves no warmer than it entered", brief(t2 - t1) + " K",
                 "a rise above zero; were the two probes exchanged?");
    const double w = air.state.humidity_ratio.si;
    const auto flow = [&](double electricity, double fuel_input, double share, double entering, double leaving) {
        return (electricity + fuel_input * share) / (air::si::enthalpy(leaving, w) - air::si::enthalpy(entering, w));
    };
    if (power > 0.0) d.vary("power", r.power, [&](double x) { return flow(x, input, efficiency, t1, t2); });
    if (fuel) {
        d.vary("input", r.input, [&](double x) { return flow(power, x, efficiency, t1, t2); });
        d.vary("efficiency", r.efficiency, [&](double x) { return flow(power, input, x, t1, t2); });
    }
    d.vary("entering", r.entering, [&](double x) { return flow(power, input, efficiency, x, t2); });
    d.vary("leaving", r.leaving, [&](double x) { return flow(power, input, efficiency, t1, x); });
    d.own(fuel ? practice::mixed_fuel : practice::mixed_electric);
    return std::move(d).told(flow(power, input, efficiency, t1, t2));
}

DeterminedAirflow airflow_by(const Traverse& r, const FlowingAir& air) {
    Determination d(AirflowMethod::traverse, air);
    if (r.velocity_pressures.values.empty()) d.refuse("no velocity pressures", {}, "one for each point");
    for (const Pressure p : r.velocity_pressures.values)
        if (!(p.si >= 0.0 && std::isfinite(p.si)))
            d.refuse("a velocity pressure below zero", brief(p.si) + " Pa",
                     "zero or more; where air flows back, traverse elsewhere");
    const bool round = !std::isnan(r.diameter.value.si);
    if (round == (!std::isnan(r.width.value.si) || !std::isnan(r.height.value.si)))
        d.refuse(round ? "two shapes of duct" : "no duct size", {}, "width and height, or diameter");
    const double a = d.above_zero(round ? "diameter" : "width", round ? r.diameter : r.width);
    const double b = round ? a : d.above_zero("height", r.height);
    const double density = d.density(), shape = round ? 0.25 * std::numbers::pi : 1.0;
    const auto mean_velocity = [&](double off, double share) {
        double sum = 0.0;
        for (const Pressure p : r.velocity_pressures.values)
            sum += std::sqrt(2.0 * std::max(p.si + off, 0.0) / (density * share));
        return sum / static_cast<double>(r.velocity_pressures.values.size());
    };
    const double v = d.volume();
    const auto flow = [&](double width, double height, double off, double share) {
        return shape * width * height * mean_velocity(off, share) * share / v;
    };
    if (!(mean_velocity(0.0, 1.0) > 0.0)) d.refuse("no point of the traverse shows a velocity", {}, "flowing air");
    d.vary("velocity_pressures", r.velocity_pressures, [&](double off) { return flow(a, b, off, 1.0); });
    if (round) {
        d.vary("diameter", r.diameter, [&](double x) { return flow(x, x, 0.0, 1.0); });
    } else {
        d.vary("width", r.width, [&](double x) { return flow(x, b, 0.0, 1.0); });
        d.vary("height", r.height, [&](double x) { return flow(a, x, 0.0, 1.0); });
    }
    d.vary_density([&](double share) { return flow(a, b, 0.0, share); });
    d.own(practice::traverse);
    return std::move(d).told(flow(a, b, 0.0, 1.0));
}

namespace {

/// Airflow known at one drop in standard air, from another drop in this air.
struct Orifice {
    double known, known_drop, drop, exponent, sigma;
    [[nodiscard]] double airflow() const { return known * std::pow(drop / (known_drop * sigma), exponent); }
};

template <class Reading>
void vary_orifice(Determination& d, const Orifice& o, const InstrumentReading<Dimension::airflow>& known,
                  const Reading& r, double factor) {
    const double v = d.volume();
    const auto flow = [&](double Orifice::*member) {
        return [&, member](double x) {
            Orifice moved = o;
            moved.*member = x;
            return moved.airflow() * factor / v;
        };
    };
    if (known.standard.si > 0.0) d.vary("known airflow", known, flow(&Orifice::known));
    const auto& known_drop = [&]() -> const InstrumentReading<Dimension::pressure>& {
        if constexpr (std::is_same_v<Reading, FlowGrid>)
            return r.rated_drop;
        else
            return r.known_drop;
    }();
    if (known_drop.standard.si > 0.0) d.vary("known drop", known_drop, flow(&Orifice::known_drop));
    d.vary("drop", r.drop, flow(&Orifice::drop));
    d.vary_density([&](double share) {
        Orifice moved = o;
        moved.sigma *= share;
        return moved.airflow() * factor * share / v;
    });
}

}  // namespace

DeterminedAirflow airflow_by(const FlowGrid& r, const FlowingAir& air) {
    Determination d(AirflowMethod::flow_grid, air);
    const Orifice plate{d.above_zero("rated", r.rated), d.above_zero("rated_drop", r.rated_drop),
                        d.above_zero("drop", r.drop), 0.5, d.sigma()};
    const bool stays = std::isnan(r.static_without.value.si) && std::isnan(r.static_with.value.si);
    const auto correction = [](double without, double with) { return std::sqrt(without / with); };
    const double without = stays ? 1.0 : d.above_zero("static_without", r.static_without);
    const double with = stays ? 1.0 : d.above_zero("static_with", r.static_with);
    const double factor = correction(without, with);
    vary_orifice(d, plate, r.rated, r, factor);
    if (!stays) {
        d.vary("static_without", r.static_without, [&](double x) { return correction(x, with); });
        d.vary("static_with", r.static_with, [&](double x) { return correction(without, x); });
    }
    d.own(practice::flow_grid);
    return std::move(d).told(plate.airflow() * factor / d.volume());
}

DeterminedAirflow airflow_by(const KnownDrop& r, const FlowingAir& air) {
    Determination d(AirflowMethod::drop, air);
    InstrumentReading<Dimension::ratio> exponent = r.exponent;
    if (std::isnan(exponent.value.si)) exponent.value.si = practice::drop_exponent;
    if (std::isnan(exponent.standard.si)) exponent.standard.si = practice::drop_exponent_u;
    if (!(exponent.value.si >= 0.4 && exponent.value.si <= 1.0))
        d.refuse("exponent of airflow over drop", brief(exponent.value.si), "0.5 (turbulent) to 1 (laminar)");
    const Orifice known{d.above_zero("known", r.known), d.above_zero("known_drop", r.known_drop),
                        d.above_zero("drop", r.drop), exponent.value.si, d.sigma()};
    vary_orifice(d, known, r.known, r, 1.0);
    d.vary("exponent", exponent, [&](double x) {
        Orifice moved = known;
        moved.exponent = x;
        return moved.airflow();
    });
    d.own(practice::known_drop);
    return std::move(d).told(known.airflow() / d.volume());
}

DeterminedAirflow airflow_by(const Hood& r, const FlowingAir& air) {
    Determination d(AirflowMethod::hood, air);
    if (r.registers.values.empty()) d.refuse("no registers", {}, "the airflow of each");
    double sum = 0.0;
    for (const Airflow one : r.registers.values) {
        if (!(one.si >= 0.0 && std::isfinite(one.si)))
            d.refuse("a register's airflow below zero", brief(one.si), "zero or more");
        sum += one.si;
    }
    const double v = d.volume(), count = static_cast<double>(r.registers.values.size());
    d.vary("registers", r.registers, [&](double off) { return (sum + off * count) / v; });
    d.vary_density([&](double share) { return sum * share / v; });
    d.own(practice::hood);
    return std::move(d).told(sum / v);
}

DeterminedAirflow airflow_by(const CondensateBalance& r, const FlowingAir& air) {
    Determination d(AirflowMethod::condensate, air);
    const double water = d.above_zero("water", r.water), w1 = d.above_zero("entering", r.entering),
                 w2 = d.above_zero("leaving", r.leaving);
    if (!(w1 > w2))
        d.refuse("the air leaves no drier than it entered", brief(w1 - w2) + " kg/kg",
                 "a wet coil, and humidities that are apart");
    d.vary("water", r.water, [&](double x) { return x / (w1 - w2); });
    d.vary("entering", r.entering, [&](double x) { return water / (x - w2); });
    d.vary("leaving", r.leaving, [&](double x) { return water / (w1 - x); });
    d.own(practice::condensate);
    return std::move(d).told(water / (w1 - w2));
}

DeterminedAirflow airflow_by(const AirflowReadBy& reading, const BlowerTable& blower, const FlowingAir& air) {
    return std::visit(
        [&]<class T>(const T& r) {
            if constexpr (std::is_same_v<T, BlowerReading>)
                return airflow_by(r, blower, air);
            else
                return airflow_by(r, air);
        },
        reading);
}

std::string explain(const Reason& reason, const BlowerTable& blower, std::string_view tap, UnitSystem system) {
    std::string out = explain(reason, system);
    if (reason.why != Why::unknown_tap) return out;
    std::string taps;
    for (const std::string& one : blower.taps()) taps += (taps.empty() ? "" : ", ") + one;
    return out + ": '" + detail::visible(tap) +
           "'; accepted: " + (taps.empty() ? "none, it has no blower table" : taps);
}

std::vector<double> traverse_points(TraverseRule rule, bool round, int points) {
    const auto refuse = [&](const char* accepted) {
        throw InputError({}, "no such number of traverse points", std::to_string(points), accepted);
    };
    std::vector<double> out;
    if (rule == TraverseRule::equal_area) {
        if (!(points >= 2 && points <= 20) || (round && points % 2 != 0)) refuse("2 to 20, even in a round duct");
        for (int i = 0; i < points; ++i) {
            // Centres of equal parts; in a round duct of equal rings, from the outermost in (ISO 3966).
            const double ring = points - 1 - 2 * i;
            const double radius = std::sqrt(std::abs(ring) / points);
            out.push_back(round ? 0.5 * (1.0 - std::copysign(radius, ring)) : (i + 0.5) / points);
        }
        return out;
    }
    // ISO 3966, ANSI/ASHRAE 111; the near half of each line, the other mirrors it.
    struct Line {
        bool round;
        int points;
        std::vector<double> near;
    };
    for (const Line& line :
         {Line{false, 5, {0.074, 0.288, 0.5}}, Line{false, 6, {0.061, 0.235, 0.437}},
          Line{false, 7, {0.053, 0.203, 0.366, 0.5}}, Line{true, 6, {0.032, 0.135, 0.321}},
          Line{true, 8, {0.021, 0.117, 0.184, 0.345}}, Line{true, 10, {0.019, 0.077, 0.153, 0.217, 0.361}}}) {
        if (line.round != round || line.points != points) continue;
        out = line.near;
        for (std::size_t i = static_cast<std::size_t>(points) / 2; i-- > 0;) out.push_back(1.0 - line.near[i]);
    }
    if (out.empty()) refuse(round ? "6, 8 or 10 along a diameter" : "5, 6 or 7 along a side");
    return out;
}

}  // namespace offnominal
