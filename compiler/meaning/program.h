// A checked program: the trees of all its modules, and beside them what every name means and every
// expression is. Made by check.h, never changed afterwards; safe to read from several threads.
#pragma once

#include "compiler/chemistry/glaze.h"
#include "compiler/meaning/fields.h"
#include "compiler/meaning/kiln_book.h"
#include "compiler/meaning/names.h"
#include "compiler/meaning/type.h"
#include "compiler/meaning/value.h"
#include "compiler/source/diagnostic.h"
#include "compiler/syntax/tree.h"
#include "runtime/plan/tariff.h"

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace fettle {

using ModuleId = std::uint32_t;
using DeclarationId = std::uint32_t;
inline constexpr std::uint32_t none = 0xffffffffu;

// --- what stands beside the tree ----------------------------------------------------------------

// What a name, a literal or a call node refers to; `index` by kind.
enum class RefKind : std::uint8_t {
    nothing,
    literal,     // Module::literals
    local,       // slot of the frame
    declaration, // Program::declarations
    word,        // NameId of a choice
    builtin,     // name of a question to the curve without arguments: builtins()
    call,        // Module::calls
    field,       // index of the field in the holder's table (of a field access)
    oxide,       // place in the list that a unity formula is (of a field access on one)
    environment, // of a rule: Environment
};
// The things that a rule can read by name.
enum class Environment : std::uint8_t { ware, body, kiln, glaze, controller };

struct NodeInfo {
    TypeId type = Types::poison;
    RefKind kind = RefKind::nothing;
    std::uint32_t index = 0;
};

// A checked call: its arguments in the order of the parameters, `none` where the default is taken.
struct CallInfo {
    enum class Callee : std::uint8_t { function, phase, template_, builtin } callee;
    std::uint32_t index = 0;          // a declaration or a builtin
    std::uint32_t first_argument = 0; // Module::arguments
    std::uint32_t argument_count = 0;
};

struct Import {
    ModuleId module = none;
    NameId alias = 0; // 0: only the listed names
    Span span;
};

struct Module {
    ModuleId id = 0;
    FileId file = 0;
    std::string name;      // "std.bodies", "mugs"
    bool standard = false; // part of the compiler's own library
    std::string library;   // the library it belongs to; empty: none
    std::string library_version;
    Tree tree;
    std::vector<NodeInfo> info; // by NodeId
    std::vector<Value> literals;
    std::vector<CallInfo> calls;
    std::vector<NodeId> arguments;
    std::vector<Import> imports;
    std::unique_ptr<Arena> texts = std::make_unique<Arena>();

    NodeId child(NodeId node, std::uint32_t n) const { return tree.child(node, n); }
    Span span(NodeId node) const { return tree.span(node); }
};

// Modules by id; a reference to one stays valid as more are added.
class Modules {
  public:
    Module& operator[](ModuleId id) { return *all_[id]; }
    const Module& operator[](ModuleId id) const { return *all_[id]; }
    std::size_t size() const { return all_.size(); }
    Module& add() {
        Module& added = *all_.emplace_back(std::make_unique<Module>());
        added.id = static_cast<ModuleId>(all_.size() - 1);
        return added;
    }

    // For loops over all of them.
    class Iterator {
      public:
        explicit Iterator(const std::unique_ptr<Module>* at) : at_(at) {}
        const Module& operator*() const { return **at_; }
        Iterator& operator++() {
            ++at_;
            return *this;
        }
        bool operator!=(const Iterator& other) const { return at_ != other.at_; }

      private:
        const std::unique_ptr<Module>* at_;
    };
    Iterator begin() const { return Iterator(all_.data()); }
    Iterator end() const { return Iterator(all_.data() + all_.size()); }

  private:
    std::vector<std::unique_ptr<Module>> all_;
};

// --- declarations -------------------------------------------------------------------------------

enum class DeclarationKind : std::uint8_t {
    constant,
    function,
    profile,
    phase,
    template_,
    firing,
    rule,
    memory,
    test
};
std::string_view to_string(DeclarationKind kind);

// A parameter of one of these kinds or names fills that slot of the firing by itself.
enum class Slot : std::uint8_t { plain, body, kiln, glaze, thickness, moisture, mass };

struct Parameter {
    NameId name = 0;
    TypeId type = Types::poison;
    NodeId node = 0;
    NodeId default_value = none;
    Slot slot = Slot::plain;
};

struct Declaration {
    DeclarationKind kind = DeclarationKind::constant;
    bool is_private = false;
    bool usable = true; // no error inside it: may be evaluated
    ModuleId module = 0;
    NameId name = 0;             // 0: a test
    NodeId node = 0;             // without the `private_` around it
    TypeId type = Types::poison; // of a constant, the result of a function
    std::uint32_t first_parameter = 0;
    std::uint32_t parameter_count = 0;
    std::uint32_t frame_size = 0; // parameters and locals
    std::uint32_t profile = none; // of a profile: Program::profiles
    Value value;                  // of a constant
};

struct ProfileLimit {
    LimitKind kind = LimitKind::rise;
    Value value;     // rate; a temperature or cone of `peak`
    Value low, high; // temperatures; nothing: everywhere
    Span span;
};
struct ProfileLining {
    double thickness_m = 0;
    std::uint32_t insulation = none; // Program::profiles
};
struct ProfileShelf {
    NameId name = 0;
    double difference_k = 0;
};
struct ProfileControl {
    NameId name = 0;
    TypeId type = Types::poison;
};
struct ProfilePrice {
    Value price;
    Value from, to;        // clock; nothing: all day
    Days days = every_day; // on which it begins
    Span span;
};
// An oxide of an analysis (by mass), or a material of a recipe (by parts).
struct ProfileShare {
    NameId name = 0;
    std::uint32_t material = none; // Program::profiles
    double amount = 0;
    Span span;
};

struct Profile {
    ProfileKind kind = ProfileKind::body;
    DeclarationId declaration = 0;
    std::string_view title;
    std::string_view about;
    std::vector<Value> fields;     // by index in fields_of(kind); unknown where left out
    std::vector<Span> field_spans; // where each was written
    std::vector<ProfileLimit> limits;
    std::vector<ProfileLining> lining;
    std::vector<ProfileShelf> shelves;
    std::vector<ProfileControl> controls;
    std::vector<ProfilePrice> prices;
    std::vector<ProfileShare> analysis, recipe, additions;
    // Of a material in Program::materials, of a glaze in Program::glazes; `none`: it has nothing
    // that this could be worked out from.
    std::uint32_t chemistry = none;
    // Of a glaze whose recipe makes a family: Program::families. It has no chemistry of its own;
    // its computed fields are those that a fire for all of them has to mind.
    std::uint32_t family = none;
};

// A family of glazes, made by `for each` in a recipe.
struct GlazeMember {
    std::string label;                 // "share 25"
    std::uint32_t row = 0, column = 0; // among the tiles: the places in the outer and inner list
    Profile profile;
};
struct GlazeFamily {
    std::vector<GlazeMember> members;
};

// --- memories -----------------------------------------------------------------------------------

struct StoredFiring {
    std::uint32_t number = 1; // of the program; of its first one where it takes several
    DeclarationId firing = none;
    NodeId node = 0; // number and name, in the module of the memory
};

// What a kiln's controller is to keep.
struct Memory {
    DeclarationId declaration = none;
    std::uint32_t kiln = none, controller = none; // Program::profiles
    std::optional<double> programs;               // that there are; nothing: not known
    std::vector<StoredFiring> stored;             // by number
};

// --- the program --------------------------------------------------------------------------------

struct Program {
    explicit Program(const Sources& all_sources)
        : sources(&all_sources), types(std::make_unique<Types>(names)) {}
    Program(Program&&) = delete;

    const Sources* sources;
    Names names;
    std::unique_ptr<Types> types;
    Modules modules; // those that were asked for first, then what they use
    std::vector<Declaration> declarations;
    std::vector<Parameter> parameters;
    std::vector<Profile> profiles;
    std::vector<MaterialChemistry> materials;
    std::vector<GlazeChemistry> glazes;
    std::vector<GlazeFamily> families;
    std::vector<Memory> memories; // without errors
    PairMap visible; // (module, name) -> DeclarationId, own and imported by name
    Arena arena;     // texts and lists of constants and profiles
    std::unique_ptr<KilnBook> kilns = std::make_unique<KilnBook>(); // what they do by themselves

    std::span<const Parameter> parameters_of(const Declaration& declaration) const {
        return std::span(parameters)
            .subspan(declaration.first_parameter, declaration.parameter_count);
    }
    std::string_view name(NameId id) const { return names[id]; }
    Span span(ModuleId module, NodeId node) const { return modules[module].span(node); }
};

// A field that was left out, packed into Value::index of an unknown.
struct MissingField {
    std::uint32_t profile = 0; // Program::profiles; `ware_itself`: of the ware
    std::uint32_t field = 0;
    static constexpr std::uint32_t ware_itself = 0xffffff;
    static constexpr std::uint32_t kiln_time = 0xfffffe; // of a stretch that has none of its own
    static constexpr std::uint32_t nothing_fired = 0xfffffd;
    static constexpr std::uint32_t no_such_profile = 0xfffffc; // there is no glaze, say
    static constexpr std::uint32_t vent = 0xfffffb;            // how the vent stands there
    static constexpr std::uint32_t cone_asked = 0xfffffa;      // no step names a cone
    static constexpr std::uint32_t kiln_model = 0xfffff8;      // what a model of the kiln needs
    static constexpr std::uint32_t never_so = 0xfffff9;        // what is asked about never happens
};
constexpr std::uint32_t pack(MissingField missing) {
    return (missing.profile << 8) | missing.field;
}
constexpr MissingField unpack_missing(std::uint32_t index) {
    return {index >> 8, index & 0xff};
}
// "`moisture` of heron_grey", for messages.
std::string describe_missing(const Program& program, Value unknown);

} // namespace fettle
