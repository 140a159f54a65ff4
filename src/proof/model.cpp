#include "model.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <span>

#include "look_up.hpp"
#include "offnominal/expect/frame.hpp"

namespace offnominal::detail {

namespace {

/// A question on its way through the steps of `Frame::at`.
struct OnItsWay {
    Situation situation;
    CoolingChain chain;
    CoolingChain::Coil coil;
    AnswerNumbers numbers;
    Reason reason{};  ///< why it has no answer
};

/// What `CoolingChain::at` does, for up to `coils_together` questions whose page is entered.
constexpr std::size_t coils_together = 16;
void work_coils(std::span<OnItsWay> some) noexcept {
    const air::ColumnKernels& air = air::fastest_columns();
    const std::size_t count = 2 * some.size();  // both sides of each coil
    std::array<double, 2 * coils_together> t, wet_bulb, p, w, h;
    const auto each_side = [&](const auto& work) {
        for (std::size_t i = 0; i < count; ++i) {
            OnItsWay& one = some[i / 2];
            const bool here = i % 2 == 0;
            work(i, one, here ? one.coil.here : one.coil.page, here ? one.chain.pressure : one.chain.page_pressure,
                 one.reason.none() && (one.coil.recomputed || (here && one.coil.air_needed)));
        }
    };
    for (OnItsWay& one : some) {
        ChainPoint& wet = one.numbers.gross.wet;
        if (!one.reason.none()) continue;
        one.reason =
            read_page(*one.chain.table, one.chain.page_point(one.numbers.humidity), one.chain.outside, wet.page);
        if (one.reason.none()) one.coil = one.chain.derate(wet);
    }
    each_side([&](std::size_t i, OnItsWay& one, CoolingChain::CoilSide& side, double pressure, bool wanted) {
        const bool together = wanted && one.chain.table->humidity() != HumidityAxis::relative_humidity;
        t[i] = together ? one.chain.reference() : 20.0;  // any air will do
        wet_bulb[i] = together ? one.chain.wet_bulb_at(one.numbers.humidity) : 10.0;
        p[i] = together ? pressure : air::si::standard_pressure;
        if (wanted && !together) side.humidity_ratio = one.chain.ratio_at(one.numbers.humidity, pressure);
    });
    air.humidity_ratios_from_wet_bulbs(count, t.data(), wet_bulb.data(), p.data(), w.data());
    each_side([&](std::size_t i, OnItsWay& one, CoolingChain::CoilSide& side, double, bool wanted) {
        if (wanted && one.chain.table->humidity() != HumidityAxis::relative_humidity) side.humidity_ratio = w[i];
    });
    for (OnItsWay& one : some)
        if (one.reason.none() && one.coil.recomputed) one.reason = one.chain.load_coil(one.numbers.gross.wet, one.coil);
    each_side([&](std::size_t i, OnItsWay& one, CoolingChain::CoilSide& side, double pressure, bool) {
        const bool wanted = one.reason.none() && one.coil.recomputed;
        h[i] = wanted ? side.enthalpy : 50e3;
        p[i] = wanted ? pressure : air::si::standard_pressure;
    });
    air.saturation_temperatures_from_enthalpies(count, h.data(), p.data(), t.data());
    air.saturation_humidity_ratios(count, t.data(), p.data(), w.data());
    each_side([&](std::size_t i, OnItsWay&, CoolingChain::CoilSide& side, double, bool) {
        side.apparatus = {t[i], w[i]};
    });
    for (OnItsWay& one : some)
        if (one.reason.none()) one.chain.finish(one.coil, one.numbers.gross.wet);
}

}  // namespace

AskedPage asked_page(const System& system, const Visit& visit) noexcept {
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

std::optional<Power> power_alike(const ExpectedValues& e, PowerBasis measured) noexcept {
    if (!e.power || e.power_basis == PowerBasis::unknown) return std::nullopt;
    return e.power_basis == measured ? e.power : measured == PowerBasis::system ? e.system_power : std::nullopt;
}

Answer<double> expected_power(const Expected& e, PowerBasis measured) noexcept {
    const auto why = [](Why w) { return Reason{w, About::power, -1, -1, 0, 0, 0}; };
    if (!e.power) return e.no_power;
    if (e.power_basis == PowerBasis::unknown) return why(Why::basis_unknown);
    const auto alike = power_alike(e, measured);
    if (!alike) return why(Why::unlike_basis);
    if (!(alike->si > 0.0)) return why(Why::no_output);
    return alike->si;
}

air::Humidity return_humidity_of(const Visit& visit) noexcept {
    const air::Humidity& read = visit.readings.return_humidity;
    return visit.mode() == Mode::heating && std::isnan(read.value)
               ? air::relative_humidity(practice::heated_relative_humidity)
               : read;
}

std::optional<double> measured_as(const air::State& state, const air::Humidity& like) noexcept {
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

ProofModel::ProofModel(const System& system, const Visit& visit, double pressure) noexcept
    : system_(system), visit_(visit), asked_(asked_page(system, visit)), return_humidity_(return_humidity_of(visit)) {
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

Answer<Delivered> ProofModel::delivered(const Inputs& x) const noexcept {
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

Answer<Expected> ProofModel::expected(const Inputs& x, const Delivered& delivered, Outside outside) const noexcept {
    if (!asked_.reason.none()) return asked_.reason;
    const ConditionValues c = values(x, delivered);
    return look_up(system_, site(x), {c, asked_.stage, visit_.match, outside});
}

std::optional<Sides> ProofModel::sides(const Inputs& x) const noexcept {
    const auto d = delivered(x);
    if (!d) return std::nullopt;
    if (const Asking asked = asking(x, *d); asked != last_.asked) {
        const double wet_bulb =
            solves_wet_bulb() ? air::si::wet_bulb(x[0], d->return_air.humidity_ratio.si, x[6]) : 0.0;
        last_ = {asked, expected_side(x, *d, wet_bulb)};
    }
    return both(*d, last_.told);
}

void ProofModel::sides(std::span<const Inputs> x, std::span<std::optional<Sides>> out) const noexcept {
    std::array<std::optional<Delivered>, block> d;
    std::array<double, block> t, w, p, wet_bulb{};
    for (std::size_t i = 0; i < x.size(); ++i) {
        if (const auto answer = delivered(x[i])) d[i] = *answer;
        t[i] = d[i] ? x[i][0] : 20.0;
        w[i] = d[i] ? d[i]->return_air.humidity_ratio.si : 0.005;
        p[i] = d[i] ? x[i][6] : air::si::standard_pressure;
    }
    if (solves_wet_bulb()) air::fastest_columns().wet_bulbs(x.size(), t.data(), w.data(), p.data(), wet_bulb.data());
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
    const bool by_columns =
        visit_.mode() == Mode::cooling && std::isnan(asked_.speed) && asked_.reason.none() && count > 1;
    std::array<std::size_t, coils_together> run;
    while (count > 0) {  // those at one pressure or a few, which take a frame each
        std::array<double, frames_together> pressures;
        std::size_t together = 0, frames = 0, others = 0;
        const auto takes = [&](double pressure) {
            for (std::size_t f = 0; f < frames; ++f)
                if (pressures[f] == pressure) return true;
            if (frames == (by_columns ? pressures.size() : 1)) return false;
            pressures[frames++] = pressure;
            return true;
        };
        for (std::size_t k = 0; k < count; ++k)
            (together < run.size() && takes(x[left[k]][6]) ? run[together++] : left[others++]) = left[k];
        count = others;
        if (by_columns)
            expected_sides(x, d, wet_bulb, {run.data(), together}, out);
        else
            for (std::size_t n = 0; n < together; ++n)
                out[run[n]] = both(*d[run[n]], expected_side(x[run[n]], *d[run[n]], wet_bulb[run[n]]));
    }
}

Answer<double> ProofModel::power(const Expected& expected) const noexcept {
    if (!visit_.power) return Reason{Why::not_given, About::power, -1, -1, 0, 0, 0};
    if (holds_auxiliary_heat()) return Reason{Why::unlike_basis, About::power, -1, -1, 0, 0, 0};
    return expected_power(expected, visit_.power->of);
}

Conditions ProofModel::conditions(const Inputs& x, const Delivered& delivered) const {
    return {values(x, delivered), std::string(asked_.stage), visit_.match};
}

ConditionValues ProofModel::values(const Inputs& x, const Delivered& delivered) const noexcept {
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

ProofModel::ExpectedSide ProofModel::expected_side(const Inputs& x, const Delivered& d,
                                                   double wet_bulb) const noexcept {
    if (!asked_.reason.none()) return {};
    ConditionValues c = values(x, d);
    c.infer = true;
    const Question question{c, asked_.stage, visit_.match, follow};
    if (c.speed.given()) {
        const auto e = look_up(system_, site(x), question);
        return e ? told(*e) : ExpectedSide{};
    }
    if (!(frame_.pressure == x[6])) find(x, question, frame_);
    Situation situation;
    AnswerNumbers numbers;
    const auto flow = ask(frame_, x, d, wet_bulb, question, situation);
    if (!flow || !frame_.frame.at(situation, *flow, numbers).none()) return {};
    return told(frame_.frame, situation, numbers);
}

void ProofModel::expected_sides(std::span<const Inputs> x, std::span<const std::optional<Delivered>> d,
                                std::span<const double> wet_bulb, std::span<const std::size_t> run,
                                std::span<std::optional<Sides>> out) const noexcept {
    std::array<OnItsWay, coils_together> some;
    std::array<const Frame*, coils_together> frames;
    std::array<FrameOf, frames_together> others;  // besides the one that is kept
    std::size_t found = 0;
    for (std::size_t n = 0; n < run.size(); ++n) {
        const std::size_t i = run[n];
        OnItsWay& one = some[n];
        ConditionValues c = values(x[i], *d[i]);
        c.infer = true;
        const Question question{c, asked_.stage, visit_.match, follow};
        FrameOf* of = &frame_;
        if (!std::isnan(frame_.pressure))
            for (std::size_t f = 0; of->pressure != x[i][6] && f <= found; ++f) of = &others[f];
        if (of->pressure != x[i][6]) find(x[i], question, *of);
        if (of == others.data() + found) ++found;
        const auto flow = ask(*of, x[i], *d[i], wet_bulb[i], question, one.situation);
        frames[n] = &of->frame;
        one.chain = of->frame.chain;
        one.reason = flow ? of->frame.enter(one.situation, *flow, one.chain, one.numbers) : flow.reason();
    }
    work_coils({some.data(), run.size()});
    for (std::size_t n = 0; n < run.size(); ++n) {
        OnItsWay& one = some[n];
        if (one.reason.none()) one.reason = frames[n]->conclude(one.situation, one.chain, one.numbers);
        out[run[n]] =
            both(*d[run[n]], one.reason.none() ? told(*frames[n], one.situation, one.numbers) : ExpectedSide{});
    }
}

void ProofModel::find(const Inputs& x, const Question& question, FrameOf& out) const noexcept {
    out.reason = find_frame(system_, site(x), question, out.frame);
    out.pressure = x[6];
}

Answer<double> ProofModel::ask(const FrameOf& of, const Inputs& x, const Delivered& d, double wet_bulb,
                               const Question& question, Situation& situation) const noexcept {
    if (!of.reason.none()) return of.reason;
    const ConditionValues& c = question.values;
    const Frame& frame = of.frame;
    // The air is known to be in order: it is what the delivered side has.
    const Reason no_air = frame.heats()
                              ? frame.situation(c, situation)
                              : frame.situation(x[5], d.return_air, solves_wet_bulb() ? wet_bulb : std::min(x[1], x[0]),
                                                x[7], c.airflow, situation);
    return no_air.none() ? frame.mass_flow(situation) : no_air;
}

ProofModel::ExpectedSide ProofModel::told(const Frame& frame, const Situation& situation,
                                          const AnswerNumbers& numbers) const noexcept {
    ExpectedValues e;
    frame.tell(situation, numbers, e);
    return told(e);
}

ProofModel::ExpectedSide ProofModel::told(const ExpectedValues& e) const noexcept {
    ExpectedSide out;
    if (!(e.total_capacity.si > 0.0)) return out;
    out.total = e.total_capacity.si;
    if (e.sensible_capacity && e.sensible_capacity->si > 0.0) out.sensible = e.sensible_capacity->si;
    if (visit_.power && !holds_auxiliary_heat())
        if (const auto p = power_alike(e, visit_.power->of); p && p->si > 0.0) out.power = p->si;
    return out;
}

std::optional<Sides> ProofModel::both(const Delivered& d, const ExpectedSide& e) const noexcept {
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

bool ProofModel::holds_auxiliary_heat() const noexcept {
    return visit_.power->of == PowerBasis::system && (base_[9] > 0.0 || notes_.has(Note::auxiliary_unknown));
}

FanPosition ProofModel::fan_position() const noexcept {
    const Match* match = system_.match(visit_.match);
    return match == nullptr ? FanPosition::unknown : match->fan;
}

void ProofModel::saturate(Input dry_bulb, Input humidity, air::Humidity::Kind kind, Note note) noexcept {
    if (kind != air::Humidity::Kind::wet_bulb && kind != air::Humidity::Kind::dew_point) return;
    const double t = base_[static_cast<std::size_t>(dry_bulb)];
    double& wet = base_[static_cast<std::size_t>(humidity)];
    if (!(wet > t && wet <= t + saturation_slack(visit_.of(dry_bulb), visit_.of(humidity)))) return;
    wet = t;
    notes_.add(note);
}

}  // namespace offnominal::detail
