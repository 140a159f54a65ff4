/// @file
/// The two sides of a proof as functions of the readings.
#pragma once

#include <cmath>

#include "offnominal/expect.hpp"
#include "offnominal/proof.hpp"

namespace offnominal::detail {

/// Which page a visit asks for: a stage, or a speed between the stages of a continuous system. Neither: see `reason`.
struct Asked {
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

/// A staged compressor has no speed to speak of. A continuous one is asked at its speed, where that is known. Another
/// variable one has a page only at the speeds of its stages.
[[nodiscard]] inline Asked asked_page(const System& system, const Visit& visit) noexcept {
    const Modulation modulation = system.parts().modulation;
    const bool by_stage = !visit.stage.empty();
    if (!visit.speed || (by_stage && modulation == Modulation::staged)) return {visit.stage};
    const double speed = visit.speed->si;
    if (modulation == Modulation::continuous) return {{}, speed};
    const Match* match = system.match(visit.match);
    const Stage *at = stage_at(system.stages(match), speed), *named = system.stage(visit.stage, match);
    if (!by_stage) return at != nullptr ? Asked{at->name} : Asked{{}, speed};
    if (named == nullptr || !named->speed || named == at) return {visit.stage};
    return {visit.stage,
            Conditions::not_given,
            {Why::speed_not_held, About::speed, -1, -1, speed, *named->speed, *named->speed}};
}

/// The expected power that includes what was measured, or why there is none. A page's system power holds the indoor fan
/// it was printed with.
[[nodiscard]] inline Answer<double> expected_power(const Expected& e, PowerBasis measured) noexcept {
    const auto why = [](Why w) { return Reason{w, About::power, -1, -1, 0, 0, 0}; };
    if (!e.power) return e.no_power;
    if (e.power_basis == PowerBasis::unknown) return why(Why::basis_unknown);
    const std::optional<Power> alike = e.power_basis == measured        ? e.power
                                       : measured == PowerBasis::system ? e.system_power
                                                                        : std::nullopt;
    if (!alike) return why(Why::unlike_basis);
    if (!(alike->si > 0.0)) return why(Why::no_output);
    return alike->si;
}

/// A visit's inputs as numbers, and both sides as functions of them.
class ProofModel {
   public:
    using Inputs = std::array<double, input_count>;

    ProofModel(const System& system, const Visit& visit, double pressure) noexcept
        : system_(system), visit_(visit), asked_(asked_page(system, visit)) {
        const Readings& r = visit.readings;
        base_ = {r.return_dry_bulb.si,
                 r.return_humidity.value,
                 r.supply_dry_bulb.si,
                 r.supply_humidity.value,
                 r.airflow.si,
                 visit.outdoor_dry_bulb.si,
                 pressure,
                 visit.fan_power.si,
                 visit.power ? visit.power->value.si : Conditions::not_given};
    }

    [[nodiscard]] const Inputs& base() const noexcept { return base_; }
    [[nodiscard]] const Asked& asked() const noexcept { return asked_; }
    [[nodiscard]] const System& system() const noexcept { return system_; }
    [[nodiscard]] const Visit& visit() const noexcept { return visit_; }

    /// The same readings held against one stage's page.
    [[nodiscard]] ProofModel against(const Stage& stage) const noexcept {
        ProofModel other = *this;
        other.asked_ = {stage.name};
        return other;
    }

    /// Wet bulbs left out: nothing is made of them.
    [[nodiscard]] Answer<Delivered> delivered(const Inputs& x) const noexcept {
        Readings r = visit_.readings;
        r.return_dry_bulb.si = x[0];
        r.return_humidity.value = x[1];
        r.supply_dry_bulb.si = x[2];
        r.supply_humidity.value = x[3];
        r.airflow.si = x[4];
        r.fan = fan_position();
        // At the coil boundary the supply probe stands before the fan, and so does the air the fan breathes.
        r.fan_power.si = visit_.boundary == Boundary::coil ? 0.0 : x[7];
        return Answer<Delivered>::built([&](Delivered& out) noexcept {
            const Reason reason = unknown_choice(r);
            return reason.none() ? find_delivered(r, site(x).pressure(), out) : reason;
        });
    }

    /// Expected at the delivered side's own return air and mass flow.
    [[nodiscard]] Answer<Expected> expected(const Inputs& x, const Delivered& delivered,
                                            Outside outside) const noexcept {
        if (!asked_.reason.none()) return asked_.reason;
        const Conditions c = conditions(x, delivered);
        return answer_to(system_, site(x), {c, outside});
    }

    /// The same as far as anything can be said: past edges, and next to dry nodes. For a hint, never for a proof.
    [[nodiscard]] Answer<Expected> hint(const Inputs& x, const Delivered& delivered) const noexcept {
        Conditions c = conditions(x, delivered);
        c.infer = true;
        return answer_to(system_, site(x), {c, follow});
    }

    /// The expected power that includes what was measured.
    [[nodiscard]] Answer<double> power(const Expected& expected) const noexcept {
        if (!visit_.power) return Reason{Why::not_given, About::power, -1, -1, 0, 0, 0};
        return expected_power(expected, visit_.power->of);
    }

    [[nodiscard]] Conditions conditions(const Inputs& x, const Delivered& delivered) const noexcept {
        Conditions c;
        c.stage = asked_.stage;
        if (!std::isnan(asked_.speed)) c.speed = {asked_.speed, system_.parts().speed_unit};
        c.match = visit_.match;
        c.outdoor_dry_bulb.si = x[5];
        c.entering_dry_bulb.si = x[0];
        c.entering_humidity = visit_.readings.return_humidity;
        c.entering_humidity.value = x[1];
        c.airflow = AirflowReading::dry_mass(delivered.mass_flow);
        c.line_set = visit_.line_set;
        c.boundary = visit_.boundary;
        c.fan_power.si = x[7];
        c.outside = visit_.outside;
        c.infer = visit_.infer;
        return c;
    }

   private:
    /// Pressure as an input; the elevation, where the visit gives it, still selects an altitude factor.
    [[nodiscard]] Site site(const Inputs& x) const noexcept {
        return Site::at(Length{visit_.site.elevation()}, Pressure{x[6]});
    }
    [[nodiscard]] FanPosition fan_position() const noexcept {
        const Match* match = system_.match(visit_.match);
        return match == nullptr ? FanPosition::unknown : match->fan;
    }

    const System& system_;
    const Visit& visit_;
    Asked asked_;
    Inputs base_;
};

}  // namespace offnominal::detail
