// Systems as bytes: what comes back, and what is refused.
#include "offnominal/embedded.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <random>

#include "offnominal/collate.hpp"
#include "offnominal/demo.hpp"
#include "offnominal/files.hpp"
#include "texts.hpp"

namespace {
using namespace offnominal;
using texts::tables;

std::span<const unsigned char> span_of(const std::string& bytes) {
    return {reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size()};
}
std::string refusal(const std::string& bytes) {
    try {
        return system_from_bytes(span_of(bytes)).name();
    } catch (const InputError& error) {
        return error.problem();
    }
}
/// The bytes with a checksum that is right again, as somebody writes who means harm.
std::string signed_again(std::string bytes) {
    std::uint64_t sum = 0xcbf29ce484222325u;
    for (std::size_t i = 24; i < bytes.size(); ++i) sum = (sum ^ static_cast<unsigned char>(bytes[i])) * 0x100000001b3u;
    for (std::size_t i = 0; i < 8; ++i) bytes[16 + i] = static_cast<char>(sum >> (8 * i) & 0xff);
    return bytes;
}

}  // namespace

TEST_CASE("every system of the demo and the corpus comes back from its bytes, bit for bit and as it was typed") {
    int count = 0;
    for (const char* folder : {"/demo", "/corpus"})
        for (const auto& entry : std::filesystem::directory_iterator(tables + folder)) {
            const std::string path = entry.path().string();
            if (entry.path().extension() != ".yaml" || path.find("visit") != std::string::npos) continue;
            CAPTURE(path);
            const System system = load_system(path);
            const std::string bytes = system_to_bytes(system);
            const System back = system_from_bytes(span_of(bytes));
            CHECK(differences(system, back, Sameness::bits).empty());
            CHECK(write_system(back) == write_system(system));
            CHECK(system_to_bytes(back) == bytes);
            ++count;
        }
    CHECK(count >= 9);
}

TEST_CASE("bytes that are damaged, cut short or of another version are refused") {
    const std::string bytes = system_to_bytes(load_system(tables + "/corpus/juniper.yaml"));
    CHECK(refusal(bytes) == load_system(tables + "/corpus/juniper.yaml").name());
    CHECK(refusal("") == "no embedded system");
    CHECK(refusal("offnominal: system/1\nname: a file\n") == "no embedded system");
    std::string other = bytes;
    other[8] = 2;
    CHECK(refusal(other) == "an embedded system of another version than 1");
    CHECK(refusal(bytes + '\0') == "embedded data: not of the length that it says");
    CHECK(refusal(bytes.substr(0, bytes.size() - 1)) == "embedded data: not of the length that it says");
    other = bytes;
    other.back() = static_cast<char>(other.back() ^ 1);
    CHECK(refusal(other) == "embedded data: damaged, its checksum is another");
}

TEST_CASE("bytes that somebody made up, with a right checksum, give a checked system or are refused") {
    const std::string bytes = system_to_bytes(load_system(tables + "/corpus/pine.yaml"));
    std::string longer = bytes;
    longer[24] = longer[25] = longer[26] = longer[27] = '\xff';  // the length of the name
    CHECK(refusal(signed_again(longer)) == "embedded data: longer than any system's");
    std::string hidden = bytes;
    hidden[28] = '\x1b';
    CHECK(refusal(signed_again(hidden)) == "embedded data: a text that is not UTF-8, or holds control characters");
    std::mt19937 random(13);  // std's engines are the same everywhere, its distributions are not
    int refused = 0;
    for (int i = 0; i < 3000; ++i) {
        std::string made = bytes;
        for (auto k = random() % 3 + 1; k > 0; --k)
            made[24 + random() % (made.size() - 24)] = static_cast<char>(random() % 4 == 0 ? 0xff : random() & 0xff);
        if (random() % 8 == 0) {
            made.resize(24 + random() % (made.size() - 24));
            const std::size_t size = made.size() - 24;
            for (std::size_t b = 0; b < 4; ++b) made[12 + b] = static_cast<char>(size >> (8 * b) & 0xff);
        }
        try {
            const std::string again = signed_again(made);
            const System system = system_from_bytes(span_of(again));
            CHECK(system_to_bytes(system).size() > 0);
        } catch (const InputError&) {
            ++refused;
        }
    }
    CHECK(refused > 300);
}

TEST_CASE("the demo system among the headers is what the demo's file has of it") {
    SystemParts parts = load_system(tables + "/demo/alder.yaml").parts();
    SystemParts wanted;
    wanted.name = demo_system().name();
    wanted.refrigerant = parts.refrigerant;
    wanted.cooling = {parts.cooling.front()};
    wanted.matches = {parts.matches.front()};
    for (const Difference& d : differences(System(wanted), demo_system(), Sameness::bits))
        FAIL_CHECK(d.where << ' ' << d.column << ": " << d.first << ", " << d.second);
}
