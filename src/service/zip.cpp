/// ZIP archives in the form that ISO/IEC 21320-1 profiles, stored without compression. Remembered,
/// not verified; the tests read them with another program's reader.
#include <array>
#include <cstdint>

#include "platemark/service/noun_export.h"

namespace platemark::service {
namespace {

/// CRC-32 with the reversed polynomial 0xEDB88320, as ZIP wants it.
std::uint32_t crcOf(const std::string& bytes) {
  static const std::array<std::uint32_t, 256> table = [] {
    std::array<std::uint32_t, 256> made{};
    for (std::uint32_t n = 0; n < 256; ++n) {
      made[n] = n;
      for (int bit = 0; bit < 8; ++bit)
        made[n] = (made[n] >> 1U) ^ ((made[n] & 1U) != 0 ? 0xEDB88320U : 0U);
    }
    return made;
  }();
  std::uint32_t crc = 0xFFFFFFFFU;
  for (const char c : bytes)
    crc = table[(crc ^ static_cast<unsigned char>(c)) & 0xFFU] ^ (crc >> 8U);
  return ~crc;
}

/// Little-endian, as everywhere in a ZIP.
void put(std::string& to, std::uint32_t number, int bytes) {
  for (int i = 0; i < bytes; ++i) to += static_cast<char>((number >> (8 * i)) & 0xFFU);
}

constexpr std::uint32_t version = 20, utf8_names = 0x0800, first_of_1980 = 0x0021;

/// The members that the entry before the bytes and the one in the directory have in common.
void putEntry(std::string& to, const ExportFile& file) {
  const auto size = static_cast<std::uint32_t>(file.bytes.size());
  put(to, version, 2);
  put(to, utf8_names, 2);
  put(to, 0, 2);  // stored
  put(to, 0, 2);  // time and day say nothing: the same files give the same bytes
  put(to, first_of_1980, 2);
  put(to, crcOf(file.bytes), 4);
  put(to, size, 4);
  put(to, size, 4);
  put(to, static_cast<std::uint32_t>(file.name.size()), 2);
  put(to, 0, 2);  // no further members
}

}  // namespace

std::string zipOf(const std::vector<ExportFile>& files) {
  std::string zip, directory;
  for (const ExportFile& file : files) {
    const auto offset = static_cast<std::uint32_t>(zip.size());
    put(zip, 0x04034B50U, 4);
    putEntry(zip, file);
    zip += file.name + file.bytes;
    put(directory, 0x02014B50U, 4);
    put(directory, version, 2);
    putEntry(directory, file);
    put(directory, 0, 2);  // no remark
    put(directory, 0, 2);  // first disk
    put(directory, 0, 2);
    put(directory, 0, 4);
    put(directory, offset, 4);
    directory += file.name;
  }
  const auto start = static_cast<std::uint32_t>(zip.size()),
             count = static_cast<std::uint32_t>(files.size());
  zip += directory;
  put(zip, 0x06054B50U, 4);
  put(zip, 0, 4);
  put(zip, count, 2);
  put(zip, count, 2);
  put(zip, static_cast<std::uint32_t>(directory.size()), 4);
  put(zip, start, 4);
  put(zip, 0, 2);
  return zip;
}

}  // namespace platemark::service
