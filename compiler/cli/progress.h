// "4096 of 100000 firings compiled", on one line of a terminal that goes away at the end. Nothing
// is shown for short work, or where there is no terminal.
#pragma once

#include <chrono>
#include <cstddef>
#include <string>
#include <string_view>

namespace fettle {

class Progress {
  public:
    Progress(std::string_view what, std::size_t total, bool wanted);
    ~Progress(); // clears the line
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;
    void reached(std::size_t count);

  private:
    using Clock = std::chrono::steady_clock;
    std::string what_;
    std::size_t total_;
    bool wanted_;
    bool shown_ = false;
    Clock::time_point next_;
};

} // namespace fettle
