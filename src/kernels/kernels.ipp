// The kernels of one instruction set. Included by one translation unit for each, which is compiled for that set and
// defines OFFNOMINAL_KERNELS, the namespace they stand in, and the name and the symbol of their table. Nothing else may
// be included: a library function compiled here could be kept by the linker for the whole program, and run where it
// cannot.
#include "offnominal/air/columns.hpp"
#include "offnominal/grid/batch_kernel.hpp"
#include "offnominal/grid/data.hpp"
#include "offnominal/grid/sweep_kernel.hpp"
#include "tables.hpp"

const offnominal::detail::KernelTable offnominal::detail::OFFNOMINAL_KERNELS_TABLE{
    OFFNOMINAL_KERNELS_NAME, &offnominal::detail::evaluate_points, &offnominal::detail::sweep_points};

const offnominal::air::ColumnKernels offnominal::detail::OFFNOMINAL_COLUMNS_TABLE = offnominal::air::si::own_columns;
