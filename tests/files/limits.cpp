// What reading may cost at each limit, in memory; benchmarks/limits.cpp shows the time.
#include <doctest/doctest.h>

#include "../support/worst_inputs.hpp"

using namespace offnominal;

namespace {

// A sanitizer keeps books of its own.
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
constexpr bool is_sanitized = true;
#elif defined(__has_feature)
constexpr bool is_sanitized = __has_feature(address_sanitizer) || __has_feature(thread_sanitizer);
#else
constexpr bool is_sanitized = false;
#endif

void check(const worst::Case& one) {
    constexpr double most_megabytes = 500.0;
    const std::string_view counts = worst::counts_of(one);
    for (const std::size_t more : {0u, 1u}) {
        const worst::Input input = one.make(one.limits().*one.limit + more);
        const worst::Cost cost = worst::cost_of([&] { one.read(input); });
        const bool is_refused =
            cost.said.find("more than ") != std::string::npos && cost.said.find(counts) != std::string::npos;
        CAPTURE(counts);
        CAPTURE(cost.said);
        CHECK(std::max(input.text.size(), input.side.size()) <= worst::greatest_input + 1);
        CHECK(cost.megabytes < most_megabytes);
        CHECK(is_refused == (more == 1));
    }
}

}  // namespace

TEST_CASE("at each limit of a system the dearest input stays within 500 MB, and one more is refused" *
          doctest::skip(is_sanitized)) {
    for (const worst::Case& one : worst::cases)
        if (one.kind == worst::Kind::system) check(one);
}

TEST_CASE(
    "at each limit of a log and of a representation the dearest input stays within 500 MB, and one more is refused" *
    doctest::skip(is_sanitized)) {
    static_assert(std::size(worst::cases) == std::size(limit_rows));
    for (const worst::Case& one : worst::cases)
        if (one.kind != worst::Kind::system) check(one);
}
