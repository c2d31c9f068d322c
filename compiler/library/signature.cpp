#include "compiler/library/signature.h"

#include <fmt/format.h>
#include <nettle/base64.h>
#include <nettle/eddsa.h>

#include <array>
#include <cerrno>
#include <cstdint>
#include <cstring>
#include <optional>
#include <spawn.h>
#include <sys/wait.h>
#include <vector>

// NOLINTNEXTLINE: POSIX's own name
extern char** environ;

namespace fettle {
namespace {

constexpr std::string_view comment = "untrusted comment:";
constexpr std::string_view method = "Ed";
constexpr std::size_t number_size = 8; // tells which key it was

// What stands in the second line, behind the letters of the method.
std::optional<std::string> second_line(std::string_view text, std::size_t size) {
    const std::size_t end = text.find('\n');
    if (!text.starts_with(comment) || end == std::string_view::npos)
        return std::nullopt;
    text.remove_prefix(end + 1);
    text = text.substr(0, text.find('\n'));
    std::vector<std::uint8_t> bytes(BASE64_DECODE_LENGTH(text.size()) + 3);
    base64_decode_ctx context;
    base64_decode_init(&context);
    std::size_t length = bytes.size();
    if (base64_decode_update(&context, &length, bytes.data(), text.size(), text.data()) == 0 ||
        base64_decode_final(&context) == 0 || length != method.size() + number_size + size) {
        return std::nullopt;
    }
    const std::string plain(reinterpret_cast<const char*>(bytes.data()), length);
    if (!plain.starts_with(method))
        return std::nullopt;
    return plain.substr(method.size());
}

const std::uint8_t* key_bytes(const std::string& text) {
    return reinterpret_cast<const std::uint8_t*>(text.data()) + number_size;
}

} // namespace

std::string wrong_signature(std::string_view bytes, std::string_view signature,
                            std::string_view public_key) {
    const auto key = second_line(public_key, ED25519_KEY_SIZE);
    if (!key)
        return "the key is no public key of signify";
    const auto signed_with = second_line(signature, ED25519_SIGNATURE_SIZE);
    if (!signed_with)
        return "the signature is none of signify";
    if (key->compare(0, number_size, *signed_with, 0, number_size) != 0)
        return "it was signed with another key";
    const int right = ed25519_sha512_verify(key_bytes(*key), bytes.size(),
                                            reinterpret_cast<const std::uint8_t*>(bytes.data()),
                                            key_bytes(*signed_with));
    return right != 0 ? "" : "the file is not the one that was signed";
}

std::string sign_file(const std::string& path, const std::string& key) {
    std::array<std::string, 8> words = {"", "-S", "-s", key, "-m", path, "-x", path + ".sig"};
    for (const char* program : {"signify-openbsd", "signify"}) {
        words[0] = program;
        std::array<char*, 9> pointers{};
        for (std::size_t i = 0; i < words.size(); ++i)
            pointers[i] = words[i].data();
        pid_t process = 0;
        if (::posix_spawnp(&process, program, nullptr, nullptr, pointers.data(), environ) != 0)
            continue;
        int status = 0;
        while (::waitpid(process, &status, 0) < 0 && errno == EINTR) {
        }
        if (WIFEXITED(status) && WEXITSTATUS(status) == 0)
            return "";
        if (!WIFEXITED(status) || WEXITSTATUS(status) != 127)
            return fmt::format("{} could not sign `{}`", program, path);
    }
    return "the program signify is not installed (in Debian, signify-openbsd)";
}

} // namespace fettle
