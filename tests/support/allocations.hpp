/// @file
/// How often the test program has asked for memory, so that a test can say that something does not.
#pragma once

namespace test {
[[nodiscard]] long allocations();
}
