/* The words of an unfolded value: its name, its formula, its number. */
#include "reckoning/unfold.h"

#include "reckoning/result.h"

#include <string.h>

/* ---- what was written ---- */

/* In one line, without comments. Blanks at its ends stay, as one. */
static void put_written(Unfold *unfold, Text *out, uint32_t start, uint32_t end)
{
    const char *at = sources_bytes(&unfold->world->sources, start), *last = at + (end - start);
    bool blank = false, quoted = false;
    for (; at < last; at++) {
        if (!quoted && *at == '#') {
            at += strcspn(at, "\n");
        }
        if (!quoted && strchr(" \n\t\r", *at) != NULL) {
            blank = true;
            continue;
        }
        text_put(out, blank ? " " : "");
        blank = false;
        if (*at == '\\') { /* what is behind it in a text does not end it */
            text_char(out, *at++);
        } else if (*at == '"') {
            quoted = !quoted;
        }
        text_char(out, *at);
    }
    text_put(out, blank ? " " : "");
}

static const char *taken(Unfold *unfold, Text *text)
{
    const char *copy = arena_copy(&unfold->run->arena, text->at == NULL ? "" : text->at, text->length);
    text_close(text);
    return copy;
}

const char *unfold_written(Unfold *unfold, uint32_t start, uint32_t end)
{
    Text out;
    text_open(&out, unfold->run->memory);
    put_written(unfold, &out, start, end);
    return taken(unfold, &out);
}

const char *unfold_formula_text(Unfold *unfold, NodeId node)
{
    Span span = world_span(unfold->world, node);
    return unfold_written(unfold, span.start, span.end);
}

/* ---- numbers ---- */

/* As a value of its kind is shown where nobody says how. */
static const char *plainly(Unfold *unfold, Value value, Type type)
{
    return run_shown(unfold->run, NULL, 0, value, type);
}

static const char *core_text(Unfold *unfold, Name core, Value value, Type type)
{
    if (core == KNOWN_fibre_charge) {
        return run_number_text(unfold->run, value.number, type, 0, 3);
    }
    return core == KNOWN_parcels ? run_plain_number(unfold->run, value.number, 0)
                                 : plainly(unfold, value, type);
}

const char *unfold_shown(Unfold *unfold, uint32_t note)
{
    Run *run = unfold->run;
    const World *world = unfold->world;
    NodeId node = unfold_note(unfold, note)->node;
    Value value = unfold_note(unfold, note)->value;
    Type type = world->types.at[node];
    if (!run_told(value) || TYPE_SORT(type) != TYPE_NUMBER) {
        return plainly(unfold, value, type);
    }
    if (unfold_is_plain(world, node)) {
        return run_shown(run, NULL, node, value, type);
    }
    uint32_t at = note;
    for (int i = 0; i < 8; i++) {
        NodeId now = unfold_note(unfold, at)->node;
        Made made;
        if (BOUND_OF(world->bindings.at[now]) == BOUND_CORE) {
            return core_text(unfold, BOUND_INDEX(world->bindings.at[now]), value, type);
        }
        if (!unfold_made(unfold, at, &made)) {
            break;
        }
        if (made.is_declared) {
            return run_number_text(run, value.number, type, made.unit, made.decimals);
        }
        at = made.note;
        NodeId from = unfold_note(unfold, at)->node;
        if (unfold_is_plain(world, from) && TYPE_SORT(world->types.at[from]) == TYPE_NUMBER
            && run_equal(unfold_note(unfold, at)->value.number, value.number)) {
            return run_shown(run, NULL, from, value, type);
        }
        if (world_node(world, from)->form != NODE_NAME && world_node(world, from)->form != NODE_DOT) {
            break;
        }
    }
    return plainly(unfold, value, type);
}

/* ---- a formula with numbers ---- */

static bool stands_for_number(const World *world, NodeId node)
{
    Bound bound = BOUND_OF(world->bindings.at[node]);
    switch ((NodeForm)world_node(world, node)->form) {
    case NODE_NAME: case NODE_DOT:
        return TYPE_SORT(world->types.at[node]) == TYPE_NUMBER;
    case NODE_CALL:
        return bound == BOUND_TABLE || bound == BOUND_LET || bound == BOUND_FIGURE || unfold_is_over_set(world, node);
    default:
        return false;
    }
}

static void put_numbers(Unfold *unfold, Text *out, uint32_t note, bool whole);

/* Of choose(…) only what was chosen. */
static bool put_chosen(Unfold *unfold, Text *out, uint32_t note, bool whole)
{
    const World *world = unfold->world;
    NodeId condition = world_node(world, unfold_note(unfold, note)->node)->first;
    for (NodeId inner = world_node(world, condition)->next; inner != 0; inner = world_node(world, inner)->next) {
        uint32_t chosen = unfold_child(unfold, note, inner);
        if (chosen != 0) {
            bool brackets = !whole && world_node(world, inner)->form == NODE_BINARY;
            text_put(out, brackets ? "(" : "");
            put_numbers(unfold, out, chosen, whole);
            text_put(out, brackets ? ")" : "");
            return true;
        }
    }
    return false;
}

/* (… as moisture), (… in lb): what stands inside. */
static void put_narrowed(Unfold *unfold, Text *out, uint32_t note, bool whole)
{
    const World *world = unfold->world;
    NodeId inner = world_node(world, unfold_note(unfold, note)->node)->first;
    uint32_t child = unfold_child(unfold, note, inner);
    bool brackets = !whole && world_node(world, inner)->form == NODE_BINARY;
    text_put(out, brackets ? "(" : "");
    if (child != 0) {
        put_numbers(unfold, out, child, whole);
    } else {
        text_put(out, unfold_formula_text(unfold, inner));
    }
    text_put(out, brackets ? ")" : "");
}

static void put_spliced(Unfold *unfold, Text *out, uint32_t note)
{
    const World *world = unfold->world;
    NodeId node = unfold_note(unfold, note)->node;
    Span span = world_span(world, node);
    uint32_t from = span.start;
    for (NodeId inner = world_node(world, node)->first; inner != 0; inner = world_node(world, inner)->next) {
        uint32_t child = unfold_child(unfold, note, inner);
        if (child != 0) {
            Span at = world_span(world, inner);
            put_written(unfold, out, from, at.start);
            put_numbers(unfold, out, child, false);
            from = at.end;
        }
    }
    put_written(unfold, out, from, span.end);
}

/* WHOLE: nothing stands beside it, so that it needs no brackets. */
static void put_numbers(Unfold *unfold, Text *out, uint32_t note, bool whole)
{
    const World *world = unfold->world;
    NodeId node = unfold_note(unfold, note)->node;
    NodeForm form = (NodeForm)world_node(world, node)->form;
    if (stands_for_number(world, node)) {
        text_put(out, unfold_shown(unfold, note));
    } else if (form == NODE_NARROW || form == NODE_CONVERT) {
        put_narrowed(unfold, out, note, whole);
    } else if (form == NODE_CALL && world->bindings.at[node] == BIND(BOUND_FUNCTION, KNOWN_choose)) {
        if (!put_chosen(unfold, out, note, whole)) {
            text_put(out, unfold_formula_text(unfold, node));
        }
    } else if (form == NODE_BINARY || form == NODE_CALL) {
        put_spliced(unfold, out, note);
    } else {
        text_put(out, unfold_formula_text(unfold, node));
    }
}

const char *unfold_with_numbers(Unfold *unfold, uint32_t note)
{
    Text out;
    text_open(&out, unfold->run->memory);
    put_numbers(unfold, &out, note, true);
    return taken(unfold, &out);
}

/* ---- names ---- */

/* Whether what stands in front of the point is a name of the formula's own (each m from …, a step's argument), which tells
 * nothing outside it. */
static bool is_local(const World *world, NodeId node)
{
    while (world_node(world, node)->form == NODE_DOT) {
        node = world_node(world, node)->first;
    }
    Bound bound = BOUND_OF(world->bindings.at[node]);
    return bound == BOUND_SLOT || bound == BOUND_SELF;
}

static const char *item_name(Unfold *unfold, uint32_t ref, Name field)
{
    Run *run = unfold->run;
    const char *what = result_name(run, ref);
    const char *written = world_text(unfold->world, field);
    if (field == KNOWN_mass && REF_SORT(ref) == REF_CONTENT) {
        uint32_t subject = REF_INDEX(ref) >> 8;
        const char *in = result_name(run, REF(REF_SUBJECT, subject));
        bool stream = subject >= SUBJECT_STREAMS;
        return stream && strcmp(in, what) == 0 ? arena_print(&run->arena, "%s in its stream", what)
                                               : arena_print(&run->arena, "%s in the %s%s", what, stream ? "stream " : "", in);
    }
    if (field == KNOWN_mass && REF_SORT(ref) == REF_BILL) {
        return arena_print(&run->arena, "%s of the whole batch, dry", what);
    }
    if (field == KNOWN_mass && REF_SORT(ref) == REF_ADDITION) {
        return arena_print(&run->arena, "%s added in the whole batch, dry", what);
    }
    return arena_print(&run->arena, "%s of %s", written, what);
}

const char *unfold_name(Unfold *unfold, uint32_t note)
{
    Run *run = unfold->run;
    World *world = unfold->world;
    NodeId node = unfold_note(unfold, note)->node;
    uint32_t ref;
    FieldId field;
    if (unfold_asked(unfold, note, &ref, &field)) {
        Name name = world->fields.at[field].name;
        if (REF_SORT(ref) == REF_SUBJECT) {
            return arena_print(&run->arena, "%s.%s", result_name(run, ref), world_text(world, name));
        }
        if (is_local(world, node)) {
            return item_name(unfold, ref, name);
        }
    }
    if (BOUND_OF(world->bindings.at[node]) == BOUND_STEP_PART && is_local(world, node)) {
        Value step = unfold_note(unfold, unfold_child(unfold, note, world_node(world, node)->first))->value;
        if (run_told(step)) {
            return arena_print(&run->arena, "%s of %s", world_text(world, world_node(world, node)->value),
                               unfold_step(unfold, run->done.at[REF_INDEX(step.thing)].call));
        }
    }
    if (world_node(world, node)->form == NODE_CALL && BOUND_OF(world->bindings.at[node]) == BOUND_FIGURE) {
        uint32_t of = unfold_child(unfold, note, world_node(world, node)->first);
        if (of != 0 && run_told(unfold_note(unfold, of)->value)) {
            return arena_print(&run->arena, "%s of %s",
                               world_text(world, world->figures.at[BOUND_INDEX(world->bindings.at[node])].name),
                               result_name(run, unfold_note(unfold, of)->value.thing));
        }
    }
    return unfold_formula_text(unfold, node);
}

const char *unfold_step(Unfold *unfold, uint32_t call)
{
    const World *world = unfold->world;
    uint32_t line, column;
    const Call *at = &world->calls.at[call];
    sources_line(&world->sources, world_node(world, at->line)->start, &line, &column);
    return arena_print(&unfold->run->arena, "%s in line %u",
                       world_text(world, world->shapes.at[world->steps.at[at->step].shape].name), line);
}
