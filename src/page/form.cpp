#include "page/form.h"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "page/form_field.h"
#include "page/form_mistakes.h"
#include "units/unit.h"

namespace stripwright::page {
namespace {

using files::KeySpec;
using files::MapSpec;
using files::ValueKind;
using files::YamlNode;
using report::Html;
using Path = std::vector<std::string>;

std::string title(std::string_view key) {
  auto out = in_words(key);
  if (!out.empty() && out[0] >= 'a' && out[0] <= 'z') out[0] = static_cast<char>(out[0] - 32);
  return out;
}

bool is_map(YamlNode const* node) { return node && node->kind == YamlNode::Kind::map; }

bool is_list_kind(ValueKind kind) {
  return kind == ValueKind::length_list || kind == ValueKind::name_list ||
         kind == ValueKind::text_list;
}

/// Of two kinds that a key may have, the one it is written in.
ValueKind kind_here(KeySpec const& key, YamlNode const* node) {
  if (key.or_kind == ValueKind::none || !node || node->kind == YamlNode::Kind::null)
    return key.kind;
  const bool map = is_map(node);
  for (const auto kind : {key.kind, key.or_kind})
    if ((kind == ValueKind::map) == map) return kind;
  return key.kind;
}

Path below(Path path, std::string_view step) {
  path.emplace_back(step);
  return path;
}

/// The first key that something new must have, or may.
std::string_view first_key(MapSpec const& spec) {
  const auto found = std::find_if(spec.keys.begin(), spec.keys.end(),
                                  [](KeySpec const& key) { return key.required; });
  return found == spec.keys.end() ? spec.keys.front().name : found->name;
}

class Form {
 public:
  explicit Form(FormOf const& of)
      : of_(of),
        unit_(text_at(*of.file.tree, {"unit"}).value_or("")),
        mistakes_(mistakes_in(of.file, of.problems)) {}

  void all() { keys(of_.spec, {}); }

  std::string html() const { return html_.str(); }
  Order mistakes() const { return told_; }

 private:
  YamlNode const* node(Path const& path) const { return node_at(*of_.file.tree, path); }
  Path sent(Path const& path) const { return path_of_change(of_.file, of_.changes, path); }
  std::optional<std::string> was(Path const& sent) const {
    return of_.file.base ? text_at(*of_.file.base, sent) : std::nullopt;
  }

  /// What is told of a map's own keys belongs to the map, or to the key that it lacks.
  void place_mistakes(MapSpec const& spec, Path const& path) {
    for (auto& mistake : mistakes_) {
      const bool of_key = mistake.at_key && mistake.path.size() == path.size() + 1 &&
                          std::equal(path.begin(), path.end(), mistake.path.begin());
      const auto known = [&](KeySpec const& key) { return key.name == mistake.path.back(); };
      if (of_key && std::any_of(spec.keys.begin(), spec.keys.end(), known)) mistake.path = path;
      if (mistake.path != path) continue;
      // A key that is not there has no place of its own: `check_map_keys` names it.
      for (auto const& key : spec.keys)
        if (mistake.what.ends_with(fmt::format(" lacks the key '{}'", key.name)))
          mistake.path = below(path, key.name);
    }
  }

  struct Told {
    std::string text;
    bool error = false;
  };
  /// What is told of a path, and below it where that has no fields of its own.
  Told told(Path const& path, bool with_below) {
    Told out;
    for (auto const& mistake : mistakes_) {
      if (mistake.path.size() < path.size() ||
          !std::equal(path.begin(), path.end(), mistake.path.begin()) ||
          (!with_below && mistake.path.size() != path.size()))
        continue;
      out.text += (out.text.empty() ? "" : " ") + mistake.text;
      out.error = out.error || mistake.error;
    }
    if (!out.text.empty()) told_[field_id(sent(path))] = {{"text", out.text}, {"wrong", out.error}};
    return out;
  }

  void keys(MapSpec const& spec, Path const& path) {
    place_mistakes(spec, path);
    if (!path.empty()) add_wrong(html_, field_id(sent(path)), told(path, false).text);
    const auto elsewhere = [&](KeySpec const& key) {
      auto const& out = of_.leave_out;
      return path.empty() && std::find(out.begin(), out.end(), key.name) != out.end();
    };
    const auto is_format = [](KeySpec const& key) { return key.kind == ValueKind::format; };
    for (auto const& key : spec.keys)
      if (!is_format(key) && !elsewhere(key)) one(key, below(path, key.name));
    // Nobody has to change it: last.
    for (auto const& key : spec.keys)
      if (is_format(key) && !elsewhere(key)) one(key, below(path, key.name));
    auto const* map = node(path);
    for (std::size_t i = 0; is_map(map) && i < map->entries.size(); ++i) {
      auto const& name = map->entries[i].key.text;
      const auto known = [&](KeySpec const& key) { return key.name == name; };
      if (std::none_of(spec.keys.begin(), spec.keys.end(), known)) unknown(below(path, name));
    }
  }

  void one(KeySpec const& key, Path const& path) {
    auto const* there = node(path);
    const auto kind = kind_here(key, there);
    switch (kind) {
      case ValueKind::map:
        return is_map(there) || !there ? map(key, path) : odd(key, path);
      case ValueKind::named_maps:
      case ValueKind::machines:
      case ValueKind::named_lengths:
        return is_map(there) || !there ? named(key, path) : odd(key, path);
      case ValueKind::map_list:
        return !there || there->kind == YamlNode::Kind::sequence ? list(key, path) : odd(key, path);
      case ValueKind::flats_table:
      case ValueKind::none:
        return;
      default:
        return there && there->kind != YamlNode::Kind::null && !text_at(*of_.file.tree, path)
                   ? odd(key, path)
                   : field(key, kind, path, title(key.name));
    }
  }

  void field(KeySpec const& key, ValueKind kind, Path const& path, std::string const& label) {
    FormField out;
    out.path = sent(path);
    out.label = label;
    out.meaning = meaning_of(key);
    out.list = is_list_kind(kind);
    if (out.list) out.meaning += " Several, with commas between.";
    const bool length = kind == ValueKind::length || kind == ValueKind::length_list ||
                        kind == ValueKind::named_lengths;
    if (length) out.beside = unit_;
    out.was = was(out.path);
    out.now = text_at(*of_.file.tree, path);
    out.required = key.required;
    out.whole_line = kind == ValueKind::text;
    out.standard = key.standard;
    out.choices = choices(key, kind, path);
    const auto wrong = told(path, true);
    out.wrong = wrong.text;
    out.error = wrong.error;
    add_form_field(html_, out);
  }

  std::vector<std::string> choices(KeySpec const& key, ValueKind kind, Path const& path) const {
    if (kind == ValueKind::unit) return {"in", "mm"};
    if (kind == ValueKind::yes_no) return {"true", "false"};
    if (kind == ValueKind::format) return {std::string(key.standard)};
    if (kind != ValueKind::choice) return {};
    // A machine's kind decides which keys it has: the table of each knows only its own.
    if (path.size() == 3 && key.name == "kind")
      for (auto const& top : of_.spec.keys)
        if (top.kind == ValueKind::machines && top.name == path[0]) {
          std::vector<std::string> words;
          for (auto const& each : top.kinds) words.emplace_back(each.word);
          return words;
        }
    return {key.choices.begin(), key.choices.end()};
  }

  void map(KeySpec const& key, Path const& path) {
    const auto id = field_id(sent(path));
    if (!node(path) && !key.required) {
      html_.open("details", {{"id", id}, {"class", "map"}})
          .element("summary", title(key.name) + ": left out");
      html_.element("p", meaning_of(key), {{"class", "meaning"}});
      keys(*key.map, path);
      html_.close();
      return;
    }
    html_.open("fieldset", {{"id", id}, {"class", path.size() == 1 ? "map first" : "map"}})
        .element("legend", title(key.name));
    html_.element("p", meaning_of(key), {{"class", "meaning"}});
    keys(*key.map, path);
    if (!key.required && path.size() > 1) take_out(path, in_words(key.name));
    html_.close();
  }

  void take_out(Path const& path, std::string const& what) {
    const auto called = sent(path);
    const auto text = was(called);
    const bool in_file = of_.file.base && node_at(*of_.file.base, called);
    html_.open("p", {{"class", "field"}});
    html_.element("button", fmt::format("Take out {}", what),
                  {{"type", "button"},
                   {"data-out", path_text(called)},
                   {"data-new", in_file ? std::string_view() : std::string_view("yes")},
                   {"data-text", text ? std::string_view(*text) : std::string_view()}});
    html_.close();
  }

  /// The keys of a map with a name: by its kind, where kinds differ.
  void named_keys(KeySpec const& key, Path const& path) {
    if (key.kind != ValueKind::machines) return keys(*key.map, path);
    const auto word = text_at(*of_.file.tree, below(path, "kind")).value_or("");
    for (auto const& kind : key.kinds)
      if (kind.word == word) return keys(kind.map, path);
    // Of any kind, or of none: only which one can be said.
    auto const& any = key.kinds.front().map;
    add_wrong(html_, field_id(sent(path)), told(path, false).text);
    one(files::find_key(any, "kind"), below(path, "kind"));
  }

  /// A group of fields: what it is, what it means, what is wrong with it as a whole.
  void open_group(KeySpec const& key, Path const& path) {
    const auto id = field_id(sent(path));
    html_.open("fieldset", {{"id", id}, {"class", path.size() == 1 ? "map first" : "map"}})
        .element("legend", title(key.name));
    html_.element("p", meaning_of(key), {{"class", "meaning"}});
    add_wrong(html_, id, told(path, false).text);
  }

  void named(KeySpec const& key, Path const& path) {
    open_group(key, path);
    auto const* there = node(path);
    for (std::size_t i = 0; there && i < there->entries.size(); ++i) {
      auto const& name = there->entries[i].key.text;
      if (key.kind == ValueKind::named_lengths)
        field(key, key.kind, below(path, name), name);
      else
        with_name(key, below(path, name), name);
    }
    add_another(key, path);
    html_.close();
  }

  void with_name(KeySpec const& key, Path const& path, std::string const& name) {
    const auto kind = key.kind == ValueKind::machines
                          ? text_at(*of_.file.tree, below(path, "kind")).value_or("")
                          : std::string();
    html_.open("details", {{"id", field_id(sent(path))}, {"class", "item"}, {"data-name", name}})
        .element("summary", kind.empty() ? name : fmt::format("{} ({})", name, kind));
    name_line(path, name);
    if (is_map(node(path)))
      named_keys(key, path);
    else
      add_wrong(html_, field_id(sent(path)), told(path, true).text);
    take_out(path, name);
    html_.close();
  }

  /// The name itself; of what is not in the file yet it is that of the paths to it.
  void name_line(Path const& path, std::string const& name) {
    const auto called = sent(path);
    if (!of_.file.base || !node_at(*of_.file.base, called)) return;
    const auto id = field_id(called) + "-name";
    html_.open("p", {{"class", "field"}})
        .element("label", "Called", {{"for", id}})
        .single("input", {{"id", id},
                          {"type", "text"},
                          {"class", "long"},
                          {"value", name},
                          {"autocomplete", "off"},
                          {"spellcheck", "false"},
                          {"data-path", path_text(called)},
                          {"data-role", "key"}})
        .close();
  }

  /// A line to name one more by, and its kind where there are several.
  void add_another(KeySpec const& key, Path const& path) {
    const auto called = sent(path);
    const auto id = field_id(called) + "-another";
    const bool lengths = key.kind == ValueKind::named_lengths;
    const bool kinds = key.kind == ValueKind::machines;
    html_.open("div", {{"class", "field add"}})
        .element("label", "Another one, called", {{"for", id}})
        .single("input", {{"id", id}, {"type", "text"}, {"autocomplete", "off"}});
    if (kinds) {
      html_.element("label", "kind", {{"for", id + "-kind"}})
          .open("select", {{"id", id + "-kind"}, {"autocomplete", "off"}});
      for (auto const& each : key.kinds) html_.element("option", each.word, {{"value", each.word}});
      html_.close();
    }
    html_.element("button", "Add",
                  {{"type", "button"},
                   {"data-add", path_text(called)},
                   {"data-named", id},
                   {"data-kind", kinds ? std::string_view("kind") : std::string_view()},
                   {"data-first", lengths ? ""
                                  : kinds ? "kind"
                                          : first_key(*key.map)}});
    html_.close();
  }

  void list(KeySpec const& key, Path const& path) {
    open_group(key, path);
    auto const* there = node(path);
    for (std::size_t i = 0; there && i < there->items.size(); ++i) {
      const auto item = below(path, fmt::format("{}", i));
      html_.open("fieldset", {{"id", field_id(sent(item))}, {"class", "map"}})
          .element("legend", fmt::format("{} {}", title(key.name), i + 1));
      keys(*key.map, item);
      take_out(item, fmt::format("number {}", i + 1));
      html_.close();
    }
    html_.open("p", {{"class", "field"}})
        .element("button", "Add one",
                 {{"type", "button"},
                  {"data-add", path_text(sent(path))},
                  {"data-first", first_key(*key.map)}})
        .close();
    html_.close();
  }

  void unknown(Path const& path) {
    html_.open("div", {{"class", "field"}});
    html_.element("strong", path.back());
    html_.element("span",
                  fmt::format(" {}", text_at(*of_.file.tree, path).value_or("(more keys)")));
    add_wrong(html_, field_id(sent(path)), told(path, true).text);
    take_out(path, path.back());
    html_.close();
  }

  /// A key with something that its fields cannot hold.
  void odd(KeySpec const& key, Path const& path) {
    html_.open("div", {{"class", "field"}}).element("strong", title(key.name));
    html_.element("span", meaning_of(key), {{"class", "meaning"}});
    html_.element("p", "What the file has here cannot be changed on this page, only taken out.");
    add_wrong(html_, field_id(sent(path)), told(path, true).text);
    take_out(path, in_words(key.name));
    html_.close();
  }

  FormOf const& of_;
  std::string unit_;
  std::vector<Mistake> mistakes_;
  Order told_ = Order::object();
  Html html_;
};

}  // namespace

std::string form_html(FormOf const& of) {
  if (!of.file.tree || of.file.tree->kind != YamlNode::Kind::map) {
    Html html;
    html.element("p",
                 "The file is written in a way that these fields cannot show. Put right what is "
                 "wrong with an editor, or put an earlier state back.");
    return html.str();
  }
  Form form(of);
  form.all();
  return form.html();
}

Order form_mistakes(FormOf const& of) {
  if (!of.file.tree || of.file.tree->kind != YamlNode::Kind::map) return Order::object();
  Form form(of);
  form.all();
  return form.mistakes();
}

}  // namespace stripwright::page
