#include <algorithm>
#include <map>
#include <numbers>

#include "offnominal/files.hpp"
#include "read/instrument.hpp"
#include "text/number.hpp"
#include "text/yaml.hpp"

namespace offnominal {
namespace files {
namespace {

using Pairs = YamlFile::Pairs;
static_assert(input_count == 9);  // each is written and compared below

[[noreturn]] void refuse(const std::string& problem, const std::string& text, const std::string& accepted) {
    throw InputError({}, "a visit that no file can hold: " + problem, text, accepted);
}

template <Dimension D>
std::string worded(Quantity<D> value) {
    return quantity_text(value.si, D);
}

/// One use of an instrument: its errors are the same each time, what it reads is not.
struct Use {
    const Uncertain* uncertain;
    double reading;
};

/// `{limits: 0.4 delta_degF}`, `{expanded: 7 %}`: how good an instrument is, in the words that are shortest among those
/// that give every use its standard uncertainty back.
std::string spec_text(const Measure& measure, const std::vector<Use>& uses) {
    static constexpr std::pair<const char*, double> ways[] = {
        {"standard", 1.0}, {"expanded", 2.0}, {"limits", std::numbers::sqrt3}};
    const double standard = uses.front().uncertain->standard, reading = std::abs(uses.front().reading);
    // What the reader takes for a slip of the decimal point.
    const auto is_credible = [&](double stated) {
        return measure.name != "relative_humidity" || stated == 0.0 || (stated >= 0.001 && stated <= 0.3);
    };
    std::string best;
    const auto offer = [&](const char* way, const std::string& number, const Unit& unit) {
        if (number.empty()) return;
        const std::string text = "{" + std::string(way) + ": " + number + (unit.name == "1" ? "" : " ") +
                                 (unit.name == "1" ? std::string() : std::string(unit.name)) + "}";
        if (best.empty() || text.size() < best.size()) best = text;
    };
    for (const auto& [way, divisor] : ways) {
        for (const Unit& unit : units_for(measure.dimension)) {
            const auto reads_back = [&, d = divisor](double typed) {
                return is_credible(unit.to_si(typed)) && std::ranges::all_of(uses, [&](const Use& use) {
                           return unit.to_si(typed) / d == use.uncertain->standard;
                       });
            };
            offer(way, number_text(unit.from_si(standard * divisor), reads_back), unit);
        }
        if (!measure.share || !(reading > 0.0)) continue;
        const auto reads_back = [&, d = divisor](double typed) {
            return std::ranges::all_of(uses, [&](const Use& use) {
                return Spec{units::percent.to_si(typed) / d, true}.at(use.reading) == use.uncertain->standard;
            });
        };
        offer(way, number_text(units::percent.from_si(standard * divisor / reading), reads_back), units::percent);
    }
    if (best.empty())
        refuse("instrument '" + uses.front().uncertain->instrument + "' is differently good at " +
                   std::string(measure.name),
               {}, "one uncertainty for each quantity of an instrument, or two instruments");
    return best;
}

class VisitWriter {
   public:
    explicit VisitWriter(const Visit& visit) : visit_(visit) {}

    std::string write() {
        file_.pair("offnominal", "visit/1");
        write_word("name", visit_.name);
        write_word("system", visit_.system_file);
        write_word("date", visit_.date);
        write_word("remarks", visit_.remarks);
        write_site();
        write_machine();
        write_judgement();
        write_readings();
        write_instruments();
        return file_.text();
    }

   private:
    void write_word(const char* key, const std::string& text) {
        if (!text.empty()) file_.pair(key, yaml_text(text));
    }

    void write_site() {
        Pairs site;
        if (const auto elevation = visit_.site.given_elevation()) site.emplace_back("elevation", worded(*elevation));
        if (const auto pressure = visit_.site.given_pressure()) site.emplace_back("pressure", worded(*pressure));
        if (const auto pressure = visit_.site.pressure(); pressure && !visit_.of(Input::pressure).instrument.empty())
            site.emplace_back("instrument", use(Input::pressure, "pressure", *pressure));
        file_.flow("site", site);
    }

    void write_machine() {
        write_word("stage", visit_.stage);
        if (visit_.speed) {
            const Unit& unit = visit_.speed->unit;
            file_.pair("speed", number_text(visit_.speed->si, unit) + " " + std::string(unit.name));
        }
        if (visit_.speed_held) file_.pair("speed_held", *visit_.speed_held ? "true" : "false");
        write_word("match", visit_.match);
        if (const auto& line = visit_.line_set; line && line->is_reference)
            file_.pair("line_set", "reference");
        else if (line)
            file_.flow("line_set", {{"length", worded(line->equivalent_length)},
                                    {"suction", tubing(line->suction)},
                                    {"lift", worded(line->lift)}});
        if (visit_.boundary != Boundary::not_given)
            file_.pair("boundary", visit_.boundary == Boundary::coil ? "coil" : "coil+fan");
        if (!std::isnan(visit_.fan_power.si)) {
            if (visit_.of(Input::fan_power).instrument.empty())
                file_.pair("fan_power", worded(visit_.fan_power));
            else
                file_.flow("fan_power", {{"value", worded(visit_.fan_power)},
                                         {"instrument", use(Input::fan_power, "power", visit_.fan_power.si)}});
        }
        static constexpr const char* outside[] = {"refuse", "hold", "extend", "follow"};
        if (visit_.outside != Outside::refuse) file_.pair("outside", outside[static_cast<std::size_t>(visit_.outside)]);
        if (visit_.infer) file_.pair("infer", "true");
    }

    static std::string tubing(Length suction) {
        const ColumnText text = tubing_text({&suction.si, 1});
        return text.texts.front() + " " + std::string(text.unit.name);
    }

    void write_judgement() {
        if (visit_.steady) file_.pair("steady", *visit_.steady ? "true" : "false");
        if (visit_.running) file_.pair("running", worded(*visit_.running));
        if (visit_.readings.split == Split::ashrae37) file_.pair("split", "ashrae37");
        if (visit_.readings.condensate) file_.pair("condensate", "true");
        if (visit_.limit) file_.pair("limit", number_text(*visit_.limit));
        if (visit_.confidence != Visit().confidence) file_.pair("confidence", number_text(visit_.confidence));
    }

    void write_readings() {
        const Readings& r = visit_.readings;
        file_.open("readings");
        file_.flow("outdoor", {{"dry_bulb", worded(visit_.outdoor_dry_bulb)},
                               {"instrument", use(Input::outdoor_dry_bulb, "dry_bulb", visit_.outdoor_dry_bulb.si)}});
        write_air("return", r.return_dry_bulb, r.return_humidity, Input::return_dry_bulb, Input::return_humidity);
        write_air("supply", r.supply_dry_bulb, r.supply_humidity, Input::supply_dry_bulb, Input::supply_humidity);
        Pairs airflow;
        const bool is_standard = r.airflow.kind == AirflowReading::Kind::standard;
        if (is_standard || r.airflow.kind == AirflowReading::Kind::actual) {
            static constexpr const char* places[] = {"return", "supply", "fan"};
            airflow.emplace_back("value", quantity_text(r.airflow.si, Dimension::airflow, is_standard));
            airflow.emplace_back(is_standard ? "basis" : "at",
                                 is_standard ? "standard" : places[static_cast<std::size_t>(r.airflow.place)]);
        } else if (r.airflow.kind == AirflowReading::Kind::dry_mass) {
            refuse("airflow as mass flow", {}, "an actual or a standard airflow");
        }
        airflow.emplace_back("instrument", use(Input::airflow, "airflow", r.airflow.si));
        file_.flow("airflow", airflow);
        static constexpr const char* of[] = {"unknown", "compressor", "outdoor unit", "system"};
        if (const auto& power = visit_.power)
            file_.flow("power", {{"value", worded(power->value)},
                                 {"of", of[static_cast<std::size_t>(power->of)]},
                                 {"instrument", use(Input::power, "power", power->value.si)}});
        file_.close();
    }

    void write_air(const char* key, Temperature dry_bulb, const air::Humidity& humidity, Input dry_input,
                   Input humidity_input) {
        using Kind = air::Humidity::Kind;
        std::string kind, value;
        switch (humidity.kind) {
            case Kind::relative_humidity:
                kind = "relative_humidity";
                // Below 1.05 % a percentage looks like a fraction with a percent sign too many, and is refused.
                value = humidity.value > 0.0 && humidity.value < 0.0105
                            ? number_text(humidity.value)
                            : quantity_text(humidity.value, Dimension::ratio);
                break;
            case Kind::humidity_ratio:
                kind = "humidity_ratio";
                value = quantity_text(humidity.value, Dimension::humidity_ratio);
                break;
            case Kind::enthalpy:
                refuse("humidity by enthalpy", {}, "relative humidity, wet bulb, dew point or humidity ratio");
            case Kind::wet_bulb:
            case Kind::dew_point:
                kind = humidity.kind == Kind::wet_bulb ? "wet_bulb" : "dew_point";
                value = quantity_text(humidity.value, Dimension::temperature);
                break;
        }
        const std::string instrument = use(dry_input, "dry_bulb", dry_bulb.si);
        if (use(humidity_input, kind, humidity.value) != instrument)
            refuse("two instruments in the " + std::string(key) + " air", visit_.of(humidity_input).instrument,
                   "one name for both of its readings");
        file_.flow(key, {{"dry_bulb", worded(dry_bulb)}, {kind, value}, {"instrument", instrument}});
    }

    /// Notes that an input was read with its instrument; the instrument's name.
    std::string use(Input input, const std::string& quantity, double reading) {
        const Uncertain& uncertain = visit_.of(input);
        if (std::isnan(reading)) refuse("a reading that was not given", quantity, "a number");
        if (uncertain.instrument.empty())
            refuse("a reading without an instrument", quantity, "a name in Uncertain::instrument");
        uses_[uncertain.instrument][quantity].push_back({&uncertain, reading});
        return yaml_text(uncertain.instrument, true);
    }

    void write_instruments() {
        for (const SideBySide& pair : visit_.side_by_side)
            for (const std::string& name : {pair.first, pair.second}) uses_.try_emplace(name);
        file_.open("instruments");
        for (const auto& [instrument, quantities] : uses_) {
            Pairs pairs;
            double correlation = 0.0;
            for (const auto& [quantity, uses] : quantities) correlation = uses.front().uncertain->correlation;
            for (const Measure& measure : measures) {
                const auto found = quantities.find(measure.name);
                if (found == quantities.end()) continue;
                pairs.emplace_back(measure.name, spec_text(measure, found->second));
                for (const Use& used : found->second)
                    if (used.uncertain->correlation != correlation)
                        refuse("two correlations of instrument '" + instrument + "'", {}, "one for each instrument");
            }
            if (correlation != 0.0) pairs.emplace_back("correlation", number_text(correlation));
            const auto pair = std::ranges::find(visit_.side_by_side, instrument, &SideBySide::first);
            if (pair != visit_.side_by_side.end())
                pairs.emplace_back("side_by_side", flow_text({{"with", yaml_text(pair->second, true)},
                                                              {"correlation", number_text(pair->correlation)}}));
            file_.pair(yaml_text(instrument, true), flow_text(pairs));
        }
        file_.close();
    }

    const Visit& visit_;
    YamlFile file_;
    std::map<std::string, std::map<std::string, std::vector<Use>, std::less<>>> uses_;  ///< by instrument and quantity
};

bool same(double a, double b) { return a == b || (std::isnan(a) && std::isnan(b)); }
template <Dimension D>
bool same(Quantity<D> a, Quantity<D> b) {
    return same(a.si, b.si);
}
template <Dimension D>
bool same(const std::optional<Quantity<D>>& a, const std::optional<Quantity<D>>& b) {
    return a.has_value() == b.has_value() && (!a || same(a->si, b->si));
}
bool same(const air::Humidity& a, const air::Humidity& b) {
    return a.kind == b.kind && a.over == b.over && same(a.value, b.value);
}
bool same(const std::optional<LineSet>& a, const std::optional<LineSet>& b) {
    return a.has_value() == b.has_value() &&
           (!a || (a->is_reference == b->is_reference && same(a->equivalent_length, b->equivalent_length) &&
                   same(a->suction, b->suction) && same(a->lift, b->lift)));
}

/// What of a visit does not come back as it was; empty if everything does.
std::string difference(const Visit& a, const Visit& b) {
    const Readings &x = a.readings, &y = b.readings;
    if (a.stage != b.stage || a.match != b.match || !same(a.line_set, b.line_set)) return "stage, match or line set";
    if (!same(a.site.given_elevation(), b.site.given_elevation()) ||
        !same(a.site.given_pressure(), b.site.given_pressure()))
        return "site";
    if (a.boundary != b.boundary || !same(a.fan_power, b.fan_power) || !same(x.fan_power, y.fan_power) ||
        x.fan != y.fan)
        return "boundary or fan";
    if (a.outside != b.outside || a.infer != b.infer || a.limit != b.limit || a.confidence != b.confidence ||
        a.steady != b.steady || !same(a.running, b.running) || x.split != y.split || x.condensate != y.condensate)
        return "how it is judged";
    if (!same(a.outdoor_dry_bulb, b.outdoor_dry_bulb) || !same(x.return_dry_bulb, y.return_dry_bulb) ||
        !same(x.return_humidity, y.return_humidity) || !same(x.supply_dry_bulb, y.supply_dry_bulb) ||
        !same(x.supply_humidity, y.supply_humidity) || x.airflow.kind != y.airflow.kind ||
        !same(x.airflow.si, y.airflow.si) || x.airflow.place != y.airflow.place)
        return "readings";
    if (a.speed.has_value() != b.speed.has_value() || a.speed_held != b.speed_held ||
        (a.speed && (a.speed->si != b.speed->si || a.speed->unit.name != b.speed->unit.name)))
        return "speed";
    if (a.power.has_value() != b.power.has_value() ||
        (a.power && (a.power->of != b.power->of || !same(a.power->value, b.power->value))))
        return "power";
    const auto has = [&](const SideBySide& pair) {
        return std::ranges::any_of(b.side_by_side, [&](const SideBySide& other) {
            return pair.first == other.first && pair.second == other.second && pair.correlation == other.correlation;
        });
    };
    if (a.side_by_side.size() != b.side_by_side.size() || !std::ranges::all_of(a.side_by_side, has))
        return "side_by_side";
    for (std::size_t i = 0; i < input_count; ++i) {
        const Uncertain &p = a.uncertainty[i], &q = b.uncertainty[i];
        if (p.standard != q.standard || p.instrument != q.instrument || p.correlation != q.correlation)
            return "uncertainty of a reading by '" + p.instrument + "'";
    }
    return {};
}

}  // namespace
}  // namespace files

std::string write_visit(const Visit& visit) {
    const std::string text = files::VisitWriter(visit).write();
    std::string lost;
    try {
        lost = files::difference(visit, parse_visit(text, {}));
    } catch (const InputError& error) {
        files::refuse(error.problem(), error.text(), error.accepted());
    }
    if (!lost.empty()) files::refuse(lost + ": it would not read back as it is", {}, "what a visit file can say");
    return text;
}

}  // namespace offnominal
