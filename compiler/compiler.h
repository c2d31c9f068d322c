// The front door of the compiler: the one place where the stages are put in order.
//
//     sources → trees → program → firing → schedule → document
//
// Touches no file, clock or terminal by itself: texts come through `SourceProvider`.
#pragma once

#include "compiler/lowering/compile_firing.h"
#include "compiler/meaning/check.h"

#include <functional>
#include <memory>
#include <string>
#include <vector>

namespace fettle {

std::string_view compiler_version();
// Of the library `std` that comes with this compiler: what `needs std 1` is held against.
std::string_view standard_library_version();

// The modules and data that come with the compiler.
class StandardLibrary : public SourceProvider {
  public:
    std::optional<std::string> read(const std::string& path, std::string& problem) override;
    // The text of "std/bodies.fettle" or "data/cones_large.csv"; empty: there is none.
    static std::string_view text(std::string_view path);
    // Names of its modules: "std.bodies".
    static std::vector<std::string> modules();
};

// Which rules hold in every program, without a `use`.
enum class RulesAlwaysOn : std::uint8_t {
    standard, // those of std.rules
    off,      // for tests of the language itself
};

// Results of `Compilation::compile_all` may be kept in so many slots, at index % compile_slots:
// half of them are delivered while the other half is being filled.
inline constexpr std::size_t compile_slots = 512;

// A checked program with everything that its firings need.
class Compilation {
  public:
    // Reads, parses and checks; `diagnostics` has all that is wrong so far. `libraries` finds those
    // that are needed by libraries of the user.
    Compilation(const std::vector<std::string>& paths, SourceProvider& files,
                Diagnostics& diagnostics, RulesAlwaysOn always = RulesAlwaysOn::standard,
                LibraryFinder* libraries = nullptr);

    const Sources& sources() const { return sources_; }
    const Program& program() const { return *program_; }
    const CompileContext& context() const { return *context_; }
    // FiringDocument::cones_after of what is compiled from now on; costs time, so only where shown.
    void tell_cones_after_segments() { context_->cones_after_each_segment = true; }
    // Where a table is too long, it becomes programs that continue one another, from now on.
    void split_programs() { context_->split_programs = true; }
    // The same for FiringDocument::cones_expected and ::interruptions.
    void tell_what_to_expect() { context_->what_to_expect = true; }
    // Tables are for this controller (Program::profiles), whichever the kiln has.
    void make_tables_for(std::uint32_t controller) { context_->controller = controller; }
    // And for the words of rules that hold.
    void tell_words_of_all_rules() { context_->rule_words = RuleWords::of_all; }
    // The firings declared in the files that were asked for, in the order of the files; those with
    // errors in them are left out.
    std::vector<DeclarationId> firings() const;
    // Their glazes that have a recipe.
    std::vector<DeclarationId> glazes() const;
    // Their memories that are without errors.
    std::vector<const Memory*> memories() const;
    // The usable tests of those files.
    std::vector<DeclarationId> tests() const;
    // By name; `none`: there is none that is usable.
    DeclarationId find_firing(std::string_view name) const;
    std::vector<std::string_view> firing_names() const; // usable or not

    // Compiles firings on `threads` threads, in rounds. `use` gets each result on the thread that
    // made it, with the firing's index in `firings`; when a round is done, `deliver` is called on
    // this thread with its range of indices, while the other threads are at the next round.
    // Diagnostics come in the order of the firings, whatever the number of threads; what is wrong
    // at one place of a template in many firings is said once, with their number.
    void compile_all(const std::vector<DeclarationId>& firings, unsigned threads,
                     Diagnostics& diagnostics,
                     const std::function<void(std::size_t, const CompiledFiring&)>& use,
                     const std::function<void(std::size_t, std::size_t)>& deliver) const;

  private:
    std::vector<DeclarationId> asked_for(DeclarationKind kind) const;

    Sources sources_;
    Ceramics ceramics_;
    std::unique_ptr<Program> program_;
    std::unique_ptr<RuleBook> rules_;
    std::size_t asked_for_modules_ = 0; // modules that were asked for come first
    SourceOrigin origin_;
    std::unique_ptr<CompileContext> context_;
    StandardLibrary standard_;
};

} // namespace fettle
