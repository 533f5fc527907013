#include "app/option_help.h"

#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>

namespace powderplan {

CLI::Option* add_text(CLI::App& command, std::string_view name, std::string_view value, std::string help,
                      std::function<void(std::vector<std::string>)> take) {
  CLI::Option* option = command.add_option(
      std::string(name),
      [take = std::move(take)](const CLI::results_t& said) {
        take(said);
        return true;
      },
      std::move(help));
  return option->type_name(std::string(value))
      ->expected(1)
      ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
}

void set_layout(CLI::App& app) {
  app.get_formatter()->column_width(30);
}

}  // namespace powderplan
