#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "files/keep_copy.h"
#include "page/desk.h"
#include "page/frame.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"

namespace stripwright::page {
namespace {

/// Mistakes in a file, by what it is.
Problems mistakes(files::SourceText const& source) {
  Problems problems;
  if (source.text().find("stripwright-shop-") != std::string_view::npos)
    read_shop(source, problems);
  else
    read_taper(source, problems);
  return problems;
}

Response clash_response(Drafted const& draft) {
  Parts parts;
  parts.say = "Not saved: the file was changed outside where it was changed here.";
  auto json = parts.json();
  json["clashes"] = draft.clashes.size();
  return json_response(json, 409);
}

/// Saves changes into the file as it is now. What would have more mistakes than before is not
/// saved, for no command could read it.
Response save(Desk const& desk, Request const&, Order const& order) {
  const auto name = text_in(order, "file");
  const auto list = order.find("changes");
  const auto changes = list == order.end() ? std::nullopt : read_changes(*list);
  if (!changes) return refusal("what was sent cannot be read");
  Problems problems;
  const auto path = desk.folder.path_of(name, problems);
  const auto bytes = path ? files::read_bytes(*path, problems) : std::nullopt;
  if (!bytes) return refusal(problems, 404);
  const files::SourceText source(name, *bytes);
  const auto draft = drafted(source, *bytes, *changes);
  if (!draft.clashes.empty()) return clash_response(draft);
  if (!draft) return refusal(draft.problems);
  const files::SourceText now(name, *draft.bytes);
  const auto wrong = mistakes(now);
  if (wrong.errors() > mistakes(source).errors()) return refusal(wrong);
  const auto saved = desk.history.save(name, *bytes, *draft.bytes, problems);
  if (saved == Saved::failed || saved == Saved::changed_outside)
    return refusal(problems, saved == Saved::failed ? 500 : 409);
  Parts parts;
  parts.say = saved == Saved::same ? "Nothing to save." : fmt::format("Saved in {}.", name);
  auto json = parts.json();
  json["seen"] = tag_of(now);
  return json_response(json);
}

/// Whether a file was changed since a page was made: its state now.
Response state(Desk const& desk, Request const& request) {
  Problems problems;
  const auto file = desk.folder.read(request.value("file"), problems);
  return json_response({{"seen", tag_of(file)}});
}

Response earlier(Desk const& desk, Request const& request) {
  report::Html html;
  const auto list = desk.history.list(request.value("file"));
  if (list.empty()) html.element("p", "Nothing was saved here before.");
  html.open("ul", {{"class", "entries"}});
  for (auto const& each : list)
    html.open("li")
        .element("span", fmt::format("as it was until {}", each.when))
        .element("button", "Put this back", {{"type", "button"}, {"data-back", each.id}})
        .close();
  html.close();
  Parts parts;
  parts.html.emplace_back("earlier", html.str());
  return json_response(parts.json());
}

/// Puts an earlier state in the place of what is there now, whatever that is: where somebody else
/// is quicker, of what he has saved. A file that is gone is made again.
Saved replace_now(Desk const& desk, std::string const& name, std::string const& state,
                  Problems& problems) {
  constexpr int kTries = 50;
  auto saved = Saved::changed_outside;
  for (int i = 0; i < kTries && saved == Saved::changed_outside; ++i) {
    problems = {};
    const auto path = desk.folder.path_of(name, problems);
    Problems ignored;
    const auto bytes = path ? files::read_bytes(*path, ignored) : std::nullopt;
    saved = desk.history.save(name, bytes, state, problems);
  }
  return saved;
}

/// Puts an earlier state back; the one that it replaces is kept as well.
Response put_back(Desk const& desk, Request const&, Order const& order) {
  const auto name = text_in(order, "file");
  Problems problems;
  const auto old = desk.history.bytes(name, text_in(order, "id"), problems);
  if (!old) return refusal(problems, 404);
  const auto saved = replace_now(desk, name, *old, problems);
  if (saved == Saved::failed || saved == Saved::changed_outside)
    return refusal(problems, saved == Saved::failed ? 500 : 409);
  Parts parts;
  parts.say = "Put back.";
  return json_response(parts.json());
}

}  // namespace

std::vector<Route> file_routes() {
  return {{"/file/save", nullptr, save},
          {"/file/state", state, nullptr},
          {"/file/earlier", earlier, nullptr},
          {"/file/back", nullptr, put_back}};
}

}  // namespace stripwright::page
