#pragma once

#include <optional>
#include <string>
#include <vector>

#include "files/source_text.h"

namespace stripwright::cli {

enum class ProfileKind { taper, shop };

/// The folders in which a bare name is looked up, in order: ./profiles, those of
/// STRIPWRIGHT_PROFILES, the installed ones; for shops their `shops` folders.
std::vector<std::string> search_folders(ProfileKind kind);

/// A file that a bare name may mean.
struct ProfileFile {
  std::string name;  ///< without `.yaml`
  std::string path;
};
/// All of them, by folder, then name; of two with the same name the first counts.
std::vector<ProfileFile> list_profiles(ProfileKind kind);

/// Opens what a path or a bare name means; a problem that says where it was looked for.
std::optional<files::SourceText> open_profile(std::string const& given, ProfileKind kind,
                                              Problems& problems);

}  // namespace stripwright::cli
