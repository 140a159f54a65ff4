# Component `c_static`: the C interface as a static library, with the others that it needs.
include_guard()
include(${CMAKE_CURRENT_LIST_DIR}/offnominal-files.cmake)
include(${CMAKE_CURRENT_LIST_DIR}/offnominal-c_static-targets.cmake)
set(offnominal_c_static_FOUND TRUE)
