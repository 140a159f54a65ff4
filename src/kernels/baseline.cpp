#define OFFNOMINAL_KERNELS for_baseline
#define OFFNOMINAL_KERNELS_NAME "baseline"
#define OFFNOMINAL_KERNELS_TABLE kernels_baseline
#define OFFNOMINAL_COLUMNS_TABLE columns_baseline
#include "kernels.ipp"
