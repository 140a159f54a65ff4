
#include "offnominal/files.hpp"
#include "offnominal/proof/conformity.hpp"
#include "offnominal/standard205.hpp"
#include "ranges.hpp"
#include "read/airflow.hpp"
#include "read/beside.hpp"
#include "read/instrument.hpp"
#include "read/line_set.hpp"
#include "read/visit_keys.hpp"
#include "read/visit_log.hpp"

namespace offnominal {
namespace files {
namespace {

class VisitReader {
   public:
    VisitReader(const Document& document, bool forecast)
        : document_(document), forecast_(forecast), top_(document, document.root, {}, words) {}

    Visit read() {
        visit_.readings.mode = top_.choice("mode", Mode::cooling);
        if (const Item* item = top_.find("date")) {
            visit_.date = top_.text(*item, "date");
            placed(document_, *item, [&] { check_day(visit_.date, "date"); });
        }
        if (const Item* item = top_.find("instruments"))
            visit_.instruments = read_instruments(document_, *item, visit_.date, visit_.side_by_side);
        for_each_visit_key([&](const auto& key) {
            const Item* item = top_.find(key.word);
            if (item != nullptr && key.only && *key.only != visit_.mode())
                top_.refuse(*item, std::string(key.word) + ": for " + std::string(name(*key.only)) + " only",
                            *key.only == Mode::heating ? "mode: heating" : "nothing: all of heating is sensible");
            read(key, item);
        });
        if (const Item* running = top_.find("running"); running != nullptr && top_.find("steady") != nullptr)
            check_running(*running);
        visit_.places = {place_of("stage"), place_of("match"), place_of("line_set"), place_of("speed")};
        const bool none_held = visit_.speed_held && !*visit_.speed_held;
        if (visit_.stage.empty() && !visit_.speed && !none_held)
            top_.missing("stage", "the stage that ran; there is no default");
        visit_.typed = texts_of(document_.root);
        return std::move(visit_);
    }

   private:
    static constexpr auto words = std::apply([](const auto&... key) { return std::array{key.word...}; }, visit_keys);

    template <class Member>
    void read(const PlainKey<Member>& key, const Item* item) {
        auto& out = key.of(visit_);
        using Value = std::remove_reference_t<decltype(out)>;
        if (item == nullptr) return;
        if constexpr (std::is_same_v<Value, std::string>)
            out = top_.text(key.word);
        else if constexpr (std::is_same_v<Value, bool> || std::is_same_v<Value, std::optional<bool>>)
            out = top_.flag(key.word, false);
        else if constexpr (Worded<Value>)
            out = top_.choice<Value>(*item, key.word);
        else
            out = top_.quantity<Value::value_type::dimension>(*item, key.word);
        if constexpr (std::is_same_v<Value, std::optional<Duration>>)
            if (out->si < 0.0)
                top_.refuse(*item, std::string(key.word) + ": a time that has passed, below zero",
                            "zero or more, such as 25 min");
    }

    /// A machine that has just started is not steady; a log tells that by itself.
    void check_running(const Item& item) const {
        if (*visit_.steady && *visit_.running < practice::least_running)
            top_.refuse(item, "running: too short for steady: true",
                        "15 min or more from the last start or change to the readings; or steady: false");
    }

    void read(OwnKey<"offnominal">, const Item*) {}  // `check_kind` has looked
    // What reads the others asks for these.
    void read(OwnKey<"mode">, const Item*) {}
    void read(OwnKey<"date">, const Item*) {}
    void read(OwnKey<"instruments">, const Item*) {}
    void read(OwnKey<"boundary"> key, const Item*) {
        visit_.boundary = top_.choice<Boundary>(top_.need(key.word, "coil, coil+fan; there is no default"), key.word);
    }
    void read(OwnKey<"line_set">, const Item* item) {
        if (item != nullptr) visit_.line_set = read_line_set(*item);
    }

    void read(OwnKey<"auxiliary_heat"> key, const Item*) {
        if (visit_.mode() != Mode::heating) return;
        const Item& item = top_.need(key.word,
                                     "off, its power between the probes, such as {value: 4800 W, instrument: clamp "
                                     "meter}, or unknown; there is no default");
        if (item.kind != Item::Kind::scalar) {
            const Fields fields(document_, item, "auxiliary_heat", {"value", "instrument"});
            visit_.readings.auxiliary_heat =
                fields.quantity<Dimension::power>(fields.need("value", "a power, such as 4800 W"), "value");
            if (fields.find("instrument") != nullptr)
                know(Input::auxiliary_heat, fields, "power", visit_.readings.auxiliary_heat.si);
        } else if (item.text == "off" || item.text == "false") {  // off is false to some who read YAML
            visit_.readings.auxiliary_heat.si = 0.0;
        } else if (item.text == "unknown") {
            visit_.auxiliary_unknown = true;
        } else {
            visit_.readings.auxiliary_heat = top_.quantity<Dimension::power>(item, "auxiliary_heat");
        }
        if (visit_.readings.auxiliary_heat.si < 0.0) top_.refuse(item, "auxiliary_heat: below zero", "off, or a power");
    }

    /// Where a key stands; if it does not, where the file starts.
    InputError::Place place_of(std::string_view key) const {
        const Item* item = top_.find(key);
        return document_.place(item == nullptr ? top_.map() : *item);
    }

    void read(OwnKey<"speed">, const Item* item) {
        if (item == nullptr) return;
        static constexpr const char* accepted = "such as 45 Hz, 2700 rpm or 60 %";
        const Measured value = top_.measured(*item, "speed", Dimension::frequency, Dimension::ratio);
        const bool is_share = value.unit.dimension == Dimension::ratio;
        if (is_share && value.unit.name != "%") top_.refuse(*item, "speed: a number without a unit", accepted);
        if (!(value.si > 0.0 && value.si <= (is_share ? 1.5 : 500.0)))
            top_.refuse(*item, "speed: not a compressor's", accepted);
        visit_.speed = Speed{value.si, value.unit};
    }

    LineSet read_line_set(const Item& item) {
        if (item.kind == Item::Kind::scalar) {
            if (item.text != "reference")
                top_.refuse(item, "line_set: not a line set",
                            "reference, or {length: 50 ft, suction: 3/4 in, lift: 0 ft}");
            return LineSet::reference();
        }
        const Fields fields(document_, item, "line_set",
                            {"length", "tubing", "fittings", "suction", "lift", "liquid", "beyond"});
        LineSet line = read_line(fields);
        line.lift = fields.quantity<Dimension::length>("lift").value_or(LineSet::unknown);
        line.liquid = fields.quantity<Dimension::length>("liquid").value_or(LineSet::unknown);
        line.beyond = fields.choice("beyond", BeyondTable::refuse);
        return line;
    }

    void read(OwnKey<"fan_power"> key, const Item* typed) {
        if (typed == nullptr) {
            if (visit_.boundary == Boundary::coil_and_fan)
                top_.missing(key.word, "the indoor fan's power, such as 420 W: boundary coil+fan needs it");
            return;
        }
        const Item& item = *typed;
        if (item.kind == Item::Kind::scalar) {
            visit_.fan_power = top_.quantity<Dimension::power>(item, "fan_power");
        } else {
            const Fields fields(document_, item, "fan_power", {"value", "instrument"});
            visit_.fan_power =
                fields.quantity<Dimension::power>(fields.need("value", "a power, such as 420 W"), "value");
            if (fields.find("instrument") != nullptr) know(Input::fan_power, fields, "power", visit_.fan_power.si);
        }
        if (!(visit_.fan_power.si >= 0.0)) top_.refuse(item, "fan_power: below zero", "zero or more");
        visit_.readings.fan_power = visit_.fan_power;
    }

    void read(OwnKey<"second_capacity">, const Item* item) {
        if (item == nullptr) return;
        const Fields fields(document_, *item, "second_capacity", {"by", "total", "boundary", "water", "standard"});
        SecondReading& out = visit_.second_capacity.emplace();
        const Item& by = fields.need("by", accepted_words<SecondMethod>());
        out.by = fields.choice<SecondMethod>(by, "by");
        if (visit_.mode() == Mode::heating && out.by != SecondMethod::refrigerant)
            fields.refuse(
                by, fields.path("by") + ": of cooling",
                "refrigerant: outdoor air gives up water or frost too, which its dry bulbs do not tell, and no "
                "water leaves a coil that heats");
        const bool weighed = out.is_weighed();
        for (const char* other : {"total", "boundary", "water"})
            if (const Item* typed = fields.find(other);
                typed != nullptr && weighed != (std::string_view(other) == "water"))
                fields.refuse(*typed, fields.path(other) + ": not by " + std::string(name(out.by)),
                              weighed ? "water: the condensate, such as 6.7 lb/h" : "total and boundary");
        const auto above_zero = [&](std::string_view key, double value) {
            if (!(value > 0.0)) fields.refuse(*fields.find(key), fields.path(key) + ": not above zero", "above zero");
        };
        for (const AirflowFinding& finding : visit_.airflow_by)
            if (weighed && std::holds_alternative<CondensateBalance>(finding.by))
                fields.refuse(by, fields.path("by") + ": as the airflow was found",
                              "refrigerant, condenser, or an airflow by another way: water cannot bear itself out");
        if (weighed) {
            out.water = fields.quantity<Dimension::mass_flow>(
                fields.need("water", "the condensate over the time it was weighed in, such as 6.7 lb/h"), "water");
            above_zero("water", out.water.si);
        } else {
            out.total = fields.quantity<Dimension::power>(
                fields.need("total", "the capacity by that method, such as 34.2 MBh"), "total");
            above_zero("total", out.total.si);
            out.boundary = fields.choice<Boundary>(
                fields.need("boundary", "coil, coil+fan: what that capacity is of; there is no default"), "boundary");
            if (out.boundary != visit_.boundary && std::isnan(visit_.fan_power.si))
                top_.missing("fan_power",
                             "the indoor fan's power, such as 420 W: its heat lies between the second "
                             "capacity's boundary and the visit's");
        }
        const Item& standard = fields.need("standard", "its standard uncertainty, such as 2 %; there is no default");
        out.standard = fields.measured(standard, "standard", Dimension::ratio).si;
        if (!(out.standard > 0.0 && out.standard < 1.0))
            fields.refuse(standard, fields.path("standard") + ": not a share of the capacity", "2 %, or 0.02");
    }

    double read_limit(const Item& typed, std::string_view key) const {
        const double limit = top_.measured(typed, key, Dimension::ratio).si;
        if (!(limit >= 0.1 && limit <= implausible_ratio))  // as `prove` has it
            top_.refuse(typed, std::string(key) + ": not a ratio to judge by",
                        "0.90, or 90 %; at most 1.10, above which a ratio is implausible");
        return limit;
    }
    void read(OwnKey<"limit"> key, const Item*) {
        visit_.limit = read_limit(
            top_.need(key.word, "the least accepted ratio of delivered to expected, such as 0.90; there is no default"),
            key.word);
    }
    void read(OwnKey<"judge"> key, const Item* item) {
        visit_.judge = top_.choice(key.word, Judge::total);
        if (visit_.mode() == Mode::heating && visit_.judge != Judge::total)
            top_.refuse(*item, "judge: heating is sensible, so there is one ratio", "total");
    }
    void read(OwnKey<"sensible_limit"> key, const Item* item) {
        if (item == nullptr) return;
        visit_.sensible_limit = read_limit(*item, key.word);
        if (visit_.judge == Judge::total)
            top_.refuse(*item, "sensible_limit: sensible is not judged", "judge: sensible, or both");
    }
    void read(OwnKey<"confidence"> key, const Item* item) {
        if (item == nullptr) return;
        visit_.confidence = top_.measured(*item, key.word, Dimension::ratio).si;
        if (!(visit_.confidence > 0.5 && visit_.confidence < 1.0))
            top_.refuse(*item, "confidence: not a probability to ask for", "above 0.5 and below 1, such as 0.95");
    }
    void read(OwnKey<"population">, const Item* item) {
        if (item == nullptr) return;
        const Fields fields(document_, *item, "population", {"mean", "standard"});
        const auto ratio = [&](std::string_view key, const char* accepted) {
            const Item& typed = fields.need(key, accepted);
            const double value = fields.measured(typed, key, Dimension::ratio).si;
            if (!(value > 0.0 && value <= 2.0)) fields.refuse(typed, fields.path(key) + ": not of ratios", accepted);
            return value;
        };
        visit_.population = {ratio("mean", "the mean of their true ratios, such as 0.93"),
                             ratio("standard", "their standard deviation, such as 0.08")};
    }

    void read(OwnKey<"site"> key, const Item*) {
        const Item& item =
            top_.need(key.word, "site: {elevation: 4690 ft}, or pressure: the station pressure; there is no default");
        const Fields fields(document_, item, "site", {"elevation", "pressure", "instrument", "note"});
        visit_.site_note = fields.text("note");
        const auto elevation = fields.quantity<Dimension::length>("elevation");
        const auto pressure = fields.quantity<Dimension::pressure>("pressure");
        if (!elevation && !pressure)
            fields.missing(
                "elevation",
                "elevation, such as 4690 ft, or pressure at the site, such as 12.4 psia; there is no default");
        visit_.site = elevation && pressure ? Site::at(*elevation, *pressure)
                      : elevation           ? Site::at_elevation(*elevation)
                                            : Site::at_pressure(*pressure);
        const auto station = visit_.site.pressure();
        if (!station) {
            if (station.reason().why == Why::contradictory)
                fields.refuse(
                    *fields.find("pressure"), "site: pressure and elevation are more than 5 % apart",
                    "station pressure: what a barometer shows there, not the weather service's, reduced to sea level");
            fields.refuse(*fields.find(pressure ? "pressure" : "elevation"), "site: no such place",
                          "a station pressure from 50 to 110 kPa");
        }
        if (fields.find("instrument") != nullptr) know(Input::pressure, fields, "pressure", *station);
    }

    void read(OwnKey<"readings"> key, const Item*) {
        const Item& item = top_.need(key.word, "readings: with outdoor, return, supply and airflow");
        const Fields fields(document_, item, "readings",
                            {"log", "scatter", "outdoor", "return", "supply", "airflow", "power"});
        if (const Item* log = fields.find("log")) {
            log_.emplace(document_, *log);
            visit_.logs = log_->names();
        }
        {
            const Fields outdoor(document_, fields.need("outdoor", "{dry_bulb: 91 degF, instrument: outdoor probe}"),
                                 "readings: outdoor", {"dry_bulb", "instrument"});
            visit_.outdoor_dry_bulb = read_temperature(outdoor, "dry_bulb", "outdoor", Input::outdoor_dry_bulb);
            know(Input::outdoor_dry_bulb, outdoor, "dry_bulb", visit_.outdoor_dry_bulb.si);
        }
        const bool heats = visit_.mode() == Mode::heating;
        const char* const air = heats ? "{dry_bulb: 70 degF, instrument: return probe}"
                                      : "{dry_bulb: 76 degF, relative_humidity: 55 %, instrument: return probe}";
        Readings& r = visit_.readings;
        read_air(fields.need("return", air), "return", r.return_dry_bulb, r.return_humidity, Input::return_dry_bulb,
                 Input::return_humidity);
        const Item& supply = fields.need("supply", air);
        if (heats)
            read_heated_air(supply);
        else
            read_air(supply, "supply", r.supply_dry_bulb, r.supply_humidity, Input::supply_dry_bulb,
                     Input::supply_humidity);
        const Item& airflow = fields.need("airflow", "{value: 1190 cfm, at: return, instrument: flow grid}");
        if (names_ways(airflow))
            visit_.airflow_by = read_airflow_ways(document_, airflow, visit_.instruments);
        else
            read_airflow(airflow);
        if (const Item* power = fields.find("power")) read_power(*power);
        if (const Item* scatter = fields.find("scatter")) read_scatter(*scatter);
    }

    /// `return_dry_bulb: {standard: 0.05 delta_degF, degrees_of_freedom: 12}` and so on, by the words of inputs.
    void read_scatter(const Item& item) {
        const Fields fields(document_, item, "readings: scatter",
                            {"return_dry_bulb", "return_humidity", "supply_dry_bulb", "supply_humidity", "airflow",
                             "outdoor_dry_bulb", "power"});
        for (const auto& [input, word] : offnominal::words_of<Input>) {
            const Item* typed = fields.find(word);
            if (typed == nullptr) continue;
            const Fields one(document_, *typed, fields.path(word), {"standard", "degrees_of_freedom"});
            const Item& standard =
                one.need("standard", "the standard uncertainty of the mean, such as 0.05 delta_degF");
            UncertaintyPart& out = visit_.of(input).scatter;
            if (out.standard > 0.0)
                fields.refuse(*typed, fields.path(word) + ": the log tells it",
                              "no scatter of a reading that says log");
            out.standard = one.measured(standard, "standard", scatter_dimension(visit_, input)).si;
            if (!(out.standard >= 0.0)) one.refuse(standard, one.path("standard") + ": below zero", "zero or more");
            if (const Item* degrees = one.find("degrees_of_freedom")) {
                out.degrees_of_freedom = one.measured(*degrees, "degrees_of_freedom", Dimension::ratio).si;
                if (!(out.degrees_of_freedom > 0.0))
                    one.refuse(*degrees, one.path("degrees_of_freedom") + ": not above zero", "12");
            }
        }
    }

    /// A reading as typed; or, where it says `log`, its mean in the log.
    Measured read_value(const Fields& fields, const Item& item, std::string_view key, Dimension dimension,
                        const std::string& column, Input input) {
        if (item.kind != Item::Kind::scalar || item.text != "log") return fields.measured(item, key, dimension);
        if (!log_) fields.refuse(item, fields.path(key) + ": no log is named", "readings: log: run.csv");
        const VisitLog::Mean mean = log_->mean(item, column, dimension, visit_);
        if (mean.of.standard > 0.0) visit_.of(input).scatter = mean.of.part();
        return {mean.of.value, mean.unit, {}};
    }

    void read_power(const Item& item) {
        const Fields fields(document_, item, "readings: power", {"value", "of", "instrument"});
        const Item& typed = fields.need("value", "a power, such as 2380 W");
        PowerReading power;
        power.value.si = read_value(fields, typed, "value", Dimension::power, "power", Input::power).si;
        if (!power.can_run_a_machine())
            fields.refuse(typed, "readings: power: value: below one watt", "the power while the machine ran");
        power.of = fields.choice<PowerBasis>(
            fields.need("of", "what the meter was around: compressor, outdoor unit or system; there is no default"),
            "of", PowerBasis::unknown);
        visit_.power = power;
        know(Input::power, fields, "power", power.value.si);
    }

    /// @param place  `outdoor`, `return` or `supply`
    Temperature read_temperature(const Fields& fields, std::string_view key, const std::string& place, Input input) {
        const Item& item = fields.need(key, "a temperature, such as 76 degF");
        const Temperature value{read_value(fields, item, key, Dimension::temperature, column_of(place, key), input).si};
        if (!(value.si >= air::least_dry_bulb && value.si <= air::greatest_dry_bulb))
            fields.refuse(item, fields.path(key) + ": not a temperature of air around a machine",
                          "-60 to 90 degC (-76 to 194 degF)");
        return value;
    }

    /// `return_dry_bulb`, as a log calls it.
    static std::string column_of(const std::string& place, std::string_view key) {
        return place + "_" + std::string(key);
    }

    void read_air(const Item& item, const std::string& place, Temperature& dry_bulb, air::Humidity& humidity,
                  Input dry_input, Input humidity_input) {
        const Fields fields(document_, item, "readings: " + place,
                            {"dry_bulb", "relative_humidity", "wet_bulb", "dew_point", "humidity_ratio", "instrument"});
        const bool may_lack = forecast_ && dry_input == Input::supply_dry_bulb;
        if (!may_lack || fields.find("dry_bulb") != nullptr)
            dry_bulb = read_temperature(fields, "dry_bulb", place, dry_input);
        know(dry_input, fields, "dry_bulb", dry_bulb.si);

        std::string_view kind;
        for (const std::string_view key : {"relative_humidity", "wet_bulb", "dew_point", "humidity_ratio"}) {
            const Item* typed = fields.find(key);
            if (typed == nullptr) continue;
            if (!kind.empty())
                fields.refuse(*typed, fields.path(key) + ": a second measure of humidity", "one of them");
            kind = key;
            humidity = read_humidity(fields, *typed, key, place, humidity_input);
        }
        if (kind.empty() && visit_.mode() == Mode::heating) return;
        if (kind.empty() && may_lack) {
            const air::Humidity& like = visit_.readings.return_humidity;
            kind = offnominal::name(air::detail::about(like.kind));
            humidity = like;
            know(humidity_input, fields, kind, like.value);
            humidity.value = Readings::not_given;
            return;
        }
        if (kind.empty())
            fields.missing("relative_humidity", "one of relative_humidity, wet_bulb, dew_point, humidity_ratio");
        know(humidity_input, fields, kind, humidity.value);
        if ((kind == "wet_bulb" || kind == "dew_point") &&
            humidity.value > dry_bulb.si + saturation_slack(visit_.of(dry_input), visit_.of(humidity_input)))
            fields.refuse(*fields.find(kind), fields.path(kind) + ": above the dry bulb",
                          "at most the dry bulb; were the two swapped?");
    }

    /// Supply air in heating, which holds the moisture of the return air.
    void read_heated_air(const Item& item) {
        const Fields fields(document_, item, "readings: supply", {"dry_bulb", "instrument"});
        if (!forecast_ || fields.find("dry_bulb") != nullptr)
            visit_.readings.supply_dry_bulb = read_temperature(fields, "dry_bulb", "supply", Input::supply_dry_bulb);
        know(Input::supply_dry_bulb, fields, "dry_bulb", visit_.readings.supply_dry_bulb.si);
    }

    air::Humidity read_humidity(const Fields& fields, const Item& item, std::string_view key, const std::string& place,
                                Input input) {
        if (key == "relative_humidity") {
            const Measured value = read_value(fields, item, key, Dimension::ratio, column_of(place, key), input);
            // 55 for 0.55, and 0.55 % for 55 %: neither is guessed at.
            if (value.unit.name == "%" ? value.si > 0.0 && value.si < 0.0105 : !(value.si <= 1.05))
                fields.refuse(item, fields.path(key) + ": not a relative humidity", "55 %, or 0.55");
            if (!(value.si >= 0.0 && value.si <= 1.0))
                fields.refuse(item, fields.path(key) + ": outside 0 to 100 %", "55 %, or 0.55");
            return air::relative_humidity(value.si);
        }
        if (key == "humidity_ratio") {
            const HumidityRatio value{
                read_value(fields, item, key, Dimension::humidity_ratio, column_of(place, key), input).si};
            if (!(value.si >= 0.0)) fields.refuse(item, fields.path(key) + ": below zero", "zero or more");
            return air::humidity_ratio(value);
        }
        const auto value = read_temperature(fields, key, place, input);
        return key == "wet_bulb" ? air::wet_bulb(value) : air::dew_point(value);
    }

    void read_airflow(const Item& item) {
        const Fields fields(document_, item, "readings: airflow", {"value", "at", "basis", "instrument"});
        const Item& typed = fields.need("value", "an airflow, such as 1190 cfm");
        const Measured value = read_value(fields, typed, "value", Dimension::airflow, "airflow", Input::airflow);
        if (!(value.si > 0.0))
            fields.refuse(typed, "readings: airflow: value: not above zero", "the airflow while the machine ran");
        const Item *at = fields.find("at"), *basis = fields.find("basis");
        if (at != nullptr && basis != nullptr)
            fields.refuse(*basis, "readings: airflow: both a place and a basis",
                          "at for actual airflow, basis: standard for standard airflow");
        if (at == nullptr && basis == nullptr && !value.unit.standard_air)
            fields.missing("at",
                           "at: return, supply or fan, where it was read; or basis: standard; there is no default");
        if (at != nullptr && value.unit.standard_air)
            fields.refuse(typed, "readings: airflow: standard airflow has no place",
                          "cfm with a place, or scfm without");
        if (at == nullptr) {
            if (basis != nullptr) fields.need_word("basis", "standard");
            visit_.readings.airflow = AirflowReading::standard(Airflow{value.si});
        } else {
            const auto place = fields.choice<air::Place>(*at, "at");
            visit_.readings.airflow = AirflowReading::actual(Airflow{value.si}, place);
        }
        know(Input::airflow, fields, "airflow", value.si);
    }

    /// The uncertainty of one reading, by the instrument that `fields` names. A reading without an instrument would
    /// count as exact, so there is none.
    void know(Input input, const Fields& fields, std::string_view quantity, double reading) {
        const Item& item =
            fields.need("instrument",
                        "the name of an instrument that 'instruments' describes; a reading without one has no "
                        "uncertainty");
        const std::string name = fields.text(item, "instrument");
        const auto instrument = ranges::find(visit_.instruments, name, &Instrument::name);
        if (instrument == visit_.instruments.end()) {
            std::vector<std::string_view> names;
            for (const Instrument& known : visit_.instruments) names.push_back(known.name);
            fields.refuse(item, fields.path("instrument") + ": not described under 'instruments'",
                          names.empty() ? "instruments: with this name and what it is good for" : listed(names, name));
        }
        const auto accuracy = ranges::find(instrument->accuracies, quantity, &Accuracy::quantity);
        if (accuracy == instrument->accuracies.end())
            fields.refuse(
                item,
                fields.path("instrument") + ": 'instruments' does not say how good it is at " + std::string(quantity),
                std::string(quantity) + ": {limits: ...} under that instrument");
        Uncertain& out = visit_.of(input);
        out = {standard_at(*accuracy, reading), name, instrument->correlation, accuracy->shape, out.scatter};
    }

    const Document& document_;
    bool forecast_;
    Fields top_;
    Visit visit_;
    std::optional<VisitLog> log_;
};

}  // namespace
}  // namespace files

namespace {
Visit read_visit(std::string_view text, const std::string& name, const files::Beside& beside, bool forecast,
                 const Limits& limits) {
    if (standard205::is_representation(text))
        throw InputError({name}, "a Standard 205 representation, which is a system, where a visit is due", {},
                         "a visit file; a system is loaded for itself, before the visit");
    files::Budget budget(limits);
    const files::Document document = files::parse_tree(files::Text::from_string(text, name, budget), budget, beside);
    files::check_kind(document, files::FileKind::visit);
    return files::VisitReader(document, forecast).read();
}
}  // namespace

Visit load_visit(const std::string& path, const Limits& limits) {
    return parse_visit(files::file_bytes(path, limits.file_bytes), path, files::folder_of(path), limits);
}
Visit parse_visit(std::string_view text, const std::string& name, const std::string& folder, const Limits& limits) {
    return read_visit(text, name, files::Beside(folder), false, limits);
}
Visit parse_visit(std::string_view text, const std::string& name, const TextBeside& beside, const Limits& limits) {
    return read_visit(text, name, files::Beside(beside), false, limits);
}

Visit load_forecast(const std::string& path, const Limits& limits) {
    return parse_forecast(files::file_bytes(path, limits.file_bytes), path, files::folder_of(path), limits);
}
Visit parse_forecast(std::string_view text, const std::string& name, const std::string& folder, const Limits& limits) {
    return read_visit(text, name, files::Beside(folder), true, limits);
}
Visit parse_forecast(std::string_view text, const std::string& name, const TextBeside& beside, const Limits& limits) {
    return read_visit(text, name, files::Beside(beside), true, limits);
}

}  // namespace offnominal
