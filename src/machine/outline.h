#pragma once

#include <span>
#include <vector>

#include "section/height_curve.h"

namespace stripwright::machine {

struct OutlinePoint {
  Station at;
  Length height;
};

/// Points on a curve from `from` to `to` such that straight lines between neighbours lie within
/// `tolerance` of it, measured upright. The two ends and every place of `must_have` between
/// them are among the points; else few are taken. `tolerance` above 0, `from` no greater than
/// `to` (else std::logic_error); `must_have` in any order.
///
/// First a fine outline: between corners the curve follows the Hermite cubic of a piece's ends,
/// which lies within max(|α|, |β|)/4 of its chord, α and β the slopes at the ends less the chord's,
/// times the width; the piece is halved until that is an eighth of the tolerance. Then as many fine
/// points as possible are skipped: a line from the last point taken may go on as long as it
/// passes within seven eighths of the tolerance of every fine point on the way.
std::vector<OutlinePoint> outline(const section::HeightCurve& curve, Station from, Station to,
                                  Length tolerance, std::span<const Station> must_have);

}  // namespace stripwright::machine
