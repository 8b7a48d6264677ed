#include "sheet/strip_figure.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "section/triangle.h"
#include "units/format.h"

namespace stripwright::sheet {
namespace {

using report::Anchor;
using report::Fill;
using report::Pen;
using report::Spot;
using section::Step;

constexpr std::array kScales = {40, 30, 20, 15, 10, 8, 6, 5, 4, 3, 2, 1};
constexpr double kWidth = 480;
constexpr double kLetters = 14;
constexpr double kTop = 12;
constexpr double kNamesBelow = 58;
constexpr double kKeyLine = 22;
/// Where the key's second column begins.
constexpr double kKeyMiddle = 236;
/// Room that a strip's words want, however small the strip is.
constexpr double kLeastRoom = 130;
constexpr int kArcPieces = 24;

/// One strip: heights from the apex in millimetres, all for its moisture at milling.
struct StripShape {
  double finished;               ///< h_w
  double milled;                 ///< h_m
  double corner;                 ///< height of the outer corners as milled
  std::optional<double> centre;  ///< of the culm's arcs, where the face is round
  double outer_arc = 0;
  double inner_arc = 0;  ///< under the enamel
};

class StripDrawer {
 public:
  StripDrawer(section::StripProfile const& strip, Allowances const& allowances,
              std::vector<Station> const& places, std::vector<std::string> const& names, Unit unit)
      : allowances_(allowances), names_(names), unit_(unit) {
    for (const Station at : places) {
      ledgers_.push_back(strip.ledger(at));
      shapes_.push_back(shape(strip, ledgers_.back()));
    }
    for (auto const& one : shapes_) tallest_ = std::max(tallest_, one.milled);
    for (const int scale : kScales) {
      scale_ = scale;
      if (total_width() <= kWidth) break;
    }
  }

  StripFigure draw() {
    const double apex = kTop + units(tallest_);
    report::Canvas canvas(
        kWidth, apex + kNamesBelow + kKeyLine * 3.2,
        fmt::format("Sections of the strip at {}, {} to 1", fmt::join(names_, ", "), scale_));
    double left = 0;
    const double spare = (kWidth - total_width()) / static_cast<double>(shapes_.size());
    for (std::size_t i = 0; i < shapes_.size(); ++i) {
      const double room = room_of(shapes_[i]) + spare;
      one(canvas, i, {left + room / 2, apex});
      left += room;
    }
    key(canvas, apex + kNamesBelow);
    return {std::move(canvas), scale_};
  }

 private:
  double units(double millimetres) const { return millimetres * scale_ * kStripFigureUnits; }
  double room_of(StripShape const& one) const {
    return std::max(kLeastRoom, units(2 * std::numbers::inv_sqrt3 * one.corner) + 16);
  }
  double total_width() const {
    double sum = 0;
    for (auto const& one : shapes_) sum += room_of(one);
    return sum;
  }

  static StripShape shape(section::StripProfile const& strip, section::Ledger const& ledger) {
    StripShape out{ledger[Step::strip_at_milling].in_millimetres(),
                   ledger[Step::strip_milled].in_millimetres(),
                   ledger[Step::side_milled].in_millimetres(),
                   {}};
    auto const& face = strip.rules().round_face();
    if (face && ledger.culm_carries) {
      out.centre =
          section::centre_from_apex(*face, ledger[Step::strip_at_milling]).in_millimetres();
      out.outer_arc = face->arc_radius.in_millimetres();
      out.inner_arc = (face->culm_radius - face->enamel).in_millimetres();
    }
    return out;
  }

  /// A point of the section: to the right of the apex and outwards from it, in millimetres.
  Spot spot(Spot apex, double right, double outwards) const {
    return {apex.x + units(right), apex.y - units(outwards)};
  }
  /// The face at a height over the apex: straight, or along an arc between the flanks.
  std::vector<Spot> flat(Spot apex, double height) const {
    const double half = height * std::numbers::inv_sqrt3;
    return {spot(apex, -half, height), spot(apex, half, height)};
  }
  std::vector<Spot> arc(Spot apex, double centre, double radius, double corner) const {
    const double half = corner * std::numbers::inv_sqrt3;
    std::vector<Spot> out;
    for (int i = 0; i <= kArcPieces; ++i) {
      const double x = half * (2.0 * i / kArcPieces - 1);
      out.push_back(spot(apex, x, centre + std::sqrt(radius * radius - x * x)));
    }
    return out;
  }
  static std::vector<Spot> between(std::vector<Spot> upper, std::vector<Spot> const& lower) {
    upper.insert(upper.end(), lower.rbegin(), lower.rend());
    return upper;
  }

  void one(report::Canvas& canvas, std::size_t i, Spot apex) {
    auto const& shape = shapes_[i];
    const auto face = flat(apex, shape.finished);
    auto outer = shape.centre ? arc(apex, *shape.centre, shape.outer_arc, shape.corner)
                              : flat(apex, shape.milled);
    glue(canvas, apex, shape.finished);
    if (shape.centre) {
      const auto inner = arc(apex, *shape.centre, shape.inner_arc, shape.finished);
      canvas.polygon(between(inner, face), Pen::fine, Fill::light);
      crown_ = true;
      if (shape.outer_arc > shape.inner_arc) {
        canvas.polygon(between(outer, inner), Pen::fine, Fill::hatched);
        enamel_ = true;
      }
    } else if (shape.milled > shape.finished) {
      canvas.polygon(between(outer, face), Pen::fine, Fill::hatched);
      enamel_ = true;
    }
    if (const double off = allowances_.cleanup.in_millimetres(); off > 0) {
      canvas.polygon(between(face, flat(apex, shape.finished - off)), Pen::fine, Fill::black);
      cleanup_ = true;
    }
    outer.insert(outer.begin(), apex);
    canvas.polygon(outer, Pen::thin, Fill::none);
    canvas.text({apex.x, apex.y + 20}, names_[i], kLetters, Anchor::middle, false, true);
    canvas.text({apex.x, apex.y + 38},
                fmt::format("a {}", format_length(ledgers_[i][Step::strip_milled], unit_,
                                                  bench_decimals(unit_))),
                kLetters, Anchor::middle);
  }

  /// Half a glue line outside each flank.
  void glue(report::Canvas& canvas, Spot apex, double height) {
    const double half = allowances_.glue_line.in_millimetres() / 2;
    if (half <= 0) return;
    glue_ = true;
    const double corner = height * std::numbers::inv_sqrt3;
    const double right = half * std::numbers::sqrt3 / 2;
    for (const double side : {-1.0, 1.0})
      canvas.polygon({spot(apex, 0, 0), spot(apex, side * corner, height),
                      spot(apex, side * (corner + right), height - half / 2),
                      spot(apex, side * right, -half / 2)},
                     Pen::fine, Fill::dark);
  }

  void key(report::Canvas& canvas, double y) const {
    canvas.line({20, y + 10}, {20 + units(bar_millimetres()), y + 10}, Pen::thick);
    canvas.text({30 + units(bar_millimetres()), y + 15},
                fmt::format("{} mm of strip; {} to 1", format_short(bar_millimetres(), 1), scale_),
                kLetters);
    int shown = 0;
    const auto entry = [&](bool matters, Fill fill, std::string_view words) {
      if (!matters) return;
      const double x = shown % 2 == 0 ? 20 : kKeyMiddle;
      const double top = y + kKeyLine * (1 + shown++ / 2);
      canvas.rectangle({x, top + 3}, 26, 13, Pen::thin, fill);
      canvas.text({x + 34, top + 15}, words, kLetters);
    };
    entry(enamel_, Fill::hatched, "enamel");
    entry(crown_, Fill::light, "crown, off with the enamel");
    entry(cleanup_, Fill::black, "clean-up after gluing");
    entry(glue_, Fill::dark, "half a glue line a flank");
  }
  double bar_millimetres() const { return scale_ >= 20 ? 1 : scale_ >= 8 ? 2 : 5; }

  Allowances const& allowances_;
  std::vector<std::string> const& names_;
  Unit unit_;
  std::vector<section::Ledger> ledgers_;
  std::vector<StripShape> shapes_;
  double tallest_ = 0;
  int scale_ = 1;
  bool enamel_ = false;
  bool crown_ = false;
  bool cleanup_ = false;
  bool glue_ = false;
};

}  // namespace

StripFigure strip_figure(section::StripProfile const& strip, Allowances const& allowances,
                         std::vector<Station> const& places, std::vector<std::string> const& names,
                         Unit unit) {
  return StripDrawer(strip, allowances, places, names, unit).draw();
}

}  // namespace stripwright::sheet
