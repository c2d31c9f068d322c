#include "compiler/library/resolve.h"

#include "compiler/library/files.h"
#include "compiler/library/git.h"
#include "compiler/library/sources.h"
#include "compiler/source/sha256.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

constexpr int most_attempts = 100000;

// Somebody wants a library.
struct Demand {
    std::string name;
    NeededVersion needed;
    std::string written;    // the version as it is written
    std::string by;         // who: "harbour_row.common", "tidewater.kilns 0.2.0"
    std::string from;       // where, as it is written
    std::string base;       // folder that a path in `from` is seen from
    std::string shelf;      // where archives of the one that asks lie; empty: it is none
    bool published = false; // the one that asks is no folder
};

struct Choice {
    std::string name;
    Offer* offer;
};

class Resolver {
  public:
    Resolver(const ResolveRequest& request, const Cache& cache, std::string& problem)
        : request_(request), cache_(cache), places_(request.root, cache), problem_(problem) {}

    std::optional<Lock> run() {
        std::optional<Library> own;
        if (request_.library == nullptr) {
            own = read_library_folder(request_.root, problem_);
            if (!own) {
                problem_ = fmt::format("`{}library.fettle`: {}", request_.root, problem_);
                return std::nullopt;
            }
        }
        const Manifest& manifest = own ? own->manifest : request_.library->manifest;
        root_name_ = manifest.name;
        if (!demand_all(manifest, root_name_, "", request_.shelf, false))
            return std::nullopt;
        if (!solve(0)) {
            problem_ = why_.empty() ? "no versions were found that fit together" : why_;
            return std::nullopt;
        }
        return lock();
    }

  private:
    bool refuse(std::string why) {
        if (why_.empty()) // what failed first is what was wanted most
            why_ = std::move(why);
        return false;
    }

    bool demand_all(const Manifest& manifest, const std::string& by, const std::string& base,
                    const std::string& shelf, bool published) {
        for (const LibraryNeed& need : manifest.needs) {
            const auto needed = parse_needed_version(need.version);
            if (!needed) {
                problem_ = fmt::format("{} needs `{}` in a version `{}`, which is none", by,
                                       need.name, need.version);
                return refuse(problem_);
            }
            if (need.name == "std") {
                if (!satisfies(*parse_version(request_.standard), *needed)) {
                    problem_ = fmt::format("{} needs std {}, but this Fettle has std {}", by,
                                           need.version, request_.standard);
                    return refuse(problem_);
                }
                continue;
            }
            demands_.push_back(
                {need.name, *needed, need.version, by, need.from, base, shelf, published});
        }
        return true;
    }

    static std::string name_in(const std::string& who) { return who.substr(0, who.find(' ')); }

    // "`a` needs `b`, which needs `a`": how the demand closes a circle; empty: it does not.
    std::string circle(const Demand& demand) const {
        const std::string end = name_in(demand.by);
        std::vector<std::pair<std::string, std::string>> paths = {
            {demand.name, fmt::format("`{}` needs `{}`", end, demand.name)}};
        for (std::size_t i = 0; i < paths.size(); ++i) { // grows while it runs
            if (paths[i].first == end)
                return paths[i].second;
            for (const Demand& next : demands_) {
                const bool known = std::any_of(paths.begin(), paths.end(), [&](const auto& path) {
                    return path.first == next.name;
                });
                if (name_in(next.by) == paths[i].first && !known)
                    paths.emplace_back(
                        next.name, fmt::format("{}, which needs `{}`", paths[i].second, next.name));
            }
        }
        return "";
    }

    bool solve(std::size_t next) {
        if (next == demands_.size())
            return true;
        if (++attempts_ > most_attempts)
            return refuse("there are too many ways to put these libraries together");
        const Demand demand = demands_[next];
        if (const std::string found = circle(demand); !found.empty())
            return refuse(fmt::format("libraries need each other in a circle: {}", found));
        for (const Choice& choice : chosen_) {
            if (choice.name != demand.name)
                continue;
            return satisfies(choice.offer->version, demand.needed) ? solve(next + 1)
                                                                   : refuse_two(demand);
        }
        return try_offers(next, demand);
    }

    bool try_offers(std::size_t next, const Demand& demand) {
        std::string problem;
        Offer* const locked = locked_offer(demand);
        if (locked != nullptr && try_offer(next, demand, *locked))
            return true;
        Offers* const offers = offers_for(demand, problem);
        if (offers == nullptr)
            return refuse(problem);
        bool fits = false;
        for (Offer& offer : *offers) {
            if (!satisfies(offer.version, demand.needed))
                continue;
            fits = true;
            if (try_offer(next, demand, offer))
                return true;
        }
        return fits ? false : refuse_none(demand, *offers);
    }

    bool try_offer(std::size_t next, const Demand& demand, Offer& offer) {
        std::string problem;
        if (!places_.load(offer, demand.name, problem) ||
            !is_what_was_locked(demand, offer, problem))
            return refuse(problem);
        const std::size_t before = demands_.size();
        chosen_.push_back({demand.name, &offer});
        const std::string who = fmt::format("{} {}", demand.name, to_string(offer.version));
        const bool folder = offer.source.kind == SourceKind::folder;
        const std::string base = folder ? folder_from("", offer.source.place) : "";
        if (demand_all(offer.library->manifest, who, base, offer.shelf, !folder) &&
            solve(next + 1)) {
            return true;
        }
        chosen_.pop_back();
        demands_.resize(before);
        return false;
    }

    // The same version must be the same files, or somebody changed what never changes.
    bool is_what_was_locked(const Demand& demand, const Offer& offer, std::string& problem) {
        const LockedLibrary* const before =
            request_.before ? find_library(*request_.before, demand.name) : nullptr;
        if (before == nullptr || before->version != to_string(offer.version))
            return true;
        const std::vector<FileHash> hashes = hashes_of(offer.library->contents);
        if (digest_of(hashes) == before->digest)
            return true;
        const bool folder = offer.source.kind == SourceKind::folder;
        if (folder && request_.update)
            return true;
        std::string file = "a file is missing in it";
        for (const FileHash& hash : hashes) {
            if (std::find(before->files.begin(), before->files.end(), hash) == before->files.end())
                file = fmt::format("`{}` is another", hash.path);
        }
        if (folder) {
            problem = fmt::format("the folder `{}` of {} has changed since it was locked ({}); "
                                  "`fettle library resolve --update` takes the change",
                                  offer.source.place, demand.name, file);
        } else {
            problem = fmt::format(
                "{} {} from `{}` is not what was locked: {}. {} Ask its makers; to take it all the "
                "same, delete its lines from `library.lock`",
                demand.name, before->version, offer.source.place, file,
                offer.source.kind == SourceKind::git
                    ? fmt::format("The tag `{}` was moved.", offer.source.tag)
                    : "A published version never changes.");
        }
        return false;
    }

    // What was locked, where it is still wanted and at hand.
    Offer* locked_offer(const Demand& demand) {
        const LockedLibrary* const before = request_.before && !request_.update
                                                ? find_library(*request_.before, demand.name)
                                                : nullptr;
        if (before == nullptr)
            return nullptr;
        const std::optional<Version> version = parse_version(before->version);
        if (!version || !satisfies(*version, demand.needed) || !comes_from(demand, *before))
            return nullptr;
        std::string problem;
        Offer offer{*version, before->source, std::nullopt, ""};
        if (before->source.kind == SourceKind::archive)
            offer.shelf = parent_of(before->source.place);
        if (before->source.kind != SourceKind::folder) {
            if (!cache_.holds(before->digest, before->files, problem)) {
                // Only the same again will do; it is fetched from where it came.
                if (!places_.load(offer, demand.name, problem))
                    return nullptr;
            } else {
                offer.library = read_library_folder(cache_.folder_of(before->digest), problem);
            }
        }
        return locked_.emplace_back(std::make_unique<Offer>(std::move(offer))).get();
    }

    static std::string parent_of(const std::string& place) {
        const std::size_t slash = place.rfind('/');
        return slash == std::string::npos ? "." : place.substr(0, slash);
    }

    // Was it locked from where the demand says? One that says nothing takes it from anywhere.
    static bool comes_from(const Demand& demand, const LockedLibrary& before) {
        if (demand.from.empty() || demand.published)
            return true;
        const std::optional<std::string> git = git_address(demand.from);
        if (git.has_value() != (before.source.kind == SourceKind::git))
            return false;
        std::string place = git ? *git : demand.from;
        if (!git && place.starts_with("file://"))
            place.erase(0, 7);
        if (!git || place.starts_with("./") || place.starts_with("../"))
            place = file_from(demand.base, place);
        return place == before.source.place || (place.empty() && before.source.place == ".") ||
               (before.source.kind == SourceKind::archive &&
                parent_of(before.source.place) == place);
    }

    Offers* offers_for(const Demand& demand, std::string& problem) {
        // What the library itself says about the place goes before what others say.
        for (const Demand& other : demands_) {
            if (other.name == demand.name && other.by == root_name_ && !other.from.empty())
                return places_.offers("", other.from, demand.name, problem);
        }
        if (!demand.from.empty()) {
            if (demand.published && !is_public_address(demand.from)) {
                problem =
                    fmt::format("{} takes `{}` from `{}`, which means nothing here: add "
                                "`needs {} {} from \"…\"` to your own `library.fettle`",
                                demand.by, demand.name, demand.from, demand.name, demand.written);
                return nullptr;
            }
            return places_.offers(demand.base, demand.from, demand.name, problem);
        }
        if (!demand.shelf.empty()) {
            if (Offers* offers = places_.offers_on_shelf(demand.shelf, demand.name, problem))
                return offers;
        }
        for (const Demand& other : demands_) { // somebody else knows
            if (other.name == demand.name && !other.from.empty() && !other.published)
                return places_.offers(other.base, other.from, demand.name, problem);
        }
        problem = fmt::format("{} needs `{}` {}, but nobody says where it comes from: add "
                              "`needs {} {} from \"…\"` to your `library.fettle`",
                              demand.by, demand.name, demand.written, demand.name, demand.written);
        return nullptr;
    }

    std::string demands_of(const std::string& name) const {
        std::string lines;
        for (const Demand& demand : demands_) {
            if (demand.name == name)
                lines += fmt::format("\n  {} asks for {} ({})", way_to(demand), demand.written,
                                     describe(demand.needed));
        }
        return lines;
    }

    // "tidewater.kilns 0.2.0, which harbour_row.common needs,"
    std::string way_to(const Demand& demand) const {
        for (const Choice& choice : chosen_) {
            if (demand.by != fmt::format("{} {}", choice.name, to_string(choice.offer->version)))
                continue;
            for (const Demand& above : demands_) {
                if (above.name == choice.name)
                    return fmt::format("{} (which {} needs)", demand.by, above.by);
            }
        }
        return demand.by;
    }

    bool refuse_two(const Demand& demand) {
        return refuse(fmt::format("two versions of `{}` are wanted at once, and there can be only "
                                  "one:{}",
                                  demand.name, demands_of(demand.name)));
    }

    bool refuse_none(const Demand& demand, const Offers& offers) {
        std::string versions;
        for (std::size_t i = 0; i < offers.size() && i < 8; ++i)
            versions += fmt::format("{}{}", i == 0 ? "" : ", ", to_string(offers[i].version));
        return refuse(fmt::format("no version of `{}` fits; there {} {}:{}", demand.name,
                                  offers.size() == 1 ? "is" : "are", versions,
                                  demands_of(demand.name)));
    }

    std::optional<Lock> lock() {
        Lock lock;
        lock.standard = request_.standard;
        for (const Choice& choice : chosen_) {
            const Library& library = *choice.offer->library;
            if (choice.offer->source.kind != SourceKind::folder &&
                !cache_.put(library.contents, problem_)) {
                return std::nullopt;
            }
            LockedLibrary locked;
            locked.name = choice.name;
            locked.version = to_string(choice.offer->version);
            locked.source = choice.offer->source;
            for (const Demand& demand : demands_) {
                if (demand.name == choice.name)
                    locked.wanted.push_back({demand.written, demand.by});
            }
            locked.files = hashes_of(library.contents);
            locked.digest = digest_of(locked.files);
            lock.libraries.push_back(std::move(locked));
        }
        std::sort(lock.libraries.begin(), lock.libraries.end(),
                  [](const LockedLibrary& a, const LockedLibrary& b) { return a.name < b.name; });
        return lock;
    }

    const ResolveRequest& request_;
    const Cache& cache_;
    Places places_;
    std::string& problem_;
    std::string root_name_;
    std::string why_;
    std::vector<Demand> demands_;
    std::vector<Choice> chosen_;
    std::vector<std::unique_ptr<Offer>> locked_;
    int attempts_ = 0;
};

} // namespace

std::optional<Lock> resolve(const ResolveRequest& request, const Cache& cache,
                            std::string& problem) {
    return Resolver(request, cache, problem).run();
}

std::vector<std::string> verify(const std::string& root, const Lock& lock, const Cache& cache) {
    std::vector<std::string> wrong;
    for (const LockedLibrary& library : lock.libraries) {
        const bool folder = library.source.kind == SourceKind::folder;
        const std::string at =
            folder ? folder_from(root, library.source.place) : cache.folder_of(library.digest);
        for (const FileHash& file : library.files) {
            std::string why;
            const std::optional<std::string> bytes =
                read_file(at + file.path, largest_library_file, why);
            if (bytes && sha256_of(*bytes) == file.sha256)
                continue;
            wrong.push_back(fmt::format("{} {}: `{}`: {}", library.name, library.version,
                                        folder ? at + file.path : file.path,
                                        bytes ? "it is not what was locked" : why));
        }
    }
    return wrong;
}

std::vector<std::string> verify_sources(const std::string& root, const Lock& lock,
                                        const Cache& cache) {
    std::vector<std::string> wrong;
    Places places(root, cache);
    for (const LockedLibrary& library : lock.libraries) {
        if (library.source.kind == SourceKind::folder)
            continue; // `verify` has looked into it
        std::string problem;
        const std::string from = library.source.kind == SourceKind::git
                                     ? "git:" + library.source.place
                                     : library.source.place;
        Offers* const offers = places.offers("", from, library.name, problem);
        if (offers == nullptr) {
            wrong.push_back(fmt::format("{} {}: {}", library.name, library.version, problem));
            continue;
        }
        const auto same = std::find_if(offers->begin(), offers->end(), [&](const Offer& offer) {
            return to_string(offer.version) == library.version;
        });
        if (same == offers->end()) {
            wrong.push_back(fmt::format("{} {}: `{}` has that version no longer", library.name,
                                        library.version, library.source.place));
        } else if (library.source.kind == SourceKind::git &&
                   same->source.commit != library.source.commit) {
            wrong.push_back(fmt::format("{} {}: the tag `{}` of `{}` was moved", library.name,
                                        library.version, library.source.tag, library.source.place));
        } else if (library.source.kind == SourceKind::archive &&
                   (!places.load(*same, library.name, problem) ||
                    digest_of(hashes_of(same->library->contents)) != library.digest)) {
            wrong.push_back(fmt::format("{} {}: `{}` is not what was locked{}{}", library.name,
                                        library.version, library.source.place,
                                        problem.empty() ? "" : ": ", problem));
        }
    }
    return wrong;
}

} // namespace fettle
