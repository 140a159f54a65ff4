// What was once believed: slips of the pen, of units and of instruments. Each ends refused, not comparable, or capped,
// and says what to look at.
#include <doctest/doctest.h>

#include "../support/example_7.hpp"
#include "../support/near.hpp"
#include "offnominal/report.hpp"

using namespace unit_a;

namespace {
Proof of(void (*slip)(Visit&)) {
    Visit v = example_7();
    slip(v);
    return prove(exact_page(), v);
}
}  // namespace

TEST_CASE("supply warmer than return gives no verdict, even where it holds less heat (trap 25)") {
    const Proof p = of([](Visit& v) {
        v.readings.supply_dry_bulb = 94_degF;
        v.readings.supply_humidity = air::relative_humidity(0.05);
    });
    CHECK(p.delivered.total_capacity.si > 0.0);
    CHECK(p.reason.why == Why::wrong_mode);
    CHECK_FALSE(p.ratio);
}

TEST_CASE("a fan of 0.42 W or 420 kW is no fan of this size (trap 50)") {
    for (const double watts : {0.42, 0.0, 42000.0}) {
        Visit v = example_7();
        v.fan_power = Power{watts};
        const Proof p = prove(exact_page(), v);
        CHECK(p.outcome == Outcome::not_comparable);
        CHECK(p.reason.why == Why::implausible);
        CHECK(p.reason.about == About::fan_power);
    }
}

TEST_CASE("a split that no machine has is a slip (trap 50)") {
    const Proof p = of([](Visit& v) {
        v.readings.supply_dry_bulb = Temperature{degF(5.72)};
        v.readings.supply_humidity = air::relative_humidity(0.5);
    });
    CHECK(p.reason.why == Why::implausible);
    CHECK(p.reason.about == About::dry_bulb_split);
}

TEST_CASE("a barometer that the elevation does not bear out is refused, in both directions (trap 6)") {
    const auto at = [](double feet, double inches_off) {
        Visit v = example_7();
        const double p = air::pressure_at(from(feet, units::ft)).si;
        v.site = Site::at(from(feet, units::ft), Pressure{p * (1.0 + inches_off)});
        return prove(exact_page(), v);
    };
    const Proof reduced = at(1300, 0.047);  // what the weather service says there
    CHECK(reduced.reason.why == Why::contradictory);
    CHECK(reduced.reason.about == About::pressure);
    CHECK(at(1300, -0.04).reason.why == Why::contradictory);
    CHECK(at(1300, 0.02).notes.has(Note::barometer_far));
    CHECK_FALSE(at(1300, 0.01).notes.has(Note::barometer_far));
    Visit v = example_7();  // elevation 0 where the barometer says 5,280 ft
    v.site = Site::at(0_ft, air::pressure_at(5280_ft));
    CHECK_THROWS_AS((void)prove(exact_page(), v), Refused);
}

TEST_CASE("elevation 0 without a barometer is said, and passes no ratio that is too good") {
    Visit v = example_7();
    v.site = Site::sea_level();
    v.limit = 0.5;
    CHECK(prove(exact_page(), v).notes.has(Note::sea_level_unchecked));
    CHECK(prove(exact_page(), v).outcome == Outcome::meets);
    v.readings.supply_dry_bulb = 54_degF;
    const Proof p = prove(exact_page(), v);
    CHECK(*p.ratio > 1.05);
    CHECK(p.outcome == Outcome::undecided);
    CHECK(p.suspect == About::elevation);
    CHECK(p.uncapped == Outcome::meets);
}

TEST_CASE("nothing stated is not zero: no limits make no surer verdict (trap 46)") {
    const double stated = prove(exact_page(), example_7()).ratio_u;
    const Proof none = of([](Visit& v) {
        for (Uncertain& u : v.uncertainty) u.standard = 0.0;
    });
    CHECK(none.ratio_u > stated);
    CHECK(none.notes.has(Note::uncertainty_missing));
    CHECK(none.outcome == Outcome::undecided);
    for (const Input input :
         {Input::return_humidity, Input::supply_dry_bulb, Input::airflow, Input::outdoor_dry_bulb}) {
        Visit v = example_7();
        v.of(input).standard = 0.0;
        CHECK(prove(exact_page(), v).ratio_u > stated);
    }
}

TEST_CASE("a page without a tolerance is not surer than one with the 5 percent that AHRI 210/240 allows") {
    Basis unknown = exact_basis(), stated = exact_basis();
    unknown.tolerance.reset();
    stated.tolerance = 0.05;
    const Proof a = prove(system(unknown, sharp_page()), example_7()),
                b = prove(system(stated, sharp_page()), example_7());
    CHECK(a.expected_u == b.expected_u);
    CHECK(a.notes.has(Note::tolerance_assumed));
    CHECK_FALSE(b.notes.has(Note::tolerance_assumed));
    CHECK_FALSE(a.notes.has(Note::tolerance_unknown));
    CHECK(b.expected_u > std::hypot(0.025, prove(exact_page(), example_7()).expected_u));  // of gross, which is more
}

TEST_CASE("an axis of two values bends, and a row of multipliers errs: neither is exact") {
    const Proof p = prove(exact_page(), example_7());
    CHECK(p.notes.has(Note::curvature_assumed));
    CHECK(p.expected_u > 0.001);
    CHECK(p.expected_u < 0.006);
}

TEST_CASE("the condensate's heat on no page, and a coil boundary with probes astride the fan, are said") {
    CHECK(of([](Visit& v) { v.readings.condensate = true; }).notes.has(Note::condensate_taken));
    Visit v = example_7();
    v.boundary = Boundary::coil;
    for (Uncertain& u : v.uncertainty) u.standard *= 0.05;
    v.limit = 0.91;
    const Proof astride = prove(exact_page(), v);
    CHECK(astride.notes.has(Note::probes_astride_fan));
    CHECK(astride.uncapped == Outcome::falls_short);
    CHECK(astride.outcome == Outcome::undecided);
    CHECK(astride.suspect == About::boundary);
    v.fan_power = Power{Conditions::not_given};
    CHECK(prove(exact_page(), v).outcome == Outcome::falls_short);
}

TEST_CASE("a wet bulb a little above its dry bulb is saturated air, far above it two that were swapped (trap 3)") {
    const auto supply = [](double above) {
        Visit v = example_7();
        v.readings.supply_humidity = air::wet_bulb(Temperature{v.readings.supply_dry_bulb.si + above / 1.8});
        v.of(Input::supply_humidity).standard = 0.2 / 1.8;
        return prove(exact_page(), v);
    };
    const Proof honest = supply(0.3);
    CHECK(honest.ratio);
    CHECK(honest.notes.has(Note::saturated_supply));
    CHECK(near(*honest.ratio, *supply(0.0).ratio, relative(0.01)));
    CHECK_FALSE(supply(0.0).notes.has(Note::saturated_supply));
    CHECK_THROWS_AS(supply(3.0), Refused);
}

TEST_CASE("one probe at both places shares half of its variance unless it says another share (trap 47)") {
    Visit v = example_7();
    v.of(Input::return_dry_bulb).instrument = v.of(Input::supply_dry_bulb).instrument = "the probe";
    const Proof p = prove(exact_page(), v);
    CHECK(p.notes.has(Note::one_instrument));
    for (const BudgetLine& line : p.budget) CHECK(line.share >= 0.0);
    v.of(Input::return_dry_bulb).correlation = v.of(Input::supply_dry_bulb).correlation = 0.5;
    const Proof said = prove(exact_page(), v);
    CHECK_FALSE(said.notes.has(Note::one_instrument));
    CHECK(said.ratio_u == p.ratio_u);
}

TEST_CASE("a saturated supply probe: the ratio follows the interval, without a step (trap 33)") {
    const auto at = [](double rh) {
        Visit v = example_7();
        v.readings.supply_humidity = air::relative_humidity(rh);
        return prove(exact_page(), v);
    };
    // At 100 % the air stands anywhere from 85 to 100 %, and the ratio at the mean over that.
    double mean = 0.0;
    for (int i = 0; i < 50; ++i) mean += as_read(at(0.8515 + 0.003 * i)) / 50.0;
    const Proof full = at(1.0);
    CHECK(near(*full.ratio, mean, relative(0.004)));
    CHECK(*full.ratio > as_read(full) * 1.03);
    CHECK(full.notes.has(Note::saturated_probe));
    // No step anywhere on the way there, least of all at 97 %.
    double last = *at(0.950).ratio;
    for (double rh = 0.952; rh < 1.0001; rh += 0.002) {
        const double next = *at(std::min(rh, 1.0)).ratio;
        CHECK(std::abs(next - last) < 0.013);
        last = next;
    }
}

TEST_CASE("a supply wetter than the return, beyond the probes' doubt, passes nothing (trap 10)") {
    Visit v = example_7();
    v.readings.return_humidity = air::relative_humidity(0.40);
    v.readings.supply_humidity = air::relative_humidity(0.97);
    v.outside = Outside::hold;
    PrintedPage wide = sharp_page();
    wide.entering_wet_bulb = {degF(55), degF(67)};
    v.limit = 0.5;
    const Proof p = prove(system(exact_basis(), wide), v);
    CHECK(p.delivered.latent_capacity.si < 0.0);
    if (p.ratio) {
        CHECK(p.notes.has(Note::wet_supply));
        CHECK(p.suspect == About::supply_relative_humidity);
        CHECK(p.outcome != Outcome::meets);
    }
}
