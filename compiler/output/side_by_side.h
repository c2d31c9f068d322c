// A page in two columns behind a column of labels; a `*` before what differs.
#pragma once

#include "compiler/output/page.h"

#include <array>
#include <string>
#include <string_view>
#include <vector>

namespace fettle {

class SideBySide {
  public:
    explicit SideBySide(Page& page);

    using Lines = std::vector<std::string>; // any text; what does not fit is wrapped

    void headings(std::string_view a, std::string_view b); // cut to their columns
    // One row, with the mark where the two are not the same. An empty side gets a dash; nothing is
    // put where both are.
    void row(std::string_view label, const Lines& a, const Lines& b);
    void row(std::string_view label, std::string_view a, std::string_view b);
    // Without a mark: for two that can't be the same.
    void unmarked_row(std::string_view label, const Lines& a, const Lines& b);
    void heading_row(std::string_view label, std::string_view a, std::string_view b);
    bool any_difference() const { return any_difference_; }

  private:
    void put(std::string_view label, const Lines& a, const Lines& b, bool marked, Ink ink);
    Lines or_dash(const Lines& lines) const;
    Lines fitted(const Lines& lines) const;

    Page& page_;
    std::size_t label_width_; // with the mark
    std::size_t width_;       // of each of the two
    bool any_difference_ = false;
};

} // namespace fettle
