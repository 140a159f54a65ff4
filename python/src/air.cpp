// Moist air: a thin layer of numbers in SI, which offnominal/air.py dresses. Arrays have one value or one for each
// point.
#include "offnominal/air.hpp"

#include <array>
#include <string>
#include <tuple>
#include <vector>

#include "common.hpp"
#include "offnominal/site.hpp"

namespace binding {
namespace {

using Array = py::array_t<double, py::array::c_style | py::array::forcecast>;

/// Arrays of one shape, or of one value, read point by point without the interpreter.
template <std::size_t N>
class Points {
   public:
    explicit Points(std::array<Array, N> arrays) : arrays_(std::move(arrays)) {
        const Array* longest = &arrays_[0];
        for (const Array& a : arrays_)
            if (a.size() != 1) longest = &a;
        shape_.assign(longest->shape(), longest->shape() + longest->ndim());
        size_ = longest->size();
        for (std::size_t k = 0; k < N; ++k) {
            if (arrays_[k].size() != 1 && arrays_[k].size() != size_)
                throw py::value_error("arrays of one shape are wanted");
            data_[k] = arrays_[k].data();
            step_[k] = arrays_[k].size() == 1 ? 0 : 1;
        }
    }
    [[nodiscard]] py::ssize_t size() const { return size_; }
    [[nodiscard]] double at(std::size_t k, py::ssize_t i) const { return data_[k][i * step_[k]]; }
    template <class T>
    [[nodiscard]] py::array_t<T> result() const {
        return py::array_t<T>(shape_);
    }

   private:
    std::array<Array, N> arrays_;
    std::vector<py::ssize_t> shape_;
    py::ssize_t size_ = 0;
    std::array<const double*, N> data_{};
    std::array<py::ssize_t, N> step_{};
};

/// A state from numbers in SI.
air::State state(double t, double W, double p) { return {Temperature{t}, HumidityRatio{W}, Pressure{p}}; }

/// Binds `f(air::State) -> double` as a function of dry bulb, humidity ratio and pressure: floats to a float, arrays to
/// an array.
template <class F>
void bind_property(py::module_& m, const char* name, F f) {
    m.def(name, [=](double t, double W, double p) { return f(state(t, W, p)); });
    m.def(name, [=](const Array& t, const Array& W, const Array& p) {
        const Points<3> points({t, W, p});
        auto result = points.result<double>();
        double* const out = result.mutable_data();
        const py::gil_scoped_release release;
        for (py::ssize_t i = 0; i < points.size(); ++i)
            out[i] = f(state(points.at(0, i), points.at(1, i), points.at(2, i)));
        return result;
    });
}

/// What `air.state` was asked, but for the numbers.
struct AirQuestion {
    air::Humidity humidity;

    AirQuestion(const std::string& kind, bool over_water) {
        humidity.kind = humidity_kind(kind);
        humidity.over = over_water ? air::Over::water : air::Over::ashrae;
    }
    [[nodiscard]] Answer<air::State> operator()(double dry_bulb, double measure, double elevation,
                                                double pressure) const noexcept {
        const auto p = Site::at(Length{elevation}, Pressure{pressure}).pressure();
        if (!p) return p.reason();
        return air::try_state(Temperature{dry_bulb}, {humidity.kind, measure, humidity.over}, Pressure{*p});
    }
};

using StateNumbers = std::tuple<double, double, double, bool>;
StateNumbers numbers(const air::State& s) {
    return {s.dry_bulb.si, s.humidity_ratio.si, s.pressure.si, s.saturated_within_tolerance};
}

/// What is answered; or raises Refused with its numbers in the caller's units, and its text behind what stands
/// `before`.
template <class T>
T answered(const Answer<T>& answer, const std::string& units, const std::string& before = {}) {
    const UnitSystem system = CallerUnits::of(units).system;
    if (!answer) raise_refused(answer.reason(), before + explain(answer.reason(), system), system);
    return *answer;
}

/// Dry bulb, humidity ratio, pressure, saturated, why, about: `ask(i)` for each point, NaN where it has a reason.
template <std::size_t N, class F>
py::tuple state_arrays(const Points<N>& points, F ask) {
    auto t = points.template result<double>(), W = points.template result<double>(),
         p = points.template result<double>();
    auto saturated = points.template result<bool>();
    auto why = points.template result<std::uint8_t>(), about = points.template result<std::uint8_t>();
    double *t_out = t.mutable_data(), *W_out = W.mutable_data(), *p_out = p.mutable_data();
    bool* saturated_out = saturated.mutable_data();
    std::uint8_t *why_out = why.mutable_data(), *about_out = about.mutable_data();
    {
        const py::gil_scoped_release release;
        for (py::ssize_t i = 0; i < points.size(); ++i) {
            const Answer<air::State> answer = ask(i);
            const auto [dry_bulb, humidity_ratio, pressure, flag] =
                answer ? numbers(*answer) : StateNumbers{nan, nan, nan, false};
            t_out[i] = dry_bulb;
            W_out[i] = humidity_ratio;
            p_out[i] = pressure;
            saturated_out[i] = flag;
            why_out[i] = static_cast<std::uint8_t>(answer.reason().why);
            about_out[i] = static_cast<std::uint8_t>(answer.reason().about);
        }
    }
    return py::make_tuple(t, W, p, saturated, why, about);
}

StateNumbers state_one(const std::string& kind, bool over_water, const std::string& units, double dry_bulb,
                       double measure, double elevation, double pressure) {
    return numbers(answered(AirQuestion(kind, over_water)(dry_bulb, measure, elevation, pressure), units));
}

py::tuple state_many(const std::string& kind, bool over_water, const Array& dry_bulb, const Array& measure,
                     const Array& elevation, const Array& pressure) {
    const AirQuestion question(kind, over_water);
    const Points<4> points({dry_bulb, measure, elevation, pressure});
    return state_arrays(points, [&](py::ssize_t i) {
        return question(points.at(0, i), points.at(1, i), points.at(2, i), points.at(3, i));
    });
}

Answer<air::State> mixed(const std::array<double, 8>& x) {
    return air::try_mix(MassFlow{x[0]}, state(x[1], x[2], x[3]), MassFlow{x[4]}, state(x[5], x[6], x[7]));
}
StateNumbers mix_one(const std::array<double, 8>& x, const std::string& units) {
    return numbers(answered(mixed(x), units));
}
py::tuple mix_many(const std::array<Array, 8>& x) {
    const Points<8> points(x);
    return state_arrays(points, [&](py::ssize_t i) {
        std::array<double, 8> point{};
        for (std::size_t k = 0; k < point.size(); ++k) point[k] = points.at(k, i);
        return mixed(point);
    });
}

double pressure_one(double elevation, const std::string& units) {
    return answered(air::try_pressure_at(Length{elevation}), units).si;
}
py::array_t<double> pressure_many(const Array& elevation) {
    const Points<1> points({elevation});
    auto result = points.result<double>();
    double* const out = result.mutable_data();
    const py::gil_scoped_release release;
    for (py::ssize_t i = 0; i < points.size(); ++i) {
        const auto answer = air::try_pressure_at(Length{points.at(0, i)});
        out[i] = answer ? answer->si : nan;
    }
    return result;
}

/// Raises why the air of a state has no dew point.
double dew_point_one(double t, double W, double p, const std::string& units) {
    return answered(air::dew_point(state(t, W, p)), units, "air this dry has no dew point: ").si;
}

}  // namespace
}  // namespace binding

void bind_air(pybind11::module_& m) {
    using namespace binding;
    m.def("air_state_one", &state_one);
    m.def("air_state_many", &state_many);
    m.def("air_mix_one", &mix_one);
    m.def("air_mix_many", &mix_many);
    m.def("air_pressure_one", &pressure_one);
    m.def("air_pressure_many", &pressure_many);
    m.def("air_dew_point_one", &dew_point_one);
    bind_property(m, "air_wet_bulb", [](const air::State& s) { return air::wet_bulb(s).si; });
    bind_property(m, "air_wet_bulb_frozen", [](const air::State& s) { return air::wet_bulb(s, air::Wick::frozen).si; });
    bind_property(m, "air_dew_point", [](const air::State& s) {
        const auto answer = air::dew_point(s);
        return answer ? answer->si : binding::nan;
    });
    bind_property(m, "air_relative_humidity", [](const air::State& s) { return air::relative_humidity(s).si; });
    bind_property(m, "air_relative_humidity_over_water",
                  [](const air::State& s) { return air::relative_humidity(s, air::Over::water).si; });
    bind_property(m, "air_enthalpy", [](const air::State& s) { return air::enthalpy(s).si; });
    bind_property(m, "air_volume", [](const air::State& s) { return air::volume(s).si; });
}
