/// @file
/// What the C interface is made of: its enumerations and the members of its structs, from the one description of every
/// quantity (`told_of`, `asked_of_expect`, `asked_of_deliver`, `words_of`). `header_text` is the header
/// `offnominal/quantities.h`; `tests/c/interface.cpp` holds the committed one against it.
#pragma once

#include <cctype>
#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/expect/batch.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/proof/many.hpp"

namespace offnominal::c {

/// Calls `with` for each enumeration of the interface: `with.template operator()<Mode>("mode")`. Their order is that of
/// `enum offnominal_enumeration`: new ones go to the end.
template <class With>
void each_enumeration(With&& with) {
    with.template operator()<UnitSystem>("units");
    with.template operator()<Mode>("mode");
    with.template operator()<Boundary>("boundary");
    with.template operator()<Outside>("outside");
    with.template operator()<Frost>("frost");
    with.template operator()<AirflowReading::Kind>("airflow");
    with.template operator()<air::Place>("place");
    with.template operator()<ExpectBatch::Line>("line_set");
    with.template operator()<FanPosition>("fan");
    with.template operator()<Split>("split");
    with.template operator()<PowerBasis>("power_basis");
    with.template operator()<Why>("why");
    with.template operator()<About>("about");
    with.template operator()<Footing>("footing");
    with.template operator()<Note>("note");
    with.template operator()<Step::Kind>("step");
    with.template operator()<Step::Of>("step_of");
    with.template operator()<Outcome>("outcome");
    with.template operator()<Judge>("judge");
    with.template operator()<Yardstick>("yardstick");
    with.template operator()<Method>("method");
    with.template operator()<Acceptance>("acceptance");
    with.template operator()<Fitting>("fitting");
    with.template operator()<Remedy>("remedy");
}

/// A struct of the interface: its members in their order, each a comment and a declaration.
struct Structure {
    struct Member {
        std::string comment, type, name;  ///< `double`, `outdoor_dry_bulb`
    };
    std::string name;
    std::vector<Member> members;
};

/// What one asks or is told, in words: its mode, its meaning, its units.
[[nodiscard]] inline std::string meaning_of(Kind kind, Modes modes, std::string_view meaning) {
    const Unit &ip = unit_of(kind, UnitSystem::IP), &si = unit_of(kind, UnitSystem::SI);
    std::string out(modes == Modes::cooling ? "cooling: " : modes == Modes::heating ? "heating: " : "");
    out.append(meaning);
    if (kind == Kind::speed) return out + "; in the system's own unit";
    if (ip.name != "1") out.append("; ").append(ip.name);
    if (ip.name != si.name) out.append(" or ").append(si.name);
    return out;
}

/// Writes the header.
class Header {
   public:
    [[nodiscard]] std::string text() {
        say("/* The enumerations and structs of offnominal.h. Written from the one description of every quantity in "
            "the\n"
            "   library: not to be edited. DEVELOPERS.md (\"The C interface\") says how it is made. */\n"
            "#ifndef OFFNOMINAL_QUANTITIES_H\n#define OFFNOMINAL_QUANTITIES_H\n\n"
            "#include <stddef.h>\n#include <stdint.h>\n");
        std::string list;
        each_enumeration([&]<class E>(std::string_view name) {
            enumeration<E>(name);
            list += "    OFFNOMINAL_ENUMERATION_" + upper(name) + ",\n";
        });
        say("\n/** Every enumeration, for offnominal_word(). */\nenum offnominal_enumeration {\n" + list + "};\n");
        structs();
        say("\n#endif\n");
        return out_;
    }
    /// The structs that begin with their size, once they are written.
    [[nodiscard]] const std::vector<Structure>& structures() const { return structures_; }

   private:
    void say(std::string_view text) { out_.append(text); }
    void say_line(std::string_view comment, std::string_view declaration) {
        const std::size_t at = declaration.rfind(' ');
        structures_.back().members.push_back(
            {std::string(comment), std::string(declaration.substr(0, at)), std::string(declaration.substr(at + 1))});
        if (!comment.empty()) say(std::string("    /** ").append(comment).append(" */\n"));
        say(std::string("    ").append(declaration).append(";\n"));
    }

    /// A word as a part of a name: `coil+fan` is COIL_FAN.
    static std::string upper(std::string_view word) {
        std::string out;
        for (const char c : word)
            out += std::isalnum(static_cast<unsigned char>(c)) != 0
                       ? static_cast<char>(std::toupper(static_cast<unsigned char>(c)))
                       : '_';
        return out;
    }

    template <class E>
    void enumeration(std::string_view name) {
        say("\nenum offnominal_" + std::string(name) + " {\n");
        for (const auto& row : words_of<E>) {
            if (row.word.empty() && static_cast<int>(row.value) != 0) continue;  // one that is no choice
            const std::string word = row.word.empty() ? "NOT_GIVEN" : upper(row.word);
            std::string line = "    OFFNOMINAL_" + upper(name) + "_" + word + " = " +
                               std::to_string(static_cast<int>(row.value)) + ",";
            if constexpr (requires { row.text; }) line += std::string(" /**< ").append(row.text) + " */";
            say(line + "\n");
        }
        say("};\n");
    }

    /// A member for each line of a list, of a type that names its prefix: `const double* `.
    template <class Lines>
    void members(const Lines& lines, std::string_view type, std::string_view prefix = {}) {
        for (const auto& line : lines)
            say_line(type == "double " ? meaning_of(line.kind, line.modes, line.meaning) : std::string(),
                     std::string(type).append(prefix).append(line.name));
    }
    /// A struct whose first member is its size.
    template <class Body>
    void structure(std::string_view name, std::string_view what, const Body& body) {
        say(std::string("\n/** ").append(what).append(" */\ntypedef struct offnominal_").append(name).append(" {\n"));
        structures_.push_back({std::string(name), {}});
        say_line("sizeof of this struct, as the caller was compiled", "size_t struct_size");
        body();
        say(std::string("} offnominal_").append(name).append(";\n"));
    }

    void structs() {
        say("\n/** Why there is no answer, as plain data: what, about what, which value, what would be accepted. "
            "Numbers are in "
            "the\n    caller's units. */\n"
            "typedef struct offnominal_reason {\n"
            "    uint8_t why;   /**< enum offnominal_why; 0: there is an answer */\n"
            "    uint8_t about; /**< enum offnominal_about */\n"
            "    int16_t axis;  /**< of a page, or -1 */\n"
            "    int32_t node;  /**< of a page, or -1 */\n"
            "    double value, lower, upper;\n"
            "} offnominal_reason;\n");
        say("\n/** One step of the ledger behind an expected capacity. */\n"
            "typedef struct offnominal_ledger_step {\n"
            "    int32_t kind;         /**< enum offnominal_step: what was done */\n"
            "    int32_t of;           /**< enum offnominal_step_of: to which quantity */\n"
            "    double factor;        /**< multiplier; 1 where the step adds an amount */\n"
            "    double before, after; /**< in the caller's units */\n"
            "} offnominal_ledger_step;\n");
        structure(
            "conditions",
            "A question to expect. offnominal_conditions_init() fills it with what is not given: NaN, NULL, 0.",
            [this] {
                say_line("enum offnominal_mode", "int32_t mode");
                say_line("enum offnominal_boundary; there is no default", "int32_t boundary");
                say_line("enum offnominal_outside: what to do past the edge of a page", "int32_t outside");
                say_line("heating: enum offnominal_frost; there is no default", "int32_t frost");
                say_line("enum offnominal_airflow: what the airflow means; there is no default", "int32_t airflow_is");
                say_line("enum offnominal_place, of an actual airflow; -1: not given", "int32_t airflow_at");
                say_line("enum offnominal_line_set; with GIVEN and MODELLED its length, suction, lift and liquid count",
                         "int32_t line_set");
                say_line("0 or 1: allow inferred values", "int32_t infer");
                say_line("0 or 1: allow another airflow than the page's only one", "int32_t airflow_effect");
                say_line(
                    "0: length has its fittings in it; 1: it is the tubing's, and they are counted below; 2: nobody "
                    "counted them",
                    "int32_t fittings_are");
                say_line("of each enum offnominal_fitting",
                         "int32_t fittings[" + std::to_string(std::size(words_of<Fitting>)) + "]");
                say_line("NULL: not given", "const char* stage");
                say_line("NULL: not given", "const char* match");
                say_line(
                    "how far past a page its outdoor edge is held, whatever `outside` says; 0: it is not; delta_degF "
                    "or "
                    "delta_degC",
                    "double hold_outdoor_dry_bulb");
                say_line("how far past the line-set table its last length is held; ft or m", "double hold_line_length");
                members(asked_of_expect, "double ");
                say_line(
                    "how far past the page's wet bulbs its edge cell is continued; delta_degF or delta_degC, 3 K at "
                    "most",
                    "double extend_entering_wet_bulb");
            });
        structure("condition_columns",
                  "Columns of a batch of questions; NULL where the number of offnominal_conditions holds for all rows.",
                  [this] { members(asked_of_expect, "const double* "); });
        structure(
            "readings", "What the probes read. offnominal_readings_init() fills it with what is not given: NaN, 0.",
            [this] {
                say_line("enum offnominal_mode", "int32_t mode");
                say_line("enum offnominal_airflow: what the airflow means; there is no default", "int32_t airflow_is");
                say_line("enum offnominal_place, of an actual airflow; -1: not given", "int32_t airflow_at");
                say_line("enum offnominal_fan: where it stands, for an airflow read at the fan", "int32_t fan");
                say_line("cooling: enum offnominal_split: how sensible and latent are told apart", "int32_t split");
                say_line("0 or 1; cooling: subtract the condensate's heat", "int32_t condensate");
                members(asked_of_deliver, "double ");
            });
        structure("reading_columns",
                  "Columns of a batch of readings; NULL where the number of offnominal_readings holds for all rows.",
                  [this] { members(asked_of_deliver, "const double* "); });
        structure("expected", "What a machine should deliver. NaN: there is none.", [this] {
            say_line("why there is no answer", "offnominal_reason reason");
            say_line("why there is no sensible capacity, power, COP, leaving air",
                     "offnominal_reason no_sensible, no_power, no_cop, no_leaving");
            say_line("sets of bits: 1 << (note % 64) of notes[note / 64], enum offnominal_note", "uint64_t notes[2]");
            say_line("bits of enum offnominal_footing: what the answer stands on", "int32_t footing");
            say_line("enum offnominal_mode", "int32_t mode");
            say_line("enum offnominal_boundary", "int32_t boundary");
            say_line("heating: enum offnominal_frost", "int32_t frost");
            say_line("enum offnominal_power_basis: what `power` includes", "int32_t power_basis");
            say_line("", "int32_t unused");
            members(told_of<ExpectedValues>, "double ");
            members(told_of<ExpectedUncertainty>, "double ", "uncertainty_");
        });
        structure("expected_columns", "Answers to a batch of questions: columns to be filled, NULL where not wanted.",
                  [this] {
                      say_line("must be there", "offnominal_reason* reasons");
                      say_line("two for each row, as offnominal_expected.notes", "uint64_t* notes");
                      say_line("", "uint8_t* footing");
                      members(told_of<ExpectedValues>, "double* ");
                  });
        structure("delivered", "What a machine delivers, raw: nothing is clamped. NaN: there is none.", [this] {
            say_line("why there is no answer", "offnominal_reason reason");
            say_line("as offnominal_expected.notes", "uint64_t notes[2]");
            say_line("enum offnominal_mode", "int32_t mode");
            say_line("", "int32_t unused");
            members(told_of<Delivered>, "double ");
        });
        structure("delivered_columns", "Answers to a batch of readings: columns to be filled, NULL where not wanted.",
                  [this] {
                      say_line("must be there", "offnominal_reason* reasons");
                      say_line("two for each row, as offnominal_expected.notes", "uint64_t* notes");
                      members(told_of<Delivered>, "double* ");
                  });
        structure("verdict", "What a proof says. NaN: there is none.", [this] {
            say_line("why there is no ratio", "offnominal_reason reason");
            say_line("why power and efficiency are not compared", "offnominal_reason no_power");
            say_line("as offnominal_expected.notes", "uint64_t notes[2]");
            say_line("enum offnominal_outcome", "int32_t outcome");
            say_line("enum offnominal_about: what to look at where something contradicts; 0: nothing",
                     "int32_t suspect");
            say_line("enum offnominal_outcome: what the outcome would be but for the suspect; -1: the same",
                     "int32_t uncapped");
            say_line("enum offnominal_outcome, by the other yardstick", "int32_t other_outcome");
            say_line("enum offnominal_judge: which ratio must reach its limit", "int32_t judge");
            say_line("enum offnominal_yardstick: what the machine is held against", "int32_t yardstick");
            say_line("enum offnominal_method: what the probability was taken from", "int32_t method");
            say_line("enum offnominal_acceptance: how the ratio is accepted", "int32_t acceptance");
            members(told_of<Proof>, "double ");
        });
        structure("visit_columns", "Columns of a batch of visits; NULL where what the visit reads holds for all rows.",
                  [this] { members(asked_of_prove, "const double* "); });
        structure("verdict_columns",
                  "What the proofs of a batch of visits say: columns to be filled, NULL where not wanted.", [this] {
                      say_line("must be there: why there is no ratio", "offnominal_reason* reasons");
                      say_line("two for each row, as offnominal_expected.notes", "uint64_t* notes");
                      say_line("enum offnominal_outcome; -1 where the visit is refused: its reason says why",
                               "int16_t* outcome");
                      say_line("enum offnominal_about, as offnominal_verdict.suspect; -1 likewise", "int16_t* suspect");
                      say_line("enum offnominal_method; -1 where there is no ratio", "int16_t* method");
                      say_line("enum offnominal_remedy: what is most likely to settle an undecided proof; -1: nothing",
                               "int16_t* next");
                      for (const auto& input : words_of<Input>)
                          say_line("of the ratio's variance", "double* share_of_" + std::string(input.word));
                      members(told_of<Proof>, "double* ");
                  });
    }

    std::string out_;
    std::vector<Structure> structures_;
};

/// The header `offnominal/quantities.h`.
[[nodiscard]] inline std::string header_text() { return Header().text(); }

}  // namespace offnominal::c
