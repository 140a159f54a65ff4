// Published models of single faults, to the digits of tests/published/nist_tn1848_faults.yaml and
// nrel_dx_fault_models.yaml (their `checks_computed_by_us`).
#include "offnominal/derates/faults.hpp"

#include <doctest/doctest.h>

#include "../support/near.hpp"

using namespace offnominal;
using derates::CircuitFault;

namespace {
constexpr double half_digit = 0.00005;

struct Charge {
    double off, total, power;
};
struct Circuit {
    CircuitFault fault;
    double level, total, input;
};
}  // namespace

TEST_CASE("faults: a wrong charge, cooling and heating, as NIST Technical Note 1848 has it") {
    for (const Charge& row :
         {Charge{-0.30, 0.7982, 0.9635}, Charge{-0.20, 0.8885, 0.9780}, Charge{-0.10, 0.9557, 0.9902},
          Charge{0.10, 1.0120, 1.0148}, Charge{0.30, 1.0275, 1.0616}}) {
        const Factors found = derates::charge_effect(row.off, 26.67, 35.0, false);
        CHECK(near(found.total, row.total, absolute(half_digit)));
        CHECK(near(found.power, row.power, absolute(half_digit)));
    }
    for (const Charge& row : {Charge{-0.30, 0.7234, 0.9470}, Charge{-0.10, 0.9603, 0.9875},
                              Charge{0.10, 1.0003, 1.0262}, Charge{0.30, 1.0004, 1.1918}}) {
        const Factors found = derates::charge_effect(row.off, 20.0, 8.33, true);
        CHECK(near(found.total, row.total, absolute(half_digit)));
        CHECK(near(found.power, row.power, absolute(half_digit)));
    }
}

TEST_CASE("faults: of the circuit, as NREL/SR-5500-65030 has them") {
    for (const Circuit& row : {Circuit{CircuitFault::split_undercharge, 0.10, 0.9619, 1.0171},
                               Circuit{CircuitFault::split_undercharge, 0.30, 0.8348, 1.1235},
                               Circuit{CircuitFault::split_outdoor_airflow, 0.10, 0.9906, 1.0204},
                               Circuit{CircuitFault::split_outdoor_airflow, 0.50, 0.9182, 1.2206},
                               Circuit{CircuitFault::packaged_undercharge, 0.30, 0.7974, 1.1701},
                               Circuit{CircuitFault::packaged_overcharge, 0.30, 0.9022, 1.0592},
                               Circuit{CircuitFault::packaged_outdoor_airflow, 0.50, 0.9558, 1.2764},
                               Circuit{CircuitFault::packaged_indoor_airflow, 0.50, 0.8092, 1.1589},
                               Circuit{CircuitFault::packaged_liquid_line, 0.25, 0.8449, 1.2024},
                               Circuit{CircuitFault::packaged_noncondensables, 0.80, 1.0240, 1.0912}}) {
        const bool split = row.fault <= CircuitFault::split_outdoor_airflow;
        const Factors found = derates::circuit_fault_effect(row.fault, row.level, 19.4, 35.0, split ? 5.5 : 4.2);
        CAPTURE(name(row.fault));
        CHECK(near(found.total, row.total, absolute(half_digit)));
        CHECK(near(found.power / found.total, row.input, absolute(half_digit)));
    }
}

TEST_CASE("faults: the indoor coil's heat transfer, to the digits of UA_change_percent_per_percent_fault") {
    const auto percent = [](CircuitFault fault) { return 100.0 * (derates::heat_transfer_effect(fault, 0.01) - 1.0); };
    for (const auto& row :
         {std::pair{CircuitFault::split_undercharge, -1.29}, std::pair{CircuitFault::split_outdoor_airflow, 0.0},
          std::pair{CircuitFault::packaged_undercharge, -1.39}, std::pair{CircuitFault::packaged_overcharge, -1.39},
          std::pair{CircuitFault::packaged_outdoor_airflow, 0.0},
          std::pair{CircuitFault::packaged_indoor_airflow, -1.39}, std::pair{CircuitFault::packaged_liquid_line, -1.32},
          std::pair{CircuitFault::packaged_noncondensables, 0.373}}) {
        const CircuitFault fault = row.first;
        CAPTURE(name(fault));
        CHECK(near(percent(fault), row.second, absolute(1e-12)));
        CHECK(derates::heat_transfer_effect(fault, 0.0) == 1.0);
    }
}

TEST_CASE("faults: none is none, and beyond the source's limits they are held") {
    CHECK(derates::charge_effect(0.0, 26.7, 35.0, false).total == 1.0);
    for (const auto& row : words_of<CircuitFault>) {
        CHECK(derates::circuit_fault_effect(row.value, 0.0, 19.4, 35.0, 5.0).total == 1.0);
        CHECK(derates::circuit_fault_effect(row.value, 0.2, 40.0, 60.0, 9.0).power ==
              derates::circuit_fault_effect(row.value, 0.2, 23.9, 46.1, 8.0).power);
    }
}
