/// @file
/// Multilinear tables of several outputs over named axes: `Axis`, `Grid`, `GridView`. Pure mathematics.
#pragma once

#include "offnominal/grid/axis.hpp"
#include "offnominal/grid/batch.hpp"
#include "offnominal/grid/cell.hpp"
#include "offnominal/grid/grid.hpp"
#include "offnominal/grid/kernels.hpp"
#include "offnominal/grid/solve.hpp"
#include "offnominal/grid/view.hpp"
