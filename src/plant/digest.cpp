#include "platemark/plant/digest.h"

#include <sodium.h>

namespace platemark {

std::string sha256Hex(std::string_view bytes) {
  unsigned char hash[crypto_hash_sha256_BYTES];
  crypto_hash_sha256(hash, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
  char hex[2 * sizeof hash + 1];
  sodium_bin2hex(hex, sizeof hex, hash, sizeof hash);
  return hex;
}

}  // namespace platemark
