// Writes the PDF of a sample paper to a file: a process of its own for the test that
// every process writes the same bytes.
#include <fstream>
#include <iostream>
#include <string>

#include "paper/papers.h"

int main(int argc, char** argv) {
  if (argc != 3) return 64;
  const auto pdf = std::string(argv[1]) == "record"
                       ? platemark::paper::batchRecord(samples::recordContent())
                       : platemark::paper::certificate(samples::certificateContent());
  if (!pdf) {
    std::cerr << platemark::describe(pdf.error()) << '\n';
    return 65;
  }
  std::ofstream(argv[2], std::ios::binary)
      .write(reinterpret_cast<const char*>(pdf->data()), static_cast<std::streamsize>(pdf->size()));
  return 0;
}
