#include "compiler/compiler.h"

#include "compiler/prepare/prepared.h"
#include "compiler/source/embedded.h"
#include "compiler/source/sha256.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <span>
#include <thread>
#include <unordered_map>

namespace fettle {

std::span<const EmbeddedFile> standard_library_files(); // made by fettle_embed

namespace {

// Modules are named "std/bodies.fettle", and lie in the folder of the library itself.
std::string_view without_std(std::string_view path) {
    return path.starts_with("std/") ? path.substr(4) : path;
}

// Nothing: there is no such file.
const EmbeddedFile* standard_file(std::string_view path) {
    for (const EmbeddedFile& file : standard_library_files()) {
        if (file.name == without_std(path))
            return &file;
    }
    return nullptr;
}

std::span<const Node> standard_nodes(std::string_view path) {
    for (const PreparedTree& tree : prepared_trees()) {
        if (tree.name == without_std(path))
            return tree.nodes;
    }
    return {};
}

std::string hash_of(const Module& module, const SourceFile& file) {
    const EmbeddedFile* known = module.standard ? standard_file(file.path()) : nullptr;
    return known != nullptr ? std::string(known->sha256) : sha256_of(file.text());
}

// Diagnostics of many firings as one list: the same fault at the same place once.
class Merging {
  public:
    explicit Merging(Diagnostics& into) : into_(into) {}

    void add(Diagnostics&& from) {
        for (const Diagnostic& diagnostic : from.all()) {
            const Key key{diagnostic.span, diagnostic.kind, diagnostic.level, diagnostic.subject};
            const auto found = seen_.find(key);
            if (found != seen_.end()) {
                ++found->second.others;
                continue;
            }
            seen_.emplace(key, Seen{merged_.size(), 0});
            merged_.push_back(diagnostic);
        }
    }

    void finish() {
        for (const auto& [key, seen] : seen_) {
            if (seen.others == 0)
                continue;
            merged_[seen.index].note(fmt::format("the same in {} other firing{}", seen.others,
                                                 seen.others == 1 ? "" : "s"));
        }
        for (Diagnostic& diagnostic : merged_)
            into_.add(std::move(diagnostic));
    }

  private:
    struct Key {
        Span span;
        DiagnosticKind kind;
        Level level;
        std::string subject;
        bool operator==(const Key&) const = default;
    };
    struct Hash {
        std::size_t operator()(const Key& key) const {
            return (std::size_t{key.span.file} * 31 + key.span.begin) * 1000003 + key.span.end * 7 +
                   static_cast<std::size_t>(key.kind) + std::hash<std::string>()(key.subject);
        }
    };
    struct Seen {
        std::size_t index;
        std::size_t others;
    };
    Diagnostics& into_;
    std::vector<Diagnostic> merged_;
    std::unordered_map<Key, Seen, Hash> seen_;
};

} // namespace

std::string_view compiler_version() {
    return FETTLE_VERSION;
}

std::string_view standard_library_version() {
    return "1.0.0";
}

std::string_view StandardLibrary::text(std::string_view path) {
    const EmbeddedFile* found = standard_file(path);
    return found != nullptr ? found->text : std::string_view{};
}

std::optional<std::string> StandardLibrary::read(const std::string& path, std::string&) {
    const std::string_view found = text(path);
    if (found.data() == nullptr)
        return std::nullopt;
    return std::string(found);
}

std::vector<std::string> StandardLibrary::modules() {
    constexpr std::string_view ending = ".fettle";
    std::vector<std::string> names;
    for (const EmbeddedFile& file : standard_library_files()) {
        if (file.name.size() <= ending.size() ||
            file.name.substr(file.name.size() - ending.size()) != ending) {
            continue;
        }
        std::string name(file.name.substr(0, file.name.size() - ending.size()));
        std::replace(name.begin(), name.end(), '/', '.');
        names.push_back("std." + name);
    }
    return names;
}

Compilation::Compilation(const std::vector<std::string>& paths, SourceProvider& files,
                         Diagnostics& diagnostics, RulesAlwaysOn always, LibraryFinder* libraries)
    : ceramics_(prepared_cones(), StandardLibrary::text) {
    std::vector<std::string_view> modules;
    if (always == RulesAlwaysOn::standard)
        modules.push_back("std.rules");
    program_ = check_program(
        paths, modules,
        {files, standard_, sources_, StandardLibrary::modules(), libraries, standard_nodes},
        ceramics_, diagnostics);
    for (const Module& module : program_->modules) {
        const std::string& path = sources_[module.file].path();
        if (std::find(paths.begin(), paths.end(), path) != paths.end())
            ++asked_for_modules_;
        origin_.files.push_back({path, hash_of(module, sources_[module.file])});
    }
    if (asked_for_modules_ > 0) {
        origin_.library = program_->modules[0].library;
        origin_.library_version = program_->modules[0].library_version;
    }
    rules_ = std::make_unique<RuleBook>(*program_);
    context_ = std::make_unique<CompileContext>(
        CompileContext{*program_, ceramics_, *rules_, &origin_, compiler_version()});
}

std::vector<DeclarationId> Compilation::asked_for(DeclarationKind kind) const {
    std::vector<DeclarationId> found;
    for (DeclarationId id = 0; id < program_->declarations.size(); ++id) {
        const Declaration& declaration = program_->declarations[id];
        if (declaration.kind == kind && declaration.usable &&
            declaration.module < asked_for_modules_) {
            found.push_back(id);
        }
    }
    return found;
}

std::vector<DeclarationId> Compilation::firings() const {
    return asked_for(DeclarationKind::firing);
}

std::vector<DeclarationId> Compilation::glazes() const {
    std::vector<DeclarationId> found = asked_for(DeclarationKind::profile);
    std::erase_if(found, [this](DeclarationId id) {
        const Profile& profile = program_->profiles[program_->declarations[id].profile];
        return profile.kind != ProfileKind::glaze ||
               (profile.chemistry == none && profile.family == none);
    });
    return found;
}

std::vector<const Memory*> Compilation::memories() const {
    std::vector<const Memory*> found;
    for (const Memory& memory : program_->memories) {
        if (program_->declarations[memory.declaration].module < asked_for_modules_)
            found.push_back(&memory);
    }
    return found;
}

std::vector<DeclarationId> Compilation::tests() const {
    return asked_for(DeclarationKind::test);
}

DeclarationId Compilation::find_firing(std::string_view name) const {
    for (DeclarationId id : firings()) {
        if (program_->name(program_->declarations[id].name) == name)
            return id;
    }
    return none;
}

std::vector<std::string_view> Compilation::firing_names() const {
    std::vector<std::string_view> names;
    for (const Declaration& declaration : program_->declarations) {
        if (declaration.kind == DeclarationKind::firing &&
            declaration.module < asked_for_modules_) {
            names.push_back(program_->name(declaration.name));
        }
    }
    return names;
}

void Compilation::compile_all(const std::vector<DeclarationId>& firings, unsigned threads,
                              Diagnostics& diagnostics,
                              const std::function<void(std::size_t, const CompiledFiring&)>& use,
                              const std::function<void(std::size_t, std::size_t)>& deliver) const {
    context_->ceramics.shelf_cones(); // fitted before the threads start
    std::vector<Diagnostics> reported(std::min(compile_slots, firings.size()));
    Merging merging(diagnostics);
    const auto hand_over = [&](std::size_t begin, std::size_t end) {
        for (std::size_t i = begin; i < end; ++i) {
            merging.add(std::move(reported[i % compile_slots]));
            reported[i % compile_slots] = {};
        }
        deliver(begin, end);
    };
    constexpr std::size_t round = compile_slots / 2;
    std::size_t done = 0; // the end of the round before
    for (std::size_t begin = 0; begin < firings.size(); begin += round) {
        const std::size_t end = std::min(begin + round, firings.size());
        std::atomic<std::size_t> next = begin;
        const auto work = [&] {
            CompiledFiring compiled; // used again, so that its memory is
            for (std::size_t i = next++; i < end; i = next++) {
                compile_firing(*context_, firings[i], compiled, reported[i % compile_slots]);
                use(i, compiled);
            }
        };
        std::vector<std::thread> others;
        for (unsigned t = 1; t < threads && t < end - begin; ++t)
            others.emplace_back(work);
        if (begin > 0)
            hand_over(begin - round, done); // while the others are at this one
        work();
        for (std::thread& other : others)
            other.join();
        done = end;
    }
    if (done > 0)
        hand_over((done - 1) / round * round, done);
    merging.finish();
}

} // namespace fettle
