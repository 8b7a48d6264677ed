#pragma once

#include <string>
#include <vector>

#include "cli/check.h"
#include "cli/learn.h"

namespace stripwright::cli {

/// What there is to say of what was learned, sentence by sentence, for terminal and page. It refers
/// to the report.
class LearnWords {
 public:
  explicit LearnWords(LearnReport const& report) : report_(report), unit_(report.unit) {}

  /// From how many rings and rods, for which shop, and what it leaves out.
  std::vector<std::string> head() const;
  /// What the intervals rest on.
  std::vector<std::string> samples() const;
  /// What was left out or taken for granted: the rings it is true of, and what.
  std::vector<CheckItem> notes() const;
  /// Readings that do not go with the others, and what the mean is without them; empty if there
  /// are none.
  std::vector<std::string> odd() const;
  static std::string about_odd();
  /// Why nothing may be believed; "" if all is possible.
  std::string impossible() const;
  /// Whether the shop file should change.
  bool any_change() const;

 private:
  std::string show(Length l) const;
  std::size_t rods() const;
  std::string gauge() const;
  std::vector<std::string> notes_of(std::size_t ring) const;
  std::string odd_words(inspection::OddValue const& odd,
                        inspection::LearnedAllowance const& allowance) const;

  LearnReport const& report_;
  Unit unit_;
};

}  // namespace stripwright::cli
