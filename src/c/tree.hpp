/// @file
/// What json.cpp and json_proof.cpp have in common: what is told, as a tree of JSON.
#pragma once

#include <cmath>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "c/json.hpp"
#include "offnominal/expect/extras.hpp"
#include "text/dismantle.hpp"

namespace offnominal::c {

using Tree = nlohmann::ordered_json;

/// The text of a whole answer, of which nothing is left.
inline std::string text_of(Tree& tree) {
    const files::Dismantled afterwards{tree};
    return tree.dump(-1, ' ', false, Tree::error_handler_t::replace);  // a path may be no UTF-8
}

inline Tree number(double si, const Unit& unit) { return std::isnan(si) ? Tree() : Tree(unit.from_si(si)); }
template <Worded E>
Tree word(E value) {
    return std::string(name(value));
}
template <class T>
Tree or_null(const std::optional<T>& value) {
    return value ? Tree(*value) : Tree();
}

/// What is told of a T, with what it is and its units first.
template <class T>
Tree heading(std::string_view what, Mode mode, UnitSystem units, bool of_any_mode = false) {
    Tree out, fields = Tree::object();
    out["told"] = std::string(what);
    out["units"] = word(units);
    for (const Told<T>& line : told_of<T>)
        if (of_any_mode || applies(line.modes, mode))
            fields[std::string(line.name)] = std::string(unit_of(line.kind, units).name);
    out["fields"] = std::move(fields);
    return out;
}
template <class T>
void add_numbers(Tree& out, const T& from, Mode mode, UnitSystem units, bool of_any_mode = false) {
    for (const Told<T>& line : told_of<T>)
        if (of_any_mode || applies(line.modes, mode))
            out[std::string(line.name)] = number(line.of(from), unit_of(line.kind, units));
}

inline void add(Tree& out, const System& system, const Expected& e, UnitSystem units) {
    add_numbers<ExpectedValues>(out, e, e.mode, units);
    out["mode"] = word(e.mode);
    out["boundary"] = word(e.boundary);
    out["frost"] = e.mode == Mode::heating ? word(e.frost) : Tree();
    out["power_basis"] = word(e.power_basis);
    out["footing"] = describe(e.footing);
    out["notes"] = describe(e.notes);
    Tree parts = Tree::object(), columns = Tree::object(), ledger = Tree::array();
    add_numbers(parts, e.uncertainty, e.mode, units);
    if (e.mode == Mode::cooling)
        for (const Extra& extra : extras(system, e))
            columns[std::string(extra.name)] = {
                {"value", extra.value ? Tree(extra.unit.from_si(*extra.value)) : Tree()},
                {"unit", std::string(extra.unit.name)},
                {"reason", word(extra.value.reason().why)}};
    for (const Step& step : e.ledger) {
        const Unit& unit = unit_of(row_of(step.of)->kind, units);
        ledger.push_back({{"step", word(step.kind)},
                          {"of", word(step.of)},
                          {"factor", step.factor},
                          {"before", unit.from_si(step.before)},
                          {"after", unit.from_si(step.after)}});
    }
    out["uncertainty_parts"] = std::move(parts);
    out["extras"] = std::move(columns);
    out["ledger"] = std::move(ledger);
}

inline void add(Tree& out, const Delivered& d, UnitSystem units) {
    add_numbers(out, d, d.mode, units);
    out["mode"] = word(d.mode);
    out["notes"] = describe(d.notes);
}

}  // namespace offnominal::c
