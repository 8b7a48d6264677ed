#pragma once

#include "diagnostics/problem.h"
#include "files/output_set.h"

namespace stripwright::cli {

/// How the program ends.
enum class ExitStatus : int {
  all_well = 0,  ///< warnings too
  unmet = 1,     ///< done, but out of limits, unsure, or it cannot be set, fitted or proven
  wrong = 2,     ///< the call or a file is wrong; nothing written
  failed = 3,    ///< disk or internal failure
};

/// What the problems of a run amount to.
inline ExitStatus status_of(Problems const& problems) {
  if (problems.any_error()) return ExitStatus::wrong;
  return problems.any_unmet() ? ExitStatus::unmet : ExitStatus::all_well;
}

/// What the writing of a set of files amounts to.
inline ExitStatus status_of(files::Written written) {
  if (written == files::Written::refused) return ExitStatus::wrong;
  return written == files::Written::failed ? ExitStatus::failed : ExitStatus::all_well;
}

}  // namespace stripwright::cli
