#include "compiler/source/sha256.h"

#include <nettle/sha2.h>

namespace fettle {

std::string sha256_of(std::string_view bytes) {
    sha256_ctx context;
    sha256_init(&context);
    sha256_update(&context, bytes.size(), reinterpret_cast<const std::uint8_t*>(bytes.data()));
    std::uint8_t digest[SHA256_DIGEST_SIZE];
    sha256_digest(&context, sizeof digest, digest);
    constexpr std::string_view digits = "0123456789abcdef";
    std::string hex;
    hex.reserve(2 * sizeof digest);
    for (const std::uint8_t byte : digest) {
        hex += digits[byte >> 4U];
        hex += digits[byte & 15U];
    }
    return hex;
}

} // namespace fettle
