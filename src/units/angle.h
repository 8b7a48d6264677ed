#pragma once

#include <cmath>
#include <compare>
#include <numbers>

namespace stripwright {

/// A plane angle; kept in radians. Users see decimal degrees.
class Angle {
 public:
  constexpr Angle() = default;
  static constexpr Angle radians(double rad) { return Angle(rad); }
  static constexpr Angle degrees(double deg) { return Angle(deg * std::numbers::pi / 180.0); }

  constexpr double in_radians() const { return rad_; }
  constexpr double in_degrees() const { return rad_ * 180.0 / std::numbers::pi; }

  constexpr Angle operator-() const { return Angle(-rad_); }
  friend constexpr Angle operator+(Angle a, Angle b) { return Angle(a.rad_ + b.rad_); }
  friend constexpr Angle operator-(Angle a, Angle b) { return Angle(a.rad_ - b.rad_); }
  friend constexpr Angle operator*(Angle a, double k) { return Angle(a.rad_ * k); }
  friend constexpr Angle operator*(double k, Angle a) { return Angle(k * a.rad_); }
  friend constexpr Angle operator/(Angle a, double k) { return Angle(a.rad_ / k); }
  friend constexpr double operator/(Angle a, Angle b) { return a.rad_ / b.rad_; }
  friend constexpr auto operator<=>(Angle a, Angle b) = default;

  friend Angle abs(Angle a) { return Angle(std::fabs(a.rad_)); }

 private:
  explicit constexpr Angle(double rad) : rad_(rad) {}
  double rad_ = 0;
};

inline double sin(Angle a) { return std::sin(a.in_radians()); }
inline double cos(Angle a) { return std::cos(a.in_radians()); }
inline double tan(Angle a) { return std::tan(a.in_radians()); }

}  // namespace stripwright
