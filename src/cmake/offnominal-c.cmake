# Component `c`: the C interface as one shared library, which needs no other at link time.
include_guard()
include(${CMAKE_CURRENT_LIST_DIR}/offnominal-c-targets.cmake)
set(offnominal_c_FOUND TRUE)
