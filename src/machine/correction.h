#pragma once

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "files/key_spec.h"
#include "files/source_text.h"
#include "inspection/group_summary.h"
#include "section/height_curve.h"

namespace stripwright::machine {

/// What is added to the strip's height at a station when the machine is set: minus what it
/// was found to be off there.
struct CorrectionPoint {
  Station at;
  Length add;
};

/// The correction of one section: straight between its points (increasing), level beyond the
/// outermost; none without points.
struct SectionCorrection {
  std::string section;
  std::vector<CorrectionPoint> points;

  Length at(Station station) const;
};

/// What one machine was found to be off on one taper, as `correct` writes it and `setup
/// --correction` takes it.
struct Correction {
  std::string taper;    ///< the taper's name
  std::string machine;  ///< the machine's name
  Unit unit = Unit::inch;
  std::vector<SectionCorrection> sections;

  SectionCorrection const* of(std::string_view section) const;
};

/// The correction that the deviations of a section call for. A station whose mean deviation
/// differs from 0 by more than its 95 % interval is corrected by minus that mean; where it may
/// well be scatter, nothing is added: noise is never corrected. Nor is what one strip alone says.
SectionCorrection correction_of(std::string section,
                                std::vector<inspection::StationDeviation> const& deviations);

/// One correction upon another: the amounts added, at the places of both.
SectionCorrection sum(SectionCorrection const& a, SectionCorrection const& b);

/// The strip that the machine is set for: the strip wanted and the correction upon it.
class CorrectedCurve final : public section::HeightCurve {
 public:
  CorrectedCurve(std::shared_ptr<const section::HeightCurve> strip, SectionCorrection correction);

  Length height(Station at) const override;
  double slope(Station at, section::Side side) const override;
  std::span<const Station> corners() const override { return corners_; }
  bool straight() const override { return strip_->straight(); }

 private:
  std::shared_ptr<const section::HeightCurve> strip_;
  SectionCorrection correction_;
  std::vector<Station> corners_;
};

/// The keys of a correction file.
files::MapSpec const& correction_file_keys();

/// Reads a correction file. Mistakes are errors, all told at once, and give nothing.
std::optional<Correction> read_correction(files::SourceText const& source, Problems& problems);

/// The text of a correction file; read again it gives the same correction to its printed digits.
std::string correction_text(Correction const& correction);

}  // namespace stripwright::machine
