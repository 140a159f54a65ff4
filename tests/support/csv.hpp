// Published figures as rows of named cells; lines that start with # carry the source.
#pragma once

#include <doctest/doctest.h>

#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

/// The folder of published figures.
inline const std::string published = OFFNOMINAL_PUBLISHED_DIR;

using CsvRow = std::map<std::string, std::string>;

inline std::vector<CsvRow> csv_rows(const std::string& path) {
    std::ifstream file(path);
    REQUIRE(file.good());
    std::vector<std::string> names;
    std::vector<CsvRow> rows;
    for (std::string line; std::getline(file, line);) {
        if (line.empty() || line[0] == '#') continue;
        std::vector<std::string> cells;
        std::stringstream stream(line);
        for (std::string cell; std::getline(stream, cell, ',');) cells.push_back(cell);
        if (names.empty()) {
            names = cells;
            continue;
        }
        REQUIRE(cells.size() == names.size());
        CsvRow& row = rows.emplace_back();
        for (std::size_t i = 0; i < names.size(); ++i) row[names[i]] = cells[i];
    }
    return rows;
}
