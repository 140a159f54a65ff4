#include "every_header.hpp"

double three_tons() { return offnominal::units::ton.to_si(3.0); }
