// The trial of the verdict: virtual visits whose truth is known, judged by offnominal, by the naive rule, and with
// correlations left out.
//
//     trial [SEED] [VISITS] [THREADS]     prints the tables of benchmarks/README.md; VISITS a row (1000)
//     trial row SEED ROW [VISITS]         lists the visits of one row
//     trial show SEED ROW VISIT           prints one visit as files and report, to look into
#include "trial.hpp"

#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>

#include "offnominal/files.hpp"
#include "offnominal/report.hpp"

namespace {
using namespace trial;

const double any = std::numeric_limits<double>::quiet_NaN();
const Kit &good = kits[0], &usual = kits[1], &poor = kits[2];

const Situation ordinary{"ordinary"};
const Situation without_power{
    "ordinary, no power read", Secret::none, {0, 1500}, {78, 112}, {71, 80}, {0.42, 0.60}, {350, 435}, 0.0};
const Situation mountains{"3,000 to 7,000 ft", Secret::none, {3000, 7000}};
const Situation dry{"dry coil", Secret::none, {0, 1500}, {78, 112}, {78, 84}, {0.22, 0.34}};
const Situation ordinary_at_sea{"ordinary, at sea level", Secret::none, {0, 0}};
const Situation dry_at_sea{"dry coil, at sea level", Secret::none, {0, 0}, {78, 112}, {78, 84}, {0.22, 0.34}};
const Situation humid{"humid return", Secret::none, {0, 1500}, {78, 112}, {71, 78}, {0.60, 0.75}};
const Situation wet_bulbs{"wet bulbs read", Secret::none, {0, 1500}, {78, 112}, {71, 80},
                          {0.42, 0.60},     {350, 435},   1.0,       true};
const Situation edges{"near an edge of the page",
                      Secret::none,
                      {0, 1500},
                      {78, 112},
                      {71, 80},
                      {0.42, 0.60},
                      {350, 435},
                      1.0,
                      false,
                      true};
const Situation wild{"airflow known to 20 %, and said so", Secret::airflow_wild};
const Situation saturated{"supply probe wetted", Secret::supply_probe_wet};
const Situation dry_bulb_astray{"a dry bulb 3 u astray", Secret::dry_bulb_astray};
const Situation humidity_astray{"a humidity 3 u astray", Secret::humidity_astray};
const Situation airflow_high{"airflow reads 15-20 % high", Secret::airflow_reads_high};
const Situation airflow_low{"airflow reads 15-20 % low", Secret::airflow_reads_low};
const Situation low_stage{"low stage ran, said high", Secret::low_stage_said_high};
const Situation low_stage_blind{"the same, no power read",
                                Secret::low_stage_said_high,
                                {0, 1500},
                                {78, 112},
                                {71, 80},
                                {0.42, 0.60},
                                {350, 435},
                                0.0};
const Situation high_stage{
    "high stage ran, said low", Secret::high_stage_said_low, {0, 1500}, {78, 112}, {71, 80}, {0.42, 0.60}, {300, 360}};
const Situation foggy{"wet bulb 0.3 degF above dry bulb",
                      Secret::none,
                      {0, 1500},
                      {78, 112},
                      {71, 80},
                      {0.42, 0.60},
                      {350, 435},
                      1.0,
                      true,
                      false,
                      0.3 / 1.8};

const Situation slips[] = {
    {"supply 18 degF warmer than return", Secret::slip_supply_warmer},
    {"probes swapped", Secret::slip_swapped},
    {"fan 0.42 W for 420 W", Secret::slip_fan_kilowatts},
    {"every limit 0", Secret::slip_no_limits},
    {"sea-level barometer at 1,300 ft", Secret::slip_barometer_at_sea, {1300, 1300}},
    {"condensate subtracted, on no page", Secret::slip_condensate},
    {"boundary coil, probes astride the fan", Secret::slip_boundary},
    {"elevation 0 typed at 5,280 ft", Secret::slip_elevation_zero, {5280, 5280}},
    {"airflow in L/s typed as cfm", Secret::slip_airflow_litres},
    {"outdoor degC typed as degF", Secret::slip_outdoor_celsius},
    {"one probe at both places, unsaid", Secret::slip_one_probe},
};

/// The rows by what they are for; each keeps its number, which is part of the seed.
struct Plan {
    std::vector<Row> rows;
    int visits;

    std::size_t add(const Situation& s, const Kit& kit, double ratio, double times = 1.0) {
        rows.push_back({&s, &kit, ratio, static_cast<int>(times * visits)});
        return rows.size() - 1;
    }
};

bool meets(const Result& r) { return r.outcome == Outcome::meets; }
bool falls_short(const Result& r) { return r.outcome == Outcome::falls_short; }
bool undecided(const Result& r) { return r.outcome == Outcome::undecided; }
bool implausible(const Result& r) { return r.outcome == Outcome::implausible; }
bool no_proof(const Result& r) { return r.outcome == Outcome::not_comparable; }
bool told(const Result& r) { return r.told; }
bool on_page(const Result& r) { return !r.off_page; }
bool covered(const Result& r) { return r.covered(); }
bool noticed(const Result& r) { return r.noticed; }
bool decided(const Result& r) { return meets(r) || falls_short(r); }

std::string percent(const Share& s) {
    char text[64];
    std::snprintf(text, sizeof text, "%.1f ±%.1f", 100.0 * s.value(), 100.0 * s.half_width());
    return s.of == 0 ? "-" : text;
}

/// A share of the visits that have a proof, by the three judges.
template <class Is>
std::string three(const std::vector<Result>& results, Is&& is) {
    const auto by = [&](Outcome Result::*judge) {
        return percent(share(
            results, [&](const Result& r) { return is(r.*judge); }, [](const Result& r) { return !no_proof(r); }));
    };
    return by(&Result::outcome) + " | " + by(&Result::naive) + " | " + by(&Result::uncorrelated);
}
bool is_meets(Outcome o) { return o == Outcome::meets; }
bool is_falls_short(Outcome o) { return o == Outcome::falls_short; }
bool is_undecided(Outcome o) { return o == Outcome::undecided || o == Outcome::not_comparable; }

/// Mean relative standard uncertainty of the ratio, in percent.
double mean_u(const std::vector<Result>& results) {
    double sum = 0.0;
    int n = 0;
    for (const Result& r : results)
        if (r.told) sum += 0.5 * r.u95 / r.read, ++n;
    return n == 0 ? 0.0 : 100.0 * sum / n;
}

int list_row(std::uint64_t seed, std::size_t row, int visits, const std::vector<Make>& makes, const Plan& plan) {
    std::printf("visit  true   read   u95    naive         uncorrelated  offnominal\n");
    for (int i = 0; i < visits; ++i) {
        const Result r = judge(visit_of(makes, plan.rows[row], seed, row, i));
        std::printf("%5d  %.3f  %.3f  %.3f  %-12s  %-12s  %s%s\n", i, r.ratio, r.read, r.u95, name(r.naive).data(),
                    name(r.uncorrelated).data(), name(r.outcome).data(),
                    r.refused    ? ", refused"
                    : r.off_page ? ", off the page"
                    : r.noticed  ? ", objects"
                                 : "");
    }
    return 0;
}

int show(std::uint64_t seed, std::size_t row, int visit, const std::vector<Make>& makes, const Plan& plan) {
    const VisitCase v = visit_of(makes, plan.rows[row], seed, row, visit);
    std::printf("# row %zu: %s, %s kit; true ratio %.4f; %s\n\n%s\n", row, plan.rows[row].situation->name,
                plan.rows[row].kit->name, v.ratio, v.make->name.c_str(), write_system(v.make->system).c_str());
    try {
        std::printf("%s\n", write_visit(v.visit).c_str());
    } catch (const std::exception& problem) {
        std::printf("%s\n\n", problem.what());
    }
    try {
        const Proof proof = prove(v.make->system, v.visit);
        std::printf("%s\n", report(v.make->system, v.visit, proof, offnominal::UnitSystem::IP).c_str());
    } catch (const std::exception& problem) {
        std::printf("refused: %s\n", problem.what());
    }
    return 0;
}

}  // namespace

int main(int argc, char** argv) {
    const bool shows = argc == 5 && std::strcmp(argv[1], "show") == 0;
    const bool lists = argc >= 4 && std::strcmp(argv[1], "row") == 0;
    const auto number = [&](int i, unsigned long fallback) {
        return argc > i ? std::strtoul(argv[i], nullptr, 10) : fallback;
    };
    Plan plan{{}, shows || lists ? 1 : static_cast<int>(number(2, 1000))};
    const std::uint64_t seed = number(shows || lists ? 2 : 1, 1);
    const unsigned threads = static_cast<unsigned>(number(3, std::thread::hardware_concurrency()));
    const auto makes = all_makes();

    std::size_t below[3], above[3], fine[3], weak[3];
    for (std::size_t k = 0; k < kits.size(); ++k) {
        below[k] = plan.add(ordinary, kits[k], 0.8999, 2.0);
        above[k] = plan.add(ordinary, kits[k], 0.9001, 2.0);
        fine[k] = plan.add(ordinary, kits[k], 1.00);
        weak[k] = plan.add(ordinary, kits[k], 0.80);
    }
    const double ladder[] = {0.70, 0.75, 0.80, 0.85, 0.90, 0.95, 1.00, 1.05, 1.08, 1.10};
    std::vector<std::size_t> steps, covers, strays;
    for (const double ratio : ladder) steps.push_back(plan.add(ordinary, usual, ratio));
    for (const Situation* s : {&ordinary, &without_power, &mountains, &dry, &humid, &wet_bulbs, &edges, &wild,
                               &saturated, &dry_bulb_astray, &humidity_astray})
        covers.push_back(plan.add(*s, usual, any));
    covers.push_back(plan.add(ordinary, good, any));
    covers.push_back(plan.add(ordinary, poor, any));
    for (const double ratio : {0.85, 1.00})
        for (const Situation* s : {&airflow_high, &airflow_low}) strays.push_back(plan.add(*s, usual, ratio));
    std::vector<std::size_t> stages, slipped;
    for (const Situation* s : {&low_stage, &low_stage_blind, &high_stage}) stages.push_back(plan.add(*s, usual, 1.00));
    for (const Situation& s : slips) slipped.push_back(plan.add(s, usual, 1.00, 0.2));
    const std::size_t fog = plan.add(foggy, usual, 1.00, 0.2);
    if ((shows || lists) && number(3, 0) >= plan.rows.size()) return std::fprintf(stderr, "trial: no such row\n"), 2;
    if (lists) return list_row(seed, number(3, 0), static_cast<int>(number(4, 100)), makes, plan);
    if (shows) return show(seed, number(3, 0), static_cast<int>(number(4, 0)), makes, plan);

    const auto start = std::chrono::steady_clock::now();
    const auto all = run(makes, plan.rows, seed, threads);
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    std::size_t visits = 0;
    for (const Row& row : plan.rows) visits += static_cast<std::size_t>(row.visits);

    std::printf(
        "Seed %llu, %zu visits. Percent of visits, and how far chance may move it (95 %%). Limit 0.90, "
        "confidence 95 %%.\n\n",
        static_cast<unsigned long long>(seed), visits);
    std::printf(
        "| ordinary visits with a proof | offnominal | naive rule | uncorrelated | row |\n|---|---|---|---|---|\n");
    const auto line = [&](std::size_t k, const char* what, std::size_t n, bool (*is)(Outcome)) {
        std::printf("| %s kit: %s | %s | %zu |\n", kits[k].name, what, three(all[n], is).c_str(), n);
    };
    for (std::size_t k = 0; k < kits.size(); ++k) {
        line(k, "true 0.8999, meets", below[k], is_meets);
        line(k, "true 0.9001, falls short", above[k], is_falls_short);
    }
    for (std::size_t k = 0; k < kits.size(); ++k) {
        line(k, "true 1.00, left undecided", fine[k], is_undecided);
        line(k, "true 0.80, falls short", weak[k], is_falls_short);
    }

    std::printf(
        "\n| usual kit, true ratio | meets | falls short | undecided | implausible | no proof | row |\n"
        "|---|---|---|---|---|---|---|\n");
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const auto& r = all[steps[i]];
        std::printf("| %.2f | %s | %s | %s | %s | %s | %zu |\n", ladder[i], percent(share(r, meets)).c_str(),
                    percent(share(r, falls_short)).c_str(), percent(share(r, undecided)).c_str(),
                    percent(share(r, implausible)).c_str(), percent(share(r, no_proof)).c_str(), steps[i]);
    }

    std::printf(
        "\n| true 0.70 to 1.10 | u of the ratio | 95 %% interval covers | wrong verdict | naive rule wrong "
        "| uncorrelated wrong | objects | no proof | row |\n|---|---|---|---|---|---|---|---|---|\n");
    const auto wrong = [](Outcome Result::*judge) {
        return
            [judge](const Result& r) { return r.*judge == (r.ratio < 0.90 ? Outcome::meets : Outcome::falls_short); };
    };
    for (const std::size_t n : covers) {
        const auto& r = all[n];
        std::printf("| %s, %s kit | %.1f %% | %s | %s | %s | %s | %s | %s | %zu |\n", plan.rows[n].situation->name,
                    plan.rows[n].kit->name, mean_u(r), percent(share(r, covered, told)).c_str(),
                    percent(share(r, wrong(&Result::outcome), told)).c_str(),
                    percent(share(r, wrong(&Result::naive), told)).c_str(),
                    percent(share(r, wrong(&Result::uncorrelated), told)).c_str(),
                    percent(share(r, noticed, on_page)).c_str(), percent(share(r, no_proof)).c_str(), n);
    }
    std::printf(
        "\n| by machine, ordinary, usual kit | 95 %% interval covers | ratio read over true, mean | no proof |\n"
        "|---|---|---|---|\n");
    for (std::size_t m = 0; m < makes.size(); ++m) {
        double sum = 0.0;
        int n = 0;
        const auto its = [m](const Result& r) { return r.make == m; };
        const auto its_told = [m](const Result& r) { return r.make == m && r.told; };
        for (const Result& r : all[covers.front()])
            if (its_told(r)) sum += r.read / r.ratio, ++n;
        std::printf("| %s | %s | %.4f | %s |\n", makes[m].name.c_str(),
                    percent(share(all[covers.front()], covered, its_told)).c_str(), sum / std::max(n, 1),
                    percent(share(all[covers.front()], no_proof, its)).c_str());
    }

    std::printf(
        "\n| wrong airflow, wrong stage, usual kit; visits the page can answer | meets | falls short | objects "
        "| 95 %% interval covers where it does not object | row |\n|---|---|---|---|---|---|\n");
    for (const auto* list : {&strays, &stages})
        for (const std::size_t n : *list) {
            const auto& r = all[n];
            const Share covers_unnoticed = share(r, covered, [](const Result& x) { return x.told && !x.noticed; });
            std::printf("| %s, true %.2f | %s | %s | %s | %s | %zu |\n", plan.rows[n].situation->name,
                        plan.rows[n].ratio, percent(share(r, meets, on_page)).c_str(),
                        percent(share(r, falls_short, on_page)).c_str(), percent(share(r, noticed, on_page)).c_str(),
                        percent(covers_unnoticed).c_str(), n);
        }

    std::printf("\n| slip, true 1.00, usual kit | in silence | still decided | row |\n|---|---|---|---|\n");
    const auto had_ratio = [](const Result& r) { return r.honest_told; };
    for (const std::size_t n : slipped)
        std::printf("| %s | %s | %s | %zu |\n", plan.rows[n].situation->name,
                    percent(share(
                                all[n], [](const Result& r) { return !r.noticed; }, had_ratio))
                        .c_str(),
                    percent(share(all[n], decided, had_ratio)).c_str(), n);
    std::printf("| honest: %s, refused | %s | | %zu |\n", foggy.name,
                percent(share(all[fog], [](const Result& r) { return r.refused; })).c_str(), fog);
    std::printf(
        "\n| page alone: exact instruments, sound machines | off by more than 2 u | error, root mean square "
        "| its u, likewise | no proof |\n|---|---|---|---|---|\n");
    const auto page_alone = [&](const char* printing, const std::vector<Make>& printed, const Situation& s) {
        const auto results = run(printed, {{&s, &exact, 1.0, plan.visits}}, seed, threads).front();
        double error = 0.0, u = 0.0;
        int n = 0;
        for (const Result& r : results)
            if (r.told) error += (r.read - 1.0) * (r.read - 1.0), u += r.page_u * r.page_u, ++n;
        const Share off = share(
            results, [](const Result& r) { return std::abs(r.read - 1.0) > 2.0 * r.page_u; }, told);
        std::printf("| %s, %s | %s | %.2f %% | %.2f %% | %s |\n", printing, s.name, percent(off).c_str(),
                    100.0 * std::sqrt(error / std::max(n, 1)), 100.0 * std::sqrt(u / std::max(n, 1)),
                    percent(share(results, no_proof)).c_str());
    };
    const auto as_printed = reprinted([](Layout&) {});
    for (const Situation* s : {&ordinary_at_sea, &mountains, &dry_at_sea}) page_alone("page as usual", as_printed, *s);
    page_alone("two outdoor dry bulbs", reprinted([](Layout& l) { l.outdoor = {75, 115}; }), ordinary_at_sea);
    page_alone("two airflows", reprinted([](Layout& l) { l.per_ton = {300, 500}; }), ordinary_at_sea);
    page_alone("airflow by a row of multipliers", reprinted([](Layout& l) { l.airflow_row = true; }), ordinary_at_sea);
    std::fprintf(stderr, "%zu visits in %.2f s on %u threads: %.0f a second\n", visits, seconds, threads,
                 static_cast<double>(visits) / seconds);
}
