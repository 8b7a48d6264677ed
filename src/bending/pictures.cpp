#include "bending/pictures.h"

#include <fmt/format.h>

#include <algorithm>

#include "report/ticks.h"

namespace stripwright::bending {
namespace {

using report::Anchor;
using report::Canvas;
using report::Fill;
using report::Pen;
using report::Spot;

constexpr double kWidth = 480;
constexpr double kLeft = 60;
constexpr double kRight = 20;
constexpr double kTop = 20;
constexpr double kFoot = 48;
constexpr double kLetters = 14;
constexpr double kNameLine = 20;
constexpr double kKey = 40;  ///< length of a line in the legend
constexpr int kTicks = 6;
constexpr int kTicksDown = 4;

/// What is to be drawn, in the unit; `down` grows downwards.
struct Reach {
  double out = 0, up = 0, down = 0;
};

Reach reach_of(std::vector<Outline> const& rods, Unit unit) {
  Reach reach;
  for (auto const& rod : rods)
    for (std::size_t i = 0; i < rod.bent->places.size(); ++i) {
      auto const& place = rod.bent->places[i];
      const Length off = rod.give_or_take.empty() ? Length{} : rod.give_or_take[i];
      reach.out = std::max(reach.out, in_unit(place.out, unit));
      reach.down = std::max(reach.down, in_unit(place.down + off, unit));
      reach.up = std::max(reach.up, in_unit(off - place.down, unit));
    }
  // Some depth for a rod that hardly bends.
  constexpr double kLeast = 0.15;
  reach.down = std::max(reach.down, kLeast * reach.out);
  return reach;
}

/// What the rod may as well look like: up to so much below each of its places, and above.
template <class ToSpot>
std::vector<Spot> area_of(Outline const& rod, Unit unit, ToSpot const& spot) {
  std::vector<Spot> out;
  auto const& places = rod.bent->places;
  const auto add = [&](std::size_t i, Length off) {
    out.push_back(spot(in_unit(places[i].out, unit), in_unit(places[i].down + off, unit)));
  };
  for (std::size_t i = 0; i < places.size(); ++i) add(i, rod.give_or_take[i]);
  for (std::size_t i = places.size(); i-- > 0;) add(i, -rod.give_or_take[i]);
  return out;
}

}  // namespace

Canvas draw_shapes(std::string const& title, std::vector<Outline> const& rods, Unit unit) {
  const Reach reach = reach_of(rods, unit);
  const double scale = (kWidth - kLeft - kRight) / reach.out;
  const double bottom = kTop + scale * (reach.up + reach.down);
  const auto uncertain = static_cast<std::size_t>(std::count_if(
      rods.begin(), rods.end(), [](Outline const& rod) { return !rod.give_or_take.empty(); }));
  const double height = bottom + kFoot + kNameLine * static_cast<double>(rods.size() + uncertain);
  const auto spot = [&](double out, double down) {
    return Spot{kLeft + scale * out, kTop + scale * (reach.up + down)};
  };
  Canvas canvas(kWidth, height, title);
  for (auto const& rod : rods)
    if (!rod.give_or_take.empty())
      canvas.polygon(area_of(rod, unit, spot), Pen::fine, Fill::hatched);
  const double right = kWidth - kRight;
  for (auto const& tick : report::decimal_ticks(0, reach.out, kTicks)) {
    const double x = spot(tick.at, 0).x;
    canvas.line({x, kTop}, {x, bottom}, Pen::fine);
    canvas.text({x, bottom + kLetters + 2}, tick.label, kLetters, Anchor::middle);
  }
  for (auto const& tick : report::decimal_ticks(-reach.up, reach.down, kTicksDown)) {
    const double y = spot(0, tick.at).y;
    canvas.line({kLeft, y}, {right, y}, Pen::fine);
    canvas.text({kLeft - 13, y + kLetters / 3}, tick.label, kLetters, Anchor::end);
  }
  canvas.text({kLeft, bottom + 2 * kLetters + 6},
              fmt::format("out from the clamp and down from it, {}", unit_name(unit)), kLetters);
  // The clamp: a black block behind the rod's end.
  const Spot clamp = spot(0, 0);
  canvas.rectangle({clamp.x - 8, clamp.y - 10}, 8, 20, Pen::thin, Fill::black);
  double legend = bottom + kFoot + kNameLine / 2;
  for (auto const& rod : rods) {
    std::vector<Spot> line;
    for (auto const& place : rod.bent->places)
      line.push_back(spot(in_unit(place.out, unit), in_unit(place.down, unit)));
    canvas.polyline(line, rod.pen);
    canvas.line({kLeft, legend}, {kLeft + kKey, legend}, rod.pen);
    canvas.text({kLeft + kKey + 8, legend + kLetters / 3}, rod.name, kLetters);
    legend += kNameLine;
    if (rod.give_or_take.empty()) continue;
    canvas.rectangle({kLeft, legend - 7}, kKey, 14, Pen::fine, Fill::hatched);
    canvas.text({kLeft + kKey + 8, legend + kLetters / 3},
                fmt::format("{}, as far as the readings tell (95 %)", rod.name), kLetters);
    legend += kNameLine;
  }
  return canvas;
}

}  // namespace stripwright::bending
