#pragma once

#include <optional>
#include <string>

#include "report/canvas.h"
#include "section/round_face.h"
#include "units/unit.h"

namespace stripwright::culm {

/// What a picture of a culm's ring shows.
struct CulmPicture {
  std::string title;
  Unit unit = Unit::inch;
  Length diameter;
  Length enamel;
  std::optional<Length> wall;
  std::optional<Length> power_fibre;
  std::size_t strips = 0;  ///< that it is split into
  Length strip_height;     ///< of the finished strip in each, where it is largest; above 0
  std::string note;        ///< below the picture
};

/// The culm's ring in section with the splits and, in each piece, the strip that it gives; inside
/// the wall the power fibre in grey. To a scale of round numbers, with a bar to measure by and the
/// culm's measures in words. 420 units wide.
report::Canvas draw_culm(CulmPicture const& picture);

inline constexpr double kCulmPictureScale = 4;  ///< units to a millimetre on paper

}  // namespace stripwright::culm
