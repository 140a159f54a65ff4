#define IDENTITY_NAME compute_avx512
#define IDENTITY_LAYOUT layout_avx512
#include "identity.ipp"
