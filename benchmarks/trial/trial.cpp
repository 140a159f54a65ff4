// The trial of the verdict: virtual visits whose truth is known, judged by offnominal, by the naive rule, and with
// correlations left out.
//
//     trial [SEED] [VISITS] [THREADS]     prints the tables of benchmarks/README.md; VISITS a row (1000)
//     trial row SEED ROW [VISITS]         lists the visits of one row
//     trial rates SEED ROW [VISITS]       counts one row alone: verdicts, the error over its u, and how the chance of
//                                         reaching the limit is spread (JCGM 106: at the limit itself evenly)
//     trial most SEED [VISITS]            how many decisions any rule can reach at most: that table alone
//     trial show SEED ROW VISIT           prints one visit as files and report, to look into
#include "trial.hpp"

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <deque>
#include <initializer_list>
#include <string>
#include <string_view>
#include <tuple>

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

/// A situation of heating.
Situation heating(const char* name, double heater, bool frosts, Range outdoor, Secret secret = Secret::none) {
    Situation out{name, secret, {0, 1500}, outdoor, {66, 74}, {0.25, 0.45}, {350, 435}};
    out.heats = true;
    out.heater = heater;
    out.frosts = frosts;
    return out;
}
const Situation heats = heating("heating", 0.0, false, {8, 60});
const Situation heats_frosted = heating("heating, frost on the coil", 0.0, true, {20, 39});
const Situation heats_with_heater = heating("heating, auxiliary heat metered", 1.0, false, {8, 60});
const Situation heats_airflow_low =
    heating("heating, airflow reads 15-20 % low", 0.0, false, {8, 60}, Secret::airflow_reads_low);
const Situation heats_airflow_high =
    heating("heating, airflow reads 15-20 % high", 0.0, false, {8, 60}, Secret::airflow_reads_high);
const Situation heats_on_low =
    heating("heating, low stage ran, said high", 0.0, false, {8, 60}, Secret::low_stage_said_high);

/// Ordinary visits to machines whose faults have another law than the judge's.
Situation faulty(const char* name, Range power_by_loss) {
    Situation out{name};
    out.power_by_loss = power_by_loss;
    return out;
}
const Situation faults_draw_more = faulty("faults that draw more, to as much as they take", {0.0, 1.0});
const Situation faults_draw_less = faulty("faults that draw less, by as much as they take", {-1.2, -0.6});

/// Wet bulbs read, by a wick that is half dry.
Situation wicks(const char* name, Secret secret) {
    Situation out = wet_bulbs;
    out.name = name;
    out.secret = secret;
    return out;
}
const Situation return_wick = wicks("return's wick half dry", Secret::return_wick_dry);
const Situation supply_wick = wicks("supply's wick half dry", Secret::supply_wick_dry);

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

/// The trial as it runs: rows in the order they are asked for, each once. Its number is part of its seed.
class Trial {
   public:
    /// @param visits  of a row; 0 only counts the rows
    Trial(std::uint64_t seed, int visits, unsigned threads) : seed_(seed), visits_(visits), threads_(threads) {}

    struct Judged {
        std::size_t number;
        Row row;
        std::vector<Result> results;
    };

    const Judged& of(const Situation& s, const Kit& kit, double ratio, double times = 1.0,
                     Yardstick yardstick = Yardstick::make) {
        for (const Judged& known : rows_)
            if (known.row.situation == &s && known.row.kit == &kit && known.row.yardstick == yardstick &&
                (known.row.ratio == ratio || (std::isnan(known.row.ratio) && std::isnan(ratio))))
                return known;
        const Row row{&s, &kit, ratio, static_cast<int>(times * visits_), yardstick};
        visits_made_ += row.visits;
        rows_.push_back({rows_.size(), row, run(makes_, row, seed_, rows_.size(), threads_)});
        return rows_.back();
    }
    /// Exact instruments at sound machines on other pages.
    std::vector<Result> on_pages(const std::vector<Make>& makes, const Situation& s) const {
        return run(makes, {&s, &exact, 1.0, visits_}, seed_, 0, threads_);
    }

    [[nodiscard]] const std::vector<Make>& makes() const noexcept { return makes_; }
    [[nodiscard]] const std::deque<Judged>& rows() const noexcept { return rows_; }
    [[nodiscard]] std::uint64_t seed() const noexcept { return seed_; }
    [[nodiscard]] int visits_made() const noexcept { return visits_made_; }
    [[nodiscard]] bool counts_only() const noexcept { return visits_ == 0; }

   private:
    std::uint64_t seed_;
    int visits_, visits_made_ = 0;
    unsigned threads_;
    std::vector<Make> makes_ = all_makes();
    std::deque<Judged> rows_;
};

bool meets(const Result& r) { return r.outcome == Outcome::meets; }
bool falls_short(const Result& r) { return r.outcome == Outcome::falls_short; }
bool undecided(const Result& r) { return r.outcome == Outcome::undecided; }
bool implausible(const Result& r) { return r.outcome == Outcome::implausible; }
bool no_proof(const Result& r) { return r.outcome == Outcome::not_comparable; }
bool has_proof(const Result& r) { return !no_proof(r); }
bool told(const Result& r) { return r.told; }
bool on_page(const Result& r) { return !r.off_page; }
bool covered(const Result& r) { return r.covered(); }
bool joint_covered(const Result& r) { return r.joint_covered(); }
bool noticed(const Result& r) { return r.noticed; }
bool silent(const Result& r) { return !r.noticed; }
bool believed(const Result& r) { return r.told && !r.noticed; }
bool decided(const Result& r) { return meets(r) || falls_short(r); }
bool all_of_them(const Result&) { return true; }
bool was_told_honestly(const Result& r) { return r.honest_told; }

std::string text(const char* format, auto... values) {
    char out[128];
    std::snprintf(out, sizeof out, format, values...);
    return out;
}
std::string percent(const Share& s) {
    return s.of == 0 ? "-" : text("%.1f ±%.1f", 100.0 * s.value(), 100.0 * s.half_width());
}
template <class Has>
std::string percent(const Trial::Judged& row, Has&& has, bool (*among)(const Result&) = has_proof) {
    return percent(share(row.results, has, among));
}

/// A table in Markdown, printed line by line; nothing where rows are only counted.
class Table {
   public:
    Table(const Trial& trial, std::initializer_list<std::string> heads) : prints_(!trial.counts_only()) {
        line(heads);
        if (!prints_) return;
        for (std::size_t i = 0; i < heads.size(); ++i) std::printf("|---");
        std::printf("|\n");
    }
    ~Table() {
        if (prints_) std::printf("\n");
    }
    Table(const Table&) = delete;
    Table& operator=(const Table&) = delete;

    void line(std::initializer_list<std::string> cells) const {
        if (!prints_) return;
        for (const std::string& cell : cells) std::printf("| %s ", cell.c_str());
        std::printf("|\n");
    }

   private:
    bool prints_;
};
std::string number_of(const Trial::Judged& row) { return text("%zu", row.number); }

/// Just below and just above the limit.
constexpr double below = 0.8999, above = 0.9001;

/// What the trial is for, in one table.
void goals(Trial& trial) {
    const Table table(trial, {"percent of visits", "goal", "good kit", "usual kit", "poor kit"});
    const auto by_kit = [&](const char* what, const char* goal, const Situation& s, double ratio,
                            bool (*has)(const Result&), bool (*among)(const Result&) = has_proof) {
        std::string cells[3];
        for (std::size_t k = 0; k < kits.size(); ++k)
            cells[k] = percent(trial.of(s, kits[k], ratio, std::abs(ratio - 0.90) < 0.001 ? 2.0 : 1.0), has, among);
        table.line({what, goal, cells[0], cells[1], cells[2]});
    };
    by_kit("true just below the limit: meets", "≤ 5, usual ≥ 2", ordinary, below, meets);
    by_kit("true just above it: falls short", "≤ 5, usual ≥ 2", ordinary, above, falls_short);
    by_kit("95 % interval covers the truth", "94 to 97", ordinary, any, covered, told);
    by_kit("true 1.00: left undecided", "≤ 25, usual", ordinary, 1.00, undecided);
    by_kit("true 0.80: falls short", "≥ 85, usual", ordinary, 0.80, falls_short);
    by_kit("ordinary visits without a proof", "≤ 3", ordinary, any, no_proof, all_of_them);
    by_kit("low stage ran, said high: falls short", "≤ 1", low_stage, 1.00, falls_short, on_page);
    by_kit("the same, no power read: falls short", "≤ 1", low_stage_blind, 1.00, falls_short, on_page);
    by_kit("supply probe wetted: 95 % interval covers", "94 to 97", saturated, any, covered, told);
    by_kit("airflow known to 20 %, and said so: covers", "94 to 97", wild, any, covered, told);
    by_kit("airflow reads 15-20 % high, true 1.00: noticed", "≥ 80", airflow_high, 1.00, noticed, on_page);
    by_kit("airflow reads 15-20 % low, true 1.00: noticed", "≥ 80", airflow_low, 1.00, noticed, on_page);
}

/// The same visits by the three judges.
void judges(Trial& trial) {
    const Table table(trial, {"ordinary visits with a proof", "offnominal", "naive rule", "uncorrelated", "row"});
    const auto line = [&](const Kit& kit, double ratio, const char* what, bool (*is)(Outcome)) {
        const auto& row = trial.of(ordinary, kit, ratio);
        const auto by = [&](Outcome Result::*judge) {
            return percent(row, [&](const Result& r) { return is(r.*judge); });
        };
        table.line({text("%s kit, true %.4g: %s", kit.name, ratio, what), by(&Result::outcome), by(&Result::naive),
                    by(&Result::uncorrelated), number_of(row)});
    };
    const auto open = [](Outcome o) { return o != Outcome::meets && o != Outcome::falls_short; };
    for (const Kit& kit : kits) {
        line(kit, below, "meets", [](Outcome o) { return o == Outcome::meets; });
        line(kit, above, "falls short", [](Outcome o) { return o == Outcome::falls_short; });
        line(kit, 1.00, "not decided", open);
        line(kit, 0.80, "not decided", open);
    }
}

/// How far from the limit a truth must lie to be told.
void ladder(Trial& trial) {
    const Table table(trial, {"usual kit, true ratio", "meets", "falls short", "undecided", "implausible", "row"});
    for (const double ratio : {0.70, 0.75, 0.80, 0.85, 0.90, 0.95, 1.00, 1.05, 1.08, 1.10}) {
        const auto& row = trial.of(ordinary, usual, ratio);
        table.line({text("%.2f", ratio), percent(row, meets), percent(row, falls_short), percent(row, undecided),
                    percent(row, implausible), number_of(row)});
    }
}

/// Whether the promise holds everywhere, and what it costs.
void by_situation(Trial& trial) {
    const Table table(trial, {"usual kit", "0.8999 meets", "0.9001 falls short", "1.00 undecided", "0.80 falls short",
                              "no proof", "rows"});
    const auto line = [&](const Situation& s, Yardstick yardstick) {
        const auto of = [&](double ratio) -> const Trial::Judged& { return trial.of(s, usual, ratio, 1.0, yardstick); };
        const auto &low = of(below), &high = of(above), &sound = of(1.00), &weak = of(0.80);
        table.line({s.name + std::string(yardstick == Yardstick::page ? ", by the yardstick of the page" : ""),
                    percent(low, meets), percent(high, falls_short), percent(sound, undecided),
                    percent(weak, falls_short), percent(low, no_proof, all_of_them),
                    text("%zu, %zu, %zu, %zu", low.number, high.number, sound.number, weak.number)});
    };
    for (const Situation* s : {&ordinary, &without_power, &mountains, &dry, &humid, &wet_bulbs, &edges, &wild,
                               &saturated, &heats, &heats_frosted, &heats_with_heater})
        line(*s, Yardstick::make);
    line(ordinary, Yardstick::page);
}

/// Mean relative standard uncertainty of the ratio.
std::string mean_u(const std::vector<Result>& results, bool joint) {
    double sum = 0.0;
    int n = 0;
    for (const Result& r : results)
        if (r.told) sum += joint ? r.joint_u / r.joint : 0.5 * r.u95 / r.read, ++n;
    return n == 0 ? "-" : text("%.1f %%", 100.0 * sum / n);
}

/// What each thing brings to the usual kit.
void what_brings_what(Trial& trial) {
    const Table table(trial, {"ordinary visits", "u of the ratio", "1.00 undecided", "0.80 falls short", "0.8999 meets",
                              "0.9001 falls short", "rows"});
    const auto line = [&](const std::string& what, const Situation& s, const Kit& kit, Yardstick yardstick) {
        const auto of = [&](double ratio) -> const Trial::Judged& { return trial.of(s, kit, ratio, 1.0, yardstick); };
        const auto &sound = of(1.00), &weak = of(0.80), &low = of(below), &high = of(above);
        table.line({what, mean_u(sound.results, true), percent(sound, undecided), percent(weak, falls_short),
                    percent(low, meets), percent(high, falls_short),
                    text("%zu, %zu, %zu, %zu", sound.number, weak.number, low.number, high.number)});
    };
    line("usual", ordinary, usual, Yardstick::make);
    line("usual, no power read", without_power, usual, Yardstick::make);
    line("usual, yardstick of the page", ordinary, usual, Yardstick::page);
    for (const Kit& kit : better_kits) line(kit.name, ordinary, kit, Yardstick::make);
    line(better_kits[2].name + std::string(", yardstick of the page"), ordinary, better_kits[2], Yardstick::page);
}

/// Over machines of every kind.
void over_all_ratios(Trial& trial) {
    const Table table(trial, {"true 0.70 to 1.10", "u of the ratio", "95 % interval covers", "all evidence: u",
                              "covers", "wrong verdict", "naive rule wrong", "uncorrelated wrong", "objects", "row"});
    const auto wrong = [](Outcome Result::*judge) {
        return
            [judge](const Result& r) { return r.*judge == (r.ratio < 0.90 ? Outcome::meets : Outcome::falls_short); };
    };
    const auto line = [&](const Situation& s, const Kit& kit) {
        const auto& row = trial.of(s, kit, any);
        table.line({text("%s, %s kit", s.name, kit.name), mean_u(row.results, false), percent(row, covered, told),
                    mean_u(row.results, true), percent(row, joint_covered, told),
                    percent(row, wrong(&Result::outcome), told), percent(row, wrong(&Result::naive), told),
                    percent(row, wrong(&Result::uncorrelated), told), percent(row, noticed, on_page), number_of(row)});
    };
    for (const Situation* s :
         {&ordinary, &without_power, &mountains, &dry, &humid, &wet_bulbs, &edges, &wild, &saturated, &dry_bulb_astray,
          &humidity_astray, &heats, &heats_frosted, &heats_with_heater})
        line(*s, usual);
    line(ordinary, good);
    line(ordinary, poor);
}

/// That no kind of machine is judged otherwise than another.
void by_machine(Trial& trial) {
    const Table table(trial, {"ordinary, usual kit", "95 % interval covers", "ratio read over true, mean",
                              "by all evidence", "no proof"});
    const auto& results = trial.of(ordinary, usual, any).results;
    for (std::size_t m = 0; m < trial.makes().size(); ++m) {
        double sum = 0.0, joint = 0.0;
        int n = 0;
        const auto its = [m](const Result& r) { return r.make == m; };
        const auto its_told = [m](const Result& r) { return r.make == m && r.told; };
        for (const Result& r : results)
            if (its_told(r)) sum += r.read / r.ratio, joint += r.joint / r.ratio, ++n;
        table.line({trial.makes()[m].name, percent(share(results, covered, its_told)),
                    text("%.4f", sum / std::max(n, 1)), text("%.4f", joint / std::max(n, 1)),
                    percent(share(results, no_proof, its))});
    }
}

/// What a perfect use of the same readings would reach.
void bounds(Trial& trial) {
    const Table table(trial, {"percent of visits", "goal", "good kit", "usual kit", "poor kit"});
    const auto line = [&](const char* what, const char* goal, const Situation& s, double ratio, auto&& has) {
        std::string cells[3];
        for (std::size_t k = 0; k < kits.size(); ++k)
            cells[k] = percent(
                trial.of(s, kits[k], ratio), [&](const Result& r) { return has(r, k); }, told);
        table.line({what, goal, cells[0], cells[1], cells[2]});
    };
    const auto passes = [](const Result& r, std::size_t) { return r.bound_chance >= 0.95; };
    const auto fails = [](const Result& r, std::size_t) { return r.bound_chance <= 0.05; };
    const auto open = [&](const Result& r, std::size_t k) { return !passes(r, k) && !fails(r, k); };
    line("true just below the limit: meets", "≤ 5", ordinary, below, passes);
    line("true just above it: falls short", "≤ 5", ordinary, above, fails);
    line("true 1.00: left undecided", "≤ 25, usual", ordinary, 1.00, open);
    line("true 0.80: falls short", "≥ 85, usual", ordinary, 0.80, fails);
}

/// The value that so large a share of them does not pass.
double quantile(std::vector<double> values, double share) {
    if (values.empty()) return 0.0;
    std::sort(values.begin(), values.end());
    return values[static_cast<std::size_t>(share * static_cast<double>(values.size()))];
}

/// The most decisions that any rule can reach which is wrong next to the limit in 5 of 100, on the same visits.
void most_decisions(Trial& trial) {
    const Table table(trial, {"percent of ordinary visits with a ratio", "good kit", "usual kit", "poor kit"});
    using Evidence = std::array<double, 2> Result::*;
    const auto told_of = [](const std::vector<Result>& results, auto&& value) {
        std::vector<double> out;
        for (const Result& r : results)
            if (r.told) out.push_back(value(r));
        return out;
    };
    const auto lines = [&](double limit, double ratio, const char* what, Outcome outcome, Evidence evidence) {
        const auto here = [&](const Result& r) { return r.outcome == outcome; };
        std::string risk[3], is[3], open[3], most[2][3];
        for (std::size_t k = 0; k < kits.size(); ++k) {
            const auto& next_to = trial.of(ordinary, kits[k], limit, 2.0);
            const auto& far_off = trial.of(ordinary, kits[k], ratio);
            risk[k] = percent(next_to, here, told);
            is[k] = percent(far_off, here, told);
            open[k] = percent(
                far_off, [&](const Result& r) { return r.uncapped == outcome; }, told);
            for (std::size_t power = 0; power < 2; ++power) {
                const auto by = [&](const Result& r) { return (r.*evidence)[power]; };
                const double needed = quantile(told_of(next_to.results, by), 0.95);
                most[power][k] = percent(
                    far_off, [&](const Result& r) { return by(r) > needed; }, told);
            }
        }
        table.line({text("true %.4f: %s", limit, what), risk[0], risk[1], risk[2]});
        table.line({text("true %.2f: %s", ratio, what), is[0], is[1], is[2]});
        table.line({"the same, but for what another stage or airflow would explain", open[0], open[1], open[2]});
        table.line({"the most at a risk of 5 %, by total and sensible", most[0][0], most[0][1], most[0][2]});
        table.line({"the same, by power too", most[1][0], most[1][1], most[1][2]});
    };
    lines(below, 1.00, "meets", Outcome::meets, &Result::bound_sound);
    lines(above, 0.80, "falls short", Outcome::falls_short, &Result::bound_weak);
}

/// How often a wrong airflow at a sound machine is noticed, and how often at most it can be: at 5 % false alarms among
/// ordinary visits to machines of any ratio.
void wrong_airflows(Trial& trial) {
    const Table table(trial, {"percent of visits with a ratio", "goal", "good kit", "usual kit", "poor kit"});
    const auto line = [&](const std::string& what, const char* goal, const Situation& s, double ratio, auto&& has) {
        std::string cells[3];
        for (std::size_t k = 0; k < kits.size(); ++k)
            cells[k] = percent(
                trial.of(s, kits[k], ratio), [&](const Result& r) { return has(r, k); }, told);
        table.line({what, goal, cells[0], cells[1], cells[2]});
    };
    const auto names = [](const Result& r, std::size_t) { return r.names_airflow; };
    const auto objects = [](const Result& r, std::size_t) { return r.noticed; };
    for (const auto& [honest, high, low] : {std::tuple{&ordinary, &airflow_high, &airflow_low},
                                            std::tuple{&heats, &heats_airflow_high, &heats_airflow_low}}) {
        std::array<double, kits.size()> threshold{};
        for (std::size_t k = 0; k < kits.size(); ++k) {
            std::vector<double> all;
            for (const Result& r : trial.of(*honest, kits[k], any).results)
                if (r.told) all.push_back(r.bound_airflow);
            threshold[k] = quantile(std::move(all), 0.95);
        }
        const auto bound = [&](const Result& r, std::size_t k) { return r.bound_airflow > threshold[k]; };
        line(text("%s, true 0.70 to 1.10: airflow named", honest->name), "≤ 5", *honest, any, names);
        for (const Situation* s : {high, low}) {
            line(text("%s, true 1.00: airflow named", s->name), "", *s, 1.00, names);
            line("the same: objects", "≥ 80", *s, 1.00, objects);
            line("the same: bound of what could be named", "", *s, 1.00, bound);
        }
    }
}

/// What nobody knows of.
void unsaid(Trial& trial, std::initializer_list<std::pair<const Situation*, double>> rows) {
    const Table table(trial, {"usual kit; visits the page can answer", "meets", "falls short", "objects",
                              "95 % interval covers where it does not object", "row"});
    for (const auto& [s, ratio] : rows) {
        const auto& row = trial.of(*s, usual, ratio);
        table.line({text("%s, true %.2f", s->name, ratio), percent(row, meets, on_page),
                    percent(row, falls_short, on_page), percent(row, noticed, on_page), percent(row, covered, believed),
                    number_of(row)});
    }
}

/// Machines whose faults do to the power what the judge does not reckon with.
void other_faults(Trial& trial) {
    const Table table(trial, {"usual kit", "0.8999 meets", "0.9001 falls short", "0.80 falls short",
                              "0.70 to 1.10: 95 % interval covers", "wrong verdict", "airflow named", "rows"});
    for (const Situation* s : {&ordinary, &faults_draw_more, &faults_draw_less}) {
        const auto &low = trial.of(*s, usual, below, 2.0), &high = trial.of(*s, usual, above, 2.0),
                   &weak = trial.of(*s, usual, 0.80), &all = trial.of(*s, usual, any);
        const auto wrong = [](const Result& r) { return r.ratio < 0.90 ? meets(r) : falls_short(r); };
        const auto names = [](const Result& r) { return r.names_airflow; };
        table.line({s->name, percent(low, meets), percent(high, falls_short), percent(weak, falls_short),
                    percent(all, covered, told), percent(all, wrong, told), percent(all, names, told),
                    text("%zu, %zu, %zu, %zu", low.number, high.number, weak.number, all.number)});
    }
}

void slips_of_the_hand(Trial& trial) {
    const Table table(trial, {"slip, true 1.00, usual kit", "in silence", "still decided", "row"});
    for (const Situation& s : slips) {
        const auto& row = trial.of(s, usual, 1.00, 0.2);
        table.line({s.name, percent(row, silent, was_told_honestly), percent(row, decided, was_told_honestly),
                    number_of(row)});
    }
    const auto& row = trial.of(foggy, usual, 1.00, 0.2);
    table.line({text("no slip: %s, refused", foggy.name),
                percent(
                    row, [](const Result& r) { return r.refused; }, all_of_them),
                "", number_of(row)});
}

/// The expected side by itself: what print and reading cost, against what they are said to cost.
void pages_alone(Trial& trial) {
    const Table table(trial, {"exact instruments, sound machines", "off by more than 2 u", "mean error",
                              "error, root mean square", "its u, likewise", "no proof"});
    const auto line = [&](const char* printing, const std::vector<Make>& printed, const Situation& s) {
        Situation by_wet_bulb = s;
        by_wet_bulb.wet_bulbs = true;  // a humidity probe past 94 % might be wetted, however exact
        const auto results = trial.on_pages(printed, by_wet_bulb);
        double mean = 0.0, error = 0.0, u = 0.0;
        int n = 0;
        for (const Result& r : results)
            if (r.told) mean += r.read - 1.0, error += (r.read - 1.0) * (r.read - 1.0), u += r.page_u * r.page_u, ++n;
        const auto off = [](const Result& r) { return std::abs(r.read - 1.0) > 2.0 * r.page_u; };
        table.line({text("%s, %s", printing, s.name), percent(share(results, off, told)),
                    text("%+.2f %%", 100.0 * mean / std::max(n, 1)),
                    text("%.2f %%", 100.0 * std::sqrt(error / std::max(n, 1))),
                    text("%.2f %%", 100.0 * std::sqrt(u / std::max(n, 1))), percent(share(results, no_proof))});
    };
    const auto as_printed = reprinted([](Layout&) {});
    for (const Situation* s : {&ordinary_at_sea, &mountains, &dry_at_sea}) line("page as usual", as_printed, *s);
    line("two outdoor dry bulbs", reprinted([](Layout& l) { l.outdoor = {75, 115}; }), ordinary_at_sea);
    line("two airflows", reprinted([](Layout& l) { l.per_ton = {300, 500}; }), ordinary_at_sea);
    line("airflow by a row of multipliers", reprinted([](Layout& l) { l.airflow_row = true; }), ordinary_at_sea);
}

void run_all(Trial& trial) {
    goals(trial);
    judges(trial);
    ladder(trial);
    by_situation(trial);
    over_all_ratios(trial);
    by_machine(trial);
    what_brings_what(trial);
    bounds(trial);
    wrong_airflows(trial);
    unsaid(trial, {{&airflow_high, 0.85},
                   {&airflow_high, 1.00},
                   {&airflow_low, 0.85},
                   {&airflow_low, 1.00},
                   {&low_stage, 1.00},
                   {&low_stage_blind, 1.00},
                   {&high_stage, 1.00},
                   {&heats_airflow_low, 1.00},
                   {&heats_on_low, 1.00}});
    slips_of_the_hand(trial);
    pages_alone(trial);
    unsaid(trial, {{&return_wick, 0.85}, {&return_wick, 1.00}, {&supply_wick, 0.85}, {&supply_wick, 1.00}});
    other_faults(trial);
    most_decisions(trial);
}

int list_row(const Trial& trial, std::size_t number, int visits) {
    std::printf("visit  true   read   u95    naive         uncorrelated  offnominal\n");
    for (int i = 0; i < visits; ++i) {
        const Row& row = trial.rows()[number].row;
        const Result r = judge(visit_of(trial.makes(), row, trial.seed(), number, i), *row.kit);
        std::printf("%5d  %.3f  %.3f  %.3f  %-12s  %-12s  %s%s\n", i, r.ratio, r.read, r.u95, name(r.naive).data(),
                    name(r.uncorrelated).data(), name(r.outcome).data(),
                    r.refused    ? ", refused"
                    : r.off_page ? ", off the page"
                    : r.noticed  ? ", objects"
                                 : "");
    }
    return 0;
}

/// One row alone, of as many visits as are asked for.
int count_row(const Trial& trial, std::size_t number, int visits, unsigned threads) {
    Row row = trial.rows()[number].row;
    row.visits = visits;
    const std::vector<Result> results = run(trial.makes(), row, trial.seed(), number, threads);
    double sum = 0.0, squares = 0.0;
    int n = 0;
    for (const Result& r : results)
        if (r.told) {
            const double off = (r.read - r.ratio) / (0.5 * r.u95);
            sum += off, squares += off * off, ++n;
        }
    const double mean = sum / std::max(n, 1);
    std::printf("row %zu: %s, %s kit, true %.4f\n", number, row.situation->name, row.kit->name, row.ratio);
    const auto line = [&](const char* what, bool (*has)(const Result&), bool (*among)(const Result&)) {
        std::printf("%-28s %s\n", what, percent(share(results, has, among)).c_str());
    };
    line("meets", meets, has_proof);
    line("falls short", falls_short, has_proof);
    line("undecided", undecided, has_proof);
    line("95 % interval covers", covered, told);
    line("objects", noticed, on_page);
    line(
        "airflow named", [](const Result& r) { return r.names_airflow; }, told);
    std::printf("error over its u: mean %+.3f, spread %.3f\n", mean,
                std::sqrt(std::max(0.0, squares / std::max(n, 1) - mean * mean)));
    for (const double level : {0.01, 0.025, 0.05, 0.10, 0.25, 0.50}) {
        const auto at_most = [level](const Result& r) { return r.probability <= level; };
        const auto at_least = [level](const Result& r) { return r.probability >= 1.0 - level; };
        std::printf("chance at most %5.1f %%: %s    at least %5.1f %%: %s\n", 100.0 * level,
                    percent(share(results, at_most, told)).c_str(), 100.0 * (1.0 - level),
                    percent(share(results, at_least, told)).c_str());
    }
    return 0;
}

int show(const Trial& trial, std::size_t number, int visit) {
    const Row& row = trial.rows()[number].row;
    const VisitCase v = visit_of(trial.makes(), row, trial.seed(), number, visit);
    std::printf("# row %zu: %s, %s kit; true ratio %.4f; %s\n\n%s\n", number, row.situation->name, row.kit->name,
                v.ratio, v.make->name.c_str(), write_system(v.make->system).c_str());
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
    const std::string_view first = argc > 1 ? argv[1] : "";
    const bool looks = first == "show" || first == "row" || first == "rates";
    const auto number = [&](int i, unsigned long fallback) {
        return argc > i ? std::strtoul(argv[i], nullptr, 10) : fallback;
    };
    if (first == "most") {
        Trial trial(number(2, 1), static_cast<int>(number(3, 1000)), std::thread::hardware_concurrency());
        most_decisions(trial);
        return 0;
    }
    if (looks) {
        Trial trial(number(2, 1), 0, 1);
        run_all(trial);
        const std::size_t row = number(3, 0);
        if (row >= trial.rows().size()) return std::fprintf(stderr, "trial: no row %zu\n", row), 2;
        if (first == "rates")
            return count_row(trial, row, static_cast<int>(number(4, 1000)), static_cast<unsigned>(number(5, 1)));
        if (first == "row") return list_row(trial, row, static_cast<int>(number(4, 100)));
        return show(trial, row, static_cast<int>(number(4, 0)));
    }
    Trial trial(number(1, 1), static_cast<int>(number(2, 1000)),
                static_cast<unsigned>(number(3, std::thread::hardware_concurrency())));
    const auto start = std::chrono::steady_clock::now();
    run_all(trial);
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
    std::fprintf(stderr, "%d visits in %.1f s: %.0f a second\n", trial.visits_made(), seconds,
                 trial.visits_made() / seconds);
}
