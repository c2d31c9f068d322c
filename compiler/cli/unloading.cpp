#include "compiler/cli/unloading.h"

#include "compiler/cli/terminal.h"
#include "compiler/compiler.h"
#include "compiler/source/characters.h"
#include "compiler/source/nearest.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

namespace fettle {
namespace {

bool add_defects(UnloadingNotes& notes, std::string_view rest, const JudgingData& data) {
    const auto known = defects_of(data.causes);
    while (!rest.empty()) {
        const std::size_t end = std::min(rest.find(','), rest.size());
        std::string word(rest.substr(0, end));
        rest.remove_prefix(std::min(end + 1, rest.size()));
        std::replace(word.begin(), word.end(), '_', ' ');
        while (word.starts_with(' '))
            word.erase(0, 1);
        if (word.empty())
            continue;
        if (std::find(known.begin(), known.end(), word) == known.end()) {
            const auto near = nearest(word, known);
            say(fmt::format("error: --defects does not know `{}`{}\n  it knows: {}", visible(word),
                            near ? fmt::format("; did you mean `{}`?", *near) : "",
                            fmt::join(known, ", ")));
            return false;
        }
        notes.defects.push_back(word);
    }
    return true;
}

} // namespace

JudgingData standard_judging_data() {
    auto read = read_judging_data(StandardLibrary::text("data/cone_readings.csv"),
                                  StandardLibrary::text("data/defect_causes.csv"));
    if (const auto* problem = std::get_if<std::string>(&read))
        throw std::runtime_error("the tables of judging: " + *problem);
    return std::get<JudgingData>(std::move(read));
}

std::optional<UnloadingNotes> unloading_notes(const std::string& cones, const std::string& defects,
                                              const JudgingData& data) {
    UnloadingNotes notes;
    if (!cones.empty()) {
        auto read = parse_witnesses(cones, data);
        if (const auto* problem = std::get_if<std::string>(&read)) {
            say(fmt::format("error: --cones: {}", visible(*problem)));
            return std::nullopt;
        }
        notes.witnesses = std::get<std::vector<WitnessReading>>(std::move(read));
    }
    if (!add_defects(notes, defects, data))
        return std::nullopt;
    return notes;
}

} // namespace fettle
