// The bits of the kernels do not move: not with the compiler, and not with a change that was meant to leave them alone.
#include <doctest/doctest.h>

#include "golden.hpp"

TEST_CASE("every kernel gives the bits on record") { CHECK(golden::compute() == golden::expected); }

TEST_CASE("a loop over many states gives the bits of one call each") {
    // Long enough, and plain enough, for the compiler to vectorise.
    constexpr int n = 1000;
    static double t[n], W[n], p[n], in_loop[n];
    golden::Steps steps;
    for (int i = 0; i < n; ++i) {
        t[i] = steps.between(-20, 60);
        p[i] = steps.between(60'000, 110'000);
        W[i] = steps.between(0, 1) * offnominal::air::si::saturation_humidity_ratio(t[i], p[i]);
    }
    for (int i = 0; i < n; ++i) in_loop[i] = offnominal::air::si::wet_bulb(t[i], W[i], p[i]);
    for (int i = 0; i < n; ++i) {
        const volatile double one_t = t[i], one_W = W[i], one_p = p[i];
        CHECK(in_loop[i] == offnominal::air::si::wet_bulb(one_t, one_W, one_p));
    }
}
