// Frost: the defrost table, and the regulation's frost model against worked example 6.
#include <doctest/doctest.h>

#include "../support/heating_page.hpp"
#include "../support/near.hpp"

namespace heating_page {

namespace {
DefrostTable::Page correction(std::string stage = {}) {
    return {std::move(stage),
            {-8.0, 0.0, 7.0},
            {0.6, 0.9},
            {{0.99, 0.995, 0.01}, {0.95, 0.98, 0.04}, {0.96, 0.985, 0.03}, {0.88, 0.96, 0.09}, {1, 1, 0}, {1, 1, 0}}};
}

// Worked example 6: 20.6 MBh and 2.20 kW at 17 degF, 34.2 MBh and 2.61 kW at 47 degF.
const HeatingPoint at_17{20.6_MBh, 2.20_kW}, at_47{34.2_MBh, 2.61_kW};

HeatingPoint frosted(double odb, Frost kind = Frost::integrated) {
    return *derates::regulatory_frost(at_17, at_47, Temperature{degF(odb)}, kind);
}
double capacity(double odb, Frost kind = Frost::integrated) { return in(frosted(odb, kind).capacity, units::MBh); }
Reason refused(double odb, Frost kind = Frost::integrated) {
    return derates::regulatory_frost(at_17, at_47, Temperature{degF(odb)}, kind).reason();
}

/// Where the load line (32 MBh at 10 degF, none at 62 degF) meets the capacity: by bracketing, as the step demands.
double balance_point(Frost kind) {
    double low = 17, high = 44;
    for (int i = 0; i < 60; ++i) {
        const double t = 0.5 * (low + high);
        (capacity(t, kind) < 32.0 * (62 - t) / 52 ? low : high) = t;
    }
    return low;
}
}  // namespace

TEST_CASE("a defrost table: printed factors as printed, by stage or for all") {
    const DefrostTable all({correction()});
    CHECK(all.at("any", 0.0, 0.9)->factors.capacity == 0.88);
    CHECK(all.at("any", 0.0, 0.9)->factors.power == 0.96);
    CHECK(all.at("any", 0.0, 0.9)->factors.time_fraction == 0.09);
    CHECK(near(all.at("any", -4.0, 0.75)->factors.capacity, (0.99 + 0.95 + 0.96 + 0.88) / 4, relative(1e-12)));
    CHECK(explain(all.at("any", -9.0, 0.75).reason(), UnitSystem::SI) ==
          "outdoor dry bulb -9 degC is outside -8 degC to 7 degC");
    CHECK(explain(all.at("any", 0.0, 0.95).reason()) == "outdoor relative humidity 0.95 is outside 0.6 to 0.9");
    CHECK(all.at("any", -8.2, 0.75, Outside::hold)->footing == Footing::held);

    DefrostTable::Page other = correction("high");
    other.nodes[3].capacity = 0.80;
    const DefrostTable two({correction(), other});
    CHECK(two.at("high", 0.0, 0.9)->factors.capacity == 0.80);
    CHECK(two.at("low", 0.0, 0.9)->factors.capacity == 0.88);
    CHECK(DefrostTable({other}).at("low", 0.0, 0.9).reason().why == Why::unknown_stage);
    CHECK(two.pages().size() == 2);
}

TEST_CASE("a defrost table that cannot be is not built") {
    const auto complaint = [](auto change) -> std::string {
        std::vector<DefrostTable::Page> pages{correction()};
        change(pages);
        try {
            const DefrostTable table(pages);
        } catch (const InputError& error) {
            return error.problem();
        }
        return "no complaint";
    };
    using Pages = std::vector<DefrostTable::Page>;
    CHECK(complaint([](Pages&) {}) == "no complaint");
    CHECK(complaint([](Pages& p) { p.clear(); }) == "a defrost table without a page");
    CHECK(complaint([](Pages& p) { p.push_back(p[0]); }) == "two defrost corrections for one stage");
    CHECK(complaint([](Pages& p) { p[0].nodes.pop_back(); }) == "the defrost table has 5 nodes");
    CHECK(complaint([](Pages& p) { p[0].nodes[0].capacity = 1.01; }) == "a defrost factor on capacity");
    CHECK(complaint([](Pages& p) { p[0].nodes[0].power = -0.1; }) == "a defrost factor on power");
    CHECK(complaint([](Pages& p) { p[0].nodes[0].time_fraction = NAN; }) == "a share of the time spent defrosting");
    CHECK(complaint([](Pages& p) { p[0].outdoor_relative_humidity = {60, 90}; }) == "an outdoor relative humidity");
    CHECK(complaint([](Pages& p) { std::swap(p[0].outdoor_dry_bulb[0], p[0].outdoor_dry_bulb[1]); }) != "no complaint");
}

// Worked example 6 of the project's trade notes, computed there by hand to the digits shown.
TEST_CASE("the regulation's frost model: example 6") {
    CHECK(near(capacity(35, Frost::instantaneous), 28.76, relative(1e-12)));
    CHECK(near(capacity(35), 25.88, absolute(0.005)));
    CHECK(near(in(frosted(35).power, units::kW), 2.409, absolute(0.0005)));
    CHECK(near(frosted(35).cop(), 3.149, absolute(0.0005)));
    CHECK(near(capacity(29, Frost::instantaneous), 26.04, relative(1e-12)));
    CHECK(near(capacity(29), 24.12, absolute(0.005)));
    CHECK(near(balance_point(Frost::integrated), 24.80, absolute(0.005)));
    CHECK(near(capacity(balance_point(Frost::integrated)), 22.89, absolute(0.005)));
    CHECK(near(balance_point(Frost::instantaneous), 23.64, absolute(0.005)));
}

TEST_CASE("the regulation's frost model keeps its step at 45 degF and its kink at 17 degF") {
    CHECK(near(capacity(45 - 1e-9), 28.82, absolute(0.005)));
    CHECK(near(capacity(45), 33.29, absolute(0.005)));
    CHECK(capacity(45) == capacity(45, Frost::instantaneous));
    // The points themselves come back bit for bit, from both kinds.
    for (const Frost kind : {Frost::instantaneous, Frost::integrated}) {
        CHECK(frosted(17, kind).capacity == at_17.capacity);
        CHECK(frosted(17, kind).power == at_17.power);
        CHECK(frosted(47, kind).capacity == at_47.capacity);
        CHECK(frosted(47, kind).power == at_47.power);
    }
    const double below = (capacity(17) - in(derates::regulatory_frost(at_17, at_47, Temperature{degF(16)},
                                                                      Frost::integrated, Outside::extend)
                                                ->capacity,
                                            units::MBh));
    CHECK(near(below, 13.6 / 30, relative(1e-12)));
    CHECK(near(capacity(18) - capacity(17), (25.884 - 20.6) / 18, relative(1e-12)));
}

TEST_CASE("the regulation's frost model outside 17 to 47 degF is an extrapolation, to be asked for") {
    CHECK(explain(refused(16), UnitSystem::IP) == "outdoor dry bulb 16 degF is outside 17 degF to 47 degF");
    CHECK(refused(48).why == Why::outside);
    CHECK(refused(30, Frost::unknown).about == About::frost);
    CHECK(refused(NAN).why == Why::not_finite);
    const auto at = [](double odb) {
        return derates::regulatory_frost(at_17, at_47, Temperature{degF(odb)}, Frost::integrated, Outside::extend);
    };
    CHECK(at(5)->footing == Footing::extended);
    CHECK(at(30)->footing == Footing::inside);
    CHECK(at(-40).reason().why == Why::no_output);
    CHECK(derates::regulatory_frost({Power{NAN}, 1_kW}, at_47, 30_degF, Frost::integrated).reason().why ==
          Why::not_finite);
}

}  // namespace heating_page
