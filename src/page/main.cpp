#include <arpa/inet.h>
#include <httplib.h>
#include <ifaddrs.h>
#include <net/if.h>
#include <spawn.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <filesystem>
#include <iostream>
#include <memory>
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
/// So many at once; more wait.
constexpr int kConnections = 256;
/// What still goes on at the end has so long; saving is whole or not at all whenever it is cut off.
constexpr std::chrono::seconds kFarewell(2);

/// The library's server, whose port is its own: with the library's choice (SO_REUSEPORT) a second
/// one of the same user would get half of the first one's requests.
class Server : public httplib::Server {
 public:
  Server() {
    // Before the port is bound, for each connection has it from there: an answer is sent in two
    // parts, and the second would wait 40 ms for word that the first has come.
    set_tcp_nodelay(true);
    set_socket_options([](int socket) {
      const int yes = 1;
      ::setsockopt(socket, SOL_SOCKET, SO_REUSEADDR, &yes, sizeof yes);
    });
  }
  /// The port that is bound, any for 0; -1 if it cannot be.
  int bind(char const* address, int port) {
    const int got = port == 0 ? bind_to_any_port(address) : bind_to_port(address, port) ? port : -1;
    // As many may wait as the system lets: the library's five are soon too few.
    if (got >= 0) ::listen(svr_sock_, SOMAXCONN);
    return got;
  }
  /// Starts to answer; what is to `stop` must have begun.
  std::thread start() {
    std::thread out([this] { listen_after_bind(); });
    while (!is_running()) std::this_thread::sleep_for(std::chrono::milliseconds(1));
    return out;
  }
};

Request request_of(httplib::Request const& from, Door door) {
  Request out;
  out.verb = from.method == "POST" ? Verb::post : Verb::get;
  out.path = from.path;
  for (auto const& [name, value] : from.params) out.query.emplace(name, value);
  // What only looks whether an address is there, a link's preview, does not use up its key.
  if (from.method == "HEAD") out.query.erase("key");
  out.body = from.body;
  // RFC 9112, 3.2: a request with several of them is none.
  if (from.get_header_value_count("Host") == 1) out.host = from.get_header_value("Host");
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
  if (response.body.empty()) return to.set_content("", response.type);
  // Handed over piece by piece the library leaves it as it is. Else it is packed for a browser, by
  // brotli at its slowest: 45 ms for a keystroke's figures, which are made in 3.
  const auto body = std::make_shared<const std::string>(response.body);
  to.set_content_provider(body->size(), response.type,
                          [body](std::size_t offset, std::size_t length, httplib::DataSink& sink) {
                            return sink.write(body->data() + offset, length);
                          });
}

void refuse(httplib::Response& to, int status, std::string const& why) {
  to.status = status;
  to.set_content(why + "\n", "text/plain; charset=utf-8");
}

/// What never comes to the site, for it is no request of a page: other methods; packed bodies,
/// which could be unpacked to any size; and bodies that do not tell their length before, which the
/// library takes in to their end, however far off that is.
bool is_refused(httplib::Request const& from, httplib::Response& to) {
  if (from.has_header("Content-Encoding")) {
    refuse(to, 415, "What is sent must be JSON as it is.");
    return true;
  }
  if (from.has_header("Transfer-Encoding") ||
      (from.method == "POST" && !from.has_header("Content-Length"))) {
    refuse(to, 411, "What is sent must tell its length first.");
    return true;
  }
  if (from.method == "GET" || from.method == "HEAD" || from.method == "POST") return false;
  to.set_header("Allow", "GET, HEAD, POST");
  refuse(to, 405, "Pages are asked for with GET and POST.");
  return true;
}

/// Answers that the library gives of itself carry the site's headers as well.
void guard(httplib::Response& to) {
  Response plain;
  stripwright::page::guard(plain);
  for (auto const& [name, value] : plain.headers)
    if (!to.has_header(name.c_str())) to.set_header(name, value);
}

void prepare(httplib::Server& server, Site& site, Door door) {
  const auto handler = [&site, door](httplib::Request const& from, httplib::Response& to) {
    answer(site, door, from, to);
  };
  server.set_pre_routing_handler([](httplib::Request const& from, httplib::Response& to) {
    // Nobody needs a part of a page, and who asks for one may be given all of it (RFC 9110, 14.2).
    // The library would ask `answer` for bytes from anywhere, beyond the end too.
    const_cast<httplib::Request&>(from).ranges.clear();
    return is_refused(from, to) ? httplib::Server::HandlerResponse::Handled
                                : httplib::Server::HandlerResponse::Unhandled;
  });
  server.set_post_routing_handler(
      [](httplib::Request const&, httplib::Response& to) { guard(to); });
  server.Get(".*", handler);
  server.Post(".*", handler);
  server.set_payload_max_length(stripwright::page::kLongestBody);
  server.set_read_timeout(kSeconds);
  server.set_write_timeout(kSeconds);
  server.set_keep_alive_timeout(5);
  // One request for each connection. What the library refuses by itself (an address that is too
  // long, a header) has a body that is not read; on a connection that went on it would be the next
  // request, and a page of another site could write there whatever host and origin it likes.
  server.set_keep_alive_max_count(1);
  // A connection holds a thread; a browser opens six.
  server.new_task_queue = [] { return new httplib::ThreadPool(kConnections); };
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
bool share(Server& server, Site& site) {
  const auto hosts = addresses();
  const int port = hosts.empty() ? -1 : server.bind("0.0.0.0", 0);
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
int bound_port(Server& server, int wanted, bool just_that) {
  const int port = server.bind(kLoopback, wanted);
  return port >= 0 || just_that ? port : server.bind(kLoopback, 0);
}

void show_in_browser(std::string address) {
  char program[] = "xdg-open";
  char* arguments[] = {program, address.data(), nullptr};
  // The browser shall end by the signals that are held back here.
  posix_spawnattr_t attributes;
  sigset_t none;
  sigset_t usual;
  sigemptyset(&none);
  sigemptyset(&usual);
  sigaddset(&usual, SIGPIPE);
  ::posix_spawnattr_init(&attributes);
  ::posix_spawnattr_setsigmask(&attributes, &none);
  ::posix_spawnattr_setsigdefault(&attributes, &usual);
  ::posix_spawnattr_setflags(&attributes, POSIX_SPAWN_SETSIGMASK | POSIX_SPAWN_SETSIGDEF);
  pid_t child = 0;
  // Where it is not there the address is on the terminal.
  ::posix_spawnp(&child, program, nullptr, &attributes, arguments, environ);
  ::posix_spawnattr_destroy(&attributes);
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

  Server own;
  Server shared;
  const int port = bound_port(own, wanted, std::string_view(argv[2]) == "just");
  if (port < 0) {
    std::cerr << "port " << wanted << " is taken\n  name another with --port, or leave it out\n";
    return 2;
  }
  Site site(".", {with_port(kLoopback, port), with_port("localhost", port)});
  prepare(own, site, Door::own);
  prepare(shared, site, Door::shared);
  if (sharing && !share(shared, site)) {
    std::cerr << "no network to share in\n  connect this machine, or leave --share out\n";
    return 2;
  }
  const std::string address = "http://" + with_port(kLoopback, port) + "/";
  std::cout << "Open " << address << " ; Ctrl+C ends it." << std::endl;
  auto own_thread = own.start();
  std::thread shared_thread;
  if (sharing) shared_thread = shared.start();
  if (std::string_view(argv[4]) == "show") show_in_browser(address);
  int signal = 0;
  sigwait(&ends, &signal);
  std::thread([] {
    std::this_thread::sleep_for(kFarewell);
    ::_exit(0);
  }).detach();
  own.stop();
  if (sharing) shared.stop();
  own_thread.join();
  if (shared_thread.joinable()) shared_thread.join();
  return 0;
}
