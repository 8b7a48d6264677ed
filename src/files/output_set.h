#pragma once

#include <functional>
#include <map>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>
#include <vector>

#include "diagnostics/problem.h"

namespace stripwright::files {

/// A file to be written: its name within the folder and its bytes.
struct OutputFile {
  std::string name;
  std::string bytes;
  /// The bytes, empty for no file, of what lay there when these were made from it. Where something
  /// else lies there by now, another run has been at it, and nothing is written; not looked at if
  /// not given.
  std::optional<std::string> made_from = {};
};

/// What became of files that an earlier set-up wrote into the folder and this one does not.
struct EarlierFiles {
  std::vector<std::string> kept;     ///< as they were left, and still right
  std::vector<std::string> removed;  ///< as they were left, but outdated
  std::vector<std::string> edited;   ///< outdated, but edited since: somebody's own, not touched
};

/// Whether such a file is outdated, by its name and the record of the set-up that left it.
using Outdated = std::function<bool(std::string const&, nlohmann::ordered_json const&)>;

/// How the writing of a set ended.
enum class Written {
  all,      ///< all files are there, whole
  refused,  ///< a file was edited since, or is not what was read; nothing written
  failed,   ///< the disk or the folder would not; told in problems
};

/// Writes the files of one set-up into a folder, each whole or not at all (a temporary
/// file, then a rename), and last `setup.json` with `record`, a JSON object that lists the
/// SHA-256 of each output under "outputs". Files of earlier set-ups (of other sections) that
/// are still as they were left keep their entries, under "kept"; those that are `outdated`, if it
/// is given, are removed, unless they were edited since: these keep their entries under "edited",
/// and are outdated until they are gone. `earlier`, if given, is told of all three.
///
/// What may be replaced is decided by the record that lies in the folder: a file
/// that is as the last set-up left it is replaced silently, one that was edited since or
/// that no set-up wrote needs `force`; other files in the folder are left alone. A run that
/// was killed half-way leaves a note of what it was about to write, so that the next one
/// does not take its files for edited ones.
Written write_set(std::string const& folder, std::vector<OutputFile> const& files,
                  nlohmann::ordered_json record, bool force, Problems& problems,
                  Outdated const& outdated = {}, EarlierFiles* earlier = nullptr);

/// The "outputs", "kept" and "edited" of a record: name to SHA-256; empty if the text is no such
/// record.
std::map<std::string, std::string> recorded_outputs(std::string const& record);

inline constexpr char kRecordName[] = "setup.json";

}  // namespace stripwright::files
