#include "compiler/library/git.h"

#include "compiler/library/files.h"
#include "compiler/library/tar.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <fcntl.h>
#include <filesystem>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

// NOLINTNEXTLINE: POSIX's own name
extern char** environ;

namespace fettle {
namespace {

struct Ran {
    int code = -1; // -1: it could not be started
    std::string out, err;
};

std::string first_line(std::string_view text) {
    return std::string(text.substr(0, text.find('\n')));
}

// The environment of this process, with nothing that asks, and no repository of somebody's own.
std::vector<std::string> environment() {
    std::vector<std::string> variables;
    for (char** at = environ; *at != nullptr; ++at) {
        const std::string_view variable = *at;
        if (!variable.starts_with("GIT_DIR=") && !variable.starts_with("GIT_WORK_TREE=") &&
            !variable.starts_with("GIT_INDEX_FILE=") && !variable.starts_with("LC_ALL="))
            variables.emplace_back(variable);
    }
    variables.emplace_back("GIT_TERMINAL_PROMPT=0");
    variables.emplace_back("LC_ALL=C");
    return variables;
}

std::vector<char*> pointers(std::vector<std::string>& words) {
    std::vector<char*> result;
    for (std::string& word : words)
        result.push_back(word.data());
    result.push_back(nullptr);
    return result;
}

std::string all_of_file(int file) {
    std::string text;
    char buffer[65536];
    ::lseek(file, 0, SEEK_SET);
    for (ssize_t got = 0; (got = ::read(file, buffer, sizeof buffer)) > 0;) {
        text.append(buffer, static_cast<std::size_t>(got));
        if (text.size() > largest_archive)
            break;
    }
    return text;
}

// A file without a name, which goes away with the process.
int nameless_file() {
    char name[] = "/tmp/fettle-XXXXXX";
    const int file = ::mkostemp(name, O_CLOEXEC);
    if (file >= 0)
        ::unlink(name);
    return file;
}

Ran git(std::vector<std::string> words) {
    words.insert(words.begin(), {"git", "-c", "core.autocrlf=false", "-c", "core.hooksPath=", "-c",
                                 "protocol.ext.allow=never", "-c", "advice.detachedHead=no"});
    std::vector<std::string> variables = environment();
    Ran ran;
    const int out = nameless_file();
    const int err = nameless_file();
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addopen(&actions, 0, "/dev/null", O_RDONLY, 0);
    posix_spawn_file_actions_adddup2(&actions, out, 1);
    posix_spawn_file_actions_adddup2(&actions, err, 2);
    pid_t process = 0;
    if (out >= 0 && err >= 0 &&
        ::posix_spawnp(&process, "git", &actions, nullptr, pointers(words).data(),
                       pointers(variables).data()) == 0) {
        int status = 0;
        while (::waitpid(process, &status, 0) < 0 && errno == EINTR) {
        }
        ran.code = WIFEXITED(status) ? WEXITSTATUS(status) : 128;
        ran.out = all_of_file(out);
        ran.err = all_of_file(err);
    }
    posix_spawn_file_actions_destroy(&actions);
    ::close(out);
    ::close(err);
    return ran;
}

std::string words_of(const Ran& ran) {
    if (ran.code == -1 || ran.code == 127)
        return "git could not be started: is it installed?";
    return fmt::format("git says: {}", first_line(ran.err));
}

// Something that git would take for an option, or a way to run a program.
bool is_odd(std::string_view word) {
    return word.empty() || word.front() == '-' || word.find("::") != std::string_view::npos ||
           word.find('\n') != std::string_view::npos;
}

// "HASH\trefs/tags/NAME", and for tags with words of their own a second line with "^{}".
std::vector<GitTag> tags_of(std::string_view lines) {
    constexpr std::string_view refs = "\trefs/tags/";
    constexpr std::string_view peeled = "^{}";
    std::vector<GitTag> tags;
    while (!lines.empty()) {
        const std::size_t end = std::min(lines.find('\n'), lines.size());
        const std::string_view line = lines.substr(0, end);
        lines.remove_prefix(std::min(end + 1, lines.size()));
        const std::size_t at = line.find(refs);
        if (at == std::string_view::npos)
            continue;
        std::string_view name = line.substr(at + refs.size());
        const bool is_peeled = name.ends_with(peeled);
        if (is_peeled)
            name.remove_suffix(peeled.size());
        if (is_peeled && !tags.empty() && tags.back().name == name)
            tags.back().commit = line.substr(0, at);
        else
            tags.push_back({std::string(name), std::string(line.substr(0, at))});
    }
    return tags;
}

// The library's files of an exported tree, in which there may be others.
std::optional<Contents> contents_of_tree(const std::vector<std::string>& where,
                                         const std::string& tree, std::string& problem) {
    std::vector<std::string> words = where;
    words.insert(words.end(), {"archive", "--format=tar", "--prefix=tree/", tree});
    const Ran made = git(std::move(words));
    if (made.code != 0) {
        problem = words_of(made);
        return std::nullopt;
    }
    std::string top;
    std::optional<Contents> all = read_tar(made.out, top, problem, TarOf::repository);
    if (!all)
        return std::nullopt;
    return without_others(std::move(*all));
}

} // namespace

std::optional<std::vector<GitTag>> git_tags(const std::string& repository, std::string& problem) {
    if (is_odd(repository)) {
        problem = "it is no address of a repository";
        return std::nullopt;
    }
    const Ran ran = git({"ls-remote", "--tags", "--", repository});
    if (ran.code != 0) {
        problem = words_of(ran);
        return std::nullopt;
    }
    return tags_of(ran.out);
}

std::optional<Contents> git_contents_at_tag(const std::string& repository, const GitTag& tag,
                                            const std::string& store, std::string& problem) {
    if (is_odd(repository) || is_odd(tag.name)) {
        problem = "it is no address of a repository";
        return std::nullopt;
    }
    if (!make_folder(store, problem))
        return std::nullopt;
    const FileLock held(store + "/lock");
    const std::string copy = store + "/copy";
    std::error_code trouble;
    std::filesystem::remove_all(copy, trouble); // of one that was killed
    const std::string ref = "refs/tags/" + tag.name;
    Ran ran = git({"init", "-q", "--bare", copy});
    if (ran.code == 0) {
        ran = git({"--git-dir=" + copy, "fetch", "-q", "--no-tags", "--depth", "1", "--",
                   repository, fmt::format("+{}:{}", ref, ref)});
    }
    std::optional<Contents> contents;
    if (ran.code == 0)
        contents = contents_of_tree({"--git-dir=" + copy}, ref + "^{tree}", problem);
    else
        problem = words_of(ran);
    std::filesystem::remove_all(copy, trouble);
    return contents;
}

std::optional<Contents> git_contents_at(const std::string& folder, const std::string& revision,
                                        std::string& problem) {
    const std::string at = folder.empty() ? "." : folder;
    if (is_odd(revision))
        return std::nullopt;
    const Ran known = git({"-C", at, "rev-parse", "--verify", "-q", revision + "^{tree}"});
    if (known.code != 0)
        return std::nullopt;
    const Ran prefix = git({"-C", at, "rev-parse", "--show-prefix"});
    const Ran top = git({"-C", at, "rev-parse", "--show-toplevel"});
    std::string below = first_line(prefix.out);
    if (below.ends_with('/'))
        below.pop_back();
    // From the top: `git archive` would take what lies below the folder at hand.
    return contents_of_tree({"-C", first_line(top.out)}, fmt::format("{}:{}", revision, below),
                            problem);
}

} // namespace fettle
