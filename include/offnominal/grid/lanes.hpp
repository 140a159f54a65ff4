/// @file
/// The instruction set a translation unit is compiled for, and vectors of that instruction set's width.
///
/// Everything that contains vector code, and every inline function that calls it, stands in the inline namespace
/// OFFNOMINAL_ISA, or is a wrapper that is always inlined and has no symbol of its own (see detail/contract.hpp).
///
/// A vector is as wide as the instruction set, never wider: wider compares and selects are done lane by lane (6 times
/// slower), and wider vectors change how they are handed over.
#pragma once

#include <cstdint>
#include <limits>

#include "offnominal/detail/contract.hpp"

#if defined(__GNUC__)
#define OFFNOMINAL_NOINLINE [[gnu::noinline]]
#define OFFNOMINAL_UNROLL _Pragma("GCC unroll 16")  // short loops over arrays that are to be registers, at -O2 too
#else
#define OFFNOMINAL_NOINLINE
#define OFFNOMINAL_UNROLL
#endif

OFFNOMINAL_EXACT_BEGIN
namespace offnominal::detail {
inline namespace OFFNOMINAL_ISA {

inline constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

/// Doubles in a register.
#if defined(__AVX512F__)
inline constexpr int lanes = 8;
#elif defined(__AVX2__)
inline constexpr int lanes = 4;
#else
inline constexpr int lanes = 2;
#endif

#if defined(__GNUC__) && !defined(OFFNOMINAL_PLAIN_LANES)

/// N doubles in one register. Arithmetic and comparisons are the compiler's own, lane by lane.
template <int N>
struct VectorOf {
    typedef double Reals __attribute__((vector_size(8 * N)));
    typedef std::int64_t Ints
        __attribute__((vector_size(8 * N)));  // also what a comparison gives: 0 or -1 in each lane
};
template <int N>
using Reals = typename VectorOf<N>::Reals;
template <int N>
using Ints = typename VectorOf<N>::Ints;

template <class Vector, class Scalar>
OFFNOMINAL_INLINE void load(Vector& to, const Scalar* from) noexcept {
    __builtin_memcpy(&to, from, sizeof to);
}
/// Loads doubles that stand `step` apart. (The braces are not idle: in a loop g++ inserts lane by lane, at twice the
/// cost.)
OFFNOMINAL_INLINE void load_apart(Reals<lanes>& to, const double* from, std::int64_t step) noexcept {
#if defined(__AVX512F__)
    to = Reals<lanes>{from[0],        from[step],     from[2 * step], from[3 * step],
                      from[4 * step], from[5 * step], from[6 * step], from[7 * step]};
#elif defined(__AVX2__)
    to = Reals<lanes>{from[0], from[step], from[2 * step], from[3 * step]};
#else
    to = Reals<lanes>{from[0], from[step]};
#endif
}
template <class Vector, class Scalar>
OFFNOMINAL_INLINE void store(Scalar* to, const Vector& from) noexcept {
    __builtin_memcpy(to, &from, sizeof from);
}
template <class Vector, class Scalar>
OFFNOMINAL_INLINE void splat(Vector& to, Scalar from) noexcept {
    to = from - Vector{};  // x - 0 is x, bit for bit
}
/// Where the mask is set, `yes`; elsewhere `to` keeps what it has.
template <class Vector, class Mask>
OFFNOMINAL_INLINE void select(Vector& to, const Mask& mask, const Vector& yes) noexcept {
    to = mask ? yes : to;
}

#else

/// The same by plain loops, for compilers without vector types.
template <class T, int N>
struct Plain {
    T lane[N];
    T& operator[](int i) noexcept { return lane[i]; }
    T operator[](int i) const noexcept { return lane[i]; }
};
template <int N>
using Reals = Plain<double, N>;
template <int N>
using Ints = Plain<std::int64_t, N>;

template <class R, class T, int N, class F>
OFFNOMINAL_INLINE Plain<R, N> each(const Plain<T, N>& a, const Plain<T, N>& b, F f) noexcept {
    Plain<R, N> out;
    for (int i = 0; i < N; ++i) out.lane[i] = f(a.lane[i], b.lane[i]);
    return out;
}
#define OFFNOMINAL_PLAIN(Result, op)                                                                      \
    template <class T, int N>                                                                             \
    OFFNOMINAL_INLINE Plain<Result, N> operator op(const Plain<T, N>& a, const Plain<T, N>& b) noexcept { \
        return each<Result>(a, b, [](T x, T y) { return static_cast<Result>(x op y); });                  \
    }
#define OFFNOMINAL_PLAIN_MASK(op)                                                                     \
    template <class T, int N>                                                                         \
    OFFNOMINAL_INLINE Ints<N> operator op(const Plain<T, N>& a, const Plain<T, N>& b) noexcept {      \
        return each<std::int64_t>(a, b, [](T x, T y) { return -static_cast<std::int64_t>(x op y); }); \
    }
OFFNOMINAL_PLAIN(T, +)
OFFNOMINAL_PLAIN(T, -)
OFFNOMINAL_PLAIN(T, *)
OFFNOMINAL_PLAIN(T, &)
OFFNOMINAL_PLAIN_MASK(==)
OFFNOMINAL_PLAIN_MASK(!=)
OFFNOMINAL_PLAIN_MASK(>)
OFFNOMINAL_PLAIN_MASK(>=)
OFFNOMINAL_PLAIN_MASK(<=)
#undef OFFNOMINAL_PLAIN
#undef OFFNOMINAL_PLAIN_MASK

template <class T, int N>
OFFNOMINAL_INLINE void load(Plain<T, N>& to, const T* from) noexcept {
    for (int i = 0; i < N; ++i) to.lane[i] = from[i];
}
template <int N>
OFFNOMINAL_INLINE void load_apart(Reals<N>& to, const double* from, std::int64_t step) noexcept {
    for (int i = 0; i < N; ++i) to.lane[i] = from[i * step];
}
template <class T, int N>
OFFNOMINAL_INLINE void store(T* to, const Plain<T, N>& from) noexcept {
    for (int i = 0; i < N; ++i) to[i] = from.lane[i];
}
template <class T, int N>
OFFNOMINAL_INLINE void splat(Plain<T, N>& to, T from) noexcept {
    for (int i = 0; i < N; ++i) to.lane[i] = from;
}
template <class T, int N>
OFFNOMINAL_INLINE void select(Plain<T, N>& to, const Ints<N>& mask, const Plain<T, N>& yes) noexcept {
    for (int i = 0; i < N; ++i) to.lane[i] = mask.lane[i] != 0 ? yes.lane[i] : to.lane[i];
}

#endif

/// a := a + t (b - a), written so that equal ends give their own bits, -0.0 included.
template <class Vector>
OFFNOMINAL_INLINE void lerp(Vector& a, const Vector& b, const Vector& t) noexcept {
    a = a - t * (a - b);
}

}  // namespace OFFNOMINAL_ISA
}  // namespace offnominal::detail
OFFNOMINAL_EXACT_END
