// What cards and sheets for the kiln have in common, as HTML. Each appends its part; what has
// nothing to say appends nothing.
#pragma once

#include "compiler/lowering/document.h"
#include "compiler/output/curve_svg.h"
#include "compiler/output/output_options.h"

#include <fmt/format.h>
#include <iterator>
#include <string>
#include <string_view>

namespace fettle {

template <typename... Parts>
void put(std::string& html, fmt::format_string<Parts...> format, Parts&&... parts) {
    fmt::format_to(std::back_inserter(html), format, std::forward<Parts>(parts)...);
}

// Times of one firing, as offsets or, where the start is known, by the clock.
class Times {
  public:
    Times(const Schedule& schedule, const OutputOptions& options);

    bool by_clock() const { return clock_s_.has_value(); }
    // From the start of the first segment: "07:15", "+8:45", "~+8:45", "?".
    std::string at(std::optional<double> time_s, bool estimated = false) const;
    std::optional<long long> day_of(std::optional<double> time_s) const; // by the clock, from 1
    std::string start_of(std::size_t segment) const; // one more than there are: the end
    std::string with_day(std::size_t segment) const; // the same; "day 2, 07:15" from the second on
    std::optional<double> start_s(std::size_t segment) const { return estimated_[segment]; }
    bool is_estimated(std::size_t segment) const { return !known_[segment]; }

  private:
    std::optional<double> clock_s_; // of the first segment
    std::vector<std::optional<double>> known_, estimated_;
};

// The line above the title, and the title: "Firing card", "The mugs".
void put_title(std::string& html, std::string_view what, const FiringDocument& document);
// Kiln, controller, ware and start, in a list.
void put_facts(std::string& html, const FiringDocument& document, const OutputOptions& options);
// Top, heat work, time, start and end, large.
void put_key_figures(std::string& html, const FiringDocument& document,
                     const OutputOptions& options);
// The picture twice: for paper and wide screens, and for a phone.
void put_curve(std::string& html, const FiringDocument& document, const OutputOptions& options,
               double height);
void put_curve(std::string& html, const Schedule& schedule, CurveSvgOptions curve, double height);
void put_confirmations(std::string& html, const FiringDocument& document);
void put_cones(std::string& html, const FiringDocument& document, const Times& times, Scale scale);
void put_acceptance(std::string& html, const FiringDocument& document, Scale scale);
void put_cautions(std::string& html, const FiringDocument& document);
// Version, library and files; no dates.
void put_origin(std::string& html, const FiringDocument& document);

// The title, or where there is none the name.
std::string_view title_of(const FiringDocument& document);

} // namespace fettle
