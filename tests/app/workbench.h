// A folder to work in, with a small picture and a palette; and the program, as its users run it.
#pragma once

#include <fcntl.h>
#include <gtest/gtest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <filesystem>
#include <fstream>
#include <map>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "places.h"

namespace powderplan::testing {

namespace fs = std::filesystem;

inline std::string text_of_file(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

struct Ended {
  int code = 0;    // exit code; 0 when a signal ended it
  int signal = 0;  // that ended it, or 0
  std::string out, err;
};

class Workbench {
 public:
  Workbench() {
    std::string name = (fs::temp_directory_path() / "powderplan-XXXXXX").string();
    if (mkdtemp(name.data()) == nullptr)
      throw std::runtime_error("no temporary folder");
    root_ = name;
    fs::create_directory(bench());
    fs::copy_file(fs::path(source_folder()) / "palettes/marsh-starter.toml", bench() / "shelf.toml");
    fs::copy_file(fs::path(source_folder()) / "examples/marsh-tile/picture.png", bench() / "tile.png");
  }
  ~Workbench() {
    std::error_code ignored;
    fs::remove_all(root_, ignored);
  }
  Workbench(const Workbench&) = delete;
  Workbench& operator=(const Workbench&) = delete;

  // The current folder of the program.
  [[nodiscard]] fs::path bench() const { return root_ / "bench"; }
  void write(const std::string& name, const std::string& bytes) const {
    std::ofstream(bench() / name, std::ios::binary) << bytes;
  }
  // Every file below the bench with its bytes, every folder with none.
  [[nodiscard]] std::map<std::string, std::string> listing() const {
    std::map<std::string, std::string> all;
    for (const auto& entry : fs::recursive_directory_iterator(bench()))
      all[entry.path().lexically_relative(bench()).string()] =
          entry.is_regular_file() ? text_of_file(entry.path()) : std::string();
    return all;
  }

  // Runs to the end; with `signal`, sends it after the wait.
  [[nodiscard]] Ended run(const std::vector<std::string>& words, std::optional<int> signal = {},
                          std::chrono::milliseconds wait = {}) const {
    return run_program(built_program(), words, signal, wait);
  }
  // The same of another copy of it.
  [[nodiscard]] Ended run_program(const std::string& program, const std::vector<std::string>& words,
                                  std::optional<int> signal = {}, std::chrono::milliseconds wait = {}) const {
    std::vector<std::string> all{program};
    all.insert(all.end(), words.begin(), words.end());
    std::vector<char*> arguments;
    for (std::string& word : all)
      arguments.push_back(word.data());
    arguments.push_back(nullptr);
    const std::string here = bench().string(), out = (root_ / "out").string(), err = (root_ / "err").string();

    const pid_t child = fork();
    if (child == 0) {  // only calls that are safe here
      const int out_file = open(out.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
      const int err_file = open(err.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
      if (chdir(here.c_str()) != 0 || dup2(out_file, STDOUT_FILENO) < 0 || dup2(err_file, STDERR_FILENO) < 0)
        _exit(98);
      execv(arguments[0], arguments.data());
      _exit(99);
    }
    if (signal) {
      std::this_thread::sleep_for(wait);
      kill(child, *signal);
    }
    int status = 0;
    waitpid(child, &status, 0);
    return {WIFEXITED(status) ? WEXITSTATUS(status) : 0, WIFSIGNALED(status) ? WTERMSIG(status) : 0,
            text_of_file(out), text_of_file(err)};
  }

 private:
  fs::path root_;
};

// The program refuses with this one line and this code, and leaves the bench as it was. "BENCH" in the line
// stands for the bench's full name.
inline void expect_refused(const Workbench& at, const std::vector<std::string>& words, int code,
                           std::string line) {
  const auto before = at.listing();
  const Ended ended = at.run(words);
  const std::string name = at.bench().string();
  for (std::size_t i = line.find("BENCH"); i != std::string::npos; i = line.find("BENCH"))
    line.replace(i, 5, name);
  EXPECT_EQ(ended.err, line + "\n");
  EXPECT_EQ(ended.code, code);
  EXPECT_EQ(ended.signal, 0);
  EXPECT_EQ(ended.out, "");
  EXPECT_TRUE(at.listing() == before) << "something was left behind by: " << line;
}

}  // namespace powderplan::testing
