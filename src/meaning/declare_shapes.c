/* Declaring shapes: what things, subjects and steps may hold and be told. */
#include "meaning/declare.h"

#include "meaning/kind.h"
#include "meaning/line.h"

void declare_shape_name(World *world, NodeId line)
{
    Name name = declare_only_name(world, line, "fields");
    if (name == 0 || world_declared(world, SPACE_SHAPE, name) != 0) {
        return; /* `fields X:` again adds to what is there */
    }
    ShapeId shape = list_add(world->memory, &world->shapes);
    world->shapes.at[shape] = (Shape){.name = name, .root = shape, .line = line};
    world_declare(world, SPACE_SHAPE, name, shape);
}

void declare_shape_parent(World *world, NodeId line)
{
    NodeId first = world_node(world, line)->first;
    NodeId within = line_behind(world, line, KNOWN_within);
    ShapeId shape = first == 0 ? 0 : settle_shape(world, world_node(world, first)->value);
    if (within == 0 || shape == 0 || world->shapes.at[shape].line != line) {
        return;
    }
    Name name = world_node(world, within)->value;
    ShapeId parent = settle_shape(world, name);
    if (parent == 0 || settle_shape_within(world, parent, shape)) {
        message_say(world->messages, SAY_unknown_name, world_span(world, within), "word for fields", world_word(world, name),
                    world_guess(world, name, SPACE_SHAPE), NULL);
        return;
    }
    world->shapes.at[shape].parent = parent;
}

static ShapeId root_of(const World *world, ShapeId shape)
{
    while (world->shapes.at[shape].parent != 0) {
        shape = world->shapes.at[shape].parent;
    }
    return shape;
}

FieldId declare_add_field(World *world, ShapeId shape, Field field)
{
    Shape *root = &world->shapes.at[root_of(world, shape)];
    world->shapes.at[shape].root = root_of(world, shape);
    field.owner = shape;
    if (field.sort == FIELD_MARK) {
        if (root->mark_count == 64) {
            message_say(world->messages, SAY_too_many_names, world_span(world, field.line), NULL);
            return 0;
        }
        field.slot = root->mark_count++;
    } else {
        field.slot = root->slots++;
    }
    list_push(world->memory, &world->fields, field);
    FieldId id = world->fields.count - 1;
    Shape *at = &world->shapes.at[shape];
    if (at->last == 0) {
        at->first = id;
    } else {
        world->fields.at[at->last].next = id;
    }
    at->last = id;
    return id;
}

/* kind, text, size, a shape with or without `of CLASS`, `list of` any of these. */
Type declare_type(World *world, NodeId part, Name *limited)
{
    *limited = 0;
    if (part == 0 || world_node(world, part)->form != NODE_NAME) {
        return 0;
    }
    Name name = world_node(world, part)->value;
    NodeId next = world_node(world, part)->next;
    NodeId of = line_is_word(world, next, KNOWN_of) ? world_node(world, next)->next : 0;
    if (name == KNOWN_list && of != 0) {
        Type element = declare_type(world, of, limited);
        list_push(world->memory, &world->element_types, element);
        return TYPE(TYPE_LIST, world->element_types.count - 1);
    }
    if (name == KNOWN_text) {
        return TYPE(TYPE_TEXT, 0);
    }
    if (name == KNOWN_size) {
        Name inch = KNOWN_in; /* the unit that the lexer owns tells what a side is */
        UnitId unit = inch < world->unit_by_name.count ? world->unit_by_name.at[inch] : 0;
        return TYPE(TYPE_SIZE, unit == 0 ? 0 : world->units.at[unit].kind);
    }
    KindId kind = kind_named(world, name);
    if (kind != 0) {
        return TYPE(TYPE_NUMBER, kind);
    }
    ShapeId shape = settle_shape(world, name);
    if (shape != 0) {
        if (of != 0 && world_node(world, of)->form == NODE_NAME) {
            *limited = world_node(world, of)->value;
        }
        return TYPE(TYPE_THING, shape);
    }
    if (world_declared(world, SPACE_KIND, name) != WORLD_BROKEN && world_declared(world, SPACE_SHAPE, name) != WORLD_BROKEN) {
        const char *guess = world_guess(world, name, SPACE_KIND);
        message_say(world->messages, SAY_unknown_name, world_span(world, part), "kind", world_word(world, name),
                    *guess ? guess : world_guess(world, name, SPACE_SHAPE), NULL);
        world_declare(world, SPACE_KIND, name, WORLD_BROKEN);
    }
    return 0;
}

/* The words behind one-of, or of a `states` line. */
static void read_words(World *world, NodeId part, Field *field)
{
    field->words = world->words.count;
    for (; part != 0 && line_is_argument(world, part); part = world_node(world, part)->next) {
        if (world_node(world, part)->form != NODE_NAME) {
            message_say(world->messages, SAY_words_here, world_span(world, part), NULL);
            break;
        }
        list_push(world->memory, &world->words, world_node(world, part)->value);
        field->word_count++;
    }
}

/* Of `into posts of n as count`: the part before the last `as` or `one-of`, all before it are argument words. */
static NodeId name_before_type(const World *world, NodeId line, NodeId *type)
{
    NodeId name = 0, before = 0;
    *type = 0;
    for (NodeId part = world_node(world, line)->first; part != 0 && line_is_argument(world, part);
         part = world_node(world, part)->next) {
        if (world_node(world, part)->form == NODE_PREPOSITION
            && (world_node(world, part)->value == KNOWN_as || world_node(world, part)->value == KNOWN_one_of)
            && (*type == 0 || world_node(world, part)->value == KNOWN_as
                || world_node(world, *type)->value != KNOWN_one_of)) {
            name = before;
            *type = part;
        }
        before = part;
    }
    return name;
}

static void read_phrase(World *world, NodeId line, NodeId name, Field *field)
{
    field->phrase = world->words.count;
    for (NodeId part = world_node(world, line)->first; part != name; part = world_node(world, part)->next) {
        list_push(world->memory, &world->words, world_node(world, part)->value);
        field->phrase_count++;
    }
}

static void read_field(World *world, ShapeId shape, NodeId line, FieldSort sort)
{
    NodeId type;
    NodeId name = name_before_type(world, line, &type);
    if (name == 0 || world_node(world, name)->form != NODE_NAME) {
        if (!line_unreadable(world, line)) {
            message_say(world->messages, SAY_field_needs_type, line_span(world, line),
                        world_word(world, line_head(world, line)), NULL);
        }
        return;
    }
    Field field = {.name = world_node(world, name)->value, .sort = (uint8_t)sort, .line = line,
                   .value = line_bound(world, line), .marks = line_marks(world, line)};
    if (sort == FIELD_TAKES) {
        read_phrase(world, line, name, &field);
    }
    NodeId behind = world_node(world, type)->next;
    bool one_of = world_node(world, type)->value == KNOWN_one_of;
    if (one_of) {
        read_words(world, behind, &field);
    } else {
        field.type = declare_type(world, behind, &field.limited_to);
    }
    if (field.value != 0 && world_node(world, field.value)->form == NODE_ABSENT) {
        field.optional = true;
        field.value = 0;
    }
    bool here = false;
    for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
        here = here || world->fields.at[id].name == field.name;
    }
    if (here || settle_field(world, shape, field.name) != 0) {
        message_say(world->messages, SAY_name_taken, world_span(world, name), world_word(world, field.name), NULL);
        return;
    }
    FieldId id = declare_add_field(world, shape, field);
    if (one_of) {
        world->fields.at[id].type = TYPE(TYPE_WORD, id);
    }
}

void declare_take(World *world, ShapeId shape, NodeId line)
{
    read_field(world, shape, line, FIELD_TAKES);
}

/* states NAME WORD, WORD */
static void read_states(World *world, ShapeId shape, NodeId line)
{
    NodeId first = line_first(world, line);
    NodeId words = first == 0 ? 0 : world_node(world, first)->next;
    if (first == 0 || world_node(world, first)->form != NODE_NAME || words == 0 || !line_is_argument(world, words)) {
        line_say_written_so(world, line, "states NAME WORD, WORD");
        return;
    }
    Field field = {.name = world_node(world, first)->value, .sort = FIELD_STATES, .line = line};
    read_words(world, words, &field);
    if (field.word_count == 0) {
        return; /* it was said that no word stands there */
    }
    FieldId id = declare_add_field(world, shape, field);
    world->fields.at[id].type = TYPE(TYPE_WORD, id);
}

/* marks WORD, WORD */
static void read_marks(World *world, ShapeId shape, NodeId line)
{
    NodeId first = line_first(world, line);
    if (first == 0) {
        line_say_written_so(world, line, "marks WORD, WORD");
        return;
    }
    for (NodeId part = first; part != 0 && line_is_argument(world, part);
         part = world_node(world, part)->next) {
        Name name = world_node(world, part)->value;
        if (world_node(world, part)->form != NODE_NAME) {
            message_say(world->messages, SAY_words_here, world_span(world, part), NULL);
        } else if (settle_field(world, shape, name) == 0) {
            declare_add_field(world, shape, (Field){.name = name, .sort = FIELD_MARK, .line = line});
        }
    }
}

void declare_fields(World *world, NodeId line)
{
    NodeId first = world_node(world, line)->first, block = line_block(world, line);
    ShapeId shape = first == 0 ? 0 : settle_shape(world, world_node(world, first)->value);
    if (shape == 0 || block == 0) {
        return;
    }
    for (NodeId at = world_node(world, block)->first; at != 0; at = world_node(world, at)->next) {
        switch (line_head(world, at)) {
        case KNOWN_has:
            read_field(world, shape, at, FIELD_HAS);
            break;
        case KNOWN_gives:
            read_field(world, shape, at, FIELD_GIVES);
            break;
        case KNOWN_takes:
            read_field(world, shape, at, FIELD_TAKES);
            break;
        case KNOWN_states:
            read_states(world, shape, at);
            break;
        case KNOWN_marks:
            read_marks(world, shape, at);
            break;
        default:
            if (!line_unreadable(world, at)) {
                world_say_unknown_line(world, line_span(world, at), "`fields` block", world_word(world, line_head(world, at)),
                                       "Write one of: has, gives, takes, states or marks.");
            }
        }
    }
}

enum { FOLLOWED_AT_ALL = 1, FOLLOWED = 2, MOST_FOLLOWED = 400 };

static uint8_t follows_from(World *world, NodeId node, unsigned depth);

/* Each is followed once, or formulas that name one another often would be followed without end. */
static uint8_t field_follows_from(World *world, FieldId id, unsigned depth)
{
    Field *field = &world->fields.at[id];
    if (field->sort != FIELD_GIVES) {
        return field->name == KNOWN_material ? 2 : 1;
    }
    if (field->followed != 0) {
        return field->followed == FOLLOWED ? field->of_subject : 0; /* under way: a ring, which is said elsewhere */
    }
    field->followed = FOLLOWED_AT_ALL;
    uint8_t from = follows_from(world, field->value, depth);
    field->of_subject = from;
    field->followed = FOLLOWED;
    return from;
}

/* What a formula follows from: 2, contents and settled values; 1, attributes of the subject too; 0, what other steps or
 * figures bring. */
static uint8_t follows_from(World *world, NodeId node, unsigned depth)
{
    uint8_t least = 2;
    if (node == 0 || depth > MOST_FOLLOWED) {
        return node == 0 ? 2 : 0;
    }
    uint32_t binding = world->bindings.at[node];
    switch (BOUND_OF(binding)) {
    case BOUND_GIVEN: case BOUND_FIGURE: case BOUND_CORE: case BOUND_SUBJECT: case BOUND_STREAM:
        return 0;
    case BOUND_SELF:
        least = field_follows_from(world, BOUND_INDEX(binding), depth + 1);
        break;
    default:
        break;
    }
    for (NodeId inner = world_node(world, node)->first; inner != 0; inner = world_node(world, inner)->next) {
        uint8_t part = follows_from(world, inner, depth + 1);
        least = part < least ? part : least;
    }
    return least;
}

/* Formulas and defaults, with the other attributes bare. */
void declare_settle_fields(Lot *lot)
{
    World *world = lot->world;
    for (FieldId id = lot->fields; id < world->fields.count; id++) {
        Field field = world->fields.at[id];
        if (field.value == 0 || world->shapes.at[field.owner].step) {
            continue;
        }
        Scope scope;
        scope_open(&scope, world);
        scope.self = field.owner;
        Type type = settle(&scope, field.value, field.type);
        if (type != 0 && field.sort == FIELD_HAS && TYPE_SORT(type) == TYPE_WORD && TYPE_INDEX(type) == 0) {
            message_say(world->messages, SAY_words_here, world_span(world, field.value), NULL);
        }
    }
    for (FieldId id = lot->fields; id < world->fields.count; id++) {
        field_follows_from(world, id, 0);
    }
}
