// The same bits and the same types whatever instruction set a translation variant is compiled for.
#include "identity.hpp"

#include <doctest/doctest.h>

#include <array>
#include <cstring>
#include <string_view>
#include <vector>

#include "offnominal/grid.hpp"
#include "random_grid.hpp"

using namespace offnominal;

namespace {

struct Variant {
    std::string_view needs;  ///< the kernels that a machine must be able to run
    test::Compute* compute;
    test::Layout (*layout)();
};
constexpr std::array variants{Variant{"baseline", test::compute_plain, test::layout_plain},
                           Variant{"avx2", test::compute_avx2, test::layout_avx2},
                           Variant{"avx512", test::compute_avx512, test::layout_avx512}};

bool runs(std::string_view name) {
    for (const Kernels& kernels : available_kernels())
        if (kernels.name() == name) return true;
    return false;
}

}  // namespace

TEST_CASE("headers compiled for other instruction sets give the same bits") {
    test::Random random(31);
    for (std::size_t rank = 1; rank <= 6; ++rank)
        for (std::size_t outputs = 1; outputs <= 8; ++outputs) {
            const Grid grid = test::grid(random, rank, outputs, Edge::hold());
            const std::size_t count = 200;
            const auto rows = test::points(random, grid.view(), count, 0.1);
            std::vector<double> expected(count * (2 * outputs + rank)), found = expected;
            test::compute_baseline(grid.view(), rows.data(), count, expected.data());
            for (const Variant& variant : variants) {
                if (!runs(variant.needs)) continue;
                variant.compute(grid.view(), rows.data(), count, found.data());
                CHECK(std::memcmp(found.data(), expected.data(), expected.size() * sizeof(double)) == 0);
            }
        }
}

TEST_CASE("types have one layout") {
    const test::Layout expected = test::layout_baseline();
    for (const Variant& variant : variants) {
        if (!runs(variant.needs)) continue;
        CHECK(variant.layout() == expected);
    }
}
