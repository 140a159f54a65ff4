# offnominal_embed(TARGET FILE [NAME name] [C]): a system as constant data of a program or a library. It needs no file and no
# yaml-cpp when it runs; only the building of it reads FILE, and tables beside that.
#
# For a target that links offnominal::core: NAME.hpp, which declares `const offnominal::System& embedded::NAME()`. With C, for one
# that links offnominal::c or offnominal::c_core: NAME.h, which declares `NAME_bytes`, for offnominal_system_from_bytes().
# NAME is the file's name, if not given. The target is one of this folder's. Where it is cross-compiled, OFFNOMINAL_EMBED is the path
# of an offnominal_embed that runs here.
function(offnominal_embed target file)
    cmake_parse_arguments(PARSE_ARGV 2 arg "C" "NAME" "")
    if(arg_UNPARSED_ARGUMENTS)
        message(FATAL_ERROR "offnominal_embed: ${arg_UNPARSED_ARGUMENTS}; accepted: TARGET FILE [NAME name] [C]")
    endif()
    cmake_path(ABSOLUTE_PATH file BASE_DIRECTORY ${CMAKE_CURRENT_SOURCE_DIR} NORMALIZE)
    cmake_path(GET file PARENT_PATH beside)
    if(NOT arg_NAME)
        cmake_path(GET file STEM LAST_ONLY arg_NAME)
    endif()
    string(MAKE_C_IDENTIFIER "${arg_NAME}" name)
    set(language CXX)
    if(arg_C)
        set(language C)
    endif()
    get_property(enabled GLOBAL PROPERTY ENABLED_LANGUAGES)
    set(folder ${CMAKE_CURRENT_BINARY_DIR}/offnominal_embed)
    if(arg_C AND C IN_LIST enabled)
        set(source ${folder}/${name}.c)
    else()
        set(source ${folder}/${name}.cpp)
    endif()
    if(arg_C)
        set(header ${folder}/${name}.h)
    else()
        set(header ${folder}/${name}.hpp)
    endif()
    set(program offnominal::embed)
    if(OFFNOMINAL_EMBED)
        set(program ${OFFNOMINAL_EMBED})
    endif()
    file(MAKE_DIRECTORY ${folder})
    file(GLOB tables CONFIGURE_DEPENDS ${beside}/*.csv)
    add_custom_command(OUTPUT ${source} ${header} COMMAND ${program} ${file} ${name} ${language} ${source}
        DEPENDS ${file} ${tables} VERBATIM COMMENT "Embedding ${file}")
    set_source_files_properties(${source} PROPERTIES SKIP_UNITY_BUILD_INCLUSION ON)  # all of them name their bytes alike
    target_sources(${target} PRIVATE ${source} ${header})
    target_include_directories(${target} PRIVATE ${folder})
endfunction()
