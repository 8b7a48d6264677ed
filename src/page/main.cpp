#include <arpa/inet.h>
#include <httplib.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <spawn.h>
#include <unistd.h>

#include <csignal>
#include <filesystem>
#include <iostream>
#include <thread>

#include "page/site.h"

// The server of `stripwright open`, which starts it. Its arguments are that command's, read and
// checked there: PORT; `just` that one or one `near` it where it is taken; `share` or `alone`;
// `show` the page in a browser or be `quiet`. It serves the folder it is started in, says on
// standard output where, and ends with the signals INT, TERM and HUP.

namespace {

using stripwright::page::Door;
using stripwright::page::Request;
using stripwright::page::Response;
using stripwright::page::Site;
using stripwright::page::Verb;

constexpr char kLoopback[] = "127.0.0.1";
constexpr std::time_t kSeconds = 10;

Request request_of(httplib::Request const& from, Door door) {
  Request out;
  out.verb = from.method == "POST" ? Verb::post : Verb::get;
  out.path = from.path;
  for (auto const& [name, value] : from.params) out.query.emplace(name, value);
  out.body = from.body;
  out.host = from.get_header_value("Host");
  out.origin = from.get_header_value("Origin");
  out.fetch_site = from.get_header_value("Sec-Fetch-Site");
  out.cookies = from.get_header_value("Cookie");
  out.content_type = from.get_header_value("Content-Type");
  out.known_tag = from.get_header_value("If-None-Match");
  out.door = door;
  return out;
}

void answer(Site& site, Door door, httplib::Request const& from, httplib::Response& to) {
  const auto response = site.answer(request_of(from, door));
  to.status = response.status;
  for (auto const& [name, value] : response.headers) to.set_header(name, value);
  to.set_content(response.body, response.type);
}

/// Limits of time and size; before the server is bound to a port.
void set_limits(httplib::Server& server) {
  // The library's own setting lets two servers share a port, and each gets some of the requests.
  server.set_socket_options([](socket_t socket) {
    const int yes = 1;
    ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
  });
  server.set_tcp_nodelay(true);
  server.set_payload_max_length(stripwright::page::kLongestBody);
  server.set_read_timeout(kSeconds);
  server.set_write_timeout(kSeconds);
  server.set_keep_alive_timeout(2);
  server.set_keep_alive_max_count(1000);
  // A connection that is kept open holds a thread; a browser keeps six.
  server.new_task_queue = [] { return new httplib::ThreadPool(32); };
}

void set_answers(httplib::Server& server, Site& site, Door door) {
  const auto handler = [&site, door](httplib::Request const& from, httplib::Response& to) {
    answer(site, door, from, to);
  };
  server.Get(".*", handler);
  server.Post(".*", handler);
}

/// This machine's addresses in its networks, without the loopback.
std::set<std::string> addresses() {
  std::set<std::string> out;
  ifaddrs* list = nullptr;
  if (::getifaddrs(&list) != 0) return out;
  for (auto const* each = list; each != nullptr; each = each->ifa_next) {
    if (each->ifa_addr == nullptr || each->ifa_addr->sa_family != AF_INET ||
        (each->ifa_flags & IFF_LOOPBACK) != 0 || (each->ifa_flags & IFF_UP) == 0)
      continue;
    char text[INET_ADDRSTRLEN];
    auto const* address = reinterpret_cast<sockaddr_in const*>(each->ifa_addr);
    if (::inet_ntop(AF_INET, &address->sin_addr, text, sizeof text) != nullptr) out.insert(text);
  }
  ::freeifaddrs(list);
  return out;
}

std::string with_port(std::string const& host, int port) {
  return host + ":" + std::to_string(port);
}

/// Opens the shared door and prints its address; false where no network is there.
bool share(httplib::Server& server, Site& site) {
  const auto hosts = addresses();
  const int port = hosts.empty() ? -1 : server.bind_to_any_port("0.0.0.0");
  if (port < 0) return false;
  std::set<std::string> named;
  for (auto const& host : hosts) named.insert(with_port(host, port));
  site.gate().share(named);
  const auto key = site.gate().new_key();
  std::cout << "For one device in the shop's network, once:\n";
  for (auto const& host : named) std::cout << "  http://" << host << "/?key=" << key << "\n";
  std::cout << "What it sends is not encrypted: share only in a network that you trust.\n";
  return true;
}

/// The port that the server got; -1 if none.
int bound_port(httplib::Server& server, int wanted, bool just_that) {
  if (server.bind_to_port(kLoopback, wanted)) return wanted;
  return just_that ? -1 : server.bind_to_any_port(kLoopback);
}

void show_in_browser(std::string address) {
  char program[] = "xdg-open";
  char* arguments[] = {program, address.data(), nullptr};
  pid_t child = 0;
  // Where it is not there the address is on the terminal.
  ::posix_spawnp(&child, program, nullptr, nullptr, arguments, environ);
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 5) {
    std::cerr << "started by `stripwright open`\n";
    return 2;
  }
  const int wanted = std::atoi(argv[1]);
  const bool sharing = std::string_view(argv[3]) == "share";
  // Signals are waited for by one thread; all others, started later, leave them alone.
  sigset_t ends;
  sigemptyset(&ends);
  for (const int each : {SIGINT, SIGTERM, SIGHUP}) sigaddset(&ends, each);
  pthread_sigmask(SIG_BLOCK, &ends, nullptr);
  std::signal(SIGPIPE, SIG_IGN);

  httplib::Server own;
  httplib::Server shared;
  set_limits(own);
  set_limits(shared);
  const int port = bound_port(own, wanted, std::string_view(argv[2]) == "just");
  if (port < 0) {
    std::cerr << "port " << wanted << " is taken\n  name another with --port, or leave it out\n";
    return 2;
  }
  Site site(".", {with_port(kLoopback, port), with_port("localhost", port)});
  set_answers(own, site, Door::own);
  set_answers(shared, site, Door::shared);
  if (sharing && !share(shared, site)) {
    std::cerr << "no network to share in\n  connect this machine, or leave --share out\n";
    return 2;
  }
  const std::string address = "http://" + with_port(kLoopback, port) + "/";
  std::cout << "Open " << address << " ; Ctrl+C ends it." << std::endl;
  std::thread own_thread([&] { own.listen_after_bind(); });
  std::thread shared_thread;
  if (sharing) shared_thread = std::thread([&] { shared.listen_after_bind(); });
  if (std::string_view(argv[4]) == "show") show_in_browser(address);
  int signal = 0;
  sigwait(&ends, &signal);
  own.stop();
  if (sharing) shared.stop();
  own_thread.join();
  if (shared_thread.joinable()) shared_thread.join();
  return 0;
}
