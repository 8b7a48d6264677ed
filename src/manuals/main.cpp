// stripwright-manuals FOLDER: manual pages and the shells' completions, for `cmake --install`.
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <string>

#include "cli/version.h"
#include "manuals/completions.h"
#include "manuals/man_page.h"

namespace {

namespace fs = std::filesystem;
using stripwright::manuals::CallCommand;

bool write(fs::path const& path, std::string const& text) {
  fs::create_directories(path.parent_path());
  std::ofstream file(path, std::ios::binary);
  file << text;
  file.close();
  if (file) return true;
  std::fprintf(stderr, "%s: cannot be written\n", path.c_str());
  return false;
}

bool write_pages(fs::path const& folder, CallCommand const& command) {
  bool good = write(folder / stripwright::manuals::man_page_name(command),
                    stripwright::manuals::man_page(command, stripwright::cli::kVersion));
  for (auto const& each : command.commands) good = write_pages(folder, each) && good;
  return good;
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 2) {
    std::fputs("stripwright-manuals FOLDER\n", stderr);
    return 2;
  }
  const fs::path folder(arguments[1]);
  const auto program = stripwright::manuals::call_tree();
  const bool good =
      write_pages(folder / "man1", program) &&
      write(folder / "bash" / "stripwright", stripwright::manuals::bash_completions(program)) &&
      write(folder / "zsh" / "_stripwright", stripwright::manuals::zsh_completions(program)) &&
      write(folder / "fish" / "stripwright.fish", stripwright::manuals::fish_completions(program));
  return good ? 0 : 3;
}
