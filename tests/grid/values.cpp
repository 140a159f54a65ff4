// What a grid answers at one point.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>
#include <limits>
#include <vector>

#include "../support/doubles.hpp"
#include "../support/near.hpp"
#include "offnominal/grid.hpp"
#include "random_grid.hpp"

using namespace offnominal;

namespace {

/// Sum over the corners of the cell, in long double: another formula, another order, another search.
std::vector<double> corner_sum(const GridView& view, const std::vector<double>& x) {
    std::array<std::size_t, max_rank> lower{};
    std::array<long double, max_rank> t{};
    for (std::size_t k = 0; k < view.rank(); ++k) {
        const auto b = view.breakpoints(k);
        const auto above = static_cast<std::size_t>(std::upper_bound(b.begin(), b.end(), x[k]) - b.begin());
        lower[k] = std::min(above == 0 ? 0 : above - 1, b.size() > 1 ? b.size() - 2 : 0);
        if (b.size() > 1) t[k] = (static_cast<long double>(x[k]) - b[lower[k]]) / (b[lower[k] + 1] - b[lower[k]]);
    }
    std::vector<long double> sum(view.outputs());
    for (std::size_t corner = 0; corner < std::size_t{1} << view.rank(); ++corner) {
        long double weight = 1.0L;
        std::array<std::size_t, max_rank> index = lower;
        for (std::size_t k = 0; k < view.rank(); ++k) {
            const bool upper = (corner >> k & 1u) != 0;
            weight *= upper ? t[k] : 1.0L - t[k];
            index[k] += upper && weight != 0.0L ? 1 : 0;
        }
        if (weight == 0.0L) continue;
        for (std::size_t j = 0; j < view.outputs(); ++j) sum[j] += weight * view.value(view.number(index), j);
    }
    return {sum.begin(), sum.end()};
}

std::vector<double> coordinates(const GridView& view, std::size_t node) {
    const auto index = view.index(node);
    std::vector<double> x;
    for (std::size_t k = 0; k < view.rank(); ++k) x.push_back(view.breakpoints(k)[index[k]]);
    return x;
}

Grid two_by_two(Edge edge = Edge::refuse(), std::vector<Mark> marks = {}) {
    return Grid({Axis("x", {0.0, 1.0, 3.0}, edge), Axis("y", {10.0, 20.0}, edge)}, {1.0, 2.0, 3.0, 4.0, 5.0, 8.0}, 1,
                std::move(marks));
}

}  // namespace

TEST_CASE("every rank and number of outputs agrees with a sum over corners") {
    test::Random random(1);
    for (std::size_t rank = 1; rank <= 6; ++rank)
        for (std::size_t outputs = 1; outputs <= 8; ++outputs)
            for (int trial = 0; trial < 6; ++trial) {
                const Grid grid = test::grid(random, rank, outputs);
                for (int i = 0; i < 20; ++i) {
                    const auto x = test::point(random, grid.view());
                    const auto found = grid.at(x);
                    REQUIRE(found);
                    CHECK(found->footing == Footing::inside);
                    const auto expected = corner_sum(grid.view(), x);
                    // Values up to 10: each of the at most 6 lerps rounds three times.
                    for (std::size_t j = 0; j < outputs; ++j)
                        CHECK(near(found->value[j], expected[j], absolute(6 * 3 * 20.0 * 0x1p-53)));
                    for (std::size_t j = outputs; j < 8; ++j) CHECK(found->value[j] == 0.0);
                }
            }
}

TEST_CASE("a node is its stored double, bit for bit") {
    test::Random random(2);
    for (std::size_t rank = 1; rank <= 6; ++rank)
        for (const Edge edge : {Edge::refuse(), Edge::hold(), Edge::extend(infinity)}) {
            const Grid grid = test::grid(random, rank, 1 + rank % 4, edge);
            for (std::size_t node = 0; node < grid.nodes(); ++node) {
                const auto found = grid.at(coordinates(grid.view(), node));
                REQUIRE(found);
                for (std::size_t j = 0; j < grid.outputs(); ++j) CHECK(same_bits(found->value[j], grid.value(node, j)));
            }
        }
}

TEST_CASE("signed zeros and the largest numbers are nodes like others") {
    const double most = std::numeric_limits<double>::max();
    const std::vector<double> values{-0.0, 0.0, most, -most, -0.0, -0.0, most, 0.0};
    const Grid grid({Axis("x", {0.0, 0.1, 0.3, 1.0}), Axis("y", {0.0, 1.0})}, values, 1);
    for (std::size_t node = 0; node < 8; ++node)
        CHECK(same_bits(grid.at(coordinates(grid.view(), node))->value[0], values[node]));
    // Between the largest and its negative the difference overflows: no answer rather than an infinity.
    const auto between = grid.at(std::array{0.1, 0.5});
    REQUIRE(!between);
    CHECK(between.reason() == Reason{Why::not_finite, About::nothing});
    // On an edge of the cell only the two nodes at its ends matter.
    CHECK(grid.at(std::array{0.0, 0.5})->value[0] == 0.0);
}

TEST_CASE("equal nodes give their value everywhere between them") {
    test::Random random(3);
    const Grid grid({test::axis(random, 4), test::axis(random, 3), test::axis(random, 5)}, std::vector<double>(60, 0.1),
                    1);
    for (int i = 0; i < 1000; ++i) CHECK(same_bits(grid.at(test::point(random, grid.view()))->value[0], 0.1));
}

TEST_CASE("a function linear in each coordinate is reproduced") {
    test::Random random(4);
    const Grid shape = test::grid(random, 4, 1);
    const auto f = [](std::span<const double> x) {
        return 1.0 + x[0] - 2.0 * x[1] + 0.5 * x[2] * x[3] + x[0] * x[1] * x[2];
    };
    std::vector<double> values;
    for (std::size_t node = 0; node < shape.nodes(); ++node) values.push_back(f(coordinates(shape.view(), node)));
    const Grid grid({shape.axes().begin(), shape.axes().end()}, values, 1);
    const double largest = std::abs(
        *std::max_element(values.begin(), values.end(), [](double a, double b) { return std::abs(a) < std::abs(b); }));
    for (int i = 0; i < 1000; ++i) {
        const auto x = test::point(random, grid.view());
        CHECK(near(grid.at(x)->value[0], f(x), absolute(1e-14 * largest)));
    }
}

TEST_CASE("the order of the axes does not matter, within rounding") {
    test::Random random(5);
    const Grid grid(
        {test::axis(random, 4), test::axis(random, 3), test::axis(random, 5)},
        [&] {
            std::vector<double> v(60);
            for (double& x : v) x = random(-1.0, 1.0);
            return v;
        }(),
        1);
    std::vector<double> turned(60);
    for (std::size_t node = 0; node < 60; ++node) {
        const auto i = grid.index(node);
        turned[(i[2] * 4 + i[0]) * 3 + i[1]] = grid.value(node, 0);
    }
    const Grid other({grid.axes()[2], grid.axes()[0], grid.axes()[1]}, turned, 1);
    for (int i = 0; i < 1000; ++i) {
        const auto x = test::point(random, grid.view());
        CHECK(
            near(grid.at(x)->value[0], other.at(std::array{x[2], x[0], x[1]})->value[0], absolute(9 * 0x1p-53 * 2.0)));
    }
}

TEST_CASE("rising values give a rising answer") {
    test::Random random(6);
    const Axis x = test::axis(random, 6), y = test::axis(random, 3);
    std::vector<double> values(18);
    for (std::size_t j = 0; j < 3; ++j)
        for (std::size_t i = 0; i < 6; ++i)
            values[i * 3 + j] = (i == 0 ? 0.0 : values[(i - 1) * 3 + j]) + random(0.1, 1.0);
    const Grid grid({x, y}, values, 1);
    const double y0 = random(y.breakpoints().front(), y.breakpoints().back());
    double before = -infinity;
    for (int i = 0; i <= 5000; ++i) {
        const double x0 = std::lerp(x.breakpoints().front(), x.breakpoints().back(), i / 5000.0);
        const double now = grid.at(std::array{x0, y0})->value[0];
        CHECK(now > before);
        before = now;
    }
}

TEST_CASE("past an edge: refused, held or extended, and it says so") {
    const std::array inside{0.5, 12.0}, below{-1.0, 12.0}, above{4.0, 12.0}, corner{4.0, 21.0};
    SUBCASE("refuse") {
        const Grid grid = two_by_two();
        CHECK(grid.at(below).reason() == Reason{Why::outside, About::axis, 0, -1, -1.0, 0.0, 3.0});
        CHECK(grid.at(std::array{0.0, 20.5}).reason() == Reason{Why::outside, About::axis, 1, -1, 20.5, 10.0, 20.0});
        CHECK(grid.at(corner).reason().axis == 0);
        CHECK(!grid.at(std::array{std::nextafter(3.0, 4.0), 12.0}));
    }
    SUBCASE("hold") {
        const Grid grid = two_by_two(Edge::hold());
        CHECK(grid.at(inside)->footing == Footing::inside);
        CHECK(grid.at(below)->footing == Footing::held);
        CHECK(same_bits(grid.at(below)->value[0], grid.at(std::array{0.0, 12.0})->value[0]));
        CHECK(same_bits(grid.at(corner)->value[0], 8.0));
        CHECK(same_bits(grid.at(std::array{1e300, 1e300})->value[0], 8.0));
    }
    SUBCASE("extend") {
        const Grid grid = two_by_two(Edge::extend(1.0));
        CHECK(grid.at(below)->footing == Footing::extended);
        CHECK(near(grid.at(below)->value[0], 1.2 - 2.0, relative(1e-15)));
        CHECK(near(grid.at(above)->value[0], 5.6 + 1.2, relative(1e-15)));  // from 3.2, over a width of 2
        CHECK(grid.at(std::array{4.5, 12.0}).reason() == Reason{Why::outside, About::axis, 0, -1, 4.5, -1.0, 4.0});
        CHECK(grid.at(std::array{3.0, 20.0})->footing == Footing::inside);
    }
    SUBCASE("the same numbers with other edges") {
        const Grid grid = two_by_two();
        CHECK(grid.with_edges(Edge::hold()).at(below)->footing == Footing::held);
        CHECK(grid.with_edge(0, Edge::extend(infinity)).at(above)->footing == Footing::extended);
        CHECK(grid.with_edge(1, Edge::extend(infinity)).at(above).reason().why == Why::outside);
        CHECK((grid.with_edge(0, Edge::hold()).with_edge(1, Edge::extend(2.0)).at(corner)->footing ==
               (Footing::held | Footing::extended)));
        CHECK(!grid.at(below));
    }
    SUBCASE("not a number, infinite") {
        for (const Edge edge : {Edge::refuse(), Edge::hold(), Edge::extend(infinity)})
            for (const double x : {not_a_number, infinity, -infinity}) {
                const Reason reason = two_by_two(edge).at(std::array{0.5, x}).reason();
                CHECK(reason.why == Why::not_finite);
                CHECK(reason.axis == 1);
            }
    }
}

TEST_CASE("holding is idempotent") {
    test::Random random(7);
    const Grid grid = test::grid(random, 3, 2, Edge::hold());
    const auto x = test::points(random, grid.view(), 300, 0.5);
    for (std::size_t i = 0; i < 300; ++i) {
        std::array<double, 3> p{x[3 * i], x[3 * i + 1], x[3 * i + 2]}, held = p;
        for (std::size_t k = 0; k < 3; ++k)
            held[k] = std::clamp(p[k], grid.breakpoints(k).front(), grid.breakpoints(k).back());
        for (std::size_t j = 0; j < 2; ++j) CHECK(same_bits(grid.at(p)->value[j], grid.at(held)->value[j]));
    }
}

TEST_CASE("an axis of one breakpoint") {
    const auto grid = [](Edge edge) { return Grid({Axis("x", {2.0}, edge), Axis("y", {0.0, 1.0})}, {5.0, 7.0}, 1); };
    CHECK(grid(Edge::refuse()).at(std::array{2.0, 0.5})->value[0] == 6.0);
    CHECK(grid(Edge::refuse()).at(std::array{2.1, 0.5}).reason() ==
          Reason{Why::outside, About::axis, 0, -1, 2.1, 2.0, 2.0});
    CHECK(grid(Edge::hold()).at(std::array{9.0, 0.5})->value[0] == 6.0);
    CHECK(!grid(Edge::extend(infinity)).at(std::array{2.1, 0.5}));  // there is no cell to extend
    CHECK(grid(Edge::extend(infinity)).at(std::array{2.0, 0.5})->footing == Footing::inside);
    CHECK(Grid({Axis("x", {2.0})}, {3.0}, 1).at(std::array{2.0})->value[0] == 3.0);
}

TEST_CASE("a blank node matters only where it has weight") {
    using enum Mark;
    const Grid grid = two_by_two(Edge::refuse(), {printed, printed, blank, printed, printed, beyond_limit});
    CHECK(std::isnan(grid.value(2, 0)));
    CHECK(grid.mark(2) == blank);
    CHECK(grid.at(std::array{1.0, 20.0})->value[0] == 4.0);  // the neighbour of two
    CHECK(grid.at(std::array{0.0, 15.0})->value[0] == 1.5);  // an edge of a cell with a blank corner
    CHECK(grid.at(std::array{3.0, 10.0})->value[0] == 5.0);
    CHECK(grid.at(std::array{0.5, 20.0})->value[0] == 3.0);
    CHECK(grid.at(std::array{0.5, 15.0}).reason() == Reason{Why::blank, About::nothing, -1, 2});
    CHECK(grid.at(std::array{1.0, 10.0}).reason() == Reason{Why::blank, About::nothing, -1, 2});
    CHECK(grid.at(std::array{3.0, 15.0}).reason() == Reason{Why::beyond_limit, About::nothing, -1, 5});
    CHECK(grid.at(std::array{2.0, 15.0}).reason() == Reason{Why::blank, About::nothing, -1, 2});
}

TEST_CASE("leaning on an inferred node shows in the footing, a dry one does not") {
    using enum Mark;
    const Grid grid = two_by_two(Edge::hold(), {printed, dry, printed, printed, inferred, printed});
    CHECK(grid.at(std::array{0.5, 15.0})->footing == Footing::inside);
    CHECK(grid.at(std::array{1.0, 15.0})->footing == Footing::inside);
    CHECK(grid.at(std::array{2.0, 15.0})->footing == Footing::inferred);
    CHECK(grid.at(std::array{3.0, 20.0})->footing == Footing::inside);
    CHECK(grid.at(std::array{9.0, 15.0})->footing == (Footing::held | Footing::inferred));
}

TEST_CASE("the wrong number of coordinates") {
    const Grid grid = two_by_two();
    CHECK(grid.at(std::array{1.0}).reason() == Reason{Why::not_given, About::axis, 1});
    CHECK(grid.at(std::array{1.0, 2.0, 3.0}).reason() == Reason{Why::contradictory, About::axis, 2});
    CHECK(!Grid().at(std::array<double, 0>{}));
    CHECK(!GridView().at(std::array{1.0}));
}

TEST_CASE("the cell: lower nodes, positions, and corners whose weights give the value") {
    test::Random random(8);
    for (std::size_t rank = 1; rank <= 6; ++rank) {
        const Grid grid = test::grid(random, rank, 2, Edge::extend(1.0));
        const auto x = test::points(random, grid.view(), 50, 0.1);
        for (std::size_t i = 0; i < 50; ++i) {
            const std::span<const double> p(x.data() + i * rank, rank);
            const auto value = grid.at(p);
            const auto cell = grid.cell(p);
            REQUIRE(bool(value) == bool(cell));
            if (!cell) continue;
            CHECK(cell->footing == value->footing);
            double sum = 0.0, weights = 0.0;
            std::int64_t before = -1;
            for (std::size_t c = 0; c < cell->corners(); ++c) {
                const Corner corner = cell->corner(c);
                CHECK(corner.weight != 0.0);
                CHECK(corner.node > before);
                before = corner.node;
                sum += corner.weight * grid.value(static_cast<std::size_t>(corner.node), 1);
                weights += corner.weight;
            }
            CHECK(near(weights, 1.0, relative(1e-14)));
            CHECK(near(sum, value->value[1], relative(1e-12)));
        }
    }
    const Grid grid = two_by_two();
    const auto cell = grid.cell(std::array{2.0, 10.0});
    CHECK(cell->lower[0] == 1);
    CHECK(cell->lower[1] == 0);
    CHECK(cell->t[0] == 0.5);
    CHECK(cell->t[1] == 0.0);
    CHECK(cell->corners() == 2);
    CHECK(cell->corner(1).node == 4);
    CHECK(grid.cell(std::array{3.0, 20.0})->corner(0).node == 5);
}

TEST_CASE("a copy of a grid stands on its own") {
    Grid copy;
    {
        const Grid grid = two_by_two();
        copy = grid;
        CHECK(copy.values().data() != grid.values().data());
    }
    CHECK(copy.at(std::array{1.0, 20.0})->value[0] == 4.0);
    Grid moved = std::move(copy);
    CHECK(moved.at(std::array{1.0, 20.0})->value[0] == 4.0);
    copy = moved;
    CHECK(copy.at(std::array{1.0, 20.0})->value[0] == 4.0);
}

TEST_CASE("a view of numbers that stand elsewhere") {
    static const double values[4 + GridView::slack] = {1.0, 2.0, 3.0, 4.0};
    const std::array axes{Axis("x", {0.0, 1.0}), Axis("y", {0.0, 1.0})};
    const GridView view(axes, values, 1);
    CHECK(view.values().data() == values);
    CHECK(view.at(std::array{0.5, 0.5})->value[0] == 2.5);
    CHECK_THROWS_WITH_AS(GridView(axes, std::span(values, 4), 1),
                         "a view of 4 nodes with 1 outputs has too few values: '4'; accepted: 4 and 16 of slack",
                         InputError);
}
