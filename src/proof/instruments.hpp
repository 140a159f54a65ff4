/// @file
/// Instruments whose calibration has expired.
#pragma once

#include <optional>
#include <string_view>
#include <tuple>
#include <type_traits>
#include <variant>

#include "airflow/inputs.hpp"
#include "offnominal/proof.hpp"
#include "ranges.hpp"

namespace offnominal::detail {

/// What a calibration does to what an instrument states; 1 where it holds or none is told.
/// @throws InputError for days that are none, or a calibration after the visit
[[nodiscard]] inline double widening_of(const Visit& visit, std::string_view instrument) {
    const auto found = ranges::find(visit.instruments, instrument, &Instrument::name);
    if (instrument.empty() || found == visit.instruments.end() || !found->calibration) return 1.0;
    return calibration_on(visit.date, found->calibration->date, found->calibration->months).widening();
}

/// The visit with all that such instruments read widened; nothing where no calibration has expired.
[[nodiscard]] inline std::optional<Visit> widened(const Visit& visit) {
    const bool expired =
        ranges::any_of(visit.instruments, [&](const Instrument& one) { return widening_of(visit, one.name) > 1.0; });
    if (!expired) return std::nullopt;
    Visit out = visit;
    for (Uncertain& u : out.uncertainty) u.standard *= widening_of(visit, u.instrument);
    const auto widen = [&]<class In>(In& in) {
        if constexpr (std::is_base_of_v<ReadBy, In>) in.standard.si *= widening_of(visit, in.instrument);
        if constexpr (std::is_same_v<In, std::vector<ComponentDrop>>)
            for (ComponentDrop& one : in) one.drop.standard.si *= widening_of(visit, one.drop.instrument);
    };
    for (AirflowFinding& way : out.airflow_by)
        std::visit(
            [&]<class T>(T& readings) {
                std::apply([&](const auto&... in) { (widen(readings.*in.member), ...); }, inputs_of<T>);
            },
            way.by);
    return out;
}

}  // namespace offnominal::detail
