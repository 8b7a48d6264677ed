#include <fmt/format.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/choose.h"
#include "files/keep_copy.h"
#include "page/choice_view.h"
#include "page/frame.h"

namespace stripwright::page {
namespace {

using report::Html;

/// Whether a file is still what was read of it.
bool unchanged(files::SourceText const& source) {
  Problems ignored;
  const auto bytes = files::read_bytes(source.name(), ignored);
  return bytes && files::SourceText(source.name(), *bytes).text() == source.text();
}

/// Files that are in the way go into the history; what lies there is then as it shall be.
bool replace_kept(Desk const& desk, std::string const& folder,
                  std::vector<files::OutputFile> const& files, Problems& problems) {
  for (auto const& file : files) {
    const auto name = fmt::format("{}/{}", folder, file.name);
    Problems ignored;
    const auto path = desk.folder.path_of(name, problems);
    if (!path) return false;
    const auto there = files::read_bytes(*path, ignored);
    if (!there || *there == file.bytes) continue;
    if (desk.history.save(name, *there, file.bytes, problems) != Saved::done) return false;
  }
  return true;
}

std::string kept_html(std::string const& folder, std::vector<files::OutputFile> const& files,
                      Problems const& problems) {
  Html html;
  add_problems(html, problems);
  html.element("p", fmt::format("Kept in {}:", folder)).open("ul");
  for (auto const& file : files) html.element("li", file.name, {{"class", "file"}});
  html.close();
  const auto sheet = address("/choose/sheet", {{"file", fmt::format("{}/{}", folder, kGlueSheet)}});
  html.open("p", {{"class", "next"}})
      .element("a", "Sheet for the glue bench",
               {{"class", "button"}, {"href", sheet}, {"target", "_blank"}})
      .element("a", "When it is glued: learn", {{"class", "button"}, {"href", "/learn"}})
      .close();
  return html.str();
}

std::string in_the_way_html(Problems const& problems, std::string const& id) {
  Html html;
  add_problems(html, in_page_words(problems));
  html.element("p",
               "Replaced, they stay as they were in the page's history (.stripwright/before in "
               "this folder).")
      .element("button", "Replace them",
               {{"type", "button"}, {"data-keep", id}, {"data-replace", "yes"}});
  return html.str();
}

}  // namespace

std::string choice_folder(std::string const& taper) {
  return "output/" + std::filesystem::path(taper).stem().string();
}

Response keep_choice(Desk const& desk, Request const&, Order const& sent) {
  const auto choice = desk.choices.find(text_in(sent, "choice"));
  if (!choice) return refusal("These rings are no longer at hand: choose again.", 410);
  const std::lock_guard lock(choice->mutex);
  auto& choosing = *choice->choosing;
  if (!unchanged(choosing.inputs->taper_source) || !unchanged(*choosing.readings) ||
      (!choosing.inputs->shop_is_built_in && !unchanged(choosing.inputs->shop_source)))
    return refusal("Taper, shop or readings were changed since: choose again.", 409);
  const bool force = yes_in(sent, "replace");
  const std::lock_guard writing(desk.writing);
  const auto files = cli::files_of_choice(choosing);
  const auto file = choice->order.find("file");
  const auto folder = choice_folder(file == choice->order.end() ? std::string() : file->second);
  Problems problems;
  Parts parts;
  if (force && !replace_kept(desk, folder, files, problems))
    return refusal(in_page_words(problems), 500);
  const auto written = cli::write_choice(choosing, files, force, problems);
  if (written == files::Written::failed) return refusal(in_page_words(problems), 500);
  if (written == files::Written::refused) {
    parts.html.emplace_back("kept", in_the_way_html(problems, choice->id));
    parts.say = "Not kept: there are files that were edited since.";
    return json_response(parts.json(), 409);
  }
  parts.html.emplace_back("kept", kept_html(folder, files, problems));
  parts.say = fmt::format("Kept in {}.", folder);
  return json_response(parts.json());
}

Response glue_sheet(Desk const& desk, Request const& request) {
  Problems problems;
  const auto name = request.value("file");
  if (std::filesystem::path(name).filename() != kGlueSheet)
    problems.error("there is no such sheet", "choose rings and keep them");
  const auto file = problems.any_error() ? std::nullopt : desk.folder.read(name, problems);
  if (!file) return problem_page(request, problems);
  return sheet_response(std::string(file->text()));
}

}  // namespace stripwright::page
