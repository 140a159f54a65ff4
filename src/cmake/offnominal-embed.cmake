# Component `embed`: the function offnominal_embed and the program behind it. What is embedded needs only `core`, `c` or `c_core`.
include_guard()
include(${CMAKE_CURRENT_LIST_DIR}/offnominal-embed-targets.cmake)
include(${CMAKE_CURRENT_LIST_DIR}/offnominal_embed.cmake)
set(offnominal_embed_FOUND TRUE)
