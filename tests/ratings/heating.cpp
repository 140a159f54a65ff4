// A heating page by itself: what it gives back, what it refuses to be built from, and how well it is known.
#include <doctest/doctest.h>

#include <functional>
#include <limits>

#include "../support/heating_page.hpp"
#include "../support/near.hpp"

namespace heating_page {

namespace {
Answer<HeatingReading> read(const HeatingTable& t, double odb, double flow, double edb,
                            Outside outside = Outside::refuse) {
    return detail::read_heating(t, degF(odb), scfm(flow), degF(edb), outside);
}

/// What building says once the page or its basis is changed.
std::string complaint(const std::function<void(HeatingBasis&, HeatingPage&)>& change) {
    HeatingBasis b = basis();
    HeatingPage p = page();
    change(b, p);
    try {
        const HeatingTable table(b, p);
    } catch (const InputError& error) {
        return error.problem();
    }
    return "no complaint";
}
std::string of_node(const std::function<void(HeatingNode&)>& change) {
    return complaint([&](HeatingBasis&, HeatingPage& p) { change(p.nodes[13]); });
}
}  // namespace

TEST_CASE("heating: every node comes back bit for bit, net pages less their fan") {
    HeatingBasis net = basis();
    net.capacity = CapacityBasis::net;
    net.fan = {420_W, from(0.1, units::W_cfm)};
    const HeatingTable gross_table(basis(), page()), net_table(net, page());
    const HeatingPage printed = page();
    std::size_t n = 0;
    for (const double odb : {17.0, 35.0, 47.0})
        for (const double flow : {1000.0, 1200.0})
            for (const double edb : {60.0, 70.0, 80.0}) {
                const HeatingNode& node = printed.nodes[n++];
                const auto g = read(gross_table, odb, flow, edb), g_net = read(net_table, odb, flow, edb);
                REQUIRE((g && g_net));
                CHECK(g->capacity == node.capacity);
                CHECK(g->power == node.power);
                CHECK(g->footing == Footing::inside);
                CHECK(g_net->capacity == node.capacity - net.fan.heat(scfm(flow)));
                CHECK(g_net->power == node.power);
                // A unit conversion must not miss a node.
                CHECK(detail::read_heating(gross_table, degF(odb) + 1e-12, scfm(flow), degF(edb), Outside::refuse)
                          ->capacity == node.capacity);
            }
}

TEST_CASE("heating: between nodes the value lies between them, and is linear along each axis") {
    const HeatingTable table(basis(), page());
    const double low = read(table, 17, 1000, 70)->capacity, high = read(table, 35, 1000, 70)->capacity;
    for (const double t : {0.25, 0.5, 0.9})
        CHECK(near(read(table, 17 + 18 * t, 1000, 70)->capacity, low + t * (high - low), relative(1e-12)));
    const double c = read(table, 29, 1100, 66)->capacity;
    CHECK(c > read(table, 29, 1000, 66)->capacity);
    CHECK(c < read(table, 29, 1100, 60)->capacity);
    CHECK(c > read(table, 29, 1100, 70)->capacity);
}

TEST_CASE("heating: past an edge, next to a blank") {
    HeatingPage p = page();
    p.nodes[0].mark = Mark::beyond_limit;
    p.nodes[17].mark = Mark::blank;
    const HeatingTable table(basis(), p);
    const auto reason = [&](double odb, double flow, double edb, Outside outside = Outside::refuse) {
        return read(table, odb, flow, edb, outside).reason();
    };
    CHECK(reason(16, 1000, 70).about == About::outdoor_dry_bulb);
    CHECK(reason(35, 1201, 70).about == About::standard_airflow);
    CHECK(explain(reason(35, 1000, 81), UnitSystem::IP) == "entering dry bulb 81 degF is outside 60 degF to 80 degF");
    CHECK(reason(17, 1000, 62).why == Why::beyond_limit);
    CHECK(reason(46, 1200, 79).why == Why::blank);
    CHECK(reason(46, 1200, 79).node == 17);
    CHECK(read(table, 47, 1200, 70));  // a corner without weight does not matter
    CHECK(reason(NAN, 1000, 70).why == Why::not_finite);

    CHECK(read(table, 16.5, 1000, 70, Outside::hold)->footing == Footing::held);
    CHECK(read(table, 16.5, 1000, 70, Outside::hold)->capacity == read(table, 17, 1000, 70)->capacity);
    CHECK(read(table, 16.5, 1000, 70, Outside::extend)->footing == Footing::extended);
    for (const Outside outside : {Outside::hold, Outside::extend})
        CHECK(reason(16.3, 1000, 70, outside).why == Why::outside);  // more than 2 % of 30 degF
    CHECK(read(table, 0, 1000, 70, detail::follow));
}

TEST_CASE("heating: a page that contradicts itself is not built, and the node is named") {
    HeatingPage placed = page();
    for (int line = 1; line <= 18; ++line) placed.places.push_back({"page.yaml", line, 1});
    placed.nodes[4].power = -1;
    CHECK_THROWS_WITH_AS(HeatingTable(basis(), placed), "page.yaml:5:1: power must be positive; accepted: a power",
                         InputError);

    CHECK(of_node([](HeatingNode& n) { n.capacity = 0; }) == "heating capacity must be positive");
    CHECK(of_node([](HeatingNode& n) { n.capacity = NAN; }) == "heating capacity must be positive");
    for (const double slip : {3.412, 12.0, 1000.0, 10.0})
        CHECK(of_node([&](HeatingNode& n) { n.capacity *= slip; }).find("does not fit the airflow") !=
              std::string::npos);
    for (const double slip : {1 / 12.0, 0.1, 0.001})
        CHECK(of_node([&](HeatingNode& n) { n.capacity *= slip; }) != "no complaint");
    CHECK(of_node([](HeatingNode& n) { std::swap(n.power, n.capacity); }) ==
          "power above heating capacity: columns exchanged, or a wrong unit?");
    CHECK(of_node([](HeatingNode& n) { n.power /= 1000; }).find("power does not fit") == 0);
    CHECK(of_node([](HeatingNode& n) { n.mark = Mark::dry; }) == "a heating node marked dry or inferred");
    CHECK(of_node([](HeatingNode& n) { n = {0, 0, Mark::blank}; }) == "no complaint");

    const auto basis_with = [](auto change) { return complaint([&](HeatingBasis& b, HeatingPage&) { change(b); }); };
    CHECK(basis_with([](HeatingBasis& b) { b.capacity = CapacityBasis::net; }) == "a net table must name its fan");
    CHECK(basis_with([](HeatingBasis& b) {
              b.capacity = CapacityBasis::net;
              b.fan.power = 9_kW;
          }) == "the fan of the net page gives all of the heating capacity");
    CHECK(basis_with([](HeatingBasis& b) { b.printed_at = 68_degF; }) ==
          "the entering dry bulb a heating page is printed at is not one of its own");
    CHECK(basis_with([](HeatingBasis& b) { b.outdoor_relative_humidity = 75; }) ==
          "the outdoor relative humidity of a heating page");
    CHECK(basis_with([](HeatingBasis& b) { b.tolerance = 5; }) == "the maker's tolerance");
    CHECK(complaint([](HeatingBasis&, HeatingPage& p) { p.nodes.pop_back(); }) == "the heating page has 17 nodes");
    CHECK(complaint([](HeatingBasis&, HeatingPage& p) { p.entering_dry_bulb.clear(); }) ==
          "a heating page without one of its axes");
    CHECK(complaint([](HeatingBasis&, HeatingPage& p) { p.airflow[0] = 0; }) == "an airflow that is not above zero");
    CHECK(complaint([](HeatingBasis&, HeatingPage& p) {
              p.extras.push_back({"rise", units::delta_degF, {1.0}, 0});
          }) == "column 'rise' has 1 values");
}

TEST_CASE("heating: extra columns are kept and interpolated, blank where they are blank") {
    HeatingPage p = page();
    ExtraColumn rise{"rise", units::delta_degF, {}, 0.1};
    for (const HeatingNode& node : p.nodes) rise.values.push_back(node.capacity / 1000);
    rise.values[0] = std::numeric_limits<double>::quiet_NaN();
    p.extras.push_back(rise);
    const HeatingTable table(basis(), p);
    const auto extra = [&](double odb, double flow, double edb) {
        return detail::read_heating_extra(table, 0, degF(odb), scfm(flow), degF(edb));
    };
    CHECK(*extra(35, 1200, 70) == rise.values[10]);
    CHECK(near(*extra(41, 1200, 70), 0.5 * (rise.values[10] + rise.values[16]), relative(1e-12)));
    CHECK(extra(18, 1000, 61).reason().why == Why::blank);
    CHECK(read(table, 18, 1000, 61));  // its capacity is not blank
}

TEST_CASE("heating: rounding is averaged between printed nodes, not between multiplied ones") {
    const auto doubt = [](const HeatingPage& p, double odb, double edb) {
        return detail::heating_uncertainty(HeatingTable(basis(), p), degF(odb), scfm(1000), degF(edb), MBh(25));
    };
    const double one = MBh(0.1) / std::sqrt(12.0);
    CHECK(near(doubt(page(), 17, 70).resolution, one, relative(1e-12)));
    CHECK(near(doubt(page(), 26, 70).resolution, one * std::sqrt(0.5), relative(1e-12)));
    CHECK(near(doubt(page(), 26, 65).resolution, one * 0.5, relative(1e-12)));
    HeatingPage multiplied = page();
    multiplied.dry_bulb_multiplied = true;
    CHECK(near(doubt(multiplied, 26, 65).resolution, one * std::sqrt(0.5), relative(1e-12)));
    CHECK(doubt(page(), 17, 70).interpolation == 0.0);
    CHECK(doubt(page(), 26, 65).interpolation > 0.0);
    CHECK(doubt(page(), 26, 65).curvature_known);
    HeatingPage dip = page();
    for (std::size_t n = 6; n < 12; ++n) dip.nodes[n].capacity *= 0.9;  // frost at 35 degF
    CHECK(doubt(dip, 26, 70).interpolation > 5 * doubt(page(), 26, 70).interpolation);
}

}  // namespace heating_page
