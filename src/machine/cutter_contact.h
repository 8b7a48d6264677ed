#pragma once

#include <optional>

#include "machine/curved_contacts.h"
#include "machine/highest_touch.h"
#include "machine/straight_profile.h"
#include "section/height_curve.h"

namespace stripwright::machine {

/// Finds where a round cutter of radius R that stands over a station x touches a profile h,
/// by itself for each station:
///   offset = z(x) - R = max over u of h(u) - (R - sqrt(R² - (x-u)²)).
///
/// A cutter touches where its own slope is the profile's (or between the two of a corner), so
/// with S the greatest |slope| only |x - u| <= R S/sqrt(1+S²) need be looked at. In a straight
/// span the touch is known in closed form; for smooth pieces see CurvedContacts. Right to 1e-10 mm.
///
/// R = 0 is a sharp edge, it gives the profile; below 0 std::logic_error. The profile has to
/// live as long as this does.
class ContactFinder {
 public:
  ContactFinder(const section::HeightCurve& profile, Length radius);

  /// Where the cutter touches two places at once the side says which is meant: coming from
  /// the tip it is the one nearer the tip.
  CutterContact at(Station x, section::Side side) const;

  /// Null over a straight profile and for a radius of 0.
  const CurvedContacts* curved() const { return curved_ ? &*curved_ : nullptr; }

 private:
  CutterContact on_straight(double x, section::Side side) const;

  const section::HeightCurve* profile_;
  double radius_;
  std::optional<plain::StraightProfile> straight_;
  double steepest_ = 0;  ///< of the straight profile
  std::optional<CurvedContacts> curved_;
};

}  // namespace stripwright::machine
