/// @file
/// The same bits on every compiler and instruction set. A header that computes opens the scope of exact arithmetic
/// once, after its includes, and closes it at its end:
///
///     OFFNOMINAL_EXACT_BEGIN
///     namespace offnominal { ... }
///     OFFNOMINAL_EXACT_END
///
/// **Contraction.** g++ turns `a * b + c` into one fused multiply-add wherever the target has one, which changes the
/// last bits; `#pragma STDC FP_CONTRACT` does not stop it. Our own translation units are compiled with
/// -ffp-contract=off, but these are headers, and a consumer's flags are not ours. Between the two macros nothing is
/// contracted:
/// - clang: the state of the floating-point pragma at the place of writing, kept by templates and through inlining.
/// Only an
///   explicit -ffp-contract=fast overrides it (clang 14 cannot be stopped then, and tells no macro): do not use it.
/// - g++ on a target with fused multiply-add: `#pragma GCC optimize`, which reaches templates, lambdas and members. Its
///   price: such a function is inlined into others between the macros, but not into a consumer's function that allows
///   contraction, so there each call costs a call (1 to 2 ns); with -ffp-contract=off it is inlined everywhere.
///   An `always_inline` function between the macros is for callers between them, or has nothing to contract: in a
///   consumer it would inline, and be contracted. So what a consumer asks in a loop (a number of a grid, an axis'
///   breakpoints) is `OFFNOMINAL_INLINE`, or stands in a header without the scope.
/// - MSVC: a pragma, which stays on to the end of the translation unit.
/// - g++ without fused multiply-add (plain x86-64): nothing to stop.
///
/// Tried and rejected: `__builtin_assoc_barrier` around each product (inlines, but g++ 12 drops it when it vectorises).
///
/// **Instruction set.** An inline function compiled at two -march settings is one symbol to the linker, which keeps
/// either. Everything that computes, and whatever calls it, stands in the inline namespace `OFFNOMINAL_ISA`, named
/// after the instruction set it was compiled for, so that a baseline caller never lands in an AVX-512 copy. Types stand
/// outside it: one layout, one type; their members that compute are `OFFNOMINAL_INLINE`, and forward to a function
/// inside where something could be contracted. tests/grid/test_symbols.py looks whether it is so.
///
/// The name says the widest vectors, fused multiply-add and bit manipulation. What it leaves out (popcnt, lzcnt,
/// AVX-512 DQ and BW, ...) comes with one of those on the processors there are.
///
/// **Fast math.** Flags that let the compiler drop finite checks or compute another formula than the one written
/// (-ffast-math, -funsafe-math-optimizations, -fassociative-math, -freciprocal-math, -fno-signed-zeros,
/// -ffinite-math-only, -fsingle-precision-constant) stop every header that computes where the compiler tells:
/// - g++ tells of each: then `__GCC_IEC_559` is 0.
/// - clang tells of finite checks only. `float_control(precise, on)` undoes the others between the macros.
#pragma once

#if defined(__FAST_MATH__) || (defined(__FINITE_MATH_ONLY__) && __FINITE_MATH_ONLY__ != 0) || defined(_M_FP_FAST) || \
    (defined(__GCC_IEC_559) && __GCC_IEC_559 == 0)
#error "offnominal needs IEEE arithmetic and finite checks: compile this file without -ffast-math or parts of it"
#endif

#if defined(__clang__)
#define OFFNOMINAL_EXACT_BEGIN OFFNOMINAL_IF_KNOWN("float_control(precise, on, push)") _Pragma("clang fp contract(off)")
#define OFFNOMINAL_EXACT_END OFFNOMINAL_IF_KNOWN("float_control(pop)")
// clang knows it for some processors only, and warns of it for the others.
#define OFFNOMINAL_IF_KNOWN(pragma)                                                                            \
    _Pragma("clang diagnostic push") _Pragma("clang diagnostic ignored \"-Wignored-pragmas\"") _Pragma(pragma) \
        _Pragma("clang diagnostic pop")
#elif defined(__GNUC__) && \
    (defined(__FMA__) || defined(__FMA4__) || defined(__AVX512F__) || !(defined(__x86_64__) || defined(__i386__)))
#define OFFNOMINAL_EXACT_BEGIN _Pragma("GCC push_options") _Pragma("GCC optimize(\"fp-contract=off\")")
#define OFFNOMINAL_EXACT_END _Pragma("GCC pop_options")
#elif defined(_MSC_VER)
#define OFFNOMINAL_EXACT_BEGIN __pragma(fp_contract(off))
#define OFFNOMINAL_EXACT_END
#else
#define OFFNOMINAL_EXACT_BEGIN
#define OFFNOMINAL_EXACT_END
#endif

#if defined(__AVX512VL__)
#define OFFNOMINAL_ISA_VECTORS avx512vl
#elif defined(__AVX512F__)
#define OFFNOMINAL_ISA_VECTORS avx512f
#elif defined(__AVX2__)
#define OFFNOMINAL_ISA_VECTORS avx2
#elif defined(__AVX__)
#define OFFNOMINAL_ISA_VECTORS avx
#elif defined(__SSE4_2__)
#define OFFNOMINAL_ISA_VECTORS sse4_2
#elif defined(__SSE4_1__)
#define OFFNOMINAL_ISA_VECTORS sse4_1
#elif defined(__SSSE3__)
#define OFFNOMINAL_ISA_VECTORS ssse3
#elif defined(__SSE3__)
#define OFFNOMINAL_ISA_VECTORS sse3
#else
#define OFFNOMINAL_ISA_VECTORS baseline
#endif

#if defined(__FMA__)
#define OFFNOMINAL_ISA_FMA _fma
#else
#define OFFNOMINAL_ISA_FMA
#endif

#if defined(__BMI2__)
#define OFFNOMINAL_ISA_BMI _bmi2
#elif defined(__BMI__)
#define OFFNOMINAL_ISA_BMI _bmi
#else
#define OFFNOMINAL_ISA_BMI
#endif

#if defined(OFFNOMINAL_KERNELS)  // the compiled kernels name their own, so that none of their functions meets a
                                 // consumer's
#define OFFNOMINAL_ISA OFFNOMINAL_KERNELS
#else  // isa_baseline, isa_avx2_fma_bmi2, ...
#define OFFNOMINAL_ISA OFFNOMINAL_ISA_NAME(OFFNOMINAL_ISA_VECTORS, OFFNOMINAL_ISA_FMA, OFFNOMINAL_ISA_BMI)
#define OFFNOMINAL_ISA_NAME(vectors, fma, bmi) OFFNOMINAL_ISA_JOIN(vectors, fma, bmi)
#define OFFNOMINAL_ISA_JOIN(vectors, fma, bmi) isa_##vectors##fma##bmi
#endif

/// For small members and wrappers that call into that namespace from outside it: they must have no symbol of their own.
#if defined(__GNUC__)
#define OFFNOMINAL_INLINE [[gnu::always_inline]] inline
#elif defined(_MSC_VER)
#define OFFNOMINAL_INLINE __forceinline
#else
#define OFFNOMINAL_INLINE inline
#endif
