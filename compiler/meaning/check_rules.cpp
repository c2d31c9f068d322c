// Rules, tests, memory, libraries.
#include "compiler/meaning/checker.h"
#include "compiler/units/version.h"

namespace fettle {

void Checker::check_rule(DeclarationId id) {
    frame_->in_rule = true;
    const Declaration declaration = program_.declarations[id];
    if (present(child(declaration.node, 3))) {
        require(child(declaration.node, 3), Types::text, "a title");
    }
    const NodeId block = child(declaration.node, 4);
    if (kind(block) != NodeKind::block)
        return;
    bool has_check = false, has_level = false, has_because = false, has_source = false;
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId item = child(block, i);
        switch (kind(item)) {
        case NodeKind::level:
            has_level = true;
            check_choice_slot(child(item, 0), types_.choice_of({"error", "caution", "advice"}));
            break;
        case NodeKind::applies: require(child(item, 0), Types::yes_no, "`applies when`"); break;
        case NodeKind::check:
            has_check = true;
            require(child(item, 0), Types::yes_no, "`check`");
            break;
        case NodeKind::because: has_because = true; [[fallthrough]];
        case NodeKind::remedy:
        case NodeKind::source:
        case NodeKind::about:
            has_source = has_source || kind(item) == NodeKind::source;
            require(child(item, 0), Types::text, "this part of a rule");
            break;
        case NodeKind::waivable: require(child(item, 0), Types::yes_no, "`waivable`"); break;
        case NodeKind::let: {
            const TypeId type = expression(child(item, 1));
            set(item, type, RefKind::local, add_local(child(item, 0), type));
            break;
        }
        case NodeKind::error:
        case NodeKind::absent: break;
        default: misplaced(item, "a rule has level, applies when, check, because, remedy, source");
        }
    }
    const NodeId word = child(declaration.node, 0);
    const auto missing = [&](bool has, std::string_view part, std::string_view mend) {
        if (has)
            return;
        report(DiagnosticKind::incomplete_rule, word,
               fmt::format("rule `{}` has no `{}`", source(word), part))
            .mend(std::string(mend));
    };
    missing(has_check, "check", "say what must hold: `check fastest_rise(540C, 630C) <= 150C/h`");
    missing(has_level, "level", "write `level error`, `level caution` or `level advice`");
    missing(has_because, "because", "say why, for the person who reads the message");
    missing(has_source, "source",
            "say where the figure is from; a rule of thumb says `source \"common practice\"`");
    // The tests look for them in the standard library, once and for all.
    if (!frame_->errors && !frame_->module->standard)
        check_contradictions(block);
    leave_scope(0);
}

void Checker::check_test(DeclarationId id) {
    frame_->in_test = true;
    const Declaration declaration = program_.declarations[id];
    require(child(declaration.node, 0), Types::text, "the title of a test");
    const NodeId block = child(declaration.node, 1);
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId item = child(block, i);
        switch (kind(item)) {
        case NodeKind::expect: require(child(item, 0), Types::yes_no, "`expect`"); break;
        case NodeKind::let: {
            const TypeId type = expression(child(item, 1));
            set(item, type, RefKind::local, add_local(child(item, 0), type));
            break;
        }
        case NodeKind::error:
        case NodeKind::absent: break;
        default: misplaced(item, "a test has `let` and `expect` lines");
        }
    }
    leave_scope(0);
}

void Checker::check_memory(DeclarationId id) {
    const Declaration declaration = program_.declarations[id];
    frame_->in_test = true; // firings may be named
    const NodeId path = child(declaration.node, 1);
    const DeclarationId kiln = find_path(path, "a kiln");
    if (kiln != none && program_.declarations[kiln].type != types_.profile(ProfileKind::kiln)) {
        report(DiagnosticKind::wrong_type, path, fmt::format("`{}` is not a kiln", source(path)));
    } else if (kiln != none) {
        set(path, program_.declarations[kiln].type, RefKind::declaration, kiln);
        depend_on(kiln, path);
    }
    const NodeId block = child(declaration.node, 2);
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId item = child(block, i);
        if (kind(item) != NodeKind::memory_slot)
            continue;
        require(child(item, 0), Types::number, "the number of a stored program");
        require(child(item, 1), Types::firing, "a stored program");
    }
}

void Checker::check_need(NodeId need, std::vector<NodeId>& before) {
    const NodeId name = child(need, 0);
    const NodeId version = child(need, 1);
    if (present(version) && !parse_needed_version(source(version))) {
        report(DiagnosticKind::wrong_type, version,
               fmt::format("`{}` is no version; write one to three numbers, such as 1.2",
                           source(version)));
    }
    for (const NodeId other : before) {
        if (source(other) == source(name)) {
            report(DiagnosticKind::duplicate_name, name,
                   fmt::format("`{}` is needed twice", source(name)))
                .note(tree().span(other), "the first line is here");
            return;
        }
    }
    before.push_back(name);
    if (present(child(need, 2)))
        require(child(need, 2), Types::text, "the place that a library comes from");
}

void Checker::check_library(ModuleId module, NodeId node) {
    const std::string& path = (*program_.sources)[program_.modules[module].file].path();
    const std::string_view file = std::string_view(path).substr(path.rfind('/') + 1);
    if (file != "library.fettle") {
        report(DiagnosticKind::misplaced_statement, node,
               "a library is declared in a file of its own")
            .mend("move it to `library.fettle` at the root of the library");
        return;
    }
    const NodeId block = child(node, 1);
    if (kind(block) != NodeKind::block)
        return;
    std::vector<NodeId> needed;
    for (std::uint32_t i = 0; i < count(block); ++i) {
        const NodeId item = child(block, i);
        switch (kind(item)) {
        case NodeKind::field: check_field(Holder::library, item); break;
        case NodeKind::about: require(child(item, 0), Types::text, "`about`"); break;
        case NodeKind::needs: check_need(item, needed); break;
        case NodeKind::error:
        case NodeKind::absent: break;
        default: misplaced(item, "a library has version, licence, about and needs");
        }
    }
}

} // namespace fettle
