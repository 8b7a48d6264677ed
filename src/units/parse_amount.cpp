#include "units/parse_amount.h"

#include <array>

#include "units/number_scan.h"

namespace stripwright {
namespace {

using scan::Fault;
using scan::Scanner;

/// A unit's name and one of it.
template <class Kind>
struct NamedUnit {
  std::string_view name;
  Kind one;
};

template <class Kind, std::size_t n>
Parsed<Kind> parse(std::string_view text, std::array<NamedUnit<Kind>, n> const& units,
                   std::string_view what, std::string_view how_to_write) {
  const auto refused = [&](Fault const& fault) {
    return Parsed<Kind>{std::nullopt, quoted_for_message(text) + ": " + fault.what,
                        fault.remedy.empty() ? std::string(how_to_write) : fault.remedy};
  };
  Scanner scan(text);
  if (scan.at_end())
    return {std::nullopt, "no " + std::string(what) + " given", std::string(how_to_write)};
  if (const auto fault = scan::not_a_number(scan.rest())) return refused(*fault);
  if (scan.take('-')) return refused({"a negative " + std::string(what), ""});
  Fault fault;
  const auto count = scan::quantity(scan, fault);
  if (!count) return refused(fault);
  scan.skip_blanks();
  for (auto const& unit : units) {
    if (scan.rest() != unit.name) continue;
    constexpr double kMost = 1e9;
    if (*count > kMost) return refused({"a number too large to be meant", ""});
    return {*count * unit.one, {}, {}};
  }
  if (scan.at_end()) return refused({"a number without a unit", ""});
  return refused({"the unknown unit " + quoted_for_message(scan.rest()), ""});
}

constexpr std::array<NamedUnit<Mass>, 5> kMasses = {{{"g", Mass::grams(1)},
                                                     {"kg", Mass::grams(1000)},
                                                     {"oz", Mass::ounces(1)},
                                                     {"gr", Mass::grains(1)},
                                                     {"lb", Mass::ounces(16)}}};
constexpr std::array<NamedUnit<Force>, 6> kForces = {{{"N", Force::newtons(1)},
                                                      {"g", Force::weight_of(Mass::grams(1))},
                                                      {"kg", Force::weight_of(Mass::grams(1000))},
                                                      {"oz", Force::weight_of(Mass::ounces(1))},
                                                      {"gr", Force::weight_of(Mass::grains(1))},
                                                      {"lb", Force::weight_of(Mass::ounces(16))}}};
constexpr std::array<NamedUnit<Pressure>, 4> kPressures = {{{"GPa", Pressure::megapascals(1000)},
                                                            {"MPa", Pressure::megapascals(1)},
                                                            {"psi", Pressure::psi(1)},
                                                            {"ksi", Pressure::psi(1000)}}};
constexpr double kCubicCentimetresPerCubicInch = Length::inches(1).in_millimetres() *
                                                 Length::inches(1).in_millimetres() *
                                                 Length::inches(1).in_millimetres() / 1000;
constexpr std::array<NamedUnit<Density>, 4> kDensities = {
    {{"g/cm3", Density::grams_per_cubic_centimetre(1)},
     {"kg/m3", Density::grams_per_cubic_centimetre(0.001)},
     {"oz/in3", Density::grams_per_cubic_centimetre(Mass::ounces(1).in_grams() /
                                                    kCubicCentimetresPerCubicInch)},
     {"lb/in3", Density::grams_per_cubic_centimetre(Mass::ounces(16).in_grams() /
                                                    kCubicCentimetresPerCubicInch)}}};

}  // namespace

Parsed<Mass> parse_mass(std::string_view text) {
  return parse(text, kMasses, "mass", "write a number and a unit: 12 g, 0.5 oz, 140 gr (grains)");
}

Parsed<Force> parse_force(std::string_view text) {
  return parse(text, kForces, "load",
               "write a force, 0.5 N, or the mass whose weight it is: 50 g, 2 oz, 140 gr (grains)");
}

Parsed<Pressure> parse_pressure(std::string_view text) {
  return parse(text, kPressures, "modulus",
               "write a number and a unit: 27 GPa, 27000 MPa, 3900 ksi, 3900000 psi");
}

Parsed<Density> parse_density(std::string_view text) {
  return parse(text, kDensities, "density",
               "write a number and a unit: 0.95 g/cm3, 950 kg/m3, 0.55 oz/in3, 0.034 lb/in3");
}

}  // namespace stripwright
