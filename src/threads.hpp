/// @file
/// Threads for work that may throw, as where there is no memory: what one of them throws reaches the caller, once all
/// are done.
#pragma once

#include <algorithm>
#include <exception>
#include <vector>

#include "offnominal/grid/threads.hpp"

namespace offnominal::detail {

/// @param work  called with the first row of a piece and the one after its last, on so many threads
template <class Work>
void run_throwing_on_threads(std::size_t count, std::size_t threads, std::size_t grain, const Work& work) {
    std::vector<std::exception_ptr> failed(std::max<std::size_t>(threads, 1));
    const auto caught = [&](std::size_t piece, std::size_t first, std::size_t last) noexcept {
        try {
            work(first, last);
        } catch (...) {
            failed[piece] = std::current_exception();
        }
    };
    run_on_threads(count, threads, grain, RangeTask(caught));
    for (const std::exception_ptr& one : failed)
        if (one) std::rethrow_exception(one);
}

}  // namespace offnominal::detail
