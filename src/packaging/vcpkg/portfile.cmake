# A port for vcpkg, in the checkout that it builds: `vcpkg install offnominal --overlay-ports=src/packaging/vcpkg`. One in a registry takes
# SOURCE_PATH from vcpkg_from_git() or its like instead.
#
# Not tried with vcpkg itself, whose functions and ports are as their documentation has them (from memory). tests/consumers/test_packages.py
# runs this file with functions of the same names, for the headers.
get_filename_component(SOURCE_PATH "${CMAKE_CURRENT_LIST_DIR}/../../.." ABSOLUTE)

vcpkg_check_features(OUT_FEATURE_OPTIONS options FEATURES
    core OFFNOMINAL_CORE
    files OFFNOMINAL_FILES
    c OFFNOMINAL_C)
vcpkg_cmake_configure(SOURCE_PATH "${SOURCE_PATH}" OPTIONS ${options} -DOFFNOMINAL_TESTS=OFF -DOFFNOMINAL_INSTALL=ON)
vcpkg_cmake_install()
if("files" IN_LIST FEATURES)
    vcpkg_copy_tools(TOOL_NAMES offnominal_embed AUTO_CLEAN)
endif()
vcpkg_cmake_config_fixup(CONFIG_PATH lib/cmake/offnominal)
vcpkg_fixup_pkgconfig()
file(REMOVE_RECURSE "${CURRENT_PACKAGES_DIR}/debug/include" "${CURRENT_PACKAGES_DIR}/debug/share")
if("c" IN_LIST FEATURES)  # the C interface is a shared library in every triplet
    set(VCPKG_POLICY_DLLS_IN_STATIC_LIBRARY enabled)
endif()
if(NOT "core" IN_LIST FEATURES)
    file(REMOVE_RECURSE "${CURRENT_PACKAGES_DIR}/debug" "${CURRENT_PACKAGES_DIR}/lib")
endif()
vcpkg_install_copyright(FILE_LIST "${SOURCE_PATH}/LICENSE")
