/* Settling what is written out: numbers, quantities, texts, lists, ranges. */
#include "meaning/settle.h"

#include "meaning/kind.h"
#include "meaning/unit.h"

#include <stdlib.h>
#include <string.h>

#define DIGITS "0123456789"

bool settle_is_open(const World *world, NodeId node)
{
    const Node *at = world_node(world, node);
    switch (at->form) {
    case NODE_NUMBER:
        return true;
    case NODE_QUANTITY:
        return world_node(world, at->first)->value == KNOWN_percent;
    case NODE_ABOUT: case NODE_TOLERANCE:
        return settle_is_open(world, at->first);
    case NODE_RANGE:
        return settle_is_open(world, world_node(world, at->first)->next);
    case NODE_BINARY:
        return at->extra <= OPERATOR_OVER && settle_is_open(world, at->first)
            && settle_is_open(world, world_node(world, at->first)->next);
    default:
        return false;
    }
}

/* The shares that are declared, as they are written: "% on fibre, % of sheet, …". */
static const char *share_readings(World *world, KindId basis)
{
    const char *text = "one of: ";
    uint32_t count = 0;
    for (KindId kind = 1; kind < world->kinds.count && count < 5; kind++) {
        UnitId shown = world->kinds.at[kind].shown;
        if (world->kinds.at[kind].name == 0 || shown == 0 || !kind_is_share(world, kind) || kind_same(world, kind, KIND_ONE)) {
            continue;
        }
        if (basis != 0 ? world->units.at[shown].basis != basis : world->units.at[shown].share == 1) {
            continue;
        }
        const char *unit = unit_text(world, shown);
        bool told = false;
        for (KindId earlier = 1; earlier < kind; earlier++) {
            told = told || (world->kinds.at[earlier].shown == shown && world->kinds.at[earlier].name != 0);
        }
        if (!told) {
            text = arena_print(world->scratch, "%s%s%s (%s)", text, count > 0 ? ", " : "", unit,
                               names_text(&world->names, world->kinds.at[kind].name));
            count++;
        }
    }
    return text;
}

static bool is_count(const World *world, KindId kind)
{
    return world->kinds.at[kind].name == KNOWN_count;
}

/* A bare %: of what is told by the place where it stands. */
static Type settle_open_share(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    KindId wanted = TYPE_INDEX(want);
    if (TYPE_SORT(want) == TYPE_NUMBER && kind_is_share(world, wanted) && !is_count(world, wanted)) {
        return want;
    }
    UnitId shown = TYPE_SORT(want) == TYPE_NUMBER ? unit_shown(world, wanted) : 0;
    if (want == 0) {
        message_say(world->messages, SAY_percent_of_what, world_span(world, node), world_written(world, node),
                    share_readings(world, 0), NULL);
    } else if (shown != 0 && unit_text(world, shown)[0] == '%') {
        message_say(world->messages, SAY_percent_of_what, world_span(world, node), world_written(world, node),
                    arena_print(world->scratch, "%s%s", world_written(world, node), unit_text(world, shown) + 1), NULL);
    } else {
        message_say(world->messages, SAY_wrong_kind, world_span(world, node), world_type_text(world, want), "a share", NULL);
    }
    return 0;
}

/* % on fibre: the one declared kind with that basis, unless the place says which. */
static Type settle_based_share(Scope *scope, NodeId node, KindId basis, Type want)
{
    World *world = scope->world;
    if (TYPE_SORT(want) == TYPE_NUMBER) {
        bool share = kind_is_share(world, TYPE_INDEX(want));
        const Expansion *place = &world->expansions.at[world->kinds.at[TYPE_INDEX(want)].expansion];
        for (uint32_t i = 0; i < place->count && share; i++) {
            if (place->factors[i].kind == basis && place->factors[i].power == -1) {
                return want;
            }
        }
        message_say(world->messages, kind_is_share(world, TYPE_INDEX(want)) ? SAY_wrong_basis : SAY_wrong_kind,
                    world_span(world, node), world_type_text(world, want),
                    arena_print(world->scratch, "%s", world_written(world, node)), NULL);
        return 0;
    }
    KindId found = 0;
    for (KindId kind = 1; kind < world->kinds.count; kind++) {
        bool share = kind_is_share(world, kind);
        const Expansion *have = &world->expansions.at[world->kinds.at[kind].expansion];
        bool based = have->count == 2 && share && world->kinds.at[kind].name != 0
            && ((have->factors[0].kind == basis && have->factors[0].power == -1)
                || (have->factors[1].kind == basis && have->factors[1].power == -1));
        if (based && found != 0 && !kind_same(world, kind, found)) {
            message_say(world->messages, SAY_percent_of_what, world_span(world, node), world_written(world, node),
                        share_readings(world, basis), NULL);
            return 0;
        }
        if (based && found == 0) {
            found = kind;
        }
    }
    if (found == 0) {
        message_say(world->messages, SAY_percent_of_what, world_span(world, node), world_written(world, node),
                    share_readings(world, 0), NULL);
        return 0;
    }
    return TYPE(TYPE_NUMBER, found);
}

/* A number is turned into base units once, here. */
static void convert(World *world, NodeId node, UnitId unit)
{
    uint32_t number = world_node(world, node)->value;
    world->bindings.at[node] = unit;
    world->converted.at[number] = unit_to_base(&world->units.at[unit], world->tree.numbers.at[number]);
}

/* What is counted has no thousandths: 2.000 of it are two thousand to whoever parts thousands by points, and two to all else. */
static void refuse_thousandths(World *world, NodeId node)
{
    const char *typed = world_written(world, node);
    size_t whole = strspn(typed, DIGITS);
    if (whole > 0 && whole <= 3 && typed[whole] == '.' && strspn(typed + whole + 1, DIGITS) == 3) {
        const char *behind = typed + whole + 4;
        double number = strtod(typed, NULL);
        message_say(world->messages, SAY_thousandths_of_count, world_span(world, node), typed, arena_print(world->scratch, "%.15g%s", number, behind),
                    arena_print(world->scratch, "%.*s_%.3s%s", (int)whole, typed, typed + whole + 1, behind), NULL);
    }
}

static Type settle_quantity(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    UnitId id = unit_at(world, world_node(world, node)->first);
    if (id == 0) {
        return 0;
    }
    convert(world, node, id);
    const Unit *unit = &world->units.at[id];
    if (unit->share == 1) {
        return settle_open_share(scope, node, want);
    }
    if (unit->share == 2) {
        return settle_based_share(scope, node, unit->basis, want);
    }
    KindId kind = unit->kind, wanted = TYPE_INDEX(want);
    if (is_count(world, kind)) {
        refuse_thousandths(world, node);
    }
    if (TYPE_SORT(want) != TYPE_NUMBER) {
        return TYPE(TYPE_NUMBER, kind);
    }
    if (world->kinds.at[wanted].rise == kind && kind != 0) {
        message_say(world->messages, SAY_level_or_rise, world_span(world, node), kind_text(world, wanted),
                    kind_text(world, kind), NULL);
        return 0;
    }
    if (world->kinds.at[kind].rise != 0 && kind_same(world, world->kinds.at[kind].rise, wanted)) {
        message_say(world->messages, SAY_level_or_rise, world_span(world, node), kind_text(world, wanted),
                    kind_text(world, kind), NULL);
        return 0;
    }
    if (is_count(world, kind) && !is_count(world, wanted) && world->kinds.at[wanted].name != 0
        && kind_same(world, wanted, KIND_ONE)) {
        message_say(world->messages, SAY_wrong_kind, world_span(world, node), world_type_text(world, want), "a count", NULL);
        return 0;
    }
    bool same_unit = kind_fits(world, wanted, kind);
    return same_unit ? want : TYPE(TYPE_NUMBER, kind);
}

/* A number without a unit: a count, a plain number, or the 1 in `1 - moisture`. */
static Type settle_number(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    KindId wanted = TYPE_INDEX(want);
    double value = world->tree.numbers.at[world_node(world, node)->value];
    if (TYPE_SORT(want) == TYPE_NUMBER && is_count(world, wanted)) {
        refuse_thousandths(world, node);
    }
    if (TYPE_SORT(want) != TYPE_NUMBER || kind_same(world, wanted, KIND_ONE)) {
        return TYPE_SORT(want) == TYPE_NUMBER ? want : TYPE(TYPE_NUMBER, KIND_ONE);
    }
    if (kind_is_share(world, wanted) && (value == 0 || value == 1)) {
        return want;
    }
    const Kind *kind = &world->kinds.at[wanted];
    if (kind->compares && (kind->shown == 0 || names_text(&world->names, world->units.at[kind->shown].name)[0] == 'p')) {
        return want;
    }
    UnitId shown = unit_shown(world, wanted);
    message_say(world->messages, SAY_number_without_unit, world_span(world, node), world_written(world, node),
                world_type_text(world, want),
                shown == 0 ? "its unit" : arena_print(world->scratch, "%s %s", world_written(world, node), unit_text(world, shown)),
                NULL);
    return 0;
}

static Type settle_text(Scope *scope, NodeId node)
{
    World *world = scope->world;
    for (NodeId part = world_node(world, node)->first; part != 0; part = world_node(world, part)->next) {
        if (world_node(world, part)->form == NODE_FILL) {
            NodeId inner = world_node(world, part)->first;
            Type type = settle(scope, inner, 0);
            world->types.at[part] = type;
            if (TYPE_SORT(type) == TYPE_SET) {
                message_say(world->messages, SAY_wrong_kind, world_span(world, inner), "a number, a word or a text",
                            world_type_text(world, type), NULL);
            }
        }
    }
    return TYPE(TYPE_TEXT, 0);
}

static Type settle_list(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    Type element = TYPE_SORT(want) == TYPE_LIST ? world->element_types.at[TYPE_INDEX(want)] : want;
    NodeId unit_node = 0;
    for (NodeId item = world_node(world, node)->first; item != 0; item = world_node(world, item)->next) {
        if (world_node(world, item)->form == NODE_UNIT) {
            unit_node = item;
        }
    }
    if (unit_node != 0) {
        UnitId unit = unit_at(world, unit_node);
        if (unit == 0) {
            return 0;
        }
        world->bindings.at[unit_node] = unit;
        if (element == 0) {
            element = TYPE(TYPE_NUMBER, world->units.at[unit].kind);
        }
    }
    for (NodeId item = world_node(world, node)->first; item != 0; item = world_node(world, item)->next) {
        if (item == unit_node) {
            break;
        }
        bool bare = unit_node != 0 && world_node(world, item)->form == NODE_NUMBER;
        Type type = bare ? element : settle(scope, item, element);
        if (bare) {
            world->types.at[item] = element;
            convert(world, item, world->bindings.at[unit_node]);
        }
        if (type == 0) {
            return 0;
        }
        element = element == 0 ? type : element;
    }
    for (uint32_t i = 1; i < world->element_types.count; i++) {
        if (world->element_types.at[i] == element) {
            return TYPE(TYPE_LIST, i);
        }
    }
    list_push(world->memory, &world->element_types, element);
    return TYPE(TYPE_LIST, world->element_types.count - 1);
}

/* What a side is is told by the unit that the lexer owns, as in declare_type. */
static bool is_side(const World *world, Type type)
{
    UnitId inch = KNOWN_in < world->unit_by_name.count ? world->unit_by_name.at[KNOWN_in] : 0;
    return TYPE_SORT(type) == TYPE_NUMBER && TYPE_INDEX(type) != KIND_ONE
        && (inch == 0 || kind_fits(world, TYPE_INDEX(type), world->units.at[inch].kind));
}

static Type settle_size(Scope *scope, NodeId node)
{
    World *world = scope->world;
    NodeId length = world_node(world, node)->first, width = world_node(world, length)->next;
    bool bare = settle_is_open(world, length); /* then the other side tells what is lacking */
    Type one = settle(scope, bare ? width : length, 0);
    Type other = one == 0 ? 0 : settle(scope, bare ? length : width, is_side(world, one) ? one : 0);
    if (one == 0 || other == 0) {
        return 0;
    }
    if (!is_side(world, one) || !is_side(world, other)) {
        message_say(world->messages, SAY_size_of_lengths, world_span(world, node), NULL);
        return 0;
    }
    return TYPE(TYPE_SIZE, TYPE_INDEX(one));
}

/* The number in front of `..` takes the unit of the one behind it. */
static Type settle_range(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    NodeId low = world_node(world, node)->first, high = world_node(world, low)->next;
    Type type = settle(scope, high, TYPE_SORT(want) == TYPE_BAND ? TYPE(TYPE_NUMBER, TYPE_INDEX(want)) : want);
    if (type == 0) {
        return 0;
    }
    if (world_node(world, low)->form == NODE_NUMBER && world_node(world, high)->form == NODE_QUANTITY) {
        world->types.at[low] = type;
        convert(world, low, world->bindings.at[high]);
    } else if (settle(scope, low, type) == 0) {
        return 0;
    }
    if (TYPE_SORT(type) != TYPE_NUMBER) {
        return 0;
    }
    return TYPE(TYPE_BAND, TYPE_INDEX(type));
}

/* 43 °C ± 2 K, 300 g/m² ± 5 %: a percentage is of the aim, anything else a rise of its kind. */
static Type settle_tolerance(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    NodeId aim = world_node(world, node)->first, allowed = world_node(world, aim)->next;
    bool band = TYPE_SORT(want) == TYPE_BAND;
    Type type = settle(scope, aim, band ? TYPE(TYPE_NUMBER, TYPE_INDEX(want)) : want);
    if (type == 0 || TYPE_SORT(type) != TYPE_NUMBER) {
        return 0;
    }
    KindId kind = TYPE_INDEX(type), rise = world->kinds.at[kind].rise != 0 ? world->kinds.at[kind].rise : kind;
    const Node *beside = world_node(world, allowed);
    bool relative = beside->form == NODE_QUANTITY && world_node(world, beside->first)->value == KNOWN_percent
        && !(kind_is_share(world, kind) && world->kinds.at[kind].rise != 0);
    if (settle(scope, allowed, TYPE(TYPE_NUMBER, relative ? KIND_ONE : rise)) == 0) {
        return 0;
    }
    world->bindings.at[node] = relative;
    return band ? TYPE(TYPE_BAND, kind) : type;
}

static Type settle_about(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    NodeId typical = world_node(world, node)->first, range = world_node(world, typical)->next;
    Type type = settle(scope, typical, want);
    if (type == 0 || TYPE_SORT(type) != TYPE_NUMBER) {
        return type;
    }
    if (range != 0 && settle(scope, range, TYPE(TYPE_BAND, TYPE_INDEX(type))) == 0) {
        return 0;
    }
    if (range != 0 && BOUND_OF(world->bindings.at[node]) == BOUND_NOTHING) {
        list_push(world->memory, &world->abouts, node);
        world->bindings.at[node] = BIND(BOUND_SLOT, world->abouts.count - 1);
    }
    return type;
}

static Type settle_conversion(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    NodeId inner = world_node(world, node)->first, unit_node = world_node(world, inner)->next;
    Type type = settle(scope, inner, want);
    UnitId unit = unit_at(world, unit_node);
    if (type == 0 || unit == 0) {
        return 0;
    }
    world->bindings.at[unit_node] = unit;
    KindId kind = world->units.at[unit].share != 0 ? KIND_ONE : world->units.at[unit].kind;
    if (TYPE_SORT(type) != TYPE_NUMBER || !kind_same_dimension(world, TYPE_INDEX(type), kind)) {
        message_say(world->messages, SAY_cannot_be_shown_in, world_span(world, node), world_type_text(world, type),
                    unit_text(world, unit), NULL);
        return 0;
    }
    return type;
}

/* A date or a time of day takes the kind of dates that its place asks for. */
static Type settle_date(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    if (TYPE_SORT(want) == TYPE_NUMBER && unit_of_day(world, TYPE_INDEX(want)) != 0) {
        return want;
    }
    KindId kind = want == 0 ? kind_of_day(world) : 0;
    if (kind != 0) {
        return TYPE(TYPE_NUMBER, kind);
    }
    message_say(world->messages, SAY_wrong_kind, world_span(world, node), world_type_text(world, want), "a date", NULL);
    return 0;
}

Type settle_literal(Scope *scope, NodeId node, Type want)
{
    switch ((NodeForm)world_node(scope->world, node)->form) {
    case NODE_NUMBER:
        return settle_number(scope, node, want);
    case NODE_QUANTITY:
        return settle_quantity(scope, node, want);
    case NODE_TEXT:
        return settle_text(scope, node);
    case NODE_LIST:
        return settle_list(scope, node, want);
    case NODE_SIZE:
        return settle_size(scope, node);
    case NODE_RANGE:
        return settle_range(scope, node, want);
    case NODE_TOLERANCE:
        return settle_tolerance(scope, node, want);
    case NODE_ABOUT:
        return settle_about(scope, node, want);
    case NODE_CONVERT:
        return settle_conversion(scope, node, want);
    case NODE_DATE: case NODE_CLOCK:
        return settle_date(scope, node, want);
    case NODE_UNIT:
        message_say(scope->world->messages, SAY_unit_alone, world_span(scope->world, node), world_written(scope->world, node),
                    NULL);
        return 0;
    default:
        return 0;
    }
}
