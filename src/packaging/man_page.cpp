#include "packaging/man_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <sstream>
#include <string_view>
#include <vector>

#include "report/cautions.h"

namespace powderplan {
namespace {

// Text in which roff sees no commands. Hyphens are those that one can type and search for.
std::string plain(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '\\')
      out += "\\e";
    else if (c == '-')
      out += "\\-";
    else if (c == '\'')
      out += "\\(aq";
    else if (c == '"')
      out += "\\(dq";
    else if (c == '~')
      out += "\\(ti";
    else if (c == '^')
      out += "\\(ha";
    else if (c == '`')
      out += "\\(ga";
    else
      out += c;
  }
  return out.starts_with('.') ? fmt::format("\\&{}", out) : out;
}

std::string bold(std::string_view text) {
  return fmt::format("\\fB{}\\fR", plain(text));
}

std::string italic(std::string_view text) {
  return fmt::format("\\fI{}\\fR", plain(text));
}

std::string page_head(const std::string& name, const DescribedProgram& program, const std::string& does) {
  std::string title = name;
  std::transform(title.begin(), title.end(), title.begin(),
                 [](char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; });
  // No date: the same bytes whenever it is built.
  return fmt::format(".TH {} 1 \"\" \"powderplan {}\" \"User Commands\"\n.SH NAME\n{} \\- {}\n", plain(title),
                     program.version, plain(name), plain(does));
}

// "[OPTIONS] [IMAGE]": capitals are what one replaces.
std::string synopsis(const std::string& name, const std::string& usage) {
  std::string out = ".SH SYNOPSIS\n" + bold(name) + " ";
  std::string word;
  const auto flush = [&] {
    out += word.empty() ? "" : italic(word);
    word.clear();
  };
  for (const char c : usage) {
    if ((c >= 'A' && c <= 'Z') || (c == '-' && !word.empty())) {
      word += c;
    } else {
      flush();
      out += c;
    }
  }
  flush();
  return out + "\n";
}

std::string flag_entry(const DescribedFlag& flag) {
  std::string names;
  for (const std::string& name : flag.names)
    names += (names.empty() ? "" : ", ") + (flag.is_place ? italic(name) : bold(name));
  return fmt::format(".TP\n{}{}\n{}\n", names,
                     flag.value.empty() ? "" : fmt::format(" {}", italic(flag.value)), plain(flag.help));
}

// Flags under the headings of the help, in its order.
std::string flag_entries(const DescribedCommand& command) {
  std::string out = ".SH OPTIONS\n";
  std::vector<std::string> headings;
  for (const DescribedFlag& flag : command.flags)
    if (!flag.is_place && std::find(headings.begin(), headings.end(), flag.heading) == headings.end())
      headings.push_back(flag.heading);
  for (const DescribedFlag& flag : command.flags)
    if (flag.is_place)
      out += flag_entry(flag);
  for (const std::string& heading : headings) {
    if (headings.size() > 1 && heading != headings.front())
      out += ".SS " + plain(heading) + "\n";
    for (const DescribedFlag& flag : command.flags)
      if (!flag.is_place && flag.heading == heading)
        out += flag_entry(flag);
  }
  return out;
}

// A command that a terminal of 80 columns cannot show in one line goes on in the next, as one would type it.
std::string folded(std::string line) {
  constexpr std::size_t widest = 68;
  std::string out;
  while (line.starts_with("powderplan") && line.size() > widest) {
    const std::size_t at = line.rfind(" --", widest);
    if (at == std::string::npos || at == 0)
      break;
    out += plain(line.substr(0, at) + " \\") + "\n";
    line = "    " + line.substr(at + 1);
    if (line.size() <= widest)
      break;
  }
  return out + plain(line);
}

// A command that goes on after a "\\" as one line.
std::vector<std::string> lines_joined(const std::vector<std::string>& lines) {
  std::vector<std::string> joined;
  bool goes_on = false;
  for (const std::string& line : lines) {
    if (goes_on)
      joined.back() += line.substr(line.find_first_not_of(' '));
    else
      joined.push_back(line);
    goes_on = joined.back().ends_with('\\');
    if (goes_on)
      joined.back().pop_back();
  }
  return joined;
}

// Lines that are set in stand as they are; all others flow.
std::string paragraph(const std::vector<std::string>& lines) {
  std::string out = ".PP\n";
  bool as_it_is = false;
  for (const std::string& line : lines_joined(lines)) {
    const bool set_in = line.starts_with("  ");
    if (set_in != as_it_is)
      out += set_in ? ".RS 2\n.nf\n" : ".fi\n.RE\n";
    as_it_is = set_in;
    out += (set_in ? folded(line.substr(2)) : plain(line)) + "\n";
  }
  return out + (as_it_is ? ".fi\n.RE\n" : "");
}

// What follows the flags in the help: examples first, then remarks.
std::string remarks(const std::string& more) {
  std::string out;
  std::vector<std::string> lines;
  bool in_examples = false;
  const auto flush = [&] {
    if (lines.empty())
      return;
    const bool examples = lines.front().starts_with("Example") || lines.front().starts_with("Begin with");
    if (examples)
      lines.erase(lines.begin());
    if (examples || in_examples || out.empty())
      out += examples ? ".SH EXAMPLES\n" : ".SH NOTES\n";
    in_examples = examples;
    out += paragraph(lines);
    lines.clear();
  };
  std::istringstream text(more);
  for (std::string line; std::getline(text, line);) {
    if (line.empty())
      flush();
    else
      lines.push_back(line);
  }
  flush();
  return out;
}

}  // namespace

std::string program_page(const DescribedProgram& program, const std::string& data_folder) {
  std::string page = page_head("powderplan", program, program.itself.does);
  page += synopsis("powderplan", program.itself.usage);
  page += ".SH COMMANDS\nEach has a page of its own.\n";
  for (const DescribedCommand& command : program.commands)
    page += fmt::format(".TP\n{}(1)\n{}\n", bold("powderplan-" + command.name), plain(command.does));
  page += flag_entries(program.itself);
  page += remarks(program.itself.more);
  page += fmt::format(
      ".SH FILES\n.TP\n{0}\nPalettes and pieces to begin with; copy what you want to change. {1} is "
      "where the program was installed: /usr from a Debian package, else /usr/local unless told otherwise.\n"
      ".TP\n{2}\nWhat is kept between runs, where {3} names no other folder. It may be deleted at any "
      "time.\n",
      italic("PREFIX/" + data_folder), italic("PREFIX"), italic("~/.cache/powderplan"),
      bold("XDG_CACHE_HOME"));
  page += ".SH CAUTIONS\n";
  for (const Caution& caution : cautions_of(PlanRecord{}))
    page += fmt::format(".TP\n{}\n{}\n", bold(caution.title), plain(caution.text));
  return page;
}

std::string command_page(const DescribedProgram& program, const DescribedCommand& command) {
  std::string page = page_head("powderplan-" + command.name, program, command.does);
  page += synopsis("powderplan " + command.name, command.usage);
  page += flag_entries(command);
  page += remarks(command.more);
  page += ".SH CAUTIONS\n";
  for (const std::string& reminder : {dust_reminder(), kiln_reminder(), cut_reminder()})
    page += ".PP\n" + plain(reminder) + "\n";
  return page + ".SH SEE ALSO\n" + bold("powderplan") + "(1)\n";
}

}  // namespace powderplan
