// Reasons, notes, footings, ledgers and errors: plain data, and words for every one of them.
#include "offnominal/answer.hpp"

#include <doctest/doctest.h>

#include <fstream>
#include <iterator>
#include <set>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>

#include "offnominal/air/stream.hpp"
#include "offnominal/airflow/determine.hpp"
#include "offnominal/choose.hpp"
#include "offnominal/collate.hpp"
#include "offnominal/conditions.hpp"
#include "offnominal/derates/faults.hpp"
#include "offnominal/expect/batch.hpp"
#include "offnominal/field/compare.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/field/second_capacity.hpp"
#include "offnominal/files.hpp"
#include "offnominal/grid/grid.hpp"
#include "offnominal/proof.hpp"
#include "offnominal/proof/causes.hpp"
#include "offnominal/proof/settle.hpp"
#include "offnominal/ratings/heating.hpp"
#include "offnominal/version.hpp"

using namespace offnominal;

TEST_CASE("a difference of temperatures is told in plain degrees") {
    CHECK(explain({Why::implausible, About::dry_bulb_split, -1, -1, 30.0, 0.0, 20.0}, UnitSystem::IP)
              .starts_with("dry-bulb split 54 degF is not what a machine of this size has, 0 degF to 36 degF"));
}

TEST_CASE("answers are plain data") {
    static_assert(sizeof(Reason) == 32 && std::is_trivially_copyable_v<Reason>);
    // No gap between its members: what a gap holds, nobody has written.
    static_assert(sizeof(Why) + sizeof(About) + sizeof(Reason::axis) + sizeof(Reason::node) + sizeof(Reason::value) +
                      sizeof(Reason::lower) + sizeof(Reason::upper) ==
                  sizeof(Reason));
    static_assert(std::is_trivially_copyable_v<Ledger> && std::is_trivially_copyable_v<Answer<double>>);
    const Answer<double> value = 3.0, reason = Reason{Why::blank};
    CHECK(value);
    CHECK(*value == 3.0);
    CHECK_FALSE(reason);
    CHECK(reason.reason().why == Why::blank);
}

TEST_CASE("an answer is a value or a reason: none is made of nothing, and a refused one gives no value") {
    using Watts = Answer<Power>;
    static_assert(!std::is_default_constructible_v<Watts>);
    // What is thrown away at the end of the line hands its parts out by value.
    static_assert(std::is_same_v<decltype(*std::declval<Watts>()), Power>);
    static_assert(std::is_same_v<decltype(std::declval<Watts>().value()), Power>);
    static_assert(std::is_same_v<decltype(std::declval<Watts>().reason()), Reason>);
    static_assert(std::is_same_v<decltype(*std::declval<const Watts&>()), const Power&>);
    const Watts given = Power{350.0}, refused = Reason{Why::not_given, About::fan_power};
    CHECK(given.value().si == 350.0);
    CHECK(Watts(Power{350.0}).value().si == 350.0);
    const Watts built = Watts::built([](Power& p) noexcept {
        p.si = 0.0;
        return Reason{Why::blank};
    });
    CHECK_THROWS_WITH_AS((void)refused.value(), "fan power is not given, and there is no default", Refused);
    CHECK_THROWS_AS((void)*refused, Refused);
    CHECK_THROWS_AS((void)refused->si, Refused);
    CHECK_THROWS_AS((void)*built, Refused);
    CHECK_THROWS_AS((void)*Watts(Reason{Why::blank}), Refused);
}

// What the compiler calls a value: `(Why)30` and the like where no enumerator has it.
template <auto value>
constexpr bool is_enumerator() {
    constexpr std::string_view text = __PRETTY_FUNCTION__;
    return text[text.find("value = ") + 8] != '(';
}
template <class E>
std::string name_of_type() {
    std::string_view text = __PRETTY_FUNCTION__;  // [with E = offnominal::Why; ...] or [E = offnominal::Why]
    text.remove_prefix(text.find("E = ") + 4);
    return std::string(text.substr(0, text.find_first_of(";]")));
}
/// Every enumerator that was looked at, with its number.
std::string& all_enumerators() {
    static std::string out;
    return out;
}
// Every enumerator from 0 on, or every bit, has one row and a word of its own; nothing else has one.
template <class E, bool bits = false>
void check_words() {
    const auto check = [&]<std::uint64_t... i>(std::integer_sequence<std::uint64_t, i...>) {
        return (
            (known(static_cast<E>(bits ? 1ull << i : i)) == is_enumerator<static_cast<E>(bits ? 1ull << i : i)>()) &&
            ...);
    };
    CHECK(check(std::make_integer_sequence < std::uint64_t, bits ? 8 * sizeof(E) : 64 > ()));
    std::set<std::string_view> words;
    all_enumerators() += name_of_type<E>() + "\n";
    for (const auto& row : words_of<E>) {
        all_enumerators() += "  " + std::to_string(static_cast<std::uint64_t>(row.value)) +
                             (row.word.empty() ? "" : " ") + std::string(row.word) + "\n";
        CHECK(words.insert(row.word).second);
        CHECK(row_of(row.value) == &row);
        CHECK(named<E>(row.word) == row.value);
    }
    CHECK_FALSE(named<E>("nobody's word"));
}

TEST_CASE("every enumerator has a row in the words of its enumeration, and a word of its own") {
    all_enumerators().clear();
    check_words<Why>();
    check_words<About>();
    check_words<Note, true>();
    check_words<Footing, true>();
    check_words<Step::Kind>();
    check_words<Step::Of>();
    check_words<Dimension>();
    check_words<UnitSystem>();
    check_words<Mark>();
    check_words<CapacityBasis>();
    check_words<PowerBasis>();
    check_words<Pound>();
    check_words<AirflowBasis>();
    check_words<FanPosition>();
    check_words<Boundary>();
    check_words<SensibleRatioOf>();
    check_words<Frost>();
    check_words<Outside>();
    check_words<BeyondTable>();
    check_words<Fitting>();
    check_words<AirflowReading::Kind>();
    check_words<AirflowMethod>();
    check_words<Component>();
    check_words<TraverseRule>();
    check_words<SecondMethod>();
    check_words<Agreement>();
    check_words<Remedy>();
    check_words<Signal>();
    check_words<Unsteady>();
    check_words<ProbeAdvice>();
    check_words<ProbeFinding>();
    check_words<LogFormat::DateOrder>();
    check_words<LogFormat::Flaws>();
    check_words<Outcome>();
    check_words<Method>();
    check_words<Shape>();
    check_words<Yardstick>();
    check_words<Acceptance>();
    check_words<Judge>();
    check_words<Input>();
    check_words<Mode>();
    check_words<Kind>();
    check_words<Split>();
    check_words<Modulation>();
    check_words<AltitudeFactor>();
    check_words<BlowerMotor>();
    check_words<Cause>();
    check_words<CauseCheck>();
    check_words<Support>();
    check_words<MachineKind>();
    check_words<Misfit>();
    check_words<Difference::Kind>();
    check_words<ExpectBatch::Line>();
    check_words<air::Humidity::Kind>();
    check_words<air::Place>();
    check_words<derates::CircuitFault>();
    // From now on lines are added to that file, at the end of an enumeration or with a new one; none is changed, since
    // apps keep both numbers and words.
    std::ifstream file(OFFNOMINAL_PUBLISHED_DIR "/../units/enumerators.txt");
    const std::string kept(std::istreambuf_iterator<char>(file), {});
    CHECK_MESSAGE(kept == all_enumerators(), "tests/units/enumerators.txt should be\n" << all_enumerators());
    static_assert(!known(static_cast<Boundary>(7)) && name(static_cast<Boundary>(7)).empty());
    CHECK(accepted_words<Boundary>("'") == "'coil', 'coil+fan'");
}

TEST_CASE("the version is one number, in the headers and at run time") {
    CHECK(library_version() == OFFNOMINAL_VERSION);
    static_assert(OFFNOMINAL_VERSION ==
                  OFFNOMINAL_VERSION_MAJOR * 10000 + OFFNOMINAL_VERSION_MINOR * 100 + OFFNOMINAL_VERSION_PATCH);
}

TEST_CASE("a reason about air names it as the question's argument does") {
    for (const Asked<Slot>& asked : asked_of_expect)
        if (asked.slot < Slot::elevation || asked.slot == Slot::fan_power || asked.slot > Slot::line_liquid)
            CHECK_MESSAGE(named<About>(asked.name), asked.name);
    for (const Asked<ReadingSlot>& asked : asked_of_deliver) CHECK_MESSAGE(named<About>(asked.name), asked.name);
    // The measures of every air stand in one order.
    for (const About dry_bulb : {About::entering_dry_bulb, About::return_dry_bulb, About::supply_dry_bulb})
        for (auto measure = About::dry_bulb; measure <= About::enthalpy;
             measure = static_cast<About>(static_cast<int>(measure) + 1)) {
            const std::string_view plain = name(measure), whole = name(detail::about_air(dry_bulb, measure));
            CHECK(whole.substr(whole.find('_') + 1) == plain);
            CHECK(whole.substr(0, whole.find('_')) == name(dry_bulb).substr(0, name(dry_bulb).find('_')));
        }
    CHECK(detail::about_air(About::return_dry_bulb, About::pressure) == About::pressure);
}

TEST_CASE("a note about a difference of temperatures says plain degrees") {
    for (const NoteWords& note : words_of<Note>) CHECK(note.text.find("delta") == std::string_view::npos);
}

TEST_CASE("every reason, note and footing has words") {
    for (const WhyWords& row : words_of<Why>) CHECK(explain(Reason{row.value, About::axis, -1, -1, 1, 2, 3}) != "");
    Notes all;
    for (const NoteWords& note : words_of<Note>) {
        all.add(note.value);
        CHECK(!describe(note.value).empty());
    }
    CHECK(describe(all).size() == std::size(words_of<Note>));
    CHECK(describe(Footing::inside) == "inside");
    CHECK(describe(Footing::held | Footing::extended | Footing::inferred | Footing::dry | Footing::wet_line) ==
          "held, extended, inferred, dry, wet line");
}

TEST_CASE("a reason says what, which value, and what would be right") {
    const Reason r{Why::outside,          About::outdoor_dry_bulb, 0, -1, units::degF.to_si(120),
                   units::degF.to_si(75), units::degF.to_si(115)};
    CHECK(explain(Reason{Why::outside, static_cast<About>(250), -1, -1, 1, 2, 3}) ==
          "unknown subject 1 is outside 2 to 3");
    CHECK(explain(r, UnitSystem::IP) == "outdoor dry bulb 120 degF is outside 75 degF to 115 degF");
    CHECK(explain(r, UnitSystem::SI) == "outdoor dry bulb 48.8889 degC is outside 23.8889 degC to 46.1111 degC");
    CHECK(explain(r) ==
          "outdoor dry bulb 120 degF (48.8889 degC) is outside 75 degF (23.8889 degC) to 115 degF (46.1111 degC)");
}

TEST_CASE("a ledger keeps its steps in order and never more than it holds") {
    Ledger ledger;
    for (int i = 0; i < 35; ++i) ledger.add({Step::Kind::page, Step::Of::total, static_cast<std::int16_t>(i), 1, 0, 0});
    CHECK(ledger.size() == Ledger::capacity);
    // A net page, a dry node, preheat, two speeds, match, line set, pressure, altitude, dry coil and fan together.
    static_assert(Ledger::capacity >= 28);
    CHECK(ledger[3].source == 3);
}

TEST_CASE("an input error says place, problem, text and what would be accepted") {
    const InputError e({"alder.yaml", 7, 12}, "unknown unit", "F", "degF, degC, K");
    CHECK(std::string(e.what()) == "alder.yaml:7:12: unknown unit: 'F'; accepted: degF, degC, K");
    CHECK(e.line() == 7);
    CHECK(e.text() == "F");
    CHECK(std::string(InputError({}, "empty").what()) == "empty");
}

TEST_CASE("a message shows what is no text as bytes, and of a long text its beginning, while the field has all of it") {
    const auto said = [](const std::string& text) { return std::string(InputError({}, "no number", text).what()); };
    CHECK(said("9\xff"
               "5\xc2\xb0") == "no number: '9\\xff5\xc2\xb0'");
    // RFC 3629: a longer way to write "/", half of a pair, past the last character, a trail alone, one that ends early.
    CHECK(said("\xc0\xaf") == "no number: '\\xc0\\xaf'");
    CHECK(said("\xed\xa0\x80") == "no number: '\\xed\\xa0\\x80'");
    CHECK(said("\xf4\x90\x80\x80") == "no number: '\\xf4\\x90\\x80\\x80'");
    CHECK(said("\x80") == "no number: '\\x80'");
    CHECK(said("\xe2\x80") == "no number: '\\xe2\\x80'");
    CHECK(said("\xe2\x80\xa2 \xf0\x9f\x98\x80") == "no number: '\xe2\x80\xa2 \xf0\x9f\x98\x80'");
    const InputError error({}, "no number", std::string(100'000, '7'));
    CHECK(error.what() == "no number: '" + std::string(80, '7') + "...'");
    CHECK(error.text().size() == 100'000);
}

TEST_CASE("a site given by one number is judged by that one") {
    const auto reason = [](const Site& site) { return site.pressure().reason(); };
    CHECK(reason(Site::at_pressure(from(-5.0, units::psia))).why == Why::outside);
    CHECK(reason(Site::at_pressure(from(-5.0, units::psia))).about == About::pressure);
    CHECK(reason(Site::at_elevation(Length{-1e308})).why == Why::outside);
    CHECK(reason(Site::at_elevation(Length{-1e308})).about == About::elevation);
    CHECK(reason(Site::at(Length{1500.0}, from(14.7, units::psia))).why == Why::contradictory);
}
