// Works out, while Fettle is built, what is the same in every run: the trees of the standard
// library, and the cones as kinetics. Writes the source of the functions in prepared.h:
//
//     prepare_standard OUT.cpp FOLDER FILE...     FILEs as seen from FOLDER, which is stdlib
//
// Ends with 1 and says why when a module does not parse or a table of cones is spoilt: there is no
// Fettle then.
#include "compiler/ceramics/ceramics.h"
#include "compiler/source/render.h"
#include "compiler/syntax/parse.h"

#include <fmt/format.h>

#include <cstdio>
#include <fstream>
#include <iterator>
#include <optional>

namespace fettle {
namespace {

constexpr std::string_view head = R"(// Written by compiler/prepare/prepare.cpp.
#include "compiler/prepare/prepared.h"

namespace fettle {
namespace {

constexpr Node node(int kind, std::uint32_t length, std::uint32_t flag, std::uint32_t count,
                    std::uint32_t begin, std::uint32_t first_child) {
    Node made;
    made.kind = static_cast<NodeKind>(kind);
    made.length = length;
    made.flag = flag;
    made.count = count;
    made.begin = begin;
    made.first_child = first_child;
    return made;
}

)";

std::optional<std::string> text_of(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file)
        return std::nullopt;
    return std::string(std::istreambuf_iterator<char>(file), {});
}

std::string nodes_of(const Tree& tree, std::size_t index) {
    std::string out = fmt::format("constexpr Node nodes_{}[] = {{\n", index);
    for (const Node& node : tree.nodes) {
        out += fmt::format("    node({}, {}, {}, {}, {}, {}),\n", static_cast<int>(node.kind),
                           node.length, node.flag, node.count, node.begin, node.first_child);
    }
    return out + "};\n\n";
}

std::string law_of(const Arrhenius& law) {
    return fmt::format("{{{:a}, {:a}}}", law.ln_a, law.theta_k);
}

std::string cone_of(const ConeKinetics& cone) {
    return fmt::format("    {{{:a}, static_cast<ConeKind>({}), static_cast<Slope>({}), {}, {}, "
                       "{:a}, {:a}, {:a},\n     {}, {}, {}, {},\n"
                       "     {{{:a}}},\n     {{{:a}}},\n     {{{:a}}}}},\n",
                       cone.cone, static_cast<int>(cone.kind), static_cast<int>(cone.slope),
                       cone.from_memory, cone.rate_assumed, cone.coldest_end_c, cone.hottest_end_c,
                       cone.idle_c, law_of(cone.plain), law_of(cone.below), law_of(cone.above),
                       cone.points, fmt::join(cone.end_k, ", "), fmt::join(cone.rate_k_per_h, ", "),
                       fmt::join(cone.work_rate, ", "));
}

// The trees of all modules, or nothing, and it was said why.
std::optional<std::string> trees(const std::string& folder, std::span<char* const> names) {
    std::string arrays, rows;
    Sources sources;
    Diagnostics diagnostics;
    for (std::size_t i = 0; i < names.size(); ++i) {
        const std::string name = names[i];
        if (!name.ends_with(".fettle"))
            continue;
        std::optional<std::string> text = text_of(folder + "/" + name);
        if (!text) {
            fmt::print(stderr, "{} can't be read\n", name);
            return std::nullopt;
        }
        const FileId file = sources.add("stdlib/" + name, std::move(*text));
        const Tree tree = parse(file, sources[file], diagnostics);
        arrays += nodes_of(tree, i);
        rows += fmt::format("    {{\"{}\", nodes_{}}},\n", name, i);
    }
    if (!diagnostics.all().empty()) {
        fmt::print(stderr, "{}", render_text(sources, diagnostics));
        return std::nullopt;
    }
    return fmt::format("{}constexpr PreparedTree trees[] = {{\n{}}};\n\n", arrays, rows);
}

std::optional<std::string> cones(const std::string& folder) {
    const std::optional<std::string> large = text_of(folder + "/data/cones_large.csv");
    const std::optional<std::string> high = text_of(folder + "/data/cones_pce.csv");
    if (!large || !high) {
        fmt::print(stderr, "the tables of cones can't be read\n");
        return std::nullopt;
    }
    const Ceramics ceramics(*large, *high);
    if (!ceramics.spoilt_by().empty()) {
        fmt::print(stderr, "the tables of cones are spoilt: {}\n", ceramics.spoilt_by());
        return std::nullopt;
    }
    std::string out = "constexpr ConeKinetics cones[] = {\n";
    for (const ConeKinetics& cone : ceramics.shelf_cones().cones)
        out += cone_of(cone);
    return out + "};\n\n";
}

int run(const std::string& into, const std::string& folder, std::span<char* const> names) {
    const std::optional<std::string> all_trees = trees(folder, names);
    const std::optional<std::string> all_cones = cones(folder);
    if (!all_trees || !all_cones)
        return 1;
    std::ofstream out(into, std::ios::binary);
    out << head << *all_trees << *all_cones
        << "} // namespace\n\n"
           "std::span<const PreparedTree> prepared_trees() { return trees; }\n\n"
           "std::span<const ConeKinetics> prepared_cones() { return cones; }\n\n"
           "} // namespace fettle\n";
    out.close();
    return out ? 0 : 1;
}

} // namespace
} // namespace fettle

int main(int count, char** words) {
    const std::span<char* const> all(words, static_cast<std::size_t>(count));
    return all.size() < 4 ? 1 : fettle::run(all[1], all[2], all.subspan(3));
}
