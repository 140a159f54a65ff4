/// @file
/// Many questions at once: columns in, columns out, in any units of the table, the same bits as one by one.
///
/// Rows are worked off in blocks of 64: air states and leaving states as loops over the block, which a compiler turns
/// into vector code; the page and its steps row by row. Nothing is allocated.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <limits>
#include <span>
#include <string_view>

#include "offnominal/air/columns.hpp"
#include "offnominal/expect/speed.hpp"

namespace offnominal {

/// A column of numbers in some unit: one for each row, or (step 0) one for all.
struct Column {
    const double* data = nullptr;
    std::ptrdiff_t step = 0;
    Unit unit;

    [[nodiscard]] double si(std::size_t row) const noexcept {
        return unit.to_si(data[static_cast<std::ptrdiff_t>(row) * step]);
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

    void set(std::size_t row, double si) const noexcept {
        if (data != nullptr) data[row] = unit.from_si(si);
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
    [[nodiscard]] Conditions conditions(std::size_t row) const noexcept {
        const auto given = [row](const Column& c) { return c.data == nullptr ? Conditions::not_given : c.si(row); };
        Conditions c;
        c.stage = stage.name(row);
        c.match = match.name(row);
        c.speed = given(speed);
        c.outdoor_dry_bulb.si = given(outdoor_dry_bulb);
        c.entering_dry_bulb.si = given(entering_dry_bulb);
        c.entering_humidity = {humidity_kind, given(humidity), {}};
        c.airflow = {airflow_kind, given(airflow), airflow_place};
        if (line == Line::reference) c.line_set = LineSet::reference();
        if (line == Line::given)
            c.line_set = LineSet::of({given(line_length)}, {given(line_suction)}, {given(line_lift)});
        c.boundary = boundary;
        c.fan_power.si = given(fan_power);
        c.outside = outside;
        c.infer = infer;
        return c;
    }
    [[nodiscard]] Site site(std::size_t row) const noexcept {
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
};

}  // namespace offnominal

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {
namespace detail {
inline namespace OFFNOMINAL_ISA {

/// Up to 64 rows on their way through a batch.
class ExpectBlock {
   public:
    static constexpr std::size_t size = 64;

    ExpectBlock(const System& system, const ExpectBatch& batch, const ExpectColumns& out,
                const air::ColumnKernels& kernels) noexcept
        : system_(system), batch_(batch), out_(out), air_(kernels) {}

    void work(std::size_t first, std::size_t rows) noexcept {
        first_ = first;
        rows_ = rows;
        find_frames();
        enter();
        for (std::size_t i = 0; i < rows; ++i) answer(i);
        leave();
    }

   private:
    using Numbers = std::array<double, size>;

    /// What a row's frame depends on: rows in a run that agree share one.
    struct FrameKey {
        std::int32_t stage, match;
        double place, length, suction, lift;
        friend bool operator==(const FrameKey&, const FrameKey&) = default;
    };
    [[nodiscard]] FrameKey key_of(std::size_t row) const noexcept {
        const auto raw = [row](const Column& c) {
            return c.data == nullptr ? 0.0 : c.data[static_cast<std::ptrdiff_t>(row) * c.step];
        };
        return {batch_.stage.at(row),    batch_.match.at(row),     raw(batch_.place),
                raw(batch_.line_length), raw(batch_.line_suction), raw(batch_.line_lift)};
    }

    void find_frames() noexcept {
        std::size_t count = 0;
        FrameKey last{};
        for (std::size_t i = 0; i < rows_; ++i) {
            const FrameKey key = key_of(first_ + i);
            if (count == 0 || !(key == last)) {
                const auto frame = cooling_frame(system_, batch_.site(first_ + i), batch_.conditions(first_ + i));
                frames_[count] = *frame;
                no_frame_[count++] = frame.reason();
                last = key;
            }
            frame_[i] = static_cast<std::uint8_t>(count - 1);
            p_[i] = no_frame_[count - 1].none() ? frames_[count - 1].chain.pressure : air::si::standard_pressure;
        }
    }

    /// Humidity ratios from wet bulbs, for the rows where nothing is near a bound; the others, and other measures of
    /// humidity, are left to `try_state` and its reasons.
    void enter() noexcept {
        plain_.fill(false);
        if (batch_.humidity_kind != air::Humidity::Kind::wet_bulb || batch_.entering_dry_bulb.data == nullptr ||
            batch_.humidity.data == nullptr)
            return;
        Numbers t, wet_bulb, saturated;
        for (std::size_t i = 0; i < rows_; ++i) t[i] = batch_.entering_dry_bulb.si(first_ + i);
        for (std::size_t i = 0; i < rows_; ++i) wet_bulb[i] = batch_.humidity.si(first_ + i);
        air_.humidity_ratios_from_wet_bulbs(rows_, t.data(), wet_bulb.data(), p_.data(), w_.data());
        air_.saturation_humidity_ratios(rows_, t.data(), p_.data(), saturated.data());
        for (std::size_t i = 0; i < rows_; ++i)
            plain_[i] = t[i] >= 0.0 && t[i] <= 60.0 && wet_bulb[i] >= 0.0 && wet_bulb[i] <= t[i] && w_[i] >= 0.0 &&
                        w_[i] <= saturated[i];
    }

    [[nodiscard]] Answer<CoolingQuestion> question(std::size_t i, const CoolingFrame& frame,
                                                   const Conditions& c) const noexcept {
        if (!plain_[i]) return frame.question(c);
        return frame.question(c, air::State{c.entering_dry_bulb, {w_[i]}, {p_[i]}}, c.entering_humidity.value);
    }

    void answer(std::size_t i) noexcept {
        leaves_[i] = false;
        const Conditions c = batch_.conditions(first_ + i);
        if (!std::isnan(c.speed)) return answer_at_speed(i);
        const CoolingFrame& frame = frames_[frame_[i]];
        if (const Reason& reason = no_frame_[frame_[i]]; !reason.none()) return refuse(i, reason);
        const auto q = question(i, frame, c);
        if (!q) return refuse(i, q.reason());
        const auto mass_flow = frame.mass_flow(*q);
        if (!mass_flow) return refuse(i, mass_flow.reason());
        const auto point = frame.at(*q, *mass_flow);
        if (!point) return refuse(i, point.reason());
        tell(i, frame, *q, *point);
    }

    /// Between two pages: as one by one.
    void answer_at_speed(std::size_t i) noexcept {
        const std::size_t row = first_ + i;
        const auto answer = expect_at_speed(system_, batch_.site(row), batch_.conditions(row));
        if (!answer) return refuse(i, answer.reason());
        constexpr double nan = std::numeric_limits<double>::quiet_NaN();
        const Expected& e = *answer;
        const auto set = [row](const OutColumn& column, const std::optional<Power>& power) {
            column.set(row, power ? power->si : nan);
        };
        out_.total_capacity.set(row, e.total_capacity.si);
        set(out_.sensible_capacity, e.sensible_capacity);
        set(out_.latent_capacity, e.latent_capacity);
        set(out_.power, e.power);
        set(out_.system_power, e.system_power);
        out_.uncertainty.set(row, e.uncertainty.combined());
        out_.standard_airflow.set(row, e.standard_airflow.si);
        out_.mass_flow.set(row, e.mass_flow.si);
        out_.bypass.set(row, e.bypass);
        out_.reason[row] = Reason{};
        if (out_.footing != nullptr) out_.footing[row] = e.footing;
        if (out_.notes != nullptr) out_.notes[row] = e.notes;
        leaves_[i] = e.leaving.has_value();
        if (!leaves_[i]) return;
        p_[i] = *batch_.site(row).pressure();
        t2_[i] = e.leaving->dry_bulb.si;
        w2_[i] = e.leaving->humidity_ratio.si;
        t1_[i] = batch_.entering_dry_bulb.si(row);
    }

    /// No answer: NaN in every column, and the reason.
    void refuse(std::size_t i, const Reason& reason) noexcept {
        constexpr double nan = std::numeric_limits<double>::quiet_NaN();
        const std::size_t row = first_ + i;
        for (const OutColumn* column :
             {&out_.total_capacity, &out_.sensible_capacity, &out_.latent_capacity, &out_.power, &out_.system_power,
              &out_.uncertainty, &out_.standard_airflow, &out_.mass_flow, &out_.bypass})
            column->set(row, nan);
        out_.reason[row] = reason;
        if (out_.footing != nullptr) out_.footing[row] = Footing::inside;
        if (out_.notes != nullptr) out_.notes[row] = Notes{};
    }

    void tell(std::size_t i, const CoolingFrame& frame, const CoolingQuestion& q, const CoolingPoint& point) noexcept {
        constexpr double nan = std::numeric_limits<double>::quiet_NaN();
        const std::size_t row = first_ + i;
        const Told told = frame.told(q, point);
        const bool has_sensible = point.has_sensible(), has_power = frame.table().page().has_power;
        out_.total_capacity.set(row, point.total);
        out_.sensible_capacity.set(row, has_sensible ? point.sensible : nan);
        out_.latent_capacity.set(row, has_sensible ? point.total - point.sensible : nan);
        out_.power.set(row, has_power ? point.gross.power : nan);
        out_.system_power.set(row, has_power && frame.adds_fan_power() ? point.gross.power + q.fan_heat : nan);
        out_.uncertainty.set(row, told.uncertainty.combined());
        out_.standard_airflow.set(row, point.page_flow);
        out_.mass_flow.set(row, point.mass_flow);
        out_.bypass.set(row, point.gross.wet.bypass);
        out_.reason[row] = Reason{};
        if (out_.footing != nullptr) out_.footing[row] = point.gross.footing;
        if (out_.notes != nullptr) out_.notes[row] = told.notes;
        if (!has_sensible) return;
        const air::State leaving = leaving_state(q.entering, point.mass_flow, point.total, point.sensible);
        leaves_[i] = leaves_in_domain(leaving);
        if (!leaves_[i]) note_impossible(i);
        t1_[i] = q.entering.dry_bulb.si;
        t2_[i] = leaving.dry_bulb.si;
        w2_[i] = leaving.humidity_ratio.si;
    }

    void note_impossible(std::size_t i) noexcept {
        if (out_.notes != nullptr) out_.notes[first_ + i].add(Note::leaving_impossible);
    }

    /// Leaving wet bulbs and relative humidities of the whole block.
    void leave() noexcept {
        constexpr double nan = std::numeric_limits<double>::quiet_NaN();
        Numbers wet_bulb, humidity, saturated;
        for (std::size_t i = 0; i < rows_; ++i)
            if (!leaves_[i]) t1_[i] = t2_[i] = w2_[i] = 0.0;  // any air will do
        air_.saturation_humidity_ratios(rows_, t2_.data(), p_.data(), saturated.data());
        for (std::size_t i = 0; i < rows_; ++i) {
            if (w2_[i] <= saturated[i]) continue;
            leaves_[i] = false;
            t2_[i] = w2_[i] = 0.0;
            note_impossible(i);
        }
        air_.wet_bulbs(rows_, t2_.data(), w2_.data(), p_.data(), wet_bulb.data());
        air_.relative_humidities(rows_, t2_.data(), w2_.data(), p_.data(), humidity.data());
        for (std::size_t i = 0; i < rows_; ++i) {
            const std::size_t row = first_ + i;
            const bool leaves = leaves_[i];
            out_.leaving_dry_bulb.set(row, leaves ? t2_[i] : nan);
            out_.leaving_wet_bulb.set(row, leaves ? std::min(wet_bulb[i], t2_[i]) : nan);
            out_.leaving_relative_humidity.set(row, leaves ? humidity[i] : nan);
            out_.split.set(row, leaves ? t1_[i] - t2_[i] : nan);
        }
    }

    const System& system_;
    const ExpectBatch& batch_;
    const ExpectColumns& out_;
    const air::ColumnKernels& air_;
    std::size_t first_ = 0, rows_ = 0;
    std::array<CoolingFrame, size> frames_;
    std::array<Reason, size> no_frame_;
    std::array<std::uint8_t, size> frame_{};
    Numbers p_{}, w_{}, t1_{}, t2_{}, w2_{};
    std::array<bool, size> plain_{}, leaves_{};
};

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

inline namespace OFFNOMINAL_ISA {

/// Answers rows `first` to `last` (not included) of a batch, with the bits of `try_expect`. Thread-safe: threads may
/// share a batch and take ranges of it.
///
/// @param kernels  loops over moist air; with the compiled library hand over its `air::fastest_columns()`
inline void expect_rows(const System& system, const ExpectBatch& batch, std::size_t first, std::size_t last,
                        const ExpectColumns& out, const air::ColumnKernels& kernels = air::si::own_columns) noexcept {
    detail::ExpectBlock block(system, batch, out, kernels);
    for (; first < last; first += detail::ExpectBlock::size)
        block.work(first, std::min(detail::ExpectBlock::size, last - first));
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
