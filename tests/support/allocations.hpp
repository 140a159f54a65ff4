/// @file
/// How often the test program has asked for memory, so that a test can say that something does not; and memory that
/// ends, so that a test can say what becomes of something then.
#pragma once

#include <cstddef>
#include <cstdlib>
#include <new>

namespace test {

[[nodiscard]] long allocations();

/// The most bytes that were asked for at once since the last call.
[[nodiscard]] std::size_t largest_allocation();

/// False under clang's sanitizer of threads, whose requests are only counted.
[[nodiscard]] bool allocation_can_fail();

/// From now on the `n`-th request fails, and no other; 0: none does.
void fail_allocation(long n);

/// Does `work` with its first request for memory failing, then with its second, and so on until there are no more. The
/// further, the fewer are tried, unless OFFNOMINAL_EVERY_ALLOCATION is set. It says whether it failed; @return how
/// often it did.
template <class Work>
long with_failing_memory(const Work& work) {
    const bool every = std::getenv("OFFNOMINAL_EVERY_ALLOCATION") != nullptr;
    long failed = 0;
    for (long n = 1;; n += every ? 1 : 1 + n / 16) {
        const long before = allocations();
        fail_allocation(n);
        bool held = true;
        try {
            held = work();
        } catch (const std::bad_alloc&) {
            held = false;
        }
        fail_allocation(0);
        if (!held) ++failed;
        if (allocations() - before < n) return failed;
    }
}

}  // namespace test
