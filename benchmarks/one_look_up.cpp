// One look-up, repeated, for callgrind to count its instructions: a number that does not depend on how busy a machine
// is.
//   one_look_up single 10          10 times 1000 calls of GridView::at
//   one_look_up avx2 10            10 times a batch of 1000 points by the kernels of that name
#include <cstdio>
#include <cstdlib>
#include <string_view>
#include <vector>

#include "offnominal/grid.hpp"

using namespace offnominal;

int main(int argc, char** argv) {
    if (argc != 3) return 2;
    const std::string_view way = argv[1];
    const long times = std::atol(argv[2]);
    const std::size_t count = 1000;
    const std::vector<Axis> axes{Axis("a", {0, 1, 2.5, 4, 5}), Axis("b", {0, 1, 3, 4}), Axis("c", {0, 2, 3}),
                                 Axis("d", {0, 1, 4}), Axis("e", {0, 1})};
    std::vector<double> values(360 * 3);
    for (std::size_t i = 0; i < values.size(); ++i) values[i] = static_cast<double>(i * 7919 % 1009);
    const Grid grid(axes, values, 3);
    std::vector<double> points(count * 5), out(count * 3);
    for (std::size_t i = 0; i < points.size(); ++i)
        points[i] = axes[i % 5].breakpoints().back() * (static_cast<double>(i * 2657 % 997) + 0.5) / 997.0;

    double sum = 0.0;
    if (way == "single") {
        for (long time = 0; time < times; ++time)
            for (std::size_t i = 0; i < count; ++i) sum += grid.at({points.data() + 5 * i, 5})->value[0];
    } else {
        Kernels chosen;
        for (const Kernels& kernels : available_kernels())
            if (kernels.name() == way) chosen = kernels;
        if (chosen.table() == nullptr) return 3;
        for (long time = 0; time < times; ++time) {
            evaluate(grid.view(), Points::rows(points, 5), out, {}, {}, {chosen});
            sum += out[0];
        }
    }
    std::printf("%.17g\n", sum);
    return 0;
}
