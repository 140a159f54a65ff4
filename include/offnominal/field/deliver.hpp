/// @file
/// What a machine delivers: the air-enthalpy method.
///
/// Total is mass flow of dry air times enthalpy difference. Sensible and latent follow one of two published ways:
///  - `enthalpy`: sensible = m (1006 + 1860 W2)(t1 - t2), latent = m (W1 - W2)(2 501 000 + 1860 t1). Both come from the
///    moist-air enthalpy equation (ASHRAE Handbook Fundamentals ch. 1), so they add up to total exactly.
///  - `ashrae37`: sensible = m (0.24 + 0.444 W1 Btu/lb degF)(t1 - t2), latent = m (W1 - W2) x 1060 Btu/lb (ANSI/ASHRAE
///  37-2009,
///    7.3.3). Their sum is a little below the enthalpy difference on a wet coil.
/// The condensate leaves as liquid; its enthalpy m (W1 - W2) h_f (0.4 to 0.8 % of total) is left out, as rating
/// standards do, unless asked for.
///
/// Heating is sensible: the stream keeps its moisture, so the supply's humidity is not asked for, and all of the total
/// is m (1006 + 1860 W1)(t2 - t1), less any auxiliary heat between the probes.
#pragma once

#include <algorithm>
#include <array>
#include <cstdlib>
#include <limits>
#include <optional>

#include "offnominal/air.hpp"
#include "offnominal/air/columns.hpp"
#include "offnominal/answer.hpp"
#include "offnominal/column.hpp"
#include "offnominal/detail/real.hpp"
#include "offnominal/field/practice.hpp"
#include "offnominal/kind.hpp"
#include "offnominal/ratings/basis.hpp"
#include "offnominal/site.hpp"

OFFNOMINAL_EXACT_BEGIN
namespace offnominal {

enum class Split : std::uint8_t { enthalpy, ashrae37 };
template <>
inline constexpr Word<Split> words_of<Split>[] = {{Split::enthalpy, "enthalpy"}, {Split::ashrae37, "ashrae37"}};

/// What the probes read.
struct Readings {
    static constexpr double not_given = std::numeric_limits<double>::quiet_NaN();

    Mode mode = Mode::cooling;
    Temperature return_dry_bulb{not_given};
    air::Humidity return_humidity = air::wet_bulb(Temperature{not_given});
    Temperature supply_dry_bulb{not_given};
    air::Humidity supply_humidity = air::wet_bulb(Temperature{not_given});  ///< cooling
    AirflowReading airflow{};
    Split split = Split::enthalpy;           ///< cooling
    bool condensate = false;                 ///< cooling: subtract the condensate's enthalpy from total and latent
    FanPosition fan = FanPosition::unknown;  ///< needed only for an airflow read at the fan
    Power fan_power{not_given};              ///< likewise: in draw-through the fan breathes supply air less this heat
    Power auxiliary_heat{not_given};         ///< heating: electric or fuel, between the probes; 0 W says that it is off
};

/// What a machine delivers, raw: nothing is clamped. Heating counts as positive where the air gains heat.
struct Delivered {
    Mode mode = Mode::cooling;
    Power total_capacity;  ///< heating: without auxiliary heat
    Power sensible_capacity;
    Power latent_capacity;
    MassFlow mass_flow;                    ///< dry air
    StandardAirflow standard_airflow;      ///< by the dry pound
    TemperatureDifference split;           ///< return less supply dry bulb; in heating below zero
    Power auxiliary_heat;                  ///< heating: as given
    std::optional<double> sensible_ratio;  ///< sensible / total; empty where total is too small for a ratio
    MassFlow condensate_flow;              ///< water leaving the air, kg/s
    air::State return_air;
    air::State supply_air;
    Temperature return_wet_bulb;
    Temperature supply_wet_bulb;
    Notes notes;
};

/// Every number that is told of a delivered capacity. A batch has a column for each, in this order.
template <>
inline constexpr Told<Delivered> told_of<Delivered>[] = {
    {"total_capacity", Kind::capacity, Modes::both,
     "mass flow times enthalpy difference; in heating less any auxiliary heat",
     [](const Delivered& d) noexcept { return d.total_capacity.si; }},
    {"sensible_capacity", Kind::capacity, Modes::cooling, "of the dry-bulb difference",
     [](const Delivered& d) noexcept { return d.sensible_capacity.si; }},
    {"latent_capacity", Kind::capacity, Modes::cooling, "of the humidity difference",
     [](const Delivered& d) noexcept { return d.latent_capacity.si; }},
    {"mass_flow", Kind::mass_flow, Modes::both, "dry air", [](const Delivered& d) noexcept { return d.mass_flow.si; }},
    {"standard_airflow", Kind::airflow, Modes::both, "at 0.075 lb of dry air per cubic foot",
     [](const Delivered& d) noexcept { return d.standard_airflow.si; }},
    {"split", Kind::temperature_difference, Modes::cooling, "return less supply dry bulb",
     [](const Delivered& d) noexcept { return d.split.si; }},
    {"rise", Kind::temperature_difference, Modes::heating,
     "supply less return dry bulb, auxiliary heat's part included",
     [](const Delivered& d) noexcept { return -d.split.si; }},
    {"sensible_ratio", Kind::ratio, Modes::cooling, "sensible over total; none where total is too small for a ratio",
     [](const Delivered& d) noexcept { return d.sensible_ratio ? *d.sensible_ratio : Readings::not_given; }},
    {"condensate_flow", Kind::mass_flow, Modes::cooling, "water leaving the air",
     [](const Delivered& d) noexcept { return d.condensate_flow.si; }},
    {"return_wet_bulb", Kind::temperature, Modes::both, "of the return air",
     [](const Delivered& d) noexcept { return d.return_wet_bulb.si; }},
    {"supply_wet_bulb", Kind::temperature, Modes::both, "of the supply air",
     [](const Delivered& d) noexcept { return d.supply_wet_bulb.si; }},
    {"auxiliary_heat", Kind::electric_power, Modes::heating, "as given; not in the capacity",
     [](const Delivered& d) noexcept { return d.auxiliary_heat.si; }},
};

/// The numbers that `deliver` asks for, each a column of a batch.
enum class ReadingSlot : std::uint8_t {
    return_dry_bulb,
    return_humidity,
    supply_dry_bulb,
    supply_humidity,
    airflow,
    elevation,
    pressure,
    fan_power,
    auxiliary_heat,
};
inline constexpr std::size_t reading_slots = 9;

/// Every number that `deliver` asks for, by the argument's name.
inline constexpr Asked<ReadingSlot> asked_of_deliver[] = {
    {"return_dry_bulb", Kind::temperature, ReadingSlot::return_dry_bulb, Modes::both, "dry bulb in the return"},
    {"return_wet_bulb", Kind::temperature, ReadingSlot::return_humidity, Modes::both, "wet bulb in the return"},
    {"return_relative_humidity", Kind::ratio, ReadingSlot::return_humidity, Modes::both, "fraction"},
    {"return_humidity_ratio", Kind::humidity_ratio, ReadingSlot::return_humidity, Modes::both, "vapour per dry air"},
    {"return_dew_point", Kind::temperature, ReadingSlot::return_humidity, Modes::both, "dew point in the return"},
    {"supply_dry_bulb", Kind::temperature, ReadingSlot::supply_dry_bulb, Modes::both, "dry bulb in the supply"},
    {"supply_wet_bulb", Kind::temperature, ReadingSlot::supply_humidity, Modes::cooling, "wet bulb in the supply"},
    {"supply_relative_humidity", Kind::ratio, ReadingSlot::supply_humidity, Modes::cooling, "fraction"},
    {"supply_humidity_ratio", Kind::humidity_ratio, ReadingSlot::supply_humidity, Modes::cooling, "vapour per dry air"},
    {"supply_dew_point", Kind::temperature, ReadingSlot::supply_humidity, Modes::cooling, "dew point in the supply"},
    {"airflow", Kind::airflow, ReadingSlot::airflow, Modes::both,
     "airflow, with what it means; as dry_mass a mass flow"},
    {"elevation", Kind::length, ReadingSlot::elevation, Modes::both, "elevation of the site"},
    {"pressure", Kind::pressure, ReadingSlot::pressure, Modes::both, "station pressure"},
    {"fan_power", Kind::electric_power, ReadingSlot::fan_power, Modes::both, "indoor fan"},
    {"auxiliary_heat", Kind::electric_power, ReadingSlot::auxiliary_heat, Modes::heating,
     "heat beside the machine, between the probes; 0 if off"},
};

/// Rows of readings that share their meanings: `readings` but for its numbers, which stand in columns. What is not
/// given has a null column.
struct DeliverBatch {
    Readings readings;
    std::array<Column, reading_slots> numbers;

    [[nodiscard]] const Column& operator[](ReadingSlot slot) const noexcept {
        return numbers[static_cast<std::size_t>(slot)];
    }
    [[nodiscard]] Column& operator[](ReadingSlot slot) noexcept { return numbers[static_cast<std::size_t>(slot)]; }

    /// The number of one row in SI; NaN (not given) without a column.
    [[nodiscard]] OFFNOMINAL_INLINE double given(ReadingSlot slot, std::size_t row) const noexcept {
        return (*this)[slot].given(row);
    }
    /// The readings of one row.
    [[nodiscard]] OFFNOMINAL_INLINE Readings readings_of(std::size_t row) const noexcept {
        Readings r = readings;
        r.return_dry_bulb.si = given(ReadingSlot::return_dry_bulb, row);
        r.return_humidity.value = given(ReadingSlot::return_humidity, row);
        r.supply_dry_bulb.si = given(ReadingSlot::supply_dry_bulb, row);
        r.supply_humidity.value = given(ReadingSlot::supply_humidity, row);
        r.airflow.si = given(ReadingSlot::airflow, row);
        r.fan_power.si = given(ReadingSlot::fan_power, row);
        r.auxiliary_heat.si = given(ReadingSlot::auxiliary_heat, row);
        return r;
    }
    [[nodiscard]] OFFNOMINAL_INLINE Site site(std::size_t row) const noexcept {
        return Site::at(Length{given(ReadingSlot::elevation, row)}, Pressure{given(ReadingSlot::pressure, row)});
    }
};

/// Answers to a batch, row by row.
struct DeliverColumns {
    ToldColumns<Delivered> numbers;
    Reason* reason = nullptr;  ///< must be there
    Notes* notes = nullptr;
};

namespace detail {
/// Nothing, or which choice of the readings is no enumerator.
[[nodiscard]] constexpr Reason unknown_choice(const Readings& r) noexcept {
    if (!known(r.mode)) return no_choice(About::mode, r.mode);
    if (!known(r.split)) return no_choice(About::split, r.split);
    if (!known(r.fan)) return no_choice(About::fan_position, r.fan);
    for (const air::Humidity& humidity : {r.return_humidity, r.supply_humidity})
        if (!known(humidity.kind)) return no_choice(About::humidity, humidity.kind);
    return unknown_choice(r.airflow);
}

inline namespace OFFNOMINAL_ISA {

/// What is delivered at a station pressure, but for what `finish` adds; choices are known. @return why not: a state
/// that cannot be, an airflow not given or not positive
[[nodiscard]] inline Reason find_delivered(const Readings& r, const Answer<double>& pressure, Delivered& d) noexcept {
    if (!pressure) return pressure.reason();
    const Pressure p{*pressure};
    const auto state = [&](Temperature dry_bulb, const air::Humidity& humidity) -> Answer<air::State> {
        if (real::is_nan(dry_bulb.si)) return Reason{Why::not_given, About::dry_bulb};
        if (real::is_nan(humidity.value)) return Reason{Why::not_given, air::detail::about(humidity.kind)};
        return air::try_state(dry_bulb, humidity, p);
    };
    const auto in_return = state(r.return_dry_bulb, r.return_humidity);
    if (!in_return) return about_air(About::return_dry_bulb, in_return.reason());
    const bool heats = r.mode == Mode::heating;
    if (heats)
        if (const Reason reason = check_power(About::auxiliary_heat, r.auxiliary_heat.si); !reason.none())
            return reason;
    const auto in_supply =
        state(r.supply_dry_bulb, heats ? air::humidity_ratio(HumidityRatio{0.0}) : r.supply_humidity);
    if (!in_supply) return about_air(About::supply_dry_bulb, in_supply.reason());
    const air::State& in = *in_return;
    air::State out = *in_supply;
    if (heats) out.humidity_ratio = in.humidity_ratio;  // heated air keeps its moisture

    // Where the airflow was read. A draw-through fan breathes supply air less the fan's own heat, which takes a mass
    // flow: the heat moves density by about 0.2 %, so four passes are exact.
    const bool at_fan = r.airflow.kind == AirflowReading::Kind::actual && r.airflow.place == air::Place::fan;
    if (at_fan && r.fan == FanPosition::unknown) return Reason{Why::not_given, About::fan_position, -1, -1, 0, 0, 0};
    if (at_fan && r.fan == FanPosition::draw_through) {
        if (const Reason reason = check_power(About::fan_power, r.fan_power.si); !reason.none()) return reason;
    }
    const bool at_supply = r.airflow.place == air::Place::supply_air || (at_fan && r.fan == FanPosition::draw_through);
    auto flow = dry_mass_flow(r.airflow, at_supply ? out : in);
    for (int pass = 0; flow && at_fan && at_supply && pass < 4; ++pass) {
        const air::State before = warmed(out, -r.fan_power.si, *flow);
        if (!(before.dry_bulb.si >= air::least_dry_bulb)) {  // colder than any air: the fan's power cannot be
            const double most =
                r.fan_power.si * ((out.dry_bulb.si - air::least_dry_bulb) / (out.dry_bulb.si - before.dry_bulb.si));
            return {Why::outside, About::fan_power, -1, -1, r.fan_power.si, 0.0, most};
        }
        flow = dry_mass_flow(r.airflow, before);
    }
    if (!flow) return flow.reason();
    const double m = *flow;
    const double t1 = in.dry_bulb.si, t2 = out.dry_bulb.si, w1 = in.humidity_ratio.si, w2 = out.humidity_ratio.si;

    d = {};
    double total = m * (air::si::enthalpy(t1, w1) - air::si::enthalpy(t2, w2));
    double sensible, latent;
    if (heats) {
        total = sensible = -total - r.auxiliary_heat.si;
        latent = 0.0;
        d.mode = Mode::heating;
        d.auxiliary_heat = r.auxiliary_heat;
    } else if (r.split == Split::enthalpy) {
        sensible = m * (air::si::enthalpy(t1, w2) - air::si::enthalpy(t2, w2));
        latent = m * (air::si::enthalpy(t1, w1) - air::si::enthalpy(t1, w2));
    } else {
        constexpr double btu_lb_degF = 2326.0 * 1.8;  // J/(kg K)
        sensible = m * (0.24 + 0.444 * w1) * btu_lb_degF * (t1 - t2);
        latent = m * (w1 - w2) * 1060.0 * 2326.0;
    }
    if (r.condensate && !heats) {
        // Liquid water at the leaving dry bulb: 4186 J/(kg K), ASHRAE Handbook Fundamentals ch. 1.
        const double liquid = m * (w1 - w2) * 4186.0 * t2;
        total -= liquid;
        latent -= liquid;
    }
    d.total_capacity.si = total;
    d.sensible_capacity.si = sensible;
    d.latent_capacity.si = latent;
    d.mass_flow.si = m;
    d.standard_airflow.si = air::si::standard_from_dry_mass(m);
    d.split = in.dry_bulb - out.dry_bulb;
    d.condensate_flow.si = m * (w1 - w2);
    d.return_air = in;
    d.supply_air = out;
    if (std::abs(total) > 1e-6 * m * 1e5) d.sensible_ratio = sensible / total;  // 1e5 J/kg: an enthalpy's own size
    if (total < 0.0) d.notes.add(Note::negative_capacity);
    if (latent < 0.0) d.notes.add(Note::negative_latent);
    if (sensible > total && sensible > 0.0) d.notes.add(Note::sensible_above_total);
    if (std::abs(t1 - t2) < practice::least_split.si) d.notes.add(Note::small_split);
    return {};
}

OFFNOMINAL_INLINE void note_saturation(Delivered& d, double supply_relative_humidity) noexcept {
    if (supply_relative_humidity > 0.97) d.notes.add(Note::near_saturation);
}

/// Wet bulbs, and what near saturation is noted.
inline void finish(Delivered& d) noexcept {
    d.return_wet_bulb = air::wet_bulb(d.return_air);
    d.supply_wet_bulb = air::wet_bulb(d.supply_air);
    note_saturation(d, air::relative_humidity(d.supply_air).si);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace detail

inline namespace OFFNOMINAL_ISA {

/// @return what is delivered, or a reason: a state that cannot be, an airflow not given or not positive.
[[nodiscard]] inline Answer<Delivered> try_deliver(const Readings& readings, const Site& site) noexcept {
    return Answer<Delivered>::built([&](Delivered& out) noexcept -> Reason {
        if (const Reason reason = detail::unknown_choice(readings); !reason.none()) return reason;
        const Reason reason = detail::find_delivered(readings, site.pressure(), out);
        if (reason.none()) detail::finish(out);
        return reason;
    });
}

/// As `try_deliver`. @throws Refused where that has a reason.
[[nodiscard]] inline Delivered deliver(const Readings& readings, const Site& site) {
    return try_deliver(readings, site).value();
}

/// Answers rows `first` to `last` (not included) of a batch, with the bits of `try_deliver`; moist air by columns.
inline void deliver_rows(const DeliverBatch& batch, std::size_t first, std::size_t last, const DeliverColumns& out,
                         const air::ColumnKernels& air = air::si::own_columns) noexcept {
    constexpr std::size_t size = 64;
    std::array<Delivered, size> told;
    std::array<bool, size> answered{};
    std::array<double, size> t, w, p, found;
    const Reason choice = detail::unknown_choice(batch.readings);
    Answer<double> pressure = choice.none() ? batch.site(first).pressure() : choice;
    const auto is_one = [&batch](ReadingSlot slot) noexcept { return batch[slot].step == 0; };
    const bool one_site = (is_one(ReadingSlot::elevation) && is_one(ReadingSlot::pressure)) || !choice.none();
    for (; first < last; first += size) {
        const std::size_t rows = (std::min)(size, last - first);
        for (std::size_t i = 0; i < rows; ++i) {
            const std::size_t row = first + i;
            if (!one_site) pressure = batch.site(row).pressure();
            out.reason[row] = detail::find_delivered(batch.readings_of(row), pressure, told[i]);
            answered[i] = out.reason[row].none();
        }
        const auto find = [&](air::State Delivered::*side, Temperature Delivered::*wet) noexcept {
            for (std::size_t i = 0; i < rows; ++i) {  // where there is none, any air will do
                const air::State state =
                    answered[i] ? told[i].*side : air::State{Temperature{20.0}, HumidityRatio{0.0}, Pressure{101325.0}};
                t[i] = state.dry_bulb.si;
                w[i] = state.humidity_ratio.si;
                p[i] = state.pressure.si;
            }
            air.wet_bulbs(rows, t.data(), w.data(), p.data(), found.data());
            for (std::size_t i = 0; i < rows; ++i) (told[i].*wet).si = (std::min)(found[i], t[i]);
        };
        find(&Delivered::return_air, &Delivered::return_wet_bulb);
        find(&Delivered::supply_air, &Delivered::supply_wet_bulb);
        air.relative_humidities(rows, t.data(), w.data(), p.data(), found.data());
        for (std::size_t i = 0; i < rows; ++i) {
            detail::note_saturation(told[i], found[i]);
            if (out.notes != nullptr) out.notes[first + i] = answered[i] ? told[i].notes : Notes{};
        }
        detail::write_columns<Delivered>(out.numbers, first, told.data(), rows, answered.data());
    }
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
OFFNOMINAL_EXACT_END
