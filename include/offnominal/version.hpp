/// @file
/// The one place the version is written. CMake and the Python build read these three lines. What the compiled part is
/// of is told at run time by `library_version()`, offnominal_version() and `offnominal.__version__`.
#pragma once

#define OFFNOMINAL_VERSION_MAJOR 0
#define OFFNOMINAL_VERSION_MINOR 2
#define OFFNOMINAL_VERSION_PATCH 0

/* One number to compare: 10000 major + 100 minor + patch. */
#define OFFNOMINAL_VERSION \
    (OFFNOMINAL_VERSION_MAJOR * 10000 + OFFNOMINAL_VERSION_MINOR * 100 + OFFNOMINAL_VERSION_PATCH)

/* What this version has that an earlier one had not: `#ifdef OFFNOMINAL_HAS_MISSING`. */
#define OFFNOMINAL_HAS_EMBEDDED 1    /* systems as bytes, offnominal_system_from_bytes() */
#define OFFNOMINAL_HAS_MISSING 1     /* missing(), offnominal_missing() */
#define OFFNOMINAL_HAS_COVERAGE 1    /* coverage(), offnominal_coverage() */
#define OFFNOMINAL_HAS_CHOOSE 1      /* choose(), offnominal_choose() */
#define OFFNOMINAL_HAS_CARD 1        /* target_card(), offnominal_card() */
#define OFFNOMINAL_HAS_SOLVE 1       /* solve(), offnominal_solve(), offnominal_solve_batch() */
#define OFFNOMINAL_HAS_CAUSES 1      /* causes_of(), offnominal_proof_causes() */
#define OFFNOMINAL_HAS_PROVE_BATCH 1 /* prove_many(), offnominal_prove_batch() */
#define OFFNOMINAL_HAS_BESIDE 1      /* TextBeside, offnominal_system_parse_beside(), offnominal_visit_parse_beside() */
#define OFFNOMINAL_HAS_BETWEEN_VISITS 1 /* seasons and revised, offnominal_seasons(), offnominal_revised() */

#ifdef __cplusplus
namespace offnominal {
/// `OFFNOMINAL_VERSION` of the compiled part that runs (link `offnominal::core`): where that is a shared library it may
/// be another than the headers'; major and minor must agree.
[[nodiscard]] int library_version() noexcept;
}  // namespace offnominal
#endif
