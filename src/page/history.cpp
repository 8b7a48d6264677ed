#include "page/history.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <ctime>
#include <filesystem>

#include "files/keep_copy.h"
#include "units/parse.h"

namespace stripwright::page {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t kStamp = 15;  // 20260131-140509

std::string stamp_now() {
  const auto now = std::chrono::system_clock::to_time_t(std::chrono::system_clock::now());
  std::tm parts{};
  ::localtime_r(&now, &parts);
  char text[kStamp + 1];
  if (std::strftime(text, sizeof text, "%Y%m%d-%H%M%S", &parts) == 0)
    return std::string(kStamp, '0');
  return text;
}

std::string readable(std::string_view stamp) {
  return fmt::format("{}-{}-{} {}:{}:{}", stamp.substr(0, 4), stamp.substr(4, 2),
                     stamp.substr(6, 2), stamp.substr(9, 2), stamp.substr(11, 2),
                     stamp.substr(13, 2));
}

bool is_id(std::string_view id) {
  return id.size() >= kStamp && id.size() <= 40 && std::all_of(id.begin(), id.end(), [](char c) {
           return (c >= '0' && c <= '9') || c == '-';
         });
}

}  // namespace

std::optional<std::string> History::shelf(std::string const& folder, std::string const& name,
                                          Problems& problems) const {
  if (!folder_.path_of(name, problems)) return std::nullopt;
  const auto path = fs::path(".stripwright") / folder / name;
  if (!folder_.holds(path)) {
    problems.error(fmt::format("{} leads out of the folder", path.string()),
                   "take the link away; a folder is made there when it is needed");
    return std::nullopt;
  }
  return (folder_.root() / path).string();
}

Saved History::save(std::string const& name, std::optional<std::string> const& old_bytes,
                    std::string const& new_bytes, Problems& problems) {
  const std::lock_guard lock(mutex_);
  const auto path = folder_.path_of(name, problems);
  const auto shelf_path = shelf("before", name, problems);
  if (!path || !shelf_path) return Saved::failed;
  if (!old_bytes)
    return files::write_new_file(*path, new_bytes, problems) ? Saved::done : Saved::failed;
  std::error_code fault;
  fs::create_directories(*shelf_path, fault);
  if (fault) {
    problems.error(fmt::format("{}: cannot be made: {}", *shelf_path, fault.message()),
                   "check the folder, its permissions and the space on the disk");
    return Saved::failed;
  }
  const auto stamp = stamp_now();
  const auto copy_name = [&](int i) { return fmt::format("{}/{}-{:03}", *shelf_path, stamp, i); };
  const auto replaced =
      files::replace_keeping_copy(*path, *old_bytes, new_bytes, copy_name, problems);
  switch (replaced.how) {
    case files::Replaced::done:
      return Saved::done;
    case files::Replaced::same:
      return Saved::same;
    case files::Replaced::refused:
      return Saved::changed_outside;
    case files::Replaced::failed:
      break;
  }
  return Saved::failed;
}

std::vector<Earlier> History::list(std::string const& name) const {
  Problems ignored;
  std::vector<Earlier> out;
  const auto path = shelf("before", name, ignored);
  if (!path) return out;
  std::error_code fault;
  for (fs::directory_iterator entry(*path, fault), end; !fault && entry != end;
       entry.increment(fault)) {
    auto id = entry->path().filename().string();
    if (is_id(id)) out.push_back({id, readable(id)});
  }
  std::sort(out.begin(), out.end(), [](auto const& a, auto const& b) { return a.id > b.id; });
  return out;
}

std::optional<std::string> History::bytes(std::string const& name, std::string const& id,
                                          Problems& problems) const {
  const auto path = shelf("before", name, problems);
  if (!path) return std::nullopt;
  if (!is_id(id)) {
    problems.error(fmt::format("{}: no earlier state is called so", quoted_for_message(id)),
                   "choose one of the list");
    return std::nullopt;
  }
  const auto state = fs::path(*path) / id;
  std::error_code fault;
  if (!fs::is_regular_file(fs::symlink_status(state, fault))) {
    problems.error(fmt::format("{}: there is no such earlier state", id), "choose one of the list");
    return std::nullopt;
  }
  return files::read_bytes(state.string(), problems);
}

void History::keep_note(std::string const& name, std::string const& line) const {
  Problems ignored;
  const auto path = shelf("notes", name, ignored);
  if (!path || note(name) == line) return;
  std::error_code fault;
  fs::create_directories(fs::path(*path).parent_path(), fault);
  fs::remove(*path, fault);
  files::write_new_file(*path, line, ignored);
}

std::string History::note(std::string const& name) const {
  Problems ignored;
  const auto path = shelf("notes", name, ignored);
  std::error_code fault;
  if (!path || !fs::is_regular_file(*path, fault)) return {};
  return files::read_bytes(*path, ignored).value_or("");
}

}  // namespace stripwright::page
