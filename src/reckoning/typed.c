/* From a value back to the number that somebody typed for it: what a proposal would change, and the unit in which people read it. */
#include "reckoning/run.h"

#include "meaning/arguments.h"

/* What CALL tells of what its step takes at PLACE; 0: it is left out, or so much is not taken. */
static NodeId argument_at(const World *world, uint32_t call, uint32_t place)
{
    FieldId taken[ARGUMENTS_MOST];
    uint32_t count = arguments_taken(world, world->steps.at[world->calls.at[call].step].shape, taken);
    return place < count ? world->arguments.at[world->calls.at[call].arguments + place] : 0;
}

static NodeId argument_called(const World *world, uint32_t call, Name name)
{
    uint32_t place = world->calls.at[call].arguments;
    for (FieldId id = world->shapes.at[world->steps.at[world->calls.at[call].step].shape].first; id != 0; id = world->fields.at[id].next, place++) {
        if (world->fields.at[id].name == name) {
            return world->arguments.at[place];
        }
    }
    return 0;
}

/* From NODE, written within the step at DONE (0: in none), to the number that somebody typed for it. No name leads back to itself: that is
 * refused where it is read. */
static NodeId typed(Run *run, NodeId node, uint32_t done)
{
    const World *world = run->world;
    while (node != 0) {
        const Node *at = world_node(world, node);
        uint32_t binding = world->bindings.at[node];
        if (at->form == NODE_NUMBER || at->form == NODE_QUANTITY) {
            break;
        }
        if (at->form == NODE_ABOUT) {
            node = at->first;
        } else if (at->form == NODE_NAME && BOUND_OF(binding) == BOUND_SLOT && done != 0) {
            node = argument_at(world, run->done.at[done].call, BOUND_INDEX(binding));
            done = run->done.at[done].outer;
        } else if (at->form == NODE_NAME && BOUND_OF(binding) == BOUND_LET) {
            node = world->lets.at[BOUND_INDEX(binding)].value; /* which names no place of a step */
        } else {
            node = 0;
        }
    }
    return node;
}

static NodeId typed_of_thing(Run *run, ThingId thing, Name name)
{
    const World *world = run->world;
    FieldId field = settle_field(world, world->things.at[thing].shape, name);
    for (uint32_t i = world->things.at[thing].first; i != 0; i = world->values.at[i].next) {
        if (world->values.at[i].field == field) {
            return typed(run, world->values.at[i].node, 0);
        }
    }
    return 0;
}

NodeId run_typed_part(Run *run, uint32_t ref, Name name)
{
    switch (REF_SORT(ref)) {
    case REF_ADDITION: {
        const Addition *addition = &run->additions.at[REF_INDEX(ref)]; /* no step has a name for one: the walk is over */
        return typed(run, addition->amount, addition->step);
    }
    case REF_STEP: {
        const StepDone *done = &run->done.at[REF_INDEX(ref)];
        return typed(run, argument_called(run->world, done->call, name), done->outer);
    }
    case REF_THING:
        return typed_of_thing(run, REF_INDEX(ref), name);
    default:
        return 0;
    }
}

NodeId run_typed(Run *run, Frame *frame, NodeId node)
{
    const Node *at = world_node(run->world, node);
    Bound bound = BOUND_OF(run->world->bindings.at[node]);
    if (bound != BOUND_PART && bound != BOUND_STEP_PART) {
        return typed(run, node, 0);
    }
    Value of = run_value(run, frame, at->first);
    return run_typed_part(run, of.thing, at->value);
}

UnitId run_typed_unit(Run *run, Frame *frame, NodeId node, Type type)
{
    const World *world = run->world;
    NodeId literal = run_typed(run, frame, node);
    UnitId unit = world_node(world, literal)->form == NODE_QUANTITY ? world->bindings.at[literal] : 0;
    return world->units.at[unit].kind == TYPE_INDEX(type) ? unit : 0;
}
