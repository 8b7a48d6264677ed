#include "selection/pictures.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "report/ticks.h"
#include "units/format.h"

namespace stripwright::selection {
namespace {

using report::Anchor;
using report::Canvas;
using report::Fill;
using report::Pen;
using report::Spot;

/// A name that fits its place.
std::string fitting(std::string_view name, std::size_t most) {
  return name.size() <= most ? std::string(name) : std::string(name.substr(0, most - 2)) + "..";
}

/// Decimals of places along the rod, which nobody marks finer.
int places_along(Unit unit) { return unit == Unit::inch ? 2 : 0; }

std::string moved(Length shift, Unit unit) {
  if (abs(shift) < kSamePlace) return "not moved";
  return fmt::format("{} {} to {}", format_short(in_unit(abs(shift), unit), places_along(unit)),
                     unit_name(unit), shift > Length{} ? "tip" : "butt");
}

/// A point of the ring: place 1 on top, then clockwise.
Spot round_the_ring(Spot centre, double radius, double place) {
  const double turn = place * std::numbers::pi / 3;
  return {centre.x + radius * std::sin(turn), centre.y - radius * std::cos(turn)};
}

constexpr double kRingWidth = 400;
constexpr double kCorner = 120;  // centre to corner

}  // namespace

RingPicture picture_of(std::string title, Pool const& pool, PoolOrder const& order,
                       Ring const& ring, Unit unit) {
  RingPicture out;
  out.title = std::move(title);
  out.section = order.targets->section();
  out.rules = order.rules;
  out.unit = unit;
  for (std::size_t i = 0; i < kRingSize; ++i) {
    auto const& candidate = pool.candidates[ring[i]];
    out.names[i] = pool.strips[candidate.strip].name;
    out.shifts[i] = candidate.shift;
    for (const auto node : candidate.nodes) out.nodes[i].emplace_back(to_length(node));
    for (const auto node : candidate.nodes_beyond)
      out.nodes_beyond[i].emplace_back(to_length(node));
  }
  return out;
}

Canvas draw_ring(RingPicture const& picture) {
  constexpr double kHeight = 404;
  Canvas canvas(kRingWidth, kHeight, picture.title);
  canvas.text({kRingWidth / 2, 22}, picture.title, 14, Anchor::middle, false, true);
  const Spot centre{kRingWidth / 2, 200};
  const double inner = kCorner * std::numbers::sqrt3 / 2;
  for (std::size_t i = 0; i < kRingSize; ++i) {
    const auto place = static_cast<double>(i);
    canvas.polygon({centre, round_the_ring(centre, kCorner, place - 0.5),
                    round_the_ring(centre, kCorner, place + 0.5)},
                   Pen::thin, i % 2 == 0 ? Fill::light : Fill::white);
    const Spot name = round_the_ring(centre, inner * 0.68, place);
    canvas.text({name.x, name.y + 5}, fitting(picture.names[i], 8), 16, Anchor::middle, false,
                true);
    const Spot outside = round_the_ring(centre, inner + (i % 3 == 0 ? 30 : 48), place);
    canvas.text({outside.x, outside.y - 2}, fmt::format("{}", i + 1), 13, Anchor::middle);
    canvas.text({outside.x, outside.y + 12}, moved(picture.shifts[i], picture.unit), 11,
                Anchor::middle);
  }
  canvas.text({kRingWidth / 2, kHeight - 30},
              "seen from the butt; opposite strips are one across flats:", 11, Anchor::middle);
  canvas.text({kRingWidth / 2, kHeight - 14}, "f1 over 1 and 4, f2 over 2 and 5, f3 over 3 and 6",
              11, Anchor::middle);
  return canvas;
}

namespace {

class Unrolled {
 public:
  explicit Unrolled(RingPicture const& picture)
      : picture_(picture),
        canvas_(kWidth, kTop + kBand * static_cast<double>(kRows) + kBelow, picture.title) {}

  Canvas draw() {
    canvas_.text({kLeft, 20}, picture_.title, 14, Anchor::start, false, true);
    keep_clear();
    for (std::size_t row = 0; row < kRows; ++row) band(row);
    axis();
    return std::move(canvas_);
  }

 private:
  static constexpr double kWidth = 720;
  static constexpr double kLeft = 120;
  static constexpr double kRight = 700;
  static constexpr double kTop = 36;
  static constexpr double kBand = 30;
  static constexpr double kBelow = 62;
  static constexpr std::size_t kRows = kRingSize + 1;

  /// As much beyond the ends is shown as a node there counts.
  double x(Station at) const {
    const Length beyond = picture_.rules.keep_clear;
    const double share =
        (at - (picture_.section.from - beyond)) / (picture_.section.length() + beyond + beyond);
    return kLeft + std::clamp(share, 0.0, 1.0) * (kRight - kLeft);
  }
  double from() const { return x(picture_.section.from); }
  double to() const { return x(picture_.section.to); }
  double y(std::size_t row) const { return kTop + kBand * static_cast<double>(row); }

  void keep_clear() {
    for (const Station place : picture_.rules.places) {
      const double from = x(place - picture_.rules.keep_clear);
      const double to = x(place + picture_.rules.keep_clear);
      canvas_.rectangle({from, kTop}, to - from, kBand * static_cast<double>(kRows), Pen::fine,
                        Fill::light);
    }
  }

  void band(std::size_t row) {
    const std::size_t i = row % kRingSize;
    const bool again = row == kRingSize;
    const auto name = picture_.names[i].empty()
                          ? fmt::format("strip {}", i + 1)
                          : fmt::format("{}  {}", i + 1, fitting(picture_.names[i], 10));
    canvas_.text({kLeft - 8, y(row) + 13}, name + (again ? ", again" : ""), 12, Anchor::end);
    canvas_.text({kLeft - 8, y(row) + 25}, moved(picture_.shifts[i], picture_.unit), 9,
                 Anchor::end);
    canvas_.rectangle({from(), y(row)}, to() - from(), kBand, again ? Pen::dashed : Pen::thin,
                      Fill::none);
    for (const Station at : picture_.nodes[i]) node(at, row, Pen::thick);
    for (const Station at : picture_.nodes_beyond[i]) node(at, row, Pen::dotted);
  }

  void node(Station at, std::size_t row, Pen pen) {
    canvas_.line({x(at), y(row) + 2}, {x(at), y(row) + kBand - 2}, pen);
    const bool near_end = x(at) > kRight - 30;
    canvas_.text({x(at) + (near_end ? -4 : 4), y(row) + 13},
                 format_short(in_unit(at.from_zero(), picture_.unit), places_along(picture_.unit)),
                 9, near_end ? Anchor::end : Anchor::start);
  }

  bool any_beyond() const {
    return std::any_of(picture_.nodes_beyond.begin(), picture_.nodes_beyond.end(),
                       [](auto const& nodes) { return !nodes.empty(); });
  }

  void axis() {
    const double base = y(kRows);
    constexpr int kTicks = 10;
    for (auto const& tick :
         report::decimal_ticks(in_unit(picture_.section.from.from_zero(), picture_.unit),
                               in_unit(picture_.section.to.from_zero(), picture_.unit), kTicks)) {
      const double at = x(Station(of_unit(tick.at, picture_.unit)));
      canvas_.line({at, base}, {at, base + 5}, Pen::thin);
      canvas_.text({at, base + 18}, tick.label, 10, Anchor::middle);
    }
    canvas_.text(
        {(kLeft + kRight) / 2, base + 34},
        fmt::format("station, {}; a stroke is a node, grey is to be kept clear of them{}",
                    unit_name(picture_.unit), any_beyond() ? "; dots: a node that is cut off" : ""),
        11, Anchor::middle);
    const double gap = x(picture_.section.from + picture_.rules.min_gap) - from();
    canvas_.line({from(), base + 50}, {from() + gap, base + 50}, Pen::thick);
    canvas_.text({from() + gap + 6, base + 54},
                 fmt::format("{} {}: so far apart at least, of neighbours",
                             format_short(in_unit(picture_.rules.min_gap, picture_.unit),
                                          places_along(picture_.unit)),
                             unit_name(picture_.unit)),
                 10);
  }

  RingPicture const& picture_;
  Canvas canvas_;
};

}  // namespace

Canvas draw_unrolled(RingPicture const& picture) { return Unrolled(picture).draw(); }

}  // namespace stripwright::selection
