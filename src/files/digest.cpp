#include "files/digest.h"

#include <sys/types.h>
// sha256.h needs sys/types.h before it.
#include <sha256.h>

#include <array>

namespace stripwright::files {

std::string sha256(std::string_view bytes) {
  std::array<char, SHA256_DIGEST_STRING_LENGTH> digits{};
  SHA256Data(reinterpret_cast<unsigned char const*>(bytes.data()), bytes.size(), digits.data());
  return digits.data();
}

}  // namespace stripwright::files
