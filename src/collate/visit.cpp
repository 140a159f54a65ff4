// What a visit says, and what two of them say differently.
#include "collate/visit.hpp"

#include <cmath>
#include <iterator>

#include "airflow/inputs.hpp"
#include "collate/pages.hpp"
#include "ranges.hpp"
#include "read/instrument.hpp"
#include "read/visit_keys.hpp"
#include "text/number.hpp"

namespace offnominal {
namespace files {
namespace {

/// How good an instrument must be at a quantity: what is said of it, or else what its readings need.
struct Wanted {
    const Measure& measure;
    const Accuracy* stated = nullptr;
    std::vector<Use> uses;

    [[nodiscard]] bool met_by(const Accuracy& offered) const {
        if (stated != nullptr)
            return offered.standard == stated->standard && offered.of_reading == stated->of_reading &&
                   offered.shape == stated->shape;
        return ranges::all_of(uses, [&](const Use& use) {
            return standard_at(offered, use.reading) == use.uncertain->standard &&
                   offered.shape == use.uncertain->shape;
        });
    }
};

/// The words, `limits` and its text, that are shortest among those that give what is wanted.
std::pair<std::string, std::string> shortest(const Wanted& wanted) {
    std::pair<std::string, std::string> best;
    const auto offer = [&](const Way& way, double near, const Unit& unit) {
        const auto text_of = [&](double number) {
            return number_text(number) + (unit.name == "1" ? "" : " ") +
                   (unit.name == "1" ? "" : std::string(unit.name));
        };
        const std::string number = number_text(near, [&](double typed) {
            Accuracy read;
            return !read_accuracy(text_of(typed), wanted.measure, way, read) && wanted.met_by(read);
        });
        if (number.empty()) return;
        const std::string text = number + (unit.name == "1" ? "" : " " + std::string(unit.name));
        if (best.second.empty() || way.word.size() + text.size() < best.first.size() + best.second.size())
            best = {std::string(way.word), text};
    };
    const double standard =
        wanted.stated != nullptr ? wanted.stated->standard : wanted.uses.front().uncertain->standard;
    const double reading = wanted.stated != nullptr ? 1.0 : std::abs(wanted.uses.front().reading);
    const bool share = wanted.stated != nullptr ? wanted.stated->of_reading : wanted.measure.share && reading > 0.0;
    for (std::size_t last = std::size(ways); last > 0; --last) {
        const Way& way = ways[last - 1];
        if (wanted.stated == nullptr || !share)
            for (const Unit& unit : units_for(wanted.measure.dimension))
                offer(way, unit.from_si(standard * way.divisor), unit);
        if (share) offer(way, units::percent.from_si(standard * way.divisor / reading), units::percent);
    }
    return best;
}

/// Collects what a visit says.
class VisitTeller {
   public:
    explicit VisitTeller(const Visit& visit) : visit_(visit) {}

    std::vector<Said> take(bool all) {
        all_ = all;
        for_each_visit_key([&](const auto& key) { tell(key); });
        if (all) tell_the_rest();
        return std::move(out_);
    }

   private:
    using Keys = std::vector<std::string>;

    static std::string path(const Keys& keys) {
        std::string out;
        for (const std::string& key : keys) out += (out.empty() ? "" : ": ") + key;
        return out;
    }
    [[nodiscard]] const std::string* typed(const Keys& keys) const { return text_of(visit_.typed, path(keys)); }
    void add(Keys keys, std::string text, std::optional<double> si, Dimension dimension) {
        std::string where = path(keys);
        out_.push_back({std::move(keys), {where, where, std::move(text), si, dimension}});
    }
    void word(Keys keys, std::string_view text) {
        if (!text.empty()) add(std::move(keys), std::string(text), std::nullopt, {});
    }
    void flag(Keys keys, std::optional<bool> value) {
        if (value) word(std::move(keys), *value ? "true" : "false");
    }
    void number(Keys keys, double si, Dimension dimension, bool standard_air = false) {
        if (std::isnan(si)) return;
        std::string text = quantity_text(typed(keys), si, dimension, standard_air);
        add(std::move(keys), std::move(text), si, dimension);
    }
    template <Dimension D>
    void number(Keys keys, const std::optional<Quantity<D>>& value) {
        if (value) number(std::move(keys), value->si, D);
    }
    /// A size of tubing, as the trade writes it.
    void size(Keys keys, double si) {
        if (std::isnan(si)) return;
        const ColumnText made = tubing_text({&si, 1});
        Measured read;
        const std::string* text = typed(keys);
        const bool holds = text != nullptr && !read_quantity(*text, Dimension::length, read) && read.si == si;
        add(std::move(keys), holds ? *text : made.texts[0] + " " + std::string(made.unit.name), si, Dimension::length);
    }
    /// A ratio that people write as a plain number.
    void plain(Keys keys, double value) {
        Measured read;
        const std::string* text = typed(keys);
        const bool holds = text != nullptr && !read_quantity(*text, Dimension::ratio, read) && read.si == value;
        add(std::move(keys), holds ? *text : number_text(value), value, Dimension::ratio);
    }
    void instrument(Keys keys, Input input) { word(std::move(keys), visit_.of(input).instrument); }

    /// What a file says by other keys, or has no words for.
    void tell_the_rest() {
        const Readings& r = visit_.readings;
        number({"readings", "fan_power"}, r.fan_power.si, Dimension::power);
        word({"readings", "fan"}, name(r.fan));
        flag({"readings", "return", "over water"}, r.return_humidity.over == air::Over::water);
        flag({"readings", "supply", "over water"}, r.supply_humidity.over == air::Over::water);
        for (const auto& row : words_of<Input>) {
            const Uncertain& u = visit_.of(row.value);
            const std::string key(row.word);
            word({"uncertainty", key, "instrument"}, u.instrument);
            plain({"uncertainty", key, "standard"}, u.standard);
            word({"uncertainty", key, "shape"}, name(u.shape));
            if (u.correlation) plain({"uncertainty", key, "correlation"}, *u.correlation);
        }
    }

    /// What differs from `Visit()`.
    template <class Member>
    void tell(const PlainKey<Member>& key) {
        const auto &value = key.of(visit_), &otherwise = key.of(nothing_said_);
        using Value = std::remove_cvref_t<decltype(value)>;
        const Keys keys{std::string(key.word)};
        if constexpr (std::is_same_v<Value, std::string>)
            word(keys, value);
        else if constexpr (std::is_same_v<Value, std::optional<bool>>)
            flag(keys, value);
        else if constexpr (std::is_same_v<Value, bool>)
            flag(keys, value != otherwise ? std::optional(value) : std::nullopt);
        else if constexpr (Worded<Value>)
            word(keys, value != otherwise ? name(value) : std::string_view());
        else
            number(keys, value);
    }

    void tell(OwnKey<"offnominal">) {}  // the writer's
    void tell(OwnKey<"mode">) {
        if (visit_.mode() != nothing_said_.mode()) word({"mode"}, name(visit_.mode()));
    }
    void tell(OwnKey<"date">) { word({"date"}, visit_.date); }
    void tell(OwnKey<"site">) {
        number({"site", "elevation"}, visit_.site.given_elevation());
        number({"site", "pressure"}, visit_.site.given_pressure());
        instrument({"site", "instrument"}, Input::pressure);
        word({"site", "note"}, visit_.site_note);
    }

    void tell(OwnKey<"speed">) {
        if (!visit_.speed) return;
        const auto& [si, unit] = *visit_.speed;
        Measured read;
        const std::string* text = typed({"speed"});
        const bool holds = text != nullptr && !read_quantity(*text, unit.dimension, read) && read.si == si &&
                           read.unit.name == unit.name;
        add({"speed"}, holds ? *text : number_text(si, unit) + " " + std::string(unit.name), si, unit.dimension);
    }
    void tell(OwnKey<"line_set">) {
        const auto& line = visit_.line_set;
        if (!line) return;
        if (line->is_reference) return word({"line_set"}, "reference");
        number({"line_set", line->fittings ? "tubing" : "length"}, line->longest().si, Dimension::length);
        tell_fittings(line->fittings);
        size({"line_set", "suction"}, line->suction.si);
        number({"line_set", "lift"}, line->lift.si, Dimension::length);
        size({"line_set", "liquid"}, line->liquid.si);
        if (line->beyond != BeyondTable::refuse) word({"line_set", "beyond"}, name(line->beyond));
    }
    void tell(OwnKey<"boundary">) { word({"boundary"}, name(visit_.boundary)); }
    void tell(OwnKey<"fan_power">) {
        if (visit_.of(Input::fan_power).instrument.empty()) {
            number({"fan_power"}, visit_.fan_power.si, Dimension::power);
        } else {
            number({"fan_power", "value"}, visit_.fan_power.si, Dimension::power);
            instrument({"fan_power", "instrument"}, Input::fan_power);
        }
    }

    void tell_fittings(const std::optional<Fittings>& fittings) {
        if (!fittings) return;
        if (!fittings->counted) return word({"line_set", "fittings"}, "unknown");
        if (fittings->none()) return word({"line_set", "fittings"}, "none");
        for (const FittingWords& fitting : words_of<Fitting>)
            if ((*fittings)[fitting.value] != 0)
                number({"line_set", "fittings", std::string(fitting.word)}, (*fittings)[fitting.value],
                       Dimension::ratio);
    }

    void tell(OwnKey<"auxiliary_heat">) {
        if (visit_.auxiliary_unknown) {
            word({"auxiliary_heat"}, "unknown");
        } else if (!visit_.of(Input::auxiliary_heat).instrument.empty()) {
            number({"auxiliary_heat", "value"}, visit_.readings.auxiliary_heat.si, Dimension::power);
            instrument({"auxiliary_heat", "instrument"}, Input::auxiliary_heat);
        } else if (visit_.readings.auxiliary_heat.si == 0.0) {
            word({"auxiliary_heat"}, "off");
        } else {
            number({"auxiliary_heat"}, visit_.readings.auxiliary_heat.si, Dimension::power);
        }
    }

    void tell(OwnKey<"second_capacity">) {
        if (!visit_.second_capacity) return;
        const SecondReading& second = *visit_.second_capacity;
        word({"second_capacity", "by"}, name(second.by));
        number({"second_capacity", "total"}, second.total.si, Dimension::power);
        word({"second_capacity", "boundary"}, name(second.boundary));
        number({"second_capacity", "water"}, second.water.si, Dimension::mass_flow);
        plain({"second_capacity", "standard"}, second.standard);
    }
    void tell(OwnKey<"limit">) {
        if (visit_.limit) plain({"limit"}, *visit_.limit);
    }
    void tell(OwnKey<"confidence">) {
        if (visit_.confidence != Visit().confidence || typed({"confidence"}) != nullptr)
            plain({"confidence"}, visit_.confidence);
    }
    void tell(OwnKey<"population">) {
        if (!visit_.population) return;
        plain({"population", "mean"}, visit_.population->mean);
        plain({"population", "standard"}, visit_.population->standard);
    }
    void tell(OwnKey<"judge">) {
        word({"judge"}, visit_.judge != Judge::total ? name(visit_.judge) : std::string_view());
    }
    void tell(OwnKey<"sensible_limit">) {
        if (visit_.sensible_limit) plain({"sensible_limit"}, *visit_.sensible_limit);
    }

    void tell(OwnKey<"readings">) {
        const Readings& r = visit_.readings;
        for (std::size_t i = 0; i < visit_.logs.size(); ++i) {
            Keys keys{"readings", "log"};
            if (visit_.logs.size() > 1) keys.push_back(std::to_string(i));
            word(std::move(keys), visit_.logs[i]);
        }
        number({"readings", "outdoor", "dry_bulb"}, visit_.outdoor_dry_bulb.si, Dimension::temperature);
        instrument({"readings", "outdoor", "instrument"}, Input::outdoor_dry_bulb);
        tell_air("return", r.return_dry_bulb, r.return_humidity, Input::return_dry_bulb);
        const air::Humidity not_asked = air::wet_bulb(Temperature{Readings::not_given});
        tell_air("supply", r.supply_dry_bulb, visit_.mode() == Mode::heating ? not_asked : r.supply_humidity,
                 Input::supply_dry_bulb);
        for (std::size_t i = 0; i < visit_.airflow_by.size(); ++i) {
            Keys keys{"readings", "airflow"};
            if (visit_.airflow_by.size() > 1) keys.push_back(std::to_string(i));
            tell_way(keys, visit_.airflow_by[i]);
        }
        const bool is_standard = r.airflow.kind == AirflowReading::Kind::standard;
        if (visit_.airflow_by.empty())
            number({"readings", "airflow", "value"}, r.airflow.si, Dimension::airflow, is_standard);
        if (is_standard) {
            const std::string* text = typed({"readings", "airflow", "value"});
            const bool by_unit = text != nullptr && text->ends_with(units::scfm.name);
            if (!by_unit || typed({"readings", "airflow", "basis"}) != nullptr)
                word({"readings", "airflow", "basis"}, "standard");
        } else if (r.airflow.kind == AirflowReading::Kind::actual) {
            word({"readings", "airflow", "at"}, name(r.airflow.place));
        }
        instrument({"readings", "airflow", "instrument"}, Input::airflow);
        if (const auto& power = visit_.power) {
            number({"readings", "power", "value"}, power->value.si, Dimension::power);
            word({"readings", "power", "of"}, name(power->of));
            instrument({"readings", "power", "instrument"}, Input::power);
        }
        for (const auto& [input, key] : words_of<Input>) {
            const UncertaintyPart& scatter = visit_.of(input).scatter;
            if (scatter.standard == 0.0) continue;
            const Keys keys{"readings", "scatter", std::string(key)};
            number(below(keys, "standard"), scatter.standard, scatter_dimension(visit_, input));
            if (std::isfinite(scatter.degrees_of_freedom))
                plain(below(keys, "degrees_of_freedom"), scatter.degrees_of_freedom);
        }
    }

    // One way by which the airflow was found.
    void tell_way(const Keys& keys, const AirflowFinding& way) {
        std::visit(
            [&]<class T>(const T& readings) {
                Keys inner = keys;
                if constexpr (std::is_same_v<T, AirflowShown>) {
                    told_reading(inner, "value", readings.value, readings.standard);
                    if (!readings.standard)
                        word(below(inner, "at"), name(way.at));
                    else if (const std::string* text = typed(below(inner, "value"));
                             text == nullptr || !text->ends_with(units::scfm.name))
                        word(below(inner, "basis"), "standard");
                } else {
                    inner.emplace_back(name(T::method));
                    std::apply([&](const auto&... in) { (told_input(inner, in.key, readings.*in.member), ...); },
                               inputs_of<T>);
                    const bool elsewhere =
                        way.at != (T::method == AirflowMethod::blower ? air::Place::fan : air::Place::return_air);
                    if (elsewhere || T::method == AirflowMethod::hood || T::method == AirflowMethod::traverse)
                        word(below(inner, "at"), name(way.at));
                }
                word(below(inner, "instrument"), beside_);
            },
            way.by);
        beside_.clear();
    }
    static Keys below(Keys keys, std::string_view key) {
        keys.emplace_back(key);
        return keys;
    }
    void told_input(const Keys& keys, std::string_view key, const std::string& text) { word(below(keys, key), text); }
    template <Dimension D>
    void told_input(const Keys& keys, std::string_view key, const InstrumentReading<D>& reading) {
        told_reading(keys, key, reading, false);
    }
    void told_input(const Keys& keys, std::string_view key, const std::vector<ComponentDrop>& drops) {
        for (const ComponentDrop& drop : drops) told_reading(below(keys, key), name(drop.component), drop.drop, false);
    }
    template <Dimension D>
    void told_input(const Keys& keys, std::string_view key, const InstrumentReadings<D>& readings) {
        Keys values = told_by(keys, key, "values", typed(below(below(keys, key), "0")) != nullptr, readings,
                              readings.standard.si, offnominal::Measured<D>::apart);
        for (std::size_t i = 0; i < readings.values.size(); ++i)
            number(below(values, std::to_string(i)), readings.values[i].si, D);
    }
    template <Dimension D>
    void told_reading(const Keys& keys, std::string_view key, const InstrumentReading<D>& reading, bool standard_air) {
        if (std::isnan(reading.value.si)) return;
        // A way's own value stands beside its instrument.
        const bool plain = key == "value" || typed(below(keys, key)) != nullptr;
        number(told_by(keys, key, "value", plain, reading, reading.standard.si, offnominal::Measured<D>::apart),
               reading.value.si, D, standard_air);
    }
    /// What a reading is good for; and where its number stands. `plain`: beside its instrument, if it has one.
    Keys told_by(const Keys& keys, std::string_view key, std::string_view value, bool plain, const ReadBy& by,
                 double standard, Dimension apart) {
        const Keys own = below(keys, key);
        if (all_ && !std::isnan(standard)) this->plain(below(own, "uncertainty"), standard);
        if (all_ && by.shared) this->plain(below(own, "shared"), *by.shared);
        const std::string* beside = typed(below(keys, "instrument"));
        if (plain && !by.instrument.empty() && key != "value") plain = beside != nullptr && *beside == by.instrument;
        if (plain && by.instrument.empty() && !std::isnan(standard)) plain = false;
        if (!by.instrument.empty()) {
            if (plain)
                beside_ = by.instrument;
            else
                word(below(own, "instrument"), by.instrument);
        } else if (!std::isnan(standard)) {
            number(below(own, "standard"), standard, apart);
        }
        return plain ? own : below(own, value);
    }

    void tell_air(const char* key, Temperature dry_bulb, const air::Humidity& humidity, Input input) {
        number({"readings", key, "dry_bulb"}, dry_bulb.si, Dimension::temperature);
        const std::string kind(name(humidity.kind));
        const Keys keys{"readings", key, kind};
        // Below 1.05 % a percentage looks like a fraction with a percent sign too many, and is refused.
        if (kind == "relative_humidity" && humidity.value > 0.0 && humidity.value < 0.0105)
            plain(keys, humidity.value);
        else
            number(keys, humidity.value,
                   kind == "relative_humidity" ? Dimension::ratio
                   : kind == "humidity_ratio"  ? Dimension::humidity_ratio
                                               : Dimension::temperature);
        instrument({"readings", key, "instrument"}, input);
    }

    void tell(OwnKey<"instruments">) {
        std::vector<Instrument> all = visit_.instruments;
        std::vector<std::string> others;  // of a visit made in code
        for (const UseOf& use : uses_of(visit_)) others.push_back(use.instrument);
        for (const SideBySide& pair : visit_.side_by_side) others.insert(others.end(), {pair.first, pair.second});
        ranges::sort(others);
        for (const std::string& other : others)
            if (!other.empty() && ranges::find(all, other, &Instrument::name) == all.end()) {
                Instrument& made = all.emplace_back(Instrument{other, {}, {}});
                for (const UseOf& use : uses_of(visit_))
                    if (use.instrument == other) made.correlation = visit_.of(use.input).correlation;
            }
        for (const Instrument& one : all) tell_instrument(one);
    }

    void tell_instrument(const Instrument& one) {
        bool said = false;
        for (const Measure& measure : measures) {
            Wanted wanted{measure, nullptr, {}};
            for (const UseOf& use : uses_of(visit_))
                if (use.instrument == one.name && use.quantity == measure.name)
                    wanted.uses.push_back({&visit_.of(use.input), use.reading});
            const auto stated = ranges::find(one.accuracies, measure.name, &Accuracy::quantity);
            if (stated != one.accuracies.end() && wanted.met_by(*stated)) wanted.stated = &*stated;
            if (wanted.stated == nullptr && wanted.uses.empty()) continue;
            tell_accuracy({"instruments", one.name, std::string(measure.name)}, wanted);
            said = true;
        }
        if (one.correlation) plain({"instruments", one.name, "correlation"}, *one.correlation);
        for (const SideBySide& pair : visit_.side_by_side) {
            if (pair.first != one.name) continue;
            word({"instruments", one.name, "side_by_side", "with"}, pair.second);
            plain({"instruments", one.name, "side_by_side", "correlation"}, pair.correlation);
            said = true;
        }
        if (one.calibration) {
            const auto& [date, months] = *one.calibration;
            word({"instruments", one.name, "calibrated"}, date);
            word({"instruments", one.name, "calibration_valid"},
                 std::to_string(months) + (months == 1 ? " month" : " months"));
            said = true;
        }
        if (!said && !one.correlation) add({"instruments", one.name}, {}, std::nullopt, {});
    }

    void tell_accuracy(const Keys& keys, const Wanted& wanted) {
        const auto below = [&](std::string_view key) {
            Keys out = keys;
            out.emplace_back(key);
            return out;
        };
        const std::string* factor = typed(below("coverage"));
        for (Way way : ways) {
            const std::string* text = typed(below(way.word));
            Measured coverage;
            if (factor != nullptr && !read_quantity(*factor, Dimension::ratio, coverage)) way.divisor = coverage.si;
            Accuracy read;
            if (text == nullptr || read_accuracy(*text, wanted.measure, way, read) || !wanted.met_by(read)) continue;
            word(below(way.word), *text);
            if (factor != nullptr) word(below("coverage"), *factor);
            return;
        }
        const auto [way, text] = shortest(wanted);
        add(below(way), text, std::nullopt, {});  // empty: no accuracy gives all that is wanted
    }

    const Visit& visit_;
    const Visit nothing_said_{};
    bool all_ = false;
    std::string beside_;  ///< an instrument that stands beside the readings of a way
    std::vector<Said> out_;
};

}  // namespace

std::vector<UseOf> uses_of(const Visit& visit) {
    std::vector<UseOf> out;
    const auto add = [&](Input input, std::string_view quantity, double reading) {
        out.push_back({visit.of(input).instrument, std::string(quantity), input, reading});
    };
    const Readings& r = visit.readings;
    add(Input::return_dry_bulb, "dry_bulb", r.return_dry_bulb.si);
    // Heating asks for no humidity in the supply, and the return's may stay unread.
    const bool heats = visit.mode() == Mode::heating;
    if (!heats || !std::isnan(r.return_humidity.value))
        add(Input::return_humidity, name(r.return_humidity.kind), r.return_humidity.value);
    add(Input::supply_dry_bulb, "dry_bulb", r.supply_dry_bulb.si);
    if (!heats) add(Input::supply_humidity, name(r.supply_humidity.kind), r.supply_humidity.value);
    if (visit.airflow_by.empty()) add(Input::airflow, "airflow", r.airflow.si);
    add(Input::outdoor_dry_bulb, "dry_bulb", visit.outdoor_dry_bulb.si);
    const auto given = [&](Input input) { return !visit.of(input).instrument.empty(); };
    if (const auto pressure = visit.site.pressure(); pressure && given(Input::pressure))
        add(Input::pressure, "pressure", *pressure);
    if (given(Input::fan_power)) add(Input::fan_power, "power", visit.fan_power.si);
    if (given(Input::auxiliary_heat)) add(Input::auxiliary_heat, "power", visit.readings.auxiliary_heat.si);
    if (visit.power) add(Input::power, "power", visit.power->value.si);
    return out;
}

std::vector<Said> said_of(const Visit& visit, bool all) { return VisitTeller(visit).take(all); }

}  // namespace files

std::vector<Difference> differences(const Visit& first, const Visit& second) {
    const auto facts_of = [](const Visit& visit) {
        std::vector<Fact> out;
        for (files::Said& said : files::said_of(visit, true)) out.push_back(std::move(said.fact));
        return out;
    };
    std::vector<Difference> out;
    files::collate_facts(facts_of(first), facts_of(second), {}, Sameness::bits, out);
    return out;
}

bool operator==(const Visit& first, const Visit& second) { return differences(first, second).empty(); }

}  // namespace offnominal
