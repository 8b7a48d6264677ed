#include "manuals/call_tree.h"

#include <CLI/CLI.hpp>

#include "cli/call_fault.h"
#include "cli/command.h"

namespace stripwright::manuals {
namespace {

bool speaks_of(std::string const& text, std::string const& word) {
  return text.find(word) != std::string::npos;
}

CallPart part_of(CLI::Option const& option) {
  CallPart part;
  part.argument = option.get_positional();
  part.name = part.argument ? option.get_name(true) : option.get_name();
  part.meaning = option.get_description();
  part.required = option.get_required();
  part.repeatable = option.get_items_expected_max() > 1;
  const auto type = option.get_type_name();
  part.words = cli::words_taken(option);
  const bool flag = option.get_items_expected_max() == 0;
  if (!part.argument && !flag)
    part.value = !part.words.empty() ? type.substr(type.find('{'))
                 : type == "TEXT"    ? "VALUE"
                                     : type;
  if (flag)
    part.kind = ValueKind::none;
  else if (!part.words.empty())
    part.kind = ValueKind::words;
  else if (part.name == "--shop" || part.name == "SHOP")
    part.kind = ValueKind::shop;
  else if (speaks_of(part.name, "TAPER") || speaks_of(part.value, "TAPER"))
    part.kind = ValueKind::taper;
  else if (part.argument || speaks_of(part.meaning, "file") || speaks_of(part.meaning, "folder"))
    part.kind = ValueKind::file;
  return part;
}

CallCommand command_of(CLI::App const& app, std::string const& above, cli::Manuals const& manuals) {
  CallCommand out;
  out.name = app.get_name();
  out.path = above.empty() ? out.name : above + " " + out.name;
  out.purpose = app.get_description();
  if (const auto found = manuals.find(&app); found != manuals.end()) out.manual = found->second;
  for (auto const* option : app.get_options()) out.parts.push_back(part_of(*option));
  for (auto const* command : app.get_subcommands([](CLI::App const*) { return true; }))
    out.commands.push_back(command_of(*command, out.path, manuals));
  return out;
}

}  // namespace

CallCommand call_tree() {
  cli::Run run;
  cli::CommandTree tree(run);
  return command_of(tree.program(), "", tree.manuals());
}

}  // namespace stripwright::manuals
