#include "packaging/completion.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <string_view>

namespace powderplan {
namespace {

constexpr std::array file_values{"FILE", "PNG", "PDF", "CSV", "PHOTO", "IMAGE"};
constexpr std::array folder_values{"FOLDER", "PLAN-FOLDER"};

template <std::size_t n>
bool is_one_of(const std::array<const char*, n>& values, const std::string& value) {
  return std::find(values.begin(), values.end(), value) != values.end();
}

// How the script offers a value of this kind.
std::string offer_of(const std::string& value) {
  if (is_one_of(folder_values, value))
    return "folders";
  if (is_one_of(file_values, value))
    return "files";
  if (value.find('|') == std::string::npos)
    return "nothing";
  std::string words = value;
  std::replace(words.begin(), words.end(), '|', ' ');
  return fmt::format("words '{}'", words);
}

std::string flags_of(const DescribedCommand& command) {
  std::string names;
  for (const DescribedFlag& flag : command.flags)
    if (!flag.is_place)
      for (const std::string& name : flag.names)
        names += (names.empty() ? "" : " ") + name;
  return names;
}

// What stands without a flag: files, folders, or nothing.
std::string places_of(const DescribedCommand& command) {
  for (const DescribedFlag& flag : command.flags)
    if (flag.is_place)
      return offer_of(flag.names.front());
  return "nothing";
}

constexpr std::string_view begin = R"(# What bash offers after powderplan. Made from the program's own flags.
_powderplan_offer() {
  case $1 in
    files) compopt -o filenames 2>/dev/null; mapfile -t COMPREPLY < <(compgen -f -- "$current") ;;
    folders) compopt -o filenames 2>/dev/null; mapfile -t COMPREPLY < <(compgen -d -- "$current") ;;
    words) mapfile -t COMPREPLY < <(compgen -W "$2" -- "$current") ;;
  esac
}

_powderplan() {
  local current=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} command='' i
  COMPREPLY=()
  # --paper=a4 comes as three words.
  if [[ $current == '=' ]]; then
    current=''
  elif [[ $before == '=' ]] && ((COMP_CWORD > 1)); then
    before=${COMP_WORDS[COMP_CWORD - 2]}
  fi
  for ((i = 1; i < COMP_CWORD; ++i)); do
    if [[ ${COMP_WORDS[i]} != -* ]]; then
      command=${COMP_WORDS[i]}
      break
    fi
  done
  case "$command $before" in
)";

}  // namespace

std::string bash_completion(const DescribedProgram& program) {
  std::string script(begin);
  std::string names;
  for (const DescribedCommand& command : program.commands) {
    names += (names.empty() ? "" : " ") + command.name;
    for (const DescribedFlag& flag : command.flags)
      if (!flag.is_place && !flag.value.empty())
        for (const std::string& name : flag.names)
          script += fmt::format("    '{} {}') _powderplan_offer {}; return ;;\n", command.name, name,
                                offer_of(flag.value));
  }
  script += "  esac\n  case \"$command $current\" in\n";
  script += fmt::format("    ' -'*) _powderplan_offer words '{}' ;;\n", flags_of(program.itself));
  script += fmt::format("    ' '*) _powderplan_offer words '{}' ;;\n", names);
  for (const DescribedCommand& command : program.commands) {
    script += fmt::format("    '{} -'*) _powderplan_offer words '{}' ;;\n", command.name, flags_of(command));
    script += fmt::format("    '{} '*) _powderplan_offer {} ;;\n", command.name, places_of(command));
  }
  return script + "  esac\n}\n\ncomplete -F _powderplan powderplan\n";
}

}  // namespace powderplan
