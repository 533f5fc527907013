#include "app/command_line.h"

#include <fmt/format.h>

#include "nearest_word.h"
#include "problem.h"

namespace powderplan {
namespace {

[[noreturn]] void refuse(std::string place, std::string wrong, std::string remedy) {
  throw Problem(ProblemKind::command_line, std::move(place), std::move(wrong), std::move(remedy));
}

// The command that was chosen, or the program itself.
const CLI::App& chosen(const CLI::App& app) {
  const auto commands = app.get_subcommands();
  return commands.empty() ? app : *commands.front();
}

std::string help_remedy(const CLI::App& command) {
  return command.get_parent() == nullptr ? "see powderplan --help"
                                         : fmt::format("see powderplan {} --help", command.get_name());
}

[[noreturn]] void refuse_flag(const CLI::App& command, const std::string& word) {
  const std::string flag = word.substr(0, word.find('='));
  std::vector<std::string> names;
  for (const CLI::Option* option : command.get_options())
    for (const std::string& name : option->get_lnames())
      names.push_back("--" + name);
  const std::vector<std::string_view> known(names.begin(), names.end());
  const auto nearest = nearest_word(flag, known);
  refuse(flag, "is no flag of this command",
         nearest ? fmt::format("did you mean {}?", *nearest) : help_remedy(command));
}

[[noreturn]] void refuse_word(const CLI::App& command, const std::string& word) {
  if (command.get_parent() != nullptr)
    refuse(word, "is one word too many", "put names with spaces in quotes; " + help_remedy(command));
  std::vector<std::string> names;
  for (const CLI::App* known : command.get_subcommands({}))
    names.push_back(known->get_name());
  const std::vector<std::string_view> known(names.begin(), names.end());
  const auto nearest = nearest_word(word, known);
  refuse(
      word, "is no command",
      nearest ? fmt::format("did you mean {}?", *nearest) : fmt::format("say {}", fmt::join(names, " or ")));
}

}  // namespace

std::optional<std::string> parse_command_line(CLI::App& app, const std::vector<std::string>& words) {
  try {
    app.parse(std::vector<std::string>(words.rbegin(), words.rend()));  // it wants the last word first
    return std::nullopt;
  } catch (const CLI::CallForHelp&) {
    return app.help();
  } catch (const CLI::CallForVersion&) {
    return app.version() + "\n";
  } catch (const CLI::ExtrasError&) {
    const std::string word = app.remaining(true).front();
    const CLI::App& command = chosen(app);
    if (word.starts_with('-') && word.size() > 1)
      refuse_flag(command, word);
    refuse_word(command, word);
  } catch (const CLI::ArgumentMismatch& error) {
    const std::string text = error.what();
    const std::size_t end = text.find(':');
    if (text.starts_with("--") && end != std::string::npos)
      refuse(text.substr(0, end), "its value is missing", "write it after the flag");
    refuse("command line", text, help_remedy(chosen(app)));
  } catch (const CLI::ConversionError& error) {
    // Only a flag that is on or off can come here: every other value is a text to the parser.
    const std::string text = error.what();
    const std::size_t begin = text.find("--");
    if (begin == std::string::npos)
      refuse("command line", text, help_remedy(chosen(app)));
    refuse(text.substr(begin, text.find(' ', begin) - begin), "takes no value", "write it alone");
  } catch (const CLI::ParseError& error) {
    refuse("command line", error.what(), help_remedy(chosen(app)));
  }
}

}  // namespace powderplan
