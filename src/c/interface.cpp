// The C interface, but for files.cpp. What it promises stands in include/offnominal/offnominal.h.
#include <array>

#include "c/inside.hpp"
#include "c/json.hpp"
#include "look_up.hpp"
#include "offnominal/embedded.hpp"
#include "offnominal/expect/batch.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/missing.hpp"
#include "offnominal/report.hpp"
#include "offnominal/solve.hpp"

using namespace offnominal;

namespace offnominal::c {
namespace {

// Questions.

/// A choice. What fits no enumeration stays one that is none, and is refused as such.
template <class E>
E choice(int32_t value) noexcept {
    return static_cast<E>(value >= 0 && value < 255 ? value : 255);
}
AirflowReading meaning(int32_t airflow_is, int32_t airflow_at) noexcept {
    const auto kind = choice<AirflowReading::Kind>(airflow_is);
    if (kind != AirflowReading::Kind::actual) return {kind, none, {}};
    if (airflow_at < 0)
        return {AirflowReading::Kind::not_given, none, {}};  // an actual airflow that is said of no place
    return {kind, none, choice<air::Place>(airflow_at)};
}

/// Points the columns of a batch at what a caller gives of each number that is asked: a column, or one number for all.
/// @param numbers  the struct of numbers, from byte `numbers_at` on
/// @param columns  the struct of columns, from byte `columns_at` on
/// @param is       by slot: which of its alternatives was given
/// @return why not: two alternatives at once
template <class Slot, std::size_t L, std::size_t N, class Numbers, class Pointers>
Reason point_at(const Asked<Slot> (&asked)[L], const Numbers& numbers, std::size_t numbers_at, const Pointers& columns,
                std::size_t columns_at, bool as_mass, UnitSystem units, const Unit& speed, std::array<Column, N>& out,
                std::array<std::string_view, N>& is) noexcept {
    for (std::size_t k = 0; k < L; ++k) {
        const auto* const column = member<const double*>(columns, columns_at, k);
        const auto* const number =
            reinterpret_cast<const double*>(reinterpret_cast<const unsigned char*>(&numbers) + numbers_at) + k;
        if (column == nullptr && std::isnan(*number)) continue;
        const auto slot = static_cast<std::size_t>(asked[k].slot);
        if (out[slot].data != nullptr) {
            const auto about = named<About>(is[slot]);
            return {Why::contradictory, about ? *about : About::nothing, -1, -1, 0.0, 0.0, 0.0};
        }
        const Kind kind = asked[k].kind == Kind::airflow && as_mass ? Kind::mass_flow : asked[k].kind;
        out[slot] = {column != nullptr ? column : number, column != nullptr ? 1 : 0,
                     kind == Kind::speed ? speed : unit_of(kind, units)};
        is[slot] = asked[k].name;
    }
    return {};
}
/// The measure of humidity that an argument names: `return_wet_bulb` is a wet bulb.
air::Humidity::Kind measure(std::string_view argument) noexcept {
    const auto kind = named<air::Humidity::Kind>(argument.substr(argument.find('_') + 1));
    return kind ? *kind : air::Humidity::Kind::wet_bulb;  // none is given
}

/// The line of that name in a list of what is asked or told in a mode.
template <class Line, std::size_t N>
const Line& line_named(const Line (&lines)[N], Mode mode, const char* argument, std::string_view name) {
    std::string names;
    for (const Line& line : lines) {
        if (!applies(line.modes, mode)) continue;
        if (line.name == name) return line;
        names.append(names.empty() ? "" : ", ").append(line.name);
    }
    throw BadName({}, argument, std::string(name), names);
}

offnominal_conditions no_conditions() noexcept {
    offnominal_conditions out{};
    out.airflow_at = -1;
    for (std::size_t k = 0; k < std::size(asked_of_expect); ++k) set_member(out, conditions_at, k, none);
    return out;
}
offnominal_readings no_readings() noexcept {
    offnominal_readings out{};
    out.airflow_at = -1;
    for (std::size_t k = 0; k < std::size(asked_of_deliver); ++k) set_member(out, readings_at, k, none);
    return out;
}

/// What a caller asks of `expect`; it points at itself.
class ExpectQuestion {
   public:
    ExpectQuestion(const System& system, UnitSystem units, const offnominal_conditions* conditions,
                   const offnominal_condition_columns* columns)
        : given_(taken(conditions, no_conditions(), "conditions: a null pointer, or of another size")) {
        offnominal_condition_columns pointers{};
        if (columns != nullptr) pointers = taken(columns, pointers, "columns: of another size");
        ConditionValues& values = batch.values;
        values.mode = choice<Mode>(given_.mode);
        values.boundary = choice<Boundary>(given_.boundary);
        values.outside = choice<Outside>(given_.outside);
        values.frost = choice<Frost>(given_.frost);
        values.airflow = meaning(given_.airflow_is, given_.airflow_at);
        values.hold = {
            TemperatureDifference{unit_of(Kind::temperature_difference, units).to_si(given_.hold_outdoor_dry_bulb)},
            Length{unit_of(Kind::length, units).to_si(given_.hold_line_length)},
            TemperatureDifference{unit_of(Kind::temperature_difference, units).to_si(given_.extend_entering_wet_bulb)}};
        values.infer = given_.infer != 0;
        values.airflow_effect = given_.airflow_effect != 0;
        batch.line = choice<ExpectBatch::Line>(given_.line_set);
        const Reason fittings = take_fittings();
        stage_ = view(given_.stage);
        match_ = view(given_.match);
        batch.stage = {{&stage_, 1}, &only, 0};
        batch.match = {{&match_, 1}, &only, 0};
        std::array<std::string_view, slot_count> is{};
        reason = point_at(asked_of_expect, given_, conditions_at, pointers, condition_columns_at,
                          values.airflow.kind == AirflowReading::Kind::dry_mass, units, system.parts().speed_unit,
                          batch.numbers, is);
        if (reason.none() && !known(batch.line)) reason = detail::no_choice(About::line_set, batch.line);
        if (reason.none()) reason = fittings;
        values.entering_humidity.kind = measure(is[static_cast<std::size_t>(Slot::entering_humidity)]);
    }
    ExpectQuestion(const ExpectQuestion&) = delete;
    ExpectQuestion& operator=(const ExpectQuestion&) = delete;

    [[nodiscard]] std::string_view stage() const noexcept { return stage_; }
    [[nodiscard]] std::string_view match() const noexcept { return match_; }

    Reason reason;  ///< why it is none
    ExpectBatch batch;

   private:
    /// @return why not: a count that is none
    [[nodiscard]] Reason take_fittings() noexcept {
        static_assert(sizeof given_.fittings == sizeof(std::int32_t) * std::size(words_of<Fitting>));
        const std::int32_t are = given_.fittings_are;
        if (are == 0) return {};
        if (are == 2) batch.fittings = Fittings::uncounted();
        if (are == 2) return {};
        if (are != 1) return detail::no_choice(About::line_set, are);
        Fittings& out = batch.fittings.emplace();
        for (std::size_t k = 0; k < out.counts.size(); ++k) {
            const std::int32_t count = given_.fittings[k];
            if (count < 0 || count > 1000) return detail::no_choice(About::line_set, count);
            out.counts[k] = static_cast<std::uint16_t>(count);
        }
        return {};
    }

    static constexpr std::int32_t only = 0;
    offnominal_conditions given_;
    std::string_view stage_, match_;
};

/// What a caller gives to `deliver`; it points at itself.
class DeliverQuestion {
   public:
    DeliverQuestion(UnitSystem units, const offnominal_readings* readings, const offnominal_reading_columns* columns)
        : given_(taken(readings, no_readings(), "readings: a null pointer, or of another size")) {
        offnominal_reading_columns pointers{};
        if (columns != nullptr) pointers = taken(columns, pointers, "columns: of another size");
        Readings& r = batch.readings;
        r.mode = choice<Mode>(given_.mode);
        r.airflow = meaning(given_.airflow_is, given_.airflow_at);
        r.fan = choice<FanPosition>(given_.fan);
        r.split = choice<Split>(given_.split);
        r.condensate = given_.condensate != 0;
        std::array<std::string_view, reading_slots> is{};
        reason = point_at(asked_of_deliver, given_, readings_at, pointers, reading_columns_at,
                          r.airflow.kind == AirflowReading::Kind::dry_mass, units, units::one, batch.numbers, is);
        r.return_humidity.kind = measure(is[static_cast<std::size_t>(ReadingSlot::return_humidity)]);
        r.supply_humidity.kind = measure(is[static_cast<std::size_t>(ReadingSlot::supply_humidity)]);
    }
    DeliverQuestion(const DeliverQuestion&) = delete;
    DeliverQuestion& operator=(const DeliverQuestion&) = delete;

    Reason reason;
    DeliverBatch batch;

   private:
    offnominal_readings given_;
};

/// What a question lacks.
std::vector<Missing> missing_of(const System& system, UnitSystem units, const offnominal_conditions* conditions) {
    const OneQuestion question = question_of(system, units, conditions);
    if (question.reason.none()) return missing(system, question.site, question.conditions);
    Missing one;
    one.reason = question.reason;
    return {one};
}

/// Asks one question. `with` is called with the answer, or why there is none, and the question.
template <class With>
int32_t ask(const offnominal_system* system, int32_t units, const offnominal_conditions* conditions,
            offnominal_error* error, const With& with) {
    need(system, "system: a null pointer");
    const UnitSystem u = units_of(units);
    const System& s = *system->system;
    const ExpectQuestion question(s, u, conditions, nullptr);
    const ConditionValues values = question.batch.values_of(0);
    const detail::Question asked(values, question.stage(), question.match());
    const Answer<Expected> answer = question.reason.none()
                                        ? offnominal::detail::look_up(s, question.batch.site(0), asked)
                                        : Answer<Expected>(question.reason);
    with(answer, s, u);
    if (answer) return OFFNOMINAL_OK;
    if (error == nullptr) return OFFNOMINAL_REFUSED;
    return fail(error, OFFNOMINAL_REFUSED, explain(answer.reason(), s, asked, u), nullptr, told(answer.reason(), u));
}
/// The same of readings.
template <class With>
int32_t ask(int32_t units, const offnominal_readings* readings, offnominal_error* error, const With& with) {
    const UnitSystem u = units_of(units);
    const DeliverQuestion question(u, readings, nullptr);
    const Answer<Delivered> answer = question.reason.none()
                                         ? try_deliver(question.batch.readings_of(0), question.batch.site(0))
                                         : Answer<Delivered>(question.reason);
    with(answer, u);
    if (answer) return OFFNOMINAL_OK;
    if (error == nullptr) return OFFNOMINAL_REFUSED;
    return fail(error, OFFNOMINAL_REFUSED, explain(answer.reason(), u), nullptr, told(answer.reason(), u));
}

/// What is asked backwards, by names of the interface.
struct Backwards {
    const char* vary;
    double low, high;
    const char *of, *over;
    const double* equals;
    std::ptrdiff_t step;  ///< of `equals` from row to row
};
/// Asks questions backwards. `with` is called with what is found, and how a reason is told in words.
template <class With>
int32_t ask(const offnominal_system* system, int32_t units, const offnominal_conditions* conditions,
            const offnominal_condition_columns* columns, std::size_t rows, const Backwards& what,
            offnominal_error* error, const With& with) {
    need(system, "system: a null pointer");
    const UnitSystem u = units_of(units);
    const System& s = *system->system;
    auto given = taken(conditions, no_conditions(), "conditions: a null pointer, or of another size");
    given.struct_size = sizeof given;
    const auto refused = [&](const Reason& why, const std::string& text) {
        return fail(error, OFFNOMINAL_REFUSED, text, nullptr, told(why, u));
    };
    const Mode mode = choice<Mode>(given.mode);
    if (!known(mode)) {
        const Reason why = detail::no_choice(About::mode, mode);
        return refused(why, explain(why, u));
    }
    const auto& varied = line_named(asked_of_expect, mode, "vary", view(what.vary));
    const auto& of = line_named(told_of<ExpectedValues>, mode, "of", view(what.of));
    const auto& over = what.over == nullptr ? of : line_named(told_of<ExpectedValues>, mode, "over", view(what.over));
    set_member(given, conditions_at, static_cast<std::size_t>(&varied - asked_of_expect), 0.5 * (what.low + what.high));
    const ExpectQuestion question(s, u, &given, columns);
    if (!question.reason.none()) return refused(question.reason, explain(question.reason, u));
    SolveBatch batch;
    batch.asked = question.batch;
    batch.rows = rows;
    batch.vary = varied.slot;
    batch.low = what.low;
    batch.high = what.high;
    batch.of = static_cast<std::size_t>(&of - told_of<ExpectedValues>);
    batch.over = static_cast<std::size_t>(&over - told_of<ExpectedValues>);
    batch.of_unit = unit_of(of.kind, u);
    batch.over_unit = unit_of(over.kind, u);
    batch.equals = {what.equals, what.step, batch.of_unit};
    return with(solve(s, batch), u, [&](const Reason& why) {
        const ConditionValues values = question.batch.values_of(0);
        return refused(why, explain(why, s, detail::Question(values, question.stage(), question.match()), u));
    });
}

template <class T>
const char* word_in(std::int32_t value) noexcept {
    for (const auto& row : words_of<T>)
        if (static_cast<std::int32_t>(row.value) == value) return row.word.data();  // literals, which end with 0
    return nullptr;
}

}  // namespace

OneQuestion question_of(const System& system, UnitSystem units, const offnominal_conditions* conditions) {
    const ExpectQuestion question(system, units, conditions, nullptr);
    return {question.reason, question.batch.site(0),
            Conditions{question.batch.values_of(0), std::string(question.stage()), std::string(question.match())}};
}

}  // namespace offnominal::c

using namespace offnominal::c;

extern "C" {

int32_t offnominal_version(void) { return OFFNOMINAL_VERSION; }

const char* offnominal_word(int32_t enumeration, int32_t value) {
    const char* out = nullptr;
    int32_t number = 0;
    each_enumeration([&]<class E>(std::string_view) {
        if (number++ == enumeration) out = word_in<E>(value);
    });
    return out;
}

const char* offnominal_note_text(int32_t note) {
    for (const NoteWords& row : words_of<Note>)
        if (static_cast<int32_t>(row.value) == note) return row.text.data();
    return nullptr;
}

const char* offnominal_reason_template(const offnominal_reason* reason) {
    return reason == nullptr ? nullptr
                             : sentence(__builtin_bit_cast(Reason, *reason)).data();  // literals, which end with 0
}

const char* offnominal_about_text(int32_t about) {
    for (const Subject& row : words_of<About>)
        if (static_cast<int32_t>(row.value) == about) return row.words.data();
    return nullptr;
}

int32_t offnominal_reason_text(int32_t units, const offnominal_reason* reason, char** text, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(text);
        need(reason, "reason: a null pointer");
        const UnitSystem u = units_of(units);
        auto r = __builtin_bit_cast(Reason, *reason);
        if (known(r.about)) {
            const Unit unit = shown_unit(r.about, u);
            for (double* const number : {&r.value, &r.lower, &r.upper}) *number = unit.to_si(*number);
        }
        return give(text, explain(r, u));
    });
}

const char* offnominal_cautions(void) { return cautions.data(); }  // a literal, which ends with 0

void offnominal_text_free(char* text) { std::free(text); }

int32_t offnominal_system_from_bytes(const void* bytes, size_t size, offnominal_system** system,
                                     offnominal_error* error) {
    return give_handle(system, error, [&] {
        need(bytes, "bytes: a null pointer");
        return system_from_bytes({static_cast<const unsigned char*>(bytes), size});
    });
}

void offnominal_system_free(offnominal_system* system) { delete system; }

const char* offnominal_system_name(const offnominal_system* system) {
    return system == nullptr ? nullptr : system->system->name().c_str();
}

size_t offnominal_stage_count(const offnominal_system* system, int32_t mode) {
    if (system == nullptr) return 0;
    if (mode == OFFNOMINAL_MODE_HEATING) return system->heating_stages.size();
    return mode == OFFNOMINAL_MODE_COOLING ? system->system->parts().cooling.size() : 0;
}

const char* offnominal_stage_name(const offnominal_system* system, int32_t mode, size_t stage) {
    if (stage >= offnominal_stage_count(system, mode)) return nullptr;
    const bool heats = mode == OFFNOMINAL_MODE_HEATING;
    return heats ? system->heating_stages[stage].c_str() : system->system->parts().cooling[stage].name.c_str();
}

size_t offnominal_match_count(const offnominal_system* system) {
    return system == nullptr ? 0 : system->system->parts().matches.size();
}

const char* offnominal_match_name(const offnominal_system* system, size_t match) {
    return match >= offnominal_match_count(system) ? nullptr : system->system->parts().matches[match].name.c_str();
}

size_t offnominal_page_count(const offnominal_system* system) { return system == nullptr ? 0 : system->pages.size(); }

int32_t offnominal_page_read(const offnominal_system* system, size_t number, offnominal_page* page,
                             offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need(system, "system: a null pointer");
        need_struct(page, "page: a null pointer, or of another size");
        if (number >= system->pages.size()) throw BadArgument{"page: past the last"};
        const Envelope& from = system->pages[number];
        offnominal_page out{};
        out.mode = from.heating ? OFFNOMINAL_MODE_HEATING : OFFNOMINAL_MODE_COOLING;
        out.frost = static_cast<int32_t>(from.frost);
        out.stage = from.stage.c_str();
        out.match = from.match.c_str();
        out.axes = from.axes.size();
        out.nodes = from.nodes;
        out.blanks = from.blanks;
        hand_out(page, out);
        return OFFNOMINAL_OK;
    });
}

const char* offnominal_axis_name(const offnominal_system* system, size_t page, size_t axis) {
    if (page >= offnominal_page_count(system) || axis >= system->pages[page].axes.size()) return nullptr;
    return system->pages[page].axes[axis].name.c_str();
}

size_t offnominal_axis_breakpoints(const offnominal_system* system, size_t page, size_t axis, int32_t units,
                                   double* breakpoints, size_t room) {
    if (offnominal_axis_name(system, page, axis) == nullptr ||
        (units != OFFNOMINAL_UNITS_IP && units != OFFNOMINAL_UNITS_SI))
        return 0;
    const Envelope::Range& range = system->pages[page].axes[axis];
    const Unit& unit = range.unit(units == OFFNOMINAL_UNITS_IP ? UnitSystem::IP : UnitSystem::SI);
    for (std::size_t i = 0; breakpoints != nullptr && i < std::min(room, range.breakpoints.size()); ++i)
        breakpoints[i] = unit.from_si(range.breakpoints[i]);
    return range.breakpoints.size();
}

int32_t offnominal_coverage(const offnominal_system* system, int32_t units, char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        need(system, "system: a null pointer");
        return give(json, json_of(system->pages, coverage(*system->system), units_of(units)));
    });
}

void offnominal_conditions_init(offnominal_conditions* conditions, size_t size) {
    if (conditions == nullptr || size <= sizeof(size_t) || size > sizeof(offnominal_conditions)) return;
    conditions->struct_size = size;
    hand_out(conditions, no_conditions());
}

int32_t offnominal_expect(const offnominal_system* system, int32_t units, const offnominal_conditions* conditions,
                          offnominal_expected* expected, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_struct(expected, "expected: a null pointer, or of another size");
        hand_out(expected, told(static_cast<const Expected*>(nullptr), {}, UnitSystem::SI));
        return ask(system, units, conditions, error, [&](const Answer<Expected>& answer, const System&, UnitSystem u) {
            hand_out(expected, told(answer ? &*answer : nullptr, answer.reason(), u));
        });
    });
}

int32_t offnominal_expect_batch(const offnominal_system* system, int32_t units, const offnominal_conditions* conditions,
                                const offnominal_condition_columns* columns, size_t rows,
                                const offnominal_expected_columns* expected, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need(system, "system: a null pointer");
        const UnitSystem u = units_of(units);
        const auto to = taken(expected, {}, "expected: a null pointer, or of another size");
        need(to.reasons, "expected: no column of reasons");
        const System& s = *system->system;
        const ExpectQuestion question(s, u, conditions, columns);
        if (!question.reason.none())
            return fail(error, OFFNOMINAL_REFUSED, explain(question.reason, u), nullptr, told(question.reason, u));
        ExpectColumns out;
        out.numbers = columns_of<ExpectedValues>(to, expected_columns_at, question.batch.values.mode, u, rows);
        out.reason = reinterpret_cast<Reason*>(to.reasons);
        out.footing = reinterpret_cast<Footing*>(to.footing);
        out.notes = reinterpret_cast<Notes*>(to.notes);
        offnominal::detail::look_up_rows(s, question.batch, 0, rows, out);
        turn_reasons(to.reasons, rows, u);
        return OFFNOMINAL_OK;
    });
}

int32_t offnominal_ledger(const offnominal_system* system, int32_t units, const offnominal_conditions* conditions,
                          offnominal_ledger_step* steps, size_t room, size_t* count, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need(count, "count: a null pointer");
        *count = 0;
        if (room > 0) need(steps, "steps: a null pointer");
        return ask(system, units, conditions, error, [&](const Answer<Expected>& answer, const System&, UnitSystem u) {
            if (!answer) return;
            for (const Step& step : answer->ledger) {
                const Unit& unit = unit_of(row_of(step.of)->kind, u);
                if (*count < room)
                    steps[*count] = {static_cast<int32_t>(step.kind), static_cast<int32_t>(step.of), step.factor,
                                     unit.from_si(step.before), unit.from_si(step.after)};
                ++*count;
            }
        });
    });
}

int32_t offnominal_solve(const offnominal_system* system, int32_t units, const offnominal_conditions* conditions,
                         const char* vary, double low, double high, const char* of, const char* over, double equals,
                         double* places, size_t room, offnominal_solution* solution, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_struct(solution, "solution: a null pointer, or of another size");
        hand_out(solution, {0, 0, none, none, none});
        if (room > 0) need(places, "places: a null pointer");
        return ask(system, units, conditions, nullptr, 1, {vary, low, high, of, over, &equals, 0}, error,
                   [&](const Solved& solved, UnitSystem, const auto& refused) -> int32_t {
                       if (const Reason& why = solved.reason[0]; !why.none()) return refused(why);
                       std::copy_n(solved.places.begin(), std::min(room, solved.places.size()), places);
                       hand_out(solution, {0, solved.places.size(), solved.best[0], solved.reached[0], solved.off[0]});
                       return OFFNOMINAL_OK;
                   });
    });
}

int32_t offnominal_solve_batch(const offnominal_system* system, int32_t units, const offnominal_conditions* conditions,
                               const offnominal_condition_columns* columns, size_t rows, const char* vary, double low,
                               double high, const char* of, const char* over, const double* equals, double* places,
                               size_t room, const offnominal_solution_columns* solutions, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        const auto to = taken(solutions, {}, "solutions: a null pointer, or of another size");
        need(to.reasons, "solutions: no column of reasons");
        need(equals, "equals: a null pointer");
        if (room > 0) need(places, "places: a null pointer");
        return ask(system, units, conditions, columns, rows, {vary, low, high, of, over, equals, 1}, error,
                   [&](const Solved& solved, UnitSystem u, const auto&) -> int32_t {
                       for (std::size_t i = 0; i < rows; ++i) {
                           const auto found = solved.of(i);
                           double* const row = places + i * room;
                           const std::size_t some = std::min(room, found.size());
                           std::fill(std::copy_n(found.begin(), some, row), row + room, none);
                           to.reasons[i] = told(solved.reason[i], u);
                           if (to.counts != nullptr) to.counts[i] = found.size();
                       }
                       const auto column = [rows](const std::vector<double>& from, double* out) {
                           if (out != nullptr) std::copy_n(from.begin(), rows, out);
                       };
                       column(solved.best, to.best);
                       column(solved.reached, to.reached);
                       column(solved.off, to.off);
                       return OFFNOMINAL_OK;
                   });
    });
}

int32_t offnominal_expect_json(const offnominal_system* system, int32_t units, const offnominal_conditions* conditions,
                               char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        return ask(system, units, conditions, error,
                   [&](const Answer<Expected>& answer, const System& s, UnitSystem u) {
                       if (answer) give(json, json_of(s, *answer, u));
                   });
    });
}

int32_t offnominal_expect_report(const offnominal_system* system, int32_t units,
                                 const offnominal_conditions* conditions, char** text, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(text);
        return ask(system, units, conditions, error,
                   [&](const Answer<Expected>& answer, const System& s, UnitSystem u) {
                       if (answer) give(text, report(s, *answer, u));
                   });
    });
}

int32_t offnominal_missing(const offnominal_system* system, int32_t units, const offnominal_conditions* conditions,
                           char** json, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        need(system, "system: a null pointer");
        const UnitSystem u = units_of(units);
        return give(json, json_of(missing_of(*system->system, u, conditions), u));
    });
}

void offnominal_readings_init(offnominal_readings* readings, size_t size) {
    if (readings == nullptr || size <= sizeof(size_t) || size > sizeof(offnominal_readings)) return;
    readings->struct_size = size;
    hand_out(readings, no_readings());
}

int32_t offnominal_deliver(int32_t units, const offnominal_readings* readings, offnominal_delivered* delivered,
                           offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_struct(delivered, "delivered: a null pointer, or of another size");
        hand_out(delivered, told(static_cast<const Delivered*>(nullptr), {}, UnitSystem::SI));
        return ask(units, readings, error, [&](const Answer<Delivered>& answer, UnitSystem u) {
            hand_out(delivered, told(answer ? &*answer : nullptr, answer.reason(), u));
        });
    });
}

int32_t offnominal_deliver_batch(int32_t units, const offnominal_readings* readings,
                                 const offnominal_reading_columns* columns, size_t rows,
                                 const offnominal_delivered_columns* delivered, offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        const UnitSystem u = units_of(units);
        const auto to = taken(delivered, {}, "delivered: a null pointer, or of another size");
        need(to.reasons, "delivered: no column of reasons");
        const DeliverQuestion question(u, readings, columns);
        if (!question.reason.none())
            return fail(error, OFFNOMINAL_REFUSED, explain(question.reason, u), nullptr, told(question.reason, u));
        DeliverColumns out;
        out.numbers = columns_of<Delivered>(to, delivered_columns_at, question.batch.readings.mode, u, rows);
        out.reason = reinterpret_cast<Reason*>(to.reasons);
        out.notes = reinterpret_cast<Notes*>(to.notes);
        deliver_rows(question.batch, 0, rows, out, air::fastest_columns());
        turn_reasons(to.reasons, rows, u);
        return OFFNOMINAL_OK;
    });
}

int32_t offnominal_deliver_json(int32_t units, const offnominal_readings* readings, char** json,
                                offnominal_error* error) {
    return guarded(error, [&]() -> int32_t {
        need_text(json);
        return ask(units, readings, error, [&](const Answer<Delivered>& answer, UnitSystem u) {
            if (answer) give(json, json_of(*answer, u));
        });
    });
}

}  // extern "C"
