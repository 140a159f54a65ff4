#include <algorithm>
#include <array>
#include <span>

#include "offnominal/expect/words.hpp"
#include "offnominal/version.hpp"
#include "text.hpp"

namespace offnominal {

namespace {
using namespace detail;

/// Where a page was entered along one axis: `  outdoor dry bulb      91.0 degF, between 85 and 95 at 0.600`.
std::string entered_axis(const std::string& name, std::span<const double> x, double entered, const Unit& unit) {
    std::size_t i = 0;
    while (i + 2 < x.size() && entered >= x[i + 1]) ++i;
    std::string out =
        "  " + padded(name, 18) + " " + padded(fixed(unit.from_si(entered), 1), 7, true) + " " + std::string(unit.name);
    if (x.size() > 1)
        out += ", between " + brief(unit.from_si(x[i])) + " and " + brief(unit.from_si(x[i + 1])) + " at " +
               fixed((entered - x[i]) / (x[i + 1] - x[i]), 3);
    return out + "\n";
}

std::string entered_axis(const RatingTable& table, std::size_t axis, double entered, UnitSystem units) {
    const auto x = table.grid().breakpoints(axis);
    if (table.axes()[axis] != PageAxis::humidity || table.humidity() != HumidityAxis::pairs)
        return entered_axis(axis_name(table, axis), x, entered, axis_unit(table, axis, units));
    std::size_t i = 0;
    while (i + 2 < x.size() && entered >= x[i + 1]) ++i;
    std::string out = "  " + padded(axis_name(table, axis), 18) + " " + breakpoint(table, axis, i, units);
    if (x.size() > 1)
        out += " to " + breakpoint(table, axis, i + 1, units) + " at " + fixed((entered - x[i]) / (x[i + 1] - x[i]), 3);
    return out + "\n";
}

std::string entered_axes(const RatingTable& table, const Expected& e, UnitSystem units) {
    std::string out;
    for (std::size_t axis = 0; axis < table.axes().size(); ++axis)
        out += entered_axis(table, axis, e.entered[table.axes()[axis]], units);
    return out;
}
std::string entered_axes(const HeatingTable& table, const Expected& e, UnitSystem units) {
    std::string out;
    for (std::size_t axis = 0; axis < heating_axes; ++axis)
        out += entered_axis(table.grid().axes()[axis].name(), table.grid().breakpoints(axis),
                            e.entered[heating_page_axes[axis]],
                            shown_unit(axis == 1 ? Kind::airflow : Kind::temperature, units));
    return out;
}

}  // namespace

std::string explain(const System& system, const Expected& e, UnitSystem units) {
    const SystemParts& parts = system.parts();
    const bool heats = e.mode == Mode::heating;
    const HeatingStage* heating = heats ? &parts.heating[static_cast<std::size_t>(e.stage)] : nullptr;
    const Stage* cooling = heats ? nullptr : &page_of(system, e);
    std::string out = "page: " + (heats ? heating->name : cooling->name) + " stage";
    if (heats) out += ", " + std::string(name(heating->frost)) + " heating";
    if (e.match >= 0) out += ", " + parts.matches[static_cast<std::size_t>(e.match)].name;
    if (!parts.source.document.empty())
        out += " (" + parts.source.document + (parts.source.page.empty() ? "" : ", page " + parts.source.page) + ")";
    out += "\n" + (heats ? entered_axes(heating->table, e, units) : entered_axes(cooling->table, e, units));

    const std::string unit(shown_unit(Kind::capacity, units).name);
    const auto row = [&](const std::string& what, const std::string& factor, const std::string& total,
                         const std::string& sensible, const std::string& power) {
        out += "  " + padded(what, 30) + padded(factor, 9, true) + padded(total, heats ? 17 : 14, true) +
               (heats ? "" : padded(sensible, 17, true)) + padded(power, 10, true);
        out.erase(out.find_last_not_of(' ') + 1);
        out += "\n";
    };
    row("step", "factor", (heats ? "capacity " : "total ") + unit, "sensible " + unit, "power W");
    const auto& steps = e.ledger;
    for (std::size_t s = 0; s < steps.size();) {
        const Step::Kind kind = steps[s].kind;
        std::array<std::string, 3> cell;
        std::string factor, what(name(kind));
        for (; s < steps.size() && steps[s].kind == kind; ++s) {
            const Step& step = steps[s];
            const StepOfWords& of = *row_of(step.of);
            if (step.of > Step::Of::power)  // not a column of its own
                what += ", " + with_unit(of.kind, step.before, units) + " to " + with_unit(of.kind, step.after, units) +
                        (of.kind == Kind::temperature ? " " + std::string(of.word) : "");
            else
                cell[static_cast<std::size_t>(step.of)] = number(of.kind, step.after, units);
            if (step.of == Step::Of::total && step.factor != 1.0) factor = fixed(step.factor, 4);
        }
        if (kind == Step::Kind::match) what += " " + parts.matches[static_cast<std::size_t>(e.match)].name;
        if (kind == Step::Kind::dry_coil && e.knee)
            what += ", turns wet at " + with_unit(Kind::temperature, e.knee->si, units);
        if (kind == Step::Kind::speed) {
            Expected upper = e;
            upper.stage = e.upper_stage;
            what += ", " + fixed(e.between, 3) + " of the way to " + page_of(system, upper).name;
        }
        if (kind == Step::Kind::coil && e.bypass) what += ", bypass " + fixed(*e.bypass, 3);
        row(what, factor, cell[0], cell[1], cell[2]);
    }
    return out;
}

namespace detail {
std::string expected_words(const System& system, const Expected& e, UnitSystem units) {
    const auto of = [units](Kind kind, double si) { return with_unit(kind, si, units); };
    std::string out = "expected at " + std::string(name(e.boundary)) + ": ";
    const std::string total = of(Kind::capacity, e.total_capacity.si);
    if (e.mode == Mode::heating)
        out += total + " of " + (e.frost == Frost::unknown ? "" : std::string(name(e.frost)) + " ") + "heating";
    else
        out += "total " + total;
    if (e.sensible_capacity)
        out += ", sensible " + of(Kind::capacity, e.sensible_capacity->si) + ", latent " +
               of(Kind::capacity, e.latent_capacity->si);
    if (e.auxiliary_heat.si > 0.0)
        out += ", without " + of(Kind::electric_power, e.auxiliary_heat.si) + " of auxiliary heat";
    out += "\n";
    if (e.power) {
        out += "  power " + of(Kind::electric_power, e.power->si) + " (" + std::string(name(e.power_basis)) + ")";
        if (e.system_power) out += ", with indoor fan " + of(Kind::electric_power, e.system_power->si);
        if (e.cop) out += ", COP " + fixed(*e.cop, 2);
        out += "\n";
    }
    if (e.leaving && e.mode == Mode::heating)
        out += "  leaving " + of(Kind::temperature, e.leaving->dry_bulb.si) + " dry bulb, rise " +
               of(Kind::temperature_difference, -e.leaving->split.si) + "\n";
    else if (e.leaving)
        out += "  leaving " + of(Kind::temperature, e.leaving->dry_bulb.si) + " dry bulb, " +
               of(Kind::temperature, e.leaving->wet_bulb.si) + " wet bulb, " + percent(e.leaving->relative_humidity) +
               " relative humidity, split " + of(Kind::temperature_difference, e.leaving->split.si) + "\n";
    out += "  footing: " + describe(e.footing) + "; own standard uncertainty " +
           percent(e.uncertainty.combined() / e.total_capacity.si) + "\n";
    return out + explain(system, e, units);
}
}  // namespace detail

std::string report(const System& system, const Expected& expected, UnitSystem units) {
    return system.name() + "\n" + expected_words(system, expected, units) + notes_words(describe(expected.notes)) +
           std::string(cautions);
}

int library_version() noexcept { return OFFNOMINAL_VERSION; }

}  // namespace offnominal
