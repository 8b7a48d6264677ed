#pragma once

namespace stripwright {

/// Several functions as one, for std::visit: the alternative decides which is called.
template <class... F>
struct Overloaded : F... {
  using F::operator()...;
};
// Said for compilers that do not deduce it for aggregates (clang before 17).
template <class... F>
Overloaded(F...) -> Overloaded<F...>;

}  // namespace stripwright
