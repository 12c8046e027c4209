/* The three ages of names: settled (typed), walking (what is worked on), worked
 * out (figures). A condition around a step or an effect, and what a procedure's
 * line tells a step, ask settled names only; effects ask no figure but the
 * unknown, since figures come after the last walk.
 */
#include "meaning/declare.h"

#include "meaning/arguments.h"
#include "meaning/line.h"

static bool is_subject(const World *world, Type type)
{
    static const KnownName subjects[] = {KNOWN_stream, KNOWN_sheet, KNOWN_content};
    for (size_t i = 0; i < sizeof subjects / sizeof subjects[0] && TYPE_SORT(type) == TYPE_THING; i++) {
        ShapeId shape = settle_shape(world, subjects[i]);
        if (shape != 0 && settle_shape_within(world, TYPE_INDEX(type), shape)) {
            return true;
        }
    }
    return false;
}

/* The first part of NODE that is not settled; 0: all is. PARAMETERS: how many places of the frame are arguments. */
static NodeId walking_part(const World *world, NodeId node, uint32_t parameters)
{
    if (node == 0) {
        return 0;
    }
    const Node *at = world_node(world, node);
    uint32_t binding = world->bindings.at[node];
    NodeForm form = (NodeForm)at->form;
    if (form == NODE_NAME || form == NODE_CALL || form == NODE_DOT) {
        switch (BOUND_OF(binding)) {
        case BOUND_GIVEN: case BOUND_FIGURE: case BOUND_CORE: case BOUND_SET:
            return node;
        case BOUND_SLOT:
            if (form == NODE_NAME && BOUND_INDEX(binding) >= parameters) {
                return node;
            }
            break;
        case BOUND_PART:
            if (form == NODE_DOT && is_subject(world, world->types.at[at->first])) {
                return node;
            }
            break;
        default:
            break;
        }
    }
    bool is_state = form == NODE_BINARY && (at->extra == OPERATOR_IS || at->extra == OPERATOR_IS_NOT)
        && is_subject(world, world->types.at[at->first]) && world_node(world, world_node(world, at->first)->next)->form != NODE_ABSENT;
    if (is_state) {
        return node;
    }
    for (NodeId inner = at->first; inner != 0; inner = world_node(world, inner)->next) {
        NodeId found = walking_part(world, inner, parameters);
        if (found != 0) {
            return found;
        }
    }
    return 0;
}

static void want_settled(World *world, NodeId node, uint32_t parameters)
{
    NodeId part = walking_part(world, node, parameters);
    if (part != 0) {
        message_say(world->messages, SAY_asks_too_early, world_span(world, part), world_written(world, part), NULL);
    }
}

static NodeId figure_part(const World *world, NodeId node)
{
    if (node == 0) {
        return 0;
    }
    uint32_t binding = world->bindings.at[node];
    NodeForm form = (NodeForm)world_node(world, node)->form;
    if ((form == NODE_NAME || form == NODE_CALL) && BOUND_OF(binding) == BOUND_FIGURE && binding != WORLD_BROKEN
        && BOUND_INDEX(binding) != world->unknown) {
        return node;
    }
    for (NodeId inner = world_node(world, node)->first; inner != 0; inner = world_node(world, inner)->next) {
        NodeId found = figure_part(world, inner);
        if (found != 0) {
            return found;
        }
    }
    return 0;
}

static void want_no_figure(World *world, NodeId node)
{
    NodeId part = figure_part(world, node);
    if (part != 0) {
        message_say(world->messages, SAY_asks_worked_out, world_span(world, part), world_written(world, part), NULL);
    }
}

void declare_ages_of_step(World *world, uint32_t step)
{
    FieldId taken[ARGUMENTS_MOST];
    Step at = world->steps.at[step];
    uint32_t parameters = arguments_taken(world, at.shape, taken);
    for (uint32_t i = 0; i < parameters; i++) {
        want_settled(world, world->fields.at[taken[i]].value, parameters);
    }
    for (uint32_t i = at.first; i < at.first + at.count; i++) {
        Effect effect = world->effects.at[i];
        want_settled(world, effect.when, parameters);
        if ((effect.flags & EFFECT_IN_TRIAL) != 0) {
            want_no_figure(world, effect.one);
            want_no_figure(world, effect.two);
        }
    }
}

void declare_ages_of_paper(World *world, uint32_t paper)
{
    Paper at = world->papers.at[paper];
    for (uint32_t i = at.furnish; i < at.furnish + at.furnish_count; i++) {
        want_settled(world, world->furnish.at[i].when, 0);
    }
    for (uint32_t i = at.calls; i < at.calls + at.call_count; i++) {
        Call call = world->calls.at[i];
        FieldId taken[ARGUMENTS_MOST];
        uint32_t count = arguments_taken(world, world->steps.at[call.step].shape, taken);
        for (uint32_t j = 0; j < count; j++) {
            want_settled(world, world->arguments.at[call.arguments + j], 0);
        }
        want_settled(world, call.when, 0);
        for (uint32_t branch = call.branch; branch != 0; branch = world->branches.at[branch].outer) {
            want_settled(world, world->branches.at[branch].condition, 0);
        }
    }
}
