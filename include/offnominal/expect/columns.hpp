/// @file
/// The columns of a batch of questions and of its answers.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>

#include "offnominal/answer.hpp"
#include "offnominal/conditions.hpp"
#include "offnominal/site.hpp"

namespace offnominal {

/// A column of numbers in some unit: one for each row, or (step 0) one for all.
struct Column {
    const double* data = nullptr;
    std::ptrdiff_t step = 0;
    Unit unit;

    [[nodiscard]] OFFNOMINAL_INLINE double si(std::size_t row) const noexcept {
        return unit.to_si(data[static_cast<std::ptrdiff_t>(row) * step]);
    }
    /// The same; NaN (not given) where there is no column.
    [[nodiscard]] OFFNOMINAL_INLINE double given(std::size_t row) const noexcept {
        return data == nullptr ? Conditions::not_given : si(row);
    }
    /// Rows from `first` on, as `given` has them.
    OFFNOMINAL_INLINE void given(std::size_t first, std::span<double> out) const noexcept {
        if (data == nullptr) return std::fill(out.begin(), out.end(), Conditions::not_given);
        for (std::size_t i = 0; i < out.size(); ++i) out[i] = si(first + i);
    }
};

/// A column of keys: numbers into a list of names, one for each row, or (step 0) one for all.
struct KeyColumn {
    std::span<const std::string_view> names;
    const std::int32_t* code = nullptr;
    std::ptrdiff_t step = 0;

    /// The code of a row; -1 without a column.
    [[nodiscard]] std::int32_t at(std::size_t row) const noexcept {
        return code == nullptr ? -1 : code[static_cast<std::ptrdiff_t>(row) * step];
    }
    /// The name of a row; empty (not given) without a column or for a code that is none.
    [[nodiscard]] std::string_view name(std::size_t row) const noexcept {
        const std::int32_t c = at(row);
        return c >= 0 && static_cast<std::size_t>(c) < names.size() ? names[static_cast<std::size_t>(c)]
                                                                    : std::string_view{};
    }
};

/// A column to be filled, or (null) not wanted. NaN stands where there is no answer.
struct OutColumn {
    double* data = nullptr;
    Unit unit;

    /// Puts a number down in SI. Once `convert` has been over it, it stands in the column's unit.
    void set(std::size_t row, double si) const noexcept {
        if (data != nullptr) data[row] = si;
    }
    OFFNOMINAL_INLINE void convert(std::size_t first, std::size_t rows) const noexcept {
        if (data == nullptr) return;
        if (unit.times == 1.0 && unit.over == 1.0)  // the same without a division
            for (std::size_t i = first; i < first + rows; ++i) data[i] += unit.offset;
        else
            for (std::size_t i = first; i < first + rows; ++i) data[i] = unit.from_si(data[i]);
    }
};

/// Questions to one system that share boundary, meanings and policies. What is not given has a null column.
struct ExpectBatch {
    enum class Line : std::uint8_t { not_given, reference, given };

    KeyColumn stage, match;
    Column outdoor_dry_bulb, entering_dry_bulb, humidity, airflow, place, fan_power;
    Column line_length, line_suction, line_lift;  ///< for Line::given
    Column speed;                                 ///< instead of a stage, where it is not NaN
    air::Humidity::Kind humidity_kind = air::Humidity::Kind::wet_bulb;
    AirflowReading::Kind airflow_kind = AirflowReading::Kind::not_given;
    air::Place airflow_place = air::Place::return_air;
    bool by_pressure = false;  ///< `place` holds station pressures, else elevations
    Line line = Line::not_given;
    Boundary boundary = Boundary::not_given;
    Outside outside = Outside::refuse;
    bool infer = false;

    /// The question of one row, as `try_expect` takes it.
    [[nodiscard]] OFFNOMINAL_INLINE Conditions conditions(std::size_t row) const noexcept {
        Conditions c;
        c.stage = stage.name(row);
        c.match = match.name(row);
        c.speed = speed.given(row);
        c.outdoor_dry_bulb.si = outdoor_dry_bulb.given(row);
        c.entering_dry_bulb.si = entering_dry_bulb.given(row);
        c.entering_humidity = {humidity_kind, humidity.given(row), {}};
        c.airflow = {airflow_kind, airflow.given(row), airflow_place};
        if (line == Line::reference) c.line_set = LineSet::reference();
        if (line == Line::given)
            c.line_set = LineSet::of({line_length.given(row)}, {line_suction.given(row)}, {line_lift.given(row)});
        c.boundary = boundary;
        c.fan_power.si = fan_power.given(row);
        c.outside = outside;
        c.infer = infer;
        return c;
    }
    [[nodiscard]] OFFNOMINAL_INLINE Site site(std::size_t row) const noexcept {
        if (place.data == nullptr) return Site::not_given();
        return by_pressure ? Site::at_pressure({place.si(row)}) : Site::at_elevation({place.si(row)});
    }
};

/// Answers to a batch, row by row.
struct ExpectColumns {
    OutColumn total_capacity, sensible_capacity, latent_capacity, power, system_power;
    OutColumn leaving_dry_bulb, leaving_wet_bulb, leaving_relative_humidity, split;
    OutColumn uncertainty, standard_airflow, mass_flow, bypass;
    Reason* reason = nullptr;  ///< must be there
    Footing* footing = nullptr;
    Notes* notes = nullptr;

    /// The columns of numbers.
    [[nodiscard]] std::array<const OutColumn*, 13> numbers() const noexcept {
        return {&total_capacity, &sensible_capacity, &latent_capacity,  &power,
                &system_power,   &leaving_dry_bulb,  &leaving_wet_bulb, &leaving_relative_humidity,
                &split,          &uncertainty,       &standard_airflow, &mass_flow,
                &bypass};
    }
};

}  // namespace offnominal
