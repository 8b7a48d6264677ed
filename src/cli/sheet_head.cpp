#include "cli/sheet_head.h"

#include <fmt/format.h>

#include <charconv>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <string_view>

#include "cli/setup_output.h"
#include "cli/version.h"
#include "files/digest.h"

namespace stripwright::cli {
namespace {

/// SOURCE_DATE_EPOCH, where it is a number whose year has four digits.
std::optional<std::time_t> pinned_time() {
  char const* const given = std::getenv("SOURCE_DATE_EPOCH");
  if (!given) return {};
  constexpr long long kYear10000 = 253402300800;
  const std::string_view text(given);
  long long seconds = 0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), seconds);
  if (fault != std::errc() || end != text.data() + text.size()) return {};
  if (seconds < 0 || seconds >= kYear10000) return {};
  return static_cast<std::time_t>(seconds);
}

std::string date_words(std::tm const& parts) {
  return fmt::format("{:04}-{:02}-{:02}", parts.tm_year + 1900, parts.tm_mon + 1, parts.tm_mday);
}

}  // namespace

std::string date_of(std::time_t moment) {
  std::tm parts{};
  localtime_r(&moment, &parts);
  return date_words(parts);
}

std::string sheet_date() {
  const auto pinned = pinned_time();
  if (!pinned) return date_of(std::time(nullptr));
  std::tm parts{};
  gmtime_r(&*pinned, &parts);
  return date_words(parts);
}

sheet::FileVersion file_version(files::SourceText const& source) {
  return {std::filesystem::path(source.name()).filename().string(), files::sha256(source.text())};
}

sheet::SheetHead taper_head(files::SourceText const& source, Taper const& taper, Unit unit) {
  sheet::SheetHead head;
  head.rod = taper.name;
  head.taper_file = file_version(source);
  head.date = sheet_date();
  head.program = fmt::format("stripwright {}", kVersion);
  head.unit = unit;
  return head;
}

sheet::SheetHead sheet_head(Inputs const& inputs, std::string const& machine) {
  auto head = taper_head(inputs.taper_source, inputs.taper, inputs.unit);
  head.shop = inputs.shop.name;
  head.machine = machine;
  head.shop_file = file_version(inputs.shop_source);
  if (inputs.correction_source) head.correction_file = file_version(*inputs.correction_source);
  if (inputs.shop_is_built_in) {
    head.remarks.emplace_back(
        "No --shop named: the built-in shop serves, with its allowances, not yours.");
    head.flags.emplace_back("BUILT-IN SHOP");
  }
  if (inputs.correction_source) {
    head.remarks.push_back(fmt::format(
        "Corrected by {}: the settings are off the strip on purpose, to make up for the machine.",
        head.correction_file->name));
    head.flags.emplace_back("CORRECTED");
  }
  if (auto assumed = assumed_line(inputs.shop); !assumed.empty()) {
    head.remarks.push_back(std::move(assumed));
    head.flags.push_back(
        fmt::format("ASSUMED 0: {}", fmt::join(inputs.shop.allowances.assumed, ", ")));
  }
  return head;
}

}  // namespace stripwright::cli
