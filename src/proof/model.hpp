/// @file
/// The two sides of a proof as functions of the readings.
#pragma once

#include <array>
#include <cmath>
#include <optional>
#include <span>

#include "coils.hpp"
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
[[nodiscard]] inline AskedPage asked_page(const System& system, const Visit& visit) noexcept {
    const Modulation modulation = system.parts().modulation;
    const bool by_stage = !visit.stage.empty();
    if (!visit.speed || (by_stage && modulation == Modulation::staged)) return {visit.stage};
    const double speed = visit.speed->si;
    if (visit.mode() == Mode::heating)  // no maker says that one may read between two heating pages
        return {visit.stage, Conditions::not_given,
                unlike_speed(heating_chain(system, visit.stage, Frost::instantaneous, true).page, speed)};
    if (modulation == Modulation::continuous) return {{}, speed};
    const Match* match = system.match(visit.match);
    const Stage *at = stage_at(system.stages(match), speed), *named = system.stage(visit.stage, match);
    if (!by_stage) return at != nullptr ? AskedPage{at->name} : AskedPage{{}, speed};
    if (named == at) return {visit.stage};
    return {visit.stage, Conditions::not_given, unlike_speed(named, speed)};
}

/// The expected power that includes what was measured, if there is one. A page's system power holds the indoor fan it
/// was printed with.
[[nodiscard]] inline std::optional<Power> power_alike(const ExpectedValues& e, PowerBasis measured) noexcept {
    if (!e.power || e.power_basis == PowerBasis::unknown) return std::nullopt;
    return e.power_basis == measured ? e.power : measured == PowerBasis::system ? e.system_power : std::nullopt;
}
/// The same, or why there is none.
[[nodiscard]] inline Answer<double> expected_power(const Expected& e, PowerBasis measured) noexcept {
    const auto why = [](Why w) { return Reason{w, About::power, -1, -1, 0, 0, 0}; };
    if (!e.power) return e.no_power;
    if (e.power_basis == PowerBasis::unknown) return why(Why::basis_unknown);
    const auto alike = power_alike(e, measured);
    if (!alike) return why(Why::unlike_basis);
    if (!(alike->si > 0.0)) return why(Why::no_output);
    return alike->si;
}

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
[[nodiscard]] inline air::Humidity return_humidity_of(const Visit& visit) noexcept {
    const air::Humidity& read = visit.readings.return_humidity;
    return visit.mode() == Mode::heating && std::isnan(read.value)
               ? air::relative_humidity(practice::heated_relative_humidity)
               : read;
}

/// The humidity of some air in the measure of `like`; nothing where it has none.
[[nodiscard]] inline std::optional<double> measured_as(const air::State& state, const air::Humidity& like) noexcept {
    switch (like.kind) {
        case air::Humidity::Kind::wet_bulb:
            return air::wet_bulb(state).si;
        case air::Humidity::Kind::relative_humidity:
            return air::relative_humidity(state, like.over).si;
        case air::Humidity::Kind::humidity_ratio:
            return state.humidity_ratio.si;
        case air::Humidity::Kind::enthalpy:
            return air::enthalpy(state).si;
        case air::Humidity::Kind::dew_point:
            if (const auto dew_point = air::dew_point(state)) return dew_point->si;
            break;
    }
    return std::nullopt;
}

/// A visit's inputs as numbers, and both sides as functions of them.
class ProofModel {
   public:
    using Inputs = std::array<double, input_count>;

    ProofModel(const System& system, const Visit& visit, double pressure) noexcept
        : system_(system),
          visit_(visit),
          asked_(asked_page(system, visit)),
          return_humidity_(return_humidity_of(visit)) {
        const Readings& r = visit.readings;
        const bool heats = visit.mode() == Mode::heating;
        if (heats && std::isnan(r.return_humidity.value)) notes_.add(Note::humidity_assumed);
        base_ = {r.return_dry_bulb.si,
                 return_humidity_.value,
                 r.supply_dry_bulb.si,
                 heats ? Conditions::not_given : r.supply_humidity.value,
                 r.airflow.si,
                 visit.outdoor_dry_bulb.si,
                 pressure,
                 visit.fan_power.si,
                 visit.power ? visit.power->value.si : Conditions::not_given,
                 !heats                    ? Conditions::not_given
                 : visit.auxiliary_unknown ? 0.0
                                           : visit.readings.auxiliary_heat.si};
        if (heats && visit.auxiliary_unknown) notes_.add(Note::auxiliary_unknown);
        saturate(Input::return_dry_bulb, Input::return_humidity, return_humidity_.kind, Note::saturated_entering);
        if (!heats)
            saturate(Input::supply_dry_bulb, Input::supply_humidity, r.supply_humidity.kind, Note::saturated_supply);
    }

    /// What was made of the readings: a wet bulb or dew point a little above its dry bulb stands at it; in heating a
    /// humidity that was not read is assumed.
    [[nodiscard]] Notes notes() const noexcept { return notes_; }

    [[nodiscard]] const Inputs& base() const noexcept { return base_; }
    [[nodiscard]] const AskedPage& asked() const noexcept { return asked_; }
    [[nodiscard]] const System& system() const noexcept { return system_; }
    [[nodiscard]] const Visit& visit() const noexcept { return visit_; }

    /// The same readings held against one stage's page.
    [[nodiscard]] ProofModel against(std::string_view stage) const noexcept {
        ProofModel other = *this;
        other.asked_ = {stage};
        other.frame_pressure_ = Conditions::not_given;
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
    [[nodiscard]] Answer<Delivered> delivered(const Inputs& x) const noexcept {
        Readings r = visit_.readings;
        r.return_dry_bulb.si = x[0];
        r.return_humidity = return_humidity_;
        r.return_humidity.value = x[1];
        r.supply_dry_bulb.si = x[2];
        r.supply_humidity.value = x[3];
        r.airflow.si = x[4];
        r.fan = fan_position();
        // At the coil boundary the supply probe stands before the fan, and so does the air the fan breathes.
        r.fan_power.si = visit_.boundary == Boundary::coil ? 0.0 : x[7];
        r.auxiliary_heat.si = x[9];
        return Answer<Delivered>::built([&](Delivered& out) noexcept {
            const Reason reason = unknown_choice(r);
            return reason.none() ? find_delivered(r, site(x).pressure(), out) : reason;
        });
    }

    /// Expected at the delivered side's own return air and mass flow.
    [[nodiscard]] Answer<Expected> expected(const Inputs& x, const Delivered& delivered,
                                            Outside outside) const noexcept {
        if (!asked_.reason.none()) return asked_.reason;
        const ConditionValues c = values(x, delivered);
        return answer_to(system_, site(x), {c, asked_.stage, visit_.match, outside});
    }

    /// Both sides past every edge and next to dry nodes, as far as anything can be said, and no more than that: of a
    /// stage without ledger, leaving air or doubt, since draws ask thousands of times.
    [[nodiscard]] std::optional<Sides> sides(const Inputs& x) const noexcept {
        const auto d = delivered(x);
        if (!d) return std::nullopt;
        if (const Asking asked = asking(x, *d); asked != last_.asked) {
            const double wet_bulb =
                solves_wet_bulb() ? air::si::wet_bulb(x[0], d->return_air.humidity_ratio.si, x[6]) : 0.0;
            last_ = {asked, expected_side(x, *d, wet_bulb)};
        }
        return both(*d, last_.told);
    }
    /// The same of several at once, up to 64: most of what one takes is moist air, which goes by columns.
    static constexpr std::size_t block = 64;
    void sides(std::span<const Inputs> x, std::span<std::optional<Sides>> out) const noexcept {
        std::array<std::optional<Delivered>, block> d;
        std::array<double, block> t, w, p, wet_bulb{};
        for (std::size_t i = 0; i < x.size(); ++i) {
            if (const auto answer = delivered(x[i])) d[i] = *answer;
            t[i] = d[i] ? x[i][0] : 20.0;
            w[i] = d[i] ? d[i]->return_air.humidity_ratio.si : 0.005;
            p[i] = d[i] ? x[i][6] : air::si::standard_pressure;
        }
        if (solves_wet_bulb())
            air::fastest_columns().wet_bulbs(x.size(), t.data(), w.data(), p.data(), wet_bulb.data());
        std::array<std::size_t, block> left;  // whose expected side is still to be found
        std::size_t count = 0;
        for (std::size_t i = 0; i < x.size(); ++i) {
            out[i].reset();
            if (!d[i]) continue;
            // What the supply reads is nothing to the expected side, which is that of one asked before.
            if (asking(x[i], *d[i]) == last_.asked)
                out[i] = both(*d[i], last_.told);
            else
                left[count++] = i;
        }
        std::array<std::size_t, coils_together> run;
        while (count > 0) {  // those at the pressure of the first, which share its frame
            const double pressure = x[left[0]][6];
            std::size_t together = 0, others = 0;
            for (std::size_t k = 0; k < count; ++k)
                (k == 0 || (x[left[k]][6] == pressure && together < run.size()) ? run[together++] : left[others++]) =
                    left[k];
            count = others;
            constexpr std::size_t few = 4;
            if (together < few || visit_.mode() == Mode::heating || !std::isnan(asked_.speed) || !asked_.reason.none())
                for (std::size_t n = 0; n < together; ++n)
                    out[run[n]] = both(*d[run[n]], expected_side(x[run[n]], *d[run[n]], wet_bulb[run[n]]));
            else
                expected_sides(x, d, wet_bulb, {run.data(), together}, out);
        }
    }

    /// The expected power that includes what was measured.
    [[nodiscard]] Answer<double> power(const Expected& expected) const noexcept {
        if (!visit_.power) return Reason{Why::not_given, About::power, -1, -1, 0, 0, 0};
        if (holds_auxiliary_heat()) return Reason{Why::unlike_basis, About::power, -1, -1, 0, 0, 0};
        return expected_power(expected, visit_.power->of);
    }

    [[nodiscard]] Conditions conditions(const Inputs& x, const Delivered& delivered) const {
        return {values(x, delivered), std::string(asked_.stage), visit_.match};
    }

   private:
    /// The question but for its names.
    [[nodiscard]] ConditionValues values(const Inputs& x, const Delivered& delivered) const noexcept {
        ConditionValues c;
        c.mode = visit_.mode();
        c.frost = Frost::instantaneous;
        c.auxiliary_heat.si = x[9];
        if (!std::isnan(asked_.speed)) c.speed = {asked_.speed, system_.parts().speed_unit};
        c.outdoor_dry_bulb.si = x[5];
        c.entering_dry_bulb.si = x[0];
        c.entering_humidity = return_humidity_;
        c.entering_humidity.value = x[1];
        c.airflow = AirflowReading::dry_mass(delivered.mass_flow);
        c.line_set = visit_.line_set;
        c.boundary = visit_.boundary;
        c.fan_power.si = x[7];
        c.outside = visit_.outside;
        c.infer = visit_.infer || visit_.mode() == Mode::heating;  // from an integrated page: at a cost, never no proof
        c.airflow_effect = true;
        return c;
    }
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
    [[nodiscard]] ExpectedSide expected_side(const Inputs& x, const Delivered& d, double wet_bulb) const noexcept {
        if (!asked_.reason.none()) return {};
        ConditionValues c = values(x, d);
        c.infer = true;
        const Question question{c, asked_.stage, visit_.match, follow};
        if (c.speed.given()) {
            const auto e = answer_to(system_, site(x), question);
            return e ? told(*e) : ExpectedSide{};
        }
        Situation situation;
        AnswerNumbers numbers;
        const auto flow = ask(x, d, wet_bulb, question, situation);
        if (!flow || !frame_.at(situation, *flow, numbers).none()) return {};
        return told(situation, numbers);
    }
    /// The same of some at one pressure, off one page of cooling: the steps of `Frame::at`, all with one before the
    /// next.
    void expected_sides(std::span<const Inputs> x, std::span<const std::optional<Delivered>> d,
                        std::span<const double> wet_bulb, std::span<const std::size_t> run,
                        std::span<std::optional<Sides>> out) const noexcept {
        std::array<OnItsWay, coils_together> some;
        for (std::size_t n = 0; n < run.size(); ++n) {
            const std::size_t i = run[n];
            OnItsWay& one = some[n];
            ConditionValues c = values(x[i], *d[i]);
            c.infer = true;
            const auto flow = ask(x[i], *d[i], wet_bulb[i], {c, asked_.stage, visit_.match, follow}, one.situation);
            one.chain = frame_.chain;
            one.reason = flow ? frame_.enter(one.situation, *flow, one.chain, one.numbers) : flow.reason();
        }
        work_coils({some.data(), run.size()});
        for (std::size_t n = 0; n < run.size(); ++n) {
            OnItsWay& one = some[n];
            if (one.reason.none()) one.reason = frame_.conclude(one.situation, one.chain, one.numbers);
            out[run[n]] = both(*d[run[n]], one.reason.none() ? told(one.situation, one.numbers) : ExpectedSide{});
        }
    }
    /// Puts a question to the frame of its pressure. @return its mass flow
    [[nodiscard]] Answer<double> ask(const Inputs& x, const Delivered& d, double wet_bulb, const Question& question,
                                     Situation& situation) const noexcept {
        if (!(frame_pressure_ == x[6])) {
            no_frame_ = find_frame(system_, site(x), question, frame_);
            frame_pressure_ = x[6];
        }
        if (!no_frame_.none()) return no_frame_;
        const ConditionValues& c = question.values;
        // The air is known to be in order: it is what the delivered side has.
        const Reason no_air =
            frame_.heats() ? frame_.situation(c, situation)
                           : frame_.situation(x[5], d.return_air, solves_wet_bulb() ? wet_bulb : std::min(x[1], x[0]),
                                              x[7], c.airflow, situation);
        return no_air.none() ? frame_.mass_flow(situation) : no_air;
    }
    [[nodiscard]] ExpectedSide told(const Situation& situation, const AnswerNumbers& numbers) const noexcept {
        ExpectedValues e;
        frame_.tell(situation, numbers, e);
        return told(e);
    }
    [[nodiscard]] ExpectedSide told(const ExpectedValues& e) const noexcept {
        ExpectedSide out;
        if (!(e.total_capacity.si > 0.0)) return out;
        out.total = e.total_capacity.si;
        if (e.sensible_capacity && e.sensible_capacity->si > 0.0) out.sensible = e.sensible_capacity->si;
        if (visit_.power && !holds_auxiliary_heat())
            if (const auto p = power_alike(e, visit_.power->of); p && p->si > 0.0) out.power = p->si;
        return out;
    }
    [[nodiscard]] std::optional<Sides> both(const Delivered& d, const ExpectedSide& e) const noexcept {
        if (std::isnan(e.total)) return std::nullopt;
        Sides out;
        out.delivered = d.total_capacity.si;
        out.expected = e.total * factor_;
        if (!std::isnan(e.sensible)) {
            out.delivered_sensible = d.sensible_capacity.si;
            out.expected_sensible = e.sensible;
        }
        out.expected_power = e.power;
        return out;
    }
    /// Whether the meter was around an auxiliary heater that was on, which no page's power holds.
    [[nodiscard]] bool holds_auxiliary_heat() const noexcept {
        return visit_.power->of == PowerBasis::system && (base_[9] > 0.0 || notes_.has(Note::auxiliary_unknown));
    }
    /// Pressure as an input; the elevation, where the visit gives it, still selects an altitude factor.
    [[nodiscard]] Site site(const Inputs& x) const noexcept {
        return Site::at(Length{visit_.site.elevation()}, Pressure{x[6]});
    }
    [[nodiscard]] FanPosition fan_position() const noexcept {
        const Match* match = system_.match(visit_.match);
        return match == nullptr ? FanPosition::unknown : match->fan;
    }

    /// Beyond the instruments' own uncertainty a wet bulb above its dry bulb stays, and is refused.
    void saturate(Input dry_bulb, Input humidity, air::Humidity::Kind kind, Note note) noexcept {
        if (kind != air::Humidity::Kind::wet_bulb && kind != air::Humidity::Kind::dew_point) return;
        const double t = base_[static_cast<std::size_t>(dry_bulb)];
        double& wet = base_[static_cast<std::size_t>(humidity)];
        if (!(wet > t && wet <= t + saturation_slack(visit_.of(dry_bulb), visit_.of(humidity)))) return;
        wet = t;
        notes_.add(note);
    }

    const System& system_;
    const Visit& visit_;
    AskedPage asked_;
    air::Humidity return_humidity_;  ///< its measure; the number stands in the inputs
    Inputs base_;
    Notes notes_;
    double factor_ = 1.0;
    /// What the last question settled: of all that varies, a frame depends on the pressure alone.
    mutable Frame frame_;
    mutable Reason no_frame_;
    mutable double frame_pressure_ = Conditions::not_given;
    /// The expected side that was asked for alone, last.
    mutable struct {
        Asking asked{};
        ExpectedSide told;
    } last_;
};

}  // namespace offnominal::detail
