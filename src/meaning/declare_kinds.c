/* Declaring kinds, bases and units. */
#include "meaning/declare.h"

#include "meaning/kind.h"
#include "meaning/line.h"
#include "meaning/unit.h"

#include "base/limits.h"

/* A kind's name is known before its line is read: `of` may name a kind that comes later. */
void declare_kind_name(World *world, NodeId line)
{
    Name name = declare_first_name(world, line, "kind");
    if (name == 0) {
        return;
    }
    bool of_others = line_behind(world, line, KNOWN_of) != 0 && line_behind(world, line, KNOWN_levels) == 0;
    if (!of_others && world->kinds.count >= LIMIT_KINDS) {
        message_say(world->messages, SAY_too_many_kinds, line_span(world, line), NULL);
        world_declare(world, SPACE_KIND, name, WORLD_BROKEN);
        return;
    }
    KindId kind = of_others ? list_add(world->memory, &world->kinds) : kind_add_base(world, name, 0, line);
    world->kinds.at[kind].name = name;
    world->kinds.at[kind].line = line;
    if (of_others) {
        world->kinds.at[kind].expansion = UINT32_MAX; /* not read yet */
    }
    declare_name(world, SPACE_KIND, name, kind, world_node(world, line)->first);
}

static KindId kind_of_name(World *world, NodeId node)
{
    Name name = world_node(world, node)->value;
    KindId kind = kind_named(world, name);
    if (kind == 0 && world_declared(world, SPACE_KIND, name) != WORLD_BROKEN) {
        message_say(world->messages, SAY_unknown_name, world_span(world, node), "kind", world_word(world, name),
                    world_guess(world, name, SPACE_KIND), NULL);
        world_declare(world, SPACE_KIND, name, WORLD_BROKEN);
    }
    if (kind != 0) {
        declare_kind(world, kind);
    }
    return kind;
}

/* mass / area, length ^ 2, 1 */
static KindId kind_of_expression(World *world, NodeId node)
{
    const Node *at = world_node(world, node);
    if (at->form == NODE_NAME) {
        return kind_of_name(world, node);
    }
    if (at->form == NODE_NUMBER && world->tree.numbers.at[at->value] == 1) {
        return KIND_ONE;
    }
    if (at->form == NODE_BINARY && at->extra == OPERATOR_POWER) {
        KindId base = kind_of_expression(world, at->first);
        const Node *power = world_node(world, world_node(world, world_node(world, node)->first)->next);
        if (power->form == NODE_NUMBER) {
            return base == 0 ? 0 : kind_power(world, base, (int)world->tree.numbers.at[power->value]);
        }
    } else if (at->form == NODE_BINARY && (at->extra == OPERATOR_TIMES || at->extra == OPERATOR_OVER)) {
        int sign = at->extra == OPERATOR_TIMES ? 1 : -1;
        NodeId right = world_node(world, at->first)->next;
        KindId one = kind_of_expression(world, at->first), other = kind_of_expression(world, right);
        return kind_product(world, one, other, sign);
    } else if (at->form == NODE_NARROW) {
        return kind_of_expression(world, at->first);
    }
    message_say(world->messages, SAY_kind_of_kinds, world_span(world, node), NULL);
    return 0;
}

void declare_kind(World *world, KindId kind)
{
    NodeId line = world->kinds.at[kind].line;
    if (line == 0 || world->kinds.at[kind].marks != 0) {
        return;
    }
    world->kinds.at[kind].marks = 1;
    NodeId of = line_behind(world, line, KNOWN_of), within = line_behind(world, line, KNOWN_within);
    NodeId levels = line_behind(world, line, KNOWN_levels);
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (line_is_word(world, part, KNOWN_compares)) {
            world->kinds.at[kind].compares = true;
        }
    }
    if (levels != 0) {
        world->kinds.at[kind].rise = of != 0 && world_node(world, of)->form == NODE_NAME ? kind_of_name(world, of) : 0;
    } else if (of != 0) {
        world->kinds.at[kind].expansion = 0; /* a ring of kinds reads as one */
        KindId expanded = kind_of_expression(world, of);
        world->kinds.at[kind].expansion = expanded == 0 ? 0 : world->kinds.at[expanded].expansion;
    } else if (within != 0 && world_node(world, within)->form == NODE_NAME) {
        KindId whole = kind_of_name(world, within);
        if (whole != 0 && (!kind_is_single(world, whole) || kind_within(world, whole, kind))) {
            message_say(world->messages, SAY_within_one_kind, world_span(world, within), NULL);
            whole = 0;
        }
        if (whole != 0) { /* a name for a base kind stands for it */
            whole = world->expansions.at[world->kinds.at[whole].expansion].factors[0].kind;
        }
        world->kinds.at[kind].whole = whole;
    }
}

/* Levels without a scale of their own are dates: they are counted in a unit of what lies between two of them. */
static KindId shown_as(const World *world, KindId kind)
{
    KindId rise = world->kinds.at[kind].rise;
    for (UnitId unit = 1; rise != 0 && unit < world->units.count; unit++) {
        if (world->units.at[unit].kind == kind) {
            return kind;
        }
    }
    return rise != 0 ? rise : kind;
}

void declare_shown(World *world, KindId kind)
{
    NodeId line = world->kinds.at[kind].line;
    NodeId shown = line == 0 ? 0 : line_shown(world, line);
    if (shown == 0) {
        return;
    }
    UnitId unit = unit_at(world, shown);
    if (unit == 0) {
        return;
    }
    const Unit *at = &world->units.at[unit];
    KindId of = at->share != 0 ? KIND_ONE : at->kind;
    if (!kind_same_dimension(world, of, shown_as(world, kind))) {
        message_say(world->messages, SAY_cannot_be_shown_in, world_span(world, shown), kind_text(world, kind),
                    unit_text(world, unit), NULL);
        return;
    }
    world->kinds.at[kind].shown = unit;
}

void declare_basis(World *world, NodeId line)
{
    Name name = declare_first_name(world, line, "basis");
    NodeId of = line_behind(world, line, KNOWN_of);
    if (name == 0 || of == 0) {
        return;
    }
    KindId kind = kind_of_expression(world, of);
    if (kind == 0 || !kind_is_single(world, kind)) {
        return;
    }
    for (uint32_t i = 1; i < world->bases.count; i++) {
        if (world->bases.at[i].name == name) {
            message_say(world->messages, SAY_name_taken, world_span(world, world_node(world, line)->first),
                        world_word(world, name), NULL);
            return;
        }
    }
    KindId base = world->expansions.at[world->kinds.at[kind].expansion].factors[0].kind;
    list_push(world->memory, &world->bases, (Basis){name, base, line});
}

/* A unit's value may be told in units that come later: names first. */
void declare_unit_name(Lot *lot, NodeId line)
{
    World *world = lot->world;
    NodeId first = world_node(world, line)->first;
    if (first == 0 || world_node(world, first)->form != NODE_UNIT) {
        if (!line_unreadable(world, line)) {
            message_say(world->messages, SAY_name_missing, line_span(world, line), "unit", NULL);
        }
        return;
    }
    Name name = world_node(world, first)->value;
    if (name < world->unit_by_name.count && world->unit_by_name.at[name] != 0) {
        Message *message = message_say(world->messages, SAY_name_taken, world_span(world, first), world_word(world, name), NULL);
        NodeId other = world->units.at[world->unit_by_name.at[name]].line;
        if (other != 0) {
            message_also(world->messages, message, world_span(world, other), "here");
        }
        return;
    }
    UnitId unit = unit_declare(world, (Unit){.name = name, .line = line, .marks = line_marks(world, line)});
    for (NodeId part = line_behind(world, line, KNOWN_also); part != 0; part = world_node(world, part)->next) {
        const Node *at = world_node(world, part);
        if (at->form != NODE_NAME && at->form != NODE_UNIT) {
            break;
        }
        Name other = at->value;
        while (world->unit_by_name.count <= other) {
            list_push(world->memory, &world->unit_by_name, 0);
        }
        if (world->unit_by_name.at[other] != 0) {
            message_say(world->messages, SAY_name_taken, world_span(world, part), world_word(world, other), NULL);
        } else {
            world->unit_by_name.at[other] = unit;
        }
    }
}

typedef struct Measure { KindId kind; double factor; bool plain; } Measure;

/* 0.45359237 kg, 1 lb / 16, 1 N * 1 m */
static Measure measure_of(World *world, NodeId node)
{
    const Node *at = world_node(world, node);
    double value = at->form == NODE_NUMBER || at->form == NODE_QUANTITY ? world->tree.numbers.at[at->value] : 0;
    if (at->form == NODE_NUMBER) {
        return (Measure){KIND_ONE, value, true};
    }
    if (at->form == NODE_QUANTITY) {
        UnitId id = unit_at(world, at->first);
        if (id == 0) {
            return (Measure){0, 1, false};
        }
        declare_unit(world, id);
        const Unit *unit = &world->units.at[id];
        return (Measure){unit->kind, unit_to_base(&(Unit){.factor = unit->factor}, value), false};
    }
    if (at->form == NODE_BINARY && (at->extra == OPERATOR_TIMES || at->extra == OPERATOR_OVER)) {
        bool times = at->extra == OPERATOR_TIMES;
        NodeId left = at->first, right = world_node(world, left)->next;
        Measure one = measure_of(world, left), other = measure_of(world, right);
        return (Measure){kind_product(world, one.kind, other.kind, times ? 1 : -1),
                         times ? one.factor * other.factor : one.factor / other.factor, false};
    }
    message_say(world->messages, SAY_unit_of_units, world_span(world, node), NULL);
    return (Measure){0, 1, false};
}

void declare_unit(World *world, UnitId id)
{
    NodeId line = world->units.at[id].line;
    if (line == 0 || world->units.at[id].factor != 0) {
        return;
    }
    world->units.at[id].factor = 1; /* a ring of units ends here */
    NodeId value = line_bound(world, line), of = line_behind(world, line, KNOWN_of);
    NodeId either = line_behind(world, line, KNOWN_either), from = line_behind(world, line, KNOWN_from);
    if (either != 0) {
        world->units.at[id].either = either;
        return;
    }
    Measure measure = value != 0 ? measure_of(world, value) : (Measure){KIND_ONE, 1, true};
    KindId kind = of != 0 ? kind_of_expression(world, of) : measure.kind;
    if (value != 0 && of != 0 && kind != 0 && measure.kind != 0 && !measure.plain
        && !kind_same_dimension(world, measure.kind, kind)) {
        message_say(world->messages, SAY_wrong_kind, world_span(world, value), kind_text(world, kind),
                    kind_text(world, measure.kind), NULL);
    }
    Unit *unit = &world->units.at[id];
    unit->kind = kind == 0 ? KIND_ONE : kind;
    unit->factor = measure.factor;
    if (from != 0) {
        Measure zero = measure_of(world, from);
        unit = &world->units.at[id];
        unit->from = zero.factor;
        for (KindId level = 1; level < world->kinds.count; level++) {
            if (world->kinds.at[level].rise != 0 && kind_same(world, world->kinds.at[level].rise, unit->kind)) {
                unit->kind = level;
                break;
            }
        }
    }
    const Kind *of_kind = &world->kinds.at[world->units.at[id].kind];
    if (of_kind->name != KNOWN_count && kind_same(world, world->units.at[id].kind, KIND_ONE)
        && (unit->factor < 1 || unit->name == KNOWN_percent)) {
        world->units.at[id].share = 1;
    }
}
