// How many single typing errors an audit finds, and how many suspects it names on pages without one.
//
//     benchmark_audit [SEEDINGS [SEED [missed]]]     # 2000 unless told otherwise; the same every time it runs
//
// Into a clean page one error is typed, as text; the page is read as the file reader would read it (but not refused)
// and audited. Found: the cell is among the first three suspects; of a shifted row, the row is. What types the same
// number again is no error and is drawn anew.
#include "offnominal/audit.hpp"

#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "offnominal/explain.hpp"
#include "offnominal/files.hpp"
#include "trial/pages.hpp"

using namespace offnominal;

namespace {

struct Page {
    std::string name;
    Basis basis;
    PrintedPage page;
};

std::vector<Page> clean_pages() {
    std::vector<Page> out;
    for (const char* file :
         {OFFNOMINAL_TABLES_DIR "/demo/alder.yaml", OFFNOMINAL_PUBLISHED_DIR "/hvac_bestest_v1.yaml"}) {
        const System system = load_system(file);
        for (const Stage& stage : system.parts().cooling) {
            out.push_back({system.name() + ", " + stage.name, stage.table.basis(), stage.table.page()});
            out.back().page.typed.clear();  // numbers are changed, not texts
        }
    }
    return out;
}

/// The pages of the trial: three machines that are unlike one another, and unlike the audit's own idea of one.
std::vector<Page> trial_pages() {
    std::vector<Page> out;
    for (const trial::Make& make : trial::all_makes())
        for (const Stage& stage : make.system.parts().cooling)
            out.push_back({make.name + ", " + stage.name, stage.table.basis(), stage.table.page()});
    return out;
}

enum class ErrorKind { digit_swap, dropped_digit, neighbour, decimal_shift, row_shift, sign };
constexpr std::array kind_names{"digit swap",    "dropped digit", "neighbour's value",
                                "decimal shift", "row shift",     "sign"};

class Seeder {
   public:
    explicit Seeder(std::uint64_t seed) : random_(seed) {}

    struct Seeded {
        PrintedPage page;
        std::size_t node = 0;
        std::string column;
        double relative = 0.0;  ///< size of the error over the value; of a row the greatest
    };

    /// A page with one error of a kind.
    Seeded seed(const Page& clean, ErrorKind kind) {
        for (;;) {
            Seeded out{clean.page, pick(clean.page.nodes.size()), {}, 0.0};
            PrintedNode& node = out.page.nodes[out.node];
            if (node.mark != Mark::printed && node.mark != Mark::dry) continue;
            if (kind == ErrorKind::row_shift ? shift_row(clean.page, out) : mistype(clean.page, kind, out)) return out;
        }
    }
    std::size_t pick(std::size_t n) { return static_cast<std::size_t>(random_() % n); }

   private:
    using Member = double PrintedNode::*;

    bool mistype(const PrintedPage& page, ErrorKind kind, Seeded& out) {
        std::vector<std::pair<const char*, Member>> columns{{"total", &PrintedNode::total}};
        if (page.has_sensible) columns.emplace_back("sensible", &PrintedNode::sensible);
        if (page.has_power) columns.emplace_back("power", &PrintedNode::power);
        if (page.has_bypass) columns.emplace_back("bypass", &PrintedNode::bypass);
        const auto [name, member] = columns[pick(columns.size())];
        PrintedNode& node = out.page.nodes[out.node];
        const double right = node.*member;
        double wrong = right;
        if (kind == ErrorKind::neighbour) {
            const auto m = neighbour(page, out.node);
            if (!m) return false;
            wrong = page.nodes[*m].*member;
        } else {
            const auto [unit, decimals] = print_of(page, member);
            std::string text = fixed(unit.from_si(right), decimals);
            if (!slip(kind, text)) return false;
            wrong = unit.to_si(std::strtod(text.c_str(), nullptr));
        }
        if (std::abs(wrong - right) < 1e-9 * std::abs(right)) return false;
        out.column = name;
        out.relative = std::abs(wrong / right - 1.0);
        const bool was_dry = node.mark == Mark::dry;
        node.*member = wrong;
        // The `d` of a dry node stays typed; a sensible that equals total reads as dry.
        if (!was_dry && page.has_sensible && node.sensible == node.total) node.mark = Mark::dry;
        return true;
    }

    bool shift_row(const PrintedPage& page, Seeded& out) {
        const std::size_t m = pick(2) == 0 ? out.node + 1 : out.node - 1;
        if (m >= page.nodes.size()) return false;
        const PrintedNode &right = page.nodes[out.node], &wrong = page.nodes[m];
        if (wrong.mark != Mark::printed && wrong.mark != Mark::dry) return false;
        for (const Member member :
             {&PrintedNode::total, &PrintedNode::sensible, &PrintedNode::power, &PrintedNode::bypass})
            if (right.*member > 0.0)
                out.relative = std::max(out.relative, std::abs(wrong.*member / (right.*member) - 1.0));
        out.page.nodes[out.node] = wrong;
        out.column = "row";
        return out.relative > 0.0;
    }

    /// A node beside it along an axis.
    std::optional<std::size_t> neighbour(const PrintedPage& page, std::size_t n) {
        const PageShape shape(page);
        const auto axis = static_cast<PageAxis>(pick(page_axes));
        const std::size_t i = shape.index(n, axis), to = pick(2) == 0 ? i + 1 : i - 1;
        if (to >= shape.size(axis)) return std::nullopt;
        const std::size_t m = shape.moved(n, axis, to);
        if (page.nodes[m].mark != Mark::printed && page.nodes[m].mark != Mark::dry) return std::nullopt;
        return m;
    }

    struct Print {
        Unit unit;
        int decimals;
    };
    static Print print_of(const PrintedPage& page, Member member) {
        const bool ip = page.total_step > 10.0;  // 0.1 MBh; the published page prints whole watts
        if (member == &PrintedNode::bypass) return {units::one, 2};
        if (member == &PrintedNode::power) return ip ? Print{units::kW, 2} : Print{units::W, 0};
        return ip ? Print{units::MBh, 1} : Print{units::W, 0};
    }

    bool slip(ErrorKind kind, std::string& text) {
        const auto digit = [&](std::size_t i) { return text[i] >= '0' && text[i] <= '9'; };
        switch (kind) {
            case ErrorKind::digit_swap: {
                const std::size_t i = pick(text.size());
                const std::size_t j = i + 1 < text.size() && text[i + 1] == '.' ? i + 2 : i + 1;
                if (j >= text.size() || !digit(i) || !digit(j)) return false;
                std::swap(text[i], text[j]);
                return true;
            }
            case ErrorKind::dropped_digit: {
                const std::size_t i = pick(text.size());
                if (!digit(i)) return false;
                text.erase(i, 1);
                return text.find_first_of("0123456789") != std::string::npos;
            }
            case ErrorKind::decimal_shift: {
                const double factor = pick(2) == 0 ? 10.0 : 0.1;
                text = fixed(std::strtod(text.c_str(), nullptr) * factor, 6);
                return true;
            }
            case ErrorKind::sign:
                text.insert(0, 1, '-');
                return true;
            default:
                return false;
        }
    }

    std::mt19937_64 random_;
};

bool found(const Audit& audit, const Seeder::Seeded& seeded, std::size_t first) {
    for (std::size_t i = 0; i < std::min(first, audit.suspects.size()); ++i) {
        const Suspect& s = audit.suspects[i];
        const std::string column = s.column.substr(0, s.column.find('@'));
        if (s.node == seeded.node && (seeded.column == "row" || column == seeded.column || column == "row"))
            return true;
    }
    return false;
}

struct Count {
    int seeded = 0, first_three = 0, first = 0;
    void add(bool in_three, bool in_first) {
        ++seeded;
        first_three += in_three;
        first += in_first;
    }
};
void print(const std::string& name, const Count& c) {
    if (c.seeded > 0)
        std::printf("  %-40s %5d seeded  %5.1f %% first three  %5.1f %% first\n", name.c_str(), c.seeded,
                    100.0 * c.first_three / c.seeded, 100.0 * c.first / c.seeded);
}

std::vector<double> without(std::vector<double> x, std::size_t i) {
    x.erase(x.begin() + static_cast<std::ptrdiff_t>(i));
    return x;
}

/// The page without one breakpoint of an axis.
Page thinned(const Page& from, PageAxis axis, std::size_t i) {
    Page out = from;
    const PageShape shape(from.page);
    out.name += ", thinned";
    auto& x = axis == PageAxis::outdoor_dry_bulb ? out.page.outdoor_dry_bulb
              : axis == PageAxis::airflow        ? out.page.airflow
                                                 : out.page.entering_wet_bulb;
    x = without(x, i);
    out.page.nodes.clear();
    out.page.places.clear();
    out.page.typed.clear();
    for (std::size_t n = 0; n < shape.nodes(); ++n)
        if (shape.index(n, axis) != i) out.page.nodes.push_back(from.page.nodes[n]);
    return out;
}

/// The page printed with a coarser last place.
Page coarser(const Page& from, double times) {
    Page out = from;
    out.name += ", coarser";
    out.page.typed.clear();
    out.page.total_step *= times;
    out.page.sensible_step *= times;
    out.page.power_step *= times;
    const auto to = [](double value, double step) { return step > 0.0 ? std::round(value / step) * step : value; };
    for (PrintedNode& node : out.page.nodes) {
        node.total = to(node.total, out.page.total_step);
        node.sensible = to(node.sensible, out.page.sensible_step);
        node.power = to(node.power, out.page.power_step);
        if (from.page.has_sensible && node.mark == Mark::printed && node.sensible == node.total) node.mark = Mark::dry;
    }
    return out;
}

/// The page as a rougher machine would have printed it: every capacity and power off by a share of itself, normal.
Page rougher(const Page& from, double share, Seeder& seeder) {
    Page out = from;
    out.page.typed.clear();
    const auto normal = [&seeder] {  // twelve uniforms
        double sum = -6.0;
        for (int i = 0; i < 12; ++i) sum += static_cast<double>(seeder.pick(1u << 20)) / (1u << 20);
        return sum;
    };
    const auto off = [&](double& value, double step) {
        value = std::round(value * (1.0 + share * normal()) / step) * step;
    };
    for (PrintedNode& node : out.page.nodes) {
        if (node.mark != Mark::printed && node.mark != Mark::dry) continue;
        off(node.total, out.page.total_step);
        if (from.page.has_power) off(node.power, out.page.power_step);
        if (node.mark == Mark::dry) node.sensible = node.total;
        if (!from.page.has_sensible || node.mark == Mark::dry) continue;
        off(node.sensible, out.page.sensible_step);
        node.sensible = std::min(node.sensible, node.total - out.page.total_step);
    }
    return out;
}

void count_on_rough_pages(const std::vector<Page>& pages, int seedings, bool verbose) {
    std::printf("pages made rougher (every number off by a share of itself, normal), errors larger than 3 %%\n");
    for (const double share : {0.002, 0.005, 0.01}) {
        Seeder seeder(7);
        Count count;
        std::size_t nodes = 0, suspects = 0;
        for (int i = 0; i < seedings; ++i) {
            const Page page = rougher(pages[static_cast<std::size_t>(i) % pages.size()], share, seeder);
            const Audit clean = audit(page.basis, page.page);
            nodes += clean.nodes;
            suspects += clean.suspects.size();
            const auto kind = static_cast<ErrorKind>(static_cast<std::size_t>(i) / pages.size() % kind_names.size());
            const Seeder::Seeded seeded = seeder.seed(page, kind);
            if (seeded.relative <= 0.03) continue;
            const Audit a = audit(page.basis, seeded.page);
            count.add(found(a, seeded, 3), found(a, seeded, 1));
            if (verbose && !found(a, seeded, 3))
                std::printf("missed: %s node %zu %s %s error %.3f mark %d, %zu suspects\n", page.name.c_str(),
                            seeded.node, seeded.column.c_str(), kind_names[static_cast<std::size_t>(kind)],
                            seeded.relative, static_cast<int>(seeded.page.nodes[seeded.node].mark), a.suspects.size());
            for (const Suspect& s : clean.suspects)
                if (verbose) {
                    std::string checks;
                    for (const std::string& c : names(s.checks)) checks += " " + c;
                    std::printf("false: %s: %s, %s, score %.1f\n", page.name.c_str(), describe(s).c_str(),
                                checks.c_str(), s.score);
                }
        }
        print(fixed(100.0 * share, 1) +
                  " %: " + fixed(100.0 * static_cast<double>(suspects) / static_cast<double>(nodes), 2) +
                  " false suspects per 100 nodes",
              count);
    }
}

enum class LabelError { digit_swap, neighbours_digit, unit, exchanged, repeated };
constexpr std::array label_names{"digits swapped", "a neighbour's digit", "another unit", "blocks exchanged",
                                 "block repeated"};

/// A page with one label of an axis mistyped, or the numbers of a block in another's place.
struct Mislabelled {
    PrintedPage page;
    std::string role, typed, right;
    std::vector<std::size_t> nodes;  ///< of the page, that it bears on
};

struct Axis {
    PageAxis axis;
    std::string role;
    std::vector<double> PrintedPage::*labels;
    Unit unit;
};
std::vector<Axis> axes_of(const Page& page) {
    const bool ip = page.page.total_step > 10.0;
    const Unit temperature = ip ? Unit(units::degF) : Unit(units::degC);
    std::vector<Axis> out{
        {PageAxis::outdoor_dry_bulb, "odb", &PrintedPage::outdoor_dry_bulb, temperature},
        {PageAxis::airflow, "airflow", &PrintedPage::airflow, ip ? Unit(units::scfm) : Unit(units::m3_s)},
        {PageAxis::humidity, "ewb", &PrintedPage::entering_wet_bulb, temperature},
        {PageAxis::entering_dry_bulb, "edb", &PrintedPage::entering_dry_bulb, temperature}};
    std::erase_if(out, [&](const Axis& a) { return (page.page.*a.labels).size() < 3; });
    return out;
}

bool mislabel(const Page& clean, LabelError kind, Seeder& seeder, Mislabelled& out) {
    const std::vector<Axis> axes = axes_of(clean);
    const Axis axis = axes[seeder.pick(axes.size())];
    const PageShape shape(clean.page);
    const std::size_t size = shape.size(axis.axis), i = seeder.pick(size);
    const double label = (clean.page.*axis.labels)[i];
    out = {clean.page, axis.role, brief(axis.unit.from_si(label), 9), {}, {}};
    out.page.typed.clear();
    out.page.places.clear();
    out.right = out.typed;
    const auto of_block = [&](std::size_t n, std::size_t block) { return shape.index(n, axis.axis) == block; };
    if (kind == LabelError::exchanged || kind == LabelError::repeated) {
        const std::size_t j = seeder.pick(size);
        if (i == j) return false;
        bool differs = false;
        for (std::size_t n = 0; n < shape.nodes(); ++n) {
            if (!of_block(n, i)) continue;
            const std::size_t m = shape.moved(n, axis.axis, j);
            differs = differs || out.page.nodes[n].total != out.page.nodes[m].total;
            if (kind == LabelError::exchanged)
                std::swap(out.page.nodes[n], out.page.nodes[m]);
            else
                out.page.nodes[n] = out.page.nodes[m];
            out.nodes.push_back(n);
            if (kind == LabelError::exchanged) out.nodes.push_back(m);
        }
        return differs;
    }
    std::string& text = out.typed;
    if (kind == LabelError::digit_swap) {
        const std::size_t k = seeder.pick(text.size()),
                          next = k + 1 < text.size() && text[k + 1] == '.' ? k + 2 : k + 1;
        if (next >= text.size() || text[k] == '.') return false;
        std::swap(text[k], text[next]);
    } else if (kind == LabelError::neighbours_digit) {
        const std::size_t k = seeder.pick(text.size()), next = seeder.pick(2) == 0 ? k + 1 : k - 1;
        if (next >= text.size() || text[k] == '.' || text[next] == '.') return false;
        text[k] = text[next];
    } else {
        const bool fahrenheit = axis.unit.name == units::degF.name;
        if (axis.axis == PageAxis::airflow && axis.unit.name == units::scfm.name)
            text = fixed(units::L_s.from_si(label), 0);
        else if (axis.axis == PageAxis::airflow)
            text = fixed(units::cfm.from_si(label), 0);
        else
            text = fixed(fahrenheit ? units::degC.from_si(label) : units::degF.from_si(label), fahrenheit ? 1 : 0);
    }
    const double typed = axis.unit.to_si(std::strtod(text.c_str(), nullptr));
    std::vector<double>& labels = out.page.*axis.labels;
    if (text[0] == '0' || !(typed > 1e-9 || axis.axis != PageAxis::airflow)) return false;
    for (const double other : labels)
        if (std::abs(other - typed) < 1e-6) return false;  // a second row, or none at all: no page has such a label
    // The reader sorts what was typed.
    std::vector<double> typed_labels(labels);
    typed_labels[i] = typed;
    std::vector<std::size_t> order(size);
    for (std::size_t k = 0; k < size; ++k) order[k] = k;
    std::sort(order.begin(), order.end(),
              [&](std::size_t a, std::size_t b) { return typed_labels[a] < typed_labels[b]; });
    for (std::size_t k = 0; k < size; ++k) labels[k] = typed_labels[order[k]];
    for (std::size_t n = 0; n < shape.nodes(); ++n) {
        const std::size_t from = order[shape.index(n, axis.axis)];
        out.page.nodes[n] = clean.page.nodes[shape.moved(n, axis.axis, from)];
        if (from == i) out.nodes.push_back(n);
    }
    return true;
}

void count_labels(const std::vector<Page>& pages, int seedings, bool verbose) {
    std::printf("labels mistyped, or blocks in each other's place: the first suspect, with the right value\n");
    for (const double share : {0.0, 0.01}) {
        Seeder seeder(11);
        Count all;
        std::array<Count, 5> by_kind;
        std::map<std::string, Count> by_page;
        for (int i = 0; i < seedings; ++i) {
            const Page& clean = pages[static_cast<std::size_t>(i) % pages.size()];
            const Page page = share > 0.0 ? rougher(clean, share, seeder) : clean;
            const std::size_t kind = static_cast<std::size_t>(i) / pages.size() % label_names.size();
            Mislabelled seeded;
            while (!mislabel(page, static_cast<LabelError>(kind), seeder, seeded)) {
            }
            const Audit a = audit(page.basis, seeded.page);
            const auto is_it = [&](const Suspect& s) {
                if (s.column != seeded.role || s.block.empty()) return false;
                if (std::find(seeded.nodes.begin(), seeded.nodes.end(), s.block.front()) == seeded.nodes.end())
                    return kind == static_cast<std::size_t>(LabelError::repeated) && s.source == seeded.nodes.front();
                return kind >= 3 || std::abs(std::strtod(s.guess.c_str(), nullptr) -
                                             std::strtod(seeded.right.c_str(), nullptr)) < 1e-6;
            };
            const bool first = !a.suspects.empty() && is_it(a.suspects.front());
            const bool three = std::any_of(
                a.suspects.begin(),
                a.suspects.begin() + static_cast<std::ptrdiff_t>(std::min<std::size_t>(3, a.suspects.size())), is_it);
            all.add(three, first);
            by_kind[kind].add(three, first);
            by_page[page.name].add(three, first);
            if (verbose && !first) {
                std::printf("missed: %s, roughness %.3f, %s: %s %s typed %s\n", page.name.c_str(), share,
                            label_names[kind], seeded.role.c_str(), seeded.right.c_str(), seeded.typed.c_str());
                for (std::size_t k = 0; k < std::min<std::size_t>(3, a.suspects.size()); ++k)
                    std::printf("     %s score %.1f\n", describe(a.suspects[k]).c_str(), a.suspects[k].score);
            }
        }
        print(fixed(100.0 * share, 0) + " % rough", all);
        for (std::size_t k = 0; k < by_kind.size(); ++k) print(std::string("  ") + label_names[k], by_kind[k]);
        for (const auto& [name, c] : by_page) print("  " + name, c);
    }
}

void count_false_suspects(const std::vector<Page>& pages) {
    std::vector<Page> more(pages);
    for (const Page& page : pages) {
        const PageShape shape(page.page);
        for (const PageAxis axis : {PageAxis::outdoor_dry_bulb, PageAxis::airflow, PageAxis::humidity})
            for (std::size_t i = 0; shape.size(axis) > 2 && i < shape.size(axis); ++i) {
                more.push_back(thinned(page, axis, i));
                more.push_back(coarser(more.back(), 2.0));
            }
        for (const double times : {2.0, 5.0}) more.push_back(coarser(page, times));
    }
    std::size_t nodes = 0, suspects = 0, own_nodes = 0, own = 0;
    for (std::size_t i = 0; i < more.size(); ++i) {
        const Audit a = audit(more[i].basis, more[i].page);
        nodes += a.nodes;
        suspects += a.suspects.size();
        if (i >= pages.size()) continue;
        own_nodes += a.nodes;
        own += a.suspects.size();
    }
    std::printf(
        "false suspects on clean pages, per 100 nodes\n  as printed: %.2f (%zu pages, %zu nodes)\n"
        "  with thinned and coarser variants: %.2f (%zu pages, %zu nodes)\n",
        100.0 * static_cast<double>(own) / static_cast<double>(own_nodes), pages.size(), own_nodes,
        100.0 * static_cast<double>(suspects) / static_cast<double>(nodes), more.size(), nodes);
}

}  // namespace

int main(int count, char** arguments) {
    const int seedings = count > 1 ? std::atoi(arguments[1]) : 2000;
    const std::uint64_t seed = count > 2 ? std::strtoull(arguments[2], nullptr, 10) : 20251204;
    const bool verbose = count > 3;
    const std::vector<Page> pages = clean_pages(), unlike = trial_pages();
    std::vector<Page> all_pages(pages);
    all_pages.insert(all_pages.end(), unlike.begin(), unlike.end());
    if (count > 3 && std::string(arguments[3]) == "labels") {
        count_labels(all_pages, seedings, true);
        return 0;
    }
    if (count > 3 && std::string(arguments[3]) == "rough") {
        count_on_rough_pages(all_pages, seedings, true);
        return 0;
    }
    constexpr std::array<double, 6> sizes{0.01, 0.02, 0.03, 0.1, 0.5, HUGE_VAL};
    std::array<Count, 6> by_kind, by_kind_large, by_size;
    std::map<std::string, Count> by_page, by_column, by_column_large;
    Count all, large;
    Seeder seeder(seed);
    for (int i = 0; i < seedings; ++i) {
        const Page& page = pages[static_cast<std::size_t>(i) % pages.size()];
        const auto kind = static_cast<std::size_t>(i) / pages.size() % kind_names.size();
        const Seeder::Seeded seeded = seeder.seed(page, static_cast<ErrorKind>(kind));
        const Audit a = audit(page.basis, seeded.page);
        const bool three = found(a, seeded, 3), first = found(a, seeded, 1);
        std::size_t size = 0;
        while (seeded.relative > sizes[size]) ++size;
        by_kind[kind].add(three, first);
        by_size[size].add(three, first);
        by_page[page.name].add(three, first);
        by_column[seeded.column].add(three, first);
        all.add(three, first);
        if (seeded.relative > 0.03) {
            large.add(three, first);
            by_kind_large[kind].add(three, first);
            by_column_large[seeded.column].add(three, first);
            if (!three && verbose) {
                std::printf("missed: %s node %zu %s %s error %.3f mark %d\n", page.name.c_str(), seeded.node,
                            seeded.column.c_str(), kind_names[kind], seeded.relative,
                            static_cast<int>(seeded.page.nodes[seeded.node].mark));
                for (const Suspect& s : a.suspects)
                    std::printf("     node %zu %s %s score %.1f\n", *s.node, s.column.c_str(), s.typed.c_str(),
                                s.score);
            }
        }
    }
    std::printf("seeded single errors\n");
    print("all", all);
    print("larger than 3 % of the value", large);
    std::printf("by kind, all sizes\n");
    for (std::size_t k = 0; k < kind_names.size(); ++k) print(kind_names[k], by_kind[k]);
    std::printf("by kind, larger than 3 %%\n");
    for (std::size_t k = 0; k < kind_names.size(); ++k) print(kind_names[k], by_kind_large[k]);
    std::printf("by size\n");
    constexpr std::array size_names{"up to 1 %", "1 to 2 %", "2 to 3 %", "3 to 10 %", "10 to 50 %", "more"};
    for (std::size_t s = 0; s < sizes.size(); ++s) print(size_names[s], by_size[s]);
    std::printf("by column, all sizes\n");
    for (const auto& [name, c] : by_column) print(name, c);
    std::printf("by column, larger than 3 %%\n");
    for (const auto& [name, c] : by_column_large) print(name, c);
    std::printf("by page\n");
    for (const auto& [name, c] : by_page) print(name, c);
    count_false_suspects(pages);
    count_on_rough_pages(all_pages, seedings / 5, false);
}
