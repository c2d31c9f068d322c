#include "compiler/library/locked_libraries.h"

#include "compiler/library/files.h"
#include "compiler/source/sha256.h"
#include "compiler/units/version.h"

#include <fmt/format.h>

namespace fettle {

LockedLibraries::LockedLibraries(SourceProvider& files, const Cache& cache,
                                 std::span<const std::string> asked)
    : files_(files), cache_(cache) {
    for (const std::string& path : asked) {
        if (path == manifest_name || path.ends_with("/library.fettle"))
            workspace_.push_back(path.substr(0, path.size() - manifest_name.size()));
    }
}

void LockedLibraries::replace(std::string name, std::string folder) {
    replaced_[std::move(name)] = std::move(folder);
}

std::optional<std::string> LockedLibraries::read(const std::string& path, std::string& problem) {
    // The last folder that is not behind the path is the one it lies in, if any.
    auto at = given_.upper_bound(path);
    if (at == given_.begin() || !path.starts_with((--at)->first))
        return files_.read(path, problem);
    const Given& given = at->second;
    const std::string below = path.substr(at->first.size());
    const auto hash = given.hashes.find(below);
    if (hash == given.hashes.end())
        return std::nullopt;
    std::string why;
    std::optional<std::string> text;
    if (given.real == at->first) {
        text = files_.read(path, why); // so that `--watch` sees it
    } else {
        text = read_file(given.real + below, largest_library_file, why);
    }
    if (text && sha256_of(*text) == hash->second)
        return text;
    if (!text) {
        problem = why.empty() ? "it is not there, though `library.lock` names it" : why;
    } else {
        problem = fmt::format("`{}` is not what `{}library.lock` says it is; "
                              "`fettle library verify` tells more",
                              path, given.owner);
    }
    return std::nullopt;
}

// A library that is needed stands on the lock of the one that needs it.
std::string LockedLibraries::owner_of(const std::string& root) const {
    const auto given = given_.find(root);
    if (given != given_.end())
        return given->second.owner;
    for (const auto& [name, folder] : replaced_) {
        if (folder == root)
            return "";
    }
    return root;
}

const Lock* LockedLibraries::lock_of(const std::string& root, std::string& problem) {
    const std::string owner = owner_of(root);
    auto known = locks_.find(owner);
    if (known == locks_.end()) {
        std::string why;
        std::optional<Lock> lock;
        if (const auto text = files_.read(owner + std::string(lock_name), why)) {
            lock = parse_lock(*text, why);
            if (!lock)
                lock_problems_[owner] = fmt::format("`{}library.lock` is damaged: {}", owner, why);
        }
        known = locks_.emplace(owner, std::move(lock)).first;
    }
    if (!known->second)
        problem = lock_problems_[owner];
    return known->second ? &*known->second : nullptr;
}

std::optional<std::string> LockedLibraries::find_in_workspace(const LibraryNeed& need,
                                                              std::string& problem) {
    if (workspace_.size() > 1 && !workspace_read_) {
        for (const std::string& folder : workspace_) {
            std::string why;
            if (const auto text = files_.read(folder + std::string(manifest_name), why))
                workspace_names_[read_manifest(*text).name] = folder;
        }
    }
    workspace_read_ = true;
    const auto found = workspace_names_.find(need.name);
    if (found == workspace_names_.end())
        return std::nullopt;
    std::string why;
    const auto text = files_.read(found->second + std::string(manifest_name), why);
    const auto version = parse_version(text ? read_manifest(*text).version : "");
    const auto needed = parse_needed_version(need.version);
    if (version && needed && satisfies(*version, *needed))
        return found->second;
    problem = fmt::format("`{}` is needed {}, but the one in `{}` is version {}", need.name,
                          needed ? describe(*needed) : need.version, found->second,
                          version ? to_string(*version) : "unknown");
    return std::nullopt;
}

std::optional<std::string> LockedLibraries::find(const std::string& root, const LibraryNeed& need,
                                                 std::string& problem) {
    if (const auto replaced = replaced_.find(need.name); replaced != replaced_.end())
        return replaced->second;
    std::string other_version; // in the workspace; what is locked may be had from elsewhere
    if (std::optional<std::string> folder = find_in_workspace(need, other_version))
        return folder;
    const Lock* const lock = lock_of(root, problem);
    const LockedLibrary* const locked = lock == nullptr ? nullptr : find_library(*lock, need.name);
    if (locked == nullptr) {
        if (problem.empty())
            problem = other_version;
        if (problem.empty()) {
            problem = fmt::format("the library `{}` has not been resolved yet: run "
                                  "`fettle library resolve{}{}`",
                                  need.name, root.empty() ? "" : " ", root);
        }
        return std::nullopt;
    }
    const auto version = parse_version(locked->version);
    const auto needed = parse_needed_version(need.version);
    if (!version || !needed || !satisfies(*version, *needed)) {
        problem = fmt::format("`{}` {} is needed, but `library.lock` has {}: run "
                              "`fettle library resolve`",
                              need.name, need.version, locked->version);
        return std::nullopt;
    }
    Given found;
    found.owner = owner_of(root);
    for (const FileHash& file : locked->files)
        found.hashes.emplace(file.path, file.sha256);
    std::string shown;
    if (locked->source.kind == SourceKind::folder) {
        shown = found.real = folder_from(found.owner, locked->source.place);
    } else {
        found.real = cache_.folder_of(locked->digest);
        shown = fmt::format("{}-{}/", locked->name, locked->version);
        std::string why;
        if (!read_file(found.real + std::string(manifest_name), largest_library_file, why)) {
            problem = fmt::format("the library `{}` {} is not on this machine yet: run "
                                  "`fettle library resolve`",
                                  locked->name, locked->version);
            return std::nullopt;
        }
    }
    given_.emplace(shown, std::move(found));
    return shown;
}

} // namespace fettle
