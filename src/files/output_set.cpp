#include "files/output_set.h"

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <optional>
#include <set>

#include "files/digest.h"
#include "files/temporary_file.h"

namespace stripwright::files {
namespace {

namespace fs = std::filesystem;

constexpr char kPendingName[] = ".setup.json.pending";

/// The bytes of a file, or nothing if it is not there or cannot be read.
std::optional<std::string> bytes_of(fs::path const& path) {
  std::FILE* file = std::fopen(path.c_str(), "rb");
  if (!file) return std::nullopt;
  std::string bytes;
  char buffer[16384];
  std::size_t got = 0;
  while ((got = std::fread(buffer, 1, sizeof buffer, file)) > 0) bytes.append(buffer, got);
  const bool whole = std::ferror(file) == 0;
  std::fclose(file);
  return whole ? std::optional(std::move(bytes)) : std::nullopt;
}

Problem disk_problem(fs::path const& path, std::string_view doing) {
  return {Severity::error,
          {path.string(), 0, 0},
          fmt::format("{}: {}", doing, std::strerror(errno)),
          "check the folder, its permissions and the space on the disk, or name another with --out",
          {}};
}

/// Temporary files of one run; what was not renamed is removed again.
class Temporaries {
 public:
  explicit Temporaries(fs::path folder) : folder_(std::move(folder)) {}
  ~Temporaries() {
    for (auto const& [temporary, name] : pending_) ::unlink(temporary.c_str());
  }
  Temporaries(Temporaries const&) = delete;
  Temporaries& operator=(Temporaries const&) = delete;

  bool write(std::string const& name, std::string const& bytes, Problems& problems) {
    const fs::path temporary = temporary_beside(folder_ / name);
    std::FILE* file = std::fopen(temporary.c_str(), "wb");
    if (!file) {
      problems.add(disk_problem(temporary, "cannot be written"));
      return false;
    }
    pending_.emplace_back(temporary, name);
    const bool wrote = std::fwrite(bytes.data(), 1, bytes.size(), file) == bytes.size();
    const bool closed = std::fclose(file) == 0;
    if (wrote && closed) return true;
    problems.add(disk_problem(folder_ / name, "cannot be written"));
    return false;
  }

  bool rename_all(Problems& problems) {
    while (!pending_.empty()) {
      auto const& [temporary, name] = pending_.front();
      if (std::rename(temporary.c_str(), (folder_ / name).c_str()) != 0) {
        problems.add(disk_problem(folder_ / name, "cannot be put in its place"));
        return false;
      }
      pending_.erase(pending_.begin());
    }
    return true;
  }

 private:
  fs::path folder_;
  std::vector<std::pair<fs::path, std::string>> pending_;
};

/// What is in the folder under a name we are about to write.
enum class Present { nothing, same, ours, edited, no_file };

/// A record in the folder, and what it lists.
struct Recorded {
  nlohmann::ordered_json record;
  std::map<std::string, std::string> outputs;
};

class Folder {
 public:
  explicit Folder(fs::path path) : path_(std::move(path)) {
    for (auto const* name : {kRecordName, kPendingName}) {
      const auto text = bytes_of(path_ / name);
      if (!text) continue;
      auto outputs = recorded_outputs(*text);
      for (auto const& [file, digest] : outputs) known_.emplace(file, digest);
      if (!outputs.empty())
        records_.push_back({nlohmann::ordered_json::parse(*text), std::move(outputs)});
    }
  }

  Present look(OutputFile const& file) const {
    struct stat info {};
    if (::lstat((path_ / file.name).c_str(), &info) != 0) return Present::nothing;
    if (!S_ISREG(info.st_mode)) return Present::no_file;
    const auto bytes = bytes_of(path_ / file.name);
    if (!bytes) return Present::edited;
    if (*bytes == file.bytes) return Present::same;
    return known_.contains({file.name, sha256(*bytes)}) ? Present::ours : Present::edited;
  }

  /// Names of all files that this set-up writes or an earlier one wrote.
  std::set<std::string> names_with(std::vector<OutputFile> const& files) const {
    std::set<std::string> out{kRecordName, kPendingName};
    for (auto const& file : files) out.insert(file.name);
    for (auto const& [name, digest] : known_) out.insert(name);
    return out;
  }

  /// What becomes of the files that earlier set-ups wrote and this one does not; the entries of
  /// those that stay go into its record.
  EarlierFiles beside(std::vector<OutputFile> const& files, Outdated const& outdated,
                      nlohmann::ordered_json& record) const {
    EarlierFiles out;
    std::set<std::string> names;
    for (auto const& [name, digest] : known_)
      if (name.find('/') == std::string::npos) names.insert(name);
    for (auto const& file : files) names.erase(file.name);
    for (auto const& name : names) {
      const auto bytes = bytes_of(path_ / name);
      if (!bytes) continue;
      const auto digest = sha256(*bytes);
      const bool unchanged = known_.contains({name, digest}) && is_file(name);
      auto const* by = record_of(name, unchanged ? digest : "");
      if (!outdated || !by || !(listed(by->record, name, "edited") || outdated(name, by->record))) {
        if (!known_.contains({name, digest})) continue;
        out.kept.push_back(name);
        record["kept"][name] = digest;
      } else if (unchanged) {
        out.removed.push_back(name);
      } else {
        out.edited.push_back(name);
        record["edited"][name] = by->outputs.at(name);
      }
    }
    return out;
  }

 private:
  bool is_file(std::string const& name) const {
    struct stat info {};
    return ::lstat((path_ / name).c_str(), &info) == 0 && S_ISREG(info.st_mode);
  }
  static bool listed(nlohmann::ordered_json const& record, std::string const& name,
                     char const* list) {
    return record.contains(list) && record[list].is_object() && record[list].contains(name);
  }
  /// The record that lists a file with these bytes, or, without a digest, lists it at all.
  Recorded const* record_of(std::string const& name, std::string const& digest) const {
    const auto found = std::find_if(records_.begin(), records_.end(), [&](auto const& each) {
      const auto its = each.outputs.find(name);
      return its != each.outputs.end() && (digest.empty() || its->second == digest);
    });
    return found == records_.end() ? nullptr : &*found;
  }

  fs::path path_;
  std::set<std::pair<std::string, std::string>> known_;
  std::vector<Recorded> records_;
};

bool make_folder(fs::path const& path, Problems& problems) {
  std::error_code fault;
  fs::create_directories(path, fault);
  std::error_code nothing_there;
  if (fs::is_directory(path, nothing_there)) return true;
  problems.add({Severity::error,
                {path.string(), 0, 0},
                fmt::format("no such folder, and it cannot be made: {}",
                            fault ? fault.message() : "a file has its name"),
                "name a folder that can be written to with --out",
                {}});
  return false;
}

/// Those of the files that are not there as they shall be; problems for those that may not be
/// written.
std::vector<OutputFile const*> files_to_write(fs::path const& path, Folder const& present,
                                              std::vector<OutputFile> const& files, bool force,
                                              Problems& problems) {
  std::vector<OutputFile const*> out;
  for (auto const& file : files) {
    const auto found = present.look(file);
    if (found == Present::same) continue;
    out.push_back(&file);
    if (file.made_from && *file.made_from != bytes_of(path / file.name).value_or(""))
      problems.add({Severity::error,
                    {(path / file.name).string(), 0, 0},
                    "was written by another run while this one was about it",
                    "give the same call again",
                    {}});
    if (found == Present::no_file)
      problems.add({Severity::error,
                    {(path / file.name).string(), 0, 0},
                    "is no plain file, but has the name of one that would be written",
                    "move it away, or name another folder with --out",
                    {}});
    if (found == Present::edited && !force)
      problems.add({Severity::error,
                    {(path / file.name).string(), 0, 0},
                    "was edited, or written by something else, since the last set-up",
                    "keep it under another name, or replace it with --force",
                    {}});
  }
  return out;
}

bool remove_files(fs::path const& path, std::vector<std::string> const& names, Problems& problems) {
  for (auto const& name : names)
    if (::unlink((path / name).c_str()) != 0 && errno != ENOENT) {
      problems.add(disk_problem(path / name, "is outdated and cannot be removed"));
      return false;
    }
  return true;
}

/// Each file under a name of its own first, then, by renaming, all in their places: the note of
/// what is about to come first, the record last. Outdated files go before the record that no
/// longer knows them: until then another run would find them in the old one.
bool write_files(fs::path const& path, std::vector<OutputFile const*> const& files,
                 std::vector<std::string> const& outdated, std::string const& record_text,
                 Problems& problems) {
  Temporaries temporaries(path);
  Temporaries record(path);
  Temporaries pending(path);
  if (!pending.write(kPendingName, record_text, problems)) return false;
  for (auto const* file : files)
    if (!temporaries.write(file->name, file->bytes, problems)) return false;
  return record.write(kRecordName, record_text, problems) && pending.rename_all(problems) &&
         temporaries.rename_all(problems) && remove_files(path, outdated, problems) &&
         record.rename_all(problems);
}

}  // namespace

std::map<std::string, std::string> recorded_outputs(std::string const& record) {
  std::map<std::string, std::string> out;
  const auto json = nlohmann::json::parse(record, nullptr, false);
  if (!json.is_object()) return out;
  for (auto const* list : {"outputs", "kept", "edited"}) {
    if (!json.contains(list) || !json[list].is_object()) continue;
    for (auto const& [name, digest] : json[list].items())
      if (digest.is_string()) out.emplace(name, digest.get<std::string>());
  }
  return out;
}

Written write_set(std::string const& folder, std::vector<OutputFile> const& files,
                  nlohmann::ordered_json record, bool force, Problems& problems,
                  Outdated const& outdated, EarlierFiles* earlier) {
  const fs::path path(folder);
  if (!make_folder(path, problems)) return Written::failed;
  const Turn turn(path);
  const Folder present(path);
  const auto errors_before = problems.errors();
  const auto to_write = files_to_write(path, present, files, force, problems);
  if (problems.errors() > errors_before) return Written::refused;
  auto beside = present.beside(files, outdated, record);
  const std::string record_text = record.dump(2) + "\n";
  const bool all_there =
      to_write.empty() && beside.removed.empty() && bytes_of(path / kRecordName) == record_text;
  if (!all_there && !write_files(path, to_write, beside.removed, record_text, problems))
    return Written::failed;
  ::unlink((path / kPendingName).c_str());
  remove_abandoned(path, present.names_with(files));
  if (earlier) *earlier = std::move(beside);
  return Written::all;
}

}  // namespace stripwright::files
