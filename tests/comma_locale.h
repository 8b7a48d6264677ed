#pragma once

#include <clocale>
#include <locale>
#include <string>

namespace test {

/// Sets a locale with decimal commas, for C and C++, as long as it lives.
class CommaLocale {
 public:
  CommaLocale() {
    for (const char* name : {"de_DE.UTF-8", "de_DE.utf8", "de_DE"}) {
      if (!std::setlocale(LC_ALL, name)) continue;
      std::locale::global(std::locale(name));
      set_ = true;
      return;
    }
  }
  CommaLocale(CommaLocale const&) = delete;
  CommaLocale& operator=(CommaLocale const&) = delete;
  ~CommaLocale() {
    std::locale::global(before_);
    std::setlocale(LC_ALL, "C");
  }
  bool set() const { return set_; }

 private:
  std::locale before_;
  bool set_ = false;
};

}  // namespace test
