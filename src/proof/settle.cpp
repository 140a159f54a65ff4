#include "offnominal/proof/settle.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <limits>

#include "chances.hpp"
#include "distributions.hpp"
#include "offnominal/explain.hpp"

namespace offnominal {
namespace {
using namespace detail;

/// Errors by which what is read may be off: of the instruments as they are, in their standard uncertainties, which may
/// go together; of the readings' scatter; and those that are not made yet.
constexpr Eigen::Index of_scatter = input_count, not_made = 2 * of_scatter, all_errors = not_made + 4 * of_scatter;
using ErrorVector = Eigen::Matrix<double, all_errors, 1>;

double good_humidity(const air::Humidity& h, double relative_humidity, double temperature, double share) noexcept {
    if (h.kind == air::Humidity::Kind::relative_humidity) return relative_humidity;
    return h.kind == air::Humidity::Kind::humidity_ratio ? share * h.value : temperature;
}

/// What is off in each input, in SI, as sums of such errors.
class Errors {
   public:
    Errors(const Visit& visit, const Proof& proof, const TypeA& type_a)
        : visit_(visit),
          airflow_(proof.airflow ? proof.airflow->airflow.si : visit.readings.airflow.si),
          wetted_(proof.notes.has(Note::saturated_probe)) {
        Notes told;  // by the proof
        const Correlations known = correlations_of(visit, told);
        std::copy(known.matrix().begin(), known.matrix().end(), correlations_.data());  // symmetric
        for (const BudgetLine& line : proof.budget) {
            const auto i = static_cast<Eigen::Index>(line.input);
            const double whole = line.standard, given = type_a[static_cast<std::size_t>(i)],
                         scatter = given != 0.0 ? given : scatter_of(visit.of(line.input));
            if (!(scatter >= 0.0 && scatter <= whole))
                throw InputError({}, "type A part of " + std::string(name(line.input)), brief(scatter),
                                 "0 to " + brief(whole) + ", the whole");
            instrument_(i, i) = std::sqrt(whole * whole - scatter * scatter);
            scatter_(i, of_scatter + i) = scatter;
            if (!(whole > 0.0)) continue;
            total_[i] = line.ratio / whole;
            sensible_[i] = line.sensible / whole;
        }
    }

    /// What they do to the ratios of total and sensible, relative.
    struct Effect {
        ErrorVector total, sensible;
    };
    [[nodiscard]] Effect effect() const {
        const Rows all = instrument_ + scatter_;
        return {all.transpose() * total_, all.transpose() * sensible_};
    }
    [[nodiscard]] double covariance(const ErrorVector& a, const ErrorVector& b) const {
        return a.head<of_scatter>().dot(correlations_ * b.head<of_scatter>()) +
               a.tail<all_errors - of_scatter>().dot(b.tail<all_errors - of_scatter>());
    }

    void apply(Remedy remedy) {
        const Readings& r = visit_.readings;
        const auto humidity = [](const air::Humidity& h) {
            return good_humidity(h, practice::good_relative_humidity, practice::good_temperature,
                                 practice::good_humidity_ratio);
        };
        switch (remedy) {
            case Remedy::side_by_side:
                compare(Input::return_dry_bulb, Input::supply_dry_bulb, practice::compared_temperature);
                // No comparison in dry air helps a probe that the coil wets.
                if (r.return_humidity.kind == r.supply_humidity.kind && !wetted_)
                    compare(Input::return_humidity, Input::supply_humidity,
                            good_humidity(r.supply_humidity, practice::compared_relative_humidity,
                                          practice::compared_temperature, practice::compared_humidity_ratio));
                break;
            case Remedy::dry_bulbs:
                replace(Input::return_dry_bulb, practice::good_temperature);
                replace(Input::supply_dry_bulb, practice::good_temperature);
                break;
            case Remedy::humidities:
                replace(Input::return_humidity, humidity(r.return_humidity));
                replace(Input::supply_humidity, humidity(r.supply_humidity));
                break;
            case Remedy::second_airflow:
                add(Input::airflow, practice::second_airflow * airflow_);
                break;
            case Remedy::better_airflow:
                replace(Input::airflow, practice::good_airflow * airflow_);
                break;
            case Remedy::outdoor:
                replace(Input::outdoor_dry_bulb, practice::good_outdoor_dry_bulb);
                break;
            case Remedy::barometer:
                replace(Input::pressure, practice::good_barometer);
                break;
            case Remedy::fan_meter:
                replace(Input::fan_power, practice::good_power * visit_.fan_power.si);
                break;
            case Remedy::auxiliary_off:
                replace(Input::auxiliary_heat, 0.0);
                break;
            case Remedy::longer_window:
                // Three times as many readings more, which scatter as those that there are.
                for (Eigen::Index i = 0; i < of_scatter; ++i)
                    scatter_.row(i) =
                        0.25 * scatter_.row(i) + 0.75 * fresh(scatter_.row(i).norm() / std::sqrt(3.0)).transpose();
                break;
            case Remedy::everything:
                for (const RemedyWords& row : words_of<Remedy>)
                    if (row.value != Remedy::everything) apply(row.value);
                break;
        }
    }

   private:
    using Rows = Eigen::Matrix<double, input_count, all_errors>;
    static Eigen::Index row_of_input(Input input) noexcept { return static_cast<Eigen::Index>(input); }

    [[nodiscard]] double standard(Eigen::Index i) const {
        const ErrorVector e = (instrument_.row(i) + scatter_.row(i)).transpose();
        return std::sqrt(covariance(e, e));
    }
    [[nodiscard]] ErrorVector fresh(double standard) {
        ErrorVector e = ErrorVector::Zero();
        e[next_++] = standard;
        return e;
    }

    /// Read with another instrument, if that one is better; the readings scatter as they did.
    void replace(Input input, double good) {
        const Eigen::Index i = row_of_input(input);
        const double scatter = scatter_.row(i).norm();
        if (!(std::hypot(good, scatter) < standard(i))) return;
        instrument_.row(i) = fresh(good).transpose();
        scatter_.row(i) = fresh(scatter).transpose();
    }
    /// Read a second time, independently; the best mean of the two.
    void add(Input input, double good) {
        const Eigen::Index i = row_of_input(input);
        const double u = standard(i);
        if (!(u > 0.0)) return;
        const double weight = u * u / (u * u + good * good);
        instrument_.row(i) = (1.0 - weight) * instrument_.row(i) + weight * fresh(good).transpose();
        scatter_.row(i) *= 1.0 - weight;
    }
    /// The second corrected to the first, unless the two share an error already.
    void compare(Input first, Input second, double own) {
        const Eigen::Index a = row_of_input(first), b = row_of_input(second);
        if (covariance(instrument_.row(a).transpose(), instrument_.row(b).transpose()) > 0.0 || !(standard(b) > own))
            return;
        instrument_.row(b) = instrument_.row(a) + fresh(own).transpose();
    }

    const Visit& visit_;
    double airflow_;                                              ///< as read, or as found
    bool wetted_;                                                 ///< the supply's humidity probe may be
    Eigen::Matrix<double, of_scatter, of_scatter> correlations_;  ///< of instruments; nothing else goes together
    Rows instrument_ = Rows::Zero(), scatter_ = Rows::Zero();
    Eigen::Matrix<double, input_count, 1> total_ = Eigen::Matrix<double, input_count, 1>::Zero(), sensible_ = total_;
    Eigen::Index next_ = not_made;
};

/// A ratio as a proof will read it: normal, with an uncertainty of its own that decides.
struct Future {
    double mean = 0.0, spread = 0.0;  ///< where it will be read
    double u = 0.0;                   ///< how uncertain it will then be
    double limit = 0.0;
    double clear_u = u, clear_limit = limit;  ///< of these, if no frost has grown: what passes must pass so

    /// How many spreads below the mean it is read just high enough to pass (`side` 1), or just too high to fail (-1).
    [[nodiscard]] double reserve(double z, double side) const noexcept {
        const double margin = side > 0.0 ? mean - clear_limit - z * clear_u : mean - limit + z * u;
        return spread > 0.0 ? margin / spread : std::copysign(std::numeric_limits<double>::infinity(), margin);
    }
};

double share_below(double z) { return std::isfinite(z) ? distributions::normal_below(z) : z > 0.0 ? 1.0 : 0.0; }

/// Chance that two standard normal variables both stay below.
double share_below(double a, double b, double correlation) {
    constexpr int steps = 200;
    const double all = share_below(a), left = std::sqrt(std::max(1e-12, 1.0 - correlation * correlation));
    double sum = 0.0;
    for (int i = 0; i < steps && all > 0.0; ++i)
        sum += share_below((b - correlation * distributions::normal_quantile(all * (i + 0.5) / steps)) / left);
    return all * sum / steps;
}

struct Chance {
    double meets = 0.0, falls_short = 0.0;
};
Chance chance_of(const Future& total, const Future& sensible, double correlation, Judge judge, double z) {
    if (judge == Judge::both)
        return {share_below(total.reserve(z, 1.0), sensible.reserve(z, 1.0), correlation),
                1.0 - share_below(total.reserve(z, -1.0), sensible.reserve(z, -1.0), correlation)};
    const Future& one = judge == Judge::sensible ? sensible : total;
    return {share_below(one.reserve(z, 1.0)), share_below(-one.reserve(z, -1.0))};
}

/// Total and sensible as they will be read with these errors, of a machine whose ratios stand where they do. With the
/// errors of what was read already, `now`, what is common to both is behind us.
struct Outlook {
    Future total, sensible;
    double correlation = 0.0;

    Outlook(const Errors& errors, const Errors* now, const Proof& proof, double at_total, double at_sensible) {
        const auto left = errors.effect();
        auto change = left;
        const double lasting = proof.expected_u, own = now != nullptr ? 0.0 : lasting;
        if (now != nullptr) {
            change.total -= now->effect().total;
            change.sensible -= now->effect().sensible;
        }
        const auto size = [&](const ErrorVector& e, double more) {
            return std::sqrt(std::max(0.0, errors.covariance(e, e)) + more * more);
        };
        const double of_total = size(change.total, own), of_sensible = size(change.sensible, own);
        total = {at_total, at_total * of_total, at_total * size(left.total, lasting), proof.limit};
        if (proof.frost > 0.0 && proof.acceptance == Acceptance::guarded) {
            const double held = 1.0 - proof.frost, frost = frost_uncertainty(proof.frost);
            total.clear_u = at_total * size(left.total, std::sqrt(std::max(0.0, lasting * lasting - frost * frost)));
            total.clear_limit = proof.limit / held;
        }
        sensible = {at_sensible, at_sensible * of_sensible, at_sensible * size(left.sensible, lasting),
                    proof.sensible_limit};
        if (of_total > 0.0 && of_sensible > 0.0)
            correlation = std::clamp(
                (errors.covariance(change.total, change.sensible) + own * own) / (of_total * of_sensible), -1.0, 1.0);
    }
    [[nodiscard]] Chance chance(const Proof& p) const {
        return chance_of(total, sensible, correlation, p.judge, guard_factor(p.acceptance, p.confidence));
    }
    /// Whether it is surer than another of the same visit, in what is judged.
    [[nodiscard]] bool surer_than(const Outlook& other, Judge judge) const noexcept {
        constexpr double noticeably = 0.995;
        return (judge != Judge::sensible && total.u < noticeably * other.total.u) ||
               (judge != Judge::total && sensible.u < noticeably * other.sensible.u);
    }
};

/// What each remedy would make of a visit whose ratios stand at `total` and `sensible`, and were `read` or not.
std::vector<Settling> remedies_of(const Visit& visit, const Proof& proof, const TypeA& type_a, double total,
                                  double sensible, bool read) {
    std::vector<Settling> out;
    const Errors now(visit, proof, type_a);
    const auto outlook = [&](const Errors& errors) {
        return Outlook(errors, read ? &now : nullptr, proof, total, sensible);
    };
    const Outlook without = outlook(now);
    for (const RemedyWords& row : words_of<Remedy>) {
        Errors errors = now;
        errors.apply(row.value);
        const Outlook with = outlook(errors);
        if (!with.surer_than(without, proof.judge)) continue;
        if (row.value == Remedy::everything && out.size() < 2) continue;  // there is but one
        const Chance chance = with.chance(proof);
        out.push_back({row.value, with.total.u, chance.meets, chance.falls_short});
    }
    std::stable_sort(out.begin(), out.end(), [](const Settling& a, const Settling& b) {
        const bool all_a = a.remedy == Remedy::everything, all_b = b.remedy == Remedy::everything;
        return all_a != all_b ? all_b : a.decided() > b.decided();
    });
    return out;
}

/// Supply air that takes this share of what is expected out of the return air: a mixture of it with that of a sound
/// machine. `heater`: what auxiliary heat between the probes adds, K.
bool put_supply(Visit& visit, const air::State& entering, const air::State& sound, double share, double heater) {
    const auto between = [share](double from, double to) { return from + share * (to - from); };
    const auto supply =
        air::try_state(Temperature{between(entering.dry_bulb.si, sound.dry_bulb.si)},
                       air::humidity_ratio(HumidityRatio{between(entering.humidity_ratio.si, sound.humidity_ratio.si)}),
                       entering.pressure);
    if (!supply) return false;
    visit.readings.supply_dry_bulb.si = supply->dry_bulb.si + heater;
    if (visit.mode() == Mode::heating) return true;
    air::Humidity& humidity = visit.readings.supply_humidity;
    const auto measured = measured_as(*supply, humidity);
    if (!measured) return false;
    humidity.value = *measured;
    return true;
}

}  // namespace

std::vector<Settling> settle(const Visit& visit, const Proof& proof, const TypeA& type_a) {
    if (!proof.ratio || proof.outcome != Outcome::undecided || proof.suspect != About::nothing ||
        proof.notes.has(Note::speed_unknown) || proof.notes.has(Note::auxiliary_unknown))
        return {};
    return remedies_of(visit, proof, type_a, *proof.ratio, proof.sensible ? proof.sensible->ratio : 1.0, true);
}

const Settling* best_of(const std::vector<Settling>& remedies) noexcept {
    constexpr double worth_doing = 0.05;
    if (remedies.empty()) return nullptr;
    for (const Settling* one : {&remedies.front(), &remedies.back()})
        if (one->decided() >= worth_doing) return one;
    return nullptr;
}

Plan plan(const System& system, const Visit& forecast) {
    Plan out;
    out.visit = forecast;
    out.visit.power.reset();  // nobody knows yet what the machine will draw
    out.visit.second_capacity.reset();
    out.visit.typed = {};
    const auto pressure = forecast.site.pressure();
    if (!pressure) throw Refused(pressure.reason(), explain(pressure.reason()));
    const Readings& r = forecast.readings;
    const bool heats = forecast.mode() == Mode::heating;
    const air::State entering = air::state(r.return_dry_bulb, return_humidity_of(forecast), Pressure{*pressure});
    // Any supply that a machine could make; the expected one takes its place as soon as it is known.
    air::State supply = entering;
    supply.dry_bulb.si += heats ? 15.0 : -10.0;
    double heater = 0.0;
    supply.humidity_ratio.si =
        std::min(supply.humidity_ratio.si, 0.9 * air::si::saturation_humidity_ratio(supply.dry_bulb.si, *pressure));
    // An airflow read in the supply, or at the fan, depends on the air there: by 1 % for 3 K, so that three passes are
    // enough.
    for (int pass = 0; pass < 3 && put_supply(out.visit, entering, supply, 1.0, heater); ++pass) {
        out.proof = prove(system, out.visit);
        out.reason = out.proof.reason;
        if (!out.proof.expected) return out;
        if (!out.proof.expected->leaving) {
            out.reason = out.proof.expected->no_leaving;
            return out;
        }
        supply.dry_bulb = out.proof.expected->leaving->dry_bulb;
        supply.humidity_ratio = out.proof.expected->leaving->humidity_ratio;
        if (heats && r.auxiliary_heat.si > 0.0)
            heater = r.auxiliary_heat.si /
                     (out.proof.expected->mass_flow.si * air::si::moist_heat_capacity(entering.humidity_ratio.si));
    }
    if (!out.proof.ratio) return out;
    for (const double truth : {1.0, out.proof.limit, 0.85}) {
        Visit visit = out.visit;
        if (!put_supply(visit, entering, supply, truth, heater)) continue;
        const Proof read = prove(system, visit);
        if (!read.ratio) continue;
        const Outlook outlook(Errors(visit, read, {}), nullptr, read, truth, truth);
        const Chance chance = outlook.chance(read);
        out.chances.push_back({truth, outlook.total.u, chance.meets, chance.falls_short});
    }
    out.remedies = remedies_of(out.visit, out.proof, {}, 1.0, 1.0, false);
    return out;
}

}  // namespace offnominal
