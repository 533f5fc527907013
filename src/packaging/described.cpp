#include "packaging/described.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>  // no config files here, but App cannot be linked without it
#include <CLI/Formatter.hpp>

#include "app/commands.h"
#include "version.h"

namespace powderplan {
namespace {

DescribedFlag described(const CLI::Option& option) {
  DescribedFlag flag;
  for (const std::string& name : option.get_snames())
    flag.names.push_back("-" + name);
  for (const std::string& name : option.get_lnames())
    flag.names.push_back("--" + name);
  flag.is_place = flag.names.empty();
  if (flag.is_place)
    flag.names.push_back(option.get_name());
  if (option.get_items_expected_max() > 0)
    flag.value = option.get_type_name();
  flag.help = option.get_description();
  flag.heading = option.get_group();
  return flag;
}

std::string places_of(const DescribedCommand& command, const CLI::App& app) {
  std::string usage = "[OPTIONS]";
  for (const DescribedFlag& flag : command.flags) {
    if (!flag.is_place)
      continue;
    const bool many = app.get_option(flag.names.front())->get_expected_max() > 1;
    usage += " [" + flag.names.front() + (many ? "...]" : "]");
  }
  return usage;
}

DescribedCommand described(const CLI::App& app) {
  DescribedCommand command;
  command.name = app.get_name();
  command.does = app.get_description();
  command.more = app.get_footer();
  for (const CLI::Option* option : app.get_options())
    command.flags.push_back(described(*option));
  command.usage = places_of(command, app);
  return command;
}

}  // namespace

DescribedProgram described_program() {
  CLI::App app;
  CommandOptions options;
  DescribedProgram program;
  for (const Command& command : set_up_program(app, options))
    program.commands.push_back(described(*command.flags));
  program.itself = described(app);
  program.itself.usage = "[OPTIONS] COMMAND ...";
  program.version = program_version();
  return program;
}

}  // namespace powderplan
