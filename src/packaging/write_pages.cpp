// write_pages FOLDER DATA-FOLDER: writes the manual pages and the shells' completion into FOLDER. Run by the
// build. DATA-FOLDER is where palettes and examples will be, below the place of installation.
#include <filesystem>
#include <fstream>
#include <iostream>

#include "packaging/completion.h"
#include "packaging/man_page.h"

using namespace powderplan;

namespace {

void write(const std::filesystem::path& file, const std::string& text) {
  std::ofstream out(file, std::ios::binary);
  out.exceptions(std::ios::failbit | std::ios::badbit);
  out << text;
  out.flush();
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 3) {
    std::cerr << "it is write_pages FOLDER DATA-FOLDER\n";
    return 2;
  }
  try {
    const std::filesystem::path folder = argv[1];
    std::filesystem::create_directories(folder);
    const DescribedProgram program = described_program();
    write(folder / "powderplan.1", program_page(program, argv[2]));
    for (const DescribedCommand& command : program.commands)
      write(folder / ("powderplan-" + command.name + ".1"), command_page(program, command));
    write(folder / "powderplan.bash", bash_completion(program));
    return 0;
  } catch (const std::exception& thrown) {
    std::cerr << "write_pages: " << thrown.what() << '\n';
    return 1;
  }
}
