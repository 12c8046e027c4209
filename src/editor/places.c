/* Finding the name at a place, what it stands for, and where else it is named. */
#include "editor/places.h"

#include "meaning/kind.h"
#include "meaning/line.h"
#include "meaning/unit.h"

#include <string.h>

uint32_t places_source(const World *world, const char *path)
{
    for (uint32_t i = world->sources.list.count; i-- > 1;) {
        const Source *source = &world->sources.list.at[i];
        if (!source->library && strcmp(world_text(world, source->path), path) == 0) {
            return i;
        }
    }
    return 0;
}

Span places_head(const World *world, NodeId line)
{
    Span span = world_span(world, line);
    span.end = span.start + (uint32_t)strlen(world_text(world, line_head(world, line)));
    return span;
}

static Span name_span(const World *world, NodeId node)
{
    Span span = world_span(world, node);
    const Node *at = world_node(world, node);
    uint32_t length = (uint32_t)strlen(world_text(world, at->value));
    if (at->form == NODE_DOT) {
        span.start = span.end - length;
    } else if (at->form == NODE_CALL || at->form == NODE_LINE) {
        span.end = span.start + length;
    }
    return span;
}

Span places_first_name(const World *world, NodeId line)
{
    NodeId first = line_first(world, line);
    NodeForm form = first == 0 ? NODE_LINE : world_node(world, first)->form;
    bool named = form == NODE_NAME || form == NODE_TEXT || form == NODE_CALL; /* a call: of what it is worked out by */
    return named ? name_span(world, first) : (Span){0, 0};
}

/* ---- what is declared where ---- */

static NodeId line_of_binding(const World *world, uint32_t binding)
{
    uint32_t index = BOUND_INDEX(binding);
    switch (BOUND_OF(binding)) {
    case BOUND_THING: return world->things.at[index].line;
    case BOUND_LET: return world->lets.at[index].line;
    case BOUND_FIGURE: return world->figures.at[index].line;
    case BOUND_TABLE: return world->tables.at[index].line;
    case BOUND_SELF: case BOUND_PART: return world->fields.at[index].line;
    default: return 0;
    }
}

static NodeId line_of_name(const World *world, Name name)
{
    uint32_t value = world_declared(world, SPACE_VALUE, name);
    NodeId line = value == 0 || value == WORLD_BROKEN ? 0 : line_of_binding(world, value);
    static const Space spaces[] = {SPACE_STEP, SPACE_PAPER, SPACE_RULE, SPACE_SHAPE, SPACE_DOCUMENT, SPACE_SECTION, SPACE_HELD, SPACE_KIND};
    for (size_t i = 0; line == 0 && i < sizeof spaces / sizeof spaces[0]; i++) {
        uint32_t what = world_declared(world, spaces[i], name);
        if (what == 0 || what == WORLD_BROKEN) {
            continue;
        }
        switch (spaces[i]) {
        case SPACE_STEP: line = world->steps.at[what].line; break;
        case SPACE_PAPER: line = world->papers.at[what].line; break;
        case SPACE_RULE: line = world->rules.at[what].line; break;
        case SPACE_SHAPE: line = world->shapes.at[what].line; break;
        case SPACE_DOCUMENT: case SPACE_SECTION: line = world->plans.at[what].line; break;
        case SPACE_HELD: line = world->things.at[what].line; break;
        default: line = world->kinds.at[what].line; break;
        }
    }
    return line;
}

/* ---- the name at a place ---- */

static bool is_named(const Node *node)
{
    return node->form == NODE_NAME || node->form == NODE_CALL || node->form == NODE_DOT || node->form == NODE_LINE || node->form == NODE_UNIT;
}

static void find(const World *world, NodeId node, uint32_t place, NodeId *found)
{
    for (; node != 0; node = world_node(world, node)->next) {
        const Node *at = world_node(world, node);
        bool holds_lines = at->form == NODE_LINE || at->form == NODE_BLOCK; /* whose spans are those of their first line */
        if (!holds_lines && (place < at->start || place > at->end)) {
            continue;
        }
        if (is_named(at) && at->value != 0) {
            Span span = name_span(world, node);
            if (place >= span.start && place <= span.end) {
                *found = node;
            }
        }
        find(world, at->first, place, found);
    }
}

static bool names_same(const World *world, NodeId node, Name name, NodeId declared)
{
    uint32_t binding = node < world->bindings.count ? world->bindings.at[node] : 0;
    NodeId line = world_node(world, node)->form == NODE_LINE ? 0 : line_of_binding(world, binding);
    return world_node(world, node)->value == name && (line == declared || (line == 0 && line_of_name(world, name) == declared));
}

Standing places_at(const World *world, uint32_t place)
{
    Standing standing = {0};
    const Source *source = sources_at(&world->sources, place);
    uint32_t number = (uint32_t)(source - world->sources.list.at);
    NodeId script = number < world->tree.scripts.count ? world->tree.scripts.at[number] : 0, found = 0;
    if (script != 0) {
        find(world, world_node(world, script)->first, place, &found);
    }
    if (found == 0) {
        return standing;
    }
    uint32_t binding = found < world->bindings.count ? world->bindings.at[found] : 0;
    standing.name = world_node(world, found)->value;
    standing.node = found;
    standing.at = name_span(world, found);
    if (world_node(world, found)->form != NODE_UNIT) {
        standing.declared = line_of_binding(world, binding);
        bool local = BOUND_OF(binding) == BOUND_SLOT || BOUND_OF(binding) == BOUND_VARY || BOUND_OF(binding) == BOUND_WORD;
        standing.declared = standing.declared == 0 && !local ? line_of_name(world, standing.name) : standing.declared;
    }
    standing.library = standing.declared != 0 && sources_at(&world->sources, world_node(world, standing.declared)->start)->library;
    return standing;
}

/* ---- all places of a thing ---- */

typedef struct Visiting { const Standing *standing; PlacesVisit *visit; void *with; } Visiting;

static void visit_all(const World *world, NodeId node, const Visiting *visiting)
{
    for (; node != 0; node = world_node(world, node)->next) {
        const Node *at = world_node(world, node);
        if (is_named(at) && at->form != NODE_UNIT && names_same(world, node, visiting->standing->name, visiting->standing->declared)) {
            Span span = name_span(world, node), first = places_first_name(world, visiting->standing->declared);
            visiting->visit(visiting->with, span, span.start == first.start);
        }
        visit_all(world, at->first, visiting);
    }
}

void places_each(const World *world, const Standing *standing, PlacesVisit *visit, void *with)
{
    Visiting visiting = {standing, visit, with};
    for (uint32_t i = 1; i < world->sources.list.count && standing->declared != 0; i++) {
        if (!world->sources.list.at[i].library && i < world->tree.scripts.count && world->tree.scripts.at[i] != 0) {
            visit_all(world, world_node(world, world->tree.scripts.at[i])->first, &visiting);
        }
    }
}

/* ---- what it is ---- */

/* The comment above a declaration, then the line as it is written. */
static void tell_line(const World *world, NodeId line, Text *out)
{
    Span span = line_span(world, line);
    uint32_t most = 400, length = span.end - span.start < most ? span.end - span.start : most;
    sources_comment_above(&world->sources, world_node(world, line)->start, out);
    text_print(out, "%s%.*s\n", out->length > 0 ? "\n\n" : "", (int)length, sources_bytes(&world->sources, span.start));
    const Source *source = sources_at(&world->sources, span.start);
    if (source->library) {
        text_print(out, "(%s)\n", world_text(world, source->path));
    }
}

/* The lines of its block that tell something, the first of them. */
static void tell_block(const World *world, NodeId line, Text *out)
{
    NodeId block = line_block(world, line);
    unsigned count = 0;
    for (NodeId at = block == 0 ? 0 : world_node(world, block)->first; at != 0 && count < 12; at = world_node(world, at)->next, count++) {
        Span span = line_span(world, at);
        text_print(out, "  %.*s\n", (int)(span.end - span.start < 160 ? span.end - span.start : 160), sources_bytes(&world->sources, span.start));
    }
}

void places_tell(Workshop *workshop, const Standing *standing, Text *out)
{
    const World *world = workshop_world(workshop);
    const Node *node = world_node(world, standing->node);
    if (node->form == NODE_UNIT) {
        for (UnitId id = 1; id < world->units.count; id++) {
            if (world->units.at[id].name == standing->name && world->units.at[id].line != 0) {
                tell_line(world, world->units.at[id].line, out);
                return;
            }
        }
        return;
    }
    if (standing->declared != 0) {
        tell_line(world, standing->declared, out);
        tell_block(world, standing->declared, out);
        return;
    }
    Type type = standing->node < world->types.count ? world->types.at[standing->node] : 0;
    if (type != 0) {
        text_print(out, "%s: %s\n", world_text(world, standing->name), world_type_text((World *)(uintptr_t)world, type));
    }
}
