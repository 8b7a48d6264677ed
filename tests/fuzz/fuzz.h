#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <iostream>
#include <string>
#include <string_view>

// Common to the fuzzers: bytes as text, and a promise that stops the run when it is broken.
namespace fuzz {

inline std::string_view text(const std::uint8_t* bytes, std::size_t size) {
  return {reinterpret_cast<const char*>(bytes), size};
}

/// Parts of an input, cut at lines `%%`.
inline std::string_view cut(std::string_view& rest) {
  constexpr std::string_view kMark = "\n%%\n";
  const auto end = rest.find(kMark);
  const auto part = rest.substr(0, end);
  rest = end == std::string_view::npos ? std::string_view() : rest.substr(end + kMark.size());
  return part;
}

inline void promise(bool kept, std::string_view what) {
  if (kept) return;
  std::cerr << "broken promise: " << what << "\n";
  std::abort();
}

}  // namespace fuzz

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size);
