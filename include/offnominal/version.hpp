/// @file
/// The one place the version is written. CMake and the Python build read these three lines.
#pragma once

#define OFFNOMINAL_VERSION_MAJOR 0
#define OFFNOMINAL_VERSION_MINOR 2
#define OFFNOMINAL_VERSION_PATCH 0
