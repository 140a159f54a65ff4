/// @file
/// What the package for browsers is made of, from the same description as the C interface: `script_text` is
/// `package/quantities.js`, by which its structs are filled, and `types_text` is `package/quantities.d.ts`.
/// `tests/c/interface.cpp` holds the committed ones against them.
#pragma once

#include <string>
#include <string_view>

#include "../c/description.hpp"

namespace offnominal::web {

inline constexpr std::string_view made =
    "// Written from the one description of every quantity in the library: not to be edited. DEVELOPERS.md (\"The C "
    "interface\")\n// says how it is made.\n";

[[nodiscard]] inline std::string quoted(std::string_view text) {
    std::string out = "\"";
    for (const char c : text) (c == '"' || c == '\\' ? out += '\\' : out) += c;
    return out + '"';
}
/// The structs that a caller fills: questions, and with `columns` those of batches.
template <class With>
void each_question(bool columns, const With& with) {
    c::Header header;
    (void)header.text();
    for (const c::Structure& one : header.structures())
        if (one.name == "conditions" || one.name == "readings" || (columns && one.name.ends_with("_columns")))
            with(one);
}
/// The enumeration that a member's comment names; empty without one.
[[nodiscard]] inline std::string_view enumeration_of(const c::Structure::Member& member) {
    constexpr std::string_view mark = "enum offnominal_";
    const std::size_t at = member.comment.find(mark);
    if (at == std::string::npos) return {};
    const std::string_view rest = std::string_view(member.comment).substr(at + mark.size());
    return rest.substr(0, rest.find_first_not_of("abcdefghijklmnopqrstuvwxyz_"));
}

/// What the script needs to know of the interface.
[[nodiscard]] inline std::string script_text() {
    std::string out(made);
    out += "\n/** Every enumeration, at its number of enum offnominal_enumeration. */\nexport const ENUMERATIONS = [";
    std::string comma;
    c::each_enumeration([&]<class E>(std::string_view name) {
        out += comma + quoted(name);
        comma = ", ";
    });
    out +=
        "];\n\n/** The members of the structs that a caller fills: name, type, and the enumeration whose number it is. "
        "*/\n"
        "export const STRUCTS = {\n";
    each_question(true, [&](const c::Structure& one) {
        out += "  " + one.name + ": [\n";
        for (const c::Structure::Member& member : one.members)
            out += "    [" + quoted(member.name) + ", " + quoted(member.type) + ", " + quoted(enumeration_of(member)) +
                   "],\n";
        out += "  ],\n";
    });
    out +=
        "};\n\n/** The numbers that are asked for: name, the modes that ask for it, its units, what it is. */\n"
        "export const ASKED = {\n";
    const auto list = [&](std::string_view name, const auto& asked) {
        out.append("  ").append(name).append(": [\n");
        for (const auto& line : asked)
            out += "    [" + quoted(line.name) + ", " +
                   quoted(line.modes == Modes::cooling   ? "cooling"
                          : line.modes == Modes::heating ? "heating"
                                                         : "both") +
                   ", { IP: " + quoted(unit_of(line.kind, UnitSystem::IP).name) +
                   ", SI: " + quoted(unit_of(line.kind, UnitSystem::SI).name) + " }, " + quoted(line.meaning) + "],\n";
        out += "  ],\n";
    };
    list("conditions", asked_of_expect);
    list("readings", asked_of_deliver);
    out += "};\n\n/** The numbers that are told of either side: name, units. */\nexport const TOLD = {\n";
    const auto tell = [&](std::string_view name, const auto& told) {
        out.append("  ").append(name).append(": [\n");
        for (const auto& line : told)
            out += "    [" + quoted(line.name) + ", { IP: " + quoted(unit_of(line.kind, UnitSystem::IP).name) +
                   ", SI: " + quoted(unit_of(line.kind, UnitSystem::SI).name) + " }],\n";
        out += "  ],\n";
    };
    tell("expected", told_of<ExpectedValues>);
    tell("delivered", told_of<Delivered>);
    return out + "};\n";
}

/// Types of what is asked and told.
[[nodiscard]] inline std::string types_text() {
    std::string out(made);
    const auto title = [](std::string_view name) {  // `step_of` is StepOf
        std::string word;
        bool starts = true;
        for (const char c : name) {
            if (c != '_') word += starts ? static_cast<char>(std::toupper(static_cast<unsigned char>(c))) : c;
            starts = c == '_';
        }
        return word;
    };
    c::each_enumeration([&]<class E>(std::string_view name) {
        out += "\nexport type " + title(name) + " =";
        for (const auto& row : words_of<E>)
            if (!row.word.empty()) out += "\n  | " + quoted(row.word);
        out += ";\n";
    });
    const auto line = [&](std::string_view comment, const std::string& declaration) {
        if (!comment.empty()) out.append("  /** ").append(comment).append(" */\n");
        out += "  " + declaration + ";\n";
    };
    each_question(false, [&](const c::Structure& one) {
        out += one.name == "conditions" ? "\n/** A question to `expect`. What is left out is not given. */\n"
                                        : "\n/** What the probes read. What is left out is not given. */\n";
        out += "export interface " + title(one.name) + " {\n";
        for (const c::Structure::Member& member : one.members) {
            if (member.name == "struct_size") continue;
            const std::string_view words = enumeration_of(member);
            const bool is_list = member.name.back() == ']';
            const std::string type = is_list                        ? "Partial<Record<" + title(words) + ", number>>"
                                     : !words.empty()               ? title(words)
                                     : member.type == "const char*" ? "string"
                                     : member.comment.starts_with("0 or 1") ? "boolean"
                                                                            : "number";
            line(member.comment, member.name.substr(0, member.name.find('[')) + "?: " + type);
        }
        out += "}\n";
    });
    const auto told = [&](std::string_view name, std::string_view what, const auto& list, bool of_any_mode = false) {
        out.append("\n/** ")
            .append(what)
            .append(" null: there is none. */\nexport interface ")
            .append(name)
            .append(" {\n");
        for (const auto& one : list)
            line(c::meaning_of(one.kind, one.modes, one.meaning),
                 std::string(one.name) + (of_any_mode || one.modes == Modes::both ? "" : "?") + ": number | null");
        out += "}\n";
    };
    told("ExpectedNumbers", "The numbers told of what a machine should deliver.", told_of<ExpectedValues>);
    told("UncertaintyParts", "What the uncertainty of an expected capacity is made of.", told_of<ExpectedUncertainty>);
    told("DeliveredNumbers", "The numbers told of what a machine delivers.", told_of<Delivered>);
    told("ProofNumbers", "The numbers told of a proof.", told_of<Proof>, true);
    out += "\n/** The columns of a table of visits. NaN: not given. */\nexport interface VisitColumns {\n";
    for (const auto& one : asked_of_prove)
        line(c::meaning_of(one.kind, one.modes, one.meaning), std::string(one.name) + "?: ArrayLike<number>");
    out += "}\n";
    return out;
}

}  // namespace offnominal::web
