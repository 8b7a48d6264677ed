#include "page/draft.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>
#include <set>

#include "files/yaml_rewrite.h"
#include "files/yaml_writing.h"
#include "units/parse.h"

namespace stripwright::page {
namespace {

using files::YamlEntry;
using files::YamlNode;
using Path = std::vector<std::string>;

constexpr std::size_t kDeepest = 16;

/// A value as it is to be written.
YamlNode written(std::string const& text, bool list) {
  if (!list) return files::scalar_node(text);
  YamlNode out;
  out.kind = YamlNode::Kind::sequence;
  for (auto& item : split(text)) out.items.push_back(files::scalar_node(std::move(item)));
  return out;
}

/// What is added below one node that is there already: paths from it on, and their values.
using Values = std::vector<std::pair<Path, YamlNode>>;
struct Additions {
  YamlNode const* below;
  Values values;
};

YamlNode grown(Values const& values, std::size_t depth) {
  std::vector<YamlEntry> entries;
  std::vector<std::string> done;
  bool list = false;
  for (auto const& [path, node] : values) {
    auto const& step = path[depth];
    if (std::find(done.begin(), done.end(), step) != done.end()) continue;
    done.push_back(step);
    list = list || step.starts_with('+');
    if (path.size() == depth + 1) {
      entries.push_back({files::scalar_node(step), node});
      continue;
    }
    Values deeper;
    for (auto const& value : values)
      if (value.first[depth] == step && value.first.size() > depth + 1) deeper.push_back(value);
    entries.push_back({files::scalar_node(step), grown(deeper, depth + 1)});
  }
  if (!list) return files::map_node(std::move(entries));
  YamlNode out;
  out.kind = YamlNode::Kind::sequence;
  for (auto& entry : entries) out.items.push_back(std::move(entry.value));
  return out;
}

/// `unit` is that of bare numbers in the file.
std::optional<Length> as_place(std::string const& text, Unit unit) {
  const auto parsed = parse_length(text, unit);
  return parsed ? std::optional(*parsed.value) : std::nullopt;
}

Unit unit_of(YamlNode const& root) {
  const auto text = text_at(root, {"unit"});
  const auto parsed = parse_unit(text.value_or(""));
  return parsed ? *parsed.value : Unit::inch;
}

/// Before which entry a new key belongs: by its place where all keys are places, else at the end.
std::size_t place_for(YamlNode const& map, std::string const& key, Unit unit) {
  const auto at = as_place(key, unit);
  std::size_t before = map.entries.size();
  for (std::size_t i = map.entries.size(); at && i-- > 0;) {
    const auto other = as_place(map.entries[i].key.text, unit);
    if (!other) return map.entries.size();
    if (*other > *at) before = i;
  }
  return before;
}

class Drafter {
 public:
  Drafter(files::YamlRewrite& rewrite, files::SourceText const& file, Drafted& out)
      : rewrite_(rewrite), root_(rewrite.root()), file_(file), out_(out) {}

  void make(std::vector<DraftChange> const& changes) {
    for (auto const& change : changes) one(change);
    for (auto const& additions : additions_) add(additions);
    take_out_whole(root_);
  }

 private:
  void refuse(std::size_t offset, std::string what) {
    add_problem(out_.problems, file_, offset, std::move(what),
                "change it in the file, with an editor");
  }

  void one(DraftChange const& change) {
    YamlNode const* node = &root_;
    YamlNode const* parent = nullptr;
    std::size_t index = 0;
    for (std::size_t depth = 0; depth < change.path.size(); ++depth) {
      const auto found = index_of(*node, change.path[depth]);
      if (!found) return missing(change, *node, depth);
      parent = node;
      index = *found;
      node = &child(*parent, index);
    }
    if (parent) there(change, *parent, index, *node);
  }

  void missing(DraftChange const& change, YamlNode const& node, std::size_t depth) {
    if (!change.now) return;  // neither there nor wanted
    if (change.was) {
      out_.clashes.push_back({change, std::nullopt});
      return;
    }
    Path rest(change.path.begin() + static_cast<std::ptrdiff_t>(depth), change.path.end());
    if (change.key) rest.back() = *change.key;
    const bool new_item = rest.front().starts_with('+');
    if (node.kind != (new_item ? YamlNode::Kind::sequence : YamlNode::Kind::map))
      return refuse(node.offset, "is not written in a way that this page can add to");
    auto found = std::find_if(additions_.begin(), additions_.end(),
                              [&](auto const& each) { return each.below == &node; });
    if (found == additions_.end()) found = additions_.insert(additions_.end(), {&node, {}});
    found->values.emplace_back(std::move(rest), written(*change.now, change.list));
  }

  void there(DraftChange const& change, YamlNode const& parent, std::size_t index,
             YamlNode const& node) {
    const auto text = text_of(node);
    const bool whole = !text && !change.now && !change.key;  // a map is taken out as it is
    const bool other = !text && node.kind != YamlNode::Kind::null && change.now;  // keys of its own
    if (other) {
      out_.clashes.push_back({change, std::nullopt, true});
      return;
    }
    if (!whole && text != change.was && text != change.now) {
      out_.clashes.push_back({change, text});
      return;
    }
    const bool rename = change.key && parent.kind == YamlNode::Kind::map;
    if (!change.now && (text || !rename)) {
      out_of_[&parent].insert(index);
      return;
    }
    if (rename && parent.entries[index].key.text != *change.key)
      rewrite_.set(parent.entries[index].key, *change.key);
    if (text == change.now) return;
    if (node.kind == YamlNode::Kind::scalar && !change.list)
      rewrite_.set(node, *change.now);
    else if (node.kind == YamlNode::Kind::sequence && !split(*change.now).empty())
      list(node, split(*change.now));
    else
      replace(parent, index, rename ? *change.key : change.path.back(),
              written(*change.now, change.list));
  }

  /// Another value in the place of one that no text can turn into it.
  void replace(YamlNode const& parent, std::size_t index, std::string key, YamlNode value) {
    rewrite_.take_out(parent, index);
    if (parent.kind == YamlNode::Kind::map)
      rewrite_.put_in(parent, index, {files::scalar_node(std::move(key)), std::move(value)});
    else
      rewrite_.put_in(parent, index, std::move(value));
  }

  /// Takes out what was marked for it, and what has nothing left then; true where that is `node`.
  bool take_out_whole(YamlNode const& node) {
    const auto count = std::max(node.entries.size(), node.items.size());
    std::set<std::size_t> gone;
    if (const auto marked = out_of_.find(&node); marked != out_of_.end()) gone = marked->second;
    for (std::size_t i = 0; i < count; ++i)
      if (!gone.contains(i) && take_out_whole(child(node, i))) gone.insert(i);
    const bool added = std::any_of(additions_.begin(), additions_.end(),
                                   [&](auto const& each) { return each.below == &node; });
    if (&node != &root_ && !gone.empty() && gone.size() == count && !added) return true;
    for (const auto index : gone) rewrite_.take_out(node, index);
    return false;
  }

  void list(YamlNode const& node, std::vector<std::string> const& items) {
    const auto both = std::min(items.size(), node.items.size());
    for (std::size_t i = 0; i < both; ++i)
      if (node.items[i].text != items[i]) rewrite_.set(node.items[i], items[i]);
    for (std::size_t i = both; i < node.items.size(); ++i) rewrite_.take_out(node, i);
    for (std::size_t i = both; i < items.size(); ++i)
      rewrite_.put_in(node, node.items.size(), files::scalar_node(items[i]));
  }

  void add(Additions const& additions) {
    auto tree = grown(additions.values, 0);
    for (auto& item : tree.items)
      rewrite_.put_in(*additions.below, additions.below->items.size(), std::move(item));
    const auto unit = unit_of(root_);
    const auto place_of = [&](YamlEntry const& entry) { return as_place(entry.key.text, unit); };
    if (std::all_of(tree.entries.begin(), tree.entries.end(), place_of))
      std::stable_sort(tree.entries.begin(), tree.entries.end(),
                       [&](auto const& a, auto const& b) { return *place_of(a) < *place_of(b); });
    for (auto& entry : tree.entries) {
      const auto before = place_for(*additions.below, entry.key.text, unit);
      rewrite_.put_in(*additions.below, before, std::move(entry));
    }
  }

  files::YamlRewrite& rewrite_;
  YamlNode const& root_;
  files::SourceText const& file_;
  Drafted& out_;
  std::vector<Additions> additions_;
  std::map<YamlNode const*, std::set<std::size_t>> out_of_;
};

std::optional<std::string> optional_text(nlohmann::ordered_json const& object, char const* key) {
  const auto found = object.find(key);
  if (found == object.end() || !found->is_string()) return std::nullopt;
  return found->get<std::string>();
}

}  // namespace

std::optional<std::vector<DraftChange>> read_changes(nlohmann::ordered_json const& json) {
  if (!json.is_array()) return std::nullopt;
  std::vector<DraftChange> out;
  for (auto const& each : json) {
    if (!each.is_object()) return std::nullopt;
    const auto path = each.find("path");
    if (path == each.end() || !path->is_array() || path->empty() || path->size() > kDeepest)
      return std::nullopt;
    DraftChange change;
    for (auto const& step : *path) {
      if (!step.is_string()) return std::nullopt;
      change.path.push_back(step.get<std::string>());
    }
    change.was = optional_text(each, "was");
    change.now = optional_text(each, "now");
    change.key = optional_text(each, "key");
    const auto list = each.find("list");
    change.list = list != each.end() && list->is_boolean() && list->get<bool>();
    out.push_back(std::move(change));
  }
  return out;
}

Drafted drafted(files::SourceText const& file, std::string const& bytes,
                std::vector<DraftChange> const& changes) {
  Drafted out;
  Problem problem;
  auto rewrite = files::YamlRewrite::open(file.name(), bytes, problem);
  if (!rewrite) {
    out.problems.add(std::move(problem));
    return out;
  }
  Drafter(*rewrite, file, out).make(changes);
  if (!out.clashes.empty() || out.problems.any_error()) return out;
  auto edit = rewrite->done();
  if (edit)
    out.bytes = std::move(edit.bytes);
  else
    out.problems.add(std::move(edit.problem));
  return out;
}

}  // namespace stripwright::page
