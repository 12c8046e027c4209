/* Heads that nobody knows. A misspelt one is said once and read as the nearest
 * that may stand there, so that what rests on its line is not lost; one that
 * is near to nothing makes its line unreadable, and its names silent: what is
 * said of it then tells where such a line stands, or what may stand here.
 */
#include "meaning/declare.h"

#include "meaning/document_lines.h"
#include "meaning/line.h"

#include <string.h>

/* Lists of more words are no help (and the longest with "Write one of" has 25 words, as many as a sentence may have). */
enum { LISTED = 22, WORDS_WITH_IT = 5, BLOCKS_WITH_IT = 3 };

/* What may head a line of a block. */
typedef struct Candidates { World *world; LIST(Name) names; } Candidates;

static const KnownName own_of_paper[] = {KNOWN_vary, KNOWN_let, KNOWN_furnish, KNOWN_procedure, KNOWN_expect, KNOWN_note,
                                         KNOWN_accept};
static const KnownName own_of_batch[] = {KNOWN_paper, KNOWN_mill, KNOWN_sheets, KNOWN_start, KNOWN_note, KNOWN_packed, KNOWN_good,
                                         KNOWN_retree, KNOWN_measured};

#define COUNT_OF(array) (sizeof (array) / sizeof (array)[0])

static void add(Candidates *candidates, Name name)
{
    if (name != 0) {
        list_push(candidates->world->memory, &candidates->names, name);
    }
}

static void add_all(Candidates *candidates, const KnownName *names, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        add(candidates, names[i]);
    }
}

static void close(Candidates *candidates)
{
    memory_return(candidates->world->memory, candidates->names.at);
}

static bool among(const Candidates *candidates, Name name)
{
    for (uint32_t i = 0; i < candidates->names.count; i++) {
        if (candidates->names.at[i] == name) {
            return true;
        }
    }
    return false;
}

static Name nearest(const Candidates *candidates, const char *text)
{
    TextNearest search = {.to = text};
    Name found = 0;
    for (uint32_t i = 0; i < candidates->names.count; i++) {
        const char *known = world_text(candidates->world, candidates->names.at[i]);
        text_nearest(&search, known);
        found = search.nearest == known ? candidates->names.at[i] : found;
    }
    return found;
}

/* Whether WORD is one of the words that hyphens join in NAME. */
static bool holds_word(const char *name, const char *word)
{
    size_t length = strlen(word);
    for (const char *at = strstr(name, word); at != NULL; at = strstr(at + 1, word)) {
        if ((at == name || at[-1] == '-') && (at[length] == '\0' || at[length] == '-')) {
            return true;
        }
    }
    return false;
}

/* Those of CANDIDATES that hold WORD, as "a, b or c"; all, where WORD is NULL. "" where there are none, or more than MOST. */
static const char *listed(const Candidates *candidates, const char *word, uint32_t most)
{
    Name found[LISTED];
    uint32_t count = 0;
    for (uint32_t i = 0; i < candidates->names.count; i++) {
        Name name = candidates->names.at[i];
        if (word != NULL && !holds_word(world_text(candidates->world, name), word)) {
            continue;
        }
        if (count == most) {
            return "";
        }
        found[count++] = name;
    }
    const char *text = "";
    for (uint32_t i = 0; i < count; i++) {
        text = world_one_more(candidates->world, text, world_text(candidates->world, found[i]), i + 1 == count);
    }
    return text;
}

static bool has_field(const World *world, ShapeId shape, Name name)
{
    for (; shape != 0; shape = world->shapes.at[shape].parent) {
        for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
            FieldSort sort = world->fields.at[id].sort;
            if (world->fields.at[id].name == name && sort != FIELD_MARK && sort != FIELD_GIVES) {
                return true;
            }
        }
    }
    return false;
}

static bool is_known(const KnownName *names, size_t count, Name name)
{
    for (size_t i = 0; i < count; i++) {
        if (names[i] == name) {
            return true;
        }
    }
    return false;
}

/* Whether anything of SHAPE is declared: shapes that only C makes, as the lines of a bill, nobody writes. */
static bool is_written(const World *world, ShapeId shape)
{
    for (ThingId thing = 1; thing < world->things.count; thing++) {
        if (world->things.at[thing].shape == shape) {
            return true;
        }
    }
    return false;
}

/* Where a line with HEAD stands; "": nowhere, or in too many kinds of block to be a help. */
static const char *place_of(World *world, Name head)
{
    uint32_t step = world_declared(world, SPACE_STEP, head);
    if (step != 0 && step != WORLD_BROKEN) {
        return "It is a step: it stands in the procedure of a paper.";
    }
    ShapeId paper = settle_shape(world, KNOWN_paper);
    bool of_paper = is_known(own_of_paper, COUNT_OF(own_of_paper), head) || has_field(world, paper, head);
    const char *blocks = of_paper ? "a paper" : "";
    uint32_t count = of_paper;
    if (is_known(own_of_batch, COUNT_OF(own_of_batch), head)) {
        blocks = world_one_more(world, blocks, "a batch", true);
        count++;
    }
    for (ShapeId shape = 1; shape < world->shapes.count && count <= BLOCKS_WITH_IT; shape++) {
        if (shape != paper && has_field(world, shape, head) && is_written(world, shape)) {
            blocks = world_one_more(world, blocks, world_type_text(world, TYPE(TYPE_THING, shape)), true);
            count++;
        }
    }
    return count == 0 || count > BLOCKS_WITH_IT ? "" : arena_print(world->scratch, "It is a line of %s.", blocks);
}

/* What helps where HEAD is near to no candidate. */
static const char *advice(const Candidates *candidates, Name head, bool of_procedure)
{
    World *world = candidates->world;
    const char *place = place_of(world, head);
    if (place[0] != '\0') {
        return place;
    }
    const char *with_it = listed(candidates, world_text(world, head), WORDS_WITH_IT);
    if (with_it[0] != '\0') {
        return arena_print(world->scratch, "Did you mean %s?", with_it);
    }
    const char *all = listed(candidates, NULL, LISTED);
    return all[0] != '\0' ? arena_print(world->scratch, "Write one of: %s.", all)
        : of_procedure ? "`waterleaf list steps` shows all steps." : "";
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
    Name meant = nearest(candidates, world_text(world, head));
    Span both;
    Name hyphened = line_hyphened(world, line, &both);
    bool parted = hyphened != 0 && among(candidates, hyphened);
    meant = parted ? hyphened : meant;
    if (!line_unreadable(world, line)) {
        const char *text = world_word(world, head);
        Span span = world_span(world, line);
        span.end = span.start + (uint32_t)strlen(text);
        const char *guess = meant == 0 ? advice(candidates, head, where != NULL && strcmp(where, "procedure") == 0)
                                       : arena_print(world->scratch, "Did you mean %s?", world_text(world, meant));
        Message *message = where == NULL ? message_say(world->messages, SAY_unknown_head, span, text, guess, NULL)
                                         : world_say_unknown_line(world, span, where, text, guess);
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
    Candidates lines = {.world = world}, steps = {.world = world};
    fields_of(world, settle_shape(world, KNOWN_paper), &lines);
    add_all(&lines, own_of_paper, COUNT_OF(own_of_paper));
    mend_block(world, line, &lines, "paper");
    steps_of(world, &steps);
    for (NodeId at = block_first(world, line); at != 0; at = world_node(world, at)->next) {
        if (line_head(world, at) == KNOWN_procedure) {
            mend_procedure(world, at, &steps);
        }
    }
    close(&lines);
    close(&steps);
}

/* A mill may hold a thing of any shape, another thing has only its attributes. */
static void mend_thing(World *world, NodeId line, ShapeId shape)
{
    Candidates lines = {.world = world};
    fields_of(world, shape, &lines);
    for (ShapeId other = 1; world->shapes.at[shape].name == KNOWN_mill && other < world->shapes.count; other++) {
        if (!world->shapes.at[other].step) {
            add(&lines, world->shapes.at[other].name);
        }
    }
    mend_block(world, line, &lines, world_word(world, world->shapes.at[shape].name));
    close(&lines);
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
    Candidates lines = {.world = world};
    add_all(&lines, claim ? of_claim : own, claim ? COUNT_OF(of_claim) : COUNT_OF(own));
    for (NodeId at = block_first(world, line); at != 0; at = world_node(world, at)->next) {
        mend(world, at, &lines, claim ? "claim" : "rule");
    }
    close(&lines);
}

/* Documents hold lines within lines. */
static void mend_document(World *world, NodeId line)
{
    static const KnownName changes[] = {KNOWN_leave_out, KNOWN_put};
    Candidates lines = {.world = world};
    bool changed = declare_changes_document(world, line);
    for (size_t i = 0; changed ? i < 2 : document_line_head(i) != KNOWN_NAMES; i++) {
        add(&lines, changed ? changes[i] : document_line_head(i));
    }
    for (NodeId at = block_first(world, line); at != 0; at = world_node(world, at)->next) {
        if (mend(world, at, &lines, "document") && !changed) {
            mend_document(world, at);
        }
    }
    close(&lines);
}

static void mend_batch(World *world, NodeId line)
{
    Candidates lines = {.world = world};
    add_all(&lines, own_of_batch, COUNT_OF(own_of_batch));
    mend_block(world, line, &lines, "batch");
    close(&lines);
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
    if (is_known(core, COUNT_OF(core), head)) {
        return;
    }
    Candidates heads = {.world = world};
    add_all(&heads, core, COUNT_OF(core));
    for (ShapeId shape = 1; shape < world->shapes.count; shape++) {
        if (!world->shapes.at[shape].step) {
            add(&heads, world->shapes.at[shape].name);
        }
    }
    mend(world, line, &heads, NULL);
    close(&heads);
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
