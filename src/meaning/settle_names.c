/* Settling names: what a name stands for where it is written, the parts of a
 * thing, and `is`. */
#include "meaning/settle.h"

#include "meaning/kind.h"
#include "meaning/line.h"
#include "meaning/unit.h"

#include <string.h>

bool settle_shape_within(const World *world, ShapeId shape, ShapeId whole)
{
    for (; shape != 0; shape = world->shapes.at[shape].parent) {
        if (shape == whole) {
            return true;
        }
    }
    return false;
}

ShapeId settle_shape(const World *world, Name name)
{
    uint32_t declared = world_declared(world, SPACE_SHAPE, name);
    return declared == WORLD_BROKEN ? 0 : declared;
}

FieldId settle_field(const World *world, ShapeId shape, Name name)
{
    for (; shape != 0; shape = world->shapes.at[shape].parent) {
        for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
            if (world->fields.at[id].name == name) {
                return id;
            }
        }
    }
    return 0;
}

bool settle_has_word(const World *world, FieldId field, Name word)
{
    const Field *at = &world->fields.at[field];
    for (uint32_t i = 0; i < at->word_count; i++) {
        if (world->words.at[at->words + i] == word) {
            return true;
        }
    }
    return false;
}

FieldId settle_field_with_word(const World *world, ShapeId shape, Name word)
{
    for (; shape != 0; shape = world->shapes.at[shape].parent) {
        for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
            if (world->fields.at[id].word_count > 0 && settle_has_word(world, id, word)) {
                return id;
            }
        }
    }
    return 0;
}

static Type count_type(const World *world)
{
    KindId kind = kind_named(world, KNOWN_count);
    return TYPE(TYPE_NUMBER, kind != 0 ? kind : KIND_ONE);
}

static Type item_set(const World *world, Name shape)
{
    return TYPE(TYPE_SET, settle_shape(world, shape));
}

/* The sets that the program knows. */
Type settle_set_type(const World *world, Name name)
{
    switch (name) {
    case KNOWN_weighing:
        return item_set(world, KNOWN_weighing_line);
    case KNOWN_instructions:
        return item_set(world, KNOWN_instruction);
    case KNOWN_facts:
        return item_set(world, KNOWN_fact_line);
    case KNOWN_proofs:
        return item_set(world, KNOWN_proof);
    case KNOWN_figures:
        return item_set(world, KNOWN_figure_line);
    case KNOWN_standing_cautions:
        return item_set(world, KNOWN_standing_caution);
    case KNOWN_acceptances: case KNOWN_notes: case KNOWN_replacements: case KNOWN_defaults: case KNOWN_unsourced:
        return item_set(world, KNOWN_told_line);
    case KNOWN_numbers:
        return item_set(world, KNOWN_parcel);
    case KNOWN_streams:
        return item_set(world, KNOWN_stream);
    case KNOWN_contents:
        return item_set(world, KNOWN_content);
    case KNOWN_bill:
        return item_set(world, KNOWN_bill_item);
    case KNOWN_additions:
        return item_set(world, KNOWN_addition);
    case KNOWN_ledger:
        return item_set(world, KNOWN_ledger_entry);
    case KNOWN_parcels:
        return item_set(world, KNOWN_parcel);
    case KNOWN_claims:
        return item_set(world, KNOWN_claim);
    case KNOWN_steps:
        return TYPE(TYPE_SET, SET_OF_STEPS);
    default:
        return 0;
    }
}

static bool as_core(World *world, Name name, Type *type)
{
    if (name == KNOWN_sheets_formed || name == KNOWN_sheets_good || name == KNOWN_parcels) {
        *type = count_type(world);
        return true;
    }
    if (name == KNOWN_good_counted || name == KNOWN_retree_counted) {
        *type = count_type(world);
        return true;
    }
    switch (name) { /* what a document asks of the work at hand */
    case KNOWN_written_for: case KNOWN_batch_name: case KNOWN_mill_name: case KNOWN_paper_name: case KNOWN_starts_on: case KNOWN_packed_on:
    case KNOWN_page_name: case KNOWN_script_name: case KNOWN_stdlib_mark: case KNOWN_assurance:
        *type = TYPE(TYPE_TEXT, 0);
        return true;
    default:
        break;
    }
    if (name == KNOWN_fibre_charge && world->unknown != 0) {
        *type = world->figures.at[world->unknown].type;
        return true;
    }
    return false;
}

static bool as_local(Scope *scope, NodeId node, Name name, Type *type)
{
    for (uint32_t i = scope->local_count; i-- > 0;) {
        if (scope->locals[i].name == name) {
            *type = scope->locals[i].type;
            settle_bind(scope->world, node, *type, BIND(BOUND_SLOT, scope->locals[i].slot));
            return true;
        }
    }
    return false;
}

/* What a stream is of: it needs no line in `fields stream`. */
static FieldId field_of_subject(const World *world, ShapeId shape, Name name)
{
    FieldId field = settle_field(world, shape, name);
    ShapeId stream = settle_shape(world, KNOWN_stream);
    if (field == 0 && name == KNOWN_material && stream != 0 && settle_shape_within(world, shape, stream)) {
        field = settle_field(world, settle_shape(world, KNOWN_content), name);
    }
    return field;
}

static bool as_own(Scope *scope, NodeId node, Name name, Type want, Type *type)
{
    World *world = scope->world;
    if (scope->self != 0) {
        FieldId field = field_of_subject(world, scope->self, name);
        if (field != 0 && world->fields.at[field].sort != FIELD_MARK) {
            *type = world->fields.at[field].type;
            settle_bind(world, node, *type, BIND(BOUND_SELF, field));
            return true;
        }
    }
    if (scope->paper == 0) {
        return false;
    }
    const Paper *paper = &world->papers.at[scope->paper];
    for (uint32_t i = 0; i < paper->vary_count; i++) {
        if (world->varies.at[paper->vary + i].name == name) {
            *type = world->varies.at[paper->vary + i].type;
            settle_bind(world, node, *type, BIND(BOUND_VARY, i));
            return true;
        }
    }
    for (uint32_t i = paper->lets; i < paper->lets + paper->let_count; i++) {
        if (world->lets.at[i].name == name) {
            *type = world->lets.at[i].type;
            settle_bind(world, node, *type, BIND(BOUND_LET, i));
            return true;
        }
    }
    ShapeId stream = settle_shape(world, KNOWN_stream);
    bool wants_stream = TYPE_SORT(want) == TYPE_THING && settle_shape_within(world, stream, TYPE_INDEX(want));
    for (uint32_t i = 0; wants_stream && i < paper->furnish_count; i++) {
        if (world->furnish.at[paper->furnish + i].name == name) {
            *type = TYPE(TYPE_THING, stream);
            settle_bind(world, node, *type, BIND(BOUND_STREAM, name));
            return true;
        }
    }
    if (wants_stream && paper->furnish_broken) {
        *type = 0;
        settle_bind(world, node, 0, 0);
        return true;
    }
    return false;
}

static bool as_declared(World *world, NodeId node, Name name, Type *type)
{
    uint32_t binding = world_declared(world, SPACE_VALUE, name);
    uint32_t index = BOUND_INDEX(binding);
    if (binding == WORLD_BROKEN) {
        *type = 0;
        settle_bind(world, node, 0, 0);
        return true;
    }
    switch (BOUND_OF(binding)) {
    case BOUND_THING:
        *type = TYPE(TYPE_THING, world->things.at[index].shape);
        break;
    case BOUND_LET:
        settle_let_first(world, index);
        *type = world->lets.at[index].type;
        break;
    case BOUND_FIGURE:
        *type = world->figures.at[index].set != 0 ? 0 : world->figures.at[index].type;
        break;
    case BOUND_TABLE:
        *type = TYPE(TYPE_SET, world->tables.at[index].row_shape);
        break;
    default:
        return false;
    }
    settle_bind(world, node, *type, binding);
    return true;
}

/* stuff, sheet, count; paper, mill, batch; a head that stands for the mill's first thing of it. */
static bool as_head(World *world, NodeId node, Name name, Type *type)
{
    ShapeId shape = settle_shape(world, name);
    if (name == KNOWN_count && shape == 0) {
        *type = TYPE(TYPE_THING, 0);
        settle_bind(world, node, *type, BIND(BOUND_SUBJECT, KNOWN_count));
        return true;
    }
    if (shape == 0) {
        return false;
    }
    *type = TYPE(TYPE_THING, shape);
    uint32_t binding = BIND(BOUND_HELD, shape);
    if (name == KNOWN_stuff || name == KNOWN_sheet || name == KNOWN_count) {
        binding = BIND(BOUND_SUBJECT, name);
    } else if (name == KNOWN_paper || name == KNOWN_mill || name == KNOWN_batch) {
        binding = BIND(BOUND_ROOT, name);
    }
    settle_bind(world, node, *type, binding);
    return true;
}

static bool as_held(World *world, NodeId node, Name name, Type want, Type *type)
{
    ThingId id = world_declared(world, SPACE_HELD, name);
    if (id == 0 || id == WORLD_BROKEN) {
        return false;
    }
    const Thing *thing = &world->things.at[id];
    if (TYPE_SORT(want) == TYPE_THING && !settle_shape_within(world, thing->shape, TYPE_INDEX(want))) {
        return false;
    }
    *type = TYPE(TYPE_THING, thing->shape);
    settle_bind(world, node, *type, BIND(BOUND_HELD_NAMED, name));
    return true;
}

static bool as_given(World *world, NodeId node, Name name, Type *type)
{
    for (uint32_t i = 0; i < world->given.count; i++) {
        if (world->given.at[i] == name) {
            *type = world->given_types.at[i];
            settle_bind(world, node, *type, BIND(BOUND_GIVEN, i));
            return true;
        }
    }
    return false;
}

/* Whether NAME is a value that could stand where WANT is wanted. */
static bool could_stand(const World *world, Name name, Type want)
{
    uint32_t binding = world_declared(world, SPACE_VALUE, name);
    bool thing = BOUND_OF(binding) == BOUND_THING;
    return binding != 0 && binding != WORLD_BROKEN
        && (TYPE_SORT(want) != TYPE_THING
            || (thing && settle_shape_within(world, world->things.at[BOUND_INDEX(binding)].shape, TYPE_INDEX(want))));
}

/* The nearest name that could have been meant here. */
static Name guess(Scope *scope, Name name, Type want)
{
    World *world = scope->world;
    TextNearest search = {.to = names_text(&world->names, name)};
    Name nearest = 0;
    if (!messages_heard(world->messages)) {
        return 0;
    }
#define CONSIDER(candidate)                                                  \
    do {                                                                     \
        const char *known = names_text(&world->names, (candidate));          \
        if ((candidate) != name) {                                           \
            text_nearest(&search, known);                                    \
            nearest = search.nearest == known ? (candidate) : nearest;       \
        }                                                                    \
    } while (0)
    for (uint32_t i = 0; i < scope->local_count; i++) {
        CONSIDER(scope->locals[i].name);
    }
    if (scope->paper != 0) {
        const Paper *paper = &world->papers.at[scope->paper];
        for (uint32_t i = 0; i < paper->vary_count; i++) {
            CONSIDER(world->varies.at[paper->vary + i].name);
        }
        for (uint32_t i = 0; i < paper->furnish_count; i++) {
            CONSIDER(world->furnish.at[paper->furnish + i].name);
        }
    }
    for (FieldId id = scope->self != 0 ? world->shapes.at[scope->self].first : 0; id != 0; id = world->fields.at[id].next) {
        CONSIDER(world->fields.at[id].name);
    }
    for (Name other = 1; other < world->names.entries.count; other++) {
        if (could_stand(world, other, want) || (TYPE_SORT(want) != TYPE_THING && settle_shape(world, other) != 0)) {
            CONSIDER(other);
        }
    }
    for (uint32_t i = 0; i < world->given.count; i++) {
        CONSIDER(world->given.at[i]);
    }
#undef CONSIDER
    return nearest;
}

static const char *words_of(World *world, FieldId field)
{
    const Field *at = &world->fields.at[field];
    const char *text = "";
    for (uint32_t i = 0; i < at->word_count && i < 8; i++) {
        text = arena_print(world->scratch, "%s%s%s", text, i > 0 ? ", " : "", world_text(world, world->words.at[at->words + i]));
    }
    return text;
}

static void say_unknown(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    Name name = world_node(world, node)->value;
    if (TYPE_SORT(want) == TYPE_WORD && TYPE_INDEX(want) != 0) {
        message_say(world->messages, SAY_unknown_word, world_span(world, node), world_word(world, name),
                    world_word(world, world->fields.at[TYPE_INDEX(want)].name), words_of(world, TYPE_INDEX(want)), NULL);
        return;
    }
    const char *noun = TYPE_SORT(want) == TYPE_THING && TYPE_INDEX(want) != 0
        ? world_word(world, world->shapes.at[TYPE_INDEX(want)].name) : "name";
    Span both = world_span(world, node);
    Name joined = line_joined(world, node, &both);
    bool parted = joined != 0 && could_stand(world, joined, want);
    Name nearest = parted ? joined : guess(scope, name, want);
    if (nearest == 0 && world->use_broken) {
        return; /* it may stand in a script that could not be read */
    }
    Span at = scope->paper == 0 || parted ? world_span(world, node) : world_blame(world, nearest, node);
    Message *message = message_say(world->messages, SAY_unknown_name, at, noun, world_word(world, name),
                                   nearest == 0 ? "" : arena_print(world->scratch, "Did you mean %s?", world_text(world, nearest)), NULL);
    if (nearest != 0 && at.start == world_node(world, node)->start) {
        world_mend(world, message, parted ? both : at, nearest);
    }
    if (at.start != world_node(world, node)->start) {
        message_also(world->messages, message, world_span(world, node), "it is asked for here");
    }
    if (!world->messages->muted) {
        world_declare(world, SPACE_VALUE, name, WORLD_BROKEN); /* said once: what else rests on it is silent */
    }
}

Type settle_name(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    Name name = world_node(world, node)->value;
    if (TYPE_SORT(want) == TYPE_LIST) {
        want = world->element_types.at[TYPE_INDEX(want)];
    }
    if (TYPE_SORT(want) == TYPE_WORD && (TYPE_INDEX(want) == 0 || settle_has_word(world, TYPE_INDEX(want), name))) {
        settle_bind(world, node, want, BIND(BOUND_WORD, name));
        return want;
    }
    Type type = 0;
    if (as_local(scope, node, name, &type) || as_own(scope, node, name, want, &type)) {
        return type;
    }
    if (TYPE_SORT(want) != TYPE_SET && as_core(world, name, &type)) {
        settle_bind(world, node, type, BIND(BOUND_CORE, name));
        return type;
    }
    if (TYPE_SORT(want) == TYPE_SET && settle_set_type(world, name) != 0) {
        settle_bind(world, node, settle_set_type(world, name), BIND(BOUND_SET, name));
        return settle_set_type(world, name);
    }
    if (as_declared(world, node, name, &type) || as_head(world, node, name, &type)
        || as_held(world, node, name, want, &type) || as_given(world, node, name, &type)) {
        return type;
    }
    if (settle_set_type(world, name) != 0) {
        settle_bind(world, node, settle_set_type(world, name), BIND(BOUND_SET, name));
        return settle_set_type(world, name);
    }
    say_unknown(scope, node, want);
    return 0;
}

/* The parts of a range, a tolerance or an `about`, and the sides of a size. */
static Type number_part(World *world, NodeId node, Type of, Name part)
{
    bool sides = TYPE_SORT(of) == TYPE_SIZE && (part == KNOWN_length || part == KNOWN_width);
    bool band = (TYPE_SORT(of) == TYPE_NUMBER || TYPE_SORT(of) == TYPE_BAND)
        && (part == KNOWN_aim || part == KNOWN_low || part == KNOWN_high || part == KNOWN_typical);
    if (!sides && !band) {
        return 0;
    }
    Type type = TYPE(TYPE_NUMBER, TYPE_INDEX(of));
    settle_bind(world, node, type, BIND(BOUND_NUMBER_PART, part));
    return type;
}

static const char *fields_of(World *world, ShapeId shape)
{
    const char *text = "";
    uint32_t count = 0;
    for (; shape != 0; shape = world->shapes.at[shape].parent) {
        for (FieldId id = world->shapes.at[shape].first; id != 0 && count < 12; id = world->fields.at[id].next) {
            if (world->fields.at[id].sort == FIELD_MARK || world->fields.at[id].name == 0) {
                continue;
            }
            text = arena_print(world->scratch, "%s%s%s", text, count++ > 0 ? ", " : "",
                               world_text(world, world->fields.at[id].name));
        }
    }
    return text;
}

/* `batch.start`: the day on which the batch begins. Of a batch nothing else is asked. */
static bool is_batch_start(const World *world, NodeId inner, Name part)
{
    return part == KNOWN_start && world_node(world, inner)->form == NODE_NAME && world_node(world, inner)->value == KNOWN_batch
        && kind_of_day(world) != 0;
}

Type settle_dot(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    NodeId inner = world_node(world, node)->first;
    Name part = world_node(world, node)->value;
    (void)want;
    if (settle_change(scope, node, inner, part)) {
        return TYPE(TYPE_TEXT, 0);
    }
    if (is_batch_start(world, inner, part)) {
        Type day = TYPE(TYPE_NUMBER, kind_of_day(world));
        settle_bind(world, node, day, BIND(BOUND_CORE, KNOWN_start));
        return day;
    }
    Type of = settle(scope, inner, 0);
    if (of == 0) {
        return 0;
    }
    if (TYPE_SORT(of) == TYPE_STEP) {
        return settle_part_of_step(scope, node, TYPE_INDEX(of), part);
    }
    if (BOUND_OF(world->bindings.at[inner]) == BOUND_SUBJECT && BOUND_INDEX(world->bindings.at[inner]) == KNOWN_count
        && (part == KNOWN_sheets || part == KNOWN_formed)) {
        settle_bind(world, node, count_type(world), BIND(BOUND_CORE, part));
        return count_type(world);
    }
    if (TYPE_SORT(of) == TYPE_THING) {
        ShapeId shape = TYPE_INDEX(of);
        FieldId field = field_of_subject(world, shape, part);
        ShapeId material = settle_shape(world, KNOWN_material);
        if (field == 0 && settle_field(world, shape, KNOWN_material) != 0) {
            field = settle_field(world, material, part);
        }
        bool of_step = shape == settle_shape(world, KNOWN_addition) || shape == settle_shape(world, KNOWN_content);
        if (field == 0 && part == KNOWN_step && of_step) {
            settle_bind(world, node, TYPE(TYPE_STEP, 0), BIND(BOUND_STEP_PART, KNOWN_step));
            return TYPE(TYPE_STEP, 0);
        }
        if (field == 0 && part == KNOWN_contents) {
            settle_bind(world, node, settle_set_type(world, part), BIND(BOUND_SET, part));
            return settle_set_type(world, part);
        }
        if (field != 0 && world->fields.at[field].sort != FIELD_MARK) {
            settle_bind(world, node, world->fields.at[field].type, BIND(BOUND_PART, field));
            return world->fields.at[field].type;
        }
        message_say(world->messages, SAY_no_such_part, world_span(world, node),
                    world_word(world, world->shapes.at[shape].name), world_word(world, part), fields_of(world, shape), NULL);
        return 0;
    }
    Type type = number_part(world, node, of, part);
    if (type == 0) {
        message_say(world->messages, SAY_no_such_part, world_span(world, node), world_type_text(world, of) + 2,
                    world_word(world, part), "", NULL);
    }
    return type;
}

/* `S is WORD`: a word of one of its fields, a mark, or its own name. What it is, is bound to the IS node. */
static void settle_is_of_thing(Scope *scope, NodeId node, ShapeId shape, NodeId right)
{
    World *world = scope->world;
    Name word = world_node(world, right)->value;
    FieldId field = settle_field_with_word(world, shape, word);
    if (field != 0) {
        settle_bind(world, node, TYPE(TYPE_TRUTH, 0), BIND(BOUND_PART, field));
        settle_bind(world, right, TYPE(TYPE_WORD, field), BIND(BOUND_WORD, word));
        return;
    }
    FieldId mark = settle_field(world, shape, word);
    if (mark != 0 && world->fields.at[mark].sort == FIELD_MARK) {
        settle_bind(world, node, TYPE(TYPE_TRUTH, 0), BIND(BOUND_MARK, mark));
        return;
    }
    Type other = settle(scope, right, TYPE(TYPE_THING, shape));
    if (other != 0) {
        settle_bind(world, node, TYPE(TYPE_TRUTH, 0), BIND(BOUND_THING, 0));
    }
}

static bool known_local(const Scope *scope, Name name)
{
    for (uint32_t i = 0; i < scope->local_count; i++) {
        if (scope->locals[i].name == name) {
            return true;
        }
    }
    return false;
}

Type settle_is(Scope *scope, NodeId node)
{
    World *world = scope->world;
    NodeId left = world_node(world, node)->first, right = world_node(world, left)->next;
    Type of = settle(scope, left, 0);
    Type truth = TYPE(TYPE_TRUTH, 0);
    if (world_node(world, right)->form == NODE_ABSENT && TYPE_SORT(of) != TYPE_SET) {
        settle_bind(world, node, truth, BIND(BOUND_NOTHING, 0));
        return of == 0 ? 0 : truth;
    }
    if (of == 0) {
        return 0;
    }
    bool name = world_node(world, right)->form == NODE_NAME && !known_local(scope, world_node(world, right)->value);
    if (TYPE_SORT(of) == TYPE_STEP && name) {
        settle_is_step(scope, node, right);
        return truth;
    }
    if (TYPE_SORT(of) == TYPE_THING && world_node(world, right)->form == NODE_DOT) {
        Type word = settle(scope, right, 0);
        Bound bound = TYPE_SORT(word) == TYPE_WORD ? BOUND_WORD_OF : BOUND_WORD;
        bool fits = word == 0 || bound == BOUND_WORD_OF || TYPE_SORT(word) == TYPE_THING;
        settle_bind(world, node, truth, BIND(bound, 0));
        if (!fits) {
            message_say(world->messages, SAY_wrong_kind, world_span(world, right), world_type_text(world, of),
                        world_type_text(world, word), NULL);
        }
        return fits ? truth : 0;
    }
    if (TYPE_SORT(of) == TYPE_THING && name) {
        settle_is_of_thing(scope, node, TYPE_INDEX(of), right);
        return truth;
    }
    if (TYPE_SORT(of) == TYPE_WORD || TYPE_SORT(of) == TYPE_THING) {
        settle(scope, right, of);
        settle_bind(world, node, truth, BIND(BOUND_WORD, 0));
        return truth;
    }
    message_say(world->messages, SAY_is_asks_words, world_span(world, node), world_type_text(world, of), NULL);
    return 0;
}
