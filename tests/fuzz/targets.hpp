/// @file
/// What a fuzzer feeds: each takes any bytes. Nothing but an InputError or a reason may come of them, what is answered
/// is finite, and what is written reads back.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>
#include <string_view>
#include <tuple>
#include <type_traits>
#include <variant>
#include <vector>

#include "airflow/inputs.hpp"
#include "offnominal/collate.hpp"
#include "offnominal/embedded.hpp"
#include "offnominal/expect.hpp"
#include "offnominal/field/deliver.hpp"
#include "offnominal/files.hpp"
#include "offnominal/offnominal.h"
#include "offnominal/proof.hpp"
#include "offnominal/proof/many.hpp"
#include "offnominal/report.hpp"
#include "offnominal/standard205.hpp"
#include "text/number.hpp"

namespace fuzz {

using namespace offnominal;

inline void must(bool holds, const char* what) {
    if (holds) return;
    std::fprintf(stderr, "fuzz: not so: %s\n", what);
    std::abort();
}

inline void finite(double value) { must(std::isfinite(value), "an answer is finite"); }

/// The demo's machine, which any question is asked of.
inline const System& machine() {
    static const System system = load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml");
    return system;
}

inline void ask(const System& system, const Site& site, const Conditions& conditions) {
    const auto expected = try_expect(system, site, conditions);
    if (!expected) {
        must(!explain(expected.reason(), system, conditions, UnitSystem::SI).empty(), "a reason has words");
        return;
    }
    finite(expected->total_capacity.si);
    finite(expected->uncertainty.combined());
}

/// Conditions and a site made of raw doubles, the first byte their choices.
inline void question(std::string_view bytes) {
    std::array<double, 16> x{};
    const std::size_t choice = bytes.empty() ? 0 : static_cast<unsigned char>(bytes[0]);
    bytes.remove_prefix(std::min<std::size_t>(bytes.size(), 1));
    std::memcpy(x.data(), bytes.data(), std::min(bytes.size(), sizeof x));
    Conditions c;
    c.mode = (choice & 1) != 0 ? Mode::heating : Mode::cooling;
    const auto& stages = machine().parts();
    c.stage = (choice & 2) != 0 || c.mode == Mode::cooling ? stages.cooling[(choice >> 1) % stages.cooling.size()].name
                                                           : "high";
    c.match = (choice & 4) != 0 ? "indoor A" : "indoor B";
    c.outdoor_dry_bulb.si = x[0];
    c.entering_dry_bulb.si = x[1];
    const auto kind = static_cast<air::Humidity::Kind>((choice >> 3) % 4);
    c.entering_humidity.kind = kind;
    c.entering_humidity.value = x[2];
    c.airflow = (choice & 32) != 0 ? AirflowReading::standard(Airflow{x[3]})
                                   : AirflowReading::actual(Airflow{x[3]}, air::Place::return_air);
    c.line_set = (choice & 64) != 0 ? LineSet::reference() : LineSet::of(Length{x[4]}, Length{x[5]});
    c.boundary = (choice & 128) != 0 ? Boundary::coil : Boundary::coil_and_fan;
    c.fan_power.si = x[6];
    const Site site = x[8] > 0.0 ? Site::at_pressure(Pressure{x[8]}) : Site::at_elevation(Length{x[7]});
    for (const Outside outside : {Outside::refuse, Outside::hold, Outside::extend}) {
        c.outside = outside;
        ask(machine(), site, c);
    }
    Readings r;
    r.mode = c.mode;
    r.return_dry_bulb.si = x[1];
    r.return_humidity = c.entering_humidity;
    r.supply_dry_bulb.si = x[9];
    r.supply_humidity = {kind, x[10]};
    r.airflow = c.airflow;
    r.fan_power.si = x[6];
    r.auxiliary_heat.si = x[11];
    if (const auto delivered = try_deliver(r, site)) {
        finite(delivered->total_capacity.si);
        finite(delivered->mass_flow.si);
    }
}

inline System from_bytes(std::string_view bytes) {
    return system_from_bytes({reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()});
}

/// File to system to file, and to bytes and back: `write_system` reads back what it wrote, and throws where a number
/// moved.
inline void system(std::string_view bytes) {
    const System read = parse_system(bytes, "fuzz", "");
    for (const Stage& stage : read.parts().cooling) {
        const PrintedPage& page = stage.table.page();
        const auto middle = [](const std::vector<double>& axis) { return 0.5 * (axis.front() + axis.back()); };
        Conditions c;
        c.stage = stage.name;
        c.outdoor_dry_bulb.si = middle(page.outdoor_dry_bulb);
        c.airflow = AirflowReading::standard(Airflow{middle(page.airflow)});
        c.entering_dry_bulb.si = 26.0;
        c.entering_humidity = air::relative_humidity(0.5);
        c.line_set = LineSet::reference();
        c.boundary = Boundary::coil;
        ask(read, Site::sea_level(), c);
    }
    try {
        const std::string text = write_system(read);
        must(write_system(from_bytes(system_to_bytes(read))) == text, "a system's bytes hold all of it");
    } catch (const InputError& error) {  // what no file can say
        must(!error.problem().empty(), "an error says what is wrong");
    }
}

inline void visit(std::string_view bytes) {
    const Visit read = parse_visit(bytes, "fuzz", "");
    try {
        const Proof proof = prove(machine(), read);
        if (proof.ratio) finite(*proof.ratio);
        must(!report(machine(), read, proof, UnitSystem::IP).empty(), "a proof has a report");
    } catch (const Refused&) {
    } catch (const InputError&) {
    }
    const std::string text = write_visit(read);
    must(write_visit(parse_visit(text, "again", "")) == text, "a visit that is written reads back");
}

inline void log(std::string_view bytes) {
    LogFormat format;
    format.flaws = LogFormat::Flaws::leave_out;
    const Log read = parse_log(bytes, "fuzz", format);
    for (std::size_t i = 0; i < read.times.size(); ++i) finite(read.times[i]);
    for (const Series& series : read.series) {
        must(series.values.size() == read.times.size(), "a column has a value for each row");
        for (const double value : series.values) must(!std::isinf(value), "a reading is finite or missing");
    }
}

inline void representation(std::string_view bytes) {
    const auto read = standard205::parse_representation(bytes, "fuzz");
    for (const auto format : {standard205::Format::json, standard205::Format::cbor}) {
        const std::string text = standard205::write_representation(read, format);
        must(standard205::write_representation(standard205::parse_representation(text, "again"), format) == text,
             "a representation that is written reads back");
    }
    (void)standard205::to_system(read);
}

/// A system as bytes. Length and checksum are put right first, so that it is the members that are looked at.
inline void embedded(std::string_view bytes) {
    constexpr std::size_t length = 12, sum = 16, head = 24;  // as src/embed/bytes.cpp has it
    std::string whole(bytes);
    if (whole.size() >= head) {
        const auto put = [&](std::size_t at, std::uint64_t value, int size) {
            for (int i = 0; i < size; ++i) whole[at + static_cast<std::size_t>(i)] = static_cast<char>(value >> 8 * i);
        };
        std::uint64_t hash = 0xcbf29ce484222325u;
        for (std::size_t i = head; i < whole.size(); ++i)
            hash = (hash ^ static_cast<unsigned char>(whole[i])) * 0x100000001b3u;
        put(length, whole.size() - head, 4);
        put(sum, hash, 8);
    }
    const std::string once = system_to_bytes(from_bytes(whole));
    must(system_to_bytes(from_bytes(once)) == once, "a system's bytes read back");
}

/// A number, with and without a unit, as people type it.
inline void number(std::string_view text) {
    for (const bool fractions : {false, true}) {
        files::Number read;
        if (files::read_number(text, fractions, read)) continue;
        finite(read.value);
        files::Number again;
        must(!files::read_number(files::number_text(read.value), false, again) && again.value == read.value,
             "a number that is written reads back");
    }
    for (const auto& dimension : words_of<Dimension>) {
        files::Measured read;
        if (files::read_quantity(text, dimension.value, read)) continue;
        finite(read.si);
        const std::string written = files::quantity_text(read.si, dimension.value);
        files::Measured again;
        must(!files::read_quantity(written, dimension.value, again) && again.si == read.si,
             "a quantity that is written reads back");
    }
}

/// Fills what a caller of C hands over from bytes, and with zeros when they are used up.
class Filler {
   public:
    explicit Filler(std::string_view bytes) : rest_(bytes) {}

    template <class T>
    T take() {
        T out{};
        fill(&out, sizeof out);
        return out;
    }
    void fill(void* to, std::size_t size) {
        const std::size_t some = std::min(size, rest_.size());
        if (some > 0) std::memcpy(to, rest_.data(), some);
        rest_.remove_prefix(some);
    }
    /// Everything of a struct but its size, which is right or any.
    template <class S>
    S of_caller() {
        S out{};
        const auto size = take<std::uint16_t>();
        fill(&out, sizeof out);
        out.struct_size = size % 4 == 0 ? size / 4 : sizeof out;
        return out;
    }
    /// Columns of doubles, each there or NULL, in the order of a struct's last members; past 32 as those before.
    template <class S, class Pointer>
    void columns(S& s, std::size_t first, std::vector<std::vector<double>>& held, std::size_t rows) {
        const auto there = take<std::uint32_t>();
        for (std::size_t at = first, k = 0; at < sizeof s; at += sizeof(Pointer), ++k) {
            if ((there >> k % 32 & 1) == 0) continue;
            held.emplace_back(rows);
            fill(held.back().data(), rows * sizeof(double));
            const Pointer column = held.back().data();
            std::memcpy(reinterpret_cast<unsigned char*>(&s) + at, &column, sizeof column);
        }
    }

    [[nodiscard]] std::string_view rest() const noexcept { return rest_; }

   private:
    std::string_view rest_;
};

// Readings of an airflow as a careless caller fills them.

template <Dimension D>
void read_by(Filler& from, ReadBy& by, Quantity<D>& standard) {
    const auto choice = from.take<std::uint8_t>();
    if ((choice & 1) != 0) standard.si = from.take<double>();
    if ((choice & 2) != 0) by.instrument = "one";
    if ((choice & 4) != 0) by.shared = from.take<double>();
}
template <Dimension D>
void take(Filler& from, InstrumentReading<D>& reading) {
    reading.value.si = from.take<double>();
    read_by(from, reading, reading.standard);
}
template <Dimension D>
void take(Filler& from, InstrumentReadings<D>& readings) {
    readings.values.resize(from.take<std::uint8_t>() % 4);
    for (auto& value : readings.values) value.si = from.take<double>();
    read_by(from, readings, readings.standard);
}
inline void take(Filler& from, bool& is) { is = from.take<std::uint8_t>() % 2 != 0; }
/// The name of a tap, or what stood between the taps.
inline void take(Filler& from, std::string& text) {
    const char* const texts[] = {"", "1", "wet coil, no filter", "dry coil, filter"};
    text = texts[from.take<std::uint8_t>() % std::size(texts)];
}
inline void take(Filler& from, std::vector<ComponentDrop>& drops) {
    drops.resize(from.take<std::uint8_t>() % 3);
    for (ComponentDrop& one : drops) {
        one.component = words_of<Component>[from.take<std::uint8_t>() % std::size(words_of<Component>)].value;
        take(from, one.drop);
    }
}
template <class Way>
Way way_of(Filler& from) {
    Way out;
    std::apply([&](const auto&... input) { (take(from, out.*input.member), ...); }, inputs_of<Way>);
    return out;
}

inline void sound(const BlowerPoint& point) {
    finite(point.airflow.si);
    finite(point.power.si);
    finite(point.law_u);
    must(point.airflow.si > 0.0 && point.power.si >= 0.0 && point.law_u >= 0.0, "a fan that runs moves air");
}

/// A blower table of any numbers, or the demo's, in any air: at any pressure and against any duct; and two airflows,
/// found in any way, which are combined.
inline void airflow(std::string_view bytes) {
    Filler from(bytes);
    const auto choice = from.take<std::uint8_t>(), rows = from.take<std::uint8_t>();
    BlowerTable blower = machine().parts().blower;
    if ((choice & 1) != 0) {
        std::vector<BlowerTable::Row> page(rows % 8);
        for (BlowerTable::Row& row : page) {
            row.tap = "1";
            row.mark = from.take<std::uint8_t>() % 8 == 7 ? Mark::blank : Mark::printed;
            for (double* const number : {&row.external_static.si, &row.airflow.si, &row.power.si})
                *number = from.take<double>();
        }
        BlowerTable::Basis basis{.motor = words_of<BlowerMotor>[(choice >> 1) % 4].value, .includes = "wet coil"};
        if ((choice & 8) != 0) basis.greatest_static = Pressure{from.take<double>()};
        blower = BlowerTable(page, basis);
    }
    const double sigma = from.take<double>();
    const Pressure external_static{from.take<double>()};
    if (const auto point = blower.at("1", external_static, sigma)) sound(*point);
    DuctCurve duct;
    for (double* const number : {&duct.airflow.si, &duct.external_static.si, &duct.exponent})
        *number = from.take<double>();
    if (const auto met = blower.at("1", duct, sigma)) {
        finite(met->external_static.si);
        sound(met->blower);
    } else {
        must(!explain(met.reason(), blower, "1").empty(), "a reason has words");
    }
    const Temperature dry_bulb{from.take<double>()};
    const auto humidity = air::relative_humidity(from.take<double>());
    const FlowingAir flowing{air::state(dry_bulb, humidity, Pressure{from.take<double>()}), from.take<double>()};
    std::vector<DeterminedAirflow> ways;
    const auto determine = [&]<class... Way>(std::size_t which, std::type_identity<std::variant<Way...>>) {
        AirflowReadBy reading;
        std::size_t k = 0;
        (void)((k++ == which && (reading = way_of<Way>(from), true)) || ...);
        return airflow_by(reading, blower, flowing);
    };
    for (int i = 0; i < 2; ++i) {
        const std::size_t which = from.take<std::uint8_t>() % std::variant_size_v<AirflowReadBy>;
        const DeterminedAirflow& way = ways.emplace_back(determine(which, std::type_identity<AirflowReadBy>()));
        for (const double number : {way.mass_flow.si, way.airflow.si, way.actual.si, way.u}) finite(number);
        must(way.mass_flow.si > 0.0 && way.u >= 0.0, "an airflow is above zero");
        for (const AirflowTerm& term : way.terms) finite(term.effect);
        must(!report(way, UnitSystem::IP).empty(), "an airflow has a report");
    }
    const CombinedAirflow both = combined(ways);
    for (const double number : {both.mass_flow.si, both.airflow.si, both.u, both.chi_squared, both.chance})
        finite(number);
}

/// A batch as a careless caller asks for it, and one question: rows have a number or a reason, and the bits of one.
template <class Answer, class In, class Out, class Question, class Batch, class One>
void ask_c(Filler& from, const Question& question, const Batch& batch, const One& one) {
    const auto wrong = from.take<std::uint8_t>();
    const std::size_t rows = from.take<std::uint8_t>() % 70;
    std::vector<std::vector<double>> given, told;
    In in{};
    in.struct_size = wrong == 1 ? 3 : sizeof in;
    from.columns<In, const double*>(in, sizeof in.struct_size, given, rows);
    Out out{};
    out.struct_size = wrong == 2 ? sizeof out + 1 : sizeof out;
    from.columns<Out, double*>(out, offsetof(Out, total_capacity), told, rows);
    std::vector<offnominal_reason> reasons(rows + 1);
    std::vector<double> total(rows + 1);
    out.reasons = wrong == 3 ? nullptr : reasons.data();
    out.total_capacity = total.data();
    offnominal_error error{};
    error.struct_size = sizeof error;
    const int status = batch(&question, wrong == 4 ? nullptr : &in, rows, &out, wrong == 5 ? nullptr : &error);
    must(status == OFFNOMINAL_OK || status == OFFNOMINAL_REFUSED || status == OFFNOMINAL_BAD_ARGUMENT,
         "a batch answers or is refused, or its caller is wrong");
    Answer answer{};
    answer.struct_size = sizeof answer;
    const int alone = one(&question, &answer, &error);
    must(alone == OFFNOMINAL_OK || alone == OFFNOMINAL_REFUSED || alone == OFFNOMINAL_BAD_ARGUMENT,
         "a question is answered or refused, or its caller is wrong");
    must((alone == OFFNOMINAL_OK) == std::isfinite(answer.total_capacity), "an answer is finite, no answer is NaN");
    must(alone == OFFNOMINAL_OK || error.message[0] != 0, "a failure has words");
    if (status != OFFNOMINAL_OK) return;
    for (std::size_t i = 0; i < rows; ++i) {
        must(std::isfinite(total[i]) == (reasons[i].why == OFFNOMINAL_WHY_NONE), "a row has a number or a reason");
        if (given.empty() && alone == OFFNOMINAL_OK)
            must(total[i] == answer.total_capacity, "a row has the bits of one");
    }
}

/// The machine, as C has it.
inline const offnominal_system* c_machine() {
    static const offnominal_system* const system = [] {
        const std::string sound = system_to_bytes(machine());
        offnominal_system* out = nullptr;
        must(offnominal_system_from_bytes(sound.data(), sound.size(), &out, nullptr) == OFFNOMINAL_OK, "a system");
        return out;
    }();
    return system;
}
inline offnominal_conditions question_of_caller(Filler& from, std::uint8_t choice) {
    auto out = from.of_caller<offnominal_conditions>();
    out.stage = (choice & 4) != 0 ? "high" : (choice & 8) != 0 ? "low" : nullptr;
    out.match = (choice & 16) != 0 ? "indoor A" : nullptr;
    return out;
}

/// A text of the C interface: JSON that no NaN or infinity got into, where the call answers; nothing where it does not.
template <class Call>
void json_c(const Call& call) {
    char* text = nullptr;
    offnominal_error error{};
    error.struct_size = sizeof error;
    const int status = call(&text, &error);
    must((status == OFFNOMINAL_OK) == (text != nullptr), "there is a text where a call answers, and only there");
    must(status == OFFNOMINAL_OK || (error.message[0] != 0 && status <= OFFNOMINAL_BAD_ARGUMENT),
         "a failure has words");
    if (text == nullptr) return;
    std::string bare;  // what stands outside strings
    bool inside = false;
    for (const char* at = text; *at != 0; ++at) {
        if (inside && *at == '\\')
            ++at;
        else if (*at == '"')
            inside = !inside;
        else if (!inside)
            bare += *at;
    }
    must(!inside && bare.find("nan") == std::string::npos && bare.find("inf") == std::string::npos, "JSON has numbers");
    offnominal_text_free(text);
}

/// Rows of visits: each has a ratio or a reason, and the bits it has without its neighbours.
inline void prove_c(Filler& from, std::int32_t units) {
    static const offnominal_visit* const visit = [] {
        offnominal_visit* out = nullptr;
        must(offnominal_visit_load(OFFNOMINAL_TABLES_DIR "/demo/library-visit.yaml", &out, nullptr) == OFFNOMINAL_OK,
             "a visit");
        return out;
    }();
    const auto wrong = from.take<std::uint8_t>();
    const std::size_t rows = from.take<std::uint8_t>() % 4;
    std::vector<std::vector<double>> given, told;
    offnominal_visit_columns in{};
    in.struct_size = wrong == 1 ? 3 : sizeof in;
    from.columns<offnominal_visit_columns, const double*>(in, sizeof in.struct_size, given, rows);
    offnominal_verdict_columns out{};
    out.struct_size = wrong == 2 ? sizeof out + 1 : sizeof out;
    from.columns<offnominal_verdict_columns, double*>(
        out, offsetof(offnominal_verdict_columns, share_of_return_dry_bulb), told, rows);
    std::vector<offnominal_reason> reasons(rows + 1);
    std::vector<double> ratio(rows + 1);
    std::vector<std::int16_t> outcome(rows + 1);
    std::vector<std::uint64_t> notes(2 * rows + 2);
    out.reasons = wrong == 3 ? nullptr : reasons.data();
    out.ratio = ratio.data();
    out.outcome = outcome.data();
    out.notes = notes.data();
    offnominal_error error{};
    error.struct_size = sizeof error;
    const int status =
        offnominal_prove_batch(c_machine(), units, visit, wrong == 4 ? nullptr : &in, rows, &out, &error);
    must(status >= OFFNOMINAL_OK && status <= OFFNOMINAL_BAD_ARGUMENT, "a batch is proved, or its caller is wrong");
    must(status == OFFNOMINAL_OK || error.message[0] != 0, "a failure has words");
    if (status != OFFNOMINAL_OK) return;
    for (std::size_t i = 0; i < rows; ++i) {
        must(std::isnan(ratio[i]) ? reasons[i].why != OFFNOMINAL_WHY_NONE : std::isfinite(ratio[i]),
             "a row has a ratio or a reason");
        for (const std::vector<double>& column : told)
            must(!std::isinf(column[i]), "a number is finite, or there is none");
    }
    if (rows == 0) return;
    offnominal_visit_columns last = in;
    for (std::size_t at = sizeof in.struct_size; wrong != 4 && at < sizeof in; at += sizeof(const double*)) {
        const double* column = nullptr;
        std::memcpy(&column, reinterpret_cast<const unsigned char*>(&in) + at, sizeof column);
        if (column != nullptr) column += rows - 1;
        std::memcpy(reinterpret_cast<unsigned char*>(&last) + at, &column, sizeof column);
    }
    double alone = 0.0;
    offnominal_reason reason{};
    offnominal_verdict_columns one{};
    one.struct_size = sizeof one;
    one.reasons = &reason;
    one.ratio = &alone;
    must(offnominal_prove_batch(c_machine(), units, visit, wrong == 4 ? nullptr : &last, 1, &one, nullptr) ==
                 OFFNOMINAL_OK &&
             reason.why == reasons[rows - 1].why && std::memcmp(&alone, &ratio[rows - 1], sizeof alone) == 0,
         "a row has the bits it has alone");
}

/// The C interface: any numbers and choices, structs of another size, columns that are not there.
inline void c_batch(std::string_view bytes) {
    const offnominal_system* const system = c_machine();
    Filler from(bytes);
    const auto choice = from.take<std::uint8_t>();
    const std::int32_t units = (choice & 2) != 0 ? OFFNOMINAL_UNITS_IP : OFFNOMINAL_UNITS_SI;
    if ((choice & 32) != 0) return prove_c(from, units);
    if ((choice & 1) != 0) {
        const auto readings = from.of_caller<offnominal_readings>();
        ask_c<offnominal_delivered, offnominal_reading_columns, offnominal_delivered_columns>(
            from, readings, [&](auto... the) { return offnominal_deliver_batch(units, the...); },
            [&](auto... the) { return offnominal_deliver(units, the...); });
        json_c([&](auto... out) { return offnominal_deliver_json(units, &readings, out...); });
        return;
    }
    const auto question = question_of_caller(from, choice);
    ask_c<offnominal_expected, offnominal_condition_columns, offnominal_expected_columns>(
        from, question, [&](auto... the) { return offnominal_expect_batch(system, units, the...); },
        [&](auto... the) { return offnominal_expect(system, units, the...); });
    json_c([&](auto... out) { return offnominal_missing(system, units, &question, out...); });
    json_c([&](auto... out) { return offnominal_expect_json(system, units, &question, out...); });
    const std::array axes{question.outdoor_dry_bulb, question.entering_wet_bulb};
    json_c([&](auto... out) {
        return offnominal_card(system, units, &question, axes.data(), choice >> 2 & 1, axes.data() + 1, choice >> 3 & 1,
                               nullptr, out...);
    });
    std::array<offnominal_ledger_step, 4> steps{};
    std::size_t count = 0;
    if (offnominal_ledger(system, units, &question, steps.data(), steps.size(), &count, nullptr) == OFFNOMINAL_OK)
        must(count > 0 && count <= 30, "a ledger has steps");
}

/// Questions backwards: the places of a row are in the range and rise, and are those of the question alone.
inline void c_solve(std::string_view bytes) {
    Filler from(bytes);
    const auto choice = from.take<std::uint8_t>();
    const std::int32_t units = (choice & 1) != 0 ? OFFNOMINAL_UNITS_IP : OFFNOMINAL_UNITS_SI;
    const std::size_t rows = from.take<std::uint8_t>() % 4, room = from.take<std::uint8_t>() % 4;
    const auto name = [&](const auto& list) -> const char* {  // literals, which end with 0
        const std::size_t k = from.take<std::uint8_t>() % (std::size(list) + 2);
        return k < std::size(list) ? list[k].name.data() : k == std::size(list) ? nullptr : "none such";
    };
    const char* const vary = name(asked_of_expect);
    const char* const of = name(told_of<ExpectedValues>);
    const char* const over = name(told_of<ExpectedValues>);
    const double low = from.take<double>(), high = from.take<double>();
    std::vector<double> equals(rows + 1);
    from.fill(equals.data(), equals.size() * sizeof(double));
    const auto question = question_of_caller(from, choice);
    std::vector<std::vector<double>> given;
    offnominal_condition_columns in{};
    in.struct_size = sizeof in;
    from.columns<offnominal_condition_columns, const double*>(in, sizeof in.struct_size, given, rows);
    std::vector<double> best(rows + 1), places(rows * room + 1);
    std::vector<offnominal_reason> reasons(rows + 1);
    std::vector<std::size_t> counts(rows + 1);
    const offnominal_solution_columns out = {sizeof out, reasons.data(), counts.data(), best.data(), nullptr, nullptr};
    offnominal_error error{};
    error.struct_size = sizeof error;
    const int status = offnominal_solve_batch(c_machine(), units, &question, &in, rows, vary, low, high, of, over,
                                              equals.data(), places.data(), room, &out, &error);
    must(status >= OFFNOMINAL_OK && status <= OFFNOMINAL_BAD_ARGUMENT, "a batch is answered, or its caller is wrong");
    must(status == OFFNOMINAL_OK || error.message[0] != 0, "a failure has words");
    if (status != OFFNOMINAL_OK) return;
    for (std::size_t i = 0; i < rows; ++i) {
        must(std::isnan(best[i]) || reasons[i].why == OFFNOMINAL_WHY_NONE, "a row has a place or a reason");
        for (std::size_t k = 0; k < room; ++k) {
            const double place = places[i * room + k];
            must(k < counts[i] ? low <= place && place <= high : std::isnan(place), "a place is in the range");
        }
    }
    if (rows == 0 || !given.empty()) return;
    offnominal_solution alone{};
    alone.struct_size = sizeof alone;
    const int one = offnominal_solve(c_machine(), units, &question, vary, low, high, of, over, equals[0], nullptr, 0,
                                     &alone, nullptr);
    must((one == OFFNOMINAL_OK) == (reasons[0].why == OFFNOMINAL_WHY_NONE), "a row is answered as alone");
    if (one == OFFNOMINAL_OK)
        must(alone.count == counts[0] && std::memcmp(&alone.best, best.data(), sizeof(double)) == 0,
             "a row has the bits of one");
}

/// Design loads and airflows of any numbers, and limits of size of any text.
inline void c_choose(std::string_view bytes) {
    Filler from(bytes);
    const auto choice = from.take<std::uint8_t>();
    auto design = from.of_caller<offnominal_design>();
    std::vector<double> airflows((choice >> 4) % 4);
    for (double& airflow : airflows) airflow = from.take<double>();
    design.airflows = (choice & 64) != 0 ? nullptr : airflows.data();
    design.airflow_count = airflows.size();
    const std::string own(from.rest());
    const char* const limits[] = {nullptr, "manual_s_2004", "none such", own.c_str()};
    design.limits = limits[(choice >> 1) % 4];
    const offnominal_system* const one[] = {c_machine()};
    const std::int32_t units = (choice & 1) != 0 ? OFFNOMINAL_UNITS_IP : OFFNOMINAL_UNITS_SI;
    json_c([&](auto... out) { return offnominal_choose(one, choice >> 3 & 1, units, &design, out...); });
}

/// A text, and after a byte 0 each those that a caller has beside it: given one after another, whatever is asked for.
struct WithBeside {
    explicit WithBeside(std::string_view bytes) : rest(bytes), text(next()) {}

    std::string_view next() {
        const std::size_t size = std::min(rest.find('\0'), rest.size());
        const std::string_view out = rest.substr(0, size);
        rest.remove_prefix(std::min(size + 1, rest.size()));
        return out;
    }
    static const char* give(void* context, const char* name, std::size_t* size) {
        auto& self = *static_cast<WithBeside*>(context);
        must(name != nullptr && *name != 0, "what is asked for has a name");
        if (self.rest.empty()) return nullptr;
        const std::string_view out = self.next();
        *size = out.size();
        return out.data();
    }

    std::string_view rest;
    std::string_view text;
};

/// A system through C: its pages, what it covers and its audit.
inline void c_system(std::string_view bytes) {
    offnominal_system* system = nullptr;
    offnominal_error error{};
    error.struct_size = sizeof error;
    WithBeside texts(bytes);
    const int status = offnominal_system_parse_beside(texts.text.data(), texts.text.size(), "fuzz", &WithBeside::give,
                                                      &texts, &system, &error);
    must((status == OFFNOMINAL_OK) == (system != nullptr), "a system, or none");
    must(status == OFFNOMINAL_OK ||
             ((status == OFFNOMINAL_INPUT || status == OFFNOMINAL_NO_FILE) && error.message[0] != 0),
         "a text is read, or not sound");
    if (system == nullptr) return;
    std::array<double, 8> places{};
    for (std::size_t page = 0; page < offnominal_page_count(system); ++page) {
        offnominal_page read{};
        read.struct_size = sizeof read;
        must(offnominal_page_read(system, page, &read, nullptr) == OFFNOMINAL_OK, "a page is told");
        for (std::size_t axis = 0; axis < read.axes; ++axis) {
            must(offnominal_axis_name(system, page, axis) != nullptr, "an axis has a name");
            must(offnominal_axis_breakpoints(system, page, axis, OFFNOMINAL_UNITS_IP, places.data(), places.size()) > 0,
                 "an axis has breakpoints");
            for (const double place : places) finite(place);
        }
    }
    json_c([&](auto... out) { return offnominal_coverage(system, OFFNOMINAL_UNITS_IP, out...); });
    json_c([&](auto... out) { return offnominal_audit(system, out...); });
    offnominal_system_free(system);
}

/// A visit through C: whatever is told of its proof, alone and as the rows of a batch.
inline void c_proof(std::string_view bytes) {
    offnominal_visit* visit = nullptr;
    offnominal_proof* proof = nullptr;
    WithBeside texts(bytes);
    if (offnominal_visit_parse_beside(texts.text.data(), texts.text.size(), "fuzz", &WithBeside::give, &texts, &visit,
                                      nullptr) != OFFNOMINAL_OK)
        return;
    const int status = offnominal_prove(c_machine(), visit, &proof, nullptr);
    std::array<double, 2> ratio{};
    std::array<offnominal_reason, 2> reasons{};
    offnominal_verdict_columns rows{};
    rows.struct_size = sizeof rows;
    rows.reasons = reasons.data();
    rows.ratio = ratio.data();
    const int batch = offnominal_prove_batch(c_machine(), OFFNOMINAL_UNITS_SI, visit, nullptr, 2, &rows, nullptr);
    json_c([&](auto... out) {
        return offnominal_revised(c_machine(), c_machine(), OFFNOMINAL_UNITS_SI, visit, nullptr, 1, out...);
    });
    must(batch >= OFFNOMINAL_OK && batch <= OFFNOMINAL_INPUT, "a batch is proved, or its visit is none");
    offnominal_visit_free(visit);
    must((status == OFFNOMINAL_OK) == (proof != nullptr), "a proof, or none");
    if (proof == nullptr) return;
    offnominal_verdict verdict{};
    verdict.struct_size = sizeof verdict;
    must(offnominal_proof_verdict(proof, OFFNOMINAL_UNITS_SI, &verdict, nullptr) == OFFNOMINAL_OK,
         "a proof has a verdict");
    must(!std::isinf(verdict.ratio), "a ratio is finite, or there is none");
    must(batch != OFFNOMINAL_OK || std::memcmp(&verdict.ratio, &ratio[1], sizeof(double)) == 0,
         "a row has the bits of one");
    offnominal_expected expected{};
    expected.struct_size = sizeof expected;
    if (offnominal_proof_expected(proof, OFFNOMINAL_UNITS_SI, &expected, nullptr) == OFFNOMINAL_OK)
        finite(expected.total_capacity);
    offnominal_delivered delivered{};
    delivered.struct_size = sizeof delivered;
    if (offnominal_proof_delivered(proof, OFFNOMINAL_UNITS_SI, &delivered, nullptr) == OFFNOMINAL_OK)
        finite(delivered.total_capacity);
    json_c([&](auto... out) { return offnominal_proof_json(proof, OFFNOMINAL_UNITS_IP, out...); });
    json_c([&](auto... out) { return offnominal_proof_texts(proof, OFFNOMINAL_UNITS_SI, out...); });
    json_c([&](auto... out) { return offnominal_proof_causes(proof, OFFNOMINAL_UNITS_IP, out...); });
    const offnominal_proof* const twice[] = {proof, proof};
    json_c([&](auto... out) { return offnominal_seasons(twice, 2, out...); });
    offnominal_proof_free(proof);
}

/// Two rows of a table of visits, of any numbers: each has the ratio that its visit alone has, or a reason.
inline void visits(std::string_view bytes) {
    static const Visit visit = load_visit(OFFNOMINAL_TABLES_DIR "/demo/library-visit.yaml");
    constexpr std::size_t rows = 2;
    Filler from(bytes);
    VisitBatch batch{.visit = visit, .stage = {}, .match = {}};
    std::vector<std::vector<double>> given;
    const auto there = from.take<std::uint16_t>();
    for (std::size_t k = 0; k < visit_slots; ++k) {
        if ((there >> k & 1) == 0) continue;
        given.emplace_back(rows);
        from.fill(given.back().data(), rows * sizeof(double));
        batch.numbers[k] = Column{given.back().data(), 1, {}};
    }
    std::array<double, rows> ratio{};
    std::array<Reason, rows> reason{};
    std::array<std::int16_t, rows> outcome{};
    ProofColumns out;
    out.reason = reason.data();
    out.outcome = outcome.data();
    for (std::size_t k = 0; k < std::size(told_of<Proof>); ++k)
        if (told_of<Proof>[k].name == "ratio") out.numbers[k].data = ratio.data();
    prove_many(machine(), batch, rows, out);
    for (std::size_t i = 0; i < rows; ++i)
        must(std::isnan(ratio[i]) ? reason[i].why != Why::none : std::isfinite(ratio[i]),
             "a row has a ratio or a reason");
}

struct Target {
    const char* name;
    void (*run)(std::string_view bytes);
    const char* corpus = name;  ///< the folder of its inputs
};
inline constexpr Target targets[] = {{"system", &system},
                                     {"visit", &visit},
                                     {"log", &log},
                                     {"representation", &representation},
                                     {"question", &question},
                                     {"embedded", &embedded},
                                     {"number", &number},
                                     {"visits", &visits},
                                     {"airflow", &airflow},
                                     {"c_batch", &c_batch},
                                     {"c_solve", &c_solve},
                                     {"c_choose", &c_choose},
                                     {"c_system", &c_system, "system"},
                                     {"c_proof", &c_proof, "visit"}};

/// Runs one; an InputError or a refusal is an answer.
inline void feed(const Target& target, std::string_view bytes) {
    try {
        target.run(bytes);
    } catch (const InputError& error) {
        must(std::string_view(error.what()).size() < 2000, "an error is short");
    } catch (const Refused&) {
    }
}

}  // namespace fuzz
