#include "prove.hpp"

#include <cmath>

#include "airflow.hpp"
#include "gates.hpp"
#include "instruments.hpp"
#include "stages.hpp"

namespace offnominal {
namespace detail {

void check_visit(const Visit& visit) {
    if (!visit.limit) {
        const Reason r{Why::not_given, About::limit, -1, -1, 0, 0, 0};
        throw Refused(r, explain(r));
    }
    if (!visit.date.empty()) check_day(visit.date, "date");
    const auto refuse = [](const char* problem, double value, const char* accepted) {
        throw InputError({}, problem, brief(value), accepted);
    };
    const auto check_correlation = [&](double r) {
        if (!(r >= 0.0 && r <= 1.0)) refuse("correlation", r, "0 to 1");
    };
    const auto check_limit = [&](const char* problem, double limit) {  // nor is 90 one, nor 0.9 %
        if (!(limit >= 0.1 && limit <= implausible_ratio)) refuse(problem, limit, "0.90; from 0.1 to 1.10");
    };
    check_limit("limit: not a ratio to judge by", *visit.limit);
    if (!(visit.confidence > 0.5 && visit.confidence < 1.0))
        refuse("confidence: not a probability to ask for", visit.confidence, "above 0.5 and below 1, such as 0.95");
    if (visit.population && !(visit.population->mean > 0.0 && visit.population->standard > 0.0 &&
                              std::isfinite(visit.population->mean + visit.population->standard)))
        refuse("population: standard deviation of true ratios", visit.population->standard,
               "0.08, about a mean of 0.93");
    if (visit.sensible_limit) check_limit("sensible limit: not a ratio to judge by", *visit.sensible_limit);
    for (const Uncertain& u : visit.uncertainty) {
        if (!(u.standard >= 0.0 && std::isfinite(u.standard)))
            refuse("standard uncertainty", u.standard, "zero or more");
        if (u.correlation) check_correlation(*u.correlation);
        if (!(u.scatter.standard >= 0.0 && std::isfinite(u.scatter.standard)))
            refuse("scatter of readings", u.scatter.standard, "a standard uncertainty, zero or more");
        if (!(u.scatter.degrees_of_freedom > 0.0))
            refuse("degrees of freedom of a scatter", u.scatter.degrees_of_freedom, "above zero");
    }
    for (const SideBySide& pair : visit.side_by_side) check_correlation(pair.correlation);
    if (visit.power) {
        if (!visit.power->can_run_a_machine())
            refuse("power: below one watt, or not finite", visit.power->value.si, "the power while the machine ran");
        if (visit.power->of == PowerBasis::unknown)
            throw InputError({}, "power without what the meter was around", {}, "compressor, outdoor unit, system");
    }
    if (visit.second_capacity) {
        const SecondReading& second = *visit.second_capacity;
        const bool weighed = second.is_weighed();
        const double value = weighed ? second.water.si : second.total.si;
        if (!(value > 0.0 && std::isfinite(value)))
            refuse("second capacity: not above zero", value, "what that method found, above zero");
        if (!(second.standard > 0.0 && second.standard < 1.0))
            refuse("standard uncertainty of the second capacity", second.standard, "a share of it, such as 0.02");
        if (!weighed && second.boundary != Boundary::coil && second.boundary != Boundary::coil_and_fan)
            throw InputError({}, "second capacity without what it is of", {}, "coil, coil+fan");
        if (!weighed && second.boundary != visit.boundary && !(visit.fan_power.si >= 0.0))
            throw InputError({}, "second capacity at another boundary than the air's, and no fan power", {},
                             "fan_power: the heat that lies between the two");
        for (const AirflowFinding& finding : visit.airflow_by)
            if (weighed && std::holds_alternative<CondensateBalance>(finding.by))
                throw InputError({}, "second capacity by condensate, as the airflow was found", {},
                                 "another of the two: water cannot bear itself out");
        if (visit.mode() == Mode::heating && second.by != SecondMethod::refrigerant)
            throw InputError({}, "second capacity: a method of cooling", std::string(name(second.by)),
                             "refrigerant: of a machine that heats, outdoor air's dry bulbs tell no heat, and no water "
                             "leaves its coil");
    }
    const auto check_passed = [&](const char* problem, std::optional<Duration> time) {
        if (time && !(time->si >= 0.0 && std::isfinite(time->si))) refuse(problem, time->si, "zero or more seconds");
    };
    check_passed("running: not a time that has passed", visit.running);
    check_passed("since_defrost: not a time that has passed", visit.since_defrost);
    if (visit.speed && !(visit.speed->si > 0.0 && std::isfinite(visit.speed->si)))
        refuse("speed: not above zero", visit.speed->si, "the compressor's speed");
    if (!known(visit.mode())) throw InputError({}, "mode: not one of the modes", {}, accepted_words<Mode>());
    if (visit.mode() == Mode::heating && visit.judge != Judge::total)
        throw InputError({}, "judge: heating is sensible, so there is one ratio", std::string(name(visit.judge)),
                         "total");
}

void check_speed(const System& system, const Visit& visit) {
    const SystemParts& parts = system.parts();
    if (!visit.speed || parts.modulation == Modulation::staged) return;
    const auto measure = [](const Unit& unit) { return unit.dimension == Dimension::ratio ? "%" : unit.name; };
    if (measure(visit.speed->unit) != measure(parts.speed_unit))
        throw InputError(visit.places.speed, "speed: in another measure than the system's pages",
                         std::string(visit.speed->unit.name), std::string(measure(parts.speed_unit)));
}

}  // namespace detail

namespace {
using namespace detail;

/// Where the file says what this reason is about, if the visit was read from one.
const InputError::Place* place_of(const Visit& visit, About about) noexcept {
    const InputError::Place* place = nullptr;
    if (about == About::stage) place = &visit.places.stage;
    if (about == About::match) place = &visit.places.match;
    if (about == About::speed) place = &visit.places.speed;
    if (about == About::line_set || about == About::suction_size || about == About::liquid_size || about == About::lift)
        place = &visit.places.line_set;
    return place == nullptr || place->file.empty() ? nullptr : place;
}

/// Throws what a visit says that cannot be answered: with its place, if it has one.
[[noreturn]] void refuse_visit(const Reason& reason, const ProofModel& model, const Delivered& delivered) {
    const Visit& visit = model.visit();
    const std::string text = explain(reason, model.system(), model.conditions(model.base(), delivered));
    if (const InputError::Place* place = place_of(visit, reason.about)) throw InputError(*place, text);
    throw Refused(reason, text);
}

/// True for reasons that lie in the page and the day, not in what was typed.
constexpr bool is_about_the_page(const Reason& reason) noexcept {
    switch (reason.why) {
        case Why::outside:
            return reason.about != About::fan_power;
        case Why::blank:
        case Why::beyond_limit:
        case Why::no_wet_line:
        case Why::no_knee:
        case Why::no_coil_state:
        case Why::no_expected:
        case Why::off_path:
        case Why::not_continuous:
        case Why::speed_not_held:
        case Why::not_inferred:
            return true;
        case Why::no_output:
            return reason.about == About::frost;
        default:
            return false;
    }
}

/// What makes a contradiction improbable enough to name it, and another explanation probable enough to be one.
constexpr double contradicts = 0.01, explains = 0.05;

/// What an input's standard uncertainty does to the water that leaves the air about `at`, kg/s; infinite where it leads
/// past any air.
double water_effect(const ProofModel& model, const ProofModel::Inputs& at, std::size_t i, double standard) noexcept {
    if (standard == 0.0) return 0.0;
    auto low = at, high = at;
    low[i] -= standard;
    high[i] += standard;
    const auto a = model.delivered(low), b = model.delivered(high);
    return a && b ? 0.5 * (b->condensate_flow.si - a->condensate_flow.si) : HUGE_VAL;
}

/// Standard uncertainty of the water that leaves the air, as it was read, by four readings, kg/s.
double water_uncertainty(const ProofModel& model, const KnownInputs& known) noexcept {
    double squares = 0.0;
    for (std::size_t i = 0; i < 4; ++i) {
        const double effect = water_effect(model, model.base(), i, known[i].standard);
        squares += effect * effect;
    }
    return std::sqrt(squares);
}

/// A second capacity beside the air's, at the very readings that the ratio is taken at. Of what the air tells, the
/// second shares the fan's heat at the most: outdoor air and power stand on the expected side.
void compare_second(const ProofModel& model, const Taken& taken, const Correlations& correlations, Proof& proof) {
    const Visit& visit = model.visit();
    if (!visit.second_capacity) return;
    const auto delivered = model.delivered(taken.centre);
    if (!delivered || !(delivered->total_capacity.si > 0.0)) return;
    const SecondReading& read = *visit.second_capacity;
    const auto uncertainty = [&](const Contributions& c) {
        return std::sqrt(std::max(0.0, covariance(correlations, c, c)));
    };
    if (read.is_weighed()) {
        if (!(delivered->sensible_capacity.si > 0.0)) return;
        Contributions water{};
        for (std::size_t i = 0; i < input_count; ++i) {
            if (std::isfinite(taken.centre[i]))
                water[i] = water_effect(model, taken.centre, i, standard_of(taken.known[i]));
            if (!std::isfinite(water[i])) return;
        }
        const double weighed = read.water.si, own = read.standard * weighed;
        const SecondCapacity second =
            capacity_by_condensate({weighed, own, {Duration{1.0}, Duration{0.0}}}, *delivered, visit.boundary);
        // A kilogram that the air tells is worth what one on the scale is.
        proof.second = compare(*delivered, visit.boundary, Power{uncertainty(water) / own * second.total_u.si}, second);
    } else {
        SecondCapacity second{read.by, read.boundary, read.total, Power{read.standard * read.total.si}};
        if (read.boundary != visit.boundary) {
            const double stated = visit.of(Input::fan_power).standard, fan = visit.fan_power.si;
            if (stated == 0.0) proof.notes.add(Note::uncertainty_missing);
            second.total_u.si =
                std::hypot(second.total_u.si, stated > 0.0 ? stated : poor_uncertainty(visit, Input::fan_power, fan));
        }
        const double air = delivered->total_capacity.si * uncertainty(taken.effects.delivered);
        proof.second = compare(*delivered, visit.boundary, Power{air}, second, visit.fan_power);
    }
    if (proof.second->agreement == Agreement::contradicts) proof.notes.add(Note::capacities_disagree);
}

/// What to look at where an input is astray.
About about(Input input, const Readings& readings) noexcept {
    switch (input) {
        case Input::return_dry_bulb:
            return About::return_dry_bulb;
        case Input::return_humidity:
            return about_air(About::return_dry_bulb, air::detail::about(readings.return_humidity.kind));
        case Input::supply_dry_bulb:
            return About::supply_dry_bulb;
        case Input::supply_humidity:
            return about_air(About::supply_dry_bulb, air::detail::about(readings.supply_humidity.kind));
        case Input::airflow:
            return About::airflow;
        case Input::outdoor_dry_bulb:
            return About::outdoor_dry_bulb;
        case Input::pressure:
            return About::pressure;
        case Input::fan_power:
            return About::fan_power;
        case Input::auxiliary_heat:
            return About::auxiliary_heat;
        case Input::power:
            break;
    }
    return About::power;
}

/// Whether a sound machine on another stage fits what was read at least so well.
bool another_stage_fits(const Sources& s, double own_power, double least) {
    const auto fits = [&](const ProofModel& other) {
        const auto sides = other.sides(s.centre);
        // Another stage's page is often read past its edge, where it is worth less.
        constexpr double past_its_edge = 0.03;
        return sides && fit(sound_machine(log_ratios(other, *sides), s.effects, s.own.of(Yardstick::make), own_power,
                                          past_its_edge),
                            s.correlations)
                                .probability >= least;
    };
    const AskedPage& asked = s.model.asked();
    double speed = asked.speed, slowest = HUGE_VAL, fastest = 0.0;
    bool found = false;
    for_each_page(s.model.system(), s.model.visit(), [&](std::int16_t, const auto& page) {
        if (page.speed) {
            slowest = std::min(slowest, *page.speed);
            fastest = std::max(fastest, *page.speed);
        }
        if (page.name == asked.stage) speed = page.speed.value_or(speed);
        if (!found && page.name != asked.stage) found = fits(s.model.against(AskedPage{page.name}));
    });
    if (found || s.model.system().parts().modulation != Modulation::continuous ||
        s.model.visit().mode() != Mode::cooling)
        return found;
    // Between its pages a continuous compressor may run at any speed. Neighbours differ by less than a machine does.
    constexpr int steps = 20;
    for (int i = 0; i <= steps && !found; ++i) {
        const double other = slowest + (fastest - slowest) * i / steps;
        if (std::abs(other - speed) > 0.01 * speed) found = fits(s.model.against(AskedPage{{}, other}));
    }
    return found;
}

/// By how many of its standard uncertainties a supply wet bulb reads too high where its wick is half dry, so that it
/// shows 30 to 60 % of the way from the wet bulb to the dry bulb (common practice, no source). Nothing where none was
/// read.
std::optional<TooHigh> by_dry_wick(const Sources& s) noexcept {
    const Visit& visit = s.model.visit();
    constexpr auto dry_bulb = static_cast<std::size_t>(Input::supply_dry_bulb),
                   humidity = static_cast<std::size_t>(Input::supply_humidity);
    const double left = s.centre[dry_bulb] - s.centre[humidity], u = s.known[humidity].standard;
    if (visit.mode() != Mode::cooling || visit.readings.supply_humidity.kind != air::Humidity::Kind::wet_bulb ||
        !(left > 0.0 && u > 0.0))
        return std::nullopt;
    return TooHigh{0.3 / 0.7 * left / u, 0.6 / 0.4 * left / u};
}

/// What of the readings, wrong at a sound machine, explains everything, and far better than a fault. An airflow that
/// was read too low undoes a verdict that it falls short, and so is weighed more readily then: of the sound machines
/// that such an airflow would condemn, that saves half and more, and leaves one machine of 0.80 in 25 undecided. One
/// that was read too high undoes nothing, so that to name it takes less than one too low elsewhere (benchmarks/trial).
Notes wrong_readings(const Sources& s, std::optional<double> slope, double own_power, bool falls_short) {
    const Known& airflow = s.known[static_cast<std::size_t>(Input::airflow)];
    const WrongReadings weighed = weigh_readings(s.logs, s.effects, s.own.of(Yardstick::make), own_power, slope,
                                                 airflow.standard / airflow.estimate, by_dry_wick(s), s.correlations);
    // Of ordinary visits to machines good and bad, by the usual kit, so much comes in 5 of 100 for the airflow, in 1 of
    // 100 for the wick (benchmarks/trial).
    constexpr double telling = 3.4, high = 4.2, low = 4.8;
    const auto explained = [](const WrongReadings::Way& way, double least) {
        return way.evidence > least && way.probability >= explains;
    };
    Notes out;
    if (explained(weighed.high_airflow, high) || explained(weighed.low_airflow, falls_short ? telling : low))
        out.add(Note::airflow_suspect);
    if (explained(weighed.dry_wick, telling)) out.add(Note::wick_suspect);
    return out;
}

/// Whether what does not fit any capacity at the boundary that was typed fits one past the fan, where its heat is off
/// total and sensible alike.
bool past_the_fan_fits(const Expected& e, const Visit& visit, LogRatios at, const Effects& effects,
                       const std::optional<double>& slope, double own_power, const Correlations& correlations) {
    const double fan = visit.fan_power.si, total = e.total_capacity.si,
                 sensible = e.sensible_capacity ? e.sensible_capacity->si : 0.0;
    if (e.mode != Mode::cooling || !(total > fan && sensible > fan)) return false;
    at.total -= std::log1p(-fan / total);
    at.sensible -= std::log1p(-fan / sensible);
    return fit(any_capacity(at, effects, slope, own_power), correlations).probability >= explains;
}

/// The verdict of one yardstick, contradictions aside.
Outcome verdict(const Chances& chances, const Visit& visit) noexcept {
    if (chances.implausible >= visit.confidence) return Outcome::implausible;
    const double chance = judged(chances, visit), needed = chance_needed(visit.acceptance, visit.confidence);
    if (chance >= needed) return Outcome::meets;
    return chance <= 1.0 - needed ? Outcome::falls_short : Outcome::undecided;
}

/// The risks of the verdict that stands (JCGM 106:2012, 9.3.2 and 9.5).
void tell_risks(const Visit& visit, Proof& proof) {
    if (proof.outcome == Outcome::meets) proof.risk = 1.0 - proof.probability;
    if (proof.outcome == Outcome::falls_short) proof.risk = proof.probability;
    proof.guard_band = guard_factor(visit.acceptance, visit.confidence) * proof.ratio_u;
    if (!visit.population || visit.judge == Judge::sensible) return;
    const double limit = proof.limit, band = proof.guard_band;
    proof.global = global_risks({limit}, {limit + band}, {limit - band}, *visit.population, proof.ratio_u);
}

/// What contradicts, most telling first: each caps the verdicts it puts in doubt.
void cap(const Visit& visit, Proof& proof) noexcept {
    // `always`: named even where no verdict is capped.
    const auto doubt = [&](Note note, About suspect, bool meets, bool falls_short, bool always = true) {
        if (!proof.notes.has(note) || proof.suspect != About::nothing) return;
        const bool capped =
            (meets && proof.outcome == Outcome::meets) || (falls_short && proof.outcome == Outcome::falls_short);
        if (!capped && !always) return;
        proof.suspect = suspect;
        if (!capped) return;
        proof.uncapped = proof.outcome;
        proof.outcome = Outcome::undecided;
    };
    doubt(Note::other_stage, About::stage, true, true);
    doubt(Note::wet_supply, about(Input::supply_humidity, visit.readings), true, true);
    // Astride the fan the machine need deliver its heat the less, or in heating the more: only a verdict that this
    // would undo is in doubt.
    const bool heats = visit.mode() == Mode::heating;
    const double gross = proof.expected->total_capacity.si, fan = visit.fan_power.si,
                 net = heats ? gross + fan : gross - fan;
    if (proof.notes.has(Note::probes_astride_fan) && net > 0.0) {
        const double chance = probability_at_least(proof.limit, *proof.ratio * gross / net, proof.ratio_u);
        if (heats ? chance < proof.confidence : chance > 1.0 - proof.confidence)
            doubt(Note::probes_astride_fan, About::boundary, heats, !heats, false);
    }
    doubt(Note::airflows_disagree, About::airflow, true, true);
    doubt(Note::capacities_disagree, About::total_capacity, true, true);
    doubt(Note::wick_suspect, about(Input::supply_humidity, visit.readings), false, true);
    doubt(Note::airflow_suspect, About::airflow, false, true);
    if (*proof.ratio > 1.05) doubt(Note::sea_level_unchecked, About::elevation, true, false);
}

/// Ratio, uncertainty and decision, or `Proof::reason`.
void judge(const ProofModel& read, const SharedErrors* settled, Method most, Proof& proof, std::vector<double>* draws) {
    const Visit& visit = read.visit();
    const Expected& e = *proof.expected;
    if (e.notes.has(Note::capacity_basis_unknown)) {
        proof.reason.why = Why::basis_unknown;
        return;
    }
    const OwnTerms own = own_terms(read.system(), visit, e, proof.notes);
    proof.bend = own.bend;
    proof.frost = own.held_back;
    const ProofModel model = read.times(own.factor());
    std::optional<SharedErrors> found;
    const SharedErrors& shared = settled != nullptr ? *settled : found.emplace(shared_errors(visit));
    const Correlations& correlations = shared.correlations;
    proof.notes.add(shared.notes);
    const Taken taken(model, e, proof.notes);
    const auto& [known, centre, base, effects] = taken;
    if (!taken.known_well()) {
        proof.reason.why = Why::no_sensitivity;
        return;
    }
    proof.yardstick = visit.yardstick;
    proof.judge = visit.judge;
    proof.expected_u = own.of(visit.yardstick);
    fill_budget(visit, known, effects, correlations, proof);
    compare_power(model, effects, correlations, proof);
    compare_sensible(effects, correlations, own.sensible, proof);
    compare_second(model, taken, correlations, proof);
    if (visit.judge != Judge::total && !proof.sensible) {
        proof.reason = {Why::no_output, About::sensible_capacity, -1, -1, 0, 0, 0};
        return;
    }

    const LogRatios at = log_ratios(model, *base);
    Sources sources{model, known,       correlations,         centre,         *base, at, effects, own,
                    {},    proof.limit, proof.sensible_limit, visit.yardstick};
    const double own_power =
        proof.power ? std::hypot(expected_power_uncertainty(model.system(), e), power_of_sound_machine) : 0.0;
    const auto slope = coil_slope(proof.delivered, e);
    const auto residuals = any_capacity(at, effects, slope, own_power);
    const Fit whole = fit(residuals, correlations);
    // What agrees is used together; what does not is looked at.
    if (slope && std::isfinite(at.sensible) &&
        fit(std::span<const Residual>(residuals).first(1), correlations).probability >= explains) {
        sources.slope = slope;
        proof.notes.add(Note::joined);
    }
    if (whole.probability < contradicts) proof.notes.add(Note::reading_suspect);
    if (const double water = proof.delivered.condensate_flow.si;
        water < 0.0 && water < -2.0 * water_uncertainty(model, known))
        proof.notes.add(Note::wet_supply);
    const auto sound = sound_machine(at, effects, own.of(Yardstick::make), own_power);
    if (fit(sound, correlations).probability < contradicts && another_stage_fits(sources, own_power, explains))
        proof.notes.add(Note::other_stage);

    Ratios ratios = ratios_by_first_order(sources);
    if (most == Method::draws && !(ratios.left_out <= most_left_out)) {
        const auto drawn = ratios_by_draws(sources);
        if (!drawn) {
            proof.reason.why = Why::no_sensitivity;
            return;
        }
        ratios = *drawn;
    }
    if (draws != nullptr) *draws = drawn_ratios(sources, draws->size());
    proof.method = ratios.method;
    proof.ratio = ratios.total.mean;
    proof.ratio_u = ratios.total.standard;
    proof.ratio_u95 = 2.0 * proof.ratio_u;
    proof.ratio_low = ratios.total.low;
    proof.ratio_high = ratios.total.high;
    if (ratios.joint) {
        proof.joint_ratio = ratios.joint->mean;
        proof.joint_u = ratios.joint->standard;
    }
    const Yardstick other_yardstick = visit.yardstick == Yardstick::make ? Yardstick::page : Yardstick::make;
    const Chances &asked = ratios.chances[static_cast<std::size_t>(visit.yardstick)],
                  &other = ratios.chances[static_cast<std::size_t>(other_yardstick)];
    proof.probability = judged(asked, visit);
    proof.other_probability = judged(other, visit);
    proof.outcome = verdict(asked, visit);
    proof.other_outcome = verdict(other, visit);
    // Nothing falls short that another stage would explain. Power tells stages apart; without it nobody has seen which
    // one ran, and another counts until what was read contradicts it.
    if (proof.outcome == Outcome::falls_short && !proof.notes.has(Note::other_stage) &&
        another_stage_fits(sources, own_power, std::isfinite(at.power) ? explains : contradicts))
        proof.notes.add(Note::other_stage);
    proof.notes.add(wrong_readings(sources, slope, own_power, proof.outcome == Outcome::falls_short));
    if (proof.notes.has(Note::speed_unknown) || proof.notes.has(Note::auxiliary_unknown))
        proof.outcome = proof.other_outcome = Outcome::undecided;
    cap(visit, proof);
    if (proof.notes.has(Note::reading_suspect) && proof.suspect == About::nothing) {
        proof.suspect = proof.notes.has(Note::probes_astride_fan) &&
                                past_the_fan_fits(e, visit, at, effects, slope, own_power, correlations)
                            ? About::boundary
                            : about(most_telling(residuals, correlations), visit.readings);
        if (proof.outcome == Outcome::meets || proof.outcome == Outcome::falls_short) {
            proof.uncapped = proof.outcome;
            proof.outcome = Outcome::undecided;
        }
    }
    tell_risks(visit, proof);
}

}  // namespace

namespace detail {

SharedErrors shared_errors(const Visit& visit) {
    SharedErrors out;
    out.correlations = correlations_of(visit, out.notes);
    check_correlations(out.correlations.matrix());
    return out;
}

Reason prove_checked(const ProofModel& model, const SharedErrors* shared, Method most, Proof& proof,
                     std::vector<double>* draws) {
    const System& system = model.system();
    const Visit& visit = model.visit();
    const auto& x0 = model.base();
    proof.limit = *visit.limit;
    proof.sensible_limit = visit.sensible_limit.value_or(*visit.limit);
    proof.confidence = visit.confidence;
    proof.acceptance = visit.acceptance;
    const auto delivered = model.delivered(x0);
    if (!delivered) return delivered.reason();
    proof.delivered = *delivered;
    finish(proof.delivered);
    proof.notes.add(notes_of(system, visit, proof.delivered));
    proof.notes.add(model.notes());
    const bool varies = system.parts().modulation != Modulation::staged;
    const bool not_held = varies && visit.speed_held && !*visit.speed_held;

    // What the readings themselves rule out comes first: swapped probes also fall off the page, but that is not the
    // news. Nor is what a slip does to the page's answer.
    proof.reason = why_no_ratio(visit, *delivered);
    // A fan that does not go with the airflow: where that goes with no machine of this size either, it is the airflow.
    // The page may tell no size at that airflow, and still at one that goes with the fan.
    if (proof.reason.about == About::fan_power) {
        auto x = x0;
        auto sides = model.sides(x);
        x[static_cast<std::size_t>(Input::airflow)] =
            visit.fan_power.si / std::sqrt(practice::least_fan_power * practice::greatest_fan_power);
        if (!sides) sides = model.sides(x);
        if (sides)
            if (const Reason size = why_not_this_size(*delivered, sides->expected); !size.none()) proof.reason = size;
    }
    const auto expected = model.expected(x0, *delivered, visit.outside);
    const Reason& no_page = expected.reason();
    // Who knows that no speed was held need not name one.
    const bool names_none = not_held && no_page.why == Why::not_given && no_page.about == About::stage;
    if (!expected && !names_none && !is_about_the_page(no_page)) return no_page;
    if (expected) {
        proof.expected = *expected;
        proof.notes.add(expected->notes.without(Note::tolerance_unknown).without(Note::interpolation_unknown));
        if (proof.reason.none()) proof.reason = why_not_this_size(*delivered, expected->gross_total.si);
        if (proof.reason.none()) proof.reason = why_not_this_power(visit, expected->gross_total.si);
    }
    if (!proof.reason.none()) {
        proof.no_power = proof.reason;
        return {};
    }
    const bool in_doubt = varies && (!visit.speed_held || not_held || !expected);
    bool other_stage = false;
    if (power_off_its_stage(model) && power_of_another_stage(model, stage_fits(model, *delivered, false))) {
        proof.notes.add(Note::other_stage);
        other_stage = true;
    }
    if (other_stage || in_doubt) proof.nearest = stage_fits(model, *delivered, true);
    if (not_held)
        proof.reason = {Why::speed_not_held, About::speed, -1, -1, 0, 0, 0};
    else if (!expected)
        proof.reason = no_page;
    else
        judge(model, shared, most, proof, draws);
    if (!proof.reason.none()) proof.no_power = proof.reason;
    return {};
}

}  // namespace detail

double saturation_slack(const Uncertain& dry_bulb, const Uncertain& humidity) noexcept {
    return std::max(air::wet_bulb_tolerance, 2.0 * std::hypot(dry_bulb.standard, humidity.standard));
}

namespace {

Proof prove_drawing(const System& system, const Visit& given, std::vector<double>* draws) {
    check_visit(given);
    check_speed(system, given);
    const auto pressure = given.site.pressure();
    if (!pressure) throw Refused(pressure.reason(), explain(pressure.reason()));
    Proof proof;
    const std::optional<Visit> widen = widened(given);
    if (widen) proof.notes.add(Note::calibration_expired);
    const Visit& known = widen ? *widen : given;
    std::optional<Visit> found;
    if (!known.airflow_by.empty()) found = with_airflow(system, known, Pressure{*pressure}, proof);
    const ProofModel model(system, found ? *found : known, *pressure);
    const Reason reason = prove_checked(model, nullptr, Method::draws, proof, draws);
    if (reason.none()) return proof;
    const auto delivered = model.delivered(model.base());
    if (!delivered) throw Refused(delivered.reason(), explain(delivered.reason()));
    refuse_visit(reason, model, *delivered);
}

}  // namespace

Proof prove(const System& system, const Visit& visit) { return prove_drawing(system, visit, nullptr); }

std::vector<double> monte_carlo(const System& system, const Visit& visit, std::size_t count) {
    std::vector<double> draws(count);
    const Proof proof = prove_drawing(system, visit, &draws);
    if (!proof.ratio) throw Refused(proof.reason, explain(proof.reason));
    return draws;
}

}  // namespace offnominal
