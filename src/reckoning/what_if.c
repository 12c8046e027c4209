/* What moves a figure. The hands are held: fibre charged, fibre lifted with each sheet and the count stay what they were worked out
 * to be, nothing is solved, and one number at a time is a tenth more, then a tenth less than it is typed. What
 * a scale or a ruler would then find of the sheet is what the number is worth watching for. */
#include "reckoning/what_if.h"

#include "reckoning/flow.h"
#include "reckoning/variant.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const double tenth = 0.1;

/* Rounds until as many sheets are formed as the stuff gives: what leaves with each sheet depends on their number. */
enum { ROUNDS = 12 };

typedef struct Typed { NodeId number, line; } Typed;

typedef struct Trying {
    Run *run;
    Outcome *outcome;
    NodeId figures[WHAT_IF_FIGURES];
    uint32_t count;
    double least[WHAT_IF_FIGURES], usual[WHAT_IF_FIGURES];
    LIST(Typed) typed;
    double sheets_formed, gains[RUN_STREAMS];
    uint32_t *done, done_count; /* the lines of the procedure that are done */
} Trying;

/* ---- the numbers that may count ---- */

static bool is_number(const World *world, NodeId node)
{
    NodeForm form = (NodeForm)world_node(world, node)->form;
    return (form == NODE_NUMBER || form == NODE_QUANTITY) && TYPE_SORT(world->types.at[node]) == TYPE_NUMBER
        && world->tree.numbers.at[world_node(world, node)->value] != 0;
}

/* Those below NODE. Numbers in conditions choose, they measure nothing; and words hold none that is worked with. */
static void find_numbers(Trying *trying, NodeId node, NodeId line)
{
    const World *world = trying->run->world;
    NodeForm form = (NodeForm)world_node(world, node)->form;
    bool is_line = form == NODE_LINE;
    if (form == NODE_WHEN || form == NODE_TEXT || form == NODE_SHOWN || (is_line && line_head(world, node) == KNOWN_expect)) {
        return;
    }
    if (is_number(world, node)) {
        list_push(trying->run->memory, &trying->typed, (Typed){node, line});
        return;
    }
    for (NodeId part = world_node(world, node)->first; part != 0; part = world_node(world, part)->next) {
        find_numbers(trying, part, is_line ? node : line);
    }
}

/* Whether a line at the top of a script has to do with the paper at hand: it is no other paper, batch or mill. */
static bool concerns(const Run *run, NodeId line)
{
    const World *world = run->world;
    Name head = line_head(world, line);
    if (head == KNOWN_paper) {
        return line == world->papers.at[run->paper].line;
    }
    if (head == KNOWN_batch) {
        return line == world->batches.at[run->batch].line;
    }
    return head != KNOWN_mill || line == world->things.at[run->mill].line;
}

static void find_in_script(Trying *trying, NodeId script)
{
    const World *world = trying->run->world;
    for (NodeId line = world_node(world, script)->first; line != 0; line = world_node(world, line)->next) {
        if (concerns(trying->run, line)) {
            find_numbers(trying, line, line);
        }
    }
}

static void find_typed(Trying *trying)
{
    const World *world = trying->run->world;
    for (uint32_t source = 0; source < world->tree.scripts.count; source++) {
        if (!world->sources.list.at[source].library) {
            find_in_script(trying, world->tree.scripts.at[source]);
        }
    }
}

/* ---- walking with the hands held ---- */

static bool same_lines(const Trying *trying)
{
    const Run *run = trying->run;
    bool same = run->record_count == trying->done_count;
    for (uint32_t i = 0; same && i < run->record_count; i++) {
        same = run->records[i].call == trying->done[i];
    }
    return same;
}

static double value_of(Run *run, NodeId node)
{
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    Value value = run_value(run, &frame, node);
    return run_told(value) ? value.number : NAN;
}

static void take_figures(const Trying *trying, double *figures)
{
    for (uint32_t i = 0; i < trying->count; i++) {
        figures[i] = value_of(trying->run, trying->figures[i]);
    }
}

/* The figures with the numbers as they stand. False: there is no such paper, or no number of sheets to which it comes. */
static bool walk(Trying *trying, double *figures)
{
    Run *run = trying->run;
    run->generation++;
    run->evaluations = 0;
    run->sheets_formed = trying->sheets_formed;
    variant_choose_again(run);
    for (int round = 0; round < ROUNDS; round++) {
        memcpy(run->stream_gain, trying->gains, sizeof trying->gains);
        flow_walk(run, true);
        double sheets = run->formable * run->parcels;
        if (fabs(sheets - run->sheets_formed) < 1e-10 * sheets) { /* never of none, nor of sheets without end */
            take_figures(trying, figures);
            return !run->failed;
        }
        run->sheets_formed = sheets;
    }
    return false;
}

/* What the number is with TIMES what is typed, in base units; NaN where a share would be more than the whole. */
static double changed(const World *world, NodeId node, double times)
{
    uint32_t place = world_node(world, node)->value;
    double typed = world->tree.numbers.at[place], base = world->converted.at[place];
    UnitId unit = world->bindings.at[node]; /* 0: none */
    double number = unit != 0 ? unit_to_base(&world->units.at[unit], typed * times) : base * times;
    bool share = kind_is_share((World *)world, TYPE_INDEX(world->types.at[node]));
    return share && unit != 0 && base <= 1 && number > 1 ? NAN : number;
}

/* By which shares the figures move with TIMES the number. */
static void try_number(Trying *trying, NodeId node, double times, double *shares)
{
    World *world = trying->run->world;
    double *at = &world->converted.at[world_node(world, node)->value], kept = *at, number = changed(world, node, times);
    double figures[WHAT_IF_FIGURES];
    bool fine = false;
    if (number == number) {
        *at = number;
        fine = walk(trying, figures) && same_lines(trying);
        *at = kept;
    }
    for (uint32_t i = 0; i < trying->count; i++) {
        shares[i] = fine && trying->usual[i] != 0 ? (figures[i] - trying->usual[i]) / fabs(trying->usual[i]) : NAN;
    }
}

static double larger(double one, double other)
{
    return fmax(fabs(one), fabs(other)); /* of a number and no number, the number */
}

static const char *line_text(Run *run, NodeId line)
{
    Span span = line_span(run->world, line);
    char *text = arena_copy(&run->arena, sources_bytes(&run->world->sources, span.start), span.end - span.start);
    size_t length = 0;
    for (const char *at = text; *at != 0; at++) {
        bool blank = strchr(" \t\r\n", *at) != NULL;
        if (!blank || text[length - 1] != ' ') { /* a line does not begin with a blank */
            text[length++] = blank ? ' ' : *at;
        }
    }
    text[length] = 0;
    return text;
}

static void try_typed(Trying *trying, const Typed *typed)
{
    Run *run = trying->run;
    double more[WHAT_IF_FIGURES], less[WHAT_IF_FIGURES], most = 0;
    try_number(trying, typed->number, 1 + tenth, more);
    try_number(trying, typed->number, 1 - tenth, less);
    for (uint32_t i = 0; i < trying->count; i++) {
        double moved = larger(more[i], less[i]);
        if (!(moved >= trying->least[i])) {
            more[i] = less[i] = NAN;
        }
        most = fmax(most, larger(more[i], less[i]));
    }
    if (!(most > 0)) {
        return;
    }
    WhatIf *told = &trying->outcome->what_if[trying->outcome->what_if_count++];
    Span span = world_span(run->world, typed->number);
    *told = (WhatIf){.number = typed->number, .line = line_text(run, typed->line), .most = most};
    told->typed = arena_copy(&run->arena, sources_bytes(&run->world->sources, span.start), span.end - span.start);
    told->moves = arena_take(&run->arena, trying->count * sizeof *told->moves);
    for (uint32_t i = 0; i < trying->count; i++) {
        told->moves[i] = (Moves){more[i], less[i]};
    }
}

/* ---- all of it ---- */

static void find_figures(Trying *trying)
{
    Run *run = trying->run;
    World *world = run->world;
    trying->outcome->sensitive = arena_take(&run->arena, WHAT_IF_FIGURES * sizeof(const char *));
    for (uint32_t i = 0; i < world->sensitive.count && trying->count < WHAT_IF_FIGURES; i++) {
        NodeId value = world->sensitive.at[i].value;
        double least = value_of(run, world->sensitive.at[i].least), now = value_of(run, value);
        if (least == least && now == now) {
            Span span = world_span(world, value);
            trying->outcome->sensitive[trying->outcome->sensitive_count++] =
                arena_copy(&run->arena, sources_bytes(&world->sources, span.start), span.end - span.start);
            trying->least[trying->count] = least;
            trying->figures[trying->count++] = value;
        }
    }
}

static void hold_hands(Trying *trying)
{
    Run *run = trying->run;
    trying->sheets_formed = run->sheets_formed;
    memcpy(trying->gains, run->stream_gain, sizeof trying->gains);
    trying->done_count = run->record_count;
    trying->done = arena_take(&run->arena, (run->record_count + 1u) * sizeof *trying->done);
    for (uint32_t i = 0; i < run->record_count; i++) {
        trying->done[i] = run->records[i].call;
    }
}

/* The largest first; of two alike, the one that is typed first. */
static int by_size(const void *one, const void *other)
{
    const WhatIf *mine = one, *theirs = other;
    if (!run_equal(mine->most, theirs->most)) {
        return mine->most > theirs->most ? -1 : 1;
    }
    return mine->number < theirs->number ? -1 : 1;
}

void what_if_add(Run *run, Outcome *outcome)
{
    Trying trying = {.run = run, .outcome = outcome};
    Messages *messages = run->world->messages;
    bool muted = messages->muted;
    messages->muted = true;
    run->feeling = true;
    find_figures(&trying);
    hold_hands(&trying);
    if (trying.count > 0 && walk(&trying, trying.usual)) {
        find_typed(&trying);
        outcome->what_if = arena_take(&run->arena, trying.typed.count * sizeof *outcome->what_if);
        for (uint32_t i = 0; i < trying.typed.count; i++) {
            try_typed(&trying, &trying.typed.at[i]);
        }
        qsort(outcome->what_if, outcome->what_if_count, sizeof *outcome->what_if, by_size);
    }
    memory_return(run->memory, trying.typed.at);
    run->feeling = false;
    messages->muted = muted;
}
