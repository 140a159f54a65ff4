#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "offnominal/expect/words.hpp"
#include "ranges.hpp"
#include "text.hpp"

namespace offnominal {
namespace {
using namespace detail;

std::string air_words(const air::State& state, UnitSystem units) {
    return with_unit(Kind::temperature, state.dry_bulb.si, units) + " dry bulb, " +
           with_unit(Kind::temperature, air::wet_bulb(state).si, units) + " wet bulb, " +
           percent(air::relative_humidity(state).si) + " relative humidity";
}

std::string flow_words(const Delivered& d, UnitSystem units) {
    const auto of = [units](Kind kind, double si) { return with_unit(kind, si, units); };
    return of(Kind::airflow, d.standard_airflow.si) + " standard air, " + of(Kind::mass_flow, d.mass_flow.si) +
           " of dry air, station pressure " + of(Kind::pressure, d.return_air.pressure.si) + "\n";
}

std::string heat_words(const Visit& visit, const Delivered& d, UnitSystem units) {
    const auto of = [units](Kind kind, double si) { return with_unit(kind, si, units); };
    std::string out = "delivered: " + of(Kind::capacity, d.total_capacity.si) + " of heating";
    if (visit.auxiliary_unknown) out += ", auxiliary heat's part included, if it was on";
    if (d.auxiliary_heat.si > 0.0)
        out += ", without " + of(Kind::electric_power, d.auxiliary_heat.si) + " of auxiliary heat";
    return out + "\n  return " + of(Kind::temperature, d.return_air.dry_bulb.si) + " dry bulb, supply " +
           of(Kind::temperature, d.supply_air.dry_bulb.si) + ", both at " +
           of(Kind::humidity_ratio, d.return_air.humidity_ratio.si) + "\n  rise " +
           of(Kind::temperature_difference, -d.split.si) + ", " + flow_words(d, units);
}

std::string delivered_words(const Visit& visit, const Delivered& d, UnitSystem units) {
    if (d.mode == Mode::heating) return heat_words(visit, d, units);
    const auto of = [units](Kind kind, double si) { return with_unit(kind, si, units); };
    return "delivered: total " + of(Kind::capacity, d.total_capacity.si) + ", sensible " +
           of(Kind::capacity, d.sensible_capacity.si) + ", latent " + of(Kind::capacity, d.latent_capacity.si) + "\n" +
           "  return " + air_words(d.return_air, units) + "\n  supply " + air_words(d.supply_air, units) +
           "\n  split " + of(Kind::temperature_difference, d.split.si) + ", " + flow_words(d, units);
}

/// How the airflow of a visit was found, and what it has of the ratio's doubt.
std::string airflow_words(const Proof& proof, UnitSystem units) {
    if (!proof.airflow) return {};
    const auto flow = [units](StandardAirflow airflow, double u) {
        return with_unit(Kind::airflow, airflow.si, units) + " standard air +- " + percent(2.0 * u, 0);
    };
    const auto& ways = proof.airflow_by;
    std::string out = "airflow: " + flow(proof.airflow->airflow, proof.airflow->u);
    if (ways.size() == 1) out += ", by " + how_found(ways[0]);
    const auto line = ranges::find(proof.budget, Input::airflow, &BudgetLine::input);
    if (proof.ratio && line != proof.budget.end()) out += "; " + percent(line->share, 0) + " of the ratio's variance";
    out += "\n";
    if (ways.size() == 1) return out;
    for (const DeterminedAirflow& way : ways) out += "  " + flow(way.airflow, way.u) + ", by " + how_found(way) + "\n";
    out += std::string("  they ") + (proof.airflow->agree ? "agree" : "DISAGREE") + " (a chance of " +
           chance_words(proof.airflow->chance) + " to stand as far apart)";
    if (!proof.airflow->agree && ways.size() > 2)
        out += "; farthest off is " + how_found(ways[proof.airflow->farthest]);
    return out + "\n";
}

std::string words(Input input) { return spaced(name(input)); }

/// A ratio with its doubt: "0.987 +- 0.036".
std::string ratio_words(double ratio, double u95) { return fixed(ratio, 3) + " +- " + fixed(u95, 3); }

/// The note that says what contradicts, where one does.
std::optional<Note> suspect_note(const Proof& proof) {
    // A note alone names nothing: probes astride the fan may be noted while the airflow is the suspect.
    constexpr std::pair<Note, About> notes[] = {{Note::other_stage, About::stage},
                                                {Note::probes_astride_fan, About::boundary},
                                                {Note::airflows_disagree, About::airflow},
                                                {Note::wick_suspect, About::supply_wet_bulb},
                                                {Note::airflow_suspect, About::airflow},
                                                {Note::capacities_disagree, About::total_capacity},
                                                {Note::sea_level_unchecked, About::elevation}};
    for (const auto& [note, suspect] : notes)
        if (proof.suspect == suspect && proof.notes.has(note)) return note;
    return proof.suspect != About::nothing && proof.notes.has(Note::wet_supply) ? std::optional(Note::wet_supply)
                                                                                : std::nullopt;
}

std::string suspect_words(const Proof& proof) {
    if (const auto note = suspect_note(proof)) return std::string(describe(*note));
    return std::string(describe(Note::reading_suspect)) + ": look at the " + std::string(row_of(proof.suspect)->words);
}

/// The search for a steady window of a visit's log that found none.
const SteadySearch* no_window(const Visit& visit, const Proof& proof) {
    if (proof.reason.why != Why::not_steady || !visit.log_window) return nullptr;
    const SteadySearch& search = visit.log_window->search;
    return search.window.steady() ? nullptr : &search;
}

/// What in a log is not steady: "split drifts too far over the window".
std::string unsteady_words(const SteadyWindow& window) {
    const std::string text(row_of(window.why)->text);
    if (window.why != Unsteady::drift && window.why != Unsteady::range) return text;
    return spaced(name(window.signal)) + " " + text;
}

/// A wrong unit that would put a reading inside the page, where it lies outside.
std::string unit_hint(const Reason& reason) {
    if (reason.why != Why::outside) return {};
    const auto inside = [&](double value) { return value >= reason.lower && value <= reason.upper; };
    const bool flow = reason.about == About::airflow || reason.about == About::standard_airflow;
    const double litres = units::L_s.to_si(1.0) / units::cfm.to_si(1.0);
    if (flow && inside(reason.value * litres)) return "; was it read in L/s, and typed as cfm? Then it would be inside";
    if (flow && inside(reason.value / litres)) return "; was it read in cfm, and typed as L/s? Then it would be inside";
    if (reason.about != About::outdoor_dry_bulb) return {};
    if (inside(units::degF.from_si(reason.value)))
        return "; was it read in degC, and typed as degF? Then it would be inside";
    return {};
}

/// Why the outcome is what it is, in one sentence.
std::string why_words(const Visit& visit, const Proof& proof, UnitSystem units) {
    if (const SteadySearch* none = no_window(visit, proof))
        return "no ratio: " + explain(proof.reason, units) + ": " + unsteady_words(none->window);
    if (!proof.ratio) return "no ratio: " + explain(proof.reason, units) + unit_hint(proof.reason);
    for (const Note unknown : {Note::speed_unknown, Note::auxiliary_unknown})
        if (proof.notes.has(unknown)) return std::string(describe(unknown));
    if (proof.suspect != About::nothing && (proof.uncapped || proof.outcome == Outcome::undecided))
        return suspect_words(proof);
    // What contradicts a verdict without undoing it.
    const std::string yet = proof.suspect == About::nothing ? "" : "; yet " + suspect_words(proof);
    switch (proof.outcome) {
        case Outcome::implausible:
            return "a ratio this far above 1 is far more often a measuring error than a superb machine" + yet;
        case Outcome::meets:
        case Outcome::falls_short:
            return (proof.joint_ratio && proof.judge != Judge::sensible
                        ? "the readings are sure enough to say so, and sensible agrees: with it the ratio of total "
                          "is " +
                              fixed(*proof.joint_ratio, 3)
                        : std::string("the readings are sure enough to say so")) +
                   yet;
        default:
            break;
    }
    if (proof.expected_share > proof.budget.front().share)
        return "the page itself, and how far its maker's machines differ, moves the ratio most: " +
               percent(proof.expected_u);
    return "what is read leaves it open; most of it is " + words(proof.budget.front().input) +
           ", which moves the ratio " + percent(std::abs(proof.budget.front().ratio));
}

std::string_view to_do(Remedy remedy) noexcept { return row_of(remedy)->text; }

/// What to do next, in one sentence.
std::string next_words(const Visit& visit, const Proof& proof, const std::vector<Settling>& remedies) {
    if (proof.notes.has(Note::speed_unknown) || proof.reason.why == Why::speed_not_held)
        return "hold the compressor by the maker's test mode, and say so: speed_held: true";
    if (proof.notes.has(Note::auxiliary_unknown)) return std::string(to_do(Remedy::auxiliary_off));
    switch (proof.reason.why) {
        case Why::none:
            break;
        case Why::not_steady:
            if (const SteadySearch* none = no_window(visit, proof))
                return "wait at least " + fixed(std::ceil(none->wait.si / 60.0), 0) + " min, and read again";
            return "let it run for 20 minutes, and read again";
        case Why::wrong_mode:
            return "see which mode runs, and which probe hangs where";
        case Why::implausible:
        case Why::contradictory:
            return "look at what was typed, and at its unit";
        case Why::small_difference:
            return proof.delivered.mode == Mode::heating ? "see whether it heats at all"
                                                         : "see whether it cools at all";
        case Why::defrosting:
        case Why::not_given:
            return "wait until 20 minutes after a defrost, read before the next, and say so: since_defrost";
        case Why::basis_unknown:
            return "ask the maker whether the page is gross or net";
        default:
            break;
    }
    switch (proof.reason.about) {
        case About::line_length:
        case About::lift:
        case About::suction_size:
        case About::suction_loss:
            return proof.reason.why == Why::outside && proof.reason.about == About::line_length && visit.line_set &&
                           visit.line_set->beyond == BeyondTable::refuse
                       ? "ask for a model's answer past the printed line sets: line_set: {beyond: model}"
                       : "ask the maker what this line set takes: no day changes it";
        default:
            if (!proof.reason.none()) return "prove it on a day, at an airflow, that the page covers";
    }
    switch (proof.suspect) {
        case About::nothing:
            break;
        case About::stage:
            return "see which stage runs (thermostat, power), and prove again";
        case About::airflow:
            return std::string(to_do(Remedy::second_airflow));
        case About::boundary:
            return "see on which side of the fan the supply probe hangs";
        case About::total_capacity:
            return "find out which of the two capacities is wrong, the air's (" +
                   std::string(visit.second_capacity->is_weighed() ? "humidities" : "airflow") +
                   " first) or the second; then prove again";
        case About::elevation:
            return "read a barometer at the machine, or say its elevation";
        default:
            return "read the " + std::string(row_of(proof.suspect)->words) + " again, with another instrument";
    }
    switch (proof.outcome) {
        case Outcome::meets:
            return "nothing; keep this report";
        case Outcome::falls_short:
            return "look for the fault: airflow first, then charge, then the rest; then prove again";
        case Outcome::implausible:
            return "check the airflow, then the probes";
        default:
            break;
    }
    if (const Settling* best = best_of(remedies))
        return std::string(to_do(best->remedy)) + ": that settles it with a chance of " + chance_words(best->decided());
    return proof.yardstick == Yardstick::make
               ? "no better reading is likely to settle it: ask the maker for a closer tolerance, or agree to judge by "
                 "the printed page (yardstick: page)"
               : "no better reading is likely to settle it: it lies too near its limit";
}

/// What would make it surer, each with what that promises.
std::vector<std::string> promises(const std::vector<Settling>& remedies) {
    std::vector<std::string> out;
    for (const Settling& one : remedies)
        out.push_back(std::string(to_do(one.remedy)) + ": passes " + chance_words(one.meets) + ", fails " +
                      chance_words(one.falls_short) + ", ratio +- " + fixed(2.0 * one.ratio_u, 3));
    return out;
}

/// A line each, under a heading; nothing where there are none.
std::string under_heading(const std::vector<std::string>& lines, const std::string& heading) {
    if (lines.empty()) return {};
    std::string out = heading + "\n";
    for (const std::string& line : lines) out += "  " + line + "\n";
    return out;
}

/// What the chance must be; where that is little, how often it is wrong.
std::string needs_words(const Proof& proof) {
    if (proof.acceptance == Acceptance::guarded)
        return "(Pass needs " + brief(100.0 * proof.confidence, 4) + " %, fail " +
               brief(100.0 * (1.0 - proof.confidence), 4) + " %.)";
    const std::string words = "(Simple acceptance, as the visit asks: more likely than not is enough";
    return words + (proof.risk ? "; this verdict is wrong with " + chance_words(*proof.risk) : "") + ".)";
}

/// The risks of the verdict and of the rule it is made by (JCGM 106).
std::string risk_words(const Proof& proof) {
    std::string out;
    if (proof.acceptance == Acceptance::guarded)
        out += "  guard band " + fixed(proof.guard_band, 3) + ": total passes from a ratio of about " +
               fixed(proof.limit + proof.guard_band, 3) + ", fails up to about " +
               fixed(proof.limit - proof.guard_band, 3) + "\n";
    else
        out += "  no guard band: total passes from a ratio of about " + fixed(proof.limit, 3) +
               ", and at that ratio every second verdict is wrong\n";
    if (proof.risk)
        out += "  specific risk: chance that " +
               std::string(proof.outcome == Outcome::meets ? "it was passed and falls short (the consumer's)"
                                                           : "it was failed and reaches its limit (the producer's)") +
               ": " + chance_words(*proof.risk) + "\n";
    if (proof.global)
        out += "  global risk, of all machines that the visit says it is one of, read like this: " +
               percent(proof.global->consumer) + " pass and fall short (the consumer's), " +
               percent(proof.global->producer) + " fail and reach the limit (the producer's)\n";
    return out;
}

/// What the verdict stands or falls with, a line each; what contradicts is said as its reason.
std::string but_words(const Proof& proof) {
    std::string out;
    for (const Note note : told_with_verdict) {
        if (!proof.notes.has(note) || note == suspect_note(proof)) continue;
        out.append("  but: ").append(describe(note)).append("\n");
    }
    return out;
}

/// The ratios that the verdict is by, the judged one first.
std::string judged_ratios(const Proof& proof) {
    const std::string total = "total " + ratio_words(*proof.ratio, proof.ratio_u95);
    std::string out = "ratio of delivered to expected ";
    if (proof.judge == Judge::total || !proof.sensible) return out + total;
    const std::string sensible = "sensible " + ratio_words(proof.sensible->ratio, proof.sensible->ratio_u95);
    return out + (proof.judge == Judge::both ? total + ", " + sensible : sensible + ", " + total);
}

/// What it must deliver: "90 %", "90 % of sensible", "90 % of total and 85 % of sensible".
std::string judged_limits(const Proof& proof) {
    const auto share = [](double limit) { return brief(100.0 * limit, 4) + " %"; };
    switch (proof.judge) {
        case Judge::sensible:
            return share(proof.sensible_limit) + " of sensible";
        case Judge::both:
            return share(proof.limit) + " of total and " +
                   (proof.sensible_limit == proof.limit ? "" : share(proof.sensible_limit) + " ") + "of sensible";
        case Judge::total:
            break;
    }
    return share(proof.limit);
}

/// The five lines that most people read, and one for each thing unsaid or unchecked that may undo them.
std::string verdict_words(const Visit& visit, const Proof& proof, const std::vector<Settling>& remedies,
                          UnitSystem units) {
    std::string out = "proof: " + std::string(name(proof.outcome)) + "\n";
    if (proof.ratio)
        out += "  " + judged_ratios(proof) + " (coverage factor 2, about 95 %)\n  chance that it truly delivers " +
               judged_limits(proof) + ": " + chance_words(proof.probability) + ". " + needs_words(proof) + "\n";
    out += "  why: " + why_words(visit, proof, units) + "\n  next: " + next_words(visit, proof, remedies) + "\n";
    if (proof.ratio) out += but_words(proof);
    return out;
}

/// What the ratio is held against, and what else would be decided.
std::string yardstick_words(const Proof& proof) {
    const bool make = proof.yardstick == Yardstick::make;
    std::string out = std::string("  held against ") +
                      (make ? "a sound machine of this make, within the maker's tolerance (coverage factor 2)"
                            : "the page as printed: only reading and derating it is uncertain");
    if (proof.other_outcome != proof.uncapped.value_or(proof.outcome))
        out += std::string("; against ") + (make ? "the page as printed" : "a sound machine of this make") +
               " it would be " + std::string(name(proof.other_outcome)) + " (" + chance_words(proof.other_probability) +
               ")";
    return out + "\n";
}

/// Why there are two intervals, where they are two.
std::string interval_words(const Proof& proof) {
    if (proof.method != Method::draws) return {};
    return "  by the draws the true ratio lies from " + fixed(proof.ratio_low, 3) + " to " +
           fixed(proof.ratio_high, 3) +
           " with a chance of 95 %, lopsided as their distribution is; +- is twice its standard uncertainty\n";
}

/// A second capacity beside the air's.
std::string second_words(const Visit& visit, const Proof& proof, UnitSystem units) {
    if (!visit.second_capacity) return {};
    const SecondReading& read = *visit.second_capacity;
    const bool weighed = read.is_weighed();
    std::string out =
        "  second capacity, by " + std::string(name(read.by)) + ", " +
        (weighed ? with_unit(Kind::mass_flow, read.water.si, units) + " of water"
                 : with_unit(Kind::capacity, read.total.si, units) + " of the " + std::string(name(read.boundary))) +
        ": ";
    if (!proof.second) return out + "not held against the air's\n";
    const auto& [agreement, difference, u, chance] = *proof.second;
    out += percent(std::abs(difference)) + (difference < 0.0 ? " below" : " above") + " the air's total +- " +
           percent(2.0 * u) + "; ";
    const std::string rule = "6 % (ANSI/ASHRAE 37, from memory)";
    switch (agreement) {
        case Agreement::agrees:
            return out + "the two agree within " + rule + ", which makes the verdict no surer\n";
        case Agreement::unclear:
            return out + "beyond " + rule + ", yet no further than the two are uncertain by\n";
        case Agreement::contradicts:
            break;
    }
    return out + "the two CONTRADICT one another, beyond " + rule + " and what they are uncertain by\n";
}

/// Everything that was read beside what the machine should show.
std::string evidence_words(const Visit& visit, const Proof& proof, UnitSystem units) {
    std::string out = "evidence\n";
    const auto line = [&](const std::string& what, Kind kind, const Comparison& c) {
        out += "  " + what + " " + with_unit(kind, c.measured, units) + " measured, " +
               with_unit(kind, c.expected, units) + " expected: ratio " + ratio_words(c.ratio, c.ratio_u95) + "\n";
    };
    if (proof.joint_ratio)
        out += "  total and sensible together: ratio of total " + ratio_words(*proof.joint_ratio, 2.0 * proof.joint_u) +
               " (beside the verdict, which is by what the visit judges alone)\n";
    if (proof.sensible) line("sensible", Kind::capacity, *proof.sensible);
    if (proof.split)
        line(proof.delivered.mode == Mode::heating ? "rise by the machine itself"
                                                   : "split, at the airflow read and over its uncertainty,",
             Kind::temperature_difference, *proof.split);
    out += second_words(visit, proof, units);
    if (!visit.power) return out;
    const std::string of(name(visit.power->of));
    if (proof.power) {
        line("power of the " + of, Kind::electric_power, *proof.power);
        line("efficiency", Kind::efficiency, *proof.efficiency);
        return out;
    }
    out += "  power " + with_unit(Kind::electric_power, visit.power->value.si, units) + " measured of the " + of +
           ", not compared: ";
    if (proof.no_power == proof.reason) return out + "no ratio\n";
    out += explain(proof.no_power, units);
    if (proof.no_power.why == Why::unlike_basis)
        out += visit.power->of == proof.expected->power_basis
                   ? " (the meter was around the auxiliary heat too)"
                   : " (the page's is of the " + std::string(name(proof.expected->power_basis)) + ")";
    return out + "; nor is the efficiency\n";
}

std::string budget_words(const Proof& proof) {
    std::string out = "budget: " +
                      std::string(proof.method == Method::draws ? "the chance is by draws (JCGM 101)"
                                                                : "the chance is by first order with its skew, which "
                                                                  "draws agree with here (JCGM 100)") +
                      "; limits of instruments count as rectangular, over the square root of 3\n";
    out += "  " + padded("what moves the ratio (by its standard uncertainty)", 52) + padded("delivered", 11, true) +
           padded("expected", 10, true) + padded("ratio", 8, true) + padded("share", 8, true) + "\n";
    for (const BudgetLine& line : proof.budget) {
        if (line.standard == 0.0 || line.input == Input::power) continue;  // power is in no capacity
        out += "  " + padded(words(line.input), 52) + padded(percent(line.delivered, 2), 11, true) +
               padded(percent(line.expected, 2), 10, true) + padded(percent(line.ratio, 2), 8, true) +
               padded(percent(line.share, 0), 8, true) + "\n";
    }
    if (proof.bend != 0.0)
        out += "  expected total is taken " + percent(std::abs(proof.bend), 2) +
               (proof.bend > 0.0 ? " above" : " below") + " what straight reading of the page gives, which bends\n";
    if (proof.frost > 0.0)
        out += "  expected total is taken " + percent(proof.frost, 2) +
               " below the page, for frost on the outdoor coil, " +
               "of which there may be none or twice as much; what passes does so with none\n";
    return out + "  " + padded("expected side's own: page, factors, altitude, tolerance", 52) + padded("", 11) +
           padded(percent(proof.expected_u, 2), 10, true) + padded(percent(proof.expected_u, 2), 8, true) +
           padded(percent(proof.expected_share, 0), 8, true) + "\n";
}

/// How the readings stand to the stages, where that is in doubt.
std::string nearest_words(const System& system, const Visit& visit, const Proof& proof, UnitSystem units) {
    std::string out;
    const SystemParts& parts = system.parts();
    const auto tell = [&](const auto& page) {
        out += "    " + page.name;
        if (page.speed)
            out += " (" + brief(parts.speed_unit.from_si(*page.speed)) + " " + std::string(parts.speed_unit.name) + ")";
    };
    for (const StageFit& fit : proof.nearest) {
        const auto at = static_cast<std::size_t>(fit.stage);
        if (visit.mode() == Mode::heating)
            tell(parts.heating[at]);
        else
            tell(system.stages(system.match(visit.match))[at]);
        out += fit.ratio ? ": total " + fixed(*fit.ratio, 3) : ": no total (" + explain(fit.reason, units) + ")";
        if (fit.power_ratio) out += ", power " + fixed(*fit.power_ratio, 3);
        out += " of expected\n";
    }
    return out.empty() ? out : "  against each stage, best fit first (a hint, not a proof)\n" + out;
}

/// What doubts the readings first, then what is assumed of page, day and instruments.
std::vector<std::string> ranked(Notes notes) {
    std::vector<std::string> out;
    for (const Note note : {Note::auxiliary_unknown, Note::other_stage, Note::reading_suspect, Note::airflows_disagree,
                            Note::capacities_disagree, Note::wick_suspect, Note::airflow_suspect, Note::wet_supply,
                            Note::probes_astride_fan, Note::sea_level_unchecked, Note::barometer_far,
                            Note::saturated_probe, Note::uncertainty_missing}) {
        if (notes.has(note)) out.emplace_back(describe(note));
        notes = notes.without(note);
    }
    // The probe says the same, and what follows from it.
    if (notes.has(Note::near_saturation) && !out.empty()) notes = notes.without(Note::near_saturation);
    for (std::string& rest : describe(notes)) out.push_back(std::move(rest));
    return out;
}

/// What was read, as it was typed; nothing of a visit made in code.
std::string typed_words(const Visit& visit) {
    struct Line {
        std::string head, words;
    };
    std::vector<Line> lines;
    for (const std::string_view root :
         {"site", "readings", "fan_power", "auxiliary_heat", "second_capacity", "instruments"})
        for (const auto& [key, text] : visit.typed) {
            std::vector<std::string> path;
            for (std::size_t at = 0, end = 0; end != std::string::npos; at = end + 2) {
                end = key.find(": ", at);
                path.push_back(key.substr(at, end == std::string::npos ? end : end - at));
            }
            if (path.front() != root) continue;
            const bool inner = path.size() > 1 && (root == "readings" || root == "instruments");
            std::string head = path[inner ? 1 : 0], words;
            for (std::size_t i = inner ? 2 : 1; i < path.size(); ++i) words += path[i] + " ";
            if (root == "instruments") head = "instrument " + head;
            for (std::string* one : {&head, &words}) std::replace(one->begin(), one->end(), '_', ' ');
            if (lines.empty() || lines.back().head != head) lines.push_back({head, {}});
            std::string& line = lines.back().words;
            const std::string between = line.empty() ? "" : ", ";
            line = words == "value " ? text + between + line : line + between + words + text;
        }
    std::string out = lines.empty() ? "" : "read, as typed\n";
    for (const Line& line : lines) out += "  " + line.head + ": " + line.words + "\n";
    return out;
}

/// Where readings were taken from.
std::string logs_words(const Visit& visit) {
    if (visit.logs.empty()) return {};
    std::string out = "readings over time: means over a window of";
    for (const std::string& log : visit.logs) out += (&log == &visit.logs.front() ? " " : ", ") + log;
    out += "; what they scatter by is part of their uncertainty\n";
    if (!visit.log_window) return out;
    const auto& [search, dated, flaws] = *visit.log_window;
    const SteadyWindow& window = search.window;
    out += "  " + std::string(window.steady() ? "steady" : "not steady") + " from " +
           moment_words(window.begin, dated) + " to " + moment_words(window.end, dated) + ", " +
           std::to_string(window.samples) + " samples\n";
    constexpr std::size_t told = 10;
    if (!flaws.empty()) out += "  missing or left out: " + std::to_string(flaws.size()) + "\n";
    for (std::size_t i = 0; i < flaws.size() && i < told; ++i) out += "    " + flaws[i] + "\n";
    if (flaws.size() > told) out += "    and " + std::to_string(flaws.size() - told) + " more\n";
    return out;
}

/// Calibrations that no longer hold, or soon will not.
std::vector<std::string> calibration_notes(const Visit& visit) {
    std::vector<std::string> out;
    for (const auto& [name, accuracies, correlation, calibration] : visit.instruments) {
        if (!calibration) continue;
        const auto state = calibration_on(visit.date, calibration->date, calibration->months);
        std::string note = calibration_note(name, state);
        if (state.expired()) note += "; widened " + fixed(state.widening(), 2) + " times";
        if (!note.empty()) out.push_back(std::move(note));
    }
    return out;
}

}  // namespace

ProofTexts proof_texts(const Visit& visit, const Proof& proof, UnitSystem units) {
    const std::vector<Settling> remedies = settle(visit, proof);
    std::vector<std::string> notes = ranked(proof.notes);
    for (std::string& note : calibration_notes(visit)) notes.push_back(std::move(note));
    return {verdict_words(visit, proof, remedies, units), promises(remedies), std::move(notes)};
}

std::string report(const System& system, const Visit& visit, const Proof& proof, UnitSystem units) {
    const ProofTexts texts = proof_texts(visit, proof, units);
    std::string out = texts.verdict + (visit.name.empty() ? std::string("visit") : visit.name) +
                      (visit.date.empty() ? "" : ", " + visit.date) + "\n" + system.name() + "\n";
    if (!visit.remarks.empty()) out += "remarks: " + visit.remarks + "\n";
    if (proof.ratio) out += interval_words(proof) + yardstick_words(proof) + risk_words(proof);
    out += under_heading(texts.settling, "what would settle it, best first");
    out += typed_words(visit) + logs_words(visit);
    if (proof.expected) out += expected_words(system, *proof.expected, units);
    out += delivered_words(visit, proof.delivered, units);
    out += airflow_words(proof, units);
    if (proof.ratio || visit.power || visit.second_capacity) out += evidence_words(visit, proof, units);
    out += nearest_words(system, visit, proof, units);
    if (proof.ratio) out += budget_words(proof);
    if (asks_for_causes(proof)) out += report(system, visit, causes_of(system, visit, proof), units);
    return out + notes_words(texts.notes) + std::string(cautions);
}

PlanTexts plan_texts(const Plan& plan) {
    PlanTexts out;
    for (const PlannedChance& one : plan.chances)
        out.chances.push_back("a machine that truly delivers " + brief(100.0 * one.true_ratio, 4) + " %: passes " +
                              chance_words(one.meets) + ", fails " + chance_words(one.falls_short) +
                              ", is left undecided " + chance_words(1.0 - one.decided()));
    if (!plan.chances.empty()) out.remedies = promises(plan.remedies);
    return out;
}

std::string report(const System& system, const Plan& plan, UnitSystem units) {
    const Proof& proof = plan.proof;
    const PlanTexts texts = plan_texts(plan);
    std::string out = "plan: ";
    if (plan.chances.empty()) {
        out += "no ratio: " + explain(plan.reason, units) + "\n";
    } else {
        out += "the ratio will be read to +- " + fixed(2.0 * plan.chances.front().ratio_u, 3) +
               " (coverage factor 2, about 95 %)\n";
        for (const std::string& line : texts.chances) out += "  " + line + "\n";
        out += under_heading(texts.remedies, "what would make it surer, of a sound machine");
    }
    out += system.name() + "\n";
    if (proof.expected) out += expected_words(system, *proof.expected, units);
    if (proof.ratio) out += budget_words(proof);
    return out + notes_words(ranked(proof.notes)) + std::string(cautions);
}

}  // namespace offnominal
