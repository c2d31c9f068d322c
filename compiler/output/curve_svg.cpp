#include "compiler/output/curve_svg.h"

#include "compiler/output/columns.h"
#include "compiler/output/html_page.h"
#include "compiler/output/phrases.h"
#include "compiler/output/plot_shape.h"
#include "compiler/source/characters.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <iterator>

namespace fettle {

namespace {

constexpr double text_size = 11;
constexpr double letter_width = 0.6 * text_size; // of a sans, on the wide side
constexpr std::size_t most_phase_names = 24;     // spelled out below the curve

double width_of(std::string_view safe_text) {
    return letter_width * static_cast<double>(display_width(safe_text));
}

struct Box {
    double left, top, right, bottom;
    bool meets(const Box& other) const {
        return left < other.right && other.left < right && top < other.bottom && other.top < bottom;
    }
};

double degrees_step(double range, double most_labels) {
    for (double step : {1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 250.0, 500.0, 1000.0}) {
        if (range / step <= most_labels) {
            return step;
        }
    }
    return std::ceil(range / most_labels / 1000) * 1000;
}

constexpr std::string_view to_word(OverlayStyle style) {
    switch (style) {
    case OverlayStyle::predicted: return "predicted";
    case OverlayStyle::logged: return "logged";
    case OverlayStyle::other: return "other";
    }
    return {};
}

constexpr std::string_view to_word(Trust trust) {
    switch (trust) {
    case Trust::asked: return "asked";
    case Trust::estimated: return "estimated";
    case Trust::shape: return "sketch";
    }
    return {};
}

// Where a segment decays, so many straight pieces stand for it.
constexpr int pieces_of_decay = 20;

template <typename Use> void for_each_point(const DrawnSegment& segment, Use use) {
    const int pieces = segment.decays ? pieces_of_decay : 1;
    for (int i = 1; i <= pieces; ++i) {
        const double time_s =
            segment.begin_s + (segment.end_s - segment.begin_s) * static_cast<double>(i) / pieces;
        use(CurvePoint{time_s, segment.temperature_at(time_s)});
    }
}

class Drawing {
  public:
    Drawing(std::string& out, const Schedule& schedule, const CurveSvgOptions& options)
        : out_(out), schedule_(schedule), options_(options), shape_(shape_of(schedule)) {
        low_ = to_scale(std::min(20.0, shape_.lowest_c), options.scale);
        high_ = to_scale(shape_.highest_c, options.scale);
        total_s_ = shape_.total_s;
        timed_s_ = shape_.timed_s;
        for (const CurveOverlay& overlay : options.overlays) {
            include(overlay.points);
        }
        if (options.corridor) {
            include(options.corridor->upper);
            include(options.corridor->lower);
        }
        lay_out();
    }

    void draw(bool standalone) {
        open(standalone);
        put_bands();
        put_grid();
        put_time_axis();
        put_corridor();
        put_curve();
        put_overlays();
        put_cones();
        put_phase_names();
        put_turning_points();
        put_legend();
        out_ += "</svg>\n";
    }

  private:
    template <typename... Parts> void put(fmt::format_string<Parts...> format, Parts&&... parts) {
        fmt::format_to(std::back_inserter(out_), format, std::forward<Parts>(parts)...);
    }

    void include(const std::vector<CurvePoint>& points) {
        for (const CurvePoint& point : points) {
            low_ = std::min(low_, to_scale(point.temperature_c, options_.scale));
            high_ = std::max(high_, to_scale(point.temperature_c, options_.scale));
        }
        if (!points.empty()) {
            total_s_ = std::max(total_s_, points.back().time_s);
            timed_s_ = std::max(timed_s_, points.back().time_s);
        }
    }

    // --- the room -------------------------------------------------------------------------------

    struct Stretch {
        std::uint32_t phase;
        double left, right;
        std::string name;
        enum class How : std::uint8_t { across, upright, numbered } how = How::across;
    };

    void lay_out() {
        step_ = degrees_step(high_ - low_, std::max(2.0, (options_.height - 90) / 27));
        floor_ = std::min(0.0, std::floor(low_ / step_) * step_);
        ceiling_ = std::max(high_ + 0.09 * (high_ - floor_), floor_ + step_);
        left_ = 8 + std::max(width_of(print_temperature(to_celsius(floor_), options_.scale)),
                             width_of(print_temperature(to_celsius(ceiling_), options_.scale)));
        right_ = options_.width - 12;
        find_stretches();
        bottom_ = options_.height - (options_.first_segment_clock_s ? 60 : 46); // or so
        for (Stretch& stretch : stretches_) {
            const double width = width_of(stretch.name);
            if (width + 4 <= stretch.right - stretch.left) {
                continue;
            }
            const bool fits = stretch.right - stretch.left >= text_size + 3 &&
                              upright_place(stretch, width).room >= width;
            stretch.how = fits ? Stretch::How::upright : Stretch::How::numbered;
        }
        find_legend();
        bottom_ = options_.height - legend_height_ - (options_.first_segment_clock_s ? 36 : 22);
        bottom_ = std::max(bottom_, top_ + 60);
    }

    double to_celsius(double in_scale) const {
        return options_.scale == Scale::celsius ? in_scale : (in_scale - 32) / 1.8;
    }

    void find_stretches() {
        for (const DrawnSegment& segment : shape_.segments) {
            if (stretches_.empty() || stretches_.back().phase != segment.phase) {
                stretches_.push_back({segment.phase, x_of(segment.begin_s), 0,
                                      one_line(readable_name(phase_name(segment.phase)))});
            }
            stretches_.back().right = x_of(segment.end_s);
        }
    }

    std::string_view phase_name(std::uint32_t phase) const { return schedule_.phases[phase].name; }

    double x_of(double time_s) const { return left_ + (right_ - left_) * time_s / total_s_; }
    double y_of_degrees(double in_scale) const {
        return bottom_ - (bottom_ - top_) * (in_scale - floor_) / (ceiling_ - floor_);
    }
    double y_of(double celsius) const { return y_of_degrees(to_scale(celsius, options_.scale)); }

    // --- head -----------------------------------------------------------------------------------

    void open(bool standalone) {
        put("<svg class=\"curve\" {}viewBox=\"0 0 {:.0f} {:.0f}\" role=\"img\" "
            "aria-labelledby=\"{}-title {}-text\">\n",
            standalone ? fmt::format("xmlns=\"http://www.w3.org/2000/svg\" width=\"{:.0f}\" "
                                     "height=\"{:.0f}\" ",
                                     options_.width, options_.height)
                       : std::string(),
            options_.width, options_.height, options_.id, options_.id);
        put("<title id=\"{}-title\">", options_.id);
        append_escaped(out_, options_.title.empty() ? "Firing curve" : options_.title);
        put("</title>\n<desc id=\"{}-text\">", options_.id);
        append_escaped(out_, description());
        out_ += "</desc>\n";
        if (standalone) {
            put("<style>{}</style>\n<rect width=\"{:.0f}\" height=\"{:.0f}\" fill=\"#fff\"/>\n",
                style_sheet("curve"), options_.width, options_.height);
        }
    }

    // The curve in words: "From 20C. drying: to 85C. …"
    std::string description() const {
        std::string text =
            fmt::format("From {}.", print_temperature(schedule_.start_c, options_.scale));
        std::size_t i = 0;
        for (const Stretch& stretch : stretches_) {
            text += fmt::format(" {}:", stretch.name);
            std::string last;
            for (; i < shape_.segments.size() && shape_.segments[i].phase == stretch.phase; ++i) {
                std::string to = print_temperature(shape_.segments[i].to_c, options_.scale);
                if (to != last) {
                    text += fmt::format("{} {}", last.empty() ? " to" : ", then", to);
                }
                last = std::move(to);
            }
            text += '.';
            if (text.size() > 1500) {
                return text + " And so on.";
            }
        }
        if (shape_.estimates || shape_.shapes) {
            text += " Dashed where the time is the kiln's own.";
        }
        return text;
    }

    // --- ground ---------------------------------------------------------------------------------

    void put_bands() {
        for (std::size_t i = 1; i < stretches_.size(); i += 2) {
            put("<rect class=\"band\" x=\"{:.1f}\" y=\"4\" width=\"{:.1f}\" height=\"{:.1f}\"/>\n",
                stretches_[i].left, stretches_[i].right - stretches_[i].left, bottom_ - 4);
        }
    }

    void put_grid() {
        out_ += "<path class=\"grid\" d=\"";
        std::string labels;
        for (double at = floor_; at <= ceiling_; at += step_) {
            const double y = y_of_degrees(at);
            if (at > floor_) {
                put("M{:.1f} {:.1f}H{:.1f}", left_, y, right_);
            }
            fmt::format_to(std::back_inserter(labels),
                           "<text class=\"quiet\" x=\"{:.1f}\" y=\"{:.1f}\" "
                           "text-anchor=\"end\">{}</text>\n",
                           left_ - 6, y + 4, print_temperature(to_celsius(at), options_.scale));
        }
        out_ += "\"/>\n";
        out_ += labels;
    }

    void put_time_axis() {
        const double timed_x = x_of(timed_s_);
        put("<path class=\"axis\" d=\"M{:.1f} {:.1f}H{:.1f}\"/>\n", left_, bottom_, timed_x);
        if (timed_x < right_ - 1) {
            put("<path class=\"axis untimed\" d=\"M{:.1f} {:.1f}H{:.1f}\"/>\n", timed_x, bottom_,
                right_);
        }
        const double hours = timed_s_ / 3600;
        const auto most = static_cast<std::size_t>(std::max(1.0, (timed_x - left_) / 50));
        const double step = hours_step(hours, most);
        std::string ticks, labels;
        double taken = 0;
        for (double hour = 0; hour <= hours + 1e-9; hour += step) {
            const double x = x_of(hour * 3600);
            fmt::format_to(std::back_inserter(ticks), "M{:.1f} {:.1f}v4", x, bottom_);
            const std::string text = hour == 0 ? "0h" : print_duration(hour * 3600);
            const double half = width_of(text) / 2;
            const double middle = std::min(x, options_.width - half - 1);
            if (middle - half < taken) {
                continue;
            }
            taken = middle + half + 4;
            put_axis_text(labels, middle, bottom_ + 16, text);
            if (options_.first_segment_clock_s) {
                const double clock_s =
                    std::fmod(*options_.first_segment_clock_s + hour * 3600, 86400);
                put_axis_text(labels, middle, bottom_ + 30, print_clock(clock_s));
            }
        }
        put("<path class=\"axis\" d=\"{}\"/>\n", ticks);
        out_ += labels;
    }

    static void put_axis_text(std::string& to, double x, double y, std::string_view text) {
        fmt::format_to(
            std::back_inserter(to),
            "<text class=\"quiet\" x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">{}</text>\n", x,
            y, text);
    }

    // --- curves ---------------------------------------------------------------------------------

    void put_corridor() {
        if (!options_.corridor || options_.corridor->upper.empty() ||
            options_.corridor->lower.empty()) {
            return;
        }
        char letter = 'M';
        out_ += "<path class=\"corridor\" d=\"";
        const auto add = [&](const CurvePoint& point) {
            put("{}{:.1f} {:.1f}", letter, x_of(point.time_s), y_of(point.temperature_c));
            letter = 'L';
        };
        std::for_each(options_.corridor->upper.begin(), options_.corridor->upper.end(), add);
        std::for_each(options_.corridor->lower.rbegin(), options_.corridor->lower.rend(), add);
        out_ += "Z\"/>\n";
    }

    // One path for each stretch of the same trust.
    void put_curve() {
        std::optional<Trust> trust;
        for (const DrawnSegment& segment : shape_.segments) {
            if (segment.trust != trust) {
                put("{}<path class=\"{}{}\" d=\"M{:.1f} {:.1f}", trust ? "\"/>\n" : "",
                    to_word(segment.trust), options_.corridor ? " fine" : "", x_of(segment.begin_s),
                    y_of(segment.from_c));
                trust = segment.trust;
            }
            for_each_point(segment, [&](const CurvePoint& point) {
                put("L{:.1f} {:.1f}", x_of(point.time_s), y_of(point.temperature_c));
            });
        }
        out_ += trust ? "\"/>\n" : "";
    }

    void put_overlays() {
        for (const CurveOverlay& overlay : options_.overlays) {
            if (overlay.points.size() < 2) {
                continue;
            }
            put("<path class=\"{}\" d=\"", to_word(overlay.style));
            char letter = 'M';
            for (const CurvePoint& point : overlay.points) {
                put("{}{:.1f} {:.1f}", letter, x_of(point.time_s), y_of(point.temperature_c));
                letter = 'L';
            }
            out_ += "\"/>\n";
        }
    }

    // --- words on the curve ---------------------------------------------------------------------

    bool is_free(const Box& box) const {
        if (box.left < left_ || box.right > options_.width || box.top < 2 || box.bottom > bottom_) {
            return false;
        }
        return std::none_of(taken_.begin(), taken_.end(),
                            [&](const Box& taken) { return taken.meets(box); }) &&
               !crosses_curve(box);
    }

    bool crosses_curve(const Box& box) const {
        double x = left_, y = y_of(schedule_.start_c);
        bool crosses = false;
        for (const DrawnSegment& segment : shape_.segments) {
            if (x > box.right) {
                break;
            }
            for_each_point(segment, [&](const CurvePoint& point) {
                const double next_x = x_of(point.time_s), next_y = y_of(point.temperature_c);
                crosses = crosses || line_meets(box, x, y, next_x, next_y);
                x = next_x;
                y = next_y;
            });
        }
        return crosses;
    }

    static bool line_meets(const Box& box, double x1, double y1, double x2, double y2) {
        const double begin = std::max(x1, box.left), end = std::min(x2, box.right);
        if (begin > end) {
            return false;
        }
        const double slope = x2 > x1 ? (y2 - y1) / (x2 - x1) : 0;
        const double ya = x2 > x1 ? y1 + slope * (begin - x1) : y1;
        const double yb = x2 > x1 ? y1 + slope * (end - x1) : y2;
        return std::min(ya, yb) < box.bottom && std::max(ya, yb) > box.top;
    }

    // At the first free place round a point of the curve.
    bool put_label(double x, double y, std::string_view text, std::string_view style) {
        const double width = width_of(text);
        struct Spot {
            double left, base;
        };
        const Spot spots[] = {
            {x - width / 2, y - 8}, {x - width - 6, y - 3}, {x + 7, y - 3}, {x - width / 2, y + 17},
            {x + 8, y + 12},        {x - width - 8, y + 4}, {x + 8, y + 4}};
        for (const Spot& spot : spots) {
            const Box box{spot.left, spot.base - 9, spot.left + width, spot.base + 2};
            if (is_free(box)) {
                taken_.push_back(box);
                put("<text class=\"halo {}\" x=\"{:.1f}\" y=\"{:.1f}\">", style, spot.left,
                    spot.base);
                append_escaped(out_, text);
                out_ += "</text>\n";
                return true;
            }
        }
        return false;
    }

    void put_cones() {
        for (const CurveCone& cone : options_.cones) {
            const double x = x_of(cone.at.time_s), y = y_of(cone.at.temperature_c);
            put("<path class=\"cone\" d=\"M{:.1f} {:.1f}l-3.6 10h7.2z\"/>\n", x, y + 4);
            taken_.push_back({x - 4, y + 3, x + 4, y + 14});
            const std::string text = one_line(cone.label);
            const Box box{x + 7, y + 5, x + 7 + width_of(text), y + 16};
            if (is_free(box)) {
                taken_.push_back(box);
                put("<text class=\"halo\" x=\"{:.1f}\" y=\"{:.1f}\">", box.left, box.bottom - 2);
                append_escaped(out_, text);
                out_ += "</text>\n";
            } else {
                put_label(x, y + 8, text, "");
            }
        }
    }

    // Where the curve bends: the peak first, then where it stays, then where it turns.
    void put_turning_points() {
        struct Bend {
            double time_s, temperature_c;
            int weight;
        };
        std::vector<Bend> bends;
        const auto& segments = shape_.segments;
        for (std::size_t i = 0; i < segments.size(); ++i) {
            const DrawnSegment& segment = segments[i];
            const bool stays = segment.from_c == segment.to_c;
            const int weight = segment.to_c == shape_.highest_c ? 3 : stays ? 2 : 1;
            if (i + 1 < segments.size() && segments[i + 1].from_c == segments[i + 1].to_c) {
                continue; // the stay that follows is labelled
            }
            bends.push_back({stays ? (segment.begin_s + segment.end_s) / 2 : segment.end_s,
                             segment.to_c, weight});
        }
        constexpr std::size_t most_dots = 60; // more would be a rope, not a curve
        if (segments.size() <= most_dots) {
            for (const DrawnSegment& segment : segments) {
                put("<circle class=\"dot\" cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"2.3\"/>\n",
                    x_of(segment.end_s), y_of(segment.to_c));
            }
        }
        std::stable_sort(bends.begin(), bends.end(),
                         [](const Bend& a, const Bend& b) { return a.weight > b.weight; });
        bends.resize(std::min(bends.size(), most_dots));
        constexpr double apart = 130; // of two labels that say the same
        std::vector<std::pair<std::string, double>> said;
        for (const Bend& bend : bends) {
            const double x = x_of(bend.time_s);
            std::string text = print_temperature(bend.temperature_c, options_.scale);
            const bool again = std::any_of(said.begin(), said.end(), [&](const auto& before) {
                return before.first == text && std::fabs(before.second - x) < apart;
            });
            if (!again &&
                put_label(x, y_of(bend.temperature_c), text, bend.weight == 3 ? "peak" : "")) {
                said.emplace_back(std::move(text), x);
            }
        }
    }

    void put_phase_names() {
        std::size_t number = 0;
        for (const Stretch& stretch : stretches_) {
            const double middle = (stretch.left + stretch.right) / 2;
            switch (stretch.how) {
            case Stretch::How::across:
                taken_.push_back({stretch.left, 4, stretch.right, 18});
                put("<text class=\"phase\" x=\"{:.1f}\" y=\"16\" text-anchor=\"middle\">", middle);
                append_escaped(out_, stretch.name);
                out_ += "</text>\n";
                break;
            case Stretch::How::upright: put_upright(stretch, middle); break;
            case Stretch::How::numbered:
                put("<text class=\"phase\" x=\"{:.1f}\" y=\"16\" text-anchor=\"middle\">{}</text>"
                    "\n",
                    middle, ++number);
                break;
            }
        }
    }

    // In the band, below or above the curve, whichever leaves more room.
    struct UprightPlace {
        bool below;
        double room;
    };
    UprightPlace upright_place(const Stretch& stretch, double length) const {
        double highest = bottom_, lowest = top_;
        for (const DrawnSegment& segment : shape_.segments) {
            if (x_of(segment.begin_s) < stretch.left - 0.1 ||
                x_of(segment.end_s) > stretch.right + 0.1) {
                continue;
            }
            for (double edge : {segment.from_c, segment.to_c}) {
                highest = std::min(highest, y_of(edge));
                lowest = std::max(lowest, y_of(edge));
            }
        }
        const double under = bottom_ - lowest - 12, over = highest - 14;
        const bool below = under >= length || under >= over;
        return {below, below ? under : over};
    }

    void put_upright(const Stretch& stretch, double middle) {
        const double length = width_of(stretch.name);
        const bool below = upright_place(stretch, length).below;
        const double base = below ? bottom_ - 6 : 8;
        taken_.push_back({middle - text_size / 2, below ? base - length : base,
                          middle + text_size / 2, below ? base : base + length});
        put("<text class=\"phase\" transform=\"translate({:.1f} {:.1f}) rotate(-90)\" "
            "text-anchor=\"{}\">",
            middle + 4, base, below ? "start" : "end");
        append_escaped(out_, stretch.name);
        out_ += "</text>\n";
    }

    // --- legend ---------------------------------------------------------------------------------

    struct LegendItem {
        std::string_view style; // of its sample of line; empty: none
        std::string text;
        double left = 0, top = 0;
    };

    void find_legend() {
        std::size_t number = 0;
        for (const Stretch& stretch : stretches_) {
            if (stretch.how == Stretch::How::numbered && number < most_phase_names) {
                legend_.push_back({"", fmt::format("{} {}", ++number, stretch.name)});
            }
        }
        if (shape_.estimates) {
            legend_.push_back({"estimated", "the kiln's own time, as estimated"});
        }
        if (shape_.shapes) {
            legend_.push_back({"sketch", "the kiln's own time, not known: only a sketch"});
        }
        for (const CurveOverlay& overlay : options_.overlays) {
            legend_.push_back({to_word(overlay.style), one_line(overlay.label)});
        }
        if (options_.corridor) {
            legend_.push_back({"corridor", one_line(options_.corridor->label)});
        }
        double x = left_, y = 0;
        for (LegendItem& item : legend_) {
            item.text = fit(item.text, options_.width - left_ - 40);
            const double width = width_of(item.text) + (item.style.empty() ? 0 : 32);
            if (x > left_ && x + width > options_.width) {
                x = left_;
                y += 15;
            }
            item.left = x;
            item.top = y;
            x += width + 18;
        }
        legend_height_ = legend_.empty() ? 4 : y + 19;
    }

    static std::string fit(const std::string& safe_text, double width) {
        return shortened(safe_text, static_cast<std::size_t>(std::max(4.0, width / letter_width)),
                         false);
    }

    void put_legend() {
        const double top = bottom_ + (options_.first_segment_clock_s ? 46 : 32);
        for (const LegendItem& item : legend_) {
            double x = item.left;
            const double y = top + item.top + 4;
            if (item.style == "corridor") {
                put("<rect class=\"corridor\" x=\"{:.1f}\" y=\"{:.1f}\" width=\"26\" "
                    "height=\"9\"/>\n",
                    x, y - 8);
            } else if (!item.style.empty()) {
                put("<path class=\"{}\" d=\"M{:.1f} {:.1f}h26\"/>\n", item.style, x, y - 4);
            }
            x += item.style.empty() ? 0 : 32;
            put("<text class=\"quiet\" x=\"{:.1f}\" y=\"{:.1f}\">", x, y);
            append_escaped(out_, item.text);
            out_ += "</text>\n";
        }
    }

    std::string& out_;
    const Schedule& schedule_;
    const CurveSvgOptions& options_;
    Shape shape_;
    double low_ = 0, high_ = 0; // degrees of the scale
    double total_s_ = 1, timed_s_ = 0;
    double left_ = 0, right_ = 0, top_ = 24, bottom_ = 0; // of the field of the curve
    double floor_ = 0, ceiling_ = 1, step_ = 1;           // of it, in degrees of the scale
    std::vector<Stretch> stretches_;
    std::vector<LegendItem> legend_;
    double legend_height_ = 0;
    std::vector<Box> taken_;
};

} // namespace

void append_curve_svg(std::string& html, const Schedule& schedule, const CurveSvgOptions& options) {
    if (!schedule.segments.empty()) {
        Drawing(html, schedule, options).draw(false);
    }
}

std::string curve_svg_file(const Schedule& schedule, const CurveSvgOptions& options) {
    std::string svg = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    Drawing(svg, schedule, options).draw(true);
    return svg;
}

CurvePoints curve_points(const Schedule& schedule) {
    const Shape shape = shape_of(schedule);
    CurvePoints curve;
    curve.points.push_back({0, schedule.start_c});
    for (const DrawnSegment& segment : shape.segments) {
        for_each_point(segment, [&](const CurvePoint& point) { curve.points.push_back(point); });
        if (segment.end_s <= shape.timed_s) {
            curve.known = curve.points.size();
        }
    }
    curve.known = std::max<std::size_t>(curve.known, 1);
    return curve;
}

} // namespace fettle
