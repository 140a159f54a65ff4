#include "every_header.hpp"

double three_tons();  // other.cpp

int main() {
    using namespace offnominal::literals;
    return three_tons() == (36_MBh).si ? 0 : 1;
}
