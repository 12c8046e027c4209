/* Looking at the parts of a line. */
#include "meaning/line.h"

#include <stdio.h>
#include <string.h>

static NodeId child_of_form(const World *world, NodeId line, NodeForm form)
{
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (world_node(world, part)->form == form) {
            return part;
        }
    }
    return 0;
}

NodeId line_first(const World *world, NodeId line)
{
    NodeId first = world_node(world, line)->first;
    return first != 0 && line_is_argument(world, first) ? first : 0;
}

/* The name that ONE makes with the name at SECOND, where START to its end would be written anew. */
static Name joined_with(const World *world, Name one, uint32_t start, NodeId second, Span *both)
{
    if (one == 0 || second == 0 || world_node(world, second)->form != NODE_NAME) {
        return 0;
    }
    char joined[80];
    int length = snprintf(joined, sizeof joined, "%s-%s", world_text(world, one), world_text(world, world_node(world, second)->value));
    if (length < 0 || (size_t)length >= sizeof joined) {
        return 0;
    }
    *both = (Span){start, world_span(world, second).end};
    return names_find(&world->names, joined, (size_t)length);
}

Name line_hyphened(const World *world, NodeId line, Span *both)
{
    return joined_with(world, line_head(world, line), world_span(world, line).start, line_first(world, line), both);
}

Name line_joined(const World *world, NodeId part, Span *both)
{
    return joined_with(world, world_node(world, part)->value, world_span(world, part).start, world_node(world, part)->next, both);
}

static NodeId inside(const World *world, NodeId line, NodeForm form)
{
    NodeId part = child_of_form(world, line, form);
    return part == 0 ? 0 : world_node(world, part)->first;
}

NodeId line_bound(const World *world, NodeId line)
{
    return inside(world, line, NODE_BIND);
}

NodeId line_when(const World *world, NodeId line)
{
    return inside(world, line, NODE_WHEN);
}

NodeId line_block(const World *world, NodeId line)
{
    return child_of_form(world, line, NODE_BLOCK);
}

NodeId line_shown(const World *world, NodeId line)
{
    return inside(world, line, NODE_SHOWN);
}

NodeId line_else(const World *world, NodeId line)
{
    return inside(world, line, NODE_ELSE);
}

uint32_t line_marks(const World *world, NodeId line)
{
    uint32_t marks = 0;
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (world_node(world, part)->form == NODE_PROVENANCE) {
            Name word = world_node(world, part)->value;
            marks |= word == KNOWN_source ? MARK_SOURCE : word == KNOWN_practice ? MARK_PRACTICE
                : word == KNOWN_memory ? MARK_MEMORY : word == KNOWN_supplier ? MARK_SUPPLIER : MARK_MEASURED;
        }
    }
    return marks;
}

NodeId line_source(const World *world, NodeId line)
{
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (world_node(world, part)->form == NODE_PROVENANCE && world_node(world, part)->first != 0) {
            return world_node(world, part)->first;
        }
    }
    return 0;
}

bool line_is_argument(const World *world, NodeId part)
{
    switch ((NodeForm)world_node(world, part)->form) {
    case NODE_BIND: case NODE_WHEN: case NODE_BLOCK: case NODE_PROVENANCE: case NODE_SHOWN: case NODE_ELSE:
        return false;
    default:
        return true;
    }
}

bool line_is_word(const World *world, NodeId part, Name name)
{
    if (part == 0) {
        return false;
    }
    const Node *node = world_node(world, part);
    return (node->form == NODE_PREPOSITION || node->form == NODE_NAME) && node->value == name;
}

NodeId line_behind(const World *world, NodeId line, Name name)
{
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (line_is_word(world, part, name)) {
            NodeId next = world_node(world, part)->next;
            return next != 0 && line_is_argument(world, next) ? next : 0;
        }
    }
    return 0;
}

Span line_span(const World *world, NodeId line)
{
    Span span = world_span(world, line);
    NodeId block = line_block(world, line);
    if (block != 0) {
        uint32_t last = world_node(world, line)->start;
        for (NodeId part = world_node(world, line)->first; part != block; part = world_node(world, part)->next) {
            last = world_node(world, part)->end;
        }
        if (last > span.start && last < span.end) {
            span.end = last;
        } else {
            span.end = span.start + (uint32_t)0;
            const char *at = sources_bytes(&world->sources, span.start);
            while (at[span.end - span.start] != 0 && at[span.end - span.start] != '\n' && at[span.end - span.start] != ':') {
                span.end++;
            }
        }
    }
    return span;
}

Span line_whole(const World *world, NodeId line)
{
    Span whole = world_span(world, line);
    NodeId block = line_block(world, line);
    if (block != 0 && world_node(world, block)->end > whole.end) {
        whole.end = world_node(world, block)->end;
    }
    return whole;
}

void line_put_whole(const World *world, NodeId line, const char *before, Text *out)
{
    Span whole = line_whole(world, line);
    const Source *source = sources_at(&world->sources, whole.start);
    const char *text = sources_text(&world->sources, source), *at = text + (whole.start - source->base), *end = text + (whole.end - source->base);
    size_t depth = 0;
    while (depth < (size_t)(at - text) && at[-(ptrdiff_t)depth - 1] == ' ') {
        depth++;
    }
    while (at < end) {
        const char *row_end = memchr(at, '\n', (size_t)(end - at));
        row_end = row_end == NULL ? end : row_end;
        text_put(out, row_end > at ? before : "");
        text_add(out, at, (size_t)(row_end - at));
        text_char(out, '\n');
        at = row_end < end ? row_end + 1 : end;
        for (size_t i = 0; i < depth && at < end && *at == ' '; i++) {
            at++;
        }
    }
}

void line_say_written_so(World *world, NodeId line, const char *form)
{
    if (!line_unreadable(world, line)) {
        message_say(world->messages, SAY_effect_written_so, line_span(world, line), form, NULL);
    }
}
