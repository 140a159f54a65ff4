/// @file
/// A grid as plain data: what kernels, views and the compiled library exchange. No constructors, no library types, and
/// one layout whatever instruction set a translation unit is compiled for.
#pragma once

#include <cstdint>

namespace offnominal {

/// What is known of a node. A grid only carries marks; `ratings/` gives them meaning.
enum class Mark : std::uint8_t {
    printed,       ///< a number on the page
    dry,           ///< a number on the page, of a dry coil
    inferred,      ///< not on the page; an answer that leans on it says so (Footing::inferred)
    blank,         ///< no number on the page: a cell that leans on it has no answer (Why::blank)
    beyond_limit,  ///< past the maker's operating limit: likewise (Why::beyond_limit)
};

/// Greatest rank and number of outputs of a grid.
inline constexpr int max_rank = 6;
inline constexpr int max_outputs = 8;

namespace detail {

/// One axis. The edge policy is four numbers, so that a search has no policy to branch on: a coordinate outside
/// [accept_lower, accept_upper] has no answer, any other is first clamped to [clamp_lower, clamp_upper].
///   refuse  accept = clamp = the breakpoints' range
///   hold    accept everything finite, clamp to the breakpoints' range
///   extend  accept = clamp = the breakpoints' range widened by the limit
struct AxisData {
    const double* numbers;  ///< `size` breakpoints, then `size` inverse cell widths (the last one 0)
    std::int64_t size;
    std::int64_t stride;  ///< doubles from a node to its neighbour along this axis
    double accept_lower, accept_upper;
    double clamp_lower, clamp_upper;
};

/// A grid: axes, values interleaved by output and row-major over the axes, a mark per node.
/// `slack` doubles after the last value can be read (they are never used): kernels load whole vectors.
/// Blank nodes and nodes beyond a limit hold NaN, all others finite numbers.
struct GridData {
    AxisData axis[max_rank];
    const double* values;
    const Mark* marks;  ///< null if every node is printed
    std::int64_t nodes;
    std::int32_t rank;
    std::int32_t outputs;
    bool has_inferred;
};

inline constexpr std::int64_t slack = 16;

/// Points of a batch, by column: coordinate k of point i is column[k][i * step[k]].
struct PointData {
    const double* column[max_rank];
    std::int64_t step[max_rank];
};

/// The values of one axis of a sweep, already searched: t (NaN where refused), and doubles to the lower node and from
/// there to the upper one (0 where t is 0).
struct SweepAxisData {
    const double* t;
    const std::int64_t* base;
    const std::int64_t* step;
    std::int64_t count;
};

/// The kernels of one instruction set. All give the same bits.
struct KernelTable {
    const char* name;
    /// See `evaluate_points` in batch_kernel.hpp.
    std::int64_t (*evaluate)(const GridData&, const PointData&, std::int64_t first, std::int64_t last,
                             double* out) noexcept;
    /// See `sweep_points` in sweep_kernel.hpp.
    std::int64_t (*sweep)(const GridData&, const SweepAxisData*, std::int64_t first, std::int64_t last, double* work,
                          double* out) noexcept;
};

}  // namespace detail
}  // namespace offnominal
