#include "look_up.hpp"

#include "offnominal/expect.hpp"

namespace offnominal::detail {

Answer<Expected> look_up(const System& system, const Site& site, const Question& question) noexcept {
    return answer_to(system, site, question);
}

void look_up_rows(const System& system, const ExpectBatch& batch, std::size_t first, std::size_t last,
                  const ExpectColumns& out) noexcept {
    expect_rows(system, batch, first, last, out, air::fastest_columns(), fastest_kernels());
}

}  // namespace offnominal::detail
