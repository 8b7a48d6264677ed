#include "report/grid_map.h"

#include <algorithm>

namespace stripwright::report {
namespace {

constexpr double kWidth = 480;
constexpr double kRow = 20;
constexpr double kWidestField = 40;
constexpr double kLetters = 14;
constexpr double kDigit = 0.64 * kLetters;
constexpr double kMostNameRoom = 150;
/// Room for the columns' name and the key below.
constexpr double kName = 24;
constexpr double kKey = 84;

void sign_at(Canvas& canvas, GridSign sign, Spot middle, double size) {
  const double r = size / 2;
  switch (sign) {
    case GridSign::none:
      break;
    case GridSign::fine:
      canvas.circle(middle, 1.6, Pen::fine, Fill::black);
      break;
    case GridSign::over:
      canvas.polygon(
          {{middle.x - r, middle.y + r}, {middle.x + r, middle.y + r}, {middle.x, middle.y - r}},
          Pen::thin, Fill::white);
      break;
    case GridSign::under:
      canvas.polygon(
          {{middle.x - r, middle.y - r}, {middle.x + r, middle.y - r}, {middle.x, middle.y + r}},
          Pen::thin, Fill::black);
      break;
    case GridSign::unknown:
      canvas.text({middle.x, middle.y + 5}, "?", kLetters, Anchor::middle, false, true);
      break;
  }
}

/// Names of files can be long; a label is cut to what there is room for.
std::string fitted(std::string const& name, double room) {
  const auto most = static_cast<std::size_t>(room / kDigit);
  if (name.size() <= most) return name;
  // Not within a character of several bytes.
  std::size_t cut = most > 1 ? most - 1 : 0;
  while (cut > 0 && (static_cast<unsigned char>(name[cut]) & 0xC0U) == 0x80U) --cut;
  return name.substr(0, cut) + "…";
}

std::size_t longest(std::vector<std::string> const& names) {
  std::size_t most = 0;
  for (auto const& name : names) most = std::max(most, name.size());
  return most;
}

}  // namespace

Canvas draw(GridMap const& map) {
  const double left = std::min(kMostNameRoom, 12 + kDigit * static_cast<double>(longest(map.rows)));
  const double field =
      std::min(kWidestField,
               (kWidth - left) / static_cast<double>(std::max<std::size_t>(1, map.columns.size())));
  const double top = kName + 10 + kDigit * static_cast<double>(longest(map.columns));
  const double bottom = top + kRow * static_cast<double>(map.rows.size());
  const double right = left + field * static_cast<double>(map.columns.size());
  Canvas canvas(kWidth, bottom + kKey, map.title);
  canvas.text({left, 14}, map.columns_name, kLetters);
  for (std::size_t c = 0; c < map.columns.size(); ++c)
    canvas.text({left + field * (static_cast<double>(c) + 0.5) + 5, top - 5}, map.columns[c],
                std::min(kLetters, field), Anchor::start, true);
  for (std::size_t r = 0; r <= map.rows.size(); ++r) {
    const double y = top + kRow * static_cast<double>(r);
    canvas.line({0, y}, {right, y}, Pen::fine);
    if (r == map.rows.size()) break;
    canvas.text({left - 8, y + 15}, fitted(map.rows[r], left - 8), kLetters, Anchor::end);
    for (std::size_t c = 0; c < map.columns.size(); ++c)
      sign_at(canvas, map.signs[r][c],
              {left + field * (static_cast<double>(c) + 0.5), y + kRow / 2},
              std::min(12.0, field - 2));
  }
  const GridSign signs[] = {GridSign::fine, GridSign::over, GridSign::under, GridSign::unknown};
  for (std::size_t i = 0; i < map.meanings.size() && i < 4; ++i) {
    const double x = i % 2 == 0 ? 20 : kWidth / 2;
    const std::size_t line = i / 2;
    const double y = bottom + 28 + 24 * static_cast<double>(line);
    sign_at(canvas, signs[i], {x, y}, 12);
    canvas.text({x + 16, y + 5}, map.meanings[i], kLetters);
  }
  return canvas;
}

}  // namespace stripwright::report
