#include "c/json.hpp"

#include "c/tree.hpp"

namespace offnominal::c {

std::string json_of(const System& system, const Expected& expected, UnitSystem units) {
    Tree out = heading<ExpectedValues>("Expected", expected.mode, units);
    add(out, system, expected, units);
    return text_of(out);
}

std::string json_of(const Delivered& delivered, UnitSystem units) {
    Tree out = heading<Delivered>("Delivered", delivered.mode, units);
    add(out, delivered, units);
    return text_of(out);
}

}  // namespace offnominal::c
