/// The service with a clock that reads its time from a file: whoever loads the
/// demo lives through its days by writing there. Founds the plant when the
/// folder is empty. Stops when standard input ends.
#include <fmt/format.h>

#include <cstdio>
#include <fstream>
#include <iostream>

#include "platemark/service/service.h"

namespace {

using namespace platemark;

class FileClock final : public ledger::Clock {
 public:
  explicit FileClock(std::string file) : file_(std::move(file)) {}
  [[nodiscard]] Instant now() const override {
    std::ifstream in(file_);
    std::string text;
    std::getline(in, text);
    const Result<Instant> instant = parseInstant(text);
    return instant ? *instant : ledger::systemClock()->now();
  }

 private:
  std::string file_;
};

int fail(const Error& error) {
  std::cerr << describe(error) << "\n";
  return 1;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 4) {
    std::cerr << "use: platemark_demo <folder> <clock file> <pages folder or ->\n";
    return 64;
  }
  auto clock = std::make_shared<FileClock>(argv[2]);
  Result<service::House> house = service::openHouse(argv[1], clock);
  if (!house && house.error().code == "house.none")
    house = service::foundHouse(
        argv[1], {"marrowfen", "Marrowfen Friction Works", "Europe/Berlin"},
        {"Quality manager", "quality", "marrowfen works", "quality manager"}, clock);
  if (!house) return fail(house.error());
  service::ServiceOptions options;
  options.port = 0;
  if (std::string(argv[3]) != "-") options.web_folder = argv[3];
  service::Service service(std::move(*house), options);
  if (Result<void> started = service.start(); !started) return fail(started.error());
  fmt::print("{}\n", service.port());
  std::fflush(stdout);
  for (std::string line; std::getline(std::cin, line);) {
  }
  service.stop();
  return 0;
}
