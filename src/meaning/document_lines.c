/* Looking at the lines of documents. */
#include "meaning/document_lines.h"

#include "base/text.h"
#include "meaning/line.h"

#include <string.h>

static const DocumentLine lines[] = {
#define DOCUMENT_LINE(head, form, least, most, block, where) {KNOWN_##head, form, least, most, block, where},
#include "meaning/document_lines.def"
#undef DOCUMENT_LINE
};
enum { LINES = sizeof lines / sizeof lines[0] };

const DocumentLine *document_line(Name head)
{
    for (size_t i = 0; i < LINES; i++) {
        if (lines[i].head == head) {
            return &lines[i];
        }
    }
    return NULL;
}

KnownName document_line_head(size_t place) { return place < LINES ? lines[place].head : KNOWN_NAMES; }

/* Words that say how a line is meant, by its head; ended by 0. */
static const KnownName *words_of(Name head)
{
    static const KnownName none[] = {0}, of_column[] = {KNOWN_right, KNOWN_strong, KNOWN_names_row, KNOWN_tick, KNOWN_blank, 0};
    static const KnownName of_code[] = {KNOWN_bars, KNOWN_aside, 0}, of_mark[] = {KNOWN_aside, 0}, of_section[] = {KNOWN_always, 0};
    static const KnownName of_picture[] = {KNOWN_shares, KNOWN_days, KNOWN_sizes, KNOWN_curves, KNOWN_signs, 0}, of_field[] = {KNOWN_expecting, 0};
    switch (head) {
    case KNOWN_column: return of_column;
    case KNOWN_code: return of_code;
    case KNOWN_mark: return of_mark;
    case KNOWN_picture: return of_picture;
    case KNOWN_section: return of_section;
    case KNOWN_field: return of_field;
    default: return none;
    }
}

static bool is_word_of(Name head, Name word)
{
    for (const KnownName *at = words_of(head); *at != 0; at++) {
        if (*at == (KnownName)word) {
            return true;
        }
    }
    return false;
}

const char *document_line_misspelt(World *world, Name head, NodeId node)
{
    const Node *at = world_node(world, node);
    const KnownName *words = words_of(head);
    if (at->form != NODE_NAME || *words == 0 || world_declared(world, SPACE_VALUE, at->value) != 0) {
        return NULL;
    }
    const char *name = world_word(world, at->value), *all = "";
    bool near = head == KNOWN_picture;
    for (; *words != 0; words++) {
        const char *word = world_word(world, *words);
        near = near || text_distance(name, strlen(name), word, strlen(word), 2) <= 2;
        all = arena_print(world->scratch, "%s%s%s", all, *all == 0 ? "" : ", ", word);
    }
    return near ? all : NULL;
}

bool document_line_word(const World *world, Name head, NodeId node)
{
    const Node *at = world_node(world, node);
    return at->form == NODE_NAME && is_word_of(head, at->value);
}

bool document_line_has(const World *world, NodeId line, Name word)
{
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (document_line_word(world, line_head(world, line), part) && world_node(world, part)->value == word) {
            return true;
        }
    }
    return false;
}

static bool is_value(const World *world, Name head, NodeId part)
{
    const Node *at = world_node(world, part);
    return line_is_argument(world, part) && at->form != NODE_EACH && at->form != NODE_PREPOSITION && !document_line_word(world, head, part);
}

NodeId document_line_value(const World *world, NodeId line, uint32_t number)
{
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (is_value(world, line_head(world, line), part) && number-- == 0) {
            return part;
        }
    }
    return 0;
}

NodeId document_line_each(const World *world, NodeId line)
{
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (world_node(world, part)->form == NODE_EACH) {
            return part;
        }
    }
    return 0;
}
