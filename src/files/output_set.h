#pragma once

#include <map>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "diagnostics/problem.h"

namespace stripwright::files {

/// A file to be written: its name within the folder and its bytes.
struct OutputFile {
  std::string name;
  std::string bytes;
};

/// How the writing of a set ended.
enum class Written {
  all,      ///< all files are there, whole
  refused,  ///< a file was edited since; nothing written
  failed,   ///< the disk or the folder would not; told in problems
};

/// Writes the files of one set-up into a folder, each whole or not at all (a temporary
/// file, then a rename), and last `setup.json` with `record`, a JSON object that lists the
/// SHA-256 of each output under "outputs". Files of earlier set-ups (of other sections) that
/// are still as they were left keep their entries, under "kept".
///
/// What may be replaced is decided by the record that lies in the folder: a file
/// that is as the last set-up left it is replaced silently, one that was edited since or
/// that no set-up wrote needs `force`; other files in the folder are left alone. A run that
/// was killed half-way leaves a note of what it was about to write, so that the next one
/// does not take its files for edited ones.
Written write_set(std::string const& folder, std::vector<OutputFile> const& files,
                  nlohmann::ordered_json record, bool force, Problems& problems);

/// The "outputs" and "kept" of a record: name to SHA-256; empty if the text is no such record.
std::map<std::string, std::string> recorded_outputs(std::string const& record);

inline constexpr char kRecordName[] = "setup.json";

}  // namespace stripwright::files
