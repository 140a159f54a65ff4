/// @file
/// What json.cpp and json_proof.cpp have in common: what is told, as a tree of JSON.
#pragma once

#include <cmath>
#include <initializer_list>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "c/json.hpp"
#include "offnominal/expect/extras.hpp"

namespace offnominal::c {

/// Words and numbers are written by the JSON library, but its tree is not used: to take one apart it asks for memory,
/// and where there is none it ends the program.
class Tree {
   public:
    struct Member;

    Tree() = default;  ///< null
    template <class T>
    requires(std::is_arithmetic_v<T> || std::is_convertible_v<const T&, std::string_view>) Tree(const T& value) {
        using Json = nlohmann::json;
        constexpr auto replace = Json::error_handler_t::replace;  // a path may be no UTF-8
        if constexpr (std::is_arithmetic_v<T>)
            text_ = Json(value).dump();
        else
            text_ = Json(std::string(std::string_view(value))).dump(-1, ' ', false, replace);
    }
    template <class Values>
    requires(!std::is_convertible_v<const Values&, std::string_view> &&
             requires(const Values& values) { values.end(); }) Tree(const Values& values)
        : Tree(array()) {
        for (const auto& value : values) push_back(value);
    }
    Tree(std::initializer_list<Member> members);

    [[nodiscard]] static Tree object() { return Tree(Is::object); }
    [[nodiscard]] static Tree array() { return Tree(Is::array); }

    /// A member of an object, which null becomes.
    Tree& operator[](std::string_view key) {
        is_ = Is::object;
        for (std::size_t i = 0; i < keys_.size(); ++i)
            if (keys_[i] == key) return inner_[i];
        keys_.emplace_back(key);
        return inner_.emplace_back();
    }
    Tree& push_back(Tree value) { return inner_.emplace_back(std::move(value)); }

    void write(std::string& out) const {
        if (is_ == Is::value) {
            out += text_;
            return;
        }
        out += is_ == Is::object ? '{' : '[';
        for (std::size_t i = 0; i < inner_.size(); ++i) {
            if (i > 0) out += ',';
            if (is_ == Is::object) out += Tree(keys_[i]).text_ + ":";
            inner_[i].write(out);
        }
        out += is_ == Is::object ? '}' : ']';
    }

   private:
    enum class Is { value, object, array };

    explicit Tree(Is is) : is_(is) {}

    Is is_ = Is::value;
    std::string text_ = "null";
    std::vector<std::string> keys_;  ///< of an object
    std::vector<Tree> inner_;
};
struct Tree::Member {
    std::string_view key;
    Tree value;
};
inline Tree::Tree(std::initializer_list<Member> members) : Tree(object()) {
    for (const Member& member : members) (*this)[member.key] = member.value;
}

inline std::string text_of(const Tree& tree) {
    std::string out;
    tree.write(out);
    return out;
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
