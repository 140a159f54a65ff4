// The plain loops that stand in for vectors where a compiler has none.
#define OFFNOMINAL_PLAIN_LANES
#define OFFNOMINAL_KERNELS for_plain_loops
#define IDENTITY_NAME compute_plain
#define IDENTITY_LAYOUT layout_plain
#include "identity.ipp"
