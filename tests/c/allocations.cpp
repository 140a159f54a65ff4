// Every allocation of the test program and of the library it runs is counted.
#include <atomic>
#include <cstddef>
#include <cstdlib>
#include <new>

namespace test {
long allocations();
}

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
