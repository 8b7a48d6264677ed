#include "selection/candidates.h"

#include <algorithm>
#include <cmath>

#include "diagnostics/problem.h"

namespace stripwright::selection {
namespace {

using inspection::Piece;
using section::Step;

double swelling(Shop const& shop, std::optional<double> percent_now) {
  auto const& moisture = shop.allowances.moisture;
  if (!moisture) return 1;
  return moisture->swelling(percent_now.value_or(moisture->percent_at_milling));
}

class PoolMaker {
 public:
  PoolMaker(inspection::Readings const& readings, PoolOrder const& order)
      : readings_(readings),
        order_(order),
        k_mill_(swelling(*order.shop, std::nullopt)),
        k_now_(swelling(*order.shop, order.percent_moisture_now)) {
    out_.pool.stations = order.stations.size();
    out_.pool.min_gap = to_nanometres(order.rules.min_gap);
    for (const Length shift : order.shifts) {
      course_.emplace_back();
      for (const Station x : order.stations)
        course_.back().push_back((whole_strip(x + shift) - whole_strip(x)) / k_mill_);
    }
  }

  SectionPool make(std::vector<std::size_t> pieces) {
    std::stable_sort(pieces.begin(), pieces.end(), [&](std::size_t a, std::size_t b) {
      return name_before(readings_.pieces[a].name, readings_.pieces[b].name);
    });
    std::size_t with_density = 0;
    for (const auto i : pieces) {
      auto const& piece = readings_.pieces[i];
      if (const auto why = left_out(piece)) {
        out_.others.push_back({i, *why});
        continue;
      }
      add(piece);
      out_.piece_of.push_back(i);
      if (out_.pool.strips.back().density) ++with_density;
    }
    out_.some_densities = with_density > 0 && with_density < out_.pool.strips.size();
    return std::move(out_);
  }

 private:
  Length whole_strip(Station x) const {
    return order_.targets->profile().ledger(x)[Step::strip_ready] +
           order_.shop->allowances.apex_relief;
  }

  std::optional<LeftOut> left_out(Piece const& piece) const {
    if (std::none_of(piece.places.begin(), piece.places.end(),
                     [](auto const& place) { return place.heights[0].read(); }))
      return LeftOut::without_height;
    const DeviationLine line(piece, *order_.targets);
    auto const& section = order_.targets->section();
    constexpr double kMostUnread = 0.25;
    const Length most = section.length() * kMostUnread;
    if (line.first() - section.from > most || section.to - line.last() > most)
      return LeftOut::too_short;
    if (std::none_of(order_.shifts.begin(), order_.shifts.end(),
                     [&](Length shift) { return admitted(piece, shift); }))
      return LeftOut::not_right;
    return std::nullopt;
  }

  /// Whether all readings are right that lie within the section with this shift.
  bool admitted(Piece const& piece, Length shift) const {
    if (order_.not_right_too) return true;
    auto const& section = order_.targets->section();
    return std::all_of(piece.places.begin(), piece.places.end(), [&](auto const& place) {
      const Station at = place.at - shift;
      if (at < section.from - kSamePlace || at > section.to + kSamePlace) return true;
      return inspection::judge(place, order_.targets->at(at), readings_.kind, order_.judge)
                 .verdict() == inspection::Verdict::right;
    });
  }

  void add(Piece const& piece) {
    const std::size_t strip = out_.pool.strips.size();
    PoolStrip added{piece.name, std::nullopt};
    if (const auto known = order_.densities.find(piece.name); known != order_.densities.end())
      added.density = std::llround(known->second * 1e6);
    out_.pool.strips.push_back(std::move(added));
    const auto nodes = order_.nodes.find(piece.name);
    if (nodes == order_.nodes.end()) out_.without_nodes.push_back(strip);
    const DeviationLine line(piece, *order_.targets);
    for (std::size_t k = 0; k < order_.shifts.size(); ++k) {
      if (!admitted(piece, order_.shifts[k])) continue;
      Candidate candidate;
      candidate.strip = strip;
      candidate.shift = order_.shifts[k];
      for (std::size_t i = 0; i < order_.stations.size(); ++i) {
        const Length deviation =
            course_[k][i] + line.at(order_.stations[i] + order_.shifts[k]) / k_now_;
        candidate.deviation.push_back(static_cast<std::int32_t>(to_nanometres(deviation)));
      }
      if (nodes != order_.nodes.end()) {
        candidate.nodes =
            nodes_in_section(nodes->second, order_.targets->section(), order_.shifts[k]);
        candidate.nodes_beyond =
            nodes_beyond_ends(nodes->second, order_.targets->section(), order_.shop->spare,
                              order_.shifts[k], order_.rules);
        candidate.own_shortfall = keep_clear_shortfall(candidate.nodes, order_.rules) +
                                  keep_clear_shortfall(candidate.nodes_beyond, order_.rules);
      }
      out_.pool.candidates.push_back(std::move(candidate));
    }
  }

  inspection::Readings const& readings_;
  PoolOrder const& order_;
  double k_mill_;
  double k_now_;
  std::vector<std::vector<Length>> course_;  // of each shift, at each station
  SectionPool out_;
};

}  // namespace

std::vector<Length> shifts_within(Spare const& spare, Length step) {
  std::vector<Length> out = {Length{}};
  if (step < kSamePlace) return out;
  for (long k = 1;; ++k) {
    const Length by = step * static_cast<double>(k);
    const bool towards_tip = by < spare.butt_end + kSamePlace;
    const bool towards_butt = by < spare.tip_end + kSamePlace;
    if (towards_tip) out.push_back(by);
    if (towards_butt) out.push_back(-by);
    if (!towards_tip && !towards_butt) return out;
  }
}

DeviationLine::DeviationLine(Piece const& piece, inspection::StageTargets const& targets) {
  for (auto const& place : piece.places)
    if (place.heights[0].read())
      points_.push_back({place.at, place.heights[0].mean - targets.at(place.at)[0]->value});
  check_internal(!points_.empty(), "a strip of which no height was read");
}

Length DeviationLine::at(Station station) const {
  const auto after = std::find_if(points_.begin(), points_.end(),
                                  [&](Point const& point) { return point.at >= station; });
  if (after == points_.begin()) return points_.front().deviation;
  if (after == points_.end()) return points_.back().deviation;
  auto const& before = *(after - 1);
  const double share = (station - before.at) / (after->at - before.at);
  return before.deviation + (after->deviation - before.deviation) * share;
}

SectionPool make_pool(inspection::Readings const& readings, std::size_t section,
                      PoolOrder const& order) {
  std::vector<std::size_t> pieces;
  for (std::size_t i = 0; i < readings.pieces.size(); ++i)
    if (readings.pieces[i].section == section) pieces.push_back(i);
  return PoolMaker(readings, order).make(std::move(pieces));
}

}  // namespace stripwright::selection
