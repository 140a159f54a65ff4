// What windows.h leaves behind when it comes before ours: they must stumble over none of it.
#include <algorithm>
#include <array>
#include <bit>
#include <charconv>
#include <cmath>
#include <functional>
#include <limits>
#include <optional>
#include <string>
#include <thread>
#include <tuple>
#include <variant>
#include <vector>
#define near
#define far
#define small char
#define interface struct
#define min(a, b) (((a) < (b)) ? (a) : (b))
#define max(a, b) (((a) > (b)) ? (a) : (b))
#include "every_header.hpp"

double three_tons() { return offnominal::units::ton.to_si(3.0); }
