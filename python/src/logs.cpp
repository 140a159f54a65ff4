// Readings over time, in SI; offnominal/_logs.py has the caller's units.
#include <optional>
#include <vector>

#include "common.hpp"
#include "offnominal/field/calibration.hpp"
#include "offnominal/field/compare.hpp"
#include "offnominal/field/duct.hpp"
#include "offnominal/field/mean.hpp"
#include "offnominal/field/series.hpp"
#include "offnominal/files.hpp"

namespace binding {
namespace {

using Numbers = std::vector<double>;

Numbers numbers_of(const py::array_t<double, py::array::c_style | py::array::forcecast>& array) {
    return {array.data(), array.data() + array.size()};
}

py::dict dict_of(const SeriesMean& m) {
    py::dict out;
    out["value"] = m.value;
    out["standard"] = m.standard;
    out["degrees_of_freedom"] = m.degrees_of_freedom;
    out["effective_samples"] = m.effective_samples;
    out["deviation"] = m.deviation;
    out["samples"] = m.samples;
    return out;
}

/// What a caller may choose of the criteria; the limits are those of the library.
SteadyCriteria criteria_of(const std::string& mode, double window, double valve_swing, double least_running,
                           double longest_gap) {
    SteadyCriteria out;
    out.mode = choose<Mode>("mode", mode);
    out.window = Duration{window};
    out.valve_swing = Duration{valve_swing};
    out.least_running = Duration{least_running};
    out.longest_gap = Duration{longest_gap};
    return out;
}

/// A window, with the name and kind of each watched signal and the kind of its changes.
py::dict dict_of(const SteadyWindow& w, Duration wait) {
    py::dict out, signals;
    for (const SignalWords& signal : words_of<Signal>) {
        const SignalSpan& of = w.of[static_cast<std::size_t>(signal.value)];
        if (std::isnan(of.mean)) continue;
        signals[py::str(std::string(signal.word))] =
            py::make_tuple(std::string(name(signal.kind)), std::string(name(signal.change)), of.mean, of.drift,
                           of.range, of.greatest_drift, of.greatest_range);
    }
    const bool of_signal = w.why == Unsteady::drift || w.why == Unsteady::range;
    out["why"] = std::string(name(w.why));
    out["text"] = (of_signal ? std::string(name(w.signal)) + " " : std::string()) + std::string(row_of(w.why)->text);
    out["signal"] = of_signal ? std::string(name(w.signal)) : std::string();
    out["begin"] = w.begin;
    out["end"] = w.end;
    out["samples"] = w.samples;
    out["wait"] = wait.si;
    out["signals"] = signals;
    return out;
}

Log log_of(const Numbers& times, const std::vector<std::pair<std::string, Numbers>>& series,
           const std::vector<std::pair<std::string, std::vector<std::string>>>& words) {
    Log out;
    out.times = times;
    for (const auto& [name, values] : series) out.series.push_back({name, {}, values});
    for (const auto& [name, values] : words) out.words.push_back({name, values});
    return out;
}

py::dict dict_of(const Log& log) {
    py::dict out, series, words;
    py::list flaws;
    for (const Series& one : log.series)
        series[py::str(one.name)] =
            py::make_tuple(py::array_t<double>(static_cast<py::ssize_t>(one.values.size()), one.values.data()),
                           std::string(one.unit.name), std::string(name(one.unit.dimension)));
    for (const WordSeries& one : log.words) words[py::str(one.name)] = one.words;
    for (const LogFlaw& flaw : log.flaws) flaws.append(py::make_tuple(flaw.line, flaw.column, flaw.text, flaw.problem));
    out["name"] = path_object(log.name);
    out["preamble"] = log.preamble;
    out["dated"] = log.dated;
    out["times"] = py::array_t<double>(static_cast<py::ssize_t>(log.times.size()), log.times.data());
    out["series"] = series;
    out["words"] = words;
    out["flaws"] = flaws;
    return out;
}

py::dict find_window(const Log& log, double elevation, double pressure, const SteadyCriteria& criteria, double running,
                     const Numbers& changes) {
    LogSignals of = signals_of(log, Site::at(Length{elevation}, Pressure{pressure}), criteria);
    of.changes.insert(of.changes.end(), changes.begin(), changes.end());
    const SteadySearch found = steady_window(log.times, of.signals, of.changes, of.criteria, Duration{running});
    return dict_of(found.window, found.wait);
}

/// A watch of which the first reading says what is watched.
class Watch {
   public:
    Watch(double elevation, double pressure, const SteadyCriteria& criteria, double running)
        : site_(Site::at(Length{elevation}, Pressure{pressure})),
          running_(running),
          watch_(criteria, Duration{running}) {}

    bool add(double time, const std::vector<std::pair<std::string, Numbers>>& readings) {
        const LogSignals of = signals_of(log_of({time}, readings, {}), site_, watch_.criteria());
        if (!begun_) {
            watch_ = SteadyWatch(of.criteria, Duration{running_});
            if (changed_) watch_.change(*changed_);
            begun_ = true;
        } else if (of.criteria.watched != watch_.criteria().watched) {
            throw py::value_error("each reading has what the first had; a missing one is NaN");
        }
        return watch_.add(time, of.signals.front()).steady();
    }
    void change(double time) {
        watch_.change(time);
        if (!begun_) changed_ = time;
    }
    [[nodiscard]] py::dict window() const { return dict_of(watch_.window(), watch_.wait()); }

   private:
    Site site_;
    double running_;
    SteadyWatch watch_;
    bool begun_ = false;
    std::optional<double> changed_;
};

py::dict compare_columns(const Numbers& times, const Numbers& first, const Numbers& second, double agreement,
                         const std::string& dimension, double first_standard, double second_standard) {
    ProbeCriteria criteria;
    if (std::isnan(agreement))
        criteria = ProbeCriteria::of(choose<Dimension>("dimension", dimension));
    else
        criteria.agreement = agreement;
    criteria.first = first_standard;
    criteria.second = second_standard;
    const ProbeComparison c = compare_probes(times, first, second, criteria);
    py::dict out = dict_of(c.offset);
    out["offset"] = c.offset.value;
    out["drift"] = c.drift;
    out["drift_standard"] = c.drift_standard;
    out["log_correlation"] = c.log_correlation;
    out["own"] = c.own;
    out["correlation"] = c.correlation;
    const auto& finding = *row_of(c.finding);
    out["finding"] = std::string(finding.word);
    out["advice"] = std::string(name(finding.advice));
    out["text"] = std::string(finding.text);
    return out;
}

}  // namespace
}  // namespace binding

void bind_logs(pybind11::module_& m) {
    using namespace binding;
    py::class_<Log>(m, "LogData").def(py::init(&log_of)).def("told", [](const Log& log) { return dict_of(log); });
    py::class_<SteadyCriteria>(m, "SteadyCriteria").def(py::init(&criteria_of));
    py::dict kinds;
    for (const SignalWords& signal : words_of<Signal>)
        kinds[py::str(std::string(signal.word))] = std::string(name(signal.kind));
    m.attr("signal_kinds") = kinds;
    m.def("series_mean", [](const py::array_t<double, py::array::c_style | py::array::forcecast>& x) {
        return dict_of(mean_of(numbers_of(x)));
    });
    m.def("combined", [](const std::vector<std::pair<double, double>>& parts) {
        std::vector<UncertaintyPart> all;
        for (const auto& [standard, degrees] : parts) all.push_back({standard, degrees});
        const UncertaintyPart out = combined(all);
        return std::pair(out.standard, out.degrees_of_freedom);
    });
    m.def("coverage_factor", &coverage_factor);
    m.def("duct_mean",
          [](const Numbers& readings, const Numbers& velocities, double velocity_uncertainty, double shared) {
              const DuctMean d = duct_mean(readings, velocities, velocity_uncertainty, shared);
              py::dict out;
              out["value"] = d.value;
              out["spread"] = d.spread;
              out["standard"] = d.standard;
              out["degrees_of_freedom"] = d.degrees_of_freedom;
              out["probes"] = d.probes;
              out["few"] = d.few;
              return out;
          });
    m.def("compare_probes", &compare_columns);
    m.def("calibration_note",
          [](const std::string& on, const std::string& calibrated, int months, const std::string& of) {
              return calibration_note(of, calibration_on(on, calibrated, months));
          });
    m.def("valve_swing", [](const Numbers& times, const Numbers& readings, double least) {
        return valve_swing(times, readings, least).si;
    });
    m.def("steady_window", &find_window);

    m.def("load_log",
          [](const std::string& path, const std::string& date_order, const std::string& flaws, double ahead) {
              LogFormat format;
              format.date_order = choose<LogFormat::DateOrder>("date_order", date_order);
              format.flaws = choose<LogFormat::Flaws>("flaws", flaws);
              format.clock_ahead = Duration{ahead};
              return load_log(path, format);
          });
    m.def("aligned",
          [](const std::vector<Log>& logs, double longest_gap) { return aligned(logs, Duration{longest_gap}); });

    py::class_<Watch>(m, "Watch")
        .def(py::init<double, double, const SteadyCriteria&, double>())
        .def("add", &Watch::add)
        .def("change", &Watch::change)
        .def("window", &Watch::window);
}
