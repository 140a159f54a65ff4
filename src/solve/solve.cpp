#include "offnominal/solve.hpp"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <cmath>
#include <cstdint>
#include <limits>
#include <optional>
#include <utility>

#include "threads.hpp"

namespace offnominal {
namespace {

constexpr std::size_t even_places = 13;
constexpr std::size_t block = detail::ExpectBlock::size;
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

/// The page's axis that a number is entered on, if any.
std::optional<PageAxis> axis_of(Slot slot) noexcept {
    switch (slot) {
        case Slot::outdoor_dry_bulb:
            return PageAxis::outdoor_dry_bulb;
        case Slot::entering_dry_bulb:
            return PageAxis::entering_dry_bulb;
        case Slot::entering_humidity:
            return PageAxis::humidity;
        case Slot::airflow:
            return PageAxis::airflow;
        case Slot::pressure:
            return PageAxis::pressure;
        default:
            return std::nullopt;
    }
}

/// Where what is told may bend, SI.
std::vector<double> breakpoints(const System& system, const SolveBatch& batch) {
    const SystemParts& parts = system.parts();
    const ConditionValues& asked = batch.asked.values;
    std::vector<double> out;
    const auto add = [&out](const auto& more) { out.insert(out.end(), std::begin(more), std::end(more)); };
    const auto add_pages = [&](const std::vector<Stage>& stages) {
        for (const Stage& stage : stages) {
            if (const auto axis = axis_of(batch.vary)) add(stage.table.breakpoints(*axis));
            if (batch.vary == Slot::speed && stage.speed) out.push_back(*stage.speed);
        }
    };
    if (asked.mode == Mode::cooling) {
        add_pages(parts.cooling);
        for (const Match& match : parts.matches) add_pages(match.stages);
    } else if (const auto axis = axis_of(batch.vary)) {
        for (const HeatingStage& stage : parts.heating)
            for (std::size_t k = 0; k < heating_axes; ++k)
                if (heating_page_axes[k] == *axis) add(stage.table.grid().breakpoints(k));
    }
    if (batch.vary == Slot::line_length)
        for (const LineTable::Row& row : parts.lines(asked.mode).rows()) out.push_back(row.length.si);
    if (batch.vary == Slot::elevation)
        for (const AltitudeTable::Row& row : parts.altitude.rows()) out.push_back(row.elevation.si);
    return out;
}

/// The places that are looked at: every breakpoint in the range, and others evenly between, but for those that a
/// breakpoint stands for, being nearer than half their distance.
std::vector<double> places_of(const System& system, const SolveBatch& batch) {
    const double low = batch.low, high = batch.high, near = 1e-9 * (high - low),
                 step = (high - low) / (even_places - 1);
    std::vector<double> out;
    for (const double si : breakpoints(system, batch)) out.push_back(batch.asked[batch.vary].unit.from_si(si));
    std::erase_if(out, [&](double x) { return !(x > low + near && x < high - near); });
    const auto printed = static_cast<std::ptrdiff_t>(out.size());
    for (std::size_t i = 1; i + 1 < even_places; ++i) {
        const double x = low + step * static_cast<double>(i);
        if (std::none_of(out.begin(), out.begin() + printed, [&](double b) { return std::abs(b - x) < 0.5 * step; }))
            out.push_back(x);
    }
    out.push_back(low);
    out.push_back(high);
    std::sort(out.begin(), out.end());
    out.erase(std::unique(out.begin(), out.end()), out.end());
    return out;
}

/// Whether every question is answered alike: they differ in what is asked for alone.
bool same_answers(const ExpectBatch& asked, Slot vary) noexcept {
    for (std::size_t k = 0; k < slot_count; ++k)
        if (k != static_cast<std::size_t>(vary) && asked.numbers[k].step != 0) return false;
    return asked.stage.step == 0 && asked.match.step == 0;
}

/// What is told at a place, of rows of questions.
class Asker {
   public:
    Asker(const System& system, const SolveBatch& batch)
        : batch_(batch),
          rows_(rows_of(batch)),
          out_(columns()),
          block_(system, rows_, out_, air::fastest_columns(), fastest_kernels()) {}
    Asker(const Asker&) = delete;

    /// NaN where nothing is told, for the reason that is put beside it.
    void told(std::span<const std::size_t> question, const double* x, double* out, Reason* reason = nullptr) {
        for (std::size_t first = 0; first < question.size(); first += block) {
            const std::size_t count = std::min(block, question.size() - first);
            std::copy_n(x + first, count, x_.data());
            gather(question.subspan(first, count));
            block_.work(0, count);
            const double* const over = batch_.over == batch_.of ? nullptr : over_.data();
            for (std::size_t i = 0; i < count; ++i) out[first + i] = over == nullptr ? of_[i] : of_[i] / over[i];
            if (reason != nullptr) std::copy_n(reason_.data(), count, reason + first);
        }
    }
    void share_knees(bool share) noexcept { block_.share_knees(share); }
    /// What it should be.
    void due(std::span<const std::size_t> question, std::span<const double> x, double* out) const {
        if (batch_.line != nullptr) return batch_.line(batch_.context, x, out);
        for (std::size_t i = 0; i < question.size(); ++i) out[i] = equals(question[i]);
    }
    /// The one less the other.
    double operator()(std::size_t question, double x) {
        double told_here = 0.0, due_here = 0.0;
        told({&question, 1}, &x, &told_here);
        due({&question, 1}, {&x, 1}, &due_here);
        return told_here - due_here;
    }

   private:
    [[nodiscard]] double equals(std::size_t question) const noexcept {
        return batch_.equals.data[static_cast<std::ptrdiff_t>(batch_.first + question) * batch_.equals.step];
    }

    /// The questions with columns of our own in place of those that differ from row to row.
    ExpectBatch rows_of(const SolveBatch& batch) {
        ExpectBatch out = batch.asked;
        for (std::size_t k = 0; k < slot_count; ++k)
            if (out.numbers[k].step != 0) out.numbers[k].data = numbers_[k].data();
        out[batch.vary].data = x_.data();
        out[batch.vary].step = 1;
        if (out.stage.step != 0) out.stage.code = stage_.data();
        if (out.match.step != 0) out.match.code = match_.data();
        for (Column& column : out.numbers)
            if (column.step != 0) column.step = 1;
        if (out.stage.step != 0) out.stage.step = 1;
        if (out.match.step != 0) out.match.step = 1;
        return out;
    }
    ExpectColumns columns() noexcept {
        ExpectColumns out;
        out.reason = reason_.data();
        out.numbers[batch_.of] = {of_.data(), batch_.of_unit};
        if (batch_.over != batch_.of) out.numbers[batch_.over] = {over_.data(), batch_.over_unit};
        return out;
    }
    void gather(std::span<const std::size_t> question) noexcept {
        const auto take = [&](const auto* from, std::ptrdiff_t step, auto& to) {
            if (from == nullptr || step == 0) return;
            for (std::size_t i = 0; i < question.size(); ++i)
                to[i] = from[static_cast<std::ptrdiff_t>(batch_.first + question[i]) * step];
        };
        for (std::size_t k = 0; k < slot_count; ++k)
            if (k != static_cast<std::size_t>(batch_.vary))
                take(batch_.asked.numbers[k].data, batch_.asked.numbers[k].step, numbers_[k]);
        take(batch_.asked.stage.code, batch_.asked.stage.step, stage_);
        take(batch_.asked.match.code, batch_.asked.match.step, match_);
    }

    const SolveBatch& batch_;
    std::array<std::array<double, block>, slot_count> numbers_;
    std::array<std::int32_t, block> stage_, match_;
    std::array<double, block> x_, of_, over_;
    std::array<Reason, block> reason_;
    ExpectBatch rows_;
    ExpectColumns out_;
    detail::ExpectBlock block_;
};

/// Places of some questions, a few at a time.
class Solver {
   public:
    static constexpr std::size_t at_once = block;

    Solver(const System& system, const SolveBatch& batch, std::span<const double> places)
        : batch_(batch), places_(places), range_(batch.high - batch.low), ask_(system, batch) {
        if (same_answers(batch.asked, batch.vary)) {
            same_.resize(places.size());
            ask_.told(std::vector<std::size_t>(places.size(), 0), places.data(), same_.data());
        }
    }

    /// Answers questions `first` to `last` (not included). `places` is filled with theirs, one after the other.
    void work(std::size_t first, std::size_t last, Solved& out, std::vector<double>& places) {
        first_ = first;
        best_.assign(last - first, not_a_number);
        least_.assign(last - first, std::numeric_limits<double>::infinity());
        brackets_.clear();
        edges_.clear();
        found_.clear();
        look(last - first);
        for (std::size_t q = 0; q < last - first; ++q) find_brackets(q);
        find_edges();
        close();
        tell(out, places);
    }

   private:
    struct Bracket {
        std::size_t question;
        double a, b, fa, fb;
        double size = std::max(std::abs(fa), std::abs(fb)), least = size;  ///< the difference that came nearest, ...
        double best = a, told = not_a_number, next = a;  ///< ... where, what is told there; and where to look next
    };
    struct Found {
        std::size_t question;
        double place, told = not_a_number;  ///< NaN where it was not kept
    };
    struct Edge {
        std::size_t question;
        double good, bad, f;  ///< f at the good one
    };

    /// Asks at every place.
    void look(std::size_t count) {
        const std::size_t m = places_.size();
        questions_.resize(count * m);
        x_.resize(count * m);
        value_.resize(count * m);
        due_.resize(count * m);
        ask_.share_knees(true);  // what is told of places is asked again
        for (std::size_t q = 0; q < count; ++q)
            for (std::size_t k = 0; k < m; ++k) {
                questions_[q * m + k] = first_ + q;
                x_[q * m + k] = places_[k];
            }
        if (same_.empty()) {
            const auto turn = [](auto&... of) { (std::reverse(of.begin(), of.end()), ...); };
            turn(questions_, x_);  // a knee is shared downwards
            ask_.told(questions_, x_.data(), value_.data());
            turn(questions_, x_, value_);
        } else
            for (std::size_t q = 0; q < count; ++q) std::copy(same_.begin(), same_.end(), value_.data() + q * m);
        ask_.share_knees(false);
        ask_.due(questions_, x_, due_.data());
        for (std::size_t i = 0; i < value_.size(); ++i) value_[i] -= due_[i];
    }

    /// Takes note of how near a place comes.
    void consider(std::size_t question, double x, double f) {
        const std::size_t q = question - first_;
        if (!(std::abs(f) < least_[q])) return;
        least_[q] = std::abs(f);
        best_[q] = x;
    }
    void add(const Bracket& one) {
        consider(one.question, one.a, one.fa);
        consider(one.question, one.b, one.fb);
        if ((one.fa < 0.0 && one.fb > 0.0) || (one.fa > 0.0 && one.fb < 0.0)) brackets_.push_back(one);
    }

    /// Ways between places with an answer at both ends: between neighbours, up to where answers end, and to where the
    /// way turns.
    void find_brackets(std::size_t q) {
        const std::size_t m = places_.size(), question = first_ + q;
        const double* const f = value_.data() + q * m;
        const auto answered = [f](std::size_t k) { return !std::isnan(f[k]); };
        for (std::size_t k = 0; k < m; ++k) {
            if (!answered(k)) continue;
            if (f[k] == 0.0) {  // of a stretch of zeros its ends
                const bool from = k > 0 && answered(k - 1), to = k + 1 < m && answered(k + 1);
                if (!from || f[k - 1] != 0.0)
                    found_.push_back({question, from ? end_of_zeros(question, k, places_[k - 1]) : places_[k]});
                if (!to || f[k + 1] != 0.0)
                    found_.push_back({question, to ? end_of_zeros(question, k, places_[k + 1]) : places_[k]});
            }
            if (k == 0 || !answered(k - 1)) {
                consider(question, places_[k], f[k]);
                if (k > 0) edges_.push_back({question, places_[k], places_[k - 1], f[k]});
            }
            if (k + 1 == m) break;
            if (answered(k + 1))
                add({question, places_[k], places_[k + 1], f[k], f[k + 1]});
            else
                edges_.push_back({question, places_[k], places_[k + 1], f[k]});
        }
        for (std::size_t k = 1; k + 1 < m; ++k) {
            const double before = f[k - 1], here = f[k], after = f[k + 1];
            const bool one_side =
                (before > 0.0 && here > 0.0 && after > 0.0) || (before < 0.0 && here < 0.0 && after < 0.0);
            const double size = std::abs(here), most = std::max(std::abs(before), std::abs(after));
            if (one_side && size <= std::min(std::abs(before), std::abs(after)) && size < most)
                add_turn(question, k, f);
        }
    }

    static constexpr double least_step = 1e-7;
    /// From a place where something holds on to another where it does not: the last where it does.
    template <class Holds>
    [[nodiscard]] double last(double good, double bad, const Holds& holds) const {
        while (std::abs(bad - good) > 1e-13 * range_) {
            const double middle = 0.5 * (good + bad);
            if (middle == good || middle == bad) break;
            (holds(middle) ? good : bad) = middle;
        }
        return good;
    }
    /// Such as where a coil turns wet that is dry before: the ratio of sensible leaves 1.
    [[nodiscard]] double end_of_zeros(std::size_t question, std::size_t k, double other) {
        const auto zero = [&](double x) { return ask_(question, x) == 0.0; };
        const double good = places_[k];
        return zero(good + least_step * (other - good)) ? last(good, other, zero) : good;
    }
    /// Between answers and refusals: up to where answers end. As a rule that is the place itself, a breakpoint that was
    /// looked at: whether it is, is asked of all together.
    void find_edges() {
        questions_.resize(edges_.size());
        x_.resize(edges_.size());
        value_.resize(edges_.size());
        for (std::size_t i = 0; i < edges_.size(); ++i) {
            questions_[i] = edges_[i].question;
            x_[i] = edges_[i].good + least_step * (edges_[i].bad - edges_[i].good);
        }
        ask_.told(questions_, x_.data(), value_.data());
        for (std::size_t i = 0; i < edges_.size(); ++i)
            if (!std::isnan(value_[i])) add_edge(edges_[i]);
    }
    void add_edge(const Edge& one) {
        const double good = last(one.good, one.bad, [&](double x) { return !std::isnan(ask_(one.question, x)); });
        if (good == one.good) return;
        const double f_edge = ask_(one.question, good);
        if (f_edge == 0.0) found_.push_back({one.question, good});
        if (good > one.good)
            add({one.question, one.good, good, one.f, f_edge});
        else
            add({one.question, good, one.good, f_edge, one.f});
    }

    /// Where neighbours of one sign turn back, the way between may touch zero, or come nearest.
    void add_turn(std::size_t question, std::size_t k, const double* f) {
        const double sign = f[k] < 0.0 ? -1.0 : 1.0, a = places_[k - 1], c = places_[k + 1];
        std::uintmax_t steps = 60;
        const auto [x, least] = boost::math::tools::brent_find_minima(
            [&](double at) {
                const double value = sign * ask_(question, at);
                return std::isnan(value) ? std::numeric_limits<double>::infinity() : value;
            },
            a, c, std::numeric_limits<double>::digits / 2, steps);
        if (!(least < std::abs(f[k])) || !(a < x && x < c)) return;
        if (least == 0.0) found_.push_back({question, x});
        add({question, a, x, f[k - 1], sign * least});
        add({question, x, c, sign * least, f[k + 1]});
    }

    /// Closes all brackets together, step by step, so that each step is one batch: by a straight line first, which is
    /// where a page leaves it, then by Chandrupatla's method (Advances in Engineering Software 28, 1997, pages 145 to
    /// 149, from memory): the inverse parabola through three places, or the middle where that one cannot be trusted.
    void close() {
        std::size_t open = brackets_.size();
        for (Bracket& one : brackets_) one.next = one.a - one.fa * ((one.b - one.a) / (one.fb - one.fa));
        for (int step = 0; open != 0 && step < most_steps; ++step) {
            questions_.resize(open);
            x_.resize(open);
            value_.resize(open);
            due_.resize(open);
            for (std::size_t i = 0; i < open; ++i) {
                Bracket& one = brackets_[i];
                questions_[i] = one.question;
                x_[i] = one.next = std::clamp(one.next, std::min(one.a, one.b), std::max(one.a, one.b));
            }
            ask_.told(questions_, x_.data(), value_.data());
            ask_.due(questions_, x_, due_.data());
            std::size_t left = 0;
            for (std::size_t i = 0; i < open; ++i) {
                Bracket& one = brackets_[i];
                if (narrow(one, value_[i], due_[i], step + 1 == most_steps)) continue;
                std::swap(brackets_[left++], one);
            }
            open = left;
        }
    }
    static constexpr int most_steps = 90;

    /// Takes in what is told at the next place of a bracket, and puts another. @return whether that was its last
    bool narrow(Bracket& one, double told, double due, bool last) {
        const double f = told - due;
        if (std::isnan(f)) return true;  // answers end inside
        constexpr double rounding = 4e-15;
        if (std::abs(f) < std::abs(one.least)) {
            one.least = f;
            one.best = one.next;
            one.told = told;
        }
        if (std::abs(f) <= rounding * std::max(std::abs(due), one.size)) {
            found_.push_back({one.question, one.next, told});
            return true;
        }
        const bool of_a = (f < 0.0) == (one.fa < 0.0);
        const double c = of_a ? one.a : one.b, fc = of_a ? one.fa : one.fb;
        if (!of_a) {
            one.b = one.a;
            one.fb = one.fa;
        }
        one.a = one.next;
        one.fa = f;
        const double width = std::abs(one.b - one.a),
                     narrowest = std::max(4e-16 * std::max(std::abs(one.a), std::abs(one.b)), 1e-16 * range_);
        if (last || width <= narrowest) {
            if (std::abs(one.least) <= 1e-9 * one.size + 1e-12 * std::abs(due))  // else it jumps over zero
                found_.push_back({one.question, one.best, one.told});
            return true;
        }
        const double way = (one.a - one.b) / (c - one.b), rise = (one.fa - one.fb) / (fc - one.fb);
        double t = 0.5;
        if (rise * rise < way && (1.0 - rise) * (1.0 - rise) < 1.0 - way)
            t = one.fa / (one.fb - one.fa) * fc / (one.fb - fc) +
                (c - one.a) / (one.b - one.a) * one.fa / (fc - one.fa) * one.fb / (fc - one.fb);
        const double shortest = 0.5 * narrowest / width;
        one.next = one.a + std::clamp(t, shortest, 1.0 - shortest) * (one.b - one.a);
        return false;
    }

    /// Where a question's answer is told, or why there is none.
    [[nodiscard]] double place_asked(std::size_t q) const noexcept {
        return std::isnan(best_[q]) ? 0.5 * (batch_.low + batch_.high) : best_[q];
    }
    void tell(Solved& out, std::vector<double>& places) {
        std::sort(found_.begin(), found_.end(), [](const Found& a, const Found& b) {
            return a.question != b.question ? a.question < b.question : a.place < b.place;
        });
        const auto again = [this](const Found& a, const Found& b) {  // an end of two ways, or found from both sides
            return a.question == b.question && b.place - a.place <= 1e-9 * range_;
        };
        found_.erase(std::unique(found_.begin(), found_.end(), again), found_.end());
        const std::size_t count = best_.size();
        reached_.assign(count, not_a_number);
        for (auto one = found_.rbegin(); one != found_.rend(); ++one) {
            best_[one->question - first_] = one->place;
            reached_[one->question - first_] = one->told;
        }
        for (const Found& one : found_) {
            ++out.first[one.question + 1];
            places.push_back(one.place);
        }
        questions_.clear();
        x_.clear();
        for (std::size_t q = 0; q < count; ++q) {
            if (!std::isnan(reached_[q])) continue;
            questions_.push_back(first_ + q);
            x_.push_back(place_asked(q));
        }
        value_.resize(x_.size());
        reason_.resize(x_.size());
        ask_.told(questions_, x_.data(), value_.data(), reason_.data());
        for (std::size_t i = 0; i < x_.size(); ++i) {
            const std::size_t q = questions_[i] - first_;
            if (!std::isnan(best_[q])) reached_[q] = value_[i];
            out.reason[first_ + q] = reason_[i];
        }
        questions_.resize(count);
        x_.resize(count);
        due_.resize(count);
        for (std::size_t q = 0; q < count; ++q) {
            questions_[q] = first_ + q;
            x_[q] = place_asked(q);
        }
        ask_.due(questions_, x_, due_.data());
        for (std::size_t q = 0; q < count; ++q) {
            out.best[first_ + q] = best_[q];
            out.reached[first_ + q] = reached_[q];
            out.off[first_ + q] = reached_[q] - due_[q];
        }
    }

    const SolveBatch& batch_;
    std::span<const double> places_;
    double range_;
    Asker ask_;
    std::vector<double> same_;
    std::size_t first_ = 0;
    std::vector<double> best_, reached_, least_, x_, value_, due_;
    std::vector<Reason> reason_;
    std::vector<std::size_t> questions_;
    std::vector<Bracket> brackets_;
    std::vector<Edge> edges_;
    std::vector<Found> found_;
};

void check(const SolveBatch& batch) {
    if (!(std::isfinite(batch.low) && std::isfinite(batch.high) && batch.low < batch.high))
        throw InputError({}, "solve: range", brief(batch.low) + " to " + brief(batch.high), "the lower first");
    if (batch.asked.values.mode != Mode::cooling && batch.asked.values.mode != Mode::heating)
        throw InputError({}, "solve: mode", std::to_string(static_cast<int>(batch.asked.values.mode)),
                         "Mode::cooling or Mode::heating");
    for (const std::size_t number : {batch.of, batch.over})
        if (number >= std::size(told_of<ExpectedValues>) ||
            !applies(told_of<ExpectedValues>[number].modes, batch.asked.values.mode))
            throw InputError({}, "solve: a number that is not told in this mode", std::to_string(number),
                             "a line of told_of<ExpectedValues>");
    if (batch.line == nullptr && batch.equals.data == nullptr)
        throw InputError({}, "solve: what it should be is missing", {}, "numbers, or a function of the place");
}

}  // namespace

Solved solve(const System& system, const SolveBatch& batch, std::size_t threads) {
    check(batch);
    const std::vector<double> places = places_of(system, batch);
    Solved out;
    out.first.assign(batch.rows + 1, 0);
    out.best.resize(batch.rows);
    out.reached.resize(batch.rows);
    out.off.resize(batch.rows);
    out.reason.resize(batch.rows);
    const std::size_t groups = (batch.rows + Solver::at_once - 1) / Solver::at_once;
    std::vector<std::vector<double>> found(groups);
    // One thread for a function, which need not be ready for more.
    const std::size_t most = batch.line == nullptr ? threads : 1;
    detail::run_throwing_on_threads(groups, most, 4, [&](std::size_t first, std::size_t last) {
        Solver solver(system, batch, places);
        for (std::size_t g = first; g < last; ++g)
            solver.work(g * Solver::at_once, std::min((g + 1) * Solver::at_once, batch.rows), out, found[g]);
    });
    for (std::size_t i = 0; i < batch.rows; ++i) out.first[i + 1] += out.first[i];
    for (const std::vector<double>& group : found) out.places.insert(out.places.end(), group.begin(), group.end());
    return out;
}

}  // namespace offnominal
