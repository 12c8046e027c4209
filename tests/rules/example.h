/* The examples of rules and claims: the lines of their `fails:` and `mended:` blocks, put into example.wleaf.
 *
 * Each line of a block takes the place of the line of example.wleaf with the same first word (its head) and the same
 * second one, `add chalk`, `loft-dry for`; of several the first behind the line put before it. Else, where exactly one
 * line has that head, it takes that one's place (not of an expect, note or accept: there may be many). A line with a block (`furnish:`, `water:`, `mould imperial-wove:`)
 * takes the place of a whole block only. A line that matches nothing goes
 *   - to the end of the script, where it is a declaration: a block (other than when, otherwise, furnish, procedure, water),
 *     or a line headed use, kind, unit, basis, let, reckon, replace;
 *   - in front of the procedure, where it is headed as a line of a paper: expect, note, accept, vary, moisture;
 *   - else right behind the line of the block put before it; the first one, to the end of the procedure.
 * `leave-out HEAD [SECOND]` takes a line (or a block) out; what follows it is put where it stood.
 */
#ifndef WATERLEAF_TESTS_RULES_EXAMPLE_H
#define WATERLEAF_TESTS_RULES_EXAMPLE_H

#include "../check.h"
#include "source/show.h"
#include "waterleaf.h"

/* One line of a script, its block with it where it has one. */
typedef struct Piece { char *head, *second, *text; bool block, taken; size_t start, end; } Piece;

typedef struct Pieces { Piece *at; size_t count; } Pieces;

/* A rule or claim of stdlib, with what its examples say; kept apart from the world, which each script that is read renews. */
typedef struct RuleExample {
    char *name;
    bool claim, changes, has_fails, has_mended;
    Pieces fails, mended;
} RuleExample;

typedef struct RuleExamples { RuleExample *at; size_t count; } RuleExamples;

/* ---- pieces ---- */

/* The word at *AT, a quoted text being one; *AT is moved behind it. */
static inline char *piece_word(const char **at, const char *end)
{
    while (*at < end && (**at == ' ' || **at == ','))
        ++*at;
    const char *start = *at;
    if (start < end && *start == '"') {
        do
            ++*at;
        while (*at < end && **at != '"');
        if (*at < end)
            ++*at;
    } else {
        while (*at < end && strchr(" ,:\n#", **at) == NULL)
            ++*at;
    }
    return check_copy(start, (size_t)(*at - start));
}

/* Adds the line LINE; BASE is the place of the first byte of its script. */
static inline void piece_add(Pieces *pieces, const World *world, NodeId line, uint32_t base)
{
    Span span = world_span(world, line);
    const char *text = sources_bytes(&world->sources, span.start), *at = text, *end = text + (span.end - span.start);
    Piece piece = {.head = piece_word(&at, end), .start = span.start - base};
    piece.second = piece_word(&at, end);
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next)
        if (world_node(world, part)->form == NODE_BLOCK) {
            piece.block = true;
            end = text + (world_node(world, part)->end - span.start);
        }
    piece.end = piece.start + (size_t)(end - text);
    piece.text = check_copy(text, (size_t)(end - text));
    pieces->at = check_resize(pieces->at, (pieces->count + 1) * sizeof piece);
    pieces->at[pieces->count++] = piece;
}

/* The lines below PARENT (a script, or the block of a line), those in blocks with them where DEEP. */
static inline void pieces_below(Pieces *pieces, const World *world, NodeId parent, uint32_t base, bool deep)
{
    for (NodeId line = world_node(world, parent)->first; line != 0; line = world_node(world, line)->next) {
        if (world_node(world, line)->form != NODE_LINE)
            continue;
        piece_add(pieces, world, line, base);
        for (NodeId part = world_node(world, line)->first; deep && part != 0; part = world_node(world, part)->next)
            if (world_node(world, part)->form == NODE_BLOCK)
                pieces_below(pieces, world, part, base, true);
    }
}

static inline void pieces_free(Pieces *pieces)
{
    for (size_t i = 0; i < pieces->count; i++) {
        free(pieces->at[i].head);
        free(pieces->at[i].second);
        free(pieces->at[i].text);
    }
    free(pieces->at);
    *pieces = (Pieces){0};
}

/* ---- the rules of stdlib ---- */

static inline bool pieces_of_block(Pieces *pieces, const World *world, NodeId line)
{
    for (NodeId part = line == 0 ? 0 : world_node(world, line)->first; part != 0; part = world_node(world, part)->next)
        if (world_node(world, part)->form == NODE_BLOCK)
            pieces_below(pieces, world, part, 0, false);
    return line != 0;
}

/* All rules and claims that WORKSHOP knows before it has read anything. */
static inline RuleExamples rule_examples(Workshop *workshop)
{
    RuleExamples examples = {0};
    if (workshop_clear(workshop) != WATERLEAF_FINE)
        return examples;
    const World *world = workshop_world(workshop);
    for (uint32_t i = 1; i < world->rules.count; i++) {
        const Rule *rule = &world->rules.at[i];
        const char *name = world_text(world, rule->name);
        RuleExample one = {.name = check_copy(name, strlen(name)), .claim = rule->claim != 0, .changes = rule->change != 0};
        one.has_fails = pieces_of_block(&one.fails, world, rule->fails);
        one.has_mended = pieces_of_block(&one.mended, world, rule->mended);
        examples.at = check_resize(examples.at, (examples.count + 1) * sizeof one);
        examples.at[examples.count++] = one;
    }
    return examples;
}

static inline void rule_examples_free(RuleExamples *examples)
{
    for (size_t i = 0; i < examples->count; i++) {
        free(examples->at[i].name);
        pieces_free(&examples->at[i].fails);
        pieces_free(&examples->at[i].mended);
    }
    free(examples->at);
    *examples = (RuleExamples){0};
}

/* ---- the script that they are put into ---- */

typedef struct Template { char *text; size_t length; Pieces lines; } Template;

/* Reads PATH; every line of it is a piece. */
static inline bool template_open(Checks *checks, Workshop *workshop, const char *path, Template *template)
{
    *template = (Template){0};
    template->text = check_read(path, &template->length);
    if (!check(checks, template->text != NULL, "there is no %s", path) ||
        !check(checks, workshop_clear(workshop) == WATERLEAF_FINE &&
                           workshop_read_text(workshop, path, template->text, template->length) == WATERLEAF_FINE,
               "%s cannot be read: %s", path, workshop_trouble(workshop)))
        return false;
    const World *world = workshop_world(workshop);
    uint32_t source = world->sources.list.count - 1;
    pieces_below(&template->lines, world, world->tree.scripts.at[source], world->sources.list.at[source].base, true);
    return check(checks, template->lines.count > 0, "%s holds no lines", path);
}

static inline void template_close(Template *template)
{
    free(template->text);
    pieces_free(&template->lines);
}

/* A stretch of the template and what is written in its place. */
typedef struct Edit { size_t start, end; Page text; } Edit;

typedef struct Edits { Edit *at; size_t count; Page behind; } Edits;

static inline size_t edit_add(Edits *edits, size_t start, size_t end, const char *text)
{
    edits->at = check_resize(edits->at, (edits->count + 1) * sizeof *edits->at);
    edits->at[edits->count] = (Edit){start, end, {0}};
    page_add(&edits->at[edits->count].text, text, strlen(text));
    return edits->count++;
}

static inline bool piece_is(const Piece *piece, const char *head, const char *second, bool block, bool any)
{
    return strcmp(piece->head, head) == 0 && (any || piece->block == block) && (second == NULL || strcmp(piece->second, second) == 0);
}

/* The line of the template that a line with that head and second word takes the place of; NULL: none. ANY: a block or none. */
static inline Piece *template_find(Template *template, const char *head, const char *second, bool block, bool any, size_t behind)
{
    for (int round = 0; round < 2; round++)
        for (size_t i = 0; i < template->lines.count; i++) {
            Piece *piece = &template->lines.at[i];
            if (!piece->taken && (round == 1 || piece->start >= behind) && piece_is(piece, head, second, block, any))
                return piece;
        }
    return NULL;
}

/* The only line with that head, where it has not been taken. */
static inline Piece *template_only(Template *template, const char *head, bool block, bool any)
{
    Piece *only = NULL;
    for (size_t i = 0; i < template->lines.count; i++) {
        Piece *piece = &template->lines.at[i];
        if (!piece_is(piece, head, NULL, block, any))
            continue;
        if (only != NULL)
            return NULL;
        only = piece;
    }
    return only != NULL && !only->taken ? only : NULL;
}

/* Whether WORD is one of the words in LIST, which stand between blanks. */
static inline bool word_among(const char *word, const char *list)
{
    size_t length = strlen(word);
    for (const char *at = list; (at = strstr(at, word)) != NULL; at += length)
        if (at > list && at[-1] == ' ' && at[length] == ' ')
            return true;
    return false;
}

static inline bool is_declaration(const Piece *line)
{
    return line->block ? !word_among(line->head, " when otherwise furnish procedure water ")
                       : word_among(line->head, " use kind unit basis let reckon replace ");
}

/* Where a line that matches nothing and stands behind no other goes: to the end of the procedure. */
static inline size_t end_of_procedure(Template *template)
{
    Piece *procedure = template_find(template, "procedure", NULL, true, false, 0), *last = NULL;
    for (size_t i = 0; procedure != NULL && i < template->lines.count; i++)
        if (template->lines.at[i].start > procedure->start && template->lines.at[i].end < procedure->end)
            last = &template->lines.at[i];
    return last != NULL ? last->end : template->length;
}

enum { NO_EDIT = -1 };

/* Puts LINE in; LAST is the edit of the line put before it. Gives its own. */
static inline long put_line(Checks *checks, Template *template, Edits *edits, const char *name, const Piece *line, long last)
{
    size_t behind = last == NO_EDIT ? 0 : edits->at[last].end;
    bool out = strcmp(line->head, "leave-out") == 0;
    const char *head = line->head, *second = line->second, *at = line->text + strlen(line->head), *end = line->text + strlen(line->text);
    char *words[2] = {NULL, NULL};
    if (out) {
        head = words[0] = piece_word(&at, end);
        second = words[1] = piece_word(&at, end);
        second = *second == '\0' ? NULL : second;
    }
    Piece *found = template_find(template, head, second, line->block, out, behind);
    if (found == NULL && !(line->block && is_declaration(line)) && !word_among(head, " expect note accept "))
        found = template_only(template, head, line->block, out);
    if (found != NULL) {
        found->taken = true;
        last = (long)edit_add(edits, found->start, found->end, out ? "" : line->text);
    } else if (out) {
        check(checks, false, "%s: there is no line to leave out: %s", name, line->text);
    } else if (is_declaration(line)) {
        page_print(&edits->behind, "\n");
        page_add(&edits->behind, line->text, strlen(line->text));
        page_print(&edits->behind, "\n");
    } else if (word_among(head, " expect note accept vary moisture ")) {
        Piece *procedure = template_find(template, "procedure", NULL, true, false, 0);
        size_t place = procedure == NULL ? template->length : procedure->start;
        Page page = {0};
        page_print(&page, "%s\n\n  ", line->text);
        edit_add(edits, place, place, page.at);
        free(page.at);
    } else {
        if (last == NO_EDIT)
            last = (long)edit_add(edits, end_of_procedure(template), end_of_procedure(template), "");
        page_print(&edits->at[last].text, "\n    ");
        page_add(&edits->at[last].text, line->text, strlen(line->text));
    }
    free(words[0]);
    free(words[1]);
    return last;
}

/* The template with the lines of BLOCK put in; from malloc. */
static inline char *template_fill(Checks *checks, Template *template, const char *name, const Pieces *block)
{
    Edits edits = {0};
    long last = NO_EDIT;
    for (size_t i = 0; i < template->lines.count; i++)
        template->lines.at[i].taken = false;
    for (size_t i = 0; i < block->count; i++)
        last = put_line(checks, template, &edits, name, &block->at[i], last);
    Page page = {0};
    size_t place = 0;
    for (size_t done = 0; done < edits.count; done++) {
        Edit *next = NULL;
        for (size_t i = 0; i < edits.count; i++)
            if (edits.at[i].start != SIZE_MAX && (next == NULL || edits.at[i].start < next->start))
                next = &edits.at[i];
        if (check(checks, next->start >= place, "%s: a line of its example is put into a block that is itself put in", name)) {
            page_add(&page, template->text + place, next->start - place);
            page_add(&page, next->text.at, next->text.length);
            place = next->end;
        }
        next->start = SIZE_MAX;
    }
    page_add(&page, template->text + place, template->length - place);
    page_add(&page, edits.behind.at, edits.behind.length);
    for (size_t i = 0; i < edits.count; i++)
        free(edits.at[i].text.at);
    free(edits.at);
    free(edits.behind.at);
    return page.at;
}

/* ---- what is said ---- */

typedef struct Verdict {
    unsigned of_rule, errors, other; /* messages of the rule asked for; errors; messages that are neither the rule's nor passed over */
    Severity worst;                  /* of the rule's own */
    unsigned unfit;                  /* errors that are no rule's and no claim's: the script was not, or not wholly, judged */
    char text[1500];                 /* all of them, in a line */
} Verdict;

/* Names of the notes that example.wleaf gets by itself: what its maker would be told anyway. Others pass them over. */
typedef struct Usual { char names[1024]; } Usual;

/* Reads and checks TEXT; counts what is said. */
static inline bool judge(Checks *checks, Workshop *workshop, const char *name, const char *text, const Usual *usual, Verdict *verdict)
{
    *verdict = (Verdict){0};
    if (!check(checks, workshop_clear(workshop) == WATERLEAF_FINE &&
                           workshop_read_text(workshop, "example.wleaf", text, strlen(text)) == WATERLEAF_FINE &&
                           workshop_check(workshop) == WATERLEAF_FINE,
               "%s: its example cannot be checked: %s", name, workshop_trouble(workshop)))
        return false;
    const Messages *messages = workshop_messages(workshop);
    size_t length = 0;
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        bool of_rule = strcmp(message->name, name) == 0;
        bool passed_over = message->severity == SEVERITY_NOTE && usual != NULL && word_among(message->name, usual->names);
        verdict->of_rule += of_rule;
        if (of_rule && message->severity > verdict->worst)
            verdict->worst = message->severity;
        verdict->errors += message->severity == SEVERITY_ERROR;
        verdict->other += !of_rule && !passed_over;
        verdict->unfit += message->severity == SEVERITY_ERROR && message->kind < MESSAGE_NAMES && message->kind != SAY_claim_refused
            && message->kind != SAY_expected_otherwise;
        if (length < sizeof verdict->text)
            length += (size_t)snprintf(verdict->text + length, sizeof verdict->text - length, " [%s] %s", message->name, message->says);
    }
    return true;
}

/* All that was said of the script that was read last, in the long form, to standard output. */
static inline void show_said(Workshop *workshop)
{
    const World *world = workshop_world(workshop);
    const Messages *messages = workshop_messages(workshop);
    jmp_buf rescue;
    Memory memory = {.rescue = &rescue};
    Text text = {0};
    if (setjmp(rescue) == 0) {
        text_open(&text, &memory);
        for (uint32_t i = 0; i < messages->list.count; i++)
            show_message(&text, &world->sources, &world->names, &messages->list.at[i], (ShowHow){0});
        fputs(messages->list.count > 0 ? text.at : "nothing\n", stdout);
    }
    memory_return_all(&memory);
}

/* What example.wleaf says by itself: notes at most, which then are usual. */
static inline Usual usual_notes(Checks *checks, Workshop *workshop, const Template *template)
{
    Usual usual = {" "};
    Verdict verdict;
    if (!judge(checks, workshop, "example.wleaf", template->text, NULL, &verdict))
        return usual;
    const Messages *messages = workshop_messages(workshop);
    check(checks, messages->errors + messages->warnings == 0, "example.wleaf by itself gets%s", verdict.text);
    for (uint32_t i = 0; i < messages->list.count; i++) {
        size_t length = strlen(usual.names);
        snprintf(usual.names + length, sizeof usual.names - length, "%s ", messages->list.at[i].name);
    }
    return usual;
}

#endif
