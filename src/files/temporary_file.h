#pragma once

#include <filesystem>
#include <set>
#include <string>

namespace stripwright::files {

/// Where a file is written before it takes its place in one step: beside it, hidden, with the
/// number of this process in its name.
std::filesystem::path temporary_beside(std::filesystem::path const& path);

/// Takes away such files of `names` that lie in the folder and belong to a process that is no more:
/// one that was killed, or stopped by a power cut. Where that cannot be done they stay; they are in
/// nobody's way.
void remove_abandoned(std::filesystem::path const& folder, std::set<std::string> const& names);

/// Keeps out of a folder whoever else would put a file of this program's in its place there,
/// another run or another thread: what is looked at during a turn is still so when it is replaced.
/// The next one waits; the system ends a turn when its process ends. Where the file system has no
/// locks each file is still whole. Nobody takes two turns at once.
class Turn {
 public:
  explicit Turn(std::filesystem::path const& folder);
  ~Turn();
  Turn(Turn const&) = delete;
  Turn& operator=(Turn const&) = delete;

 private:
  int folder_;
};

/// Forces a folder's list of names to the disk. File systems that know no such thing refuse
/// it; then there is nothing to be done.
void sync_folder(std::filesystem::path const& folder);

}  // namespace stripwright::files
