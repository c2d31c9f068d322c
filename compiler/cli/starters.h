// The texts that `new` starts from: real sources, which the tests compile as they are.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace fettle {

struct StarterFile {
    std::string path; // in the new library; "firing.fettle" for a firing
    std::string_view text;
};

// Of "firing" or "library".
std::vector<StarterFile> starter_files(std::string_view kind);

// The text with `name` in the place of `my_firing` or `my_library`, and a title made from it in the
// place of "My firing".
std::string renamed_starter(std::string_view text, std::string_view name);

} // namespace fettle
