// Constants and profiles, once for the whole program, each after what it needs.
#include "compiler/meaning/controller.h"
#include "compiler/meaning/evaluate.h"
#include "compiler/meaning/evaluate_chemistry.h"
#include "compiler/meaning/prices.h"

#include <fmt/format.h>

#include <algorithm>

namespace fettle {
namespace {

class ProfileMaker {
  public:
    ProfileMaker(Program& program, const Chemistry& chemistry, Evaluator& evaluator,
                 DeclarationId id)
        : program_(program), chemistry_(chemistry), evaluator_(evaluator),
          declaration_(program.declarations[id]), module_(program.modules[declaration_.module]),
          profile_(program.profiles[declaration_.profile]) {}

    void make() {
        start();
        if (const NodeId title = module_.child(declaration_.node, 3); module_.tree.present(title)) {
            profile_.title = evaluator_.text(declaration_.module, title, nullptr);
        }
        const NodeId block = module_.child(declaration_.node, 4);
        if (module_.tree[block].kind != NodeKind::block)
            return chemistry({});
        bool own_lining = false, own_prices = false;
        WrittenHere written;
        for (std::uint32_t i = 0; i < module_.tree.count(block); ++i) {
            const NodeId node = module_.child(block, i);
            const NodeKind kind = module_.tree[node].kind;
            // One lining replaces the whole lining, any price all prices.
            if (kind == NodeKind::lining && !own_lining)
                profile_.lining.clear();
            if (kind == NodeKind::price && !own_prices)
                profile_.prices.clear();
            own_lining = own_lining || kind == NodeKind::lining;
            own_prices = own_prices || kind == NodeKind::price;
            written.analysis = written.analysis || kind == NodeKind::analysis;
            written.formula =
                written.formula || (kind == NodeKind::field &&
                                    module_.tree.source(module_.child(node, 0)) == "formula");
            statement(node, kind);
        }
        const std::size_t before = evaluator_.diagnostics().count(Level::error);
        check_positive();
        chemistry(written);
        if (profile_.kind == ProfileKind::tariff)
            check_prices(program_, profile_, evaluator_.diagnostics());
        if (profile_.kind == ProfileKind::controller &&
            evaluator_.diagnostics().count(Level::error) == before) {
            check_abilities(program_, profile_, evaluator_.diagnostics());
        }
    }

  private:
    void start() {
        const std::size_t count = fields_of(holder_of(profile_.kind)).size();
        const NodeId parent = module_.child(declaration_.node, 2);
        if (module_.tree.present(parent) && module_.info[parent].kind == RefKind::declaration) {
            const DeclarationId own = profile_.declaration;
            const std::uint32_t from = program_.declarations[module_.info[parent].index].profile;
            profile_ = program_.profiles[from];
            profile_.declaration = own;
            forget_computed();
            for (std::uint32_t i = 0; i < count; ++i) {
                if (profile_.fields[i].is(ValueKind::unknown))
                    profile_.fields[i] = missing(i);
            }
            return;
        }
        profile_.fields.resize(count);
        profile_.field_spans.resize(count);
        for (std::uint32_t i = 0; i < count; ++i)
            profile_.fields[i] = missing(i);
    }

    // What was worked out for the parent is of its own formula or recipe.
    void forget_computed() {
        const auto fields = fields_of(holder_of(profile_.kind));
        for (std::uint32_t i = 0; i < fields.size(); ++i) {
            if (fields[i].computed && fields[i].name != "atmosphere")
                profile_.fields[i] = missing(i);
        }
        if (profile_.kind == ProfileKind::material) {
            // A loss that nobody wrote came of the formula.
            const auto loss = static_cast<std::uint32_t>(field::at(Holder::material, "loss"));
            if (profile_.field_spans[loss].end == 0)
                profile_.fields[loss] = missing(loss);
        }
        profile_.chemistry = none;
    }

    // What a glaze gives up to food, no text of ours can promise.
    void refuse_food_claims() {
        for (const std::string_view words : {profile_.title, profile_.about}) {
            std::string plain;
            for (const char c : words)
                plain += c == '-' || c == '_' ? ' ' : c >= 'A' && c <= 'Z' ? char(c + 32) : c;
            for (const std::string_view claim :
                 {"food safe", "foodsafe", "dinnerware safe", "safe for food"}) {
                if (plain.find(claim) == std::string::npos)
                    continue;
                evaluator_.diagnostics()
                    .report(DiagnosticKind::food_claim,
                            module_.span(module_.child(declaration_.node, 0)),
                            fmt::format("{} is said to be safe for food: only a laboratory can "
                                        "tell, by a release test of the fired ware",
                                        program_.name(declaration_.name)))
                    .mend("say what it is, not what it is safe for");
                return;
            }
        }
    }

    void chemistry(WrittenHere written) {
        if (profile_.kind == ProfileKind::material || profile_.kind == ProfileKind::glaze)
            refuse_food_claims();
        Diagnostics& diagnostics = evaluator_.diagnostics();
        if (profile_.kind == ProfileKind::material) {
            const auto formula = static_cast<std::size_t>(field::at(Holder::material, "formula"));
            work_out_material(program_, declaration_.profile, written,
                              profile_.field_spans[formula], chemistry_.tables(), diagnostics);
        } else if (profile_.kind == ProfileKind::glaze) {
            work_out_glaze(program_, declaration_.profile, chemistry_.tables(), diagnostics);
        }
    }

    Value missing(std::uint32_t field) const {
        return Value::indexed(ValueKind::unknown, pack({declaration_.profile, field}));
    }

    Value value(NodeId node) {
        return evaluator_.evaluate_known(declaration_.module, node, nullptr, "this field");
    }

    void statement(NodeId node, NodeKind kind) {
        switch (kind) {
        case NodeKind::field: field_statement(node); break;
        case NodeKind::about:
            profile_.about = evaluator_.text(declaration_.module, module_.child(node, 0), nullptr);
            break;
        case NodeKind::limit: {
            ProfileLimit limit;
            limit.kind = static_cast<LimitKind>(module_.tree[node].flag);
            limit.value = value(module_.child(node, 0));
            if (module_.tree.present(module_.child(node, 1)))
                limit.low = value(module_.child(node, 1));
            if (module_.tree.present(module_.child(node, 2)))
                limit.high = value(module_.child(node, 2));
            if (limit.low.known() && limit.high.known() && limit.low.number > limit.high.number) {
                std::swap(limit.low, limit.high); // `fall … between 630C and 540C` reads downwards
            }
            limit.span = module_.span(node);
            profile_.limits.push_back(limit);
            break;
        }
        case NodeKind::lining: {
            const NodeId path = module_.child(node, 1);
            ProfileLining lining;
            lining.thickness_m = value(module_.child(node, 0)).number;
            if (module_.info[path].kind == RefKind::declaration) {
                lining.insulation = program_.declarations[module_.info[path].index].profile;
            }
            profile_.lining.push_back(lining);
            break;
        }
        case NodeKind::shelf: {
            if (module_.tree[module_.child(node, 0)].kind != NodeKind::word)
                break;
            const NameId name = intern(module_.child(node, 0));
            replace(profile_.shelves, ProfileShelf{name, value(module_.child(node, 1)).number});
            break;
        }
        case NodeKind::control:
            if (module_.tree[module_.child(node, 0)].kind != NodeKind::word)
                break;
            replace(profile_.controls, ProfileControl{intern(module_.child(node, 0)),
                                                      module_.info[module_.child(node, 1)].type});
            break;
        case NodeKind::price: {
            ProfilePrice price;
            price.price = value(module_.child(node, 0));
            if (module_.tree.present(module_.child(node, 1))) {
                price.from = value(module_.child(node, 1));
                price.to = value(module_.child(node, 2));
            }
            if (const NodeId days = module_.child(node, 3); module_.tree.present(days))
                price.days = days_of(days);
            price.span = module_.span(node);
            profile_.prices.push_back(price);
            break;
        }
        case NodeKind::start_delay: put("start_delay", value(module_.child(node, 0)), node); break;
        case NodeKind::fires: {
            const Value cones = value(module_.child(node, 0));
            put("fires",
                widen(*program_.types, program_.types->range_of(Types::cone), cones,
                      program_.arena),
                node);
            const NodeId word = module_.child(node, 1);
            if (module_.tree.present(word)) {
                put("atmosphere", evaluator_.evaluate(declaration_.module, word, nullptr), node);
            }
            break;
        }
        case NodeKind::analysis: shares(node, profile_.analysis); break;
        case NodeKind::recipe: shares(module_.child(node, 0), profile_.recipe); break;
        case NodeKind::add: shares(module_.child(node, 0), profile_.additions); break;
        default: break;
        }
    }

    Days days_of(NodeId list) {
        Days days = 0;
        for (std::uint32_t i = 0; i < module_.tree.count(list); ++i)
            days |= days_named(module_.tree.source(module_.child(list, i)));
        return days;
    }

    void shares(NodeId list, std::vector<ProfileShare>& into) {
        for (std::uint32_t i = 0; i < module_.tree.count(list); ++i) {
            const NodeId part = module_.child(list, i);
            if (module_.tree[part].kind != NodeKind::ingredient)
                continue;
            const NodeId name = module_.child(part, 0);
            ProfileShare share;
            share.name = intern(name);
            share.amount = value(module_.child(part, 1)).number;
            share.span = module_.span(part);
            if (module_.info[name].kind == RefKind::declaration) {
                share.material = program_.declarations[module_.info[name].index].profile;
            }
            replace(into, share);
        }
    }

    template <class Entry> static void replace(std::vector<Entry>& all, const Entry& entry) {
        const auto found = std::find_if(
            all.begin(), all.end(), [&](const Entry& other) { return other.name == entry.name; });
        if (found != all.end()) {
            *found = entry;
        } else {
            all.push_back(entry);
        }
    }

    void field_statement(NodeId node) {
        const NodeId word = module_.child(node, 0);
        if (module_.info[word].kind != RefKind::field)
            return;
        const std::uint32_t index = module_.info[word].index;
        const Field& field = fields_of(holder_of(profile_.kind))[index];
        Value result;
        if (field.shape == FieldShape::choices || field.shape == FieldShape::texts ||
            field.shape == FieldShape::profiles) {
            std::vector<Value> values;
            if (field.shape == FieldShape::texts && profile_.fields[index].is(ValueKind::list)) {
                const auto before = profile_.fields[index].as_list();
                values.assign(before.begin(), before.end());
            }
            for (std::uint32_t i = 1; i < module_.tree.count(node); ++i) {
                values.push_back(value(module_.child(node, i)));
            }
            result = Value::sequence(ValueKind::list, program_.arena.copy(values));
        } else {
            result = value(module_.child(node, 1));
            result =
                widen(*program_.types, field_type(field, *program_.types), result, program_.arena);
        }
        profile_.fields[index] = result;
        profile_.field_spans[index] = module_.span(module_.child(node, 1));
    }

    void put(std::string_view name, const Value& value, NodeId node) {
        const auto index = static_cast<std::size_t>(field::at(holder_of(profile_.kind), name));
        profile_.fields[index] = value;
        profile_.field_spans[index] = module_.span(node);
    }

    // Sizes, masses, shares: nothing below zero, and most not zero either.
    void check_positive() {
        const auto fields = fields_of(holder_of(profile_.kind));
        for (std::size_t i = 0; i < fields.size(); ++i) {
            const Field& field = fields[i];
            const Value& value = profile_.fields[i];
            if (field.shape != FieldShape::quantity || !value.is(ValueKind::quantity) ||
                field.dimension.temperature != 0 || field.dimension.point ||
                field.name == "altitude") {
                continue;
            }
            const bool may_be_zero = field.dimension == dimension::fraction ||
                                     field.name == "start_delay" || field.name == "furniture";
            if (value.number > 0 || (may_be_zero && value.number == 0))
                continue;
            evaluator_.diagnostics().report(DiagnosticKind::not_positive, profile_.field_spans[i],
                                            fmt::format("`{}` must be above zero", field.name));
        }
    }

    NameId intern(NodeId node) { return program_.names.intern(module_.tree.source(node)); }

    Program& program_;
    const Chemistry& chemistry_;
    Evaluator& evaluator_;
    const Declaration declaration_;
    Module& module_;
    Profile& profile_;
};

} // namespace

void evaluate_declarations(Program& program, const std::vector<DeclarationId>& order,
                           const Ceramics& ceramics, Diagnostics& diagnostics) {
    Evaluator evaluator(program, ceramics, diagnostics, program.arena);
    for (DeclarationId id : order) {
        Declaration& declaration = program.declarations[id];
        if (declaration.kind != DeclarationKind::constant &&
            declaration.kind != DeclarationKind::profile) {
            continue;
        }
        if (!declaration.usable)
            continue;
        const std::size_t before = diagnostics.count(Level::error);
        evaluator.reset_budget();
        if (declaration.kind == DeclarationKind::profile) {
            ProfileMaker(program, ceramics.chemistry(), evaluator, id).make();
        } else {
            const NodeId node = program.modules[declaration.module].child(declaration.node, 1);
            Value* frame = evaluator.enter(declaration.frame_size);
            declaration.value = evaluator.evaluate(declaration.module, node, frame);
            evaluator.leave(frame);
        }
        if (diagnostics.count(Level::error) != before)
            declaration.usable = false;
    }
}

} // namespace fettle
