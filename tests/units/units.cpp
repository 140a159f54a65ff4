// The one table of units: exact factors, one spelling each, nothing guessed.
#include "offnominal/units.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <random>
#include <set>
#include <string>
#include <type_traits>

#include "../support/near.hpp"
#include "offnominal/air/stream.hpp"
#include "offnominal/explain.hpp"

using namespace offnominal;
using namespace offnominal::literals;

TEST_CASE("factors agree with their definitions") {
    CHECK((32_degF).si == 0.0);
    CHECK((95_degF).si == 35.0);
    CHECK(units::kelvin.to_si(273.15) == 0.0);
    CHECK(near((18_delta_degF).si, 10.0, relative(1e-15)));
    CHECK(near((1_ton).si, 3516.8528420667, relative(1e-13)));  // NIST SP 811, appendix B.8
    CHECK(near((12_MBh).si, (1_ton).si, relative(1e-15)));
    CHECK(near(units::Btu_h.to_si(3.412141633127942), 1.0, relative(1e-15)));
    CHECK(near((1000_cfm).si, 0.4719474, absolute(0.5e-7)));  // NIST SP 811, appendix B.8
    CHECK(near((1_psia).si, 6894.757, absolute(0.0005)));
    CHECK(near((29.92_inHg).si, 101325, relative(1e-4)));
    CHECK(near(units::lb_h.to_si(4500), 0.566990, absolute(0.5e-6)));
    CHECK(units::Btu_lb.to_si(1) == 2326.0);
    CHECK(near(units::ft3_lb.to_si(1), 0.06242796, absolute(0.5e-8)));
    CHECK(units::gr_lb.to_si(7000) == 1.0);
    // 365 W per 1000 scfm = 773.3 W/(m3/s), as public government code of 10 CFR 430 appendix M has it.
    // It prints one decimal, cut off.
    CHECK(std::floor(units::W_1000scfm.to_si(365) * 10) == 7733);
    CHECK(std::floor(units::W_1000scfm.to_si(441) * 10) == 9344);
    // 1.10 Btu/h per cfm and degF is 1.23 W per L/s and K.
    CHECK(near(units::W_Ls_K.from_si(units::Btu_h_cfm_degF.to_si(1.10)), 1.23, relative(0.002)));
}

template <class T>
concept negatable = requires(T a) {
    -a;
};
template <class A, class B>
concept addable = requires(A a, B b) {
    a + b;
};
template <class A, class B>
concept comparable = requires(A a, B b) {
    a < b;
};
template <class T>
concept scalable = requires(T a) {
    a * 2.0;
};

TEST_CASE("a minus is not part of a literal: -40_degF does not compile, -50_ft does") {
    CHECK(from(-40, units::degF).si == -40.0);
    static_assert(!negatable<Temperature> && negatable<Length>);
    CHECK(near((-50_ft).si, -15.24, relative(1e-12)));
}

TEST_CASE("every unit comes back within one unit in the last place or two") {
    std::mt19937_64 random(7);
    std::uniform_real_distribution<double> value(0.01, 2000);
    for (const Unit& unit : units::all)
        for (int i = 0; i < 200; ++i) {
            const double x = value(random);
            CHECK(near(unit.from_si(unit.to_si(x)), x, relative(unit.offset == 0.0 ? 5e-16 : 1e-13)));
        }
}

TEST_CASE("one spelling each, found only for what it measures") {
    std::set<std::string> seen;
    for (const Unit& unit : units::all) {
        CHECK(seen.insert(std::string(unit.name)).second);
        CHECK(units::find(unit.name, unit.dimension)->name == unit.name);
    }
    CHECK_FALSE(units::find("degF", Dimension::power));
    CHECK_FALSE(units::find("F", Dimension::temperature));
    CHECK_FALSE(units::find("degf", Dimension::temperature));
    CHECK_FALSE(units::find("gramm", Dimension::ratio));
    CHECK(units::find("K", Dimension::temperature)->offset == 273.15);
    CHECK(units::find("K", Dimension::temperature_difference)->offset == 0.0);
    CHECK(units::find("scfm", Dimension::airflow)->standard_air);
}

// What must not compile. A concept, so that it costs no run of a compiler.
template <class Number, class U>
concept made_of = requires(Number number, U unit) {
    from(number, unit);
};
template <class Q, class U>
concept told_in = requires(Q quantity, U unit) {
    in(quantity, unit);
};
template <class Q>
concept taken_from_braces = requires(void (*f)(Q)) {
    f({91.0});
};
template <class Flow>
concept actual_of = requires(Flow flow) {
    AirflowReading::actual(flow, air::Place::return_air);
};
template <class Flow>
concept standard_of = requires(Flow flow) {
    AirflowReading::standard(flow);
};

TEST_CASE("a unit carries its dimension in its type (trap 11)") {
    static_assert(std::is_same_v<decltype(from(95.0, units::degF)), Temperature>);
    static_assert(std::is_same_v<decltype(from(95.0, units::scfm)), StandardAirflow>);
    static_assert(std::is_same_v<decltype(1000_scfm), StandardAirflow> && std::is_same_v<decltype(1000_cfm), Airflow>);
    static_assert(!made_of<double, Unit>);  // a unit chosen at run time says nothing of its dimension
    static_assert(told_in<Temperature, UnitOf<Dimension::temperature>> &&
                  !told_in<Temperature, UnitOf<Dimension::temperature_difference>> && !told_in<Temperature, Unit> &&
                  !told_in<Power, UnitOf<Dimension::airflow>>);
    static_assert(told_in<StandardAirflow, StandardAirflowUnit> &&
                  told_in<StandardAirflow, UnitOf<Dimension::airflow>> && !told_in<Airflow, StandardAirflowUnit>);
    static_assert(!taken_from_braces<Temperature> && !taken_from_braces<StandardAirflow> && taken_from_braces<double>);
    static_assert(!std::is_convertible_v<double, Temperature> && std::is_constructible_v<Temperature, double>);
    static_assert(actual_of<Airflow> && !actual_of<StandardAirflow> && standard_of<Airflow> &&
                  standard_of<StandardAirflow>);
    static_assert(std::is_trivially_copyable_v<Power> && sizeof(Power) == sizeof(double));
    CHECK(near(in(1_m3_h, units::L_s), 1 / 3.6, relative(1e-15)));
    CHECK((7_mm).si == 0.007);
    CHECK((1013_hPa).si == 101300.0);
    CHECK((3600_rpm).si == (60_Hz).si);
}

TEST_CASE("a temperature is not a temperature difference (trap 12)") {
    CHECK(near(in(80_degF - 60_degF, units::delta_degF), 20, relative(1e-12)));
    CHECK(near(in(60_degF + 20_delta_degF, units::degF), 80, relative(1e-12)));
    static_assert(!addable<Temperature, Temperature> && !scalable<Temperature> && addable<Power, Power> &&
                  scalable<Power>);
    static_assert(!comparable<Temperature, TemperatureDifference> && comparable<Temperature, Temperature>);
}

TEST_CASE("a mode that is none has nothing") {
    static_assert(applies(Modes::both, Mode::heating) && !applies(Modes::cooling, Mode::heating));
    static_assert(!applies(Modes::both, static_cast<Mode>(2)) && !applies(Modes::both, static_cast<Mode>(255)));
}
