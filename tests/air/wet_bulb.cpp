// Wet bulb, apparatus dew point and dew point, against bisection of the published equations in extended precision: over
// a dense grid of the whole domain, on the edges of the band with two roots, and where water is about to boil.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "../support/near.hpp"
#include "offnominal/air.hpp"

namespace si = offnominal::air::si;
using offnominal::air::Wick;

namespace {

// The published equations written once more, with the C library's functions.
long double saturation_pressure(long double t) {
    const long double T = t + 273.15L;
    if (t < 0.01L)
        return std::exp(-5.6745359e3L / T + 6.3925247L - 9.677843e-3L * T + 6.2215701e-7L * T * T +
                        2.0747825e-9L * T * T * T - 9.484024e-13L * T * T * T * T + 4.1635019L * std::log(T));
    return std::exp(-5.8002206e3L / T + 1.3914993L - 4.8640239e-2L * T + 4.1764768e-5L * T * T -
                    1.4452093e-8L * T * T * T + 6.5459673L * std::log(T));
}

// Equation 33 (or 35, over ice) with everything on one side, multiplied by p - ps so that it is increasing past boiling
// too.
long double too_wet(bool ice, long double t, long double W, long double p, long double wb) {
    const long double ps = saturation_pressure(wb);
    const long double left = ice ? 2830000.0L - 240.0L * wb : 2501000.0L - 2326.0L * wb;
    const long double right = ice ? 2830000.0L + 1860.0L * t - 2100.0L * wb : 2501000.0L + 1860.0L * t - 4186.0L * wb;
    return left * 0.621945L * ps - (p - ps) * (1006.0L * (t - wb) + W * right);
}

long double bisect(bool ice, double t, double W, double p) {
    long double low = ice ? -80.0L : 0.0L, high = ice ? 0.0L : std::max(0.0L, t + 1.0L);
    for (int i = 0; i < 80; ++i) {
        const long double middle = (low + high) / 2.0L;
        (too_wet(ice, t, W, p, middle) > 0.0L ? high : low) = middle;
    }
    return (low + high) / 2.0L;
}

// Calls f(t, W, p) over the domain: humidities from none to saturation, close-set towards saturation (or boiling).
template <class F>
void over_the_domain(double pressure_step, double temperature_step, F f) {
    for (double p = 50e3; p <= 110e3; p += pressure_step)
        for (double t = -60.0; t <= 90.0; t += temperature_step) {
            const double most = std::min(si::saturation_pressure(t), p * (1.0 - 1e-12));
            for (int i = 0; i <= 20; ++i) f(t, si::humidity_ratio(most * i / 20.0, p), p);
            for (int i = 2; i <= 20; ++i) f(t, si::humidity_ratio(most * (1.0 - std::pow(10.0, -0.5 * i)), p), p);
        }
}

}  // namespace

TEST_CASE("wet bulb: within 1e-9 K of the root everywhere, water and ice, and every air has a root") {
    double worst = 0.0, widest_band = 0.0;
    long two_roots = 0;
    over_the_domain(6e3, 0.53, [&](double t, double W, double p) {
        const bool water = too_wet(false, t, W, p, 0.0L) <= 0.0L;
        const bool ice = too_wet(true, t, W, p, 0.0L) > 0.0L;
        CHECK((water || ice));
        const double wet = si::wet_bulb(t, W, p), frozen = si::wet_bulb(t, W, p, Wick::frozen);
        worst = std::max(worst, static_cast<double>(std::abs(wet - bisect(!water, t, W, p))));
        worst = std::max(worst, static_cast<double>(std::abs(frozen - bisect(ice, t, W, p))));
        if (water && ice) {
            ++two_roots;
            CHECK(wet >= -1e-12);
            CHECK(frozen < 0.0);
            widest_band = std::max(widest_band, wet - frozen);
        } else {
            CHECK(wet == frozen);
        }
        CHECK(wet <= t + 1e-11);
    });
    CHECK(worst < 1e-11);  // the promise is 1e-9; measured 3.2e-12
    CHECK(two_roots > 100);
    CHECK(widest_band > 0.75);
    CHECK(widest_band < 1.04);
}

TEST_CASE("wet bulb: the two roots at 5 degC and sea level stand between 33 and 37 % relative humidity") {
    // From the published equations: both wicks at exactly 0 degC, 101325 Pa.
    const double t = 5.0, p = 101325.0;
    const auto W = [&](double rh) { return si::humidity_ratio(rh * si::saturation_pressure(t), p); };
    for (const double rh : {0.30, 0.32, 0.38, 0.45})
        CHECK(si::wet_bulb(t, W(rh), p) == si::wet_bulb(t, W(rh), p, Wick::frozen));
    for (const double rh : {0.34, 0.35, 0.36}) {
        const double wet = si::wet_bulb(t, W(rh), p), frozen = si::wet_bulb(t, W(rh), p, Wick::frozen);
        CHECK(wet > 0.0);
        CHECK(frozen < 0.0);
        CHECK(wet - frozen > 0.3);
        CHECK(wet - frozen < 0.8);
        // Both are roots: either gives the humidity back.
        CHECK(near(si::humidity_ratio_from_wet_bulb(t, wet, p), W(rh), relative(1e-12)));
        CHECK(near(si::humidity_ratio_from_wet_bulb(t, frozen, p), W(rh), relative(1e-12)));
    }
}

TEST_CASE("wet bulb: at the ends of the band each branch begins at 0 degC") {
    for (const double p : {50e3, 80e3, 101325.0})
        for (double t = 0.5; t <= 8.0; t += 0.5) {
            const double W_water = si::humidity_ratio_from_wet_bulb(t, 0.0, p);   // least humidity with a wet wick
            const double W_ice = si::humidity_ratio_from_wet_bulb(t, -1e-13, p);  // greatest with a frozen one
            CHECK(W_ice > W_water);                                               // an overlap, not a gap
            CHECK(near(si::wet_bulb(t, W_water * (1.0 + 1e-12), p), 0.0, absolute(1e-9)));
            CHECK(si::wet_bulb(t, W_water * (1.0 - 1e-9), p) < -0.01);
            CHECK(near(si::wet_bulb(t, W_ice * (1.0 - 1e-12), p, Wick::frozen), 0.0, absolute(1e-9)));
            CHECK(si::wet_bulb(t, W_ice * (1.0 + 1e-9), p, Wick::frozen) > 0.01);
        }
}

TEST_CASE(
    "wet bulb: around the triple point, where the saturation curve changes, saturated air reads its own dry bulb") {
    for (double t = -0.02; t <= 0.04; t += 0.0005) {
        const double W = si::saturation_humidity_ratio(t, 101325.0);
        CHECK(near(si::wet_bulb(t, W, 101325.0), t, absolute(1e-9)));
    }
}

TEST_CASE("wet bulb and humidity ratio are inverse to each other") {
    over_the_domain(20e3, 1.7, [](double t, double W, double p) {
        for (const Wick wick : {Wick::wet, Wick::frozen}) {
            const double back = si::humidity_ratio_from_wet_bulb(t, si::wet_bulb(t, W, p, wick), p);
            CHECK(std::abs(back - W) <=
                  1e-11 * (W + 1e-3) * (1.0 + W));  // near boiling W outgrows any temperature's digits
        }
    });
}

TEST_CASE("apparatus dew point: saturated enthalpy gives its temperature back") {
    double worst = 0.0;
    for (double p = 50e3; p <= 110e3; p += 5e3)
        for (double t = -60.0; t <= 90.0; t += 0.0973) {
            if (si::saturation_pressure(t) >= 0.999999 * p) continue;
            const double h = si::enthalpy(t, si::saturation_humidity_ratio(t, p));
            worst = std::max(worst, std::abs(si::saturation_temperature_from_enthalpy(h, p) - t));
        }
    CHECK(worst < 1e-11);
}

TEST_CASE("dew point: saturation pressure gives its temperature back") {
    double worst = 0.0;
    for (double t = -100.0; t <= 102.3; t += 0.00973) {
        if (std::abs(t - si::triple_point) < 1e-6) continue;  // where the two curves meet within 6e-9, 7e-8 K
        worst = std::max(worst, std::abs(si::dew_point(si::saturation_pressure(t)) - t));
    }
    CHECK(worst < 1e-11);
    for (double t = 0.00999; t <= 0.01001; t += 1e-8)
        CHECK(near(si::dew_point(si::saturation_pressure(t)), t, absolute(1e-7)));
}

TEST_CASE("saturation pressure: increasing, continuous where ice and water meet, higher over water below that") {
    double last = 0.0;
    for (double t = -100.0; t <= 200.0; t += 0.01) {
        const double ps = si::saturation_pressure(t);
        CHECK(ps > last);
        last = ps;
        if (t < 0.0) CHECK(si::saturation_pressure_water(t) > si::saturation_pressure_ice(t));
    }
    const double below = si::saturation_pressure_ice(si::triple_point),
                 above = si::saturation_pressure(si::triple_point);
    CHECK(above > below);
    CHECK(above / below - 1.0 < 1e-8);
}

TEST_CASE("saturation: the slope and the bend are those of the curve") {
    for (const auto* curve : {&si::over_ice, &si::over_water})
        for (double t = -60.0; t <= 90.0; t += 7.3) {
            const auto point = si::saturation_point(*curve, t);
            const double d = 1e-3;
            const double up = si::saturation_point(*curve, t + d).p, down = si::saturation_point(*curve, t - d).p;
            CHECK(near((up - down) / (2.0 * d), point.dp, relative(1e-8)));
            CHECK(near((up - 2.0 * point.p + down) / (d * d), point.d2p, relative(1e-5)));
        }
}
