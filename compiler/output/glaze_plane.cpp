#include "compiler/output/glaze_plane.h"

#include "compiler/output/columns.h"
#include "compiler/output/html_page.h"
#include "compiler/units/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

namespace fettle {
namespace {

constexpr std::size_t plot_rows = 14, label_room = 6;

double nice_step(double span) {
    const double raw = span / 6, power = std::pow(10, std::floor(std::log10(raw)));
    for (const double times : {1.0, 2.0, 5.0}) {
        if (raw <= times * power)
            return times * power;
    }
    return 10 * power;
}

} // namespace

PlaneView plane_view(const GlazeReport& report) {
    PlaneView view;
    view.alumina = std::max(1.0, 1.2 * report.alumina());
    view.silica = std::max(7.0, 1.2 * report.silica());
    view.alumina_step = nice_step(view.alumina);
    view.silica_step = nice_step(view.silica);
    view.alumina = std::ceil(view.alumina / view.alumina_step) * view.alumina_step;
    view.silica = std::ceil(view.silica / view.silica_step) * view.silica_step;
    return view;
}

std::vector<std::string> plane_plot(const GlazeReport& report, std::size_t width, bool ascii) {
    const PlaneView view = plane_view(report);
    const std::size_t columns = std::min<std::size_t>(width, 72) - label_room - 2;
    // Letters stand for themselves; text is made from the cells last.
    constexpr char line_cell = '.', glaze_cell = '@';
    std::vector<std::string> grid(plot_rows, std::string(columns, ' '));
    const auto row_of = [&](double silica) {
        return static_cast<long>(plot_rows) - 1 -
               std::lround(silica / view.silica * static_cast<double>(plot_rows - 1));
    };
    const auto column_of = [&](double alumina) {
        return std::lround(alumina / view.alumina * static_cast<double>(columns - 1));
    };
    char letter = 'a';
    for (const PlaneLine& line : report.lines) {
        long last_row = 0, last_column = 0;
        for (std::size_t column = 0; column < columns; ++column) {
            const double alumina =
                view.alumina * static_cast<double>(column) / static_cast<double>(columns - 1);
            const long row = row_of(alumina * line.ratio);
            if (row < 0)
                break;
            grid[static_cast<std::size_t>(row)][column] = line_cell;
            last_row = row;
            last_column = static_cast<long>(column);
        }
        grid[static_cast<std::size_t>(last_row)][static_cast<std::size_t>(last_column)] = letter++;
    }
    const long at_row = row_of(report.silica()), at_column = column_of(report.alumina());
    grid[static_cast<std::size_t>(std::clamp(at_row, 0L, long{plot_rows} - 1))]
        [static_cast<std::size_t>(std::clamp(at_column, 0L, static_cast<long>(columns) - 1))] =
            glaze_cell;

    std::vector<std::string> lines = {"SiO2"};
    std::vector<std::string> labels(plot_rows);
    for (double silica = 0; silica <= view.silica * 1.0001; silica += view.silica_step)
        labels[static_cast<std::size_t>(row_of(silica))] = print_number(silica, 2);
    for (std::size_t row = 0; row < plot_rows; ++row) {
        std::string text = right_in(labels[row], label_room - 1) +
                           (labels[row].empty() ? (ascii ? " |" : " │") : (ascii ? " +" : " ┤"));
        for (const char cell : grid[row]) {
            if (cell == line_cell && !ascii) {
                text += "·";
            } else if (cell == glaze_cell && !ascii) {
                text += "●";
            } else {
                text += cell;
            }
        }
        while (text.back() == ' ')
            text.pop_back();
        lines.push_back(std::move(text));
    }
    std::string axis = std::string(label_room, ' ') + (ascii ? "+" : "└");
    std::string numbers(label_room + 1, ' ');
    for (std::size_t column = 0; column < columns; ++column)
        axis += ascii ? "-" : "─";
    for (double alumina = 0; alumina <= view.alumina * 1.0001; alumina += view.alumina_step) {
        const std::string label = print_number(alumina, 2);
        const auto place = label_room + 1 + static_cast<std::size_t>(column_of(alumina));
        if (place < numbers.size() + 1 && numbers.size() > label_room + 1)
            continue;
        numbers.resize(std::max(numbers.size(), place), ' ');
        numbers += label;
    }
    lines.push_back(axis);
    lines.push_back(numbers + "  Al2O3");
    std::string key = std::string(ascii ? "@" : "●") + " this glaze";
    letter = 'a';
    for (const PlaneLine& line : report.lines) {
        key += fmt::format("; {} {} ({}:1)", letter++, line.title, print_number(line.ratio, 2));
    }
    for (const std::string& line : wrapped(key, width - label_room - 1))
        lines.push_back(std::string(label_room + 1, ' ') + line);
    return lines;
}

std::string plane_words(const GlazeReport& report) {
    if (report.lines.empty())
        return {};
    return fmt::format(
        "The lines were found at cone {} with fluxes of 0.3 K2O and 0.7 CaO ({}; {}). "
        "With other fluxes, with boron, at other cones they lie elsewhere.",
        cone_name(report.lines.front().cone), report.lines.front().source,
        report.lines.front().from_memory ? "from memory" : "confirmed");
}

std::string plane_svg(const GlazeReport& report, bool standalone) {
    constexpr double width = 420, height = 320, left = 46, right = 20, top = 20, bottom = 44;
    const PlaneView view = plane_view(report);
    const auto x = [&](double alumina) {
        return left + (width - left - right) * alumina / view.alumina;
    };
    const auto y = [&](double silica) {
        return height - bottom - (height - top - bottom) * silica / view.silica;
    };
    std::string svg;
    const auto put = [&]<class... Parts>(fmt::format_string<Parts...> format, Parts&&... parts) {
        fmt::format_to(std::back_inserter(svg), format, std::forward<Parts>(parts)...);
    };
    if (standalone)
        svg += "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n";
    put("<svg class=\"plane\" xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" "
        "role=\"img\" aria-label=\"{} among silica and alumina\" font-family=\"sans-serif\" "
        "font-size=\"11\">\n",
        width, height, escaped(report.title.empty() ? report.name : report.title));
    put("<rect width=\"{}\" height=\"{}\" fill=\"#fff\"/>\n", width, height);
    for (double alumina = 0; alumina <= view.alumina * 1.0001; alumina += view.alumina_step) {
        put("<line x1=\"{0:.1f}\" x2=\"{0:.1f}\" y1=\"{1:.1f}\" y2=\"{2:.1f}\" "
            "stroke=\"#b9c1ca\" stroke-width=\".5\"/><text x=\"{0:.1f}\" y=\"{3:.1f}\" "
            "text-anchor=\"middle\">{4}</text>\n",
            x(alumina), y(0), y(view.silica), y(0) + 15, print_number(alumina, 2));
    }
    for (double silica = 0; silica <= view.silica * 1.0001; silica += view.silica_step) {
        put("<line x1=\"{0:.1f}\" x2=\"{1:.1f}\" y1=\"{2:.1f}\" y2=\"{2:.1f}\" "
            "stroke=\"#b9c1ca\" stroke-width=\".5\"/><text x=\"{3:.1f}\" y=\"{4:.1f}\" "
            "text-anchor=\"end\">{5}</text>\n",
            x(0), x(view.alumina), y(silica), x(0) - 5, y(silica) + 4, print_number(silica, 2));
    }
    put("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">Al2O3, moles for one of "
        "fluxes</text>\n",
        x(view.alumina / 2), height - 8);
    put("<text transform=\"translate(13 {:.1f}) rotate(-90)\" text-anchor=\"middle\">SiO2</text>\n",
        y(view.silica / 2));
    for (const PlaneLine& line : report.lines) {
        const double alumina = std::min(view.alumina, view.silica / line.ratio);
        put("<line x1=\"{:.1f}\" y1=\"{:.1f}\" x2=\"{:.1f}\" y2=\"{:.1f}\" stroke=\"#1b4a8f\" "
            "stroke-dasharray=\"5 3\"/>\n",
            x(0), y(0), x(alumina), y(alumina * line.ratio));
        const double along = 0.97;
        const double degrees =
            -std::atan2(y(0) - y(alumina * line.ratio), x(alumina) - x(0)) * 57.29577951308232;
        put("<text transform=\"translate({:.1f} {:.1f}) rotate({:.1f})\" dy=\"-3\" "
            "text-anchor=\"end\" fill=\"#1b4a8f\">{} ({}:1)</text>\n",
            x(alumina * along), y(alumina * line.ratio * along), degrees, escaped(line.title),
            print_number(line.ratio, 2));
    }
    put("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"4.5\" fill=\"#15181c\"/><text x=\"{:.1f}\" "
        "y=\"{:.1f}\" font-weight=\"600\">{}</text>\n",
        x(report.alumina()), y(report.silica()), x(report.alumina()) + 8, y(report.silica()) + 4,
        escaped(report.name));
    svg += "</svg>\n";
    return svg;
}

} // namespace fettle
