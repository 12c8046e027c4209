/* What a batch's own script tells of how it came out: when it was packed, how many
 * sheets were counted, and what was measured on them. */
#include "meaning/declare.h"

#include "meaning/line.h"

static void read_count(World *world, NodeId line, NodeId first, NodeId *into)
{
    KindId count = world_declared(world, SPACE_KIND, KNOWN_count);
    Scope scope;
    scope_open(&scope, world);
    if (first == 0) {
        line_say_written_so(world, line, line_head(world, line) == KNOWN_good ? "good 82 sheets" : "retree 14 sheets");
        return;
    }
    settle(&scope, first, TYPE(TYPE_NUMBER, count != 0 && count != WORLD_BROKEN ? count : KIND_ONE));
    *into = first;
}

/* measured FIGURE, [302, 298] g/m², to "ISO 536, at 23 °C and 50 %" */
static void read_measured(World *world, uint32_t batch, NodeId line, NodeId first)
{
    NodeId values = first == 0 ? 0 : world_node(world, first)->next, method = line_behind(world, line, KNOWN_to);
    bool whole = first != 0 && world_node(world, first)->form == NODE_NAME && values != 0 && line_is_argument(world, values) && method != 0
        && world_node(world, method)->form == NODE_TEXT;
    if (!whole) {
        line_say_written_so(world, line, "measured FIGURE, [VALUE, VALUE], to \"METHOD\"");
        return;
    }
    Scope scope;
    scope_open(&scope, world);
    Type figure = settle(&scope, first, 0);
    uint32_t binding = world->bindings.at[first];
    if (figure == 0) {
        return;
    }
    if (BOUND_OF(binding) != BOUND_FIGURE || TYPE_SORT(figure) != TYPE_NUMBER) {
        message_say(world->messages, SAY_not_measured, world_span(world, first), world_written(world, first), NULL);
        return;
    }
    if (world_node(world, values)->form == NODE_LIST) {
        Type list = settle(&scope, values, 0);
        Type element = TYPE_SORT(list) == TYPE_LIST ? world->element_types.at[TYPE_INDEX(list)] : 0;
        if (element != 0 && !settle_fits(world, element, figure)) {
            message_say(world->messages, SAY_wrong_kind, world_span(world, values), world_type_text(world, figure), world_type_text(world, element), NULL);
            return;
        }
    } else {
        settle(&scope, values, figure);
    }
    settle(&scope, method, TYPE(TYPE_TEXT, 0));
    list_push(world->memory, &world->measured, (MeasuredLine){batch, BOUND_INDEX(binding), values, method, line});
}

void declare_outcome_of_batch(World *world, uint32_t batch, NodeId line)
{
    NodeId first = line_first(world, line);
    switch (line_head(world, line)) {
    case KNOWN_packed:
        if (first == 0 || world_node(world, first)->form != NODE_DATE) {
            message_say(world->messages, SAY_value_missing, line_span(world, line), "packed", "a day, as 2027-04-20", NULL);
        } else {
            world->batches.at[batch].packed = first;
        }
        break;
    case KNOWN_good: {
        NodeId good = 0;
        read_count(world, line, first, &good);
        world->batches.at[batch].good = good;
        break;
    }
    case KNOWN_retree: {
        NodeId retree = 0;
        read_count(world, line, first, &retree);
        world->batches.at[batch].retree = retree;
        break;
    }
    default:
        read_measured(world, batch, line, first);
        break;
    }
}
