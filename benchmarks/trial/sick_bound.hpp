/// @file
/// The bound of the trial of likely causes: what somebody would name who knew the very laws by which faults, machines,
/// instruments and checks are drawn, and how often each cause is thought to occur, but not what is true in one visit.
/// No ranking by the same readings names the true cause more often (Bayes' rule decides with the least error), be it by
/// how often they occur; of causes that occur otherwise it may.
///
/// For each cause machines are drawn and run in the air that was read, read without error, and held against what was
/// read: total, sensible and power over the page's, whose errors count as normal, and their effects as linear.
#pragma once

#include <Eigen/Dense>
#include <array>
#include <cmath>

#include "sick.hpp"

namespace trial {

class SickBound {
   public:
    SickBound(const std::vector<SickRow>& rows, const SickVisit& v, std::uint64_t seed) : rows_(rows), make_(*v.make) {
        const auto read = logs_of(v.visit);
        if (!read) return;
        read_ = *read;
        for (const auto& word : words_of<Input>) {
            const double u = v.visit.of(word.value).standard;
            if (!(u > 0.0)) continue;
            const auto more = logs_of(moved(v.visit, word.value, u)), less = logs_of(moved(v.visit, word.value, -u));
            if (more && less) effects_.col(static_cast<Eigen::Index>(word.value)) = 0.5 * (*more - *less);
            standard_[static_cast<Eigen::Index>(word.value)] = u;
        }
        for (std::size_t i = 0; i < rows.size(); ++i) draw(rows[i], v.visit, Chance(seed, 1000 + i, 0));
        known_ = true;
    }
    [[nodiscard]] bool known() const noexcept { return known_; }

    /// How probable each row is, after what was read and seen.
    /// @param shared  of the variance of two probes
    [[nodiscard]] std::vector<double> chances(double shared, const std::vector<CheckResult>& seen) const {
        Eigen::Matrix<double, input_count, input_count> k = Eigen::Matrix<double, input_count, input_count>::Identity();
        const auto share = [&](Input a, Input b) {
            k(static_cast<Eigen::Index>(a), static_cast<Eigen::Index>(b)) = shared;
            k(static_cast<Eigen::Index>(b), static_cast<Eigen::Index>(a)) = shared;
        };
        share(Input::return_dry_bulb, Input::supply_dry_bulb);
        share(Input::return_humidity, Input::supply_humidity);
        std::vector<Compared> compared;
        for (const CheckResult& one : seen)
            if (const auto row = compared_by(one)) compared.push_back(*row);
        const auto told = static_cast<Eigen::Index>(compared.size());
        Eigen::MatrixXd effects(3 + told, static_cast<Eigen::Index>(input_count));
        effects.topRows(3) = effects_;
        for (Eigen::Index i = 0; i < told; ++i)
            effects.row(3 + i) = compared[static_cast<std::size_t>(i)].of_errors.transpose();
        Eigen::MatrixXd covariance = effects * k * effects.transpose();
        covariance.topLeftCorner(3, 3) += own_ * own_.transpose();
        covariance(2, 2) += 0.02 * 0.02 + (has_power_ ? 0.0 : 1e6);
        for (Eigen::Index i = 0; i < told; ++i) {
            const double noise = compared[static_cast<std::size_t>(i)].noise;
            covariance(3 + i, 3 + i) += noise * noise;
        }
        const Eigen::LDLT<Eigen::MatrixXd> solver(covariance);
        std::vector<double> p(rows_.size(), 0.0);
        double sum = 0.0;
        for (const Drawn& one : drawn_) {
            Eigen::VectorXd off(3 + told);
            off.head(3) = read_ - one.logs;
            for (Eigen::Index i = 0; i < told; ++i) {
                const Compared& row = compared[static_cast<std::size_t>(i)];
                off[3 + i] = row.value - row.of_errors.dot(one.astray);
            }
            double density = std::exp(-0.5 * off.dot(solver.solve(off)));
            for (const CheckResult& check : seen) density *= chance_of(check, one.sick);
            p[one.row] += rows_[one.row].prior({}) / draws * density;
        }
        for (const double one : p) sum += one;
        for (double& one : p) one = sum > 0.0 ? one / sum : 1.0 / static_cast<double>(p.size());
        return p;
    }

   private:
    using Three = Eigen::Vector3d;
    using OfInputs = Eigen::Matrix<double, input_count, 1>;
    static constexpr int draws = 150;
    struct Drawn {
        std::size_t row;
        Sick sick;
        Three logs;
        OfInputs astray;  ///< of a reading that is wrong, in standard uncertainties
    };
    struct Compared {
        OfInputs of_errors = OfInputs::Zero();
        double noise = 0.0, value = 0.0;
    };

    /// As `look` draws them.
    static double chance_of(const CheckResult& one, const Sick& sick) {
        const auto found = [&](bool wrong, double chance, double false_alarm) {
            const double p = wrong ? chance : false_alarm;
            return one.value != 0.0 ? p : 1.0 - p;
        };
        switch (one.check) {
            case CauseCheck::stage:
                return found(sick.cause == Cause::stage, 0.98, 0.02);
            case CauseCheck::match:
                return found(sick.cause == Cause::match, 0.95, 0.03);
            case CauseCheck::outdoor_unit:
                return found(sick.cause == Cause::outdoor_airflow, 0.8, 0.12);
            case CauseCheck::return_duct:
                return found(sick.cause == Cause::return_leak, 0.8, 0.12);
            case CauseCheck::subcooling:
            case CauseCheck::superheat:
            case CauseCheck::condensing: {
                double sum = 0.0;
                constexpr int steps = 8;
                const Range moves = gauge_moves(one.check, sick.cause);
                for (int i = 0; i < steps; ++i) {
                    const double at = sick.level * (moves.low + (moves.high - moves.low) * (i + 0.5) / steps);
                    sum += std::exp(-0.5 * std::pow((one.value - at) / gauge_noise, 2)) / steps;
                }
                return sum;
            }
            default:
                return 1.0;
        }
    }
    [[nodiscard]] std::optional<Compared> compared_by(const CheckResult& one) const {
        Compared out;
        out.value = one.value;
        const auto at = [&](Input input) -> double& { return out.of_errors[static_cast<Eigen::Index>(input)]; };
        const auto u = [&](Input input) { return standard_[static_cast<Eigen::Index>(input)]; };
        switch (one.check) {
            case CauseCheck::second_airflow:
                at(Input::airflow) = u(Input::airflow) / airflow_;
                out.noise = 0.035;
                return out;
            case CauseCheck::dry_bulbs_compared:
                at(Input::supply_dry_bulb) = u(Input::supply_dry_bulb);
                at(Input::return_dry_bulb) = -u(Input::return_dry_bulb);
                out.noise = 0.08;
                return out;
            case CauseCheck::humidities_compared:
                at(Input::supply_humidity) = u(Input::supply_humidity);
                at(Input::return_humidity) = -u(Input::return_humidity);
                out.noise = 0.007;
                return out;
            case CauseCheck::outdoor:
                at(Input::outdoor_dry_bulb) = u(Input::outdoor_dry_bulb);
                out.noise = 0.17;
                return out;
            case CauseCheck::barometer:
                at(Input::pressure) = u(Input::pressure);
                out.noise = 58.0;
                return out;
            default:
                return std::nullopt;
        }
    }

    static Visit moved(Visit v, Input input, double by) {
        const auto more = [&](air::Humidity& h) { h.value = std::min(h.value + by, 1.0); };
        switch (input) {
            case Input::return_dry_bulb:
                v.readings.return_dry_bulb.si += by;
                break;
            case Input::supply_dry_bulb:
                v.readings.supply_dry_bulb.si += by;
                break;
            case Input::return_humidity:
                more(v.readings.return_humidity);
                break;
            case Input::supply_humidity:
                more(v.readings.supply_humidity);
                break;
            case Input::airflow:
                v.readings.airflow.si += by;
                break;
            case Input::outdoor_dry_bulb:
                v.outdoor_dry_bulb.si += by;
                break;
            case Input::pressure:
                v.site = Site::at(*v.site.given_elevation(), Pressure{*v.site.pressure() + by});
                break;
            case Input::fan_power:
                v.fan_power.si += by;
                v.readings.fan_power.si += by;
                break;
            case Input::power:
                if (v.power) v.power->value.si += by;
                break;
            case Input::auxiliary_heat:
                break;
        }
        return v;
    }

    /// Logarithms of what was read over what a finger on the page finds: total, sensible, power.
    [[nodiscard]] std::optional<Three> logs_of(const Visit& v) const {
        Readings r = v.readings;
        r.fan = make_.layout.fan;
        r.fan_power = v.fan_power;
        const auto delivered = try_deliver(r, v.site);
        if (!delivered) return std::nullopt;
        const auto e = by_finger(make_, v, r, delivered->mass_flow);
        if (!e || !e->sensible_capacity || !(delivered->total_capacity.si > 0.0) ||
            !(delivered->sensible_capacity.si > 0.0))
            return std::nullopt;
        const bool power = v.power && e->power;
        return Three(std::log(delivered->total_capacity.si / e->total_capacity.si),
                     std::log(delivered->sensible_capacity.si / e->sensible_capacity->si),
                     power ? std::log(v.power->value.si / e->power->si) : 0.0);
    }

    void draw(const SickRow& row, const Visit& read, Chance chance) {
        has_power_ = read.power.has_value();
        airflow_ = read.readings.airflow.si;
        const auto index = static_cast<std::size_t>(&row - rows_.data());
        for (int i = 0; i < draws; ++i) {
            Drawn one{index, {}, {}, OfInputs::Zero()};
            Visit v = read;
            const double off = row.astray * chance.within({1.0, 1.5});
            double factor = 1.0;
            if (row.secret == Secret::airflow_reads_low) factor = chance.within({0.80, 0.85});
            if (row.secret == Secret::airflow_reads_high) factor = chance.within({1.15, 1.20});
            const auto astray = [&](Input input, double by) {
                const auto at = static_cast<Eigen::Index>(input);
                if (standard_[at] > 0.0) one.astray[at] = by / standard_[at];
            };
            // The air is what was read, less what that is off by.
            v.readings.airflow.si /= factor;
            Readings& r = v.readings;
            const double p = *v.site.pressure();
            Truth truth{};
            truth.p = p;
            truth.t = r.return_dry_bulb.si;
            truth.outdoor = v.outdoor_dry_bulb.si;
            truth.fan = v.fan_power.si;
            if (row.input() == Input::return_dry_bulb) truth.t -= off;
            truth.W = moist::humidity_ratio(r.return_humidity.value * moist::saturation_pressure(truth.t), p);
            const Sick sick = row.draw(chance, wet_bulb_of(truth), truth.outdoor);
            if (sick.input) astray(*sick.input, factor == 1.0 ? off : read.readings.airflow.si * (1.0 - 1.0 / factor));
            truth.scfm = scfm_of(v, truth);
            run_sick(make_, stage_of(row), sick, chance, truth, 0.0);
            v.readings.airflow = read.readings.airflow;
            r.supply_dry_bulb.si = truth.supply_t;
            r.supply_humidity = air::relative_humidity(moist::relative_humidity(truth.supply_t, truth.supply_W, p));
            if (sick.input == Input::supply_humidity || sick.input == Input::supply_dry_bulb) put_astray(sick, off, r);
            if (v.power) v.power->value.si = truth.power;
            const auto logs = logs_of(v);
            if (!logs) continue;
            one.sick = sick;
            one.logs = *logs;
            drawn_.push_back(one);
            if (index == 0 && i == 0) {  // what one machine differs from the next: its coil gives what it takes
                const double half = 0.5 * make_.tolerance;
                Sick weak = sick;
                weak.factors.total *= 1.0 - half;
                Truth less = truth;
                Chance same(1, 1, 1), again(1, 1, 1);
                run_sick(make_, Runs::high, sick, same, truth, 0.0);
                run_sick(make_, Runs::high, weak, again, less, 0.0);
                own_ = {half, (less.supply_t - truth.supply_t) / (truth.t - truth.supply_t), 0.0};
            }
        }
    }
    [[nodiscard]] static double scfm_of(const Visit& v, const Truth& truth) {
        const double flow = v.readings.airflow.si / cfm(1.0);
        if (v.readings.airflow.kind == AirflowReading::Kind::standard) return flow;
        // Actual cubic feet of return air: to dry mass, and back to standard ones.
        return v.readings.airflow.si / moist::volume(truth.t, truth.W, truth.p) / mass_of_scfm(1.0);
    }

    const std::vector<SickRow>& rows_;
    const Make& make_;
    bool known_ = false, has_power_ = false;
    double airflow_ = 1.0;
    Three read_ = Three::Zero(), own_ = Three::Zero();
    Eigen::Matrix<double, 3, input_count> effects_ = Eigen::Matrix<double, 3, input_count>::Zero();
    OfInputs standard_ = OfInputs::Zero();
    std::vector<Drawn> drawn_;
};

}  // namespace trial
