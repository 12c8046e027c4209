/* Functions: those that the program knows, tables, and `let` with parameters. */
#include "reckoning/run.h"

#include "reckoning/trace.h"

#include <math.h>
#include <string.h>

static NodeId argument(const World *world, NodeId call, uint32_t number)
{
    NodeId at = world_node(world, call)->first;
    while (number-- > 0) {
        at = world_node(world, at)->next;
    }
    return at;
}

/* ---- sum, product, least, most, count ---- */

typedef struct Gathering {
    Frame *frame;
    NodeId call, each, expression;
    Name function;
    Value result;
    double largest; /* of the terms of a sum */
    uint32_t count;
} Gathering;

static void gather(Gathering *gathering, Value value)
{
    uint32_t marks = gathering->result.marks | value.marks;
    if (gathering->count++ == 0 && gathering->function != KNOWN_sum && gathering->function != KNOWN_product) {
        gathering->result = value;
        return;
    }
    if ((marks & VALUE_ABSENT) != 0) {
        gathering->result = run_absent(marks);
        return;
    }
    double now = gathering->result.number;
    switch (gathering->function) {
    case KNOWN_sum:
        gathering->largest = fabs(value.number) > gathering->largest ? fabs(value.number) : gathering->largest;
        now += value.number;
        break;
    case KNOWN_product:
        now *= value.number;
        break;
    case KNOWN_least:
        now = value.number < now ? value.number : now;
        break;
    default:
        now = value.number > now ? value.number : now;
        break;
    }
    gathering->result = run_number(now, marks);
}

static bool gather_one(Run *run, void *with, uint32_t ref)
{
    Gathering *gathering = with;
    gathering->frame->slots[BOUND_INDEX(run->world->bindings.at[gathering->each])] = (Value){0, ref, 0};
    trace_item(run, gathering->each, ref);
    NodeId set = world_node(run->world, gathering->each)->first, when = world_node(run->world, set)->next;
    if (when != 0 && !run_holds(run, gathering->frame, world_node(run->world, when)->first)) {
        return true;
    }
    if (gathering->function == KNOWN_count) {
        gathering->count++;
    } else {
        gather(gathering, run_value(run, gathering->frame, gathering->expression));
    }
    return true;
}

static Value over_set(Run *run, Frame *frame, NodeId node, Name function)
{
    const World *world = run->world;
    Gathering gathering = {.frame = frame, .call = node, .function = function,
                           .result = {function == KNOWN_product ? 1 : 0, 0, 0}};
    for (NodeId at = world_node(world, node)->first; at != 0; at = world_node(world, at)->next) {
        if (world_node(world, at)->form == NODE_EACH) {
            gathering.each = at;
        } else {
            gathering.expression = gathering.expression == 0 ? at : gathering.expression;
        }
    }
    if (gathering.each != 0) {
        run_each(run, frame, world_node(world, gathering.each)->first, gather_one, &gathering);
    } else {
        for (NodeId at = world_node(world, node)->first; at != 0; at = world_node(world, at)->next) {
            gather(&gathering, run_value(run, frame, at));
        }
    }
    if (function == KNOWN_count) {
        return run_number(gathering.count, 0);
    }
    bool nothing = gathering.count == 0 && function != KNOWN_sum && function != KNOWN_product;
    if (fabs(gathering.result.number) <= 1e-15 * gathering.largest) {
        gathering.result.number = 0;
    }
    return nothing ? run_absent(0) : gathering.result;
}

/* ---- of one number ---- */

static Value of_number(Run *run, Frame *frame, NodeId node, Name function)
{
    Value of = run_value(run, frame, argument(run->world, node, 0));
    if (!run_told(of)) {
        return of;
    }
    double near = floor(of.number + 0.5);
    bool whole = run_equal(of.number, near);
    switch (function) {
    case KNOWN_round: case KNOWN_round_up: case KNOWN_round_down:
        if (run->even == EVEN_ALL) {
            return of;
        }
        break;
    default:
        break;
    }
    switch (function) {
    case KNOWN_round:
        return run_number(near, of.marks | VALUE_ROUNDED);
    case KNOWN_round_up:
        return run_number(whole ? near : ceil(of.number), of.marks | VALUE_ROUNDED);
    case KNOWN_round_down:
        return run_number(whole ? near : floor(of.number), of.marks | VALUE_ROUNDED);
    case KNOWN_exp:
        return run_number(exp(of.number), of.marks);
    default:
        break;
    }
    bool root = function == KNOWN_sqrt;
    if (root ? of.number < 0 : of.number <= 0) {
        if (run->last) {
            run_say(run, root ? SAY_root_of_negative : SAY_logarithm_of_nothing, node, world_written(run->world, node), NULL);
        }
        return run_absent(of.marks);
    }
    return run_number(root ? sqrt(of.number) : log(of.number), of.marks);
}

/* ---- mentions ---- */

static const char *text_of(Run *run, Frame *frame, NodeId node)
{
    Value value = run_value(run, frame, node);
    return run_told(value) ? run->texts.at[value.thing] : "";
}

/* Bytes of other alphabets count as letters, too. */
static bool is_letter(char byte)
{
    return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') || (unsigned char)byte >= 0x80;
}

static Value mentions(Run *run, Frame *frame, NodeId node)
{
    const char *in = text_of(run, frame, argument(run->world, node, 0));
    const char *word = text_of(run, frame, argument(run->world, node, 1));
    bool found = false;
    for (const char *at = in; *word != 0 && (at = strcasestr(at, word)) != NULL && !found; at++) {
        found = (at == in || !is_letter(at[-1])) && !is_letter(at[strlen(word)]); /* "eco" is no part of "decorated" */
    }
    return (Value){found, 0, 0};
}

/* ---- tables ---- */

static bool key_matches(Run *run, Frame *frame, NodeId key, Value wanted, Type type)
{
    if (TYPE_SORT(type) == TYPE_WORD) {
        return world_node(run->world, key)->value == wanted.thing;
    }
    return run_equal(run_value(run, frame, key).number, wanted.number);
}

static Value row_value(Run *run, Frame *frame, uint32_t row)
{
    NodeId line = run->world->rows.at[row].line;
    NodeId value = world_node(run->world, line_first(run->world, line))->next;
    Value result = run_value(run, frame, value);
    result.marks |= run->world->rows.at[row].marks;
    return result;
}

static Value between_rows(Run *run, Frame *frame, uint32_t under, uint32_t over, double at, double low, double high)
{
    Value one = row_value(run, frame, under), other = row_value(run, frame, over);
    uint32_t marks = one.marks | other.marks;
    if ((marks & VALUE_ABSENT) != 0) {
        return run_absent(marks);
    }
    return run_number(one.number + (other.number - one.number) * (at - low) / (high - low), marks);
}

static Value table_value(Run *run, Frame *frame, NodeId node, uint32_t id)
{
    const Table *table = &run->world->tables.at[id];
    Value wanted = run_value(run, frame, argument(run->world, node, 0));
    Value slots[RUN_SLOTS];
    Frame inner = {.slots = slots};
    uint32_t under = 0, over = 0;
    double low = -INFINITY, high = INFINITY;
    if (!run_told(wanted)) {
        return wanted;
    }
    for (uint32_t row = table->first_row; row != 0; row = run->world->rows.at[row].next) {
        NodeId key = line_first(run->world, run->world->rows.at[row].line);
        if (key_matches(run, &inner, key, wanted, table->key)) {
            return row_value(run, &inner, row);
        }
        if (TYPE_SORT(table->key) == TYPE_NUMBER) {
            double at = run_value(run, &inner, key).number;
            if (at < wanted.number && at > low) {
                low = at;
                under = row;
            } else if (at > wanted.number && at < high) {
                high = at;
                over = row;
            }
        }
    }
    if (table->linear && under != 0 && over != 0) {
        return between_rows(run, &inner, under, over, wanted.number, low, high);
    }
    if (TYPE_SORT(table->key) == TYPE_NUMBER && run->last) {
        run_say(run, SAY_outside_table, node, world_word(run->world, table->name),
                run_number_text(run, wanted.number, table->key, 0, -1));
    }
    return run_absent(wanted.marks);
}

static Value let_with_values(Run *run, Frame *frame, NodeId node, uint32_t id)
{
    const Let *let = &run->world->lets.at[id];
    Value slots[RUN_SLOTS];
    Frame inner = {.slots = slots};
    for (uint32_t i = 0; i < let->parameter_count; i++) {
        slots[i] = run_value(run, frame, argument(run->world, node, i));
        trace_keep(run, &slots[i]);
    }
    return run_value(run, &inner, let->value);
}

Value run_call(Run *run, Frame *frame, NodeId node)
{
    uint32_t binding = run->world->bindings.at[node], index = BOUND_INDEX(binding);
    switch (BOUND_OF(binding)) { /* never: a call is settled as one of these, or as a set, which is no value */
    case BOUND_TABLE:
        return table_value(run, frame, node, index);
    case BOUND_LET:
        return let_with_values(run, frame, node, index);
    case BOUND_FIGURE: {
        Value of = run_value(run, frame, argument(run->world, node, 0));
        return run_told(of) ? run_figure_of(run, index, of.thing) : of;
    }
    case BOUND_FUNCTION:
        break;
    default:
        return run_absent(0);
    }
    switch (index) {
    case KNOWN_sum: case KNOWN_product: case KNOWN_least: case KNOWN_most: case KNOWN_count:
        return over_set(run, frame, node, index);
    case KNOWN_choose: {
        Value condition = run_value(run, frame, argument(run->world, node, 0));
        return run_told(condition) ? run_value(run, frame, argument(run->world, node, condition.number != 0 ? 1 : 2)) : condition;
    }
    case KNOWN_worked_out: case KNOWN_low_to_high: case KNOWN_how_known: case KNOWN_readings_of: case KNOWN_method: {
        uint32_t figure = run->world->bindings.at[argument(run->world, node, 0)];
        return run_told_of_figure(run, index, BOUND_INDEX(figure));
    }
    case KNOWN_mentions:
        return mentions(run, frame, node);
    default:
        return of_number(run, frame, node, index);
    }
}
