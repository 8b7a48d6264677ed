#pragma once

#include <numbers>

#include "units/length.h"

namespace stripwright::section {

/// The finished section: a solid regular hexagon of width D across flats. D of 0 or more;
/// what a negative D gives has no meaning.
///
/// Six equilateral strips of height h = D/2 make it up. One strip has area h²/√3 and, about
/// axes through its own centroid, h/3 under the face, the second moment √3 h⁴/54 in every
/// direction (an equilateral triangle has three axes of symmetry). Its centroid lies 2h/3 from the
/// centre; six of them evenly round it add, by the parallel axis theorem, half the sum of
/// area · (2h/3)² for either of two crossed axes:
///   I = 6 √3 h⁴/54 + 3 (h²/√3)(4 h²/9) = 5 √3 h⁴/9 = 5 √3 D⁴/144, about any axis.
/// The same values stand in engineers' handbooks for the hexagon.
class Hexagon {
 public:
  explicit constexpr Hexagon(Length across_flats) : across_flats_(across_flats) {}

  constexpr Length across_flats() const { return across_flats_; }
  /// 2 D / √3
  constexpr Length across_corners() const { return 2 * std::numbers::inv_sqrt3 * across_flats_; }
  /// Width of one flat, D / √3.
  constexpr Length side() const { return std::numbers::inv_sqrt3 * across_flats_; }

  /// √3/2 D²
  constexpr double area_in_square_millimetres() const { return std::numbers::sqrt3 / 2 * power(2); }
  /// 5 √3/144 D⁴, for bending in any direction.
  constexpr double second_moment_in_millimetres4() const {
    return 5 * std::numbers::sqrt3 / 144 * power(4);
  }
  /// 5 √3/72 D⁴, twice the second moment. Not the torsion constant, which is a little less.
  constexpr double polar_second_moment_in_millimetres4() const {
    return 2 * second_moment_in_millimetres4();
  }
  /// 5 √3/72 D³: bent over two flats, the outermost fibre is a flat, D/2 from the middle.
  constexpr double section_modulus_over_flats_in_millimetres3() const {
    return 5 * std::numbers::sqrt3 / 72 * power(3);
  }
  /// 5/48 D³: bent over two corners, the outermost fibre is a corner, D/√3 from the middle.
  constexpr double section_modulus_over_corners_in_millimetres3() const {
    return 5.0 / 48 * power(3);
  }

 private:
  constexpr double power(int n) const {
    double product = 1;
    for (int i = 0; i < n; ++i) product *= across_flats_.in_millimetres();
    return product;
  }

  Length across_flats_;
};

}  // namespace stripwright::section
