#define OFFNOMINAL_KERNELS for_avx2
#define OFFNOMINAL_KERNELS_NAME "avx2"
#define OFFNOMINAL_KERNELS_TABLE kernels_avx2
#define OFFNOMINAL_COLUMNS_TABLE columns_avx2
#include "kernels.ipp"
