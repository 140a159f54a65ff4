/// @file
/// A cooling page from its keys and its table: every shape in print becomes one `PrintedPage`.
#pragma once

#include <string>

#include "offnominal/ratings/rating_table.hpp"
#include "read/fields.hpp"

namespace offnominal::files {

/// The keys of a stage: `table: |` or `file: name.csv`; one value for all of the page where it has no such column
/// (`airflow: 1200 scfm`); and how the page is to be read (`indoor`, `infer`, `airflow_factors`).
[[nodiscard]] Fields stage_fields(const Document& document, const Item& item, const std::string& where);

/// A page as typed, with what its columns say of its basis.
struct TypedPage {
    Basis basis;
    PrintedPage page;
};

/// @param fields  the stage's
/// @param where   its path for messages
/// @param basis   what is known of all stages
/// @throws InputError with the place of what is wrong
[[nodiscard]] TypedPage read_page(const Fields& fields, const std::string& where, Basis basis);

/// The same, checked and built.
[[nodiscard]] RatingTable read_stage(const Fields& fields, const std::string& where, Basis basis);

}  // namespace offnominal::files
