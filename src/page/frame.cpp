#include "page/frame.h"

#include <fmt/format.h>

#include <array>

#include "diagnostics/utf8.h"
#include "report/canvas.h"
#include "sheet/frame.h"
#include "units/parse.h"

namespace stripwright::page {
namespace {

struct MenuEntry {
  std::string_view path;
  std::string_view words;
};
constexpr std::array<MenuEntry, 4> kMenu = {{{"/", "Rods and shops"},
                                             {"/measure", "Measure"},
                                             {"/choose", "Choose six"},
                                             {"/learn", "Learn"}}};

void add_menu(report::Html& html, Frame const& frame) {
  html.open("nav", {{"aria-label", "main"}}).open("ul");
  for (auto const& [path, words] : kMenu) {
    html.open("li");
    html.element(
        "a", words,
        {{"href", path},
         {"aria-current", path == frame.menu ? std::string_view("page") : std::string_view()}});
    html.close();
  }
  html.close().close();
}

void add_unit_choice(report::Html& html, Request const& request) {
  const auto chosen = request.cookie("units");
  html.open("fieldset", {{"class", "units"}}).element("legend", "Figures in");
  for (auto const& [value, words] :
       {std::pair<std::string_view, std::string_view>{"", "file's unit"},
        {"in", "inch"},
        {"mm", "millimetre"}})
    html.element("button", words,
                 {{"type", "button"},
                  {"data-units", value},
                  {"aria-pressed", value == chosen ? "true" : "false"}});
  html.close();
}

}  // namespace

std::optional<Unit> chosen_unit(Request const& request) {
  const auto parsed = parse_unit(request.cookie("units"));
  return parsed ? std::optional(*parsed.value) : std::nullopt;
}

Response framed(Frame const& frame, Request const& request, std::string const& body, int status) {
  report::Html html;
  html.element("a", "To the page's content", {{"href", "#content"}, {"class", "skip"}})
      .open("header");
  add_menu(html, frame);
  add_unit_choice(html, request);
  html.close()
      .markup("<svg class=\"defs\" aria-hidden=\"true\" width=\"0\" height=\"0\">")
      .markup(report::Canvas::definitions())
      .markup("</svg>\n")
      .element("noscript", "These pages need JavaScript, which this browser has turned off.")
      .open("main", {{"id", "content"}, {"tabindex", "-1"}})
      .markup(body)
      .close()
      .element("div", "", {{"id", "say"}, {"role", "status"}, {"aria-live", "polite"}});
  const auto title = frame.title + " – stripwright";
  const auto whole = html.str();
  report::Page page{title, {}, {}, {}, whole};
  page.style_sheet = "/page.css";
  page.module = frame.script.empty() ? std::string_view("/page.js") : frame.script;
  return html_response(report::html_page(page), status);
}

Response sheet_response(std::string html) {
  auto response = html_response(std::move(html));
  // The sheet itself tells the rest of it, for when it lies on a disk; these count in a header
  // alone or only make sense where there is a server.
  response.headers.emplace_back(
      "Content-Security-Policy",
      sheet::sheet_policy() + "; form-action 'none'; base-uri 'none'; frame-ancestors 'none'");
  return response;
}

void add_problems(report::Html& html, Problems const& problems) {
  if (problems.empty()) return;
  html.open("ul", {{"class", "problems"}});
  for (auto const& problem : problems.list()) {
    const bool error = problem.severity == Severity::error;
    html.open("li", {{"class", error ? "wrong" : "odd"}});
    html.element("strong", error ? "Wrong: " : "Look: ");
    if (problem.place.line > 0)
      html.element("span", fmt::format("{}, line {}: ", problem.place.file, problem.place.line));
    else if (!problem.place.file.empty())
      html.element("span", problem.place.file + ": ");
    const bool way_out = !problem.remedy.empty();
    html.element("span", printable(problem.what) + (way_out ? "." : ""));
    if (way_out) html.element("span", printable(problem.remedy), {{"class", "remedy"}});
    html.close();
  }
  html.close();
}

std::string problems_html(Problems const& problems) {
  report::Html html;
  add_problems(html, problems);
  return html.str();
}

Response problem_page(Request const& request, Problems const& problems, int status) {
  report::Html html;
  html.element("h1", "This cannot be shown");
  add_problems(html, problems);
  html.open("p").element("a", "Back to the folder", {{"href", "/"}, {"class", "button"}}).close();
  return framed({"This cannot be shown", "", ""}, request, html.str(), status);
}

void add_select(report::Html& html, std::string_view id, std::string_view label,
                std::vector<Option> const& options, std::string_view chosen) {
  html.open("p", {{"class", "field"}}).element("label", label, {{"for", id}});
  html.open("select", {{"id", id}, {"name", id}});
  for (auto const& option : options)
    html.element(
        "option", option.words,
        {{"value", option.value},
         {"selected", option.value == chosen ? std::string_view("selected") : std::string_view()}});
  html.close().close();
}

void add_field(report::Html& html, Field const& field) {
  const auto meaning_id = field.id + "-meaning";
  html.open("p", {{"class", "field"}}).element("label", field.label, {{"for", field.id}});
  html.single("input",
              {{"id", field.id},
               {"name", field.id},
               {"type", "text"},
               {"value", field.value},
               {"autocomplete", "off"},
               {"spellcheck", "false"},
               {"aria-describedby", field.meaning.empty() ? std::string_view() : meaning_id}});
  if (!field.beside.empty()) html.element("span", field.beside, {{"class", "unit"}});
  if (!field.meaning.empty())
    html.element("span", field.meaning, {{"id", meaning_id}, {"class", "meaning"}});
  html.close();
}

void add_part(report::Html& html, std::string_view id, std::string const& content,
              std::string_view label) {
  if (label.empty())
    html.open("div", {{"id", id}});
  else
    html.open("div", {{"id", id}, {"role", "group"}, {"aria-label", label}});
  html.markup(content).close();
}

}  // namespace stripwright::page
