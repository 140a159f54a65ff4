/// @file
/// Machines of the trial with one fault, or a reading that is wrong: what a visit reads of them, what a check tells,
/// and how often the likeliest cause is the true one. Faults are made by another model than the ranking has of them
/// wherever there are two.
#pragma once

#include <algorithm>
#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "offnominal/derates/faults.hpp"
#include "offnominal/proof/causes.hpp"
#include "visits.hpp"

namespace trial {

using namespace offnominal;

/// What is wrong, at what level, and what it does.
struct Sick {
    Cause cause = Cause::nothing_wrong;
    std::optional<Input> input;
    double level = 0.0;
    Factors factors;
    double leak = 0.0;            ///< share of the airflow drawn in
    double transfer = 1.0;        ///< what is left of the indoor coil's heat transfer
    std::optional<Cause> also{};  ///< a second one at the same time
    double also_level = 0.0;

    [[nodiscard]] bool has(Cause one) const { return cause == one || also == one; }
};
struct SickRow {
    const char* name;
    /// Wet bulb entering and outdoor dry bulb, degC.
    std::function<Sick(Chance&, double, double)> draw;
    Secret secret = Secret::none;
    bool costs = true;    ///< takes 10 % of the capacity or more
    double astray = 0.0;  ///< how far the reading of a wrong instrument is off, at least; half as much again at most

    [[nodiscard]] Sick any() const {
        Chance chance(1, 1, 1);
        return draw(chance, 19.4, 35.0);
    }
    [[nodiscard]] std::optional<Input> input() const { return any().input; }
    [[nodiscard]] double prior(const CausePriors& priors) const {
        const Sick sick = any();
        const double of_cause = priors.of[static_cast<std::size_t>(sick.cause)];
        // Both directions of a reading that is off count half.
        return sick.input ? 0.5 * of_cause * priors.reading[static_cast<std::size_t>(*sick.input)] : of_cause;
    }
};

/// Draws a level at which a model takes off at least a tenth; the greatest where it never does.
inline Sick by_model(Cause cause, derates::CircuitFault fault, Chance& chance, double wet, double outdoor,
                     double spread) {
    const double most = derates::greatest_fault[static_cast<std::size_t>(fault)], cop = 4.5;
    double least = most;
    while (least > 0.02 && derates::circuit_fault_effect(fault, least - 0.01, wet, outdoor, cop).total <= 0.90)
        least -= 0.01;
    Sick out{cause, {}, chance.within({least, most}), {}, 0.0};
    out.factors = derates::circuit_fault_effect(fault, out.level, wet, outdoor, cop);
    out.transfer = derates::heat_transfer_effect(fault, out.level);
    // A machine unlike the one behind the model.
    out.factors.total = std::pow(out.factors.total, 1.0 + spread * chance.normal());
    out.factors.power = std::pow(out.factors.power, 1.0 + spread * chance.normal());
    return out;
}

inline double wet_bulb_of(const Truth& t) { return moist::wet_bulb(t.t, t.W, t.p); }

/// @param spread  0 leaves out what one machine differs from the next in total and power
inline void run_sick(const Make& make, Runs stage, const Sick& sick, Chance& chance, Truth& truth,
                     double spread = 1.0) {
    const double m = truth.mass_flow();
    truth.boundary = Boundary::coil_and_fan;
    if (!(truth.fan > 0.0)) truth.fan = chance.within({0.35, 0.50}) / cfm(1.0) * truth.actual_airflow();
    const bool blown = make.layout.fan == FanPosition::blow_through;
    Entering in{truth.t, truth.W, truth.p};
    if (sick.leak > 0.0) {  // from an attic: warmer than outdoors, about as moist
        in.t += sick.leak * (truth.outdoor + chance.within({0.0, 12.0}) - in.t);
        in.W += sick.leak * (truth.W * chance.within({0.8, 1.3}) - in.W);
    }
    const double warms = truth.fan / (m * moist::moist_heat_capacity(in.W));
    if (blown) in.t += warms;
    const Running sound = make.machine->sound(stage, in, m, truth.outdoor);
    const double own = 1.0 + spread * 0.5 * make.tolerance * chance.normal();
    const Point out = make.machine->leaving(in, m, sick.factors.total * own * sound.total,
                                            sick.transfer * std::exp(0.05 * chance.normal()));
    truth.supply_t = out.t + (blown ? 0.0 : warms);
    truth.supply_W = std::min(out.W, moist::saturation_humidity_ratio(out.t, truth.p));
    truth.power = sound.power * (1.0 + spread * 0.02 * chance.normal()) * sick.factors.power;
}

/// What is read with gauges, at one time.
constexpr CauseCheck gauge_checks[] = {CauseCheck::subcooling, CauseCheck::superheat, CauseCheck::condensing};
constexpr double gauge_noise = 1.3;  // K

/// How far a fault of level 1 moves subcooling, superheat or condensing temperature, K: invented, none of it with a
/// valve that holds the superheat.
inline Range gauge_moves(CauseCheck check, Cause cause) {
    const auto of = [check](Range subcooling, Range superheat, Range condensing) {
        return check == CauseCheck::subcooling ? subcooling : check == CauseCheck::superheat ? superheat : condensing;
    };
    constexpr Range still{0.0, 0.0};
    switch (cause) {
        case Cause::charge_low:
            return of({-26.0, -14.0}, {0.0, 40.0}, {-18.0, -6.0});
        case Cause::charge_high:
            return of({14.0, 26.0}, {-15.0, 0.0}, {8.0, 24.0});
        case Cause::outdoor_airflow:
            return of({-4.0, 4.0}, {-4.0, 4.0}, {12.0, 26.0});
        case Cause::liquid_restriction:
            return of({8.0, 22.0}, {20.0, 80.0}, {-20.0, 0.0});
        case Cause::noncondensables:
            return of({2.0, 8.0}, {-2.0, 2.0}, {6.0, 16.0});
        case Cause::compressor:
            return of({-4.0, 4.0}, {-16.0, 0.0}, {-22.0, -8.0});
        default:
            return still;
    }
}

/// What a check tells of this machine: nothing where it cannot be made; of gauges all that they read.
inline std::vector<CheckResult> look(CauseCheck check, const Sick& sick, const Truth& truth, const Visit& v,
                                     Chance& chance) {
    const auto told = [&](double value) { return std::vector{CheckResult{check, value}}; };
    const auto finds = [&](bool wrong, double found, double false_alarm) {
        return told(chance.happens(wrong ? found : false_alarm) ? 1.0 : 0.0);
    };
    const double true_supply = moist::relative_humidity(truth.supply_t, truth.supply_W, truth.p),
                 true_return = moist::relative_humidity(truth.t, truth.W, truth.p);
    switch (check) {
        case CauseCheck::power:
        case CauseCheck::probes:
            return {};
        case CauseCheck::second_airflow: {
            const double really =
                v.readings.airflow.kind == AirflowReading::Kind::standard ? cfm(truth.scfm) : truth.actual_airflow();
            return told(v.readings.airflow.si / really - 1.0 + 0.035 * chance.normal());
        }
        case CauseCheck::dry_bulbs_compared:
            return told(v.readings.supply_dry_bulb.si - truth.supply_t - v.readings.return_dry_bulb.si + truth.t +
                        0.08 * chance.normal());
        case CauseCheck::humidities_compared:
            return told(v.readings.supply_humidity.value - true_supply - v.readings.return_humidity.value +
                        true_return + 0.007 * chance.normal());
        case CauseCheck::outdoor:
            return told(v.outdoor_dry_bulb.si - truth.outdoor + 0.17 * chance.normal());
        case CauseCheck::barometer:
            return told(*v.site.pressure() - truth.p + 58.0 * chance.normal());
        case CauseCheck::stage:
            return finds(sick.has(Cause::stage), 0.98, 0.02);
        case CauseCheck::match:
            return finds(sick.has(Cause::match), 0.95, 0.03);
        case CauseCheck::outdoor_unit:
            return finds(sick.has(Cause::outdoor_airflow), 0.8, 0.12);
        case CauseCheck::return_duct:
            return finds(sick.has(Cause::return_leak), 0.8, 0.12);
        case CauseCheck::subcooling:
        case CauseCheck::superheat:
        case CauseCheck::condensing: {
            std::vector<CheckResult> out;
            for (const CauseCheck one : gauge_checks) {
                double moves = sick.level * chance.within(gauge_moves(one, sick.cause)) + gauge_noise * chance.normal();
                if (sick.also) moves += sick.also_level * chance.within(gauge_moves(one, *sick.also));
                out.push_back({one, moves});
            }
            return out;
        }
    }
    return {};
}

/// Machine, installation or reading.
enum class Group { sound, machine, told_wrong, reading };
inline Group group_of(Cause cause) {
    switch (cause) {
        case Cause::nothing_wrong:
            return Group::sound;
        case Cause::stage:
        case Cause::match:
        case Cause::line_set:
        case Cause::boundary:
            return Group::told_wrong;
        case Cause::reading:
            return Group::reading;
        default:
            return Group::machine;
    }
}

/// The group whose causes are likeliest together; of two at once those that are of one.
inline Group likeliest_group(const Causes& causes) {
    std::array<double, 4> sum{};
    for (const LikelyCause& one : causes.likely)
        if (!one.also || group_of(*one.also) == group_of(one.cause))
            sum[static_cast<std::size_t>(group_of(one.cause))] += one.probability;
    return static_cast<Group>(std::max_element(sum.begin(), sum.end()) - sum.begin());
}

/// Of two dry bulbs that do not agree, nothing tells which one is wrong: either counts.
inline bool reads(const LikelyCause& one, const Sick& sick) {
    const auto probe = [](std::optional<Input> input) {
        return input == Input::supply_dry_bulb ? Input::return_dry_bulb : input;
    };
    return probe(one.input) == probe(sick.input);
}
inline bool is(const LikelyCause& one, const Sick& sick) {
    return one.cause == sick.cause && !one.also && (!sick.input || reads(one, sick));
}

/// Every cause that is tried.
inline std::vector<SickRow> sick_rows() {
    using Fault = derates::CircuitFault;
    const auto model = [](Cause cause, Fault fault, double spread) {
        return [=](Chance& chance, double wet, double outdoor) {
            return by_model(cause, fault, chance, wet, outdoor, spread);
        };
    };
    const auto fixed = [](Cause cause, std::optional<Input> input = {}) {
        return [=](Chance&, double, double) { return Sick{cause, input, 0.0, {}, 0.0}; };
    };
    return {
        {"sound", fixed(Cause::nothing_wrong), Secret::none, false},
        {"charge low (NREL split)", model(Cause::charge_low, Fault::split_undercharge, 0.0)},
        {"liquid restriction (packaged, spread 15 %)",
         model(Cause::liquid_restriction, Fault::packaged_liquid_line, 0.15)},
        {"compressor (invented)",
         [](Chance& chance, double, double) {
             const double lost = chance.within({0.10, 0.35});
             return Sick{Cause::compressor, {}, lost, {1.0 - lost, 1.0 - chance.within({0.3, 0.7}) * lost}, 0.0};
         }},
        {"return leak (mixed air)",
         [](Chance& chance, double, double) {
             return Sick{Cause::return_leak, {}, 0.0, {}, chance.within({0.10, 0.25})};
         }},
        {"low stage said high", fixed(Cause::stage), Secret::low_stage_said_high},
        {"airflow reads 15 to 20 % low", fixed(Cause::reading, Input::airflow), Secret::airflow_reads_low},
        {"airflow reads 15 to 20 % high", fixed(Cause::reading, Input::airflow), Secret::airflow_reads_high},
        {"supply humidity 8 to 12 points high", fixed(Cause::reading, Input::supply_humidity), Secret::none, true,
         0.08},
        {"supply dry bulb 1.5 to 2.2 K high", fixed(Cause::reading, Input::supply_dry_bulb), Secret::none, true, 1.5},
        {"return dry bulb 1.5 to 2.2 K low", fixed(Cause::reading, Input::return_dry_bulb), Secret::none, true, -1.5},
        {"outdoor airflow (packaged)", model(Cause::outdoor_airflow, Fault::packaged_outdoor_airflow, 0.0),
         Secret::none, false},
        {"noncondensables (packaged, spread 15 %)",
         model(Cause::noncondensables, Fault::packaged_noncondensables, 0.15), Secret::none, false},
        {"charge high (packaged, spread 15 %)", model(Cause::charge_high, Fault::packaged_overcharge, 0.15),
         Secret::none, false},
    };
}

/// Two at once: what each takes is taken of what the other leaves.
inline SickRow together(const char* name, const SickRow& a, const SickRow& b) {
    const auto draw = [one = a.draw, other = b.draw](Chance& chance, double wet, double outdoor) {
        Sick out = one(chance, wet, outdoor);
        const Sick more = other(chance, wet, outdoor);
        out.also = more.cause;
        out.also_level = more.level;
        if (more.input) out.input = more.input;
        out.factors.total *= more.factors.total;
        out.factors.power *= more.factors.power;
        out.leak += more.leak;
        out.transfer *= more.transfer;
        return out;
    };
    return {name, draw, a.secret == Secret::none ? b.secret : a.secret, true, a.astray + b.astray};
}
/// Two causes at once that are tried.
inline std::vector<SickRow> sick_pairs() {
    const std::vector<SickRow> rows = sick_rows();
    const auto of = [&](std::string_view name) -> const SickRow& {
        return *std::find_if(rows.begin(), rows.end(),
                             [&](const SickRow& row) { return std::string_view(row.name).starts_with(name); });
    };
    return {together("charge low, outdoor airflow", of("charge low"), of("outdoor airflow")),
            together("charge low, return leak", of("charge low"), of("return leak")),
            together("compressor, outdoor airflow", of("compressor"), of("outdoor airflow")),
            together("charge low, airflow reads high", of("charge low"), of("airflow reads 15 to 20 % high")),
            together("charge low, supply humidity reads high", of("charge low"), of("supply humidity"))};
}

/// One visit to a machine with one fault, or with two.
struct SickVisit {
    const Make* make;
    Sick sick;
    Truth truth{};
    Visit visit;
    Chance chance;  ///< of what is looked at since
};

/// How far the reading that is wrong stands off.
inline void put_astray(const Sick& sick, double off, Readings& r) {
    if (sick.input == Input::supply_humidity) r.supply_humidity.value = std::min(r.supply_humidity.value + off, 0.99);
    if (sick.input == Input::supply_dry_bulb) r.supply_dry_bulb.si += off;
    if (sick.input == Input::return_dry_bulb) r.return_dry_bulb.si += off;
}
inline Runs stage_of(const SickRow& row) { return row.secret == Secret::low_stage_said_high ? Runs::low : Runs::high; }

/// Visit number `i` of a row.
[[nodiscard]] inline SickVisit sick_visit(const std::vector<Make>& makes, const SickRow& row, const Kit& kit,
                                          std::uint64_t seed, std::uint64_t number, int i) {
    const Situation s{row.name, row.secret};
    SickVisit out{
        &makes[static_cast<std::size_t>(i) % makes.size()], {}, {}, {}, {seed, number, static_cast<std::uint64_t>(i)}};
    Chance& chance = out.chance;
    const double elevation = std::round(chance.within(s.elevation)) * detail::foot;
    draw_day(*out.make, s, elevation, chance, out.truth);
    out.sick = row.draw(chance, wet_bulb_of(out.truth), out.truth.outdoor);
    run_sick(*out.make, stage_of(row), out.sick, chance, out.truth);
    Visit& v = out.visit;
    v.stage = "high";
    v.match = "indoor";
    v.steady = true;
    v.running = Duration{1500.0};
    v.limit = 0.90;
    Reader reader(out.truth, s, kit, chance, v);
    reader.site(elevation);
    reader.read();
    put_astray(out.sick, row.astray * chance.within({1.0, 1.5}), v.readings);
    return out;
}

/// Makes the first of the proposed checks that can be made, and adds what it tells.
inline std::optional<CauseCheck> check_next(const Causes& now, SickVisit& v, std::vector<CheckResult>& seen) {
    for (const NextCheck& next : now.checks)
        if (const auto results = look(next.check, v.sick, v.truth, v.visit, v.chance); !results.empty()) {
            seen.insert(seen.end(), results.begin(), results.end());
            return next.check;
        }
    return std::nullopt;
}

/// Of two at once: one that is there is named first, by itself or with the other; both are named first; both are among
/// the first three; none fits by itself, and so much is said.
struct CountOfTwo {
    static constexpr std::size_t figures = 4;
    int asked = 0;
    std::array<int, figures> before{}, after{};  ///< before any check; after three of those proposed

    static void add(const Causes& causes, const Sick& sick, std::array<int, figures>& to) {
        const auto there = [&](const LikelyCause& one) {
            return sick.has(one.cause) && (one.cause != Cause::reading || reads(one, sick));
        };
        const auto both = [&](const LikelyCause& one) {
            return one.also && there(one) && sick.has(*one.also) && (!sick.input || reads(one, sick));
        };
        const LikelyCause& first = causes.likely.front();
        const auto three = causes.likely.begin() + std::min<std::ptrdiff_t>(3, std::ssize(causes.likely));
        to[0] += there(first) && (!first.also || both(first));
        to[1] += both(first);
        to[2] += std::any_of(causes.likely.begin(), three, both);
        to[3] += causes.two_at_once;
    }
};
[[nodiscard]] inline CountOfTwo two_named(const std::vector<Make>& makes, const SickRow& row, const Kit& kit,
                                          std::uint64_t seed, std::uint64_t number, int visits) {
    CountOfTwo out;
    for (int i = 0; i < visits; ++i) {
        SickVisit v = sick_visit(makes, row, kit, seed, number, i);
        try {
            const Proof proof = prove(v.make->system, v.visit);
            Causes now = causes_of(v.make->system, v.visit, proof);
            if (now.likely.empty()) continue;
            ++out.asked;
            CountOfTwo::add(now, v.sick, out.before);
            std::vector<CheckResult> seen;
            for (int more = 0; more < 3; ++more) {
                check_next(now, v, seen);
                now = causes_of(v.make->system, v.visit, proof, seen);
            }
            CountOfTwo::add(now, v.sick, out.after);
        } catch (const Refused&) {
        } catch (const InputError&) {
        }
    }
    return out;
}

/// How often what was named is right: first; among the first two; machine, installation or reading told apart; first
/// after one, two and three of the checks that are proposed.
struct Count {
    static constexpr std::size_t figures = 6;
    int asked = 0;
    std::array<int, figures> right{};
    std::array<int, cause_count> named{};
    std::map<std::string, int> proposed;
};

/// @param told  hears of each visit, and of it again after each check: how many were proposed, and what they told
template <class Told>
Count causes_named(const std::vector<Make>& makes, const SickRow& row, const Kit& kit, std::uint64_t seed,
                   std::uint64_t number, int visits, Told&& told) {
    Count out;
    for (int i = 0; i < visits; ++i) {
        SickVisit v = sick_visit(makes, row, kit, seed, number, i);
        const System& system = v.make->system;
        try {
            const Proof proof = prove(system, v.visit);
            Causes now = causes_of(system, v.visit, proof);
            if (now.likely.empty()) continue;
            ++out.asked;
            const LikelyCause& best = now.likely.front();
            ++out.named[static_cast<std::size_t>(best.cause)];
            out.right[0] += is(best, v.sick);
            out.right[1] += is(best, v.sick) || (now.likely.size() > 1 && is(now.likely[1], v.sick));
            out.right[2] += likeliest_group(now) == group_of(v.sick.cause);
            std::vector<CheckResult> seen;
            told(v, 0, seen);
            for (std::size_t more = 3; more < Count::figures; ++more) {
                const auto made = check_next(now, v, seen);
                if (made && more == 3) ++out.proposed[std::string(name(*made))];
                now = causes_of(system, v.visit, proof, seen);
                out.right[more] += is(now.likely.front(), v.sick);
                told(v, more - 2, seen);
            }
        } catch (const Refused&) {
        } catch (const InputError&) {
        }
    }
    return out;
}

}  // namespace trial
