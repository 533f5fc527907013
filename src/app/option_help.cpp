#include "app/option_help.h"

#include <CLI/Config.hpp>  // no config files here, but App cannot be linked without it
#include <CLI/Formatter.hpp>
#include <memory>

namespace powderplan {
namespace {

constexpr std::size_t column_of_meanings = 30;

// The usual layout, but never two empty lines.
class OneEmptyLine : public CLI::Formatter {
 public:
  std::string make_help(const CLI::App* app, std::string name, CLI::AppFormatMode mode) const override {
    std::string text = Formatter::make_help(app, std::move(name), mode);
    for (std::size_t at = text.find("\n\n\n"); at != std::string::npos; at = text.find("\n\n\n"))
      text.erase(at, 1);
    return text;
  }
};

}  // namespace

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

CLI::Option* add_text(CLI::App& command, std::string_view name, std::string_view value, std::string help,
                      std::vector<std::string>& said) {
  return add_text(command, name, value, std::move(help),
                  [&said](std::vector<std::string> words) { said = std::move(words); });
}

void set_layout(CLI::App& app) {
  const auto layout = std::make_shared<OneEmptyLine>();
  layout->column_width(column_of_meanings);
  app.formatter(layout);
  app.set_help_flag("-h,--help", "show this help");
}

}  // namespace powderplan
