#pragma once

#include <span>
#include <vector>

#include "inspection/learning.h"

namespace stripwright::inspection {

/// What the shop has for an allowance against what was learned.
struct Comparison {
  Length in_shop;
  bool assumed = false;  ///< the shop file leaves it out, or one of the two it is made of
  Length off;            ///< learned less the shop's
  bool differs = false;  ///< the shop's value is outside the 95 % interval
};
Comparison compare(LearnedAllowance const& learned, Allowances const& shop);

/// Why a value of the shop file is to stay, or to be replaced.
enum class Reason : unsigned char {
  agrees,      ///< stays: the interval holds it
  differs,     ///< new: the interval does not hold the old one
  assumed,     ///< new: the file does not have it
  goes_along,  ///< new: so that clean-up less glue line is as measured
  impossible,  ///< stays: what was measured is below 0, or over 2 mm
  in_doubt,    ///< stays: it would be new, but another value from these readings is impossible
};

struct Proposal {
  Allowance allowance = Allowance::glue_line;  ///< never c - g, which no file has
  Length value;
  Length in_shop;
  Reason reason = Reason::agrees;

  bool changes() const {
    return reason == Reason::differs || reason == Reason::assumed || reason == Reason::goes_along;
  }
};

/// What the shop file should have, for those allowances of which something was learned with an
/// interval.
///
/// Only what was shown to be off is replaced, and what the file leaves out. Clean-up and glue line
/// go together, for what enters the strip is their difference: if either of them or the difference
/// is off, both become c as measured and g = c - (c - g), so that the difference is as measured.
/// Where only the difference is known the shop's clean-up stays and the glue line takes it up, or
/// the other way about where that would put the glue line below 0.
///
/// If one value is impossible the readings contradict each other, and none of the others that came
/// from them is to be trusted: nothing changes then.
std::vector<Proposal> propose(std::span<const LearnedAllowance> learned, Allowances const& shop);

}  // namespace stripwright::inspection
