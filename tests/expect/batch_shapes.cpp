// A batch works off rows that share a page together: the bits of one question at a time on pages of every shape.
#include <doctest/doctest.h>

#include <array>
#include <random>
#include <vector>

#include "../support/doubles.hpp"
#include "../support/dry_page.hpp"
#include "offnominal/expect/batch.hpp"
#include "offnominal/files.hpp"

using namespace unit_a;

namespace {

/// Unit A's page with dry nodes, more breakpoints and a second speed of air: invented.
PrintedPage long_page() {
    PrintedPage p = dry_page();
    p.outdoor_dry_bulb = {degF(75), degF(95), degF(115)};
    p.airflow = {cfm(900), cfm(1200)};
    p.nodes.clear();
    for (const double odb : {75.0, 95.0, 115.0})
        for (const double flow : {900.0, 1200.0})
            for (const PrintedNode& n : dry_page().nodes) {
                const double total = n.total * (1.2 - odb / 475) * (0.8 + flow / 5000);
                const double sensible = n.sensible * (0.5 + flow / 2000);
                const bool dry = n.mark == Mark::dry || sensible >= total;
                p.nodes.push_back({total, dry ? total : sensible, n.power, n.bypass, dry ? Mark::dry : Mark::printed});
            }
    return p;
}

PrintedPage humid_page(bool pairs) {
    PrintedPage p = dry_page();
    p.outdoor_dry_bulb = {degF(75), degF(115)};
    p.airflow = {cfm(900), cfm(1200)};
    p.entering_wet_bulb.clear();
    if (pairs)
        p.pairs = {{degF(75), degF(63)}, {degF(80), degF(67)}, {degF(85), degF(71)}};
    else
        p.relative_humidity = {0.40, 0.60, 0.80};
    if (!pairs) p.entering_dry_bulb = {degF(72), degF(90)};
    p.nodes.clear();
    for (const double total : {36.0, 38.0, 28.0, 30.0})
        for (int k = 0; k < 3; ++k)
            for (std::size_t d = 0; d < (pairs ? 1u : 2u); ++d)
                p.nodes.push_back(
                    node(total + 2 * k, 20.0 + 8.0 * static_cast<double>(d) - (pairs ? -0.8 : 3.0) * k, 2.5, 0.10));
    return p;
}

PrintedPage without_bypass(PrintedPage p) {
    p.has_bypass = false;
    for (PrintedNode& n : p.nodes) n.bypass = 0.0;
    return p;
}
PrintedPage without_sensible(PrintedPage p) {
    p.has_sensible = false;
    for (PrintedNode& n : p.nodes) n.sensible = 0.0, n.mark = Mark::printed;
    return p;
}
Basis no_slope() {
    Basis b = basis();
    b.sensible_slope.reset();
    return b;
}
Basis net() {
    Basis b = basis();
    b.capacity = CapacityBasis::net;
    b.standard_pound = Pound::moist;
    b.fan.per_airflow.si = 800.0;  // W per m3/s
    return b;
}

Match match(const char* name, double total, FanPosition fan) {
    Match m;
    m.name = name;
    m.factors.total = total;
    m.fan = fan;
    return m;
}

/// The same page printed at its first airflow alone.
PrintedPage one_airflow(PrintedPage page) {
    const std::size_t flows = page.airflow.size(), rows = page.nodes.size() / page.outdoor_dry_bulb.size() / flows;
    std::vector<PrintedNode> nodes;
    for (std::size_t n = 0; n < page.nodes.size(); ++n)
        if (n / rows % flows == 0) nodes.push_back(page.nodes[n]);
    page.airflow.resize(1);
    page.nodes = std::move(nodes);
    return page;
}

/// Asks a system in runs of rows that share stage, match and elevation. @return how many rows were answered
int compare(const System& system, unsigned seed, Outside outside, bool infer, air::Humidity::Kind kind,
            std::size_t longest_run) {
    constexpr std::size_t rows = 300;
    std::mt19937 random(seed);
    const auto uniform = [&](double a, double b) { return std::uniform_real_distribution<double>(a, b)(random); };
    std::vector<std::string_view> stages, matches;
    for (const Stage& stage : system.parts().cooling) stages.push_back(stage.name);
    for (const Match& m : system.parts().matches) matches.push_back(m.name);
    std::vector<std::int32_t> stage(rows), at_match(rows);
    std::vector<double> outdoor(rows), entering(rows), humidity(rows), flow(rows), place(rows);
    for (std::size_t i = 0, end = 0; i < rows; ++i) {
        const bool starts = i == end;
        if (starts) end = i + 1 + static_cast<std::size_t>(uniform(0, static_cast<double>(longest_run)));
        const auto pick = [&](std::size_t size, std::int32_t last) {
            return starts ? static_cast<std::int32_t>(uniform(0, static_cast<double>(size))) : last;
        };
        stage[i] = pick(stages.size(), i > 0 ? stage[i - 1] : 0);
        at_match[i] = pick(matches.size(), i > 0 ? at_match[i - 1] : 0);
        place[i] = starts ? (uniform(0, 1) < 0.5 ? 0.0 : 4690.0) : place[i - 1];
        outdoor[i] = uniform(0, 1) < 0.2 ? 95.0 : uniform(73, 117);
        const double t = uniform(0, 1) < 0.2 ? 80.0 : uniform(74, 88);
        entering[i] = t;
        humidity[i] = kind == air::Humidity::Kind::wet_bulb ? 63 + (t - 75) * 0.8 + (i % 3 == 0 ? 0.0 : uniform(-4, 4))
                                                            : uniform(0.25, 0.9);
        flow[i] = uniform(880, 1220);
    }
    const double fan = 420.0;
    ExpectBatch batch;
    batch.stage = {stages, stage.data(), 1};
    if (!matches.empty()) batch.match = {matches, at_match.data(), 1};
    batch[Slot::outdoor_dry_bulb] = {outdoor.data(), 1, units::degF};
    batch[Slot::entering_dry_bulb] = {entering.data(), 1, units::degF};
    batch[Slot::entering_humidity] = {humidity.data(), 1,
                                      kind == air::Humidity::Kind::wet_bulb ? Unit{units::degF} : Unit{units::one}};
    batch[Slot::airflow] = {flow.data(), 1, units::cfm};
    batch[Slot::elevation] = {place.data(), 1, units::ft};
    batch[Slot::fan_power] = {&fan, 0, units::W};
    batch.values.entering_humidity.kind = kind;
    batch.values.airflow.kind = AirflowReading::Kind::standard;
    if (!system.parts().line_set.empty()) batch.line = ExpectBatch::Line::reference;
    batch.values.boundary = Boundary::coil_and_fan;
    batch.values.outside = outside;
    batch.values.infer = batch.values.airflow_effect = infer;

    std::array<std::vector<double>, 5> found;
    std::vector<Reason> reason(rows);
    std::vector<Footing> footing(rows);
    std::vector<Notes> notes(rows);
    ExpectColumns out;
    OutColumn* const all[] = {&out["total_capacity"], &out["sensible_capacity"], &out["power"],
                              &out["leaving_wet_bulb"], &out["uncertainty"]};
    for (std::size_t k = 0; k < found.size(); ++k) {
        found[k].resize(rows);
        *all[k] = {found[k].data(), units::one};
    }
    out.reason = reason.data();
    out.footing = footing.data();
    out.notes = notes.data();

    int answered = 0;
    for (const bool fastest : {false, true}) {
        if (fastest)
            expect_rows(system, batch, 0, rows, out, air::fastest_columns(), fastest_kernels());
        else
            expect_rows(system, batch, 0, rows, out);
        for (std::size_t i = 0; i < rows; ++i) {
            const auto answer = try_expect(system, batch.site(i), batch.conditions(i));
            CAPTURE(i);
            REQUIRE(reason[i] == answer.reason());
            if (!answer) continue;
            ++answered;
            const double nan = Conditions::not_given;
            const std::array<double, 5> expected{
                answer->total_capacity.si, answer->sensible_capacity ? answer->sensible_capacity->si : nan,
                answer->power ? answer->power->si : nan, answer->leaving ? answer->leaving->wet_bulb.si : nan,
                answer->uncertainty.combined()};
            for (std::size_t k = 0; k < expected.size(); ++k) REQUIRE(same_or_nan(found[k][i], expected[k]));
            REQUIRE(footing[i] == answer->footing);
            REQUIRE(notes[i] == answer->notes);
        }
    }
    return answered;
}

}  // namespace

TEST_CASE("rows that share a page have the bits of one question at a time, whatever the page") {
    const auto two = [](const Basis& b, const PrintedPage& p, const PrintedPage& other) {
        SystemParts parts;
        parts.name = "invented";
        parts.cooling.push_back({"full", RatingTable(b, p)});
        parts.cooling.push_back({"low", RatingTable(b, other)});
        parts.matches = {match("as printed", 1.0, FanPosition::draw_through),
                         match("smaller", 0.96, FanPosition::blow_through),
                         match("unknown", 1.03, FanPosition::unknown)};
        parts.matches[1].bypass = 0.14;
        return System(std::move(parts));
    };
    const PrintedPage page = long_page(), humid = humid_page(false), pairs = humid_page(true);
    const std::array systems{two(basis(), page, without_bypass(page)),
                             two(no_slope(), page, humid),
                             two(basis(), without_sensible(page), page),
                             two(no_slope(), pairs, page),
                             two(net(), page, humid),
                             two(basis(), one_airflow(page), page),
                             load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml"),
                             load_system(OFFNOMINAL_TABLES_DIR "/demo/birch.yaml")};
    unsigned seed = 1;
    for (const System& system : systems) {
        int answered = 0;
        for (const Outside outside : {Outside::refuse, Outside::hold, Outside::extend})
            for (const auto kind : {air::Humidity::Kind::wet_bulb, air::Humidity::Kind::relative_humidity})
                for (const std::size_t longest : {std::size_t{5}, std::size_t{150}})
                    answered += compare(system, seed, outside, seed % 2 == 0, kind, longest), ++seed;
        CAPTURE(seed);
        CHECK(answered > 300);
    }
}
