/// @file
/// The keys of Standard 205 that are known here, and what each may hold. Shared by reading and writing.
///
/// Source: data model 2.0.0 of ANSI/ASHRAE Standard 205, RS0004 (names, units, ranges); what is required in `metadata`
/// from memory.
#pragma once

#include <array>
#include <limits>
#include <span>
#include <string_view>

#include "offnominal/standard205.hpp"
#include "text/json.hpp"

namespace offnominal::files {

using standard205::Map;
using standard205::Metadata;
using standard205::ProductInformation;
using standard205::Representation;

/// What a number of a map is; says which values are possible and what a wrong one looks like.
enum class NumberKind : std::uint8_t { temperature, fraction, mass_flow, sequence, pressure, power, factor };

struct NumberKey {
    std::string_view name;
    NumberKind measure;
};

/// One of the maps of `performance`.
struct MapKey {
    std::string_view name;
    std::optional<Map> Representation::*member;
    std::span<const NumberKey> grid;  ///< in the order in which the look-up arrays run, the last fastest
    std::span<const NumberKey> lookup;
    bool has_state;
    std::string_view capability;  ///< the capability that asks for it; empty: always asked for, or never
    bool required;
};

namespace keys {

using enum NumberKind;

inline constexpr std::string_view performance = "performance", capabilities = "performance_capabilities",
                                  speed_control = "compressor_speed_control_type", scaling = "scaling",
                                  cooling_degradation = "cooling_cycling_degradation_coefficient",
                                  heating_degradation = "heating_cycling_degradation_coefficient",
                                  older_degradation = "cycling_degradation_coefficient",
                                  product_information = "product_information", grid_variables = "grid_variables",
                                  lookup_variables = "lookup_variables", operation_state = "operation_state",
                                  normal = "NORMAL";

inline constexpr std::string_view unitary_schema = "RS0002";

inline constexpr std::string_view outdoor_dry_bulb = "outdoor_coil_entering_dry_bulb_temperature",
                                  outdoor_humidity = "outdoor_coil_entering_relative_humidity",
                                  entering_humidity = "indoor_coil_entering_relative_humidity",
                                  entering_dry_bulb = "indoor_coil_entering_dry_bulb_temperature",
                                  airflow = "indoor_coil_air_mass_flow_rate",
                                  sequence_number = "compressor_sequence_number",
                                  station_pressure = "ambient_absolute_air_pressure", total = "gross_total_capacity",
                                  sensible = "gross_sensible_capacity", gross_power = "gross_power",
                                  heating_capacity = "gross_frost_free_capacity",
                                  heating_power = "gross_frost_free_power",
                                  capacity_factor = "capacity_correction_factor",
                                  power_factor = "power_correction_factor", defrost_time = "defrost_time_fraction";

inline constexpr NumberKey cooling_grid[]{
    NumberKey{outdoor_dry_bulb, temperature},  NumberKey{entering_humidity, fraction},
    NumberKey{entering_dry_bulb, temperature}, NumberKey{airflow, mass_flow},
    NumberKey{sequence_number, sequence},      NumberKey{station_pressure, pressure},
};
inline constexpr NumberKey cooling_lookup[]{
    NumberKey{total, power},
    NumberKey{sensible, power},
    NumberKey{gross_power, power},
};
inline constexpr NumberKey heating_grid[]{
    NumberKey{outdoor_dry_bulb, temperature},
    NumberKey{entering_dry_bulb, temperature},
    NumberKey{airflow, mass_flow},
    NumberKey{sequence_number, sequence},
};
inline constexpr NumberKey heating_lookup[]{NumberKey{heating_capacity, power}, NumberKey{heating_power, power}};
inline constexpr NumberKey defrost_grid[]{
    NumberKey{outdoor_dry_bulb, temperature},
    NumberKey{outdoor_humidity, fraction},
    NumberKey{sequence_number, sequence},
};
inline constexpr NumberKey defrost_lookup[]{
    NumberKey{capacity_factor, fraction},
    NumberKey{power_factor, factor},
    NumberKey{defrost_time, fraction},
};
inline constexpr NumberKey standby_grid[]{NumberKey{"outdoor_coil_environment_dry_bulb_temperature", temperature}};
inline constexpr NumberKey standby_lookup[]{NumberKey{gross_power, power}};

inline constexpr std::array<MapKey, 4> maps{
    MapKey{"performance_map_cooling", &Representation::cooling, cooling_grid, cooling_lookup, true, "COOLING", false},
    MapKey{"performance_map_heating", &Representation::heating, heating_grid, heating_lookup, true, "HEATING", false},
    MapKey{"performance_map_defrost_correction", &Representation::defrost_correction, defrost_grid, defrost_lookup,
           false, "", false},
    MapKey{"performance_map_standby", &Representation::standby, standby_grid, standby_lookup, false, "", true},
};

template <class T>
struct TextKey {
    std::string_view name;
    std::string T::*member;
    bool required = false;
    std::string_view value = {};  ///< the one the standard asks for
};
inline constexpr std::array<TextKey<Metadata>, 10> metadata{
    TextKey<Metadata>{"data_model", &Metadata::data_model, true, "ASHRAE_205"},
    TextKey<Metadata>{"schema", &Metadata::schema, true, "RS0004"},
    TextKey<Metadata>{"schema_version", &Metadata::schema_version, true, "2.0.0"},
    TextKey<Metadata>{"description", &Metadata::description, true},
    TextKey<Metadata>{"id", &Metadata::id, true},
    TextKey<Metadata>{"data_timestamp", &Metadata::data_timestamp, true},
    TextKey<Metadata>{"data_version", &Metadata::data_version},
    TextKey<Metadata>{"data_source", &Metadata::data_source},
    TextKey<Metadata>{"disclaimer", &Metadata::disclaimer},
    TextKey<Metadata>{"notes", &Metadata::notes},
};
inline constexpr std::array<TextKey<ProductInformation>, 6> product{
    TextKey<ProductInformation>{"outdoor_unit_manufacturer", &ProductInformation::outdoor_unit_manufacturer},
    TextKey<ProductInformation>{"outdoor_unit_model_number", &ProductInformation::outdoor_unit_model_number},
    TextKey<ProductInformation>{"indoor_unit_manufacturer", &ProductInformation::indoor_unit_manufacturer},
    TextKey<ProductInformation>{"indoor_unit_model_number", &ProductInformation::indoor_unit_model_number},
    TextKey<ProductInformation>{"refrigerant", &ProductInformation::refrigerant},
    TextKey<ProductInformation>{"compressor_type", &ProductInformation::compressor_type},
};

}  // namespace keys

/// A value of a text key as text: what is not text by its JSON text; nothing by an empty one.
[[nodiscard]] inline std::string text_of(const Json& value) {
    if (value.is_string()) return value.get<std::string>();
    return value.is_null() ? std::string() : value.dump();
}

/// The tree of a document that is no larger than one may be. @throws InputError
[[nodiscard]] JsonDocument parse_document(std::string_view bytes, const std::string& name, const Limits& limits);

/// The schema that a document says it follows; empty if it says none.
[[nodiscard]] std::string schema_of(const Json& root);

/// Checks a tree, takes it apart, and reports its departures. The arrays of its maps move out of `document.root`.
/// @throws InputError
[[nodiscard]] Representation take_representation(JsonDocument& document, const Limits& limits = {});

}  // namespace offnominal::files
