// Every row of published/ashrae_psychrometrics.csv (ASHRAE Handbook - Fundamentals 2017, ch. 1; source and meaning of
// the columns in its header) within the row's own tolerance.
#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "offnominal/air.hpp"

using namespace offnominal;

namespace {

struct Row {
    int line = 0;
    bool ip = false;
    std::string basis, quantity;
    double t = 0.0;
    std::string other;  // "RH", "W", "pw", "twb", "z" or empty
    double other_value = 0.0;
    double p = 0.0;
    double value = 0.0;
    bool relative = false;
    double tolerance = 0.0;
};

double number(const std::string& text) { return text.empty() ? 0.0 : std::stod(text); }

std::vector<Row> rows() {
    std::ifstream file(OFFNOMINAL_PUBLISHED_DIR "/ashrae_psychrometrics.csv");
    REQUIRE(file.is_open());
    std::vector<Row> out;
    std::string text;
    for (int line = 1; std::getline(file, text); ++line) {
        if (text.empty() || text[0] == '#' || text.starts_with("units,")) continue;
        std::vector<std::string> cells;
        std::istringstream cut(text);
        for (std::string cell; std::getline(cut, cell, ',');) cells.push_back(cell);
        REQUIRE_MESSAGE(cells.size() == 9, "line ", line);
        const auto equals = cells[4].find('=');
        Row r{.line = line,
              .ip = cells[0] == "IP",
              .basis = cells[1],
              .quantity = cells[2],
              .t = number(cells[3]),
              .other = cells[4].substr(0, equals),
              .other_value = equals == std::string::npos ? 0.0 : number(cells[4].substr(equals + 1)),
              .p = number(cells[5]),
              .value = number(cells[6]),
              .relative = cells[7] == "rel",
              .tolerance = number(cells[8])};
        out.push_back(r);
    }
    return out;
}

// What the library says, in the row's own unit.
double computed(const Row& r) {
    namespace si = air::si;
    const bool ip = r.ip;
    const auto to = [ip](double value, const Unit& unit) { return ip ? unit.to_si(value) : value; };
    const auto back = [ip](double value, const Unit& unit) { return ip ? unit.from_si(value) : value; };
    const double t = to(r.t, units::degF), p = to(r.p, units::psia), x = r.other_value;
    const double z = to(x, units::ft);

    if (r.quantity == "pws") return back(si::saturation_pressure(t), units::psia);
    if (r.quantity == "Ws") return si::saturation_humidity_ratio(t, p);
    if (r.quantity == "p_std") return back(si::pressure_at_elevation(z), units::psia);
    if (r.quantity == "t_std") return back(si::standard_temperature(z), units::degF);

    double W = 0.0;
    if (r.other == "W") W = x;
    if (r.other == "pw") W = si::humidity_ratio(to(x, units::psia), p);
    if (r.other == "RH") W = si::humidity_ratio(x * si::saturation_pressure(t), p);
    if (r.other == "twb") W = si::humidity_ratio_from_wet_bulb(t, to(x, units::degF), p);
    if (r.quantity == "hs") W = si::saturation_humidity_ratio(t, p);

    if (r.quantity == "W") return W;
    if (r.quantity == "twb") return back(si::wet_bulb(t, W, p), units::degF);
    if (r.quantity == "tdp") return back(si::dew_point(si::vapour_pressure(W, p)), units::degF);
    if (r.quantity == "RH") return si::relative_humidity(t, W, p);
    if (r.quantity == "v" || r.quantity == "v_dry_air") return back(si::volume(t, W, p), units::ft3_lb);
    if (r.quantity == "rho") {
        const double rho = si::density_moist(t, W, p);
        return ip ? rho * offnominal::detail::cubic_foot / offnominal::detail::pound : rho;
    }
    if (r.quantity == "h" || r.quantity == "hs" || r.quantity == "h_dry_air") {
        const double h = si::enthalpy(t, W);
        return back(h, units::Btu_lb_of_air);
    }
    FAIL("unknown quantity in line ", r.line);
    return 0.0;
}

double distance(const Row& r, double value) { return std::abs(value - r.value); }
double tolerance(const Row& r) { return r.tolerance * (r.relative ? std::abs(r.value) : 1.0); }

// The Handbook's IP equations are not its SI equations converted: their rounded constants differ by up to 0.3 % (heat
// of the frozen wick: 1220 Btu/lb is 2838 kJ/kg, against 2830). The library holds the SI set alone. These are the IP
// rows where that shows; each is met within its own tolerance by the IP equation, and by us within the bound here.
struct SetDifference {
    const char* quantity;
    double t;
    double bound;  // in the row's unit
};
constexpr SetDifference set_differences[] = {
    {"hs", -4.0, 0.0031},  // a small difference of large terms: 0.003 of 0.96 Btu/lb
    {"h", 86.0, 0.032},    // 0.07 %
    {"W", 86.0, 5.8e-6},   // 0.03 %
    {"W", 30.2, 3.7e-6},   // 0.3 %
};

const SetDifference* set_difference(const Row& r) {
    for (const SetDifference& d : set_differences)
        if (r.ip && r.quantity == d.quantity && r.t == d.t) return &d;
    return nullptr;
}

// IP equations 30, 33 and 35 of the same chapter.
double by_ip_equation(const Row& r) {
    const double p = units::psia.to_si(r.p);
    const auto saturated = [&](double degF) { return air::si::saturation_humidity_ratio(units::degF.to_si(degF), p); };
    const auto h = [](double t, double W) { return 0.240 * t + W * (1061.0 + 0.444 * t); };
    if (r.quantity == "hs") return h(r.t, saturated(r.t));
    if (r.quantity == "h") return h(r.t, r.other_value);
    const double t = r.t, wb = r.other_value, Ws = saturated(wb);
    return wb >= 32.0 ? ((1093.0 - 0.556 * wb) * Ws - 0.240 * (t - wb)) / (1093.0 + 0.444 * t - wb)
                      : ((1220.0 - 0.04 * wb) * Ws - 0.240 * (t - wb)) / (1220.0 + 0.444 * t - 0.48 * wb);
}

}  // namespace

TEST_CASE("published figures: every row within its own tolerance") {
    const auto all = rows();
    CHECK(all.size() == 95);
    std::size_t excepted = 0;
    for (const Row& r : all) {
        CAPTURE(r.line);
        CAPTURE(r.quantity);
        if (const SetDifference* d = set_difference(r)) {
            ++excepted;
            CHECK(distance(r, by_ip_equation(r)) <= tolerance(r));
            CHECK(distance(r, computed(r)) <= d->bound);
            CHECK(distance(r, computed(r)) > tolerance(r));  // else the exception is not needed
        } else {
            CHECK(distance(r, computed(r)) <= tolerance(r));
        }
    }
    CHECK(excepted == std::size(set_differences));
}
