#include <algorithm>

#include "single.hpp"

double SINGLE_INDEPENDENT(const offnominal::GridView& view, const double* points, std::size_t count) {
    const std::size_t rank = view.rank();
    double sum = 0.0;
    for (std::size_t i = 0; i < count; ++i) sum += view.at({points + i * rank, rank})->value[0];
    return sum;
}

double SINGLE_DEPENDENT(const offnominal::GridView& view, const double* points, std::size_t count) {
    const std::size_t rank = view.rank();
    double previous = 0.0;
    double point[offnominal::max_rank];
    for (std::size_t i = 0; i < count; ++i) {
        std::copy_n(points + i * rank, rank, point);
        point[0] += previous * 0x1p-200;  // too small to move it, but it must be waited for
        previous = view.at({point, rank})->value[0];
    }
    return previous;
}
