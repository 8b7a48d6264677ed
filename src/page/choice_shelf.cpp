#include "page/choice_shelf.h"

#include <algorithm>

#include "page/gate.h"

namespace stripwright::page {

void ChoiceShelf::tell(std::string doing) {
  const std::lock_guard lock(mutex_);
  doing_ = std::move(doing);
}

std::string ChoiceShelf::doing() const {
  const std::lock_guard lock(mutex_);
  return doing_;
}

std::shared_ptr<Choice> ChoiceShelf::put(ChoiceOrder order,
                                         std::shared_ptr<cli::Choosing> choosing) {
  constexpr std::size_t kLetters = 12;
  auto choice = std::make_shared<Choice>();
  choice->id = random_letters(kLetters);
  choice->order = std::move(order);
  choice->choosing = std::move(choosing);
  const std::lock_guard lock(mutex_);
  choices_.push_back(choice);
  if (choices_.size() > kMost) choices_.pop_front();
  return choice;
}

std::shared_ptr<Choice> ChoiceShelf::find(std::string const& id) const {
  const std::lock_guard lock(mutex_);
  const auto found = std::find_if(choices_.begin(), choices_.end(),
                                  [&](auto const& each) { return each->id == id; });
  return found == choices_.end() ? nullptr : *found;
}

}  // namespace stripwright::page
