// Every allocation of a test program, and of the library it runs, is counted, and fails where a test wants it to.
#include "allocations.hpp"

#include <atomic>
#include <cstddef>
#include <cstdlib>
#include <new>

namespace {
std::atomic<long> count{0};
std::atomic<long> failing{0};
std::atomic<std::size_t> largest{0};
void note(std::size_t size) noexcept {
    if (size > largest) largest = size;  // of one thread's requests: what a test asks
}
}  // namespace
long test::allocations() { return count; }
std::size_t test::largest_allocation() { return largest.exchange(0); }
void test::fail_allocation(long n) { failing = n == 0 ? 0 : count + n; }

#ifdef __has_feature
#if __has_feature(thread_sanitizer)
#define COUNTS_BY_HOOK  // the sanitizer of threads brings an operator new of its own
#endif
#endif
#ifdef COUNTS_BY_HOOK
bool test::allocation_can_fail() { return false; }
extern "C" void __sanitizer_malloc_hook(const volatile void*, std::size_t size) {
    note(size);
    ++count;
}
extern "C" void __sanitizer_free_hook(const volatile void*) {}
#else
bool test::allocation_can_fail() { return true; }
void* operator new(std::size_t size, const std::nothrow_t&) noexcept {
    note(size);
    if (++count == failing) return nullptr;
    return std::malloc(size == 0 ? 1 : size);
}
void* operator new(std::size_t size) {
    if (void* p = operator new(size, std::nothrow)) return p;
    throw std::bad_alloc();
}
void operator delete(void* p) noexcept { std::free(p); }
void operator delete(void* p, std::size_t) noexcept { std::free(p); }
void operator delete(void* p, const std::nothrow_t&) noexcept { std::free(p); }
#endif
