# Component `c_core`: the part of the C interface that opens no file, as one shared library, which needs no other at link time.
include_guard()
include(${CMAKE_CURRENT_LIST_DIR}/offnominal-c_core-targets.cmake)
set(offnominal_c_core_FOUND TRUE)
