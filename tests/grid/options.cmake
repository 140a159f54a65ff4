# Some of these translation units are compiled for an instruction set of their own; see identity.ipp.
if(CMAKE_SYSTEM_PROCESSOR MATCHES "^(x86_64|AMD64)$" AND NOT MSVC)
    set_source_files_properties(grid/identity_avx2.cpp PROPERTIES COMPILE_OPTIONS "-march=x86-64-v3")
    set_source_files_properties(grid/identity_avx512.cpp PROPERTIES COMPILE_OPTIONS "-march=x86-64-v4")
endif()
