/// @file
/// Does the machine deliver what it should? The ratio of delivered to expected total at one boundary, its joint
/// uncertainty, and a decision against a limit.
///
/// Return state and airflow enter both sides. So the ratio is propagated as a whole: each input is moved by its
/// standard uncertainty, up and down, through *both* sides, and half the change of the ratio is that input's
/// contribution (JCGM 100:2008, 5.1.3 note 2); contributions of inputs read by one instrument add with their
/// correlation (5.2). The expected side's own terms join in quadrature. First order, inputs normal or nearly so: not
/// for a ratio whose uncertainty is a large part of itself (above about 25 %), nor across a mode change.
///
/// The decision follows JCGM 106:2012, clause 7: the probability that the true ratio is at least the limit.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "offnominal/expect.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/field/practice.hpp"
#include "offnominal/field/visit.hpp"

namespace offnominal {

enum class Outcome : std::uint8_t {
    meets,           ///< the probability of reaching the limit is at least the confidence asked for
    falls_short,     ///< ... is at most one less that confidence
    undecided,       ///< in between
    implausible,     ///< ratio above 1.10 and above 1 by more than its expanded uncertainty: a measuring error, not a
                     ///< superb unit
    not_comparable,  ///< no ratio: `Proof::reason` says why
};

/// One line of the uncertainty budget. Contributions are relative: what a rise by one standard uncertainty does.
struct BudgetLine {
    Input input = Input::airflow;
    double standard = 0.0;   ///< standard uncertainty of the input, SI
    double delivered = 0.0;  ///< relative change of delivered total
    double expected = 0.0;   ///< relative change of expected total
    double ratio = 0.0;      ///< relative change of the ratio
    double share = 0.0;      ///< of the ratio's variance (covariances split evenly); may be negative with correlation
};

/// The proof of one visit.
struct Proof {
    Outcome outcome = Outcome::not_comparable;
    Reason reason;                ///< why not comparable
    std::optional<double> ratio;  ///< delivered total / expected total
    double ratio_u = 0.0;         ///< standard uncertainty of the ratio
    double ratio_u95 = 0.0;       ///< expanded, coverage factor 2 (about 95 %)
    double probability = 0.0;     ///< that the true ratio is at least the limit
    double limit = 0.0;
    double confidence = 0.0;
    std::array<BudgetLine, input_count> budget{};  ///< largest share first
    double expected_u = 0.0;                       ///< relative standard uncertainty of the expected side's own terms
    double expected_share = 0.0;                   ///< their share of the ratio's variance
    Delivered delivered;
    std::optional<Expected> expected;  ///< empty where the page has no answer
    Notes notes;
};

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

namespace detail {
inline namespace OFFNOMINAL_ISA {

/// A visit's inputs as numbers, and both sides as functions of them.
class ProofModel {
   public:
    using Inputs = std::array<double, input_count>;

    ProofModel(const System& system, const Visit& visit, double pressure) noexcept : system_(system), visit_(visit) {
        const Readings& r = visit.readings;
        base_ = {r.return_dry_bulb.si,
                 r.return_humidity.value,
                 r.supply_dry_bulb.si,
                 r.supply_humidity.value,
                 r.airflow.si,
                 visit.outdoor_dry_bulb.si,
                 pressure,
                 visit.fan_power.si};
    }

    [[nodiscard]] const Inputs& base() const noexcept { return base_; }

    [[nodiscard]] Answer<Delivered> delivered(const Inputs& x) const noexcept {
        Readings r = visit_.readings;
        r.return_dry_bulb.si = x[0];
        r.return_humidity.value = x[1];
        r.supply_dry_bulb.si = x[2];
        r.supply_humidity.value = x[3];
        r.airflow.si = x[4];
        r.fan = fan_position();
        // At the coil boundary the supply probe stands before the fan, and so does the air the fan breathes.
        r.fan_power.si = visit_.boundary == Boundary::coil ? 0.0 : x[7];
        return try_deliver(r, site(x));
    }

    /// Expected at the delivered side's own return air and mass flow.
    [[nodiscard]] Answer<Expected> expected(const Inputs& x, const Delivered& delivered,
                                            Outside outside) const noexcept {
        return try_expect(system_, site(x), conditions(x, delivered, outside));
    }

    [[nodiscard]] Conditions conditions(const Inputs& x, const Delivered& delivered, Outside outside) const noexcept {
        Conditions c;
        c.stage = visit_.stage;
        c.match = visit_.match;
        c.outdoor_dry_bulb.si = x[5];
        c.entering_dry_bulb.si = x[0];
        c.entering_humidity = visit_.readings.return_humidity;
        c.entering_humidity.value = x[1];
        c.airflow = AirflowReading::dry_mass(delivered.mass_flow);
        c.line_set = visit_.line_set;
        c.boundary = visit_.boundary;
        c.fan_power.si = x[7];
        c.outside = outside;
        c.infer = visit_.infer;
        return c;
    }

   private:
    /// Pressure as an input; the elevation, where the visit gives it, still selects an altitude factor.
    [[nodiscard]] Site site(const Inputs& x) const noexcept {
        return Site::at(Length{visit_.site.elevation()}, Pressure{x[6]});
    }
    [[nodiscard]] FanPosition fan_position() const noexcept {
        const Match* match = system_.match(visit_.match);
        return match == nullptr ? FanPosition::unknown : match->fan;
    }

    const System& system_;
    const Visit& visit_;
    Inputs base_;
};

/// Half the change of ln(delivered), ln(expected) when input `i` moves by +-u; one-sided where only one side has an
/// answer. Past the page's edge the edge cell is followed, so that a reading near an edge keeps both sides.
[[nodiscard]] inline std::optional<BudgetLine> sensitivity(const ProofModel& model, std::size_t i, double u,
                                                           const Delivered& d0, const Expected& e0,
                                                           Notes& notes) noexcept {
    BudgetLine line{static_cast<Input>(i), u, 0.0, 0.0, 0.0, 0.0};
    if (u == 0.0) return line;
    double reach = 0.0;  // how many steps of u lie between the two ends used
    double delivered[2] = {d0.total_capacity.si, d0.total_capacity.si};
    double expected[2] = {e0.total_capacity.si, e0.total_capacity.si};
    for (const int side : {0, 1}) {
        auto x = model.base();
        x[i] += side == 0 ? -u : u;
        const auto d = model.delivered(x);
        if (!d) continue;
        const auto e = model.expected(x, *d, Outside::follow);
        if (!e || !(e->total_capacity.si > 0.0)) continue;
        delivered[side] = d->total_capacity.si;
        expected[side] = e->total_capacity.si;
        reach += 1.0;
    }
    if (reach < 2.0) notes.add(Note::one_sided);
    if (reach == 0.0) return std::nullopt;
    line.delivered = (delivered[1] - delivered[0]) / (reach * d0.total_capacity.si);
    line.expected = (expected[1] - expected[0]) / (reach * e0.total_capacity.si);
    const double ratio0 = d0.total_capacity.si / e0.total_capacity.si;
    line.ratio = (delivered[1] / expected[1] - delivered[0] / expected[0]) / (reach * ratio0);
    return line;
}

/// How the errors of two inputs go together: the stated correlation between readings of one quantity by one instrument
/// (dry bulb of return, supply and outdoor; humidity of return and supply, if measured alike), else 0.
[[nodiscard]] inline double correlation_of(const Visit& visit, std::size_t i, std::size_t j) noexcept {
    if (i == j) return 1.0;
    constexpr std::array quantity{1, 2, 1, 2, 0, 1, 0, 0};  // by Input; 0: like no other
    static_assert(quantity.size() == input_count);
    const Uncertain &a = visit.uncertainty[i], &b = visit.uncertainty[j];
    if (quantity[i] == 0 || quantity[i] != quantity[j] || a.instrument.empty() || a.instrument != b.instrument)
        return 0.0;
    if (quantity[i] == 2 && visit.readings.return_humidity.kind != visit.readings.supply_humidity.kind) return 0.0;
    return std::min(a.correlation, b.correlation);
}

/// Fills budget, ratio and uncertainties of a proof whose two sides are known; false where an input's effect cannot be
/// told.
[[nodiscard]] inline bool propagate(const ProofModel& model, const Visit& visit, Proof& proof) noexcept {
    const Delivered& d = proof.delivered;
    const Expected& e = *proof.expected;
    // A held answer is differenced along the followed edge like any other: what holding it costs is in its own
    // uncertainty.
    const auto followed = model.expected(model.base(), d, Outside::follow);
    if (!followed || !(followed->total_capacity.si > 0.0)) return false;
    std::array<double, input_count> c{};
    for (std::size_t i = 0; i < input_count; ++i) {
        const bool used = std::isfinite(model.base()[i]);
        double u = used ? visit.uncertainty[i].standard : 0.0;
        if (static_cast<Input>(i) == Input::supply_humidity && proof.notes.has(Note::saturated_probe))
            u = std::max(u, 0.05 / std::sqrt(12.0));  // anywhere from 95 to 100 %
        // A pressure from an elevation is known to a fraction of a percent of itself; the other inputs are readings.
        if (used && u == 0.0 && static_cast<Input>(i) != Input::pressure) proof.notes.add(Note::uncertainty_missing);
        const auto line = sensitivity(model, i, u, d, *followed, proof.notes);
        if (!line) return false;
        proof.budget[i] = *line;
        c[i] = proof.budget[i].ratio;
    }
    std::array<double, input_count> part{};  // of the variance; covariances split evenly
    double sum = 0.0;
    for (std::size_t i = 0; i < input_count; ++i) {
        for (std::size_t j = 0; j < input_count; ++j) part[i] += c[i] * correlation_of(visit, i, j) * c[j];
        sum += part[i];
    }
    proof.expected_u = e.uncertainty.combined() / e.total_capacity.si;
    const double variance = std::max(0.0, sum) + proof.expected_u * proof.expected_u;

    proof.ratio = d.total_capacity.si / e.total_capacity.si;
    proof.ratio_u = *proof.ratio * std::sqrt(variance);
    proof.ratio_u95 = 2.0 * proof.ratio_u;
    if (variance > 0.0) {
        for (std::size_t i = 0; i < input_count; ++i) proof.budget[i].share = part[i] / variance;
        proof.expected_share = proof.expected_u * proof.expected_u / variance;
    }
    std::sort(proof.budget.begin(), proof.budget.end(), [](const BudgetLine& x, const BudgetLine& y) {
        return x.share != y.share ? x.share > y.share : x.input < y.input;
    });
    return true;
}

/// Probability that a normal variable of mean `mean` and standard deviation `sigma` is at least `limit`.
[[nodiscard]] inline double probability_at_least(double limit, double mean, double sigma) noexcept {
    if (!(sigma > 0.0)) return mean >= limit ? 1.0 : 0.0;
    return 0.5 * std::erfc((limit - mean) / (sigma * std::numbers::sqrt2));
}

/// What a file's reader checks with places, for visits built in code.
inline void check_visit(const Visit& visit) {
    const auto refuse = [](const char* problem, double value, const char* accepted) {
        throw InputError({}, problem, brief(value), accepted);
    };
    if (!(*visit.limit > 0.0 && *visit.limit <= 2.0)) refuse("limit: not a ratio to judge by", *visit.limit, "0.90");
    if (!(visit.confidence > 0.5 && visit.confidence < 1.0))
        refuse("confidence: not a probability to ask for", visit.confidence, "above 0.5 and below 1, such as 0.95");
    for (const Uncertain& u : visit.uncertainty) {
        if (!(u.standard >= 0.0 && std::isfinite(u.standard)))
            refuse("standard uncertainty", u.standard, "zero or more");
        if (!(u.correlation >= 0.0 && u.correlation <= 1.0)) refuse("correlation", u.correlation, "0 to 1");
    }
}

/// The decision of a proof that has a ratio.
[[nodiscard]] inline Outcome decide(const Proof& proof) noexcept {
    if (*proof.ratio > 1.10 && *proof.ratio - 1.0 > proof.ratio_u95) return Outcome::implausible;
    if (proof.probability >= proof.confidence) return Outcome::meets;
    if (proof.probability <= 1.0 - proof.confidence)
        return proof.notes.has(Note::saturated_probe) ? Outcome::undecided : Outcome::falls_short;
    return Outcome::undecided;
}

/// Why readings allow no ratio, whatever the page says.
[[nodiscard]] inline Why why_no_ratio(const Visit& visit, const Delivered& delivered) noexcept {
    if (visit.steady && !*visit.steady) return Why::not_steady;
    if (visit.running && *visit.running < practice::least_running) return Why::not_steady;
    if (!(delivered.total_capacity.si > 0.0)) return Why::wrong_mode;
    if (delivered.notes.has(Note::small_split)) return Why::small_difference;
    return Why::none;
}

/// True for reasons that lie in the page and the day, not in what was typed.
[[nodiscard]] constexpr bool is_about_the_page(const Reason& reason) noexcept {
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
            return true;
        default:
            return false;
    }
}

/// A relative-humidity probe above 97 % in the supply says no more than 95 to 100 %.
[[nodiscard]] inline bool is_saturated_probe(const Visit& visit, const Delivered& delivered) noexcept {
    return visit.readings.supply_humidity.kind == air::Humidity::Kind::relative_humidity &&
           delivered.notes.has(Note::near_saturation);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

inline namespace OFFNOMINAL_ISA {

/// Proves a visit.
///
/// @return the proof; where the page has no answer, or the readings allow no ratio, its outcome is `not_comparable`.
/// @throws Refused where something needed was not given (limit and boundary have no default), a key is unknown, or a
/// reading
///         cannot be (a wet bulb above dry bulb).
[[nodiscard]] inline Proof prove(const System& system, const Visit& visit) {
    if (!visit.limit) {
        const Reason r{Why::not_given, About::limit, -1, -1, 0, 0, 0};
        throw Refused(r, explain(r));
    }
    detail::check_visit(visit);
    const auto pressure = visit.site.pressure();
    if (!pressure) throw Refused(pressure.reason(), explain(pressure.reason()));
    const detail::ProofModel model(system, visit, *pressure);
    const auto& x0 = model.base();

    Proof proof;
    proof.limit = *visit.limit;
    proof.confidence = visit.confidence;
    const auto delivered = model.delivered(x0);
    if (!delivered) throw Refused(delivered.reason(), explain(delivered.reason()));
    proof.delivered = *delivered;
    proof.notes = delivered->notes;
    if (!visit.steady && !visit.running) proof.notes.add(Note::steadiness_unknown);
    if (visit.running && *visit.running < practice::settled_running) proof.notes.add(Note::short_run);

    if (detail::is_saturated_probe(visit, *delivered)) proof.notes.add(Note::saturated_probe);
    if (visit.site.pressure_only()) proof.notes.add(Note::pressure_unchecked);

    const auto expected = model.expected(x0, *delivered, visit.outside);
    if (!expected && !detail::is_about_the_page(expected.reason()))
        throw Refused(expected.reason(),
                      explain(expected.reason(), system, model.conditions(x0, *delivered, visit.outside)));
    if (expected) {
        proof.expected = *expected;
        proof.notes.add(expected->notes);
    }
    // What the readings themselves rule out comes first: swapped probes also fall off the page, but that is not the
    // news.
    proof.reason.why = detail::why_no_ratio(visit, *delivered);
    if (!proof.reason.none()) return proof;
    if (!expected) {
        proof.reason = expected.reason();
        return proof;
    }
    if (expected->notes.has(Note::capacity_basis_unknown)) {
        proof.reason.why = Why::basis_unknown;
        return proof;
    }
    if (!detail::propagate(model, visit, proof)) {
        proof.reason.why = Why::no_sensitivity;
        return proof;
    }
    proof.probability = detail::probability_at_least(proof.limit, *proof.ratio, proof.ratio_u);
    if (proof.ratio_u > 0.25 * *proof.ratio) proof.notes.add(Note::first_order_only);
    proof.outcome = detail::decide(proof);
    return proof;
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
