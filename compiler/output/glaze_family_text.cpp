#include "compiler/output/glaze_text.h"
#include "compiler/output/page.h"
#include "compiler/source/characters.h"
#include "compiler/units/quantity.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace fettle {
namespace {

constexpr std::size_t cell = 8;

using Member = FamilyReport::Member;

struct RowOfFamily {
    std::string label;
    std::function<std::string(const Member&)> value;
};

std::string fixed(double value, int decimals) {
    return std::isnan(value) ? "-" : fmt::format("{:.{}f}", value, decimals);
}

double percent_of(const Member& member, std::string_view material) {
    double share = 0;
    for (const GlazeIngredient& part : member.report.ingredients) {
        if (part.name == material)
            share += part.dry_share;
    }
    return 100 * share;
}

std::vector<RowOfFamily> rows_of(const FamilyReport& family) {
    std::vector<RowOfFamily> rows;
    std::vector<std::string_view> seen;
    for (const Member& member : family.members) {
        for (const GlazeIngredient& part : member.report.ingredients) {
            if (std::find(seen.begin(), seen.end(), part.name) != seen.end())
                continue;
            seen.push_back(part.name);
            rows.push_back({std::string(part.title), [name = part.name](const Member& each) {
                                const double percent = percent_of(each, name);
                                return percent > 0 ? fixed(percent, 2) : std::string();
                            }});
        }
    }
    rows.push_back({"", nullptr});
    rows.push_back({"SiO2:Al2O3", [](const Member& each) {
                        return fixed(each.report.chemistry.silica_per_alumina, 2);
                    }});
    rows.push_back(
        {"B2O3", [](const Member& each) { return fixed(each.report.chemistry.boron, 3); }});
    rows.push_back({"ppm/K, Appen", [](const Member& each) {
                        const ExpansionEstimate& appen = each.report.chemistry.expansion[0];
                        return appen.usable() ? fixed(1e6 * appen.per_k, 2) : std::string("-");
                    }});
    rows.push_back(
        {"loss, %", [](const Member& each) { return fixed(100 * each.report.chemistry.loss, 1); }});
    return rows;
}

void put_members(Page& page, const FamilyReport& family) {
    const std::vector<RowOfFamily> rows = rows_of(family);
    std::size_t width = 12;
    for (const RowOfFamily& row : rows)
        width = std::max(width, display_width(one_line(row.label)));
    width = std::min(width, page.width() / 3);
    const std::size_t across = std::max<std::size_t>(1, (page.width() - width - 2) / cell);
    for (std::size_t first = 0; first < family.members.size(); first += across) {
        const std::size_t end = std::min(first + across, family.members.size());
        page.blank();
        std::string head = "  " + left_in("per cent, dry", width);
        for (std::size_t m = first; m < end; ++m)
            head += right_in(std::to_string(m + 1), cell);
        page.line(head, Ink::faint);
        for (const RowOfFamily& row : rows) {
            if (!row.value) {
                page.blank();
                continue;
            }
            std::string line =
                "  " + left_in(shortened(one_line(row.label), width, page.ascii()), width);
            for (std::size_t m = first; m < end; ++m)
                line += right_in(row.value(family.members[m]), cell);
            line.erase(line.find_last_not_of(' ') + 1);
            page.line(line);
        }
    }
}

// Rows and columns as the lists were gone through: a line is one row, a triangle gets shorter.
void put_tiles(Page& page, const FamilyReport& family) {
    page.blank();
    page.line("Tiles, as they stand", Ink::strong);
    std::uint32_t last = 0;
    for (const Member& member : family.members)
        last = std::max(last, member.row);
    const bool together = last == 0;
    for (std::uint32_t row = 0; row <= last; ++row) {
        std::string line = "  ";
        bool any = false;
        for (std::size_t m = 0; m < family.members.size(); ++m) {
            if (family.members[m].row != row)
                continue;
            any = true;
            if (display_width(line) + 5 > page.width()) {
                page.line(line);
                line = "  ";
            }
            line += right_in(fmt::format("[{}]", m + 1), 5);
        }
        if (any)
            page.line(line);
    }
    for (std::size_t m = 0; m < family.members.size(); ++m) {
        page.paragraph(2, fmt::format("{:>3}  ", m + 1), family.members[m].label);
    }
    page.paragraph(2, "",
                   together ? "A line: mix the two ends, and weigh them together wet by "
                              "their dry weights. Stamp each tile with its number."
                            : "Rows and columns go as the lists do. Stamp each tile with "
                              "its number.");
}

} // namespace

std::string family_text(const FamilyReport& family, const GlazeTextOptions& options) {
    Page page(options.width, options.plain, options.colour);
    page.two_ends(one_line(family.title.empty() ? family.name : family.title),
                  one_line(family.name), Ink::strong);
    if (!family.about.empty())
        page.paragraph(0, "", family.about);
    page.blank();
    page.paragraph(2, "",
                   fmt::format("A family of {}{}{}{}.", family.members.size(),
                               family.fires.empty() ? "" : ", fired together to " + family.fires,
                               family.atmosphere.empty() ? "" : " in ", family.atmosphere));
    put_members(page, family);
    put_tiles(page, family);
    page.blank();
    page.paragraph(2, "", food_contact_words);
    return std::move(page).take();
}

} // namespace fettle
