#include "compiler/library/difference.h"

#include "compiler/library/firing_facts.h"
#include "compiler/library/prints.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace fettle {
namespace {

// A version with what is public in it.
struct Side {
    const CompiledVersion& version;
    const Program& program;
    std::vector<std::string> own; // by module: its name below the library; "" where it is another's
    std::map<std::string, DeclarationId> names;
    Prints prints;

    explicit Side(const CompiledVersion& compiled)
        : version(compiled), program(compiled.compilation().program()), prints(program) {
        constexpr std::string_view ending = ".fettle";
        for (const Module& module : program.modules) {
            std::string path = (*program.sources)[module.file].path();
            const bool is_own = !module.standard && !path.starts_with("../") &&
                                module.library == program.modules[0].library &&
                                path.ends_with(ending) && path != CompiledVersion::more_name;
            path = is_own ? path.substr(0, path.size() - ending.size()) : "";
            std::replace(path.begin(), path.end(), '/', '.');
            own.push_back(std::move(path));
        }
        for (DeclarationId id = 0; id < program.declarations.size(); ++id) {
            const Declaration& declaration = program.declarations[id];
            if (declaration.name != 0 && !declaration.is_private &&
                !own[declaration.module].empty())
                names.emplace(
                    fmt::format("{}.{}", own[declaration.module], program.name(declaration.name)),
                    id);
        }
    }
    const Declaration& at(DeclarationId id) const { return program.declarations[id]; }
    std::string what(DeclarationId id) const {
        return at(id).kind == DeclarationKind::profile
                   ? std::string(to_string(program.profiles[at(id).profile].kind))
                   : std::string(to_string(at(id).kind));
    }
};

std::string_view source_of_type(const Side& side, const Declaration& declaration,
                                const Parameter& parameter) {
    const Module& module = side.program.modules[declaration.module];
    return module.tree.source(module.child(parameter.node, 1));
}

// How callers have to change: lines that break them, and others.
struct Signature {
    std::vector<std::string> breaking, adding;
};
Signature compare_signatures(const Side& a, DeclarationId x, const Side& b, DeclarationId y) {
    Signature found;
    const auto before = a.program.parameters_of(a.at(x));
    const auto after = b.program.parameters_of(b.at(y));
    const auto name = [](const Side& side, const Parameter& parameter) {
        return side.program.name(parameter.name);
    };
    for (std::size_t i = 0; i < before.size(); ++i) {
        const auto same = std::find_if(after.begin(), after.end(), [&](const Parameter& p) {
            return name(b, p) == name(a, before[i]);
        });
        if (same == after.end()) {
            found.breaking.push_back(fmt::format("takes no `{}` any more", name(a, before[i])));
        } else if (static_cast<std::size_t>(same - after.begin()) != i) {
            found.breaking.push_back(
                fmt::format("takes `{}` at another place", name(a, before[i])));
        } else if (source_of_type(a, a.at(x), before[i]) != source_of_type(b, b.at(y), *same)) {
            found.breaking.push_back(fmt::format("takes another kind of `{}`", name(a, before[i])));
        } else if (before[i].default_value != none && same->default_value == none) {
            found.breaking.push_back(fmt::format("needs `{}` to be given", name(a, before[i])));
        }
    }
    for (const Parameter& parameter : after) {
        const bool is_new = std::none_of(before.begin(), before.end(), [&](const Parameter& p) {
            return name(a, p) == name(b, parameter);
        });
        if (!is_new)
            continue;
        if (parameter.default_value == none)
            found.breaking.push_back(fmt::format("needs `{}` to be given", name(b, parameter)));
        else
            found.adding.push_back(fmt::format("may be given `{}`", name(b, parameter)));
    }
    return found;
}

// Value by value, where both have them.
std::vector<std::string> compare_profiles(const Side& a, const Profile& x, const Side& b,
                                          const Profile& y) {
    std::vector<std::string> lines;
    const auto fields = fields_of(holder_of(x.kind));
    for (std::size_t i = 0; i < fields.size() && i < x.fields.size() && i < y.fields.size(); ++i) {
        const auto printed = [&](const Side& side, const Value& value) {
            return value.known() ? print_value(side.program, value,
                                               field_type(fields[i], *side.program.types))
                                 : std::string("not given");
        };
        if (fields[i].computed)
            continue;
        const std::string was = printed(a, x.fields[i]);
        const std::string is = printed(b, y.fields[i]);
        if (was != is)
            lines.push_back(fmt::format("{} is {}, was {}", fields[i].name, is, was));
    }
    return lines;
}

class Comparing {
  public:
    Comparing(const Side& a, const Side& b, Prints& before, Prints& after, Difference& result)
        : a_(a), b_(b), before_(before), after_(after), result_(result) {}

    // All but what has to be compiled, which goes into `firings` and `sampled`.
    void compare_names() {
        for (const auto& [name, id] : a_.names) {
            const auto same = b_.names.find(name);
            if (same == b_.names.end() || a_.what(id) != b_.what(same->second)) {
                change(ChangeKind::removed, VersionStep::major, a_.what(id), name);
            } else {
                compare(name, id, same->second);
            }
        }
        for (const auto& [name, id] : b_.names) {
            const auto same = a_.names.find(name);
            if (same == a_.names.end() || a_.what(same->second) != b_.what(id))
                change(ChangeKind::added, VersionStep::minor, b_.what(id), name);
        }
    }

    struct Pair {
        std::string name;
        DeclarationId before, after;
    };
    std::vector<Pair> firings, sampled;

    Change& change(ChangeKind kind, VersionStep step, std::string what, std::string name) {
        Change& added = result_.changes.emplace_back();
        added.kind = kind;
        added.step = step;
        added.what = std::move(what);
        added.name = std::move(name);
        return added;
    }

    void same_meaning(const std::string& name, DeclarationId x, DeclarationId y) {
        if (before_.words(x) == after_.words(y)) {
            ++result_.same;
            return;
        }
        change(ChangeKind::words, VersionStep::patch, b_.what(y), name);
    }

  private:
    void compare(const std::string& name, DeclarationId x, DeclarationId y) {
        if (before_.meaning(x) == after_.meaning(y))
            return same_meaning(name, x, y);
        const DeclarationKind kind = a_.at(x).kind;
        if (kind == DeclarationKind::firing) {
            firings.push_back({name, x, y});
            return;
        }
        const Signature signature = compare_signatures(a_, x, b_, y);
        if (!signature.breaking.empty()) {
            change(ChangeKind::changed, VersionStep::major, b_.what(y), name).lines =
                signature.breaking;
            return;
        }
        if (!signature.adding.empty())
            change(ChangeKind::added, VersionStep::minor, b_.what(y), name).lines =
                signature.adding;
        if (kind == DeclarationKind::template_ || kind == DeclarationKind::phase) {
            sampled.push_back({name, x, y});
            return;
        }
        Change& found = change(ChangeKind::changed, VersionStep::major, b_.what(y), name);
        if (kind == DeclarationKind::profile) {
            found.lines = compare_profiles(a_, a_.program.profiles[a_.at(x).profile], b_,
                                           b_.program.profiles[b_.at(y).profile]);
        } else if (kind == DeclarationKind::constant) {
            found.lines.push_back(
                fmt::format("is {}, was {}", print_value(b_.program, b_.at(y).value, b_.at(y).type),
                            print_value(a_.program, a_.at(x).value, a_.at(x).type)));
        }
        if (found.lines.empty())
            found.lines.emplace_back("it, or what it stands on, is otherwise");
    }

    const Side& a_;
    const Side& b_;
    Prints& before_;
    Prints& after_;
    Difference& result_;
};

std::vector<DeclarationId> column(const std::vector<Comparing::Pair>& pairs, bool after) {
    std::vector<DeclarationId> ids;
    for (const Comparing::Pair& pair : pairs)
        ids.push_back(after ? pair.after : pair.before);
    return ids;
}

void put_curves(Change& change, FiringFacts& before, FiringFacts& after) {
    if (before.ok && after.ok)
        change.curves = CurvePair{std::move(before.schedule), std::move(after.schedule)};
}

void compare_firings(Comparing& comparing, const Side& a, const Side& b, unsigned threads,
                     Difference& result) {
    const auto& pairs = comparing.firings;
    std::vector<FiringFacts> before =
        compile_facts(a.version.compilation(), column(pairs, false), threads);
    std::vector<FiringFacts> after =
        compile_facts(b.version.compilation(), column(pairs, true), threads);
    result.tried += pairs.size();
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        std::vector<std::string> lines = differences(before[i], after[i]);
        if (lines.empty()) {
            comparing.same_meaning(pairs[i].name, pairs[i].before, pairs[i].after);
            continue;
        }
        Change& change =
            comparing.change(ChangeKind::changed, VersionStep::major, "firing", pairs[i].name);
        change.lines = std::move(lines);
        put_curves(change, before[i], after[i]);
    }
}

// By the names of the made-up firings; one that did not even pass the checker is not there.
std::map<std::string, FiringFacts> facts_of_samples(const CompiledVersion& version,
                                                    unsigned threads) {
    const Compilation& compilation = version.compilation();
    const Program& program = compilation.program();
    std::vector<DeclarationId> firings;
    for (const DeclarationId id : compilation.firings()) {
        const FileId file = program.modules[program.declarations[id].module].file;
        if (compilation.sources()[file].path() == CompiledVersion::more_name)
            firings.push_back(id);
    }
    std::vector<FiringFacts> facts = compile_facts(compilation, firings, threads);
    std::map<std::string, FiringFacts> named;
    for (std::size_t i = 0; i < firings.size(); ++i)
        named.emplace(program.name(program.declarations[firings[i]].name), std::move(facts[i]));
    return named;
}

// One side of a comparison: a version, and libraries that it takes from elsewhere.
struct Setting {
    const LibraryVersion& version;
    std::map<std::string, const Library*> replaced = {};
};

void compare_samples(Comparing& comparing, const Side& a, const Setting& before,
                     const Setting& after, const Cache& cache, unsigned threads,
                     Difference& result) {
    if (comparing.sampled.empty())
        return;
    const Samples samples = make_samples(a.program, a.own, column(comparing.sampled, false));
    const CompiledVersion old_with(before.version, cache, samples.source, before.replaced);
    const CompiledVersion new_with(after.version, cache, samples.source, after.replaced);
    auto old_facts = facts_of_samples(old_with, threads);
    auto new_facts = facts_of_samples(new_with, threads);
    for (std::size_t i = 0; i < samples.declarations.size(); ++i) {
        const SampledDeclaration& declaration = samples.declarations[i];
        const Comparing::Pair& pair = comparing.sampled[i];
        const std::string what = a.what(pair.before);
        if (!declaration.untried.empty()) {
            // Nobody can tell: taken for changed, since it is written otherwise.
            comparing.change(ChangeKind::changed, VersionStep::major, what, pair.name).lines = {
                fmt::format("is written otherwise; {}", declaration.untried)};
            result.untried.push_back(fmt::format("{}: {}", pair.name, declaration.untried));
            continue;
        }
        std::size_t differing = 0;
        std::size_t compiled = 0;
        std::optional<Change> first;
        for (const Sample& sample : declaration.samples) {
            FiringFacts& x = old_facts[sample.firing];
            FiringFacts& y = new_facts[sample.firing];
            compiled += x.ok || y.ok ? 1 : 0;
            std::vector<std::string> lines = differences(x, y);
            if (lines.empty())
                continue;
            ++differing;
            // One that compiles on both sides tells more than one that is refused.
            if (first && (first->curves || !x.ok || !y.ok))
                continue;
            first.emplace();
            first->sample = sample.arguments;
            first->lines = std::move(lines);
            put_curves(*first, x, y);
        }
        result.tried += declaration.samples.size();
        if (differing == 0 && compiled > 0) {
            comparing.same_meaning(pair.name, pair.before, pair.after);
            continue;
        }
        Change& change = comparing.change(ChangeKind::changed, VersionStep::major, what, pair.name);
        if (!first) {
            change.lines = {"is written otherwise; no sample of it compiles"};
            result.untried.push_back(fmt::format("{}: no sample of it compiles", pair.name));
            continue;
        }
        change.sample = first->sample;
        change.lines = std::move(first->lines);
        change.lines.push_back(
            fmt::format("differs in {} of {} samples", differing, declaration.samples.size()));
        change.curves = std::move(first->curves);
    }
}

bool compiles(const CompiledVersion& version, const LibraryVersion& what, std::string& problem) {
    problem = version.first_error();
    if (!problem.empty())
        problem =
            fmt::format("{} {} has errors: {}", what.library.manifest.name, what.shown, problem);
    return problem.empty();
}

void finish(Difference& result) {
    for (const Change& change : result.changes)
        result.demands = std::max(result.demands, change.step);
    std::stable_sort(result.changes.begin(), result.changes.end(),
                     [](const Change& a, const Change& b) {
                         return std::tie(b.step, a.kind, a.name) < std::tie(a.step, b.kind, b.name);
                     });
}

Difference compared(const Setting& before, const Setting& after, const CompiledVersion& x,
                    const CompiledVersion& y, const Cache& cache, unsigned threads) {
    Difference result;
    result.library = after.version.library.manifest.name;
    result.before = before.version.shown;
    result.after = after.version.shown;
    result.last = before.version.library.version;
    result.now = after.version.library.version;
    Side a(x);
    Side b(y);
    Comparing comparing(a, b, a.prints, b.prints, result);
    comparing.compare_names();
    compare_firings(comparing, a, b, threads, result);
    compare_samples(comparing, a, before, after, cache, threads, result);
    return result;
}

// Things that are no names: the licence, what the library needs, its other files.
void compare_rest(const LibraryVersion& before, const LibraryVersion& after, Difference& result) {
    const auto add = [&](VersionStep step, std::string name, std::string line) {
        Change& change = result.changes.emplace_back();
        change.kind = step == VersionStep::patch ? ChangeKind::words : ChangeKind::changed;
        change.step = step;
        change.what = "library";
        change.name = std::move(name);
        change.lines.push_back(std::move(line));
    };
    const Manifest& a = before.library.manifest;
    const Manifest& b = after.library.manifest;
    if (a.licence != b.licence)
        add(VersionStep::minor, "licence", fmt::format("is {}, was {}", b.licence, a.licence));
    const auto needs = [](const Manifest& manifest) {
        std::map<std::string, std::string> found;
        for (const LibraryNeed& need : manifest.needs)
            found[need.name] = need.version;
        return found;
    };
    const auto old_needs = needs(a);
    for (const auto& [name, version] : needs(b)) {
        const auto was = old_needs.find(name);
        if (was == old_needs.end() || was->second != version)
            add(VersionStep::minor, "needs " + name,
                fmt::format("{}, was {}", version,
                            was == old_needs.end() ? "not needed" : was->second));
    }
    const auto without_manifest = [](const Library& library) {
        std::vector<FileHash> hashes = hashes_of(library.contents);
        std::erase_if(hashes, [](const FileHash& hash) { return hash.path == manifest_name; });
        return hashes;
    };
    if (result.changes.empty() &&
        without_manifest(before.library) != without_manifest(after.library))
        add(VersionStep::patch, "files", "something else is written otherwise");
}

} // namespace

std::string_view to_string(ChangeKind kind) {
    constexpr std::string_view words[] = {"gone", "changed", "new", "words"};
    return words[static_cast<std::size_t>(kind)];
}

std::optional<Difference> difference(const LibraryVersion& before, const LibraryVersion& after,
                                     const Cache& cache, unsigned threads, std::string& problem) {
    if (before.library.manifest.name != after.library.manifest.name) {
        problem = fmt::format("`{}` and `{}` are two libraries, not two versions of one",
                              before.library.manifest.name, after.library.manifest.name);
        return std::nullopt;
    }
    const CompiledVersion x(before, cache);
    const CompiledVersion y(after, cache);
    if (!compiles(x, before, problem) || !compiles(y, after, problem))
        return std::nullopt;
    Difference result = compared({before}, {after}, x, y, cache, threads);
    compare_rest(before, after, result);
    finish(result);
    return result;
}

std::optional<Difference> difference_for(const LibraryVersion& mine, const LibraryVersion& before,
                                         const LibraryVersion& after, const Cache& cache,
                                         unsigned threads, std::string& problem) {
    const std::string& name = after.library.manifest.name;
    const auto& needs = mine.library.manifest.needs;
    if (std::none_of(needs.begin(), needs.end(),
                     [&](const LibraryNeed& need) { return need.name == name; })) {
        problem = fmt::format("{} does not need {}", mine.library.manifest.name, name);
        return std::nullopt;
    }
    const Setting with_before{mine, {{name, &before.library}}};
    const Setting with_after{mine, {{name, &after.library}}};
    const CompiledVersion x(mine, cache, "", with_before.replaced);
    const CompiledVersion y(mine, cache, "", with_after.replaced);
    if (!compiles(x, mine, problem))
        return std::nullopt;
    Difference result;
    if (const std::string error = y.first_error(); !error.empty()) {
        result.library = mine.library.manifest.name;
        Change& change = result.changes.emplace_back();
        change.kind = ChangeKind::removed;
        change.step = VersionStep::major;
        change.what = "library";
        change.name = mine.library.manifest.name;
        change.lines.push_back(fmt::format("compiles no longer: {}", error));
    } else {
        result = compared(with_before, with_after, x, y, cache, threads);
    }
    result.before = fmt::format("{} {}", name, before.shown);
    result.after = fmt::format("{} {}", name, after.shown);
    finish(result);
    return result;
}

Version lowest_version(const Difference& difference) {
    return next_version(difference.last, difference.demands);
}

} // namespace fettle
