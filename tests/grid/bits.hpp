// What the headers compute, as one number, and how large their types are: for programs compiled with different flags to
// compare. Included by the program in test_bits.py.
#pragma once

#include <cstdint>
#include <cstdio>
#include <cstring>
#include <span>
#include <vector>

#include "offnominal/grid.hpp"
#include "random_grid.hpp"

namespace test {

/// FNV-1a over the bytes of doubles.
class Digest {
   public:
    void add(std::span<const double> values) {
        for (const double value : values) {
            std::uint64_t bits;
            std::memcpy(&bits, &value, sizeof bits);
            for (int byte = 0; byte < 8; ++byte) sum_ = (sum_ ^ (bits >> (8 * byte) & 0xff)) * 0x100000001b3u;
        }
    }
    std::uint64_t sum() const { return sum_; }

   private:
    std::uint64_t sum_ = 0xcbf29ce484222325u;
};

inline std::uint64_t digest() {
    using namespace offnominal;
    Digest out;
    Random random(31);
    for (std::size_t rank = 1; rank <= 6; ++rank)
        for (std::size_t outputs = 1; outputs <= 8; ++outputs) {
            const Grid grid = test::grid(random, rank, outputs, outputs % 2 == 0 ? Edge::hold() : Edge::extend(1.0));
            const std::size_t count = 150;
            const auto rows = points(random, grid.view(), count, 0.1);
            std::vector<double> values(count * outputs);
            evaluate(grid.view(), Points::rows(rows, rank), values);
            out.add(values);
            for (std::size_t i = 0; i < count; ++i) {
                const std::span<const double> x(rows.data() + i * rank, rank);
                const auto found = grid.at(x);
                if (!found) continue;
                out.add(found->value);
                const auto gradient = grid.gradient(x);
                for (const auto& slope : gradient->slope) out.add(slope);
                out.add(grid.cell(x)->t);
            }
            std::vector<std::span<const double>> axes;
            for (std::size_t k = 0; k < rank; ++k) axes.emplace_back(rows.data() + 3 * k, 3);
            std::size_t size = outputs;
            for (std::size_t k = 0; k < rank; ++k) size *= 3;
            std::vector<double> swept(size);
            sweep(grid.with_edges(Edge::hold()), axes, swept);
            out.add(swept);
        }
    return out.sum();
}

inline void print_layout() {
    using namespace offnominal;
    const std::size_t sizes[] = {sizeof(Axis),
                                 sizeof(Grid),
                                 sizeof(GridView),
                                 sizeof(detail::GridData),
                                 sizeof(detail::PointData),
                                 sizeof(GridValue),
                                 sizeof(Cell),
                                 sizeof(GridGradient),
                                 sizeof(Points),
                                 sizeof(BatchOptions),
                                 sizeof(Answer<Cell>),
                                 sizeof(Crossing),
                                 alignof(Grid),
                                 alignof(GridView),
                                 alignof(GridValue),
                                 alignof(GridGradient),
                                 alignof(Points)};
    for (const std::size_t size : sizes) std::printf("%zu ", size);
}

}  // namespace test
