#pragma once

#include <compare>

#include "units/length.h"

namespace stripwright {

/// What amounts of one kind can do: add, scale, be compared, and give a plain ratio.
template <class Kind>
class Amount {
 public:
  constexpr Amount() = default;

  constexpr Kind operator-() const { return make(-value_); }
  friend constexpr Kind operator+(Kind a, Kind b) { return make(a.value_ + b.value_); }
  friend constexpr Kind operator-(Kind a, Kind b) { return make(a.value_ - b.value_); }
  friend constexpr Kind operator*(Kind a, double k) { return make(a.value_ * k); }
  friend constexpr Kind operator*(double k, Kind a) { return make(k * a.value_); }
  friend constexpr Kind operator/(Kind a, double k) { return make(a.value_ / k); }
  friend constexpr double operator/(Kind a, Kind b) { return a.value_ / b.value_; }
  friend constexpr auto operator<=>(Amount const& a, Amount const& b) = default;

 protected:
  explicit constexpr Amount(double value) : value_(value) {}
  double value_ = 0;

 private:
  static constexpr Kind make(double value) {
    Kind out;
    static_cast<Amount&>(out).value_ = value;
    return out;
  }
};

/// A mass; kept in grams. The grain is exact by the international pound of 1959, 0.453 592 37 kg,
/// which has 7000 of them.
class Mass : public Amount<Mass> {
 public:
  static constexpr double kGramsPerPound = 453.59237;

  constexpr Mass() = default;
  static constexpr Mass grams(double g) { return Mass(g); }
  static constexpr Mass ounces(double oz) { return Mass(oz * kGramsPerPound / 16); }
  static constexpr Mass grains(double gr) { return Mass(gr * kGramsPerPound / 7000); }
  constexpr double in_grams() const { return value_; }
  constexpr double in_ounces() const { return value_ * 16 / kGramsPerPound; }

 private:
  explicit constexpr Mass(double g) : Amount(g) {}
};

/// A force; kept in newtons.
class Force : public Amount<Force> {
 public:
  /// Standard acceleration of free fall, 9.806 65 m/s² exactly (3rd CGPM, 1901; ISO 80000-3).
  static constexpr double kFreeFall = 9.80665;

  constexpr Force() = default;
  static constexpr Force newtons(double n) { return Force(n); }
  static constexpr Force weight_of(Mass mass) { return Force(mass.in_grams() / 1000 * kFreeFall); }
  constexpr double in_newtons() const { return value_; }
  constexpr Mass as_weight() const { return Mass::grams(value_ * 1000 / kFreeFall); }

 private:
  explicit constexpr Force(double n) : Amount(n) {}
};

/// A stress or a modulus of elasticity; kept in megapascals, newtons on a square millimetre.
class Pressure : public Amount<Pressure> {
 public:
  /// A pound's weight on a square inch.
  static constexpr double kMegapascalsPerPsi =
      Mass::kGramsPerPound / 1000 * Force::kFreeFall * 10 * 10 /
      (Length::kTenthMillimetresPerInch * Length::kTenthMillimetresPerInch);

  constexpr Pressure() = default;
  static constexpr Pressure megapascals(double mpa) { return Pressure(mpa); }
  static constexpr Pressure psi(double psi) { return Pressure(psi * kMegapascalsPerPsi); }
  constexpr double in_megapascals() const { return value_; }
  constexpr double in_psi() const { return value_ / kMegapascalsPerPsi; }

 private:
  explicit constexpr Pressure(double mpa) : Amount(mpa) {}
};

/// Mass by volume; kept in grams a cubic centimetre.
class Density : public Amount<Density> {
 public:
  constexpr Density() = default;
  static constexpr Density grams_per_cubic_centimetre(double d) { return Density(d); }
  constexpr double in_grams_per_cubic_centimetre() const { return value_; }
  constexpr double in_grams_per_cubic_millimetre() const { return value_ / 1000; }

 private:
  explicit constexpr Density(double d) : Amount(d) {}
};

}  // namespace stripwright
