// What leaning on nodes that are dry on the page costs, against three unlike models of coil and compressor
// (benchmarks/trial): the truth lies within twice the standard uncertainty in at least 95 % of cases.
#include <doctest/doctest.h>

#include <random>

#include "../../benchmarks/trial/pages.hpp"
#include "../support/near.hpp"
#include "offnominal/expect.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

/// How often answers that lean on dry nodes are off by more than 2 u, and how far at most.
struct Seen {
    int asked = 0, off = 0, surer = 0;

    [[nodiscard]] double share_off() const { return double(off) / asked; }
    [[nodiscard]] double share_surer() const { return double(surer) / asked; }
};

struct NearDryQuestion {
    double outdoor, airflow, wet_bulb, dry_bulb;  // degF, cfm
};

/// Any questions along `next`, to one stage of a machine.
template <class Next>
Seen near_dry(const trial::Make& make, const System& system, Next&& next) {
    Seen seen;
    for (int i = 0; i < 4000 && seen.asked < 700; ++i) {
        const NearDryQuestion asked = next();
        Conditions c;
        c.stage = "high";
        c.match = "indoor";
        c.outdoor_dry_bulb = from(asked.outdoor, units::degF);
        c.entering_dry_bulb = from(asked.dry_bulb, units::degF);
        c.entering_humidity = air::wet_bulb(from(asked.wet_bulb, units::degF));
        c.airflow = AirflowReading::standard(from(asked.airflow, units::cfm));
        c.boundary = Boundary::coil;
        const auto e = try_expect(system, Site::sea_level(), c);
        if (!e || !has(e->footing, Footing::wet_line)) continue;
        const double t = e->entering_dry_bulb.si, p = air::si::standard_pressure;
        const trial::Entering in{t, air::si::humidity_ratio_from_wet_bulb(t, from(asked.wet_bulb, units::degF).si, p),
                                 p};
        const double truth =
            make.machine->sound(trial::Runs::high, in, trial::mass_of_scfm(asked.airflow), e->outdoor_dry_bulb.si)
                .total;
        const ExpectedUncertainty& u = e->uncertainty;
        const double error = std::abs(e->total_capacity.si - truth);
        ++seen.asked;
        seen.off += error > 2.0 * detail::root_of_squares({u.resolution, u.interpolation, u.inferred}) ? 1 : 0;
        seen.surer += error > 2.0 * detail::root_of_squares({u.resolution, u.interpolation}) ? 1 : 0;
    }
    REQUIRE(seen.asked > 200);
    return seen;
}

/// Any question to a page with an axis of wet bulbs.
auto anywhere_on(const trial::Make& make) {
    return [&make, random = std::mt19937_64(41)]() mutable {
        const auto between = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); };
        const trial::Layout& l = make.layout;
        const double dry_bulb = between(70, 80);
        return NearDryQuestion{between(75, 115), between(l.per_ton.front(), l.per_ton.back()) * make.tons,
                               between(l.wet_bulb.front(), std::min(l.wet_bulb.back(), dry_bulb - 2)), dry_bulb};
    };
}

std::vector<trial::Make> printed_at_80() {
    return trial::reprinted([](trial::Layout& l) {
        l.dry_bulb = {80};
        l.net_fan = 0.0;
        l.fan = FanPosition::draw_through;
    });
}

}  // namespace

TEST_CASE("near dry nodes: below the printed dry bulb there is an answer, off by more than 2 u in 5 percent at most") {
    for (const trial::Make& make : printed_at_80()) {
        CAPTURE(make.name);
        const Seen seen = near_dry(make, make.system, anywhere_on(make));
        CHECK(seen.share_off() <= 0.05);
        CHECK(seen.share_surer() > 0.08);  // without the term it would not hold
    }
}

TEST_CASE("near dry nodes: between a wet and a dry pair the knee costs certainty, and no more than it may") {
    using Path = std::vector<std::pair<double, double>>;
    const Path steep{{75, 57}, {75, 63}, {80, 67}, {85, 71}}, falling{{85, 63}, {80, 67}, {75, 63}},
        usual{{72, 55}, {75, 60}, {78, 64}, {80, 67}, {82, 70}};
    for (const trial::Make& make : printed_at_80()) {
        for (const Path& path : {steep, falling, usual}) {
            CAPTURE(make.name);
            CAPTURE(path.size());
            trial::Layout layout = make.layout;
            PrintedPage page;
            page.has_sensible = true;
            page.total_step = page.sensible_step = units::MBh.to_si(0.1);
            for (const double t : layout.outdoor) page.outdoor_dry_bulb.push_back(trial::degC(t));
            for (const double v : layout.per_ton) page.airflow.push_back(trial::cfm(v * make.tons));
            for (const auto& [dry, wet] : path) page.pairs.push_back({trial::degC(dry), trial::degC(wet)});
            for (const double outdoor : page.outdoor_dry_bulb)
                for (const double flow : page.airflow)
                    for (const IndoorPair& pair : page.pairs) {
                        const double p = air::si::standard_pressure, m = air::si::dry_mass_from_standard(flow);
                        const trial::Entering in{
                            pair.dry_bulb, air::si::humidity_ratio_from_wet_bulb(pair.dry_bulb, pair.wet_bulb, p), p};
                        const double total = make.machine->sound(trial::Runs::high, in, m, outdoor).total;
                        const air::Point out = make.machine->leaving(in, m, total, 1.0);
                        const auto printed = [](double watts) {
                            return units::MBh.to_si(std::round(units::MBh.from_si(watts) * 10.0) / 10.0);
                        };
                        PrintedNode node;
                        node.total = printed(total);
                        node.sensible = std::min(
                            node.total, printed(m * air::si::moist_heat_capacity(out.W) * (pair.dry_bulb - out.t)));
                        if (node.sensible == node.total) node.mark = Mark::dry;
                        page.nodes.push_back(node);
                    }
            Basis basis;
            basis.capacity = CapacityBasis::gross;
            basis.airflow = AirflowBasis::standard;
            basis.standard_pound = Pound::dry;
            basis.elevation = Length{0.0};
            SystemParts parts;
            parts.name = make.name + ", in pairs, invented";
            parts.cooling.push_back({"high", RatingTable(basis, page)});
            Match& match = parts.matches.emplace_back();
            match.name = "indoor";
            match.reference = true;
            match.fan = FanPosition::draw_through;
            const Seen seen = near_dry(
                make, System(std::move(parts)), [&, random = std::mt19937_64(43)]() mutable -> NearDryQuestion {
                    const auto between = [&](double a, double b) {
                        return std::uniform_real_distribution<double>(a, b)(random);
                    };
                    const double place = between(0.0, static_cast<double>(path.size()) - 1.0);
                    const auto k = std::min(static_cast<std::size_t>(place), path.size() - 2);
                    const double t = place - static_cast<double>(k);
                    const auto& [dry, wet] = path[k];
                    const auto& [next_dry, next_wet] = path[k + 1];
                    return {between(75, 115), between(layout.per_ton.front(), layout.per_ton.back()) * make.tons,
                            wet + t * (next_wet - wet), dry + t * (next_dry - dry)};
                });
            CHECK(seen.share_off() <= 0.05);
        }
    }
}

TEST_CASE("near dry nodes: without a sensible capacity the answer is as unsure as the page leaves it") {
    for (trial::Make make : printed_at_80()) {
        if (make.system.parts().cooling.front().table.page().has_bypass) continue;
        CAPTURE(make.name);
        SystemParts parts = make.system.parts();
        for (Stage& stage : parts.cooling) {
            Basis basis = stage.table.basis();
            basis.capacity = CapacityBasis::unknown;  // so that its bypass factor cannot be found
            stage.table = RatingTable(basis, stage.table.page());
        }
        const Seen seen = near_dry(make, System(std::move(parts)), anywhere_on(make));
        CHECK(seen.share_off() <= 0.05);
        CHECK(seen.share_surer() > 0.5);
    }
}

TEST_CASE("near dry nodes: what leaning on them costs grows from nothing, and jumps nowhere") {
    const trial::Make make = printed_at_80().front();
    Conditions c;
    c.stage = "high";
    c.match = "indoor";
    c.entering_dry_bulb = 75_degF;
    c.outdoor_dry_bulb = 95_degF;
    c.boundary = Boundary::coil;
    c.airflow = AirflowReading::standard(1200_cfm);
    double last = 0.0, greatest = 0.0;
    for (int i = 0; i <= 800; ++i) {  // from a wet node at 67 degF down to a dry one at 59 degF
        c.entering_humidity = air::wet_bulb(from(67.0 - 0.01 * i, units::degF));
        const Expected e = expect(make.system, Site::sea_level(), c);
        const double share = e.uncertainty.inferred / e.total_capacity.si;
        if (!has(e.footing, Footing::wet_line)) CHECK(share == 0.0);
        CHECK(share >= last - 1e-12);
        CHECK(share - last < 0.0004);  // as the root of a share does: fastest at its start
        last = share;
        greatest = std::max(greatest, share);
    }
    CHECK(near(greatest, 0.006, relative(0.02)));
}

TEST_CASE("near dry nodes: past the page's edge, where their share is extended below nothing, no uncertainty is lost") {
    SystemParts parts;
    PrintedPage page;
    page.has_sensible = true;
    page.total_step = page.sensible_step = 100.0;
    page.outdoor_dry_bulb = {30.0, 40.0};
    page.airflow = {0.5};
    page.entering_wet_bulb = {15.0, 17.0, 19.0, 21.0};
    // Dry at 15 degC on the cooler day alone: past the hotter one its share is negative.
    for (const double fall : {0.0, 1000.0})
        for (const double wet : {15.0, 17.0, 19.0, 21.0}) {
            PrintedNode node;
            node.total = 8000.0 + 250.0 * wet - fall;
            node.sensible = 13000.0 - 350.0 * wet - fall;
            if (wet == 15.0 && fall == 0.0) {
                node.sensible = node.total;
                node.mark = Mark::dry;
            }
            page.nodes.push_back(node);
        }
    Basis basis;
    basis.capacity = CapacityBasis::gross;
    basis.airflow = AirflowBasis::standard;
    basis.standard_pound = Pound::dry;
    basis.elevation = Length{0.0};
    basis.sensible_at = Temperature{27.0};
    parts.name = "dry on the cooler day, invented";
    parts.cooling.push_back({"high", RatingTable(basis, page)});
    Match& match = parts.matches.emplace_back();
    match.name = "indoor";
    match.reference = true;
    const System system(std::move(parts));
    Conditions c;
    c.stage = "high";
    c.match = "indoor";
    c.entering_dry_bulb = Temperature{27.0};
    c.entering_humidity = air::wet_bulb(Temperature{15.5});
    c.boundary = Boundary::coil;
    c.airflow = AirflowReading::standard(Airflow{0.5});
    c.outside = Outside::extend;
    for (const double outdoor : {29.9, 35.0, 40.1}) {
        CAPTURE(outdoor);
        c.outdoor_dry_bulb = Temperature{outdoor};
        const Expected e = expect(system, Site::sea_level(), c);
        CHECK(std::isfinite(e.uncertainty.inferred));
        CHECK(e.uncertainty.inferred >= 0.0);
    }
}
