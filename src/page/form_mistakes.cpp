#include "page/form_mistakes.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "diagnostics/utf8.h"

namespace stripwright::page {
namespace {

using files::YamlNode;
using Path = std::vector<std::string>;

bool begins_with(Path const& path, Path const& start) {
  return path.size() >= start.size() && std::equal(start.begin(), start.end(), path.begin());
}

/// Whether a key of that path is at the place; else what stands there is.
bool is_at_key(DraftedFile const& file, Path const& path, Place const& place) {
  const Path above(path.begin(), path.end() - 1);
  auto const* map = node_at(*file.tree, above);
  if (!map || map->kind != YamlNode::Kind::map) return false;
  return std::any_of(map->entries.begin(), map->entries.end(), [&](auto const& entry) {
    const auto at = file.text->place(entry.key.offset);
    return entry.key.text == path.back() && at.line == place.line && at.column == place.column;
  });
}

/// What changes call the item of that number of the list at `path`.
std::string item_step(DraftedFile const& file, std::vector<DraftChange> const& changes,
                      Path const& path, std::size_t number) {
  auto const* list = file.base ? node_at(*file.base, path) : nullptr;
  const auto there = list ? list->items.size() : 0;
  for (std::size_t i = 0; i < there; ++i) {
    Path item = path;
    item.push_back(fmt::format("{}", i));
    const bool out = std::any_of(changes.begin(), changes.end(), [&](auto const& change) {
      return change.path == item && !change.now && !change.key;
    });
    if (!out && number-- == 0) return item.back();
  }
  std::vector<std::string> added;
  for (auto const& change : changes) {
    if (!change.now || change.path.size() <= path.size() || !begins_with(change.path, path))
      continue;
    auto const& step = change.path[path.size()];
    if (step.starts_with('+') && std::find(added.begin(), added.end(), step) == added.end())
      added.push_back(step);
  }
  return number < added.size() ? added[number] : fmt::format("{}", there + number);
}

std::string key_step(std::vector<DraftChange> const& changes, Path const& path,
                     std::string const& key) {
  for (auto const& change : changes)
    if (change.key == key && change.path.size() == path.size() + 1 &&
        begins_with(change.path, path))
      return change.path.back();
  return key;
}

}  // namespace

std::vector<Mistake> mistakes_in(DraftedFile const& file, Problems const& problems) {
  std::vector<Mistake> out;
  if (!file.tree) return out;
  for (auto const& problem : problems.list()) {
    if (problem.place.file != file.name || problem.place.line == 0) continue;
    Mistake mistake;
    mistake.path = path_near(*file.tree, *file.text, problem.place);
    mistake.place = problem.place;
    mistake.at_key = !mistake.path.empty() && is_at_key(file, mistake.path, problem.place);
    mistake.error = problem.severity == Severity::error;
    mistake.what = printable(problem.what);
    mistake.text = fmt::format("{}{}{}{}", mistake.error ? "Wrong: " : "Look: ", mistake.what,
                               problem.remedy.empty() ? "" : ". ", printable(problem.remedy));
    out.push_back(std::move(mistake));
  }
  return out;
}

Path path_of_change(DraftedFile const& file, std::vector<DraftChange> const& changes,
                    Path const& in_draft) {
  Path out;
  auto const* node = file.tree ? &*file.tree : nullptr;
  for (auto const& step : in_draft) {
    std::size_t number = 0;
    const bool item =
        node && node->kind == YamlNode::Kind::sequence &&
        std::from_chars(step.data(), step.data() + step.size(), number).ec == std::errc();
    out.push_back(item ? item_step(file, changes, out, number) : key_step(changes, out, step));
    node = node ? node_at(*node, {step}) : nullptr;
  }
  return out;
}

}  // namespace stripwright::page
