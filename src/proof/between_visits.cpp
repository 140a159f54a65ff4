#include "offnominal/proof/between_visits.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <string_view>

namespace offnominal {
namespace {

/// The line of what is told of a proof.
consteval std::size_t line_of(std::string_view name) {
    std::size_t k = 0;
    while (told_of<Proof>[k].name != name) ++k;
    return k;
}
constexpr std::size_t ratio_line = line_of("ratio"), probability_line = line_of("probability");

bool same(double a, double b) noexcept { return a == b || (std::isnan(a) && std::isnan(b)); }

}  // namespace

std::vector<Season> seasons(const System& system, std::span<const ProvedVisit> visits) {
    if (visits.empty()) throw InputError({}, "proofs: none", {}, "one or more");
    for (const ProvedVisit& one : visits)
        if (one.visit.date.empty())
            throw InputError({}, "proofs: '" + one.visit.name + "' has no date", {}, "visits with their dates");
    for (const ProvedVisit& one : visits) check_one_machine(visits[0].visit, one.visit);
    std::vector<Season> out;
    for (const auto& mode : words_of<Mode>) {
        const std::size_t first = out.size();
        for (std::size_t i = 0; i < visits.size(); ++i)
            if (visits[i].visit.mode() == mode.value) out.push_back({i, {}, {}});
        std::stable_sort(
            out.begin() + static_cast<std::ptrdiff_t>(first), out.end(),
            [&](const Season& a, const Season& b) { return visits[a.visit].visit.date < visits[b.visit].visit.date; });
        const ProvedVisit *begun = nullptr, *last = nullptr;
        for (std::size_t k = first; k < out.size(); ++k) {
            const ProvedVisit& now = visits[out[k].visit];
            if (!now.proof.ratio) continue;
            const auto since = [&](const ProvedVisit& then) {
                return *change(system, then.visit, then.proof, now.visit, now.proof);
            };
            if (last != nullptr) {
                out[k].since_last = since(*last);
                out[k].since_first = since(*begun);
            }
            last = &now;
            if (begun == nullptr) begun = &now;
        }
    }
    return out;
}

Revised revised(const ProofColumns& before, const ProofColumns& after, std::size_t rows) {
    for (const ProofColumns* const one : {&before, &after})
        if (one->numbers[ratio_line].data == nullptr || one->numbers[probability_line].data == nullptr ||
            one->outcome == nullptr || one->reason == nullptr)
            throw InputError({}, "revised: a column is missing", {}, "ratio, probability, outcome and reason");
    Revised out;
    out.visits = rows;
    for (std::size_t i = 0; i < rows; ++i) {
        const double ratio = before.numbers[ratio_line].data[i], now = after.numbers[ratio_line].data[i];
        const bool flips = before.outcome[i] != after.outcome[i];
        const bool stays = same(ratio, now) &&
                           same(before.numbers[probability_line].data[i], after.numbers[probability_line].data[i]) &&
                           before.reason[i].why == after.reason[i].why;
        if (flips || !stays) ++out.moved;
        if (flips)
            out.flips.push_back({i, before.outcome[i], after.outcome[i], ratio, now, ratio / now, before.reason[i].why,
                                 after.reason[i].why});
    }
    return out;
}

Revised revised(const System& before, const System& after, const VisitBatch& batch, std::size_t rows,
                std::size_t threads) {
    struct Columns {
        std::vector<double> ratio, probability;
        std::vector<std::int16_t> outcome;
        std::vector<Reason> reason;
        ProofColumns of{};

        Columns(const System& system, const VisitBatch& batch, std::size_t rows, std::size_t threads)
            : ratio(rows), probability(rows), outcome(rows), reason(rows) {
            of.numbers[ratio_line] = {ratio.data(), units::one};
            of.numbers[probability_line] = {probability.data(), units::one};
            of.outcome = outcome.data();
            of.reason = reason.data();
            prove_many(system, batch, rows, of, threads);
        }
    };
    const Columns first(before, batch, rows, threads), second(after, batch, rows, threads);
    return revised(first.of, second.of, rows);
}

}  // namespace offnominal
