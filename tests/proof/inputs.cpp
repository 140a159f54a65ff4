// What the inputs of a proof are worth: weather, probes side by side, unlike boundaries, impossible readings.
#include <doctest/doctest.h>

#include <algorithm>

#include "../support/example_7.hpp"
#include "../support/near.hpp"
#include "offnominal/proof/settle.hpp"

using namespace unit_a;

TEST_CASE("an elevation alone leaves the weather in the pressure: 1 percent, by hand") {
    Visit v = example_7();
    const Proof barometer = prove(exact_page(), v);
    CHECK(line_of(barometer, Input::pressure).standard == 1e-6);
    CHECK_FALSE(barometer.notes.has(Note::uncertainty_missing));
    CHECK_FALSE(barometer.notes.has(Note::weather_in_pressure));
    v.site = Site::sea_level();
    v.of(Input::pressure).standard = 0.0;
    const Proof weather = prove(exact_page(), v);
    CHECK(weather.notes.has(Note::weather_in_pressure));
    const BudgetLine& line = line_of(weather, Input::pressure);
    CHECK(near(line.standard, 1013.25, relative(1e-6)));
    // 1 % of pressure is 1 % of the air's mass, less what it takes from the humidity ratio: sensible +1 %, latent 0.
    CHECK(near(line.delivered, 0.01 * 22.45 / 29.76, relative(0.01)));
    CHECK(near(by_inputs(weather), std::hypot(by_inputs(barometer), line.ratio), relative(1e-9)));
    v.of(Input::pressure).standard = 200.0;  // what the visit states goes first
    CHECK(line_of(prove(exact_page(), v), Input::pressure).standard == 200.0);
}

TEST_CASE("an expired calibration widens what its instrument states, and only that") {
    Visit v = example_7();
    v.date = "2026-06-01";
    for (const Input i : {Input::return_dry_bulb, Input::return_humidity}) v.of(i).instrument = "return probe";
    v.of(Input::supply_dry_bulb).instrument = "supply probe";
    const Proof fresh = prove(exact_page(), v);
    v.instruments = {{"return probe", {}, {}, Calibration{"2025-06-01", 12}}, {"supply probe", {}, {}}};
    CHECK(prove(exact_page(), v).ratio_u == fresh.ratio_u);  // the last day on which it holds
    CHECK_FALSE(prove(exact_page(), v).notes.has(Note::calibration_expired));
    v.date = "2029-06-01";  // four years, of which one was good
    const Proof expired = prove(exact_page(), v);
    CHECK(expired.notes.has(Note::calibration_expired));
    for (const Input i : {Input::return_dry_bulb, Input::return_humidity})
        CHECK(near(line_of(expired, i).standard, 2.0 * line_of(fresh, i).standard, relative(1e-3)));
    for (const Input i : {Input::supply_dry_bulb, Input::airflow})
        CHECK(line_of(expired, i).standard == line_of(fresh, i).standard);
    CHECK(expired.ratio_u > fresh.ratio_u);
    v.date = "2025-05-01";
    CHECK_THROWS_WITH_AS((void)prove(exact_page(), v), doctest::Contains("calibrated after the visit"), InputError);

    // So it does where the instrument read one way to an airflow.
    v = example_7();
    v.date = "2029-06-01";
    AirflowShown shown;
    shown.value.value =
        v.readings.airflow.kind == AirflowReading::Kind::actual ? Airflow{v.readings.airflow.si} : 500_L_s;
    shown.value.standard.si = v.of(Input::airflow).standard;
    shown.value.instrument = "flow grid";
    v.airflow_by = {{shown, air::Place::return_air}};
    v.instruments = {{"flow grid", {}, {}}};
    const double before = line_of(prove(exact_page(), v), Input::airflow).ratio;
    v.instruments[0].calibration = Calibration{"2025-06-01", 12};
    CHECK(near(line_of(prove(exact_page(), v), Input::airflow).ratio, 2.0 * before, relative(0.01)));
}

TEST_CASE("what readings scatter by joins what their instrument is good for, by Student's t") {
    Visit v = example_7();
    const double own = v.of(Input::return_dry_bulb).standard;
    v.of(Input::return_dry_bulb).scatter = {0.1, std::numeric_limits<double>::infinity()};
    CHECK(
        near(line_of(prove(exact_page(), v), Input::return_dry_bulb).standard, std::hypot(own, 0.1), relative(1e-12)));
    v.of(Input::return_dry_bulb).scatter = {0.1,
                                            4.0};  // t of 95 % for 4 degrees of freedom: 2.776 (JCGM 100, table G.2)
    const Proof few = prove(exact_page(), v);
    CHECK(near(line_of(few, Input::return_dry_bulb).standard, std::hypot(own, 0.1 * 2.776 / 1.960), relative(2e-4)));
    // A longer window would mend it, unasked: the visit says it.
    const auto told = settle(v, few);
    CHECK(std::ranges::any_of(told, [](const Settling& one) { return one.remedy == Remedy::longer_window; }));
    v.of(Input::return_dry_bulb).scatter = {-0.1, 4.0};
    CHECK_THROWS_AS((void)prove(exact_page(), v), InputError);
}

TEST_CASE("probes that were compared side by side share an error as far as the visit says") {
    Visit v = example_7();
    for (const Input i : {Input::return_dry_bulb, Input::return_humidity}) v.of(i).instrument = "return probe";
    for (const Input i : {Input::supply_dry_bulb, Input::supply_humidity}) v.of(i).instrument = "supply probe";
    v.of(Input::outdoor_dry_bulb).instrument = "outdoor probe";
    const Proof apart = prove(exact_page(), v);
    CHECK(apart.ratio_u == prove(exact_page(), example_7()).ratio_u);
    const auto c = [&](Input i) { return line_of(apart, i).ratio; };
    const double own = apart.ratio_u * apart.ratio_u / (*apart.ratio * *apart.ratio);
    for (const double r : {0.5, 1.0}) {
        v.side_by_side = {{"supply probe", "return probe", r}};
        const Proof p = prove(exact_page(), v);
        const double shared = 2 * r *
                              (c(Input::return_dry_bulb) * c(Input::supply_dry_bulb) +
                               c(Input::return_humidity) * c(Input::supply_humidity));
        CHECK(shared < 0);
        CHECK(near(p.ratio_u / *p.ratio, std::sqrt(own + shared), relative(0.02)));
    }
    // Different measures of humidity share nothing.
    v.readings.supply_humidity = air::wet_bulb(Temperature{units::degF.to_si(55.8)});
    v.of(Input::supply_humidity).standard = 0.1;
    const Proof unlike = prove(exact_page(), v);
    double squares = 2 * line_of(unlike, Input::return_dry_bulb).ratio * line_of(unlike, Input::supply_dry_bulb).ratio;
    for (const BudgetLine& line : unlike.budget) squares += line.ratio * line.ratio;
    CHECK(near(unlike.ratio_u / *unlike.ratio, std::sqrt(squares), relative(0.02)));
    v.side_by_side[0].correlation = 1.5;
    CHECK_THROWS_AS((void)prove(exact_page(), v), InputError);
}

TEST_CASE("net and gross: both sides at the visit's boundary, once, and never unlike (trap 23)") {
    // The same machine printed net, with a fan of 420 W at 1100 scfm.
    Basis net = exact_basis();
    net.capacity = CapacityBasis::net;
    net.fan.power = 420_W;
    PrintedPage net_page = sharp_page();
    for (PrintedNode& node : net_page.nodes) node.total -= 420.0, node.sensible -= 420.0;
    const System gross = exact_page(), printed_net = system(net, net_page);

    Visit v = example_7();
    const Proof a = prove(gross, v), b = prove(printed_net, v);
    CHECK(near(b.expected->total_capacity.si, a.expected->total_capacity.si, relative(1e-12)));
    v.boundary = Boundary::coil;  // the same readings as if the fan stood outside the probes: gross on both sides
    const Proof coil = prove(gross, v), coil_of_net = prove(printed_net, v);
    CHECK(near(coil.expected->total_capacity.si, a.expected->total_capacity.si + 420.0, relative(1e-12)));
    CHECK(near(coil_of_net.expected->total_capacity.si, coil.expected->total_capacity.si, relative(1e-12)));
    CHECK(coil.expected->boundary == Boundary::coil);

    Basis unknown = exact_basis();
    unknown.capacity = CapacityBasis::unknown;
    const Proof none = prove(system(unknown, sharp_page()), example_7());
    CHECK(none.outcome == Outcome::not_comparable);
    CHECK(none.reason.why == Why::basis_unknown);
    CHECK_FALSE(none.ratio);
}

TEST_CASE("supply hotter than return, or probes swapped: wrong mode, whatever the page says (traps 25, 26)") {
    Visit v = example_7();
    v.readings.supply_dry_bulb = 95_degF;  // heating
    v.readings.supply_humidity = air::relative_humidity(0.3);
    Proof p = prove(exact_page(), v);
    CHECK(p.reason.why == Why::wrong_mode);
    CHECK(p.delivered.total_capacity.si < 0);
    CHECK(p.notes.has(Note::negative_capacity));
    v = example_7();
    std::swap(v.readings.return_dry_bulb, v.readings.supply_dry_bulb);
    std::swap(v.readings.return_humidity, v.readings.supply_humidity);
    p = prove(exact_page(), v);  // 57 degF entering is off the page too, but that is not the news
    CHECK(p.reason.why == Why::wrong_mode);
    CHECK(p.notes.has(Note::negative_latent));
    CHECK_FALSE(p.expected);
}

TEST_CASE("a ratio above 1.10 is implausible only where it surely is (trap 42)") {
    Visit v = example_7();
    v.readings.supply_dry_bulb = 55_degF;
    const Proof doubtful = prove(exact_page(), v);
    CHECK(*doubtful.ratio > 1.10);
    CHECK(doubtful.outcome == Outcome::meets);
    for (Uncertain& u : v.uncertainty) u.standard *= 0.05;
    CHECK(prove(exact_page(), v).outcome == Outcome::implausible);
}
