// The reader under small seeded mutations of good files: whatever comes, it either reads a whole object or says what is
// wrong with an InputError that names the file. Nothing else may leave it, and what it accepts must answer without NaN.
#include <cmath>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "../files/texts.hpp"
#include "offnominal/expect.hpp"

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
    const auto ask = [](const System& system, const Stage& stage) {
        const PrintedPage& page = stage.table.page();
        const auto middle = [](const std::vector<double>& axis) { return 0.5 * (axis.front() + axis.back()); };
        Conditions c;
        c.stage = stage.name;
        if (!system.parts().matches.empty()) c.match = system.parts().matches.front().name;
        c.outdoor_dry_bulb = {middle(page.outdoor_dry_bulb)};
        c.entering_dry_bulb = {middle(page.entering_wet_bulb) + 6.0};
        c.entering_humidity = air::wet_bulb(Temperature{middle(page.entering_wet_bulb)});
        c.airflow = AirflowReading::standard({middle(page.airflow)});
        c.line_set = LineSet::reference();
        c.boundary = Boundary::coil;
        const auto expected = try_expect(system, Site::sea_level(), c);
        if (!expected) return false;
        CHECK(std::isfinite(expected->total_capacity.si));
        CHECK(std::isfinite(expected->uncertainty.combined()));
        return true;
    };
    int answers = 0;
    const Count count = run(whole_system, 1, 15'000, [&](const std::string& text) {
        const System system = parse_system(text, "mutated", "no-folder");
        for (const Stage& stage : system.parts().cooling) answers += ask(system, stage);
    });
    CHECK(count.accepted > 500);
    CHECK(answers > 500);
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

TEST_CASE("noise") {
    std::mt19937 random(3);
    for (int i = 0; i < 3000; ++i) {
        std::string text(random() % 200, ' ');
        for (char& c : text) c = static_cast<char>(i % 2 == 0 ? random() % 256 : 32 + random() % 95);
        CAPTURE(text);
        CHECK_THROWS_AS((void)parse_system(text, "noise"), InputError);
        CHECK_THROWS_AS((void)parse_visit(text, "noise"), InputError);
    }
}
