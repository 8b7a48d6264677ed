#include "inspection/rod_pieces.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <set>

#include "files/map_reader.h"
#include "files/slug.h"

namespace stripwright::inspection {
namespace {

/// A mean of readings, and one of them.
struct Place {
  Length sum;
  double count = 0;
  std::size_t reading = 0;
};

/// Of one piece, by station in whole nanometres, within which stations are the same.
using Places = std::map<long long, Place>;

std::map<std::string, Places> places_of(std::vector<FlatsReading> const& readings) {
  std::map<std::string, Places> out;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    auto const& each = readings[i];
    const auto key = std::llround(each.at.from_zero() / kSamePlace);
    auto& place = out[each.piece][key];
    place.sum += each.flats;
    place.count += 1;
    place.reading = i;
  }
  return out;
}

}  // namespace

std::vector<PieceStretch> piece_stretches(std::vector<FlatsReading> const& readings) {
  std::vector<PieceStretch> out;
  for (auto const& each : readings) {
    const auto known =
        std::find_if(out.begin(), out.end(), [&](auto const& p) { return p.piece == each.piece; });
    if (known == out.end()) {
      out.push_back({each.piece, each.at, each.at});
    } else {
      known->from = std::min(known->from, each.at);
      known->to = std::max(known->to, each.at);
    }
  }
  std::stable_sort(out.begin(), out.end(), [](auto const& a, auto const& b) {
    return a.from < b.from || (a.from == b.from && a.to < b.to);
  });
  return out;
}

std::optional<PieceClash> clashing_pieces(std::vector<FlatsReading> const& readings) {
  constexpr double kAlike = 1.25;
  const auto pieces = places_of(readings);
  for (auto one = pieces.begin(); one != pieces.end(); ++one)
    for (auto other = std::next(one); other != pieces.end(); ++other) {
      struct Ratio {
        double ratio;
        std::size_t of_one, of_other;  // readings
        bool operator<(Ratio const& b) const { return ratio < b.ratio; }
      };
      std::vector<Ratio> ratios;
      for (auto const& [key, place] : one->second)
        if (const auto there = other->second.find(key); there != other->second.end())
          ratios.push_back({(there->second.sum / there->second.count) / (place.sum / place.count),
                            place.reading, there->second.reading});
      if (ratios.empty()) continue;
      std::sort(ratios.begin(), ratios.end());
      const auto [median, of_one, of_other] = ratios[ratios.size() / 2];
      if (median > kAlike) return PieceClash{one->first, other->first, of_other};
      if (median < 1 / kAlike) return PieceClash{other->first, one->first, of_one};
    }
  return std::nullopt;
}

std::vector<RodSection> sections_of_pieces(std::vector<PieceStretch> const& pieces) {
  std::vector<RodSection> out;
  std::set<std::string> slugs;
  for (auto const& piece : pieces) {
    if (!files::is_name(piece.piece) || !slugs.insert(files::file_slug(piece.piece)).second ||
        piece.to <= piece.from + kSamePlace)
      return {};
    if (!out.empty() && piece.from < out.back().to - kSamePlace) return {};
    out.push_back({piece.piece, piece.from, piece.to, 1});
  }
  for (std::size_t i = 1; i < out.size(); ++i) {
    const Length gap = out[i].from - out[i - 1].to;
    out[i - 1].to = out[i - 1].to + gap / 2;
    out[i].from = out[i - 1].to;
  }
  return out;
}

}  // namespace stripwright::inspection
