// Measured power beside the page's, which stage ran, and compressors of variable speed.
#include <doctest/doctest.h>

#include "../support/example_7.hpp"
#include "../support/near.hpp"
#include "offnominal/report.hpp"

using namespace unit_a;

namespace {

/// Example 7 with a power measured to 1 %.
Visit with_power(Power value, PowerBasis of = PowerBasis::outdoor_unit) {
    Visit v = example_7();
    v.power = PowerReading{of, value};
    v.of(Input::power).standard = 0.01 * value.si;
    return v;
}

System of_power(PowerBasis power) {
    Basis b = exact_basis();
    b.power = power;
    return system(b, sharp_page());
}

/// Unit A with a low stage: 0.6 of the capacity for 0.55 of the power. Speeds only where it is not staged.
System two_stages(Modulation modulation) {
    PrintedPage low = sharp_page();
    for (PrintedNode& node : low.nodes) node.total *= 0.6, node.sensible *= 0.6, node.power *= 0.55;
    SystemParts parts;
    parts.name = "Unit A with a low stage, invented";
    parts.cooling.push_back({"full", RatingTable(exact_basis(), sharp_page())});
    parts.cooling.push_back({"low", RatingTable(exact_basis(), std::move(low))});
    parts.modulation = modulation;
    if (modulation != Modulation::staged) {
        parts.speed_unit = units::Hz;
        parts.cooling[0].speed = 60.0;
        parts.cooling[1].speed = 30.0;
    }
    return System(std::move(parts));
}

/// What the page prints at 91 degF and this wet bulb: it is linear there, and the same at both airflows.
double page_power(const Proof& p) {
    return 2364.0 + 10.0 * (in(air::wet_bulb(p.delivered.return_air), units::degF) - 63.0);
}

}  // namespace

TEST_CASE("power and efficiency stand beside the page's, uncertainties by hand") {
    const Proof p = prove(exact_page(), with_power(2400_W));
    REQUIRE(p.power);
    CHECK(p.no_power.none());
    CHECK(p.power->measured == 2400.0);
    CHECK(near(p.power->expected, page_power(p), relative(1e-9)));
    CHECK(near(p.power->ratio, 2400.0 / page_power(p), relative(1e-9)));
    // 29 W per degF of outdoor air, 10 W per degF of entering wet bulb.
    CHECK(near(line_of(p, Input::outdoor_dry_bulb).power_ratio, -0.5 * 29.0 / page_power(p), relative(0.001)));
    CHECK(near(line_of(p, Input::power).power_ratio, 0.01, relative(1e-12)));
    CHECK(line_of(p, Input::airflow).power_ratio == 0.0);
    CHECK(line_of(p, Input::supply_dry_bulb).power_ratio == 0.0);
    // Besides, nobody knows where this fan stands: what the page's own number costs, power bears as total does.
    const double fan = p.expected->uncertainty.inferred / p.expected->total_capacity.si;
    CHECK(near(fan, 0.0054, absolute(0.0003)));
    double power = fan * fan, efficiency = 0;
    for (const BudgetLine& line : p.budget) {
        power += line.power_ratio * line.power_ratio;
        efficiency += (line.ratio - line.power_ratio) * (line.ratio - line.power_ratio);
    }
    CHECK(near(p.power->ratio_u, p.power->ratio * std::sqrt(power), relative(1e-12)));
    CHECK(p.power->ratio_u95 == 2 * p.power->ratio_u);
    CHECK(near(p.power->ratio_u / p.power->ratio, std::hypot(0.01, 0.0061, std::hypot(0.0014, fan)), relative(0.03)));
    CHECK(near(p.efficiency->ratio, as_read(p) / p.power->ratio, relative(1e-12)));
    CHECK(near(p.efficiency->ratio_u, p.efficiency->ratio * std::hypot(std::sqrt(efficiency), p.expected_u, fan),
               relative(1e-4)));
    // What the page does not print to the last watt, and no stated uncertainty, make it worse.
    CHECK(prove(system(exact_basis(), page()), with_power(2400_W)).power->ratio_u > p.power->ratio_u);
    // The capacity's own proof is not touched by a power.
    CHECK(near(p.ratio_u, prove(exact_page(), example_7()).ratio_u, relative(0.01)));
    CHECK(line_of(p, Input::power).share == 0.0);
}

TEST_CASE("example 1's system power and EER: 2.804 kW, 11.60 Btu/Wh") {
    Visit v = with_power(2804_W, PowerBasis::system);
    v.readings.return_humidity = air::wet_bulb(65_degF);
    v.readings.airflow = AirflowReading::standard(1100_cfm);
    const Proof p = prove(exact_page(), v);
    CHECK(near(p.power->expected, 2804, relative(0.0005)));
    CHECK(near(units::Btu_Wh.from_si(p.efficiency->expected), 11.60, relative(0.0005)));
}

TEST_CASE("an airflow read wrong is named where power and the coil's tie are a sound machine's") {
    // Sound readings on Unit A: the expected net total and its split, then the airflow misread.
    PrintedPage wide = sharp_page();
    wide.airflow = {Airflow(700_cfm).si, Airflow(1500_cfm).si};
    const System page = system(exact_basis(), wide);
    const auto read = [&](double times, double power) {
        Visit v = with_power(2400_W);
        const Proof sound = prove(page, v);
        const auto& leaving = *sound.expected->leaving;
        v.readings.supply_dry_bulb = leaving.dry_bulb;
        v.readings.supply_humidity = air::relative_humidity(leaving.relative_humidity);
        for (const Input i :
             {Input::return_dry_bulb, Input::return_humidity, Input::supply_dry_bulb, Input::supply_humidity})
            v.of(i).standard *= 0.3;
        v.power->value.si = power * sound.power->expected;
        v.of(Input::power).standard = 0.003 * v.power->value.si;
        v.readings.airflow.si *= times;
        v.of(Input::airflow).standard *= times;
        return prove(page, v);
    };
    CHECK_FALSE(read(1.0, 1.0).notes.has(Note::airflow_suspect));
    CHECK_FALSE(read(1.05, 1.0).notes.has(Note::airflow_suspect));
    CHECK(read(1.24, 1.0).notes.has(Note::airflow_suspect));
    const Proof low = read(0.79, 1.0);
    CHECK(low.suspect == About::airflow);
    CHECK(low.outcome != Outcome::falls_short);
    CHECK_FALSE(read(0.79, 0.90).notes.has(Note::airflow_suspect));
}

TEST_CASE("unlike powers are not compared, nor are efficiencies (trap 24)") {
    const auto why = [](PowerBasis page, PowerBasis meter, Boundary boundary = Boundary::coil_and_fan) {
        Visit v = with_power(2400_W, meter);
        v.boundary = boundary;
        const Proof p = prove(of_power(page), v);
        CHECK(p.ratio);
        CHECK(p.power.has_value() == p.no_power.none());
        CHECK(p.efficiency.has_value() == p.power.has_value());
        if (!p.no_power.none()) CHECK(p.no_power.about == About::power);
        return p.no_power.why;
    };
    using Of = PowerBasis;
    CHECK(why(Of::outdoor_unit, Of::outdoor_unit) == Why::none);
    CHECK(why(Of::outdoor_unit, Of::system) == Why::none);  // with the indoor fan of the boundary
    CHECK(why(Of::outdoor_unit, Of::system, Boundary::coil) == Why::unlike_basis);
    CHECK(why(Of::outdoor_unit, Of::compressor) == Why::unlike_basis);
    CHECK(why(Of::compressor, Of::compressor) == Why::none);
    CHECK(why(Of::compressor, Of::outdoor_unit) == Why::unlike_basis);
    CHECK(why(Of::compressor, Of::system) == Why::unlike_basis);
    CHECK(why(Of::system, Of::system) == Why::none);
    CHECK(why(Of::system, Of::outdoor_unit) == Why::unlike_basis);
    CHECK(why(Of::unknown, Of::outdoor_unit) == Why::basis_unknown);

    CHECK(prove(exact_page(), example_7()).no_power.why == Why::not_given);
    PrintedPage bare = sharp_page();
    bare.has_power = false;
    CHECK(prove(system(exact_basis(), bare), with_power(2400_W)).no_power.why == Why::no_output);
    Visit v = with_power(2400_W);
    v.steady = false;
    CHECK(prove(exact_page(), v).no_power.why == Why::not_steady);
    CHECK_THROWS_AS((void)prove(exact_page(), with_power(2400_W, PowerBasis::unknown)), InputError);
    CHECK_THROWS_AS((void)prove(exact_page(), with_power(0_W)), InputError);
    CHECK_THROWS_AS((void)prove(exact_page(), with_power(Power{4e-322})), InputError);  // over it a capacity overflows
    CHECK_THROWS_AS((void)prove(exact_page(), with_power(0.99_W)), InputError);
    CHECK_NOTHROW((void)prove(exact_page(), with_power(1_W)));
}

TEST_CASE("another stage is tried on total and sensible where no power was read (trap 13)") {
    const System s = two_stages(Modulation::staged);
    Visit v = example_7();
    v.stage = "low";
    v.outside = Outside::hold;
    const Proof low = prove(s, v);  // the full stage's readings
    CHECK(low.notes.has(Note::other_stage));
    CHECK(low.suspect == About::stage);
    CHECK(low.outcome != Outcome::meets);
    v.stage = "full";
    CHECK_FALSE(prove(s, v).notes.has(Note::other_stage));
}

TEST_CASE("the verdict itself says that nobody told whether it ran steadily") {
    Visit v = example_7();
    const auto verdict = [&] { return proof_texts(v, prove(exact_page(), v), UnitSystem::IP).verdict; };
    CHECK(verdict().find("steadily") == std::string::npos);
    v.steady.reset();
    CHECK(verdict().find("\n  but: nobody says that it ran steadily (steady: true, or running: 25 min)") !=
          std::string::npos);
    v.running = Duration{1500.0};
    CHECK(verdict().find("steadily") == std::string::npos);
}

TEST_CASE("the report says power and efficiency, or why not") {
    const auto told = [](const System& s, const Visit& v, UnitSystem units) {
        return report(s, v, prove(s, v), units);
    };
    const std::string ip = told(exact_page(), with_power(2400_W), UnitSystem::IP);
    CHECK(ip.find("  power of the outdoor unit 2400 W measured, 2382 W expected: ratio 1.008 +- 0.026\n") !=
          std::string::npos);
    CHECK(ip.find("  efficiency 12.41 Btu/Wh measured, 13.57 Btu/Wh expected: ratio 0.914 +- ") != std::string::npos);
    CHECK(told(exact_page(), with_power(2400_W), UnitSystem::SI).find("efficiency 3.64 W/W measured") !=
          std::string::npos);
    const std::string unlike = told(of_power(PowerBasis::compressor), with_power(2400_W), UnitSystem::IP);
    CHECK(unlike.find("  power 2400 W measured of the outdoor unit, not compared: power: the two do not include the "
                      "same things (the page's is of the compressor); nor is the efficiency\n") != std::string::npos);
    CHECK(told(of_power(PowerBasis::unknown), with_power(2400_W), UnitSystem::IP)
              .find("not compared: the page does not say what its power includes") != std::string::npos);
    CHECK(told(exact_page(), example_7(), UnitSystem::IP).find("efficiency") == std::string::npos);
}

TEST_CASE("a power that fits another stage much better is said to (trap 13)") {
    const System s = two_stages(Modulation::staged);
    const auto proof_at = [&](double watts, const char* stage) {
        Visit v = with_power(Power{watts});
        v.stage = stage;
        return prove(s, v);
    };
    const Proof mixed = proof_at(0.57 * 2382, "full");
    CHECK(mixed.notes.has(Note::other_stage));
    REQUIRE(mixed.nearest.size() == 2);
    CHECK(s.parts().cooling[static_cast<std::size_t>(mixed.nearest[0].stage)].name == "low");
    CHECK(near(*mixed.nearest[0].power_ratio, 0.57 / 0.55, relative(1e-5)));
    CHECK(near(*mixed.nearest[1].power_ratio, 0.57, relative(1e-5)));
    CHECK(*mixed.nearest[1].ratio == as_read(mixed));
    CHECK(mixed.suspect == About::stage);
    CHECK(proof_at(2382, "low").notes.has(Note::other_stage));
    // A dirty outdoor coil takes 20 % more: no other stage. Nor does a power of nothing known.
    CHECK_FALSE(proof_at(1.2 * 2382, "full").notes.has(Note::other_stage));
    CHECK_FALSE(proof_at(1.2 * 0.55 * 2382, "low").notes.has(Note::other_stage));
    CHECK(proof_at(2382, "full").nearest.empty());
    // The page may have no answer at this airflow, and the power still tells.
    Visit v = with_power(Power{0.55 * 2382});
    v.readings.airflow.si *= 0.85;
    const Proof outside = prove(s, v);
    CHECK(outside.reason.why == Why::outside);
    CHECK(outside.notes.has(Note::other_stage));
    CHECK(outside.nearest[0].reason.why == Why::outside);
    CHECK_FALSE(outside.nearest[0].ratio);
    CHECK(report(s, v, outside, UnitSystem::IP).find("which one ran?") != std::string::npos);
}

TEST_CASE("a compressor whose speed was not held passes nothing and fails nothing (trap 18)") {
    for (const Modulation modulation : {Modulation::variable, Modulation::continuous}) {
        const System s = two_stages(modulation);
        Visit v = with_power(1340_W);
        v.speed_held = false;
        for (const char* stage : {"full", "low", ""}) {  // whoever knows that none was held need not name one
            v.stage = stage;
            const Proof p = prove(s, v);
            CHECK(p.outcome == Outcome::not_comparable);
            CHECK(p.reason.why == Why::speed_not_held);
            CHECK(p.no_power.why == Why::speed_not_held);
            CHECK_FALSE(p.ratio);
            REQUIRE(p.nearest.size() == 2);
            CHECK(p.nearest[0].stage == 1);
            CHECK(near(*p.nearest[0].power_ratio, 1340 / (0.55 * 2382), relative(1e-5)));
            CHECK(*p.nearest[1].ratio == as_read(prove(exact_page(), example_7())));
            const std::string told = report(s, v, p, UnitSystem::IP);
            CHECK(told.find("use the maker's test mode") != std::string::npos);
            CHECK(told.find("    low (30 Hz): total 1.") != std::string::npos);
        }
        v = example_7();
        for (Uncertain& u : v.uncertainty) u.standard *= 0.01;
        v.speed_held = true;
        CHECK(prove(s, v).outcome == Outcome::meets);
        CHECK(prove(s, v).nearest.empty());
        v.speed_held.reset();  // not said: at most undecided
        for (const double limit : {0.8, 1.1}) {
            v.limit = limit;
            const Proof p = prove(s, v);
            CHECK(p.outcome == Outcome::undecided);
            CHECK(p.ratio);
            CHECK(p.notes.has(Note::speed_unknown));
            CHECK(p.nearest.size() == 2);
            CHECK(report(s, v, p, UnitSystem::SI).find("next: hold the compressor") != std::string::npos);
        }
    }
    const System staged = two_stages(Modulation::staged);  // nothing changes there
    Visit v = example_7();
    v.speed_held = false;
    v.speed = Speed{60.0, units::Hz};
    const Proof p = prove(staged, v);
    CHECK(*p.ratio == *prove(exact_page(), example_7()).ratio);
    CHECK_FALSE(p.notes.has(Note::speed_unknown));
}

TEST_CASE("a sound machine that ran at another speed than said does not fall short, one that lost capacity does") {
    const System continuous = two_stages(Modulation::continuous);
    const auto read_at = [&](double speed, double share) {
        Visit v = with_power(2400_W);
        v.speed_held = true;
        v.stage.clear();
        v.speed = Speed{speed, units::Hz};
        const Proof sound = prove(continuous, v);
        const air::State& in = sound.delivered.return_air;
        const auto& leaving = *sound.expected->leaving;
        const double w = in.humidity_ratio.si + share * (leaving.humidity_ratio.si - in.humidity_ratio.si);
        v.readings.supply_dry_bulb.si = in.dry_bulb.si + share * (leaving.dry_bulb.si - in.dry_bulb.si);
        v.readings.supply_humidity = air::humidity_ratio(HumidityRatio{w});
        v.power->value.si = sound.power->expected;
        for (const Input i : {Input::return_dry_bulb, Input::return_humidity, Input::supply_dry_bulb})
            v.of(i).standard *= 0.3;
        v.of(Input::supply_humidity) = {0.01 * w, {}, {}, Shape::normal};
        v.of(Input::airflow).standard *= 0.5;
        v.of(Input::power).standard = 0.01 * v.power->value.si;
        v.limit = 0.95;
        return v;
    };
    for (const double ran : {38.0, 42.0, 45.0, 48.0}) {
        CAPTURE(ran);
        for (const bool power : {true, false}) {
            Visit v = read_at(ran, 1.0);
            if (!power) v.power.reset();
            CHECK(near(*prove(continuous, v).ratio, 1.0, absolute(0.02)));
            v.speed.reset();
            v.stage = "full";
            const Proof p = prove(continuous, v);
            CHECK(*p.ratio < 0.93);
            CHECK(p.outcome != Outcome::falls_short);
            CHECK(p.notes.has(Note::other_stage));
            CHECK(p.suspect == About::stage);
            v.stage.clear();
            v.speed = Speed{58.0, units::Hz};
            CHECK(prove(continuous, v).outcome != Outcome::falls_short);
        }
    }
    Visit weak = read_at(60.0, 0.75);
    weak.speed.reset();
    weak.stage = "full";
    CHECK(prove(continuous, weak).outcome == Outcome::falls_short);
}

TEST_CASE("a speed selects the page, where the maker lets it (trap 17)") {
    const System continuous = two_stages(Modulation::continuous), variable = two_stages(Modulation::variable);
    Visit v = example_7();
    v.speed_held = true;
    const double full = prove(continuous, v).expected->total_capacity.si;
    v.stage = "low";
    const double low = prove(continuous, v).expected->total_capacity.si;
    v.stage.clear();
    v.speed = Speed{40.0, units::Hz};
    const Proof between = prove(continuous, v);
    CHECK(near(between.expected->total_capacity.si, low + (full - low) / 3, relative(1e-9)));
    CHECK(between.notes.has(Note::between_speeds));
    v.stage = "full";  // where both are said the actual speed counts
    CHECK(*prove(continuous, v).ratio == *between.ratio);

    const Proof off = prove(variable, v);  // 40 Hz is not the 60 Hz of 'full'
    CHECK(off.reason.why == Why::speed_not_held);
    CHECK(off.nearest.size() == 2);
    v.speed->si = 60.3;
    CHECK(prove(variable, v).expected->total_capacity.si == full);
    v.stage.clear();
    CHECK(prove(variable, v).expected->total_capacity.si == full);
    v.speed->si = 40.0;
    CHECK(prove(variable, v).reason.why == Why::not_continuous);
    v.speed->si = 80.0;
    CHECK(prove(variable, v).reason.why == Why::outside);
    v.speed = Speed{40.0, units::rpm};  // 2400 rpm of the shaft are not 40 Hz of the drive
    CHECK_THROWS_WITH_AS((void)prove(continuous, v),
                         "speed: in another measure than the system's pages: 'rpm'; accepted: Hz", InputError);
    v.speed.reset();
    CHECK_THROWS_AS((void)prove(continuous, v), Refused);  // held, but at which?
}
