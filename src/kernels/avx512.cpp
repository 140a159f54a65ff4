#define OFFNOMINAL_KERNELS for_avx512
#define OFFNOMINAL_KERNELS_NAME "avx512"
#define OFFNOMINAL_KERNELS_TABLE kernels_avx512
#define OFFNOMINAL_COLUMNS_TABLE columns_avx512
#include "kernels.ipp"
