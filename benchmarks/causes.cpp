// How often the likeliest cause of a shortfall is the true one: virtual visits to machines with one fault, which is
// made by another model than the ranking has of it wherever there are two. Machines, days and instruments are those of
// the trial.
//
//     causes [VISITS [SEED]]        a row is so many visits (300)
#include "offnominal/proof/causes.hpp"

#include <algorithm>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <string>
#include <vector>

#include "offnominal/derates/faults.hpp"
#include "trial/visits.hpp"

using namespace offnominal;
using trial::Chance;
using trial::Make;
using trial::Truth;
namespace moist = trial::moist;

namespace {

/// What is wrong, at what level, and what it does.
struct Sick {
    Cause cause = Cause::nothing_wrong;
    std::optional<Input> input;
    double level = 0.0;
    Factors factors;
    double leak = 0.0;  ///< share of the airflow drawn in
};
struct Row {
    const char* name;
    /// Wet bulb entering and outdoor dry bulb, degC.
    std::function<Sick(Chance&, double, double)> draw;
    trial::Secret secret = trial::Secret::none;
    bool costs = true;    ///< takes 10 % of the capacity or more
    double astray = 0.0;  ///< how far the reading of a wrong instrument is off, at least; half as much again at most

    [[nodiscard]] double prior(const CausePriors& priors) const {
        Chance any(1, 1, 1);
        const Sick sick = draw(any, 19.4, 35.0);
        const double of_cause = priors.of[static_cast<std::size_t>(sick.cause)];
        // Both directions of a reading that is off count half.
        return sick.input ? 0.5 * of_cause * priors.reading[static_cast<std::size_t>(*sick.input)] : of_cause;
    }
};

/// Draws a level at which a model takes off at least a tenth; the greatest where it never does.
Sick by_model(Cause cause, derates::CircuitFault fault, Chance& chance, double wet, double outdoor, double spread) {
    const double most = derates::greatest_fault[static_cast<std::size_t>(fault)], cop = 4.5;
    double least = most;
    while (least > 0.02 && derates::circuit_fault_effect(fault, least - 0.01, wet, outdoor, cop).total <= 0.90)
        least -= 0.01;
    Sick out{cause, {}, chance.within({least, most}), {}, 0.0};
    out.factors = derates::circuit_fault_effect(fault, out.level, wet, outdoor, cop);
    // A machine unlike the one behind the model.
    out.factors.total = std::pow(out.factors.total, 1.0 + spread * chance.normal());
    out.factors.power = std::pow(out.factors.power, 1.0 + spread * chance.normal());
    return out;
}

double wet_bulb_of(const Truth& t) { return moist::wet_bulb(t.t, t.W, t.p); }

void run_sick(const Make& make, trial::Runs stage, const Sick& sick, Chance& chance, Truth& truth) {
    const double m = truth.mass_flow();
    truth.boundary = Boundary::coil_and_fan;
    truth.fan = chance.within({0.35, 0.50}) / trial::cfm(1.0) * truth.actual_airflow();
    const bool blown = make.layout.fan == FanPosition::blow_through;
    trial::Entering in{truth.t, truth.W, truth.p};
    if (sick.leak > 0.0) {  // from an attic: warmer than outdoors, about as moist
        in.t += sick.leak * (truth.outdoor + chance.within({0.0, 12.0}) - in.t);
        in.W += sick.leak * (truth.W * chance.within({0.8, 1.3}) - in.W);
    }
    const double warms = truth.fan / (m * moist::moist_heat_capacity(in.W));
    if (blown) in.t += warms;
    const trial::Running sound = make.machine->sound(stage, in, m, truth.outdoor);
    const double own = 1.0 + 0.5 * make.tolerance * chance.normal();
    const trial::Point out =
        make.machine->leaving(in, m, sick.factors.total * own * sound.total, std::exp(0.05 * chance.normal()));
    truth.supply_t = out.t + (blown ? 0.0 : warms);
    truth.supply_W = std::min(out.W, moist::saturation_humidity_ratio(out.t, truth.p));
    truth.power = sound.power * (1.0 + 0.02 * chance.normal()) * sick.factors.power;
}

/// What a check tells of this machine.
std::optional<CheckResult> look(CauseCheck check, const Sick& sick, const Truth& truth, const Visit& v,
                                Chance& chance) {
    const auto finds = [&](bool wrong, double found, double false_alarm) {
        return CheckResult{check, chance.happens(wrong ? found : false_alarm) ? 1.0 : 0.0};
    };
    const double true_supply = moist::relative_humidity(truth.supply_t, truth.supply_W, truth.p),
                 true_return = moist::relative_humidity(truth.t, truth.W, truth.p);
    switch (check) {
        case CauseCheck::power:
            return std::nullopt;
        case CauseCheck::second_airflow: {
            const double really = v.readings.airflow.kind == AirflowReading::Kind::standard ? trial::cfm(truth.scfm)
                                                                                            : truth.actual_airflow();
            return CheckResult{check, v.readings.airflow.si / really - 1.0 + 0.035 * chance.normal()};
        }
        case CauseCheck::dry_bulbs_compared:
            return CheckResult{check, v.readings.supply_dry_bulb.si - truth.supply_t - v.readings.return_dry_bulb.si +
                                          truth.t + 0.08 * chance.normal()};
        case CauseCheck::humidities_compared:
            return CheckResult{check, v.readings.supply_humidity.value - true_supply -
                                          v.readings.return_humidity.value + true_return + 0.007 * chance.normal()};
        case CauseCheck::outdoor:
            return CheckResult{check, v.outdoor_dry_bulb.si - truth.outdoor + 0.17 * chance.normal()};
        case CauseCheck::barometer:
            return CheckResult{check, *v.site.pressure() - truth.p + 58.0 * chance.normal()};
        case CauseCheck::stage:
            return finds(sick.cause == Cause::stage, 0.98, 0.02);
        case CauseCheck::match:
            return finds(sick.cause == Cause::match, 0.95, 0.03);
        case CauseCheck::outdoor_unit:
            return finds(sick.cause == Cause::outdoor_airflow, 0.8, 0.12);
        case CauseCheck::return_duct:
            return finds(sick.cause == Cause::return_leak, 0.8, 0.12);
        case CauseCheck::subcooling: {
            double moved = 0.0;
            if (sick.cause == Cause::charge_low) moved = -chance.within({14.0, 26.0}) * sick.level;
            if (sick.cause == Cause::charge_high) moved = chance.within({14.0, 26.0}) * sick.level;
            if (sick.cause == Cause::liquid_restriction) moved = chance.within({8.0, 22.0}) * sick.level;
            if (sick.cause == Cause::noncondensables) moved = chance.within({2.0, 8.0}) * sick.level;
            return CheckResult{check, moved + 1.3 * chance.normal()};
        }
    }
    return std::nullopt;
}

/// Machine, installation or reading.
enum class Group { sound, machine, told_wrong, reading };
Group group_of(Cause cause) {
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

/// Of two dry bulbs that do not agree, nothing tells which one is wrong: either counts.
bool is(const LikelyCause& one, const Sick& sick) {
    const auto probe = [](std::optional<Input> input) {
        return input == Input::supply_dry_bulb ? Input::return_dry_bulb : input;
    };
    return one.cause == sick.cause && (!sick.input || probe(one.input) == probe(sick.input));
}

/// How often what was named is right: first; among the first two; machine, installation or reading told apart; first
/// after one, two and three of the checks that are proposed.
struct Count {
    static constexpr std::size_t figures = 6;
    int asked = 0;
    std::array<int, figures> right{};
    std::array<int, cause_count> named{};
};

Count run(const std::vector<Make>& makes, const Row& row, const trial::Kit& kit, std::uint64_t seed,
          std::uint64_t number, int visits) {
    Count out;
    trial::Situation s{row.name, row.secret};
    for (int i = 0; i < visits; ++i) {
        Chance chance(seed, number, static_cast<std::uint64_t>(i));
        const Make& make = makes[static_cast<std::size_t>(i) % makes.size()];
        const double elevation = std::round(chance.within(s.elevation)) * detail::foot;
        Truth truth{};
        trial::draw_day(make, s, elevation, chance, truth);
        const Sick sick = row.draw(chance, wet_bulb_of(truth), truth.outdoor);
        const bool low = row.secret == trial::Secret::low_stage_said_high;
        run_sick(make, low ? trial::Runs::low : trial::Runs::high, sick, chance, truth);
        Visit v;
        v.stage = "high";
        v.match = "indoor";
        v.steady = true;
        v.running = Duration{1500.0};
        v.limit = 0.90;
        trial::Reader reader(truth, s, kit, chance, v);
        reader.site(elevation);
        reader.read();
        const double off = row.astray * chance.within({1.0, 1.5});
        if (sick.input == Input::supply_humidity)
            v.readings.supply_humidity.value = std::min(v.readings.supply_humidity.value + off, 0.99);
        if (sick.input == Input::supply_dry_bulb) v.readings.supply_dry_bulb.si += off;
        if (sick.input == Input::return_dry_bulb) v.readings.return_dry_bulb.si += off;
        try {
            const Proof proof = prove(make.system, v);
            const Causes causes = causes_of(make.system, v, proof);
            if (causes.likely.empty()) continue;
            ++out.asked;
            const LikelyCause& best = causes.likely.front();
            ++out.named[static_cast<std::size_t>(best.cause)];
            out.right[0] += is(best, sick);
            out.right[1] += is(best, sick) || (causes.likely.size() > 1 && is(causes.likely[1], sick));
            out.right[2] += group_of(best.cause) == group_of(sick.cause);
            std::vector<CheckResult> seen;
            Causes now = causes;
            for (std::size_t more = 3; more < Count::figures; ++more) {
                for (const NextCheck& next : now.checks)
                    if (const auto told = look(next.check, sick, truth, v, chance)) {
                        seen.push_back(*told);
                        break;
                    }
                now = causes_of(make.system, v, proof, seen);
                out.right[more] += is(now.likely.front(), sick);
            }
        } catch (const std::exception&) {
        }
    }
    return out;
}

}  // namespace

int main(int argc, char** argv) {
    const int visits = argc > 1 ? std::atoi(argv[1]) : 300;
    const auto seed = static_cast<std::uint64_t>(argc > 2 ? std::atoi(argv[2]) : 1);
    using Fault = derates::CircuitFault;
    const auto model = [](Cause cause, Fault fault, double spread) {
        return [=](Chance& chance, double wet, double outdoor) {
            return by_model(cause, fault, chance, wet, outdoor, spread);
        };
    };
    const auto fixed = [](Cause cause, std::optional<Input> input = {}) {
        return [=](Chance&, double, double) { return Sick{cause, input, 0.0, {}, 0.0}; };
    };
    const std::vector<Row> rows{
        {"sound", fixed(Cause::nothing_wrong), trial::Secret::none, false},
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
        {"low stage said high", fixed(Cause::stage), trial::Secret::low_stage_said_high},
        {"airflow reads 15 to 20 % low", fixed(Cause::reading, Input::airflow), trial::Secret::airflow_reads_low},
        {"airflow reads 15 to 20 % high", fixed(Cause::reading, Input::airflow), trial::Secret::airflow_reads_high},
        {"supply humidity 8 to 12 points high", fixed(Cause::reading, Input::supply_humidity), trial::Secret::none,
         true, 0.08},
        {"supply dry bulb 1.5 to 2.2 K high", fixed(Cause::reading, Input::supply_dry_bulb), trial::Secret::none, true,
         1.5},
        {"return dry bulb 1.5 to 2.2 K low", fixed(Cause::reading, Input::return_dry_bulb), trial::Secret::none, true,
         -1.5},
        {"outdoor airflow (packaged)", model(Cause::outdoor_airflow, Fault::packaged_outdoor_airflow, 0.0),
         trial::Secret::none, false},
        {"noncondensables (packaged, spread 15 %)",
         model(Cause::noncondensables, Fault::packaged_noncondensables, 0.15), trial::Secret::none, false},
        {"charge high (packaged)", model(Cause::charge_high, Fault::packaged_overcharge, 0.0), trial::Secret::none,
         false},
    };
    const auto makes = trial::all_makes();
    const auto tell = [](const char* name, double asked, const std::array<double, Count::figures>& shares) {
        std::printf("%-44s %6.0f", name, asked);
        for (const double share : shares) std::printf(" %6.1f", 100.0 * share);
    };
    for (const trial::Kit& kit : {trial::kits[0], trial::kits[1]}) {
        std::printf("%s kit: percent of visits\n%-44s %6s %6s %6s %6s %6s %6s %6s  named first\n", kit.name, "",
                    "asked", "first", "two", "group", "1 more", "2 more", "3 more");
        std::array<double, Count::figures> even{}, weighted{};
        double count = 0.0, asked = 0.0, weight = 0.0;
        std::uint64_t number = 0;
        for (const Row& row : rows) {
            const Count c = run(makes, row, kit, seed, number++, visits);
            if (c.asked == 0) continue;
            std::array<double, Count::figures> shares{};
            for (std::size_t n = 0; n < shares.size(); ++n) shares[n] = static_cast<double>(c.right[n]) / c.asked;
            tell(row.name, c.asked, shares);
            for (const CauseWords& w : words_of<Cause>)
                if (const double named = 100.0 * c.named[static_cast<std::size_t>(w.value)] / c.asked; named >= 4.0)
                    std::printf("  %s %.0f", std::string(w.word).c_str(), named);
            std::printf("\n");
            if (!row.costs) continue;
            const double w = row.prior({});
            asked += c.asked;
            count += 1.0;
            weight += w;
            for (std::size_t n = 0; n < shares.size(); ++n) {
                even[n] += shares[n];
                weighted[n] += w * shares[n];
            }
        }
        for (double& share : even) share /= count;
        for (double& share : weighted) share /= weight;
        tell("all that cost 10 % or more", asked, even);
        tell("\nthe same, by how often each is thought to occur", asked, weighted);
        std::printf("\n\n");
    }
}
