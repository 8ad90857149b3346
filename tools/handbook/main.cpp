/// platemark_handbook <folder>: writes one page for every method into the folder.
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>

#include "handbook.h"

namespace {

using namespace platemark;

std::string contentOf(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream content;
  content << in.rdbuf();
  return content.str();
}

/// What was written by hand stays below the made part.
bool writePage(const std::filesystem::path& path, const std::string& made) {
  const std::string page = made + handbook::partsOf(contentOf(path)).by_hand;
  std::ofstream out(path, std::ios::binary);
  out << page;
  return static_cast<bool>(out.flush());
}

}  // namespace

int main(int count, char** arguments) {
  if (count != 2) {
    std::cerr << "use: platemark_handbook docs/methods\n";
    return 2;
  }
  const std::filesystem::path folder = arguments[1];
  for (const catalogue::Entry& entry : catalogue::entries()) {
    const Result<std::string> made = handbook::page(entry);
    if (!made) {
      std::cerr << entry.id << ": " << describe(made.error()) << "\n";
      return 1;
    }
    if (!writePage(folder / handbook::fileName(entry), *made)) {
      std::cerr << "cannot write " << (folder / handbook::fileName(entry)).string() << "\n";
      return 1;
    }
  }
  std::cout << catalogue::entries().size() << " pages in " << folder.string() << "\n";
}
