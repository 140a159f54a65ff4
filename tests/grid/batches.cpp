// Batches and sweeps give the bits of single look-ups, whatever they run on.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <limits>
#include <new>
#include <vector>

#include "../support/allocations.hpp"
#include "../support/doubles.hpp"
#include "offnominal/grid.hpp"
#include "offnominal/grid/threads.hpp"
#include "random_grid.hpp"

using namespace offnominal;

namespace {

std::vector<BatchOptions> all_options() {
    std::vector<BatchOptions> out{{}};
    for (const Kernels& kernels : available_kernels()) out.push_back({kernels});
    out.push_back(on_threads(2, fastest_kernels()));
    out.push_back(on_threads(5));
    return out;
}

struct Result {
    std::vector<double> values;
    std::vector<Reason> reasons;
    std::vector<Footing> footing;
};

Result one_by_one(const GridView& view, const std::vector<double>& rows) {
    const std::size_t count = rows.size() / view.rank();
    Result out;
    for (std::size_t i = 0; i < count; ++i) {
        const auto found = view.at({rows.data() + i * view.rank(), view.rank()});
        for (std::size_t j = 0; j < view.outputs(); ++j)
            out.values.push_back(found ? found->value[j] : std::numeric_limits<double>::quiet_NaN());
        out.reasons.push_back(found.reason());
        out.footing.push_back(found ? found->footing : Footing::inside);
    }
    return out;
}

bool same_bits(const std::vector<double>& a, const std::vector<double>& b) {
    return a.size() == b.size() && (a.empty() || std::memcmp(a.data(), b.data(), a.size() * sizeof(double)) == 0);
}

// Reason's own comparison, but a NaN it quotes is the same NaN.
bool same(Reason a, Reason b) {
    const bool nan = std::isnan(a.value) && std::isnan(b.value);
    if (nan) a.value = b.value = 0.0;
    return a == b;
}
bool same(const std::vector<Reason>& a, const std::vector<Reason>& b) {
    return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](Reason x, Reason y) { return same(x, y); });
}

Grid holed(test::Random& random, std::size_t rank, std::size_t outputs, Edge edge) {
    const Grid whole = test::grid(random, rank, outputs, edge);
    std::vector<Mark> marks(whole.nodes());
    for (Mark& mark : marks) mark = static_cast<Mark>(random.below(12) == 0 ? 2 + random.below(3) : 0);
    return Grid({whole.axes().begin(), whole.axes().end()}, {whole.values().begin(), whole.values().end()}, outputs,
                marks);
}

}  // namespace

TEST_CASE("a batch has the bits, reasons and footing of single look-ups") {
    test::Random random(21);
    for (const Edge edge : {Edge::refuse(), Edge::hold(), Edge::extend(0.2)})
        for (std::size_t rank = 1; rank <= 6; ++rank)
            for (std::size_t outputs = 1; outputs <= 8; ++outputs) {
                const Grid grid = holed(random, rank, outputs, edge);
                for (const std::size_t count : {0u, 1u, 7u, 64u, 65u, 300u, 2500u}) {
                    if (count > 300 && outputs != 3) continue;
                    auto rows = test::points(random, grid.view(), count, 0.3);
                    if (count > 7) rows[3] = std::nan(""), rows[7 * rank - 1] = infinity;
                    const Result expected = one_by_one(grid.view(), rows);
                    std::size_t refused = 0;
                    for (const Reason& reason : expected.reasons) refused += reason.none() ? 0 : 1;
                    for (const BatchOptions& options : all_options()) {
                        Result found{std::vector<double>(count * outputs), std::vector<Reason>(count),
                                     std::vector<Footing>(count)};
                        CHECK(evaluate(grid.view(), Points::rows(rows, rank), found.values, found.reasons,
                                       found.footing, options) == refused);
                        CHECK(same_bits(found.values, expected.values));
                        CHECK(same(found.reasons, expected.reasons));
                        CHECK(found.footing == expected.footing);
                        std::fill(found.values.begin(), found.values.end(), 0.0);
                        CHECK(evaluate(grid.view(), Points::rows(rows, rank), found.values, {}, {}, options) ==
                              refused);
                        CHECK(same_bits(found.values, expected.values));
                    }
                }
            }
}

TEST_CASE("columns, strides and parts are the same points") {
    test::Random random(22);
    const std::size_t count = 777;
    const Grid grid = test::grid(random, 4, 3);
    const auto rows = test::points(random, grid.view(), count);
    const auto expected = one_by_one(grid.view(), rows).values;
    std::vector<std::vector<double>> columns(4);
    for (std::size_t i = 0; i < rows.size(); ++i) columns[i % 4].push_back(rows[i]);
    const std::vector<std::span<const double>> spans(columns.begin(), columns.end());
    std::vector<double> found(count * 3);
    for (const BatchOptions& options : all_options()) {
        evaluate(grid.view(), Points::columns(spans), found, {}, {}, options);
        CHECK(same_bits(found, expected));
        // Backwards.
        Points backwards(4, count);
        for (std::size_t k = 0; k < 4; ++k) backwards.set_column(k, rows.data() + (count - 1) * 4 + k, -4);
        evaluate(grid.view(), backwards, found, {}, {}, options);
        for (std::size_t i = 0; i < count; ++i)
            CHECK(std::memcmp(found.data() + i * 3, expected.data() + (count - 1 - i) * 3, 24) == 0);
        // In parts, as a caller's own pool would; each part writes its own rows only.
        std::vector<double> parts(count * 3, -1.0);
        for (std::size_t first = 0; first < count; first += 100) {
            const std::size_t size = std::min<std::size_t>(100, count - first);
            evaluate(grid.view(), Points::rows(rows, 4).part(first, size),
                     std::span(parts).subspan(first * 3, size * 3), {}, {}, options);
            for (std::size_t i = (first + size) * 3; i < parts.size(); ++i) CHECK(parts[i] == -1.0);
        }
        CHECK(same_bits(parts, expected));
    }
    // A column of step 0 is one value for all.
    Points broadcast = Points::columns(spans);
    broadcast.set_column(1, columns[1].data() + 5, 0);
    evaluate(grid.view(), broadcast, found);
    CHECK(found[0] == grid.at(std::array{rows[0], rows[5 * 4 + 1], rows[2], rows[3]})->value[0]);
}

TEST_CASE("a sweep has the bits of single look-ups") {
    test::Random random(23);
    for (const Edge edge : {Edge::refuse(), Edge::hold()})
        for (std::size_t rank = 1; rank <= 6; ++rank)
            for (const std::size_t outputs : {1u, 2u, 3u, 4u, 7u}) {
                const Grid grid = holed(random, rank, outputs, edge);
                std::vector<std::vector<double>> coordinates(rank);
                std::size_t count = 1;
                for (std::size_t k = 0; k < rank; ++k) {
                    const std::size_t size = 1 + random.below(rank > 4 ? 4 : 7);
                    for (std::size_t q = 0; q < size; ++q)
                        coordinates[k].push_back(test::points(random, grid.view(), 1, 0.2)[k]);
                    count *= size;
                }
                const std::vector<std::span<const double>> spans(coordinates.begin(), coordinates.end());
                std::vector<double> rows;
                for (std::size_t i = 0; i < count; ++i) {
                    std::array<double, 6> x{};
                    for (std::size_t k = rank, rest = i; k-- > 0; rest /= coordinates[k].size())
                        x[k] = coordinates[k][rest % coordinates[k].size()];
                    rows.insert(rows.end(), x.begin(), x.begin() + static_cast<std::ptrdiff_t>(rank));
                }
                const Result expected = one_by_one(grid.view(), rows);
                std::size_t refused = 0;
                for (const Reason& reason : expected.reasons) refused += reason.none() ? 0 : 1;
                for (const BatchOptions& options : all_options()) {
                    std::vector<double> found(count * outputs + 1, -1.0);
                    CHECK(sweep(grid.view(), spans, std::span(found).first(count * outputs), options) == refused);
                    CHECK(found.back() == -1.0);
                    found.pop_back();
                    CHECK(same_bits(found, expected.values));
                }
            }
}

TEST_CASE("a sweep finds the points whose numbers are too large to interpolate") {
    // The sweep looks for them only where nodes or coordinates are large: each way there, and those that are not.
    const std::pair<double, double> cases[] = {
        {1.7e308, 0.5}, {1e200, 1e150}, {1e90, 1e90}, {1e90, 1e250}, {2.0, 1e40}};
    for (const auto& one : cases) {
        const double value = one.first, far = one.second;
        const Grid grid({Axis("a", {0.0, 1.0}, Edge::extend(1e300)), Axis("b", {0.0, 1.0}, Edge::extend(1e300))},
                        {value, 1.0, -value, 2.0, -value, 3.0, value, 4.0}, 2);
        const std::vector<double> a{0.0, 0.25, 1.0, far}, b{far, 0.0, 0.75, 1.0, -far};
        const std::array<std::span<const double>, 2> spans{a, b};
        std::vector<double> rows;
        for (const double x : a)
            for (const double y : b) rows.insert(rows.end(), {x, y});
        const Result expected = one_by_one(grid.view(), rows);
        std::size_t refused = 0;
        for (const Reason& reason : expected.reasons) refused += reason.none() ? 0 : 1;
        CAPTURE(value);
        CAPTURE(far);
        CHECK((refused > 0) == (value > 1e100 || far > 1e100));
        for (const BatchOptions& options : all_options()) {
            std::vector<double> found(2 * 20);
            CHECK(sweep(grid.view(), spans, found, options) == refused);
            CHECK(same_bits(found, expected.values));
        }
    }
}

TEST_CASE("batches that do not fit") {
    test::Random random(24);
    const Grid grid = test::grid(random, 2, 3);
    std::vector<double> rows(20), values(30);
    std::vector<Reason> reasons(9);
    CHECK_THROWS_WITH_AS(evaluate(grid.view(), Points::rows(rows, 4), values),
                         "a batch has the wrong number of coordinates per point: '4'; accepted: 2", InputError);
    CHECK_THROWS_WITH_AS(evaluate(grid.view(), Points::rows(rows, 2), std::span(values).first(29)),
                         "a batch has the wrong number of values: '29'; accepted: 30", InputError);
    CHECK_THROWS_AS(evaluate(grid.view(), Points::rows(rows, 2), values, reasons), InputError);
    CHECK_THROWS_WITH_AS(
        Points::rows(rows, 3),
        "these numbers do not divide into points of 3 coordinates: '20'; accepted: a multiple of a rank from "
        "1 to 6",
        InputError);
    const std::array<std::span<const double>, 2> uneven{std::span(rows).first(3), std::span(rows).first(4)};
    CHECK_THROWS_WITH_AS(Points::columns(uneven), "column 1 differs in length from column 0: '4'; accepted: 3",
                         InputError);
    CHECK_THROWS_AS(sweep(grid.view(), uneven, values), InputError);
    CHECK_THROWS_AS(sweep(grid.view(), std::span(uneven).first(1), values), InputError);
    // Sizes whose product is a multiple of 2^64: that is not 0, and nothing may be read or written.
    const Grid eight = test::grid(random, 2, 8);
    const std::array<std::span<const double>, 2> vast{std::span(rows.data(), std::size_t{1} << 32),
                                                      std::span(rows.data(), std::size_t{1} << 32)};
    CHECK_THROWS_AS(sweep(eight.view(), vast, std::span(values).first(0)), InputError);
    CHECK_THROWS_AS(evaluate(eight.view(), Points(2, std::size_t{1} << 61), std::span(values).first(0)), InputError);
}

TEST_CASE("nothing is allocated by a look-up, nor by a batch on one thread") {
    test::Random random(25);
    const Grid grid = holed(random, 5, 3, Edge::refuse());
    const auto rows = test::points(random, grid.view(), 500, 0.1);
    std::vector<double> values(1500);
    std::vector<Reason> reasons(500);
    std::vector<Footing> footing(500);
    std::array<Crossing, 8> crossings;
    const std::vector<BatchOptions> options = all_options();
    const long before = test::allocations();
    std::size_t refused = 0;
    for (std::size_t i = 0; i < 500; ++i) {
        const std::span<const double> x(rows.data() + 5 * i, 5);
        refused += grid.at(x) ? 0 : 1;
        refused += grid.with_edges(Edge::hold()).cell(x) ? 0 : 1;
        refused += grid.gradient(x) ? 0 : 1;
        refused += solve(grid.view(), x, 0, 0, 1.0, crossings) ? 0 : 1;
    }
    for (std::size_t i = 0; i < 4; ++i)
        refused += evaluate(grid.view(), Points::rows(rows, 5), values, reasons, footing, {options[i].kernels});
    CHECK(test::allocations() == before);
    CHECK(refused > 0);
    CHECK(refused < 4 * 1000);
    ::operator delete(::operator new(8));
    CHECK(test::allocations() == before + 1);  // the counter counts
}

TEST_CASE("the kernels have names") {
    CHECK(Kernels().name() == "here");
    CHECK(available_kernels().front().name() == "baseline");
    CHECK(fastest_kernels().name() == available_kernels().back().name());
}
