// Texts that a program has elsewhere than in a folder: what they name comes out of a function.
#include <fstream>
#include <iterator>
#include <sstream>
#include <stdexcept>

#include "offnominal/collate.hpp"
#include "texts.hpp"

using namespace offnominal;

namespace {

const std::string demo = OFFNOMINAL_TABLES_DIR "/demo/";

std::string text_of(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    REQUIRE(in);
    return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

TEST_CASE("tables come out of a function as out of a folder") {
    const System due = load_system(demo + "alder.yaml");
    std::vector<std::string> asked;
    const TextBeside beside = [&](const std::string& name) {
        asked.push_back(name);
        return text_of(demo + name);
    };
    CHECK(parse_system(text_of(demo + "alder.yaml"), "alder.yaml", beside) == due);
    CHECK(asked == std::vector<std::string>{"alder-low.csv", "alder-blower.csv"});

    std::istringstream stream(text_of(demo + "alder.yaml"));
    CHECK(load_system(stream, "alder.yaml", beside) == due);
    // A text that names none needs none.
    std::istringstream whole(write_system(due));
    CHECK(load_system(whole, "alder.yaml") == due);
}

TEST_CASE("a text that is not there, or is no table, is told with its place") {
    const std::string text = text_of(demo + "alder.yaml");
    const auto said = [&](const TextBeside& beside, const Limits& limits = {}) {
        return texts::complaint([&] { (void)parse_system(text, "alder.yaml", beside, limits); });
    };
    CHECK(said([](const std::string&) { return std::nullopt; }) ==
          "alder.yaml:84:17: alder-low.csv: there is no such text; accepted: a name that the program has a text by");
    CHECK_THROWS_AS((void)parse_system(text, "alder.yaml", [](const std::string&) { return std::nullopt; }),
                    MissingFile);
    CHECK(said([](const std::string&) { return "odb\n"; }).starts_with("alder-low.csv:1:1: "));
    CHECK(said([](const std::string&) { return std::string("a\0b", 3); }).find("a binary file, not text") !=
          std::string::npos);
    CHECK(said(TextBeside()).find("this text has no folder") != std::string::npos);
    // What it gives counts as what a file holds.
    const Limits limits{.file_bytes = text.size()};
    CHECK(said([&](const std::string&) { return std::string(text.size() + 1, ' '); }, limits) != "no complaint");
    CHECK(said([&](const std::string& name) { return text_of(demo + name); }, limits) == "no complaint");
}

TEST_CASE("a name that leads elsewhere is not asked for") {
    for (const char* elsewhere : {"/etc/passwd", "../alder-low.csv", "a\\..\\b", "''"}) {
        CAPTURE(std::string(elsewhere));
        bool asked = false;
        const auto beside = [&](const std::string&) {
            asked = true;
            return std::optional<std::string>();
        };
        const std::string text = texts::with(text_of(demo + "alder.yaml"), "alder-low.csv", elsewhere);
        CHECK(texts::complaint([&] {
                  (void)parse_system(text, "alder.yaml", beside);
              }).find("not the name of a file beside this one") != std::string::npos);
        CHECK_FALSE(asked);
    }
}

TEST_CASE("a zero byte is no part of a name") {
    const std::string text = texts::with(text_of(demo + "alder.yaml"), "alder-low.csv", R"("alder-low.csv\0")");
    CHECK(texts::complaint([&] {
              (void)parse_system(text, "alder.yaml", [](const std::string& name) { return text_of(demo + name); });
          }).find("a control character") != std::string::npos);
}

TEST_CASE("what the function throws comes out") {
    const auto beside = [](const std::string&) -> std::optional<std::string> {
        throw std::runtime_error("no archive");
    };
    CHECK_THROWS_WITH_AS((void)parse_system(text_of(demo + "alder.yaml"), "alder.yaml", beside), "no archive",
                         std::runtime_error);
}
