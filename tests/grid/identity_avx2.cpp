#define IDENTITY_NAME compute_avx2
#define IDENTITY_LAYOUT layout_avx2
#include "identity.ipp"
