#pragma once

#include <vector>

#include "bending/bend.h"

// Rods to bend, and doors to plain numbers.
namespace bench {

using namespace stripwright;
using namespace stripwright::bending;

inline Length mm(double value) { return Length::millimetres(value); }
inline double mm(Length value) { return value.in_millimetres(); }
inline Station at(double value) { return Station(mm(value)); }

inline TaperCurve curve(std::vector<double> xs, std::vector<double> flats,
                        Between between = Between::linear) {
  Taper taper;
  taper.between = between;
  for (std::size_t i = 0; i < xs.size(); ++i) taper.points.push_back({at(xs[i]), mm(flats[i])});
  return TaperCurve(taper);
}

inline Rod rod(std::vector<double> xs, std::vector<double> flats, double modulus_mpa = 25000,
               double density = 1.0) {
  return Rod(curve(std::move(xs), std::move(flats)), Length{},
             {Pressure::megapascals(modulus_mpa), Density::grams_per_cubic_centimetre(density)});
}

inline Loading load(double tip, double clamp, double newtons, bool own_weight = false) {
  return {at(tip), at(clamp), Angle{}, Force::newtons(newtons), own_weight};
}

/// Second moment of a hexagon, written down anew: 5 √3/144 D⁴.
inline double second_moment(double flats) { return 5 * std::sqrt(3.0) / 144 * std::pow(flats, 4); }

}  // namespace bench
