#pragma once

#include "units/amount.h"
#include "units/parse.h"

namespace stripwright {

/// Amounts are read as lengths are (decimals and fractions, blanks optional, no exponents), always
/// with a unit; below 0 is a fault.

/// `12 g`, `0.5 oz`, `140 gr` (grains), `0.02 kg`, `1 lb`; at most 1000 kg.
Parsed<Mass> parse_mass(std::string_view text);
/// `0.5 N`, or a mass whose weight it is: `50 g`, `2 oz`.
Parsed<Force> parse_force(std::string_view text);
/// `27 GPa`, `27000 MPa`, `3900 ksi`, `3900000 psi`.
Parsed<Pressure> parse_pressure(std::string_view text);
/// `0.95 g/cm3`, `950 kg/m3`, `0.55 oz/in3`.
Parsed<Density> parse_density(std::string_view text);

}  // namespace stripwright
