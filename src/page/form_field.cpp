#include "page/form_field.h"

#include <fmt/format.h>

#include <algorithm>

#include "page/form.h"

namespace stripwright::page {
namespace {

using report::Html;

/// From here on a text gets several lines.
constexpr std::size_t kLongLine = 60;

std::string sentence(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z')
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text + ".";
}

/// An attribute that is there or not.
std::string_view given(std::optional<std::string> const& text) {
  return text ? std::string_view(*text) : std::string_view();
}
std::string_view yes_if(bool yes) { return yes ? std::string_view("yes") : std::string_view(); }

/// What all elements of one field are called.
struct Names {
  explicit Names(FormField const& field)
      : id(field_id(field.path)),
        path(path_text(field.path)),
        described(fmt::format("{0}-wrong {0}-meaning", id)) {}

  std::string id;
  std::string path;
  std::string described;
};

void add_choice(Html& html, FormField const& field, Names const& names) {
  const auto now = field.now.value_or("");
  html.open("select", {{"id", names.id},
                       {"autocomplete", "off"},
                       {"data-path", names.path},
                       {"data-role", "value"},
                       {"data-was", given(field.was)},
                       {"data-optional", yes_if(!field.required)},
                       {"aria-invalid", field.error ? "true" : "false"},
                       {"aria-describedby", names.described}});
  const auto option = [&](std::string_view value, std::string_view words) {
    html.element("option", words,
                 {{"value", value},
                  {"selected", value == now ? std::string_view("selected") : std::string_view()}});
  };
  auto const& choices = field.choices;
  if (!field.required)
    option("", field.standard.empty() ? "left out" : fmt::format("left out: {}", field.standard));
  else if (now.empty())
    option("", "to be chosen");
  for (auto const& choice : choices) option(choice, choice);
  if (!now.empty() && std::find(choices.begin(), choices.end(), now) == choices.end())
    option(now, now);
  html.close();
}

void add_line(Html& html, FormField const& field, Names const& names) {
  const auto now = field.now.value_or("");
  if (field.whole_line && (now.size() > kLongLine || now.find('\n') != std::string::npos)) {
    html.element("textarea", now,
                 {{"id", names.id},
                  {"rows", "3"},
                  {"autocomplete", "off"},
                  {"data-path", names.path},
                  {"data-role", "value"},
                  {"data-was", given(field.was)},
                  {"data-optional", yes_if(!field.required)},
                  {"aria-invalid", field.error ? "true" : "false"},
                  {"aria-describedby", names.described}});
    return;
  }
  html.single("input", {{"id", names.id},
                        {"type", "text"},
                        {"class", field.whole_line || field.list ? "long" : "short"},
                        {"value", now},
                        {"autocomplete", "off"},
                        {"spellcheck", "false"},
                        {"data-path", names.path},
                        {"data-role", "value"},
                        {"data-was", given(field.was)},
                        {"data-optional", yes_if(!field.required)},
                        {"data-list", yes_if(field.list)},
                        {"aria-invalid", field.error ? "true" : "false"},
                        {"aria-describedby", names.described}});
}

}  // namespace

std::string in_words(std::string_view text) {
  std::string out;
  for (const char c : text)
    if (c != '`') out += c == '_' ? ' ' : c;
  return out;
}

std::string field_id(std::vector<std::string> const& path) {
  std::string out = "f";
  for (auto const& step : path) {
    out += '.';
    for (const char c : step) {
      const bool plain =
          (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-';
      out += plain ? std::string(1, c) : fmt::format("_{:02x}", static_cast<unsigned char>(c));
    }
  }
  return out;
}

std::string meaning_of(files::KeySpec const& key) {
  auto out = sentence(in_words(key.meaning));
  // What no rod and no machine reaches need not be told.
  const bool limit = key.range.lowest > -1e5 || key.range.highest < 1e5;
  if (const auto range = files::range_text(key); limit && !range.empty())
    out += " " + sentence(range);
  if (!key.required && !key.standard.empty()) out += fmt::format(" If left out: {}.", key.standard);
  return out;
}

void add_wrong(Html& html, std::string_view id, std::string_view wrong) {
  html.element("span", wrong, {{"id", fmt::format("{}-wrong", id)}, {"class", "at-field"}});
}

void add_form_field(Html& html, FormField const& field) {
  const Names names(field);
  html.open("div", {{"class", "field"}}).element("label", field.label, {{"for", names.id}});
  if (field.choices.empty())
    add_line(html, field, names);
  else
    add_choice(html, field, names);
  if (!field.beside.empty()) html.element("span", field.beside, {{"class", "unit"}});
  add_wrong(html, names.id, field.wrong);
  html.element("span", field.meaning + (field.required ? " Has to be given." : ""),
               {{"id", names.id + "-meaning"}, {"class", "meaning"}});
  html.close();
}

}  // namespace stripwright::page
