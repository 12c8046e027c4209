/* Figures and lets that rest on themselves: found before anything is worked
 * out, and named in order. */
#include "meaning/declare.h"

#include "meaning/line.h"

typedef struct Rings {
    World *world;
    LIST(uint8_t) figure_state; /* 0: not seen, 1: under way, 2: fine */
    LIST(uint8_t) let_state;
    LIST(uint32_t) way;         /* bindings under way */
    bool said;
} Rings;

static void follow(Rings *rings, NodeId node);

static Name name_of(const World *world, uint32_t binding)
{
    return BOUND_OF(binding) == BOUND_FIGURE ? world->figures.at[BOUND_INDEX(binding)].name
                                             : world->lets.at[BOUND_INDEX(binding)].name;
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
        text = arena_print(world->scratch, "%s%s, ", text, world_text(world, name_of(world, rings->way.at[i])));
    }
    text = arena_print(world->scratch, "%s%s", text, world_text(world, name_of(world, binding)));
    NodeId line = BOUND_OF(binding) == BOUND_FIGURE ? world->figures.at[BOUND_INDEX(binding)].line
                                                    : world->lets.at[BOUND_INDEX(binding)].line;
    message_say(world->messages, SAY_ring, line_span(world, line), world_word(world, name_of(world, binding)), text, NULL);
    /* without its formula it is not told, and nothing runs round */
    if (BOUND_OF(binding) == BOUND_FIGURE) {
        world->figures.at[BOUND_INDEX(binding)].value = 0;
    } else {
        world->lets.at[BOUND_INDEX(binding)].value = 0;
    }
}

static void enter(Rings *rings, uint32_t binding)
{
    World *world = rings->world;
    bool figure = BOUND_OF(binding) == BOUND_FIGURE;
    uint32_t index = BOUND_INDEX(binding);
    uint8_t *state = figure ? &rings->figure_state.at[index] : &rings->let_state.at[index];
    if (*state == 2) {
        return;
    }
    if (*state == 1) {
        say_ring(rings, binding);
        return;
    }
    *state = 1;
    list_push(world->memory, &rings->way, binding);
    NodeId value = figure ? world->figures.at[index].value : world->lets.at[index].value;
    follow(rings, value);
    rings->way.count--;
    state = figure ? &rings->figure_state.at[index] : &rings->let_state.at[index];
    *state = 2;
}

static void follow(Rings *rings, NodeId node)
{
    World *world = rings->world;
    for (; node != 0; node = world_node(world, node)->next) {
        NodeForm form = (NodeForm)world_node(world, node)->form;
        uint32_t binding = world->bindings.at[node];
        if ((form == NODE_NAME || form == NODE_CALL) && (BOUND_OF(binding) == BOUND_FIGURE || BOUND_OF(binding) == BOUND_LET)
            && binding != WORLD_BROKEN) {
            enter(rings, binding);
        }
        follow(rings, world_node(world, node)->first);
    }
}

void declare_rings(Lot *lot)
{
    World *world = lot->world;
    Rings rings = {.world = world};
    for (uint32_t i = 0; i < world->figures.count; i++) {
        list_push(world->memory, &rings.figure_state, 0);
    }
    for (uint32_t i = 0; i < world->lets.count; i++) {
        list_push(world->memory, &rings.let_state, 0);
    }
    /* A figure of stdlib may have become part of a ring where something was replaced. */
    uint32_t first = world->replaced.count > 0 ? 0 : lot->figures;
    for (uint32_t i = first; i < world->figures.count; i++) {
        enter(&rings, BIND(BOUND_FIGURE, i));
    }
    for (uint32_t i = lot->lets; i < world->lets.count; i++) {
        enter(&rings, BIND(BOUND_LET, i));
    }
    memory_return(world->memory, rings.figure_state.at);
    memory_return(world->memory, rings.let_state.at);
    memory_return(world->memory, rings.way.at);
}
