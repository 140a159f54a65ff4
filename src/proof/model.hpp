/// @file
/// The two sides of a proof as functions of the readings.
#pragma once

#include <array>
#include <cmath>
#include <optional>
#include <span>

#include "offnominal/expect.hpp"
#include "offnominal/field/practice.hpp"
#include "offnominal/proof.hpp"

namespace offnominal::detail {

/// Which page a visit asks for: a stage, or a speed between the stages of a continuous system. Neither: see `reason`.
struct AskedPage {
    std::string_view stage;
    double speed = Conditions::not_given;
    Reason reason{};
};

/// The stage that runs at a speed to within 1 % (common practice, no source), or nothing.
[[nodiscard]] inline const Stage* stage_at(const std::vector<Stage>& stages, double speed) noexcept {
    for (const Stage& stage : stages)
        if (stage.speed && std::abs(speed - *stage.speed) <= 0.01 * *stage.speed) return &stage;
    return nullptr;
}

/// Calls `each(index, stage)` for every page that a visit may be held against, by its index as in `Expected::stage`: in
/// heating one for each stage, the instantaneous one where there is one.
template <class Each>
void for_each_page(const System& system, const Visit& visit, const Each& each) {
    if (visit.mode() == Mode::cooling) {
        const auto& stages = system.stages(system.match(visit.match));
        for (std::size_t i = 0; i < stages.size(); ++i) each(static_cast<std::int16_t>(i), stages[i]);
        return;
    }
    const auto& pages = system.parts().heating;
    for (std::size_t i = 0; i < pages.size(); ++i)
        if (heating_chain(system, pages[i].name, Frost::instantaneous, true).page == &pages[i])
            each(static_cast<std::int16_t>(i), pages[i]);
}

/// A stage whose page is printed at another speed than ran, beyond 1 % (common practice, no source); nothing where they
/// agree, or the page names no speed.
template <class Page>
[[nodiscard]] Reason unlike_speed(const Page* named, double speed) noexcept {
    if (named == nullptr || !named->speed || std::abs(speed - *named->speed) <= 0.01 * *named->speed) return {};
    return {Why::speed_not_held, About::speed, -1, -1, speed, *named->speed, *named->speed};
}

/// A staged compressor has no speed to speak of. A continuous one is asked at its speed, where that is known. Another
/// variable one has a page only at the speeds of its stages.
[[nodiscard]] AskedPage asked_page(const System& system, const Visit& visit) noexcept;

/// The expected power that includes what was measured, if there is one. A page's system power holds the indoor fan it
/// was printed with.
[[nodiscard]] std::optional<Power> power_alike(const ExpectedValues& e, PowerBasis measured) noexcept;
/// The same, or why there is none.
[[nodiscard]] Answer<double> expected_power(const Expected& e, PowerBasis measured) noexcept;

/// Both sides of a proof, W. NaN: not told.
struct Sides {
    static constexpr double not_told = Conditions::not_given;
    double delivered = not_told, expected = not_told;
    double delivered_sensible = not_told, expected_sensible = not_told;
    double expected_power = not_told;  ///< of what the meter was around

    [[nodiscard]] double ratio() const noexcept { return delivered / expected; }
    [[nodiscard]] double sensible_ratio() const noexcept { return delivered_sensible / expected_sensible; }
};

/// The humidity of the return air; in heating, where nobody need read it, the usual one.
[[nodiscard]] air::Humidity return_humidity_of(const Visit& visit) noexcept;

/// The humidity of some air in the measure of `like`; nothing where it has none.
[[nodiscard]] std::optional<double> measured_as(const air::State& state, const air::Humidity& like) noexcept;

/// A visit's inputs as numbers, and both sides as functions of them.
class ProofModel {
   public:
    using Inputs = std::array<double, input_count>;

    ProofModel(const System& system, const Visit& visit, double pressure) noexcept;

    /// What was made of the readings: a wet bulb or dew point a little above its dry bulb stands at it; in heating a
    /// humidity that was not read is assumed.
    [[nodiscard]] Notes notes() const noexcept { return notes_; }

    [[nodiscard]] const Inputs& base() const noexcept { return base_; }
    [[nodiscard]] const AskedPage& asked() const noexcept { return asked_; }
    [[nodiscard]] const System& system() const noexcept { return system_; }
    [[nodiscard]] const Visit& visit() const noexcept { return visit_; }

    /// The same readings held against another page, or another speed.
    [[nodiscard]] ProofModel against(const AskedPage& asked) const noexcept {
        ProofModel other = *this;
        other.asked_ = asked;
        other.frame_.pressure = Conditions::not_given;
        other.last_ = {};
        other.factor_ = 1.0;
        return other;
    }
    /// The same with expected total so many times what straight reading of the page gives.
    [[nodiscard]] ProofModel times(double factor) const noexcept {
        ProofModel other = *this;
        other.factor_ = factor;
        return other;
    }

    /// Wet bulbs left out: nothing is made of them.
    [[nodiscard]] Answer<Delivered> delivered(const Inputs& x) const noexcept;

    /// Expected at the delivered side's own return air and mass flow.
    [[nodiscard]] Answer<Expected> expected(const Inputs& x, const Delivered& delivered,
                                            Outside outside) const noexcept;

    /// Both sides past every edge and next to dry nodes, as far as anything can be said, and no more than that: of a
    /// stage without ledger, leaving air or doubt, since draws ask thousands of times.
    [[nodiscard]] std::optional<Sides> sides(const Inputs& x) const noexcept;
    /// The same of several at once, up to 64: most of what one takes is moist air, which goes by columns.
    static constexpr std::size_t block = 64;
    static constexpr std::size_t frames_together = 4;
    void sides(std::span<const Inputs> x, std::span<std::optional<Sides>> out) const noexcept;

    /// The expected power that includes what was measured.
    [[nodiscard]] Answer<double> power(const Expected& expected) const noexcept;

    [[nodiscard]] Conditions conditions(const Inputs& x, const Delivered& delivered) const;

   private:
    /// The question but for its names.
    [[nodiscard]] ConditionValues values(const Inputs& x, const Delivered& delivered) const noexcept;
    /// Whether the wet bulb must be found from another measure of humidity.
    [[nodiscard]] bool solves_wet_bulb() const noexcept {
        return visit_.mode() == Mode::cooling && return_humidity_.kind != air::Humidity::Kind::wet_bulb;
    }
    /// What the expected side of a proof depends on, of all inputs.
    using Asking = std::array<double, 7>;
    [[nodiscard]] Asking asking(const Inputs& x, const Delivered& d) const noexcept {
        const bool heats = visit_.mode() == Mode::heating;  // else no number stands for auxiliary heat
        return {x[0], x[1], x[5], x[6], x[7], heats ? x[9] : 0.0, d.mass_flow.si};
    }
    /// The expected side, straight off the page. NaN: not told; without a total there is none.
    struct ExpectedSide {
        double total = Sides::not_told, sensible = Sides::not_told, power = Sides::not_told;
    };
    [[nodiscard]] ExpectedSide expected_side(const Inputs& x, const Delivered& d, double wet_bulb) const noexcept;
    /// The same of some at a few pressures, off one page of cooling: the steps of `Frame::at`, all with one before the
    /// next.
    void expected_sides(std::span<const Inputs> x, std::span<const std::optional<Delivered>> d,
                        std::span<const double> wet_bulb, std::span<const std::size_t> run,
                        std::span<std::optional<Sides>> out) const noexcept;
    /// A frame: of all that varies, it depends on the pressure alone.
    struct FrameOf {
        double pressure = Conditions::not_given;  ///< not given: none was found yet
        Frame frame;
        Reason reason{};  ///< why there is none
    };
    void find(const Inputs& x, const Question& question, FrameOf& out) const noexcept;
    /// Puts a question to the frame of its pressure. @return its mass flow
    [[nodiscard]] Answer<double> ask(const FrameOf& of, const Inputs& x, const Delivered& d, double wet_bulb,
                                     const Question& question, Situation& situation) const noexcept;
    [[nodiscard]] ExpectedSide told(const Frame& frame, const Situation& situation,
                                    const AnswerNumbers& numbers) const noexcept;
    [[nodiscard]] ExpectedSide told(const ExpectedValues& e) const noexcept;
    [[nodiscard]] std::optional<Sides> both(const Delivered& d, const ExpectedSide& e) const noexcept;
    /// Whether the meter was around an auxiliary heater that was on, which no page's power holds.
    [[nodiscard]] bool holds_auxiliary_heat() const noexcept;
    /// Pressure as an input; the elevation, where the visit gives it, still selects an altitude factor.
    [[nodiscard]] Site site(const Inputs& x) const noexcept {
        return Site::at(Length{visit_.site.elevation()}, Pressure{x[6]});
    }
    [[nodiscard]] FanPosition fan_position() const noexcept;

    /// Beyond the instruments' own uncertainty a wet bulb above its dry bulb stays, and is refused.
    void saturate(Input dry_bulb, Input humidity, air::Humidity::Kind kind, Note note) noexcept;

    const System& system_;
    const Visit& visit_;
    AskedPage asked_;
    air::Humidity return_humidity_;  ///< its measure; the number stands in the inputs
    Inputs base_;
    Notes notes_;
    double factor_ = 1.0;
    mutable FrameOf frame_;  ///< of the last question that was asked alone
    /// The expected side that was asked for alone, last.
    mutable struct {
        Asking asked{};
        ExpectedSide told;
    } last_;
};

}  // namespace offnominal::detail
