/* What a trial walk must work out: the formulas on which an effect, or the
 * figure that is solved for, rests. All others wait for the last walk. */
#include "meaning/declare.h"

#include "meaning/line.h"

typedef struct Needs {
    World *world;
    bool changed;
    LIST(uint8_t) slots; /* of the step at hand */
    LIST(uint8_t) seen_fields;
} Needs;

static void need(Needs *needs, NodeId node);

static void need_given(Needs *needs, uint32_t given)
{
    World *world = needs->world;
    while (world->given_needed.count <= given) {
        list_push(world->memory, &world->given_needed, 0);
    }
    if (world->given_needed.at[given] == 0) {
        world->given_needed.at[given] = 1;
        needs->changed = true;
    }
}

static void need_field(Needs *needs, FieldId field)
{
    World *world = needs->world;
    while (needs->seen_fields.count <= field) {
        list_push(world->memory, &needs->seen_fields, 0);
    }
    if (needs->seen_fields.at[field] == 0) {
        needs->seen_fields.at[field] = 1;
        if (world->fields.at[field].value != 0) {
            need(needs, world->fields.at[field].value);
        }
    }
}

static void need_binding(Needs *needs, NodeId node)
{
    World *world = needs->world;
    uint32_t binding = world->bindings.at[node], index = BOUND_INDEX(binding);
    switch (BOUND_OF(binding)) {
    case BOUND_SLOT:
        while (needs->slots.count <= index) {
            list_push(world->memory, &needs->slots, 0);
        }
        needs->slots.at[index] = 1;
        break;
    case BOUND_GIVEN:
        need_given(needs, index);
        break;
    case BOUND_FIGURE:
        if (!world->figures.at[index].in_trial) {
            world->figures.at[index].in_trial = true;
            needs->changed = true;
        }
        break;
    case BOUND_SELF: case BOUND_PART:
        need_field(needs, index);
        break;
    case BOUND_SET:
        world->steps_ask_bill = world->steps_ask_bill || index == KNOWN_bill || index == KNOWN_additions || index == KNOWN_ledger;
        break;
    default:
        break;
    }
}

static void need(Needs *needs, NodeId node)
{
    if (node == 0) {
        return;
    }
    const Node *at = world_node(needs->world, node);
    switch ((NodeForm)at->form) {
    case NODE_NAME: case NODE_DOT: case NODE_CALL:
        need_binding(needs, node);
        break;
    default:
        break;
    }
    for (NodeId inner = at->first; inner != 0; inner = world_node(needs->world, inner)->next) {
        need(needs, inner);
    }
}

static bool acts_on_trial(EffectSort sort)
{
    switch (sort) {
    case EFFECT_SETS: case EFFECT_STATES: case EFFECT_ADDS: case EFFECT_REMOVES: case EFFECT_LOSES: case EFFECT_SPOILS:
    case EFFECT_HOLDS_BACK: case EFFECT_JOINS: case EFFECT_MAKES: case EFFECT_CALLS:
        return true;
    default:
        return false;
    }
}

static void need_of_step(Needs *needs, const Step *step)
{
    World *world = needs->world;
    needs->slots.count = 0;
    for (uint32_t i = step->count; i-- > 0;) {
        Effect *effect = &world->effects.at[step->first + i];
        bool formula = effect->sort == EFFECT_GIVES || effect->sort == EFFECT_LETS;
        bool wanted = acts_on_trial((EffectSort)effect->sort);
        if (formula) {
            bool slot = effect->slot < needs->slots.count && needs->slots.at[effect->slot] != 0;
            bool given = effect->sort == EFFECT_GIVES && effect->three < world->given_needed.count
                && world->given_needed.at[effect->three] != 0;
            wanted = slot || given;
        }
        if (!wanted) {
            continue;
        }
        effect->flags |= EFFECT_IN_TRIAL;
        need(needs, effect->one);
        need(needs, effect->two);
        need(needs, effect->target);
        if (effect->sort == EFFECT_ADDS && effect->detail != 0) {
            need_field(needs, effect->detail);
        }
        if (effect->sort == EFFECT_CALLS) {
            const Call *call = &world->calls.at[effect->detail];
            for (NodeId part = world_node(world, call->line)->first; part != 0; part = world_node(world, part)->next) {
                need(needs, part);
            }
        }
    }
}

/* Whether any formula of a step asks for the bill, which is not whole before the walk ends. */
static void look_for_bill(World *world, NodeId node)
{
    if (node == 0) {
        return;
    }
    uint32_t binding = world->bindings.at[node], index = BOUND_INDEX(binding);
    NodeForm form = (NodeForm)world_node(world, node)->form;
    if ((form == NODE_NAME || form == NODE_CALL) && BOUND_OF(binding) == BOUND_SET
        && (index == KNOWN_bill || index == KNOWN_additions || index == KNOWN_ledger)) {
        world->steps_ask_bill = true;
    }
    for (NodeId inner = world_node(world, node)->first; inner != 0; inner = world_node(world, inner)->next) {
        look_for_bill(world, inner);
    }
}

static void note_uses(const World *world, NodeId node, uint64_t uses[2])
{
    if (node == 0) {
        return;
    }
    uint32_t binding = world->bindings.at[node], index = BOUND_INDEX(binding);
    if (world_node(world, node)->form == NODE_NAME && BOUND_OF(binding) == BOUND_SLOT && index < 128) {
        uses[index / 64] |= (uint64_t)1 << index % 64;
    }
    for (NodeId inner = world_node(world, node)->first; inner != 0; inner = world_node(world, inner)->next) {
        note_uses(world, inner, uses);
    }
}

/* Which names of its step each effect asks for: a trial walk leaves out what no acting effect needs. */
static void note_all_uses(World *world)
{
    for (uint32_t i = 0; i < world->effects.count; i++) {
        Effect *effect = &world->effects.at[i];
        effect->uses[0] = effect->uses[1] = 0;
        if (effect->sort == EFFECT_CALLS) {
            note_uses(world, world->calls.at[effect->detail].line, effect->uses);
            continue;
        }
        note_uses(world, effect->one, effect->uses);
        note_uses(world, effect->two, effect->uses);
        note_uses(world, effect->target, effect->uses);
        if (effect->sort != EFFECT_GIVES) {
            note_uses(world, effect->three, effect->uses);
        } else if (effect->three < world->given_needed.count && world->given_needed.at[effect->three] != 0) {
            effect->flags |= EFFECT_TO_ALL;
        }
    }
}

void declare_mark_needed(World *world)
{
    Needs needs = {.world = world};
    if (world->unknown != 0 && world->solved_figure != 0) {
        world->figures.at[world->solved_figure].in_trial = true;
        need(&needs, world->solve_aim);
    }
    do {
        needs.changed = false;
        for (uint32_t step = 1; step < world->steps.count; step++) {
            Step at = world->steps.at[step];
            need_of_step(&needs, &at);
        }
        for (uint32_t figure = 1; figure < world->figures.count; figure++) {
            if (world->figures.at[figure].in_trial) {
                need(&needs, world->figures.at[figure].value);
            }
        }
    } while (needs.changed);
    for (uint32_t i = 0; i < world->effects.count; i++) {
        look_for_bill(world, world->effects.at[i].one);
        look_for_bill(world, world->effects.at[i].two);
    }
    note_all_uses(world);
    memory_return(world->memory, needs.slots.at);
    memory_return(world->memory, needs.seen_fields.at);
}
