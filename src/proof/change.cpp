#include "offnominal/proof/change.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "inputs.hpp"
#include "offnominal/detail/decimal.hpp"

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

std::string in_words(const LineSet& line) {
    const auto rounded = [](double x, const char* unit) { return rounded_text(x, 4) + unit; };
    if (line.is_reference) return "reference";
    std::string out = rounded(line.equivalent_length.si, " m of ") + rounded(1e3 * line.suction.si, " mm");
    if (!std::isnan(line.lift.si)) out += ", lift " + rounded(line.lift.si, " m");
    return out;
}

bool may_be_one(const LineSet& a, const LineSet& b) noexcept {
    if (a.is_reference || b.is_reference) return a.is_reference == b.is_reference;
    const double length = a.equivalent_length.si;
    return !(std::abs(b.equivalent_length.si - length) > 0.1 * length) &&
           !(std::abs(b.suction.si - a.suction.si) > 1e-3) && !(std::abs(b.lift.si - a.lift.si) > 1.0);
}

}  // namespace

std::optional<UnlikeInstallations> unlike_installations(const Visit& first, const Visit& second) {
    if (!first.match.empty() && !second.match.empty() && first.match != second.match)
        return UnlikeInstallations{"match", first.match, second.match};
    if (first.line_set && second.line_set && !may_be_one(*first.line_set, *second.line_set))
        return UnlikeInstallations{"line set", in_words(*first.line_set), in_words(*second.line_set)};
    const auto a = first.site.given_elevation(), b = second.site.given_elevation();
    if (a && b) {
        if (!(std::abs(b->si - a->si) > 30.0)) return {};
        return UnlikeInstallations{"elevation", rounded_text(a->si, 4) + " m", rounded_text(b->si, 4) + " m"};
    }
    const auto p = first.site.pressure(), q = second.site.pressure();
    if (!p || !q || !(std::abs(*q - *p) > 0.05 * *p)) return {};
    return UnlikeInstallations{"station pressure", rounded_text(*p, 4) + " Pa", rounded_text(*q, 4) + " Pa"};
}

void check_one_machine(const Visit& earlier, const Visit& later) {
    if (const auto unlike = unlike_installations(earlier, later))
        throw InputError({},
                         "visits to unlike machines: " + unlike->what + ": " + unlike->first + " ('" + earlier.name +
                             "'), " + unlike->second + " ('" + later.name + "')",
                         {}, "visits to one machine, which say alike where it is and how it is installed");
}

Answer<Change> change(const System& system, const Visit& earlier, const Proof& before, const Visit& later,
                      const Proof& after) {
    if (earlier.mode() != later.mode())
        throw InputError({}, "two visits of unlike modes", std::string(name(later.mode())),
                         std::string(name(earlier.mode())));
    check_one_machine(earlier, later);
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
