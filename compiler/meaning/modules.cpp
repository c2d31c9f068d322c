#include "compiler/meaning/modules.h"

#include "compiler/source/nearest.h"
#include "compiler/syntax/parse.h"

#include <fmt/format.h>

#include <unordered_map>

namespace fettle {
namespace {

std::string folder_of(const std::string& path) {
    const std::size_t slash = path.rfind('/');
    return slash == std::string::npos ? "" : path.substr(0, slash + 1);
}

std::string stem_of(const std::string& path) {
    const std::size_t slash = path.rfind('/');
    std::string name = slash == std::string::npos ? path : path.substr(slash + 1);
    const std::size_t dot = name.rfind(".fettle");
    return dot == std::string::npos ? name : name.substr(0, dot);
}

// How far up a library's root is looked for.
constexpr int most_parents = 16;

class Loader {
  public:
    Loader(Program& program, const ModuleSources& from, Diagnostics& diagnostics)
        : program_(program), from_(from), diagnostics_(diagnostics) {}

    void ask_for(const std::string& path) {
        if (by_path_.count(path) != 0)
            return;
        std::string problem;
        std::optional<std::string> text = from_.files.read(path, problem);
        if (!text) {
            if (problem.empty()) {
                diagnostics_.report(DiagnosticKind::file_not_found,
                                    fmt::format("there is no file `{}`", path));
            } else {
                diagnostics_.report(DiagnosticKind::file_unreadable,
                                    fmt::format("`{}` can't be read: {}", path, problem));
            }
            return;
        }
        add(path, std::move(*text), stem_of(path), false);
    }

    void ask_for_standard(std::string_view name) {
        std::string problem;
        find_standard(name, problem);
    }

    // `with_recipe`: a standard module that belongs to every program in which a glaze has a recipe;
    // empty: none.
    void follow_uses(std::string_view with_recipe) {
        // Modules are appended while this runs.
        for (ModuleId id = 0; id < program_.modules.size(); ++id) {
            follow_uses_of(id);
            if (!with_recipe.empty() && has_recipe(program_.modules[id].tree)) {
                ask_for_standard(with_recipe);
                with_recipe = {};
            }
        }
    }

  private:
    static bool has_recipe(const Tree& tree) {
        for (std::uint32_t i = 0; i < tree.count(tree.root()); ++i) {
            NodeId node = tree.child(tree.root(), i);
            if (tree.is(node, NodeKind::private_))
                node = tree.child(node, 0);
            if (!tree.is(node, NodeKind::profile) ||
                static_cast<ProfileKind>(tree[node].flag) != ProfileKind::glaze) {
                continue;
            }
            const NodeId block = tree.child(node, 4);
            for (std::uint32_t k = 0; k < tree.count(block); ++k) {
                if (tree.is(tree.child(block, k), NodeKind::recipe))
                    return true;
            }
        }
        return false;
    }

    ModuleId add(const std::string& path, std::string text, std::string name, bool standard) {
        const FileId file = from_.sources.add(path, std::move(text));
        const auto id = static_cast<ModuleId>(program_.modules.size());
        Module& module = program_.modules.add();
        module.file = file;
        module.name = std::move(name);
        module.standard = standard;
        std::span<const Node> parsed_before;
        if (standard) {
            module.library = "std";
            if (from_.standard_nodes)
                parsed_before = from_.standard_nodes(path);
        }
        module.tree = parsed_before.empty() ? parse(file, from_.sources[file], diagnostics_)
                                            : Tree(file, from_.sources[file].text(), parsed_before);
        by_path_[path] = id;
        return id;
    }

    ModuleId find_standard(std::string_view name, std::string& problem) {
        std::string path(name);
        for (char& c : path) {
            if (c == '.')
                c = '/';
        }
        path += ".fettle";
        if (const auto found = by_path_.find(path); found != by_path_.end())
            return found->second;
        std::optional<std::string> text = from_.standard.read(path, problem);
        if (!text)
            return none;
        return add(path, std::move(*text), std::string(name), true);
    }

    // The folder with library.fettle that `folder` lies in, and what stands there.
    struct Root {
        std::string folder;
        Manifest manifest;
        bool found = false;
        std::unordered_map<std::string, std::string> needed = {}; // library → its folder
    };
    Root& root_of(const std::string& folder) {
        if (const auto known = roots_.find(folder); known != roots_.end())
            return known->second;
        Root root;
        std::string at = folder;
        for (int i = 0; i < most_parents && !root.found; ++i) {
            std::string problem;
            if (std::optional<std::string> text =
                    from_.files.read(at + std::string(manifest_name), problem)) {
                root = {at, read_manifest(*text), true};
                break;
            }
            if (at.empty()) {
                at = "../";
            } else if (at == "/") {
                break;
            } else if (at.size() >= 3 && at.compare(at.size() - 3, 3, "../") == 0) {
                at += "../";
            } else {
                at = folder_of(at.substr(0, at.size() - 1));
            }
        }
        return roots_[folder] = root;
    }

    static std::string dotted(const Tree& tree, NodeId path) {
        std::string name;
        for (std::uint32_t i = 0; i < tree.count(path); ++i) {
            if (i > 0)
                name += '.';
            name += tree.source(tree.child(path, i));
        }
        return name;
    }

    void follow_uses_of(ModuleId id) {
        const std::string path = from_.sources[program_.modules[id].file].path();
        if (!program_.modules[id].standard) {
            const Root& root = root_of(folder_of(path));
            program_.modules[id].library = root.manifest.name;
            program_.modules[id].library_version = root.manifest.version;
        }
        const NodeId root = program_.modules[id].tree.root();
        const std::uint32_t count = program_.modules[id].tree.count(root);
        for (std::uint32_t i = 0; i < count; ++i) {
            // Modules are added while this runs; the tree is looked up afresh.
            const Tree& tree = program_.modules[id].tree;
            const NodeId use = tree.child(root, i);
            if (!tree.is(use, NodeKind::use))
                continue;
            const NodeId path_node = tree.child(use, 0);
            if (!tree.present(path_node))
                continue;
            Import import;
            import.span = tree.span(path_node);
            const std::string name = dotted(tree, path_node);
            import.module = find(name, path, import.span);
            const NodeId alias = tree.child(use, 2);
            if (tree.present(alias)) {
                import.alias = program_.names.intern(tree.source(alias));
            } else if (!tree.present(tree.child(use, 1))) {
                const std::size_t dot = name.rfind('.');
                import.alias = program_.names.intern(
                    dot == std::string::npos ? name : std::string_view(name).substr(dot + 1));
            }
            program_.modules[id].imports.push_back(import);
        }
    }

    ModuleId find(const std::string& name, const std::string& importer, Span span) {
        std::string problem;
        if (name == "std" || name.compare(0, 4, "std.") == 0) {
            const ModuleId id = find_standard(name, problem);
            if (id == none) {
                Diagnostic& d = diagnostics_.report(
                    DiagnosticKind::unknown_module, span,
                    fmt::format("the standard library has no module `{}`", name));
                const std::vector<std::string_view> names(from_.standard_names.begin(),
                                                          from_.standard_names.end());
                if (const auto near = nearest(name, names))
                    d.mend(fmt::format("did you mean `{}`?", *near), span, std::string(*near));
            }
            return id;
        }
        const std::string folder = folder_of(importer);
        Root& root = root_of(folder);
        const std::string prefix = root.manifest.name + ".";
        const bool own = root.found && name.starts_with(prefix);
        const LibraryNeed* need = need_of_module(root.manifest, name);
        if (need != nullptr && (!own || need->name.size() > root.manifest.name.size()))
            return find_needed(root, *need, name, span);
        std::vector<std::string> candidates;
        if (root.found) {
            if (own)
                candidates.push_back(root.folder + as_path(name.substr(prefix.size())));
            candidates.push_back(root.folder + as_path(name));
        }
        candidates.push_back(folder + as_path(name));
        for (const std::string& path : candidates) {
            if (const auto found = by_path_.find(path); found != by_path_.end()) {
                return found->second;
            }
            if (std::optional<std::string> text = from_.files.read(path, problem)) {
                return add(path, std::move(*text), name, false);
            }
        }
        Diagnostic& d = diagnostics_.report(
            DiagnosticKind::unknown_module, span,
            problem.empty() ? fmt::format("there is no module `{}`", name)
                            : fmt::format("module `{}` can't be read: {}", name, problem));
        std::string looked;
        for (const std::string& path : candidates) {
            looked += fmt::format("{}`{}`", looked.empty() ? "" : " and ", path);
        }
        d.note(fmt::format("looked for {}", looked));
        return none;
    }

    static std::string as_path(std::string dotted_name) {
        for (char& c : dotted_name) {
            if (c == '.')
                c = '/';
        }
        return dotted_name + ".fettle";
    }

    // A module of another library.
    ModuleId find_needed(Root& root, const LibraryNeed& need, const std::string& name, Span span) {
        std::string problem;
        auto known = root.needed.find(need.name);
        if (known == root.needed.end()) {
            std::optional<std::string> folder;
            if (from_.libraries != nullptr)
                folder = from_.libraries->find(root.folder, need, problem);
            else
                problem = fmt::format("the library `{}` can't be had here", need.name);
            if (!folder) {
                root.needed[need.name] = ""; // said once
                diagnostics_.report(DiagnosticKind::unmet_need, span, problem);
                return none;
            }
            known = root.needed.emplace(need.name, *folder).first;
        }
        if (known->second.empty())
            return none;
        const std::string path = known->second + as_path(name.substr(need.name.size() + 1));
        if (const auto found = by_path_.find(path); found != by_path_.end())
            return found->second;
        if (std::optional<std::string> text = from_.files.read(path, problem))
            return add(path, std::move(*text), name, false);
        if (problem.empty()) {
            diagnostics_
                .report(DiagnosticKind::unknown_module, span,
                        fmt::format("the library `{}` has no module `{}`", need.name, name))
                .note(fmt::format("looked for `{}`", path));
        } else {
            diagnostics_.report(DiagnosticKind::unmet_need, span,
                                fmt::format("module `{}` can't be read: {}", name, problem));
        }
        return none;
    }

    Program& program_;
    const ModuleSources& from_;
    Diagnostics& diagnostics_;
    std::unordered_map<std::string, ModuleId> by_path_;
    std::unordered_map<std::string, Root> roots_;
};

} // namespace

void load_modules(Program& program, const std::vector<std::string>& paths,
                  const std::vector<std::string_view>& always, const ModuleSources& from,
                  Diagnostics& diagnostics) {
    Loader loader(program, from, diagnostics);
    for (const std::string& path : paths)
        loader.ask_for(path);
    for (std::string_view name : always)
        loader.ask_for_standard(name);
    loader.follow_uses(always.empty() ? std::string_view() : "std.glaze_rules");
}

} // namespace fettle
