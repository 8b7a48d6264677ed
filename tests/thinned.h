#pragma once

// What is looked at many times is looked at an eighth as often with the sanitizers, whose business
// is each kind of access, not each number.
#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define STRIPWRIGHT_THINNED 1
#endif
#endif
#if defined(__SANITIZE_ADDRESS__)
#define STRIPWRIGHT_THINNED 1
#endif

namespace stripwright {

#if defined(STRIPWRIGHT_THINNED)
inline constexpr int kThinnedBy = 8;
#else
inline constexpr int kThinnedBy = 1;
#endif

/// So many times; at least twice.
constexpr int thinned(int count) { return count / kThinnedBy > 2 ? count / kThinnedBy : 2; }
/// Steps so long.
constexpr double thinned(double step) { return step * kThinnedBy; }

}  // namespace stripwright
