#include "compiler/library/catalogue.h"

#include "compiler/library/catalogue_page.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <thread>

namespace fettle {
namespace {

std::size_t not_kept(const FiringDocument& document) {
    return static_cast<std::size_t>(
        std::count_if(document.checks.begin(), document.checks.end(), [](const Check& check) {
            return check.result == CheckResult::broken || check.result == CheckResult::unknown;
        }));
}

// The firings of one library that pages show.
class Shown {
  public:
    Shown(const CatalogueItems& items, std::size_t library, const Cache& cache)
        : items_(items), own_(items.libraries[library].compiled->compilation()) {
        const CatalogueLibrary& of = items.libraries[library];
        std::vector<DeclarationId> sampled;
        std::vector<std::size_t> sampled_items;
        for (std::size_t i = 0; i < items.all.size(); ++i) {
            const CatalogueItem& item = items.all[i];
            if (item.library != library)
                continue;
            if (item.kind == "template" || item.kind == "phase") {
                sampled.push_back(item.declaration);
                sampled_items.push_back(i);
            }
        }
        if (sampled.empty())
            return;
        std::vector<std::string> own;
        const std::size_t name = of.version->library.manifest.name.size() + 1;
        for (std::size_t i = 0; i < of.modules.size(); ++i)
            own.push_back(of.own[i] ? of.modules[i].substr(name) : "");
        samples_ = make_samples(of.compiled->compilation().program(), own, sampled);
        for (std::size_t i = 0; i < sampled_items.size(); ++i)
            of_item_[sampled_items[i]] = i;
        compiled_ = std::make_unique<CompiledVersion>(*of.version, cache, samples_.source);
        const Program& program = compiled_->compilation().program();
        for (const DeclarationId id : compiled_->compilation().firings())
            firings_.emplace(program.name(program.declarations[id].name), id);
    }

    // The firing of an item, or the first sample of it that compiles. False: there is none.
    bool compile(std::size_t number, CompiledFiring& compiled, std::string& sample) const {
        const CatalogueItem& item = items_.all[number];
        Diagnostics ignored;
        if (item.kind == "firing")
            return compile_firing(own_.context(), item.declaration, compiled, ignored);
        const auto found = of_item_.find(number);
        if (found == of_item_.end())
            return false;
        // The one with which the most rules are kept.
        const CompileContext& context = compiled_->compilation().context();
        std::size_t fewest = std::string::npos;
        DeclarationId best = none;
        for (const Sample& each : samples_.declarations[found->second].samples) {
            const auto firing = firings_.find(each.firing);
            if (firing == firings_.end() ||
                !compile_firing(context, firing->second, compiled, ignored))
                continue;
            const std::size_t broken = not_kept(compiled.document);
            if (broken >= fewest)
                continue;
            fewest = broken;
            best = firing->second;
            sample =
                each.arguments.empty() ? "what is taken where nothing is given" : each.arguments;
            if (broken == 0)
                return true;
        }
        return best != none && compile_firing(context, best, compiled, ignored);
    }

  private:
    const CatalogueItems& items_;
    const Compilation& own_;
    Samples samples_;
    std::unique_ptr<CompiledVersion> compiled_;
    std::map<std::size_t, std::size_t> of_item_;
    std::map<std::string, DeclarationId, std::less<>> firings_;
};

std::string download_name(const CatalogueItem& item, const CatalogueFormat& format) {
    const bool says_it = format.ending.starts_with(fmt::format(".{}", format.name));
    return fmt::format("{}{}{}{}", item.file, says_it ? "" : ".", says_it ? "" : format.name,
                       format.ending);
}

} // namespace

std::optional<std::size_t> make_catalogue(std::span<const LibraryVersion> libraries,
                                          const Cache& cache, const CatalogueWork& work,
                                          std::string& problem) {
    CatalogueItems items;
    if (!find_items(libraries, cache, items, problem))
        return std::nullopt;
    for (const CatalogueLibrary& library : items.libraries) {
        for (const CatalogueFormat& format : work.formats)
            format.needs(library.compiled->compilation());
    }
    std::vector<std::unique_ptr<Shown>> shown;
    for (std::size_t i = 0; i < items.libraries.size(); ++i)
        shown.push_back(std::make_unique<Shown>(items, i, cache));
    std::vector<std::vector<std::string>> downloads(items.all.size());
    std::atomic<std::size_t> next = 0;
    std::atomic<bool> failed = false;
    const auto pages = [&](bool tells) {
        CompiledFiring compiled;
        std::string text;
        for (std::size_t i = next++; i < items.all.size() && !failed; i = next++) {
            const CatalogueItem& item = items.all[i];
            ShownFiring firing;
            if (shown[item.library]->compile(i, compiled, firing.sample))
                firing.compiled = &compiled;
            // What is taken away is a firing, not a sample of one.
            for (const CatalogueFormat& format : work.formats) {
                if (firing.compiled == nullptr || item.kind != "firing")
                    break;
                text.clear();
                format.append(text, compiled.document);
                downloads[i].push_back(download_name(item, format));
                failed = failed || !work.write(downloads[i].back(), text);
            }
            firing.downloads = downloads[i];
            failed = failed || !work.write(item.file + ".html", item_page(items, i, firing));
            if (tells && work.progress)
                work.progress(i, items.all.size());
        }
    };
    std::vector<std::thread> others;
    for (unsigned t = 1; t < work.threads && t * 4 < items.all.size(); ++t)
        others.emplace_back(pages, false);
    pages(true);
    for (std::thread& other : others)
        other.join();
    if (!failed) {
        work.write("index.html", index_page(items));
        work.write("index.json", index_json(items, downloads));
    }
    return items.all.size() + 1;
}

} // namespace fettle
