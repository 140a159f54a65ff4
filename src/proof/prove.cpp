#include <boost/math/distributions/normal.hpp>
#include <cmath>

#include "budget.hpp"
#include "offnominal/proof.hpp"
#include "stages.hpp"

namespace offnominal {
namespace {
using namespace detail;

/// What a file's reader checks with places, for visits built in code.
void check_visit(const Visit& visit) {
    const auto refuse = [](const char* problem, double value, const char* accepted) {
        throw InputError({}, problem, brief(value), accepted);
    };
    const auto check_correlation = [&](double r) {
        if (!(r >= 0.0 && r <= 1.0)) refuse("correlation", r, "0 to 1");
    };
    if (!(*visit.limit > 0.0 && *visit.limit <= 2.0)) refuse("limit: not a ratio to judge by", *visit.limit, "0.90");
    if (!(visit.confidence > 0.5 && visit.confidence < 1.0))
        refuse("confidence: not a probability to ask for", visit.confidence, "above 0.5 and below 1, such as 0.95");
    for (const Uncertain& u : visit.uncertainty) {
        if (!(u.standard >= 0.0 && std::isfinite(u.standard)))
            refuse("standard uncertainty", u.standard, "zero or more");
        check_correlation(u.correlation);
    }
    for (const SideBySide& pair : visit.side_by_side) check_correlation(pair.correlation);
    if (visit.power) {
        if (!(visit.power->value.si > 0.0 && std::isfinite(visit.power->value.si)))
            refuse("power: not above zero", visit.power->value.si, "the power while the machine ran");
        if (visit.power->of == PowerBasis::unknown)
            throw InputError({}, "power without what the meter was around", {}, "compressor, outdoor unit, system");
    }
    if (visit.speed && !(visit.speed->si > 0.0 && std::isfinite(visit.speed->si)))
        refuse("speed: not above zero", visit.speed->si, "the compressor's speed");
}

/// A variable-speed system's speeds are all of one measure; a visit's speed must be of that.
void check_speed(const System& system, const Visit& visit) {
    const SystemParts& parts = system.parts();
    if (!visit.speed || parts.modulation == Modulation::staged) return;
    const auto measure = [](const Unit& unit) { return unit.dimension == Dimension::ratio ? "%" : unit.name; };
    if (measure(visit.speed->unit) != measure(parts.speed_unit))
        throw InputError(visit.places.speed, "speed: in another measure than the system's pages",
                         std::string(visit.speed->unit.name), std::string(measure(parts.speed_unit)));
}

/// Where the file says what this reason is about, if the visit was read from one.
const InputError::Place* place_of(const Visit& visit, About about) noexcept {
    const InputError::Place* place = nullptr;
    if (about == About::stage) place = &visit.places.stage;
    if (about == About::match) place = &visit.places.match;
    if (about == About::speed) place = &visit.places.speed;
    if (about == About::line_set || about == About::suction_size) place = &visit.places.line_set;
    return place == nullptr || place->file.empty() ? nullptr : place;
}

/// Throws what a visit says that cannot be answered: with its place, if it has one.
[[noreturn]] void refuse_visit(const Reason& reason, const ProofModel& model, const Delivered& delivered) {
    const Visit& visit = model.visit();
    const std::string text = explain(reason, model.system(), model.conditions(model.base(), delivered));
    if (const InputError::Place* place = place_of(visit, reason.about)) throw InputError(*place, text);
    throw Refused(reason, text);
}

/// Why readings allow no ratio, whatever the page says.
Why why_no_ratio(const Visit& visit, const Delivered& delivered) noexcept {
    if (visit.steady && !*visit.steady) return Why::not_steady;
    if (visit.running && *visit.running < practice::least_running) return Why::not_steady;
    if (!(delivered.total_capacity.si > 0.0)) return Why::wrong_mode;
    if (delivered.notes.has(Note::small_split)) return Why::small_difference;
    return Why::none;
}

/// True for reasons that lie in the page and the day, not in what was typed.
constexpr bool is_about_the_page(const Reason& reason) noexcept {
    switch (reason.why) {
        case Why::outside:
            return reason.about != About::fan_power;
        case Why::blank:
        case Why::beyond_limit:
        case Why::near_dry:
        case Why::no_wet_line:
        case Why::no_knee:
        case Why::no_coil_state:
        case Why::no_expected:
        case Why::off_path:
        case Why::not_continuous:
        case Why::speed_not_held:
        case Why::not_inferred:
            return true;
        default:
            return false;
    }
}

/// A relative-humidity probe above 97 % in the supply says no more than 95 to 100 %.
bool is_saturated_probe(const Visit& visit, const Delivered& delivered) noexcept {
    return visit.readings.supply_humidity.kind == air::Humidity::Kind::relative_humidity &&
           delivered.notes.has(Note::near_saturation);
}

/// What the visit leaves unsaid or unchecked.
Notes notes_of(const System& system, const Visit& visit, const Delivered& delivered) noexcept {
    Notes notes = delivered.notes;
    if (!visit.steady && !visit.running) notes.add(Note::steadiness_unknown);
    if (visit.running && *visit.running < practice::settled_running) notes.add(Note::short_run);
    if (is_saturated_probe(visit, delivered)) notes.add(Note::saturated_probe);
    if (visit.site.pressure_only()) notes.add(Note::pressure_unchecked);
    if (system.parts().modulation != Modulation::staged && !visit.speed_held) notes.add(Note::speed_unknown);
    return notes;
}

/// The decision of a proof that has a ratio. Nothing is told from a compressor that may have run at any speed.
Outcome decide(const Proof& proof) noexcept {
    if (proof.notes.has(Note::speed_unknown)) return Outcome::undecided;
    if (*proof.ratio > 1.10 && *proof.ratio - 1.0 > proof.ratio_u95) return Outcome::implausible;
    if (proof.probability >= proof.confidence) return Outcome::meets;
    if (proof.probability <= 1.0 - proof.confidence)
        return proof.notes.has(Note::saturated_probe) ? Outcome::undecided : Outcome::falls_short;
    return Outcome::undecided;
}

/// Ratio, uncertainty and decision, or `Proof::reason`.
void judge(const ProofModel& model, Proof& proof) noexcept {
    if (proof.expected->notes.has(Note::capacity_basis_unknown)) {
        proof.reason.why = Why::basis_unknown;
        return;
    }
    if (!propagate(model, proof)) {
        proof.reason.why = Why::no_sensitivity;
        return;
    }
    proof.probability = probability_at_least(proof.limit, *proof.ratio, proof.ratio_u);
    if (proof.ratio_u > 0.25 * *proof.ratio) proof.notes.add(Note::first_order_only);
    proof.outcome = decide(proof);
}

}  // namespace

double probability_at_least(double limit, double mean, double sigma) {
    if (!(sigma > 0.0)) return mean >= limit ? 1.0 : 0.0;
    return cdf(complement(boost::math::normal(mean, sigma), limit));
}

Proof prove(const System& system, const Visit& visit) {
    if (!visit.limit) {
        const Reason r{Why::not_given, About::limit, -1, -1, 0, 0, 0};
        throw Refused(r, explain(r));
    }
    check_visit(visit);
    check_speed(system, visit);
    const auto pressure = visit.site.pressure();
    if (!pressure) throw Refused(pressure.reason(), explain(pressure.reason()));
    const ProofModel model(system, visit, *pressure);
    const auto& x0 = model.base();

    Proof proof;
    proof.limit = *visit.limit;
    proof.confidence = visit.confidence;
    const auto delivered = model.delivered(x0);
    if (!delivered) throw Refused(delivered.reason(), explain(delivered.reason()));
    proof.delivered = *delivered;
    finish(proof.delivered);
    proof.notes = notes_of(system, visit, proof.delivered);
    const bool varies = system.parts().modulation != Modulation::staged;
    const bool not_held = varies && visit.speed_held && !*visit.speed_held;

    const auto expected = model.expected(x0, *delivered, visit.outside);
    const Reason& no_page = expected.reason();
    // Who knows that no speed was held need not name one.
    const bool names_none = not_held && no_page.why == Why::not_given && no_page.about == About::stage;
    if (!expected && !names_none && !is_about_the_page(no_page)) refuse_visit(no_page, model, *delivered);
    if (expected) {
        proof.expected = *expected;
        proof.notes.add(expected->notes);
    }
    // What the readings themselves rule out comes first: swapped probes also fall off the page, but that is not the
    // news.
    proof.reason.why = why_no_ratio(visit, *delivered);
    if (!proof.reason.none()) {
        proof.no_power = proof.reason;
        return proof;
    }
    auto fits = stage_fits(model, *delivered);
    const bool other_stage = fits_another_stage(fits, model.asked().stage, system.stages(system.match(visit.match)));
    if (other_stage) proof.notes.add(Note::other_stage);
    if (other_stage || (varies && (!visit.speed_held || not_held || !expected))) proof.nearest = std::move(fits);
    if (not_held)
        proof.reason = {Why::speed_not_held, About::speed, -1, -1, 0, 0, 0};
    else if (!expected)
        proof.reason = no_page;
    else
        judge(model, proof);
    if (!proof.reason.none()) proof.no_power = proof.reason;
    return proof;
}

}  // namespace offnominal
