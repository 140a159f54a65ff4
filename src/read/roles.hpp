/// @file
/// What a column of a cooling page may be.
#pragma once

#include <array>

#include "read/table.hpp"

namespace offnominal::files::roles {

inline constexpr Role odb{"odb", Dimension::temperature, Role::Kind::axis};
inline constexpr Role airflow{
    .name = "airflow", .dimension = Dimension::airflow, .kind = Role::Kind::axis, .other = Dimension::mass_flow};
inline constexpr Role ewb{"ewb", Dimension::temperature, Role::Kind::axis, false};
inline constexpr Role rh{"rh", Dimension::ratio, Role::Kind::axis, false};
inline constexpr Role edb{"edb", Dimension::temperature, Role::Kind::axis, false};
inline constexpr Role pressure{"pressure", Dimension::pressure, Role::Kind::axis, false};

// Outputs may be ratios: to a rated value, or sensible to total.
inline constexpr Role total{.name = "total", .dimension = Dimension::power, .other = Dimension::ratio};
inline constexpr Role sensible{.name = "sensible",
                               .dimension = Dimension::power,
                               .required = false,
                               .may_be_dry = true,
                               .may_be_blank = true,
                               .may_be_at = true,
                               .other = Dimension::ratio};
inline constexpr Role power{
    .name = "power", .dimension = Dimension::power, .required = false, .other = Dimension::ratio};
inline constexpr Role bypass{"bypass", Dimension::ratio, Role::Kind::output, false};

/// Kept and interpolated; no capacity comes from them. What goes with sensible may stand at several entering dry bulbs.
inline constexpr Role extra(std::string_view name, Dimension dimension, bool may_be_at = false) {
    return {.name = name, .dimension = dimension, .kind = Role::Kind::extra, .required = false, .may_be_at = may_be_at};
}
inline constexpr Role gauge(std::string_view name) {
    Role role = extra(name, Dimension::gauge_pressure);
    role.other = Dimension::pressure;
    return role;
}
inline constexpr std::array<Role, 7> extras{extra("split", Dimension::temperature_difference, true),
                                            extra("latent", Dimension::power, true),
                                            gauge("suction_pressure"),
                                            gauge("liquid_pressure"),
                                            extra("amps", Dimension::current),
                                            extra("eer", Dimension::efficiency),
                                            extra("cop", Dimension::efficiency)};

}  // namespace offnominal::files::roles
