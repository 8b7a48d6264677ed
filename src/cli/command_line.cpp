#include "cli/command_line.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <map>

namespace stripwright::cli {

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

Command Command::add_subcommand(std::string const& name, std::string const& purpose) {
  return Command(*app_->add_subcommand(name, purpose));
}

void Command::require_subcommand() { app_->require_subcommand(1); }

void Command::footer(std::string const& text) { app_->footer(text); }

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

}  // namespace stripwright::cli
