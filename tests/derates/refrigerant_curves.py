"""Fits the curves of include/offnominal/derates/refrigerant_curves.hpp to CoolProp, and writes that header.

python tests/derates/refrigerant_curves.py > include/offnominal/derates/refrigerant_curves.hpp   (then clang-format)

Saturation from -20 to 60 degC, by CoolProp's equations of state; for R-454B its predefined mixture of R-32 and R-1234yf, whose
viscosities CoolProp lacks: those are made of the pure fluids' at the same temperature, of the vapour by Wilke's rule, of the
liquid by the logarithm in mole fractions (Grunberg and Nissan without interaction). Line friction follows a viscosity's fifth root.
"""

import numpy as np
from CoolProp.CoolProp import PropsSI

LOWEST, HIGHEST, DEGREE = -20.0, 60.0, 7

# The trade's name, and CoolProp's.
REFRIGERANTS = {
    "R-22": "R22",
    "R-32": "R32",
    "R-134a": "R134a",
    "R-290": "n-Propane",
    "R-410A": "R410A",
    "R-454B": "R454B.mix",
}
R454B = {"R32": 0.8292, "R1234yf": 0.1708}  # mole fractions of 68.9 and 31.1 % by mass (ASHRAE 34)

# Each curve: CoolProp's key, vapour quality, whether the logarithm is fitted, what it is.
CURVES = {
    "dew_pressure": ("P", 1, True, "Pa"),
    "bubble_pressure": ("P", 0, True, "Pa"),
    "vapour_density": ("D", 1, True, "kg/m3"),
    "liquid_density": ("D", 0, True, "kg/m3"),
    "vapour_viscosity": ("V", 1, True, "Pa s"),
    "liquid_viscosity": ("V", 0, True, "Pa s"),
    "latent_heat": ("latent", None, True, "J/kg"),
    "liquid_enthalpy": ("H", 0, False, "J/kg, not its logarithm; 200 kJ/kg at 0 degC"),
}


def _viscosity_of_r454b(temperature, quality):
    fluids, x = list(R454B), np.array(list(R454B.values()))
    mu = np.array([PropsSI("V", "T", temperature, "Q", quality, fluid) for fluid in fluids])
    if quality == 0:
        return float(np.exp(np.sum(x * np.log(mu))))
    m = np.array([PropsSI("M", fluid) for fluid in fluids])
    ratio, mass = mu[:, None] / mu[None, :], m[None, :] / m[:, None]
    phi = (1 + np.sqrt(ratio) * mass**0.25) ** 2 / np.sqrt(8 * (1 + 1 / mass))
    return float(np.sum(x * mu / (phi @ x)))


def property_of(name, curve, celsius):
    """One saturation property in SI, from CoolProp, or NaN where it finds none; liquid enthalpy is 200 kJ/kg at 0 degC."""
    fluid, temperature = REFRIGERANTS[name], celsius + 273.15
    key, quality = CURVES[curve][:2]

    def at(key, kelvin, quality):
        try:
            return PropsSI(key, "T", kelvin, "Q", quality, fluid)
        except ValueError:  # the mixture's solver finds no bubble point from 56.5 to 58.5 degC
            return float("nan")

    if key == "V" and name == "R-454B":
        return _viscosity_of_r454b(temperature, quality)
    if key == "latent":
        return at("H", temperature, 1) - at("H", temperature, 0)
    if key == "H":
        return at("H", temperature, 0) - at("H", 273.15, 0) + 200e3
    return at(key, temperature, quality)


def fitted(name, curve):
    """Coefficients in x = (t - 20) / 40 by rising power: least squares at Chebyshev nodes."""
    x = np.cos(np.pi * (np.arange(60) + 0.5) / 60)
    middle, half = (HIGHEST + LOWEST) / 2, (HIGHEST - LOWEST) / 2
    y = np.array([property_of(name, curve, middle + half * at) for at in x])
    found = np.isfinite(y)
    x, y = x[found], y[found]
    chebyshev = np.polynomial.chebyshev.Chebyshev.fit(x, np.log(y) if CURVES[curve][2] else y, DEGREE, domain=[-1, 1])
    return chebyshev.convert(kind=np.polynomial.Polynomial).coef


HEAD = """\
/// @file
/// Saturation properties of refrigerants from -20 to 60 degC as compact curves. Written by tests/derates/refrigerant_curves.py
/// from CoolProp's equations of state, not by hand. R-454B is CoolProp's mixture of R-32 and R-1234yf, its viscosities mixed of
/// theirs.
#pragma once

#include <string_view>

#include "offnominal/detail/contract.hpp"

namespace offnominal::derates {

/// A property along saturation: a polynomial in (t - 20) / 40, t in degC; coefficients by rising power.
struct SaturationCurve {
    double coefficients[8];
};

/// One refrigerant. All curves but `liquid_enthalpy` give the natural logarithm of the property.
struct Refrigerant {
    std::string_view name;
CURVES};

/// The refrigerants there are curves of.
inline constexpr Refrigerant refrigerants[] = {
"""


def header():
    members = "".join(f"    SaturationCurve {curve};  ///< {unit}\n" for curve, (_, _, _, unit) in CURVES.items())
    out = HEAD.replace("CURVES", members)
    for name in REFRIGERANTS:
        out += f'    {{"{name}",\n'
        for curve in CURVES:
            coefficients = ", ".join(f"{c:.10g}" for c in fitted(name, curve))
            out += f"     {{{{{coefficients}}}}},\n"
        out += "     },\n"
    return out + "};\n\n}  // namespace offnominal::derates\n"


if __name__ == "__main__":
    print(header(), end="")
