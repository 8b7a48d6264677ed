#pragma once

#include <cmath>
#include <compare>

namespace stripwright {

/// A length or a difference of lengths. The only doors name their unit, so a
/// plain number can never become a length by accident. Kept in millimetres.
class Length {
 public:
  /// Exact by international definition (1959): 1 in = 25.4 mm. No double is 25.4; in tenths of
  /// a millimetre the ratio is one, so that whole inches are right to the last bit.
  static constexpr double kTenthMillimetresPerInch = 254;

  constexpr Length() = default;
  static constexpr Length millimetres(double mm) { return Length(mm); }
  static constexpr Length inches(double in) { return Length(in * kTenthMillimetresPerInch / 10); }

  constexpr double in_millimetres() const { return mm_; }
  constexpr double in_inches() const { return mm_ * 10 / kTenthMillimetresPerInch; }

  constexpr Length operator-() const { return Length(-mm_); }
  constexpr Length& operator+=(Length other) {
    mm_ += other.mm_;
    return *this;
  }
  constexpr Length& operator-=(Length other) {
    mm_ -= other.mm_;
    return *this;
  }
  friend constexpr Length operator+(Length a, Length b) { return Length(a.mm_ + b.mm_); }
  friend constexpr Length operator-(Length a, Length b) { return Length(a.mm_ - b.mm_); }
  friend constexpr Length operator*(Length a, double k) { return Length(a.mm_ * k); }
  friend constexpr Length operator*(double k, Length a) { return Length(k * a.mm_); }
  friend constexpr Length operator/(Length a, double k) { return Length(a.mm_ / k); }
  /// A ratio of two lengths has no unit.
  friend constexpr double operator/(Length a, Length b) { return a.mm_ / b.mm_; }
  friend constexpr auto operator<=>(Length a, Length b) = default;

  friend Length abs(Length a) { return Length(std::fabs(a.mm_)); }
  bool finite() const { return std::isfinite(mm_); }

 private:
  explicit constexpr Length(double mm) : mm_(mm) {}
  double mm_ = 0;
};

/// Two lengths closer than this are the same place: a nanometre, far below any
/// gauge and far above the rounding of a double at the length of a rod.
inline constexpr Length kSamePlace = Length::millimetres(1e-6);

inline bool same_place(Length a, Length b) { return abs(a - b) < kSamePlace; }

}  // namespace stripwright
