#include "offnominal/proof/causes.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <iterator>
#include <map>
#include <numbers>

#include "airflow.hpp"
#include "distributions.hpp"
#include "evidence.hpp"
#include "instruments.hpp"
#include "look_up.hpp"
#include "offnominal/derates/faults.hpp"
#include "offnominal/explain.hpp"
#include "offnominal/proof/settle.hpp"
#include "ranges.hpp"

namespace offnominal {
namespace {
using namespace detail;

/// Logarithms of measured over expected, of total, and of sensible and power where they are told; and what readings
/// compared since told of the errors of the first ones.
constexpr int most_told = 3 + 5;
using Vector = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, most_told, 1>;
using Square = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, most_told, most_told>;
using Effect = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, most_told, input_count>;
using ErrorCovariance = Eigen::Matrix<double, input_count, input_count, Eigen::RowMajor>;
using OfInputs = Eigen::Matrix<double, input_count, 1>;

/// Where a hypothesis puts those logarithms, and what it leaves open besides a sound machine's own spread.
struct Shift {
    double total = 0.0, sensible = 0.0, power = 0.0;
    double total_u = 0.0, sensible_u = 0.0, power_u = 0.0, all_u = 0.0;
};

/// What gauges read at one time, K above the maker's targets: subcooling, superheat, condensing temperature.
constexpr std::size_t gauges = 3;
constexpr CauseCheck gauge_checks[gauges] = {CauseCheck::subcooling, CauseCheck::superheat, CauseCheck::condensing};
using Gauges = std::array<double, gauges>;

/// A reading that is wrong: about how far it is off, and how far from that it may be, in its standard uncertainties.
/// The latter is alike for all that is said of one reading.
struct Astray {
    Input input{};
    double off = 0.0, spread = 0.0;
};

/// A hypothesis at one severity, of two causes at two.
struct Level {
    double severity = 0.0, weight = 1.0;
    Shift shift;
    Gauges gauge{};
    double also = 0.0;  ///< severity of the second cause
    std::optional<Astray> astray;
    double log_likelihood = 0.0;
    double posterior = 0.0;  ///< among the levels of its hypothesis
};
struct Hypothesis {
    LikelyCause told;
    double prior = 0.0;
    std::vector<Level> levels;
    double evidence = 0.0;
};

/// Of both probes: which of two that do not agree is off, is not told by what they read.
constexpr bool is_dry_bulb(Input input) noexcept {
    return input == Input::return_dry_bulb || input == Input::supply_dry_bulb;
}

/// How far a reading that is wrong stands from the truth: standard deviations, SI (common practice, no source).
double usual_bias(const Visit& visit, Input input, double reading) {
    switch (input) {
        case Input::return_dry_bulb:
        case Input::supply_dry_bulb:
            return 1.5;
        case Input::outdoor_dry_bulb:
            return 3.0;
        case Input::return_humidity:
        case Input::supply_humidity: {
            const air::Humidity& h =
                input == Input::return_humidity ? visit.readings.return_humidity : visit.readings.supply_humidity;
            if (h.kind == air::Humidity::Kind::relative_humidity) return 0.06;
            return h.kind == air::Humidity::Kind::wet_bulb || h.kind == air::Humidity::Kind::dew_point
                       ? 1.0
                       : 0.06 * std::abs(reading);
        }
        case Input::airflow:
            return 0.15 * std::abs(reading);
        case Input::pressure:
            return 0.05 * reading;
        case Input::power:
            return 0.10 * reading;
        case Input::fan_power:
        case Input::auxiliary_heat:
            break;
    }
    return 0.3 * std::abs(reading);
}

/// A sum of the readings' errors, in their standard uncertainties, that another reading tells, and how well.
struct Compared {
    OfInputs errors = OfInputs::Zero();
    double noise = 0.0, value = 0.0;
};

/// What was read, and how it may err together.
class Evidence {
   public:
    Evidence(const ProofModel& model, const Proof& proof, std::span<const CheckResult> seen)
        : model_(model), visit_(model.visit()), proof_(proof), e_(*proof.expected) {
        Notes told;
        taken_.emplace(model, e_, told);
        if (!taken_->known_well()) return;
        logs_ = log_ratios(model, base());
        slope_ = coil_slope(proof.delivered, e_).value_or(1.0);
        own_ = own_terms(model.system(), visit_, e_, told);
        own_power_ =
            e_.power ? std::hypot(expected_power_uncertainty(model.system(), e_), power_of_sound_machine) : 0.0;
        const Correlations k = correlations_of(visit_, told);
        errors_ = Eigen::Map<const ErrorCovariance>(k.matrix().data());
        has_sensible_ = std::isfinite(logs_.sensible);
        has_power_ = std::isfinite(logs_.power);
        told_ = 1 + (has_sensible_ ? 1 : 0) + (has_power_ ? 1 : 0);
        known_well_ = std::isfinite(logs_.total);
        for (const CheckResult& one : seen)
            if (auto row = compared_by(one.check)) {
                row->value = one.value;
                compared_.push_back(*row);
            }
        rows_ = told_ + static_cast<int>(compared_.size());
    }
    /// What a check reads of the errors of the first readings; nothing where it is no such reading, or no better.
    [[nodiscard]] std::optional<Compared> compared_by(CauseCheck check) const {
        const auto of = [&](Input input, double noise) {
            Compared row;
            row.errors[static_cast<Eigen::Index>(input)] = standard(input);
            row.noise = noise;
            return row;
        };
        const auto pair = [&](Input first, Input second, double noise) {
            Compared row = of(second, noise);
            row.errors[static_cast<Eigen::Index>(first)] = -standard(first);
            return row;
        };
        const Readings& r = visit_.readings;
        const bool cools = visit_.mode() == Mode::cooling;
        const air::Humidity& h = r.supply_humidity;
        switch (check) {
            case CauseCheck::second_airflow: {
                Compared row = of(Input::airflow, practice::second_airflow);
                row.errors /= estimate(Input::airflow);
                return row;
            }
            case CauseCheck::outdoor:
                return of(Input::outdoor_dry_bulb, practice::good_outdoor_dry_bulb);
            case CauseCheck::barometer:
                return of(Input::pressure, practice::good_barometer);
            case CauseCheck::dry_bulbs_compared:
                return pair(Input::return_dry_bulb, Input::supply_dry_bulb, practice::compared_temperature);
            case CauseCheck::humidities_compared:
                if (!cools || h.kind != r.return_humidity.kind) return std::nullopt;
                return pair(Input::return_humidity, Input::supply_humidity,
                            h.kind == air::Humidity::Kind::relative_humidity ? practice::compared_relative_humidity
                            : h.kind == air::Humidity::Kind::humidity_ratio
                                ? practice::compared_humidity_ratio * h.value
                                : practice::compared_temperature);
            default:
                return std::nullopt;
        }
    }
    [[nodiscard]] bool known_well() const noexcept { return known_well_; }
    [[nodiscard]] const ProofModel& model() const noexcept { return model_; }
    [[nodiscard]] const Visit& visit() const noexcept { return visit_; }
    [[nodiscard]] const Proof& proof() const noexcept { return proof_; }
    [[nodiscard]] const Expected& expected() const noexcept { return e_; }
    [[nodiscard]] const ProofModel::Inputs& centre() const noexcept { return taken_->centre; }
    [[nodiscard]] const Sides& base() const noexcept { return *taken_->base; }
    [[nodiscard]] bool has_sensible() const noexcept { return has_sensible_; }
    [[nodiscard]] bool has_power() const noexcept { return has_power_; }
    [[nodiscard]] double own_power() const noexcept { return own_power_; }
    [[nodiscard]] double slope() const noexcept { return slope_; }
    [[nodiscard]] double standard(Input input) const noexcept {
        return standard_of(taken_->known[static_cast<std::size_t>(input)]);
    }
    /// Chance that the supply's humidity probe is wetted, and by that reads too high by more than it may.
    [[nodiscard]] double wetted() const noexcept {
        const Known& k = taken_->known[static_cast<std::size_t>(Input::supply_humidity)];
        if (!(k.saturated > 0.0)) return 0.0;
        const double least = k.estimate - 2.0 * k.standard;
        const double from = k.saturated_from, to = k.saturated_to;
        return k.saturated * std::clamp((least - from) / std::max(to - from, 1e-9), 0.0, 1.0);
    }
    /// What is read of an input above what is made of it: of a wetted probe.
    [[nodiscard]] double above_estimate(Input input) const noexcept {
        return taken_->known[static_cast<std::size_t>(input)].estimate - estimate(input);
    }
    [[nodiscard]] double estimate(Input input) const noexcept {
        return taken_->centre[static_cast<std::size_t>(input)];
    }
    /// The greatest of what a rise by its standard uncertainty does to total, sensible and power.
    [[nodiscard]] double greatest_effect(Input input) const noexcept {
        const auto i = static_cast<std::size_t>(input);
        return std::max({std::abs(taken_->effects.ratio[i]), std::abs(taken_->effects.sensible[i]),
                         std::abs(taken_->effects.power[i])});
    }

    /// What was read, from where a hypothesis puts it.
    [[nodiscard]] Vector residual(const Shift& s) const {
        Vector out(rows_);
        int row = 0;
        out[row++] = logs_.total - s.total;
        if (has_sensible_) out[row++] = logs_.sensible - s.sensible;
        if (has_power_) out[row++] = logs_.power - s.power;
        for (const Compared& one : compared_) out[row++] = one.value;
        return out;
    }
    [[nodiscard]] Effect effects() const {
        Effect out(rows_, input_count);
        int row = 0;
        const auto add = [&](const Contributions& c) {
            out.row(row++) = Eigen::Map<const OfInputs>(c.data()).transpose();
        };
        add(taken_->effects.ratio);
        if (has_sensible_) add(taken_->effects.sensible);
        if (has_power_) add(taken_->effects.power);
        for (const Compared& one : compared_) out.row(row++) = one.errors.transpose();
        return out;
    }
    /// Errors of the readings in their standard uncertainties, one of which may be off by more.
    [[nodiscard]] ErrorCovariance errors(const std::optional<Astray>& astray) const {
        ErrorCovariance out = errors_;
        if (astray) {
            const auto i = static_cast<Eigen::Index>(astray->input);
            out(i, i) += astray->spread * astray->spread;
        }
        return out;
    }
    /// What a machine leaves open by itself. Its page's total is shared by total and sensible.
    [[nodiscard]] Square own(const Shift& s) const {
        constexpr double of_sensible = 0.02;
        const double page = std::hypot(own_.of(Yardstick::make), s.all_u);
        Square out = Square::Zero(rows_, rows_);
        const int sensible = 1, power = told_ - 1;
        out(0, 0) = page * page + s.total_u * s.total_u;
        if (has_sensible_) {
            out(sensible, sensible) = page * page + of_sensible * of_sensible + s.sensible_u * s.sensible_u;
            out(0, sensible) = out(sensible, 0) = page * page;
        }
        if (has_power_) out(power, power) = own_power_ * own_power_ + s.power_u * s.power_u + s.all_u * s.all_u;
        for (std::size_t i = 0; i < compared_.size(); ++i) {
            const auto row = told_ + static_cast<int>(i);
            out(row, row) = compared_[i].noise * compared_[i].noise;
        }
        return out;
    }

   private:
    const ProofModel& model_;
    const Visit& visit_;
    const Proof& proof_;
    const Expected& e_;
    std::optional<Taken> taken_;
    LogRatios logs_;
    OwnTerms own_;
    ErrorCovariance errors_ = ErrorCovariance::Identity();
    double slope_ = 1.0, own_power_ = 0.0;
    bool has_sensible_ = false, has_power_ = false, known_well_ = false;
    std::vector<Compared> compared_;
    int told_ = 1, rows_ = 1;  ///< ratios, and with what was compared since
};

/// How the readings may err where one of them is wrong, or none.
struct ErrorSpread {
    Effect effects;
    ErrorCovariance errors;
    Square of_errors;  ///< what they do to the ratios

    ErrorSpread(const Evidence& evidence, const std::optional<Astray>& astray)
        : effects(evidence.effects()), errors(evidence.errors(astray)) {
        const Effect moved = effects.lazyProduct(errors);  // small: blocks for large ones are long to compile
        of_errors = moved.lazyProduct(effects.transpose());
    }
};
/// The same for all that hypotheses say of readings: whatever else they say changes none of it.
class ErrorSpreads {
   public:
    ErrorSpreads(const Evidence& evidence, std::span<const Hypothesis> all) {
        for (const Hypothesis& h : all)
            for (const Level& level : h.levels)
                if (auto& one = by_[place(level)]; !one) one.emplace(evidence, level.astray);
    }
    [[nodiscard]] const ErrorSpread& of(const Level& level) const { return *by_[place(level)]; }

   private:
    [[nodiscard]] static std::size_t place(const Level& level) noexcept {
        return level.astray ? 1 + static_cast<std::size_t>(level.astray->input) : 0;
    }
    std::array<std::optional<ErrorSpread>, 1 + input_count> by_;
};

/// One level of a hypothesis beside what was read.
struct Held {
    const ErrorSpread& spread;
    OfInputs off;
    Vector residual;
    Eigen::LDLT<Square> covariance;

    Held(const Evidence& evidence, const ErrorSpreads& spreads, const Level& level)
        : spread(spreads.of(level)),
          off(OfInputs::Zero()),
          residual(evidence.residual(level.shift)),
          covariance(spread.of_errors + evidence.own(level.shift)) {
        if (!level.astray) return;
        off[static_cast<Eigen::Index>(level.astray->input)] = level.astray->off;
        residual -= spread.effects * off;
    }
    [[nodiscard]] double chi_square() const { return residual.dot(covariance.solve(residual)); }
    [[nodiscard]] double log_likelihood() const {
        return -0.5 * (chi_square() + covariance.vectorD().array().log().sum());
    }
    /// Mean and variance of a sum of the readings' errors, given what was read.
    [[nodiscard]] std::pair<double, double> of_errors(const OfInputs& a) const {
        const OfInputs moved = spread.errors * a;
        const Vector along = spread.effects * moved;
        return {a.dot(off) + along.dot(covariance.solve(residual)),
                std::max(0.0, a.dot(moved) - along.dot(covariance.solve(along)))};
    }
};

/// The hypotheses that can be made of a visit.
class Hypotheses {
   public:
    Hypotheses(const Evidence& evidence, const CausePriors& priors) : e_(evidence), priors_(priors) {
        const double wetted = e_.wetted();
        add(Cause::nothing_wrong, {{}}, {}, 1.0 - wetted);
        add_faults();
        add_return_leak();
        add_pages();
        add_boundary();
        add_swapped();
        add_readings(wetted * priors_.of[static_cast<std::size_t>(Cause::nothing_wrong)]);
        add_pairs();
    }
    std::vector<Hypothesis> all;

   private:
    static constexpr int levels = 40;

    void add(Cause cause, std::vector<Level> at, LikelyCause told = {}, double share = 1.0) {
        if (at.empty()) return;
        double sum = 0.0;
        for (const Level& one : at) sum += one.weight;
        for (Level& one : at) one.weight /= sum;
        told.cause = cause;
        if (told.support != Support::practice) told.support = row_of(cause)->support;
        all.push_back({told, share * priors_.of[static_cast<std::size_t>(cause)], std::move(at)});
    }
    /// By a direction only, where no model of it is published.
    void add_directed(Cause cause, std::vector<Level> at) {
        LikelyCause told;
        told.support = Support::practice;
        add(cause, std::move(at), told);
    }

    /// Severities up to `most`, small ones likelier: they fall off by e for each `usual`.
    template <class F>
    static std::vector<Level> graded(double usual, double most, const F& at) {
        std::vector<Level> out;
        for (int i = 0; i < levels; ++i) {
            const double severity = most * (i + 0.5) / levels;
            Level one = at(severity);
            one.severity = severity;
            one.weight = std::exp(-severity / usual);
            if (std::isfinite(one.shift.total)) out.push_back(one);
        }
        return out;
    }

    /// What factors on the gross total and on the page's power do at the boundary, and to what the meter was around. A
    /// wet coil ties sensible to total; how closely, no model of a fault tells.
    [[nodiscard]] Shift of_factors(const Factors& f, double power_u) const {
        const Expected& e = e_.expected();
        const double gross = e.gross_total.si, total = e.total_capacity.si;
        Shift s;
        s.total = std::log1p((f.total - 1.0) * gross / total);
        s.sensible = e_.slope() * s.total;
        s.sensible_u = 0.2 * std::abs(s.total);
        const double metered = e_.base().expected_power;
        const double own = e.power ? std::min(e.power->si, std::isfinite(metered) ? metered : e.power->si) : 0.0;
        if (own > 0.0) s.power = std::log1p((f.power - 1.0) * own / (std::isfinite(metered) ? metered : own));
        s.power_u = power_u;
        return s;
    }
    /// Published models of one fault differ in power by about an eighth of what it takes off capacity (of charge), and
    /// by a third of what it adds to power (of outdoor airflow; tests/published/nrel_dx_fault_models.yaml).
    /// What they leave of the indoor coil's heat transfer moves sensible besides: known to about a third (common
    /// practice, no source), since it goes by the bypass factor.
    [[nodiscard]] Shift published(const Factors& f, double transfer = 1.0) const {
        Shift s = of_factors(f, std::hypot(0.12 * (f.total - 1.0), 0.35 * std::max(0.0, f.power - 1.0)));
        const double moved = of_transfer(f.total, transfer);
        s.sensible += moved;
        constexpr double known_to = 0.35;
        s.sensible_u = std::hypot(s.sensible_u, known_to * moved);
        return s;
    }
    /// Logarithm of what a coil whose heat transfer is `transfer` of what it was makes of sensible, at the same total.
    [[nodiscard]] double of_transfer(double total, double transfer) const {
        const Expected& e = e_.expected();
        const auto air = coil_air(e_.proof().delivered, e);
        if (transfer == 1.0 || has(e.footing, Footing::dry)) return 0.0;
        const double gross = total * e.gross_total.si, bypass = e.bypass.value_or(usual_bypass);
        const auto as_it_was = air::coil_sensible(air, gross, bypass),
                   now = air::coil_sensible(air, gross, std::pow(bypass, std::max(transfer, 0.2)));
        if (!as_it_was || !now || !(*as_it_was < gross)) return 0.0;
        return std::log(std::min(*now, gross) / *as_it_was);
    }

    /// Of one fault by two models, each as probable as the other.
    [[nodiscard]] static std::vector<Level> either(std::vector<Level> a, const std::vector<Level>& b) {
        if (a.empty()) return b;
        const auto sum = [](const std::vector<Level>& of) {
            double out = 0.0;
            for (const Level& one : of) out += one.weight;
            return out;
        };
        const double times = sum(a) / sum(b);
        for (const Level& one : b) {
            a.push_back(one);
            a.back().weight *= times;
        }
        ranges::stable_sort(a, std::less<>(), &Level::severity);
        return a;
    }

    void add_faults() {
        const Expected& e = e_.expected();
        const bool heats = e.mode == Mode::heating;
        const double indoor = e.coil_dry_bulb.si, outdoor = e.outdoor_dry_bulb.si, wet_bulb = e.coil_wet_bulb.si;
        // The published models of other faults go by a rated coefficient of performance, and hold it within limits.
        const double cop = rated_cop();
        const auto charge = [&](double off, const Gauges& gauge) {
            Level one;
            one.shift = published(derates::charge_effect(off, indoor, outdoor, heats));
            one.gauge = gauge;
            return one;
        };
        // How far gauges move is common practice, no source: all subcooling is gone where a third of the charge is.
        const auto low = [](double s) { return Gauges{-20.0 * s, 25.0 * s, -15.0 * s}; };
        const auto high = [](double s) { return Gauges{20.0 * s, -10.0 * s, 20.0 * s}; };
        std::vector<Level> charge_low = graded(0.15, 0.40, [&](double s) { return charge(-s, low(s)); }),
                           charge_high = graded(0.15, 0.40, [&](double s) { return charge(s, high(s)); });
        using Fault = derates::CircuitFault;
        const auto circuit = [&](Fault fault, double severity, const Gauges& gauge) {
            Level one;
            one.shift = published(derates::circuit_fault_effect(fault, severity, wet_bulb, outdoor, cop),
                                  derates::heat_transfer_effect(fault, severity));
            one.gauge = gauge;
            return one;
        };
        constexpr double any = HUGE_VAL;  // of a level on a model's own scale nobody knows how often it occurs
        const auto most = [](Fault f) { return derates::greatest_fault[static_cast<std::size_t>(f)]; };
        if (!heats) {  // a second published model of each, as good as the first
            const auto packaged = [&](Fault fault, const auto& gauge) {
                return graded(0.15, most(fault), [&](double s) { return circuit(fault, s, gauge(s)); });
            };
            charge_low = either(std::move(charge_low), packaged(Fault::packaged_undercharge, low));
            charge_high = either(std::move(charge_high), packaged(Fault::packaged_overcharge, high));
        }
        add(Cause::charge_low, std::move(charge_low));
        add(Cause::charge_high, std::move(charge_high));
        if (heats) {  // less heat is taken in, and power falls less; a gas that does not condense lifts it
            add_directed(Cause::outdoor_airflow, graded(0.1, 0.4, [&](double s) { return directed(s, 0.2); }));
            add_directed(Cause::liquid_restriction, graded(0.1, 0.4, [&](double s) { return directed(s, 0.4); }));
            add_directed(Cause::noncondensables, graded(0.05, 0.2, [&](double s) { return directed(s, -1.0); }));
        } else {
            add(Cause::outdoor_airflow, graded(0.25, most(Fault::split_outdoor_airflow), [&](double s) {
                    return circuit(Fault::split_outdoor_airflow, s, {0.0, 0.0, 20.0 * s});
                }));
            add(Cause::liquid_restriction, graded(any, most(Fault::packaged_liquid_line), [&](double s) {
                    return circuit(Fault::packaged_liquid_line, s, {16.0 * s, 50.0 * s, -8.0 * s});
                }));
            add(Cause::noncondensables, graded(any, most(Fault::packaged_noncondensables), [&](double s) {
                    return circuit(Fault::packaged_noncondensables, s, {5.0 * s, 0.0, 12.0 * s});
                }));
        }
        add(Cause::compressor, graded(0.1, 0.5, [&](double s) {
                Level one = directed(s, 0.5);
                one.gauge = {0.0, -8.0 * s, -15.0 * s};
                return one;
            }));
    }
    /// Gross, at the rating point of air conditioners (AHRI 210/240), or near it, where the page ends before.
    [[nodiscard]] double rated_cop() const {
        constexpr double usual = 4.5;
        const auto seen = e_.model().delivered(e_.centre());
        if (!seen || e_.expected().mode == Mode::heating) return usual;
        Conditions c = e_.model().conditions(e_.centre(), *seen);
        c.outdoor_dry_bulb = Temperature{35.0};
        c.entering_dry_bulb = Temperature{80.0 / 1.8 - 32.0 / 1.8};
        c.entering_humidity = air::wet_bulb(Temperature{67.0 / 1.8 - 32.0 / 1.8});
        c.infer = true;
        const auto rated = look_up(e_.model().system(), e_.visit().site, {c, follow});
        return rated && rated->power && rated->power->si > 0.0 ? rated->gross_total.si / rated->power->si : usual;
    }
    /// A share of the capacity lost, and of power that much of it (common practice, no source).
    [[nodiscard]] Level directed(double lost, double of_power) const {
        Level one;
        one.shift = of_factors({1.0 - lost, 1.0 - of_power * lost}, 0.25 * lost);
        return one;
    }

    /// Air from outside, or from an attic that the sun has warmed, mixes in behind the return probe. The coil takes
    /// that heat too, as the page tells of the mixture, and the probes do not see it. It is about as moist as the room;
    /// how moist, is left open, and how warm the attic is (common practice, no source).
    void add_return_leak() {
        std::vector<Level> of_any;
        if (e_.expected().mode == Mode::heating) {
            of_any = leaks_from(0.0);
        } else {
            // The usual one first: of equal shares the first stands for the others where only a few count, in pairs.
            for (const double attic : {8.0, 0.0, 16.0}) {  // K
                const std::vector<Level> of_one = leaks_from(attic);
                of_any.insert(of_any.end(), of_one.begin(), of_one.end());
            }
            ranges::stable_sort(of_any, std::less<>(), &Level::severity);
        }
        add(Cause::return_leak, std::move(of_any));
    }
    /// Nothing where that air is hardly warmer than the room's, or when heating colder.
    /// @param attic  how far it is warmer than the air outdoors, K
    [[nodiscard]] std::vector<Level> leaks_from(double attic) const {
        const Expected& e = e_.expected();
        constexpr double least = 3.0;  // K
        constexpr double of_moisture = 0.2, usual = 0.08, most = 0.30;
        const bool heats = e.mode == Mode::heating;
        const double outside = e.outdoor_dry_bulb.si + attic;
        if (!((heats ? -1.0 : 1.0) * (outside - e.entering_dry_bulb.si) > least)) return {};
        const ProofModel& model = e_.model();
        const auto seen = model.delivered(e_.centre());
        if (!seen) return {};
        const auto mixed = [&](double share, double moisture) {
            Shift s;
            s.total = Sides::not_told;
            const air::State& room = seen->return_air;
            const double t = room.dry_bulb.si + share * (outside - room.dry_bulb.si),
                         w = room.humidity_ratio.si * (1.0 + share * (moisture - 1.0));
            const auto air = air::try_state(Temperature{t}, air::humidity_ratio(HumidityRatio{w}), room.pressure);
            if (!air) return s;
            const auto humidity = measured_as(*air, return_humidity_of(e_.visit()));
            if (!humidity) return s;
            ProofModel::Inputs x = e_.centre();
            x[static_cast<std::size_t>(Input::return_dry_bulb)] = t;
            x[static_cast<std::size_t>(Input::return_humidity)] = *humidity;
            const auto taken = model.delivered(x);
            const auto sides = model.sides(x);
            if (!taken || !sides) return s;
            const double flow = seen->mass_flow.si / taken->mass_flow.si;
            const Sides& base = e_.base();
            s.total = std::log((sides->expected - flow * sides->delivered + base.delivered) / base.expected);
            s.sensible =
                std::log((sides->expected_sensible - flow * sides->delivered_sensible + base.delivered_sensible) /
                         base.expected_sensible);
            s.power = std::log(sides->expected_power / base.expected_power);
            if (!std::isfinite(s.sensible)) s.sensible = s.total;
            if (!std::isfinite(s.power)) s.power = 0.0;
            return s;
        };
        const Shift usually = mixed(usual, 1.0), moist = mixed(usual, 1.0 + of_moisture);
        const auto by_moisture = [&](double of_usual, double of_moist) {
            const double u = std::abs(of_moist - of_usual) / usual;
            return std::isfinite(u) ? u : 0.0;
        };
        const double total_u = by_moisture(usually.total, moist.total),
                     sensible_u = by_moisture(usually.sensible, moist.sensible),
                     power_u = by_moisture(usually.power, moist.power);
        return graded(usual, most, [&](double share) {
            Level one;
            one.shift = mixed(share, 1.0);
            one.shift.total_u = share * total_u;
            one.shift.sensible_u = share * sensible_u;
            one.shift.power_u = share * power_u;
            return one;
        });
    }

    /// Where the sides of another model of the same readings put them.
    [[nodiscard]] std::optional<Level> of_other(const ProofModel& other, double more) const {
        const auto sides = other.sides(e_.centre());
        if (!sides) return std::nullopt;
        Level one;
        const Sides& base = e_.base();
        // What was read is told over what the visit's own page expects, and so is what another expects.
        one.shift.total = std::log(sides->expected / base.expected);
        one.shift.sensible = std::log(sides->expected_sensible / base.expected_sensible);
        one.shift.power = std::log(sides->expected_power / base.expected_power);
        if (!std::isfinite(one.shift.sensible)) one.shift.sensible = one.shift.total;
        if (!std::isfinite(one.shift.power)) one.shift.power = 0.0;
        one.shift.all_u = more;
        return one;
    }
    void add_pages() {
        const System& system = e_.model().system();
        const Visit& visit = e_.visit();
        std::vector<std::pair<std::int16_t, Level>> stages;
        for_each_page(system, visit, [&](std::int16_t index, const auto& page) {
            if (page.name == e_.model().asked().stage) return;
            constexpr double past_its_edge = 0.03;  // another stage's page is often read there
            if (const auto one = of_other(e_.model().against(AskedPage{page.name}), past_its_edge))
                stages.emplace_back(index, *one);
        });
        for (const auto& [index, level] : stages) {
            LikelyCause told;
            told.stage = index;
            add(Cause::stage, {level}, told, 1.0 / static_cast<double>(stages.size()));
        }
        std::vector<std::pair<std::int16_t, Level>> matches;
        const auto& listed = system.parts().matches;
        for (std::size_t i = 0; i < listed.size(); ++i) {
            if (listed[i].name == visit.match) continue;
            Visit other = visit;
            other.match = listed[i].name;
            const ProofModel model(system, other, e_.estimate(Input::pressure));
            constexpr double of_match = 0.02;
            if (const auto one = of_other(model, of_match)) matches.emplace_back(static_cast<std::int16_t>(i), *one);
        }
        for (const auto& [index, level] : matches) {
            LikelyCause told;
            told.match = index;
            add(Cause::match, {level}, told, 1.0 / static_cast<double>(matches.size()));
        }
        add_lines(system, visit);
    }
    void add_lines(const System& system, const Visit& visit) {
        const LineTable& table = system.parts().line_set;
        if (visit.mode() == Mode::heating || table.empty() || !visit.line_set) return;
        Factors now;
        if (!visit.line_set->is_reference) {
            const auto printed = table.at(*visit.line_set);
            if (!printed) return;
            now = *printed;
        }
        std::vector<Level> rows;
        for (const LineTable::Row& row : table.rows()) {
            if (row.mark != Mark::printed || row.total == now.total) continue;
            Level one;
            one.shift = of_factors({row.total / now.total, row.power / now.power}, 0.0);
            rows.push_back(one);
        }
        add(Cause::line_set, std::move(rows));
    }

    /// As the page tells of the other boundary: past a blow-through fan the coil takes warmer air, which leaves more of
    /// sensible than of total.
    void add_boundary() {
        const Visit& visit = e_.visit();
        if (!(visit.fan_power.si > 0.0)) return;
        const bool says_coil = visit.boundary == Boundary::coil;
        Visit other = visit;
        other.boundary = says_coil ? Boundary::coil_and_fan : Boundary::coil;
        const ProofModel model(e_.model().system(), other, e_.estimate(Input::pressure));
        const Proof& proof = e_.proof();
        const auto one = of_other(model.times((1.0 + proof.bend) * (1.0 - proof.frost)), 0.0);
        // Who says coil, and yet a fan's power, which there counts nowhere, says two things: that the boundary is the
        // wrong one is as likely as that nothing is, by the stated priors (common practice, no source).
        constexpr double of_two_things = 25.0;
        if (one && std::isfinite(one->shift.total)) add(Cause::boundary, {*one}, {}, says_coil ? of_two_things : 1.0);
    }

    /// The humidities alone: of both probes the readings would allow no ratio. What is read of a sound machine then, by
    /// what both sides make of them as they were read and put right.
    void add_swapped() {
        const Readings& r = e_.visit().readings;
        if (e_.expected().mode == Mode::heating || r.return_humidity.kind != r.supply_humidity.kind) return;
        ProofModel::Inputs right = e_.centre();
        std::swap(right[static_cast<std::size_t>(Input::return_humidity)],
                  right[static_cast<std::size_t>(Input::supply_humidity)]);
        const auto sides = e_.model().sides(right);
        if (!sides) return;
        const Sides& base = e_.base();
        Level one;
        one.shift.total = std::log(base.ratio() / sides->ratio());
        one.shift.sensible = std::log(base.sensible_ratio() / sides->sensible_ratio());
        one.shift.power = std::log(sides->expected_power / base.expected_power);
        if (!std::isfinite(one.shift.sensible)) one.shift.sensible = one.shift.total;
        if (!std::isfinite(one.shift.power)) one.shift.power = 0.0;
        if (std::isfinite(one.shift.total)) add(Cause::swapped, {one});
    }

    /// A reading that is off by more than it may be, which is more than two standard uncertainties (95 %): of a normal
    /// law of `usual` both tails, each by its mean and standard deviation. What lies between is nothing wrong.
    /// Weights are the shares of `prior` that have it off so far.
    [[nodiscard]] static std::array<Level, 2> off_by(Input input, double prior, double usual) {
        const double least = std::min(2.0 / usual, 30.0), tail = distributions::normal_above(least);
        const double mills = distributions::normal_density(least) / tail;
        const double spread = usual * std::sqrt(std::max(0.0, 1.0 + mills * (least - mills)));
        Level low, high;
        low.weight = high.weight = prior * tail;
        low.astray = Astray{input, -usual * mills, spread};
        high.astray = Astray{input, usual * mills, spread};
        return {low, high};
    }

    /// One hypothesis for each reading. Both dry bulbs share one: a supply that reads high does what a return that
    /// reads low does, nearly, and what to do is the same.
    /// @param wetted  prior of a sound machine whose supply humidity probe is wetted, which is a reading too
    void add_readings(double wetted) {
        constexpr double felt = 1e-4;  // what moves nothing explains nothing
        struct Found {
            Input input;
            std::vector<Level> levels;
        };
        std::vector<Found> found;
        double sum = 0.0;
        for (std::size_t i = 0; i < input_count; ++i) {
            const auto input = static_cast<Input>(i);
            const double u = e_.standard(input), bias = usual_bias(e_.visit(), input, e_.estimate(input));
            if (!(u > 0.0) || !(e_.greatest_effect(input) * bias / u > felt)) continue;
            if (input == Input::power && !e_.has_power()) continue;
            sum += priors_.reading[i];
            const auto both = off_by(input, priors_.reading[i], bias / u);
            auto to =
                ranges::find_if(found, [&](const Found& one) { return is_dry_bulb(one.input) && is_dry_bulb(input); });
            if (to == found.end()) to = found.insert(to, {input, {}});
            to->levels.insert(to->levels.end(), both.begin(), both.end());
        }
        if (wetted > 0.0) {  // what is made of it has that in it already
            auto of = ranges::find_if(found, [](const Found& one) { return one.input == Input::supply_humidity; });
            if (of == found.end()) of = found.insert(found.end(), {Input::supply_humidity, {}});
            Level level;
            level.astray = Astray{of->input, 0.0, of->levels.empty() ? 0.0 : of->levels.front().astray->spread};
            level.weight = 0.0;  // below
            of->levels.push_back(level);
        }
        const double of_readings = priors_.of[static_cast<std::size_t>(Cause::reading)];
        double off = of_readings;  // by no more than it may be
        for (Found& one : found) {
            double prior = 0.0;
            for (Level& level : one.levels) {
                if (sum > 0.0) level.weight *= of_readings / sum;
                prior += level.weight;
            }
            off -= prior;
            if (one.input == Input::supply_humidity && wetted > 0.0) {
                one.levels.back().weight = wetted;
                prior += wetted;
            }
            if (prior > 0.0)
                for (Level& level : one.levels) level.weight /= prior;
            LikelyCause told;
            told.cause = Cause::reading;
            told.support = row_of(Cause::reading)->support;
            told.input = one.input;
            all.push_back({told, prior, std::move(one.levels)});
        }
        if (double& sound = all.front().prior; sound > 0.0 && sum > 0.0) sound += std::max(0.0, off);
    }

    /// A machine's fault with another, or with a wrong reading, at a few severities each.
    void add_pairs() {
        if (!(priors_.two_at_once > 0.0)) return;
        const std::size_t single = all.size();
        const auto of_machine = [&](const Hypothesis& h) {
            return h.levels.size() > few && h.told.cause != Cause::line_set;
        };
        std::vector<std::vector<Level>> coarse(single);
        for (std::size_t i = 0; i < single; ++i)
            if (of_machine(all[i])) coarse[i] = few_of(all[i].levels);
        double sum = 0.0;
        for (std::size_t i = 0; i < single; ++i) {
            if (coarse[i].empty()) continue;
            for (std::size_t j = i + 1; j < single; ++j) {
                const bool reading = all[j].told.cause == Cause::reading;
                if (coarse[j].empty() && !reading) continue;
                if (all[i].told.cause == Cause::charge_low && all[j].told.cause == Cause::charge_high) continue;
                Hypothesis both{all[i].told, all[i].prior * all[j].prior, {}};
                if (!(both.prior > 0.0)) continue;
                both.told.also = all[j].told.cause;
                if (all[i].told.support != Support::practice) both.told.support = all[j].told.support;
                both.told.input = all[j].told.input;
                for (const Level& a : coarse[i])
                    for (const Level& b : reading ? all[j].levels : coarse[j]) both.levels.push_back(together(a, b));
                sum += both.prior;
                all.push_back(std::move(both));
            }
        }
        double of_single = 0.0;
        for (const double prior : priors_.of) of_single += prior;
        for (std::size_t i = single; i < all.size(); ++i) all[i].prior *= priors_.two_at_once * of_single / sum;
    }
    static constexpr std::size_t few = 5;
    /// Levels that stand for as many around them each.
    [[nodiscard]] static std::vector<Level> few_of(const std::vector<Level>& each) {
        std::vector<Level> out;
        for (std::size_t k = 0; k < few; ++k) {
            const std::size_t first = k * each.size() / few, last = (k + 1) * each.size() / few;
            Level one = each[(first + last) / 2];
            one.weight = 0.0;
            for (std::size_t i = first; i < last; ++i) one.weight += each[i].weight;
            out.push_back(one);
        }
        return out;
    }
    [[nodiscard]] static Level together(const Level& a, const Level& b) {
        Level out = a;
        out.weight *= b.weight;
        out.also = b.severity;
        out.astray = b.astray;
        Shift& s = out.shift;
        s.total += b.shift.total;
        s.sensible += b.shift.sensible;
        s.power += b.shift.power;
        s.total_u = std::hypot(s.total_u, b.shift.total_u);
        s.sensible_u = std::hypot(s.sensible_u, b.shift.sensible_u);
        s.power_u = std::hypot(s.power_u, b.shift.power_u);
        for (std::size_t i = 0; i < gauges; ++i) out.gauge[i] += b.gauge[i];
        return out;
    }

    const Evidence& e_;
    const CausePriors& priors_;
};

/// A check that finds something or not: how probable, where it is the cause and where it is not (common practice, no
/// source).
struct Look {
    CauseCheck check;
    double found, false_alarm;
    [[nodiscard]] bool is_for(Cause cause) const noexcept {
        switch (check) {
            case CauseCheck::stage:
                return cause == Cause::stage || cause == Cause::other_mode;
            case CauseCheck::probes:
                return cause == Cause::swapped || cause == Cause::boundary;
            case CauseCheck::match:
                return cause == Cause::match || cause == Cause::line_set;
            case CauseCheck::outdoor_unit:
                return cause == Cause::outdoor_airflow;
            default:
                return cause == Cause::return_leak;
        }
    }
    [[nodiscard]] bool is_for(const LikelyCause& one) const noexcept {
        return is_for(one.cause) || (one.also && is_for(*one.also));
    }
    [[nodiscard]] double chance(const LikelyCause& one) const noexcept { return is_for(one) ? found : false_alarm; }
};
constexpr Look looks[] = {{CauseCheck::stage, 0.98, 0.02},
                          {CauseCheck::match, 0.95, 0.03},
                          {CauseCheck::outdoor_unit, 0.85, 0.10},
                          {CauseCheck::return_duct, 0.85, 0.10},
                          {CauseCheck::probes, 0.95, 0.02}};
/// K: 3 degF, within which subcooling counts as on target (ENERGY STAR checklist, tests/published/installation_limits);
/// superheat 5 degF (the same); condensing temperature likewise, for want of a figure (common practice, no source).
constexpr Gauges gauge_u = {3.0 / 1.8, 5.0 / 1.8, 5.0 / 1.8};
/// How far a machine's own differ from what its fault usually does: of superheat, which a valve holds where there is
/// one, half; of condensing temperature a third (common practice, no source).
constexpr Gauges gauge_share = {0.0, 0.5, 0.35};

/// Variance of what a gauge reads.
double gauge_variance(std::size_t i, const Gauges& mean) noexcept {
    const double share = gauge_share[i] * mean[i];
    return gauge_u[i] * gauge_u[i] + share * share;
}

/// How far gauges that were read stand from what a level has them read: the square, in their standard uncertainties, of
/// how many, and the logarithm of the density.
struct GaugesRead {
    double square = 0.0, log_density = 0.0;
    int count = 0;

    GaugesRead(std::span<const CheckResult> seen, const Level& level) {
        for (const CheckResult& one : seen)
            for (std::size_t i = 0; i < gauges; ++i) {
                if (gauge_checks[i] != one.check) continue;
                const double off = one.value - level.gauge[i], variance = gauge_variance(i, level.gauge);
                square += off * off / variance;
                log_density -= 0.5 * (off * off / variance + std::log(variance));
                ++count;
            }
    }
};
/// What looks found makes of a hypothesis: a logarithm.
double log_chance_of(std::span<const CheckResult> seen, const LikelyCause& told) {
    double out = 0.0;
    for (const CheckResult& one : seen)
        for (const Look& look : looks)
            if (look.check == one.check)
                out += std::log(one.value != 0.0 ? look.chance(told) : 1.0 - look.chance(told));
    return out;
}

/// Mean of a severity, and an interval that holds it with 95 %. Each level stands for the severities around it, halfway
/// to the next ones.
void tell_severity(const Hypothesis& h, double Level::*severity, double& mean, double& low, double& high) {
    std::map<double, double> by;
    for (const Level& level : h.levels) {
        mean += level.posterior * level.*severity;
        by[level.*severity] += level.posterior;
    }
    if (by.size() == 1) {
        low = high = mean;
        return;
    }
    const auto quantile = [&](double p) {
        double passed = 0.0;
        for (auto one = by.begin();; ++one) {
            const auto before = one == by.begin() ? one : std::prev(one), next = std::next(one);
            const bool first = one == by.begin(), last = next == by.end();
            const double to_next = last ? one->first - before->first : next->first - one->first,
                         to_before = first ? to_next : one->first - before->first;
            const double from = std::max(0.0, one->first - 0.5 * to_before), to = one->first + 0.5 * to_next;
            if (last || passed + one->second >= p)
                return from + std::clamp(one->second > 0.0 ? (p - passed) / one->second : 1.0, 0.0, 1.0) * (to - from);
            passed += one->second;
        }
    };
    low = quantile(0.025);
    high = quantile(0.975);
}

/// Which reading is wrong, how far it stands above the truth, and what all that may be wrong does to the ratios.
Vector tell_reading(const Evidence& evidence, const ErrorSpreads& spreads, Hypothesis& h) {
    struct Of {
        double share = 0.0, mean = 0.0, square = 0.0;
    };
    std::array<Of, input_count> by{};
    Vector moved = Vector::Zero(evidence.residual({}).size());
    for (const Level& level : h.levels) {
        if (!(level.posterior > 0.0) || !level.astray) continue;
        const auto i = static_cast<Eigen::Index>(level.astray->input);
        const auto [m, v] = Held(evidence, spreads, level).of_errors(OfInputs::Unit(i));
        Of& of = by[static_cast<std::size_t>(i)];
        of.share += level.posterior;
        of.mean += level.posterior * m;
        of.square += level.posterior * (m * m + v);
        moved += level.posterior * m * spreads.of(level).effects.col(i);
    }
    LikelyCause& told = h.told;
    const auto likeliest = [&] { return static_cast<Input>(ranges::max_element(by, &Of::share) - by.begin()); };
    const Input input = likeliest();
    Of& of = by[static_cast<std::size_t>(input)];
    if (!(of.share > 0.0)) return moved;
    told.input = input;
    const double mean = of.mean / of.share, variance = std::max(0.0, of.square / of.share - mean * mean);
    const double u = evidence.standard(input), half = 1.96 * std::sqrt(variance);
    const double above = evidence.above_estimate(input);
    (told.also ? told.also_severity : told.severity) = above + mean * u;
    (told.also ? told.also_low : told.severity_low) = above + (mean - half) * u;
    (told.also ? told.also_high : told.severity_high) = above + (mean + half) * u;
    constexpr double hardly = 0.05;
    of.share = 0.0;
    if (const Input other = likeliest(); by[static_cast<std::size_t>(other)].share > hardly) told.or_input = other;
    return moved;
}

/// Weighs the levels of a hypothesis by what was read, and tells what comes of it.
void weigh(const Evidence& evidence, const ErrorSpreads& spreads, std::span<const CheckResult> seen, double scale,
           Hypothesis& h) {
    double sum = 0.0;
    const Level* best = nullptr;
    for (Level& level : h.levels) {
        level.posterior = level.weight * std::exp(level.log_likelihood - scale);
        sum += level.posterior;
        if (best == nullptr || level.posterior > best->posterior) best = &level;
    }
    h.evidence = h.prior * sum;
    if (sum > 0.0)
        for (Level& level : h.levels) level.posterior /= sum;
    const Held held(evidence, spreads, *best);
    const GaugesRead read(seen, *best);
    h.told.fit = distributions::chi_squared_above(held.chi_square() + read.square,
                                                  static_cast<int>(held.residual.size()) + read.count);
    Shift at;
    for (const Level& level : h.levels) {
        at.total += level.posterior * level.shift.total;
        at.sensible += level.posterior * level.shift.sensible;
        at.power += level.posterior * level.shift.power;
    }
    LikelyCause& told = h.told;
    if (told.cause != Cause::reading)
        tell_severity(h, &Level::severity, told.severity, told.severity_low, told.severity_high);
    if (told.also) tell_severity(h, &Level::also, told.also_severity, told.also_low, told.also_high);
    if (told.input) {
        const Vector moved = tell_reading(evidence, spreads, h);
        at.total += moved[0];
        if (evidence.has_sensible()) at.sensible += moved[1];
        if (evidence.has_power()) at.power += moved[evidence.has_sensible() ? 2 : 1];
    }
    h.told.total = std::exp(at.total);
    h.told.sensible = std::exp(at.sensible);
    h.told.power = std::exp(at.power);
}

/// What a check would read if a hypothesis holds.
struct Reading {
    double mean = 0.0, variance = 0.0;
};
/// The density of that. Exponentials are what all of this costs: those of densities that add nothing are left out.
struct Bell {
    double mean, over_u, top;

    Bell(const Reading& z)
        : mean(z.mean),
          over_u(1.0 / std::sqrt(z.variance)),
          top(std::log(over_u / std::sqrt(2.0 * std::numbers::pi))) {}
    /// Its logarithm.
    [[nodiscard]] double operator()(double x) const noexcept {
        const double t = (x - mean) * over_u;
        return top - 0.5 * t * t;
    }
    [[nodiscard]] static double density(double logarithm) noexcept {
        constexpr double nothing = -80.0;
        return logarithm > nothing ? std::exp(logarithm) : 0.0;
    }
};

/// Of hypotheses whose probabilities are `p`: bits that a reading tells, and how often the likeliest is then the true
/// one.
NextCheck gain_of(CauseCheck check, std::span<const double> p, std::span<const Reading> z) {
    NextCheck out{check, 0.0, 0.0};
    double low = HUGE_VAL, high = -HUGE_VAL;
    for (std::size_t h = 0; h < p.size(); ++h) {
        const double reach = 5.0 * std::sqrt(z[h].variance);
        low = std::min(low, z[h].mean - reach);
        high = std::max(high, z[h].mean + reach);
    }
    constexpr int steps = 600;
    const double width = (high - low) / steps;
    if (!(width > 0.0)) return out;
    const std::vector<Bell> bells(z.begin(), z.end());
    for (int i = 0; i < steps; ++i) {
        const double x = low + (i + 0.5) * width;
        double all = 0.0, greatest = 0.0, known = 0.0;
        for (std::size_t h = 0; h < p.size(); ++h) {
            const double log = bells[h](x), joint = p[h] * Bell::density(log);
            all += joint;
            greatest = std::max(greatest, joint);
            known += joint * log;
        }
        out.first += greatest * width;
        if (all > 0.0) out.gain += (known - all * std::log(all)) * width / std::numbers::ln2;
    }
    return out;
}
/// The same of results that are one of a few: of each the chance by hypothesis.
NextCheck gain_of(CauseCheck check, std::span<const double> p, std::span<const std::vector<double>> chances) {
    NextCheck out{check, 0.0, 0.0};
    for (const std::vector<double>& chance : chances) {
        double sum = 0.0, greatest = 0.0;
        for (std::size_t h = 0; h < p.size(); ++h) {
            sum += p[h] * chance[h];
            greatest = std::max(greatest, p[h] * chance[h]);
        }
        out.first += greatest;
        for (std::size_t h = 0; h < p.size(); ++h)
            if (p[h] * chance[h] > 0.0) out.gain += p[h] * chance[h] * std::log2(chance[h] / sum);
    }
    return out;
}

/// The same of gauges, which are read at one time: at points spread evenly (Halton's) through what each hypothesis has
/// them read, as if its readings were normal and independent.
NextCheck gain_of_gauges(std::span<const double> p, std::span<const std::array<Reading, gauges>> z) {
    constexpr int points = 48;
    NextCheck out{CauseCheck::subcooling, 0.0, 0.0};
    std::array<Gauges, points> at;
    for (int n = 0; n < points; ++n)
        for (std::size_t i = 0; i < gauges; ++i) {
            constexpr int bases[gauges] = {2, 3, 5};
            double part = 1.0, sum = 0.0;
            for (int k = n + 1; k > 0; k /= bases[i]) sum += (part /= bases[i]) * (k % bases[i]);
            at[static_cast<std::size_t>(n)][i] = distributions::normal_quantile(sum);
        }
    std::vector<std::array<Bell, gauges>> bells;
    for (const auto& [first, second, third] : z) bells.push_back({first, second, third});
    for (std::size_t from = 0; from < p.size(); ++from)
        for (const Gauges& point : at) {
            Gauges x;
            for (std::size_t i = 0; i < gauges; ++i) x[i] = bells[from][i].mean + point[i] / bells[from][i].over_u;
            double sum = 0.0, greatest = 0.0, own = 0.0, own_log = 0.0;
            for (std::size_t h = 0; h < p.size(); ++h) {
                const double log = bells[h][0](x[0]) + bells[h][1](x[1]) + bells[h][2](x[2]);
                const double joint = p[h] * Bell::density(log);
                sum += joint;
                greatest = std::max(greatest, joint);
                if (h == from) own = joint;
                if (h == from) own_log = log;
            }
            if (!(own > 0.0)) continue;
            out.gain += p[from] / points * (own_log - std::log(sum)) / std::numbers::ln2;
            if (own == greatest) out.first += p[from] / points;
        }
    // No reading leaves one worse off: what says so is the few points.
    out.first = std::max(out.first, *ranges::max_element(p));
    out.gain = std::max(out.gain, 0.0);
    return out;
}

bool was_seen(std::span<const CheckResult> seen, CauseCheck check) {
    return ranges::any_of(seen, [&](const CheckResult& one) { return one.check == check; });
}

/// What looks would bring that are for one of the causes.
void add_looks(std::span<const LikelyCause> all, std::span<const double> p, std::span<const CheckResult> seen,
               std::vector<NextCheck>& to) {
    for (const Look& look : looks) {
        const bool any = ranges::any_of(all, [&](const LikelyCause& one) { return look.is_for(one); });
        if (!any || was_seen(seen, look.check)) continue;
        std::vector<double> found, not_found;
        for (const LikelyCause& one : all) {
            found.push_back(look.chance(one));
            not_found.push_back(1.0 - found.back());
        }
        to.push_back(gain_of(look.check, p, std::array{found, not_found}));
    }
}

/// Those that are worth doing, in the order of `Causes::checks`.
std::vector<NextCheck> best_first(std::vector<NextCheck> out, std::span<const double> p) {
    constexpr double worth_doing = 0.02;  // bits
    std::erase_if(out, [](const NextCheck& one) { return !(one.gain >= worth_doing); });
    if (out.empty()) return out;
    // What a check brings is a cause named rightly more often; where none does that, what it tells.
    const double now = *ranges::max_element(p);
    constexpr double felt = 0.005;
    const bool names = ranges::any_of(out, [&](const NextCheck& one) { return one.first > now + felt; });
    const auto brings = [&](const NextCheck& one) { return names ? one.first - now : one.gain; };
    ranges::stable_sort(out, std::greater<>(), brings);
    const double enough = 0.8 * brings(out.front());
    const auto last = ranges::find_if(out, [&](const NextCheck& one) { return brings(one) < enough; });
    std::stable_sort(out.begin(), last, [](const NextCheck& a, const NextCheck& b) {
        return row_of(a.check)->minutes < row_of(b.check)->minutes;
    });
    return out;
}

/// The checks that were not made yet, and what they would bring.
/// @param all  those that count, and how probable each is
std::vector<NextCheck> checks_of(const Evidence& evidence, const ErrorSpreads& spreads,
                                 std::span<const Hypothesis* const> all, std::span<const double> p,
                                 std::span<const CheckResult> seen) {
    const auto was_seen = [seen](CauseCheck check) { return offnominal::was_seen(seen, check); };
    /// What a hypothesis makes of a reading, of all its levels that count.
    const auto read_of = [&](std::size_t h, double noise, const auto& of_level) {
        constexpr double counts = 1e-4;
        double sum = 0.0, mean = 0.0, square = 0.0;
        for (const Level& level : all[h]->levels) {
            if (!(level.posterior > counts)) continue;
            const auto [m, v] = of_level(level);
            sum += level.posterior;
            mean += level.posterior * m;
            square += level.posterior * (m * m + v);
        }
        mean /= sum;
        return Reading{mean, std::max(0.0, square / sum - mean * mean) + noise * noise};
    };
    const auto of_errors = [&](const OfInputs& a) {
        return [&evidence, &spreads, a](const Level& level) { return Held(evidence, spreads, level).of_errors(a); };
    };
    std::vector<NextCheck> out;
    const auto add = [&](CauseCheck check, double noise, const auto& of_level) {
        std::vector<Reading> z;
        for (std::size_t h = 0; h < all.size(); ++h) z.push_back(read_of(h, noise, of_level));
        out.push_back(gain_of(check, p, z));
    };
    const Visit& visit = evidence.visit();
    const bool was_compared = !visit.side_by_side.empty();
    for (const CauseCheckWords& row : words_of<CauseCheck>) {
        if (was_seen(row.value)) continue;
        if (row.value == CauseCheck::second_airflow && evidence.proof().airflow_by.size() > 1) continue;
        if (row.value == CauseCheck::barometer && visit.site.given_pressure()) continue;
        if (was_compared &&
            (row.value == CauseCheck::dry_bulbs_compared || row.value == CauseCheck::humidities_compared))
            continue;
        if (const auto compared = evidence.compared_by(row.value))
            if (compared->errors.norm() > 0.0) add(row.value, compared->noise, of_errors(compared->errors));
    }
    if (!evidence.has_power() && evidence.expected().power && !visit.power)
        add(CauseCheck::power, std::hypot(evidence.own_power(), practice::good_power), [](const Level& level) {
            const Shift& s = level.shift;
            return std::pair{s.power, s.power_u * s.power_u + s.all_u * s.all_u};
        });
    if (visit.mode() == Mode::cooling && !std::any_of(std::begin(gauge_checks), std::end(gauge_checks), was_seen)) {
        std::vector<std::array<Reading, gauges>> z(all.size());
        for (std::size_t h = 0; h < all.size(); ++h)
            for (std::size_t i = 0; i < gauges; ++i)
                z[h][i] = read_of(h, 0.0, [&](const Level& level) {
                    return std::pair{level.gauge[i], gauge_variance(i, level.gauge)};
                });
        out.push_back(gain_of_gauges(p, z));
    }
    std::vector<LikelyCause> told;
    for (const Hypothesis* h : all) told.push_back(h->told);
    add_looks(told, p, seen, out);
    return best_first(std::move(out), p);
}

void check(std::span<const CheckResult> seen, const CausePriors& priors) {
    const auto check_prior = [](double p, std::string_view of) {
        if (!(p >= 0.0 && std::isfinite(p)))
            throw InputError({}, "prior of " + std::string(of), brief(p), "a number, zero or more");
    };
    check_prior(priors.two_at_once, "two at once");
    double sum = 0.0;
    for (const CauseWords& row : words_of<Cause>) {
        check_prior(priors.of[static_cast<std::size_t>(row.value)], row.word);
        sum += priors.of[static_cast<std::size_t>(row.value)];
    }
    if (!(sum > 0.0)) throw InputError({}, "priors: all of them are zero", {}, "one above zero at least");
    double readings = 0.0;
    for (std::size_t i = 0; i < input_count; ++i) {
        check_prior(priors.reading[i], name(static_cast<Input>(i)));
        readings += priors.reading[i];
    }
    if (!(readings > 0.0))
        throw InputError({}, "priors of readings: all of them are zero", {}, "one above zero at least");
    for (const CheckResult& one : seen) {
        for (const CheckResult& before : std::span(seen.data(), &one))
            if (before.check == one.check)
                throw InputError({},
                                 "what " + std::string(name(one.check)) + " told " +
                                     (before.value == one.value ? "is there twice" : "contradicts what it told before"),
                                 brief(one.value), "one result of each check");
        const bool looked = ranges::any_of(looks, [&](const Look& look) { return look.check == one.check; });
        if (one.check == CauseCheck::power)
            throw InputError({}, "check power is a reading of its own", {}, "power in the visit");
        if (!std::isfinite(one.value) || (looked && one.value != 0.0 && one.value != 1.0))
            throw InputError({}, "what " + std::string(name(one.check)) + " told", brief(one.value),
                             looked ? "1 where something is wrong, 0 where not" : "a number");
        constexpr double most = 60.0;  // K, of what gauges and probes can stand apart (common practice, no source)
        const bool by_gauges = ranges::find(gauge_checks, one.check) != std::end(gauge_checks);
        if ((by_gauges || one.check == CauseCheck::outdoor) && !(std::abs(one.value) <= most))
            throw InputError({}, "what " + std::string(name(one.check)) + " told", brief(one.value) + " K",
                             "how far it stands above, at most " + brief(most) + " K either way");
        if (one.check == CauseCheck::second_airflow && !(one.value > -1.0 && one.value <= 10.0))
            throw InputError({}, "what second_airflow told", brief(one.value),
                             "how far the visit's airflow stands above the better one, as a share of that: above -1");
        if (one.check == CauseCheck::barometer && !(std::abs(one.value) < air::si::standard_pressure))
            throw InputError({}, "what barometer told", brief(one.value) + " Pa",
                             "how far the visit's pressure stands above the barometer's, less than an atmosphere");
    }
}

/// What the reason names why there is no ratio, most probable first.
std::vector<LikelyCause> named_by(const System& system, const Visit& visit, const Proof& proof,
                                  std::span<const CheckResult> seen, const CausePriors& priors) {
    if (!names_causes(proof.reason)) return {};
    // Common practice, no source: what is not well once it is put right is hardly the cause, and of readings that are
    // wrong so many are slips, which may be of any size.
    constexpr double not_well = 0.02, of_slips = 0.1;
    std::vector<LikelyCause> out;
    const auto prior = [&](Cause cause) { return priors.of[static_cast<std::size_t>(cause)]; };
    const auto add = [&](LikelyCause one, double weight) {
        for (const Look& look : looks)
            for (const CheckResult& check : seen)
                if (check.check == look.check) weight *= check.value != 0.0 ? look.chance(one) : 1.0 - look.chance(one);
        one.probability = weight;
        if (weight > 0.0) out.push_back(one);
    };
    /// A hypothesis that can be put right: then the proof says whether all is well.
    const auto add_right = [&](Cause cause, const Visit& right, double share = 1.0) {
        LikelyCause one;
        one.cause = cause;
        one.support = row_of(cause)->support;
        one.fit = 0.0;
        double weight = not_well * share * prior(cause);
        try {
            const Proof then = prove(system, right);
            if (then.ratio) {
                one.severity = *then.ratio;
                one.severity_low = then.ratio_low;
                one.severity_high = then.ratio_high;
                for (const LikelyCause& left : causes_of(system, right, then).likely)
                    one.fit = std::max(one.fit, left.fit);
                if (then.outcome != Outcome::implausible) weight = share * prior(cause);
            }
        } catch (const Refused&) {  // no such air, or no page of that mode
        } catch (const InputError&) {
        }
        add(one, weight);
    };
    /// A reading that stands so far above the truth, at least and at most, SI.
    const auto reading_of = [&](Input input, double value, double least, double most) {
        double sum = 0.0;
        for (const double one : priors.reading) sum += one;
        LikelyCause one;
        one.cause = Cause::reading;
        one.support = row_of(Cause::reading)->support;
        one.input = input;
        one.severity_low = std::min(least, most);
        one.severity_high = std::max(least, most);
        one.severity = 0.5 * (least + most);
        const double off = std::min(std::abs(least), std::abs(most)) / usual_bias(visit, input, value);
        one.probability = prior(Cause::reading) * priors.reading[static_cast<std::size_t>(input)] / sum *
                          std::max(of_slips, 2.0 * distributions::normal_above(off));
        return one;
    };
    const auto add_reading = [&](Input input, double value, double least, double most, double share = 1.0) {
        const LikelyCause one = reading_of(input, value, least, most);
        add(one, share * one.probability);
    };
    const Reason& why = proof.reason;
    const Delivered& d = proof.delivered;
    const Readings& r = visit.readings;
    const bool heats = visit.mode() == Mode::heating;
    const auto swapped = [&](bool dry_bulbs) {
        Visit right = visit;
        if (dry_bulbs) std::swap(right.readings.return_dry_bulb, right.readings.supply_dry_bulb);
        if (dry_bulbs) std::swap(right.of(Input::return_dry_bulb), right.of(Input::supply_dry_bulb));
        if (!heats) std::swap(right.readings.return_humidity, right.readings.supply_humidity);
        if (!heats) std::swap(right.of(Input::return_humidity), right.of(Input::supply_humidity));
        return right;
    };
    /// Dry bulbs that are so far apart the wrong way, or too far: K of supply above the truth.
    const auto add_dry_bulbs = [&](double least, double most) {
        LikelyCause one = reading_of(Input::supply_dry_bulb, r.supply_dry_bulb.si, least, most),
                    other = reading_of(Input::return_dry_bulb, r.return_dry_bulb.si, -least, -most);
        if (other.probability > one.probability) std::swap(one, other);
        one.or_input = other.input;
        add(one, one.probability + other.probability);
    };
    const double split = d.split.si;
    const double over = why.value > why.upper ? why.value - why.upper : why.value - why.lower;
    const double most = why.value > why.upper ? why.value - why.lower : why.value - why.upper;
    if (why.why == Why::contradictory) {
        Visit right = visit;
        right.site = Site::at_pressure(*visit.site.given_pressure());
        // A barometer that is reduced to sea level shows this, which is how most are read.
        constexpr double weather = 0.03;
        const bool reduced = std::abs(why.value / air::si::standard_pressure - 1.0) < weather;
        add_right(Cause::elevation, right, reduced ? of_slips : 1.0);
        add_reading(Input::pressure, why.value, over, most, reduced ? 1.0 / of_slips : 1.0);
    } else if (why.why == Why::wrong_mode) {
        const bool wrong_way = heats ? split > 0.0 : split < 0.0;
        add_right(Cause::swapped, swapped(wrong_way));
        if (wrong_way) {
            Visit right = visit;
            right.readings.mode = heats ? Mode::cooling : Mode::heating;
            if (!heats) right.defrost_free = true;  // nobody was asked
            add_right(Cause::other_mode, right);
            add_dry_bulbs(-split, -split + (heats ? -1.0 : 1.0) * practice::greatest_split.si);
        } else {
            // As much heat as in the other air, and as much as leaves the expected total.
            const double flow = d.mass_flow.si, p = d.return_air.pressure.si;
            const double gone = proof.expected ? proof.expected->total_capacity.si / flow : 10e3;
            const auto add_humidity = [&](Input input, const air::State& own, const air::Humidity& h, double now,
                                          double then) {
                const auto measured = [&](double heat) -> std::optional<double> {
                    const double W = air::si::humidity_ratio_from_enthalpy(own.dry_bulb.si, heat);
                    const auto air = air::try_state(own.dry_bulb, air::humidity_ratio(HumidityRatio{W}), Pressure{p});
                    return air ? measured_as(*air, h) : std::optional<double>();
                };
                const auto least = measured(now), last = measured(then);
                if (least)
                    add_reading(input, h.value, h.value - *least, last ? h.value - *last : 2.0 * (h.value - *least));
            };
            const auto enthalpy = [](const air::State& s) {
                return air::si::enthalpy(s.dry_bulb.si, s.humidity_ratio.si);
            };
            const double in = enthalpy(d.return_air), supply = enthalpy(d.supply_air);
            add_humidity(Input::supply_humidity, d.supply_air, r.supply_humidity, in, in - gone);
            add_humidity(Input::return_humidity, d.return_air, r.return_humidity, supply, supply + gone);
        }
    } else {
        switch (why.about) {
            case About::dry_bulb_split:
                add_dry_bulbs(-over, -most);
                break;
            case About::rise:
                add_dry_bulbs(over, most);
                break;
            case About::auxiliary_heat:
                add_reading(Input::auxiliary_heat, why.value, over, most);
                break;
            case About::fan_power:
                add_reading(Input::fan_power, why.value, over, most);
                break;
            case About::power:
                add_reading(Input::power, why.value, over, most);
                break;
            case About::supply_dry_bulb:
                add_reading(Input::supply_dry_bulb, r.supply_dry_bulb.si, over, most);
                break;
            case About::airflow_per_ton: {
                const double flow = std::isfinite(r.airflow.si) ? r.airflow.si : d.standard_airflow.si;
                const double of_one = flow / why.value;
                add_reading(Input::airflow, flow, over * of_one, most * of_one);
                break;
            }
            default:
                break;
        }
    }
    double sum = 0.0;
    for (const LikelyCause& one : out) sum += one.probability;
    for (LikelyCause& one : out) one.probability /= sum;
    ranges::stable_sort(out, std::greater<>(), &LikelyCause::probability);
    return out;
}

}  // namespace

Causes causes_of(const System& system, const Visit& given, const Proof& proof, std::span<const CheckResult> seen,
                 const CausePriors& priors) {
    check(seen, priors);
    Causes out;
    out.reason = proof.reason;
    if (!proof.ratio || !proof.expected) {
        out.likely = named_by(system, given, proof, seen, priors);
        std::vector<double> p;
        for (const LikelyCause& one : out.likely) p.push_back(one.probability);
        if (p.empty()) return out;
        out.first = p.front();
        std::vector<NextCheck> checks;
        add_looks(out.likely, p, seen, checks);
        out.checks = best_first(std::move(checks), p);
        return out;
    }
    const auto pressure = given.site.pressure();
    if (!pressure) throw Refused(pressure.reason(), explain(pressure.reason()));
    // As `prove` takes it: calibrations that expired, and the airflow found.
    const std::optional<Visit> widen = widened(given);
    Visit visit = widen ? *widen : given;
    Proof found;
    if (!visit.airflow_by.empty()) visit = with_airflow(system, visit, Pressure{*pressure}, found);
    const ProofModel read(system, visit, *pressure);
    const ProofModel model = read.times((1.0 + proof.bend) * (1.0 - proof.frost));
    const Evidence evidence(model, proof, seen);
    if (!evidence.known_well()) {
        out.reason.why = Why::no_sensitivity;
        return out;
    }
    std::vector<Hypothesis> all = Hypotheses(evidence, priors).all;
    const ErrorSpreads spreads(evidence, all);
    double scale = -HUGE_VAL;  // of likelihoods: only what they are to one another counts
    for (Hypothesis& h : all)
        for (Level& level : h.levels) {
            level.log_likelihood = Held(evidence, spreads, level).log_likelihood() +
                                   GaugesRead(seen, level).log_density + log_chance_of(seen, h.told);
            scale = std::max(scale, level.log_likelihood);
        }
    double sum = 0.0, fits = 0.0;
    for (Hypothesis& h : all) {
        weigh(evidence, spreads, seen, scale, h);
        sum += h.evidence;
        if (h.prior > 0.0 && !h.told.also) fits = std::max(fits, h.told.fit);
    }
    constexpr double fits_badly = 0.01, hardly = 0.001;
    std::vector<const Hypothesis*> count;
    std::vector<double> p;
    for (Hypothesis& h : all) {
        h.told.probability = h.evidence / sum;
        out.first = std::max(out.first, h.told.probability);
        if (h.told.probability < hardly) continue;
        count.push_back(&h);
        p.push_back(h.told.probability);
    }
    out.two_at_once = fits < fits_badly;
    out.checks = checks_of(evidence, spreads, count, p, seen);
    for (const Hypothesis& h : all) {
        if (h.told.probability < hardly)
            out.others += h.told.probability;
        else
            out.likely.push_back(h.told);
    }
    ranges::stable_sort(out.likely, std::greater<>(), &LikelyCause::probability);
    return out;
}

}  // namespace offnominal
