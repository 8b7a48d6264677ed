#include "culm/culm_picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "units/format.h"

namespace stripwright::culm {
namespace {

using report::Anchor;
using report::Canvas;
using report::Fill;
using report::Pen;
using report::Spot;

constexpr double kWidth = 420;
constexpr double kMostRadius = 170;  // of the culm on paper
constexpr Spot kCentre{kWidth / 2, 215};
constexpr double kLine = 16;
constexpr double kLetters = 11;

/// A point at a radius and an angle from the top.
Spot at(double radius, double turn_rad) {
  return {kCentre.x + radius * std::sin(turn_rad), kCentre.y - radius * std::cos(turn_rad)};
}

/// `paper` to `culm`.
struct Scale {
  int paper;
  int culm;

  double units(Length on_culm) const {
    return on_culm.in_millimetres() * paper / culm * kCulmPictureScale;
  }
};

/// The largest of some round scales at which the culm has room; the smallest is enough for the
/// stoutest culm there can be, 200 mm.
Scale scale_for(Length diameter) {
  constexpr Scale kScales[] = {{5, 1}, {4, 1}, {3, 1}, {2, 1}, {3, 2}, {1, 1}, {2, 3}, {1, 2}};
  for (auto const& scale : kScales)
    if (scale.units(diameter / 2) <= kMostRadius) return scale;
  return {1, 3};
}

std::string measure(Length length, Unit unit) {
  return fmt::format("{} {}", format_short(in_unit(length, unit), unit == Unit::inch ? 3 : 1),
                     unit_name(unit));
}

/// What the culm measures, in the maker's unit.
std::string measures(CulmPicture const& picture) {
  auto out = measure(picture.diameter, picture.unit) + " outside";
  if (picture.wall) out += ", wall " + measure(*picture.wall, picture.unit);
  if (picture.power_fibre) out += ", power fibre " + measure(*picture.power_fibre, picture.unit);
  return out;
}

/// A bar of a round length and the scale in words.
void scale_bar(Canvas& canvas, Scale scale, Unit unit, double y) {
  const Length bar = unit == Unit::inch ? Length::inches(0.5) : Length::millimetres(10);
  const double wide = scale.units(bar);
  const auto words = fmt::format("{}, drawn {} to {}", measure(bar, unit), scale.paper, scale.culm);
  constexpr double kLetterWide = 6.2;
  const double left = (kWidth - wide - 8 - kLetterWide * static_cast<double>(words.size())) / 2;
  canvas.line({left, y}, {left + wide, y}, Pen::thick);
  for (const double x : {left, left + wide}) canvas.line({x, y - 4}, {x, y + 4}, Pen::thin);
  canvas.text({left + wide + 8, y + 4}, words, kLetters);
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
  const auto scale = scale_for(picture.diameter);
  const double outside = scale.units(picture.diameter / 2);
  constexpr double kHeight = 476;
  Canvas canvas(kWidth, kHeight, picture.title);
  canvas.text({kWidth / 2, 22}, picture.title, 14, Anchor::middle, false, true);
  const Length radius = picture.diameter / 2;
  const auto circle = [&](Length from_outside, Pen pen, Fill fill) {
    const double share = (radius - from_outside) / radius;
    if (share > 0) canvas.circle(kCentre, outside * share, pen, fill);
  };
  circle({}, Pen::thick, picture.power_fibre ? Fill::light : Fill::white);
  if (picture.power_fibre) circle(picture.enamel + *picture.power_fibre, Pen::dashed, Fill::white);
  if (picture.enamel > Length{}) circle(picture.enamel, Pen::fine, Fill::none);
  if (picture.wall) circle(*picture.wall, Pen::thin, Fill::white);
  const double inside =
      picture.wall ? outside * std::max(0.0, (radius - *picture.wall) / radius) : 0;
  const bool drawn = section::carries({radius, picture.enamel, radius}, picture.strip_height);
  for (std::size_t i = 0; i < picture.strips; ++i) {
    const double pitch_rad = 2 * std::numbers::pi / static_cast<double>(picture.strips);
    const double middle_rad = pitch_rad * static_cast<double>(i);
    canvas.line(at(inside, middle_rad + pitch_rad / 2), at(outside, middle_rad + pitch_rad / 2),
                Pen::fine);
    if (!drawn) continue;
    const auto strip = strip_in_culm(picture);
    const auto corner = [&](double side) {
      const double r = std::hypot(strip.half_width, strip.face);
      return at(outside * r, middle_rad + side * std::atan2(strip.half_width, strip.face));
    };
    canvas.polygon({at(outside * strip.apex, middle_rad), corner(-1), corner(1)}, Pen::thin,
                   Fill::hatched);
  }
  double y = kHeight - 4 * kLine - 2;
  const auto words = [&](std::string const& text) {
    canvas.text({kWidth / 2, y}, text, kLetters, Anchor::middle);
    y += kLine;
  };
  words(measures(picture));
  words(picture.note);
  if (picture.power_fibre) words("grey, outside the dashes: power fibre");
  scale_bar(canvas, scale, picture.unit, y + 6);
  return canvas;
}

}  // namespace stripwright::culm
