// Prints include/offnominal/quantities.h, as the lists of what is asked and told make it.
#include <cstdio>

#include "../../src/c/description.hpp"

int main() { std::fputs(offnominal::c::header_text().c_str(), stdout); }
