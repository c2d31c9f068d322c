// Signatures of published files, in the form that the program `signify` writes and reads (Ed25519;
// signify-openbsd in Debian), so that it or anything else that knows the form can check ours. Keys
// are made by the user with that program. Nothing ever has to be signed to be read.
#pragma once

#include <string>
#include <string_view>

namespace fettle {

// Empty: `signature` (the text of a .sig file) is one of `bytes` by the key in `public_key` (the
// text of a .pub file). Otherwise why not.
std::string wrong_signature(std::string_view bytes, std::string_view signature,
                            std::string_view public_key);

// Runs `signify` so that it writes `path`.sig with the secret key in `key`; it may ask for its
// passphrase. Empty: done.
std::string sign_file(const std::string& path, const std::string& key);

} // namespace fettle
