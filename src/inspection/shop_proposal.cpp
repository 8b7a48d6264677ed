#include "inspection/shop_proposal.h"

#include <algorithm>

namespace stripwright::inspection {
namespace {

/// What the shop file's reader takes for a layer.
constexpr Length kThickestLayer = Length::millimetres(2);

Length in_shop(Allowances const& shop, Allowance allowance) {
  switch (allowance) {
    case Allowance::cleanup_less_glue_line:
      return shop.cleanup - shop.glue_line;
    case Allowance::glue_line:
      return shop.glue_line;
    case Allowance::cleanup:
      return shop.cleanup;
    case Allowance::varnish:
      return shop.varnish;
  }
  return {};
}

bool assumed(Allowances const& shop, Allowance allowance) {
  const auto left_out = [&](std::string_view name) {
    return std::find(shop.assumed.begin(), shop.assumed.end(), name) != shop.assumed.end();
  };
  switch (allowance) {
    case Allowance::cleanup_less_glue_line:
      return left_out("cleanup") || left_out("glue line");
    case Allowance::glue_line:
      return left_out("glue line");
    case Allowance::cleanup:
      return left_out("cleanup");
    case Allowance::varnish:
      return left_out("varnish");
  }
  return false;
}

bool possible(Length value) { return value >= Length{} && value <= kThickestLayer; }

class Proposer {
 public:
  Proposer(std::span<const LearnedAllowance> learned, Allowances const& shop)
      : learned_(learned), shop_(shop) {}

  std::vector<Proposal> take() {
    propose_pair();
    if (auto const* v = known(Allowance::varnish))
      add(Allowance::varnish, v->mean, off(Allowance::varnish), possible(v->mean));
    if (std::any_of(out_.begin(), out_.end(),
                    [](auto const& each) { return each.reason == Reason::impossible; }))
      for (auto& each : out_)
        if (each.changes()) each = {each.allowance, each.in_shop, each.in_shop, Reason::in_doubt};
    return std::move(out_);
  }

 private:
  LearnedAllowance const* known(Allowance allowance) const {
    const auto found = std::find_if(learned_.begin(), learned_.end(), [&](auto const& each) {
      return each.allowance == allowance && each.interval;
    });
    return found == learned_.end() ? nullptr : &*found;
  }

  /// Shown to be off, or learned where nothing was written.
  bool off(Allowance allowance) const {
    auto const* learned = known(allowance);
    if (!learned) return false;
    const auto comparison = compare(*learned, shop_);
    return comparison.differs || comparison.assumed;
  }

  void add(Allowance allowance, Length value, bool replace, bool can_be) {
    Reason reason = Reason::agrees;
    if (replace && !can_be)
      reason = Reason::impossible;
    else if (replace && assumed(shop_, allowance))
      reason = Reason::assumed;
    else if (replace)
      reason = off(allowance) ? Reason::differs : Reason::goes_along;
    Proposal proposal{allowance, value, in_shop(shop_, allowance), reason};
    if (!proposal.changes()) proposal.value = proposal.in_shop;
    out_.push_back(proposal);
  }

  void propose_pair() {
    auto const* d = known(Allowance::cleanup_less_glue_line);
    auto const* g = known(Allowance::glue_line);
    auto const* c = known(Allowance::cleanup);
    if (!d && !g && !c) return;
    Length cleanup = c ? c->mean : d && g ? g->mean + d->mean : shop_.cleanup;
    Length glue_line = d ? cleanup - d->mean : g ? g->mean : shop_.glue_line;
    const bool difference_alone = d && !g && !c;
    if (difference_alone && glue_line < Length{}) {
      glue_line = shop_.glue_line;
      cleanup = glue_line + d->mean;
    }
    const bool replace = off(Allowance::cleanup_less_glue_line) || off(Allowance::glue_line) ||
                         off(Allowance::cleanup);
    const bool can_be = possible(cleanup) && possible(glue_line);
    const auto add_one = [&](Allowance allowance, Length value) {
      const bool stays = value == in_shop(shop_, allowance) && !known(allowance);
      add(allowance, value, replace && !(stays && can_be), can_be);
    };
    add_one(Allowance::cleanup, cleanup);
    add_one(Allowance::glue_line, glue_line);
  }

  std::span<const LearnedAllowance> learned_;
  Allowances const& shop_;
  std::vector<Proposal> out_;
};

}  // namespace

Comparison compare(LearnedAllowance const& learned, Allowances const& shop) {
  Comparison out;
  out.in_shop = in_shop(shop, learned.allowance);
  out.assumed = assumed(shop, learned.allowance);
  out.off = learned.mean - out.in_shop;
  out.differs = learned.interval && !learned.interval->holds(out.in_shop);
  return out;
}

std::vector<Proposal> propose(std::span<const LearnedAllowance> learned, Allowances const& shop) {
  return Proposer(learned, shop).take();
}

}  // namespace stripwright::inspection
