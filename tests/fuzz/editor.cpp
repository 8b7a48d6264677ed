#include "files/yaml_editor.h"
#include "fuzz.h"

using namespace stripwright;

/// A file, then keys and a value on lines of their own behind `%%`. That only what was asked
/// for changes is proven by the editor itself, or it refuses; here it is told by the size at least.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* bytes, std::size_t size) {
  auto rest = fuzz::text(bytes, size);
  const std::string file(fuzz::cut(rest));
  files::YamlChange change;
  while (!rest.empty() && change.path.size() < 6) {
    const auto end = rest.find('\n');
    change.path.emplace_back(rest.substr(0, end));
    rest = end == std::string_view::npos ? std::string_view() : rest.substr(end + 1);
  }
  if (change.path.size() < 2) return 0;
  change.value = change.path.back();
  change.path.pop_back();
  const auto edit = files::edit_yaml("shop.yaml", file, {change});
  if (!edit) {
    fuzz::promise(!edit.problem.what.empty(), "a refusal says why");
    return 0;
  }
  fuzz::promise(edit.bytes->find(change.value.substr(0, change.value.find_first_of("\n\t\"\\"))) !=
                    std::string::npos,
                "the new value stands in the file");
  // Once more changes nothing.
  const auto again = files::edit_yaml("shop.yaml", *edit.bytes, {change});
  fuzz::promise(again && *again.bytes == *edit.bytes, "what is set stays set");
  return 0;
}
