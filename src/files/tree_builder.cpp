#include "files/tree_builder.h"

#include <fmt/format.h>
#include <yaml-cpp/mark.h>

#include "diagnostics/utf8.h"

namespace stripwright::files {
namespace {

constexpr std::size_t kDeepest = 32;

std::size_t position(YAML::Mark const& mark) {
  return mark.pos < 0 ? 0 : static_cast<std::size_t>(mark.pos);
}

/// True if the quotes that open at a byte of the text close again. The library takes the
/// end of the file for the end of the quotes.
bool quotes_close(std::string_view text, std::size_t at) {
  const char quote = text[at];
  while ((at = text.find_first_of(quote == '"' ? "\"\\" : "'", at + 1)) != std::string_view::npos) {
    const bool doubled = quote == '\'' && text.substr(at + 1).starts_with('\'');
    if (text[at] != '\\' && !doubled) return true;
    ++at;
  }
  return false;
}

/// Control characters other than those that lay a text out in lines.
bool has_control_characters(std::string_view text) {
  for (std::size_t at = 0; at < text.size();) {
    const auto character = utf8_character(text, at);
    const bool layout = character.code == '\n' || character.code == '\t';
    if (character.bytes == 0 || (character.code < 0xA0 && !layout && is_control(character.code)))
      return true;
    at += character.bytes;
  }
  return false;
}

}  // namespace

void TreeBuilder::refuse(std::size_t offset, std::string what, std::string remedy) {
  add_problem(problems_, source_, offset, std::move(what), std::move(remedy));
}

/// The place for the next node: a document's root, a list's next item, a map's next key or value.
YamlNode& TreeBuilder::slot() {
  if (stack_.empty()) return root_;
  auto& parent = *stack_.back().node;
  if (parent.kind == YamlNode::Kind::sequence) return parent.items.emplace_back();
  if (stack_.back().awaits_value) return parent.entries.back().value;
  return parent.entries.emplace_back().key;
}

YamlNode& TreeBuilder::add(YamlNode::Kind kind, YAML::Mark const& mark) {
  last_offset_ = position(mark);
  if (++values_ > most_values_)
    throw TreeTooLarge{last_offset_, fmt::format("more than {} values", most_values_),
                       "is this the right file?"};
  auto& node = slot();
  node.kind = kind;
  node.offset = last_offset_;
  return node;
}

/// A node is complete: the map it stands in goes on to the value, or to the next key.
void TreeBuilder::placed(YamlNode& node) {
  if (stack_.empty() || stack_.back().node->kind != YamlNode::Kind::map) return;
  auto& parent = stack_.back();
  if (!parent.awaits_value) check_key(node);
  parent.awaits_value = !parent.awaits_value;
}

void TreeBuilder::open(YamlNode::Kind kind, YAML::Mark const& mark, std::string const& tag,
                       YAML::anchor_t anchor) {
  if (stack_.size() >= kDeepest)
    throw TreeTooLarge{position(mark), fmt::format("nested more than {} deep", kDeepest),
                       "files of this kind are at most a few levels deep"};
  auto& node = add(kind, mark);
  refuse_anchor(node, anchor);
  refuse_tag(node, tag);
  stack_.push_back({&node});
}

void TreeBuilder::close() {
  auto& node = *stack_.back().node;
  stack_.pop_back();
  placed(node);
}

/// The library marks a value that is left out at whatever stands next, which may be lines
/// below: in a map it is told at its key, in a list at its dash or comma.
std::size_t TreeBuilder::offset_of_nothing(std::size_t mark) const {
  if (stack_.empty()) return mark;
  auto const& parent = *stack_.back().node;
  const auto text = source_.text();
  if (parent.kind == YamlNode::Kind::map) {
    if (!stack_.back().awaits_value) return mark;
    const std::size_t key = parent.entries.back().key.offset;
    const bool same_line =
        text.substr(key, mark - std::min(key, mark)).find('\n') == std::string_view::npos;
    return same_line && mark > key && mark < text.size() ? mark : key;
  }
  const auto dash = text.substr(0, mark).find_last_not_of(" \r\n");
  return dash == std::string_view::npos || dash < parent.offset ? mark : dash;
}

void TreeBuilder::OnNull(YAML::Mark const& mark, YAML::anchor_t anchor) {
  const std::size_t offset = offset_of_nothing(position(mark));
  auto& node = add(YamlNode::Kind::null, mark);
  refuse_anchor(node, anchor);
  node.offset = offset;
  placed(node);
}

void TreeBuilder::OnAlias(YAML::Mark const& mark, YAML::anchor_t) {
  auto& node = add(YamlNode::Kind::null, mark);
  refuse(node.offset, "an alias (*)", "write the value out; files of this kind have no aliases");
  node.refused = true;
  placed(node);
}

void TreeBuilder::OnScalar(YAML::Mark const& mark, std::string const& tag, YAML::anchor_t anchor,
                           std::string const& value) {
  auto& node = add(YamlNode::Kind::scalar, mark);
  node.text = value;
  // Block texts (| and >) have the quoted ones' tag.
  node.quoted = tag == "!";
  refuse_anchor(node, anchor);
  refuse_tag(node, tag);
  if (node.quoted) check_scalar(node);
  placed(node);
}

void TreeBuilder::OnSequenceStart(YAML::Mark const& mark, std::string const& tag,
                                  YAML::anchor_t anchor, YAML::EmitterStyle::value) {
  open(YamlNode::Kind::sequence, mark, tag, anchor);
}

void TreeBuilder::OnMapStart(YAML::Mark const& mark, std::string const& tag, YAML::anchor_t anchor,
                             YAML::EmitterStyle::value) {
  open(YamlNode::Kind::map, mark, tag, anchor);
}

void TreeBuilder::refuse_anchor(YamlNode const& node, YAML::anchor_t anchor) {
  if (anchor != 0)
    refuse(node.offset, "an anchor (&)", "write the value out; files of this kind have no anchors");
}

void TreeBuilder::refuse_tag(YamlNode const& node, std::string const& tag) {
  // A plain scalar has the tag "?", a quoted one "!"; a written tag starts with
  // an exclamation mark in the text itself.
  const auto text = source_.text();
  const bool written = node.offset < text.size() && text[node.offset] == '!';
  if (written || (!tag.empty() && tag != "?" && tag != "!"))
    refuse(node.offset, "a tag (!)", "leave it out; files of this kind have no tags");
}

void TreeBuilder::check_scalar(YamlNode const& scalar) {
  const auto text = source_.text();
  const char first = scalar.offset < text.size() ? text[scalar.offset] : '\0';
  if ((first == '"' || first == '\'') && !quotes_close(text, scalar.offset))
    refuse(scalar.offset, "quotes that are not closed", "close them");
  if (has_control_characters(scalar.text))
    refuse(scalar.offset, "a control character, written as an escape", "leave it out");
}

void TreeBuilder::check_key(YamlNode& key) {
  if (key.refused) return;
  if (key.kind != YamlNode::Kind::scalar)
    refuse(key.offset, "a key that is not a plain word",
           "a key is a word or a length before a colon");
  else if (key.text == "<<" && !key.quoted)
    refuse(key.offset, "a merge key (<<)", "write the keys out");
  else
    return;
  key.refused = true;
}

}  // namespace stripwright::files
