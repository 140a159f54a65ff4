#include "offnominal/airflow/blower.hpp"

#include <math.h>  // ::isnan, which Boost 1.74's pchip.hpp uses without including it

#include <algorithm>
#include <boost/math/interpolators/pchip.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <numbers>
#include <numeric>
#include <utility>

#include "ranges.hpp"

namespace offnominal {
namespace {

/// The slope at the end of a monotone curve by its first three points, as SciPy and others have it: of the parabola
/// through them, but never against the first secant, nor steeper than three times it where the next turns back.
double end_slope(double h0, double h1, double first, double next) noexcept {
    const double slope = ((2.0 * h0 + h1) * first - h0 * next) / (h0 + h1);
    if (slope * first <= 0.0) return 0.0;
    return first * next <= 0.0 && std::abs(slope) > 3.0 * std::abs(first) ? 3.0 * first : slope;
}

/// An output of a tap along its printed pressures.
class BlowerCurve {
   public:
    BlowerCurve(std::vector<double> x, std::vector<double> y) : x_(std::move(x)), y_(std::move(y)) {
        const std::size_t n = x_.size();
        if (n < 4) return;
        const auto h = [&](std::size_t i) { return x_[i + 1] - x_[i]; };
        const auto d = [&](std::size_t i) { return (y_[i + 1] - y_[i]) / h(i); };
        curve_.emplace(std::vector(x_), std::vector(y_), end_slope(h(0), h(1), d(0), d(1)),
                       end_slope(h(n - 2), h(n - 3), d(n - 2), d(n - 3)));
    }
    /// What is no number counts as the first pressure: Boost's curve reads past its end there.
    double operator()(double x) const {
        if (!(x > x_.front())) return y_.front();
        const auto above = ranges::lower_bound(x_, x);
        const auto i = static_cast<std::size_t>(above - x_.begin());
        if (above != x_.end() && *above == x) return y_[i];
        if (curve_) return (*curve_)(x);
        return y_[i - 1] + (y_[i] - y_[i - 1]) * (x - x_[i - 1]) / (x_[i] - x_[i - 1]);
    }

   private:
    std::vector<double> x_, y_;
    std::optional<boost::math::interpolators::pchip<std::vector<double>>> curve_;
};

/// The printed pressures next to one another that `x` lies among, and what is printed for them.
struct PrintedRun {
    std::size_t first, last;  ///< nodes

    PrintedRun(const Grid& rows, double x) {
        const auto at = rows.breakpoints(0);
        first = static_cast<std::size_t>(ranges::lower_bound(at, x) - at.begin());
        first = std::min(first, at.size() - 1);
        last = first;
        const auto printed = [&](std::size_t i) { return rows.mark(i) == Mark::printed; };
        if (!printed(first) && first > 0) first = last = first - 1;  // just past the last of a run, by rounding
        if (!printed(first)) return;
        while (first > 0 && printed(first - 1)) --first;
        while (last + 1 < at.size() && printed(last + 1)) ++last;
    }
    [[nodiscard]] BlowerCurve curve(const Grid& rows, std::size_t output) const {
        std::vector<double> x, y;
        for (std::size_t i = first; i <= last; ++i) {
            x.push_back(rows.breakpoints(0)[i]);
            y.push_back(rows.value(i, output));
        }
        return {std::move(x), std::move(y)};
    }
};

// Past any fan: what is computed of numbers below these is finite.
constexpr double greatest_static = 1e9, greatest_power = 1e9;  // Pa, W
constexpr double least_step = 1e-6;                            // Pa, between two printed pressures

/// Whether there is air of that density, over the standard's, on any site.
constexpr bool is_air(double sigma) noexcept { return sigma >= 1e-2 && sigma <= 1e2; }

/// How far a motor's own answer to thin air may lead from the fan law: a share of the airflow (`BlowerTable::at`).
double law_share(BlowerMotor motor, double sigma) noexcept {
    if (motor == BlowerMotor::fixed_speed) return 0.0;
    const double gain = motor == BlowerMotor::constant_torque ? 1.0 / std::sqrt(sigma) : 1.0 / sigma;
    return std::abs(gain - 1.0) / std::numbers::sqrt3;
}

/// A part of a text without the blanks around it.
std::string_view trimmed(std::string_view text) noexcept {
    const std::size_t first = text.find_first_not_of(' ');
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(' ') - first + 1);
}

}  // namespace

namespace {
/// One part of `wet coil, no filter`.
struct Part {
    std::string_view word;
    bool without;
};
/// The first part, which is taken off.
Part next_part(std::string_view& rest) noexcept {
    const std::size_t comma = std::min(rest.find(','), rest.size());
    const std::string_view word = trimmed(rest.substr(0, comma));
    rest.remove_prefix(std::min(comma + 1, rest.size()));
    return word.starts_with("no ") ? Part{trimmed(word.substr(3)), true} : Part{word, false};
}
}  // namespace

std::optional<bool> says(std::string_view includes, Component component) {
    const bool is_coil = component == Component::wet_coil || component == Component::dry_coil;
    std::optional<bool> out;
    while (!includes.empty()) {
        const auto [word, without] = next_part(includes);
        if (word == name(component)) out = !without;
        if (is_coil && without && word == "coil") out = false;
        const bool other_coil = word == name(Component::wet_coil) || word == name(Component::dry_coil);
        if (is_coil && !without && other_coil && word != name(component)) out = false;
    }
    return out;
}

std::string_view not_a_component(std::string_view includes) {
    while (!includes.empty()) {
        const std::string_view word = next_part(includes).word;
        const auto& rows = words_of<Component>;
        if (word != "coil" && ranges::find(rows, word, &Word<Component>::word) == std::end(rows)) return word;
    }
    return {};
}

double fan_density_ratio(const air::State& at) noexcept {
    return air::si::density_moist(at.dry_bulb.si, at.humidity_ratio.si, at.pressure.si) / air::si::standard_density;
}

BlowerTable::BlowerTable(std::vector<Row> rows, Basis basis) : basis_(std::move(basis)) {
    if (basis_.greatest_static && !(basis_.greatest_static->si > 0.0))
        throw InputError({}, "the blower's greatest static pressure is not above zero", {}, "0.8 in_wc");
    if (rows.empty()) throw InputError({}, "the blower table has no rows", {}, "tap, static, airflow, power");
    if (const std::string_view unknown = not_a_component(basis_.includes); !unknown.empty())
        throw InputError({}, "the blower table includes what is no component", std::string(unknown), accepted_includes);
    std::stable_sort(rows.begin(), rows.end(), [](const Row& a, const Row& b) {
        return a.tap != b.tap ? a.tap < b.tap : a.external_static.si < b.external_static.si;
    });
    for (std::size_t first = 0, last = 0; first < rows.size(); first = last) {
        std::vector<double> pressures, values;
        std::vector<Mark> marks;
        for (; last < rows.size() && rows[last].tap == rows[first].tap; ++last) {
            const Row& row = rows[last];
            check(row, pressures);
            pressures.push_back(row.external_static.si);
            values.insert(values.end(), {row.airflow.si, row.power.si});
            marks.push_back(row.mark);
        }
        taps_.push_back({rows[first].tap, Grid({Axis("external static", pressures)}, values, 2, marks)});
    }
}

std::vector<std::string> BlowerTable::taps() const {
    std::vector<std::string> out;
    for (const Tap& tap : taps_) out.push_back(tap.name);
    return out;
}

std::vector<BlowerTable::Row> BlowerTable::rows() const {
    std::vector<Row> out;
    for (const Tap& tap : taps_)
        for (std::size_t i = 0; i < tap.rows.nodes(); ++i) {
            Row row{tap.name, Pressure{tap.rows.breakpoints(0)[i]}, {}, {}, tap.rows.mark(i)};
            if (row.mark == Mark::printed) {
                row.airflow.si = tap.rows.value(i, 0);
                row.power.si = tap.rows.value(i, 1);
            }
            out.push_back(std::move(row));
        }
    return out;
}

namespace {

/// Whether a tap has numbers at an entering static pressure; if not, the reason in terms of the measured one.
Reason entered(const Grid& rows, const BlowerTable::Basis& basis, double entry, double sigma) {
    const double greatest = basis.greatest_static ? basis.greatest_static->si : HUGE_VAL;
    if (entry > greatest)
        return {Why::beyond_limit, About::external_static, -1, -1, entry * sigma, 0.0, greatest * sigma};
    const double point[1] = {entry};
    const auto found = rows.at(point);
    if (found) return {};
    Reason reason = found.reason();
    reason.about = About::external_static;
    if (reason.why == Why::outside) {
        reason.value *= sigma;
        reason.lower *= sigma;
        reason.upper *= sigma;
    } else if (const PrintedRun run(rows, entry); rows.mark(run.last) == Mark::printed) {
        const double last = rows.breakpoints(0)[run.last];
        if (last < entry) {
            reason.value = entry * sigma;
            reason.upper = last * sigma;
        }
    }
    return reason;
}

BlowerPoint blower_point(BlowerMotor motor, double airflow, double power, double sigma) {
    return {Airflow{airflow}, Power{power * sigma}, sigma != 1.0 && motor != BlowerMotor::fixed_speed,
            law_share(motor, sigma)};
}

}  // namespace

Answer<BlowerPoint> BlowerTable::at(std::string_view tap, Pressure external_static, double density_ratio) const {
    const double sigma = density_ratio;
    const Tap* found = find(tap);
    if (found == nullptr) return Reason{Why::unknown_tap, About::external_static, -1, -1, 0, 0, 0};
    if (!std::isfinite(external_static.si) || !is_air(sigma))
        return Reason{Why::not_finite, About::external_static, -1, -1, 0, 0, 0};
    const double entry = external_static.si / sigma;
    if (const Reason reason = entered(found->rows, basis_, entry, sigma); !reason.none()) return reason;
    const PrintedRun run(found->rows, entry);
    const auto at = found->rows.breakpoints(0);
    const double x = std::clamp(entry, at[run.first], at[run.last]);  // a hair past the edge is the edge
    return blower_point(basis_.motor, run.curve(found->rows, 0)(x), run.curve(found->rows, 1)(x), sigma);
}

Answer<OperatingPoint> BlowerTable::at(std::string_view tap, const DuctCurve& duct, double density_ratio) const {
    const double sigma = density_ratio;
    const Tap* found = find(tap);
    if (found == nullptr) return Reason{Why::unknown_tap, About::external_static, -1, -1, 0, 0, 0};
    const auto above_zero = [](double x) { return x > 0.0 && std::isfinite(x); };
    if (!above_zero(duct.external_static.si) || !above_zero(duct.exponent) || !is_air(sigma))
        return Reason{Why::not_finite, About::external_static, -1, -1, duct.external_static.si, 0, 0};
    if (!above_zero(duct.airflow.si)) return Reason{Why::no_flow, About::airflow, -1, -1, duct.airflow.si, 0, 0};
    const Grid& rows = found->rows;
    const auto at = rows.breakpoints(0);
    std::size_t printed = 0;
    while (printed < at.size() && rows.mark(printed) != Mark::printed) ++printed;
    if (printed == at.size()) return Reason{Why::blank, About::external_static, -1, -1, 0, 0, 0};
    const PrintedRun run(rows, at[printed]);
    const BlowerCurve airflow = run.curve(rows, 0), power = run.curve(rows, 1);
    const double greatest = basis_.greatest_static ? basis_.greatest_static->si : HUGE_VAL;
    const double low = at[run.first], high = std::min(at[run.last], greatest);
    // Both as they would be measured: the fan meets sigma times the pressure it is entered at. Past any fan's pressure
    // it is the same how far: a search would make no number of an infinite one.
    const auto duct_takes = [&](double flow) {
        return std::min(duct.external_static.si * std::pow(flow / duct.airflow.si, duct.exponent), greatest_static);
    };
    const auto missing = [&](double entry) { return duct_takes(airflow(entry)) / sigma - entry; };
    if (!(low <= high) || missing(low) < 0.0 || missing(high) > 0.0)
        return Reason{Why::outside,
                      About::external_static,
                      -1,
                      -1,
                      duct_takes(airflow(missing(low) < 0.0 ? low : std::max(low, high))),
                      low * sigma,
                      high * sigma};
    double entry = missing(low) == 0.0 ? low : high;
    if (missing(low) > 0.0 && missing(high) < 0.0) {
        std::uintmax_t most = 200;
        const auto [below, above] =
            boost::math::tools::toms748_solve(missing, low, high, boost::math::tools::eps_tolerance<double>(50), most);
        entry = std::midpoint(below, above);
        if (!(entry >= low && entry <= high))
            return Reason{Why::not_finite, About::external_static, -1, -1, duct.external_static.si, 0, 0};
    }
    return OperatingPoint{Pressure{entry * sigma}, blower_point(basis_.motor, airflow(entry), power(entry), sigma)};
}

const BlowerTable::Tap* BlowerTable::find(std::string_view name) const noexcept {
    for (const Tap& tap : taps_)
        if (tap.name == name) return &tap;
    return nullptr;
}

void BlowerTable::check(const Row& row, const std::vector<double>& pressures) {
    const auto refuse = [&](const char* problem, const char* accepted) {
        throw InputError({}, std::string("tap ") + row.tap + " of the blower table: " + problem, {}, accepted);
    };
    if (!(row.external_static.si >= 0.0)) refuse("an external static pressure below zero", "zero or more");
    if (!(row.external_static.si <= greatest_static)) refuse("a pressure past any fan", "0.5 in_wc");
    if (!pressures.empty() && row.external_static.si - pressures.back() < least_step)
        refuse("two rows for the same external static pressure", "one row");
    if (row.mark != Mark::printed) return;
    if (!(row.airflow.si > 0.0)) refuse("an airflow that is not positive", "an airflow, or - where the page is blank");
    if (!(row.power.si > 0.0)) refuse("a power that is not positive", "a power, or - where the page is blank");
    if (!(row.airflow.si <= detail::greatest_airflow)) refuse("an airflow past any fan", "900 cfm");
    if (!(row.power.si <= greatest_power)) refuse("a power past any fan", "300 W");
}

}  // namespace offnominal
