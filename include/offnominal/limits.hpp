/// @file
/// What reading may cost. A file that came from somebody else is read within these limits, or refused: at most about
/// 2 s and 500 MB for 16 MiB of any bytes whatever.
#pragma once

#include <cstddef>
#include <string_view>

namespace offnominal {

/// How much a reader takes: no printed page comes near. What counts "in all" is added up over one load, over every file
/// that it opens, as often as it opens it. Past a limit there is an InputError that says which.
struct Limits {
    std::size_t file_bytes = std::size_t{16} << 20;  ///< of one file
    std::size_t yaml_bytes = std::size_t{8} << 20;   ///< of one YAML file, whose parser takes up to 0.2 us a byte
    std::size_t all_bytes = std::size_t{32} << 20;   ///< of files, in all
    std::size_t lines = 2'000'000;                   ///< of one file
    std::size_t marks = 1'000'000;    ///< of one YAML file: brackets, commas, colons, quotes and the like, each of
                                      ///< which its parser may keep for long
    std::size_t depth = 32;           ///< of maps and lists within one another
    std::size_t values = 100'000;     ///< of one file: its keys, values, maps and lists, but for numbers in lists
    std::size_t key_bytes = 200;      ///< of one key, such as the name of a stage, or of the name of a file, or of a
                                      ///< column of a log
    std::size_t columns = 64;         ///< of one table
    std::size_t log_columns = 1'000;  ///< of one log
    std::size_t rows = 200'000;       ///< of tables, in all
    std::size_t cells = 4'000'000;    ///< of tables and logs, in all
    std::size_t flaws = 500'000;      ///< of logs, in all: what is missing or left out
    std::size_t factor_rows = 100;    ///< of one table of factors, each of which repeats the page
    std::size_t breakpoints = 1'000;  ///< of one axis of a page
    std::size_t nodes = 200'000;      ///< of typed pages, in all, those included that factors make

    // Standard 205 representations, whose maps are no print.
    std::size_t representation_bytes = std::size_t{256} << 20;  ///< of one representation, read as such
    std::size_t representation_values = 32'000'000;             ///< of one representation: the numbers of its lists too
    std::size_t object_keys = 1'000;                            ///< of one object
    std::size_t points = 600'000;                               ///< of one map; of both that a system is made of
    std::size_t departures = 1'000;                             ///< of one representation
};

/// What a limit counts, for messages.
struct LimitRow {
    std::size_t Limits::*most;
    std::string_view counts;
};
inline constexpr LimitRow limit_rows[] = {
    {&Limits::file_bytes, "bytes in a file"},
    {&Limits::yaml_bytes, "bytes in a YAML file"},
    {&Limits::all_bytes, "bytes in all files that are read together"},
    {&Limits::lines, "lines in a file"},
    {&Limits::marks, "brackets, commas, colons, quotes and the like in a file"},
    {&Limits::depth, "levels of maps and lists"},
    {&Limits::values, "values in a file"},
    {&Limits::key_bytes, "bytes in a key or in the name of a file or column"},
    {&Limits::columns, "columns in a table"},
    {&Limits::log_columns, "columns in a log"},
    {&Limits::rows, "rows in all tables that are read together"},
    {&Limits::cells, "cells in all tables and logs that are read together"},
    {&Limits::flaws, "flaws in all logs that are read together"},
    {&Limits::factor_rows, "rows of factors"},
    {&Limits::breakpoints, "values along one axis"},
    {&Limits::nodes, "nodes in all pages that are read together"},
    {&Limits::representation_bytes, "bytes in a representation"},
    {&Limits::representation_values, "numbers and values in a representation"},
    {&Limits::object_keys, "keys in one object"},
    {&Limits::points, "grid points in a map"},
    {&Limits::departures, "departures from the standard"},
};

}  // namespace offnominal
