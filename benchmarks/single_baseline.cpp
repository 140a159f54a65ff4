#define SINGLE_INDEPENDENT single_independent_baseline
#define SINGLE_DEPENDENT single_dependent_baseline
#include "single.ipp"
