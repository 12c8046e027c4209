/* Looking at the lines of documents. */
#include "meaning/document_lines.h"

#include "meaning/line.h"

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

static bool is_word_of(Name head, Name word)
{
    switch (head) {
    case KNOWN_column:
        return word == KNOWN_right || word == KNOWN_strong || word == KNOWN_names_row || word == KNOWN_tick || word == KNOWN_blank;
    case KNOWN_code:
        return word == KNOWN_bars || word == KNOWN_aside;
    case KNOWN_mark:
        return word == KNOWN_aside;
    case KNOWN_picture:
        return word == KNOWN_shares || word == KNOWN_days || word == KNOWN_sizes || word == KNOWN_curves
            || word == KNOWN_signs;
    case KNOWN_section:
        return word == KNOWN_always;
    case KNOWN_field:
        return word == KNOWN_expecting;
    default:
        return false;
    }
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
