# Component `files`. The library is linked to yaml-cpp privately, but a static one still needs it at link time.
find_dependency(yaml-cpp)
include(${CMAKE_CURRENT_LIST_DIR}/offnominal-core.cmake)
include(${CMAKE_CURRENT_LIST_DIR}/offnominal-files-targets.cmake)
set(offnominal_files_FOUND TRUE)
