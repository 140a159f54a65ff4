#include "read/airflow.hpp"

#include <type_traits>

#include "airflow/inputs.hpp"
#include "ranges.hpp"
#include "read/instrument.hpp"

namespace offnominal::files {
namespace {

/// What an instrument is described by that reads a quantity; empty: no instrument is.
template <Dimension D>
constexpr std::string_view measure_of() {
    if (D == Dimension::temperature) return "dry_bulb";
    for (const std::string_view known : {"power", "airflow", "pressure", "humidity_ratio"})
        if (name(D) == known) return known;
    return {};
}

/// Figures that are known before: no instrument beside the readings has read them.
constexpr std::string_view known_before[] = {"rated", "rated_drop", "known", "known_drop", "exponent"};

/// One way, `blower: {...}`.
class WayReader {
   public:
    WayReader(const Fields& fields, const std::vector<Instrument>& instruments)
        : fields_(fields), instruments_(instruments) {
        if (const Item* item = fields.find("instrument")) beside_ = &instrument(fields, *item);
    }

    template <class T>
    void read(T& out) {
        std::apply([&](const auto&... input) { (one(input.key, input.such_as, input.needed, out.*input.member), ...); },
                   inputs_of<T>);
        if (beside_ != nullptr && !used_)
            fields_.refuse(*fields_.find("instrument"),
                           fields_.path("instrument") + ": described for none of these readings",
                           "an instrument that reads one of them");
    }

   private:
    const Instrument& instrument(const Fields& fields, const Item& item) const {
        const std::string name = fields.text(item, "instrument");
        const auto found = ranges::find(instruments_, name, &Instrument::name);
        if (found != instruments_.end()) return *found;
        std::vector<std::string_view> names;
        for (const Instrument& known : instruments_) names.push_back(known.name);
        fields.refuse(item, fields.path("instrument") + ": not described under 'instruments'",
                      names.empty() ? "instruments: with this name and what it is good for" : listed(names, name));
    }

    const Item* find(std::string_view key, std::string_view such_as, bool needed) const {
        return needed ? &fields_.need(key, "such as " + std::string(such_as)) : fields_.find(key);
    }

    void one(std::string_view key, std::string_view such_as, bool needed, std::string& out) const {
        if (const Item* item = find(key, such_as, needed)) out = fields_.text(*item, key);
    }
    void one(std::string_view key, std::string_view, bool, bool& out) const {
        if (fields_.find(key) != nullptr) out = fields_.flag(key, false);
    }
    template <Dimension D>
    void one(std::string_view key, std::string_view such_as, bool needed, InstrumentReading<D>& out) {
        if (const Item* item = find(key, such_as, needed)) reading(fields_, *item, key, out);
    }
    template <Dimension D>
    void one(std::string_view key, std::string_view such_as, bool needed, InstrumentReadings<D>& out) {
        const Item* item = find(key, such_as, needed);
        if (item == nullptr) return;
        InstrumentReading<D> known;
        const auto values = [&](const Fields& fields, const Item& list, std::string_view of) {
            if (list.kind != Item::Kind::list || list.values.empty())
                fields.refuse(list, fields.path(of) + ": not a list of readings", std::string(such_as));
            double sum = 0.0;
            for (const Item& value : list.values) {
                out.values.push_back(fields.quantity<D>(value, of));
                sum += out.values.back().si;
            }
            known.value.si = sum / static_cast<double>(out.values.size());
        };
        if (item->kind != Item::Kind::map) {
            values(fields_, *item, key);
            by_instrument_beside(known);
        } else {
            const Fields inner(fields_.document(), *item, fields_.path(key), {"values", "instrument", "standard"});
            values(inner, inner.need("values", std::string(such_as)), "values");
            know(inner, known);
        }
        out.standard.si = known.standard.si;
        static_cast<ReadBy&>(out) = known;
    }
    void one(std::string_view key, std::string_view, bool, std::vector<ComponentDrop>& out) {
        const Item* item = fields_.find(key);
        if (item == nullptr) return;
        if (item->kind != Item::Kind::map)
            fields_.refuse(*item, fields_.path(key) + ": not a map of components", "{filter: 0.12 in_wc}");
        const Fields drops(fields_.document(), *item, fields_.path(key), {"filter", "wet coil", "dry coil", "heater"});
        for (const auto& row : words_of<Component>)
            if (const Item* drop = drops.find(row.word))
                reading(drops, *drop, row.word, out.emplace_back(ComponentDrop{row.value, {}}).drop);
    }

    template <Dimension D>
    void reading(const Fields& fields, const Item& item, std::string_view key, InstrumentReading<D>& out) {
        if (item.kind != Item::Kind::map) {
            out.value = fields.quantity<D>(item, key);
            if (ranges::find(known_before, key) == std::end(known_before)) by_instrument_beside(out);
            return;
        }
        const Fields inner(fields.document(), item, fields.path(key), {"value", "instrument", "standard"});
        out.value = inner.quantity<D>(inner.need("value", "a reading with its unit"), "value");
        know(inner, out);
    }

    /// What a reading is good for, by the keys beside it.
    template <Dimension D>
    void know(const Fields& fields, InstrumentReading<D>& out) {
        const Item *by = fields.find("instrument"), *standard = fields.find("standard");
        if (by != nullptr && standard != nullptr)
            fields.refuse(*standard, fields.path("standard") + ": an instrument says it already", "one of the two");
        if (standard != nullptr) {
            out.standard = fields.quantity<offnominal::Measured<D>::apart>(*standard, "standard");
            if (!(out.standard.si >= 0.0))
                fields.refuse(*standard, fields.path("standard") + ": below zero", "zero or more");
        }
        if (by == nullptr) return;
        const Instrument& described = instrument(fields, *by);
        if (!take(described, out))
            fields.refuse(*by,
                          fields.path("instrument") + ": 'instruments' does not say how good it is at " +
                              std::string(measure_of<D>()),
                          measure_of<D>().empty()
                              ? "standard: its standard uncertainty"
                              : std::string(measure_of<D>()) + ": {limits: ...} under that instrument");
    }
    template <Dimension D>
    void by_instrument_beside(InstrumentReading<D>& out) {
        if (beside_ != nullptr && take(*beside_, out)) used_ = true;
    }
    /// Whether the instrument is described for this quantity; then the reading is by it.
    template <Dimension D>
    static bool take(const Instrument& described, InstrumentReading<D>& out) {
        const auto accuracy = ranges::find(described.accuracies, measure_of<D>(), &Accuracy::quantity);
        if (accuracy == described.accuracies.end()) return false;
        out.standard.si = standard_at(*accuracy, out.value.si);
        out.instrument = described.name;
        out.shared = described.correlation;
        return true;
    }

    const Fields& fields_;
    const std::vector<Instrument>& instruments_;
    const Instrument* beside_ = nullptr;  ///< named beside the readings
    bool used_ = false;
};

/// The one key of a map that names a way, or nullptr.
const Item* named_way(const Item& item, AirflowMethod method) {
    if (item.kind != Item::Kind::map) return nullptr;
    for (std::size_t i = 0; i < item.keys.size(); ++i)
        if (method != AirflowMethod::reading && item.keys[i].text == name(method)) return &item.values[i];
    return nullptr;
}

/// `{value: 1190 cfm, at: return, instrument: flow grid}` among several ways.
AirflowFinding read_shown(const Document& document, const Item& item, const std::string& where,
                          const std::vector<Instrument>& instruments) {
    const Fields fields(document, item, where, {"value", "at", "basis", "instrument"});
    AirflowFinding out;
    AirflowShown shown;
    const Item *at = fields.find("at"), *basis = fields.find("basis");
    if (basis != nullptr) fields.need_word("basis", "standard");
    const bool by_unit =
        fields.measured(fields.need("value", "an airflow, such as 1190 cfm"), "value", Dimension::airflow)
            .unit.standard_air;
    shown.standard = basis != nullptr || by_unit;
    if (at != nullptr && shown.standard)
        fields.refuse(*at, where + ": standard airflow has no place", "cfm with a place");
    if (at == nullptr && !shown.standard)
        fields.missing("at", "at: return, supply or fan, where it was read; or basis: standard; there is no default");
    if (at != nullptr) out.at = fields.choice<air::Place>(*at, "at");
    WayReader(fields, instruments).read(shown);
    out.by = std::move(shown);
    return out;
}

/// `blower: {...}`, if that is what `T` is called.
template <class T>
bool read_way(const Document& document, const Item& item, const std::string& where,
              const std::vector<Instrument>& instruments, AirflowFinding& out) {
    const Item* way = named_way(item, T::method);
    if (way == nullptr) return false;
    const std::string path = where + ": " + std::string(name(T::method));
    if (item.keys.size() != 1)
        document.refuse(item, where + ": more than the one way",
                        "a list: - {blower: {...}}, - {temperature_rise: {...}}");
    std::apply(
        [&](const auto&... input) {
            const Fields fields(document, *way, path, {input.key..., "at", "instrument"});
            constexpr bool anywhere = T::method == AirflowMethod::hood || T::method == AirflowMethod::traverse;
            out.at = T::method == AirflowMethod::blower ? air::Place::fan : air::Place::return_air;
            if (anywhere)
                out.at = fields.choice<air::Place>(fields.need("at", "return or supply: whose air flows there"), "at");
            else
                out.at = fields.choice("at", out.at);
            T readings;
            WayReader(fields, instruments).read(readings);
            out.by = std::move(readings);
        },
        inputs_of<T>);
    return true;
}

AirflowFinding read_finding(const Document& document, const Item& item, const std::string& where,
                            const std::vector<Instrument>& instruments) {
    AirflowFinding out;
    const bool found = [&]<class... T>(std::type_identity<std::variant<T...>>) {
        return (read_way<T>(document, item, where, instruments, out) || ...);
    }(std::type_identity<AirflowReadBy>());
    return found ? out : read_shown(document, item, where, instruments);
}

}  // namespace

bool names_ways(const Item& airflow) {
    if (airflow.kind == Item::Kind::list) return true;
    return ranges::any_of(words_of<AirflowMethod>,
                          [&](const auto& row) { return named_way(airflow, row.value) != nullptr; });
}

std::vector<AirflowFinding> read_airflow_ways(const Document& document, const Item& airflow,
                                              const std::vector<Instrument>& instruments) {
    const std::string where = "readings: airflow";
    if (airflow.kind != Item::Kind::list) return {read_finding(document, airflow, where, instruments)};
    if (airflow.values.empty())
        document.refuse(airflow, where + ": an empty list", "- {blower: {tap: 4, static: 0.52 in_wc}}");
    std::vector<AirflowFinding> out;
    for (std::size_t i = 0; i < airflow.values.size(); ++i)
        out.push_back(read_finding(document, airflow.values[i], where + ": " + std::to_string(i), instruments));
    return out;
}

}  // namespace offnominal::files
