#include "files/yaml_rewrite.h"

#include <algorithm>
#include <cstdint>

#include "files/yaml_brackets.h"
#include "files/yaml_extent.h"
#include "files/yaml_writing.h"

namespace stripwright::files {
namespace {

constexpr std::size_t kIndentStep = 2;

struct Refused {
  std::size_t offset;
  std::string what;
};

constexpr char kTooOdd[] =
    "not written in a way in which it can be changed without risk to the rest";

std::size_t count(YamlNode const& collection) {
  return collection.kind == YamlNode::Kind::map ? collection.entries.size()
                                                : collection.items.size();
}

std::size_t begin_of(YamlNode const& collection, std::size_t index) {
  return collection.kind == YamlNode::Kind::map ? collection.entries[index].key.offset
                                                : collection.items[index].offset;
}

bool has_maps(YamlNode const& node) {
  return node.kind == YamlNode::Kind::sequence ||
         std::any_of(node.entries.begin(), node.entries.end(), [](YamlEntry const& entry) {
           return entry.value.kind == YamlNode::Kind::map;
         });
}

}  // namespace

/// Finds the pieces of text that change, and what the tree is then.
class YamlRewrite::Maker {
 public:
  explicit Maker(YamlRewrite const& order)
      : order_(order), text_(order.text_), line_end_(line_end_of(text_)) {}

  /// Throws Refused where a change cannot be made.
  YamlNode changed(YamlNode const& node) {
    YamlNode out = node;
    if (const auto text = order_.texts_.find(node.offset);
        text != order_.texts_.end() && node.kind == YamlNode::Kind::scalar) {
      const auto extent = scalar_extent(text_, node);
      if (!extent) throw Refused{node.offset, kTooOdd};
      splice(extent->begin, extent->end, yaml_scalar(text->second, text_[extent->begin]));
      out.text = text->second;
    }
    const auto changes = order_.changes_.find({node.offset, node.kind});
    const bool in_order = changes != order_.changes_.end();
    const Changes none;
    if (node.kind == YamlNode::Kind::map || node.kind == YamlNode::Kind::sequence)
      rebuild(node, in_order ? changes->second : none, out);
    if (in_order) {
      if (in_brackets(text_, node))
        change_brackets(node, changes->second);
      else
        change_lines(node, changes->second);
    }
    return out;
  }

  void remark(YamlNode const& root) {
    if (order_.remarks_.empty()) return;
    const auto start = line_start(root.offset);
    const bool own_line = only_blanks(start, root.offset);
    std::string lines;
    for (auto const& line : order_.remarks_) lines += "# " + line + std::string(line_end_);
    splice(own_line ? start : 0, own_line ? start : 0, std::move(lines));
  }

  std::string text() {
    std::stable_sort(splices_.begin(), splices_.end(), [](Splice const& a, Splice const& b) {
      return std::pair(a.begin, a.end) < std::pair(b.begin, b.end);
    });
    std::string out;
    std::size_t at = 0;
    for (auto const& each : splices_) {
      if (each.begin < at) throw Refused{each.begin, kTooOdd};
      out += text_.substr(at, each.begin - at);
      out += each.bytes;
      at = each.end;
    }
    return out += text_.substr(at);
  }

 private:
  struct Splice {
    std::size_t begin;
    std::size_t end;
    std::string bytes;
  };

  void splice(std::size_t begin, std::size_t end, std::string bytes) {
    splices_.push_back({begin, end, std::move(bytes)});
  }

  /// The collection's entries as they then are; changes below those that stay are made on the way.
  void rebuild(YamlNode const& node, Changes const& changes, YamlNode& out) {
    const bool map = node.kind == YamlNode::Kind::map;
    out.entries.clear();
    out.items.clear();
    for (std::size_t i = 0; i <= count(node); ++i) {
      if (const auto in = changes.in.find(i); in != changes.in.end())
        for (auto const& entry : in->second) {
          if (map)
            out.entries.push_back(entry);
          else
            out.items.push_back(entry.value);
        }
      if (i == count(node) || changes.out.contains(i)) continue;
      if (map)
        out.entries.push_back({changed(node.entries[i].key), changed(node.entries[i].value)});
      else
        out.items.push_back(changed(node.items[i]));
    }
  }

  std::size_t line_start(std::size_t at) const {
    const auto end = at == 0 ? std::string_view::npos : text_.rfind('\n', at - 1);
    return end == std::string_view::npos ? 0 : end + 1;
  }

  std::size_t next_line(std::size_t at) const {
    const auto end = text_.find('\n', at);
    return end == std::string_view::npos ? text_.size() : end + 1;
  }

  bool only_blanks(std::size_t from, std::size_t to) const {
    return text_.substr(from, to - from).find_first_not_of(' ') == std::string_view::npos;
  }

  std::size_t end_of(YamlNode const& collection, std::size_t index) const {
    const auto end = collection.kind == YamlNode::Kind::map
                         ? entry_end(text_, collection.entries[index])
                         : node_end(text_, collection.items[index]);
    if (!end) throw Refused{begin_of(collection, index), kTooOdd};
    return *end;
  }

  /// The start of the line on which an entry of a collection without brackets begins; refused
  /// where anything but its indent, and the dash of a list, stands before it.
  std::size_t first_line(YamlNode const& collection, std::size_t index) const {
    const auto at = begin_of(collection, index);
    const auto start = line_start(at);
    auto before = std::string(text_.substr(start, at - start));
    if (collection.kind == YamlNode::Kind::sequence)
      if (const auto dash = before.find('-'); dash != std::string::npos) before[dash] = ' ';
    if (before.find_first_not_of(' ') != std::string::npos) throw Refused{at, kTooOdd};
    return start;
  }

  std::string lines(YamlNode const& collection, YamlEntry const& entry, std::size_t indent) const {
    const std::string lead(indent, ' ');
    if (collection.kind == YamlNode::Kind::sequence)
      return lead + "- " + in_flow_style(entry.value) + std::string(line_end_);
    if (!has_maps(entry.value)) return lead + in_flow_style(entry) + std::string(line_end_);
    std::string out = lead + yaml_scalar(entry.key.text) + ":" + std::string(line_end_);
    for (auto const& below : entry.value.entries)
      out += lines(entry.value, below, indent + kIndentStep);
    for (auto const& item : entry.value.items)
      out += lines(entry.value, {{}, item}, indent + kIndentStep);
    return out;
  }

  void change_lines(YamlNode const& node, Changes const& changes) {
    if (count(node) == 0) throw Refused{node.offset, kTooOdd};
    for (const auto i : changes.out) splice(first_line(node, i), next_line(end_of(node, i)), "");
    const auto start = line_start(node.offset);
    if (!changes.in.empty() && !only_blanks(start, node.offset))
      throw Refused{node.offset, kTooOdd};
    for (auto const& [before, entries] : changes.in) {
      // Behind the line of the entry before it: a comment above the next one belongs to that.
      const auto at = before == 0 ? start : next_line(end_of(node, before - 1));
      std::string bytes;
      if (at == text_.size() && !text_.ends_with('\n')) bytes = line_end_;
      for (auto const& entry : entries) bytes += lines(node, entry, node.offset - start);
      splice(at, at, std::move(bytes));
    }
  }

  /// How far entries in brackets are indented that have lines of their own.
  std::size_t indent_in_brackets(YamlNode const& node) const {
    for (std::size_t i = 1; i < count(node); ++i) {
      const auto begin = begin_of(node, i), start = line_start(begin);
      if (only_blanks(start, begin)) return begin - start;
    }
    const auto begin = count(node) > 0 ? begin_of(node, 0) : node.offset + 1;
    return begin - line_start(begin);
  }

  void change_brackets(YamlNode const& node, Changes const& changes) {
    const auto whole = node_end(text_, node);
    if (!whole) throw Refused{node.offset, kTooOdd};
    BracketStretch fresh;
    fresh.indent = indent_in_brackets(node);
    fresh.line_end = line_end_;
    auto stretch = fresh;
    stretch.begin = node.offset + 1;
    for (std::size_t i = 0; i <= count(node); ++i) {
      if (const auto in = changes.in.find(i); in != changes.in.end())
        for (auto const& entry : in->second)
          stretch.in.push_back(node.kind == YamlNode::Kind::map ? in_flow_style(entry)
                                                                : in_flow_style(entry.value));
      if (i < count(node) && changes.out.contains(i)) {
        stretch.out.push_back({begin_of(node, i), end_of(node, i)});
        continue;
      }
      stretch.last = i == count(node);
      stretch.end = stretch.last ? *whole - 1 : begin_of(node, i);
      if (!stretch.in.empty() || !stretch.out.empty())
        splice(stretch.begin, stretch.end, rewritten(text_, stretch));
      if (stretch.last) break;
      stretch = fresh;
      stretch.begin = end_of(node, i);
      stretch.first = false;
    }
  }

  YamlRewrite const& order_;
  std::string_view text_;
  std::string_view line_end_;
  std::vector<Splice> splices_;
};

YamlRewrite::YamlRewrite(std::string file_name, std::string mark, std::string text, YamlNode root)
    : file_name_(std::move(file_name)),
      mark_(std::move(mark)),
      text_(std::move(text)),
      root_(std::move(root)) {}

std::optional<YamlRewrite> YamlRewrite::open(std::string const& file_name, std::string const& bytes,
                                             Problem& problem) {
  const bool marked = bytes.starts_with(kByteOrderMark);
  std::string text = marked ? bytes.substr(kByteOrderMark.size()) : bytes;
  // A second mark is refused as one in the midst of a text: `SourceText` takes off only one.
  Problems problems;
  auto root = sound_yaml(SourceText(file_name, bytes), problems);
  if (!root) {
    problem = problems.list().front();
    return std::nullopt;
  }
  return YamlRewrite(file_name, marked ? std::string(kByteOrderMark) : "", std::move(text),
                     std::move(*root));
}

void YamlRewrite::set(YamlNode const& scalar, std::string text) {
  check_internal(scalar.kind == YamlNode::Kind::scalar, "a text for what is no scalar");
  texts_[scalar.offset] = std::move(text);
}

void YamlRewrite::take_out(YamlNode const& collection, std::size_t index) {
  check_internal(index < count(collection), "an entry to be taken out that is not there");
  changes_[{collection.offset, collection.kind}].out.insert(index);
}

void YamlRewrite::put_in(YamlNode const& map, std::size_t before, YamlEntry entry) {
  check_internal(map.kind == YamlNode::Kind::map && before <= count(map), "no place for an entry");
  changes_[{map.offset, map.kind}].in[before].push_back(std::move(entry));
}

void YamlRewrite::put_in(YamlNode const& list, std::size_t before, YamlNode item) {
  check_internal(list.kind == YamlNode::Kind::sequence && before <= count(list),
                 "no place for an item");
  changes_[{list.offset, list.kind}].in[before].push_back({{}, std::move(item)});
}

void YamlRewrite::remark(std::vector<std::string> lines) { remarks_ = std::move(lines); }

YamlEdit YamlRewrite::done() const {
  const SourceText source(file_name_, text_);
  const auto refusal = [&](std::size_t offset, std::string what) {
    return YamlEdit{std::nullopt, source.problem(offset, std::move(what),
                                                 "write a line for each station, section and "
                                                 "ferrule, or change it by hand")};
  };
  try {
    Maker maker(*this);
    const YamlNode expected = maker.changed(root_);
    maker.remark(root_);
    std::string bytes = mark_ + maker.text();
    Problems problems;
    const auto now = sound_yaml(SourceText(file_name_, bytes), problems);
    if (!now || !same_content(*now, expected)) return refusal(root_.offset, kTooOdd);
    return {std::move(bytes), {}};
  } catch (Refused const& refused) {
    return refusal(refused.offset, refused.what);
  }
}

}  // namespace stripwright::files
