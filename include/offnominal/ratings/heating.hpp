/// @file
/// A page of heating ratings as plain data. Instantaneous and integrated pages are kept apart: see `Frost`.
#pragma once

#include <optional>
#include <vector>

#include "offnominal/ratings/page.hpp"

namespace offnominal {

/// Whether a heating capacity is that of a running machine, or averaged over frost and defrost.
enum class Frost : std::uint8_t {
    unknown,
    instantaneous,  ///< peak: steady, without frost
    integrated,     ///< averaged over frost build-up and defrost
};
template <>
inline constexpr Word<Frost> words_of<Frost>[] = {
    {Frost::unknown, "unknown"}, {Frost::instantaneous, "instantaneous"}, {Frost::integrated, "integrated"}};

/// The metadata of heating pages. What the maker does not say stays `unknown` or empty.
struct HeatingBasis {
    CapacityBasis capacity = CapacityBasis::unknown;  ///< net: with the indoor fan's heat in it
    AirflowBasis airflow = AirflowBasis::unknown;
    Pound standard_pound = Pound::unknown;
    PowerBasis power = PowerBasis::unknown;
    TableFan fan;                                     ///< of a net table
    std::optional<Temperature> printed_at;            ///< entering dry bulb of a page without such an axis
    std::optional<double> outdoor_relative_humidity;  ///< fraction the page is printed for
    std::optional<Length> elevation;
    std::optional<double> tolerance;  ///< maker's, coverage factor 2, as a fraction
};

/// One node of a heating page as printed, SI.
struct HeatingNode {
    double capacity = 0.0;      ///< W
    double power = 0.0;         ///< W
    Mark mark = Mark::printed;  ///< printed, blank or beyond_limit
};

/// A heating page as typed: nodes row-major over (outdoor dry bulb, airflow, entering dry bulb), the last fastest.
struct HeatingPage {
    std::vector<double> outdoor_dry_bulb;   ///< degC
    std::vector<double> airflow;            ///< m3/s of standard air
    std::vector<double> entering_dry_bulb;  ///< degC; one value if the page has no such column
    std::vector<HeatingNode> nodes;
    bool has_power = false;
    double capacity_step = PrintedPage::not_given;  ///< W: as `PrintedPage::total_step`
    double power_step = PrintedPage::not_given;     ///< W
    std::vector<InputError::Place> places;
    std::vector<ExtraColumn> extras;
    std::vector<TypedColumn> typed;
    std::vector<TypedColumn> airflow_factors;  ///< of the multiplier row, as typed: one text for each airflow
    std::vector<TypedColumn> edb_factors;      ///< likewise for each entering dry bulb
    bool airflow_multiplied = false;           ///< the airflow axis comes from a multiplier row
    bool dry_bulb_multiplied = false;          ///< the entering-dry-bulb axis comes from a multiplier row
};

}  // namespace offnominal
