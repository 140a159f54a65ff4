#include "offnominal/airflow/determine.hpp"
#include "text.hpp"

namespace offnominal {
namespace detail {

std::string how_found(const DeterminedAirflow& d) {
    return std::string(row_of(d.method)->words) + (d.by.empty() ? "" : ", " + d.by);
}

}  // namespace detail

std::string report(const DeterminedAirflow& d, UnitSystem units) {
    using namespace detail;
    std::string out = "airflow by " + how_found(d) + ": " + with_unit(Kind::airflow, d.airflow.si, units) +
                      " standard air +- " + percent(2.0 * d.u) + " (coverage factor 2)\n";
    out += "  " + with_unit(Kind::airflow, d.actual.si, units) + " actual where it was found, " +
           with_unit(Kind::mass_flow, d.mass_flow.si, units) + " of dry air\n";
    if (d.power) out += "  fan power " + with_unit(Kind::electric_power, d.power->si, units) + "\n";
    out += "  what it is uncertain by (a rise by the standard uncertainty)\n";
    for (const AirflowTerm& term : d.terms)
        out += "    " + padded(term.what, 24) + padded(percent(term.effect), 9, true) +
               (term.source.empty() || term.source == term.what ? "" : "  (" + term.source + ")") + "\n";
    return out + notes_words(describe(d.notes));
}

}  // namespace offnominal
