// Random grids and points for the tests, the same on every run and machine.
#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "offnominal/detail/contract.hpp"
#include "offnominal/grid/grid.hpp"

OFFNOMINAL_EXACT_BEGIN  // the same numbers whatever the flags
    namespace test {
    /// Uniform doubles by splitmix64 (S. Vigna's public-domain generator): the standard library's distributions may
    /// differ.
    class Random {
       public:
        explicit Random(std::uint64_t seed) : state_(seed) {}
        double operator()(double lower, double upper) { return lower + (upper - lower) * unit(); }
        std::size_t below(std::size_t n) { return static_cast<std::size_t>(unit() * static_cast<double>(n)); }

       private:
        double unit() {
            std::uint64_t z = (state_ += 0x9e3779b97f4a7c15u);
            z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
            z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
            return static_cast<double>((z ^ (z >> 31)) >> 11) * 0x1p-53;
        }
        std::uint64_t state_;
    };

    inline offnominal::Axis axis(Random & random, std::size_t size,
                                 offnominal::Edge edge = offnominal::Edge::refuse()) {
        std::vector<double> b{random(-5.0, 5.0)};
        while (b.size() < size) b.push_back(b.back() + random(0.1, 3.0));
        return offnominal::Axis("axis", b, edge);
    }

    /// A grid with axes of one to seven breakpoints, now and then a long one.
    inline offnominal::Grid grid(Random & random, std::size_t rank, std::size_t outputs,
                                 offnominal::Edge edge = offnominal::Edge::refuse()) {
        std::vector<offnominal::Axis> axes;
        std::size_t nodes = 1;
        for (std::size_t k = 0; k < rank; ++k) {
            const std::size_t most = rank > 4 ? 5 : 7;
            std::size_t size = 1 + random.below(most);
            if (rank <= 2 && random.below(3) == 0) size = 9 + random.below(60);
            axes.push_back(axis(random, size, edge));
            nodes *= size;
        }
        std::vector<double> values(nodes * outputs);
        for (double& v : values) v = random(-10.0, 10.0);
        return offnominal::Grid(std::move(axes), std::move(values), outputs);
    }

    /// A point inside; one coordinate in four is a breakpoint.
    inline std::vector<double> point(Random & random, const offnominal::GridView& view) {
        std::vector<double> x;
        for (std::size_t k = 0; k < view.rank(); ++k) {
            const auto b = view.breakpoints(k);
            x.push_back(random.below(4) == 0 ? b[random.below(b.size())] : random(b.front(), b.back()));
        }
        return x;
    }

    /// `count` points, row after row; with `reach` some lie outside by up to that much of the axis' span.
    inline std::vector<double> points(Random & random, const offnominal::GridView& view, std::size_t count,
                                      double reach = 0.0) {
        std::vector<double> out;
        for (std::size_t i = 0; i < count; ++i)
            for (std::size_t k = 0; const double x : point(random, view)) {
                const auto b = view.breakpoints(k++);
                const double span = reach * (b.back() - b.front() + 0.1);
                out.push_back(random.below(5) == 0 ? x + random(-span, span) : x);
            }
        return out;
    }

}  // namespace test
OFFNOMINAL_EXACT_END
