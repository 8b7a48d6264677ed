#pragma once

#include <yaml-cpp/eventhandler.h>

#include <string>
#include <vector>

#include "files/yaml_tree.h"

namespace stripwright::files {

/// Thrown where a tree gets deeper or larger than any file of ours.
struct TreeTooLarge {
  std::size_t offset;
  std::string what;
  std::string remedy;
};

/// Room for a taper of nearly two million stations; a gigabyte of memory holds them.
inline constexpr std::size_t kMostValues = 4'000'000;

/// Builds the tree of one document from the YAML library's events, and refuses what
/// files of ours do without.
class TreeBuilder : public YAML::EventHandler {
 public:
  TreeBuilder(SourceText const& source, Problems& problems, std::size_t most_values = kMostValues)
      : source_(source), problems_(problems), most_values_(most_values) {}

  YamlNode take_root() { return std::move(root_); }
  /// Where the last value began that was told of.
  std::size_t last_offset() const { return last_offset_; }

  void OnDocumentStart(YAML::Mark const&) override {}
  void OnDocumentEnd() override {}
  void OnNull(YAML::Mark const& mark, YAML::anchor_t anchor) override;
  void OnAlias(YAML::Mark const& mark, YAML::anchor_t anchor) override;
  void OnScalar(YAML::Mark const& mark, std::string const& tag, YAML::anchor_t anchor,
                std::string const& value) override;
  void OnSequenceStart(YAML::Mark const& mark, std::string const& tag, YAML::anchor_t anchor,
                       YAML::EmitterStyle::value style) override;
  void OnSequenceEnd() override { close(); }
  void OnMapStart(YAML::Mark const& mark, std::string const& tag, YAML::anchor_t anchor,
                  YAML::EmitterStyle::value style) override;
  void OnMapEnd() override { close(); }

 private:
  /// A list or map that is not closed yet. A parent's vector does not grow while a child
  /// of it is open, hence the pointer holds.
  struct Open {
    YamlNode* node;
    bool awaits_value = false;  // of a map: the last entry has its key only
  };

  YamlNode& slot();
  YamlNode& add(YamlNode::Kind kind, YAML::Mark const& mark);
  void placed(YamlNode& node);
  void open(YamlNode::Kind kind, YAML::Mark const& mark, std::string const& tag,
            YAML::anchor_t anchor);
  void close();
  void refuse(std::size_t offset, std::string what, std::string remedy);
  void refuse_anchor(YamlNode const& node, YAML::anchor_t anchor);
  void refuse_tag(YamlNode const& node, std::string const& tag);
  void check_scalar(YamlNode const& scalar);
  void check_key(YamlNode& key);
  std::size_t offset_of_nothing(std::size_t mark) const;

  SourceText const& source_;
  Problems& problems_;
  std::size_t most_values_;
  std::vector<Open> stack_;
  YamlNode root_;
  std::size_t last_offset_ = 0;
  std::size_t values_ = 0;
};

}  // namespace stripwright::files
