#include <fmt/format.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/setup_output.h"
#include "files/keep_copy.h"
#include "page/frame.h"
#include "page/rod_view.h"

namespace stripwright::page {
namespace {

using report::Html;

/// Files that a set-up writes, and what a browser is told they are. None is shown as a page: a
/// drawing could hold a script.
std::string_view type_of(std::string const& ending) {
  if (ending == ".csv") return "text/csv; charset=utf-8";
  if (ending == ".svg") return "image/svg+xml";
  if (ending == ".dxf") return "image/vnd.dxf";
  if (ending == ".ngc" || ending == ".json") return "text/plain; charset=utf-8";
  return {};
}

/// Writes what `setup` writes for the same, where it would. A file that somebody has changed there
/// is not replaced but with `force`.
Response write_files(Desk const& desk, Request const& request, Order const& sent) {
  auto order = rod_order(request, sent);
  if (!order) return refusal("what was sent cannot be read");
  if (!order->changes.empty()) return refusal("save first: files are made from what is saved", 409);
  const std::lock_guard lock(desk.writing);
  Problems problems;
  const auto view = view_rod(desk, std::move(*order), problems);
  if (!view) return refusal(problems, 404);
  if (view->setups.empty()) return refusal(view->problems);
  cli::SetupResult result{*view->inputs, *view->machine, view->gauge, view->setups, "", {}};
  const auto within = cli::default_folder(*view->inputs, *view->machine);
  const auto table = desk.folder.path_of(within + "/stations.csv", problems);
  if (!table) return refusal(problems);
  result.folder = std::filesystem::path(*table).parent_path().string();
  auto options = options_of(desk, view->order, problems);
  options.force = yes_in(sent, "force");
  const auto written = cli::write_setup(result, options, cli::setup_files(result), problems);
  if (written != cli::ExitStatus::all_well)
    return refusal(problems, written == cli::ExitStatus::failed ? 500 : 409);
  Html html;
  html.element("p", fmt::format("In {}:", within)).open("ul", {{"class", "entries"}});
  for (auto const& name : result.file_names) {
    if (type_of(std::filesystem::path(name).extension().string()).empty()) continue;
    html.open("li")
        .element(
            "a", name,
            {{"href", address("/rod/file", {{"name", within + "/" + name}})}, {"download", name}})
        .close();
  }
  html.close();
  add_problems(html, problems);
  Parts parts;
  parts.html.emplace_back("files", html.str());
  parts.say = fmt::format("{} files written.", result.file_names.size());
  return json_response(parts.json());
}

/// One of these files, to be kept or sent to a machine.
Response one_file(Desk const& desk, Request const& request) {
  const auto name = request.value("name");
  const std::filesystem::path path(name);
  Problems problems;
  const auto type = type_of(path.extension().string());
  if (type.empty() || !name.starts_with("output/"))
    problems.error("this is no file of a set-up", "set a rod up, and write its files");
  const auto real = desk.folder.path_of(name, problems);
  const auto bytes =
      real && !problems.any_error() ? files::read_bytes(*real, problems) : std::nullopt;
  if (!bytes) return problem_page(request, problems);
  return {200,
          std::string(type),
          *bytes,
          {{"Content-Disposition",
            fmt::format("attachment; filename*=UTF-8''{}", in_address(path.filename().string()))}}};
}

}  // namespace

std::vector<Route> rod_file_routes() {
  return {{"/rod/files", nullptr, write_files}, {"/rod/file", one_file, nullptr}};
}

}  // namespace stripwright::page
