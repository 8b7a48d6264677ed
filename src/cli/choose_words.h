#pragma once

#include <string>
#include <vector>

#include "cli/choose.h"

namespace stripwright::cli {

/// How far the best is proven.
struct ProofWords {
  std::string sentence;
  bool table = false;           ///< `proof_table` goes with it
  std::string afterwards = {};  ///< "" if there is no more to say
};

/// What there is to say of a section's rings, sentence by sentence, for terminal and page. It
/// refers to the report.
class SectionWords {
 public:
  SectionWords(ChooseReport const& report, ChosenSection const& section)
      : report_(report), section_(section), unit_(report.unit()) {}

  /// `tip, 0 to 45 in`.
  std::string title() const;
  /// What was measured, what may be moved, which rules hold.
  std::vector<std::string> facts() const;
  /// What to do with the six of a ring, one after another.
  std::vector<std::string> decisions(std::size_t ring) const;
  /// What a ring amounts to; an item without a name goes on with the one before.
  std::vector<CheckItem> amounts(std::size_t ring) const;
  /// What the table of flats does not say itself.
  static std::string about_flats();
  /// How far it is the best; where there is no ring, why not.
  ProofWords proof() const;
  /// The strips that are left, and what for.
  std::vector<CheckItem> leftovers() const;
  /// What another ring of them would amount to; "" if there is none.
  std::string of_the_rest() const;

 private:
  std::string fine(Length l) const;
  std::string along(Length l) const;
  std::string number_along(Length l) const;
  std::string rules() const;
  std::string taken_without_nodes() const;
  void add_nodes(std::vector<CheckItem>& out, selection::RingReport const& ring) const;
  CheckItem lacks(selection::RingReport const& ring) const;
  ProofWords not_proven(std::string const& aims) const;

  ChooseReport const& report_;
  ChosenSection const& section_;
  Unit unit_;
};

/// What stands above all sections: the rod, the limits, what was assumed.
std::vector<std::string> choose_head(ChooseReport const& report);

}  // namespace stripwright::cli
