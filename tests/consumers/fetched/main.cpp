#include <cstdio>

#include "offnominal/demo.hpp"
#include "offnominal/expect.hpp"

int main() {
    using namespace offnominal;
    using namespace offnominal::literals;
    const System system = demo_system();
    std::printf("%s\n", system.name().c_str());
    return system.parts().cooling.empty() ? 1 : 0;
}
