#pragma once

#include <string>
#include <vector>

#include "cli/options.h"
#include "machine/correction.h"

namespace stripwright::cli {

struct WithEarlier {
  machine::Correction correction;
  std::vector<std::string> kept;  ///< sections that an earlier trial speaks of alone
  std::string earlier_bytes;      ///< of the file that lies there; empty if none does
};

/// A correction and those of other sections that an earlier trial left in the folder that it goes
/// to, for its file replaces theirs; sections as they follow in the taper.
///
/// An error where a trial would be lost that cannot be made again: `correction` would replace the
/// file that it was put on, so that the same call would add it twice; or, without `force`, one of
/// the same section that says otherwise.
WithEarlier with_earlier(machine::Correction correction, std::string const& folder,
                         Inputs const& inputs, bool force, Problems& problems);

}  // namespace stripwright::cli
