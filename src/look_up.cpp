#include "look_up.hpp"

#include "offnominal/expect.hpp"
#include "offnominal/look_up.hpp"

namespace offnominal {

Answer<Expected> look_up(const System& system, const Site& site, const Conditions& conditions) noexcept {
    return detail::look_up(system, site, conditions);
}

namespace detail {

Answer<Expected> look_up(const System& system, const Site& site, const Question& question) noexcept {
    return answer_to(system, site, question);
}

void look_up_rows(const System& system, const ExpectBatch& batch, std::size_t first, std::size_t last,
                  const ExpectColumns& out) noexcept {
    expect_rows(system, batch, first, last, out, air::fastest_columns(), fastest_kernels());
}

}  // namespace detail
}  // namespace offnominal
