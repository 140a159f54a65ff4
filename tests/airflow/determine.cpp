// Airflow determined, each way by hand; tested against one another and combined.
#include "offnominal/airflow/determine.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "../support/near.hpp"
#include "offnominal/airflow/practice.hpp"
#include "offnominal/field/practice.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

/// Dry air of 0.075 lb/ft3 at 70 degF: standard and actual airflow are one.
FlowingAir standard_air(double density_u = 0.01) {
    const Temperature t = 70_degF;
    const double pressure = air::si::standard_density * air::si::volume(t.si, 0.0, 1e5) * 1e5;
    return {air::state(t, air::humidity_ratio(HumidityRatio{0.0}), Pressure{pressure}), density_u};
}
/// The air of the project's worked example 11.
FlowingAir thin_air(double density_u = 0.01) {
    return {air::state(76_degF, air::relative_humidity(0.55), air::pressure_at(5000_ft)), density_u};
}

template <Dimension D>
InstrumentReading<D> read(Quantity<D> value, double standard_si = 0.0, std::string instrument = {}) {
    InstrumentReading<D> out;
    out.value = value;
    out.standard.si = standard_si;
    out.instrument = std::move(instrument);
    return out;
}

double cfm(const DeterminedAirflow& d) { return in(d.airflow, units::scfm); }

/// Relative contribution of one source.
double effect(const DeterminedAirflow& d, std::string_view what) {
    for (const AirflowTerm& term : d.terms)
        if (term.what == what) return term.effect;
    return 0.0;
}

template <class Call>
std::string refusal(const Call& call) {
    try {
        (void)call();
    } catch (const Error& error) {
        return error.what();
    }
    return "no complaint";
}

BlowerTable blower_of_example_11(std::string includes, BlowerMotor motor = BlowerMotor::fixed_speed) {
    return BlowerTable(
        {{"low", 0.5_in_wc, 1130_cfm, 350_W}, {"low", 0.6_in_wc, 1075_cfm, 340_W}, {"low", 0.7_in_wc, 1010_cfm, 330_W}},
        {motor, std::move(includes), true});
}

BlowerReading at_tap(Pressure pressure, std::string includes = "wet coil, no filter") {
    BlowerReading r;
    r.tap = "low";
    r.external_static = read(pressure, 2.0, "manometer");
    r.includes = std::move(includes);
    return r;
}

TemperatureRise electric_heat() {
    TemperatureRise r;
    r.power = read(9800_W, 98.0);
    r.entering = read(70_degF, 0.2);
    r.leaving = read(100_degF, 0.3);
    return r;
}

Traverse traverse_of(std::initializer_list<double> in_wc) {
    Traverse r;
    for (const double p : in_wc) r.velocity_pressures.values.push_back(from(p, units::in_wc));
    r.velocity_pressures.standard.si = 0.0;
    r.width = read(20_in);
    r.height = read(12_in);
    return r;
}

}  // namespace

TEST_CASE("airflow by blower table: worked example 11") {
    const auto table = blower_of_example_11("wet coil, no filter");
    const DeterminedAirflow d = airflow_by(at_tap(0.52_in_wc), table, thin_air());
    CHECK(d.method == AirflowMethod::blower);
    CHECK(near(in(d.actual, units::cfm), 1050.0, absolute(0.5)));
    CHECK(near(cfm(d), 845.7, absolute(0.05)));
    REQUIRE(d.power);
    CHECK(near(d.power->si, 0.8153 * (340.0 - 0.378 * 10.0), relative(1e-3)));
    // By hand: 650 cfm per in. w.c. of entry, the static over sigma; 6 % of the table; density moves the entry too.
    CHECK(near(effect(d, "static"), -650.0 * 2.0 / units::in_wc.times / 0.8153 / 1050.4, relative(0.001)));
    CHECK(near(effect(d, "density"), 0.01 * (1.0 + 650.0 * 0.6378 / 1050.4), relative(0.01)));
    CHECK(near(d.u,
               std::sqrt(effect(d, "static") * effect(d, "static") + effect(d, "density") * effect(d, "density") +
                         0.06 * 0.06),
               relative(1e-12)));
    CHECK(d.notes.empty());
    // A motor under control: its answer to thin air is noted and costs.
    const auto other =
        airflow_by(at_tap(0.52_in_wc), blower_of_example_11("wet coil", BlowerMotor::constant_torque), thin_air());
    CHECK(other.notes.has(Note::blower_law_assumed));
    CHECK(near(effect(other, "motor in thin air"), (1.0 / std::sqrt(0.8153) - 1.0) / std::sqrt(3.0), relative(0.002)));
    CHECK(other.airflow == d.airflow);
}

TEST_CASE("static across another boundary than the table's takes the component's drop") {
    const auto table = blower_of_example_11("wet coil, no filter");
    const FlowingAir air = standard_air();
    const auto plain = airflow_by(at_tap(0.60_in_wc), table, air);
    CHECK(near(cfm(plain), 1075.0, relative(1e-12)));
    // The filter stood inside the taps, and the table leaves it out: its drop is the duct's, to the table. Added.
    BlowerReading with_filter = at_tap(0.50_in_wc, "filter, wet coil");
    CHECK(
        refusal([&] { return airflow_by(with_filter, table, air); }) ==
        "airflow by the blower table: static pressure read across another boundary than the table's: with the filter: "
        "'filter, wet coil'; accepted: drops: with that component's drop, or static across what the table includes");
    with_filter.drops = {{Component::filter, read(0.10_in_wc, 1.0, "manometer")}};
    const auto added = airflow_by(with_filter, table, air);
    CHECK(near(cfm(added), 1075.0, relative(1e-12)));
    // One manometer read both: half of the variance is in common, so they add by more than squares.
    const double a = effect(added, "static"), b = effect(added, "drop"), d = effect(added, "density");
    CHECK(near(added.u, std::sqrt(a * a + b * b + 2.0 * 0.5 * a * b + d * d + 0.06 * 0.06), relative(1e-12)));
    // The table has the wet coil in, the taps stood between fan and coil: subtracted.
    BlowerReading without_coil = at_tap(0.85_in_wc, "no coil, no filter");
    without_coil.drops = {{Component::wet_coil, read(0.25_in_wc)}};
    CHECK(near(cfm(airflow_by(without_coil, table, air)), 1075.0, relative(1e-12)));
    // Printed with a dry coil, run with a wet one: the difference of the two.
    BlowerReading wet = at_tap(0.55_in_wc, "wet coil");
    wet.drops = {{Component::wet_coil, read(0.25_in_wc)}, {Component::dry_coil, read(0.20_in_wc)}};
    CHECK(near(cfm(airflow_by(wet, blower_of_example_11("dry coil"), air)), 1075.0, relative(1e-12)));
    // A table that is silent about what the reading says is in.
    CHECK(refusal([&] { return airflow_by(with_filter, blower_of_example_11("wet coil"), air); }) ==
          "airflow by the blower table: the blower table does not say whether it includes the filter: 'wet coil'; "
          "accepted: includes of the table, such as wet coil, no filter");
    // A slip says nothing, and must not pass for something said; nor is a drop left out in silence.
    CHECK(refusal([&] {
              return airflow_by(at_tap(0.50_in_wc, "wet coil, fliter"), table, air);
          }).starts_with("airflow by the blower table: includes: no such component: 'fliter'; accepted: filter, "));
    with_filter.includes = "wet coil, no filter";
    CHECK(refusal([&] {
              return airflow_by(with_filter, table, air);
          }).starts_with("airflow by the blower table: a drop of the filter, which by `includes` stands on the same"));
    // Nothing said of the taps: as the table, noted, and dearer.
    const auto unsaid = airflow_by(at_tap(0.60_in_wc, ""), table, air);
    CHECK(unsaid.airflow == plain.airflow);
    CHECK(unsaid.notes.has(Note::static_boundary_assumed));
    CHECK(unsaid.u > plain.u);
}

TEST_CASE("an unknown tap lists the taps, a static past the table its bounds") {
    const auto table = blower_of_example_11("wet coil, no filter");
    BlowerReading r = at_tap(0.52_in_wc);
    r.tap = "medium";
    CHECK(refusal([&] { return airflow_by(r, table, standard_air()); }) ==
          "the blower's page has no such tap: 'medium'; accepted: low");
    CHECK(refusal([&] { return airflow_by(r, BlowerTable(), standard_air()); }) ==
          "the blower's page has no such tap: 'medium'; accepted: none, it has no blower table");
    CHECK(refusal([&] {
              return airflow_by(at_tap(0.65_in_wc), table, thin_air());
          }).find("external static pressure 0.65 in_wc") == 0);
    // The reading is inside, its uncertainty reaches past the edge: told from the side that has an answer.
    BlowerReading edge = at_tap(0.7_in_wc);
    CHECK(near(effect(airflow_by(edge, table, standard_air(0.0)), "static"), -650.0 * 2.0 / units::in_wc.times / 1010.0,
               relative(0.01)));
}

TEST_CASE("airflow by temperature rise") {
    // By hand: 9.8 kW over (1.006 kJ/kgK x 16.667 K) = 0.58449 kg/s of dry air, 1030.9 scfm. The trade's 3.412 W /
    // (1.08 x 30 degF) = 1032.0 cfm (common practice, no source).
    const DeterminedAirflow d = airflow_by(electric_heat(), standard_air());
    CHECK(near(d.mass_flow.si, 9800.0 / (1006.0 * 30.0 / 1.8), relative(1e-12)));
    CHECK(near(cfm(d), 3.412142 * 9800.0 / (1.08 * 30.0), relative(0.002)));
    CHECK(near(effect(d, "power"), 0.01, relative(1e-3)));
    CHECK(near(effect(d, "leaving"), -0.3 / (30.0 / 1.8), relative(0.001)));
    CHECK(near(effect(d, "entering"), 0.2 / (30.0 / 1.8), relative(0.001)));
    // A rise needs no density: mass is what heat warms.
    CHECK(airflow_by(electric_heat(), standard_air(0.05)).u == d.u);
    CHECK(near(cfm(airflow_by(electric_heat(), thin_air())), cfm(d) * 1006.0 / (1006.0 + 1860.0 * 0.01274),
               relative(0.001)));

    // One probe carried to both places: its errors partly cancel.
    TemperatureRise one_probe = electric_heat();
    one_probe.entering.standard.si = one_probe.leaving.standard.si = 0.3;
    const double two = airflow_by(one_probe, standard_air()).u;
    one_probe.entering.instrument = one_probe.leaving.instrument = "probe";
    CHECK(airflow_by(one_probe, standard_air()).u < two);

    // Fuel: 60,000 Btu/h at 80 % and 500 W of blower, 45 degF rise: (48000 + 1706) / (1.08 x 45) = 1022.8 cfm.
    TemperatureRise fuel;
    fuel.input = read(Power{units::Btu_h.to_si(60000.0)}, units::Btu_h.to_si(1200.0));
    fuel.efficiency = read(Ratio{0.8}, 0.02);
    fuel.power = read(500_W, 10.0);
    fuel.entering = read(68_degF, 0.2);
    fuel.leaving = read(113_degF, 0.5);
    const DeterminedAirflow by_fuel = airflow_by(fuel, standard_air());
    CHECK(near(cfm(by_fuel), 1022.8, relative(0.002)));
    CHECK(near(effect(by_fuel, "efficiency"), 0.02 / 0.8 * 48000.0 / 49706.0, relative(0.001)));
    fuel.power.value.si = std::numeric_limits<double>::quiet_NaN();
    CHECK(near(cfm(airflow_by(fuel, standard_air())), 48000.0 / (1.08 * 45.0), relative(0.002)));

    TemperatureRise none = electric_heat();
    none.leaving = none.entering;
    CHECK(refusal([&] { return airflow_by(none, standard_air()); }) ==
          "airflow by the temperature rise of known heat: the air leaves no warmer than it entered: '0 K'; accepted: a "
          "rise above zero; were the two probes exchanged?");
    none.leaving = read(60_degF, 0.2);
    CHECK(refusal([&] { return airflow_by(none, standard_air()); }).find("no warmer") != std::string::npos);
    fuel.efficiency.value.si = 80.0;
    CHECK(refusal([&] { return airflow_by(fuel, standard_air()); }).find("more heat than the fuel has") !=
          std::string::npos);
    CHECK(
        refusal([&] { return airflow_by(TemperatureRise(), standard_air()); }) ==
        "airflow by the temperature rise of known heat: power: not given, and there is no default; accepted: a number "
        "above zero");
}

TEST_CASE("airflow by traverse: velocities are averaged, not pressures") {
    // published/duct_traverse.yaml: 0.04, 0.10, 0.18, 0.12 in. w.c. have a mean velocity of 1288.5 fpm; the mean
    // pressure would say 1328.3. 4005 there is 1096.7 / sqrt(0.075) = 4004.6 to a hundredth of a percent.
    const DeterminedAirflow d = airflow_by(traverse_of({0.04, 0.10, 0.18, 0.12}), standard_air());
    const double area = 20.0 * 12.0 / 144.0;
    CHECK(near(in(d.actual, units::cfm), 1288.5 * area, relative(0.001)));
    CHECK(near(cfm(d), in(d.actual, units::cfm), relative(1e-12)));
    CHECK(near(effect(d, "density"), 0.005, relative(0.001)));  // mass goes with the root of density
    // In thin air the same pressures are faster air.
    CHECK(near(in(airflow_by(traverse_of({0.04, 0.10, 0.18, 0.12}), thin_air()).actual, units::cfm),
               1288.5 * area / std::sqrt(0.8153), relative(0.001)));

    Traverse round = traverse_of({0.1, 0.1});
    round.width = round.height = {};
    round.diameter = read(14_in, (14_in).si * 0.01);
    const DeterminedAirflow r = airflow_by(round, standard_air());
    CHECK(near(in(r.actual, units::cfm), 4004.6 * std::sqrt(0.1) * 3.14159265 * 49.0 / 144.0, relative(0.001)));
    CHECK(near(effect(r, "diameter"), 0.02, relative(0.001)));

    // A manometer that is off is off at every point: half of its share of the pressure.
    round.velocity_pressures.standard = 1_Pa;
    CHECK(near(effect(airflow_by(round, standard_air()), "velocity_pressures"), 0.5 / (0.1 * units::in_wc.times),
               relative(0.01)));

    CHECK(refusal([&] {
              return airflow_by(traverse_of({0.1, -0.01}), standard_air());
          }).find("below zero") != std::string::npos);
    CHECK(refusal([&] { return airflow_by(traverse_of({}), standard_air()); }).find("no velocity pressures") !=
          std::string::npos);
    CHECK(refusal([&] { return airflow_by(traverse_of({0.0}), standard_air()); }).find("shows a velocity") !=
          std::string::npos);
    Traverse both = traverse_of({0.1});
    both.diameter = read(14_in);
    CHECK(refusal([&] { return airflow_by(both, standard_air()); }).find("two shapes of duct") != std::string::npos);
}

TEST_CASE("points of a traverse (published/duct_traverse.yaml)") {
    const auto same = [](const std::vector<double>& points, std::initializer_list<double> published) {
        REQUIRE(points.size() == published.size());
        for (std::size_t i = 0; i < points.size(); ++i) CHECK(near(points[i], published.begin()[i], absolute(0.00051)));
    };
    const TraverseRule log = TraverseRule::log_tchebycheff;
    same(traverse_points(log, false, 5), {0.074, 0.288, 0.500, 0.712, 0.926});
    same(traverse_points(log, false, 6), {0.061, 0.235, 0.437, 0.563, 0.765, 0.939});
    same(traverse_points(log, false, 7), {0.053, 0.203, 0.366, 0.500, 0.634, 0.797, 0.947});
    same(traverse_points(log, true, 6), {0.032, 0.135, 0.321, 0.679, 0.865, 0.968});
    same(traverse_points(log, true, 8), {0.021, 0.117, 0.184, 0.345, 0.655, 0.816, 0.883, 0.979});
    same(traverse_points(log, true, 10), {0.019, 0.077, 0.153, 0.217, 0.361, 0.639, 0.783, 0.847, 0.923, 0.981});
    same(traverse_points(TraverseRule::equal_area, true, 10),
         {0.026, 0.082, 0.146, 0.226, 0.342, 0.658, 0.774, 0.854, 0.918, 0.974});
    same(traverse_points(TraverseRule::equal_area, false, 4), {0.125, 0.375, 0.625, 0.875});
    CHECK_THROWS_AS((void)traverse_points(log, false, 4), InputError);
    CHECK_THROWS_AS((void)traverse_points(log, true, 7), InputError);
    CHECK_THROWS_AS((void)traverse_points(TraverseRule::equal_area, true, 5), InputError);
    CHECK_THROWS_AS((void)traverse_points(TraverseRule::equal_area, false, 0), InputError);
}

TEST_CASE("airflow by calibrated plate, with its pressure correction") {
    // By hand: a plate of 1000 cfm at 0.16 in. w.c. shows 0.20; supply static 0.30 without it, 0.26 with it: 1000 x
    // sqrt(0.20 / 0.16) x sqrt(0.30 / 0.26) = 1200.96 cfm. (Method: common practice, no source.)
    FlowGrid r;
    r.rated = read(1000_cfm);
    r.rated_drop = read(0.16_in_wc);
    r.drop = read(0.20_in_wc, (0.20_in_wc).si * 0.02);
    r.static_without = read(0.30_in_wc, 0.0);
    r.static_with = read(0.26_in_wc, 0.0);
    const DeterminedAirflow d = airflow_by(r, standard_air());
    CHECK(near(cfm(d), 1200.96, relative(1e-5)));
    CHECK(near(effect(d, "drop"), 0.01, relative(0.001)));
    CHECK(near(effect(d, "density"), 0.005, relative(0.001)));
    r.static_without = r.static_with = {};  // it stays in
    CHECK(near(cfm(airflow_by(r, standard_air())), 1000.0 * std::sqrt(1.25), relative(1e-12)));
    CHECK(near(in(airflow_by(r, thin_air()).actual, units::cfm), 1000.0 * std::sqrt(1.25 / 0.8153), relative(0.001)));
    r.static_with = read(0.26_in_wc);
    CHECK(refusal([&] { return airflow_by(r, standard_air()); }).find("static_without: not given") !=
          std::string::npos);
    r.drop.value = Pressure{0.0};
    CHECK(refusal([&] { return airflow_by(r, standard_air()); }).find("drop: not above zero") != std::string::npos);
}

TEST_CASE("airflow by the drop of a coil or filter") {
    // By hand: 1200 cfm at 0.25 in. w.c.; 0.21 now: 1200 x 0.84^0.55 = 1090.3.
    KnownDrop r;
    r.known = read(1200_cfm);
    r.known_drop = read(0.25_in_wc);
    r.drop = read(0.21_in_wc, 0.0);
    const DeterminedAirflow d = airflow_by(r, standard_air());
    CHECK(near(cfm(d), 1200.0 * std::pow(0.84, 0.55), relative(1e-12)));
    CHECK(near(effect(d, "exponent"), 0.03 * std::log(0.84), relative(1e-4)));
    CHECK(near(effect(d, "density"), 0.45 * 0.01, relative(0.001)));
    r.exponent = read(Ratio{0.5}, 0.0);
    CHECK(near(cfm(airflow_by(r, standard_air())), 1200.0 * std::sqrt(0.84), relative(1e-12)));
    r.exponent = read(Ratio{2.0}, 0.0);
    CHECK(refusal([&] { return airflow_by(r, standard_air()); }).find("exponent of airflow over drop") !=
          std::string::npos);
}

TEST_CASE("airflow by hood, by condensate, and as shown") {
    Hood hood;
    hood.registers.values = {120_cfm, 95_cfm, 210_cfm};
    hood.registers.standard = from(4.0, units::cfm);
    const DeterminedAirflow by_hood = airflow_by(hood, standard_air());
    CHECK(near(cfm(by_hood), 425.0, relative(1e-12)));
    CHECK(near(effect(by_hood, "registers"), 12.0 / 425.0, relative(0.001)));  // off alike at each
    CHECK(refusal([] { return airflow_by(Hood(), standard_air()); }).find("no registers") != std::string::npos);

    // The project's worked example 2: 6.676 lb/h of condensate, W 0.01053 to 0.009161, 4893 lb/h of dry air.
    CondensateBalance water;
    water.water = read(from(6.676, units::lb_h), units::lb_h.to_si(0.2));
    water.entering = read(HumidityRatio{0.01053}, 1e-4);
    water.leaving = read(HumidityRatio{0.009161}, 1e-4);
    const DeterminedAirflow by_water = airflow_by(water, standard_air());
    CHECK(near(in(by_water.mass_flow, units::lb_h), 4893.0, relative(0.005)));
    CHECK(near(effect(by_water, "entering"), -1e-4 / (0.01053 - 0.009161), relative(0.01)));
    water.leaving.value.si = 0.0106;
    CHECK(refusal([&] { return airflow_by(water, standard_air()); }).find("no drier") != std::string::npos);

    AirflowShown shown;
    shown.value = read(1050_cfm, units::cfm.to_si(35.0), "grid");
    CHECK(near(in(airflow_by(shown, thin_air()).airflow, units::scfm), 845.3, absolute(0.3)));
    shown.standard = true;
    CHECK(near(cfm(airflow_by(shown, thin_air())), 1050.0, relative(1e-12)));
    CHECK(near(airflow_by(shown, thin_air()).u, 35.0 / 1050.0, relative(1e-9)));
    shown.value.standard.si = std::numeric_limits<double>::quiet_NaN();  // a poor instrument's, and said
    const DeterminedAirflow unsaid = airflow_by(shown, thin_air());
    CHECK(near(unsaid.u, 0.1, relative(1e-9)));
    CHECK(unsaid.notes.has(Note::uncertainty_missing));
}

TEST_CASE("absurd readings, of which no number would come") {
    const auto shown = [](double value, double standard, std::optional<double> in_common = std::nullopt) {
        AirflowShown r{.value = read(Airflow{value}, standard, "one")};
        r.value.shared = in_common;
        return refusal([&] { return airflow_by(r, standard_air()); });
    };
    CHECK(shown(0.5, 0.01) == "no complaint");
    CHECK(shown(1e300, 1.0).find("more than any duct carries") != std::string::npos);
    CHECK(shown(1e-300, 1e-290).find("value is too uncertain") != std::string::npos);
    CHECK(shown(0.5, 0.01, 1.5).find("value: the share of its variance in common") != std::string::npos);
    CHECK(shown(0.5, 0.01, std::nan("")).find("accepted: 0 to 1") != std::string::npos);
}

namespace {

DeterminedAirflow way(double cfm, std::vector<AirflowTerm> terms) {
    DeterminedAirflow out;
    out.airflow = from(cfm, units::scfm);
    out.mass_flow = air::dry_mass_flow(out.airflow);
    double sum = 0.0;
    for (const AirflowTerm& term : terms) sum += term.effect * term.effect;
    out.u = std::sqrt(sum);
    out.terms = std::move(terms);
    return out;
}

}  // namespace

TEST_CASE("two ways are combined by inverse variance") {
    // By hand, in logarithms: weights 1/0.03^2 and 1/0.06^2 are 4 to 1.
    const std::vector ways{way(1000.0, {{"a", 0.03, "", 0.0}}), way(1050.0, {{"b", 0.06, "", 0.0}})};
    const CombinedAirflow c = combined(ways);
    CHECK(near(c.weights[0], 0.8, relative(1e-12)));
    CHECK(near(in(c.airflow, units::scfm), 1000.0 * std::pow(1.05, 0.2), relative(1e-12)));
    CHECK(near(c.u, 1.0 / std::sqrt(1.0 / 0.0009 + 1.0 / 0.0036), relative(1e-12)));
    CHECK(near(c.chi_squared, std::log(1.05) * std::log(1.05) / (0.0009 + 0.0036), relative(1e-12)));
    // One degree of freedom: the chance is that of a normal deviate, 0.7273 standard deviations here.
    CHECK(near(c.chance, std::erfc(std::sqrt(c.chi_squared / 2.0)), relative(1e-9)));
    CHECK(c.agree);
    CHECK(combined(std::span{ways}.first(1)).airflow == ways[0].airflow);
    CHECK_THROWS_AS((void)combined(std::span<const DeterminedAirflow>{}), InputError);
    // Exact to what no number holds: their weights would be infinite.
    CHECK_THROWS_AS(
        (void)combined(std::vector{way(1000.0, {{"a", 1e-155, "", 0.0}}), way(1050.0, {{"b", 1e-155, "", 0.0}})}),
        InputError);
}

TEST_CASE("what two ways share does not average away, nor count as disagreement") {
    const auto pair = [](const char* first, const char* second) {
        return std::vector{way(1000.0, {{"own", 0.03, "", 0.0}, {"density", 0.05, first, 1.0}}),
                           way(1010.0, {{"own", 0.03, "", 0.0}, {"density", 0.05, second, 1.0}})};
    };
    const CombinedAirflow apart = combined(pair("d1", "d2")), shared = combined(pair("density", "density"));
    CHECK(near(apart.u, std::hypot(0.03, 0.05) / std::sqrt(2.0), relative(1e-12)));
    CHECK(near(shared.u, std::hypot(0.03 / std::sqrt(2.0), 0.05), relative(1e-9)));  // by hand: 0.05 stays whole
    CHECK(near(shared.chi_squared, std::log(1.01) * std::log(1.01) / (2.0 * 0.0009), relative(1e-9)));
    // Two that share everything are one.
    CHECK_THROWS_AS(
        (void)combined(std::vector{way(1000.0, {{"m", 0.05, "m", 1.0}}), way(1000.0, {{"m", 0.05, "m", 1.0}})}),
        InputError);
}

TEST_CASE("disagreement is said, never averaged away") {
    const std::vector ways{way(1000.0, {{"a", 0.02, "", 0.0}}), way(1010.0, {{"b", 0.03, "", 0.0}}),
                           way(1400.0, {{"c", 0.03, "", 0.0}})};
    const CombinedAirflow c = combined(ways);
    CHECK_FALSE(c.agree);
    CHECK(c.chance < 0.001);
    CHECK(c.farthest == 2);
    CHECK(c.notes.has(Note::airflows_disagree));
    CHECK(c.degrees == 2);
    const double inner = 1.0 / std::sqrt(1.0 / 0.0004 + 2.0 / 0.0009);
    CHECK(near(c.u, inner * std::sqrt(c.chi_squared / 2.0), relative(1e-9)));
}
