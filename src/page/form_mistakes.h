#pragma once

#include "page/drafted_file.h"

namespace stripwright::page {

/// One thing that is wrong with a draft, and where.
struct Mistake {
  std::vector<std::string> path;  ///< in the draft's own tree
  Place place;                    ///< in the draft
  bool at_key = false;            ///< told of the key itself, not of what stands there
  bool error = true;
  std::string what;
  std::string text;  ///< with the way out
};

/// What is wrong with the file that has a place in it; of other files nothing.
std::vector<Mistake> mistakes_in(DraftedFile const& file, Problems const& problems);

/// The path by which changes call what the draft has at a path: a list's items by their numbers in
/// the file as it is, new ones by the `+0` they were put in as; a key that was changed by the old
/// one.
std::vector<std::string> path_of_change(DraftedFile const& file,
                                        std::vector<DraftChange> const& changes,
                                        std::vector<std::string> const& in_draft);

}  // namespace stripwright::page
