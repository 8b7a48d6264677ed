// Prints what follows from the tables of keys and is kept in the repository: the JSON
// Schemas in profiles/schema and the key tables in docs/file-formats.md.

#include <array>
#include <iostream>
#include <string_view>

#include "culm/culm_keys.h"
#include "inspection/ring_keys.h"
#include "keytables/json_schema.h"
#include "keytables/key_table_markdown.h"
#include "machine/correction.h"
#include "shop/shop_keys.h"
#include "taper/taper_keys.h"

namespace {

struct File {
  std::string_view name;
  std::string_view title;
  stripwright::files::MapSpec const& keys;
};

}  // namespace

int main(int argc, char** argv) {
  using namespace stripwright;
  const std::string_view what = argc == 3 ? argv[1] : "";
  const std::string_view name = argc == 3 ? argv[2] : "";
  const std::array files = {
      File{"taper", "A taper file", taper_file_keys()},
      File{"shop", "A shop file", shop_file_keys()}, File{"ring", "A ring file", ring_file_keys()},
      File{"correction", "A correction file", machine::correction_file_keys()},
      File{"culms", "A culm file", culm::culm_file_keys()}};
  for (auto const& file : files) {
    if (file.name != name || (what != "schema" && what != "docs")) continue;
    std::cout << (what == "docs" ? keytables::key_table_markdown(file.keys)
                                 : keytables::json_schema(file.keys, file.title));
    return std::cout.flush() ? 0 : 3;
  }
  std::cerr << "stripwright-keytables schema|docs taper|shop|ring|correction|culms\n";
  return 2;
}
