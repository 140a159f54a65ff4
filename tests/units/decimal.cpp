// Numbers to and from text: by the C++ library, and by the C library where that one has no doubles.
#include "offnominal/detail/decimal.hpp"

#include <doctest/doctest.h>

#include <bit>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <limits>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "offnominal/detail/decimal_by_c.hpp"

using namespace offnominal;
namespace by_c = detail::by_c;

namespace {

bool same_bits(const std::optional<double>& a, const std::optional<double>& b) {
    return a.has_value() == b.has_value() &&
           (!a || std::bit_cast<std::uint64_t>(*a) == std::bit_cast<std::uint64_t>(*b));
}

}  // namespace

TEST_CASE("a number is one from its first character to its last") {
    CHECK(detail::number_of("-12.5") == -12.5);
    CHECK(detail::number_of("1e3") == 1000.0);
    CHECK(detail::number_of(".1") == 0.1);
    CHECK(detail::number_of("1.") == 1.0);
    for (const std::string_view text :
         {"",  " 3", "3 ",   "+3",  "33,500", "7.1.2",  "1e",       "1e+",  "1e999", "1e-999", "abc",
          "-", ".",  "-.e5", "inf", "-nan",   "nan(1)", "infinity", "0x10", "0x1p3", "1e5.",   "--1"}) {
        CAPTURE(text);
        CHECK_FALSE(detail::number_of(text));
        CHECK_FALSE(by_c::number_of(text));
    }
}

TEST_CASE("either library reads and writes a number by the same digits") {
    const double infinity = std::numeric_limits<double>::infinity();
    std::vector<double> numbers{0.0,
                                -0.0,
                                1.0,
                                -1.5,
                                9.5,
                                99.5,
                                1e5,
                                123456.0,
                                1e-5,
                                0.1,
                                0.0001,
                                1e21,
                                1e22,
                                1e23,
                                5e-324,
                                1e15,
                                1e16,
                                1e17,
                                1e100,
                                -2.5e-7,
                                -infinity,
                                std::numeric_limits<double>::max(),
                                std::numeric_limits<double>::min()};
    for (int exponent = -1074; exponent < 1024; ++exponent) {  // where neighbours are not equally far
        numbers.push_back(std::ldexp(1.0, exponent));
        numbers.push_back(std::nextafter(numbers.back(), 0.0));
    }
    std::mt19937_64 random(13);
    for (int i = 0; i < 2000; ++i) {
        numbers.push_back(std::bit_cast<double>(random()));
        numbers.push_back(static_cast<double>(random() >> (i % 64)));
        numbers.push_back(static_cast<double>(random() % 1000000) / 1000.0);
    }
    for (const double value : numbers) {
        if (std::isnan(value)) continue;
        const std::string shortest = detail::number_text(value);
        CAPTURE(shortest);
        CHECK(by_c::shortest(value, false) == shortest);
        CHECK(by_c::shortest(value, true) == detail::plain_text(value));
        CHECK(by_c::printed('f', 3, value) == detail::fixed_text(value, 3));
        CHECK(by_c::printed('g', 6, value) == detail::rounded_text(value, 6));
        if (std::isinf(value)) continue;
        CHECK(same_bits(detail::number_of(shortest), value));
        CHECK(same_bits(by_c::number_of(shortest), value));
        CHECK(same_bits(by_c::number_of(detail::plain_text(value)), value));
    }
    for (int i = 0; i < 5000; ++i) {  // any digits, most of them more than a double has
        std::string text = std::to_string(random()) + std::to_string(random());
        text.resize(1 + random() % text.size());
        if (i % 2 == 0) text.insert(random() % text.size(), ".");
        if (i % 3 == 0) text += "e" + std::to_string(static_cast<int>(random() % 700) - 350);
        CAPTURE(text);
        CHECK(same_bits(by_c::number_of(text), detail::number_of(text)));
    }
    for (const std::string_view halfway :
         {"9007199254740993", "9007199254740992.99999999999999999999999999999999999999",
          "9007199254740993.0000000000000000001", "2.4703282292062327208299e-324", "2.4703282292062327208e-324",
          "1.7976931348623158e308", "1.7976931348623159e308"})
        CHECK(same_bits(by_c::number_of(halfway), detail::number_of(halfway)));
}
