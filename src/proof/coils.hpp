/// @file
/// Some questions to one page of cooling together: moist air goes by columns, with the bits of one by one.
#pragma once

#include <array>
#include <span>

#include "offnominal/expect.hpp"

namespace offnominal::detail {

/// A question on its way through the steps of `Frame::at`.
struct OnItsWay {
    Situation situation;
    CoolingChain chain;
    CoolingChain::Coil coil;
    AnswerNumbers numbers;
    Reason reason{};  ///< why it has no answer
};

/// What `CoolingChain::at` does, for up to `coils_together` questions whose page is entered.
inline constexpr std::size_t coils_together = 16;
inline void work_coils(std::span<OnItsWay> some) noexcept {
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

}  // namespace offnominal::detail
