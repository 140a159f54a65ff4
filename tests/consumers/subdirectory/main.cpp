#include "offnominal/files.hpp"

int main() {
    int unused = 2.5;
    try {
        offnominal::parse_visit("offnominal: nonsense/1\n", "visit.yaml");
    } catch (const offnominal::InputError& error) {
        return error.file() == "visit.yaml" ? 0 : 1;
    }
    return 1;
}
