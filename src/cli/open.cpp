#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <filesystem>
#include <memory>
#include <ostream>

#include "cli/command_line.h"
#include "units/parse.h"

namespace stripwright::cli {
namespace {

namespace fs = std::filesystem;

constexpr char kProgram[] = "stripwright-page";
/// Of those that IANA leaves to anybody's own use up from 8425 (from memory); the same each time,
/// so that a page left open finds the server again.
constexpr int kUsualPort = 8427;

struct OpenOptions {
  std::string folder = ".";
  std::string port;
  bool share = false;
  bool no_browser = false;
};

/// The server lies beside this program, wherever both were moved to.
fs::path server_path() {
  std::error_code fault;
  return fs::read_symlink("/proc/self/exe", fault).parent_path() / kProgram;
}

std::optional<int> port_of(OpenOptions const& options, Problems& problems) {
  if (options.port.empty()) return kUsualPort;
  const auto number = parse_number(options.port);
  constexpr double kLowest = 1024;
  constexpr double kHighest = 65535;
  if (number && *number.value >= kLowest && *number.value <= kHighest &&
      *number.value == static_cast<int>(*number.value))
    return static_cast<int>(*number.value);
  problems.error(fmt::format("--port {}: no port", quoted_for_message(options.port)),
                 "a whole number, 1024 to 65535");
  return std::nullopt;
}

ExitStatus run_open(OpenOptions const& options, Streams streams) {
  Problems problems;
  const auto port = port_of(options, problems);
  std::error_code fault;
  if (!fs::is_directory(options.folder, fault))
    problems.error(fmt::format("{} is no folder", quoted_for_message(options.folder)),
                   "name the folder with your tapers, or leave it out for this one");
  const auto server = server_path();
  if (!fs::exists(server, fault))
    problems.error(fmt::format("{} is not beside this program", kProgram),
                   "install it again, with its pages");
  if (!problems.any_error() && ::chdir(options.folder.c_str()) != 0)
    problems.error(fmt::format("{}: {}", quoted_for_message(options.folder), std::strerror(errno)),
                   "check its permissions");
  if (problems.any_error()) {
    streams.err << problems.text();
    return ExitStatus::wrong;
  }
  const bool seen = std::getenv("DISPLAY") || std::getenv("WAYLAND_DISPLAY");
  streams.out.flush();
  ::execl(server.c_str(), kProgram, fmt::format("{}", *port).c_str(),
          options.port.empty() ? "near" : "just", options.share ? "share" : "alone",
          seen && !options.no_browser ? "show" : "quiet", nullptr);
  streams.err << fmt::format("{}: {}\n", server.string(), std::strerror(errno));
  return ExitStatus::failed;
}

}  // namespace

void add_open(Command program, Run& run) {
  auto options = std::make_shared<OpenOptions>();
  auto command = program.add_subcommand(
      "open", "the whole shop as pages in the browser: rods, shops, measuring, choosing");
  command.manual(
      {{"stripwright open --no-browser"},
       {"Only this machine sees the pages, unless --share is given: then an address with a key is "
        "printed, by which one other device of the shop's network comes in, once. Nothing that is "
        "sent there is encrypted.",
        "Files stay where and what they are; what was there before a saving is kept in the "
        "folder's .stripwright/before."},
       "ended by Ctrl+C, or by a signal",
       ""});
  command.add_option("FOLDER", options->folder,
                     "where tapers, shops and readings lie; here if left out");
  command.add_option("--port", options->port, "the port of the pages; 8427, or one that is free");
  command.add_flag("--share", options->share, "let another device in, a tablet at the machine");
  command.add_flag("--no-browser", options->no_browser, "only print the address");
  command.on_given(run, [options](Streams streams) { return run_open(*options, streams); });
}

}  // namespace stripwright::cli
