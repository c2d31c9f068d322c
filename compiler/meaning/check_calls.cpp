// Calls: of functions, templates and phases, and of the functions of the language.
#include "compiler/meaning/checker.h"
#include "compiler/source/nearest.h"

namespace fettle {

std::optional<CallInfo> Checker::bind_arguments(NodeId node, const std::vector<Wanted>& wanted,
                                                std::string_view callee,
                                                DeclarationId declaration) {
    std::vector<NodeId> bound(wanted.size(), none);
    std::size_t position = 0;
    bool ok = true;
    const std::uint32_t given = kind(node) == NodeKind::call ? count(node) - 1 : 0;
    for (std::uint32_t i = 0; i < given; ++i) {
        const NodeId argument = child(node, i + 1);
        if (kind(argument) != NodeKind::argument) { // did not parse
            ok = false;
            ++position;
            continue;
        }
        const NodeId label = child(argument, 0);
        std::size_t at = position;
        if (present(label)) {
            at = 0;
            while (at < wanted.size() && wanted[at].name != source(label))
                ++at;
            if (at == wanted.size()) {
                Diagnostic& d =
                    report(DiagnosticKind::unknown_argument, label,
                           fmt::format("`{}` has no parameter `{}`", callee, source(label)));
                std::vector<std::string_view> names;
                for (const Wanted& each : wanted)
                    names.push_back(each.name);
                if (const auto near = nearest(source(label), names)) {
                    d.mend(fmt::format("did you mean `{}`?", *near), tree().span(label),
                           std::string(*near));
                }
                ok = false;
                expression(child(argument, 1));
                continue;
            }
        } else {
            ++position;
        }
        if (at >= wanted.size()) {
            Diagnostic& d = report(
                DiagnosticKind::too_many_arguments, argument,
                wanted.empty() ? fmt::format("`{}` takes no arguments", callee)
                               : fmt::format("this is one too many: `{}` takes {} argument{}",
                                             callee, wanted.size(), wanted.size() == 1 ? "" : "s"));
            if (declaration != none) {
                const Declaration& other = program_.declarations[declaration];
                d.note(program_.span(other.module,
                                     program_.modules[other.module].child(other.node, 0)),
                       "it is declared here");
            }
            return std::nullopt;
        }
        if (bound[at] != none) {
            report(DiagnosticKind::argument_twice, argument,
                   fmt::format("`{}` is given twice", wanted[at].name))
                .note(tree().span(bound[at]), "the first is here");
            ok = false;
            continue;
        }
        bound[at] = child(argument, 1);
    }
    std::string missing;
    for (std::size_t i = 0; i < wanted.size(); ++i) {
        if (bound[i] != none || wanted[i].has_default)
            continue;
        missing += fmt::format("{}`{}`", missing.empty() ? "" : ", ", wanted[i].name);
    }
    if (!missing.empty() && ok) {
        Diagnostic& d = report(DiagnosticKind::missing_arguments, node,
                               fmt::format("`{}` still needs {}", callee, missing));
        if (declaration != none) {
            const Declaration& other = program_.declarations[declaration];
            d.note(program_.span(other.module, program_.modules[other.module].child(other.node, 0)),
                   "it is declared here");
        }
        return std::nullopt;
    }
    if (!ok)
        return std::nullopt;
    CallInfo info;
    info.first_argument = static_cast<std::uint32_t>(frame_->module->arguments.size());
    info.argument_count = static_cast<std::uint32_t>(bound.size());
    frame_->module->arguments.insert(frame_->module->arguments.end(), bound.begin(), bound.end());
    return info;
}

TypeId Checker::call(NodeId node, bool as_phase) {
    const NodeId callee = kind(node) == NodeKind::call ? child(node, 0) : node;
    DeclarationId id = none;
    int builtin = -1;
    if (kind(callee) == NodeKind::name) {
        const Meaning meaning = look_up(intern(callee));
        if (meaning.kind == RefKind::declaration)
            id = meaning.index;
        if (meaning.kind == RefKind::builtin)
            builtin = static_cast<int>(meaning.index);
        if (meaning.kind == RefKind::local) {
            report(DiagnosticKind::not_a_function, callee,
                   fmt::format("`{}` is a value, not a function", source(callee)));
        } else if (id == none && builtin < 0 && !meaning.reported) {
            report_unknown_name(callee, source(callee), Types::poison);
        }
    } else if (kind(callee) == NodeKind::field_access && kind(child(callee, 0)) == NodeKind::name &&
               kind(child(callee, 1)) == NodeKind::word) {
        const Meaning meaning = look_up(intern(child(callee, 0)));
        if (meaning.reported) {
            // said where the module is named
        } else if (meaning.alias == none) {
            report(DiagnosticKind::not_a_function, callee,
                   fmt::format("`{}` is not a function", source(callee)));
        } else {
            const std::uint32_t found =
                program_.visible.find(meaning.alias, intern(child(callee, 1)));
            if (found == PairMap::none || program_.declarations[found].module != meaning.alias) {
                report_not_in_module(child(callee, 1), meaning.alias);
            } else if (!visible_from(frame_->module_id, program_.declarations[found])) {
                report(DiagnosticKind::private_name, child(callee, 1),
                       fmt::format("`{}` is private to its library", source(child(callee, 1))));
            } else {
                id = found;
            }
        }
    } else if (kind(callee) != NodeKind::error) {
        report(DiagnosticKind::not_a_function, callee, "this is not the name of a function");
    }
    if (id == none && builtin < 0) { // look at the arguments all the same
        for (std::uint32_t i = 1; kind(node) == NodeKind::call && i < count(node); ++i) {
            if (kind(child(node, i)) == NodeKind::argument)
                expression(child(child(node, i), 1));
        }
        return Types::poison;
    }
    if (as_phase && (id == none || program_.declarations[id].kind != DeclarationKind::phase)) {
        const bool is_template =
            id != none && program_.declarations[id].kind == DeclarationKind::template_;
        report(DiagnosticKind::not_a_phase, callee,
               is_template
                   ? fmt::format("`{}` is a template, a whole firing; `follow` runs a phase",
                                 source(callee))
                   : fmt::format("`{}` is not a phase, so it can't be followed", source(callee)))
            .mend(
                "put the steps that are shared into a `phase` of their own, at the top of a file");
        return Types::poison;
    }
    if (builtin >= 0)
        return call_builtin(node, builtin);
    if (!as_phase && program_.declarations[id].kind == DeclarationKind::phase) {
        report(DiagnosticKind::not_a_function, callee,
               fmt::format("`{}` is a phase, which is no value", source(callee)))
            .mend(fmt::format("run it inside a phase with `follow {}`", source(node)));
        return Types::poison;
    }
    return call_declaration(node, id);
}

TypeId Checker::call_declaration(NodeId node, DeclarationId id) {
    const Declaration declaration = program_.declarations[id];
    const std::string_view callee = program_.name(declaration.name);
    CallInfo::Callee callee_kind;
    switch (declaration.kind) {
    case DeclarationKind::function: callee_kind = CallInfo::Callee::function; break;
    case DeclarationKind::phase: callee_kind = CallInfo::Callee::phase; break;
    case DeclarationKind::template_: callee_kind = CallInfo::Callee::template_; break;
    default:
        report(
            DiagnosticKind::not_a_function, node,
            fmt::format("`{}` is a {}; it takes no arguments", callee, to_string(declaration.kind)))
            .mend(fmt::format("write `{}` alone", source(child(node, 0))), tree().span(node),
                  std::string(source(child(node, 0))));
        return Types::poison;
    }
    if (declaration.kind == DeclarationKind::template_ && !frame_->in_test) {
        const Declaration& here = program_.declarations[frame_->declaration];
        if (here.kind != DeclarationKind::firing || child(here.node, 2) != node) {
            report(DiagnosticKind::only_in_tests, node,
                   fmt::format("`{}` is a template: it makes a firing, not a value", callee))
                .mend(fmt::format("write `firing NAME = {}(…)`", callee));
            return Types::poison;
        }
    }
    depend_on(id, node);
    std::vector<Wanted> wanted;
    wanted.reserve(declaration.parameter_count);
    for (std::uint32_t i = 0; i < declaration.parameter_count; ++i) {
        const Parameter& parameter = program_.parameters[declaration.first_parameter + i];
        wanted.push_back({program_.name(parameter.name), parameter.default_value != none});
    }
    const bool needs_parentheses = kind(node) != NodeKind::call;
    if (needs_parentheses && declaration.kind == DeclarationKind::function) {
        report(DiagnosticKind::missing_arguments, node,
               fmt::format("`{}` needs its arguments in parentheses", callee));
        return Types::poison;
    }
    auto info = bind_arguments(node, wanted, callee, id);
    if (!info)
        return Types::poison;
    info->callee = callee_kind;
    info->index = id;
    for (std::uint32_t i = 0; i < info->argument_count; ++i) {
        const NodeId argument = frame_->module->arguments[info->first_argument + i];
        if (argument == none)
            continue;
        const Parameter parameter = program_.parameters[declaration.first_parameter + i];
        const Place place(wanted[i].name, callee);
        if (parameter.type == Types::difference) {
            require_difference(argument, place);
        } else {
            require(argument, parameter.type, place);
        }
    }
    frame_->module->calls.push_back(*info);
    const auto call_index = static_cast<std::uint32_t>(frame_->module->calls.size() - 1);
    const TypeId result = declaration.kind == DeclarationKind::function    ? declaration.type
                          : declaration.kind == DeclarationKind::template_ ? Types::firing
                                                                           : Types::poison;
    return set(node, result, RefKind::call, call_index);
}

TypeId Checker::call_builtin(NodeId node, int index) {
    const Builtin& builtin = builtins()[static_cast<std::size_t>(index)];
    if (builtin.of_curve && !frame_->in_rule) {
        report(DiagnosticKind::only_in_rules, node,
               fmt::format("`{}` asks about a finished curve, which only rules can", builtin.name));
        return Types::poison;
    }
    std::vector<Wanted> wanted;
    if (builtin.any_number) {
        const std::uint32_t given = kind(node) == NodeKind::call ? count(node) - 1 : 0;
        if (given < 1) {
            report(DiagnosticKind::missing_arguments, node,
                   fmt::format("`{}` takes a range, a list, or two values or more", builtin.name));
            return Types::poison;
        }
        wanted.assign(given, {"", false});
    } else {
        for (const BuiltinParameter& parameter : builtin.parameters) {
            wanted.push_back({parameter.name, false});
        }
    }
    auto info = bind_arguments(node, wanted, builtin.name, none);
    if (!info)
        return Types::poison;
    info->callee = CallInfo::Callee::builtin;
    info->index = static_cast<std::uint32_t>(index);
    const TypeId result = builtin_result(builtin, *info);
    frame_->module->calls.push_back(*info);
    return set(node, result, RefKind::call,
               static_cast<std::uint32_t>(frame_->module->calls.size() - 1));
}

TypeId Checker::builtin_result(const Builtin& builtin, const CallInfo& call) {
    // A copy: checking an argument may add calls and so move the arguments.
    const std::vector<NodeId> arguments(frame_->module->arguments.begin() + call.first_argument,
                                        frame_->module->arguments.begin() + call.first_argument +
                                            call.argument_count);
    const auto place = [&](std::size_t i) {
        Place named(builtin.any_number ? "" : builtin.parameters[i].name, builtin.name);
        if (builtin.any_number)
            named.pieces = {"a value of `", builtin.name, "`"};
        return named;
    };
    const auto ordered = [&](NodeId argument) {
        const TypeId type = expression(argument);
        const TypeKind type_kind = types_.kind(type);
        if (type_kind != TypeKind::quantity && type_kind != TypeKind::cone &&
            type_kind != TypeKind::clock && type_kind != TypeKind::poison) {
            report(DiagnosticKind::wrong_type, argument,
                   fmt::format("`{}` takes quantities, but this is {}", builtin.name,
                               types_.describe(type)));
            return Types::poison;
        }
        return type;
    };
    switch (builtin.id) {
    case BuiltinId::min:
    case BuiltinId::max:
        if (arguments.size() == 1) {
            const TypeId type = expression(arguments[0]);
            const TypeKind type_kind = types_.kind(type);
            if (type_kind == TypeKind::range || type_kind == TypeKind::list) {
                return types_[type].element;
            }
            if (type != Types::poison) {
                report(DiagnosticKind::wrong_type, arguments[0],
                       fmt::format("`{}` of one value needs a range or a list, but this is {}",
                                   builtin.name, types_.describe(type)));
            }
            return Types::poison;
        }
        [[fallthrough]];
    case BuiltinId::clamp: {
        TypeId type = ordered(arguments[0]);
        for (std::size_t i = 1; i < arguments.size(); ++i) {
            const TypeId other = require(arguments[i], type, place(i));
            if (type == Types::poison)
                type = other;
        }
        return type;
    }
    case BuiltinId::abs: {
        const TypeId type = ordered(arguments[0]);
        if (type == Types::temperature || type == Types::cone || type == Types::clock) {
            report(DiagnosticKind::wrong_type, arguments[0],
                   fmt::format("{} has no size without its sign; did you mean a difference?",
                               types_.describe(type)));
            return Types::poison;
        }
        return type;
    }
    case BuiltinId::round: {
        const TypeId type = ordered(arguments[0]);
        if (type == Types::temperature) {
            require_difference(arguments[1], place(1));
        } else {
            require(arguments[1], type, place(1));
        }
        return type;
    }
    case BuiltinId::length:
    case BuiltinId::sum: {
        const TypeId type = expression(arguments[0]);
        if (types_.kind(type) != TypeKind::list) {
            if (type != Types::poison) {
                report(DiagnosticKind::wrong_type, arguments[0],
                       fmt::format("`{}` takes a list, but this is {}", builtin.name,
                                   types_.describe(type)));
            }
            return builtin.id == BuiltinId::length ? Types::number : Types::poison;
        }
        if (builtin.id == BuiltinId::length)
            return Types::number;
        const TypeId element = types_[type].element;
        if (element == Types::temperature || types_.kind(element) != TypeKind::quantity) {
            report(DiagnosticKind::wrong_type, arguments[0],
                   fmt::format("{} can't be added up", types_.describe(type)));
            return Types::poison;
        }
        return element;
    }
    case BuiltinId::fastest_kiln_rate:
        require(arguments[0], types_.profile(ProfileKind::kiln), place(0));
        require(arguments[1], Types::temperature, place(1));
        return builtin.result;
    case BuiltinId::shelf_difference:
        require(arguments[0], types_.profile(ProfileKind::kiln), place(0));
        require(arguments[1], Types::text, place(1));
        return builtin.result;
    case BuiltinId::core_lag:
    case BuiltinId::wall_stress:
    case BuiltinId::inversion_strain:
        require(arguments[0], Types::length, place(0));
        require(arguments[1], Types::rate, place(1));
        require(arguments[2], types_.profile(ProfileKind::body), place(2));
        return builtin.result;
    case BuiltinId::given: expression(arguments[0]); return builtin.result;
    case BuiltinId::has: {
        const TypeId type = expression(arguments[0]);
        if (types_.kind(type) != TypeKind::list) {
            if (type != Types::poison) {
                report(DiagnosticKind::wrong_type, arguments[0],
                       fmt::format("`has` takes a list, but this is {}", types_.describe(type)));
            }
            return builtin.result;
        }
        const TypeId element = types_[type].element;
        if (types_.kind(element) == TypeKind::choice) {
            check_choice_slot(arguments[1], element);
        } else {
            require(arguments[1], element, place(1));
        }
        return builtin.result;
    }
    case BuiltinId::uses:
    case BuiltinId::lowest_temperature_in:
        check_choice_slot(arguments[0], atmosphere_type(types_));
        return builtin.result;
    case BuiltinId::hottest_cooling_with:
        check_choice_slot(arguments[0], vent_type(types_));
        return builtin.result;
    default:
        for (std::size_t i = 0; i < arguments.size(); ++i) {
            require(arguments[i], builtin.parameters[i].type, place(i));
        }
        return builtin.id == BuiltinId::vent_between || builtin.id == BuiltinId::vent_on_the_way_up
                   ? vent_type(types_)
                   : builtin.result;
    }
}

} // namespace fettle
