// Loops of single look-ups: each independent of the others, and each waiting for the one before. single.cpp is compiled
// once for any x86-64 and once for this machine.
#pragma once

#include <cstddef>

#include "offnominal/grid/view.hpp"

double single_independent_baseline(const offnominal::GridView& view, const double* points, std::size_t count);
double single_dependent_baseline(const offnominal::GridView& view, const double* points, std::size_t count);
double single_independent_native(const offnominal::GridView& view, const double* points, std::size_t count);
double single_dependent_native(const offnominal::GridView& view, const double* points, std::size_t count);
