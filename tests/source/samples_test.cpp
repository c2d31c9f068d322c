// Writes reports with everything in them that a report can have, for the readers that are not ours
// (tests/published/check_reports.py), into the folder that FETTLE_SAMPLES names.
#include "compiler/source/edits.h"
#include "compiler/source/render.h"

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>

namespace fettle {
namespace {

void write(const std::filesystem::path& path, std::string_view text) {
    std::filesystem::create_directories(path.parent_path());
    std::ofstream stream(path, std::ios::binary);
    stream << text;
    stream.close();
    ASSERT_TRUE(stream) << path;
}

TEST(Samples, ReportsForOtherReaders) {
    const char* named = std::getenv("FETTLE_SAMPLES");
    const std::filesystem::path folder =
        std::filesystem::path(named != nullptr ? named : testing::TempDir()) / "reports";
    Sources sources;
    Diagnostics all;
    const FileId mugs = sources.add("studio row/mugs#1.fettle",
                                    "\xEF\xBB\xBF"
                                    "# \xF0\x9F\x8F\xBA caf\xC3\xA9 e\xCC\x81\r\n"
                                    "\xF0\x9F\x8F\xBA ramp to 600C + 20C at 100C/h \xE6\x97\xA5\r\n"
                                    "soak \"\\{\" 20m\r\n");
    const FileId bodies = sources.add("std/bodies.fettle", "body stoneware {\n}\n");
    const auto find = [&](FileId file, std::string_view part) {
        const auto begin = static_cast<std::uint32_t>(sources[file].text().find(part));
        return Span{file, begin, begin + static_cast<std::uint32_t>(part.size())};
    };
    all.report(DiagnosticKind::file_unreadable, "said of {no} place").note("with \"quotes\" \\ \t");
    Diagnostic& sum =
        all.report(DiagnosticKind::file_not_found, find(mugs, "600C + 20C"), "no {sum} \x01 \xFF");
    sum.note(find(bodies, "stoneware"), "declared here")
        .note("a remark")
        .mend("write it so", find(mugs, "20C at"), "20dC {at}")
        .mend("only words");
    sum.mends.push_back({"two files, two edits",
                         {{find(bodies, "{"), "{ "},
                          {find(mugs, "\xE6\x97\xA5"), "\xF0\x9F\x8F\xBA\n"},
                          {find(mugs, "ramp"), ""}}});
    Diagnostic& caution =
        all.report(DiagnosticKind::file_not_found, Span{mugs, 0, 3}, "the byte-order mark");
    caution.level = Level::caution;
    const auto end = static_cast<std::uint32_t>(sources[mugs].text().size());
    all.report(DiagnosticKind::file_not_found, Span{mugs, end, end}, "the end")
        .mend("go on", Span{mugs, end, end}, "soak 1h\n")
        .level = Level::advice;

    for (FileId file = 0; file < sources.size(); ++file) {
        write(folder / sources[file].path(), sources[file].text());
    }
    write(folder / "report.json", render_json(sources, all));
    write(folder / "report.sarif", render_sarif(sources, all, {.version = "0.1.0"}));
    // What our own edits make of the sources, to be compared with what another reader makes of
    // them.
    const std::vector<Edit> edits = compatible_edits(all.sorted());
    for (FileId file = 0; file < sources.size(); ++file) {
        const auto mended = apply_edits(sources[file].text(), file, edits);
        ASSERT_TRUE(mended);
        write(folder / "mended" / sources[file].path(), *mended);
    }
    Sources none;
    write(folder / "empty.json", render_json(none, {}));
    write(folder / "empty.sarif", render_sarif(none, {}));
}

} // namespace
} // namespace fettle
