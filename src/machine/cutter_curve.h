#pragma once

#include <optional>
#include <span>
#include <vector>

#include "machine/cutter_contact.h"
#include "machine/cutter_path.h"
#include "section/height_curve.h"

namespace stripwright::machine {

/// The cutter offset of a round cutter over a profile, z(x) - R: what is set on the machine so
/// that a cutter of radius R standing over x cuts the strip to the profile and nowhere below it.
/// It is itself a height curve, as smooth between its corners as the profile is between its own.
///
/// Over a straight profile the pieces of its path are known once for [from, to]; elsewhere, and
/// over a curved profile, the touch is sought for each station (ContactFinder). R = 0 gives the
/// profile. The profile has to live as long as this does. R below 0 or `to` before `from`:
/// std::logic_error.
class CutterCurve final : public section::HeightCurve {
 public:
  CutterCurve(const section::HeightCurve& profile, Length radius, Station from, Station to);

  /// The cutter offset, z(x) - R.
  Length height(Station x) const override;
  double slope(Station x, section::Side side) const override;
  /// Where an arc begins or ends and where the cutter touches two places at once.
  std::span<const Station> corners() const override { return corners_; }
  /// Only for a cutter of radius 0 over a straight profile.
  bool straight() const override;

  /// z(x): the height of the cutter's centre.
  Length centre_height(Station x) const { return height(x) + radius_; }
  /// Where the cutter touches the strip.
  Station touches(Station x, section::Side side) const;
  Length radius() const { return radius_; }

  /// What the cutter leaves standing, min over x of z(x) - sqrt(R² - (x-u)²) - h(u): one
  /// for every hollow too tight for it and cut from within [from, to], with the most that is
  /// left in it, if that is at least so much (and a nanometre over a curved profile).
  std::vector<Rest> rests(Length at_least) const;

  /// The pieces over a straight profile; null over a curved one and for a radius of 0.
  const CutterPath* path() const { return path_ ? &*path_ : nullptr; }

 private:
  bool on_path(Station x) const { return path_ && x >= from_ && x <= to_; }
  std::vector<Station> corners_over_curve() const;
  Station takes_over(Station u) const;
  /// What lies under a cutter that touches two places at once.
  struct Hollow {
    Rest rest;
    Station right;  ///< the second place
  };
  Hollow hollow_over(Station u) const;
  bool reaches(Station u, double slope) const;
  std::vector<Station> unreached_places() const;

  const section::HeightCurve* profile_;
  Length radius_;
  Station from_, to_;
  ContactFinder finder_;
  std::optional<CutterPath> path_;
  std::vector<Station> corners_;
};

}  // namespace stripwright::machine
