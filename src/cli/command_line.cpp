#include "cli/command_line.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <map>

#include "cli/version.h"
#include "report/paragraph.h"

namespace stripwright::cli {
namespace {

constexpr char kPurpose[] =
    "From a split-cane rod's taper to the settings of the machine that cuts it:\n"
    "across flats at each station in, strip height, groove depth, gauge and dial out.";

}  // namespace

Option Option::required() {
  option_->required();
  return *this;
}

Option Option::one_of(std::vector<std::string> words) {
  option_->check(CLI::IsMember(std::move(words)));
  return *this;
}

Option Option::one_value_each_time() {
  option_->allow_extra_args(false);
  return *this;
}

Option Option::values_each_time(std::string_view words, int count) {
  option_->type_name(std::string(words))->type_size(count)->allow_extra_args(false);
  return *this;
}

std::string status_meaning(Manual const& manual, int status) {
  switch (status) {
    case 0:
      return manual.status_0;
    case 1:
      return manual.status_1;
    case 2:
      return "the call or a file is wrong";
    default:
      return "disk failure";
  }
}

Command Command::add_subcommand(std::string const& name, std::string const& purpose) {
  return Command(*app_->add_subcommand(name, purpose), *manuals_);
}

void Command::require_subcommand() { app_->require_subcommand(1); }

void Command::manual(Manual manual) {
  std::string text;
  for (auto const& example : manual.examples)
    text += report::paragraph(example, text.empty() ? "Example: " : "     or: ", "         ");
  for (auto const& note : manual.notes) text += report::paragraph(note, "", "  ");
  std::vector<std::string> ends;
  for (int status = 0; status <= 3; ++status)
    if (const auto meaning = status_meaning(manual, status); !meaning.empty())
      ends.push_back(fmt::format("{} {}", status, meaning));
  text += report::paragraph(fmt::format("Exit status: {}", fmt::join(ends, "; ")), "", "  ");
  text.pop_back();
  app_->footer(text);
  (*manuals_)[app_] = std::move(manual);
}

Option Command::add_option(std::string const& name, std::string& value,
                           std::string const& meaning) {
  return Option(app_->add_option(name, value, meaning));
}

Option Command::add_option(std::string const& name, std::vector<std::string>& values,
                           std::string const& meaning) {
  return Option(app_->add_option(name, values, meaning));
}

Option Command::add_flag(std::string const& name, bool& value, std::string const& meaning) {
  return Option(app_->add_flag(name, value, meaning));
}

void Command::remove_option(std::string const& name) {
  app_->remove_option(app_->get_option(name));
}

void Command::on_given(Run& run, Run action) {
  app_->callback([&run, action = std::move(action)] { run = action; });
}

std::vector<Command::Given> Command::given_in_order(
    std::vector<std::pair<std::string_view, int>> const& counts) const {
  std::vector<Given> out;
  std::map<CLI::Option const*, std::size_t> used;
  auto const& order = app_->parse_order();
  for (std::size_t i = 0; i < order.size();) {
    auto const* option = order[i];
    const auto known = std::find_if(counts.begin(), counts.end(), [&](auto const& each) {
      return each.first == option->get_name();
    });
    if (known == counts.end()) {
      ++i;
      continue;
    }
    Given given{std::string(known->first), {}};
    for (int k = 0; k < known->second; ++k, ++i)
      given.values.push_back(option->results()[used[option]++]);
    out.push_back(std::move(given));
  }
  return out;
}

CommandTree::CommandTree(Run& run) : program_(std::make_unique<CLI::App>(kPurpose, "stripwright")) {
  program_->set_version_flag("--version", std::string(kVersion));
  program_->require_subcommand(1);
  const Command program(*program_, manuals_);
  add_setup(program, run);
  add_correct(program, run);
  add_explain(program, run);
  add_taper(program, run);
  add_shop(program, run);
  add_check(program, run);
  add_learn(program, run);
  add_bend(program, run);
  add_choose(program, run);
  add_culm(program, run);
  add_open(program, run);
}

CommandTree::~CommandTree() = default;

}  // namespace stripwright::cli
