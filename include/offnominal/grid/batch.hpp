/// @file
/// Many points at once: `evaluate` takes any points, `sweep` an outer product of axis values.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "offnominal/answer.hpp"
#include "offnominal/grid/data.hpp"
#include "offnominal/grid/kernels.hpp"
#include "offnominal/grid/query.hpp"
#include "offnominal/grid/view.hpp"

namespace offnominal {

/// Where a batch finds its points; owns nothing.
class Points {
   public:
    /// Points one after the other, `rank` coordinates each. @throws InputError if the numbers do not divide into points
    static Points rows(std::span<const double> coordinates, std::size_t rank) {
        if (rank == 0 || rank > static_cast<std::size_t>(max_rank) || coordinates.size() % rank != 0)
            detail::raise(
                InputError({}, "these numbers do not divide into points of " + std::to_string(rank) + " coordinates",
                           std::to_string(coordinates.size()), "a multiple of a rank from 1 to 6"));
        Points out(rank, coordinates.size() / rank);
        for (std::size_t k = 0; k < rank; ++k)
            out.set_column(k, out.size() == 0 ? nullptr : coordinates.data() + k, static_cast<std::ptrdiff_t>(rank));
        return out;
    }

    /// One column of coordinates per axis. @throws InputError if there are not 1 to 6, or they differ in length
    static Points columns(std::span<const std::span<const double>> columns) {
        if (columns.empty() || columns.size() > static_cast<std::size_t>(max_rank))
            detail::raise(
                InputError({}, "points cannot have this many coordinates", std::to_string(columns.size()), "1 to 6"));
        Points out(columns.size(), columns[0].size());
        for (std::size_t k = 0; k < columns.size(); ++k) {
            if (columns[k].size() != out.size())
                detail::raise(InputError({}, "column " + std::to_string(k) + " differs in length from column 0",
                                         std::to_string(columns[k].size()), std::to_string(out.size())));
            out.set_column(k, columns[k].data(), 1);
        }
        return out;
    }

    /// Columns of any step, which may be 0 or negative; the caller answers for their extent.
    Points(std::size_t rank, std::size_t size) noexcept : rank_(rank), size_(size) {}
    void set_column(std::size_t axis, const double* first, std::ptrdiff_t step) noexcept {
        data_.column[axis] = first;
        data_.step[axis] = step;
    }

    [[nodiscard]] std::size_t rank() const noexcept { return rank_; }
    [[nodiscard]] std::size_t size() const noexcept { return size_; }
    [[nodiscard]] double operator()(std::size_t point, std::size_t axis) const noexcept {
        return data_.column[axis][static_cast<std::ptrdiff_t>(point) * data_.step[axis]];
    }

    /// `count` of them from number `first` on: what one task of a caller's own pool evaluates.
    [[nodiscard]] Points part(std::size_t first, std::size_t count) const noexcept {
        Points out(rank_, count);
        for (std::size_t k = 0; k < rank_; ++k)
            out.set_column(k, data_.column[k] + static_cast<std::ptrdiff_t>(first) * data_.step[k], data_.step[k]);
        return out;
    }

    [[nodiscard]] const detail::PointData& data() const noexcept { return data_; }

   private:
    detail::PointData data_{};
    std::size_t rank_;
    std::size_t size_;
};

namespace detail {

/// Work on rows, whatever it is made of: rows `first` to `last` (not included), as one piece of several.
class RangeTask {
   public:
    template <class Task>
    explicit RangeTask(const Task& task) noexcept
        : task_(&task), run_([](const void* it, std::size_t piece, std::size_t first, std::size_t last) noexcept {
              (*static_cast<const Task*>(it))(piece, first, last);
          }) {}
    void operator()(std::size_t piece, std::size_t first, std::size_t last) const noexcept {
        run_(task_, piece, first, last);
    }

   private:
    const void* task_;
    void (*run_)(const void*, std::size_t, std::size_t, std::size_t) noexcept;
};

/// Runs a task over [0, count), in at most `pieces` pieces whose sizes are multiples of `grain`.
using RunRanges = void (*)(std::size_t count, std::size_t pieces, std::size_t grain, RangeTask task);

/// ... all of it here.
inline void run_alone(std::size_t count, std::size_t, std::size_t, RangeTask task) { task(0, 0, count); }

}  // namespace detail

/// How a batch runs. The bits do not depend on it.
struct BatchOptions {
    Kernels kernels{};  ///< those compiled here, or `fastest_kernels()` of the compiled library
    /// On how many threads, and what starts them: `on_threads(4)` of `grid/threads.hpp`.
    unsigned threads = 1;
    detail::RunRanges run = &detail::run_alone;
};

namespace detail {
inline namespace OFFNOMINAL_ISA {

/// Whether an edge policy or an inferred node can show in the footing at all.
inline bool footing_varies(const GridData& grid) noexcept {
    bool out = grid.has_inferred;
    for (int k = 0; k < grid.rank; ++k) {
        const AxisData& axis = grid.axis[k];
        out = out || axis.accept_lower < axis.numbers[0] || axis.accept_upper > axis.numbers[axis.size - 1];
    }
    return out;
}

/// Reasons and footing of points whose values are known, `missing` of which are NaN.
inline void explain_points(const GridData& grid, const Points& points, const double* values, std::size_t first,
                           std::size_t last, std::int64_t missing, Reason* reasons, Footing* footing) noexcept {
    if (reasons != nullptr) std::fill(reasons + first, reasons + last, Reason{});
    if (footing != nullptr) std::fill(footing + first, footing + last, Footing::inside);
    const bool varies = footing != nullptr && footing_varies(grid);
    if (missing == 0 && !varies) return;
    const auto outputs = static_cast<std::size_t>(grid.outputs);
    for (std::size_t i = first; i < last; ++i) {
        const bool answered = values[i * outputs] == values[i * outputs];
        if (answered ? !varies : reasons == nullptr) continue;
        double x[max_rank];
        for (std::size_t k = 0; k < points.rank(); ++k) x[k] = points(i, k);
        Admitted in;
        if (!answered) {
            GridValue unused;
            reasons[i] = value_with_care(grid, x, unused);
        } else if (admit(grid, x, in).none()) {
            footing[i] = in.footing;
            if (grid.has_inferred && leans_on_inferred(grid, in)) footing[i] |= Footing::inferred;
        }
    }
}

inline std::size_t pieces_of(std::size_t count, std::size_t grain, const BatchOptions& options) noexcept {
    return std::clamp<std::size_t>((count + grain - 1) / grain, 1, (std::max)(options.threads, 1u));
}

/// Points without an answer, each piece's own; one piece allocates nothing.
class Missing {
   public:
    explicit Missing(std::size_t pieces) : others_(pieces - 1) {}
    [[nodiscard]] std::size_t pieces() const noexcept { return others_.size() + 1; }
    [[nodiscard]] std::int64_t& of(std::size_t piece) noexcept { return piece == 0 ? first_ : others_[piece - 1]; }
    [[nodiscard]] std::size_t sum() const noexcept {
        std::int64_t out = first_;
        for (const std::int64_t one : others_) out += one;
        return static_cast<std::size_t>(out);
    }

   private:
    std::int64_t first_ = 0;
    std::vector<std::int64_t> others_;
};

inline std::size_t evaluate_batch(const GridView& view, const Points& points, double* values, Reason* reasons,
                                  Footing* footing, const BatchOptions& options) {
    const GridData& grid = view.data();
    const KernelTable& kernels = table_of(options.kernels);
    constexpr std::size_t chunk = 1024;  // still in the cache when it is explained
    Missing missing(pieces_of(points.size(), chunk, options));
    const auto range = [&](std::size_t piece, std::size_t first, std::size_t last) noexcept {
        const std::size_t size = reasons == nullptr && footing == nullptr ? last - first : chunk;
        for (; first < last; first += size) {
            const std::size_t end = (std::min)(first + size, last);
            const std::int64_t here = kernels.evaluate(grid, points.data(), static_cast<std::int64_t>(first),
                                                       static_cast<std::int64_t>(end), values + first * view.outputs());
            missing.of(piece) += here;
            if (reasons != nullptr || footing != nullptr)
                explain_points(grid, points, values, first, end, here, reasons, footing);
        }
    };
    if (points.size() > 0) options.run(points.size(), missing.pieces(), chunk, RangeTask(range));
    return missing.sum();
}

inline std::size_t sweep_batch(const GridView& view, std::span<const std::span<const double>> coordinates,
                               double* values, const BatchOptions& options) {
    const GridData& grid = view.data();
    std::size_t total = 0, rows = 1;
    for (std::size_t k = 0; k < coordinates.size(); ++k) {
        total += coordinates[k].size();
        if (k > 0) rows *= coordinates[k].size();
    }
    std::vector<double> t(total);
    std::vector<std::int64_t> base(total), step(total);
    std::array<SweepAxisData, max_rank> axes{};
    std::size_t at = 0;
    for (std::size_t k = 0; k < coordinates.size(); ++k) {
        axes[k] = {t.data() + at, base.data() + at, step.data() + at, static_cast<std::int64_t>(coordinates[k].size())};
        for (const double x : coordinates[k]) {
            locate_one(grid.axis[k], x, t[at], step[at], base[at]);
            ++at;
        }
    }
    const KernelTable& kernels = table_of(options.kernels);
    const auto work_size = static_cast<std::size_t>(sweep_work(grid));
    const std::size_t count = coordinates[0].size();
    Missing missing(pieces_of(count, 1, options));
    std::vector<double> work(missing.pieces() * work_size);
    const auto range = [&](std::size_t piece, std::size_t first, std::size_t last) noexcept {
        missing.of(piece) +=
            kernels.sweep(grid, axes.data(), static_cast<std::int64_t>(first), static_cast<std::int64_t>(last),
                          work.data() + piece * work_size, values + first * rows * view.outputs());
    };
    if (count > 0) options.run(count, missing.pieces(), 1, RangeTask(range));
    return missing.sum();
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

/// The values at many points.
///
/// A row of `outputs` doubles per point; NaN in the whole row exactly where there is no answer, and then `reasons` says
/// why. The bits are those of `at`, one by one. Nothing is allocated on one thread. To run on a pool of your own, give
/// each of its tasks `points.part(first, count)` and the matching parts of the spans.
/// @param values  points.size() x outputs
/// @param reasons,footing one per point, or empty if not wanted
/// @return how many points have no answer
/// @throws InputError if the sizes do not fit
OFFNOMINAL_INLINE std::size_t evaluate(const GridView& view, const Points& points, std::span<double> values,
                                       std::span<Reason> reasons = {}, std::span<Footing> footing = {},
                                       const BatchOptions& options = {}) {
    const auto check = [](const char* what, std::size_t is, std::size_t should) {
        if (is != should)
            detail::raise(InputError({}, std::string("a batch has the wrong number of ") + what, std::to_string(is),
                                     std::to_string(should)));
    };
    check("coordinates per point", points.rank(), view.rank());
    check("values", values.size(), detail::product(points.size(), view.outputs()));
    if (!reasons.empty()) check("reasons", reasons.size(), points.size());
    if (!footing.empty()) check("footings", footing.size(), points.size());
    return detail::evaluate_batch(view, points, values.data(), reasons.empty() ? nullptr : reasons.data(),
                                  footing.empty() ? nullptr : footing.data(), options);
}

/// The values at all combinations of axis values, which are never written down: `coordinates[k]` belongs to axis k.
///
/// Row-major over the axis values, outputs last; NaN in all outputs where there is no answer (`at` says why). The bits
/// are those of `at`. A workspace smaller than the grid is allocated per thread.
/// @param values product of the sizes of `coordinates` x outputs
/// @return how many combinations have no answer
/// @throws InputError if the sizes do not fit
OFFNOMINAL_INLINE std::size_t sweep(const GridView& view, std::span<const std::span<const double>> coordinates,
                                    std::span<double> values, const BatchOptions& options = {}) {
    if (coordinates.size() != view.rank() || view.rank() == 0)
        detail::raise(InputError({}, "a sweep has the wrong number of axes", std::to_string(coordinates.size()),
                                 std::to_string(view.rank())));
    std::size_t size = view.outputs();
    for (const auto& axis : coordinates) size = detail::product(size, axis.size());
    if (values.size() != size)
        detail::raise(InputError({}, "a sweep has the wrong number of values", std::to_string(values.size()),
                                 std::to_string(size)));
    if (size == 0) return 0;
    return detail::sweep_batch(view, coordinates, values.data(), options);
}

}  // namespace offnominal
