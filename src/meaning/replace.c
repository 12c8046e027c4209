/* `replace`: the one way to change what stdlib says. Kinds and parameters stay;
 * every line that replaces is kept, to be told on the batch sheet. */
#include "meaning/declare.h"

#include "meaning/line.h"

static void replace_figure(World *world, NodeId line, NodeId what)
{
    NodeId name = world_node(world, what)->next;
    uint32_t binding = name == 0 ? 0 : world_declared(world, SPACE_VALUE, world_node(world, name)->value);
    NodeId value = line_bound(world, line);
    if (BOUND_OF(binding) != BOUND_FIGURE || binding == WORLD_BROKEN || value == 0) {
        message_say(world->messages, SAY_nothing_to_replace, line_span(world, line), "figure", NULL);
        return;
    }
    Figure *figure = &world->figures.at[BOUND_INDEX(binding)];
    figure->value = value;
    figure->line = line;
    figure->source = line_source(world, line);
    Scope scope;
    scope_open(&scope, world);
    settle(&scope, value, figure->type);
    world->figures.at[BOUND_INDEX(binding)].slots = scope.slots;
    list_push(world->memory, &world->replaced, line);
}

static void replace_value(World *world, ThingId thing, NodeId line)
{
    ShapeId shape = world->things.at[thing].shape;
    FieldId field = settle_field(world, shape, line_head(world, line));
    NodeId value = line_first(world, line);
    if (field == 0 || value == 0 || world->fields.at[field].sort == FIELD_GIVES || world->fields.at[field].sort == FIELD_MARK) {
        if (!line_unreadable(world, line)) {
            world_say_unknown_line(world, line_span(world, line), world_word(world, world->shapes.at[shape].name),
                                   world_word(world, line_head(world, line)), "");
        }
        return;
    }
    Scope scope;
    scope_open(&scope, world);
    scope.self = shape;
    settle(&scope, value, world->fields.at[field].type);
    uint32_t at = world->things.at[thing].first;
    while (at != 0 && world->values.at[at].field != field) {
        at = world->values.at[at].next;
    }
    ThingValue changed = {.field = field, .node = value, .line = line, .marks = line_marks(world, line)};
    if (at != 0) {
        changed.next = world->values.at[at].next;
        world->values.at[at] = changed;
    } else {
        changed.next = world->things.at[thing].first;
        list_push(world->memory, &world->values, changed);
        world->things.at[thing].first = world->values.count - 1;
    }
    list_push(world->memory, &world->replaced, line);
}

static void replace_default(World *world, uint32_t step, NodeId line)
{
    ShapeId shape = world->steps.at[step].shape;
    NodeId name = 0, value = line_bound(world, line);
    for (NodeId part = line_first(world, line); part != 0; part = world_node(world, part)->next) {
        NodeId next = world_node(world, part)->next;
        if (line_is_word(world, next, KNOWN_as)) {
            name = part;
        }
    }
    FieldId field = name == 0 ? 0 : settle_field(world, shape, world_node(world, name)->value);
    if (line_head(world, line) != KNOWN_takes || field == 0 || value == 0) {
        if (!line_unreadable(world, line)) {
            message_say(world->messages, SAY_nothing_to_replace, line_span(world, line), "default", NULL);
        }
        return;
    }
    Scope scope;
    scope_open(&scope, world);
    settle(&scope, value, world->fields.at[field].type);
    world->fields.at[field].value = value;
    world->fields.at[field].optional = false;
    world->fields.at[field].marks = line_marks(world, line);
    list_push(world->memory, &world->replaced, line);
}

/* The whole of a rule; it keeps its name and its place. */
static void replace_rule(World *world, NodeId line, NodeId name)
{
    Name word = world_node(world, name)->value;
    uint32_t rule = world_declared(world, SPACE_RULE, word);
    if (rule == WORLD_BROKEN) {
        return;
    }
    if (rule == 0) {
        message_say(world->messages, SAY_unknown_name, world_span(world, name), "rule", world_word(world, word),
                    world_guess(world, word, SPACE_RULE), NULL);
        return;
    }
    declare_rule(world, rule, line);
    list_push(world->memory, &world->replaced, line);
}

static void replace_line(Lot *lot, NodeId line)
{
    World *world = lot->world;
    NodeId what = line_first(world, line), block = line_block(world, line);
    if (line_head(world, line) != KNOWN_replace || line_unreadable(world, line)) {
        return;
    }
    NodeId name = what == 0 ? 0 : world_node(world, what)->next;
    if (line_is_word(world, what, KNOWN_reckon)) {
        replace_figure(world, line, what);
        return;
    }
    if (line_is_word(world, what, KNOWN_rule) && name != 0 && block != 0) {
        return; /* read when all names are settled: declare_rule_replacements */
    }
    if (name == 0 || world_node(world, name)->form != NODE_NAME || block == 0) {
        message_say(world->messages, SAY_nothing_to_replace, line_span(world, line), "declaration", NULL);
        return;
    }
    Name word = world_node(world, name)->value;
    uint32_t binding = world_declared(world, SPACE_VALUE, word), step = world_declared(world, SPACE_STEP, word);
    bool of_step = line_is_word(world, what, KNOWN_step);
    bool thing = BOUND_OF(binding) == BOUND_THING && binding != WORLD_BROKEN;
    if (of_step ? step == 0 || step == WORLD_BROKEN : !thing) {
        message_say(world->messages, SAY_unknown_name, world_span(world, name), world_word(world, world_node(world, what)->value),
                    world_word(world, word), world_guess(world, word, of_step ? SPACE_STEP : SPACE_VALUE), NULL);
        return;
    }
    for (NodeId at = world_node(world, block)->first; at != 0; at = world_node(world, at)->next) {
        if (of_step) {
            replace_default(world, step, at);
        } else {
            replace_value(world, BOUND_INDEX(binding), at);
        }
    }
}

void declare_replacements(Lot *lot)
{
    declare_each_line(lot, replace_line);
}

static void replace_rule_on(Lot *lot, NodeId line)
{
    World *world = lot->world;
    NodeId what = line_first(world, line), name = what == 0 ? 0 : world_node(world, what)->next;
    if (line_head(world, line) == KNOWN_replace && !line_unreadable(world, line) && line_is_word(world, what, KNOWN_rule)
        && name != 0 && line_block(world, line) != 0) {
        replace_rule(world, line, name);
    }
}

void declare_rule_replacements(Lot *lot)
{
    declare_each_line(lot, replace_rule_on);
}
