// Between visits: changes held against `change` asked two by two, flips against `prove` asked row by row.
#include "offnominal/proof/between_visits.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "../support/unit_a.hpp"
#include "offnominal/files.hpp"

using namespace offnominal;
using namespace offnominal::literals;

namespace {

const std::string demo_folder = OFFNOMINAL_TABLES_DIR "/demo/";

bool same(const std::optional<Change>& a, const Change& b) {
    return a && a->ratio == b.ratio && a->ratio_u == b.ratio_u && a->apart_u == b.apart_u && a->less == b.less;
}

}  // namespace

TEST_CASE("seasons go by mode and date, and leave out a visit without a ratio") {
    const System system = load_system(demo_folder + "alder.yaml");
    const Visit cooling = load_visit(demo_folder + "library-visit.yaml"),
                heating = load_visit(demo_folder + "library-heating-visit.yaml");
    const auto on = [](Visit visit, const char* date, std::optional<Temperature> supply = {}) {
        visit.date = date;
        if (supply) visit.readings.supply_dry_bulb = *supply;
        return visit;
    };
    const std::vector<Visit> visits{on(cooling, "2028-07-01", from(60.4, units::degF)), on(heating, "2027-01-10"),
                                    on(cooling, "2026-07-14"), on(cooling, "2027-07-02", from(58.9, units::degF)),
                                    on(cooling, "2027-05-01")};
    std::vector<Proof> proofs;
    for (const Visit& visit : visits) proofs.push_back(prove(system, visit));
    proofs.back().ratio.reset();  // of that one nothing is known
    std::vector<ProvedVisit> given;
    for (std::size_t i = 0; i < visits.size(); ++i) given.push_back({visits[i], proofs[i]});

    const std::vector<Season> found = seasons(system, given);
    std::vector<std::size_t> order;
    for (const Season& one : found) order.push_back(one.visit);
    CHECK(order == std::vector<std::size_t>{2, 4, 3, 0, 1});
    const auto between = [&](std::size_t earlier, std::size_t later) {
        return *change(system, visits[earlier], proofs[earlier], visits[later], proofs[later]);
    };
    for (const std::size_t alone : {0u, 1u, 4u}) {
        CHECK_FALSE(found[alone].since_last);
        CHECK_FALSE(found[alone].since_first);
    }
    CHECK(same(found[2].since_last, between(2, 3)));
    CHECK(same(found[2].since_first, between(2, 3)));
    CHECK(same(found[3].since_last, between(3, 0)));
    CHECK(same(found[3].since_first, between(2, 0)));
    // The later ratio over the earlier, as anybody would divide them.
    CHECK(found[3].since_first->ratio == *proofs[0].ratio / *proofs[2].ratio);

    CHECK_THROWS_WITH_AS((void)seasons(system, {}), "proofs: none; accepted: one or more", InputError);
    Visit undated = cooling;
    undated.date.clear();
    const ProvedVisit one[] = {{undated, proofs[2]}};
    CHECK_THROWS_WITH_AS((void)seasons(system, one),
                         ("proofs: '" + cooling.name + "' has no date; accepted: visits with their dates").c_str(),
                         InputError);
}

TEST_CASE("two visits that cannot be to one machine are refused by what differs") {
    const System system = load_system(demo_folder + "alder.yaml");
    const Visit visit = load_visit(demo_folder + "library-visit.yaml"),
                heating = load_visit(demo_folder + "library-heating-visit.yaml");
    const auto told = [&](const Visit& from, auto&& change_of) {
        Visit other = from;
        change_of(other);
        const Proof first = prove(system, visit), second = prove(system, other);
        const ProvedVisit both[] = {{visit, first}, {other, second}};
        try {
            (void)seasons(system, both);
        } catch (const InputError& error) {
            if (from.mode() == visit.mode())
                CHECK_THROWS_WITH_AS((void)change(system, visit, first, other, second), error.what(), InputError);
            return std::string(error.what());
        }
        return std::string();
    };
    const std::string of = "visits to unlike machines: ", accepted = "; accepted: visits to one machine, ";
    const auto says = [&](const std::string& said, const std::string& what) {
        return said.find(of + what) != std::string::npos && said.find(accepted) != std::string::npos;
    };
    CHECK(says(told(visit, [](Visit& v) { v.match = "indoor B"; }), "match: indoor A ("));
    CHECK(says(told(visit, [](Visit& v) { v.site = Site::at_elevation(100_ft); }), "elevation: 1430 m ("));
    CHECK(says(told(visit, [](Visit& v) { v.site = Site::at_pressure(101325_Pa); }), "station pressure: "));
    CHECK(says(told(visit, [](Visit& v) { v.line_set = LineSet::of(90_ft, 0.75_in); }), "line set: 15.24 m of "));
    CHECK(says(told(visit, [](Visit& v) { v.line_set = LineSet::of(50_ft, 0.875_in); }), "line set: "));
    CHECK(says(told(visit, [](Visit& v) { v.line_set = LineSet::of(50_ft, 0.75_in, 20_ft); }), "line set: "));
    CHECK(says(told(visit, [](Visit& v) { v.line_set = LineSet::reference(); }), "line set: "));
    // The other mode is never compared, and still no visit to this machine.
    CHECK(says(told(heating, [](Visit& v) { v.site = Site::at_elevation(100_ft); }), "elevation: "));
    CHECK(told(heating, [](Visit&) {}).empty());
    // Read from another map, by another tape, on a day of other weather; another stage, which is told.
    CHECK(told(visit, [](Visit& v) { v.site = Site::at_elevation(4750_ft); }).empty());
    CHECK(told(visit, [](Visit& v) { v.site = Site::at_pressure(84000_Pa); }).empty());
    CHECK(told(visit, [](Visit& v) { v.line_set = LineSet::of(47_ft, 0.75_in); }).empty());
    CHECK(told(visit, [](Visit& v) { v.stage = "low"; }).empty());
}

TEST_CASE("which decisions flip by a revision, against proofs of each row by either page") {
    const System system = load_system(demo_folder + "alder.yaml"), revision = [&] {
        SystemParts parts = system.parts();  // the same with more in its first stage, where wet
        PrintedPage page = parts.cooling[0].table.page();
        for (PrintedNode& node : page.nodes)
            if (node.mark == Mark::printed) node.total *= 1.03;
        parts.cooling[0].table = RatingTable(parts.cooling[0].table.basis(), std::move(page));
        return System(std::move(parts));
    }();
    const Visit visit = load_visit(demo_folder + "library-visit.yaml");
    constexpr std::size_t rows = 12;
    std::vector<double> supply;
    for (std::size_t i = 0; i < rows; ++i) supply.push_back(55.0 + 0.7 * static_cast<double>(i));
    supply[5] = NAN;
    const std::vector<std::string_view> stages{"high", "low"};
    std::vector<std::int32_t> stage(rows, 0);
    stage[7] = stage[8] = 1;  // which the revision leaves alone
    VisitBatch batch{visit, {stages, stage.data(), 1}, {}};
    batch[VisitSlot::supply_dry_bulb] = {supply.data(), 1, units::degF};
    const Revised found = revised(system, revision, batch, rows, 2);

    std::size_t moved = 0;
    std::vector<Flip> flips;
    for (std::size_t i = 0; i < rows; ++i) {
        Visit one = visit;
        one.readings.supply_dry_bulb.si = units::degF.to_si(supply[i]);
        one.stage = stages[static_cast<std::size_t>(stage[i])];
        std::optional<Proof> before, after;
        try {
            before = prove(system, one);
            after = prove(revision, one);
        } catch (const Refused&) {
            continue;  // by both
        }
        moved += before->ratio != after->ratio || before->probability != after->probability;
        if (before->outcome == after->outcome) continue;
        flips.push_back({i, static_cast<std::int16_t>(before->outcome), static_cast<std::int16_t>(after->outcome),
                         *before->ratio, *after->ratio, *before->ratio / *after->ratio, Why::none, Why::none});
    }
    CHECK(found.visits == rows);
    CHECK(found.moved == moved);
    CHECK(0 < flips.size());
    REQUIRE(found.flips.size() == flips.size());
    for (std::size_t k = 0; k < flips.size(); ++k) {
        const Flip &a = found.flips[k], &b = flips[k];
        CHECK(a.row == b.row);
        CHECK(a.before == b.before);
        CHECK(a.after == b.after);
        CHECK(a.ratio_before == b.ratio_before);
        CHECK(a.ratio_after == b.ratio_after);
        CHECK(a.expected == b.expected);
        CHECK(a.reason_before == Why::none);
        CHECK(a.expected > 1.0);  // it asks more
    }
    const Revised none = revised(system, system, batch, rows);
    CHECK(none.moved == 0);
    CHECK(none.flips.empty());
    CHECK_THROWS_WITH_AS((void)revised(ProofColumns{}, ProofColumns{}, 1),
                         "revised: a column is missing; accepted: ratio, probability, outcome and reason", InputError);
}
