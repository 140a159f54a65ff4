// What leaning on nodes that are dry on the page costs, against three unlike models of coil and compressor: the truth
// lies within twice the standard uncertainty in at least 95 % of cases.
#include <doctest/doctest.h>

#include "../support/near.hpp"
#include "../support/unlike_machines.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

/// How often answers that lean on dry nodes are off by more than 2 u, and how often they would be without what that
/// costs.
struct NearDry {
    int asked = 0, off = 0, surer = 0;

    [[nodiscard]] double share_off() const { return double(off) / asked; }
    [[nodiscard]] double share_surer() const { return double(surer) / asked; }
};

/// Any questions along `next`, to one stage of a machine.
template <class Next>
NearDry near_dry(const trial::Make& make, const System& system, Next&& next) {
    NearDry seen;
    for (int i = 0; i < 6000 && seen.asked < 1500; ++i) {
        const unlike::Question asked = next();
        const auto e = try_expect(system, Site::sea_level(), asked.conditions());
        if (!e || !has(e->footing, Footing::wet_line)) continue;
        const ExpectedUncertainty& u = e->uncertainty;
        const double error = std::abs(e->total_capacity.si - unlike::truth(make, asked).total);
        ++seen.asked;
        seen.off += error > 2.0 * detail::root_of_squares({u.resolution, u.interpolation, u.inferred}) ? 1 : 0;
        seen.surer += error > 2.0 * detail::root_of_squares({u.resolution, u.interpolation}) ? 1 : 0;
    }
    REQUIRE(seen.asked > 200);
    return seen;
}

/// Any question to a page with an axis of wet bulbs.
auto anywhere_on(const trial::Make& make) {
    return [&make, between = unlike::Anywhere(41)]() mutable -> unlike::Question {
        const trial::Layout& l = make.layout;
        const double dry_bulb = between(70, 80);
        const double wet_bulb = between(l.wet_bulb.front(), std::min(l.wet_bulb.back(), dry_bulb - 2));
        return {between(75, 115), between(l.per_ton.front(), l.per_ton.back()) * make.tons, wet_bulb, dry_bulb};
    };
}

using Path = std::vector<std::pair<double, double>>;

/// The machine printed along pairs of dry and wet bulb, degF, without a bypass factor.
System along(const trial::Make& make, const Path& path) {
    return unlike::with_pages(make, [&](Basis& basis, PrintedPage& page) {
        const auto printed = [](double watts) {
            return units::MBh.to_si(std::round(units::MBh.from_si(watts) * 10.0) / 10.0);
        };
        basis.sensible_at.reset();
        basis.sensible_slope.reset();
        page.entering_wet_bulb.clear();
        for (const auto& [dry, wet] : path) page.pairs.push_back({trial::degC(dry), trial::degC(wet)});
        page.has_bypass = false;
        page.nodes.clear();
        for (const double outdoor : page.outdoor_dry_bulb)
            for (const double flow : page.airflow)
                for (const auto& [dry, wet] : path) {
                    const auto [total, sensible, power] =
                        unlike::truth(make, {units::degF.from_si(outdoor), units::cfm.from_si(flow), wet, dry});
                    PrintedNode& node = page.nodes.emplace_back();
                    node.total = printed(total);
                    node.sensible = std::min(node.total, printed(sensible));
                    node.power = units::kW.to_si(std::round(units::kW.from_si(power) * 100.0) / 100.0);
                    if (node.sensible == node.total) node.mark = Mark::dry;
                }
    });
}

}  // namespace

TEST_CASE("near dry nodes: below the printed dry bulb there is an answer, off by more than 2 u in 5 percent at most") {
    for (const trial::Make& make : unlike::machines()) {
        CAPTURE(make.name);
        const NearDry seen = near_dry(make, make.system, anywhere_on(make));
        CHECK(seen.share_off() <= 0.05);
        CHECK(seen.share_surer() > 0.08);  // without the term it would not hold
    }
}

TEST_CASE("near dry nodes: between a wet and a dry pair the knee costs certainty, and no more than it may") {
    const Path steep{{75, 57}, {75, 63}, {80, 67}, {85, 71}}, falling{{85, 63}, {80, 67}, {75, 63}},
        usual{{72, 55}, {75, 60}, {78, 64}, {80, 67}, {82, 70}};
    for (const trial::Make& make : unlike::machines()) {
        for (const Path& path : {steep, falling, usual}) {
            CAPTURE(make.name);
            CAPTURE(path.size());
            const System system = along(make, path);
            const NearDry seen =
                near_dry(make, system, [&, between = unlike::Anywhere(43)]() mutable -> unlike::Question {
                    const double place = between(0.0, static_cast<double>(path.size()) - 1.0);
                    const auto k = std::min(static_cast<std::size_t>(place), path.size() - 2);
                    const double t = place - static_cast<double>(k);
                    const auto& [dry, wet] = path[k];
                    const auto& [next_dry, next_wet] = path[k + 1];
                    const trial::Layout& l = make.layout;
                    return {between(75, 115), between(l.per_ton.front(), l.per_ton.back()) * make.tons,
                            wet + t * (next_wet - wet), dry + t * (next_dry - dry)};
                });
            CHECK(seen.share_off() <= 0.05);
        }
    }
}

TEST_CASE("beside a page's pairs total and power follow the wet bulb, off by more than 2 u in 5 percent at most") {
    const Path path{{75, 63}, {80, 67}, {85, 71}};
    for (const trial::Make& make : unlike::machines()) {
        CAPTURE(make.name);
        const System system = along(make, path);
        unlike::Anywhere between(47);
        int asked = 0, answered = 0, total_off = 0, power_off = 0;
        double worst_sensible = 0.0;
        while (answered < 1000 && asked < 6000) {
            const double wet = between(63, 71), on_path = 75 + (wet - 63) * 1.25, dry = on_path + between(-9, 9);
            if (dry < wet + 2.0) continue;
            ++asked;
            const trial::Layout& l = make.layout;
            const unlike::Question q{between(75, 115), between(l.per_ton.front(), l.per_ton.back()) * make.tons, wet,
                                     dry};
            const auto e = try_expect(system, Site::sea_level(), q.conditions());
            if (!e) {
                REQUIRE(e.reason().why == Why::off_path);
                continue;
            }
            if (!e->notes.has(Note::beside_pairs)) continue;  // on the path itself
            ++answered;
            CHECK_FALSE(has(e->footing, Footing::wet_line | Footing::dry));
            const auto [total, sensible, power] = unlike::truth(make, q);
            const double error = std::abs(e->total_capacity.si - total);
            total_off += error > 2.0 * e->uncertainty.combined() ? 1 : 0;
            // Power by what total is uncertain by, and its own last printed place.
            const double u =
                std::hypot(e->uncertainty.combined() / e->total_capacity.si, 10.0 / std::sqrt(12.0) / power);
            power_off += std::abs(e->power->si / power - 1.0) > 2.0 * u ? 1 : 0;
            if (e->sensible_capacity)
                worst_sensible = std::max(worst_sensible, std::abs(e->sensible_capacity->si / sensible - 1.0));
        }
        CHECK(answered > 500);
        CHECK(total_off <= 0.05 * answered);
        CHECK(power_off <= 0.05 * answered);
        CHECK(worst_sensible < 0.01);
    }
}

TEST_CASE("near dry nodes: without a sensible capacity the answer is as unsure as the page leaves it") {
    for (trial::Make make : unlike::machines()) {
        if (make.system.parts().cooling.front().table.page().has_bypass) continue;
        CAPTURE(make.name);
        const System system = unlike::with_pages(make, [](Basis& basis, PrintedPage&) {
            basis.capacity = CapacityBasis::unknown;  // so that its bypass factor cannot be found
        });
        const NearDry seen = near_dry(make, system, anywhere_on(make));
        CHECK(seen.share_off() <= 0.05);
        CHECK(seen.share_surer() > 0.5);
    }
}

TEST_CASE("near dry nodes: what leaning on them costs grows from nothing, and jumps nowhere") {
    const trial::Make make = unlike::machines().front();
    double last = 0.0, greatest = 0.0;
    for (int i = 0; i <= 800; ++i) {  // from a wet node at 67 degF down to a dry one at 59 degF
        const unlike::Question asked{95, 1200, 67.0 - 0.01 * i, 75};
        const Expected e = expect(make.system, Site::sea_level(), asked.conditions());
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
