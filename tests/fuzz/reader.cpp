// The reader under small seeded mutations of good files: whatever comes, it either reads a whole object or says what is
// wrong with an InputError that names the file. Nothing else may leave it, and what it accepts must answer without NaN.
#include <algorithm>
#include <cmath>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "../files/texts.hpp"
#include "offnominal/expect.hpp"
#include "targets.hpp"

using namespace offnominal;

namespace {

const std::string whole_system =
    texts::page +
    "matches:\n"
    "  A: {reference: true, fan: draw-through}\n"
    "  B: {total: 0.965, power: 0.99, bypass: 0.14, airflow: [900 scfm, 1150 scfm]}\n"
    "line_set:\n"
    "  reference: {length: 25 ft, suction: 1 1/8 in, liquid: 3/8 in}\n"
    "  lift: [-50 ft, 50 ft]\n"
    "  cooling: |\n"
    "    length suction total power\n"
    "    ft in 1 1\n"
    "    25 1 1/8 1.000 1.000\n"
    "    80 1 1/8 0.962 1.006\n"
    "altitude: {equal: mass, cooling: \"elevation total power\\nft 1 1\\n0 1 1\\n5000 0.98 1.04\"}\n"
    "blower:\n"
    "  motor: fixed speed\n"
    "  table: |\n"
    "    tap static airflow power\n"
    "    1 in_wc cfm W\n"
    "    low 0.5 1000 300\n"
    "    low 0.6 - -\n";

/// Every shape of page, each with its own keys and columns.
const std::string every_shape =
    "offnominal: system/1\n"
    "name: shapes\n"
    "cooling:\n"
    "  modulation: variable\n"
    "  basis:\n"
    "    {capacity: net, fan: 365 W per 1000 scfm, airflow: standard, sensible_ratio_of: rated sensible,\n"
    "     rated: {total: 36.0 MBh, sensible: 27.4 MBh, power: 2.60 kW}, sensible_correction: 1 - bypass,\n"
    "     certified: {total: 33.0 MBh, airflow: 1050 scfm, fan: 400 W}}\n"
    "  stages:\n"
    "    columns:\n"
    "      speed: 25 Hz\n"
    "      infer: true\n"
    "      table: |\n"
    "        odb airflow ewb total sensible@70 sensible@75 sensible@80 power split@80 amps\n"
    "        degF scfm degF MBh MBh MBh MBh kW delta_degF A\n"
    "        95 1000 59 29.9 21.8 26.7 29.9d 2.44 24.1 11.0\n"
    "        95 1000 67 34.0 15.1 20.0 24.9 2.52 22.6 -\n"
    "        95 1000 72 36.9 - 14.9 19.8 2.55 - 11.2\n"
    "        105 1000 59 28.4 21.0 25.9 28.4d 2.74 23.1 12.0\n"
    "        105 1000 67 32.3 14.4 19.3 24.2 2.81 22.0 -\n"
    "        105 1000 72 x x x x x - -\n"
    "    pairs:\n"
    "      speed: 50 Hz\n"
    "      indoor: path\n"
    "      airflow: 0.57 kg/s\n"
    "      table: |\n"
    "        odb edb ewb total sensible power suction_pressure\n"
    "        degC degC degC kW kW kW kPag\n"
    "        35 20 14 8.7 6.0 2.41 990\n"
    "        35 25 18 9.5 6.8 2.44 1010\n"
    "        35 27 19 9.9 7.1 2.47 -\n"
    "        40 20 14 8.3 5.9 2.61 1000\n"
    "        40 25 18 9.1 6.6 2.64 1020\n"
    "        40 27 19 - - - -\n"
    "    ratios:\n"
    "      speed: 75 Hz\n"
    "      edb: 80 degF\n"
    "      rh: 50 %\n"
    "      pressure: 12.23 psia\n"
    "      airflow_factors: |\n"
    "        airflow total sensible power\n"
    "        scfm 1 1 1\n"
    "        1050 0.98 0.94 0.99\n"
    "        1200 1.00 1.00 1.00\n"
    "      table: |\n"
    "        odb total sensible power eer\n"
    "        degF 1 1 % Btu/Wh\n"
    "        85 1.060 0.930 84.5 15.1\n"
    "        95 1.000 0.905 100.0 13.8\n"
    "    humidities:\n"
    "      speed: 100 Hz\n"
    "      odb: 95 degF\n"
    "      airflow: 1300 scfm\n"
    "      table: |\n"
    "        rh edb pressure total\n"
    "        % degF kPa MBh\n"
    "        40 75 101.3 36.4\n"
    "        60 75 101.3 40.2\n"
    "        40 80 101.3 39.0\n"
    "        60 80 101.3 43.1\n"
    "        40 75 84.3 35.9\n"
    "        60 75 84.3 39.4\n"
    "        40 80 84.3 38.3\n"
    "        60 80 84.3 42.0\n";

/// A question from the middle of a page; of pairs, at the first.
Conditions middle_of(const System& system, const Stage& stage) {
    const PrintedPage& page = stage.table.page();
    const auto middle = [](const std::vector<double>& axis) { return 0.5 * (axis.front() + axis.back()); };
    Conditions c;
    c.stage = stage.name;
    if (!system.parts().matches.empty()) c.match = system.parts().matches.front().name;
    c.outdoor_dry_bulb.si = middle(page.outdoor_dry_bulb);
    c.airflow = AirflowReading::standard(Airflow{middle(page.airflow)});
    c.line_set = LineSet::reference();
    c.boundary = Boundary::coil;
    if (!page.pairs.empty()) {
        c.entering_dry_bulb.si = page.pairs.front().dry_bulb;
        c.entering_humidity = air::wet_bulb(Temperature{page.pairs.front().wet_bulb});
        return c;
    }
    const bool has_dry_bulbs = !page.entering_dry_bulb.empty();
    if (page.relative_humidity.empty()) {
        c.entering_humidity = air::wet_bulb(Temperature{middle(page.entering_wet_bulb)});
        c.entering_dry_bulb.si = has_dry_bulbs ? middle(page.entering_dry_bulb) : middle(page.entering_wet_bulb) + 6.0;
    } else {
        c.entering_humidity = air::relative_humidity(middle(page.relative_humidity));
        c.entering_dry_bulb.si = middle(page.entering_dry_bulb);
    }
    return c;
}

/// Whether the page answers; what it answers is finite.
bool ask(const System& system, const Stage& stage) {
    const std::vector<double>& pressures = stage.table.page().pressure;
    const Site site = pressures.empty() ? Site::sea_level() : Site::at_pressure(Pressure{pressures.front()});
    const auto expected = try_expect(system, site, middle_of(system, stage));
    if (!expected) return false;
    CHECK(std::isfinite(expected->total_capacity.si));
    CHECK(std::isfinite(expected->uncertainty.combined()));
    return true;
}

class Mutator {
   public:
    explicit Mutator(unsigned seed) : random_(seed) {}

    std::string operator()(std::string text) {
        for (std::size_t n = 1 + below(3); n > 0; --n) mutate(text);
        return text;
    }

   private:
    // Not a distribution of the standard library: those differ between implementations.
    std::size_t below(std::size_t n) { return n == 0 ? 0 : random_() % n; }

    void mutate(std::string& text) {
        static const std::vector<std::string> words{"-",
                                                    "x",
                                                    "nan",
                                                    "inf",
                                                    "1e999",
                                                    "-1",
                                                    "0",
                                                    "1e308",
                                                    "1e-308",
                                                    "33,5",
                                                    "30.8d",
                                                    "&a ",
                                                    "*a",
                                                    "|",
                                                    ">",
                                                    "{",
                                                    "}",
                                                    "[",
                                                    "]",
                                                    ":",
                                                    ": ",
                                                    "\t",
                                                    "\"",
                                                    "'",
                                                    "#",
                                                    " # ",
                                                    "---\n",
                                                    "...\n",
                                                    "? ",
                                                    "- ",
                                                    "%",
                                                    "!t ",
                                                    ",",
                                                    "\n",
                                                    "\r",
                                                    "\r\n",
                                                    "  ",
                                                    "7/8",
                                                    "@",
                                                    "@80",
                                                    "sensible@80",
                                                    "edb",
                                                    "rh",
                                                    "indoor: points\n",
                                                    "1/0",
                                                    "degF",
                                                    "scfm",
                                                    "kW",
                                                    "null",
                                                    "~",
                                                    "true",
                                                    "\xc3\xa4",
                                                    "\xc0",
                                                    "\xff\xfe",
                                                    "\xef\xbb\xbf",
                                                    "\xe2\x80\xae",
                                                    "999999999999999999999999",
                                                    "0x10",
                                                    "\\u0000",
                                                    "\"\\u0000\"",
                                                    std::string(1, '\0')};
        const std::size_t at = below(text.size() + 1), length = below(below(4) == 0 ? 200 : 8);
        switch (below(7)) {
            case 0:
                if (at < text.size()) text[at] = static_cast<char>(below(256));
                break;
            case 1:
                text.insert(at, words[below(words.size())]);
                break;
            case 2:
                text.erase(at, length);
                break;
            case 3:
                text.insert(below(text.size() + 1), text.substr(at, length));
                break;
            case 4:
                text.replace(at, length, words[below(words.size())]);
                break;
            case 5:
                text.erase(at);
                break;  // cut off
            default: {  // the line at `at` moves
                const std::size_t first = text.rfind('\n', at), last = text.find('\n', at);
                if (first == std::string::npos || last == std::string::npos) break;
                const std::string line = text.substr(first, last - first);
                text.erase(first, last - first);
                const std::size_t to = text.find('\n', below(text.size() + 1));
                text.insert(to == std::string::npos ? text.size() : to, line);
            }
        }
    }

    std::mt19937 random_;
};

struct Count {
    int accepted = 0;
    int refused = 0;
};

template <class Read>
Count run(const std::string& good, unsigned seed, int times, const Read& read) {
    Mutator mutated(seed);
    Count count;
    for (int i = 0; i < times; ++i) {
        const std::string text = mutated(good);
        CAPTURE(text);
        try {
            read(text);
            ++count.accepted;
        } catch (const InputError& error) {
            ++count.refused;
            // Mutated text can name no other file than a missing one, which is shown at its name in this file.
            CHECK(error.file() == "mutated");
            CHECK_FALSE(error.problem().empty());
            CHECK(std::string_view(error.what()).size() < 1000);
        }
    }
    return count;
}

}  // namespace

TEST_CASE("mutated systems") {
    int answers = 0;
    const Count count = run(whole_system, 1, 15'000, [&](const std::string& text) {
        const System system = parse_system(text, "mutated", "no-folder");
        for (const Stage& stage : system.parts().cooling) answers += ask(system, stage);
    });
    CHECK(count.accepted > 500);
    CHECK(answers > 500);
    CHECK(count.refused > 5000);
}

TEST_CASE("mutated pages of every shape") {
    const System good = parse_system(every_shape, "good");
    for (const Stage& stage : good.parts().cooling) {
        CAPTURE(stage.name);
        CHECK(ask(good, stage));
    }
    int answers = 0;
    const Count count = run(every_shape, 4, 15'000, [&](const std::string& text) {
        const System system = parse_system(text, "mutated", "no-folder");
        for (const Stage& stage : system.parts().cooling) {
            answers += ask(system, stage);
            const PrintedPage& page = stage.table.page();
            for (const TypedColumn& column : page.typed) CHECK(column.texts.size() == page.nodes.size());
            for (const PrintedNode& node : page.nodes) CHECK(std::isfinite(node.total + node.sensible + node.power));
        }
    });
    CHECK(count.accepted > 300);
    CHECK(answers > 1000);
    CHECK(count.refused > 5000);
}

TEST_CASE("mutated visits") {
    const Count count = run(texts::visit, 2, 15'000, [](const std::string& text) {
        const Visit visit = parse_visit(text, "mutated");
        REQUIRE(visit.site.pressure());
        CHECK(std::isfinite(visit.outdoor_dry_bulb.si));
        CHECK(std::isfinite(visit.readings.return_dry_bulb.si));
        CHECK(std::isfinite(visit.readings.return_humidity.value));
        CHECK(visit.readings.airflow.si > 0.0);
        for (const Uncertain& u : visit.uncertainty) CHECK(std::isfinite(u.standard));
    });
    CHECK(count.accepted > 500);
    CHECK(count.refused > 5000);
}

TEST_CASE("mutated logs: each reading is one that can be, or missing and listed") {
    std::string log = "logger 7\ntime,return dry bulb (degF),supply relative humidity (%),power (kW),stage\n";
    for (int i = 10; i < 24; ++i)
        log += "2026-07-14T15:" + std::to_string(i) + ":00,76." + std::to_string(i) + ",91.5,2.41,high\n";
    for (const auto flaws : {LogFormat::Flaws::refuse, LogFormat::Flaws::leave_out}) {
        const Count count = run(log, 4, 5'000, [&](const std::string& text) {
            LogFormat format;
            format.flaws = flaws;
            const Log read = parse_log(text, "mutated", format);
            std::size_t missing = 0;
            for (std::size_t i = 1; i < read.times.size(); ++i) REQUIRE(read.times[i] > read.times[i - 1]);
            for (const Series& series : read.series) {
                REQUIRE(series.values.size() == read.times.size());
                for (const double value : series.values) missing += std::isnan(value);
            }
            for (const WordSeries& words : read.words) REQUIRE(words.words.size() == read.times.size());
            CHECK(missing <= read.flaws.size());
        });
        CHECK(count.accepted > 200);
        CHECK(count.refused > (flaws == LogFormat::Flaws::refuse ? 1000 : 100));
    }
}

namespace {

/// The inputs of a target, by name.
std::vector<std::string> corpus_of(const fuzz::Target& target) {
    const std::filesystem::path folder = std::filesystem::path(OFFNOMINAL_TABLES_DIR) / "../tests/fuzz/corpus";
    std::vector<std::filesystem::path> paths;
    for (const auto& entry : std::filesystem::directory_iterator(folder / target.corpus)) paths.push_back(entry.path());
    std::sort(paths.begin(), paths.end());
    std::vector<std::string> out;
    for (const auto& path : paths) {
        std::ifstream in(path, std::ios::binary);
        out.emplace_back(std::istreambuf_iterator<char>(in), std::istreambuf_iterator<char>());
    }
    return out;
}

}  // namespace

TEST_CASE("the corpus of the fuzz targets, and what it becomes cut off") {
    for (const fuzz::Target& target : fuzz::targets) {
        CAPTURE(target.name);
        const std::vector<std::string> corpus = corpus_of(target);
        for (const std::string& bytes : corpus)
            for (std::size_t size = bytes.size(); size > 0; size -= std::min(size, bytes.size() / 40 + 1))
                fuzz::feed(target, std::string_view(bytes).substr(0, size));
        CHECK_FALSE(corpus.empty());
    }
}

TEST_CASE("airflows and blowers of absurd doubles") {
    const fuzz::Target& target = *std::find_if(std::begin(fuzz::targets), std::end(fuzz::targets),
                                               [](const auto& one) { return one.run == &fuzz::airflow; });
    const std::vector<std::string> corpus = corpus_of(target);
    constexpr double absurd[] = {0.0,  -0.0,  1.0,   -1.0,   1e-320, 1e-300, 1e-9,     1e9,
                                 1e60, 1e160, 1e300, -1e300, 6000.0, NAN,    INFINITY, -INFINITY};
    std::mt19937 random(5);
    for (int i = 0; i < 40'000; ++i) {
        std::string bytes = corpus[random() % corpus.size()];
        for (std::size_t n = 1 + random() % 3; n > 0 && bytes.size() > sizeof(double); --n) {
            const std::size_t at = random() % (bytes.size() - sizeof(double));
            std::memcpy(bytes.data() + at, &absurd[random() % std::size(absurd)], sizeof(double));
        }
        fuzz::feed(target, bytes);
    }
}

TEST_CASE("noise") {
    std::mt19937 random(3);
    for (int i = 0; i < 3000; ++i) {
        std::string text(random() % 200, ' ');
        for (char& c : text) c = static_cast<char>(i % 2 == 0 ? random() % 256 : 32 + random() % 95);
        CAPTURE(text);
        CHECK_THROWS_AS((void)parse_system(text, "noise"), InputError);
        CHECK_THROWS_AS((void)parse_visit(text, "noise"), InputError);
        CHECK_THROWS_AS((void)parse_log(text, "noise"), InputError);
    }
}
