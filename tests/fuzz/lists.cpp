#include "culm/culms.h"
#include "fuzz.h"
#include "inspection/ring.h"
#include "machine/correction.h"

using namespace stripwright;

/// Ring, correction and culm files: all three readers on the same bytes, for a file given in
/// another's place is what happens.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  const files::SourceText source("list.yaml", std::string(fuzz::text(bytes, size)));
  const auto reads = [&](auto const& read) {
    Problems problems;
    const auto value = read(source, problems);
    fuzz::promise(value.has_value() != problems.any_error(), "either a value or an error");
    fuzz::promise(value || !problems.text().empty(), "an error is told");
  };
  reads([](auto const& s, Problems& p) { return read_ring(s, p); });
  reads([](auto const& s, Problems& p) { return machine::read_correction(s, p); });
  reads([](auto const& s, Problems& p) { return culm::read_culms(s, p); });
  return 0;
}
