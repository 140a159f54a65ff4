// For libFuzzer: OFFNOMINAL_FUZZ=system .../fuzz tests/fuzz/corpus/system. See DEVELOPERS.md.
#include <cstdint>

#include "../targets.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const fuzz::Target* const target = [] {
        const char* const name = std::getenv("OFFNOMINAL_FUZZ");
        const auto* const found =
            std::find_if(std::begin(fuzz::targets), std::end(fuzz::targets),
                         [&](const auto& one) { return name != nullptr && std::string_view(one.name) == name; });
        fuzz::must(found != std::end(fuzz::targets), "OFFNOMINAL_FUZZ names a target");
        return found;
    }();
    fuzz::feed(*target, {reinterpret_cast<const char*>(data), size});
    return 0;
}
