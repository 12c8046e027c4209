/* Reading, putting together and showing units. */
#include "meaning/unit.h"

#include "meaning/declare.h"
#include "meaning/kind.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

static void remember(World *world, Name spelling, UnitId unit)
{
    while (world->unit_by_name.count <= spelling) {
        list_push(world->memory, &world->unit_by_name, 0);
    }
    world->unit_by_name.at[spelling] = unit;
}

UnitId unit_declare(World *world, Unit unit)
{
    list_push(world->memory, &world->units, unit);
    UnitId id = world->units.count - 1;
    remember(world, unit.name, id);
    return id;
}

/* A factor below one that is one over a whole number is kept as that number, below zero:
 * dividing by 1000 rounds once, multiplying by 0.001 twice. */
static double over_or_times(double factor, double value, bool back)
{
    double whole = factor > 0 && factor < 1 ? 1 / factor : 0;
    double rounded = floor(whole + 0.5);
    bool divides = whole != 0 && whole < 1e15 && fabs(whole - rounded) <= rounded * 2e-16;
    if (divides) {
        return back ? value * rounded : value / rounded;
    }
    return back ? value / factor : value * factor;
}

double unit_to_base(const Unit *unit, double value)
{
    return over_or_times(unit->factor, value, false) + unit->from;
}

double unit_from_base(const Unit *unit, double value)
{
    return over_or_times(unit->factor, value - unit->from, true);
}

/* "% on fibre", "% of sheet-as-it-is" */
static UnitId share_on_basis(World *world, Name spelling, const char *text)
{
    if (strncmp(text, "% on ", 5) != 0 && strncmp(text, "% of ", 5) != 0) {
        return 0;
    }
    Name name = names_find(&world->names, text + 5, strlen(text + 5));
    for (uint32_t i = 1; i < world->bases.count && name != 0; i++) {
        if (world->bases.at[i].name == name) {
            return unit_declare(world, (Unit){.name = spelling, .kind = KIND_ONE, .factor = 0.01, .share = 2,
                                              .basis = world->bases.at[i].kind});
        }
    }
    return 0;
}

enum { MOST_RAISED = 9 };
static const char *const raised[MOST_RAISED + 1] = {"", "", "²", "³", "⁴", "⁵", "⁶", "⁷", "⁸", "⁹"};

/* One factor of a unit put together: "m²", "kg". Its length in *LENGTH is without the exponent. */
static int exponent_behind(const char *text, size_t length, size_t *name_length)
{
    for (int power = 2; power <= MOST_RAISED; power++) {
        size_t sign = strlen(raised[power]);
        if (length > sign && memcmp(text + length - sign, raised[power], sign) == 0) {
            *name_length = length - sign;
            return power;
        }
    }
    *name_length = length;
    if (length > 1 && text[length - 1] >= '2' && text[length - 1] <= '9') {
        *name_length = length - 1 - (length > 2 && text[length - 2] == '^' ? 1u : 0u);
        return text[length - 1] - '0';
    }
    return 1;
}

static UnitId put_together(World *world, Name spelling)
{
    const char *text = world_word(world, spelling);
    Unit unit = {.name = spelling, .kind = KIND_ONE, .factor = 1};
    int sign = 1;
    uint32_t parts = 0;
    while (*text != 0) {
        size_t length = 0;
        while (text[length] != 0 && text[length] != '/' && strncmp(text + length, "·", 2) != 0) {
            length++;
        }
        size_t name_length;
        int power = sign * exponent_behind(text, length, &name_length);
        Name name = names_find(&world->names, text, name_length);
        UnitId part = name != 0 && name < world->unit_by_name.count ? world->unit_by_name.at[name] : 0;
        if (name_length == 1 && text[0] == '1' && parts == 0) {
            part = 0; /* "1/h" */
        } else if (part == 0) {
            return 0;
        }
        if (part != 0) {
            declare_unit(world, part); /* its line may come later */
            const Unit *factor = &world->units.at[part];
            if (factor->either != 0 || factor->from != 0 || factor->share == 2) {
                return 0;
            }
            unit.kind = kind_product(world, unit.kind, kind_power(world, factor->kind, power < 0 ? -power : power), sign);
            for (int i = 0; i < (power < 0 ? -power : power); i++) {
                unit.factor = sign > 0 ? unit.factor * factor->factor : unit.factor / factor->factor;
            }
        }
        parts++;
        text += length;
        if (*text == '/') {
            sign = -1;
            text++;
        } else if (*text != 0) {
            sign = 1;
            text += 2;
        }
    }
    return parts > 1 || strlen(world_text(world, spelling)) > 1 ? unit_declare(world, unit) : 0;
}

UnitId unit_of(World *world, Name spelling)
{
    if (spelling < world->unit_by_name.count && world->unit_by_name.at[spelling] != 0) {
        return world->unit_by_name.at[spelling];
    }
    const char *text = names_text(&world->names, spelling);
    if (text[0] == '%') {
        if (spelling == KNOWN_percent) {
            return unit_declare(world, (Unit){.name = spelling, .kind = KIND_ONE, .factor = 0.01, .share = 1});
        }
        return share_on_basis(world, spelling, world_word(world, spelling));
    }
    return put_together(world, spelling);
}

static const char *readings(World *world, NodeId either)
{
    const char *text = "";
    for (NodeId part = either; part != 0; part = world_node(world, part)->next) {
        const Node *node = world_node(world, part);
        if (node->form == NODE_NAME && node->value == KNOWN_also) {
            break;
        }
        if (node->form == NODE_NAME || node->form == NODE_UNIT) {
            text = arena_print(world->scratch, "%s%s%s", text, *text ? " or " : "", world_text(world, node->value));
        }
    }
    return text;
}

static Name nearest_unit(World *world, Name name)
{
    TextNearest search = {.to = names_text(&world->names, name)};
    Name nearest = 0;
    for (Name other = 1; other < world->unit_by_name.count && messages_heard(world->messages); other++) {
        if (world->unit_by_name.at[other] != 0) { /* NAME itself is none */
            const char *known = names_text(&world->names, other);
            text_nearest(&search, known);
            nearest = search.nearest == known ? other : nearest;
        }
    }
    return nearest;
}

UnitId unit_at(World *world, NodeId node)
{
    Name spelling = world_node(world, node)->value;
    UnitId unit = unit_of(world, spelling);
    Span span = world_span(world, node);
    if (unit == 0) {
        const char *text = world_word(world, spelling);
        if (text[0] == '%') {
            message_say(world->messages, SAY_unknown_basis, span, text, NULL);
            return 0;
        }
        Name nearest = nearest_unit(world, spelling);
        const char *advice = "If it is meant as a word, put a comma in front of it.";
        if (strcmp(text, "x") == 0) {
            advice = "Between the sides of a size stands `by`, as in 22 in by 30 in.";
        } else if (nearest != 0) {
            advice = arena_print(world->scratch, "Did you mean %s?", world_text(world, nearest));
        }
        message_say(world->messages, SAY_unknown_unit, span, text, advice, NULL);
        return 0;
    }
    if (world->units.at[unit].either != 0) {
        const char *text = world_word(world, spelling);
        message_say(world->messages, SAY_two_readings_of_unit, span, text,
                    readings(world, world->units.at[unit].either), NULL);
        return 0;
    }
    return unit;
}

const char *unit_text(const World *world, UnitId unit)
{
    return names_text(&world->names, world->units.at[unit].name);
}

static UnitId unit_of_factors(World *world, KindId kind)
{
    Expansion expansion = world->expansions.at[world->kinds.at[kind].expansion];
    char over[256] = "", under[256] = "";
    for (uint32_t i = 0; i < expansion.count; i++) {
        UnitId part = unit_shown(world, expansion.factors[i].kind);
        int power = expansion.factors[i].power;
        int times = power > 0 ? power : -power;
        if (part == 0 || times > MOST_RAISED) {
            return 0;
        }
        char *side = power > 0 ? over : under;
        size_t used = strlen(side);
        snprintf(side + used, 256 - used, "%s%s%s", power > 0 ? (used ? "·" : "") : "/", unit_text(world, part),
                 raised[times]);
    }
    char text[512];
    snprintf(text, sizeof text, "%s%s", *over ? over : "1", under);
    return unit_of(world, names_of(&world->names, world->memory, text));
}

UnitId unit_shown(World *world, KindId kind)
{
    if (kind == 0 || kind == KIND_ONE) {
        return 0;
    }
    for (KindId whole = kind; whole != 0; whole = world->kinds.at[whole].whole) {
        if (world->kinds.at[whole].shown != 0) {
            return world->kinds.at[whole].shown;
        }
    }
    for (KindId id = 1; id < world->kinds.count && world->kinds.at[kind].name == 0; id++) {
        if (world->kinds.at[id].shown != 0 && kind_same(world, id, kind)) {
            return world->kinds.at[id].shown;
        }
    }
    if (world->kinds.at[kind].rise != 0 || kind_is_single(world, kind)) {
        for (UnitId unit = 1; unit < world->units.count; unit++) {
            if (world->units.at[unit].kind == kind) {
                return unit;
            }
        }
        return 0;
    }
    UnitId unit = unit_of_factors(world, kind);
    world->kinds.at[kind].shown = unit;
    return unit;
}

KindId kind_of_time(const World *world)
{
    UnitId day = unit_of_day(world, 0);
    return day == 0 ? 0 : world->units.at[day].kind;
}

KindId kind_of_day(const World *world)
{
    for (KindId kind = 1; kind < world->kinds.count; kind++) {
        if (unit_of_day(world, kind) != 0) {
            return kind;
        }
    }
    return 0;
}

UnitId unit_of_day(const World *world, KindId kind)
{
    for (KindId id = kind == 0 ? 1 : kind; id < world->kinds.count && (kind == 0 || id == kind); id++) {
        const Kind *dates = &world->kinds.at[id];
        if (dates->rise != 0 && dates->shown != 0 && kind_same(world, world->units.at[dates->shown].kind, dates->rise)) {
            return dates->shown;
        }
    }
    return 0;
}
