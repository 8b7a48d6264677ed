#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/profiles.h"
#include "files/slug.h"
#include "page/desk.h"
#include "page/frame.h"
#include "shop/read_shop.h"
#include "taper/read_taper.h"
#include "taper/write_taper.h"
#include "units/format.h"
#include "units/parse.h"

namespace stripwright::page {
namespace {

using report::Html;

/// What is told of a taper in the list: its sections and what it is for.
std::string taper_words(Taper const& taper) {
  std::string out;
  for (auto const& section : taper.sections)
    out += fmt::format("{}{}{}", out.empty() ? "" : ", ", section.name,
                       section.make > 1 ? fmt::format(" ×{}", section.make) : "");
  const auto length = taper.sections.back().to - taper.sections.front().from;
  return fmt::format("{}; {}", format_short(length, taper.unit), out);
}

void add_entry(Html& html, std::string const& href, std::string const& title,
               std::string const& words, std::string const& file) {
  html.open("li")
      .open("a", {{"href", href}})
      .element("strong", title)
      .element("span", words)
      .close()
      .element("span", file, {{"class", "file"}})
      .close();
}

void add_tapers(Html& html, Desk const& desk, std::vector<std::string> const& names) {
  html.element("h2", "Rods");
  if (names.empty())
    html.element("p", "No taper in this folder yet. Begin with a new one, or with an example.");
  html.open("ul", {{"class", "entries"}});
  for (auto const& name : names) {
    Problems problems;
    const auto file = desk.folder.read(name, problems);
    const auto taper = file ? read_taper(*file, problems) : std::nullopt;
    add_entry(html, address("/rod", {{"file", name}}), taper ? taper->name : name,
              taper ? taper_words(*taper)
                    : fmt::format("{} to be put right",
                                  problems.errors() == 1 ? "something" : "several things"),
              name);
  }
  html.close();
}

/// What the built-in shop is called where an example is chosen, and its file.
constexpr char kBuiltInShop[] = "built-in";
constexpr char kFirstShop[] = "shop.yaml";

/// The first shop of a folder: the built-in one is there whatever else was installed.
void add_first_shop(Html& html) {
  html.element("p",
               "No shop in this folder yet, so the built-in one serves, whose figures are not "
               "yours. Take it as an example to begin with, and put in what is yours.");
  html.open("form", {{"data-send", "/rods/example"}})
      .single("input", {{"type", "hidden"}, {"name", "example"}, {"value", kBuiltInShop}})
      .element("button", fmt::format("Put an example shop here, {}", kFirstShop))
      .close();
}

void add_shops(Html& html, Desk const& desk, std::vector<std::string> const& names) {
  html.element("h2", "Shops");
  if (names.empty()) add_first_shop(html);
  html.open("ul", {{"class", "entries"}});
  for (auto const& name : names) {
    Problems problems;
    const auto file = desk.folder.read(name, problems);
    const auto shop = file ? read_shop(*file, problems) : std::nullopt;
    std::vector<std::string_view> machines;
    if (shop)
      for (auto const& machine : shop->machines) machines.push_back(machine.name);
    add_entry(html, address("/shop", {{"file", name}}), shop ? shop->name : name,
              shop ? fmt::format("{}", fmt::join(machines, ", ")) : "something to be put right",
              name);
  }
  html.close();
}

void add_readings(Html& html, std::vector<std::string> const& names) {
  if (names.empty()) return;
  html.element("h2", "Readings").open("ul", {{"class", "entries"}});
  for (auto const& name : names)
    add_entry(html, address("/measure", {{"readings", name}}), name, "go on measuring", "");
  html.close();
}

std::vector<Option> examples() {
  std::vector<Option> out;
  for (const auto kind : {cli::ProfileKind::taper, cli::ProfileKind::shop}) {
    const bool taper = kind == cli::ProfileKind::taper;
    for (auto const& file : cli::list_profiles(kind))
      out.push_back({fmt::format("{}:{}", taper ? "taper" : "shop", file.name),
                     fmt::format("{} {}", taper ? "rod" : "shop", file.name)});
  }
  return out;
}

void add_beginnings(Html& html) {
  html.element("h2", "Begin");
  const auto known = examples();
  if (!known.empty()) {
    html.open("details").element("summary", "A copy of an example");
    html.open("form", {{"data-send", "/rods/example"}});
    add_select(html, "example", "Example", known, "");
    add_field(html, {"example-file", "Name of the file", "",
                     "ends in .yaml; left empty: as the example"});
    html.element("button", "Copy it into this folder", {{"class", "main"}}).close().close();
  }
  html.open("details").element("summary", "A new taper");
  html.open("form", {{"data-send", "/rods/new"}});
  add_field(html, {"name", "What the rod is called", ""});
  add_select(html, "unit", "Bare numbers are", {{"in", "inches"}, {"mm", "millimetres"}}, "in");
  add_select(html, "measured", "Its flats are",
             {{"bare", "of bare cane"}, {"varnished", "over the varnish"}}, "bare");
  add_field(html,
            {"to", "Length of cane", "",
             "from the tip end to the butt end, without ferrules; any unit: 84, 7 ft, 2130 mm"});
  add_field(html, {"step", "A station every", "", "5 in, say; any unit"});
  add_field(html, {"thin", "Across flats at the tip end", ""});
  add_field(html, {"thick", "Across flats at the butt end", "",
                   "straight between; change each station afterwards"});
  add_select(html, "sections", "Sections, equally long",
             {{"1", "one"}, {"2", "two"}, {"3", "three"}, {"4", "four"}}, "2");
  html.element("button", "Make the taper", {{"class", "main"}}).close().close();
}

Response rods(Desk const& desk, Request const& request) {
  Html html;
  html.element("h1", "Rods and shops");
  html.element("p",
               desk.folder.root() == "." ? std::filesystem::current_path().string()
                                         : desk.folder.root().string(),
               {{"class", "file"}});
  std::vector<std::string> tapers, shops, readings;
  for (auto& entry : desk.folder.list()) {
    if (entry.kind == FileKind::taper)
      tapers.push_back(std::move(entry.name));
    else if (entry.kind == FileKind::shop)
      shops.push_back(std::move(entry.name));
    else if (entry.kind == FileKind::readings)
      readings.push_back(std::move(entry.name));
  }
  html.markup("<div id=\"problems\"></div>\n");
  add_tapers(html, desk, tapers);
  add_shops(html, desk, shops);
  add_readings(html, readings);
  add_beginnings(html);
  if (desk.gate.shared() && request.door == Door::own)
    html.element("h2", "Another device")
        .open("form", {{"data-send", "/share"}})
        .element("button", "Make an address for one more device")
        .close()
        .markup("<p id=\"shared-address\"></p>\n");
  return framed({"Rods and shops", "/", ""}, request, html.str());
}

/// The file's name for a new file, from what was asked for or from the rod's name.
std::string yaml_name(std::string const& asked, std::string const& otherwise) {
  auto name = asked.empty() ? files::file_slug(otherwise) : asked;
  if (!name.ends_with(".yaml") && !name.ends_with(".yml")) name += ".yaml";
  return name;
}

Response made(Desk const& desk, std::string const& path, std::string const& name,
              std::string const& bytes) {
  Problems problems;
  if (desk.history.save(name, std::nullopt, bytes, problems) != Saved::done)
    return refusal(problems);
  Order out = Parts().json();
  out["go"] = address(path, {{"file", name}});
  return json_response(out);
}

/// An example's bytes without its first line, which names the schema by where it lies from the
/// example.
std::string without_schema(files::SourceText const& source) {
  std::string bytes(source.text());
  if (bytes.starts_with("# yaml-language-server:")) bytes.erase(0, bytes.find('\n') + 1);
  return bytes;
}

Response copy_example(Desk const& desk, Request const&, Order const& order) {
  const auto example = text_in(order, "example");
  if (example == kBuiltInShop)
    return made(desk, "/shop", kFirstShop, without_schema(embedded_shop_source()));
  const auto colon = example.find(':');
  if (colon == std::string::npos) return refusal("choose an example");
  const bool taper = example.starts_with("taper:");
  const auto kind = taper ? cli::ProfileKind::taper : cli::ProfileKind::shop;
  const auto known = cli::list_profiles(kind);
  const auto found = std::find_if(known.begin(), known.end(), [&](auto const& file) {
    return file.name == example.substr(colon + 1);
  });
  if (found == known.end()) return refusal("there is no such example");
  Problems problems;
  const auto source = files::read_source(found->path, problems);
  if (!source) return refusal(problems);
  return made(desk, taper ? "/rod" : "/shop",
              yaml_name(text_in(order, "example-file"), found->name), without_schema(*source));
}

/// A length of the form; a problem where it is none or not above 0.
Length length_in(Order const& order, char const* key, std::string_view what, Unit unit,
                 Problems& problems) {
  const auto parsed = parse_length(text_in(order, key), unit);
  if (!parsed)
    problems.error(fmt::format("{}: {}", what, parsed.fault), parsed.remedy);
  else if (*parsed.value <= Length{})
    problems.error(fmt::format("{}: must be above 0", what));
  return parsed ? *parsed.value : Length{};
}

Response new_taper(Desk const& desk, Request const&, Order const& order) {
  Problems problems;
  Taper taper;
  taper.name = text_in(order, "name");
  if (taper.name.empty()) problems.error("the rod has no name", "Dogrose, say");
  taper.unit = text_in(order, "unit") == "mm" ? Unit::millimetre : Unit::inch;
  taper.measured = text_in(order, "measured") == "varnished" ? Measured::varnished : Measured::bare;
  const auto to = length_in(order, "to", "length of cane", taper.unit, problems);
  const auto step = length_in(order, "step", "a station every", taper.unit, problems);
  const auto thin = length_in(order, "thin", "at the tip end", taper.unit, problems);
  const auto thick = length_in(order, "thick", "at the butt end", taper.unit, problems);
  constexpr double kMostSteps = 1000;
  if (!problems.any_error() && (step > to || to / step > kMostSteps))
    problems.error("a station every: not so many times into the length", "5 in, say");
  if (problems.any_error()) return refusal(problems);
  for (int i = 0; static_cast<double>(i) * step < to - kSamePlace; ++i) {
    const Length at = static_cast<double>(i) * step;
    taper.points.push_back({Station(at), thin + (at / to) * (thick - thin)});
  }
  taper.points.push_back({Station(to), thick});
  const auto asked = text_in(order, "sections");
  const int count = asked.size() == 1 && asked[0] >= '1' && asked[0] <= '4' ? asked[0] - '0' : 2;
  constexpr std::string_view kNames[4][4] = {
      {"rod"}, {"tip", "butt"}, {"tip", "mid", "butt"}, {"tip", "upper mid", "lower mid", "butt"}};
  for (int i = 0; i < count; ++i)
    taper.sections.push_back({std::string(kNames[count - 1][i]),
                              Station((static_cast<double>(i) / count) * to),
                              Station((static_cast<double>(i + 1) / count) * to)});
  const auto text = new_taper_text(taper, {});
  const auto name = yaml_name("", taper.name);
  if (!read_taper(files::SourceText(name, text), problems)) return refusal(problems);
  return made(desk, "/rod", name, text);
}

Response share(Desk const& desk, Request const& request, Order const&) {
  if (request.door != Door::own || !desk.gate.shared())
    return refusal("only at the machine where the page runs", 403);
  Parts parts;
  std::string words = "Open at the other device, once: ";
  const auto key = desk.gate.new_key();
  for (auto const& host : desk.gate.shared_hosts())
    words += fmt::format("http://{}/?key={} ", host, key);
  Html html;
  html.text(words);
  parts.html.emplace_back("shared-address", html.str());
  return json_response(parts.json());
}

/// The unit of figures on this device: a cookie, which lasts a year.
Response units(Desk const&, Request const&, Order const& order) {
  const auto unit = text_in(order, "units");
  if (!unit.empty() && unit != "in" && unit != "mm") return refusal("inch or millimetre");
  auto response = json_response(Parts().json());
  response.headers.emplace_back(
      "Set-Cookie", fmt::format("units={}; SameSite=Strict; Path=/; Max-Age=31536000", unit));
  return response;
}

}  // namespace

std::vector<Route> rods_routes() {
  return {{"/", rods, nullptr},
          {"/rods/example", nullptr, copy_example},
          {"/rods/new", nullptr, new_taper},
          {"/share", nullptr, share},
          {"/units", nullptr, units}};
}

}  // namespace stripwright::page
