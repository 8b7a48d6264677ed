#pragma once

#include <functional>
#include <optional>
#include <string>

#include "diagnostics/problem.h"

namespace stripwright::files {

/// The bytes of a file as they are, byte order mark and all, and of them no more than the first
/// `most`; nothing and a problem if it cannot be read.
std::optional<std::string> read_bytes(std::string const& path, Problems& problems,
                                      std::size_t most = std::string::npos);

/// Writes a file that is not there yet, whole or not at all: into a temporary file in the same
/// folder, which then gets the name, unless some file has got it in the meantime. False, and a
/// problem, if the disk or the folder would not, or the name is taken.
bool write_new_file(std::string const& path, std::string const& bytes, Problems& problems);

/// How the replacing of a maker's file ended.
enum class Replaced {
  done,     ///< the file has its new bytes; a copy of the old ones lies beside it
  same,     ///< the new bytes are the old ones; nothing written, no copy
  refused,  ///< the file is no longer what it was when it was read; left as it is
  failed,   ///< the disk or the folder would not; told in problems, the file is as it was
};

struct Replacement {
  Replaced how = Replaced::failed;
  std::string copy;  ///< the copy's path, where `done`
};

/// Replaces a file that somebody else's hands have written. First the old bytes go into a copy
/// beside it, `<file>.bak`, or `.bak2`, `.bak3`, ... where those are there already: no copy is ever
/// overwritten. Then the new bytes go into a temporary file in the same folder, which takes the
/// file's place in one step. All of it is forced to the disk before the next step, so that at any
/// moment a stop of the program or the power leaves the old file or the new one, whole. Permissions
/// are kept; of a symbolic link what it points to is replaced.
///
/// `old_bytes` is what the new bytes were made from. Of several who replace the same file at once,
/// in this program or another run of it, one is the first; the others are refused.
Replacement replace_keeping_copy(std::string const& path, std::string const& old_bytes,
                                 std::string const& new_bytes, Problems& problems);

/// The path of the copy at the n-th try, counted from 1: the first that is free is taken.
using CopyName = std::function<std::string(int)>;
/// The same, with the copy under another name, on the same file system or not.
Replacement replace_keeping_copy(std::string const& path, std::string const& old_bytes,
                                 std::string const& new_bytes, CopyName const& copy_name,
                                 Problems& problems);

}  // namespace stripwright::files
