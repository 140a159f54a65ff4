// What reading costs at each limit and one past it: see README.md. Which input is the dearest stands in
// tests/support/worst_inputs.hpp.
#include <cstdio>

#include "../tests/support/worst_inputs.hpp"

int main() {
    std::puts("| limit | N | its dearest input | MiB | s | MB | one more: s | MB |\n|---|---|---|---|---|---|---|---|");
    for (const worst::Case& one : worst::cases) {
        const std::size_t most = one.limits().*one.limit;
        worst::Cost costs[2];
        double size = 0.0;
        for (const std::size_t more : {1u, 0u}) {
            const worst::Input input = one.make(most + more);
            size = static_cast<double>(input.text.size() + input.side.size()) / worst::mebibyte;
            costs[more] = worst::cost_of([&] { one.read(input); });
        }
        std::printf("| %s | %zu | %s | %.1f | %.2f | %.0f | %.2f | %.0f |\n",
                    std::string(worst::counts_of(one)).c_str(), most, std::string(one.what).c_str(), size,
                    costs[0].seconds, costs[0].megabytes, costs[1].seconds, costs[1].megabytes);
        std::fflush(stdout);
    }
}
