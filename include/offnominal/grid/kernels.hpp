/// @file
/// Which kernels a batch runs on.
///
/// A header-only user runs on those of the instruction set his translation unit is compiled for. The compiled library
/// (`offnominal::files`) holds them for several instruction sets and finds out which of them this machine can run; hand
/// its `fastest_kernels()` to `evaluate` or `sweep`. All give the same bits.
#pragma once

#include <span>
#include <string_view>

#include "offnominal/grid/batch_kernel.hpp"
#include "offnominal/grid/data.hpp"
#include "offnominal/grid/sweep_kernel.hpp"

namespace offnominal {

/// Kernels of one instruction set.
class Kernels {
   public:
    /// Those compiled into the translation unit that uses them.
    constexpr Kernels() noexcept = default;
    constexpr explicit Kernels(const detail::KernelTable& table) noexcept : table_(&table) {}

    /// "baseline", "avx2" or "avx512"; "here" for those of the translation unit that uses them.
    [[nodiscard]] constexpr std::string_view name() const noexcept { return table_ == nullptr ? "here" : table_->name; }
    /// Null for those of the translation unit that uses them.
    [[nodiscard]] constexpr const detail::KernelTable* table() const noexcept { return table_; }

   private:
    const detail::KernelTable* table_ = nullptr;
};

namespace detail {
inline namespace OFFNOMINAL_ISA {
inline constexpr KernelTable own_kernels{"here", &evaluate_points, &sweep_points};
OFFNOMINAL_INLINE const KernelTable& table_of(Kernels kernels) noexcept {
    return kernels.table() == nullptr ? own_kernels : *kernels.table();
}
}  // namespace OFFNOMINAL_ISA
}  // namespace detail

/// All kernels this machine can run, slowest first. In the compiled library.
[[nodiscard]] std::span<const Kernels> available_kernels() noexcept;

/// The last of them. In the compiled library.
[[nodiscard]] inline Kernels fastest_kernels() noexcept { return available_kernels().back(); }

}  // namespace offnominal
