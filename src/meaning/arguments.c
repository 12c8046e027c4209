/* Sorting arguments.
 *
 * An argument is found by the words in front of it (`taking-up 60 %`), behind
 * a comma also by the words of the one before, else by what it is. One mistake
 * in a line is one message: after it, the rest is sorted without a word.
 */
#include "meaning/arguments.h"

#include "meaning/line.h"

#include <string.h>

typedef struct Matching {
    Scope *scope;
    World *world;
    ShapeId shape;
    NodeId line;
    FieldId taken[ARGUMENTS_MOST];
    uint32_t count;
    NodeId *found;
    uint32_t phrase;  /* the words told last: a `takes` that has them, + 1 */
    bool trouble;
} Matching;

uint32_t arguments_taken(const World *world, ShapeId shape, FieldId taken[ARGUMENTS_MOST])
{
    uint32_t count = 0;
    if (world->shapes.at[shape].parent != 0) {
        count = arguments_taken(world, world->shapes.at[shape].parent, taken);
    }
    for (FieldId id = world->shapes.at[shape].first; id != 0 && count < ARGUMENTS_MOST; id = world->fields.at[id].next) {
        if (world->fields.at[id].sort == FIELD_TAKES) {
            taken[count++] = id;
        }
    }
    return count;
}

NodeId arguments_first(const World *world, uint32_t call)
{
    const Call *at = &world->calls.at[call];
    FieldId taken[ARGUMENTS_MOST];
    return arguments_taken(world, world->steps.at[at->step].shape, taken) == 0 ? 0 : world->arguments.at[at->arguments];
}

static bool is_word_part(const World *world, NodeId part)
{
    NodeForm form = (NodeForm)world_node(world, part)->form;
    return form == NODE_PREPOSITION || form == NODE_NAME;
}

/* How many parts from PART on are the words of FIELD; 0: they are not. */
static uint32_t phrase_at(const World *world, const Field *field, NodeId part)
{
    for (uint32_t i = 0; i < field->phrase_count; i++) {
        if (part == 0 || !line_is_argument(world, part) || !is_word_part(world, part)
            || world_node(world, part)->value != world->words.at[field->phrase + i]
            || (i > 0 && world_node(world, part)->marks & NODE_BEHIND_COMMA)) {
            return 0;
        }
        part = world_node(world, part)->next;
    }
    return field->phrase_count;
}

static bool same_phrase(const World *world, const Field *one, const Field *other)
{
    return one->phrase_count == other->phrase_count
        && memcmp(&world->words.at[one->phrase], &world->words.at[other->phrase], one->phrase_count * sizeof(Name)) == 0;
}

static const char *phrase_text(World *world, const Field *field)
{
    const char *text = "";
    for (uint32_t i = 0; i < field->phrase_count; i++) {
        text = arena_print(world->scratch, "%s%s%s", text, i > 0 ? " " : "", world_text(world, world->words.at[field->phrase + i]));
    }
    return text;
}

static const char *phrases_text(Matching *matching)
{
    World *world = matching->world;
    const char *text = "";
    for (uint32_t i = 0; i < matching->count; i++) {
        const Field *field = &world->fields.at[matching->taken[i]];
        bool told = field->phrase_count == 0;
        for (uint32_t j = 0; j < i; j++) {
            told = told || same_phrase(world, field, &world->fields.at[matching->taken[j]]);
        }
        if (!told) {
            text = arena_print(world->scratch, "%s%s%s …", text, *text ? ", " : "", phrase_text(world, field));
        }
    }
    return text;
}

/* A thing must be of the class asked for, as `material of surface-size`. */
static bool class_fits(World *world, const Field *field, NodeId part, bool say)
{
    uint32_t binding = world->bindings.at[part];
    if (field->limited_to == 0 || BOUND_OF(binding) != BOUND_THING || world_node(world, part)->form != NODE_NAME) {
        return true;
    }
    const Thing *thing = &world->things.at[BOUND_INDEX(binding)];
    FieldId class_field = settle_field_with_word(world, thing->shape, field->limited_to);
    FieldId mark = settle_field(world, thing->shape, field->limited_to);
    for (uint32_t i = thing->first; i != 0; i = world->values.at[i].next) {
        const ThingValue *value = &world->values.at[i];
        if (value->field == mark && mark != 0 && world->fields.at[mark].sort == FIELD_MARK) {
            return true;
        }
        if (value->field == class_field && value->node != 0
            && world_node(world, value->node)->value == field->limited_to) {
            return true;
        }
    }
    NodeId standard = class_field != 0 ? world->fields.at[class_field].value : 0;
    if (standard != 0 && world_node(world, standard)->value == field->limited_to) {
        return true;
    }
    if (say) {
        message_say(world->messages, SAY_wrong_class, world_span(world, part), world_word(world, thing->name),
                    world_word(world, field->limited_to), NULL);
    }
    return false;
}

static bool could_take(Matching *matching, uint32_t i, NodeId part)
{
    const Field *field = &matching->world->fields.at[matching->taken[i]];
    return settle_could(matching->scope, part, field->type) && class_fits(matching->world, field, part, false);
}

/* Gives PART to argument I; settles it, saying what does not fit. */
static void give(Matching *matching, uint32_t i, NodeId part)
{
    World *world = matching->world;
    const Field *field = &world->fields.at[matching->taken[i]];
    Type want = field->type;
    matching->found[i] = part;
    if (TYPE_SORT(want) == TYPE_LIST && world_node(world, part)->form != NODE_LIST) {
        want = world->element_types.at[TYPE_INDEX(want)];
    }
    if (matching->trouble) {
        settle_could(matching->scope, part, want);
        return;
    }
    uint32_t errors = world->messages->errors;
    Type type = settle(matching->scope, part, want);
    if (type != 0 && !class_fits(world, field, part, true)) {
        world->types.at[part] = 0;
    }
    if (world->messages->errors != errors) {
        matching->trouble = true;
    }
}

static bool open_for(const Matching *matching, uint32_t i, const Field *phrase)
{
    const Field *field = &matching->world->fields.at[matching->taken[i]];
    return matching->found[i] == 0
        && (phrase == NULL ? field->phrase_count == 0 : same_phrase(matching->world, field, phrase));
}

/* The argument with these words (NULL: without any) that takes PART: the only one, or the first that can. */
static int choose_for(Matching *matching, const Field *phrase, NodeId part, bool must_fit)
{
    int only = -1;
    uint32_t count = 0;
    for (uint32_t i = 0; i < matching->count; i++) {
        if (open_for(matching, i, phrase)) {
            only = count++ == 0 ? (int)i : only;
        }
    }
    if (count == 0 || (count == 1 && !must_fit)) {
        return only;
    }
    for (uint32_t i = 0; i < matching->count; i++) {
        if (open_for(matching, i, phrase) && could_take(matching, i, part)) {
            return (int)i;
        }
    }
    return must_fit ? -1 : only;
}

static void trouble(Matching *matching)
{
    matching->trouble = true;
}

static const char *owner_text(Matching *matching)
{
    return world_word(matching->world, matching->world->shapes.at[matching->shape].name);
}

static void say_unknown_word(Matching *matching, NodeId part)
{
    World *world = matching->world;
    if (!matching->trouble) {
        message_say(world->messages, SAY_unknown_argument_word, world_span(world, part), owner_text(matching),
                    world_word(world, world_node(world, part)->value), phrases_text(matching), NULL);
    }
    trouble(matching);
}

/* The `takes` whose words stand at PART, the longest; -1: none. */
static int phrase_found(Matching *matching, NodeId part, uint32_t *length)
{
    int found = -1;
    *length = 0;
    for (uint32_t i = 0; i < matching->count; i++) {
        uint32_t words = phrase_at(matching->world, &matching->world->fields.at[matching->taken[i]], part);
        if (words > *length) {
            *length = words;
            found = (int)i;
        }
    }
    return found;
}

static bool is_expression(const World *world, NodeId part)
{
    return part != 0 && line_is_argument(world, part) && world_node(world, part)->form != NODE_PREPOSITION;
}

bool arguments_list_goes_on(const World *world, NodeId part)
{
    NodeId next = world_node(world, part)->next;
    return is_expression(world, next) && (world_node(world, next)->marks & NODE_BEHIND_COMMA) != 0;
}

/* A list takes all that follows, behind commas, and fits. */
static NodeId rest_of_list(Matching *matching, uint32_t i, NodeId part)
{
    World *world = matching->world;
    Type want = world->fields.at[matching->taken[i]].type;
    if (TYPE_SORT(want) != TYPE_LIST || world_node(world, part)->form == NODE_LIST) {
        return part;
    }
    while (arguments_list_goes_on(world, part)) {
        part = world_node(world, part)->next;
        if (!matching->trouble && settle(matching->scope, part, world->element_types.at[TYPE_INDEX(want)]) == 0) {
            trouble(matching);
        }
    }
    return part;
}

/* A name that nothing takes, with a value right behind it: a misspelt argument word. */
static bool misspelt_word(Matching *matching, NodeId part)
{
    World *world = matching->world;
    NodeId next = world_node(world, part)->next;
    if (world_node(world, part)->form != NODE_NAME || !is_expression(world, next)
        || (world_node(world, next)->marks & NODE_BEHIND_COMMA) != 0) {
        return false;
    }
    for (uint32_t i = 0; i < matching->count; i++) {
        if (open_for(matching, i, NULL) && could_take(matching, i, part)) {
            return false;
        }
    }
    return true;
}

static NodeId take_worded(Matching *matching, NodeId part, int with, uint32_t length)
{
    World *world = matching->world;
    NodeId word = part;
    for (uint32_t i = 0; i < length; i++) {
        part = world_node(world, part)->next;
    }
    const Field *phrase = &world->fields.at[matching->taken[with]];
    if (!is_expression(world, part)) {
        if (!matching->trouble) {
            message_say(world->messages, SAY_nothing_behind_word, world_span(world, word), phrase_text(world, phrase),
                        world_type_text(world, phrase->type), NULL);
        }
        trouble(matching);
        return part;
    }
    int i = choose_for(matching, phrase, part, false);
    if (i < 0) {
        if (!matching->trouble) {
            message_say(world->messages, SAY_argument_twice, world_span(world, word), phrase_text(world, phrase), NULL);
        }
        trouble(matching);
        return world_node(world, part)->next;
    }
    matching->phrase = (uint32_t)with + 1;
    give(matching, (uint32_t)i, part);
    return world_node(world, rest_of_list(matching, (uint32_t)i, part))->next;
}

static NodeId take_bare(Matching *matching, NodeId part)
{
    World *world = matching->world;
    bool behind_comma = (world_node(world, part)->marks & NODE_BEHIND_COMMA) != 0;
    int i = -1;
    if (behind_comma && matching->phrase != 0) {
        i = choose_for(matching, &world->fields.at[matching->taken[matching->phrase - 1]], part, true);
    }
    if (i < 0) {
        i = choose_for(matching, NULL, part, false);
    }
    if (i < 0 && behind_comma && matching->phrase != 0) {
        i = choose_for(matching, &world->fields.at[matching->taken[matching->phrase - 1]], part, false);
    }
    if (i < 0) {
        if (!matching->trouble) {
            message_say(world->messages, SAY_argument_too_many, world_span(world, part), owner_text(matching),
                        world_written(world, part), phrases_text(matching), NULL);
        }
        trouble(matching);
        return world_node(world, part)->next;
    }
    give(matching, (uint32_t)i, part);
    return world_node(world, rest_of_list(matching, (uint32_t)i, part))->next;
}

/* All that is lacking at once: who stands before the line writes it anew once, not once for each. */
static void say_missing(Matching *matching)
{
    World *world = matching->world;
    const char *lacking = "";
    bool several = false;
    for (uint32_t i = 0; i < matching->count && !matching->trouble; i++) {
        const Field *field = &world->fields.at[matching->taken[i]];
        if (matching->found[i] == 0 && field->value == 0 && !field->optional) {
            const char *what = field->phrase_count == 0
                ? world_type_text(world, field->type)
                : arena_print(world->scratch, "`%s` and %s", phrase_text(world, field), world_type_text(world, field->type));
            several = lacking[0] != '\0';
            lacking = several ? arena_print(world->scratch, "%s; %s", lacking, what) : what;
        }
    }
    if (lacking[0] != '\0') {
        message_say(world->messages, SAY_argument_missing, line_span(world, matching->line), owner_text(matching), lacking,
                    several ? "Add them." : "Add it.", NULL);
        trouble(matching);
    }
}

bool arguments_match(Scope *scope, ShapeId shape, NodeId line, NodeId first, NodeId found[ARGUMENTS_MOST])
{
    World *world = scope->world;
    Matching matching = {.scope = scope, .world = world, .shape = shape, .line = line, .found = found,
                         .trouble = line_unreadable(world, line)};
    matching.count = arguments_taken(world, shape, matching.taken);
    memset(found, 0, ARGUMENTS_MOST * sizeof *found);
    for (NodeId part = first; part != 0;) {
        if (!line_is_argument(world, part)) {
            part = world_node(world, part)->next;
            continue;
        }
        uint32_t length;
        int with = is_word_part(world, part) ? phrase_found(&matching, part, &length) : -1;
        if (with >= 0) {
            part = take_worded(&matching, part, with, length);
        } else if (world_node(world, part)->form == NODE_PREPOSITION || misspelt_word(&matching, part)) {
            say_unknown_word(&matching, part);
            part = world_node(world, part)->next;
            if (is_expression(world, part)) {
                part = world_node(world, part)->next;
            }
        } else {
            part = take_bare(&matching, part);
        }
    }
    say_missing(&matching);
    return !matching.trouble;
}
