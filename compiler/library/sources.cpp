#include "compiler/library/sources.h"

#include "compiler/library/files.h"
#include "compiler/library/git.h"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>

namespace fettle {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view git_prefix = "git:";
constexpr std::string_view file_prefix = "file://";

void newest_first(Offers& offers) {
    std::stable_sort(offers.begin(), offers.end(), [](const Offer& a, const Offer& b) {
        return precedence(a.version, b.version) > 0;
    });
}

std::optional<Offers> offers_of_git(const std::string& address, std::string& problem) {
    const std::optional<std::vector<GitTag>> tags = git_tags(address, problem);
    if (!tags) {
        problem = fmt::format("the repository `{}` can't be asked; {}", address, problem);
        return std::nullopt;
    }
    Offers offers;
    for (const GitTag& tag : *tags) {
        std::string_view text = tag.name;
        if (text.starts_with('v'))
            text.remove_prefix(1);
        const std::optional<Version> version = parse_version(text);
        if (version)
            offers.push_back(
                {*version, {SourceKind::git, address, tag.name, tag.commit}, std::nullopt, ""});
    }
    newest_first(offers);
    if (offers.empty())
        problem = fmt::format("the repository `{}` has no tag that is a version", address);
    return offers.empty() ? std::nullopt : std::optional(std::move(offers));
}

} // namespace

std::optional<Version> version_in_archive_name(std::string_view file, std::string_view name) {
    constexpr std::string_view ending = ".tar";
    if (!file.starts_with(name) || !file.ends_with(ending) ||
        file.size() < name.size() + 1 + ending.size() || file[name.size()] != '-') {
        return std::nullopt;
    }
    file.remove_prefix(name.size() + 1);
    file.remove_suffix(ending.size());
    return parse_version(file);
}

std::optional<std::string> git_address(std::string_view from) {
    if (from.starts_with(git_prefix))
        return std::string(from.substr(git_prefix.size()));
    if (from.ends_with(".git"))
        return std::string(from);
    return std::nullopt;
}

bool is_public_address(std::string_view from) {
    const std::optional<std::string> git = git_address(from);
    return git && (git->starts_with("https://") || git->starts_with("ssh://") ||
                   git->find('@') != std::string::npos);
}

std::optional<Offers> Places::look(const std::string& place, const std::string& name,
                                   std::string& problem) const {
    std::error_code trouble;
    const std::string path = file_from(root_, place);
    if (fs::is_directory(path.empty() ? "." : path, trouble)) {
        if (!fs::exists(path + "/library.fettle", trouble))
            return look_on_shelf(place, name, problem);
        std::optional<Library> library = read_library_folder(path, problem);
        if (!library) {
            problem = fmt::format("the folder `{}`: {}", place, problem);
            return std::nullopt;
        }
        Offers offers;
        const Version version = library->version;
        offers.push_back({version, {SourceKind::folder, place, "", ""}, std::move(library), ""});
        return offers;
    }
    std::optional<Library> library = read_library_archive(path, problem);
    if (!library) {
        problem = fmt::format("the archive `{}` can't be taken: {}", place, problem);
        return std::nullopt;
    }
    Offers offers;
    const Version version = library->version;
    const std::size_t slash = place.rfind('/');
    offers.push_back({version,
                      {SourceKind::archive, place, "", ""},
                      std::move(library),
                      slash == std::string::npos ? "." : place.substr(0, slash)});
    return offers;
}

std::optional<Offers> Places::look_on_shelf(const std::string& place, const std::string& name,
                                            std::string& problem) const {
    Offers offers;
    std::error_code trouble;
    const std::string path = file_from(root_, place);
    fs::directory_iterator entry(path.empty() ? "." : path, trouble);
    for (; !trouble && entry != fs::directory_iterator(); entry.increment(trouble)) {
        const std::string file = entry->path().filename().string();
        if (const std::optional<Version> version = version_in_archive_name(file, name)) {
            offers.push_back({*version,
                              {SourceKind::archive, file_from(place, file), "", ""},
                              std::nullopt,
                              place});
        }
    }
    newest_first(offers);
    if (offers.empty())
        problem = fmt::format("in the folder `{}` there is neither a `library.fettle` nor an "
                              "archive `{}-….tar`",
                              place, name);
    return offers.empty() ? std::nullopt : std::optional(std::move(offers));
}

Offers* Places::offers(const std::string& base, const std::string& from, const std::string& name,
                       std::string& problem) {
    const std::optional<std::string> git = git_address(from);
    std::string place = git ? *git : from;
    if (!git && place.starts_with(file_prefix))
        place.erase(0, file_prefix.size());
    // A repository that is a folder here is named as from its library; others have an address.
    if (!git || place.starts_with("./") || place.starts_with("../"))
        place = file_from(base, place);
    if (place.empty())
        place.assign(1, '.');
    const std::string key = fmt::format("{} {} {}", git ? "git" : "disk", name, place);
    if (const auto found = known_.find(key); found != known_.end())
        return found->second.get();
    const bool here = git && (place.starts_with("../") || !place.starts_with("/")) &&
                      place.find(':') == std::string::npos;
    std::optional<Offers> found =
        git ? offers_of_git(here ? file_from(root_, place) : place, problem)
            : look(place, name, problem);
    if (!found)
        return nullptr;
    if (here) {
        for (Offer& offer : *found)
            offer.source.place = place;
    }
    return (known_[key] = std::make_unique<Offers>(std::move(*found))).get();
}

Offers* Places::offers_on_shelf(const std::string& shelf, const std::string& name,
                                std::string& problem) {
    const std::string key = fmt::format("disk {} {}", name, shelf);
    if (const auto found = known_.find(key); found != known_.end())
        return found->second.get();
    std::optional<Offers> found = look_on_shelf(shelf, name, problem);
    if (!found)
        return nullptr;
    return (known_[key] = std::make_unique<Offers>(std::move(*found))).get();
}

bool Places::load(Offer& offer, const std::string& name, std::string& problem) {
    if (!offer.library) {
        const LockedSource& source = offer.source;
        if (source.kind == SourceKind::git) {
            const bool here = source.place.find(':') == std::string::npos;
            const std::string address = here ? file_from(root_, source.place) : source.place;
            const std::string store = cache_.folder() + "/git";
            std::optional<Contents> contents =
                git_contents_at_tag(address, {source.tag, source.commit}, store, problem);
            if (contents)
                offer.library = library_of(std::move(*contents), problem);
        } else if (source.kind == SourceKind::archive) {
            offer.library = read_library_archive(file_from(root_, source.place), problem);
        } else {
            offer.library = read_library_folder(file_from(root_, source.place), problem);
        }
    }
    if (!offer.library) {
        problem = fmt::format("{} {} from `{}` can't be taken: {}", name, to_string(offer.version),
                              offer.source.place, problem);
        return false;
    }
    const Library& library = *offer.library;
    if (library.manifest.name != name ||
        precedence(library.version, offer.version) != std::strong_ordering::equal) {
        problem = fmt::format("what was to be {} {} in `{}` calls itself {} {}", name,
                              to_string(offer.version), offer.source.place, library.manifest.name,
                              library.manifest.version);
        return false;
    }
    return true;
}

} // namespace fettle
