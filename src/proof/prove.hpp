/// @file
/// The steps of `prove`, for who proves many visits of a kind: what they share is checked and settled once.
#pragma once

#include "chances.hpp"
#include "offnominal/proof.hpp"

namespace offnominal::detail {

/// What a file's reader checks with places, for visits built in code. @throws InputError, or Refused without a limit
void check_visit(const Visit& visit);
/// A variable-speed system's speeds are all of one measure; a visit's speed must be of that. @throws InputError
void check_speed(const System& system, const Visit& visit);

/// Which errors of a visit's instruments go together: the same for all visits made with them.
struct SharedErrors {
    Correlations correlations;
    Notes notes;
};
/// @throws InputError for what cannot be correlated like that
[[nodiscard]] SharedErrors shared_errors(const Visit& visit);

/// The proof of a visit that was checked, with its airflow read.
///
/// @param shared  where they are settled already; null: found where they are needed, @throws as `shared_errors`
/// @param most    `draws` takes them where first order does not hold; `first_order` never does
/// @param draws   to be filled, where there is a ratio, with as many draws of it as there is room for
/// @return why the visit itself cannot be answered; why its proof has no ratio stands there
[[nodiscard]] Reason prove_checked(const ProofModel& model, const SharedErrors* shared, Method most, Proof& proof,
                                   std::vector<double>* draws = nullptr);

}  // namespace offnominal::detail
