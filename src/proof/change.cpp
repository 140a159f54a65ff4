#include "offnominal/proof/change.hpp"

#include <algorithm>
#include <cmath>

#include "inputs.hpp"

namespace offnominal {
namespace {
using namespace detail;

/// What a rise of each input by its standard uncertainty does to the ratio, relative, by `Input`.
Contributions effect_on_ratio(const Proof& proof) noexcept {
    Contributions out{};
    for (const BudgetLine& line : proof.budget) out[static_cast<std::size_t>(line.input)] = line.ratio;
    return out;
}

/// The page's terms, relative: all of them, and the one that is the machine's own, how far it may be off its page.
struct PageTerms {
    double all = 0.0, of_machine = 0.0;

    PageTerms(const System& system, const Visit& visit, const Proof& proof) noexcept {
        Notes told;
        const Expected& e = *proof.expected;
        const OwnTerms own = own_terms(system, visit, e, told);
        const double print = e.uncertainty.resolution / e.total_capacity.si;
        all = own.of(Yardstick::make);
        of_machine = std::sqrt(std::max(0.0, own.make * own.make - print * print));
    }
};

/// Whether an error of one input may be in the other too, one of each visit.
bool may_share(const Visit& a, std::size_t i, const Visit& b, std::size_t j) noexcept {
    if (i != j) return quantity_of(a, i) != 0 && quantity_of(a, i) == quantity_of(b, j);
    const Readings &x = a.readings, &y = b.readings;
    if (static_cast<Input>(i) == Input::return_humidity) return x.return_humidity.kind == y.return_humidity.kind;
    if (static_cast<Input>(i) == Input::supply_humidity) return x.supply_humidity.kind == y.supply_humidity.kind;
    return true;
}

}  // namespace

Answer<Change> change(const System& system, const Visit& earlier, const Proof& before, const Visit& later,
                      const Proof& after) {
    if (earlier.mode() != later.mode())
        throw InputError({}, "two visits of unlike modes", std::string(name(later.mode())),
                         std::string(name(earlier.mode())));
    for (const Proof* proof : {&before, &after})
        if (!proof->ratio) return proof->reason;
    const Contributions first = effect_on_ratio(before), second = effect_on_ratio(after);
    Notes told;
    double apart = covariance(correlations_of(earlier, told), first, first) +
                   covariance(correlations_of(later, told), second, second);
    const PageTerms page_before(system, earlier, before), page_after(system, later, after);
    apart += page_before.all * page_before.all + page_after.all * page_after.all;
    double shared = page_before.of_machine * page_after.of_machine;
    for (std::size_t i = 0; i < input_count; ++i)
        for (std::size_t j = 0; j < input_count; ++j)
            if (may_share(earlier, i, later, j))
                shared +=
                    first[i] * correlation_of(later, earlier.uncertainty[i], later.uncertainty[j], told) * second[j];
    Change out;
    out.ratio = *after.ratio / *before.ratio;
    out.ratio_u = out.ratio * std::sqrt(std::max(0.0, apart - 2.0 * shared));
    out.apart_u = out.ratio * std::sqrt(std::max(0.0, apart));
    out.less = 1.0 - probability_at_least(1.0, out.ratio, out.ratio_u);
    return out;
}

}  // namespace offnominal
