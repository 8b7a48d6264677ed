#include "fuzz.h"
#include "shop/read_shop.h"

using namespace stripwright;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  Problems problems;
  const files::SourceText source("shop.yaml", std::string(fuzz::text(bytes, size)));
  const auto shop = read_shop(source, problems);
  fuzz::promise(shop.has_value() != problems.any_error(), "either a shop or an error");
  fuzz::promise(shop || !problems.text().empty(), "an error is told");
  return 0;
}
