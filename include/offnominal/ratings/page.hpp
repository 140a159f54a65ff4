/// @file
/// A page of expanded ratings as plain data: as printed, as built, and as read.
#pragma once

#include <array>
#include <vector>

#include "offnominal/answer.hpp"
#include "offnominal/grid.hpp"
#include "offnominal/ratings/basis.hpp"

namespace offnominal {

/// What to do past the edge of a page. Nothing but `refuse` happens unless asked.
enum class Outside : std::uint8_t {
    refuse,
    hold,    ///< take the value at the edge, at most 2 % of the axis' span away
    extend,  ///< continue the edge cell, at most 2 % of the axis' span
    follow,  ///< continue the edge cell without limit: for the sensitivities of a proof, never for an answer
};

/// One node as printed, SI.
struct PrintedNode {
    double total = 0.0;         ///< W
    double sensible = 0.0;      ///< W, at the reference dry bulb
    double power = 0.0;         ///< W
    double bypass = 0.0;        ///< bypass factor
    Mark mark = Mark::printed;  ///< printed, dry, blank or beyond_limit
};

/// A page as typed: breakpoints in SI, nodes row-major over (outdoor dry bulb, airflow, entering wet bulb).
struct PrintedPage {
    std::vector<double> outdoor_dry_bulb;   ///< degC
    std::vector<double> airflow;            ///< m3/s of standard air; one value if the page has no airflow column
    std::vector<double> entering_wet_bulb;  ///< degC
    std::vector<PrintedNode> nodes;
    bool has_sensible = false;
    bool has_power = false;
    bool has_bypass = false;
    double total_step = 0.0;                ///< W: one unit in the last printed place
    double sensible_step = 0.0;             ///< W
    double power_step = 0.0;                ///< W
    std::vector<InputError::Place> places;  ///< where each node was typed, for messages; may be empty
};

/// What a page says at one condition, gross, before any derate.
struct Reading {
    double total = 0.0;     ///< W, on the wet line
    double sensible = 0.0;  ///< W, uncapped, at the reference dry bulb
    double power = 0.0;     ///< W
    double bypass = 0.0;
    double dry_offset = 0.0;  ///< W: printed dry total less what the dry-coil rule gives there, interpolated
    Footing footing = Footing::inside;
};

/// How well a page is known at one condition, standard uncertainties of the total in W.
struct PageUncertainty {
    double resolution = 0.0;     ///< from the last printed place: half a step, rectangular (JCGM 100, F.2.2.1)
    double interpolation = 0.0;  ///< from the page's own curvature between nodes
    bool curvature_known = true;
};

/// What a page is turned into when it is checked.
struct BuiltPage {
    /// Total, sensible, power, bypass; on a page with dry nodes also the dry offset, and 1 at inferred nodes (0
    /// elsewhere): an answer leans on an inferred node exactly where that is not 0. The marks hold blanks only.
    Grid grid;
    /// Per axis: root mean square of second derivative over total, per axis unit squared.
    std::array<double, 3> curvature{};
};

}  // namespace offnominal
