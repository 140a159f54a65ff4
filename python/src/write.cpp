// Systems and visits as text, and what a system holds as plain data: its pages, and everything beside them.
#include <algorithm>
#include <memory>
#include <vector>

#include "common.hpp"
#include "offnominal/expect/words.hpp"
#include "offnominal/files.hpp"
#include "offnominal/ratings/shape.hpp"

namespace binding {
namespace {

using Array = py::array_t<double>;

bool has_number(Mark mark) { return mark == Mark::printed || mark == Mark::dry; }

/// The unit of a column in the caller's system; power is in W in both.
Unit shown_unit(const std::string& role, const Unit& unit, const CallerUnits& caller) {
    const bool ip = caller.system == UnitSystem::IP;
    switch (unit.dimension) {
        case Dimension::power:
            return role == "power" ? units::W : caller.capacity;
        case Dimension::temperature_difference:
            return caller.difference;
        case Dimension::pressure:
            return caller.pressure;
        case Dimension::gauge_pressure:
            return ip ? units::psig : Unit{"Pa gauge", Dimension::gauge_pressure};
        case Dimension::efficiency:
            return ip && role == "eer" ? units::Btu_Wh : units::W_W;
        default:
            return Unit{unit.dimension == Dimension::ratio ? "1" : "A", unit.dimension};
    }
}

py::list numbers(const std::vector<double>& si, const Unit& unit) {
    py::list out;
    for (const double x : si) out.append(unit.from_si(x));
    return out;
}

/// One page as it is told to Python: columns in the caller's units, one value for each node.
class PageData {
   public:
    PageData(const std::string& stage, const std::string& match, const CallerUnits& units) : units_(units) {
        data_["stage"] = stage;
        data_["match"] = match;
    }

    void set(const char* key, const py::object& value) { data_[key] = value; }
    void axis(const char* name, const std::vector<double>& si, const Unit& unit) {
        if (si.empty()) return;
        axes_.append(py::make_tuple(name, numbers(si, unit), std::string(unit.name)));
    }
    void pairs(const std::vector<IndoorPair>& pairs) {
        if (pairs.empty()) return;
        py::list values;
        for (const IndoorPair& pair : pairs)
            values.append(
                py::make_tuple(units_.temperature.from_si(pair.dry_bulb), units_.temperature.from_si(pair.wet_bulb)));
        axes_.append(py::make_tuple("indoor_pair", values, std::string(units_.temperature.name)));
    }
    template <class Get>
    void column(const std::string& role, std::size_t nodes, const Unit& kind, double step, const Get& get) {
        const Unit unit = shown_unit(role, kind, units_);
        Array values(static_cast<py::ssize_t>(nodes));
        double* const out = values.mutable_data();
        for (std::size_t n = 0; n < nodes; ++n) out[n] = unit.from_si(get(n));
        columns_[py::str(role)] = py::make_tuple(values, std::string(unit.name), unit.from_si(step));
    }
    void extras(const std::vector<ExtraColumn>& extras) {
        for (const ExtraColumn& extra : extras)
            column(extra.name, extra.values.size(), extra.unit, extra.step,
                   [&](std::size_t n) { return extra.values[n]; });
    }
    void typed(const std::vector<TypedColumn>& typed) {
        py::dict out;
        for (const TypedColumn& column : typed)
            out[py::str(column.role)] = py::make_tuple(column.texts, std::string(column.unit.name));
        data_["typed"] = out;
    }
    template <class Nodes>
    void marks(const Nodes& nodes, const std::vector<InputError::Place>& places) {
        py::list marks, where;
        for (const auto& node : nodes) marks.append(std::string(name(node.mark)));
        for (const InputError::Place& place : places)
            where.append(py::make_tuple(place.file, place.line, place.column));
        data_["marks"] = marks;
        data_["places"] = where;
    }
    [[nodiscard]] py::dict take() {
        data_["axes"] = axes_;
        data_["columns"] = columns_;
        return data_;
    }

   private:
    const CallerUnits& units_;
    py::dict data_, columns_;
    py::list axes_;
};

template <class T>
py::object number_or_none(const std::optional<T>& quantity, const Unit& unit) {
    return quantity ? py::object(py::float_(unit.from_si(quantity->si))) : py::object(py::none());
}
py::object ratio_or_none(const std::optional<double>& ratio) {
    return ratio ? py::object(py::float_(*ratio)) : py::object(py::none());
}

/// What a page says of itself; None where it says nothing.
template <class AnyBasis>
py::dict shared_basis(const AnyBasis& basis, const CallerUnits& u) {
    const Unit ratio = u.system == UnitSystem::IP ? units::W_cfm : units::W_m3s;
    py::dict out;
    out["capacity"] = std::string(name(basis.capacity));
    out["airflow"] = std::string(name(basis.airflow));
    out["standard_pound"] = std::string(name(basis.standard_pound));
    out["power"] = std::string(name(basis.power));
    out["fan_power"] = basis.fan.power.si;
    out["fan_power_per_airflow"] = ratio.from_si(basis.fan.per_airflow.si);
    out["elevation"] = number_or_none(basis.elevation, u.length);
    out["tolerance"] = ratio_or_none(basis.tolerance);
    return out;
}

py::dict basis_of(const Basis& basis, const CallerUnits& u) {
    py::dict out = shared_basis(basis, u);
    const Unit slope = u.system == UnitSystem::IP ? units::Btu_h_cfm_degF : units::W_m3s_K;
    out["sensible_at"] = number_or_none(basis.sensible_at, u.temperature);
    out["sensible_slope"] = number_or_none(basis.sensible_slope, slope);
    static constexpr const char* ratio_of[] = {"not a ratio", "total", "rated total", "rated sensible"};
    out["sensible_ratio_of"] = ratio_of[static_cast<std::size_t>(basis.sensible_ratio_of)];
    const auto given = [](Power p) { return p.si > 0.0 ? std::optional(p) : std::nullopt; };
    out["rated_total"] = number_or_none(given(basis.rated.total), u.capacity);
    out["rated_sensible"] = number_or_none(given(basis.rated.sensible), u.capacity);
    out["rated_power"] = number_or_none(given(basis.rated.power), units::W);
    const auto& c = basis.certified;
    out["certified_total"] = number_or_none(c ? given(c->net_total) : std::nullopt, u.capacity);
    out["certified_airflow"] = number_or_none(c ? std::optional(c->airflow) : std::nullopt, u.airflow);
    out["certified_fan"] = number_or_none(c ? given(c->fan_power) : std::nullopt, units::W);
    return out;
}

py::dict basis_of(const HeatingBasis& basis, const CallerUnits& u) {
    py::dict out = shared_basis(basis, u);
    out["printed_at"] = number_or_none(basis.printed_at, u.temperature);
    out["outdoor_humidity"] = ratio_or_none(basis.outdoor_relative_humidity);
    return out;
}

py::dict page_of(const Stage& stage, const std::string& match, const CallerUnits& u) {
    const PrintedPage& page = stage.table.page();
    PageData out(stage.name, match, u);
    out.set("mode", py::str("cooling"));
    out.set("frost", py::none());
    out.set("speed", ratio_or_none(stage.speed));
    out.set("infer", py::bool_(page.infer));
    out.set("multiplied", py::bool_(page.airflow_multiplied));
    out.axis("outdoor_dry_bulb", page.outdoor_dry_bulb, u.temperature);
    out.axis("standard_airflow", page.airflow, u.airflow);
    out.axis("entering_wet_bulb", page.entering_wet_bulb, u.temperature);
    out.axis("entering_relative_humidity", page.relative_humidity, units::one);
    out.pairs(page.pairs);
    out.axis("entering_dry_bulb", page.entering_dry_bulb, u.temperature);
    out.axis("station_pressure", page.pressure, u.pressure);
    const auto output = [&](const char* role, bool printed, const Unit& unit, double step,
                            double PrintedNode::*member) {
        if (printed)
            out.column(role, page.nodes.size(), unit, step,
                       [&](std::size_t n) { return has_number(page.nodes[n].mark) ? page.nodes[n].*member : nan; });
    };
    output("total", true, units::W, page.total_step, &PrintedNode::total);
    output("sensible", page.has_sensible, units::W, page.sensible_step, &PrintedNode::sensible);
    output("power", page.has_power, units::W, page.power_step, &PrintedNode::power);
    output("bypass", page.has_bypass, units::one, 0.0, &PrintedNode::bypass);
    out.extras(page.extras);
    out.typed(page.typed);
    out.marks(page.nodes, page.places);
    out.set("basis", basis_of(stage.table.basis(), u));
    Notes notes = basis_notes(stage.table.basis(), page.has_power, page.pressure.empty());
    if (!page.has_sensible) notes.add(Note::dryness_unknown);
    if (page.airflow_multiplied) notes.add(Note::airflow_multiplier);
    if (!page.pairs.empty()) notes.add(Note::along_pairs);
    out.set("notes", notes_list(notes));
    return out.take();
}

py::dict page_of(const HeatingStage& stage, const CallerUnits& u) {
    const HeatingPage& page = stage.table.page();
    PageData out(stage.name, {}, u);
    static constexpr const char* frosts[] = {"unknown", "instantaneous", "integrated"};
    out.set("mode", py::str("heating"));
    out.set("frost", py::str(frosts[static_cast<std::size_t>(stage.frost)]));
    out.set("speed", ratio_or_none(stage.speed));
    out.set("infer", py::bool_(false));
    out.set("multiplied", py::bool_(page.airflow_multiplied || page.dry_bulb_multiplied));
    out.axis("outdoor_dry_bulb", page.outdoor_dry_bulb, u.temperature);
    out.axis("standard_airflow", page.airflow, u.airflow);
    out.axis("entering_dry_bulb", page.entering_dry_bulb, u.temperature);
    const auto get = [&](double HeatingNode::*member) {
        return [&page, member](std::size_t n) {
            return page.nodes[n].mark == Mark::printed ? page.nodes[n].*member : nan;
        };
    };
    out.column("capacity", page.nodes.size(), units::W, page.capacity_step, get(&HeatingNode::capacity));
    if (page.has_power) out.column("power", page.nodes.size(), units::W, page.power_step, get(&HeatingNode::power));
    out.extras(page.extras);
    out.typed(page.typed);
    out.marks(page.nodes, page.places);
    out.set("basis", basis_of(stage.table.basis(), u));
    Notes notes = basis_notes(stage.table.basis(), page.has_power);
    if (stage.frost == Frost::unknown) notes.add(Note::frost_unknown);
    if (!stage.table.basis().outdoor_relative_humidity) notes.add(Note::outdoor_humidity_unknown);
    out.set("notes", notes_list(notes));
    return out.take();
}

py::list page_list(const System& system, const std::string& units) {
    const CallerUnits& u = CallerUnits::of(units);
    py::list out;
    for (const Stage& stage : system.parts().cooling) out.append(page_of(stage, {}, u));
    for (const Match& match : system.parts().matches)
        for (const Stage& stage : match.stages) out.append(page_of(stage, match.name, u));
    for (const HeatingStage& stage : system.parts().heating) out.append(page_of(stage, u));
    return out;
}

/// What a system holds beside its pages, SI: nested dicts, keyed so that two systems can be compared key by key.
py::dict metadata_of(const System& system) {
    const SystemParts& parts = system.parts();
    py::dict out, matches, line_set, altitude, blower, defrost;
    out["nominal"] = parts.nominal;
    out["refrigerant"] = parts.refrigerant;
    static constexpr const char* modulations[] = {"staged", "variable", "continuous"};
    out["modulation"] = modulations[static_cast<std::size_t>(parts.modulation)];
    for (const Match& match : parts.matches) {
        py::dict m;
        m["reference"] = match.reference;
        m["total"] = match.factors.total;
        m["power"] = match.factors.power;
        m["bypass"] = ratio_or_none(match.bypass);
        m["least_airflow"] = match.airflow ? py::object(py::float_(match.airflow->first.si)) : py::object(py::none());
        m["greatest_airflow"] =
            match.airflow ? py::object(py::float_(match.airflow->second.si)) : py::object(py::none());
        m["fan"] = std::string(name(match.fan));
        matches[py::str(match.name)] = m;
    }
    const auto row = [](const char* first, double a, const char* second, double b, Mark mark) {
        py::dict r;
        r[first] = has_number(mark) ? a : nan;
        r[second] = has_number(mark) ? b : nan;
        r["mark"] = std::string(name(mark));
        return r;
    };
    if (const auto& line = parts.reference_line) {
        line_set["reference length"] = line->equivalent_length.si;
        line_set["reference suction"] = line->suction.si;
    }
    if (!parts.line_set.empty()) {
        line_set["least lift"] = parts.line_set.limits().least_lift.si;
        line_set["greatest lift"] = parts.line_set.limits().greatest_lift.si;
        for (const LineTable::Row& r : parts.line_set.rows())
            line_set[py::make_tuple(r.length.si, r.suction.si)] = row("total", r.total, "power", r.power, r.mark);
    }
    for (const AltitudeTable::Row& r : parts.altitude.rows())
        altitude[py::make_tuple(r.elevation.si)] = row("total", r.total, "power", r.power, Mark::printed);
    if (!parts.blower.empty()) {
        static constexpr const char* motors[] = {"unknown", "fixed speed", "constant torque", "constant airflow"};
        blower["motor"] = motors[static_cast<std::size_t>(parts.blower.basis().motor)];
        blower["includes"] = parts.blower.basis().includes;
        blower["air"] = parts.blower.basis().standard_air ? "standard" : "unknown";
        for (const BlowerTable::Row& r : parts.blower.rows())
            blower[py::make_tuple(r.tap, r.external_static.si)] =
                row("airflow", r.airflow.si, "power", r.power.si, r.mark);
    }
    if (parts.defrost)
        for (const DefrostTable::Page& page : parts.defrost->pages())
            for (std::size_t n = 0; n < page.nodes.size(); ++n) {
                const std::size_t humidities = page.outdoor_relative_humidity.size();
                py::dict r = row("capacity", page.nodes[n].capacity, "power", page.nodes[n].power, Mark::printed);
                r["time"] = page.nodes[n].time_fraction;
                defrost[py::make_tuple(page.stage, page.outdoor_dry_bulb[n / humidities],
                                       page.outdoor_relative_humidity[n % humidities])] = r;
            }
    out["matches"] = matches;
    out["line_set"] = line_set;
    out["altitude"] = altitude;
    out["blower"] = blower;
    out["defrost"] = defrost;
    return out;
}

}  // namespace
}  // namespace binding

void bind_write(pybind11::module_& m) {
    using namespace binding;
    m.def("write_system", &write_system, py::arg("system"));
    m.def(
        "write_visit", [](const std::shared_ptr<Visit>& visit) { return write_visit(*visit); }, py::arg("visit"));
    m.def("pages", &page_list, py::arg("system"), py::arg("units"));
    m.def("metadata", &metadata_of, py::arg("system"));
}
