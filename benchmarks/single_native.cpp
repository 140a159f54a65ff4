#define SINGLE_INDEPENDENT single_independent_native
#define SINGLE_DEPENDENT single_dependent_native
#include "single.ipp"
