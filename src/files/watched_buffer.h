#pragma once

#include <optional>
#include <streambuf>
#include <string_view>

#include "files/tree_builder.h"

namespace stripwright::files {

/// Lets a stream read from bytes that stay where they are, and ends before the bytes do
/// if they make no value for too long. The YAML library holds back what stands in a bracket
/// until it closes, in 230 bytes of memory for each word: 60 MB of open brackets would take
/// 14 GB. So it is not let further than a line may be long beyond the last value it told of.
class WatchedBuffer : public std::streambuf {
 public:
  WatchedBuffer(std::string_view text, TreeBuilder const& builder)
      : text_(text), builder_(builder) {}

  bool gave_up() const { return gave_up_at_.has_value(); }
  /// Where the last value begins that was told of when the buffer gave up.
  std::size_t gave_up_at() const { return gave_up_at_.value_or(0); }

 protected:
  int_type underflow() override {
    constexpr std::size_t kStep = 50'000;
    constexpr std::size_t kMostWithoutAValue = 1'250'000;
    if (given_ == text_.size()) return traits_type::eof();
    if (!gave_up_at_ && given_ > builder_.last_offset() + kMostWithoutAValue)
      gave_up_at_ = builder_.last_offset();
    if (gave_up_at_) return traits_type::eof();
    const auto next = text_.substr(given_, kStep);
    // The buffer is only read from; the interface asks for a mutable pointer.
    char* begin = const_cast<char*>(next.data());  // NOLINT(cppcoreguidelines-pro-type-const-cast)
    setg(begin, begin, begin + next.size());
    given_ += next.size();
    return traits_type::to_int_type(next.front());
  }

 private:
  std::string_view text_;
  TreeBuilder const& builder_;
  std::size_t given_ = 0;
  std::optional<std::size_t> gave_up_at_;
};

}  // namespace stripwright::files
