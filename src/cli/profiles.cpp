#include "cli/profiles.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <set>

#include "cli/version.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

namespace fs = std::filesystem;

std::vector<std::string> folders_of_environment() {
  std::vector<std::string> out;
  char const* const value = std::getenv("STRIPWRIGHT_PROFILES");
  std::string rest = value ? value : "";
  while (!rest.empty()) {
    const auto colon = rest.find(':');
    if (colon != 0) out.push_back(rest.substr(0, colon));
    rest = colon == std::string::npos ? "" : rest.substr(colon + 1);
  }
  return out;
}

bool is_bare_name(std::string const& given) {
  return given.find('/') == std::string::npos && !given.ends_with(".yaml") &&
         !given.ends_with(".yml");
}

std::string installed_profiles() {
  std::error_code fault;
  const auto program = fs::read_symlink("/proc/self/exe", fault);
  const auto beside = (program.parent_path() / kProfilesFromProgram).lexically_normal();
  return !fault && fs::is_directory(beside, fault) ? beside.string() : kInstalledProfiles;
}

std::string_view kind_name(ProfileKind kind) {
  return kind == ProfileKind::taper ? "taper" : "shop";
}

/// Where a profile of this name lies; "" where none does.
std::string found_at(std::string const& name, ProfileKind kind) {
  std::error_code fault;
  for (auto const& folder : search_folders(kind)) {
    std::string path = fmt::format("{}/{}.yaml", folder, name);
    if (fs::exists(path, fault)) return path;
  }
  return {};
}

Problem not_found(std::string const& given, ProfileKind kind) {
  const auto what = fmt::format("no {} called {}", kind_name(kind), quoted_for_message(given));
  const auto other = kind == ProfileKind::taper ? ProfileKind::shop : ProfileKind::taper;
  // Taper and shop are easily given the one for the other.
  if (const auto path = found_at(given, other); !path.empty())
    return {Severity::error,
            {},
            what,
            fmt::format("there is a {} of that name, {}; {}", kind_name(other), path,
                        kind == ProfileKind::taper ? "a shop goes with --shop"
                                                   : "a taper goes first, without an option"),
            {}};
  const auto known = list_profiles(kind);
  std::vector<std::string_view> names;
  for (auto const& file : known) names.push_back(file.name);
  const auto near = nearest_word(given, names);
  std::error_code fault;
  if (fs::is_regular_file(given + ".yaml", fault))
    return {Severity::error, {}, what, fmt::format("there is {}.yaml here: write that", given), {}};
  return {Severity::error,
          {},
          what,
          fmt::format("looked in {}{}; name a file, or a folder with STRIPWRIGHT_PROFILES",
                      fmt::join(search_folders(kind), ", "),
                      near.empty() ? "" : fmt::format("; the nearest is '{}'", near)),
          {}};
}

}  // namespace

std::vector<std::string> search_folders(ProfileKind kind) {
  std::vector<std::string> folders = {"profiles"};
  for (auto& folder : folders_of_environment()) folders.push_back(std::move(folder));
  folders.push_back(installed_profiles());
  if (kind == ProfileKind::shop)
    for (auto& folder : folders) folder += "/shops";
  return folders;
}

std::vector<ProfileFile> list_profiles(ProfileKind kind) {
  std::vector<ProfileFile> out;
  std::set<std::string> seen;
  for (auto const& folder : search_folders(kind)) {
    std::vector<ProfileFile> here;
    std::error_code fault;
    for (fs::directory_iterator entry(folder, fault), end; !fault && entry != end;
         entry.increment(fault)) {
      auto const& path = entry->path();
      std::error_code ignored;
      if (path.extension() == ".yaml" && entry->is_regular_file(ignored))
        here.push_back({path.stem().string(), path.string()});
    }
    std::sort(here.begin(), here.end(),
              [](auto const& a, auto const& b) { return a.name < b.name; });
    for (auto& file : here)
      if (seen.insert(file.name).second) out.push_back(std::move(file));
  }
  return out;
}

std::optional<files::SourceText> open_profile(std::string const& given, ProfileKind kind,
                                              Problems& problems) {
  std::error_code fault;
  if (!is_bare_name(given) || fs::is_regular_file(given, fault))
    return files::read_source(given, problems);
  if (const auto path = found_at(given, kind); !path.empty())
    return files::read_source(path, problems);
  problems.add(not_found(given, kind));
  return std::nullopt;
}

}  // namespace stripwright::cli
