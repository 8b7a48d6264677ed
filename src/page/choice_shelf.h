#pragma once

#include <deque>
#include <map>
#include <memory>
#include <mutex>
#include <string>

namespace stripwright::cli {
struct Choosing;
}

namespace stripwright::page {

/// What was asked about a choice: the page's fields by their names, as they were written.
using ChoiceOrder = std::map<std::string, std::string, std::less<>>;

/// Rings that were chosen on a page. Whoever uses `choosing` holds `mutex`.
struct Choice {
  std::string id;
  ChoiceOrder order;
  std::mutex mutex = {};
  std::shared_ptr<cli::Choosing> choosing;
};

/// The last choices of the pages, for what is kept must be what was shown: a search that its time
/// ends may find another ring when it is run again. One choosing at a time.
class ChoiceShelf {
 public:
  /// Owns the lock where it is this caller's turn; else another choosing is at work.
  std::unique_lock<std::mutex> take_turn() { return std::unique_lock(turn_, std::try_to_lock); }
  /// How far the choosing at work is, for those who wait; "" when it is done.
  void tell(std::string doing);
  std::string doing() const;

  /// Puts one on the shelf and gives it an id; the oldest goes.
  std::shared_ptr<Choice> put(ChoiceOrder order, std::shared_ptr<cli::Choosing> choosing);
  /// Null where it is not there, or no more.
  std::shared_ptr<Choice> find(std::string const& id) const;

 private:
  static constexpr std::size_t kMost = 8;

  std::mutex turn_;
  mutable std::mutex mutex_;
  std::string doing_;
  std::deque<std::shared_ptr<Choice>> choices_;
};

}  // namespace stripwright::page
