#include "page/drafted_file.h"

#include <nlohmann/json.hpp>

#include "files/keep_copy.h"
#include "page/frame.h"

namespace stripwright::page {
namespace {

using report::Html;

std::optional<files::YamlNode> tree_of(files::SourceText const& source) {
  Problems ignored;
  return files::parse_yaml(source, ignored);
}

}  // namespace

DraftedFile drafted_bytes(std::string const& name, std::string bytes,
                          std::vector<DraftChange> const& changes) {
  DraftedFile out;
  out.name = name;
  out.bytes = std::move(bytes);
  const files::SourceText source(name, out.bytes);
  out.base = tree_of(source);
  if (changes.empty())
    out.draft.bytes = out.bytes;
  else
    out.draft = drafted(source, out.bytes, changes);
  if (!out.draft) return out;
  out.text = files::SourceText(name, *out.draft.bytes);
  out.tree = tree_of(*out.text);
  return out;
}

std::optional<DraftedFile> drafted_file(Desk const& desk, std::string const& name,
                                        std::vector<DraftChange> const& changes,
                                        Problems& problems) {
  const auto path = desk.folder.path_of(name, problems);
  auto bytes = path ? files::read_bytes(*path, problems) : std::nullopt;
  if (!bytes) return std::nullopt;
  return drafted_bytes(name, std::move(*bytes), changes);
}

std::string tag_of(DraftedFile const& file) {
  return tag_of(files::SourceText(file.name, file.bytes));
}

std::string path_text(std::vector<std::string> const& path) {
  return Order(path).dump(-1, ' ', false, Order::error_handler_t::replace);
}

void open_draft(Html& html, std::string_view page, DraftedFile const& file) {
  html.open("div", {{"id", "draft"},
                    {"data-draft", page},
                    {"data-file", file.name},
                    {"data-seen", tag_of(file)}});
}

void add_draft_bar(Html& html) {
  html.open("div", {{"class", "bar"}})
      .element("button", "Save",
               {{"type", "button"}, {"id", "save"}, {"class", "main"}, {"disabled", "disabled"}})
      .element("button", "Undo", {{"type", "button"}, {"id", "undo"}, {"disabled", "disabled"}})
      .element("button", "Redo", {{"type", "button"}, {"id", "redo"}, {"disabled", "disabled"}})
      .element("a", "", {{"id", "trouble"}, {"class", "button"}, {"href", "#problems"}});
}

void add_earlier_states(Html& html) {
  html.open("details", {{"id", "earlier-states"}}).element("summary", "Earlier states");
  html.element("p",
               "Each time the file was saved here, what stood in it before was kept. To put one "
               "back keeps what stands there now, too.",
               {{"class", "meaning"}});
  add_part(html, "earlier", {});
  html.close();
}

}  // namespace stripwright::page
