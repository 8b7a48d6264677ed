#include "machine/travel.h"

#include <cmath>

#include "machine/plain.h"

namespace stripwright::machine {

Travel travel(CutterPlace from, std::vector<Move> const& moves, Length feed_per_minute) {
  plain::require(feed_per_minute > Length{}, "a feed that does not move the cutter");
  Travel out;
  for (Move const& move : moves) {
    const Length gone =
        plain::length(std::hypot(plain::mm(move.to.x - from.x), plain::mm(move.to.z - from.z)));
    (move.at_feed ? out.at_feed : out.fast) += gone;
    from = move.to;
  }
  out.minutes_at_feed = out.at_feed / feed_per_minute;
  return out;
}

}  // namespace stripwright::machine
