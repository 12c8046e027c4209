/* Heads that nobody knows. A misspelt one is said once and read as the nearest
 * that may stand there, so that what rests on its line is not lost; one that
 * is near to nothing makes its line unreadable, and its names silent.
 */
#include "meaning/declare.h"

#include "meaning/document_lines.h"
#include "meaning/line.h"

#include <string.h>

enum { CANDIDATES = 4000 };

typedef struct Candidates { Name names[CANDIDATES]; uint32_t count; } Candidates;

static void add(Candidates *candidates, Name name)
{
    if (candidates->count < CANDIDATES && name != 0) {
        candidates->names[candidates->count++] = name;
    }
}

static bool among(const Candidates *candidates, Name name)
{
    for (uint32_t i = 0; i < candidates->count; i++) {
        if (candidates->names[i] == name) {
            return true;
        }
    }
    return false;
}

static Name nearest(const World *world, const Candidates *candidates, Name name)
{
    const char *text = world_text(world, name);
    size_t length = strlen(text);
    unsigned most = length < 4 ? 1 : length < 8 ? 2 : 3;
    Name found = 0;
    for (uint32_t i = 0; i < candidates->count; i++) {
        const char *other = world_text(world, candidates->names[i]);
        unsigned distance = text_distance(text, length, other, strlen(other), most);
        if (distance <= most && distance < length) {
            found = candidates->names[i];
            most = distance == 0 ? 0 : distance - 1;
        }
    }
    return found;
}

void declare_silence(World *world, Name name)
{
    for (Space space = 0; space < DECLARED_SPACES; space++) {
        if (name != 0 && world_declared(world, space, name) == 0) {
            world_declare(world, space, name, WORLD_BROKEN);
        }
    }
}

void declare_silence_line(World *world, NodeId line)
{
    world->tree.nodes.at[line].extra = 1;
    declare_silence(world, line_head(world, line));
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (world_node(world, part)->form == NODE_NAME) {
            declare_silence(world, world_node(world, part)->value);
        }
    }
}

/* Looks at the head of LINE; true: it may be read on, perhaps under its mended head. */
static bool mend(World *world, NodeId line, const Candidates *candidates, const char *where)
{
    Name head = line_head(world, line);
    if (head == 0 || among(candidates, head)) {
        return head != 0;
    }
    Name meant = nearest(world, candidates, head);
    Span both;
    Name hyphened = line_hyphened(world, line, &both);
    bool parted = hyphened != 0 && among(candidates, hyphened);
    meant = parted ? hyphened : meant;
    if (!line_unreadable(world, line)) {
        const char *text = world_word(world, head);
        Span span = world_span(world, line);
        span.end = span.start + (uint32_t)strlen(text);
        const char *guess = meant == 0 ? "" : arena_print(world->scratch, "Did you mean %s?", world_text(world, meant));
        Message *message = where == NULL ? message_say(world->messages, SAY_unknown_head, span, text, guess, NULL)
                                         : message_say(world->messages, SAY_unknown_line, span, where, text, guess, NULL);
        if (meant != 0) {
            message->edit = parted ? both : span;
            message->edit_text = world_word(world, meant);
        }
    }
    if (meant == 0 || parted) {
        declare_silence_line(world, line);
        return false;
    }
    world->tree.nodes.at[line].value = meant;
    return true;
}

static void fields_of(const World *world, ShapeId shape, Candidates *candidates)
{
    for (; shape != 0; shape = world->shapes.at[shape].parent) {
        for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
            if (world->fields.at[id].sort != FIELD_MARK && world->fields.at[id].sort != FIELD_GIVES) {
                add(candidates, world->fields.at[id].name);
            }
        }
    }
    add(candidates, KNOWN_marks);
}

static NodeId block_first(const World *world, NodeId line)
{
    NodeId block = line_block(world, line);
    return block == 0 ? 0 : world_node(world, block)->first;
}

static void mend_block(World *world, NodeId line, const Candidates *candidates, const char *where)
{
    for (NodeId at = block_first(world, line); at != 0; at = world_node(world, at)->next) {
        if (mend(world, at, candidates, where) && line_when(world, at) != 0 && !line_unreadable(world, at)) {
            message_say(world->messages, SAY_when_not_here, world_span(world, line_when(world, at)),
                        world_word(world, line_head(world, at)), NULL);
        }
    }
}

static void steps_of(const World *world, Candidates *candidates)
{
    for (uint32_t step = 1; step < world->steps.count; step++) {
        add(candidates, world->shapes.at[world->steps.at[step].shape].name);
    }
    add(candidates, KNOWN_when);
    add(candidates, KNOWN_otherwise);
    add(candidates, KNOWN_note);
}

static void mend_procedure(World *world, NodeId line, const Candidates *steps)
{
    for (NodeId at = block_first(world, line); at != 0; at = world_node(world, at)->next) {
        if (mend(world, at, steps, "procedure") && line_block(world, at) != 0) {
            mend_procedure(world, at, steps);
        }
    }
}

static void mend_paper(World *world, NodeId line)
{
    static const KnownName own[] = {KNOWN_vary, KNOWN_let, KNOWN_furnish, KNOWN_procedure, KNOWN_expect, KNOWN_note,
                                    KNOWN_accept};
    Candidates lines = {.count = 0};
    fields_of(world, settle_shape(world, KNOWN_paper), &lines);
    for (size_t i = 0; i < sizeof own / sizeof own[0]; i++) {
        add(&lines, own[i]);
    }
    mend_block(world, line, &lines, "paper");
    for (NodeId at = block_first(world, line); at != 0; at = world_node(world, at)->next) {
        if (line_head(world, at) == KNOWN_procedure) {
            Candidates steps = {.count = 0};
            steps_of(world, &steps);
            mend_procedure(world, at, &steps);
        }
    }
}

/* A mill may hold a thing of any shape, another thing has only its attributes. */
static void mend_thing(World *world, NodeId line, ShapeId shape)
{
    Candidates lines = {.count = 0};
    fields_of(world, shape, &lines);
    for (ShapeId other = 1; world->shapes.at[shape].name == KNOWN_mill && other < world->shapes.count; other++) {
        if (!world->shapes.at[other].step) {
            add(&lines, world->shapes.at[other].name);
        }
    }
    mend_block(world, line, &lines, world_word(world, world->shapes.at[shape].name));
}

/* In a rule a line may have a condition; what its examples hold is looked at where they are tried. */
static void mend_rule(World *world, NodeId line)
{
    static const KnownName own[] = {KNOWN_each, KNOWN_let, KNOWN_require, KNOWN_judged, KNOWN_change, KNOWN_marks, KNOWN_says,
                                    KNOWN_mend, KNOWN_because, KNOWN_source, KNOWN_practice, KNOWN_memory, KNOWN_fails,
                                    KNOWN_mended};
    static const KnownName of_claim[] = {KNOWN_each, KNOWN_let, KNOWN_needs, KNOWN_judged, KNOWN_wording, KNOWN_mend,
                                         KNOWN_because, KNOWN_source, KNOWN_practice, KNOWN_memory, KNOWN_fails, KNOWN_mended,
                                         KNOWN_marks};
    bool claim = line_head(world, line) == KNOWN_claim;
    Candidates lines = {.count = 0};
    for (size_t i = 0; i < (claim ? sizeof of_claim / sizeof of_claim[0] : sizeof own / sizeof own[0]); i++) {
        add(&lines, claim ? of_claim[i] : own[i]);
    }
    for (NodeId at = block_first(world, line); at != 0; at = world_node(world, at)->next) {
        mend(world, at, &lines, claim ? "claim" : "rule");
    }
}

/* Documents hold lines within lines. */
static void mend_document(World *world, NodeId line)
{
    static const KnownName changes[] = {KNOWN_leave_out, KNOWN_put};
    Candidates lines = {.count = 0};
    bool changed = declare_changes_document(world, line);
    for (size_t i = 0; changed ? i < 2 : document_line_head(i) != KNOWN_NAMES; i++) {
        add(&lines, changed ? changes[i] : document_line_head(i));
    }
    for (NodeId at = block_first(world, line); at != 0; at = world_node(world, at)->next) {
        if (mend(world, at, &lines, "document") && !changed) {
            mend_document(world, at);
        }
    }
}

static void mend_batch(World *world, NodeId line)
{
    Candidates lines = {.count = 0};
    static const KnownName own[] = {KNOWN_paper, KNOWN_mill, KNOWN_sheets, KNOWN_start, KNOWN_note, KNOWN_packed, KNOWN_good, KNOWN_retree, KNOWN_measured};
    for (size_t i = 0; i < sizeof own / sizeof own[0]; i++) {
        add(&lines, own[i]);
    }
    mend_block(world, line, &lines, "batch");
}

/* Heads at the top: before anything is declared, when the words of `fields` are known. */
void declare_mend_top(Lot *lot, NodeId line)
{
    static const KnownName core[] = {KNOWN_waterleaf, KNOWN_use, KNOWN_kind, KNOWN_basis, KNOWN_unit, KNOWN_fields, KNOWN_table,
                                     KNOWN_let, KNOWN_reckon, KNOWN_solve, KNOWN_parcels, KNOWN_what_if, KNOWN_step, KNOWN_paper, KNOWN_batch,
                                     KNOWN_replace, KNOWN_note, KNOWN_rule, KNOWN_document, KNOWN_section};
    World *world = lot->world;
    Name head = line_head(world, line);
    if (head == 0 || world_declared(world, SPACE_SHAPE, head) != 0) {
        return;
    }
    Candidates heads = {.count = 0};
    for (size_t i = 0; i < sizeof core / sizeof core[0]; i++) {
        if (head == core[i]) {
            return;
        }
        add(&heads, core[i]);
    }
    for (ShapeId shape = 1; shape < world->shapes.count; shape++) {
        if (!world->shapes.at[shape].step) {
            add(&heads, world->shapes.at[shape].name);
        }
    }
    mend(world, line, &heads, NULL);
}

/* Heads within blocks: when fields and steps are known. */
void declare_mend_blocks(Lot *lot, NodeId line)
{
    World *world = lot->world;
    Name head = line_head(world, line);
    ShapeId shape = settle_shape(world, head);
    if (head == KNOWN_rule || head == KNOWN_claim) {
        mend_rule(world, line);
    } else if (head == KNOWN_paper) {
        mend_paper(world, line);
    } else if (head == KNOWN_batch) {
        mend_batch(world, line);
    } else if (head == KNOWN_document || head == KNOWN_section) {
        mend_document(world, line);
    } else if (shape != 0) {
        mend_thing(world, line, shape);
    }
}

bool declare_block_is_whole(const World *world, NodeId line)
{
    for (NodeId at = block_first(world, line); at != 0; at = world_node(world, at)->next) {
        if (line_unreadable(world, at)) {
            return false;
        }
    }
    return !line_unreadable(world, line);
}
