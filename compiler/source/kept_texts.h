// Texts that are made for one result, and views of them that stay valid.
#pragma once

#include <forward_list>
#include <string>
#include <string_view>

namespace fettle {

// Holds texts that were made for one document ("Climb to 600C"). Views of them stay valid when the
// document is moved; a copy would point into the original, so there is none.
class KeptTexts {
  public:
    KeptTexts() = default;
    KeptTexts(KeptTexts&&) = default;
    KeptTexts& operator=(KeptTexts&&) = default;

    std::string_view keep(std::string text) { return texts_.emplace_front(std::move(text)); }

  private:
    std::forward_list<std::string> texts_;
};

} // namespace fettle
