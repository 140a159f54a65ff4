
#include "offnominal/files.hpp"
#include "offnominal/standard205.hpp"
#include "ranges.hpp"
#include "read/airflow.hpp"
#include "read/instrument.hpp"
#include "read/line_set.hpp"
#include "read/visit_log.hpp"

namespace offnominal {
namespace files {
namespace {

class VisitReader {
   public:
    VisitReader(const Document& document, std::string folder, bool forecast)
        : document_(document),
          folder_(std::move(folder)),
          forecast_(forecast),
          top_(document, document.root, {},
               {"offnominal",     "name",      "system",     "date",           "remarks",      "site",
                "stage",          "speed",     "speed_held", "match",          "line_set",     "boundary",
                "fan_power",      "split",     "condensate", "limit",          "confidence",   "steady",
                "running",        "outside",   "infer",      "instruments",    "readings",     "judge",
                "sensible_limit", "yardstick", "mode",       "auxiliary_heat", "defrost_free", "since_defrost",
                "acceptance",     "population"}) {}

    Visit read() {
        visit_.name = top_.text("name");
        visit_.system_file = top_.text("system");
        visit_.date = top_.text("date");
        if (const Item* item = top_.find("date")) placed(document_, *item, [&] { check_day(visit_.date, "date"); });
        visit_.remarks = top_.text("remarks");
        if (const Item* item = top_.find("instruments"))
            visit_.instruments = read_instruments(document_, *item, visit_.date, visit_.side_by_side);
        read_machine();
        read_judgement();
        read_site(
            top_.need("site", "site: {elevation: 4690 ft}, or pressure: the station pressure; there is no default"));
        read_readings(top_.need("readings", "readings: with outdoor, return, supply and airflow"));
        visit_.typed = texts_of(document_.root);
        return std::move(visit_);
    }

   private:
    void read_machine() {
        visit_.readings.mode = top_.choice("mode", Mode::cooling);
        read_speed();
        visit_.match = top_.text("match");
        visit_.places = {place_of("stage"), place_of("match"), place_of("line_set"), place_of("speed")};
        visit_.boundary =
            top_.choice<Boundary>(top_.need("boundary", "coil, coil+fan; there is no default"), "boundary");
        if (const Item* item = top_.find("line_set")) visit_.line_set = read_line_set(*item);
        if (const Item* item = top_.find("fan_power"))
            read_fan_power(*item);
        else if (visit_.boundary == Boundary::coil_and_fan)
            top_.missing("fan_power", "the indoor fan's power, such as 420 W: boundary coil+fan needs it");
        read_heating();
        visit_.outside = top_.choice("outside", Outside::refuse);
        visit_.infer = top_.flag("infer", false);
    }

    /// What only one of the modes has.
    void read_heating() {
        const auto only = [&](std::string_view key, Mode mode, const char* instead) {
            if (const Item* item = top_.find(key); item != nullptr && visit_.mode() != mode)
                top_.refuse(*item, std::string(key) + ": for " + std::string(name(mode)) + " only", instead);
        };
        for (const std::string_view key : {"auxiliary_heat", "defrost_free", "since_defrost"})
            only(key, Mode::heating, "mode: heating");
        for (const std::string_view key : {"split", "condensate", "sensible_limit"})
            only(key, Mode::cooling, "nothing: all of heating is sensible");
        if (visit_.mode() != Mode::heating) return;
        read_auxiliary_heat(top_.need("auxiliary_heat",
                                      "off, its power between the probes, such as {value: 4800 W, instrument: clamp "
                                      "meter}, or unknown; there is no default"));
        if (top_.find("defrost_free") != nullptr) visit_.defrost_free = top_.flag("defrost_free", false);
        visit_.since_defrost = top_.quantity<Dimension::duration>("since_defrost");
    }

    void read_auxiliary_heat(const Item& item) {
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

    /// A stage, a speed, or the word that none was held.
    void read_speed() {
        if (top_.find("speed_held") != nullptr) visit_.speed_held = top_.flag("speed_held", false);
        if (const Item* item = top_.find("speed")) {
            static constexpr const char* accepted = "such as 45 Hz, 2700 rpm or 60 %";
            const Measured value = top_.measured(*item, "speed", Dimension::frequency, Dimension::ratio);
            const bool is_share = value.unit.dimension == Dimension::ratio;
            if (is_share && value.unit.name != "%") top_.refuse(*item, "speed: a number without a unit", accepted);
            if (!(value.si > 0.0 && value.si <= (is_share ? 1.5 : 500.0)))
                top_.refuse(*item, "speed: not a compressor's", accepted);
            visit_.speed = Speed{value.si, value.unit};
        }
        visit_.stage = top_.text("stage");
        const bool none_held = visit_.speed_held && !*visit_.speed_held;
        if (visit_.stage.empty() && !visit_.speed && !none_held)
            top_.missing("stage", "the stage that ran; there is no default");
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

    void read_fan_power(const Item& item) {
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

    void read_judgement() {
        const auto read_limit = [&](const Item& typed, std::string_view key) {
            const double limit = top_.measured(typed, key, Dimension::ratio).si;
            if (!(limit > 0.0 && limit <= 2.0))
                top_.refuse(typed, std::string(key) + ": not a ratio to judge by", "0.90, or 90 %");
            return limit;
        };
        visit_.limit = read_limit(
            top_.need("limit", "the least accepted ratio of delivered to expected, such as 0.90; there is no default"),
            "limit");
        visit_.judge = top_.choice("judge", Judge::total);
        if (visit_.mode() == Mode::heating && visit_.judge != Judge::total)
            top_.refuse(*top_.find("judge"), "judge: heating is sensible, so there is one ratio", "total");
        if (const Item* item = top_.find("sensible_limit")) {
            visit_.sensible_limit = read_limit(*item, "sensible_limit");
            if (visit_.judge == Judge::total)
                top_.refuse(*item, "sensible_limit: sensible is not judged", "judge: sensible, or both");
        }
        visit_.yardstick = top_.choice("yardstick", Yardstick::make);
        if (const Item* item = top_.find("confidence")) {
            visit_.confidence = top_.measured(*item, "confidence", Dimension::ratio).si;
            if (!(visit_.confidence > 0.5 && visit_.confidence < 1.0))
                top_.refuse(*item, "confidence: not a probability to ask for", "above 0.5 and below 1, such as 0.95");
        }
        visit_.acceptance = top_.choice("acceptance", Acceptance::guarded);
        if (const Item* item = top_.find("population")) {
            const Fields fields(document_, *item, "population", {"mean", "standard"});
            const auto read = [&](std::string_view key, const char* accepted) {
                const Item& typed = fields.need(key, accepted);
                const double value = fields.measured(typed, key, Dimension::ratio).si;
                if (!(value > 0.0 && value <= 2.0))
                    fields.refuse(typed, fields.path(key) + ": not of ratios", accepted);
                return value;
            };
            visit_.population = {read("mean", "the mean of their true ratios, such as 0.93"),
                                 read("standard", "their standard deviation, such as 0.08")};
        }
        if (top_.find("steady") != nullptr) visit_.steady = top_.flag("steady", false);
        visit_.running = top_.quantity<Dimension::duration>("running");
        visit_.readings.split = top_.choice("split", Split::enthalpy);
        visit_.readings.condensate = top_.flag("condensate", false);
    }

    void read_site(const Item& item) {
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

    void read_readings(const Item& item) {
        const Fields fields(document_, item, "readings",
                            {"log", "scatter", "outdoor", "return", "supply", "airflow", "power"});
        if (const Item* log = fields.find("log")) {
            log_.emplace(document_, *log, folder_);
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
        if (!(power.value.si > 0.0))
            fields.refuse(typed, "readings: power: value: not above zero", "the power while the machine ran");
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
    std::string folder_;
    bool forecast_;
    Fields top_;
    Visit visit_;
    std::optional<VisitLog> log_;
};

}  // namespace
}  // namespace files

namespace {
Visit read_visit(std::string_view text, const std::string& name, const std::string& folder, bool forecast,
                 const Limits& limits) {
    if (standard205::is_representation(text))
        throw InputError({name}, "a Standard 205 representation, which is a system, where a visit is due", {},
                         "a visit file; a system is loaded for itself, before the visit");
    files::Budget budget(limits);
    const files::Document document = files::parse_tree(files::Text::from_string(text, name, budget), budget);
    files::check_kind(document, files::FileKind::visit);
    return files::VisitReader(document, folder, forecast).read();
}
}  // namespace

Visit load_visit(const std::string& path, const Limits& limits) {
    return parse_visit(files::file_bytes(path, limits.file_bytes), path, files::folder_of(path), limits);
}
Visit parse_visit(std::string_view text, const std::string& name, const std::string& folder, const Limits& limits) {
    return read_visit(text, name, folder, false, limits);
}

Visit load_forecast(const std::string& path, const Limits& limits) {
    return parse_forecast(files::file_bytes(path, limits.file_bytes), path, files::folder_of(path), limits);
}
Visit parse_forecast(std::string_view text, const std::string& name, const std::string& folder, const Limits& limits) {
    return read_visit(text, name, folder, true, limits);
}

}  // namespace offnominal
