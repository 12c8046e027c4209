/* What rests on itself: figures, lets, and attributes that `gives` works out. Found before anything is worked out, and
 * named in order. Attributes count where they are asked of the same: bare, or of the sheet, the stuff and what the
 * paper or the mill holds, of which there is one. What a line `has` is no ring: a thing may tell either of two that follow from one another. */
#include "meaning/declare.h"

#include "meaning/line.h"

typedef struct Rings {
    World *world;
    LIST(uint8_t) states[3]; /* of figures, lets and fields: 0 not seen, 1 under way, 2 fine */
    LIST(uint32_t) way;      /* bindings under way */
} Rings;

/* What can rest on something, whichever of the three it is. */
typedef struct Rest { unsigned sort; Name name; NodeId line; NodeId *value; } Rest;

static Rest rest_of(World *world, uint32_t binding)
{
    uint32_t index = BOUND_INDEX(binding);
    if (BOUND_OF(binding) == BOUND_FIGURE) {
        Figure *figure = &world->figures.at[index];
        return (Rest){0, figure->name, figure->line, &figure->value};
    }
    if (BOUND_OF(binding) == BOUND_LET) {
        Let *let = &world->lets.at[index];
        return (Rest){1, let->name, let->line, &let->value};
    }
    Field *field = &world->fields.at[index];
    return (Rest){2, field->name, field->line, &field->value};
}

static void say_ring(Rings *rings, uint32_t binding)
{
    World *world = rings->world;
    uint32_t from = rings->way.count;
    while (from > 0 && rings->way.at[from - 1] != binding) {
        from--;
    }
    const char *text = "";
    for (uint32_t i = from == 0 ? 0 : from - 1; i < rings->way.count; i++) {
        text = arena_print(world->scratch, "%s%s, ", text, world_text(world, rest_of(world, rings->way.at[i]).name));
    }
    Rest rest = rest_of(world, binding);
    text = arena_print(world->scratch, "%s%s", text, world_text(world, rest.name));
    message_say(world->messages, SAY_ring, line_span(world, rest.line), world_word(world, rest.name), text, NULL);
    *rest_of(world, binding).value = 0; /* without its formula it is not told, and nothing runs round */
}

static void follow(Rings *rings, NodeId node);

static void enter(Rings *rings, uint32_t binding)
{
    World *world = rings->world;
    Rest rest = rest_of(world, binding);
    uint32_t index = BOUND_INDEX(binding);
    uint8_t state = rings->states[rest.sort].at[index];
    if (state == 2) {
        return;
    }
    if (state == 1) {
        say_ring(rings, binding);
        return;
    }
    rings->states[rest.sort].at[index] = 1;
    list_push(world->memory, &rings->way, binding);
    follow(rings, *rest.value);
    rings->way.count--;
    rings->states[rest.sort].at[index] = 2;
}

/* The binding of what NODE asks for, if it can be part of a ring; else 0. */
static uint32_t asked_by(const World *world, NodeId node)
{
    const Node *at = world_node(world, node);
    uint32_t binding = world->bindings.at[node];
    bool whole = (at->form == NODE_NAME || at->form == NODE_CALL)
        && (BOUND_OF(binding) == BOUND_FIGURE || BOUND_OF(binding) == BOUND_LET) && binding != WORLD_BROKEN;
    if (whole) {
        return binding;
    }
    Bound of = at->form == NODE_DOT && BOUND_OF(binding) == BOUND_PART ? BOUND_OF(world->bindings.at[at->first]) : BOUND_NOTHING;
    bool own = BOUND_OF(binding) == BOUND_SELF || of == BOUND_SUBJECT || of == BOUND_HELD || of == BOUND_HELD_NAMED;
    return own && world->fields.at[BOUND_INDEX(binding)].sort == FIELD_GIVES ? BIND(BOUND_SELF, BOUND_INDEX(binding)) : 0;
}

static void follow(Rings *rings, NodeId node)
{
    World *world = rings->world;
    for (; node != 0; node = world_node(world, node)->next) {
        uint32_t binding = asked_by(world, node);
        if (binding != 0) {
            enter(rings, binding);
        }
        follow(rings, world_node(world, node)->first);
    }
}

void declare_rings(Lot *lot)
{
    World *world = lot->world;
    Rings rings = {.world = world};
    const uint32_t counts[3] = {world->figures.count, world->lets.count, world->fields.count};
    for (unsigned sort = 0; sort < 3; sort++) {
        for (uint32_t i = 0; i < counts[sort]; i++) {
            list_push(world->memory, &rings.states[sort], 0);
        }
    }
    /* A figure of stdlib may have become part of a ring where something was replaced. */
    uint32_t first = world->replaced.count > 0 ? 0 : lot->figures;
    for (uint32_t i = first; i < world->figures.count; i++) {
        enter(&rings, BIND(BOUND_FIGURE, i));
    }
    for (uint32_t i = lot->lets; i < world->lets.count; i++) {
        enter(&rings, BIND(BOUND_LET, i));
    }
    for (FieldId i = lot->fields; i < world->fields.count; i++) {
        if (world->fields.at[i].sort == FIELD_GIVES) {
            enter(&rings, BIND(BOUND_SELF, i));
        }
    }
    for (unsigned sort = 0; sort < 3; sort++) {
        memory_return(world->memory, rings.states[sort].at);
    }
    memory_return(world->memory, rings.way.at);
}
