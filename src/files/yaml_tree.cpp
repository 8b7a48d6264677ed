#include "files/yaml_tree.h"

#include <fmt/format.h>
#include <yaml-cpp/eventhandler.h>
#include <yaml-cpp/exceptions.h>
#include <yaml-cpp/parser.h>

#include <istream>
#include <streambuf>

namespace stripwright::files {
namespace {

constexpr std::size_t kDeepest = 32;

/// Lets a stream read from bytes that stay where they are.
class ViewBuffer : public std::streambuf {
 public:
  explicit ViewBuffer(std::string_view view) {
    // The buffer is only read from; the interface asks for a mutable pointer.
    char* begin = const_cast<char*>(view.data());  // NOLINT(cppcoreguidelines-pro-type-const-cast)
    setg(begin, begin, begin + view.size());
  }
};

struct TooDeep {};

class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(SourceText const& source, Problems& problems) : source_(source), problems_(problems) {}

  YamlNode take_root() { return std::move(root_); }

  void OnDocumentStart(YAML::Mark const&) override {}
  void OnDocumentEnd() override {}

  void OnNull(YAML::Mark const& mark, YAML::anchor_t anchor) override {
    refuse_properties(mark, "", anchor);
    place(make(YamlNode::Kind::null, mark));
  }

  void OnAlias(YAML::Mark const& mark, YAML::anchor_t) override {
    problems_.add(source_.problem(offset(mark), "an alias (*)", "write the value out; files of this kind have no aliases"));
    auto node = make(YamlNode::Kind::null, mark);
    node.refused = true;
    place(std::move(node));
  }

  void OnScalar(YAML::Mark const& mark, std::string const& tag, YAML::anchor_t anchor,
                std::string const& value) override {
    refuse_properties(mark, tag, anchor);
    auto node = make(YamlNode::Kind::scalar, mark);
    node.text = value;
    node.quoted = tag == "!";
    place(std::move(node));
  }

  void OnSequenceStart(YAML::Mark const& mark, std::string const& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value) override {
    open(YamlNode::Kind::sequence, mark, tag, anchor);
  }
  void OnSequenceEnd() override { close(); }

  void OnMapStart(YAML::Mark const& mark, std::string const& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value) override {
    open(YamlNode::Kind::map, mark, tag, anchor);
  }
  void OnMapEnd() override { close(); }

 private:
  struct Open {
    YamlNode node;
    std::optional<YamlNode> key;  // of a map, while its value is awaited
  };

  static std::size_t offset(YAML::Mark const& mark) {
    return mark.pos < 0 ? 0 : static_cast<std::size_t>(mark.pos);
  }

  static YamlNode make(YamlNode::Kind kind, YAML::Mark const& mark) {
    YamlNode node;
    node.kind = kind;
    node.offset = offset(mark);
    return node;
  }

  void refuse_properties(YAML::Mark const& mark, std::string const& tag, YAML::anchor_t anchor) {
    const auto at = offset(mark);
    if (anchor != 0)
      problems_.add(source_.problem(at, "an anchor (&)", "write the value out; files of this kind have no anchors"));
    // A plain scalar has the tag "?", a quoted one "!"; a written tag starts with
    // an exclamation mark in the text itself.
    const auto text = source_.text();
    const bool written = at < text.size() && text[at] == '!';
    if (written || (!tag.empty() && tag != "?" && tag != "!"))
      problems_.add(source_.problem(at, "a tag (!)", "leave it out; files of this kind have no tags"));
  }

  void open(YamlNode::Kind kind, YAML::Mark const& mark, std::string const& tag, YAML::anchor_t anchor) {
    if (stack_.size() >= kDeepest) {
      problems_.add(source_.problem(offset(mark), fmt::format("nested more than {} deep", kDeepest),
                                    "files of this kind are at most a few levels deep"));
      throw TooDeep{};
    }
    refuse_properties(mark, tag, anchor);
    stack_.push_back({make(kind, mark), {}});
  }

  void close() {
    auto node = std::move(stack_.back().node);
    stack_.pop_back();
    place(std::move(node));
  }

  void place(YamlNode node) {
    if (stack_.empty()) {
      root_ = std::move(node);
      return;
    }
    auto& parent = stack_.back();
    if (parent.node.kind == YamlNode::Kind::sequence) {
      parent.node.items.push_back(std::move(node));
    } else if (!parent.key) {
      check_key(node);
      parent.key = std::move(node);
    } else {
      parent.node.entries.push_back({std::move(*parent.key), std::move(node)});
      parent.key.reset();
    }
  }

  void check_key(YamlNode& key) {
    if (key.kind != YamlNode::Kind::scalar)
      problems_.add(source_.problem(key.offset, "a key that is not a plain word", "a key is a word or a length before a colon"));
    else if (key.text == "<<" && !key.quoted)
      problems_.add(source_.problem(key.offset, "a merge key (<<)", "write the keys out"));
    else
      return;
    key.refused = true;
  }

  SourceText const& source_;
  Problems& problems_;
  std::vector<Open> stack_;
  YamlNode root_;
};

}  // namespace

std::optional<YamlNode> parse_yaml(SourceText const& source, Problems& problems) {
  TreeBuilder builder(source, problems);
  ViewBuffer buffer(source.text());
  std::istream stream(&buffer);
  try {
    YAML::Parser parser(stream);
    if (!parser.HandleNextDocument(builder)) {
      problems.add(source.problem(0, "the file is empty", "a file starts with a line such as `format: stripwright-taper-1`"));
      return std::nullopt;
    }
    Problems unused;
    TreeBuilder next(source, unused);
    if (parser.HandleNextDocument(next)) {
      problems.add(source.problem(next.take_root().offset, "several documents in one file (---)",
                                  "keep one document a file"));
    }
  } catch (TooDeep const&) {
    return std::nullopt;
  } catch (YAML::Exception const& fault) {
    // A mark past the end tells nothing; the text's end does.
    const auto at = fault.mark.pos < 0 ? 0U : static_cast<std::size_t>(fault.mark.pos);
    problems.add(source.problem(at, fmt::format("not valid YAML: {}", fault.msg), "check the indent, quotes, brackets and colons here"));
    return std::nullopt;
  }
  return builder.take_root();
}

}  // namespace stripwright::files
