/// @file
/// ANSI/ASHRAE Standard 205 representations of air-to-air direct-expansion systems (RS0004), as JSON or CBOR: read,
/// turned into a `System`, made from one, written back without loss. Unitary systems (RS0002), which are made of one
/// and of a fan (RS0003), are read. Compiled: link `offnominal::files`. `offnominal.hpp` leaves this header out.
///
/// Names, units and ranges: Standard 205 data model 2.0.0, annex RS0004. Real files depart from it. What leaves the
/// numbers usable is read and reported (`Representation::departures`); what would make them mean something else is an
/// `InputError` that names the key: a look-up array too short (its numbers would shift), kilopascals where pascals are
/// due, grid values out of order, a number past its range.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/limits.hpp"
#include "offnominal/system.hpp"

namespace offnominal::standard205 {

enum class Format : std::uint8_t {
    json,
    cbor,  ///< RFC 8949
};

/// One way in which a file is not what the standard asks for, though its numbers can be used.
struct Departure {
    std::string key;      ///< its path: `performance.performance_map_cooling.lookup_variables.operation_state`
    std::string problem;  ///< what is wrong
    std::string asked;    ///< what the standard asks for
};

/// A variable of a map, in the standard's own units: temperatures in **kelvin**, everything else coherent SI.
struct Variable {
    std::string name;
    std::vector<double> values;
};

/// A performance map: look-up values over a grid.
struct Map {
    std::vector<Variable> grid;    ///< rising values; in the standard's order, whatever the order of keys in the file
    std::vector<Variable> lookup;  ///< flat, one value for each grid point, the last grid variable fastest
    std::vector<std::string> operation_state;  ///< look-up variable of words; empty if the file has none

    /// How many grid points there are.
    [[nodiscard]] std::size_t points() const noexcept {
        std::size_t out = 1;
        for (const Variable& axis : grid) out *= axis.values.size();
        return out;
    }
    /// The values of a grid or look-up variable, or nullptr.
    [[nodiscard]] const std::vector<double>* find(std::string_view name) const noexcept {
        for (const auto* list : {&grid, &lookup})
            for (const Variable& variable : *list)
                if (variable.name == name) return &variable.values;
        return nullptr;
    }
};

/// Where a representation comes from. What the file does not give is empty.
struct Metadata {
    std::string data_model;      ///< `ASHRAE_205`
    std::string schema;          ///< `RS0004`
    std::string schema_version;  ///< `2.0.0`
    std::string description;
    std::string id;
    std::string data_timestamp;
    std::string data_version;
    std::string data_source;
    std::string disclaimer;
    std::string notes;
};

struct ProductInformation {
    std::string outdoor_unit_manufacturer;
    std::string outdoor_unit_model_number;
    std::string indoor_unit_manufacturer;
    std::string indoor_unit_model_number;
    std::string refrigerant;
    std::string compressor_type;
};

/// A whole representation, as plain data. One built in code needs no `frame`.
struct Representation {
    Metadata metadata;
    ProductInformation product;

    std::vector<std::string> capabilities;                          ///< COOLING, HEATING
    std::string speed_control;                                      ///< DISCRETE or CONTINUOUS
    std::optional<double> cooling_cycling_degradation_coefficient;  ///< [0, 1)
    std::optional<double> heating_cycling_degradation_coefficient;  ///< [0, 1)
    std::string scaling;  ///< JSON text: the range over which capacities may be scaled; empty: they may not

    std::optional<Map> cooling;
    std::optional<Map> heating;
    std::optional<Map> defrost_correction;
    std::optional<Map> standby;

    std::string name;                   ///< the file, for messages
    std::vector<Departure> departures;  ///< found when it was read
    /// JSON text: the document with the arrays of its maps taken out. It holds the order of the keys and every key that
    /// has no member here; `write_representation` puts the members into it.
    std::string frame = "{}";
};

/// Whether a text or binary begins like a representation: a CBOR map, or a JSON object that is not one of our own
/// files.
[[nodiscard]] bool is_representation(std::string_view bytes) noexcept;

/// Reads a representation; JSON and CBOR are told apart by content.
/// @throws InputError with file, line and column (JSON), key, value and what would be right.
[[nodiscard]] Representation read_representation(const std::string& path, const Limits& limits = {});

/// The same from memory. `name` stands for the file in messages.
[[nodiscard]] Representation parse_representation(std::string_view bytes, const std::string& name,
                                                  const Limits& limits = {});

/// Writes a representation: the same numbers bit for bit, the same keys in the same order as it was read with.
/// Numbers of the maps are written as floating point, sequence numbers as integers.
/// @throws InputError for what `parse_representation` would refuse.
[[nodiscard]] std::string write_representation(const Representation& representation, Format format);

/// A representation as a system.
///
/// - Compressor sequence number n becomes stage "n"; CONTINUOUS becomes `Modulation::variable`: the standard does not
///   say at which speed each number runs, so nothing is read between them.
/// - Capacities are gross, power is the outdoor unit's, relative humidity stays an axis. A single entering dry bulb
///   becomes `Basis::sensible_at`, and the relative humidities wet bulbs at it; a single pressure `Basis::elevation`.
/// - Mass flow becomes standard airflow. The standard does not say whether it is of dry or of moist air: the pound is
///   unknown, which every answer notes.
/// - Points in another operation state than NORMAL are `Mark::beyond_limit`: no machine in steady operation is
///   described there, and an answer that would lean on one is refused. A point of no capacity is blank.
/// - The heating map is frost-free (`Frost::instantaneous`); the defrost correction stays a table of its own.
/// - Cycling degradation, standby power and scaling have no place in a system: they say nothing of steady operation.
///
/// @throws InputError for a representation without a cooling and a heating map, or whose numbers no machine could have.
[[nodiscard]] System to_system(const Representation& representation, const Limits& limits = {});

/// A unitary system (RS0002): the direct-expansion system in it, and its fan.
struct UnitarySystem {
    Representation system;
    std::string indoor_unit;  ///< what the indoor unit is called; `indoor unit` where the file does not say
    FanPosition fan = FanPosition::unknown;
    /// What the fan moves, and the electric power it takes: a tap for each number of a speed. Empty where the file does
    /// not tell both, as for a fan of continuous speed, or without its motor; a departure then says why.
    BlowerTable blower;
    std::vector<Departure> departures;  ///< of what is around the system, whose own are in `system`
};

/// Reads one. Names from memory of data model 1.0 and 2.0, annexes RS0002, RS0003, RS0005 and RS0006: there was no text
/// of them at hand, and unlike spellings are departures.
///
/// - The map of a fan is its assembly's: `static_pressure_difference` is external to what stands in
///   `assembly_components`, which becomes `BlowerTable::Basis::includes` (a coil as a dry one: the map is of a dry
///   coil).
/// - Electric power is the shaft's over the efficiencies of drive and motor; a motor's map is held at its edges.
/// - All of it is taken to warm the air, as `heat_loss_fraction` 1 says.
///
/// @throws InputError for what is no unitary system, or whose numbers no fan could have
[[nodiscard]] UnitarySystem parse_unitary_system(std::string_view bytes, const std::string& name,
                                                 const Limits& limits = {});

/// A unitary system as a system: its indoor unit is the one match, with the fan where it stands.
[[nodiscard]] System to_system(const UnitarySystem& unit, const Limits& limits = {});

/// A representation of either kind as a system.
[[nodiscard]] System parse_any(std::string_view bytes, const std::string& name, const Limits& limits = {});

/// A system as a representation: what its pages and the standard have in common.
///
/// Pages need gross total, sensible and power of the outdoor unit, without blank nodes, all stages over the same axes;
/// humidity as relative humidity, or as wet bulb with sensible printed at one entering dry bulb; a pressure axis or a
/// known elevation. Stages are numbered by rising capacity; their names are kept in the notes.
/// @throws InputError naming what is missing.
[[nodiscard]] Representation to_representation(const System& system);

}  // namespace offnominal::standard205
