// Which of the compiled kernels this machine can run.
#include <array>
#include <cstddef>
#include <span>

#include "offnominal/grid/kernels.hpp"
#include "tables.hpp"

#if defined(OFFNOMINAL_X86_KERNELS)
#include <cpuid.h>
#endif

namespace offnominal {
namespace {

#if defined(OFFNOMINAL_X86_KERNELS)
// The compiler may use every instruction of x86-64-v3 in kernels compiled for it, so every one is asked for. The
// builtin also asks whether the operating system keeps the wide registers.
bool has_v3() {
    unsigned a = 0, b = 0, c = 0, d = 0;
    if (__get_cpuid(1, &a, &b, &c, &d) == 0) return false;
    const bool movbe_f16c = (c & (1u << 22)) != 0 && (c & (1u << 29)) != 0;
    if (__get_cpuid(0x80000001u, &a, &b, &c, &d) == 0) return false;
    const bool lzcnt = (c & (1u << 5)) != 0;
    return movbe_f16c && lzcnt && __builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma") &&
           __builtin_cpu_supports("bmi") && __builtin_cpu_supports("bmi2");
}
bool has_v4() {
    return has_v3() && __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512bw") &&
           __builtin_cpu_supports("avx512cd") && __builtin_cpu_supports("avx512dq") &&
           __builtin_cpu_supports("avx512vl");
}
#endif

}  // namespace

std::span<const Kernels> available_kernels() noexcept {
#if defined(OFFNOMINAL_X86_KERNELS)
    static constexpr Kernels all[]{Kernels(detail::kernels_baseline), Kernels(detail::kernels_avx2),
                                   Kernels(detail::kernels_avx512)};
    static const std::size_t count = has_v4() ? 3 : has_v3() ? 2 : 1;
    return std::span(all).first(count);
#else
    static constexpr Kernels all[]{Kernels(detail::kernels_baseline)};
    return all;
#endif
}

const air::ColumnKernels& air::fastest_columns() noexcept {
#if defined(OFFNOMINAL_X86_KERNELS)
    static constexpr std::array all{&detail::columns_baseline, &detail::columns_avx2, &detail::columns_avx512};
    return *all[available_kernels().size() - 1];
#else
    return detail::columns_baseline;
#endif
}

}  // namespace offnominal
