#include "compiler/source/embedded.h"

#include <algorithm>
#include <fstream>
#include <gtest/gtest.h>
#include <span>
#include <sstream>

namespace fettle {

std::span<const EmbeddedFile> embedded_samples();

namespace {

TEST(Embedded, FilesAreTheSameByteForByte) {
    ASSERT_EQ(embedded_samples().size(), 3U);
    for (const EmbeddedFile& file : embedded_samples()) {
        const std::string path =
            FETTLE_SOURCE_DIR "/tests/source/embedded/" + std::string(file.name);
        std::ifstream stream(path, std::ios::binary);
        ASSERT_TRUE(stream) << path;
        std::ostringstream bytes;
        bytes << stream.rdbuf();
        EXPECT_EQ(file.text, bytes.str()) << path;
    }
}

TEST(Embedded, NamesAreRelativeAndSorted) {
    EXPECT_EQ(embedded_samples().front().name, "below/empty.txt");
    EXPECT_TRUE(std::is_sorted(
        embedded_samples().begin(), embedded_samples().end(),
        [](const EmbeddedFile& a, const EmbeddedFile& b) { return a.name < b.name; }));
}

} // namespace
} // namespace fettle
