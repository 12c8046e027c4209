/* Declaring things: materials, moulds, mills, and what a mill holds. */
#include "meaning/declare.h"

#include "meaning/arguments.h"
#include "meaning/line.h"

#include <string.h>

static ThingId add_thing(World *world, Name name, ShapeId shape, NodeId line, ThingId holder)
{
    ThingId id = list_add(world->memory, &world->things);
    world->things.at[id] = (Thing){.name = name, .shape = shape, .line = line, .holder = holder};
    if (holder != 0) {
        ThingId *link = &world->things.at[holder].first_held;
        while (*link != 0) {
            link = &world->things.at[*link].next_held;
        }
        *link = id;
    }
    return id;
}

static bool takes_anything(const World *world, ShapeId shape)
{
    FieldId taken[ARGUMENTS_MOST];
    return arguments_taken(world, shape, taken) > 0;
}

void declare_thing(World *world, NodeId line, ShapeId shape)
{
    const char *noun = world_word(world, world->shapes.at[shape].name);
    Name name = takes_anything(world, shape) ? declare_first_name(world, line, noun) : declare_only_name(world, line, noun);
    if (name == 0) {
        return;
    }
    ThingId id = add_thing(world, name, shape, line, 0);
    declare_name(world, SPACE_VALUE, name, BIND(BOUND_THING, id), world_node(world, line)->first);
}

/* `beater hollander of 300 L`: a first name that is no argument is the thing's own. */
static Name own_name(const World *world, NodeId line, ShapeId shape)
{
    NodeId first = line_first(world, line);
    if (first == 0 || world_node(world, first)->form != NODE_NAME) {
        return 0;
    }
    FieldId taken[ARGUMENTS_MOST];
    uint32_t count = arguments_taken(world, shape, taken);
    Name name = world_node(world, first)->value;
    for (uint32_t i = 0; i < count; i++) {
        const Field *field = &world->fields.at[taken[i]];
        if (field->phrase_count == 0 || world->words.at[field->phrase] == name) {
            return 0;
        }
    }
    return name;
}

/* The shape of what a line within a thing holds; 0: the line is a plain value. */
static ShapeId held_shape(const World *world, ShapeId holder, NodeId line)
{
    FieldId field = settle_field(world, holder, line_head(world, line));
    ShapeId shape = 0;
    if (field != 0 && TYPE_SORT(world->fields.at[field].type) == TYPE_THING) {
        shape = TYPE_INDEX(world->fields.at[field].type);
        NodeId first = line_first(world, line);
        bool plain = first != 0 && line_block(world, line) == 0 && !takes_anything(world, shape);
        return plain ? 0 : shape;
    }
    if (field == 0) {
        shape = settle_shape(world, line_head(world, line));
    }
    return shape;
}

/* What a mill holds is named before anything is settled. */
void declare_held(World *world, ThingId holder)
{
    NodeId block = line_block(world, world->things.at[holder].line);
    for (NodeId at = block == 0 ? 0 : world_node(world, block)->first; at != 0; at = world_node(world, at)->next) {
        ShapeId shape = held_shape(world, world->things.at[holder].shape, at);
        if (shape == 0) {
            continue;
        }
        Name name = own_name(world, at, shape);
        ThingId id = add_thing(world, name, shape, at, holder);
        if (name != 0 && world_declared(world, SPACE_HELD, name) == 0) {
            world_declare(world, SPACE_HELD, name, id);
        }
    }
}

static void add_value(World *world, ThingId thing, ThingValue value)
{
    for (uint32_t i = world->things.at[thing].first; i != 0; i = world->values.at[i].next) {
        if (world->values.at[i].field == value.field && world->fields.at[value.field].sort != FIELD_MARK) {
            if (value.thing == 0) {
                Message *message = message_say(world->messages, SAY_value_twice, line_span(world, value.line),
                                               world_word(world, world->fields.at[value.field].name), NULL);
                message_also(world->messages, message, line_span(world, world->values.at[i].line), "first told here");
            }
            return; /* of several things of one head the first is meant where none is named */
        }
    }
    value.next = world->things.at[thing].first;
    list_push(world->memory, &world->values, value);
    world->things.at[thing].first = world->values.count - 1;
}

static void take_arguments(Scope *scope, ThingId thing)
{
    World *world = scope->world;
    NodeId line = world->things.at[thing].line, first = line_first(world, line);
    ShapeId shape = world->things.at[thing].shape;
    NodeId found[ARGUMENTS_MOST];
    FieldId taken[ARGUMENTS_MOST];
    if (world->things.at[thing].name != 0 && first != 0) {
        first = world_node(world, first)->next;
    }
    arguments_match(scope, shape, line, first, found);
    uint32_t count = arguments_taken(world, shape, taken);
    for (uint32_t i = 0; i < count; i++) {
        if (found[i] != 0) {
            add_value(world, thing, (ThingValue){.field = taken[i], .node = found[i], .line = line,
                                                 .marks = line_marks(world, line)});
        }
    }
}

static void take_marks(World *world, ThingId thing, NodeId line)
{
    for (NodeId part = line_first(world, line); part != 0 && line_is_argument(world, part); part = world_node(world, part)->next) {
        Name name = world_node(world, part)->value;
        FieldId field = settle_field(world, world->things.at[thing].shape, name);
        if (field == 0 || world->fields.at[field].sort != FIELD_MARK) {
            message_say(world->messages, SAY_unknown_name, world_span(world, part), "mark", world_word(world, name), "", NULL);
            continue;
        }
        add_value(world, thing, (ThingValue){.field = field, .node = part, .line = line});
    }
}

static ThingId held_on_line(const World *world, ThingId holder, NodeId line)
{
    for (ThingId id = world->things.at[holder].first_held; id != 0; id = world->things.at[id].next_held) {
        if (world->things.at[id].line == line) {
            return id;
        }
    }
    return 0;
}

/* One line within a thing: an attribute, marks, or a thing that it holds. */
static void read_value_line(Scope *scope, ThingId thing, NodeId line)
{
    World *world = scope->world;
    ShapeId shape = world->things.at[thing].shape;
    Name head = line_head(world, line);
    FieldId field = settle_field(world, shape, head);
    ThingId held = held_on_line(world, thing, line);
    if (held != 0) {
        if (field != 0) {
            add_value(world, thing, (ThingValue){.field = field, .thing = held, .line = line});
        }
        declare_thing_values(scope, held);
        return;
    }
    if (head == KNOWN_marks) {
        take_marks(world, thing, line);
        return;
    }
    if (field == 0 || world->fields.at[field].sort == FIELD_GIVES || world->fields.at[field].sort == FIELD_MARK) {
        return; /* said when heads were looked at */
    }
    NodeId value = line_first(world, line);
    Type want = world->fields.at[field].type;
    if (value == 0 || line_unreadable(world, line)) {
        if (!line_unreadable(world, line)) {
            message_say(world->messages, SAY_value_missing, line_span(world, line), world_word(world, head),
                        world_type_text(world, want), NULL);
        }
        add_value(world, thing, (ThingValue){.field = field, .line = line});
        return;
    }
    bool list = TYPE_SORT(want) == TYPE_LIST, brackets = world_node(world, value)->form == NODE_LIST;
    NodeId node = list && brackets ? world_node(world, value)->first : value; /* the first of its items, with brackets around them or not */
    add_value(world, thing, (ThingValue){.field = field, .node = node, .line = line, .marks = line_marks(world, line)});
    Type element = list && !brackets ? world->element_types.at[TYPE_INDEX(want)] : want;
    if (settle(scope, value, element) == 0) {
        return;
    }
    while (list && arguments_list_goes_on(world, value)) {
        value = world_node(world, value)->next;
        settle(scope, value, element);
    }
    NodeId next = world_node(world, value)->next;
    if (next != 0 && line_is_argument(world, next)) {
        message_say(world->messages, SAY_argument_too_many, world_span(world, next), world_word(world, head),
                    world_written(world, next), "", NULL);
    }
}

static void say_missing_values(World *world, ThingId thing)
{
    ShapeId shape = world->things.at[thing].shape;
    if (!declare_block_is_whole(world, world->things.at[thing].line)) {
        return;
    }
    for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
        const Field *field = &world->fields.at[id];
        bool told = field->sort != FIELD_HAS || field->value != 0 || field->optional;
        for (uint32_t i = world->things.at[thing].first; i != 0 && !told; i = world->values.at[i].next) {
            told = world->values.at[i].field == id;
        }
        if (!told) {
            message_say(world->messages, SAY_attribute_missing, line_span(world, world->things.at[thing].line),
                        world_word(world, world->shapes.at[shape].name), world_word(world, field->name),
                        world_type_text(world, field->type), NULL);
        }
    }
}

/* Marks, arguments and lines of a thing; of a paper only those that are attributes. */
void declare_thing_values(Scope *scope, ThingId thing)
{
    World *world = scope->world;
    NodeId line = world->things.at[thing].line;
    NodeId block = line_block(world, line);
    if (world->things.at[thing].holder != 0) {
        take_arguments(scope, thing);
    }
    bool paper = world->things.at[thing].shape == settle_shape(world, KNOWN_paper);
    for (NodeId at = block == 0 ? 0 : world_node(world, block)->first; at != 0; at = world_node(world, at)->next) {
        if (!paper || !declare_is_paper_line(line_head(world, at))) {
            read_value_line(scope, thing, at);
        }
    }
    say_missing_values(world, thing);
}

void declare_settle_things(Lot *lot)
{
    World *world = lot->world;
    ShapeId paper = settle_shape(world, KNOWN_paper);
    for (ThingId id = lot->things; id < world->things.count; id++) {
        if (world->things.at[id].holder != 0 || world->things.at[id].shape == paper) {
            continue;
        }
        Scope scope;
        scope_open(&scope, world);
        scope.self = world->things.at[id].shape;
        declare_thing_values(&scope, id);
    }
}
