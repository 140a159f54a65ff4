/// @file
/// Threads for a batch of a grid: `evaluate(view, points, values, {}, {}, on_threads(4))`. On its own, since who asks
/// for no threads need not read the standard library's.
#pragma once

#include <algorithm>
#include <cstddef>
#include <exception>
#include <thread>
#include <vector>

#include "offnominal/grid/batch.hpp"

namespace offnominal {
namespace detail {

/// A thread for each piece, the calling one included.
inline void run_on_threads(std::size_t count, std::size_t pieces, std::size_t grain, RangeTask task) {
    if (pieces <= 1) return task(0, 0, count);
    const std::size_t size = ((count + pieces - 1) / pieces + grain - 1) / grain * grain;
    std::vector<std::thread> others;
    std::size_t first = 0;
#ifdef __cpp_exceptions
    try {
#endif
        others.reserve(pieces - 1);
        for (; first + size < count; first += size) others.emplace_back(task, others.size(), first, first + size);
#ifdef __cpp_exceptions
    } catch (const std::exception&) {
        // No more threads to be had, or no memory for one: the rest is done here.
    }
#endif
    task(others.size(), first, count);
    for (std::thread& other : others) other.join();
}

}  // namespace detail

/// A batch on so many threads, the calling one included; worth it from about 10^5 points. The bits do not depend on it.
[[nodiscard]] inline BatchOptions on_threads(unsigned threads, Kernels kernels = {}) noexcept {
    return {kernels, threads, &detail::run_on_threads};
}

}  // namespace offnominal
