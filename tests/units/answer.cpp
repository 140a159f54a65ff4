// Reasons, notes, footings, ledgers and errors: plain data, and words for every one of them.
#include <doctest/doctest.h>

#include <set>
#include <string>
#include <type_traits>

#include "offnominal/explain.hpp"

using namespace offnominal;

TEST_CASE("answers are plain data") {
    static_assert(sizeof(Reason) == 32 && std::is_trivially_copyable_v<Reason>);
    static_assert(std::is_trivially_copyable_v<Ledger> && std::is_trivially_copyable_v<Answer<double>>);
    const Answer<double> value = 3.0, reason = Reason{Why::blank};
    CHECK(value);
    CHECK(*value == 3.0);
    CHECK_FALSE(reason);
    CHECK(reason.reason().why == Why::blank);
}

TEST_CASE("every reason, subject, note and footing has a name and words of its own") {
    std::set<std::string> names;
    for (int w = 0; w <= static_cast<int>(Why::not_inferred); ++w) {
        const auto why = static_cast<Why>(w);
        CHECK(names.insert(std::string(name(why))).second);
        CHECK(explain(Reason{why, About::airflow, -1, -1, 1, 2, 3}) != "unknown reason");
    }
    names.clear();
    for (int a = 0; a <= static_cast<int>(About::auxiliary_heat); ++a)
        CHECK(names.insert(std::string(name(static_cast<About>(a)))).second);
    Notes all;
    for (unsigned bit = 0; bit < note_count; ++bit) {
        all.add(static_cast<Note>(1ull << bit));
        CHECK(describe(static_cast<Note>(1ull << bit)) != "unknown note");
    }
    CHECK(describe(static_cast<Note>(1ull << note_count)) == "unknown note");  // raise note_count with a new note
    CHECK(describe(all).size() == note_count);
    CHECK(describe(Footing::inside) == "inside");
    CHECK(describe(Footing::held | Footing::extended | Footing::inferred | Footing::dry) ==
          "held, extended, inferred, dry");
}

TEST_CASE("a reason says what, which value, and what would be right") {
    const Reason r{Why::outside,          About::outdoor_dry_bulb, 0, -1, units::degF.to_si(120),
                   units::degF.to_si(75), units::degF.to_si(115)};
    CHECK(explain(r, UnitSystem::IP) == "outdoor dry bulb 120 degF is outside 75 degF to 115 degF");
    CHECK(explain(r, UnitSystem::SI) == "outdoor dry bulb 48.8889 degC is outside 23.8889 degC to 46.1111 degC");
    CHECK(explain(r) ==
          "outdoor dry bulb 120 degF (48.8889 degC) is outside 75 degF (23.8889 degC) to 115 degF (46.1111 degC)");
}

TEST_CASE("a ledger keeps its steps in order and never more than it holds") {
    Ledger ledger;
    for (int i = 0; i < 20; ++i) ledger.add({Step::Kind::page, Step::Of::total, static_cast<std::int16_t>(i), 1, 0, 0});
    CHECK(ledger.steps().size() == Ledger::capacity);
    CHECK(ledger.steps()[3].source == 3);
}

TEST_CASE("an input error says place, problem, text and what would be accepted") {
    const InputError e({"alder.yaml", 7, 12}, "unknown unit", "F", "degF, degC, K");
    CHECK(std::string(e.what()) == "alder.yaml:7:12: unknown unit: 'F'; accepted: degF, degC, K");
    CHECK(e.line() == 7);
    CHECK(e.text() == "F");
    CHECK(std::string(InputError({}, "empty").what()) == "empty");
}
