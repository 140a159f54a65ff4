#include "offnominal/files.hpp"

int main() {
    try {
        offnominal::parse_system("offnominal: nonsense/1\n", "page.yaml");
    } catch (const offnominal::InputError& error) {
        return error.file() == "page.yaml" && error.line() == 1 ? 0 : 1;
    }
    return 1;
}
