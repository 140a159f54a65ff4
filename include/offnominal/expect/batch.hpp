/// @file
/// Many questions at once: columns in, columns out, in any units of the table, the same bits as one by one.
///
/// Up to 64 rows go through together, each step taken by all rows before the next. Moist air and the page are worked
/// out by columns, in loops that a compiler turns into vector code, or by kernels handed over; between them the rows go
/// one by one through the same functions as a single question, a short function at a time, so that a processor works on
/// several rows at once. Nothing is allocated.
#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string_view>
#include <utility>

#include "offnominal/air/columns.hpp"
#include "offnominal/column.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/expect/speed.hpp"
#include "offnominal/grid/kernels.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

/// Questions to one system that share mode, boundary, meanings and policies: `values` but for its numbers, which stand
/// in columns. What is not given has a null column.
struct ExpectBatch {
    enum class Line : std::uint8_t { not_given, reference, given, modelled };

    ConditionValues values;  ///< mode, boundary, frost, outside, infer; what humidity and airflow mean
    KeyColumn stage, match;
    std::array<Column, slot_count> numbers;
    Line line = Line::not_given;
    std::optional<Fittings> fittings;  ///< of a line that is given: then its length is the tubing's alone

    [[nodiscard]] const Column& operator[](Slot slot) const noexcept { return numbers[static_cast<std::size_t>(slot)]; }
    [[nodiscard]] Column& operator[](Slot slot) noexcept { return numbers[static_cast<std::size_t>(slot)]; }

    /// The number of one row in SI; NaN (not given) without a column.
    [[nodiscard]] OFFNOMINAL_INLINE double given(Slot slot, std::size_t row) const noexcept {
        return (*this)[slot].given(row);
    }
    /// The question of one row, but for its names.
    [[nodiscard]] OFFNOMINAL_INLINE ConditionValues values_of(std::size_t row) const noexcept {
        ConditionValues c = values;
        c.speed = {given(Slot::speed, row), (*this)[Slot::speed].unit};
        c.outdoor_dry_bulb.si = given(Slot::outdoor_dry_bulb, row);
        c.entering_dry_bulb.si = given(Slot::entering_dry_bulb, row);
        c.entering_humidity.value = given(Slot::entering_humidity, row);
        c.airflow.si = given(Slot::airflow, row);
        if (line == Line::reference) c.line_set = LineSet::reference();
        if (line == Line::given || line == Line::modelled) {
            c.line_set = LineSet::of(Length{given(Slot::line_length, row)}, Length{given(Slot::line_suction, row)},
                                     Length{given(Slot::line_lift, row)}, Length{given(Slot::line_liquid, row)});
            if (fittings) c.line_set = c.line_set->with(*fittings);
            if (line == Line::modelled) c.line_set = c.line_set->modelled();
        }
        c.fan_power.si = given(Slot::fan_power, row);
        c.outdoor_relative_humidity = given(Slot::outdoor_humidity, row);
        c.auxiliary_heat.si = given(Slot::auxiliary_heat, row);
        return c;
    }
    /// The question of one row, as `try_expect` takes it.
    [[nodiscard]] OFFNOMINAL_INLINE Conditions conditions(std::size_t row) const {
        return {values_of(row), std::string(stage.name(row)), std::string(match.name(row))};
    }
    [[nodiscard]] OFFNOMINAL_INLINE Site site(std::size_t row) const noexcept {
        return Site::at(Length{given(Slot::elevation, row)}, Pressure{given(Slot::pressure, row)});
    }
};

template <>
inline constexpr Word<ExpectBatch::Line> words_of<ExpectBatch::Line>[] = {{ExpectBatch::Line::not_given, ""},
                                                                          {ExpectBatch::Line::reference, "reference"},
                                                                          {ExpectBatch::Line::given, "given"},
                                                                          {ExpectBatch::Line::modelled, "modelled"}};

/// Answers to a batch, row by row: a column for each number of `told_of<ExpectedValues>`.
struct ExpectColumns {
    ToldColumns<ExpectedValues> numbers;
    Reason* reason = nullptr;  ///< must be there
    Footing* footing = nullptr;
    Notes* notes = nullptr;

    /// Whether the column of that name is to be filled.
    [[nodiscard]] OFFNOMINAL_INLINE bool wants(std::string_view name) const noexcept {
        for (std::size_t k = 0; k < numbers.size(); ++k)
            if (told_of<ExpectedValues>[k].name == name) return numbers[k].data != nullptr;
        return false;
    }
    /// The column of that name. @throws std::out_of_range if there is none
    [[nodiscard]] OFFNOMINAL_INLINE OutColumn& operator[](std::string_view name) {
        for (std::size_t k = 0; k < numbers.size(); ++k)
            if (told_of<ExpectedValues>[k].name == name) return numbers[k];
        detail::raise(std::out_of_range("no such column: " + std::string(name)));
    }
};

namespace detail {
inline namespace OFFNOMINAL_ISA {

/// Up to 64 rows on their way through a batch.
class ExpectBlock {
   public:
    static constexpr std::size_t size = 64;

    ExpectBlock(const System& system, const ExpectBatch& batch, const ExpectColumns& out, const air::ColumnKernels& air,
                Kernels grid) noexcept
        : system_(system),
          batch_(batch),
          out_(out),
          air_(air),
          grid_(table_of(grid)),
          doubts_(out.notes != nullptr || out.wants("uncertainty")),
          leaving_(out.notes != nullptr || tells_leaving(out)),
          wet_bulbs_(out.wants("leaving_wet_bulb")),
          humidities_(out.wants("leaving_relative_humidity")) {}

    void work(std::size_t first, std::size_t rows) noexcept {
        first_ = first;
        rows_ = rows;
        find_frames();
        read_conditions();
        for (std::size_t i = 0; i < rows; ++i) enter(i);
        read_pages();
        work_coils();
        for (std::size_t i = 0; i < rows; ++i) conclude(i);
        for (std::size_t i = 0; i < rows && doubts_; ++i)
            if (open_[i]) frames_[frame_[i]].doubt(situation_[i], numbers_[i], told_[i].uncertainty, told_[i].notes);
        for (std::size_t i = 0; i < rows; ++i)
            if (open_[i]) tell(i);
        if (leaving_) leave();
        write_columns<ExpectedValues>(out_.numbers, first_, told_.data(), rows_, answered_.data());
    }

    /// Whether rows of one frame that differ in humidity alone, the moister one first, share the knee of a dry coil:
    /// see `FoundKnee`.
    void share_knees(bool share) noexcept { knee_of_ = share ? 0 : none_shared; }

   private:
    using Numbers = std::array<double, size>;

    /// Whether a column that is wanted holds anything where there is leaving air, and nothing where there is none.
    [[nodiscard]] static bool tells_leaving(const ExpectColumns& out) noexcept {
        ExpectedValues without, with;
        with.leaving =
            LeavingAir{Temperature{15.0}, Temperature{14.0}, HumidityRatio{0.01}, 0.9, TemperatureDifference{10.0}};
        for (std::size_t k = 0; k < out.numbers.size(); ++k) {
            const auto of = told_of<ExpectedValues>[k].of;
            if (out.numbers[k].data != nullptr && real::is_nan(of(without)) != real::is_nan(of(with))) return true;
        }
        return false;
    }

    /// What a row's frame depends on: rows that agree share one. Numbers as bits, so that NaN (not given)
    /// agrees with itself.
    struct FrameKey {
        std::int32_t stage, match;
        std::array<std::uint64_t, 6> numbers;
        friend bool operator==(const FrameKey&, const FrameKey&) = default;
    };
    [[nodiscard]] FrameKey key_of(std::size_t row) const noexcept {
        const auto bits = [row](const Column& c) {
            return c.data == nullptr
                       ? 0
                       : __builtin_bit_cast(std::uint64_t, c.data[static_cast<std::ptrdiff_t>(row) * c.step]);
        };
        return {batch_.stage.at(row),
                batch_.match.at(row),
                {bits(batch_[Slot::elevation]), bits(batch_[Slot::pressure]), bits(batch_[Slot::line_length]),
                 bits(batch_[Slot::line_suction]), bits(batch_[Slot::line_lift]), bits(batch_[Slot::line_liquid])}};
    }

    [[nodiscard]] bool frame_varies() const noexcept {
        const auto varies = [this](Slot slot) { return batch_[slot].step != 0; };
        return batch_.stage.step != 0 || batch_.match.step != 0 || varies(Slot::elevation) || varies(Slot::pressure) ||
               varies(Slot::line_length) || varies(Slot::line_suction) || varies(Slot::line_lift) ||
               varies(Slot::line_liquid);
    }

    /// So many frames are kept from block to block: rows that go to and fro between a few stages, matches and sites
    /// cost little more than rows that are sorted by them.
    static constexpr std::size_t kept = 8;

    void find_frames() noexcept {
        if (count_ > kept) {  // too many to look among: only the last goes on
            keys_[0] = keys_[last_frame_];
            frames_[0] = frames_[last_frame_];
            no_frame_[0] = no_frame_[last_frame_];
            serial_[0] = serial_[last_frame_];
            last_frame_ = 0;
            count_ = 1;
        }
        const bool varies = frame_varies();
        for (std::size_t i = 0; i < rows_; ++i) {
            if (count_ == 0 || varies) last_frame_ = frame_of(first_ + i);
            frame_[i] = static_cast<std::uint8_t>(last_frame_);
            p_[i] = no_frame_[last_frame_].none() ? frames_[last_frame_].chain.pressure : air::si::standard_pressure;
        }
    }

    /// Where the frame of a row stands: the last one's, one that is kept, or a new one.
    [[nodiscard]] std::size_t frame_of(std::size_t row) noexcept {
        const FrameKey key = key_of(row);
        if (count_ != 0 && keys_[last_frame_] == key) return last_frame_;
        for (std::size_t k = 0; k < (std::min)(count_, kept); ++k)
            if (keys_[k] == key) return k;
        keys_[count_] = key;
        no_frame_[count_] = find_frame_of(row, frames_[count_]);
        serial_[count_] = ++found_;
        return count_++;
    }

    [[nodiscard]] Reason find_frame_of(std::size_t row, Frame& frame) const noexcept {
        ConditionValues values = batch_.values_of(row);
        values.speed = {};  // a row with a speed goes its own way
        return find_frame(system_, batch_.site(row), {values, batch_.stage.name(row), batch_.match.name(row)}, frame);
    }

    /// The conditions in SI; and humidity ratios from wet bulbs, for the rows where nothing is near a bound; the
    /// others, and other measures of humidity, are left to `try_state` and its reasons.
    void read_conditions() noexcept {
        plain_.fill(false);
        if (batch_.values.mode == Mode::heating) return;
        const auto read = [this](Slot slot, Numbers& out) { batch_[slot].given(first_, {out.data(), rows_}); };
        read(Slot::outdoor_dry_bulb, outdoor_);
        read(Slot::entering_dry_bulb, t1_);
        read(Slot::entering_humidity, wet_bulb_);
        read(Slot::airflow, flow_);
        read(Slot::fan_power, fan_power_);
        if (batch_.values.entering_humidity.kind != air::Humidity::Kind::wet_bulb ||
            batch_[Slot::entering_dry_bulb].data == nullptr || batch_[Slot::entering_humidity].data == nullptr)
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
        if (const Column& speed = batch_[Slot::speed]; speed.data != nullptr && !real::is_nan(speed.si(first_ + i)))
            return answer_at_speed(i);
        const Frame& frame = frames_[frame_[i]];
        if (const Reason& reason = no_frame_[frame_[i]]; !reason.none()) return refuse(i, reason);
        if (const Reason reason = ask(i, frame, situation_[i]); !reason.none()) return refuse(i, reason);
        const auto mass_flow = frame.mass_flow(situation_[i]);
        if (!mass_flow) return refuse(i, mass_flow.reason());
        if (std::size_t& of = chain_of_[i]; of != serial_[frame_[i]]) {
            chain_[i] = frame.chain;
            of = serial_[frame_[i]];
        }
        const Reason reason = frame.enter(situation_[i], *mass_flow, chain_[i], numbers_[i]);
        if (!reason.none()) return refuse(i, reason);
        open_[i] = answered_[i] = true;
    }

    [[nodiscard]] Reason ask(std::size_t i, const Frame& frame, Situation& out) const noexcept {
        if (!plain_[i]) return frame.situation(batch_.values_of(first_ + i), out);
        const AirflowReading& airflow = batch_.values.airflow;
        return frame.situation(outdoor_[i],
                               air::State{Temperature{t1_[i]}, HumidityRatio{w_[i]}, offnominal::Pressure{p_[i]}},
                               wet_bulb_[i], fan_power_[i], {airflow.kind, flow_[i], airflow.place}, out);
    }

    /// Reads the pages of all open rows: those of one frame together, where frames are few or rows stand in a run.
    void read_pages() noexcept {
        if (count_ <= kept)
            for (std::size_t f = 0; f < count_; ++f) read_rows(f, 0, rows_);
        else
            for (std::size_t first = 0, last = 0; first < rows_; first = last) {
                while (last < rows_ && frame_[last] == frame_[first]) ++last;
                read_rows(frame_[first], first, last);
            }
    }

    /// Reads the page for the open rows of one frame, from `first` to `last` (not included).
    void read_rows(std::size_t f, std::size_t first, std::size_t last) noexcept {
        std::size_t count = 0;
        for (std::size_t i = first; i < last; ++i)
            if (open_[i] && frame_[i] == f) run_[count++] = i;
        constexpr std::size_t few = 4;  // a kernel's search takes its time whatever their number
        if (count < few || !frames_[f].chain.outside.refuse())
            for (std::size_t n = 0; n < count; ++n) read_one(run_[n]);
        else
            read_run(frames_[f], count);
    }

    void read_one(std::size_t i) noexcept {
        const Frame& frame = frames_[frame_[i]];
        const PagePoint at = frame.entered(situation_[i], chain_[i], numbers_[i]);
        PageReading& out = numbers_[i].gross.wet.page;
        const Edges outside = frame.chain.outside;
        const Reason reason = frame.heats() ? frame.heating.read(at[PageAxis::outdoor_dry_bulb], at[PageAxis::airflow],
                                                                 at[PageAxis::entering_dry_bulb], outside, out)
                                            : read_page(frame.table(), at, outside, out);
        if (!reason.none()) refuse(i, reason);
    }

    /// Reads one page for the first `count` rows of `run_`.
    void read_run(const Frame& frame, std::size_t count) noexcept {
        const PageAxis* const axes = frame.heats() ? heating_page_axes.data() : frame.table().axes().begin();
        const GridView& grid = frame.grid().view();
        std::array<Numbers, page_axes> at;
        for (std::size_t n = 0; n < count; ++n) {
            const std::size_t i = run_[n];
            const PagePoint point = frame.entered(situation_[i], chain_[i], numbers_[i]);
            for (std::size_t k = 0; k < grid.rank(); ++k) at[k][n] = point[axes[k]];
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
            PageReading& out = numbers_[run_[n]].gross.wet.page;
            if (real::is_nan(found[0]))
                read_one(run_[n]);  // for the reason
            else if (frame.heats())
                HeatingChain::take(found[0], found[1], Footing::inside, out);
            else
                take_reading(found, grid.outputs(), Footing::inside, out);
        }
    }

    /// What `CoolingChain::at` does once the page is read, moist air by columns.
    void work_coils() noexcept {
        if (batch_.values.mode == Mode::heating) return;
        bool air_needed = false, recomputed = false;
        for (std::size_t i = 0; i < rows_; ++i) {
            if (!open_[i]) continue;
            coil_[i] = chain_[i].derate(numbers_[i].gross.wet);
            air_needed = air_needed || coil_[i].air_needed;
            recomputed = recomputed || coil_[i].recomputed;
        }
        if (air_needed) find_coil_air(&CoolingChain::Coil::here, &CoolingChain::pressure);
        if (recomputed) {
            find_coil_air(&CoolingChain::Coil::page, &CoolingChain::page_pressure);
            for (std::size_t i = 0; i < rows_; ++i) {
                if (!open_[i] || !coil_[i].recomputed) continue;
                const Reason reason = chain_[i].load_coil(numbers_[i].gross.wet, coil_[i]);
                if (!reason.none()) refuse(i, reason);
            }
            find_apparatus(&CoolingChain::Coil::here, &CoolingChain::pressure);
            find_apparatus(&CoolingChain::Coil::page, &CoolingChain::page_pressure);
        }
        for (std::size_t i = 0; i < rows_; ++i)
            if (open_[i]) chain_[i].finish(coil_[i], numbers_[i].gross.wet);
    }

    using Side = CoolingChain::CoilSide CoolingChain::Coil::*;
    using Pressure = double CoolingChain::*;

    /// Humidity ratios of the air that enters one side of the coil model.
    void find_coil_air(Side side, Pressure pressure) noexcept {
        Numbers t, wet_bulb, p, w;
        std::array<bool, size> together;
        for (std::size_t i = 0; i < rows_; ++i) {
            const bool wanted = open_[i] && coil_[i].air_needed;
            together[i] = wanted && chain_[i].table->humidity() == HumidityAxis::wet_bulb;
            t[i] = together[i] ? chain_[i].reference() : 20.0;  // any air will do
            wet_bulb[i] = together[i] ? numbers_[i].humidity : 10.0;
            p[i] = together[i] ? chain_[i].*pressure : air::si::standard_pressure;
            if (wanted && !together[i])
                (coil_[i].*side).humidity_ratio = chain_[i].ratio_at(numbers_[i].humidity, chain_[i].*pressure);
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
        const ConditionValues values = batch_.values_of(row);
        Expected answer;
        const Reason reason = expect_at_speed(system_, batch_.site(row),
                                              {values, batch_.stage.name(row), batch_.match.name(row)}, answer);
        if (!reason.none()) return refuse(i, reason);
        told_[i] = answer;
        answered_[i] = true;
        tell_besides(i);
    }

    /// No answer, and the reason.
    void refuse(std::size_t i, const Reason& reason) noexcept {
        open_[i] = answered_[i] = false;
        const std::size_t row = first_ + i;
        out_.reason[row] = reason;
        if (out_.footing != nullptr) out_.footing[row] = Footing::inside;
        if (out_.notes != nullptr) out_.notes[row] = Notes{};
    }

    void conclude(std::size_t i) noexcept {
        FoundKnee* found = nullptr;
        if (knee_of_ != none_shared) {
            found = &knee_;
            if (const std::size_t of = open_[i] ? serial_[frame_[i]] : 0; of != knee_of_) {
                knee_ = {};
                knee_of_ = of;
            }
        }
        if (!open_[i]) return;
        const Reason reason = frames_[frame_[i]].conclude(situation_[i], chain_[i], numbers_[i], found);
        if (!reason.none()) refuse(i, reason);
    }

    /// What is told of an open row but for its leaving air.
    void tell(std::size_t i) noexcept {
        const Frame& frame = frames_[frame_[i]];
        frame.tell(situation_[i], numbers_[i], told_[i]);
        tell_besides(i);
        if (!leaving_) return;
        air::State out;
        if (!frame.leaving(situation_[i], numbers_[i], out)) return;
        leaves_[i] = leaves_in_domain(out);
        if (!leaves_[i]) note_impossible(i);
        t2_[i] = out.dry_bulb.si;
        w2_[i] = out.humidity_ratio.si;
    }
    /// What is no number.
    void tell_besides(std::size_t i) noexcept {
        const std::size_t row = first_ + i;
        out_.reason[row] = Reason{};
        if (out_.footing != nullptr) out_.footing[row] = told_[i].footing;
        if (out_.notes != nullptr) out_.notes[row] = told_[i].notes;
    }

    void note_impossible(std::size_t i) noexcept {
        if (batch_.values.mode == Mode::cooling && out_.notes != nullptr)
            out_.notes[first_ + i].add(Note::leaving_impossible);
    }

    /// Leaving wet bulbs and relative humidities of the whole block.
    void leave() noexcept {
        Numbers wet_bulb{}, humidity{}, saturated;
        for (std::size_t i = 0; i < rows_; ++i)
            if (!leaves_[i]) t2_[i] = w2_[i] = 0.0;  // any air will do
        air_.saturation_humidity_ratios(rows_, t2_.data(), p_.data(), saturated.data());
        for (std::size_t i = 0; i < rows_; ++i) {
            if (w2_[i] <= saturated[i]) continue;
            leaves_[i] = false;
            t2_[i] = w2_[i] = 0.0;
            note_impossible(i);
        }
        if (wet_bulbs_) air_.wet_bulbs(rows_, t2_.data(), w2_.data(), p_.data(), wet_bulb.data());
        if (humidities_) air_.relative_humidities(rows_, t2_.data(), w2_.data(), p_.data(), humidity.data());
        for (std::size_t i = 0; i < rows_; ++i)
            if (leaves_[i])
                told_[i].leaving =
                    LeavingAir{Temperature{t2_[i]}, Temperature{(std::min)(wet_bulb[i], t2_[i])}, HumidityRatio{w2_[i]},
                               humidity[i], TemperatureDifference{told_[i].entering_dry_bulb.si - t2_[i]}};
    }

    const System& system_;
    const ExpectBatch& batch_;
    const ExpectColumns& out_;
    const air::ColumnKernels& air_;
    const KernelTable& grid_;
    const bool doubts_, leaving_, wet_bulbs_, humidities_;  ///< what somebody wants: the rest costs little
    std::size_t first_ = 0, rows_ = 0;
    std::size_t found_ = 0, count_ = 0, last_frame_ = 0;  ///< frames found so far; those at hand, and the last asked
    std::array<FrameKey, size + kept> keys_;
    std::array<Frame, size + kept> frames_;
    std::array<std::size_t, size + kept> serial_;  ///< which frame that was, from 1
    std::array<Reason, size + kept> no_frame_;
    std::array<std::size_t, size> chain_of_{};  ///< whose chain a row's is a copy of
    static constexpr std::size_t none_shared = ~std::size_t{0};
    std::size_t knee_of_ = none_shared;  ///< the frame of the knee that rows share, 0 while there is none
    FoundKnee knee_;
    std::array<std::uint8_t, size> frame_{};
    Numbers outdoor_, wet_bulb_, flow_, fan_power_, p_{}, w_{}, t1_{}, t2_{}, w2_{};
    std::array<bool, size> plain_{}, open_{}, answered_{}, leaves_{};
    std::array<Situation, size> situation_;
    std::array<CoolingChain, size> chain_;
    std::array<CoolingChain::Coil, size> coil_;
    std::array<AnswerNumbers, size> numbers_;
    std::array<ExpectedValues, size> told_;
    std::array<std::size_t, size> run_{};
};

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

inline namespace OFFNOMINAL_ISA {

/// Answers rows `first` to `last` (not included) of a batch, with the bits of `try_expect`. Thread-safe: threads may
/// share a batch and take ranges of it.
///
/// @param air   loops over moist air; with the compiled library hand over its `air::fastest_columns()`
/// @param grid  kernels for the page; with the compiled library hand over its `fastest_kernels()`
inline void expect_rows(const System& system, const ExpectBatch& batch, std::size_t first, std::size_t last,
                        const ExpectColumns& out, const air::ColumnKernels& air = air::si::own_columns,
                        Kernels grid = {}) noexcept {
    detail::ExpectBlock block(system, batch, out, air, grid);
    for (; first < last; first += detail::ExpectBlock::size)
        block.work(first, (std::min)(detail::ExpectBlock::size, last - first));
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
