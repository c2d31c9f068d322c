// Constants and profiles, once for the whole program, each after what it needs.
#include "compiler/meaning/controller.h"
#include "compiler/meaning/evaluate.h"
#include "compiler/meaning/evaluate_chemistry.h"
#include "compiler/meaning/prices.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

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
        profile_.chemistry = profile_.family = none;
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
            work_out_material(program_, profile_, written, profile_.field_spans[formula],
                              chemistry_.tables(), diagnostics);
        } else if (profile_.kind == ProfileKind::glaze) {
            if (!sources_.empty())
                fires_of_sources();
            members_ ? family()
                     : work_out_glaze(program_, profile_, chemistry_.tables(), diagnostics);
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
        case NodeKind::recipe: recipe(module_.child(node, 0)); break;
        case NodeKind::add: ingredients(module_.child(node, 0), profile_.additions, nullptr); break;
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

    // --- recipes ---

    bool makes_a_family(NodeId block) const {
        for (std::uint32_t i = 0; i < module_.tree.count(block); ++i) {
            const NodeKind kind = module_.tree[module_.child(block, i)].kind;
            if (kind == NodeKind::for_each || kind == NodeKind::when)
                return true;
        }
        return false;
    }

    void recipe(NodeId block) {
        if (!makes_a_family(block))
            return ingredients(block, profile_.recipe, nullptr);
        profile_.recipe.clear();
        Value* frame = evaluator_.enter(declaration_.frame_size);
        members_.emplace();
        members(block, {}, {}, frame);
        evaluator_.leave(frame);
    }

    void ingredients(NodeId block, std::vector<ProfileShare>& into, Value* frame) {
        for (std::uint32_t i = 0; i < module_.tree.count(block); ++i) {
            const NodeId part = module_.child(block, i);
            if (module_.tree[part].kind == NodeKind::ingredient)
                ingredient(part, into, frame);
        }
    }

    void ingredient(NodeId part, std::vector<ProfileShare>& into, Value* frame) {
        const NodeId name = module_.child(part, 0);
        ProfileShare share;
        share.name = intern(name);
        share.amount =
            evaluator_
                .evaluate_known(declaration_.module, module_.child(part, 1), frame, "this recipe")
                .number;
        share.span = module_.span(part);
        if (module_.info[name].kind == RefKind::declaration)
            share.material = program_.declarations[module_.info[name].index].profile;
        // In a family, a member at the end of its line has nothing of the other end.
        if (frame != nullptr && std::abs(share.amount) < 1e-9)
            return;
        if (share.material == none ||
            program_.profiles[share.material].kind != ProfileKind::glaze) {
            return replace(into, share);
        }
        whole_glaze(share, into);
    }

    // A glaze in a recipe is so much of its dry mixture, additions and all.
    void whole_glaze(const ProfileShare& share, std::vector<ProfileShare>& into) {
        const Profile& glaze = program_.profiles[share.material];
        if (glaze.chemistry == none) {
            if (program_.declarations[glaze.declaration].usable) {
                evaluator_.diagnostics().report(
                    DiagnosticKind::bad_recipe, share.span,
                    fmt::format("{} has no recipe of its own to take so much of",
                                program_.name(program_.declarations[glaze.declaration].name)));
            }
            return;
        }
        sources_.push_back(share.material);
        double parts = 0;
        for (const auto* list : {&glaze.recipe, &glaze.additions}) {
            for (const ProfileShare& entry : *list)
                parts += entry.amount;
        }
        for (const auto* list : {&glaze.recipe, &glaze.additions}) {
            for (ProfileShare entry : *list) {
                entry.amount *= share.amount / parts;
                entry.span = share.span;
                const auto same = std::find_if(into.begin(), into.end(), [&](const auto& other) {
                    return other.material == entry.material;
                });
                if (same == into.end()) {
                    into.push_back(entry);
                } else {
                    same->amount += entry.amount;
                }
            }
        }
    }

    // Goes through `for each` and `when`; every innermost block makes one member.
    void members(NodeId block, std::vector<ProfileShare> lines,
                 std::vector<std::pair<std::string, std::uint32_t>> places, Value* frame) {
        if (!evaluator_.spend(declaration_.module, block) || too_many_members_)
            return;
        if (members_->size() == most_members) {
            too_many_members_ = true;
            evaluator_.diagnostics().report(
                DiagnosticKind::bad_recipe, module_.span(module_.child(declaration_.node, 0)),
                fmt::format("a family has at most {} members", most_members));
            return;
        }
        ingredients(block, lines, frame);
        for (std::uint32_t i = 0; i < module_.tree.count(block); ++i) {
            const NodeId node = module_.child(block, i);
            if (module_.tree[node].kind == NodeKind::when) {
                if (evaluator_.evaluate(declaration_.module, module_.child(node, 0), frame).yes())
                    members(module_.child(node, 1), lines, places, frame);
                return;
            }
            if (module_.tree[node].kind != NodeKind::for_each)
                continue;
            const Value list =
                evaluator_.evaluate(declaration_.module, module_.child(node, 1), frame);
            if (!list.is(ValueKind::list))
                return;
            places.emplace_back();
            for (std::uint32_t k = 0; k < list.index; ++k) {
                const Value& value = list.as_list()[k];
                frame[module_.info[node].index] = value;
                places.back() = {fmt::format("{} {}", module_.tree.source(module_.child(node, 0)),
                                             print_value(program_, value, module_.info[node].type)),
                                 k};
                members(module_.child(node, 2), lines, places, frame);
            }
            return;
        }
        GlazeMember member;
        for (const auto& [label, place] : places)
            member.label += (member.label.empty() ? "" : ", ") + label;
        if (!places.empty())
            member.column = places.back().second;
        if (places.size() > 1)
            member.row = places[places.size() - 2].second;
        member.profile.recipe = std::move(lines);
        members_->push_back(std::move(member));
    }

    // The chemistry of every member, and for the family what a fire for all of them has to mind.
    void family() {
        const ChemistryTables& tables = chemistry_.tables();
        GlazeFamily made;
        for (GlazeMember& member : *members_) {
            std::vector<ProfileShare> lines = std::move(member.profile.recipe);
            member.profile = profile_;
            member.profile.recipe = std::move(lines);
            work_out_glaze(program_, member.profile, tables, evaluator_.diagnostics());
            if (evaluator_.diagnostics().has_errors() && member.profile.chemistry == none)
                return;
            if (member.profile.chemistry != none)
                made.members.push_back(std::move(member));
        }
        if (made.members.empty()) {
            evaluator_.diagnostics().report(
                DiagnosticKind::bad_recipe, module_.span(module_.child(declaration_.node, 0)),
                fmt::format("the family {} has no members", program_.name(declaration_.name)));
            return;
        }
        mind_all(made);
        profile_.family = static_cast<std::uint32_t>(program_.families.size());
        program_.families.push_back(std::move(made));
    }

    void mind_all(const GlazeFamily& family) {
        const auto fields = fields_of(Holder::glaze);
        for (std::uint32_t i = 0; i < fields.size(); ++i) {
            if (!fields[i].computed || fields[i].name == "atmosphere")
                continue;
            Value all = family.members.front().profile.fields[i];
            for (const GlazeMember& member : family.members)
                all = minded(fields[i].name, all, member.profile.fields[i]);
            profile_.fields[i] = all.known() ? all : missing(i);
        }
    }

    // The most that any has; of where gas begins, the least; a ratio of silica belongs to one
    // glaze.
    Value minded(std::string_view name, const Value& a, const Value& b) {
        if (name == "silica_per_alumina" || name == "expansion")
            return {};
        if (!a.known() || !b.known())
            return a.is(ValueKind::unknown) ? a : b;
        if (a.is(ValueKind::quantity)) {
            const bool least = name == "gas_from";
            return (a.number < b.number) == least ? a : b;
        }
        if (!a.is(ValueKind::list) && !a.is(ValueKind::range))
            return a;
        std::vector<Value> all;
        for (std::uint32_t i = 0; i < a.index; ++i) {
            const Value &x = a.as_list()[i], &y = b.as_list()[i];
            const bool least = a.is(ValueKind::range) && i == 0;
            all.push_back((x.number < y.number) == least ? x : y);
        }
        return Value::sequence(a.kind, program_.arena.copy(all));
    }

    // The cones and the atmosphere that suit all glazes that are blended.
    void fires_of_sources() {
        const auto fires = static_cast<std::size_t>(field::at(Holder::glaze, "fires"));
        const auto air = static_cast<std::size_t>(field::at(Holder::glaze, "atmosphere"));
        Value together = profile_.fields[fires], atmosphere = profile_.fields[air];
        std::string who = fmt::format("{}", program_.name(declaration_.name));
        for (const std::uint32_t source : sources_) {
            const Profile& glaze = program_.profiles[source];
            const std::string_view name =
                program_.name(program_.declarations[glaze.declaration].name);
            const Value &cones = glaze.fields[fires], &needs = glaze.fields[air];
            if (cones.is(ValueKind::range)) {
                if (together.is(ValueKind::range) &&
                    (cones.low().number > together.high().number ||
                     cones.high().number < together.low().number)) {
                    return differ(name, cones, who, together, "to");
                }
                if (together.is(ValueKind::range)) {
                    const Value ends[] = {
                        cones.low().number > together.low().number ? cones.low() : together.low(),
                        cones.high().number < together.high().number ? cones.high()
                                                                     : together.high()};
                    together = Value::sequence(ValueKind::range, program_.arena.copy(ends));
                } else {
                    together = cones;
                    who = name;
                }
            }
            if (needs.known() && atmosphere.known() && needs.index != atmosphere.index)
                return differ(name, needs, who, atmosphere, "in");
            if (needs.known())
                atmosphere = needs;
        }
        profile_.fields[fires] = together.known() ? together : profile_.fields[fires];
        profile_.fields[air] = atmosphere.known() ? atmosphere : profile_.fields[air];
    }

    void differ(std::string_view name, const Value& its, std::string_view other,
                const Value& others, std::string_view where) {
        const auto words = [&](const Value& value) {
            return print_value(program_, value, Types::cone);
        };
        evaluator_.diagnostics()
            .report(DiagnosticKind::different_fires,
                    module_.span(module_.child(declaration_.node, 0)),
                    fmt::format("no one fire suits what {0} blends: {1} is fired {5} {2}, {3} {5} "
                                "{4}",
                                program_.name(declaration_.name), name, words(its), other,
                                words(others), where))
            .mend("blend glazes that share a cone and an atmosphere, or fire the tiles in two "
                  "firings");
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
    std::optional<std::vector<GlazeMember>> members_;   // of a family
    std::vector<std::uint32_t> sources_;                // glazes in the recipe
    static constexpr std::size_t most_members = 10'000; // limit of the language
    bool too_many_members_ = false;
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
