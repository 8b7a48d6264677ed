#include "sheet/check_figures.h"

#include <fmt/format.h>

#include <algorithm>

#include "units/format.h"

namespace stripwright::sheet {
namespace {

using inspection::Verdict;

/// Lines that get a name: more would need a search for each.
constexpr std::size_t kMostNamed = 6;
constexpr std::size_t kMostRows = 30;
constexpr std::size_t kMostColumns = 24;

std::vector<CheckedPiece const*> of_section(CheckOrder const& order, std::size_t section) {
  std::vector<CheckedPiece const*> out;
  for (auto const& piece : order.pieces)
    if (piece.section == section) out.push_back(&piece);
  return out;
}

/// Up to so many of those that are not right, the farthest off first.
std::vector<CheckedPiece const*> worth_naming(std::vector<CheckedPiece const*> pieces) {
  std::erase_if(pieces, [](auto const* piece) { return piece->verdict == Verdict::right; });
  std::stable_sort(pieces.begin(), pieces.end(), [](auto const* one, auto const* other) {
    return farthest(*one) > farthest(*other);
  });
  if (pieces.size() > kMostNamed) pieces.resize(kMostNamed);
  return pieces;
}

report::GridSign sign_of(Verdict verdict) {
  switch (verdict) {
    case Verdict::right:
      return report::GridSign::fine;
    case Verdict::thick:
      return report::GridSign::over;
    case Verdict::thin:
      return report::GridSign::under;
    case Verdict::unsure:
      return report::GridSign::unknown;
  }
  return report::GridSign::none;
}

/// All places where one of the pieces was read, increasing, each once.
std::vector<Length> places_of(std::vector<CheckedPiece const*> const& pieces) {
  std::vector<Length> out;
  for (auto const* piece : pieces)
    for (auto const& place : piece->places) out.push_back(place.at);
  std::sort(out.begin(), out.end());
  out.erase(
      std::unique(out.begin(), out.end(), [](Length a, Length b) { return same_place(a, b); }),
      out.end());
  return out;
}

std::vector<report::GridSign> signs_of(CheckedPiece const& piece,
                                       std::vector<Length> const& places) {
  std::vector<report::GridSign> out(places.size(), report::GridSign::none);
  for (std::size_t i = 0; i < places.size(); ++i)
    for (auto const& place : piece.places)
      if (same_place(place.at, places[i])) out[i] = sign_of(place.verdict);
  return out;
}

template <class Item>
std::vector<Item> part(std::vector<Item> const& all, std::size_t from, std::size_t most) {
  const auto begin = all.begin() + static_cast<std::ptrdiff_t>(from);
  return {begin, begin + static_cast<std::ptrdiff_t>(std::min(most, all.size() - from))};
}

}  // namespace

report::Plot deviations_figure(CheckOrder const& order, std::size_t section) {
  const Unit unit = order.head.unit;
  report::Plot plot{
      fmt::format("Deviations from the target, section {}", order.sections[section]),
      fmt::format("{}, {}", order.place_name, unit_name(unit)),
      fmt::format("off target, {}", unit_name(unit)),
      {},
      {{in_unit(order.allowed.low, unit), in_unit(order.allowed.high, unit), "limits"}},
      {},
      true,
      false};
  const auto pieces = of_section(order, section);
  const auto named = worth_naming(pieces);
  constexpr report::Pen kPens[] = {report::Pen::thick, report::Pen::dashed, report::Pen::dotted};
  const auto add = [&](CheckedPiece const& piece, std::string name, report::Pen pen) {
    const bool dots = !name.empty() && piece.places.size() <= kMostColumns;
    report::Series series{std::move(name), {}, pen, dots};
    for (auto const& place : piece.places)
      series.points.push_back({in_unit(place.at, unit), in_unit(place.deviation, unit)});
    plot.series.push_back(std::move(series));
  };
  for (auto const* piece : pieces)
    if (std::find(named.begin(), named.end(), piece) == named.end())
      add(*piece, "", report::Pen::fine);
  for (std::size_t i = 0; i < named.size(); ++i) add(*named[i], named[i]->name, kPens[i % 3]);
  return plot;
}

std::vector<report::GridMap> verdict_maps(CheckOrder const& order, std::size_t section) {
  const Unit unit = order.head.unit;
  const auto pieces = of_section(order, section);
  const auto all_places = places_of(pieces);
  std::vector<report::GridMap> out;
  for (std::size_t c = 0; c < all_places.size(); c += kMostColumns)
    for (std::size_t r = 0; r < pieces.size(); r += kMostRows) {
      const auto places = part(all_places, c, kMostColumns);
      report::GridMap map{fmt::format("Verdicts by {} and strip, section {}", order.place_name,
                                      order.sections[section]),
                          fmt::format("{}, {}", order.place_name, unit_name(unit)),
                          {},
                          {},
                          {},
                          order.verdict_words};
      for (const Length at : places)
        map.columns.push_back(format_short(in_unit(at, unit), unit == Unit::inch ? 3 : 1));
      for (auto const* piece : part(pieces, r, kMostRows)) {
        map.rows.push_back(piece->name);
        map.signs.push_back(signs_of(*piece, places));
      }
      out.push_back(std::move(map));
    }
  return out;
}

}  // namespace stripwright::sheet
