// How often the likeliest cause of a shortfall is the true one: virtual visits to machines with one fault, which is
// made by another model than the ranking has of it wherever there are two. Machines, days and instruments are those of
// the trial.
//
//     causes [VISITS [SEED [BOUND]]]   a row is so many visits (300); 0: without the bound
#include <cstdio>
#include <cstdlib>

#include "trial/sick_bound.hpp"

using namespace offnominal;
using trial::Count;
using trial::SickRow;

namespace {

/// A figure of the ranking's and the bound's.
struct Named {
    Count by_ranking;
    std::array<double, Count::figures> by_bound{};
    std::array<double, cause_count> bound_names{};  ///< shares
};

Named named(const std::vector<trial::Make>& makes, const std::vector<SickRow>& rows, std::size_t number,
            const trial::Kit& kit, std::uint64_t seed, int visits, bool with_bound) {
    Named out;
    std::optional<trial::SickBound> bound;
    int asked = 0;
    // Of two dry bulbs that do not agree either counts.
    const auto same = [&](std::size_t a, std::size_t b) {
        const trial::Sick one = rows[a].any();
        LikelyCause other;
        other.cause = rows[b].any().cause;
        other.input = rows[b].input();
        return trial::is(other, one);
    };
    const auto told = [&](const trial::SickVisit& v, std::size_t checks, const std::vector<CheckResult>& seen) {
        if (!with_bound) return;
        if (checks == 0) bound.emplace(rows, v, seed + 1000);
        if (!bound->known()) return;
        const std::vector<double> p = bound->chances(kit.shared, seen);
        std::vector<double> whole(p.size(), 0.0);
        for (std::size_t i = 0; i < p.size(); ++i)
            for (std::size_t j = 0; j < p.size(); ++j)
                if (same(i, j)) whole[i] += p[j];
        const auto best = static_cast<std::size_t>(std::max_element(whole.begin(), whole.end()) - whole.begin());
        const bool right = same(best, number);
        if (checks > 0) {
            out.by_bound[2 + checks] += right;
            return;
        }
        ++asked;
        out.by_bound[0] += right;
        ++out.bound_names[static_cast<std::size_t>(rows[best].any().cause)];
        for (std::size_t i = 0; i < p.size(); ++i)
            if (same(i, best)) whole[i] = 0.0;
        const auto second = static_cast<std::size_t>(std::max_element(whole.begin(), whole.end()) - whole.begin());
        out.by_bound[1] += right || same(second, number);
        std::array<double, 4> groups{};
        const auto group = [&](std::size_t i) {
            return static_cast<std::size_t>(trial::group_of(rows[i].any().cause));
        };
        for (std::size_t i = 0; i < p.size(); ++i) groups[group(i)] += p[i];
        out.by_bound[2] +=
            static_cast<std::size_t>(std::max_element(groups.begin(), groups.end()) - groups.begin()) == group(number);
    };
    out.by_ranking = trial::causes_named(makes, rows[number], kit, seed, number, visits, told);
    for (double& share : out.by_bound) share /= std::max(1, asked);
    for (double& share : out.bound_names) share /= std::max(1, asked);
    return out;
}

}  // namespace

int main(int argc, char** argv) {
    const int visits = argc > 1 ? std::atoi(argv[1]) : 300;
    const auto seed = static_cast<std::uint64_t>(argc > 2 ? std::atoi(argv[2]) : 1);
    const bool with_bound = argc <= 3 || std::atoi(argv[3]) != 0;
    const auto rows = trial::sick_rows();
    const auto makes = trial::all_makes();
    const auto tell = [](const char* name, double asked,
                         const std::array<std::array<double, Count::figures>, 2>& shares) {
        std::printf("%-44s %5.0f", name, asked);
        for (std::size_t n = 0; n < Count::figures; ++n)
            std::printf("  %3.0f/%3.0f", 100.0 * shares[0][n], 100.0 * shares[1][n]);
    };
    for (const trial::Kit& kit : {trial::kits[0], trial::kits[1]}) {
        std::printf(
            "%s kit: percent of visits, and the bound\n%-44s %5s  %7s  %7s  %7s  %7s  %7s  %7s  named first; checked "
            "first\n",
            kit.name, "", "asked", "first", "two", "group", "1 more", "2 more", "3 more");
        using Shares = std::array<double, Count::figures>;
        std::array<Shares, 2> even{}, weighted{};
        double count = 0.0, asked = 0.0, weight = 0.0;
        for (std::size_t number = 0; number < rows.size(); ++number) {
            const SickRow& row = rows[number];
            const Named of = named(makes, rows, number, kit, seed, visits, with_bound);
            const Count& c = of.by_ranking;
            if (c.asked == 0) continue;
            std::array<Shares, 2> shares{Shares{}, of.by_bound};
            for (std::size_t n = 0; n < Count::figures; ++n) shares[0][n] = static_cast<double>(c.right[n]) / c.asked;
            tell(row.name, c.asked, shares);
            for (const CauseWords& w : words_of<Cause>)
                if (const double share = 100.0 * c.named[static_cast<std::size_t>(w.value)] / c.asked; share >= 4.0)
                    std::printf("  %s %.0f", std::string(w.word).c_str(), share);
            std::printf(" /");
            for (const CauseWords& w : words_of<Cause>)
                if (const double share = 100.0 * of.bound_names[static_cast<std::size_t>(w.value)]; share >= 4.0)
                    std::printf("  %s %.0f", std::string(w.word).c_str(), share);
            std::printf(";");
            for (const auto& [check, times] : c.proposed)
                if (const double share = 100.0 * times / c.asked; share >= 4.0)
                    std::printf(" %s %.0f", check.c_str(), share);
            std::printf("\n");
            if (!row.costs) continue;
            const double w = row.prior({});
            asked += c.asked;
            count += 1.0;
            weight += w;
            for (std::size_t of_bound = 0; of_bound < 2; ++of_bound)
                for (std::size_t n = 0; n < Count::figures; ++n) {
                    even[of_bound][n] += shares[of_bound][n];
                    weighted[of_bound][n] += w * shares[of_bound][n];
                }
        }
        for (auto& half : even)
            for (double& share : half) share /= count;
        for (auto& half : weighted)
            for (double& share : half) share /= weight;
        tell("all that cost 10 % or more", asked, even);
        std::printf("\n");
        tell("the same, by how often each occurs", asked, weighted);
        std::printf("\n\ntwo at once: percent of visits, and after three checks\n%-44s %5s  %7s  %7s  %7s  %7s\n", "",
                    "asked", "one", "both", "of 3", "said");
        const auto pairs = trial::sick_pairs();
        for (std::size_t number = 0; number < pairs.size(); ++number) {
            const auto c = trial::two_named(makes, pairs[number], kit, seed, rows.size() + number, visits);
            std::printf("%-44s %5d", pairs[number].name, c.asked);
            for (std::size_t n = 0; n < trial::CountOfTwo::figures; ++n)
                std::printf("  %3.0f/%3.0f", 100.0 * c.before[n] / c.asked, 100.0 * c.after[n] / c.asked);
            std::printf("\n");
        }
        std::printf("\n");
    }
}
