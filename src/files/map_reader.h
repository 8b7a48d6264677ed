#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "files/key_spec.h"
#include "files/yaml_tree.h"

namespace stripwright::files {

/// What a reader of one file carries with it.
struct ReadContext {
  SourceText const& source;
  Problems& problems;
  Unit unit = Unit::inch;     ///< what a bare number means
  std::size_t unit_line = 0;  ///< where the file says so, from 1; 0 if it does not

  /// Tells a problem at a byte of the source's text.
  void tell(std::size_t offset, std::string what, std::string remedy = {},
            Severity severity = Severity::error) const;
  /// Tells that a length is out of its key's range: what it is, as written and in the other unit,
  /// between the words before and after. Where the other unit would bring it into the range, that
  /// is asked, once a file.
  void tell_out_of_range(YamlNode const& value, Length length, KeySpec const& key,
                         std::string_view before, std::string_view after, std::string remedy) const;
};

/// Reads the values of one map by its spec. Unknown, duplicate and missing keys are
/// told on construction; each getter tells a wrong type or range, with what was
/// expected, and then returns the standard value, so that reading goes on and all
/// mistakes are told at once. Asking for a key the spec has not, or by another
/// kind, is an internal error.
class MapReader {
 public:
  MapReader(YamlNode const& node, MapSpec const& spec, ReadContext const& context,
            bool check_keys = true);

  /// The value's node if the key is written and not refused already.
  YamlNode const* find(std::string_view key) const;
  bool has(std::string_view key) const { return find(key) != nullptr; }
  /// True if the key is written, even with a value that was refused already: whether one
  /// of two keys is missing is asked so.
  bool written(std::string_view key) const;

  std::string text(std::string_view key) const;
  /// A text of one line and at most 200 characters, such as a title.
  std::string line(std::string_view key) const;
  std::string choice(std::string_view key) const;
  bool yes_no(std::string_view key) const;
  Length length(std::string_view key) const;
  std::optional<Length> optional_length(std::string_view key) const;
  double number(std::string_view key) const;
  std::optional<double> optional_number(std::string_view key) const;
  long whole(std::string_view key) const;
  std::vector<Length> lengths(std::string_view key) const;
  std::vector<std::string> names(std::string_view key) const;
  /// The map under a key, read by its own spec; nothing if it is not written or no map.
  std::optional<MapReader> map(std::string_view key) const;
  /// The names and maps under a key, each name checked and not twice.
  std::vector<std::pair<YamlNode const*, YamlNode const*>> named(std::string_view key) const;
  /// The maps of a list.
  std::vector<YamlNode const*> list(std::string_view key) const;

  /// True if the key has a list of so many items: asked before anything is said of a list as a
  /// whole, of which only part may have been read.
  bool has_items(std::string_view key, std::size_t count) const;

  YamlNode const& node() const { return *node_; }
  /// Tells a problem at the key's value, or at the map where it is not written.
  void complain(std::string_view key, std::string what, std::string remedy = {},
                Severity severity = Severity::error) const;

 private:
  YamlEntry const* entry(std::string_view key) const;
  KeySpec const& spec_of(std::string_view key, ValueKind kind) const;
  YamlNode const* sequence(std::string_view key, KeySpec const& spec) const;
  void wrong_type(YamlNode const& value, KeySpec const& key, std::string_view wanted) const;
  std::optional<Length> length_in(YamlNode const& value, KeySpec const& key) const;
  std::optional<double> number_in(YamlNode const& value, KeySpec const& key) const;
  bool in_range(YamlNode const& value, KeySpec const& key, double number) const;

  YamlNode const* node_;
  MapSpec const* spec_;
  ReadContext const* context_;
};

/// A length from a scalar, complaints told; nothing if it is none.
std::optional<Length> read_length(YamlNode const& node, ReadContext const& context);

/// True if the text may name a section or a machine: letters, digits, blanks and
/// hyphens, not empty, no blank at either end.
bool is_name(std::string_view text);

/// What a node is, for a message: `a list`.
std::string_view shape(YamlNode const& node);

/// Parses the file and reads `format` and `unit`; nothing if it cannot be read on.
struct OpenedFile {
  YamlNode root;
  Unit unit = Unit::inch;
  std::size_t unit_line = 0;  ///< from 1; 0 if it is not written
};
std::optional<OpenedFile> open_yaml(SourceText const& source, MapSpec const& spec,
                                    Problems& problems);

}  // namespace stripwright::files
