#include "fuzz.h"
#include "taper/read_taper.h"
#include "taper/taper_curve.h"

using namespace stripwright;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  Problems problems;
  const files::SourceText source("taper.yaml", std::string(fuzz::text(bytes, size)));
  const auto taper = read_taper(source, problems);
  fuzz::promise(taper.has_value() != problems.any_error(), "either a taper or an error");
  fuzz::promise(taper || !problems.text().empty(), "an error is told");
  if (!taper) return 0;
  const TaperCurve curve(*taper);
  for (auto const& point : taper->points)
    fuzz::promise(curve.flats(point.at).finite() &&
                      abs(curve.flats(point.at) - point.flats) < Length::millimetres(1e-9),
                  "the curve goes through its points");
  for (auto const& section : taper->sections)
    fuzz::promise(section.from < section.to && section.from >= taper->tip_end() &&
                      section.to <= taper->butt_end(),
                  "sections lie within the taper");
  return 0;
}
