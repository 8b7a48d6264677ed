#pragma once

#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "cli/options.h"
#include "files/yaml_editor.h"
#include "inspection/shop_proposal.h"
#include "report/table.h"

namespace stripwright::cli {

/// Whether a file that a ring names may be read; a problem where it may not.
using MayRead = std::function<bool(std::string const& path, Problems& problems)>;

/// The options of `learn`, as they were written.
struct LearnOptions {
  CommonOptions common;
  std::vector<std::string> rings;
  bool write = false;
  MayRead may_read = [](std::string const&, Problems&) { return true; };
};

/// A ring with what was measured of it.
struct MeasuredRing {
  Ring ring;
  std::shared_ptr<const Taper> taper;
  inspection::RingReadings readings;
};

/// Whether a ring names readings that something can be learned from: its strips and their section,
/// or two stages of the section that follow each other.
bool teaches(Ring const& ring);

/// Reads ring files, their tapers and their readings. Mistakes, all told at once, give nothing:
/// those of the files; a section, strip or piece that is not there; a shift beyond the spare; a
/// ring from which nothing can be learned; the same file twice.
std::optional<std::vector<MeasuredRing>> read_rings(std::vector<std::string> const& paths,
                                                    Shop const& shop, MayRead const& may_read,
                                                    Problems& problems);

/// What was learned, for printing.
struct LearnReport {
  Shop const& shop;
  std::optional<Gauge> const& gauge;
  Unit unit = Unit::inch;  ///< of the output
  std::vector<MeasuredRing> const& rings;
  std::vector<inspection::RingValues> const& values;  ///< of each ring
  std::vector<inspection::LearnedAllowance> const& learned;
  std::vector<inspection::Proposal> const& proposals;
  std::string written;  ///< the shop file, if it was changed
  std::string copy;     ///< of it as it was
};

/// Learning, from its files to its proposals.
struct Learning {
  files::SourceText shop_source;
  Shop shop;
  std::optional<Gauge> gauge;
  std::vector<MeasuredRing> rings;
  std::vector<inspection::RingValues> values;  ///< of each ring
  std::vector<inspection::LearnedAllowance> learned;
  std::vector<inspection::Proposal> proposals;
  Unit unit = Unit::inch;  ///< of the output

  /// It refers to this.
  LearnReport report() const {
    return {shop, gauge, unit, rings, values, learned, proposals, {}, {}};
  }
};

/// Reads shop and rings and learns from them; prints and writes nothing. Nothing, and problems, if
/// the call or a file is wrong, or nothing can be learned.
std::optional<Learning> learn_from_rings(LearnOptions const& options, Problems& problems);

/// What changes in the shop file; empty if it agrees.
std::vector<files::YamlChange> shop_changes(Learning const& learning);
/// The shop file's bytes with these changes, which are read once more as a shop; nothing, and
/// problems, if it cannot be changed so.
std::optional<std::string> changed_shop(std::string const& name, std::string const& bytes,
                                        std::vector<files::YamlChange> const& changes,
                                        Problems& problems);

/// A value as the shop file has it: in the shop's unit, one decimal more than at the bench.
std::string shop_file_number(Length value, Unit unit);
/// The key of an allowance in the shop file.
std::string_view shop_file_key(inspection::Allowance allowance);

/// A row for each allowance that was learned.
report::Table allowance_table(LearnReport const& report);
/// Why a value is to stay, or to be replaced, in a few words.
std::string_view why(inspection::Reason reason);
/// A row for each value that may go into the shop file, in its unit.
report::Table proposal_table(LearnReport const& report);
/// What to put into the shop file, ready to be copied.
std::string fragment(LearnReport const& report);

std::string learn_text(LearnReport const& report);
std::string learn_csv(LearnReport const& report);
std::string learn_json(LearnReport const& report);

}  // namespace stripwright::cli
