// Total of the wet line, gross and before every factor, as a ledger tells it: a row of its own where dry nodes have
// weight, else what the page prints.
#pragma once

#include "offnominal/expect.hpp"

inline double wet_line_total(const offnominal::Expected& e) {
    using offnominal::Step;
    double out = 0.0;
    for (const Step& step : e.ledger)
        if (step.of == Step::Of::total && step.kind <= Step::Kind::wet_line) out = step.after;
    return out;
}
