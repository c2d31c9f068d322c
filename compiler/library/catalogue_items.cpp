#include "compiler/library/catalogue_items.h"

#include "compiler/meaning/written_text.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

constexpr std::string_view ending = ".fettle";

void name_modules(CatalogueLibrary& library) {
    const Program& program = library.compiled->compilation().program();
    const std::string& name = library.version->library.manifest.name;
    for (const Module& module : program.modules) {
        std::string path = (*program.sources)[module.file].path();
        const bool own = !module.standard && module.library == name && !path.starts_with("../") &&
                         path.ends_with(ending) &&
                         find_file(library.version->library.contents, path) != nullptr;
        library.own.push_back(own);
        if (own) {
            path.erase(path.size() - ending.size());
            std::replace(path.begin(), path.end(), '/', '.');
            library.modules.push_back(fmt::format("{}.{}", name, path));
        } else {
            library.modules.push_back(module.name);
        }
    }
}

// The statement of a kind in the block of a declaration, as text.
std::string text_of(const Module& module, NodeId declaration, NodeKind kind) {
    const NodeId block = module.child(declaration, 4);
    for (std::uint32_t i = 0;
         module.tree.is(block, NodeKind::block) && i < module.tree.count(block); ++i) {
        const NodeId statement = module.child(block, i);
        if (module.tree.is(statement, kind))
            return written_text(module.tree, module.child(statement, 0));
    }
    return "";
}

bool has_page(const Declaration& declaration) {
    return declaration.name != 0 && !declaration.is_private && declaration.usable &&
           declaration.kind != DeclarationKind::memory && declaration.kind != DeclarationKind::test;
}

// A file name that every disk and every host keeps, other than those before.
std::string file_name(const std::string& whole, std::set<std::string>& taken) {
    std::string name;
    for (const char c : whole) {
        const bool plain = (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
                           (c >= '0' && c <= '9') || c == '_' || c == '.' || c == '-';
        name += plain ? std::string(1, c) : fmt::format("_{:02x}", static_cast<unsigned char>(c));
    }
    const auto small = [](std::string text) {
        for (char& c : text)
            c = c >= 'A' && c <= 'Z' ? static_cast<char>(c + ('a' - 'A')) : c;
        return text;
    };
    std::string unique = name;
    for (int number = 2; !taken.insert(small(unique)).second; ++number)
        unique = fmt::format("{}-{}", name, number);
    return unique;
}

using Known = std::map<std::string, std::size_t>; // "tidewater.glazes.firings.matt" → its item

void add_items(CatalogueItems& items, std::size_t number, Known& known,
               std::set<std::string>& taken) {
    const CatalogueLibrary& library = items.libraries[number];
    const Program& program = library.compiled->compilation().program();
    for (DeclarationId id = 0; id < program.declarations.size(); ++id) {
        const Declaration& declaration = program.declarations[id];
        if (!library.own[declaration.module] || !has_page(declaration))
            continue;
        const Module& module = program.modules[declaration.module];
        CatalogueItem item;
        item.library = number;
        item.declaration = id;
        item.kind = declaration.kind == DeclarationKind::profile
                        ? to_string(program.profiles[declaration.profile].kind)
                        : to_string(declaration.kind);
        item.module = library.modules[declaration.module];
        item.name = program.name(declaration.name);
        if (declaration.kind != DeclarationKind::constant &&
            declaration.kind != DeclarationKind::function) {
            item.title = written_text(module.tree, module.child(declaration.node, 3));
            item.about = text_of(module, declaration.node, NodeKind::about);
        }
        const std::string whole = fmt::format("{}.{}", item.module, item.name);
        item.file = file_name(whole, taken);
        known.emplace(whole, items.all.size());
        items.all.push_back(std::move(item));
    }
}

void link(CatalogueItems& items, const Known& known) {
    for (std::size_t i = 0; i < items.all.size(); ++i) {
        CatalogueItem& item = items.all[i];
        const CatalogueLibrary& library = items.libraries[item.library];
        const Program& program = library.compiled->compilation().program();
        for (const DeclarationId used : library.prints->uses(item.declaration)) {
            const Declaration& declaration = program.declarations[used];
            std::string whole = fmt::format("{}.{}", library.modules[declaration.module],
                                            program.name(declaration.name));
            const auto found = known.find(whole);
            if (found == known.end()) {
                if (!declaration.is_private)
                    item.outside.push_back(std::move(whole));
                continue;
            }
            item.uses.push_back(found->second);
            items.all[found->second].used_by.push_back(i);
        }
    }
}

} // namespace

bool find_items(std::span<const LibraryVersion> versions, const Cache& cache, CatalogueItems& items,
                std::string& problem) {
    Known known;
    std::set<std::string> taken = {"index"};
    for (const LibraryVersion& version : versions) {
        CatalogueLibrary& library = items.libraries.emplace_back();
        library.version = &version;
        library.compiled = std::make_unique<CompiledVersion>(version, cache);
        if (const std::string error = library.compiled->first_error(); !error.empty()) {
            problem = fmt::format("{} {} has errors: {}", version.library.manifest.name,
                                  version.shown, error);
            return false;
        }
        library.prints = std::make_unique<Prints>(library.compiled->compilation().program());
        name_modules(library);
        add_items(items, items.libraries.size() - 1, known, taken);
    }
    link(items, known);
    return true;
}

} // namespace fettle
