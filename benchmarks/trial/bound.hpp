/// @file
/// The bound of the trial: what could be made of total, sensible and power by somebody who knew how the visits are made
/// but not what is true in one: by the very laws of machines, faults and instruments that drew it. No rule that knows
/// less decides more often at the same risks, so what this leaves open is the instruments' to mend. So with an airflow
/// that is wrong: of all rules that call as many ordinary visits wrong, the ratio of the two likelihoods notices most
/// (Neyman and Pearson 1933). And so with a verdict: of all rules that pass a machine next to the limit no oftener than
/// another one does, that which goes by the ratio of the likelihoods of 1.00 and of the limit passes the most sound
/// ones.
///
/// Errors of instruments count as normal here, and their effects as the proof's budget has them.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>

#include "visits.hpp"

namespace trial {

using offnominal::Input;
using offnominal::Proof;

class Bound {
   public:
    /// @param by_power  whether power is known to tell of faults, and how; else it is left out
    Bound(const VisitCase& v, const Kit& kit, const Proof& proof, bool by_power = true) {
        const auto effect = [&](Input input) -> const offnominal::BudgetLine& {
            return *std::find_if(proof.budget.begin(), proof.budget.end(),
                                 [&](const auto& line) { return line.input == input; });
        };
        const auto add = [&](const Three& a, const Three& b, double correlation) {
            for (std::size_t i = 0; i < 3; ++i)
                for (std::size_t j = 0; j < 3; ++j) covariance_[i][j] += correlation * a[i] * b[j];
        };
        const auto of = [&](Input input) -> Three {
            const auto& line = effect(input);
            return {line.ratio, line.sensible, line.power_ratio};
        };
        for (const auto& row : offnominal::words_of<Input>) add(of(row.value), of(row.value), 1.0);
        for (const auto& [a, b] : {std::pair{Input::return_dry_bulb, Input::supply_dry_bulb},
                                   std::pair{Input::return_humidity, Input::supply_humidity}}) {
            add(of(a), of(b), kit.shared);
            add(of(b), of(a), kit.shared);
        }
        // One machine differs from its page, its power and its coil from what is usual.
        slope_ = sensible_of(*v.make, 0.95, 1.0) / std::log(0.95);
        const double surface =
            0.5 * (sensible_of(*v.make, 1.0, std::exp(0.05)) - sensible_of(*v.make, 1.0, std::exp(-0.05)));
        const double make = 0.5 * v.make->tolerance,
                     page = std::sqrt(std::max(0.0, proof.expected_u * proof.expected_u - make * make));
        const auto own = [&](const Three& a) { add(a, a, 1.0); };
        own({make, slope_ * make, 0.0});
        own({page, page, 0.0});
        own({0.0, surface, 0.0});
        own({0.0, 0.0, 0.02});

        const auto& airflow = effect(Input::airflow);
        const double airflow_u = airflow.standard / v.visit.readings.airflow.si;
        by_airflow_ = {airflow.ratio / airflow_u, airflow.sensible / airflow_u, airflow.power_ratio / airflow_u};
        read_ = {std::log(proof.delivered.total_capacity.si / proof.expected->total_capacity.si / (1.0 + proof.bend) /
                          (1.0 - proof.frost)),
                 proof.sensible ? std::log(proof.sensible->ratio) : 0.0,
                 proof.power ? std::log(proof.power->ratio) : 0.0};
        if (!proof.sensible) covariance_[1] = {0.0, 1e6, 0.0}, covariance_[0][1] = covariance_[2][1] = 0.0;
        if (!proof.power || !by_power) covariance_[2] = {0.0, 0.0, 1e6}, covariance_[0][2] = covariance_[1][2] = 0.0;
        factor();
    }

    /// Logarithm of how much likelier what was read is at a sound machine whose airflow reads 15 to 20 % wrong, either
    /// way, than at one of any ratio from 0.70 to 1.10 whose airflow is right.
    [[nodiscard]] double wrong_airflow() const {
        constexpr int steps = 5;
        double wrong = 0.0, right = 0.0;
        for (const auto& [from, to] : {Range{0.80, 0.85}, Range{1.15, 1.20}})
            for (int i = 0; i < steps; ++i)
                wrong += likelihood(1.0, std::log(from + (to - from) * (i + 0.5) / steps)) / (2 * steps);
        for (int i = 0; i < 40; ++i) right += likelihood(0.705 + 0.01 * i) / 40;
        return std::log(std::max(wrong, 1e-300) / std::max(right, 1e-300));
    }

    /// Logarithm of how much likelier what was read is at one true ratio than at another.
    [[nodiscard]] double evidence(double of, double over) const {
        return std::log(std::max(likelihood(of), 1e-300) / std::max(likelihood(over), 1e-300));
    }

    /// Chance that the true ratio is at least `limit`, before which any from 0.60 to 1.20 was as likely.
    [[nodiscard]] double chance(double limit) const {
        double above = 0.0, all = 0.0;
        for (double ratio = 0.6025; ratio < 1.20; ratio += 0.005) {
            const double weight = likelihood(ratio);
            all += weight;
            if (ratio > limit) above += weight;
        }
        return all > 0.0 ? above / all : 0.5;
    }

   private:
    using Three = std::array<double, 3>;

    /// Logarithm of sensible over that of a sound machine in usual air, where total and the coil's surface change.
    static double sensible_of(const Make& make, double total, double surface) {
        const double p = moist::standard_pressure, m = mass_of_scfm(390.0 * make.tons), t = degC(76.0);
        const Entering in{t, moist::humidity_ratio(0.5 * moist::saturation_pressure(t), p), p};
        const double sound = make.machine->sound(Runs::high, in, m, degC(95.0)).total;
        const auto split = [&](double share, double of_surface) {
            return t - make.machine->leaving(in, m, share * sound, of_surface).t;
        };
        return std::log(split(total, surface) / split(1.0, 1.0));
    }

    /// Lower triangle of the covariance (Cholesky).
    void factor() {
        for (std::size_t i = 0; i < 3; ++i)
            for (std::size_t j = 0; j <= i; ++j) {
                double sum = covariance_[i][j];
                for (std::size_t k = 0; k < j; ++k) sum -= root_[i][k] * root_[j][k];
                root_[i][j] = i == j ? std::sqrt(std::max(sum, 1e-12)) : sum / root_[j][j];
            }
    }
    [[nodiscard]] double density(const Three& at) const {
        double squares = 0.0;
        Three z{};
        for (std::size_t i = 0; i < 3; ++i) {
            z[i] = at[i];
            for (std::size_t k = 0; k < i; ++k) z[i] -= root_[i][k] * z[k];
            z[i] /= root_[i][i];
            squares += z[i] * z[i];
        }
        return std::exp(-0.5 * squares);
    }
    /// Of what was read, over the powers that a fault may leave: the law of `power_of_fault`.
    /// @param off  logarithm of the airflow that was read, over the one that it stands for
    [[nodiscard]] double likelihood(double ratio, double off = 0.0) const {
        const double lost = 1.0 - ratio, log_ratio = std::log(ratio);
        const auto over = [&](double from, double to) {
            constexpr int steps = 8;
            double sum = 0.0;
            for (int i = 0; i < steps; ++i) {
                const double power = std::log(1.0 + lost * (from + (to - from) * (i + 0.5) / steps));
                sum += density({read_[0] - log_ratio - off * by_airflow_[0],
                                read_[1] - slope_ * log_ratio - off * by_airflow_[1],
                                read_[2] - power - off * by_airflow_[2]}) /
                       steps;
            }
            return sum;
        };
        const double inside = over(-0.6, 0.0);
        return lost > 0.0 && lost < 0.12 ? 0.75 * inside + 0.25 * over(0.5, 2.0) : inside;
    }

    std::array<Three, 3> covariance_{}, root_{};
    Three read_{}, by_airflow_{};
    double slope_ = 0.5;
};

}  // namespace trial
