# Component `core`: kernels, airflow, audit, proof and reports. It needs no other library.
include_guard()
include(${CMAKE_CURRENT_LIST_DIR}/offnominal-core-targets.cmake)
set(offnominal_core_FOUND TRUE)
