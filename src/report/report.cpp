#include "offnominal/report.hpp"

#include <algorithm>
#include <array>
#include <span>

#include "offnominal/expect/words.hpp"

namespace offnominal {

namespace {
using namespace detail;

std::string padded(std::string text, std::size_t width, bool right = false) {
    if (text.size() < width) text.insert(right ? 0 : text.size(), width - text.size(), ' ');
    return text;
}

/// A quantity as a report writes it: in the unit and with the decimals of its kind.
std::string number(Kind kind, double si, UnitSystem system) {
    const KindWords& k = row_of_kind(kind);
    return fixed(shown_unit(kind, system).from_si(si), system == UnitSystem::SI ? k.decimals_si : k.decimals_ip);
}
std::string with_unit(Kind kind, double si, UnitSystem system) {
    return number(kind, si, system) + " " + std::string(shown_unit(kind, system).name);
}

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

std::string percent(double fraction, int decimals = 1) { return fixed(100.0 * fraction, decimals) + " %"; }

std::string air_words(const air::State& state, UnitSystem units) {
    return with_unit(Kind::temperature, state.dry_bulb.si, units) + " dry bulb, " +
           with_unit(Kind::temperature, air::wet_bulb(state).si, units) + " wet bulb, " +
           percent(air::relative_humidity(state).si) + " relative humidity";
}

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

std::string notes_words(Notes notes) {
    if (notes.empty()) return {};
    std::string out = "notes\n";
    for (const std::string& note : describe(notes)) out += "  - " + note + "\n";
    return out;
}

std::string delivered_words(const Delivered& d, UnitSystem units) {
    const auto of = [units](Kind kind, double si) { return with_unit(kind, si, units); };
    std::string out = "delivered: total " + of(Kind::capacity, d.total_capacity.si) + ", sensible " +
                      of(Kind::capacity, d.sensible_capacity.si) + ", latent " +
                      of(Kind::capacity, d.latent_capacity.si) + "\n";
    out += "  return " + air_words(d.return_air, units) + "\n";
    out += "  supply " + air_words(d.supply_air, units) + "\n";
    out += "  split " + of(Kind::temperature_difference, d.split.si) + ", " + of(Kind::airflow, d.standard_airflow.si) +
           " standard air, " + of(Kind::mass_flow, d.mass_flow.si);
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
    const std::string of(name(visit.power->of)),
        measured = with_unit(Kind::electric_power, visit.power->value.si, units);
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
    return "  power of the " + of + " " + measured + " measured, " +
           with_unit(Kind::electric_power, power.expected, units) +
           " expected: " + ratio_words(power.ratio, power.ratio_u95) + "\n  efficiency " +
           with_unit(Kind::efficiency, efficiency.measured, units) + " delivered, " +
           with_unit(Kind::efficiency, efficiency.expected, units) +
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
               (heats ? "" : padded(sensible, 17, true)) + padded(power, 10, true) + "\n";
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
            if (step.of == Step::Of::total && (step.factor != 1.0 || kind == Step::Kind::altitude))
                factor = fixed(step.factor, 4);
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

std::string report(const System& system, const Expected& expected, UnitSystem units) {
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
            out += "  split " + with_unit(Kind::temperature_difference, proof.delivered.split.si, units) +
                   " delivered, " + with_unit(Kind::temperature_difference, proof.expected->leaving->split.si, units) +
                   " expected (needs no airflow reading)\n";
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
