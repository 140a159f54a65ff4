/// @file
/// Up to 64 rows on their way through a batch.
///
/// Each step is taken by all rows before the next. Moist air and the page are worked out by columns, in loops that a
/// compiler turns into vector code, or by kernels handed over; between them the rows go one by one through the same
/// functions as a single question, a short function at a time, so that a processor works on several rows at once.
/// Nothing is allocated.
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>
#include <limits>
#include <span>

#include "offnominal/air/columns.hpp"
#include "offnominal/expect/columns.hpp"
#include "offnominal/expect/speed.hpp"
#include "offnominal/grid/kernels.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

/// Up to 64 rows on their way through a batch.
class ExpectBlock {
   public:
    static constexpr std::size_t size = 64;

    ExpectBlock(const System& system, const ExpectBatch& batch, const ExpectColumns& out, const air::ColumnKernels& air,
                Kernels grid) noexcept
        : system_(system), batch_(batch), out_(out), air_(air), grid_(table_of(grid)) {}

    void work(std::size_t first, std::size_t rows) noexcept {
        first_ = first;
        rows_ = rows;
        find_frames();
        read_conditions();
        for (std::size_t i = 0; i < rows; ++i) enter(i);
        read_pages();
        work_coils();
        for (std::size_t i = 0; i < rows; ++i) conclude(i);
        for (std::size_t i = 0; i < rows; ++i)
            if (open_[i]) frames_[frame_[i]].told(question_[i], point_[i], told_[i]);
        for (std::size_t i = 0; i < rows; ++i)
            if (open_[i]) tell(i);
        leave();
    }

   private:
    using Numbers = std::array<double, size>;

    /// What a row's frame depends on: rows in a run that agree share one. Numbers as bits, so that NaN (not given)
    /// agrees with itself.
    struct FrameKey {
        std::int32_t stage, match;
        std::array<std::uint64_t, 4> numbers;
        friend bool operator==(const FrameKey&, const FrameKey&) = default;
    };
    [[nodiscard]] FrameKey key_of(std::size_t row) const noexcept {
        const auto bits = [row](const Column& c) {
            return c.data == nullptr ? 0
                                     : std::bit_cast<std::uint64_t>(c.data[static_cast<std::ptrdiff_t>(row) * c.step]);
        };
        return {batch_.stage.at(row),
                batch_.match.at(row),
                {bits(batch_.place), bits(batch_.line_length), bits(batch_.line_suction), bits(batch_.line_lift)}};
    }

    [[nodiscard]] bool frame_varies() const noexcept {
        return batch_.stage.step != 0 || batch_.match.step != 0 || batch_.place.step != 0 ||
               batch_.line_length.step != 0 || batch_.line_suction.step != 0 || batch_.line_lift.step != 0;
    }

    void find_frames() noexcept {
        std::size_t count = 0;
        FrameKey last{};
        const bool varies = frame_varies();
        for (std::size_t i = 0; i < rows_; ++i) {
            const FrameKey key = count == 0 || varies ? key_of(first_ + i) : last;
            if (count == 0 || !(key == last)) {
                no_frame_[count] =
                    find_frame(system_, batch_.site(first_ + i), batch_.conditions(first_ + i), frames_[count]);
                ++count;
                last = key;
            }
            frame_[i] = static_cast<std::uint8_t>(count - 1);
            p_[i] = no_frame_[count - 1].none() ? frames_[count - 1].chain.pressure : air::si::standard_pressure;
        }
    }

    /// The conditions in SI; and humidity ratios from wet bulbs, for the rows where nothing is near a bound; the
    /// others, and other measures of humidity, are left to `try_state` and its reasons.
    void read_conditions() noexcept {
        plain_.fill(false);
        batch_.outdoor_dry_bulb.given(first_, {outdoor_.data(), rows_});
        batch_.entering_dry_bulb.given(first_, {t1_.data(), rows_});
        batch_.humidity.given(first_, {wet_bulb_.data(), rows_});
        batch_.airflow.given(first_, {flow_.data(), rows_});
        batch_.fan_power.given(first_, {fan_power_.data(), rows_});
        if (batch_.humidity_kind != air::Humidity::Kind::wet_bulb || batch_.entering_dry_bulb.data == nullptr ||
            batch_.humidity.data == nullptr)
            return;
        Numbers saturated;
        air_.humidity_ratios_from_wet_bulbs(rows_, t1_.data(), wet_bulb_.data(), p_.data(), w_.data());
        air_.saturation_humidity_ratios(rows_, t1_.data(), p_.data(), saturated.data());
        for (std::size_t i = 0; i < rows_; ++i)
            plain_[i] = t1_[i] >= 0.0 && t1_[i] <= 60.0 && wet_bulb_[i] >= 0.0 && wet_bulb_[i] <= t1_[i] &&
                        w_[i] >= 0.0 && w_[i] <= saturated[i];
    }

    /// Takes a row to where its page is read, unless it ends before.
    void enter(std::size_t i) noexcept {
        leaves_[i] = open_[i] = false;
        const std::size_t row = first_ + i;
        if (batch_.speed.data != nullptr && !std::isnan(batch_.speed.si(row))) return answer_at_speed(i);
        const CoolingFrame& frame = frames_[frame_[i]];
        if (const Reason& reason = no_frame_[frame_[i]]; !reason.none()) return refuse(i, reason);
        if (const Reason reason = ask(i, frame, question_[i]); !reason.none()) return refuse(i, reason);
        const auto mass_flow = frame.mass_flow(question_[i]);
        if (!mass_flow) return refuse(i, mass_flow.reason());
        const Reason reason = frame.enter(question_[i], *mass_flow, chain_[i], point_[i]);
        if (!reason.none()) return refuse(i, reason);
        open_[i] = true;
    }

    [[nodiscard]] Reason ask(std::size_t i, const CoolingFrame& frame, CoolingQuestion& out) const noexcept {
        if (plain_[i])
            return frame.question(outdoor_[i], air::State{{t1_[i]}, {w_[i]}, {p_[i]}}, wet_bulb_[i], fan_power_[i],
                                  {batch_.airflow_kind, flow_[i], batch_.airflow_place}, out);
        return frame.question(batch_.conditions(first_ + i), out);
    }

    /// Reads the pages of all open rows: those of one page in a run together.
    void read_pages() noexcept {
        for (std::size_t first = 0, last = 0; first < rows_; first = last) {
            while (last < rows_ && frame_[last] == frame_[first]) ++last;
            std::size_t count = 0;
            for (std::size_t i = first; i < last; ++i)
                if (open_[i]) run_[count++] = i;
            constexpr std::size_t few = 4;  // a kernel's search takes its time whatever their number
            if (count < few || batch_.outside != Outside::refuse)
                for (std::size_t n = 0; n < count; ++n) read_one(run_[n]);
            else
                read_run(frames_[frame_[first]].table(), count);
        }
    }

    void read_one(std::size_t i) noexcept {
        const Reason reason = read_page(*chain_[i].table, chain_[i].page_point(point_[i].humidity), chain_[i].outside,
                                        point_[i].gross.wet.page);
        if (!reason.none()) refuse(i, reason);
    }

    /// Reads one page for the first `count` rows of `run_`.
    void read_run(const RatingTable& table, std::size_t count) noexcept {
        const GridView& grid = table.grid().view();
        std::array<Numbers, page_axes> at;
        for (std::size_t n = 0; n < count; ++n) {
            const PagePoint point = chain_[run_[n]].page_point(point_[run_[n]].humidity);
            for (std::size_t k = 0; k < grid.rank(); ++k) at[k][n] = point[table.axes()[k]];
        }
        PointData points{};
        for (std::size_t k = 0; k < grid.rank(); ++k) {
            snap({at[k].data(), count}, grid.breakpoints(k));
            points.column[k] = at[k].data();
            points.step[k] = 1;
        }
        std::array<double, size * max_outputs> values;
        grid_.evaluate(grid.data(), points, 0, static_cast<std::int64_t>(count), values.data());
        for (std::size_t n = 0; n < count; ++n) {
            const double* const found = values.data() + n * grid.outputs();
            if (std::isnan(found[0])) {  // for the reason
                read_one(run_[n]);
                continue;
            }
            take_reading(found, grid.outputs(), Footing::inside, point_[run_[n]].gross.wet.page);
        }
    }

    /// What `GrossChain::at` does once the page is read, moist air by columns.
    void work_coils() noexcept {
        bool air_needed = false, recomputed = false;
        for (std::size_t i = 0; i < rows_; ++i) {
            if (!open_[i]) continue;
            coil_[i] = chain_[i].derate(point_[i].gross.wet);
            air_needed = air_needed || coil_[i].air_needed;
            recomputed = recomputed || coil_[i].recomputed;
        }
        if (air_needed) find_coil_air(&GrossChain::Coil::here, &GrossChain::pressure);
        if (recomputed) {
            find_coil_air(&GrossChain::Coil::page, &GrossChain::page_pressure);
            for (std::size_t i = 0; i < rows_; ++i) {
                if (!open_[i] || !coil_[i].recomputed) continue;
                const Reason reason = chain_[i].load_coil(point_[i].gross.wet, coil_[i]);
                if (!reason.none()) refuse(i, reason);
            }
            find_apparatus(&GrossChain::Coil::here, &GrossChain::pressure);
            find_apparatus(&GrossChain::Coil::page, &GrossChain::page_pressure);
        }
        for (std::size_t i = 0; i < rows_; ++i)
            if (open_[i]) chain_[i].finish(coil_[i], point_[i].gross.wet);
    }

    using Side = GrossChain::CoilSide GrossChain::Coil::*;
    using Pressure = double GrossChain::*;

    /// Humidity ratios of the air that enters one side of the coil model.
    void find_coil_air(Side side, Pressure pressure) noexcept {
        Numbers t, wet_bulb, p, w;
        std::array<bool, size> together;
        for (std::size_t i = 0; i < rows_; ++i) {
            const bool wanted = open_[i] && coil_[i].air_needed;
            together[i] = wanted && chain_[i].table->humidity() == HumidityAxis::wet_bulb;
            t[i] = together[i] ? chain_[i].reference() : 20.0;  // any air will do
            wet_bulb[i] = together[i] ? point_[i].humidity : 10.0;
            p[i] = together[i] ? chain_[i].*pressure : air::si::standard_pressure;
            if (wanted && !together[i])
                (coil_[i].*side).humidity_ratio = chain_[i].ratio_at(point_[i].humidity, chain_[i].*pressure);
        }
        air_.humidity_ratios_from_wet_bulbs(rows_, t.data(), wet_bulb.data(), p.data(), w.data());
        for (std::size_t i = 0; i < rows_; ++i)
            if (together[i]) (coil_[i].*side).humidity_ratio = w[i];
    }

    /// Apparatus dew points on one side of the coil model.
    void find_apparatus(Side side, Pressure pressure) noexcept {
        Numbers h, p, t, w;
        for (std::size_t i = 0; i < rows_; ++i) {
            const bool wanted = open_[i] && coil_[i].recomputed;
            h[i] = wanted ? (coil_[i].*side).enthalpy : 50e3;
            p[i] = wanted ? chain_[i].*pressure : air::si::standard_pressure;
        }
        air_.saturation_temperatures_from_enthalpies(rows_, h.data(), p.data(), t.data());
        air_.saturation_humidity_ratios(rows_, t.data(), p.data(), w.data());
        for (std::size_t i = 0; i < rows_; ++i) (coil_[i].*side).apparatus = {t[i], w[i]};
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
        open_[i] = false;
        constexpr double nan = std::numeric_limits<double>::quiet_NaN();
        const std::size_t row = first_ + i;
        for (const OutColumn* column : out_.numbers()) column->set(row, nan);
        out_.reason[row] = reason;
        if (out_.footing != nullptr) out_.footing[row] = Footing::inside;
        if (out_.notes != nullptr) out_.notes[row] = Notes{};
    }

    void conclude(std::size_t i) noexcept {
        if (!open_[i]) return;
        const Reason reason = frames_[frame_[i]].conclude(question_[i], chain_[i], point_[i]);
        if (!reason.none()) refuse(i, reason);
    }

    /// What is told of an open row but for its leaving air.
    void tell(std::size_t i) noexcept {
        constexpr double nan = std::numeric_limits<double>::quiet_NaN();
        const std::size_t row = first_ + i;
        const CoolingFrame& frame = frames_[frame_[i]];
        const CoolingQuestion& q = question_[i];
        const CoolingPoint& point = point_[i];
        const Told& told = told_[i];
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
        for (const OutColumn* column : out_.numbers()) column->convert(first_, rows_);
    }

    const System& system_;
    const ExpectBatch& batch_;
    const ExpectColumns& out_;
    const air::ColumnKernels& air_;
    const KernelTable& grid_;
    std::size_t first_ = 0, rows_ = 0;
    std::array<CoolingFrame, size> frames_;
    std::array<Reason, size> no_frame_;
    std::array<std::uint8_t, size> frame_{};
    Numbers outdoor_, wet_bulb_, flow_, fan_power_, p_{}, w_{}, t1_{}, t2_{}, w2_{};
    std::array<bool, size> plain_{}, open_{}, leaves_{};
    std::array<CoolingQuestion, size> question_;
    std::array<GrossChain, size> chain_;
    std::array<GrossChain::Coil, size> coil_;
    std::array<CoolingPoint, size> point_;
    std::array<Told, size> told_;
    std::array<std::size_t, size> run_{};
};

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
