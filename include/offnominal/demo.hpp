/// @file
/// A small system for a first program, which then needs no file and no library; and an example of a system written in
/// code.
#pragma once

#include "offnominal/ratings/rows.hpp"
#include "offnominal/system.hpp"

namespace offnominal {
inline namespace OFFNOMINAL_ISA {

/// The high stage of the demo's three-ton machine with indoor A, INVENTED for demonstration: no such machine exists. It
/// is what tables/demo/alder.yaml has of it (tests/files/embedded.cpp holds the two against each other).
[[nodiscard]] inline System demo_system() {
    using namespace literals;
    // degF, scfm, degF, MBh, MBh, kW, bypass factor
    const PrintedPage page =
        page_of(print_IP, {
                              {75, 800, 59, 31.7, 30.7, 1.87, 0.08},   {75, 800, 63, 33.8, 27.3, 1.91, 0.08},
                              {75, 800, 67, 36.1, 23.8, 1.94, 0.08},   {75, 800, 71, 38.4, 20.2, 1.98, 0.08},
                              {75, 1000, 59, 33.6, 33.6, 1.90, 0.10},  {75, 1000, 63, 35.3, 30.6, 1.93, 0.10},
                              {75, 1000, 67, 37.5, 26.3, 1.96, 0.10},  {75, 1000, 71, 39.9, 22.0, 2.00, 0.10},
                              {75, 1200, 59, 35.4, 35.4, 1.93, 0.12},  {75, 1200, 63, 36.3, 33.7, 1.94, 0.12},
                              {75, 1200, 67, 38.6, 28.7, 1.98, 0.12},  {75, 1200, 71, 41.0, 23.7, 2.02, 0.12},
                              {85, 800, 59, 30.1, 29.9, 2.13, 0.08},   {85, 800, 63, 32.2, 26.5, 2.16, 0.08},
                              {85, 800, 67, 34.4, 23.1, 2.20, 0.08},   {85, 800, 71, 36.8, 19.6, 2.24, 0.08},
                              {85, 1000, 59, 32.2, 32.2, 2.16, 0.10},  {85, 1000, 63, 33.5, 29.8, 2.19, 0.10},
                              {85, 1000, 67, 35.8, 25.6, 2.22, 0.10},  {85, 1000, 71, 38.2, 21.4, 2.26, 0.10},
                              {85, 1200, 59, 33.9, 33.9, 2.19, 0.12},  {85, 1200, 63, 34.5, 32.9, 2.20, 0.12},
                              {85, 1200, 67, 36.8, 28.0, 2.24, 0.12},  {85, 1200, 71, 39.1, 23.0, 2.28, 0.12},
                              {95, 800, 59, 28.7, 28.7, 2.41, 0.08},   {95, 800, 63, 30.5, 25.8, 2.45, 0.08},
                              {95, 800, 67, 32.7, 22.4, 2.49, 0.08},   {95, 800, 71, 35.1, 18.9, 2.53, 0.08},
                              {95, 1000, 59, 30.8, 30.8, 2.45, 0.10},  {95, 1000, 63, 31.8, 29.1, 2.47, 0.10},
                              {95, 1000, 67, 34.0, 24.9, 2.51, 0.10},  {95, 1000, 71, 36.4, 20.7, 2.55, 0.10},
                              {95, 1200, 59, 32.5, 32.5, 2.48, 0.12},  {95, 1200, 63, 32.7, 32.2, 2.49, 0.12},
                              {95, 1200, 67, 35.0, 27.3, 2.53, 0.12},  {95, 1200, 71, 37.3, 22.4, 2.57, 0.12},
                              {105, 800, 59, 27.3, 27.3, 2.73, 0.08},  {105, 800, 63, 28.8, 25.0, 2.76, 0.08},
                              {105, 800, 67, 31.0, 21.7, 2.80, 0.08},  {105, 800, 71, 33.4, 18.3, 2.85, 0.08},
                              {105, 1000, 59, 29.4, 29.4, 2.77, 0.10}, {105, 1000, 63, 30.0, 28.3, 2.78, 0.10},
                              {105, 1000, 67, 32.3, 24.2, 2.82, 0.10}, {105, 1000, 71, 34.6, 20.1, 2.87, 0.10},
                              {105, 1200, 59, 31.0, 31.0, 2.80, 0.12}, {105, 1200, 63, 31.0, 31.0, 2.80, 0.12},
                              {105, 1200, 67, 33.1, 26.6, 2.84, 0.12}, {105, 1200, 71, 35.5, 21.8, 2.89, 0.12},
                              {115, 800, 59, 26.0, 26.0, 3.07, 0.08},  {115, 800, 63, 27.1, 24.3, 3.09, 0.08},
                              {115, 800, 67, 29.3, 21.0, 3.14, 0.08},  {115, 800, 71, 31.7, 17.6, 3.19, 0.08},
                              {115, 1000, 59, 28.0, 28.0, 3.11, 0.10}, {115, 1000, 63, 28.3, 27.6, 3.12, 0.10},
                              {115, 1000, 67, 30.5, 23.6, 3.17, 0.10}, {115, 1000, 71, 32.8, 19.4, 3.22, 0.10},
                              {115, 1200, 59, 29.5, 29.5, 3.15, 0.12}, {115, 1200, 63, 29.6, 29.6, 3.15, 0.12},
                              {115, 1200, 67, 31.3, 26.0, 3.18, 0.12}, {115, 1200, 71},
                          });
    Basis basis;
    basis.capacity = CapacityBasis::gross;
    basis.airflow = AirflowBasis::standard;
    basis.standard_pound = Pound::dry;
    basis.power = PowerBasis::outdoor_unit;
    basis.sensible_at = 80_degF;
    basis.sensible_slope = from(1.10, units::Btu_h_cfm_degF);
    basis.elevation = 0_ft;
    basis.tolerance = 0.05;

    SystemParts parts;
    parts.name = "Alder three-ton, high stage, invented";
    parts.refrigerant = "R-410A";
    parts.cooling = {{"high", RatingTable(basis, page)}};
    parts.matches = {{"indoor A", true, {}, {}, {}, FanPosition::draw_through, {}}};
    return System(std::move(parts));
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal
