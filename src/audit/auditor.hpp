/// @file
/// Holds every cell of a page against the rest of the page and against physics.
///
/// The order matters, because what is known to be wrong must not accuse its neighbours: total first, then the bypass
/// factor, then sensible against both (each replaced by what is implied where it is itself suspect), then power and the
/// other columns, then the checks that only compare printed numbers.
///
/// A wet and a dry coil are two different surfaces: a page's dry nodes are judged among themselves.
#pragma once

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "page_air.hpp"
#include "page_columns.hpp"

namespace offnominal::detail {

/// What the cells of a page scatter about a smooth page, as a share of themselves.
struct PageRoughness {
    double total = 0.0, sensible = 0.0, power = 0.0;
};

/// What a page is of.
enum class PageOf : std::uint8_t { cooling, heating, heating_with_frost };

class PageAuditor {
   public:
    PageAuditor(const Basis& basis, const PrintedPage& page, PageOf of, const PageRoughness& rough = {})
        : page_(page),
          of_(of),
          rough_(rough),
          shape_(page),
          air_(basis, page_, shape_),
          at_(page_coordinates(page_, shape_, true)),
          at_rows_(page_coordinates(page_, shape_, false)) {
        if (page_.nodes.size() != shape_.nodes())
            throw InputError({}, "the page has " + std::to_string(page_.nodes.size()) + " nodes", {},
                             std::to_string(shape_.nodes()) + " nodes, one for each combination of the axes");
        columns_ = audit_columns(page_);
        for (std::size_t n = 0; n < page_.nodes.size(); ++n) {
            if (page_.nodes[n].mark == Mark::printed) wet_.push_back(n);
            if (page_.nodes[n].mark == Mark::dry) dry_.push_back(n);
        }
    }

    PageAuditor(const PageAuditor&) = delete;  // its parts refer to one another
    PageAuditor& operator=(const PageAuditor&) = delete;

    /// Looks for columns in another unit only.
    void run_units() {
        check_positive();
        check_column_units();
    }
    /// Judges everything; ask for the columns afterwards.
    void run() {
        check_positive();
        check_column_units();
        judge_total();
        for (const char* role : {"bypass", "sensible", "power"})
            if (AuditColumn* c = column(role)) judge(*c);
        judge_dry();
        check_dryness();
        for (AuditColumn& c : columns_)
            if (is_extra(c)) judge_extra(c);
        check_trends();
        check_sensible_ratio();
        check_leaving_air();
    }

    [[nodiscard]] const std::vector<AuditColumn>& columns() const noexcept { return columns_; }
    [[nodiscard]] const AuditColumn* column(std::string_view role) const noexcept {
        const auto found =
            std::find_if(columns_.begin(), columns_.end(), [&](const AuditColumn& c) { return c.role == role; });
        return found == columns_.end() ? nullptr : &*found;
    }
    [[nodiscard]] const PageShape& shape() const noexcept { return shape_; }
    [[nodiscard]] const PageAir& air() const noexcept { return air_; }
    [[nodiscard]] const std::vector<std::size_t>& wet() const noexcept { return wet_; }
    [[nodiscard]] const std::vector<std::size_t>& dry() const noexcept { return dry_; }
    /// Whole columns that look like another unit: the factor by which they would be right.
    [[nodiscard]] const std::vector<std::pair<const AuditColumn*, double>>& slipped() const noexcept {
        return slipped_;
    }
    /// What a smooth page would hold at a node of a column; what is printed, where nobody knows.
    [[nodiscard]] double implied(const AuditColumn& c, std::size_t n) const noexcept {
        return c.judged[n].known ? c.judged[n].implied : c.values[n];
    }

   private:
    [[nodiscard]] AuditColumn* column(std::string_view role) noexcept {
        return const_cast<AuditColumn*>(std::as_const(*this).column(role));
    }
    [[nodiscard]] static bool is_extra(const AuditColumn& c) noexcept {
        return c.role != "total" && c.role != "sensible" && c.role != "power" && c.role != "bypass";
    }
    /// Those of some nodes where a column has a number that could be one.
    [[nodiscard]] static std::vector<std::size_t> usable(const AuditColumn& c, std::span<const std::size_t> nodes) {
        std::vector<std::size_t> out;
        for (const std::size_t n : nodes)
            if (c.has(n) && !c.failed[n].has(Check::positive)) out.push_back(n);
        return out;
    }
    /// Of two judgements the one with the smaller spread knows better.
    static void note(AuditColumn& c, std::size_t n, const Judged& j, Check check, bool notable) {
        if (!j.known) return;
        const bool better = !c.judged[n].known || j.spread < c.judged[n].spread;
        if (better && !notable) c.failed[n].remove(Check::neighbours);
        if (notable && (better || c.failed[n].has(Check::neighbours))) c.failed[n].add(check);
        if (better) c.judged[n] = j;
    }
    /// What is certain counts, whatever the surfaces say.
    static void overrule(AuditColumn& c, std::size_t n, const Judged& j, Check check) {
        c.failed[n].add(check);
        c.judged[n] = j;
    }
    void judge_by(AuditColumn& c, const Surface& surface, std::span<const std::size_t> nodes, Check check) {
        for (const std::size_t n : nodes) {
            if (!c.has(n)) continue;
            const Judged j = surface.judge(n, c.values[n]);
            note(c, n, j, check, surface.notable(j));
        }
    }

    void check_positive();
    void check_column_units();
    void judge_total();
    [[nodiscard]] std::optional<Coordinates::Point> knee(std::size_t n) const;
    void judge_dry();
    void judge(AuditColumn& c);
    void judge_extra(AuditColumn& c);
    void judge_derived(AuditColumn& c, const std::vector<double>& predicted, std::span<const std::size_t> nodes,
                       Check check, double rough);
    [[nodiscard]] double rough(const AuditColumn& c) const noexcept {
        return c.role == "total"      ? rough_.total
               : c.role == "sensible" ? rough_.sensible
               : c.role == "power"    ? rough_.power
                                      : 0.0;
    }
    void judge_sensible_by_coil(AuditColumn& c);
    void judge_bypass_by_airflow(AuditColumn& c);
    [[nodiscard]] bool one_for_each_row(AuditColumn& c);
    void judge_rows(AuditColumn& c);
    void check_dryness();
    void accuse_dry(AuditColumn& total, AuditColumn& sensible, std::size_t n);
    void check_trends();
    void check_trend(AuditColumn& c, PageAxis axis, double sign, bool wet_only);
    void check_sensible_ratio();
    void check_leaving_air();
    /// Accuses one of total and sensible: what stands out already, else sensible.
    void accuse(const std::vector<std::size_t>& nodes, Check check);

    const PrintedPage& page_;
    PageOf of_;
    PageRoughness rough_;
    PageShape shape_;
    PageAir air_;
    Coordinates at_, at_rows_;  ///< all axes; without entering dry bulb
    std::vector<AuditColumn> columns_;
    std::vector<std::size_t> wet_, dry_;
    std::vector<std::pair<const AuditColumn*, double>> slipped_;
    Surface wet_total_, wet_sensible_, wet_power_, dry_total_;
};

/// The judgement of a column that stands once for several entering dry bulbs is that of the row.
inline bool PageAuditor::one_for_each_row(AuditColumn& c) {
    if (!shape_.has(PageAxis::entering_dry_bulb)) return false;
    int alike = 0, unlike = 0;
    for (std::size_t n = 0; n < shape_.nodes(); ++n) {
        const std::size_t l = shape_.index(n, PageAxis::entering_dry_bulb);
        if (l == 0 || !c.has(n)) continue;
        const std::size_t before = shape_.moved(n, PageAxis::entering_dry_bulb, l - 1);
        if (c.has(before)) ++(c.values[n] == c.values[before] ? alike : unlike);
    }
    return alike > 9 * unlike && alike > 0;
}

/// The value that stands most often in a row is the row's; the row is dry if its node nearest to 80 degF is, where
/// ratings are taken (common practice, no source).
inline void PageAuditor::judge_rows(AuditColumn& c) {
    constexpr auto axis = PageAxis::entering_dry_bulb;
    std::vector<std::size_t> wet, dry;
    for (std::size_t n = 0; n < shape_.nodes(); ++n) {
        if (shape_.index(n, axis) != 0) continue;
        std::vector<std::size_t> row;
        for (std::size_t l = 0; l < shape_.size(axis); ++l)
            if (c.has(shape_.moved(n, axis, l))) row.push_back(shape_.moved(n, axis, l));
        if (row.empty()) continue;
        const auto as_often = [&](std::size_t a) {
            return std::count_if(row.begin(), row.end(), [&](std::size_t b) { return c.values[a] == c.values[b]; });
        };
        const std::size_t first = *std::max_element(
            row.begin(), row.end(), [&](std::size_t a, std::size_t b) { return as_often(a) < as_often(b); });
        const auto off_rating = [&](std::size_t a) {
            return std::abs(shape_.value(a, axis) - units::degF.to_si(80.0));
        };
        const std::size_t rated = *std::min_element(
            row.begin(), row.end(), [&](std::size_t a, std::size_t b) { return off_rating(a) < off_rating(b); });
        for (const std::size_t a : row) {
            if (a == first) continue;
            c.same_as_row[a] = c.values[a] == c.values[first];
            if (c.same_as_row[a]) continue;
            const Judged j{true, c.values[first], c.values[a] - c.values[first], c.step / 10.0};
            note(c, a, j, Check::neighbours, true);
        }
        if (!c.failed[first].has(Check::positive)) (page_.nodes[rated].mark == Mark::dry ? dry : wet).push_back(first);
    }
    for (const auto& nodes : {wet, dry})
        judge_by(c, Surface(at_rows_, c.values, nodes, c.step, rough(c)), nodes, Check::neighbours);
    for (std::size_t n = 0; n < shape_.nodes(); ++n)
        for (std::size_t l = 0; c.same_as_row[n] && l < shape_.size(axis); ++l) {
            const std::size_t a = shape_.moved(n, axis, l);
            if (c.same_as_row[a] || c.values[a] != c.values[n]) continue;
            c.judged[n] = c.judged[a];
            c.failed[n] = c.failed[a];
            break;
        }
}

inline void PageAuditor::judge_total() {
    AuditColumn& total = columns_.front();
    if (one_for_each_row(total)) return judge_rows(total);
    wet_total_ = Surface(at_, total.values, usable(total, wet_), total.step, rough_.total);
    judge_by(total, wet_total_, wet_, Check::neighbours);
}

inline void PageAuditor::judge(AuditColumn& c) {
    if (c.role == "bypass") {
        std::vector<std::size_t> all(wet_);
        all.insert(all.end(), dry_.begin(), dry_.end());
        judge_by(c, Surface(at_, c.values, usable(c, all), c.step), all, Check::neighbours);
        return judge_bypass_by_airflow(c);
    }
    if (c.role == "sensible") {
        wet_sensible_ = Surface(at_, c.values, usable(c, wet_), c.step, rough_.sensible);
        judge_by(c, wet_sensible_, wet_, Check::neighbours);
        return judge_sensible_by_coil(c);
    }
    if (one_for_each_row(c)) return judge_rows(c);
    wet_power_ = Surface(at_, c.values, usable(c, wet_), c.step, rough_.power);
    judge_by(c, wet_power_, wet_, Check::neighbours);
}

/// Most pages print one bypass factor for an airflow: then any other is a suspect, by however little.
inline void PageAuditor::judge_bypass_by_airflow(AuditColumn& c) {
    std::vector<std::pair<std::size_t, double>> unlike;
    std::size_t count = 0;
    for (std::size_t flow = 0; flow < shape_.size(PageAxis::airflow); ++flow) {
        std::vector<std::pair<double, std::size_t>> values;
        for (std::size_t n = 0; n < shape_.nodes(); ++n)
            if (shape_.index(n, PageAxis::airflow) == flow && c.has(n)) values.emplace_back(c.values[n], n);
        if (values.size() < 4) return;
        std::sort(values.begin(), values.end());
        const double middle = values[values.size() / 2].first;
        count += values.size();
        for (const auto& [value, n] : values)
            if (value != middle) unlike.emplace_back(n, middle);
    }
    if (unlike.size() * 20 > count) return;
    for (const auto& [n, middle] : unlike)
        overrule(c, n, {true, middle, c.values[n] - middle, c.step / 10.0}, Check::neighbours);
}

/// A dry coil gives what it gives where it turns wet: total and power of a dry node are those of the wet surfaces where
/// they cross at its outdoor dry bulb, airflow and entering dry bulb (see derates/dry_coil.hpp). Nothing where they do
/// not.
inline std::optional<Coordinates::Point> PageAuditor::knee(std::size_t n) const {
    Coordinates::Point low = at_[n], high = low;
    const std::size_t c = at_.number(2 * static_cast<std::size_t>(PageAxis::humidity));
    const auto excess = [&](const Coordinates::Point& p) { return wet_sensible_.value(p) - wet_total_.value(p); };
    if (!wet_total_.known() || !wet_sensible_.known()) return std::nullopt;
    if (!(excess(low) > 0.0)) return low;  // by the surfaces it is wet already, if only just
    if (c == Coordinates::most) return std::nullopt;
    high[c] = 1.5;  // a little past the page
    if (!(excess(high) < 0.0)) return std::nullopt;
    for (int step = 0; step < 40; ++step) {
        Coordinates::Point middle = low;
        middle[c] = 0.5 * (low[c] + high[c]);
        (excess(middle) > 0.0 ? low : high) = middle;
    }
    return low;
}

/// Dry nodes against one another and against the wet surfaces' crossing: whichever knows better.
inline void PageAuditor::judge_dry() {
    AuditColumn &total = columns_.front(), *sensible = column("sensible"), *power = column("power");
    if (sensible == nullptr || dry_.empty()) return;
    std::vector<std::size_t> whole;  // a node that prints two different numbers is not one to learn from
    for (const std::size_t n : dry_)
        if (sensible->values[n] == total.values[n]) whole.push_back(n);
    std::vector<std::optional<Coordinates::Point>> knees(shape_.nodes());
    for (const std::size_t n : dry_) knees[n] = knee(n);
    const auto judge_column = [&](AuditColumn& c, const Surface& wet, Surface& dry) {
        std::vector<double> predicted(shape_.nodes(), 0.0);
        for (const std::size_t n : dry_)
            if (knees[n]) predicted[n] = wet.value(*knees[n]);
        dry = Surface(at_, c.values, usable(c, whole), c.step, rough(c));
        judge_by(c, dry, dry_, Check::neighbours);
        const std::vector<Judged> plain = c.judged;
        const std::vector<Checks> failed = c.failed;
        for (const std::size_t n : dry_) {
            c.judged[n] = {};
            if (!c.failed[n].has(Check::positive)) c.failed[n] = {};
        }
        judge_derived(c, predicted, whole, Check::neighbours, rough(c));
        for (const std::size_t n : dry_) {
            if (c.judged[n].known && (!plain[n].known || c.judged[n].spread < plain[n].spread)) continue;
            c.judged[n] = plain[n];
            c.failed[n] = failed[n];
            const double crossing = predicted[n];
            if (plain[n].known || !(crossing > 0.0)) continue;
            // Too few dry nodes to know how far the crossing is off.
            const Judged j{true, crossing, c.values[n] - crossing,
                           std::max(c.step, std::max(0.004, 1.2 * rough(c)) * crossing)};
            note(c, n, j, Check::neighbours, j.score() > Surface::notable_spreads);
        }
    };
    if (wet_total_.known() || !one_for_each_row(total)) judge_column(total, wet_total_, dry_total_);
    if (power == nullptr || one_for_each_row(*power)) return;
    Surface dry_power;
    judge_column(*power, wet_power_, dry_power);
}

/// A column over what it can be computed from is nearly constant: the ratio is judged, and told in the column's unit.
inline void PageAuditor::judge_derived(AuditColumn& c, const std::vector<double>& predicted,
                                       std::span<const std::size_t> nodes, Check check, double rough) {
    std::vector<double> sizes, ratio(c.values.size(), 1.0);
    std::vector<std::size_t> used;
    for (const std::size_t n : usable(c, nodes)) {
        if (!(predicted[n] > 0.0)) continue;
        used.push_back(n);
        sizes.push_back(predicted[n]);
        ratio[n] = c.values[n] / predicted[n];
    }
    if (used.size() < 4) return;
    const auto middle = sizes.begin() + static_cast<std::ptrdiff_t>(sizes.size() / 2);
    std::nth_element(sizes.begin(), middle, sizes.end());
    const Surface surface(at_, ratio, used, c.step / *middle, rough);
    for (const std::size_t n : used) {
        Judged j = surface.judge(n, ratio[n]);
        const bool notable = surface.notable(j);
        j.implied *= predicted[n];
        j.deviation *= predicted[n];
        j.spread *= predicted[n];
        note(c, n, j, check, notable);
    }
}

/// Sensible over what a coil of that bypass factor makes of the total. Where no bypass factor is printed, the one that
/// fits an airflow best serves: the split hardly depends on it.
inline void PageAuditor::judge_sensible_by_coil(AuditColumn& c) {
    const AuditColumn &total = columns_.front(), *bypass = column("bypass");
    std::vector<double> predicted(c.values.size(), 0.0);
    for (std::size_t flow = 0; flow < shape_.size(PageAxis::airflow); ++flow) {
        double least = std::numeric_limits<double>::infinity();
        for (int percent = 2; percent <= 30; percent += 2) {
            std::vector<double> now(c.values.size(), 0.0), off;
            for (const std::size_t n : wet_) {
                if (shape_.index(n, PageAxis::airflow) != flow) continue;
                const double b = bypass != nullptr ? bypass->cleaned(n) : percent / 100.0;
                const auto s = b > 0.0 && b < 1.0 ? air_.sensible(n, total.cleaned(n), b) : std::nullopt;
                if (!s) continue;
                now[n] = *s;
                off.push_back(std::abs(c.values[n] / *s - 1.0));
            }
            if (off.empty()) continue;
            const auto middle = off.begin() + static_cast<std::ptrdiff_t>(off.size() / 2);
            std::nth_element(off.begin(), middle, off.end());
            if (!(*middle < least)) continue;
            least = *middle;
            for (std::size_t n = 0; n < now.size(); ++n)
                if (now[n] > 0.0) predicted[n] = now[n];
            if (bypass != nullptr) break;
        }
    }
    // Sensible follows total by about half.
    judge_derived(c, predicted, wet_, Check::bypass, std::hypot(rough_.sensible, 0.5 * rough_.total));
}

/// Extra columns: smooth, and some of them can be computed.
inline void PageAuditor::judge_extra(AuditColumn& c) {
    const AuditColumn &total = columns_.front(), *sensible = column("sensible"), *power = column("power");
    std::vector<std::size_t> all(wet_);
    all.insert(all.end(), dry_.begin(), dry_.end());
    for (const auto& nodes : {wet_, dry_})
        judge_by(c, Surface(at_, c.values, usable(c, nodes), c.step), nodes, Check::neighbours);
    std::vector<double> predicted(c.values.size(), 0.0);
    for (const std::size_t n : all) {
        if (!c.has(n)) continue;
        if (c.role == "split" && sensible != nullptr)
            predicted[n] = sensible->cleaned(n) / shape_.value(n, PageAxis::airflow);
        if (c.role == "latent" && sensible != nullptr) predicted[n] = total.cleaned(n) - sensible->cleaned(n);
        if ((c.role == "eer" || c.role == "cop") && power != nullptr)
            predicted[n] = total.cleaned(n) / power->cleaned(n);
    }
    if (c.role == "latent") {  // a difference: exact to the roundings, whatever its size
        for (const std::size_t n : all) {
            if (!c.has(n) || sensible == nullptr) continue;
            const double step = std::max({c.step, total.step, sensible->step});
            const Judged j{true, predicted[n], c.values[n] - predicted[n], step};
            if (std::abs(j.deviation) < 2.01 * step) continue;
            overrule(c, n, j, Check::checksum);
            c.weight[n] = Surface::notable_spreads + j.score();
        }
        return;
    }
    judge_derived(c, predicted, all, Check::checksum, 0.0);
}

}  // namespace offnominal::detail
