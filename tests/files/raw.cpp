// What is checked before anything parses: bytes, size, and the part of YAML that is accepted.
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <utility>
#include <vector>

#include "offnominal/collate.hpp"
#include "offnominal/standard205.hpp"
#include "texts.hpp"

using namespace offnominal;
using texts::complaint;
using texts::of_page;
using texts::of_system;
using texts::of_visit;

namespace {

/// A file of its own for one test.
class Scratch {
   public:
    explicit Scratch(const std::string& name)
        : folder_(std::filesystem::temp_directory_path() / ("offnominal-" + name + "-" + std::to_string(::getpid()))) {
        std::filesystem::create_directories(folder_);
    }
    ~Scratch() { std::filesystem::remove_all(folder_); }
    Scratch(const Scratch&) = delete;
    Scratch& operator=(const Scratch&) = delete;

    std::string write(const std::string& name, std::string_view bytes) const {
        const std::string path = (folder_ / name).string();
        std::ofstream(path, std::ios::binary) << bytes;
        return path;
    }

   private:
    std::filesystem::path folder_;
};

}  // namespace

TEST_CASE("an empty file") {
    CHECK(of_system("") == "page.yaml: the file is empty; accepted: a file that begins with 'offnominal: '");
    CHECK(of_visit(" \r\n\t\n") == "visit.yaml: the file is empty; accepted: a file that begins with 'offnominal: '");
    CHECK(of_visit("# nothing but a comment\n")
              .starts_with("visit.yaml:1:1: not a map of keys and values; accepted: offnominal: visit/1, and the keys "
                           "of a visit"));
}

TEST_CASE("a binary file") {
    using namespace std::literals;
    CHECK(of_system("\x7f"
                    "ELF\2\1\1\0\0\0"sv) ==
          "page.yaml:1:8: a binary file, not text: 'byte 0x00'; accepted: plain text, saved as UTF-8");
    CHECK(of_visit("\xff\xfeo\0f\0"sv) == "visit.yaml: UTF-16 text; accepted: plain text, saved as UTF-8");
    CHECK(of_system("name: a\n\x89PNG\r\n") ==
          "page.yaml:2:1: not valid UTF-8: 'byte 0x89'; accepted: plain text, saved as UTF-8");
}

TEST_CASE("UTF-8 and control characters") {
    const std::string accepted = "; accepted: plain text, saved as UTF-8";
    CHECK(of_page("Unit A", "Unit \xc3\x84") == "no complaint");
    CHECK(of_page("Unit A", "Unit \xf0\x9f\x98\x80") == "no complaint");
    CHECK(of_page("Unit A", "Unit \xe9") == "page.yaml:2:12: not valid UTF-8: 'byte 0xe9'" + accepted);  // Latin-1
    CHECK(of_page("Unit A", "\xc3\x84\xc3\xb6 \xc0\xaf") ==
          "page.yaml:2:10: not valid UTF-8: 'byte 0xc0'" + accepted);                                      // overlong
    CHECK(of_page("Unit A", "\xed\xa0\x80") == "page.yaml:2:7: not valid UTF-8: 'byte 0xed'" + accepted);  // surrogate
    CHECK(of_page("Unit A", "\x1b[31m") == "page.yaml:2:7: a control character: 'U+001B'" + accepted);
    CHECK(of_page("Unit A", "a\rb") == "page.yaml:2:8: a control character: 'U+000D'" + accepted);
    CHECK(of_page("Unit A", "\xe2\x80\xae") ==
          "page.yaml:2:7: a control character: 'U+202E'" + accepted);  // turns the line round
}

TEST_CASE("what editors leave behind is accepted: a byte order mark, CRLF line ends, a last line without end") {
    std::string crlf = "\xef\xbb\xbf";
    for (const char c : texts::page) crlf += c == '\n' ? "\r\n" : std::string(1, c);
    const System unix_file = parse_system(texts::page, "a"), windows_file = parse_system(crlf, "b");
    const auto &a = unix_file.parts().cooling[0].table.page(), &b = windows_file.parts().cooling[0].table.page();
    REQUIRE(a.nodes.size() == b.nodes.size());
    for (std::size_t n = 0; n < a.nodes.size(); ++n) {
        CHECK(a.nodes[n].total == b.nodes[n].total);
        CHECK(a.places[n].line == b.places[n].line);
        CHECK(a.places[n].column == b.places[n].column);
    }
    CHECK(of_system(texts::page.substr(0, texts::page.size() - 1)) == "no complaint");
}

TEST_CASE("a file of 100 MB, and one that never ends, are not read whole") {
    const Scratch scratch("large");
    const std::string path = scratch.write("large.yaml", "offnominal: system/1\n");
    std::filesystem::resize_file(path, 100'000'000);
    const std::string said =
        "more than 16,777,216 bytes in a file; accepted: at most that: no printed page has nearly as much";
    CHECK(complaint([&] { (void)load_system(path); }) == path + ": " + said);
    CHECK(complaint([&] { (void)load_visit(path); }) == path + ": " + said);
    CHECK(of_system(std::string((16u << 20) + 1, '#')) == "page.yaml: " + said);
    if (std::filesystem::exists("/dev/zero"))
        CHECK(complaint([] { (void)load_visit("/dev/zero"); }) == "/dev/zero: " + said);
}

TEST_CASE("a file that is not there, or is a folder") {
    const Scratch scratch("folder");
    const std::string folder = std::filesystem::path(scratch.write("x", "")).parent_path().string();
    const std::string missing = "no-such.yaml: there is no such file; accepted: the path of a readable file";
    CHECK(complaint([] { (void)load_system("no-such.yaml"); }) == missing);
    CHECK(complaint([] { (void)load_pages("no-such.yaml"); }) == missing);
    CHECK_THROWS_AS((void)load_visit("no-such.yaml"), MissingFile);
    CHECK_THROWS_AS((void)standard205::read_representation("no-such.yaml"), MissingFile);
    CHECK_THROWS_AS(
        (void)parse_system(texts::page.substr(0, texts::page.find("table:")) + "file: low.csv\n", "page.yaml"),
        MissingFile);
    const std::string side = texts::page.substr(0, texts::page.find("table:")) + "file: alder-low.csv\n";
    CHECK_THROWS_AS((void)parse_system(side, "page.yaml", OFFNOMINAL_TABLES_DIR "/nowhere"), MissingFile);
    CHECK(complaint([&] { (void)parse_system(side, "page.yaml", ""); })
              .ends_with(
                  "a table in a file of its own, and this text has no folder: 'alder-low.csv'; accepted: the table "
                  "itself, under table: |"));
    using namespace std::string_literals;
    CHECK(complaint([] { (void)load_system(OFFNOMINAL_TABLES_DIR "/demo/alder.yaml\0.txt"s); }) == OFFNOMINAL_TABLES_DIR
          "/demo/alder.yaml\\x00.txt: a zero byte in the path of a file; accepted: the path of a "
          "readable file");
    CHECK(complaint([&] { (void)load_visit(folder); }) ==
          folder + ": the file cannot be read; accepted: the path of a readable file");
}

TEST_CASE("an alias bomb is stopped at its first anchor") {
    const std::string bomb =
        "offnominal: system/1\n"
        "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
        "b: &b [*a, *a, *a, *a, *a, *a, *a, *a, *a, *a]\n"
        "c: &c [*b, *b, *b, *b, *b, *b, *b, *b, *b, *b]\n";
    CHECK(of_system(bomb) ==
          "page.yaml:2:4: an anchor or alias: '&a [x, x, x, x, x, x, x, x, x, x]'; accepted: each value written where "
          "it stands");
    CHECK(of_visit(bomb).starts_with("visit.yaml:2:4: an anchor or alias: "));
    // What stands in the brackets is yaml-cpp's; 0.8 also names the anchor.
    const std::string undefined = of_system("name: *a\n");
    CHECK(undefined.starts_with("page.yaml:1:7: not valid YAML (the referenced anchor is not defined"));
    CHECK(undefined.ends_with("): 'name: *a'; accepted: YAML as in the demo files, or JSON"));
}

TEST_CASE("depth and number of values are limited") {
    CHECK(
        of_visit("a: " + std::string(40, '[') + std::string(40, ']')) ==
        "visit.yaml:1:35: more than 32 levels of maps and lists; accepted: at most that: no printed page has nearly as "
        "much");
    CHECK(of_visit(std::string(100'000, '[')).find("more than 32 levels of maps and lists") != std::string::npos);
    std::string many = "a:\n";
    for (int i = 0; i < 100'001; ++i) many += "- 1\n";
    CHECK(of_visit(many).starts_with("visit.yaml:99999:3: more than 100,000 values in a file; accepted: "));
}

TEST_CASE("a duplicate key, a second document, a tag, a key that is not text") {
    CHECK(of_page("cooling:", "name: Unit B\ncooling:") ==
          "page.yaml:3:1: a key given twice: 'name'; accepted: each key once; it is also in line 2");
    CHECK(of_visit(texts::with(texts::visit, "limit: 0.90", "limit: 0.90\nlimit: 0.85")) ==
          "visit.yaml:9:1: a key given twice: 'limit'; accepted: each key once; it is also in line 8");
    CHECK(
        of_visit(texts::with(texts::visit, "site: {elevation: 0 ft}", "site: {elevation: 0 ft, 'elevation': 1 ft}")) ==
        "visit.yaml:4:25: a key given twice: 'elevation'; accepted: each key once; it is also in line 4");
    CHECK(of_system(texts::page + "---\nname: more\n").starts_with("page.yaml:18:1: a second document"));
    CHECK(of_page("name: Unit", "name: !thing Unit")
              .starts_with("page.yaml:2:7: a tag: '!thing Unit A, invented'; accepted: values"));
    CHECK(of_page("name: Unit", "[a, b]: Unit") == "page.yaml:2:1: a key that is not text; accepted: key: value");
}

TEST_CASE("what is not YAML is said so, at its place") {
    CHECK(of_page("sensible_at: 80 degF}", "sensible_at: 80 degF") ==
          "page.yaml:5:9: not valid YAML (end of map flow not found): 'stages:'; accepted: YAML as in the demo files, "
          "or JSON");
    CHECK(of_page("  basis:", "\tbasis:") ==
          "page.yaml:4:1: a tab in the indentation: 'basis: {capacity: gross, airflow: "
          "standard, sensible_at: 80 degF}'; accepted: blanks");
}

TEST_CASE("a file of the other kind is told from one that is wrong") {
    const std::string visit_due = "; accepted: a visit file; a system is loaded for itself, before the visit";
    CHECK(of_system(texts::visit) ==
          "page.yaml:1:13: a visit where a system is due: 'visit/1'; accepted: a system file; a visit goes to prove, "
          "beside the system");
    CHECK(of_visit(texts::page) == "visit.yaml:1:13: a system where a visit is due: 'system/1'" + visit_due);
    CHECK(of_visit(R"({"metadata": {"schema": "RS0004"}, "performance": {}})") ==
          "visit.yaml: a Standard 205 representation, which is a system, where a visit is due" + visit_due);
    CHECK(complaint([] { (void)standard205::parse_representation(texts::page, "page.yaml"); }) ==
          "page.yaml: a system or visit file of our own where a Standard 205 representation is due; accepted: JSON or "
          "CBOR as the standard has it; our own files are read by load");
    const Scratch scratch("kinds");
    const std::string path = scratch.write("visit.yaml", texts::visit);
    CHECK(complaint([&] { (void)load_pages(path); }).starts_with(path + ":1:13: a visit where a system is due"));
}

TEST_CASE("control characters come neither in by an escape nor out in a message") {
    CHECK(of_page("Unit A, invented", R"("Unit \x1b[31m A")") ==
          R"(page.yaml:2:7: a control character: '"Unit \x1b[31m A"'; accepted: text that can be seen)");
    CHECK(of_visit(R"({"offnominal": "visit/1", "name": "a\u202eb"})").find("a control character") !=
          std::string::npos);
    CHECK(InputError({"a\x1b[2Jb"}, "wrong", "x\xc2\x9by\xe2\x80\xae\n").what() ==
          std::string(R"(a\x1b[2Jb: wrong: 'x\xc2\x9by\xe2\x80\xae\x0a')"));
    CHECK(InputError({}, "\xc3\x84 is visible").what() == std::string("\xc3\x84 is visible"));
}

TEST_CASE("CSV: quotes stand around the whole of a value") {
    const Scratch scratch("csv");
    const auto of = [&](const std::string& row) {
        (void)scratch.write("full.csv", "odb,airflow,ewb,total\ndegF,scfm,degF,MBh\n" + row + "\n95,1000,63,31.5\n");
        const std::string path =
            scratch.write("page.yaml", "offnominal: system/1\nname: a\ncooling: {stages: {full: {file: full.csv}}}\n");
        return complaint([&] { (void)load_system(path); });
    };
    const auto at = [](const std::string& complaint) { return complaint.substr(complaint.find("full.csv") + 8); };
    for (const char* good : {"85,1000,63,33.3", "\"85\" , \"1000\",63,\"33.3\" # as printed", " 85,1000\t,63, 33.3#"})
        CHECK(of(good) == "no complaint");
    const std::string accepted = "; accepted: quotes around the whole of a value, or none";
    CHECK(at(of("\"85\"5,1000,63,33.3")) == ":3:5: text behind a closing quote: '5,1000,63,33.3'" + accepted);
    CHECK(at(of("85,\"10\"\"00\",63,33.3")) == ":3:8: text behind a closing quote: '\"00\",63,33.3'" + accepted);
    CHECK(at(of("85,1000,63,\"33.3")) == ":3:12: a quote that is not closed: '\"33.3'" + accepted);
}

TEST_CASE("units as the trade spells them, and thousands of what has no thousandths") {
    const auto same = [](const char* from, const char* typed, const char* ours) {
        CAPTURE(std::string(typed));
        const Visit a = parse_visit(texts::with(texts::visit, from, typed), "v"),
                    b = parse_visit(texts::with(texts::visit, from, ours), "v");
        CHECK(differences(a, b).empty());
    };
    for (const char* typed : {"76 F", "76 f",
                              "76 \xc2\xb0"
                              "F",
                              "76 deg F", "76 DegF", "76 \xe2\x84\x89"})
        same("76 degF", typed, "76 degF");
    same("76 degF", "24.5 C", "24.5 degC");
    // What an instrument states is kept as typed; what it is good for is the same.
    const auto good_for = [](const char* typed) {
        return parse_visit(texts::with(texts::visit, "0.6 delta_degF", typed), "v").of(Input::return_dry_bulb).standard;
    };
    CHECK(good_for("0.6 F") == good_for("0.6 degF"));
    for (const char* typed : {"1120 CFM", "\"1,120 cfm\"", "\"1,120.0 CFM\""}) same("1120 cfm", typed, "1120 cfm");
    same("420 W", "420 watts", "420 W");
    same("420 W", "1,420 W", "1420 W");
    same("0 ft", "0 feet", "0 ft");
    same("55 %", "55 percent", "55 %");
    // Not where a comma may be a point, nor where a spelling may be two units.
    for (const auto& [from, typed] : {std::pair{"420 W", "1,420 kW"},
                                      {"420 W", "1,42 W"},
                                      {"420 W", "1,4200 W"},
                                      {"76 degF", "\"1,076 F\""},
                                      {"0 ft", "0 ft, pressure: 14.7 psi"}}) {
        const std::string said = typed;  // clang 14 captures no part of a pair
        CAPTURE(said);
        CHECK_THROWS_AS((void)parse_visit(texts::with(texts::visit, from, typed), "v"), InputError);
    }
    // What a table of spellings names is a unit that files know, and no spelling is of two units of one dimension.
    std::vector<std::pair<std::string, Dimension>> seen;
    for (const UnitSpellings& row : unit_spellings()) {
        CAPTURE(row.unit);
        bool known = false;
        for (const Unit& unit : units::all) known = known || unit.name == row.unit;
        CHECK(known);
        std::string words(row.spellings), word;
        std::istringstream stream(words);
        while (std::getline(stream, word, '|')) {
            CAPTURE(word);
            for (const Unit& unit : units::all) {
                if (unit.name != row.unit) continue;
                CHECK(std::find(seen.begin(), seen.end(), std::pair{word, unit.dimension}) == seen.end());
                seen.emplace_back(word, unit.dimension);
            }
        }
    }
}

TEST_CASE("units of both systems, everywhere a quantity is read") {
    const auto si = texts::with(texts::page, "degF  scfm", "degF  L/s ");
    const Airflow airflow{units::L_s.to_si(1000)};
    CHECK(parse_system(si, "si").parts().cooling[0].table.page().airflow[0] == airflow.si);
    const System system = parse_system(texts::page + R"(matches:
  A: {reference: true}
  B: {total: 0.97, power: 1, airflow: [425 L/s, 1950 m3/h]}
line_set:
  reference: {length: 7.6 m, suction: 22 mm}
  cooling: |
    length  suction  total  power
    m       mm       1      1
    7.6     22       1.000  1.000
    15      22       0.990  0.998
)",
                                       "page.yaml");
    const auto range = *system.parts().matches[1].airflow;
    CHECK(range.first.si == units::L_s.to_si(425));
    CHECK(range.second.si == units::m3_h.to_si(1950));
    CHECK(system.parts().reference_line->suction.si == units::mm.to_si(22));
    const auto site = [](const std::string& pressure) {
        return *parse_visit(texts::with(texts::visit, "elevation: 0 ft", "pressure: " + pressure), "v").site.pressure();
    };
    CHECK(site("1013 hPa") == site("101.3 kPa"));
    const Visit visit =
        parse_visit(texts::with(texts::with(texts::visit, "1120 cfm", "1900 m3/h"), "0.6 delta_degF", "0.3 degC"), "v");
    CHECK(visit.readings.airflow.si == units::m3_h.to_si(1900));
    CHECK(visit.of(Input::return_dry_bulb).standard == 0.3 / std::sqrt(3.0));
    CHECK(write_visit(visit).find("dry_bulb: {limits: 0.3 degC}") != std::string::npos);
}

TEST_CASE("each limit of a load: read at it, refused one below") {
    const Scratch scratch("limits");
    const std::string side = "odb,airflow,ewb,total\ndegF,scfm,degF,MBh\n85,1000,63,33.3\n95,1000,63,31.5\n";
    const std::string system =
        "offnominal: system/1\nname: two pages\ncooling:\n  stages:\n    low: {file: low.csv}\n    high:\n"
        "      file: low.csv\n      airflow_factors: \"airflow total\\nscfm 1\\n1000 1\\n900 0.98\\n800 0.95\"\n";
    const std::string run = "time (s),supply dry bulb (degF),\"a\"\n0,,x\n5,58.1,x\n10,,x\n15,58.2,x\n";
    (void)scratch.write("low.csv", side);
    const std::string path = scratch.write("system.yaml", system), log = scratch.write("run.csv", run);
    const auto of_files = [&](std::size_t Limits::*most) {
        return texts::least(most, [&](const Limits& limits) { (void)load_system(path, limits); });
    };
    const auto of_log = [&](std::size_t Limits::*most) {
        return texts::least(most, [&](const Limits& limits) { (void)load_log(log, {}, limits); });
    };
    CHECK(of_files(&Limits::file_bytes) == system.size());
    CHECK(of_files(&Limits::yaml_bytes) == system.size());
    CHECK(of_files(&Limits::all_bytes) == system.size() + 2 * side.size());  // as often as it is named
    CHECK(of_files(&Limits::lines) == 9);                                    // the last without text
    CHECK(of_files(&Limits::marks) == 13);
    CHECK(of_files(&Limits::depth) == 4);
    CHECK(of_files(&Limits::values) == 19);
    CHECK(of_files(&Limits::key_bytes) == std::string("airflow_factors").size());
    CHECK(of_files(&Limits::columns) == 4);
    CHECK(of_files(&Limits::rows) == 2 + 2 + 3);
    CHECK(of_files(&Limits::cells) == 2 * 17 + 10);  // behind the last line end of a CSV file one is empty
    CHECK(of_files(&Limits::factor_rows) == 3);
    CHECK(of_files(&Limits::breakpoints) == 3);
    CHECK(of_files(&Limits::nodes) == 2 + 2 + 3 + 2 * 2);  // the pages, the factors, what they add to one of them
    CHECK(of_log(&Limits::key_bytes) == std::string("supply dry bulb (degF)").size());
    CHECK(of_log(&Limits::log_columns) == 3);
    CHECK(of_log(&Limits::cells) == 16);
    CHECK(of_log(&Limits::flaws) == 2);
    static_assert(std::size(limit_rows) == 21);  // seventeen here, four in standard205.cpp
}

TEST_CASE("what a text names is a plain file of its folder: no link, no pipe, nothing a link leads to") {
    const Scratch scratch("beside"), elsewhere("elsewhere");
    const std::string side = "odb,airflow,ewb,total\ndegF,scfm,degF,MBh\n85,1000,63,33.3\n95,1000,63,31.5\n";
    const std::string secret = elsewhere.write("secret.csv", "a secret\n");
    const std::filesystem::path folder = std::filesystem::path(scratch.write("good.csv", side)).parent_path();
    std::filesystem::create_symlink(secret, folder / "link.csv");
    std::filesystem::create_directory_symlink(std::filesystem::path(secret).parent_path(), folder / "away");
    REQUIRE(::mkfifo((folder / "pipe.csv").c_str(), 0600) == 0);
    const auto of_table = [&](const std::string& name) {
        const std::string text = "offnominal: system/1\nname: x\ncooling: {stages: {high: {file: " + name + "}}}\n";
        return complaint([&] { (void)parse_system(text, "page.yaml", folder.string()); });
    };
    const std::string log = texts::with(texts::with(texts::visit, "readings:", "readings:\n  log: NAME"),
                                        "dry_bulb: 57.2 degF", "dry_bulb: log");
    const auto of_log = [&](const std::string& name) {
        return complaint([&] { (void)parse_visit(texts::with(log, "NAME", name), "visit.yaml", folder.string()); });
    };
    CHECK(of_table("good.csv") == "no complaint");
    CHECK(of_log("good.csv").find("no heading") != std::string::npos);  // it was opened
    for (const std::string name : {"link.csv", "pipe.csv", "away/secret.csv", "../x.csv", "/dev/zero", "."}) {
        CAPTURE(name);
        for (const std::string& said : {of_table(name), of_log(name)}) {
            CAPTURE(said);
            CHECK((said.find("not a plain file") != std::string::npos ||
                   said.find("a link leads to another folder") != std::string::npos ||
                   said.find("not the name of a file beside this one") != std::string::npos));
            CHECK(said.find("secret\n") == std::string::npos);
        }
    }
    CHECK(of_table(std::string(256, 'a')).find("not the name of a file beside this one") != std::string::npos);
}

TEST_CASE("an error is short, however much is open") {
    const std::string said = of_system(
        "offnominal: system/1\nname:\nsource: {document: , page: }\nnominal:\ncooling:\n"
        "  stages:\n");
    CHECK(said.find("Open too: document (line 3), page (line 3), nominal (line 4), stages (line 6)") !=
          std::string::npos);
    std::string many = "offnominal: system/1\nname:\nmatches:\n";
    for (int i = 0; i < 1000; ++i) many += "  m" + std::to_string(i) + ":\n";
    CHECK(of_system(many).find("m6 (line 10), m7 (line 11), and more: fill them in") != std::string::npos);
    CHECK(of_system(many).size() < 300);
}
