#pragma once

#include <array>
#include <functional>
#include <memory>
#include <optional>

#include "inspection/conformance.h"
#include "inspection/stage.h"
#include "section/strip_profile.h"

namespace stripwright::inspection {

/// What one height shall be at one place.
struct Target {
  Length value;
  Limits limits;
  Length flats_bare;             ///< the finished section's across flats there
  double flats_per_reading = 1;  ///< how much the flats change for a change of the reading
  /// How much too wide the flats come out by a reading, where they do not go evenly with it, and
  /// nothing for a reading that tells nothing of them; empty where they do.
  std::function<std::optional<Length>(Length reading)> uneven_flats = {};

  /// How much too wide the finished section comes out across flats, were all of it as this
  /// reading.
  Length flats_off(Length reading) const {
    const auto uneven = uneven_flats ? uneven_flats(reading) : std::nullopt;
    return uneven.value_or((reading - value) * flats_per_reading);
  }
};

/// The targets of the heights that are read at a place, in the order of `heights_of`; none
/// for a height that cannot be read there.
using PlaceTargets = std::array<std::optional<Target>, kMostHeights>;

/// What the heights of one section's strips, or its flats, shall be along the rod.
class Targets {
 public:
  virtual ~Targets() = default;

  virtual PlaceTargets at(Station station) const = 0;
  virtual RodSection const& section() const = 0;
  /// Where readings can lie: of a strip its ends, spare included.
  virtual Station first() const = 0;
  virtual Station last() const = 0;
  /// Where a place on the machine lies along the rod; only the targets of a groove know.
  virtual Station station_at(MachinePosition at) const;
};

/// The lie of a strip's outer face when it was measured, for its angles.
struct FaceMeasured {
  std::optional<Length> arc_radius;  ///< none for a flat face
  Length apex_relief;                ///< what is missing from height a at the apex
};

/// Targets of strips and sections by the ledger, at any stage but `groove`:
///   milled     a: h_m; b, c: side_milled
///   ready      a: (h_r + p) k - p, p the apex relief; b, c: the face's sides, times k, with
///              k = (1 + K (M_now - M_service)) / (1 + K (M_mill - M_service)), 1 unless the
///              moisture has changed since milling
///   glued, bare, varnished  the flats: F, D_bare, D_bare + 2 v, and D_bare K (M_now - M_service)
///              where the moisture when they were measured is given: cane swells, glue and varnish
///              do not. What that is for the glue lines in D_bare, and for what is still to come
///              off, is about a thousandth of a millimetre, and left out.
/// The limits are the strip's or the flats' tolerance.
class StageTargets final : public Targets {
 public:
  /// `percent_now` is the moisture when it was measured, for every stage but `milled`; left out
  /// strips are as milled, and sections as in service.
  StageTargets(std::shared_ptr<const section::StripProfile> profile, Stage stage, Shop const& shop,
               std::optional<double> percent_now);

  PlaceTargets at(Station station) const override;
  RodSection const& section() const override { return profile_->section(); }
  Station first() const override;
  Station last() const override;

  Stage stage() const { return stage_; }
  section::StripProfile const& profile() const { return *profile_; }
  FaceMeasured face() const;

 private:
  bool face_as_milled() const;
  std::array<Length, kMostHeights> values(section::Ledger const& ledger) const;

  std::shared_ptr<const section::StripProfile> profile_;
  Stage stage_;
  Tolerance tolerance_;
  Spare spare_;
  Length varnish_;
  Length apex_relief_;
  bool face_made_flat_before_gluing_;
  double swollen_since_milling_ = 1;  // k, of strips
  double swollen_in_service_ = 0;     // K (M_now - M_service), of sections
};

}  // namespace stripwright::inspection
