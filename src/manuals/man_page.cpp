#include "manuals/man_page.h"

#include <fmt/format.h>

#include <algorithm>

namespace stripwright::manuals {
namespace {

/// Text as roff takes it for text: no requests, backslashes as they are, hyphens that can be
/// copied.
std::string roff(std::string_view text) {
  std::string out;
  bool line_begins = true;
  for (const char c : text) {
    if (line_begins && (c == '.' || c == '\'')) out += "\\&";
    line_begins = c == '\n';
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else
      out += c;
  }
  return out;
}

std::string dashed(std::string text) {
  std::replace(text.begin(), text.end(), ' ', '-');
  return text;
}

std::string synopsis(CallCommand const& command) {
  std::string out = fmt::format(".B {}\n", roff(command.path));
  if (!command.commands.empty()) return out + ".I COMMAND\n";
  out += "[\\fIOPTIONS\\fR]\n";
  for (auto const& part : command.parts) {
    if (part.argument)
      out += fmt::format("{}\\fI{}\\fR{}{}\n", part.required ? "" : "[", roff(part.name),
                         part.repeatable ? " ..." : "", part.required ? "" : "]");
    else if (part.required)
      out += fmt::format("\\fB{}\\fR \\fI{}\\fR\n", roff(part.name), roff(part.value));
  }
  return out;
}

std::string described(CallPart const& part) {
  const auto name = part.argument ? fmt::format("\\fI{}\\fR", roff(part.name))
                    : part.value.empty()
                        ? fmt::format("\\fB{}\\fR", roff(part.name))
                        : fmt::format("\\fB{}\\fR \\fI{}\\fR", roff(part.name), roff(part.value));
  return fmt::format(".TP\n{}{}\n{}{}\n", name, part.repeatable && !part.argument ? " ..." : "",
                     roff(part.meaning), part.required && !part.argument ? "; must be given" : "");
}

std::string parts(CallCommand const& command, bool arguments, std::string_view heading) {
  std::string out;
  for (auto const& part : command.parts)
    if (part.argument == arguments) out += described(part);
  return out.empty() ? out : fmt::format(".SH {}\n{}", heading, out);
}

std::string see_also(CallCommand const& command) {
  std::vector<std::string> pages;
  if (command.path != "stripwright") pages.emplace_back("\\fBstripwright\\fR(1)");
  for (auto const& each : command.commands)
    pages.push_back(fmt::format("\\fB{}\\fR(1)", roff(dashed(each.path))));
  return fmt::format(".SH SEE ALSO\n{}\n", fmt::join(pages, ",\n"));
}

}  // namespace

std::string man_page_name(CallCommand const& command) { return dashed(command.path) + ".1"; }

std::string man_page(CallCommand const& command, std::string const& version) {
  auto purpose = command.purpose;
  std::replace(purpose.begin(), purpose.end(), '\n', ' ');
  std::string out = fmt::format(".TH \"{}\" 1 \"\" \"stripwright {}\" \"User commands\"\n",
                                roff(dashed(command.path)), version);
  out += fmt::format(".SH NAME\n{} \\- {}\n", roff(dashed(command.path)), roff(purpose));
  out += ".SH SYNOPSIS\n" + synopsis(command);
  if (!command.manual.notes.empty()) out += ".SH DESCRIPTION\n";
  for (auto const& note : command.manual.notes) out += fmt::format("{}\n.PP\n", roff(note));
  if (!command.commands.empty()) out += ".SH COMMANDS\n";
  for (auto const& each : command.commands)
    out += fmt::format(".TP\n\\fB{}\\fR\n{}\n", roff(each.name), roff(each.purpose));
  out += parts(command, true, "ARGUMENTS") + parts(command, false, "OPTIONS");
  if (!command.manual.examples.empty()) out += ".SH EXAMPLES\n";
  for (auto const& example : command.manual.examples)
    out += fmt::format(".PP\n.nf\n.RS\n{}\n.RE\n.fi\n", roff(example));
  out += ".SH EXIT STATUS\n";
  for (int status = 0; status <= 3; ++status)
    if (const auto meaning = cli::status_meaning(command.manual, status); !meaning.empty())
      out += fmt::format(".TP\n{}\n{}\n", status, roff(meaning));
  return out + see_also(command);
}

}  // namespace stripwright::manuals
