// Every allocation of the test program is counted, so that a test can say there was none.
#include <atomic>
#include <cstddef>
#include <cstdlib>
#include <new>

#include "random_grid.hpp"

namespace {
std::atomic<long> count{0};
}
long test::allocations() { return count; }

void* operator new(std::size_t size) {
    ++count;
    if (void* p = std::malloc(size == 0 ? 1 : size)) return p;
    throw std::bad_alloc();
}
void operator delete(void* p) noexcept { std::free(p); }
void operator delete(void* p, std::size_t) noexcept { std::free(p); }
