/// @file
/// What a page leaves open: which reading of it closes best. Asked, never assumed.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "auditor.hpp"

namespace offnominal::detail {

class PageQuestions {
   public:
    PageQuestions(const Basis& basis, const PrintedPage& page, const PageAuditor& auditor)
        : basis_(basis),
          page_(page),
          auditor_(auditor),
          shape_(auditor.shape()),
          total_(auditor.columns().front()),
          sensible_(auditor.column("sensible")) {}

    [[nodiscard]] std::vector<Question> all() {
        if (!auditor_.slipped().empty()) return {};
        ask_capacity_by_coil();
        ask_capacity_by_split();
        ask_power();
        ask_sensible_at();
        ask_certified();
        return std::move(out_);
    }

   private:
    /// Fan power per airflow where nobody states one: the older default of coil-only ratings, 365 W per 1000 scfm
    /// (10 CFR 430, subpart B, appendix M, from memory).
    static constexpr double default_fan = units::W_1000scfm.to_si(365.0);

    [[nodiscard]] double fan_per_flow(std::size_t n) const {
        const double flow = shape_.value(n, PageAxis::airflow), stated = basis_.fan.heat(flow) / flow;
        if (stated > 0.0) return stated;
        if (basis_.certified && basis_.certified->airflow.si > 0.0 && basis_.certified->fan_power.si > 0.0)
            return basis_.certified->fan_power.si / basis_.certified->airflow.si;
        return default_fan;
    }
    [[nodiscard]] std::string stated_capacity() const {
        return basis_.capacity == CapacityBasis::gross ? "gross" : basis_.capacity == CapacityBasis::net ? "net" : "";
    }
    [[nodiscard]] static double root_mean_square(const std::vector<double>& off) {
        double sum = 0.0;
        for (const double o : off) sum += o * o;
        return std::sqrt(sum / static_cast<double>(off.size()));
    }
    void ask(Question question) {
        std::stable_sort(question.hypotheses.begin(), question.hypotheses.end(),
                         [](const auto& a, const auto& b) { return std::abs(a.misfit) < std::abs(b.misfit); });
        if (question.hypotheses.size() > 1)
            question.decisive = 3.0 * std::abs(question.hypotheses[0].misfit) < std::abs(question.hypotheses[1].misfit);
        out_.push_back(std::move(question));
    }

    /// How well one reading of the page closes with the coil: relative distances of printed sensible, at the printed
    /// bypass factors, or with the one per airflow that closes best.
    [[nodiscard]] std::optional<std::vector<double>> coil_misfit(const PageAir::Assumed& assumed) const {
        const AuditColumn* bypass = auditor_.column("bypass");
        std::vector<double> out;
        for (std::size_t flow = 0; flow < shape_.size(PageAxis::airflow); ++flow) {
            std::vector<double> best;
            for (int thousandth = 20; thousandth <= 300; thousandth += 20) {
                std::vector<double> off;
                for (const std::size_t n : auditor_.wet()) {
                    if (shape_.index(n, PageAxis::airflow) != flow) continue;
                    if (total_.notable(n) || sensible_->notable(n)) continue;
                    const double b = bypass != nullptr ? bypass->cleaned(n) : thousandth / 1000.0;
                    const auto s = auditor_.air().sensible(n, total_.values[n], b, assumed);
                    if (!s) return std::nullopt;
                    off.push_back(sensible_->values[n] / *s - 1.0);
                }
                if (off.empty()) break;
                if (best.empty() || root_mean_square(off) < root_mean_square(best)) best = off;
                if (bypass != nullptr) break;
            }
            out.insert(out.end(), best.begin(), best.end());
        }
        if (out.size() < 4) return std::nullopt;
        return out;
    }

    void ask_capacity_by_coil() {
        if (sensible_ == nullptr) return;
        Question q{Question::About::capacity, Question::By::coil, stated_capacity(), {}, false, 0};
        const double fan = fan_per_flow(auditor_.wet().empty() ? 0 : auditor_.wet().front());
        for (const auto& [name, per_flow] : {std::pair<const char*, double>{"gross", 0.0}, {"net", fan}}) {
            const auto off = coil_misfit({std::nullopt, per_flow});
            if (!off) continue;
            q.hypotheses.push_back({name, root_mean_square(*off)});
            q.nodes = off->size();
        }
        if (!q.hypotheses.empty()) ask(std::move(q));
    }

    /// A printed split times airflow is sensible. The trade's slope is 1.08 to 1.10 Btu/h per cfm and degF; what the
    /// page states, or 1.10. If sensible alone does not close, sensible with or without the fan's heat may.
    void ask_capacity_by_split() {
        const AuditColumn* split = auditor_.column("split");
        if (split == nullptr || sensible_ == nullptr) return;
        const double slope = basis_.sensible_slope ? basis_.sensible_slope->si : units::Btu_h_cfm_degF.to_si(1.10);
        Question q{Question::About::capacity, Question::By::split, stated_capacity(), {}, false, 0};
        std::array<std::vector<double>, 3> off;
        for (const std::size_t n : auditor_.wet()) {
            if (!split->has(n) || !(split->values[n] > 0.0) || split->notable(n) || sensible_->notable(n)) continue;
            const double flow = shape_.value(n, PageAxis::airflow), heat = fan_per_flow(n) * flow;
            const double by_split = slope * flow * split->values[n];
            off[0].push_back(sensible_->values[n] / by_split - 1.0);
            off[1].push_back((sensible_->values[n] - heat) / by_split - 1.0);
            off[2].push_back((sensible_->values[n] + heat) / by_split - 1.0);
        }
        if (off[0].empty()) return;
        q.nodes = off[0].size();
        q.hypotheses = {{"sensible and split on one side of the fan", root_mean_square(off[0])},
                        {"sensible gross, split net", root_mean_square(off[1])},
                        {"sensible net, split gross", root_mean_square(off[2])}};
        ask(std::move(q));
    }

    /// What the printed EER or COP divides by, less the printed power: nothing, or the indoor fan's power.
    void ask_power() {
        const AuditColumn *power = auditor_.column("power"), *eer = auditor_.column("eer");
        if (eer == nullptr) eer = auditor_.column("cop");
        if (power == nullptr || eer == nullptr) return;
        static constexpr const char* names[]{"", "compressor", "outdoor unit", "system"};
        Question q{Question::About::power,
                   Question::By::efficiency,
                   names[static_cast<std::size_t>(basis_.power)],
                   {},
                   false,
                   0};
        std::array<std::vector<double>, 4> off;
        for (std::size_t n = 0; n < shape_.nodes(); ++n) {
            if (!eer->has(n) || !total_.has(n) || !power->has(n) || !(eer->values[n] > 0.0)) continue;
            if (eer->notable(n) || total_.notable(n) || power->notable(n)) continue;
            const double heat = fan_per_flow(n) * shape_.value(n, PageAxis::airflow), P = power->values[n],
                         T = total_.values[n];
            const double e = eer->values[n];
            off[0].push_back(T / P / e - 1.0);
            off[1].push_back(T / (P + heat) / e - 1.0);
            off[2].push_back((T - heat) / (P + heat) / e - 1.0);
            off[3].push_back((T - heat) / P / e - 1.0);
        }
        if (off[0].empty()) return;
        q.nodes = off[0].size();
        q.hypotheses = {{"total over power as printed", root_mean_square(off[0])},
                        {"power without the indoor fan, total as printed", root_mean_square(off[1])},
                        {"power without the indoor fan, total gross", root_mean_square(off[2])},
                        {"power of the system, total gross", root_mean_square(off[3])}};
        ask(std::move(q));
    }

    /// The dry bulbs that pages are printed for, and the one it states.
    void ask_sensible_at() {
        if (sensible_ == nullptr || !page_.pairs.empty() || shape_.has(PageAxis::entering_dry_bulb)) return;
        std::vector<std::pair<std::string, double>> candidates{{"75 degF", units::degF.to_si(75.0)},
                                                               {"80 degF", units::degF.to_si(80.0)},
                                                               {"25 degC", 25.0},
                                                               {"27 degC", 27.0}};
        Question q{Question::About::sensible_at, Question::By::coil, {}, {}, false, 0};
        if (basis_.sensible_at) {
            const auto same = std::find_if(candidates.begin(), candidates.end(), [&](const auto& c) {
                return std::abs(c.second - basis_.sensible_at->si) < 1e-6;
            });
            q.stated = same != candidates.end() ? same->first : brief(basis_.sensible_at->si) + " degC";
            if (same == candidates.end()) candidates.emplace_back(q.stated, basis_.sensible_at->si);
        }
        for (const auto& [name, dry_bulb] : candidates) {
            const auto off = coil_misfit({dry_bulb, std::nullopt});
            if (!off) continue;
            q.hypotheses.push_back({name, root_mean_square(*off)});
            q.nodes = off->size();
        }
        if (!q.hypotheses.empty()) ask(std::move(q));
    }

    /// The page's total between its nodes, at the rating point: 95 degF outdoors, 80 / 67 degF entering.
    [[nodiscard]] std::optional<double> rated_total(double airflow) const {
        std::vector<double> coefficients(shape_.nodes(), 0.0);
        coefficients[0] = 1.0;
        for (std::size_t a = 0; a < page_axes; ++a) {
            const auto axis = static_cast<PageAxis>(a);
            const auto& x = shape_.breakpoints(axis);
            if (x.empty()) continue;
            double at = 0.0;
            if (axis == PageAxis::outdoor_dry_bulb) at = units::degF.to_si(95.0);
            if (axis == PageAxis::airflow) at = airflow;
            if (axis == PageAxis::entering_dry_bulb) at = units::degF.to_si(80.0);
            if (axis == PageAxis::pressure) at = air::si::standard_pressure;
            if (axis == PageAxis::humidity) {
                const double wet = units::degF.to_si(67.0), dry = units::degF.to_si(80.0),
                             p = air::si::standard_pressure;
                switch (humidity_axis(page_)) {
                    case HumidityAxis::wet_bulb:
                        at = wet;
                        break;
                    case HumidityAxis::relative_humidity:
                        at = air::si::relative_humidity(dry, air::si::humidity_ratio_from_wet_bulb(dry, wet, p), p);
                        break;
                    case HumidityAxis::pairs: {
                        const auto pair =
                            std::find_if(page_.pairs.begin(), page_.pairs.end(), [&](const IndoorPair& i) {
                                return std::abs(i.dry_bulb - dry) < 0.1 && std::abs(i.wet_bulb - wet) < 0.1;
                            });
                        if (pair == page_.pairs.end()) return std::nullopt;
                        at = static_cast<double>(pair - page_.pairs.begin());
                    }
                }
            }
            const double past = reach(x) + 1e-9;
            if (at < x.front() - past || at > x.back() + past) return std::nullopt;
            std::size_t i = 0;
            while (i + 2 < x.size() && at >= x[i + 1]) ++i;
            const double t = x.size() > 1 ? (at - x[i]) / (x[i + 1] - x[i]) : 0.0;
            std::vector<double> next(coefficients.size(), 0.0);
            for (std::size_t n = 0; n < coefficients.size(); ++n) {
                if (coefficients[n] == 0.0) continue;
                next[n + i * shape_.stride(axis)] += coefficients[n] * (1.0 - t);
                if (x.size() > 1) next[n + (i + 1) * shape_.stride(axis)] += coefficients[n] * t;
            }
            coefficients = std::move(next);
        }
        double sum = 0.0;
        for (std::size_t n = 0; n < coefficients.size(); ++n) {
            if (std::abs(coefficients[n]) < 1e-9) continue;
            if (!total_.has(n)) return std::nullopt;
            sum += coefficients[n] * total_.values[n];
        }
        return sum;
    }

    void ask_certified() {
        if (!basis_.certified) return;
        const CertifiedRating& rating = *basis_.certified;
        const auto total = rated_total(rating.airflow.si);
        if (!total || !(rating.net_total.si > 0.0)) return;
        const double heat = basis_.fan.heat(rating.airflow.si);
        Question q{Question::About::certified, Question::By::rating, stated_capacity(), {}, false, 1};
        q.hypotheses = {
            {"gross", (*total - rating.fan_power.si) / rating.net_total.si - 1.0},
            {"net", (*total + (heat > 0.0 ? heat - rating.fan_power.si : 0.0)) / rating.net_total.si - 1.0}};
        ask(std::move(q));
    }

    const Basis& basis_;
    const PrintedPage& page_;
    const PageAuditor& auditor_;
    const PageShape& shape_;
    const AuditColumn& total_;
    const AuditColumn* sensible_;
    std::vector<Question> out_;
};

}  // namespace offnominal::detail
