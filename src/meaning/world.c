/* The world's lists, its spaces of names, and how it words things in messages. */
#include "meaning/world.h"

#include "meaning/kind.h"

#include <string.h>

void world_open(World *world, Memory *memory, Arena *scratch, Messages *messages)
{
    *world = (World){.memory = memory, .scratch = scratch, .messages = messages};
    names_open(&world->names, memory);
    static const char *const known[] = {
#define KNOWN(id, text) text,
#include "meaning/known.def"
#undef KNOWN
    };
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        names_of(&world->names, memory, known[i]);
    }
    sources_open(&world->sources, memory);
    tree_open(&world->tree, memory);
    kind_open(world);
    list_add(memory, &world->bases);
    list_add(memory, &world->units);
    list_add(memory, &world->shapes);
    list_add(memory, &world->fields);
    list_add(memory, &world->words);
    list_add(memory, &world->things);
    list_add(memory, &world->values);
    list_add(memory, &world->lets);
    list_add(memory, &world->figures);
    list_add(memory, &world->tables);
    list_add(memory, &world->rows);
    list_add(memory, &world->steps);
    list_add(memory, &world->effects);
    list_add(memory, &world->calls);
    list_add(memory, &world->branches);
    list_add(memory, &world->papers);
    list_add(memory, &world->furnish);
    list_add(memory, &world->checks);
    list_add(memory, &world->rules);
    list_add(memory, &world->plans);
    list_add(memory, &world->batches);
    list_add(memory, &world->choices);
    list_add(memory, &world->abouts);
    list_add(memory, &world->element_types);
}

uint32_t world_declared(const World *world, Space space, Name name)
{
    uint32_t place = name * DECLARED_SPACES + space;
    return place < world->declared.count ? world->declared.at[place] : 0;
}

void world_declare(World *world, Space space, Name name, uint32_t what)
{
    uint32_t place = name * DECLARED_SPACES + space;
    while (world->declared.count <= place) {
        list_push(world->memory, &world->declared, 0);
    }
    world->declared.at[place] = what;
}

const char *world_word(World *world, Name name)
{
    const char *text = names_text(&world->names, name);
    return arena_copy(world->scratch, text, strlen(text));
}

const char *world_written(World *world, NodeId node)
{
    Span span = world_span(world, node);
    size_t length = span.end > span.start ? span.end - span.start : 0;
    return arena_copy(world->scratch, sources_bytes(&world->sources, span.start), length < 80 ? length : 80);
}

static bool begins_with_vowel(const char *noun)
{
    return noun[0] != 0 && strchr("aeiou", noun[0]) != NULL;
}

static const char *with_article(World *world, const char *noun)
{
    return arena_print(world->scratch, "%s %s", begins_with_vowel(noun) ? "an" : "a", noun);
}

Message *world_say_unknown_line(World *world, Span at, const char *block, const char *head, const char *remedy)
{
    const char *one = arena_print(world->scratch, "%s %s", begins_with_vowel(block) ? "An" : "A", block);
    return message_say(world->messages, SAY_unknown_line, at, one, head, remedy, NULL);
}

/* A share on a basis with how it is written: "dose (% on fibre)". */
static const char *kind_with_basis(World *world, KindId kind)
{
    const char *text = kind_text(world, kind);
    UnitId shown = world->kinds.at[kind].shown;
    const char *unit = shown == 0 ? "" : world_text(world, world->units.at[shown].name);
    return unit[0] == '%' && unit[1] == ' ' ? arena_print(world->scratch, "%s (%s)", text, unit) : text;
}

const char *world_type_text(World *world, Type type)
{
    uint32_t index = TYPE_INDEX(type);
    switch (TYPE_SORT(type)) {
    case TYPE_NUMBER:
        return index == KIND_ONE ? "a plain number" : with_article(world, kind_with_basis(world, index));
    case TYPE_BAND:
        return arena_print(world->scratch, "a range of %s", kind_text(world, index));
    case TYPE_THING:
        return with_article(world, world_word(world, world->shapes.at[index].name));
    case TYPE_WORD:
        return arena_print(world->scratch, "a word for %s", world_word(world, world->fields.at[index].name));
    case TYPE_LIST:
        return "a list";
    case TYPE_SET:
        return index == 0 ? "a set" : index == SET_OF_STEPS ? "a set of steps"
            : arena_print(world->scratch, "a set of %s", world_word(world, world->shapes.at[index].name));
    case TYPE_TEXT:
        return "a text";
    case TYPE_TRUTH:
        return "a yes or no";
    case TYPE_SIZE:
        return "a size (as 22 in by 30 in)";
    case TYPE_ABSENT:
        return "none";
    case TYPE_STEP:
        return "a step";
    case TYPE_UNKNOWN:
        break;
    }
    return "something unknown";
}

Name world_nearest(World *world, Name name, Space space)
{
    TextNearest search = {.to = names_text(&world->names, name)};
    Name nearest = 0;
    for (Name other = 1; other < world->names.entries.count && messages_heard(world->messages); other++) {
        if (other != name && world_declared(world, space, other) != 0) {
            const char *known = names_text(&world->names, other);
            text_nearest(&search, known);
            nearest = search.nearest == known ? other : nearest;
        }
    }
    return nearest;
}

/* The name in the line that declares NAME in the user's own scripts; 0: none. */
static NodeId declaration_of(const World *world, Name name)
{
    NodeId line = 0;
    for (uint32_t i = 0; i < world->varies.count && line == 0; i++) {
        line = world->varies.at[i].name == name ? world->varies.at[i].line : 0;
    }
    uint32_t paper = world_declared(world, SPACE_PAPER, name), value = world_declared(world, SPACE_VALUE, name);
    if (line == 0 && paper != 0 && paper != WORLD_BROKEN) {
        line = world->papers.at[paper].line;
    } else if (line == 0 && value != WORLD_BROKEN && BOUND_OF(value) == BOUND_THING) {
        line = world->things.at[BOUND_INDEX(value)].line;
    }
    for (uint32_t i = 1; i < world->lets.count && line == 0; i++) {
        line = world->lets.at[i].name == name ? world->lets.at[i].line : 0;
    }
    NodeId first = line == 0 ? 0 : world_node(world, line)->first;
    bool own = first != 0 && !sources_at(&world->sources, world_node(world, first)->start)->library;
    return own && world_node(world, first)->value == name ? first : 0;
}

Span world_blame(World *world, Name nearest, NodeId use)
{
    NodeId declared = nearest == 0 ? 0 : declaration_of(world, nearest);
    if (declared == 0) {
        return world_span(world, use);
    }
    for (NodeId node = 1; node < world->tree.nodes.count; node++) {
        const Node *at = world_node(world, node);
        bool names = at->form == NODE_NAME || at->form == NODE_LINE || at->form == NODE_CALL;
        if (names && at->value == nearest && node != declared) {
            return world_span(world, use); /* somebody asks for it: the use at hand is what is misspelt */
        }
    }
    return world_span(world, declared);
}

const char *world_guess(World *world, Name name, Space space)
{
    Name nearest = world_nearest(world, name, space);
    return nearest == 0 ? "" : arena_print(world->scratch, "Did you mean %s?", names_text(&world->names, nearest));
}

const char *world_one_more(World *world, const char *listed, const char *word, bool last)
{
    return arena_print(world->scratch, "%s%s%s", listed, listed[0] == '\0' ? "" : last ? " or " : ", ", word);
}

void world_mend(World *world, Message *message, Span at, Name nearest)
{
    if (nearest != 0) {
        message->edit = at;
        message->edit_text = world_word(world, nearest);
    }
}
