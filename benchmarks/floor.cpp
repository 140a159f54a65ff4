#include "floor.hpp"

#include <algorithm>
#include <array>
#include <chrono>
#include <cstddef>
#include <cstdint>
#include <new>
#include <vector>

#include "offnominal/grid/batch_kernel.hpp"
#include "offnominal/grid/grid.hpp"

using namespace offnominal;

void floor_naive(const FloorTable* table, const double* points, long count, double* out) {
    const int rank = table->rank, outputs = table->outputs;
    for (long i = 0; i < count; ++i, points += rank, out += outputs) {
        double t[max_rank];
        long base = 0, stride[max_rank], step = outputs;
        for (int k = rank - 1; k >= 0; --k) {
            stride[k] = step;
            step *= table->sizes[k];
        }
        const double* b = table->breakpoints;
        for (int k = 0; k < rank; ++k) {
            const long n = table->sizes[k];
            long cell = std::upper_bound(b, b + n, points[k]) - b - 1;
            cell = std::clamp(cell, 0L, n - 2);
            t[k] = (points[k] - b[cell]) / (b[cell + 1] - b[cell]);
            base += cell * stride[k];
            b += n;
        }
        for (int j = 0; j < outputs; ++j) out[j] = 0.0;
        for (long corner = 0; corner < 1L << rank; ++corner) {
            double weight = 1.0;
            long node = base;
            for (int k = 0; k < rank; ++k) {
                const bool upper = (corner >> k & 1) != 0;
                weight *= upper ? t[k] : 1.0 - t[k];
                node += upper ? stride[k] : 0;
            }
            for (int j = 0; j < outputs; ++j) out[j] += weight * table->values[node + j];
        }
    }
}

namespace {

constexpr int pair = 8;  // coefficients of both orders of the last axis, four outputs each

struct PhaseFloor {
    Grid grid;
    detail::GridData cells;  // our search, but its strides lead to coefficients
    std::vector<double> coefficients;
    double* first;
};

/// The value of the polynomial in the leading axes, lanes wide.
template <int Axes>
OFFNOMINAL_INLINE void polynomial(detail::Reals<detail::lanes>& out, const double* c,
                                  const detail::Reals<detail::lanes>* t) {
    if constexpr (Axes == 0) {
        detail::load(out, c);
    } else {
        detail::Reals<detail::lanes> higher;
        polynomial<Axes - 1>(out, c, t);
        polynomial<Axes - 1>(higher, c + (1 << (Axes - 1)) * pair, t);
        out = out + t[Axes - 1] * higher;
    }
}

template <int Rank>
[[gnu::noinline]] void evaluate_cells(const detail::Block& block, const double* coefficients, double* pairs) {
    for (int i = 0; i < detail::block_size; ++i, pairs += pair) {
        detail::Reals<detail::lanes> t[Rank];
        OFFNOMINAL_UNROLL
        for (int k = 0; k < Rank - 1; ++k) detail::splat(t[k], block.t[k][i]);
        for (int c = 0; c < pair; c += detail::lanes) {
            detail::Reals<detail::lanes> v;
            polynomial<Rank - 1>(v, coefficients + block.base[i] + c, t);
            detail::store(pairs + c, v);
        }
    }
}

template <int Width>
[[gnu::noinline]] void finish(const double* pairs, const double* t, int outputs, double* out) {
    for (int i = 0; i < detail::block_size; ++i, pairs += pair, out += outputs) {
        detail::Reals<Width> last;
        detail::splat(last, t[i]);
        for (int c = 0; c < outputs; c += Width) {
            detail::Reals<Width> a, b;
            detail::load(a, pairs + c);
            detail::load(b, pairs + 4 + c);
            a = a + last * b;
            detail::store(out + c, a);
        }
    }
}

}  // namespace

void* phase_floor_new(const FloorTable* table) {
    const auto rank = static_cast<std::size_t>(table->rank), outputs = static_cast<std::size_t>(table->outputs);
    std::vector<Axis> axes;
    std::size_t nodes = 1;
    for (std::size_t k = 0, at = 0; k < rank; ++k) {
        const auto n = static_cast<std::size_t>(table->sizes[k]);
        axes.emplace_back("axis", std::vector<double>(table->breakpoints + at, table->breakpoints + at + n));
        at += n;
        nodes *= n;
    }
    auto* floor =
        new PhaseFloor{Grid(axes, {table->values, table->values + nodes * outputs}, outputs), {}, {}, nullptr};
    floor->cells = floor->grid.view().data();
    const std::size_t per_cell = (std::size_t{1} << (rank - 1)) * pair;
    std::size_t cells = 1;
    for (std::size_t k = rank; k-- > 0;) {
        floor->cells.axis[k].stride = static_cast<std::int64_t>(cells * per_cell);
        cells *= axes[k].breakpoints().size() - 1;
    }
    floor->coefficients.assign(cells * per_cell + pair, 0.0);
    const auto misaligned = reinterpret_cast<std::uintptr_t>(floor->coefficients.data()) % 64;
    floor->first = floor->coefficients.data() + (misaligned == 0 ? 0 : (64 - misaligned) / sizeof(double));
    for (std::size_t cell = 0; cell < cells; ++cell) {
        std::array<std::size_t, max_rank> index{};
        for (std::size_t k = rank, rest = cell; k-- > 0; rest /= axes[k].breakpoints().size() - 1)
            index[k] = rest % (axes[k].breakpoints().size() - 1);
        double* c = floor->first + cell * per_cell;
        for (std::size_t corner = 0; corner < std::size_t{1} << rank;
             ++corner) {  // bit k of corner: upper along axis k
            auto at = index;
            for (std::size_t k = 0; k < rank; ++k) at[k] += corner >> k & 1;
            const std::size_t leading = corner & ((std::size_t{1} << (rank - 1)) - 1), last = corner >> (rank - 1);
            for (std::size_t j = 0; j < outputs; ++j)
                c[leading * pair + last * 4 + j] = floor->grid.value(floor->grid.number(at), j);
        }
        for (std::size_t k = 0; k + 1 < rank; ++k)  // from values to differences, axis by axis
            for (std::size_t m = 0; m < std::size_t{1} << (rank - 1); ++m)
                if ((m >> k & 1) != 0)
                    for (std::size_t i = 0; i < pair; ++i) c[m * pair + i] -= c[(m ^ (std::size_t{1} << k)) * pair + i];
        for (std::size_t m = 0; m < std::size_t{1} << (rank - 1); ++m)
            for (std::size_t i = 0; i < 4; ++i) c[m * pair + 4 + i] -= c[m * pair + i];
    }
    return floor;
}

void phase_floor(const void* handle, const double* columns, long count, double* out) {
    const auto& floor = *static_cast<const PhaseFloor*>(handle);
    detail::PointData points{};
    for (int k = 0; k < floor.cells.rank; ++k) {
        points.column[k] = columns + k * count;
        points.step[k] = 1;
    }
    detail::Block block;
    alignas(64) double pairs[detail::block_size * pair + 8];
    const int outputs = floor.cells.outputs;
    for (long first = 0; first + detail::block_size <= count; first += detail::block_size) {
        detail::locate_block(floor.cells, points, first, block);
        switch (floor.cells.rank) {
            case 2:
                evaluate_cells<2>(block, floor.first, pairs);
                break;
            case 3:
                evaluate_cells<3>(block, floor.first, pairs);
                break;
            case 4:
                evaluate_cells<4>(block, floor.first, pairs);
                break;
            case 5:
                evaluate_cells<5>(block, floor.first, pairs);
                break;
            default:
                evaluate_cells<6>(block, floor.first, pairs);
        }
        finish<(detail::lanes < 4 ? detail::lanes : 4)>(pairs, block.t[floor.cells.rank - 1], outputs,
                                                        out + first * outputs);
    }
}

void phase_floor_delete(void* handle) { delete static_cast<PhaseFloor*>(handle); }

void bandwidth_floor(const double* points, long count, int in, int out_doubles, double* out) {
    // As a stream of in x count doubles and one of out_doubles x count, which is all the traffic there is.
    const long reads = count * in, writes = count * out_doubles;
    detail::Reals<detail::lanes> sum[4] = {};
    long i = 0;
    for (; i + 4 * detail::lanes <= reads; i += 4 * detail::lanes) {
        for (int c = 0; c < 4; ++c) {
            detail::Reals<detail::lanes> v;
            detail::load(v, points + i + c * detail::lanes);
            sum[c] = sum[c] + v;
        }
        const long to = i * out_doubles / in / detail::lanes * detail::lanes;  // as far along as the reading
        for (int c = 0; c < 4 && to + (c + 1) * detail::lanes <= writes; ++c)
            detail::store(out + to + c * detail::lanes, sum[c]);
    }
}

void write_floor(double* out, long doubles) {
    detail::Reals<detail::lanes> v{};
    for (long i = 0; i + detail::lanes <= doubles; i += detail::lanes) detail::store(out + i, v);
}

double clock_rate() {
    double best = 0.0;
    for (int trial = 0; trial < 5; ++trial) {
        const auto start = std::chrono::steady_clock::now();
        std::uint64_t x = 3;
        for (int i = 0; i < 20'000'000; ++i) asm volatile("imul %0, %0" : "+r"(x));
        const std::chrono::duration<double, std::nano> time = std::chrono::steady_clock::now() - start;
        best = std::max(best, 60e6 / time.count());
    }
    return best;
}
