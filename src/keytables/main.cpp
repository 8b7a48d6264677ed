// Prints what follows from the tables of keys and is kept in the repository: the JSON
// Schemas in profiles/schema and the key tables in docs/file-formats.md.

#include <iostream>
#include <string_view>

#include "keytables/json_schema.h"
#include "keytables/key_table_markdown.h"
#include "shop/shop_keys.h"
#include "taper/taper_keys.h"

int main(int argc, char** argv) {
  using namespace stripwright;
  const std::string_view what = argc == 3 ? argv[1] : "";
  const std::string_view file = argc == 3 ? argv[2] : "";
  const bool taper = file == "taper";
  if ((what != "schema" && what != "docs") || (!taper && file != "shop")) {
    std::cerr << "stripwright-keytables schema|docs taper|shop\n";
    return 2;
  }
  auto const& keys = taper ? taper_file_keys() : shop_file_keys();
  std::cout << (what == "docs"
                    ? keytables::key_table_markdown(keys)
                    : keytables::json_schema(keys, taper ? "A taper file" : "A shop file"));
  return std::cout.flush() ? 0 : 3;
}
