#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace stripwright::scan {

/// What is wrong with a text, and the way out ("" where the grammar itself is it).
struct Fault {
  std::string what;
  std::string remedy;
};

inline bool is_digit(char c) { return c >= '0' && c <= '9'; }
inline bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }

/// Walks over a text; blanks in front and behind are left out.
class Scanner {
 public:
  explicit Scanner(std::string_view text);

  bool at_end() const { return rest_.empty(); }
  /// The next character, NUL at the end.
  char peek() const { return rest_.empty() ? '\0' : rest_.front(); }
  std::string_view rest() const { return rest_; }

  bool take(char c);
  std::string_view take_while(bool (*accept)(char));
  void skip_blanks();

 private:
  std::string_view rest_;
};

/// What is no number at all but looks like one to other programs: `.nan`, `0x10`.
std::optional<Fault> not_a_number(std::string_view text);

/// A decimal, a fraction `13/64`, or a whole number and a fraction `1 3/8`; no sign.
/// Nothing, and a fault, where the text is none of them: decimal commas, leading
/// zeros, 0 below a fraction's line, more than 40 digits.
std::optional<double> quantity(Scanner& scan, Fault& fault);

/// The fault of what stands behind a number and is no unit.
Fault trailing(std::string_view rest);

}  // namespace stripwright::scan
