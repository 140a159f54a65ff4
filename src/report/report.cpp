#include "offnominal/report.hpp"

#include <algorithm>

namespace offnominal {

namespace {
using namespace detail;

std::string padded(std::string text, std::size_t width, bool right = false) {
    if (text.size() < width) text.insert(right ? 0 : text.size(), width - text.size(), ' ');
    return text;
}

/// How quantities are written in a text: unit and decimals.
struct Style {
    explicit Style(UnitSystem system)
        : ip(system != UnitSystem::SI),
          temperature(ip ? units::degF : units::degC),
          difference(ip ? units::delta_degF : units::delta_degC),
          capacity(ip ? units::Btu_h : units::W),
          airflow(ip ? units::cfm : units::L_s),
          length(ip ? units::ft : units::m) {}

    bool ip;
    Unit temperature, difference, capacity, airflow, length;

    [[nodiscard]] static std::string with(double si, const Unit& unit, int decimals) {
        return fixed(unit.from_si(si), decimals) + " " + std::string(unit.name);
    }
    [[nodiscard]] std::string of(Temperature t) const { return with(t.si, temperature, 1); }
    [[nodiscard]] std::string of(TemperatureDifference d) const { return with(d.si, difference, 1); }
    [[nodiscard]] std::string of_capacity(Power p) const { return with(p.si, capacity, 0); }
    [[nodiscard]] std::string standard(Airflow a) const { return with(a.si, airflow, 0) + " standard air"; }
};

/// Where a page was entered along one axis: `  outdoor dry bulb      91.0 degF, between 85 and 95 at 0.600`.
std::string entered_axis(const RatingTable& table, std::size_t axis, double entered, UnitSystem units) {
    const auto x = table.grid().breakpoints(axis);
    std::size_t i = 0;
    while (i + 2 < x.size() && entered >= x[i + 1]) ++i;
    std::string out = "  " + padded(axis_name(table, axis), 18) + " ";
    const double t = x.size() > 1 ? (entered - x[i]) / (x[i + 1] - x[i]) : 0.0;
    if (table.axes()[axis] == PageAxis::humidity && table.humidity() == HumidityAxis::pairs) {
        out += breakpoint(table, axis, i, units);
        if (x.size() > 1) out += " to " + breakpoint(table, axis, i + 1, units) + " at " + fixed(t, 3);
        return out + "\n";
    }
    const Unit unit = axis_unit(table, axis, units);
    out += padded(fixed(unit.from_si(entered), 1), 7, true) + " " + std::string(unit.name);
    if (x.size() > 1)
        out +=
            ", between " + brief(unit.from_si(x[i])) + " and " + brief(unit.from_si(x[i + 1])) + " at " + fixed(t, 3);
    return out + "\n";
}

std::string percent(double fraction, int decimals = 1) { return fixed(100.0 * fraction, decimals) + " %"; }

std::string air_words(const air::State& state, const Style& style) {
    return style.of(state.dry_bulb) + " dry bulb, " + style.of(air::wet_bulb(state)) + " wet bulb, " +
           percent(air::relative_humidity(state).si) + " relative humidity";
}

std::string expected_words(const System& system, const Expected& e, UnitSystem units) {
    const Style style(units);
    std::string out = "expected at " + std::string(name(e.boundary)) + ": total " + style.of_capacity(e.total_capacity);
    if (e.sensible_capacity)
        out += ", sensible " + style.of_capacity(*e.sensible_capacity) + ", latent " +
               style.of_capacity(*e.latent_capacity);
    out += "\n";
    if (e.power) {
        out += "  power " + Style::with(e.power->si, units::W, 0) + " (" + std::string(name(e.power_basis)) + ")";
        if (e.system_power) out += ", with indoor fan " + Style::with(e.system_power->si, units::W, 0);
        out += "\n";
    }
    if (e.leaving)
        out += "  leaving " + style.of(e.leaving->dry_bulb) + " dry bulb, " + style.of(e.leaving->wet_bulb) +
               " wet bulb, " + percent(e.leaving->relative_humidity) + " relative humidity, split " +
               style.of(e.leaving->split) + "\n";
    out += "  footing: " + describe(e.footing) + "; own standard uncertainty " +
           percent(e.uncertainty.combined() / e.total_capacity.si) + "\n";
    return out + explain(system, e, units);
}

std::string notes_words(Notes notes) {
    if (notes.empty()) return {};
    std::string out = "notes\n";
    for (const std::string& note : describe(notes)) out += "  - " + note + "\n";
    return out;
}

std::string delivered_words(const Delivered& d, UnitSystem units) {
    const Style style(units);
    std::string out = "delivered: total " + style.of_capacity(d.total_capacity) + ", sensible " +
                      style.of_capacity(d.sensible_capacity) + ", latent " + style.of_capacity(d.latent_capacity) +
                      "\n";
    out += "  return " + air_words(d.return_air, style) + "\n";
    out += "  supply " + air_words(d.supply_air, style) + "\n";
    out += "  split " + style.of(d.split) + ", " + style.standard(d.standard_airflow) + ", ";
    out += style.ip ? Style::with(d.mass_flow.si, units::lb_h, 0) : Style::with(d.mass_flow.si, units::kg_s, 4);
    return out + " of dry air\n";
}

std::string words(Input input) {
    std::string out(name(input));
    std::replace(out.begin(), out.end(), '_', ' ');
    return out;
}

std::string budget_words(const Proof& proof) {
    std::string out = "  " + padded("what moves the ratio (by its standard uncertainty)", 52) +
                      padded("delivered", 11, true) + padded("expected", 10, true) + padded("ratio", 8, true) +
                      padded("share", 8, true) + "\n";
    for (const BudgetLine& line : proof.budget) {
        if (line.standard == 0.0 || line.input == Input::power) continue;  // power is in no capacity
        const std::string what = words(line.input);
        out += "  " + padded(what, 52) + padded(percent(line.delivered, 2), 11, true) +
               padded(percent(line.expected, 2), 10, true) + padded(percent(line.ratio, 2), 8, true) +
               padded(percent(line.share, 0), 8, true) + "\n";
    }
    return out + "  " + padded("expected side's own: page, factors, altitude, tolerance", 52) + padded("", 11) +
           padded(percent(proof.expected_u, 2), 10, true) + padded(percent(proof.expected_u, 2), 8, true) +
           padded(percent(proof.expected_share, 0), 8, true) + "\n";
}

/// A ratio with its doubt: "ratio 0.987 +- 0.036".
std::string ratio_words(double ratio, double u95) { return "ratio " + fixed(ratio, 3) + " +- " + fixed(u95, 3); }

/// Power and efficiency beside the page's, or why not; nothing where no power was measured.
std::string power_words(const System& system, const Visit& visit, const Proof& proof, UnitSystem units) {
    if (!visit.power) return {};
    const std::string of(name(visit.power->of)), measured = Style::with(visit.power->value.si, offnominal::units::W, 0);
    if (!proof.power) {
        std::string out = "  power " + measured + " measured of the " + of + ", not compared: ";
        if (proof.no_power == proof.reason) return out + "no ratio\n";
        out += explain(proof.no_power, units);
        if (proof.no_power.why == Why::unlike_basis)
            out += " (the page's is of the " + std::string(name(page_of(system, *proof.expected).table.basis().power)) +
                   ")";
        return out + "; nor is the efficiency\n";
    }
    const Comparison &power = *proof.power, &efficiency = *proof.efficiency;
    const Style style(units);
    const Unit unit = style.ip ? offnominal::units::Btu_Wh : offnominal::units::W_W;
    return "  power of the " + of + " " + measured + " measured, " +
           Style::with(power.expected, offnominal::units::W, 0) +
           " expected: " + ratio_words(power.ratio, power.ratio_u95) + "\n  efficiency " +
           Style::with(efficiency.measured, unit, 2) + " delivered, " + Style::with(efficiency.expected, unit, 2) +
           " expected: " + ratio_words(efficiency.ratio, efficiency.ratio_u95) + "\n";
}

/// How the readings stand to the stages, where that is in doubt.
std::string nearest_words(const System& system, const Visit& visit, const Proof& proof, UnitSystem units) {
    std::string out;
    const SystemParts& parts = system.parts();
    const auto& stages = system.stages(system.match(visit.match));
    for (const StageFit& fit : proof.nearest) {
        const Stage& stage = stages[static_cast<std::size_t>(fit.stage)];
        out += "    " + stage.name;
        if (stage.speed)
            out +=
                " (" + brief(parts.speed_unit.from_si(*stage.speed)) + " " + std::string(parts.speed_unit.name) + ")";
        out += fit.ratio ? ": total " + fixed(*fit.ratio, 3) : ": no total (" + explain(fit.reason, units) + ")";
        if (fit.power_ratio) out += ", power " + fixed(*fit.power_ratio, 3);
        out += " of expected\n";
    }
    return out.empty() ? out : "  against each stage, best fit first (a hint, not a proof)\n" + out;
}

std::string expected_words(const System& system, const ExpectedHeating& e, UnitSystem units) {
    const Style style(units);
    std::string out = "expected at " + std::string(name(e.boundary)) + ": " + style.of_capacity(e.capacity) + " of " +
                      (e.frost == Frost::unknown ? "" : std::string(name(e.frost)) + " ") + "heating";
    if (e.auxiliary_heat.si > 0.0)
        out += ", without " + Style::with(e.auxiliary_heat.si, units::W, 0) + " of auxiliary heat";
    out += "\n";
    if (e.power) {
        out += "  power " + Style::with(e.power->si, units::W, 0) + " (" + std::string(name(e.power_basis)) + ")";
        if (e.system_power) out += ", with indoor fan " + Style::with(e.system_power->si, units::W, 0);
        if (e.cop) out += ", COP " + fixed(*e.cop, 2);
        out += "\n";
    }
    if (e.leaving) out += "  leaving " + style.of(e.leaving->dry_bulb) + " dry bulb, rise " + style.of(e.rise()) + "\n";
    out += "  footing: " + describe(e.footing) + "; own standard uncertainty " +
           fixed(100.0 * e.uncertainty.combined() / e.capacity.si, 1) + " %\n";
    return out + explain(system, e, units);
}

}  // namespace

std::string explain(const System& system, const Expected& e, UnitSystem units) {
    const Style style(units);
    const Stage& page = page_of(system, e);
    const SystemParts& parts = system.parts();
    std::string out = "page: " + page.name + " stage";
    if (e.match >= 0) out += ", " + parts.matches[static_cast<std::size_t>(e.match)].name;
    if (!parts.source.document.empty())
        out += " (" + parts.source.document + (parts.source.page.empty() ? "" : ", page " + parts.source.page) + ")";
    out += "\n";

    for (std::size_t axis = 0; axis < page.table.axes().size(); ++axis)
        out += entered_axis(page.table, axis, e.entered[page.table.axes()[axis]], units);

    const std::string unit(style.capacity.name);
    out += "  " + padded("step", 30) + padded("factor", 9, true) + padded("total " + unit, 14, true) +
           padded("sensible " + unit, 17, true) + padded("power W", 10, true) + "\n";
    const auto steps = e.ledger.steps();
    for (std::size_t s = 0; s < steps.size();) {
        const Step::Kind kind = steps[s].kind;
        std::array<std::string, 3> cell;
        std::string factor, what(name(kind));
        for (; s < steps.size() && steps[s].kind == kind; ++s) {
            const Step& step = steps[s];
            const Unit& u = step.of == Step::Of::power ? units::W : style.capacity;
            cell[static_cast<std::size_t>(step.of)] = fixed(u.from_si(step.after), 0);
            if (step.of == Step::Of::total && step.factor != 1.0) factor = fixed(step.factor, 4);
        }
        if (kind == Step::Kind::match) what += " " + parts.matches[static_cast<std::size_t>(e.match)].name;
        if (kind == Step::Kind::dry_coil && e.knee) what += ", turns wet at " + style.of(*e.knee);
        if (kind == Step::Kind::speed)
            what += ", " + fixed(e.between, 3) + " of the way to " + upper_page_of(system, e).name;
        if (kind == Step::Kind::coil) what += ", bypass " + fixed(e.bypass, 3);
        out += "  " + padded(what, 30) + padded(factor, 9, true) + padded(cell[0], 14, true) +
               padded(cell[1], 17, true) + padded(cell[2], 10, true) + "\n";
    }
    return out;
}

std::string explain(const System& system, const ExpectedHeating& e, UnitSystem units) {
    const Style style(units);
    const SystemParts& parts = system.parts();
    const HeatingStage& page = parts.heating[static_cast<std::size_t>(e.page)];
    std::string out = "page: " + page.name + " stage, " + std::string(name(page.frost)) + " heating";
    if (e.match >= 0) out += ", " + parts.matches[static_cast<std::size_t>(e.match)].name;
    if (!parts.source.document.empty())
        out += " (" + parts.source.document + (parts.source.page.empty() ? "" : ", page " + parts.source.page) + ")";
    out += "\n";

    const std::array<double, heating_axes> entered{e.outdoor_dry_bulb.si, e.standard_airflow.si,
                                                   e.entering_dry_bulb.si};
    for (std::size_t axis = 0; axis < heating_axes; ++axis) {
        const auto x = page.table.grid().breakpoints(axis);
        const Unit& unit = axis == 1 ? style.airflow : style.temperature;
        std::size_t i = 0;
        while (i + 2 < x.size() && entered[axis] >= x[i + 1]) ++i;
        out += "  " + padded(page.table.grid().axes()[axis].name(), 18) +
               padded(fixed(unit.from_si(entered[axis]), 1), 8, true) + " " + std::string(unit.name);
        if (x.size() > 1)
            out += ", between " + brief(unit.from_si(x[i])) + " and " + brief(unit.from_si(x[i + 1])) + " at " +
                   fixed((entered[axis] - x[i]) / (x[i + 1] - x[i]), 3);
        out += "\n";
    }

    out += "  " + padded("step", 30) + padded("factor", 9, true) +
           padded("capacity " + std::string(style.capacity.name), 17, true) + padded("power W", 10, true) + "\n";
    const auto steps = e.ledger.steps();
    for (std::size_t s = 0; s < steps.size();) {
        const Step::Kind kind = steps[s].kind;
        std::string factor, capacity, power;
        for (; s < steps.size() && steps[s].kind == kind; ++s) {
            const Step& step = steps[s];
            const bool is_power = step.of == Step::Of::power;
            (is_power ? power : capacity) = fixed((is_power ? units::W : style.capacity).from_si(step.after), 0);
            if (!is_power && step.factor != 1.0) factor = fixed(step.factor, 4);
        }
        out += "  " + padded(std::string(name(kind)), 30) + padded(factor, 9, true) + padded(capacity, 17, true) +
               padded(power, 10, true) + "\n";
    }
    return out;
}

std::string report(const System& system, const Expected& expected, UnitSystem units) {
    return system.name() + "\n" + expected_words(system, expected, units) + notes_words(expected.notes) +
           std::string(cautions);
}

std::string report(const System& system, const ExpectedHeating& expected, UnitSystem units) {
    return system.name() + "\n" + expected_words(system, expected, units) + notes_words(expected.notes) +
           std::string(cautions);
}

std::string report(const System& system, const Visit& visit, const Proof& proof, UnitSystem units) {
    std::string out = (visit.name.empty() ? std::string("visit") : visit.name) +
                      (visit.date.empty() ? "" : ", " + visit.date) + "\n" + system.name() + "\n";
    if (proof.expected) out += expected_words(system, *proof.expected, units);
    out += delivered_words(proof.delivered, units);
    out += "proof: " + std::string(name(proof.outcome)) + "\n";
    if (proof.ratio) {
        out += "  ratio of delivered to expected total " + fixed(*proof.ratio, 3) + " +- " + fixed(proof.ratio_u95, 3) +
               " (coverage factor 2, about 95 %)\n";
        out += "  probability that the true ratio is at least " + fixed(proof.limit, 2) + ": " +
               fixed(proof.probability, 3) + "; meets from " + fixed(proof.confidence, 2) + ", falls short up to " +
               fixed(1.0 - proof.confidence, 2) + "\n";
        if (proof.expected && proof.expected->leaving)
            out += "  split " + Style(units).of(proof.delivered.split) + " delivered, " +
                   Style(units).of(proof.expected->leaving->split) + " expected (needs no airflow reading)\n";
        out += budget_words(proof);
        if (proof.outcome == Outcome::undecided && !proof.notes.has(Note::speed_unknown))
            out += "  to decide, measure better first: " + words(proof.budget.front().input) + "\n";
        if (proof.outcome == Outcome::implausible)
            out +=
                "  a ratio this far above 1 is far more often a measuring error than a superb machine: check airflow "
                "and probes\n";
    } else {
        out += "  no ratio: " + explain(proof.reason, units) + "\n";
    }
    out += power_words(system, visit, proof, units);
    out += nearest_words(system, visit, proof, units);
    if (proof.notes.has(Note::speed_unknown))
        out += "  to decide, hold the compressor by the maker's test mode, and say so: speed_held: true\n";
    return out + notes_words(proof.notes) + std::string(cautions);
}

}  // namespace offnominal
