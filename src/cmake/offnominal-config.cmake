# find_package(offnominal [COMPONENTS core files embed c c_core c_static]): the headers always, `offnominal::offnominal`; and each component asked for.
include(CMakeFindDependencyMacro)
find_dependency(Threads)
include(${CMAKE_CURRENT_LIST_DIR}/offnominal-headers-targets.cmake)

foreach(component IN LISTS offnominal_FIND_COMPONENTS)
    include(${CMAKE_CURRENT_LIST_DIR}/offnominal-${component}.cmake OPTIONAL)
    if(offnominal_FIND_REQUIRED_${component} AND NOT offnominal_${component}_FOUND)
        set(offnominal_FOUND FALSE)
        string(APPEND offnominal_NOT_FOUND_MESSAGE "component '${component}' is not there or lacks what it needs. ")
    endif()
endforeach()
