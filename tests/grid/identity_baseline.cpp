#define IDENTITY_NAME compute_baseline
#define IDENTITY_LAYOUT layout_baseline
#include "identity.ipp"
