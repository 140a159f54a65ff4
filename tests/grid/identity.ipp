// One translation unit for each instruction set includes this: what the headers compute there, and how large their
// types are. Each defines IDENTITY_NAME. Only plain data crosses, as between a program and a library compiled
// differently.
#include <cstddef>
#include <cstdint>

#include "identity.hpp"
#include "offnominal/grid.hpp"

namespace test {

void IDENTITY_NAME(const offnominal::GridView& view, const double* rows, std::size_t count, double* out) {
    using namespace offnominal;
    for (std::size_t i = 0; i < count; ++i) {
        const auto found = view.at({rows + i * view.rank(), view.rank()});
        const auto slopes = view.gradient({rows + i * view.rank(), view.rank()});
        for (std::size_t j = 0; j < view.outputs(); ++j) *out++ = found->value[j];
        for (std::size_t k = 0; k < view.rank(); ++k) *out++ = slopes->slope[k][0];
    }
    evaluate(view, Points::rows({rows, count * view.rank()}, view.rank()), {out, count * view.outputs()});
}

Layout IDENTITY_LAYOUT() {
    using namespace offnominal;
    return {sizeof(Axis),
            sizeof(Grid),
            sizeof(GridView),
            sizeof(detail::GridData),
            sizeof(detail::PointData),
            sizeof(GridValue),
            sizeof(Cell),
            sizeof(GridGradient),
            sizeof(Points),
            sizeof(BatchOptions),
            sizeof(Answer<Cell>),
            sizeof(Crossing),
            alignof(Grid),
            alignof(GridView),
            alignof(GridValue),
            alignof(GridGradient),
            alignof(Points)};
}

}  // namespace test
