// What a machine delivers, and the proof.
#include <array>
#include <filesystem>
#include <memory>
#include <vector>

#include "offnominal/field/deliver.hpp"
#include "offnominal/files.hpp"
#include "offnominal/proof/between_visits.hpp"
#include "offnominal/report.hpp"
#include "told.hpp"

namespace binding {
namespace {

/// What the readings of one call have in common: a batch without its columns, and the units of question and answer.
struct DeliverCall {
    UnitSystem units = UnitSystem::IP;
    DeliverBatch batch;
    std::array<Kind, reading_slots> kinds{};  ///< of the numbers, by slot
    std::vector<std::string> words;           ///< that it was made of, in order
    std::vector<bool> flags;                  ///< condensate

    DeliverCall(const std::string& units_word, const std::string& return_humidity, const std::string& supply_humidity,
                const std::string& airflow, const std::string& split, const std::string& fan, const std::string& mode,
                bool condensate)
        : units(CallerUnits::of(units_word).system),
          words{units_word, return_humidity, supply_humidity, airflow, split, fan, mode},
          flags{condensate} {
        Readings& r = batch.readings;
        r.mode = choose<Mode>("mode", mode);
        r.return_humidity.kind = humidity_kind(return_humidity);
        if (r.mode == Mode::cooling) r.supply_humidity.kind = humidity_kind(supply_humidity);
        r.airflow = airflow_meaning(airflow);
        r.split = choose<Split>("split", split);
        r.condensate = condensate;
        if (!fan.empty()) r.fan = choose<FanPosition>("fan", fan);
        kinds = kinds_of_slots<reading_slots>(asked_of_deliver, [&](const Asked<ReadingSlot>& asked) {
            if (asked.slot == ReadingSlot::return_humidity) return asked.name == "return_" + return_humidity;
            return asked.slot != ReadingSlot::supply_humidity || asked.name == "supply_" + supply_humidity;
        });
        if (r.airflow.kind == AirflowReading::Kind::dry_mass)
            kinds[static_cast<std::size_t>(ReadingSlot::airflow)] = Kind::mass_flow;
        for (std::size_t k = 0; k < reading_slots; ++k) batch.numbers[k].unit = unit_of(kinds[k], units);
    }
};

/// One delivered capacity with the units it was asked in.
struct OneDelivered {
    Delivered d;
    UnitSystem units;
    Origin<reading_slots> origin;
};

OneDelivered deliver_one(const py::object& py_call, const std::array<double, reading_slots>& numbers) {
    const auto& call = py_call.cast<const DeliverCall&>();
    DeliverBatch batch = call.batch;
    for (std::size_t k = 0; k < reading_slots; ++k) batch.numbers[k].data = &numbers[k];
    const auto answer = try_deliver(batch.readings_of(0), batch.site(0));
    if (!answer) raise_refused(answer.reason(), explain(answer.reason(), call.units), call.units);
    return {*answer, call.units, {py_call, {}, {}, numbers}};
}

py::dict deliver_many(const DeliverCall& call, py::ssize_t rows, const py::tuple& numbers) {
    DeliverBatch batch = call.batch;
    std::array<double, reading_slots> ones{};
    point_at(batch.numbers, numbers, ones, rows);
    Columns columns(rows, sizeof(double) * std::size(told_of<Delivered>) + sizeof(Reason) + sizeof(Notes));
    DeliverColumns out;
    out.numbers = columns.add_told<Delivered>(call.batch.readings.mode, call.units);
    out.reason = columns.add<Reason>("reasons");
    out.notes = reinterpret_cast<Notes*>(columns.add<PackedNotes>("notes"));
    in_parts(static_cast<std::size_t>(rows), rows_at_once, [&](std::size_t first, std::size_t last) {
        deliver_rows(batch, first, last, out, air::fastest_columns());
    });
    return columns.arrays();
}

std::string repr_of_delivered(const OneDelivered& x) {
    std::string out;
    for (const auto& line : told_of<Delivered>)
        if (out.size() < 120 && applies(line.modes, x.d.mode))
            out += (out.empty() ? "<Delivered: " : ", ") + std::string(line.name) + " " +
                   brief(unit_of(line.kind, x.units).from_si(line.of(x.d)));
    return out + ">";
}

/// One proof with the system and visit it is of.
struct OneProof {
    System system;
    std::shared_ptr<const Visit> visit;
    Proof p;
};

OneProof prove_one(const System& system, const std::shared_ptr<Visit>& visit) {
    return {system, visit, prove(system, *visit)};
}

py::list budget_of(const OneProof& self) {
    py::list out;
    for (const BudgetLine& line : self.p.budget) {
        if (!self.p.ratio || !applies(line.input, self.visit->mode())) continue;
        py::dict entry;
        entry["input"] = std::string(name(line.input));
        entry["standard_uncertainty_si"] = line.standard;
        entry["delivered"] = line.delivered;
        entry["expected"] = line.expected;
        entry["ratio"] = line.ratio;
        entry["sensible"] = line.sensible;
        entry["power_ratio"] = line.power_ratio;
        entry["share"] = line.share;
        out.append(entry);
    }
    return out;
}

/// A second capacity beside the air's; None without one.
py::object second_of(const OneProof& x) {
    if (!x.p.second) return py::none();
    const TwoMethods& two = *x.p.second;
    py::dict out;
    out["agreement"] = std::string(name(two.agreement));
    out["difference"] = two.difference;
    out["difference_u"] = two.difference_u;
    out["probability"] = two.probability;
    return out;
}

py::list nearest_of(const OneProof& self) {
    py::list out;
    for (const StageFit& fit : self.p.nearest) {
        py::dict entry;
        entry["stage"] = stage_name(self.system, *self.visit, fit.stage);
        entry["ratio"] = fit.ratio;
        entry["power_ratio"] = fit.power_ratio;
        entry["reason"] = std::string(name(fit.reason.why));
        out.append(entry);
    }
    return out;
}

/// Remedy, what to do, standard uncertainty of the ratio, chances.
py::list list_of(const std::vector<Settling>& remedies) {
    py::list out;
    for (const Settling& one : remedies)
        out.append(py::make_tuple(std::string(name(one.remedy)), std::string(row_of(one.remedy)->text), one.ratio_u,
                                  one.meets, one.falls_short));
    return out;
}

/// What a caller says of a check, in SI: looks tell yes or no, readings a difference in the caller's units.
double seen_si(const Visit& visit, CauseCheck check, double value, UnitSystem units) {
    const auto by = [&](Kind kind) { return shown_unit(kind, units).to_si(value); };
    switch (check) {
        case CauseCheck::subcooling:
        case CauseCheck::superheat:
        case CauseCheck::condensing:
        case CauseCheck::dry_bulbs_compared:
        case CauseCheck::outdoor:
            return by(Kind::temperature_difference);
        case CauseCheck::humidities_compared: {
            const air::Humidity::Kind kind = visit.readings.supply_humidity.kind;
            return kind == air::Humidity::Kind::wet_bulb || kind == air::Humidity::Kind::dew_point
                       ? by(Kind::temperature_difference)
                       : value;
        }
        case CauseCheck::barometer:
            return by(Kind::pressure);
        default:
            return value;
    }
}

/// Likely causes of one proof, as plain rows.
py::dict causes_dict(const OneProof& x, const py::dict& seen, const py::dict& priors, const std::string& units_name) {
    const UnitSystem units = CallerUnits::of(units_name).system;
    std::vector<CheckResult> told;
    for (const auto& [check, value] : seen) {
        const auto what = choose<CauseCheck>("seen", check.cast<std::string>());
        told.push_back({what, seen_si(*x.visit, what, value.cast<double>(), units)});
    }
    CausePriors stated;
    for (const auto& [cause, value] : priors) {
        const auto word = cause.cast<std::string>();
        const auto input = named<Input>(word);
        (word == "two_at_once" ? stated.two_at_once
         : input               ? stated.reading[static_cast<std::size_t>(*input)]
                 : stated.of[static_cast<std::size_t>(choose<Cause>("priors", word))]) = value.cast<double>();
    }
    const Causes found = causes_of(x.system, *x.visit, x.p, told, stated);
    const Visit& visit = *x.visit;
    py::list likely, checks;
    for (const LikelyCause& one : found.likely) {
        py::object stage = py::none(), match = py::none(), input = py::none(), or_input = py::none();
        if (one.stage >= 0) stage = py::str(stage_name(x.system, visit, one.stage));
        if (one.match >= 0) match = py::str(x.system.parts().matches[static_cast<std::size_t>(one.match)].name);
        if (one.input) input = py::str(std::string(name(*one.input)));
        if (one.or_input) or_input = py::str(std::string(name(*one.or_input)));
        const auto also = one.also ? py::object(py::str(std::string(name(*one.also)))) : py::none();
        const auto of_also = [&](double value) { return one.also ? py::object(py::float_(value)) : py::none(); };
        likely.append(py::make_tuple(std::string(name(one.cause)), words_for(x.system, visit, one, units),
                                     one.probability, one.severity, one.severity_low, one.severity_high, input, stage,
                                     match, one.total, one.sensible, one.power, one.fit, std::string(name(one.support)),
                                     also, of_also(one.also_severity), of_also(one.also_low), of_also(one.also_high),
                                     or_input));
    }
    for (const NextCheck& one : found.checks)
        checks.append(py::make_tuple(std::string(name(one.check)), std::string(row_of(one.check)->text),
                                     row_of(one.check)->minutes, one.gain, one.first));
    py::dict out;
    out["reason"] = std::string(name(found.reason.why));
    out["likely"] = likely;
    out["checks"] = checks;
    out["others"] = found.others;
    out["first"] = found.first;
    out["two_at_once"] = found.two_at_once;
    out["text"] = report(x.system, visit, found, units);
    return out;
}

py::tuple tuple_of(const Change& found) {
    return py::make_tuple(found.ratio, found.ratio_u, found.apart_u, found.less);
}

/// Of each visit to one machine, in their order: which of those given, and what changed since the last and the first.
py::list seasons_of(const std::vector<const OneProof*>& proofs) {
    std::vector<ProvedVisit> visits;
    for (const OneProof* const one : proofs) visits.push_back({*one->visit, one->p});
    py::list out;
    const auto told = [](const std::optional<Change>& change) {
        return change ? py::object(tuple_of(*change)) : py::object(py::none());
    };
    if (proofs.empty()) throw InputError({}, "proofs: none", {}, "one or more");  // of which there is no system either
    for (const Season& one : seasons(proofs.front()->system, visits))
        out.append(py::make_tuple(one.visit, told(one.since_last), told(one.since_first)));
    return out;
}

/// What a visit can decide, of one system.
struct OnePlan {
    System system;
    Plan p;
};

/// Return and supply air, for pictures: dry bulb and humidity ratio of each; and the station pressure.
py::tuple airs_of(const OneDelivered& x) {
    const auto dry_bulb = [&](const air::State& a) {
        return unit_of(Kind::temperature, x.units).from_si(a.dry_bulb.si);
    };
    const air::State &in = x.d.return_air, &out = x.d.supply_air;
    return py::make_tuple(dry_bulb(in), in.humidity_ratio.si, dry_bulb(out), out.humidity_ratio.si,
                          unit_of(Kind::pressure, x.units).from_si(in.pressure.si));
}

}  // namespace
}  // namespace binding

void bind_field(pybind11::module_& m) {
    using namespace binding;
    py::class_<Visit, std::shared_ptr<Visit>> visit(m, "Visit");
    py::class_<OneProof> proof(m, "Proof");

    py::class_<OneDelivered> delivered(m, "Delivered");
    py::class_<DeliverCall> call(m, "DeliverCall");
    call.def(py::init<const std::string&, const std::string&, const std::string&, const std::string&,
                      const std::string&, const std::string&, const std::string&, bool>(),
             py::arg("units"), py::arg("return_humidity"), py::arg("supply_humidity"), py::arg("airflow"),
             py::arg("split"), py::arg("fan"), py::arg("mode"), py::arg("condensate"));
    bind_call(call);
    m.def("deliver_one", [](const py::object& c, double return_dry_bulb, double return_humidity, double supply_dry_bulb,
                            double supply_humidity, double airflow, double elevation, double pressure, double fan_power,
                            double auxiliary_heat) {
        return deliver_one(c, {return_dry_bulb, return_humidity, supply_dry_bulb, supply_humidity, airflow, elevation,
                               pressure, fan_power, auxiliary_heat});
    });
    m.def("deliver_many", &deliver_many);
    m.attr("told_of_delivered") = lines_of(told_of<Delivered>);
    m.attr("asked_of_deliver") = lines_of(asked_of_deliver);
    m.attr("told_of_proof") = lines_of(told_of<Proof>);
    bind_told<Delivered>(delivered,
                         [](const OneDelivered& x) { return std::pair<const Delivered&, UnitSystem>(x.d, x.units); });
    delivered.doc() = "What a machine delivers, raw: nothing is clamped; in the units it was asked in.";
    delivered.def_property_readonly("units", [](const OneDelivered& x) { return std::string(name(x.units)); })
        .def_property_readonly("mode", [](const OneDelivered& x) { return std::string(name(x.d.mode)); })
        .def_property_readonly("notes", [](const OneDelivered& x) { return notes_list(x.d.notes); })
        .def_property_readonly("_origin", &origin_of<OneDelivered>)
        .def_property_readonly("_air", &airs_of)
        .def("__repr__", &repr_of_delivered);

    visit.def(py::init<const Visit&>())
        .def_readonly("name", &Visit::name)
        .def_readonly("system_file", &Visit::system_file)
        .def_readonly("date", &Visit::date)
        .def_readonly("stage", &Visit::stage)
        .def_property_readonly("mode", [](const Visit& x) { return std::string(name(x.mode())); });
    m.def(
        "load_visit",
        [](const std::string& path, bool forecast) {
            return std::make_shared<Visit>(forecast ? load_forecast(path) : load_visit(path));
        },
        py::arg("path"), py::arg("forecast") = false);
    m.def(
        "parse_visit",
        [](const std::string& text, const std::string& name) {
            return std::make_shared<Visit>(parse_visit(text, name, ""));
        },
        py::arg("text"), py::arg("name"));
    m.def(
        "visit_of_json",
        [](const std::string& text, const std::string& name, bool forecast) {
            try {
                auto read =
                    std::make_shared<Visit>(forecast ? parse_forecast(text, name, "") : parse_visit(text, name, ""));
                VisitPlaces& p = read->places;
                p.stage = p.match = p.line_set = p.speed = {name, 0, 0};
                return read;
            } catch (const InputError& error) {   // the text was made of a dict, which has keys and no lines
                if (error.file() != name) throw;  // a log that it names
                throw InputError({error.file()}, error.problem(), error.text(), error.accepted());
            }
        },
        py::arg("text"), py::arg("name"), py::arg("forecast") = false);
    m.def("prove", &prove_one, py::arg("system"), py::arg("visit"));
    m.def("monte_carlo", [](const System& system, const std::shared_ptr<Visit>& read, std::size_t count) {
        std::vector<double> draws;
        {
            const py::gil_scoped_release release;
            draws = monte_carlo(system, *read, count);
        }
        return py::array_t<double>(static_cast<py::ssize_t>(draws.size()), draws.data());
    });

    // A proof has no units of its own: each of its numbers is asked for in some.
    proof
        .def("told",
             [](const OneProof& x, const std::string& what, const std::string& units) {
                 for (const auto& line : told_of<Proof>)
                     if (line.name == what)
                         return number_or_none(line.of(x.p), unit_of(line.kind, CallerUnits::of(units).system));
                 throw py::key_error(what);
             })
        .def_property_readonly("outcome", [](const OneProof& x) { return std::string(name(x.p.outcome)); })
        .def_property_readonly("reason", [](const OneProof& x) { return std::string(name(x.p.reason.why)); })
        .def_property_readonly("about", [](const OneProof& x) { return std::string(name(x.p.reason.about)); })
        .def_property_readonly("suspect", [](const OneProof& x) { return std::string(name(x.p.suspect)); })
        .def_property_readonly("uncapped",
                               [](const OneProof& x) {
                                   return x.p.uncapped ? std::optional(std::string(name(*x.p.uncapped))) : std::nullopt;
                               })
        .def_property_readonly("other_outcome", [](const OneProof& x) { return std::string(name(x.p.other_outcome)); })
        .def_property_readonly("method", [](const OneProof& x) { return std::string(name(x.p.method)); })
        .def_property_readonly("judge", [](const OneProof& x) { return std::string(name(x.p.judge)); })
        .def_property_readonly("yardstick", [](const OneProof& x) { return std::string(name(x.p.yardstick)); })
        .def_property_readonly("acceptance", [](const OneProof& x) { return std::string(name(x.p.acceptance)); })
        .def_property_readonly("no_power", [](const OneProof& x) { return std::string(name(x.p.no_power.why)); })
        .def_property_readonly("second_capacity", &second_of)
        .def_property_readonly("budget", &budget_of)
        .def_property_readonly("nearest", &nearest_of)
        .def_property_readonly("notes", [](const OneProof& x) { return notes_list(x.p.notes); })
        .def(
            "settle",
            [](const OneProof& x, const py::dict& given) {
                TypeA type_a{};
                for (const auto& [input, part] : given)
                    type_a[static_cast<std::size_t>(choose<Input>("type_a", input.cast<std::string>()))] =
                        part.cast<double>();
                return list_of(settle(*x.visit, x.p, type_a));
            },
            py::arg("type_a"))
        .def("causes", &causes_dict, py::arg("seen"), py::arg("priors"), py::arg("units"))
        .def(
            "change_from",
            [](const OneProof& x, const OneProof& earlier) {
                const auto found = change(x.system, *earlier.visit, earlier.p, *x.visit, x.p);
                if (!found) raise_refused(found.reason(), explain(found.reason()), UnitSystem::SI);
                return tuple_of(*found);
            },
            py::arg("earlier"))
        .def("expected",
             [](const OneProof& x, const py::object& of) {
                 const UnitSystem units = CallerUnits::of(of.attr("units").cast<std::string>()).system;
                 return x.p.expected
                            ? std::optional(OneExpected{of.attr("system"), *x.p.expected, units, {of, {}, {}, {}}})
                            : std::nullopt;
             })
        .def("delivered",
             [](const OneProof& x, const py::object& of) {
                 const UnitSystem units = CallerUnits::of(of.attr("units").cast<std::string>()).system;
                 return OneDelivered{x.p.delivered, units, {of, {}, {}, {}}};
             })
        .def(
            "report",
            [](const OneProof& x, const std::string& units) {
                return report(x.system, *x.visit, x.p, CallerUnits::of(units).system);
            },
            py::arg("units"))
        .def(
            "texts",
            [](const OneProof& x, const std::string& units) {
                const UnitSystem system = CallerUnits::of(units).system;
                const ProofTexts texts = proof_texts(*x.visit, x.p, system);
                py::dict out;
                out["verdict"] = texts.verdict;
                out["settling"] = texts.settling;
                out["causes"] = asks_for_causes(x.p)
                                    ? report(x.system, *x.visit, causes_of(x.system, *x.visit, x.p), system)
                                    : std::string();
                out["notes"] = texts.notes;
                out["cautions"] = std::string(cautions);
                return out;
            },
            py::arg("units"));

    m.def("seasons", &seasons_of);

    py::class_<OnePlan>(m, "Plan")
        .def_property_readonly("visit", [](const OnePlan& x) { return std::make_shared<Visit>(x.p.visit); })
        .def_property_readonly("reason", [](const OnePlan& x) { return std::string(name(x.p.reason.why)); })
        .def_property_readonly("chances", [](const OnePlan& x) { return chances_of(x.p); })
        .def_property_readonly("remedies", [](const OnePlan& x) { return list_of(x.p.remedies); })
        .def(
            "report",
            [](const OnePlan& x, const std::string& units) {
                return report(x.system, x.p, CallerUnits::of(units).system);
            },
            py::arg("units"));
    m.def(
        "plan",
        [](const System& system, const std::shared_ptr<Visit>& forecast) {
            return OnePlan{system, plan(system, *forecast)};
        },
        py::arg("system"), py::arg("forecast"));
}
