#pragma once

#include <cstddef>
#include <random>
#include <string>
#include <utility>
#include <vector>

/// Writes YAML that is legal but as odd as people and other programs make it, and keeps a
/// record of where each value stands and what it means. The record is made by the writer, not
/// by any parser: it is the outside against which the editor is checked.
class WeirdYaml {
 public:
  struct Value {
    std::vector<std::string> path;
    std::string meaning;
    std::size_t begin = 0;
    std::size_t end = 0;
    char quote = 0;        ///< ' or ", 0 if it has none
    bool nothing = false;  ///< an empty value: `begin` is behind the colon
  };

  explicit WeirdYaml(unsigned seed) : random_(seed) {
    line_end_ = one_in(3) ? "\r\n" : "\n";
    if (one_in(4)) text_ += "\xEF\xBB\xBF";
    if (one_in(4)) comment_line(0);
    if (one_in(5)) text_ += "---" + line_end_;
    block_map({}, 0, 0);
    if (one_in(6))
      text_ += "..." + line_end_;
    else if (one_in(3))
      text_ += comment() + line_end_;
    if (one_in(3)) {
      // No line end at the end of the file, unless a block text would lose it.
      while (!ends_in_block_text_ && (text_.back() == '\n' || text_.back() == '\r'))
        text_.pop_back();
    }
  }

  std::string const& text() const { return text_; }
  std::vector<Value> const& values() const { return values_; }
  std::vector<std::vector<std::string>> const& maps() const { return maps_; }
  std::string const& line_end() const { return line_end_; }
  std::size_t below(std::size_t n) {
    return std::uniform_int_distribution<std::size_t>(0, n - 1)(random_);
  }
  bool one_in(std::size_t n) { return below(n) == 0; }

 private:
  using Path = std::vector<std::string>;

  std::string comment() { return one_in(2) ? "# per flat: {a, b} 'it''s" : "#\xC3\xA4 # \"x: y"; }
  void comment_line(std::size_t indent) {
    text_ += std::string(indent, ' ') + comment() + line_end_;
  }
  void between_lines(std::size_t indent) {
    // Behind a block text whatever is indented as far belongs to it.
    if (one_in(6)) text_ += one_in(2) || ends_in_block_text_ ? line_end_ : "   " + line_end_;
    if (one_in(6)) comment_line(ends_in_block_text_ ? 0 : one_in(2) ? indent : below(8));
  }

  Path child(Path const& path, std::string const& key) {
    Path out = path;
    out.push_back(key);
    return out;
  }

  std::string new_key(std::size_t number) {
    static char const* const kKeys[] = {"glue_line",    "at milling", "steel-form", "5.0",
                                        "r\xC3\xB6hre", "no",         "a:b",        "x#y",
                                        "q'",           "-3"};
    return kKeys[below(10)] + std::string(number == 0 ? "" : " ") +
           (number == 0 ? "" : std::to_string(number));
  }

  void write_key(std::string const& key) {
    const bool plain = key.find_first_of(":#'") == std::string::npos && !one_in(4);
    text_ += plain ? key : "\"" + key + "\"";
  }

  void block_map(Path const& path, std::size_t indent, std::size_t depth) {
    maps_.push_back(path);
    const std::size_t entries = 1 + below(5);
    for (std::size_t i = 0; i < entries; ++i) {
      between_lines(indent);
      const auto key = new_key(i);
      text_ += std::string(indent, ' ');
      write_key(key);
      text_ += one_in(8) ? " :" : ":";
      const std::size_t choice = below(depth < 3 ? 9 : 6);
      ends_in_block_text_ = false;
      if (choice == 6) {
        end_line();
        block_map(child(path, key), indent + 1 + below(4), depth + 1);
      } else if (choice == 7) {
        text_ += " ";
        flow_map(child(path, key), indent, depth + 1);
        end_line();
      } else if (choice == 8) {
        sequence(indent);
      } else {
        block_value(child(path, key), indent, choice);
      }
    }
  }

  void end_line() {
    if (one_in(3))
      text_ += std::string(1 + below(3), ' ') + comment();
    else if (one_in(5))
      text_ += "  ";
    text_ += line_end_;
  }

  void block_value(Path const& path, std::size_t indent, std::size_t choice) {
    if (choice == 5 && one_in(2)) return block_text(path, indent);
    if (choice == 4 && one_in(2)) return nothing(path), end_line();
    text_ += std::string(1 + below(3), ' ');
    scalar(path, indent, true);
    end_line();
  }

  void nothing(Path const& path) {
    Value value{path, "", text_.size(), text_.size(), 0, true};
    if (one_in(2)) {
      static char const* const kNulls[] = {"~", "null", "NULL"};
      text_ += " ";
      value.nothing = false;
      value.begin = text_.size();
      text_ += kNulls[below(3)];
      value.end = text_.size();
    }
    values_.push_back(value);
  }

  /// Lines of a block text: kept as they are (|) or folded (>), without the last line end (-).
  void block_text(Path const& path, std::size_t indent) {
    text_ += " ";
    Value value{path, "", text_.size(), 0};
    const bool folded = one_in(2);
    const std::size_t inner = indent + 1 + below(3);
    text_ += (folded ? ">-" : "|-") + line_end_;
    text_ += std::string(inner, ' ') + "first: # 'line" + line_end_;
    text_ += std::string(inner, ' ') + "second";
    value.meaning = folded ? "first: # 'line second" : "first: # 'line\nsecond";
    value.end = text_.size();
    text_ += line_end_;
    values_.push_back(value);
    ends_in_block_text_ = true;
  }

  void scalar(Path const& path, std::size_t indent, bool block) {
    Value value{path, "", text_.size(), 0};
    const std::string more =
        line_end_ + (one_in(4) ? line_end_ : "") + std::string(indent + 1 + below(3), ' ');
    const std::string fold = more.find(line_end_ + line_end_) != std::string::npos ? "\n" : " ";
    switch (below(block ? 7 : 5)) {
      case 0:
        plain(value, "0.0015");
        break;
      case 1:
        plain(value, "13/64 in");
        break;
      case 2:
        plain(value, block ? "it's http://x#y - z" : "it's x#y - z");
        break;
      case 3:
        quoted(value, '\'', "it''s # {a: b}, ", "it's # {a: b}, ");
        break;
      case 4:
        quoted(value, '"', "tab\\t \\\"q\\\" \\u00e4:", "tab\t \"q\" \xC3\xA4:");
        break;
      case 5:
        plain(value, "first" + more + "second's", "first" + fold + "second's");
        break;
      default:
        quoted(value, '"', "first" + more + "second", "first" + fold + "second");
        break;
    }
    values_.push_back(value);
  }

  void plain(Value& value, std::string const& written) { plain(value, written, written); }
  void plain(Value& value, std::string const& written, std::string const& meaning) {
    text_ += written;
    value.end = text_.size();
    value.meaning = meaning;
  }
  void quoted(Value& value, char quote, std::string const& inner, std::string const& meaning) {
    text_ += quote + inner + quote;
    value.end = text_.size();
    value.quote = quote;
    value.meaning = meaning;
  }

  void flow_map(Path const& path, std::size_t indent, std::size_t depth) {
    maps_.push_back(path);
    const std::string gap = one_in(3)   ? line_end_ + std::string(indent + 1 + below(4), ' ')
                            : one_in(2) ? " "
                                        : "";
    text_ += "{" + gap;
    const std::size_t entries = below(4);
    for (std::size_t i = 0; i < entries; ++i) {
      const auto key = new_key(i);
      write_key(key);
      text_ += ":";
      if (depth < 3 && one_in(4)) {
        text_ += " ";
        flow_map(child(path, key), indent, depth + 1);
      } else if (one_in(6)) {
        text_ += " [1, {a: 2}, \"]\"]";
      } else if (one_in(6)) {
        nothing(child(path, key));
      } else {
        text_ += " ";
        scalar(child(path, key), indent, false);
      }
      if (i + 1 < entries || one_in(4))
        text_ += one_in(4) ? " ," : ",";
      else if (gap.size() > 1 && one_in(3))
        text_ += " " + comment();
      text_ += i + 1 < entries && gap.empty() ? " " : gap;
    }
    text_ += "}";
  }

  void sequence(std::size_t indent) {
    if (one_in(2)) {
      text_ += " [0.030, {a: b}, 'x']";
      end_line();
      return;
    }
    end_line();
    for (int i = 0; i < 2; ++i)
      text_ += std::string(indent + 1, ' ') + "- " +
               (one_in(2) ? "{at: 45, bore: 13/64 in}" : "[1, 2]") + line_end_;
  }

  std::mt19937 random_;
  std::string text_;
  std::string line_end_;
  std::vector<Value> values_;
  std::vector<Path> maps_;
  bool ends_in_block_text_ = false;
};
