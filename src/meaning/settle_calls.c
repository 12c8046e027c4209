/* Settling calls: the functions that the program knows, tables, `let` with
 * parameters, figures of each thing of a set, and sets that are asked for a part. */
#include "meaning/settle.h"

#include "meaning/kind.h"

static NodeId argument(const World *world, NodeId call, uint32_t number)
{
    NodeId at = world_node(world, call)->first;
    while (at != 0 && number-- > 0) {
        at = world_node(world, at)->next;
    }
    return at;
}

static uint32_t argument_count(const World *world, NodeId call)
{
    uint32_t count = 0;
    for (NodeId at = world_node(world, call)->first; at != 0; at = world_node(world, at)->next) {
        count++;
    }
    return count;
}

static Type wrong_arguments(World *world, NodeId node, const char *wanted)
{
    message_say(world->messages, SAY_wrong_arguments, world_span(world, node),
                world_word(world, world_node(world, node)->value), wanted, NULL);
    return 0;
}

/* `each m from SET when COND`: m is known in what follows. */
static void settle_each(Scope *scope, NodeId each)
{
    World *world = scope->world;
    NodeId set = world_node(world, each)->first, when = world_node(world, set)->next;
    Type of = settle_set(scope, set);
    Type item = settle_item(of);
    if (TYPE_SORT(item) == TYPE_STEP && world_node(world, set)->form == NODE_CALL) {
        item = TYPE(TYPE_STEP, world_node(world, world_node(world, set)->first)->value);
    }
    uint16_t slot = scope_place(scope, world_span(world, each));
    if (scope->local_count == SCOPE_LOCALS) {
        message_say(world->messages, SAY_too_many_names, world_span(world, each), NULL);
    } else {
        scope->locals[scope->local_count++] = (Local){world_node(world, each)->value, item, slot};
    }
    settle_bind(world, each, of, BIND(BOUND_SLOT, slot));
    if (when != 0) {
        settle_condition(scope, world_node(world, when)->first);
    }
}

/* sum(EXPR, each …), sum(A, B, …); the same for product, least, most, count. */
static Type settle_over_set(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    uint32_t locals = scope->local_count;
    Name function = world_node(world, node)->value;
    bool each = false;
    for (NodeId at = world_node(world, node)->first; at != 0; at = world_node(world, at)->next) {
        if (world_node(world, at)->form == NODE_EACH) {
            settle_each(scope, at);
            each = true;
        }
    }
    Type result = 0;
    for (NodeId at = world_node(world, node)->first; at != 0; at = world_node(world, at)->next) {
        if (world_node(world, at)->form == NODE_EACH) {
            continue;
        }
        Type type = settle(scope, at, result != 0 ? result : want);
        if (type != 0 && TYPE_SORT(type) != TYPE_NUMBER && function != KNOWN_count) {
            scope->local_count = locals;
            return wrong_arguments(world, node, "numbers");
        }
        if (function == KNOWN_sum && type != 0 && (world->kinds.at[TYPE_INDEX(type)].compares)) {
            message_say(world->messages, SAY_compares_only, world_span(world, at), kind_text(world, TYPE_INDEX(type)), NULL);
            type = 0;
        }
        result = type;
    }
    scope->local_count = locals;
    settle_bind(world, node, result, BIND(BOUND_FUNCTION, function));
    if (function == KNOWN_count) {
        KindId count = kind_named(world, KNOWN_count);
        return TYPE(TYPE_NUMBER, count != 0 ? count : KIND_ONE);
    }
    if (!each && result == 0 && world_node(world, node)->first == 0) {
        return wrong_arguments(world, node, "what to take them of");
    }
    if (function == KNOWN_product && result != 0 && !kind_is_share(world, TYPE_INDEX(result))) {
        return wrong_arguments(world, node, "shares or plain numbers");
    }
    return result;
}

static Type settle_choose(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    if (argument_count(world, node) != 3) {
        return wrong_arguments(world, node, "a condition and two values");
    }
    settle_condition(scope, argument(world, node, 0));
    NodeId yes = argument(world, node, 1), no = argument(world, node, 2);
    if (settle_is_open(world, yes) && !settle_is_open(world, no)) {
        Type type = settle(scope, no, want);
        settle(scope, yes, type);
        return type;
    }
    Type type = settle(scope, yes, want);
    bool absent = TYPE_SORT(type) == TYPE_ABSENT;
    Type other = settle(scope, no, absent ? want : TYPE_SORT(type) == TYPE_TEXT ? type : want);
    if (type != 0 && other != 0 && !absent && TYPE_SORT(type) == TYPE_NUMBER && TYPE_SORT(other) == TYPE_NUMBER) {
        KindId sum = kind_sum(world, TYPE_INDEX(type), TYPE_INDEX(other));
        if (sum == 0) {
            message_say(world->messages, SAY_wrong_kind, world_span(world, no), world_type_text(world, type),
                        world_type_text(world, other), NULL);
            return 0;
        }
        return TYPE(TYPE_NUMBER, sum);
    }
    return absent ? other : type;
}

static Type settle_of_number(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    Name function = world_node(world, node)->value;
    if (argument_count(world, node) != 1) {
        return wrong_arguments(world, node, "one number");
    }
    NodeId inner = argument(world, node, 0);
    if (function == KNOWN_round || function == KNOWN_round_up || function == KNOWN_round_down) {
        Type type = settle(scope, inner, settle_is_open(world, inner) ? want : 0);
        if (type != 0 && (TYPE_SORT(type) != TYPE_NUMBER || !kind_is_share(world, TYPE_INDEX(type)))) {
            return wrong_arguments(world, node, "a count or a plain number: round has no units");
        }
        return type;
    }
    Type type = settle(scope, inner, 0);
    if (type == 0) {
        return 0;
    }
    if (TYPE_SORT(type) != TYPE_NUMBER) {
        return wrong_arguments(world, node, "one number");
    }
    if (function == KNOWN_sqrt) {
        KindId root = kind_root(world, TYPE_INDEX(type));
        return root != 0 ? TYPE(TYPE_NUMBER, root) : wrong_arguments(world, node, "a number whose kind is a square");
    }
    if (!kind_fits(world, TYPE_INDEX(type), KIND_ONE) && !kind_is_share(world, TYPE_INDEX(type))) {
        return wrong_arguments(world, node, "a plain number or a share");
    }
    return TYPE(TYPE_NUMBER, KIND_ONE);
}

/* low-to-high(FIGURE) and the like: what a document tells of a figure beside its value. */
static Type settle_of_figure(Scope *scope, NodeId node)
{
    World *world = scope->world;
    NodeId inner = argument(world, node, 0);
    if (inner == 0 || argument_count(world, node) != 1 || world_node(world, inner)->form != NODE_NAME) {
        return wrong_arguments(world, node, "one figure");
    }
    Type type = settle(scope, inner, 0);
    if (type != 0 && BOUND_OF(world->bindings.at[inner]) != BOUND_FIGURE) {
        return wrong_arguments(world, node, "one figure");
    }
    return TYPE(TYPE_TEXT, 0);
}

static bool is_role_or_step(const World *world, Name word)
{
    for (uint32_t step = 1; step < world->steps.count; step++) {
        if (world->steps.at[step].role == word || world->shapes.at[world->steps.at[step].shape].name == word) {
            return true;
        }
    }
    return false;
}

/* bill(fibre), steps(diluting), contents(S), all(HEAD) */
static Type settle_set_call(Scope *scope, NodeId node)
{
    World *world = scope->world;
    Name function = world_node(world, node)->value;
    NodeId inner = argument(world, node, 0);
    if (inner == 0 || argument_count(world, node) != 1) {
        return wrong_arguments(world, node, "one word");
    }
    if (function == KNOWN_contents) {
        settle(scope, inner, 0);
        settle_bind(world, node, 0, BIND(BOUND_SET, KNOWN_contents));
        return TYPE(TYPE_SET, settle_shape(world, KNOWN_content));
    }
    if (function == KNOWN_numbers) {
        KindId count = kind_named(world, KNOWN_count);
        settle(scope, inner, TYPE(TYPE_NUMBER, count != 0 ? count : KIND_ONE));
        settle_bind(world, node, 0, BIND(BOUND_SET, KNOWN_numbers));
        return settle_set_type(world, KNOWN_numbers);
    }
    if (world_node(world, inner)->form != NODE_NAME) {
        return wrong_arguments(world, node, "one word");
    }
    Name word = world_node(world, inner)->value;
    if (function == KNOWN_all) {
        ShapeId shape = settle_shape(world, word);
        settle_bind(world, node, 0, BIND(BOUND_SET, KNOWN_all));
        if (shape == 0) {
            message_say(world->messages, SAY_unknown_name, world_span(world, inner), "head", world_word(world, word),
                        world_guess(world, word, SPACE_SHAPE), NULL);
            return 0;
        }
        settle_bind(world, inner, 0, BIND(BOUND_NOTHING, shape));
        return TYPE(TYPE_SET, shape);
    }
    if (function == KNOWN_steps) {
        settle_bind(world, inner, TYPE(TYPE_WORD, 0), BIND(BOUND_WORD, word));
        settle_bind(world, node, 0, BIND(BOUND_SET, function));
        if (!is_role_or_step(world, word)) {
            message_say(world->messages, SAY_unknown_name, world_span(world, inner), "role", world_word(world, word),
                        world_guess(world, word, SPACE_STEP), NULL);
        }
        return TYPE(TYPE_SET, SET_OF_STEPS);
    }
    Type set = settle_set_type(world, function);
    bool of_material = function == KNOWN_bill || function == KNOWN_additions || function == KNOWN_ledger;
    FieldId field = settle_field_with_word(world, of_material ? settle_shape(world, KNOWN_material) : TYPE_INDEX(set), word);
    if (field == 0) {
        message_say(world->messages, SAY_unknown_name, world_span(world, inner), "class", world_word(world, word), "", NULL);
        return 0;
    }
    settle_bind(world, inner, TYPE(TYPE_WORD, field), BIND(BOUND_WORD, word));
    settle_bind(world, node, 0, BIND(BOUND_SET, function));
    return set;
}

static Type settle_declared_call(Scope *scope, NodeId node)
{
    World *world = scope->world;
    uint32_t binding = world_declared(world, SPACE_VALUE, world_node(world, node)->value);
    uint32_t index = BOUND_INDEX(binding), count = argument_count(world, node);
    if (binding == WORLD_BROKEN) {
        settle_bind(world, node, 0, 0);
        return 0;
    }
    settle_bind(world, node, 0, binding);
    if (BOUND_OF(binding) == BOUND_TABLE) {
        Type key = world->tables.at[index].key, result = world->tables.at[index].result;
        if (count != 1 || result == 0) {
            return wrong_arguments(world, node, "one key");
        }
        settle(scope, argument(world, node, 0), key);
        return result;
    }
    if (BOUND_OF(binding) == BOUND_LET && world->lets.at[index].function) {
        uint32_t parameters = world->lets.at[index].parameters, wanted = world->lets.at[index].parameter_count;
        if (count != wanted) {
            return wrong_arguments(world, node, arena_print(world->scratch, "%u value%s", wanted, wanted == 1 ? "" : "s"));
        }
        for (uint32_t i = 0; i < wanted; i++) {
            settle(scope, argument(world, node, i), world->locals.at[parameters + i].type);
        }
        return world->lets.at[index].type;
    }
    if (BOUND_OF(binding) == BOUND_FIGURE && world->figures.at[index].set != 0) {
        if (count != 1) {
            return wrong_arguments(world, node, "one thing of its set");
        }
        settle(scope, argument(world, node, 0), 0);
        return world->figures.at[index].type;
    }
    return wrong_arguments(world, node, "no brackets: it is no function");
}

Type settle_call(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    Name function = world_node(world, node)->value;
    if (world_declared(world, SPACE_VALUE, function) != 0) {
        return settle_declared_call(scope, node);
    }
    world->bindings.at[node] = BIND(BOUND_FUNCTION, function);
    switch (function) {
    case KNOWN_sum: case KNOWN_product: case KNOWN_least: case KNOWN_most: case KNOWN_count:
        return settle_over_set(scope, node, want);
    case KNOWN_choose:
        return settle_choose(scope, node, want);
    case KNOWN_round: case KNOWN_round_up: case KNOWN_round_down: case KNOWN_ln: case KNOWN_exp: case KNOWN_sqrt:
        return settle_of_number(scope, node, want);
    case KNOWN_mentions:
        if (argument_count(world, node) != 2) {
            return wrong_arguments(world, node, "two texts");
        }
        settle(scope, argument(world, node, 0), TYPE(TYPE_TEXT, 0));
        settle(scope, argument(world, node, 1), TYPE(TYPE_TEXT, 0));
        return TYPE(TYPE_TRUTH, 0);
    case KNOWN_worked_out: case KNOWN_low_to_high: case KNOWN_how_known: case KNOWN_readings_of: case KNOWN_method:
        return settle_of_figure(scope, node);
    case KNOWN_contents: case KNOWN_all: case KNOWN_bill: case KNOWN_additions: case KNOWN_ledger: case KNOWN_steps:
    case KNOWN_numbers: case KNOWN_weighing: case KNOWN_instructions:
        return settle_set_call(scope, node);
    default:
        message_say(world->messages, SAY_unknown_name, world_span(world, node), "function", world_word(world, function),
                    world_guess(world, function, SPACE_VALUE), NULL);
        for (NodeId at = world_node(world, node)->first; at != 0; at = world_node(world, at)->next) {
            if (world_node(world, at)->form != NODE_EACH) {
                settle(scope, at, 0);
            }
        }
        return 0;
    }
}
