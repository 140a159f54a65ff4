// Gradients, and the inverse question along one axis.
#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <limits>
#include <vector>

#include "../support/doubles.hpp"
#include "../support/near.hpp"
#include "offnominal/grid.hpp"
#include "random_grid.hpp"

using namespace offnominal;

namespace {}

TEST_CASE("the gradient is the derivative of what is returned") {
    test::Random random(11);
    for (std::size_t rank = 1; rank <= 6; ++rank) {
        const Grid grid = test::grid(random, rank, 3, Edge::extend(1.0));
        for (int i = 0; i < 40; ++i) {
            auto x = test::point(random, grid.view());
            for (const Side side : {Side::lower, Side::upper}) {
                const auto found = grid.gradient(x, side);
                REQUIRE(found);
                for (std::size_t j = 0; j < 3; ++j) CHECK(found->value[j] == grid.at(x)->value[j]);
                for (std::size_t k = 0; k < rank; ++k) {
                    CHECK(found->side[k] == side);
                    if (grid.breakpoints(k).size() == 1) {
                        CHECK(found->slope[k][0] == 0.0);
                        continue;
                    }
                    // Linear along one axis up to the next breakpoint, so a difference quotient is exact but for
                    // rounding.
                    const double h = side == Side::upper ? 0x1p-20 : -0x1p-20;
                    auto moved = x;
                    moved[k] += h;
                    for (std::size_t j = 0; j < 3; ++j) {
                        const double quotient = (grid.at(moved)->value[j] - grid.at(x)->value[j]) / (moved[k] - x[k]);
                        CHECK(near(found->slope[k][j], quotient, absolute(1e-7)));
                    }
                }
            }
        }
    }
}

TEST_CASE("the gradient at the ends of an axis") {
    const auto grid = [](Edge edge) { return Grid({Axis("x", {0.0, 1.0, 3.0}, edge)}, {0.0, 2.0, 3.0}, 1); };
    const auto slope = [&](Edge edge, double x, Side side) {
        return grid(edge).gradient(std::array{x}, side)->slope[0][0];
    };
    CHECK(slope(Edge::refuse(), 1.0, Side::lower) == 2.0);
    CHECK(slope(Edge::refuse(), 1.0, Side::upper) == 0.5);
    CHECK(slope(Edge::refuse(), 3.0, Side::upper) == 0.5);  // there is no upper side, and it says so
    CHECK(grid(Edge::refuse()).gradient(std::array{3.0}, Side::upper)->side[0] == Side::lower);
    CHECK(grid(Edge::refuse()).gradient(std::array{0.0}, Side::lower)->side[0] == Side::upper);
    CHECK(slope(Edge::hold(), 3.0, Side::upper) == 0.0);
    CHECK(slope(Edge::hold(), 3.0, Side::lower) == 0.5);
    CHECK(slope(Edge::hold(), 0.0, Side::lower) == 0.0);
    CHECK(slope(Edge::hold(), 0.0, Side::upper) == 2.0);
    CHECK(slope(Edge::hold(), 7.0, Side::lower) == 0.0);
    CHECK(slope(Edge::extend(infinity), 3.0, Side::upper) == 0.5);
    CHECK(slope(Edge::extend(infinity), 9.0, Side::upper) == 0.5);
    CHECK(slope(Edge::extend(infinity), -9.0, Side::upper) == 2.0);
    CHECK(grid(Edge::refuse()).gradient(std::array{4.0}).reason().why == Why::outside);
}

TEST_CASE("a gradient towards a blank node has no answer, the other side has") {
    using enum Mark;
    const Grid grid({Axis("x", {0.0, 1.0, 3.0})}, {0.0, 2.0, 0.0}, 1, {printed, printed, blank});
    CHECK(grid.gradient(std::array{1.0}, Side::lower)->slope[0][0] == 2.0);
    CHECK(grid.gradient(std::array{1.0}, Side::upper).reason() == Reason{Why::blank, About::nothing, -1, 2});
}

TEST_CASE("solve finds every crossing") {
    std::array<Crossing, 8> out;
    const auto solve_at = [&](const Grid& grid, double target) {
        return solve(grid.view(), std::array{0.0}, 0, 0, target, out);
    };
    const auto grid = [](std::vector<double> values, Edge edge = Edge::refuse()) {
        std::vector<double> x;
        for (std::size_t i = 0; i < values.size(); ++i) x.push_back(static_cast<double>(i));
        return Grid({Axis("x", x, edge)}, std::move(values), 1);
    };
    SUBCASE("between nodes, up and down") {
        const auto found = solve_at(grid({0.0, 4.0, 0.0, 2.0}), 1.0);
        REQUIRE(found->count == 3);
        CHECK(out[0].lower == 0.25);
        CHECK(out[1].lower == 1.75);
        CHECK(out[2].upper == 2.5);
    }
    SUBCASE("at nodes once, touching or crossing") {
        const auto found = solve_at(grid({0.0, 1.0, 0.0, 1.0, 2.0}), 1.0);
        REQUIRE(found->count == 2);
        CHECK(out[0].lower == 1.0);
        CHECK(out[1].upper == 3.0);
        CHECK(solve_at(grid({1.0, 0.0}), 1.0)->count == 1);
        CHECK(solve_at(grid({0.0, 1.0}), 1.0)->count == 1);
        CHECK(solve_at(grid({1.0}), 1.0)->count == 1);
        CHECK(solve_at(grid({0.0, 1.0}), 1.5)->count == 0);
    }
    SUBCASE("a flat run is one crossing") {
        const auto found = solve_at(grid({0.0, 1.0, 1.0, 1.0, 0.0}), 1.0);
        REQUIRE(found->count == 1);
        CHECK(out[0].lower == 1.0);
        CHECK(out[0].upper == 3.0);
    }
    SUBCASE("more than the caller has room for are still counted") {
        const auto found =
            solve(grid({0.0, 2.0, 0.0, 2.0}).view(), std::array{0.0}, 0, 0, 1.0, std::span(out).first(1));
        CHECK(found->count == 3);
        CHECK(out[0].lower == 0.5);
    }
    SUBCASE("in what an edge extends to") {
        const auto found = solve_at(grid({0.0, 1.0}, Edge::extend(infinity)), 1e6);
        REQUIRE(found->count == 1);
        CHECK(out[0].lower == 1e6);
        CHECK(solve_at(grid({0.0, 1.0}, Edge::extend(0.5)), 1.4)->count == 1);
        CHECK(solve_at(grid({0.0, 1.0}, Edge::extend(0.5)), -0.4)->count == 1);
        CHECK(solve_at(grid({0.0, 1.0}, Edge::extend(0.5)), 1.6)->count == 0);
        CHECK(solve_at(grid({0.0, 1.0}, Edge::hold()), 1.0)->count == 1);
    }
    SUBCASE("blank nodes hide cells, and it says how many") {
        using enum Mark;
        const Grid holed({Axis("x", {0.0, 1.0, 2.0, 3.0, 4.0})}, {0.0, 2.0, 0.0, 1.0, 0.0}, 1,
                         {printed, printed, blank, printed, printed});
        const auto found = solve_at(holed, 1.0);
        CHECK(found->hidden_cells == 2);
        REQUIRE(found->count == 2);
        CHECK(out[0].lower == 0.5);
        CHECK(out[1].lower == 3.0);
    }
    SUBCASE("bad questions") {
        const Grid g = grid({0.0, 1.0});
        CHECK(solve(g.view(), std::array{0.0}, 1, 0, 0.5, out).reason().why == Why::outside);
        CHECK(solve(g.view(), std::array{0.0}, 0, 1, 0.5, out).reason().why == Why::no_output);
        CHECK(solve(g.view(), std::array{0.0}, 0, 0, infinity, out).reason().why == Why::not_finite);
        CHECK(solve(g.view(), std::array<double, 0>{}, 0, 0, 0.5, out).reason().why == Why::not_given);
    }
}

TEST_CASE("what solve finds, at gives back") {
    test::Random random(12);
    for (int trial = 0; trial < 200; ++trial) {
        const Grid grid = test::grid(random, 3, 2);
        const auto x = test::point(random, grid.view());
        const std::size_t axis = random.below(3);
        const double target = random(-8.0, 8.0);
        std::array<Crossing, 64> out;
        const auto found = solve(grid.view(), x, axis, 1, target, out);
        REQUIRE(found);
        for (std::size_t i = 0; i < found->count; ++i) {
            auto p = x;
            p[axis] = out[i].lower;
            CHECK(near(grid.at(p)->value[1], target, absolute(1e-12)));
            if (i > 0) CHECK(out[i].lower > out[i - 1].upper);
        }
        // As many crossings as a fine scan sees changes of sign.
        const auto b = grid.breakpoints(axis);
        std::size_t changes = 0;
        for (std::size_t i = 0; i + 1 < b.size(); ++i) {
            auto p = x;
            p[axis] = b[i];
            const bool below = grid.at(p)->value[1] < target;
            p[axis] = b[i + 1];
            changes += below != (grid.at(p)->value[1] < target) ? 1 : 0;
        }
        CHECK(found->count == changes);
    }
}
