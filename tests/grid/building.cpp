// What a grid is not built from, and what it says then.
#include <doctest/doctest.h>

#include <limits>
#include <vector>

#include "../support/doubles.hpp"
#include "offnominal/grid.hpp"

using namespace offnominal;

TEST_CASE("axes that are none") {
    CHECK_THROWS_WITH_AS(Axis("x", {}), "axis 'x' has no breakpoints; accepted: at least one", InputError);
    CHECK_THROWS_WITH_AS(
        Axis("x", {1.0, 2.0, 2.0}),
        "axis 'x': breakpoint 2 repeats the one before it: '2'; accepted: strictly increasing breakpoints; "
        "the one before is 2",
        InputError);
    CHECK_THROWS_WITH_AS(Axis("x", {1.0, 3.0, 2.5}),
                         "axis 'x': breakpoint 2 lies below the one before it: '2.5'; accepted: strictly increasing "
                         "breakpoints; the one before is 3",
                         InputError);
    CHECK_THROWS_WITH_AS(Axis("x", {1.0, not_a_number}),
                         "axis 'x': breakpoint 1 is not a finite number: 'nan'; accepted: finite numbers", InputError);
    CHECK_THROWS_WITH_AS(Axis("x", {-infinity}),
                         "axis 'x': breakpoint 0 is not a finite number: '-inf'; accepted: finite numbers", InputError);
    CHECK_THROWS_AS(Axis("x", {0.0, 5e-324}), InputError);
    CHECK_THROWS_AS(Axis("x", {-1e308, 1e308}), InputError);
}

TEST_CASE("edges that are none") {
    CHECK_THROWS_WITH_AS(
        Edge::extend(-1.0),
        "an axis cannot be extended by this limit: '-1'; accepted: zero, a positive number or infinity", InputError);
    CHECK_THROWS_AS(Edge::extend(not_a_number), InputError);
    CHECK(Edge::extend(infinity).limit() == infinity);
    CHECK(Edge::hold() != Edge::refuse());
}

TEST_CASE("grids that are none") {
    const Axis x("x", {0.0, 1.0}), y("y", {0.0, 1.0, 2.0});
    CHECK_THROWS_WITH_AS(Grid({x, y}, {1, 2, 3, 4, 5}, 1),
                         "a grid of 6 nodes with 1 outputs cannot have this many values: '5'; accepted: 6", InputError);
    CHECK_THROWS_WITH_AS(Grid({}, {1.0}, 1), "a grid cannot have this many axes: '0'; accepted: 1 to 6", InputError);
    CHECK_THROWS_WITH_AS(Grid(std::vector<Axis>(7, Axis("x", {0.0})), {1.0}, 1),
                         "a grid cannot have this many axes: '7'; accepted: 1 to 6", InputError);
    CHECK_THROWS_WITH_AS(Grid({x}, {}, 0), "a grid cannot have this many outputs: '0'; accepted: 1 to 8", InputError);
    CHECK_THROWS_WITH_AS(Grid({x}, std::vector<double>(18), 9),
                         "a grid cannot have this many outputs: '9'; accepted: 1 to 8", InputError);
    // 2^16 nodes on each of four axes are 2^64, of which nothing is left modulo 2^64.
    const Axis long_axis = [] {
        std::vector<double> numbers(1u << 16);
        for (std::size_t i = 0; i < numbers.size(); ++i) numbers[i] = static_cast<double>(i);
        return Axis("x", numbers);
    }();
    CHECK_THROWS_AS(Grid({long_axis, long_axis, long_axis, long_axis}, {}, 1), InputError);
    CHECK_THROWS_WITH_AS(
        Grid({x, y}, {1, 2, 3, not_a_number, 5, 6}, 1),
        "output 0 of node 3 is not a finite number: 'nan'; accepted: finite numbers, or a mark that says why "
        "not",
        InputError);
    CHECK_THROWS_WITH_AS(Grid({x}, {1, 2}, 1, {Mark::printed}),
                         "a grid of 2 nodes cannot have this many marks: '1'; accepted: one for each node, or none",
                         InputError);
    CHECK_THROWS_AS(Grid({x}, {1, 2}, 1, {Mark::printed, static_cast<Mark>(9)}), InputError);
    CHECK_NOTHROW(Grid({x}, {1, 3e300}, 1, {Mark::printed, Mark::blank}));
    // An embedded table must not hide a number under a blank.
    std::vector<double> values(2 + GridView::slack, 0.0);
    const std::vector<Axis> axes{x};
    const std::vector<Mark> marks{Mark::printed, Mark::blank};
    CHECK_THROWS_AS(GridView(axes, values, 1, marks), InputError);
}
