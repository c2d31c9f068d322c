#include "compiler/output/curve_plot.h"

#include "compiler/output/columns.h"
#include "compiler/output/plot_shape.h"
#include "compiler/source/characters.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace fettle {

namespace {

// --- a sheet of characters ----------------------------------------------------------------------

class Sheet {
  public:
    Sheet(std::size_t width, std::size_t height)
        : rows_(height, std::u32string(width, U' ')), width_(width) {}

    void put(std::size_t row, std::size_t column, char32_t character) {
        if (row < rows_.size() && column < width_) {
            rows_[row][column] = character;
        }
    }
    void put(std::size_t row, std::size_t column, std::string_view ascii) {
        for (char c : ascii) {
            put(row, column++, static_cast<char32_t>(c));
        }
    }
    bool is_blank(std::size_t row, std::size_t column, std::size_t length) const {
        if (row >= rows_.size() || column + length > width_) {
            return false;
        }
        const auto part = rows_[row].substr(column, length);
        return part.find_first_not_of(U' ') == std::u32string::npos;
    }
    char32_t at(std::size_t row, std::size_t column) const { return rows_[row][column]; }

    std::string row(std::size_t row) const {
        const std::size_t end = rows_[row].find_last_not_of(U' ');
        std::string text;
        for (std::size_t i = 0; end != std::u32string::npos && i <= end; ++i) {
            append_character(text, rows_[row][i]);
        }
        return text;
    }

  private:
    std::vector<std::u32string> rows_;
    std::size_t width_;
};

struct Glyphs {
    char32_t across, down, rise_from, rise_to, fall_from, fall_to; // of the curve
    char32_t across_dashed, down_dashed;
    char32_t up_and_back, top, down_and_back, bottom; // a peak or dip inside one column
    char32_t axis, axis_dashed, axis_tick, side, side_tick, corner, boundary;
};

constexpr Glyphs ascii_glyphs{'-', '|',  '\'', '.', '.', '\'', '-', ':', '-', '.',
                              '-', '\'', '-',  '.', '+', '|',  '+', '+', '|'};
constexpr Glyphs line_glyphs{U'─', U'│', U'╯', U'╭', U'╮', U'╰', U'╌', U'┊', U'┴', U'╷',
                             U'┬', U'╵', U'─', U'╌', U'┬', U'│', U'┤', U'└', U'│'};

// --- scales -------------------------------------------------------------------------------------

// The temperature axis: so many intervals of `step` degrees (of the scale), so many rows each.
struct TemperatureAxis {
    double low, step;
    std::size_t intervals, rows_each;
    std::size_t rows() const { return intervals * rows_each + 1; }
    double high() const { return low + step * static_cast<double>(intervals); }
    // Rows from the top, whole at a tick.
    double row_of(double value) const {
        return (high() - value) / (high() - low) * static_cast<double>(rows() - 1);
    }
};

// Of the round steps that leave the labels at least two rows apart where there is room, the one
// with the finest labels; a coarser one where that uses clearly more of the height.
TemperatureAxis temperature_axis(double lowest, double highest, std::size_t height) {
    TemperatureAxis best{std::floor(lowest), std::max(1.0, highest - lowest), 1, height - 1};
    double best_score = -1;
    for (double magnitude : {1.0, 10.0, 100.0, 1000.0, 10000.0, 100000.0}) {
        for (double factor : {1.0, 2.0, 2.5, 5.0}) {
            const double step = magnitude * factor;
            const double low = std::floor(lowest / step) * step;
            const double count = std::max(1.0, std::ceil((highest - low) / step - 1e-9));
            if (count > static_cast<double>(height - 1)) {
                continue;
            }
            TemperatureAxis axis{low, step, static_cast<std::size_t>(count),
                                 (height - 1) / static_cast<std::size_t>(count)};
            const double used = static_cast<double>(axis.rows()) / static_cast<double>(height);
            const double filled = (highest - lowest) / (axis.high() - axis.low);
            const double labels = std::min(count, 6.0) / 6;
            const double apart = axis.rows_each >= 2 || height < 8 ? 1 : 0.5;
            const double score = used * filled * apart * (0.5 + 0.5 * labels);
            if (score > best_score + 1e-9) {
                best_score = score;
                best = axis;
            }
        }
    }
    return best;
}

// What is drawn, with room for the dots where they are to fit.
Shape shape_with_dots(const Schedule& schedule, const PlotOptions& options) {
    Shape shape = shape_of(schedule);
    if (!options.dotted_fits || options.dotted.empty())
        return shape;
    const double end_s = options.dotted.back().time_s;
    if (!shape.shapes) // else time goes on behind a sketch, which has none
        shape.timed_s = std::max(shape.timed_s, end_s);
    shape.total_s = std::max(shape.total_s, end_s);
    for (const PlotOptions::Dot& dot : options.dotted) {
        shape.lowest_c = std::min(shape.lowest_c, dot.temperature_c);
        shape.highest_c = std::max(shape.highest_c, dot.temperature_c);
    }
    return shape;
}

// --- the drawing --------------------------------------------------------------------------------

class Plot {
  public:
    Plot(const Schedule& schedule, const PlotOptions& options)
        : schedule_(schedule), options_(options), shape_(shape_with_dots(schedule, options)),
          glyphs_(options.style == PlotStyle::ascii ? ascii_glyphs : line_glyphs),
          axis_(temperature_axis(to_scale(shape_.lowest_c, options.scale),
                                 to_scale(shape_.highest_c, options.scale),
                                 std::max<std::size_t>(options.height, 4))) {
        for (std::size_t i = 0; i <= axis_.intervals; ++i) {
            label_width_ = std::max(label_width_, label(i).size());
        }
        const std::size_t whole = std::max<std::size_t>(options.width, 30);
        width_ = whole - label_width_ - 2;
    }

    std::vector<std::string> run() {
        Sheet sheet(width_, axis_.rows());
        if (options_.style == PlotStyle::braille) {
            draw_dots(sheet);
        } else {
            draw_lines(sheet);
        }
        put_dotted(sheet);
        put_peak(sheet);
        std::vector<std::string> lines;
        for (std::size_t row = 0; row < axis_.rows(); ++row) {
            lines.push_back(side(row) + sheet.row(row));
        }
        put_time_axis(lines);
        put_phases(lines);
        put_legend(lines);
        if (!options_.dotted.empty()) {
            std::string line(label_width_ + 2, ' ');
            for (int i = 0; i < 5; ++i)
                append_character(line, dot());
            lines.push_back(line + "  " + options_.dotted_meaning);
        }
        return lines;
    }

  private:
    std::string label(std::size_t interval) const {
        const double value = axis_.high() - axis_.step * static_cast<double>(interval);
        return print_number(value, 0) + (options_.scale == Scale::celsius ? "C" : "F");
    }

    std::string side(std::size_t row) const {
        const bool tick = row % axis_.rows_each == 0;
        std::string text =
            right_in(tick ? label(row / axis_.rows_each) : std::string(), label_width_) + ' ';
        append_character(text, tick ? glyphs_.side_tick : glyphs_.side);
        return text;
    }

    double row_of(double celsius) const { return axis_.row_of(to_scale(celsius, options_.scale)); }
    std::size_t whole_row(double celsius) const {
        const double row = std::round(row_of(celsius));
        return static_cast<std::size_t>(
            std::clamp(row, 0.0, static_cast<double>(axis_.rows() - 1)));
    }
    // The column in which a time of the axis lies.
    std::size_t column_of(double time_s) const {
        const double column = time_s / shape_.total_s * static_cast<double>(width_);
        return std::min(static_cast<std::size_t>(std::lround(column)), width_ - 1);
    }

    void draw_lines(Sheet& sheet) const {
        const auto columns = columns_of(shape_, width_);
        for (std::size_t x = 0; x < columns.size(); ++x) {
            draw_column(sheet, x, columns[x]);
        }
    }

    void draw_column(Sheet& sheet, std::size_t x, const ColumnRange& column) const {
        const bool dashed = column.trust != Trust::asked;
        const std::size_t from = whole_row(column.first_c), to = whole_row(column.last_c);
        const std::size_t top = whole_row(column.high_c), bottom = whole_row(column.low_c);
        for (std::size_t row = top; row <= bottom && top != bottom; ++row) {
            sheet.put(row, x, dashed ? glyphs_.down_dashed : glyphs_.down);
        }
        if (from != to) {
            sheet.put(from, x, to < from ? glyphs_.rise_from : glyphs_.fall_from);
            sheet.put(to, x, to < from ? glyphs_.rise_to : glyphs_.fall_to);
        } else if (top == bottom) {
            // A dash leaves out every other column, so that it shows in any font.
            if (!dashed || x % 2 == 0) {
                sheet.put(to, x, dashed ? glyphs_.across_dashed : glyphs_.across);
            }
        } else {
            if (top < to) {
                sheet.put(top, x, glyphs_.top);
            }
            if (bottom > to) {
                sheet.put(bottom, x, glyphs_.bottom);
            }
            sheet.put(to, x, top < to ? glyphs_.up_and_back : glyphs_.down_and_back);
        }
    }

    void draw_dots(Sheet& sheet) const {
        // Bits of the dots in a Braille character, by row and column.
        static constexpr char32_t bits[4][2] = {{1, 8}, {2, 16}, {4, 32}, {64, 128}};
        const auto columns = columns_of(shape_, width_ * 2);
        const double most = static_cast<double>(axis_.rows() * 4 - 1);
        const auto dot_row = [&](double celsius) {
            return static_cast<std::size_t>(
                std::clamp(std::round(row_of(celsius) * 4 + 1.5), 0.0, most));
        };
        for (std::size_t x = 0; x < columns.size(); ++x) {
            const bool dashed = columns[x].trust != Trust::asked;
            for (std::size_t y = dot_row(columns[x].high_c); y <= dot_row(columns[x].low_c); ++y) {
                if (dashed && (x + y) % 4 >= 2) {
                    continue;
                }
                const char32_t before = sheet.at(y / 4, x / 2);
                const char32_t dots = before == U' ' ? U'\u2800' : before;
                sheet.put(y / 4, x / 2, dots | bits[y % 4][x % 2]);
            }
        }
    }

    char32_t dot() const { return options_.style == PlotStyle::ascii ? U'o' : U'·'; }

    void put_dotted(Sheet& sheet) const {
        for (const PlotOptions::Dot& at : options_.dotted) {
            if (at.time_s > shape_.total_s)
                break;
            const std::size_t row = whole_row(at.temperature_c), column = column_of(at.time_s);
            if (sheet.is_blank(row, column, 1))
                sheet.put(row, column, dot());
        }
    }

    // The peak's temperature beside the highest point, where the drawing leaves room for it.
    void put_peak(Sheet& sheet) const {
        double peak_c = schedule_.start_c;
        for (const DrawnSegment& segment : shape_.segments) {
            peak_c = std::max(peak_c, segment.to_c);
        }
        const auto highest =
            std::find_if(shape_.segments.begin(), shape_.segments.end(),
                         [&](const DrawnSegment& segment) { return segment.to_c >= peak_c; });
        if (highest == shape_.segments.end()) {
            return;
        }
        const std::string text = print_temperature(peak_c, options_.scale, 1);
        const std::size_t row = whole_row(peak_c);
        const std::size_t column = column_of(highest->end_s);
        const std::size_t length = text.size();
        struct Spot {
            std::size_t row, column;
        };
        std::vector<Spot> spots;
        if (row > 0) {
            spots.push_back({row - 1, column > length / 2 ? column - length / 2 : 0});
        }
        if (column > length + 1) {
            spots.push_back({row, column - length - 1});
        }
        if (row > 0 && column > length) {
            spots.push_back({row - 1, column - length});
        }
        for (std::size_t right = 1; right < 8; ++right) {
            spots.push_back({row, column + right + 1});
        }
        for (const Spot& spot : spots) {
            const std::size_t before = spot.column > 0 ? spot.column - 1 : 0;
            const std::size_t after = spot.column + length < width_ ? 1 : 0;
            const std::size_t around = spot.column - before + length + after;
            if (!sheet.is_blank(spot.row, before, around)) {
                continue;
            }
            return sheet.put(spot.row, spot.column, text);
        }
    }

    void put_time_axis(std::vector<std::string>& lines) const {
        const std::size_t rows = options_.first_segment_clock_s ? 3 : 2;
        Sheet sheet(width_, rows);
        const std::size_t timed = shape_.timed_s > 0 ? column_of(shape_.timed_s) : 0;
        for (std::size_t x = 0; x < width_; ++x) {
            const bool known = x <= timed && shape_.timed_s > 0;
            if (known || x % 2 == 0) {
                sheet.put(0, x, known ? glyphs_.axis : glyphs_.axis_dashed);
            }
        }
        const double hours = shape_.timed_s / 3600;
        const double step = hours_step(hours, std::max<std::size_t>(timed / 8, 1));
        for (double hour = 0; hour <= hours + 1e-9; hour += step) {
            const std::size_t column = column_of(hour * 3600);
            sheet.put(0, column, glyphs_.axis_tick);
            put_label(sheet, 1, column, hour == 0 ? "0h" : print_duration(hour * 3600));
            if (options_.first_segment_clock_s) {
                put_label(
                    sheet, 2, column,
                    print_clock(std::fmod(*options_.first_segment_clock_s + hour * 3600, 86400)));
            }
        }
        std::string corner(label_width_ + 1, ' ');
        const std::string margin(label_width_ + 2, ' ');
        append_character(corner, glyphs_.corner);
        lines.push_back(corner + sheet.row(0));
        for (std::size_t row = 1; row < rows; ++row) {
            lines.push_back(margin + sheet.row(row));
        }
    }

    // Centred under the column, but inside the sheet, and not touching the one before it.
    void put_label(Sheet& sheet, std::size_t row, std::size_t column,
                   const std::string& text) const {
        if (text.size() > width_) {
            return;
        }
        const std::size_t half = text.size() / 2;
        const std::size_t left = std::min(column > half ? column - half : 0, width_ - text.size());
        const std::size_t before = left > 0 ? left - 1 : 0;
        if (sheet.is_blank(row, before, text.size() + (left - before))) {
            sheet.put(row, left, text);
        }
    }

    struct Stretch {
        std::uint32_t phase;
        std::size_t begin, end; // columns
    };
    std::vector<Stretch> stretches() const {
        std::vector<Stretch> found;
        for (const DrawnSegment& segment : shape_.segments) {
            const std::size_t end =
                segment.end_s >= shape_.total_s ? width_ : column_of(segment.end_s);
            if (found.empty() || found.back().phase != segment.phase) {
                found.push_back({segment.phase, column_of(segment.begin_s), end});
            }
            found.back().end = end;
        }
        return found;
    }

    // Each phase between two bars; a name that does not fit becomes a number, spelled out below.
    void put_phases(std::vector<std::string>& lines) const {
        constexpr std::size_t most_spelled = 12;
        std::string bar;
        append_character(bar, glyphs_.boundary);
        std::string row;
        std::vector<std::string> spelled;
        std::size_t at = 0, numbered = 0;
        for (const Stretch& stretch : stretches()) {
            const std::string name = one_line(schedule_.phases[stretch.phase].name);
            const std::size_t begin = std::max(stretch.begin, at);
            const std::size_t room = stretch.end > begin + 1 ? stretch.end - begin - 1 : 0;
            std::string text = name;
            if (display_width(name) > room) {
                text = fmt::format("{}", ++numbered);
                spelled.push_back(text + " " + name);
                if (text.size() > room) {
                    continue;
                }
            }
            row += std::string(begin - at, ' ') + bar;
            const std::size_t left = (room - display_width(text)) / 2;
            row += std::string(left, ' ') + left_in(text, room - left);
            at = begin + 1 + room;
        }
        const std::string margin(label_width_ + 2, ' ');
        if (at < width_) {
            row += bar;
        }
        row.erase(row.find_last_not_of(' ') + 1);
        lines.push_back(margin + row);
        if (spelled.size() > most_spelled) {
            const std::size_t more = spelled.size() - most_spelled;
            spelled.resize(most_spelled);
            spelled.push_back(fmt::format("and {} more", more));
        }
        if (spelled.empty()) {
            return;
        }
        for (const std::string& line :
             wrapped(fmt::format("{}", fmt::join(spelled, ", ")), width_)) {
            lines.push_back(margin + line);
        }
    }

    void put_legend(std::vector<std::string>& lines) const {
        if (!shape_.estimates && !shape_.shapes) {
            return;
        }
        const std::string dashes = options_.style == PlotStyle::ascii     ? "- - -"
                                   : options_.style == PlotStyle::braille ? "⠒ ⠒ ⠒"
                                                                          : "╌ ╌ ╌";
        std::string meaning;
        if (shape_.estimates) {
            meaning = "the kiln's own time, as estimated";
        }
        if (shape_.shapes) {
            meaning =
                shape_.estimates
                    ? "the kiln's own time: estimated, or, where the axis is dashed too, only "
                      "a sketch"
                    : "the kiln's own time, which is not known: only a sketch";
        }
        const std::string margin(label_width_ + 2, ' ');
        bool first = true;
        for (const std::string& line : wrapped(meaning, width_ > 8 ? width_ - 7 : 1)) {
            lines.push_back(margin + (first ? dashes + "  " : std::string(7, ' ')) + line);
            first = false;
        }
    }

    const Schedule& schedule_;
    const PlotOptions& options_;
    Shape shape_;
    const Glyphs& glyphs_;
    TemperatureAxis axis_;
    std::size_t label_width_ = 0;
    std::size_t width_ = 0;
};

} // namespace

std::vector<std::string> plot_curve(const Schedule& schedule, const PlotOptions& options) {
    if (schedule.segments.empty()) {
        return {};
    }
    return Plot(schedule, options).run();
}

} // namespace fettle
