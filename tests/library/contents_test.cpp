#include "compiler/library/contents.h"

#include "compiler/library/lock.h"
#include "compiler/library/tar.h"

#include <cstring>
#include <fmt/format.h>
#include <gtest/gtest.h>

namespace fettle {
namespace {

std::string why_unsafe(const std::string& path) {
    std::string why;
    return is_safe_path(path, why) ? "" : why;
}

TEST(SafePath, IsBelowTheFolderOnAnyDisk) {
    for (const char* path : {"a", "a.fettle", "clays/river_2.fettle", "LICENCE", "a-b/c_d/e.md"})
        EXPECT_EQ(why_unsafe(path), "") << path;
    EXPECT_EQ(why_unsafe("../a"), "its path leads out of the folder");
    EXPECT_EQ(why_unsafe("a/../../b"), "its path leads out of the folder");
    EXPECT_EQ(why_unsafe("/etc/passwd"), "its path starts at the root of the disk");
    for (const char* path : {"", ".", "a/./b", "a//b", "a/", ".git/config", "a.", "con:", "a\\b",
                             "a b", "caf\xC3\xA9", "cafe\xCC\x81", "a\nb",
                             "\xE2\x80\xAE"
                             "a"})
        EXPECT_NE(why_unsafe(path), "") << path;
    EXPECT_NE(why_unsafe(std::string(121, 'a')), "");
    EXPECT_NE(why_unsafe(std::string(61, 'a')), "");
}

TEST(Contents, RefuseNamesThatDifferInCapitalsOnly) {
    std::string why;
    EXPECT_TRUE(are_distinct({{"a/x", ""}, {"a/y", ""}, {"b", ""}}, why));
    EXPECT_FALSE(are_distinct({{"Ash.fettle", ""}, {"ash.fettle", ""}}, why));
    EXPECT_EQ(why, "`Ash.fettle` and `ash.fettle` would be one on many disks: rename one of them");
    EXPECT_FALSE(are_distinct({{"A/x", ""}, {"a/y", ""}}, why)); // folders
    EXPECT_FALSE(are_distinct({{"a/x", ""}, {"a", ""}}, why));
    EXPECT_FALSE(are_distinct({{"a", ""}, {"a", ""}}, why));
}

// --- archives -----------------------------------------------------------------------------------

std::string failure(const std::string& bytes) {
    std::string top;
    std::string problem;
    return read_tar(bytes, top, problem) ? "" : problem;
}

// A header of one entry, whatever it says, with a right sum.
std::string entry(const std::string& path, char kind, const std::string& bytes,
                  const std::string& size = "") {
    std::string tar = write_tar("x", {{"y", bytes}});
    tar.resize(tar.size() - 1024);
    std::memset(tar.data(), 0, 100);
    std::memcpy(tar.data(), path.data(), path.size());
    tar[156] = kind;
    if (!size.empty())
        std::memcpy(tar.data() + 124, size.data(), size.size());
    std::memset(tar.data() + 148, ' ', 8);
    unsigned sum = 0;
    for (int i = 0; i < 512; ++i)
        sum += static_cast<unsigned char>(tar[static_cast<std::size_t>(i)]);
    const std::string text = fmt::format("{:06o}", sum);
    std::memcpy(tar.data() + 148, text.data(), 6);
    tar[154] = '\0';
    return tar;
}

const std::string end(1024, '\0');

TEST(Tar, GivesBackWhatWasPutIn) {
    const std::string deep = "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa/"
                             "bbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbbb.fettle";
    const Contents contents = {{deep, std::string(1000, 'x')}, {"b", ""}, {"c/d", "1"}};
    std::string top;
    std::string problem;
    const auto back = read_tar(write_tar("lib-1.0.0", contents), top, problem);
    ASSERT_TRUE(back) << problem;
    EXPECT_EQ(top, "lib-1.0.0");
    ASSERT_EQ(back->size(), 3u);
    EXPECT_EQ((*back)[0].path, deep);
    EXPECT_EQ((*back)[0].bytes, std::string(1000, 'x'));
    EXPECT_EQ((*back)[2].path, "c/d");
}

TEST(Tar, RefusesWhatLeadsOutOfTheFolder) {
    EXPECT_EQ(failure(entry("lib/a", '0', "1") + end), "");
    EXPECT_EQ(failure(entry("lib/../../a", '0', "1") + end),
              "`lib/../../a` in it: its path leads out of the folder");
    EXPECT_EQ(failure(entry("/etc/a", '0', "1") + end),
              "`/etc/a` in it: its path starts at the root of the disk");
    EXPECT_NE(failure(entry("../a", '0', "1") + end), "");
    EXPECT_NE(failure(entry("a", '0', "1") + end), "");
    EXPECT_NE(failure(entry("", '0', "1") + end), "");
    EXPECT_EQ(failure(entry("lib/a", '0', "1") + entry("other/a", '0', "1") + end),
              "`other/a` in it does not lie in the one folder of the library");
}

TEST(Tar, RefusesLinksAndDevices) {
    EXPECT_EQ(failure(entry("lib/a", '1', "") + end), "`lib/a` in it is a link");
    EXPECT_EQ(failure(entry("lib/a", '2', "") + end), "`lib/a` in it is a link");
    for (const char kind : {'3', '4', '6', '7', 'x', 'g', 'L', 'K', 'S'})
        EXPECT_EQ(failure(entry("lib/a", kind, "") + end), "`lib/a` in it is no plain file");
}

TEST(Tar, RefusesSizesOutOfBounds) {
    EXPECT_EQ(failure(entry("lib/a", '0', "", "77777777777") + end), // 8 GiB
              "`lib/a` in it is larger than 16 MiB");
    EXPECT_EQ(failure(entry("lib/a", '0', "", "\x80zzzzzzzzzz") + end),
              "`lib/a` in it is larger than 16 MiB");
    EXPECT_EQ(failure(entry("lib/a", '0', "", "00000100000") + end), "it ends in the middle");
    std::string many;
    for (int i = 0; i < 50000; ++i)
        many += entry(fmt::format("lib/a{}", i), '5', "");
    EXPECT_EQ(failure(many + end), "there are more entries in it than any library has");
}

TEST(Tar, RefusesDamage) {
    const std::string good = entry("lib/a", '0', "hello") + end;
    EXPECT_EQ(failure(""), "it ends in the middle");
    EXPECT_EQ(failure(good.substr(0, 700)), "it ends in the middle");
    EXPECT_EQ(failure("\x1f\x8b" + good), "it is compressed, and archives of libraries are not");
    std::string bad = good;
    bad[3] ^= 1; // one bit of the name
    EXPECT_EQ(failure(bad), "it is no tar file, or was damaged");
    EXPECT_NE(failure(std::string(2048, 'x')), "");
    EXPECT_NE(failure(entry("lib/Ab", '0', "") + entry("lib/aB", '0', "") + end), "");
}

// --- locks --------------------------------------------------------------------------------------

Lock sample() {
    Lock lock;
    lock.standard = "1.0.0";
    LockedLibrary a;
    a.name = "tidewater.glazes";
    a.version = "0.3.1";
    a.source = {SourceKind::git, "https://example.org/glazes.git", "v0.3.1", "0123abcd"};
    a.wanted = {{"0.3", "harbour_row.common"}, {"0.3.1", "x.y 2.0.0"}};
    a.files = {{"ash.fettle", std::string(64, 'a')}, {"library.fettle", std::string(64, 'b')}};
    a.digest = digest_of(a.files);
    LockedLibrary b = a;
    b.name = "x.y";
    b.source = {SourceKind::folder, "../a folder", "", ""};
    lock.libraries = {a, b};
    return lock;
}

TEST(Lock, GivesBackWhatWasWritten) {
    std::string problem;
    const auto back = parse_lock(print(sample()), problem);
    ASSERT_TRUE(back) << problem;
    EXPECT_EQ(*back, sample());
}

TEST(Lock, SaysWhereItIsDamaged) {
    const std::string good = print(sample());
    std::string problem;
    EXPECT_FALSE(parse_lock("", problem));
    EXPECT_EQ(problem, "it is empty");
    EXPECT_FALSE(parse_lock("<<<<<<< mine\n" + good, problem));
    EXPECT_EQ(problem, "line 1: it does not begin with `fettle lock 1`");
    std::string swapped = good;
    swapped.replace(swapped.find(std::string(64, 'a')), 1, "c");
    EXPECT_FALSE(parse_lock(swapped, problem));
    EXPECT_EQ(problem, "the list of files of `tidewater.glazes` does not fit its own sum");
    std::string out = good;
    out.replace(out.find("ash.fettle"), 10, "../out.txt");
    EXPECT_FALSE(parse_lock(out, problem));
    EXPECT_NE(problem.find("does not belong there"), std::string::npos);
    // Cut anywhere, it is refused, or whole up to a library.
    for (std::size_t size = 0; size < good.size(); size += 7) {
        const auto cut = parse_lock(good.substr(0, size), problem);
        if (cut) {
            EXPECT_LE(cut->libraries.size(), 2u);
        }
    }
}

} // namespace
} // namespace fettle
