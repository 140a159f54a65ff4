#include "juniper.hpp"
#include "offnominal/files.hpp"
#include "the_other.hpp"

int main() {
    int unused = 2.5;
    if (embedded::juniper().name() == embedded::the_other().name()) return 2;
    try {
        offnominal::parse_visit("offnominal: nonsense/1\n", "visit.yaml");
    } catch (const offnominal::InputError& error) {
        return error.file() == "visit.yaml" ? 0 : 1;
    }
    return 1;
}
