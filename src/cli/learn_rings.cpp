#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <set>

#include "cli/learn.h"
#include "cli/profiles.h"
#include "inspection/readings.h"
#include "taper/read_taper.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

using inspection::Piece;
using inspection::ReadingKind;
using inspection::Readings;
using inspection::Stage;

/// Header and readings of a file: the header's own units count, else the ring's.
std::optional<inspection::ReadingColumns> columns_of(files::SourceText const& source, Unit unit,
                                                     Problems& problems) {
  Problems with_own_units;
  if (auto columns = inspection::read_columns(source, std::nullopt, with_own_units)) return columns;
  Problems with_the_rings;
  if (auto columns = inspection::read_columns(source, unit, with_the_rings)) return columns;
  problems.add_all(with_own_units);
  return std::nullopt;
}

class RingsReader {
 public:
  RingsReader(Shop const& shop, MayRead const& may_read, Problems& problems)
      : shop_(shop), may_read_(may_read), problems_(problems) {}

  std::optional<MeasuredRing> read(std::string const& path) {
    path_ = path;
    const auto errors_before = problems_.errors();
    const auto source = files::read_source(path, problems_);
    auto ring = source ? read_ring(*source, problems_) : std::nullopt;
    if (!ring) return std::nullopt;
    MeasuredRing out;
    out.taper = taper(ring->taper);
    out.ring = std::move(*ring);
    // (Of a taper that several rings have its mistakes are told once.)
    if (!out.taper) return std::nullopt;
    place(out);
    if (problems_.errors() == errors_before) measure(out);
    if (problems_.errors() > errors_before) return std::nullopt;
    return out;
  }

 private:
  void complain(std::string what, std::string remedy) const {
    problems_.add({Severity::error, {path_, 0, 0}, std::move(what), std::move(remedy), {}});
  }

  std::optional<files::SourceText> source_of(std::string const& path) {
    return may_read_(path, problems_) ? files::read_source(path, problems_) : std::nullopt;
  }

  std::shared_ptr<const Taper> taper(std::string const& path) {
    if (const auto known = tapers_.find(path); known != tapers_.end()) return known->second;
    // A bare name means here what it means in a call.
    const std::filesystem::path file(path);
    std::error_code fault;
    const bool bare = !file.has_extension() && !std::filesystem::exists(file, fault);
    const auto source = bare ? open_profile(file.filename().string(), ProfileKind::taper, problems_)
                             : source_of(path);
    const auto read = source ? read_taper(*source, problems_) : std::nullopt;
    return tapers_[path] = read ? std::make_shared<const Taper>(*read) : nullptr;
  }

  /// The ring's section, the profiles of all sections, and the shifts within the spare.
  void place(MeasuredRing& out) {
    auto const& sections = out.taper->sections;
    const auto found = std::find_if(sections.begin(), sections.end(), [&](auto const& each) {
      return each.name == out.ring.section;
    });
    if (found == sections.end()) {
      std::vector<std::string_view> names;
      for (auto const& each : sections) names.push_back(each.name);
      return complain(
          fmt::format("the taper has no section {}", quoted_for_message(out.ring.section)),
          fmt::format("its sections are {}", fmt::join(names, ", ")));
    }
    section_ = static_cast<std::size_t>(found - sections.begin());
    profiles_.clear();
    const auto curve = std::make_shared<const TaperCurve>(*out.taper);
    const section::LedgerRules rules(out.taper->measured, shop_.allowances);
    for (auto const& each : sections)
      profiles_.push_back(std::make_shared<const section::StripProfile>(curve, each, rules));
    out.readings.profile = profiles_[section_];
    section::check_section(*profiles_[section_], section::table_stations(*out.taper, *found),
                           out.ring.unit, problems_);
    for (std::size_t i = 0; i < kStripsInARing; ++i) {
      const Length shift = out.ring.shifts[i];
      if (shift < -shop_.spare.tip_end - kSamePlace || shift > shop_.spare.butt_end + kSamePlace)
        complain(
            fmt::format("strip {} shifted by {}, farther than the spare",
                        quoted_for_message(out.ring.strips[i]), format_short(shift, out.ring.unit)),
            fmt::format("the shop's spare is {} at the tip end and {} at the butt end",
                        format_short(shop_.spare.tip_end, out.ring.unit),
                        format_short(shop_.spare.butt_end, out.ring.unit)));
    }
    out.readings.shifts = out.ring.shifts;
    out.readings.marked = out.ring.marked;
    out.readings.percent_moisture = out.ring.percent_moisture;
  }

  void measure(MeasuredRing& out) {
    auto const& files = out.ring.readings;
    const bool heights = files.contains(Stage::ready) || files.contains(Stage::milled);
    if (!teaches(out.ring))
      return complain("nothing can be learned from these readings",
                      "it takes strips (ready or milled) and their section (glued or bare), or two "
                      "stages of a section that follow each other");
    out.readings.heights_at = files.contains(Stage::ready) ? Stage::ready : Stage::milled;
    if (heights) read_strips(out);
    for (const Stage stage : {Stage::glued, Stage::bare, Stage::varnished})
      if (files.contains(stage)) read_section(out, stage);
  }

  std::optional<Readings> read_stage(MeasuredRing const& out, Stage stage) {
    const auto source = source_of(out.ring.readings.at(stage));
    const auto columns = source ? columns_of(*source, out.ring.unit, problems_) : std::nullopt;
    if (!columns) return std::nullopt;
    if (columns->kind != inspection::kind_of(stage)) {
      complain(
          fmt::format("{} are not the readings that stage {} has", source->name(), word(stage)),
          inspection::kind_of(stage) == ReadingKind::strips
              ? "strips have the columns strip, at, a"
              : "sections have the columns piece, at, f1, f2, f3");
      return std::nullopt;
    }
    Problems of_section;
    if (auto readings = read_rows_of(out, stage, *source, *columns, false, of_section))
      return readings;
    // The file may hold other sections as well, and the stations tell which.
    Problems of_all;
    if (auto readings = read_rows_of(out, stage, *source, *columns, true, of_all)) return readings;
    problems_.add_all(of_all.errors() < of_section.errors() ? of_all : of_section);
    return std::nullopt;
  }

  /// The readings of the ring's section, from rows that may be of it alone or of any.
  std::optional<Readings> read_rows_of(MeasuredRing const& out, Stage stage,
                                       files::SourceText const& source,
                                       inspection::ReadingColumns const& columns,
                                       bool of_any_section, Problems& problems) {
    std::vector<std::unique_ptr<inspection::StageTargets>> targets;
    inspection::ReadingsOrder order;
    order.unit = out.ring.unit;
    for (std::size_t s = 0; s < profiles_.size(); ++s) {
      if (s != section_ && !of_any_section) {
        order.choice.left_out.push_back(profiles_[s]->section().name);
        continue;
      }
      const auto moisture = out.ring.percent_moisture.find(stage);
      const bool known = stage == Stage::ready && moisture != out.ring.percent_moisture.end();
      targets.push_back(std::make_unique<inspection::StageTargets>(
          profiles_[s], stage, shop_, known ? std::optional(moisture->second) : std::nullopt));
      order.choice.sections.push_back(targets.back().get());
    }
    auto readings = inspection::read_readings(source, columns, order, problems);
    if (readings)
      std::erase_if(readings->pieces, [&](Piece const& piece) {
        return order.choice.sections[piece.section]->section().name != out.ring.section;
      });
    return readings;
  }

  void read_strips(MeasuredRing& out) {
    const Stage stage = out.readings.heights_at;
    const auto readings = read_stage(out, stage);
    if (!readings) return;
    for (std::size_t i = 0; i < kStripsInARing; ++i) {
      const auto piece =
          std::find_if(readings->pieces.begin(), readings->pieces.end(),
                       [&](Piece const& each) { return each.name == out.ring.strips[i]; });
      if (piece != readings->pieces.end())
        for (auto const& place : piece->places)
          if (place.heights[0].read())
            out.readings.heights[i].push_back({place.at, place.heights[0].mean});
      if (out.readings.heights[i].empty())
        complain(fmt::format("strip {} has no readings of height a in {}",
                             quoted_for_message(out.ring.strips[i]), out.ring.readings.at(stage)),
                 names_in(*readings));
    }
  }

  static std::string names_in(Readings const& readings) {
    std::vector<std::string_view> names;
    for (auto const& each : readings.pieces) names.push_back(each.name);
    constexpr std::size_t kEnough = 12;
    const bool more = names.size() > kEnough;
    if (more) names.resize(kEnough);
    return names.empty() ? "it holds nothing of this section"
                         : fmt::format("of this section it holds {}{}", fmt::join(names, ", "),
                                       more ? ", ..." : "");
  }

  void read_section(MeasuredRing& out, Stage stage) {
    const auto readings = read_stage(out, stage);
    if (!readings) return;
    auto const& pieces = readings->pieces;
    auto const& file = out.ring.readings.at(stage);
    const auto piece = out.ring.piece.empty()
                           ? pieces.begin()
                           : std::find_if(pieces.begin(), pieces.end(), [&](Piece const& each) {
                               return each.name == out.ring.piece;
                             });
    if (piece == pieces.end())
      return complain(
          out.ring.piece.empty()
              ? fmt::format("{} holds nothing of section {}", file, out.ring.section)
              : fmt::format("{} holds no piece {}", file, quoted_for_message(out.ring.piece)),
          names_in(*readings));
    if (out.ring.piece.empty() && pieces.size() > 1)
      return complain(fmt::format("{} holds several pieces of section {}", file, out.ring.section),
                      "say which with piece: in the ring file; " + names_in(*readings));
    for (auto const& place : piece->places) {
      inspection::SectionReading flats{place.at, {}};
      for (std::size_t p = 0; p < flats.f.size(); ++p)
        if (place.heights[p].read()) flats.f[p] = place.heights[p].mean;
      out.readings.flats[stage].push_back(flats);
    }
  }

  Shop const& shop_;
  MayRead const& may_read_;
  Problems& problems_;
  std::map<std::string, std::shared_ptr<const Taper>> tapers_;
  std::string path_;                                                    // of the ring that is read
  std::size_t section_ = 0;                                             // its section
  std::vector<std::shared_ptr<const section::StripProfile>> profiles_;  // of its taper's sections
};

}  // namespace

bool teaches(Ring const& ring) {
  auto const& files = ring.readings;
  const bool heights = files.contains(Stage::ready) || files.contains(Stage::milled);
  const bool bare = files.contains(Stage::bare);
  const bool glued = files.contains(Stage::glued);
  return (heights && (bare || glued)) || (bare && (glued || files.contains(Stage::varnished)));
}

std::optional<std::vector<MeasuredRing>> read_rings(std::vector<std::string> const& paths,
                                                    Shop const& shop, MayRead const& may_read,
                                                    Problems& problems) {
  const auto errors_before = problems.errors();
  RingsReader reader(shop, may_read, problems);
  std::vector<MeasuredRing> out;
  std::set<std::string> seen;
  for (auto const& path : paths) {
    std::error_code fault;
    const auto real = std::filesystem::canonical(path, fault);
    if (!fault && !seen.insert(real.string()).second) {
      problems.add({Severity::error,
                    {path, 0, 0},
                    "the same ring file a second time",
                    "name each once: two of the same teach no more than one",
                    {}});
      continue;
    }
    if (auto ring = reader.read(path)) out.push_back(std::move(*ring));
  }
  if (problems.errors() > errors_before) return std::nullopt;
  return out;
}

}  // namespace stripwright::cli
