#include "culm/culm_picture.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace stripwright::culm {
namespace {

using report::Anchor;
using report::Canvas;
using report::Fill;
using report::Pen;
using report::Spot;

constexpr double kWidth = 420;
constexpr double kOutside = 170;  // the culm's radius on paper
constexpr Spot kCentre{kWidth / 2, 215};

/// A point at a radius and an angle from the top.
Spot at(double radius, double turn_rad) {
  return {kCentre.x + radius * std::sin(turn_rad), kCentre.y - radius * std::cos(turn_rad)};
}

/// The finished strip within the culm: its corners on the inner arc of the enamel, its apex towards
/// the middle. Lengths as shares of the culm's radius.
struct StripInCulm {
  double half_width;
  double face;  ///< from the culm's centre
  double apex;  ///< from the culm's centre, below 0 if beyond it
};

StripInCulm strip_in_culm(CulmPicture const& picture) {
  const Length radius = picture.diameter / 2;
  const section::RoundFace face{radius, picture.enamel, radius};
  const Length apex = -section::centre_from_apex(face, picture.strip_height);
  return {std::numbers::inv_sqrt3 * picture.strip_height / radius,
          (apex + picture.strip_height) / radius, apex / radius};
}

}  // namespace

Canvas draw_culm(CulmPicture const& picture) {
  constexpr double kHeight = 440;
  Canvas canvas(kWidth, kHeight, picture.title);
  canvas.text({kWidth / 2, 22}, picture.title, 14, Anchor::middle, false, true);
  const Length radius = picture.diameter / 2;
  const auto circle = [&](Length from_outside, Pen pen, Fill fill) {
    const double share = (radius - from_outside) / radius;
    if (share > 0) canvas.circle(kCentre, kOutside * share, pen, fill);
  };
  circle({}, Pen::thick, picture.power_fibre ? Fill::light : Fill::white);
  if (picture.power_fibre) circle(picture.enamel + *picture.power_fibre, Pen::dashed, Fill::white);
  if (picture.enamel > Length{}) circle(picture.enamel, Pen::fine, Fill::none);
  if (picture.wall) circle(*picture.wall, Pen::thin, Fill::white);
  const double inside =
      picture.wall ? kOutside * std::max(0.0, (radius - *picture.wall) / radius) : 0;
  const bool drawn = section::carries({radius, picture.enamel, radius}, picture.strip_height);
  for (std::size_t i = 0; i < picture.strips; ++i) {
    const double pitch_rad = 2 * std::numbers::pi / static_cast<double>(picture.strips);
    const double middle_rad = pitch_rad * static_cast<double>(i);
    canvas.line(at(inside, middle_rad + pitch_rad / 2), at(kOutside, middle_rad + pitch_rad / 2),
                Pen::fine);
    if (!drawn) continue;
    const auto strip = strip_in_culm(picture);
    const auto corner = [&](double side) {
      const double r = std::hypot(strip.half_width, strip.face);
      return at(kOutside * r, middle_rad + side * std::atan2(strip.half_width, strip.face));
    };
    canvas.polygon({at(kOutside * strip.apex, middle_rad), corner(-1), corner(1)}, Pen::thin,
                   Fill::hatched);
  }
  canvas.text({kWidth / 2, kHeight - 28}, picture.note, 11, Anchor::middle);
  canvas.text({kWidth / 2, kHeight - 12},
              picture.power_fibre ? "grey, outside the dashes: power fibre" : "", 11,
              Anchor::middle);
  return canvas;
}

}  // namespace stripwright::culm
