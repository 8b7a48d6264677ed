#pragma once

#include <string>

#include "cli/exit_status.h"
#include "files/source_text.h"

namespace stripwright::cli {

/// Where a file is to be written, as the options say.
struct FileTarget {
  std::string path;
  bool force = false;
  std::string ending = ".yaml";
  std::string option = "--to";  ///< that names it
};

/// Refuses what cannot be the name of the new file, before any work is done: another ending, a file
/// that is there already (unless `force`), a folder, a symbolic link, a place in a folder that is
/// not there.
bool may_be_written(FileTarget const& target, Problems& problems);

/// Writes the file, whole or not at all. One that is there is kept as a copy beside it, whose path
/// is put into `copy`.
ExitStatus write_file(FileTarget const& target, std::string const& bytes, std::string& copy,
                      Problems& problems);

/// A file as a remark in another names it: its name without folders and the first digits of its
/// SHA-256.
std::string named_in_remark(files::SourceText const& source);
/// `, 2026-01-01` where SOURCE_DATE_EPOCH pins the date, else "": the same call gives the same
/// file.
std::string date_in_remark();
/// `stripwright 0.1`.
std::string program_in_remark();

}  // namespace stripwright::cli
