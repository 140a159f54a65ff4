#include "page_axes.hpp"

#include <algorithm>
#include <cmath>

#include "offnominal/air.hpp"
#include "page_roles.hpp"

namespace offnominal::files {
namespace {

using Kind = TypedAxis::Kind;

/// Converting units is the only way in which two typed values that mean the same differ.
bool same(double a, double b) { return std::abs(a - b) <= 1e-9 * std::max(std::abs(a), 1.0); }

/// Refuses a value of an axis where it was typed.
[[noreturn]] void refuse_value(const Fields& fields, const Table& table, const TypedAxis& axis, double si,
                               const std::string& problem, const std::string& accepted) {
    if (axis.kind == Kind::one_value)
        fields.refuse(*fields.find(axis.role), fields.path(axis.role) + ": " + problem, accepted);
    if (axis.kind == Kind::columns) table.refuse(table.column(roles::sensible.name), problem, accepted);
    const auto row = std::ranges::find_if(table.rows(), [&](const Row& r) { return value(r, axis.column) == si; });
    table.refuse(*row, axis.column, problem, accepted);
}

/// `sensible@75` says 75 in the unit of the page's other indoor temperatures, or else of the outdoor ones.
TypedAxis dry_bulbs_of_columns(const Table& table, const TypedAxis& wet_bulb, const TypedAxis& outdoor) {
    const Unit unit = wet_bulb.kind != Kind::absent && wet_bulb.unit.dimension == Dimension::temperature ? wet_bulb.unit
                      : outdoor.kind != Kind::absent                                                     ? outdoor.unit
                                                                                                         : units::degC;
    return axis_of_columns(table, roles::sensible.name, roles::edb.name, unit);
}

void check_humidities(const Fields& fields, const Table& table, const TypedAxis& axis) {
    const bool percent = axis.unit.name == units::percent.name;
    for (const double rh : axis.values) {
        if (percent && rh > 0.0 && rh < 0.0105)
            refuse_value(fields, table, axis, rh, "a relative humidity of about 1 %: was it a fraction?",
                         "per cent, such as 55, or the unit 1");
        if (rh >= 0.0 && rh <= 1.0) continue;
        refuse_value(fields, table, axis, rh, "not a relative humidity",
                     percent ? "0 to 100 %" : "a fraction from 0 to 1, or the unit %");
    }
}

void check_pressures(const Fields& fields, const Table& table, const TypedAxis& axis) {
    for (const double p : axis.values)
        if (!(p >= air::least_pressure && p <= air::greatest_pressure))
            refuse_value(fields, table, axis, p, "not the pressure of a place: a wrong unit?",
                         "50 to 110 kPa, as an absolute pressure");
}

void check_pairs(const Table& table, const TypedAxis& axis) {
    if (axis.pairs.size() > 1000)  // each is held against each
        table.refuse(axis.column, "more than 1,000 pairs of dry and wet bulb", "a page as it is printed");
    for (const Row& row : table.rows())
        if (value(row, axis.second) > value(row, axis.column))
            table.refuse(row, axis.second, "a wet bulb above the dry bulb of its pair", "edb and ewb as in 80 67");
}

/// One entering dry bulb for all of the page is what its sensible column is printed for.
void read_sensible_at(const Fields& fields, const Table& table, const TypedAxis& edb, Basis& basis) {
    const double si = edb.values.front();
    if (basis.sensible_at && !same(basis.sensible_at->si, si))
        refuse_value(fields, table, edb, si, "another entering dry bulb than sensible_at", "the same, or one of them");
    basis.sensible_at = Temperature{si};
}

/// One station pressure for all of the page is that of its elevation.
void read_elevation(const Fields& fields, const Table& table, const TypedAxis& pressure, Basis& basis) {
    const double si = pressure.values.front();
    if (!basis.elevation) {
        basis.elevation = Length{air::si::elevation_at_pressure(si)};
    } else if (std::abs(air::si::pressure_at_elevation(basis.elevation->si) / si - 1.0) > 0.005) {
        refuse_value(fields, table, pressure, si, "not the pressure at the page's elevation",
                     "a pressure within 0.5 % of it, or one of them");
    }
}

/// Wet bulbs for relative humidities at the one entering dry bulb and pressure of the page.
std::vector<double> wet_bulbs(const Fields& fields, const Table& table, const TypedAxis& humidity, const Basis& basis) {
    if (!basis.sensible_at)
        refuse_value(fields, table, humidity, humidity.values.front(),
                     "a relative humidity without the entering dry bulb it is printed for",
                     "a column edb, or edb: 80 degF, or sensible_at: 80 degF");
    const Pressure pressure{basis.elevation ? air::si::pressure_at_elevation(basis.elevation->si)
                                            : air::si::standard_pressure};
    std::vector<double> out;
    for (const double rh : humidity.values) {
        const auto state = air::try_state(*basis.sensible_at, air::relative_humidity(rh), pressure);
        if (!state)
            refuse_value(fields, table, humidity, rh, "no moist air has this humidity at the page's entering dry bulb",
                         "the relative humidities and the entering dry bulb of the page");
        out.push_back(air::wet_bulb(*state).si);
    }
    return out;
}

}  // namespace

std::vector<TypedAxis> cooling_axes(const Fields& fields, const Table& table) {
    const TypedAxis outdoor = axis_of(fields, table, roles::odb), airflow = axis_of(fields, table, roles::airflow),
                    ewb = axis_of(fields, table, roles::ewb), rh = axis_of(fields, table, roles::rh),
                    pressure = axis_of(fields, table, roles::pressure);
    TypedAxis edb = axis_of(fields, table, roles::edb);

    if (ewb.kind == Kind::absent && rh.kind == Kind::absent) (void)table.need(roles::ewb.name);
    if (ewb.kind != Kind::absent && rh.kind != Kind::absent) {
        const std::string problem = "a relative humidity beside a wet bulb", accepted = "one of ewb and rh";
        if (rh.column >= 0) table.refuse(rh.column, problem, accepted);
        fields.refuse(*fields.find(rh.role), fields.path(rh.role) + ": " + problem, accepted);
    }
    const auto at = std::ranges::find_if(table.columns(), [](const Table::Column& c) { return c.at.has_value(); });
    if (at != table.columns().end()) {
        if (edb.kind != Kind::absent)
            table.refuse(static_cast<int>(at - table.columns().begin()), "an entering dry bulb in the name of a column",
                         "a column edb (or edb: 80 degF), or sensible@75, not both");
        edb = dry_bulbs_of_columns(table, ewb.kind != Kind::absent ? ewb : rh, outdoor);
    }
    const Item* indoor = fields.find("indoor");
    if (indoor == nullptr) return {outdoor, airflow, ewb.kind == Kind::absent ? rh : ewb, edb, pressure};
    if (edb.kind != Kind::column || ewb.kind != Kind::column)
        fields.refuse(*indoor, fields.path("indoor") + ": the page has no pairs", "columns edb and ewb");
    return {outdoor, airflow, axis_of_pairs(table, edb.column, ewb.column), TypedAxis{}, pressure};
}

std::string hint_of_pairs(const std::vector<TypedAxis>& axes) {
    const bool both = axes[2].role == roles::ewb.name && axes[2].kind == Kind::column && axes[3].kind == Kind::column;
    return both ? "indoor: path, where edb and ewb are printed as pairs (75/63, 80/67)" : std::string();
}

void fill_axes(const Fields& fields, const Table& table, const Layout& layout, Basis& basis, PrintedPage& page) {
    const TypedAxis &outdoor = layout.axis(0), &airflow = layout.axis(1), &humidity = layout.axis(2),
                    &edb = layout.axis(3), &pressure = layout.axis(4);
    page.outdoor_dry_bulb = outdoor.values;
    page.airflow = standard_airflows(airflow);
    // The unit may say what the page does not.
    const bool mass_flow = airflow.unit.dimension == Dimension::mass_flow;
    if (airflow.unit.standard_air || mass_flow) basis.airflow = AirflowBasis::standard;
    if (mass_flow && basis.standard_pound == Pound::unknown) basis.standard_pound = Pound::dry;

    if (edb.values.size() == 1) read_sensible_at(fields, table, edb, basis);
    if (edb.values.size() > 1) page.entering_dry_bulb = edb.values;
    check_pressures(fields, table, pressure);
    if (pressure.values.size() == 1) read_elevation(fields, table, pressure, basis);
    if (pressure.values.size() > 1) page.pressure = pressure.values;

    if (humidity.kind == Kind::pairs) {
        check_pairs(table, humidity);
        for (const auto& [dry, wet] : humidity.pairs) page.pairs.push_back({dry, wet});
        page.pairs_are_points = fields.choice("indoor", false, {{"path", false}, {"points", true}});
    } else if (humidity.role == roles::rh.name) {
        check_humidities(fields, table, humidity);
        if (edb.values.size() > 1) {
            page.relative_humidity = humidity.values;
        } else if (pressure.values.size() > 1) {
            refuse_value(fields, table, humidity, humidity.values.front(),
                         "relative humidities at one entering dry bulb, for several pressures",
                         "wet bulbs, or a page for each pressure");
        } else {
            page.entering_wet_bulb = wet_bulbs(fields, table, humidity, basis);
        }
    } else {
        page.entering_wet_bulb = humidity.values;
    }
}

}  // namespace offnominal::files
