// CHECK(near(value, expected, relative(1e-12))) or absolute(0.05): the one way to compare with a tolerance. doctest's
// own allows epsilon x (1 + |value|), which for small numbers is everything. A failure prints both numbers, how far
// apart they are, and how far they may be.
#pragma once

#include <algorithm>
#include <cmath>
#include <iomanip>
#include <ostream>

struct Tolerance {
    double size;
    bool of_expected;  ///< times |expected|
};
constexpr Tolerance relative(double size) { return {size, true}; }
constexpr Tolerance absolute(double size) { return {size, false}; }

struct Near {
    double value, expected;
    Tolerance tolerance;

    double difference() const { return value - expected; }
    double allowed() const { return tolerance.size * (tolerance.of_expected ? std::abs(expected) : 1.0); }
    /// NaN is near nothing.
    explicit operator bool() const { return std::abs(difference()) <= allowed(); }
};

inline std::ostream& operator<<(std::ostream& out, const Near& n) {
    out << std::setprecision(17) << n.value << " near " << n.expected << std::setprecision(3) << ": differs by "
        << n.difference();
    if (n.tolerance.of_expected) out << " (" << n.difference() / std::abs(n.expected) << " of it)";
    return out << ", allowed " << n.allowed();
}

constexpr Near near(double value, double expected, Tolerance tolerance) { return {value, expected, tolerance}; }
