#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "files/yaml_editor.h"
#include "files/yaml_tree.h"

namespace stripwright::files {

/// Many changes to a maker's file, made all at once: values and keys set, entries of maps and items
/// of lists taken out and put in. What is not changed stays byte for byte: comments, order,
/// spelling of other numbers, line ends, byte order mark. In a map or list with a line for each
/// entry, an entry that is taken out goes with its lines (and a comment on them), one that is put
/// in gets a line of its own; in brackets only the commas about it change. Where comments stand in
/// brackets they stay too, but for one on a line of which all is taken out.
class YamlRewrite {
 public:
  /// Nothing and a problem if the file is not sound YAML of the kind we read.
  static std::optional<YamlRewrite> open(std::string const& file_name, std::string const& bytes,
                                         Problem& problem);

  /// The file's tree. The nodes named below must be of it.
  YamlNode const& root() const { return root_; }

  /// Gives a scalar, or a key, another text; it keeps its quotes.
  void set(YamlNode const& scalar, std::string text);
  /// Takes an entry or an item out.
  void take_out(YamlNode const& collection, std::size_t index);
  /// Puts an entry into a map, or an item into a list, before the one of that index or, if it is
  /// the number of them, at the end. What is put in at the same place keeps its order.
  void put_in(YamlNode const& map, std::size_t before, YamlEntry entry);
  void put_in(YamlNode const& list, std::size_t before, YamlNode item);
  /// Puts lines of comment above the first key; each without its `#`, on one line.
  void remark(std::vector<std::string> lines);

  /// The file's new bytes. The result is parsed again and compared with what it should hold;
  /// refused, with the place, where the file is written so oddly that the changes cannot be made,
  /// or proven to be the only ones.
  YamlEdit done() const;

 private:
  struct Changes {
    std::set<std::size_t> out;
    std::map<std::size_t, std::vector<YamlEntry>> in;  // items have no key
  };
  class Maker;

  YamlRewrite(std::string file_name, std::string mark, std::string text, YamlNode root);

  std::string file_name_;
  std::string mark_;
  std::string text_;
  YamlNode root_;
  std::map<std::size_t, std::string> texts_;  // by the scalar's offset
  // By offset and kind: a map begins where its first key does.
  std::map<std::pair<std::size_t, YamlNode::Kind>, Changes> changes_;
  std::vector<std::string> remarks_;
};

}  // namespace stripwright::files
