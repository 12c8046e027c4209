/* Finding the figure that is asked for, and unfolding it. The paper is walked once
 * more with a trace; nothing is worked out by other formulas than its own. */
#include "reckoning/unfold.h"

#include "meaning/arguments.h"
#include "reckoning/figures.h"
#include "reckoning/flow.h"
#include "reckoning/result.h"

#include <math.h>
#include <string.h>

typedef struct Match { FigureSeen seen; const char *of; } Match;

typedef struct Search {
    const char *name;
    size_t length;
    const char *of;   /* behind " of "; NULL: nothing is told */
    Match *found;
    uint32_t count, room;
    TextNearest nearest; /* of what OF might have meant */
} Search;

static bool is_so(const char *text, const char *wanted, size_t length)
{
    return strlen(text) == length && memcmp(text, wanted, length) == 0;
}

/* The stream or material that stands first in a line; "": something else does. */
static const char *first_argument(Run *run, uint32_t call)
{
    NodeId first = arguments_first(run->world, call);
    return world_node(run->world, first)->form == NODE_NAME ? world_written(run->world, first) : "";
}

static const char *step_name(Run *run, uint32_t call)
{
    return world_word(run->world, run->world->shapes.at[run->world->steps.at[run->world->calls.at[call].step].shape].name);
}

static const char *line_name(Run *run, uint32_t call)
{
    const char *step = step_name(run, call), *first = first_argument(run, call);
    return *first == 0 ? step : arena_print(&run->arena, "%s %s", step, first);
}

/* "loft-dry in line 40": two lines may begin alike. */
static const char *numbered_name(Run *run, uint32_t call, const char *name)
{
    uint32_t line, column;
    sources_line(&run->world->sources, world_node(run->world, run->world->calls.at[call].line)->start, &line, &column);
    return arena_print(&run->arena, "%s in line %u", name, line);
}

/* Whether OF names the line: by what stands first in it, with its step or alone, or by its number. */
static bool line_is_meant(Run *run, const char *of, uint32_t call)
{
    const char *name = line_name(run, call);
    return strcmp(of, name) == 0 || strcmp(of, first_argument(run, call)) == 0
        || strcmp(of, numbered_name(run, call, step_name(run, call))) == 0 || strcmp(of, numbered_name(run, call, name)) == 0;
}

static void look_at(Run *run, void *with, const FigureSeen *seen)
{
    Search *search = with;
    if (!is_so(world_text(run->world, seen->name), search->name, search->length) || search->count == search->room) {
        return;
    }
    const char *of = seen->ref != 0 ? result_name(run, seen->ref) : NULL;
    const char *known = seen->record >= 0 ? step_name(run, run->records[seen->record].call) : of;
    bool meant = search->of == NULL || (known != NULL && strcmp(known, search->of) == 0)
        || (seen->record >= 0 && line_is_meant(run, search->of, run->records[seen->record].call));
    if (known != NULL) {
        text_nearest(&search->nearest, known);
    }
    if (meant) {
        search->found[search->count++] = (Match){*seen, of};
    }
}

/* ---- one of them ---- */

/* The note of a step's figure: the lines of a step gave them in the order in which they stand. */
static uint32_t note_of_step(const Unfold *unfold, const FigureSeen *seen)
{
    uint32_t call = unfold->run->records[seen->record].call, left = seen->place, note = 0;
    for (uint32_t i = 0; i < unfold->trace->events.count && note == 0; i++) {
        const TraceEvent *event = &unfold->trace->events.at[i];
        if (event->call == call && unfold->world->effects.at[event->effect].sort == EFFECT_GIVES && left-- == 0) {
            note = event->end - 1;
        }
    }
    return note;
}

static const char *shown(Unfold *unfold, const FigureSeen *seen)
{
    return result_quantity(unfold->run, seen->value, seen->type, seen->shown, seen->decimals).shown;
}

static const char *title(Unfold *unfold, const Match *match, const Search *search)
{
    Run *run = unfold->run;
    const char *name = world_word(unfold->world, match->seen.name);
    if (match->of != NULL) {
        return arena_print(&run->arena, "%s of %s", name, match->of);
    }
    if (match->seen.record < 0) {
        return name;
    }
    uint32_t call = run->records[match->seen.record].call;
    return arena_print(&run->arena, "%s of %s", name,
                       search->count > 1 ? numbered_name(run, call, line_name(run, call)) : step_name(run, call));
}

/* Whether not all of the walk could be noted: what is told of it would leave something out. */
static bool is_too_much(const Unfold *unfold, WhyPart *part)
{
    if (unfold->trace->full) {
        part->end = WHY_DEEPER;
        part->says = "made of more than can be followed: ask for one of its parts";
    }
    return unfold->trace->full;
}

static void explain(Unfold *unfold, WhyPart *roots, const Match *match, const Search *search)
{
    const FigureSeen *seen = &match->seen;
    if (seen->line == 0 && !unfold->trace->full) { /* the program works it out itself */
        unfold_core(unfold, roots, seen->name, world_word(unfold->world, seen->name), seen->value.number, 0);
        return;
    }
    bool number = TYPE_SORT(seen->type) == TYPE_NUMBER && run_told(seen->value);
    WhyPart *part =
        unfold_part(unfold, roots, title(unfold, match, search), shown(unfold, seen), number ? seen->value.number : NAN);
    if (is_too_much(unfold, part)) {
        return;
    }
    uint32_t binding = world_declared(unfold->world, SPACE_VALUE, seen->name);
    if (binding == BIND(BOUND_FIGURE, unfold->world->unknown)) {
        unfold_solved(unfold, part, 0);
        return;
    }
    Made made = {.line = seen->line, .marks = line_marks(unfold->world, seen->line)};
    if (seen->record >= 0) {
        made.note = note_of_step(unfold, seen);
    } else { /* it is worked out once more, to be noted */
        run_figure_of(unfold->run, BOUND_INDEX(binding), seen->ref);
        made.note = unfold->trace->notes.count - 1;
    }
    if (!is_too_much(unfold, part)) {
        unfold_formula(unfold, part, &made, 0);
    }
}

/* What the vary lines were chosen to be, as values that were typed. */
static void note_choices(Unfold *unfold)
{
    Run *run = unfold->run;
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    for (uint32_t i = run->world->papers.at[run->paper].vary_count; i-- > 0;) {
        run_value(run, &frame, run->chosen[i]);
        unfold->choices[i] = unfold->trace->notes.count - 1;
    }
}

enum { MATCHES_MOST = 200 };

static Search search_for(Run *run, const char *figure)
{
    const char *of = strstr(figure, " of ");
    Search search = {.name = figure,
                     .length = of == NULL ? strlen(figure) : (size_t)(of - figure),
                     .of = of == NULL ? NULL : of + 4,
                     .found = arena_take(&run->arena, MATCHES_MOST * sizeof(Match)),
                     .room = MATCHES_MOST};
    search.nearest.to = of == NULL ? "" : of + 4;
    figures_each(run, look_at, &search);
    return search;
}

/* Every mistake that could be said on the way has been said while the paper was solved, and is said once. */
const WhyPart *why_figure(Run *run, const char *figure, unsigned depth)
{
    Search search = search_for(run, figure);
    Trace trace;
    run->evaluations = 0;
    trace_open(&trace, run);
    Unfold unfold = {.run = run, .world = run->world, .trace = &trace, .depth = depth};
    note_choices(&unfold);
    flow_walk(run, true);
    WhyPart roots = {.first = NULL};
    for (uint32_t i = 0; i < search.count; i++) {
        unfold.parts = 0;
        explain(&unfold, &roots, &search.found[i], &search);
    }
    trace_close(&trace, run);
    memory_return(run->memory, unfold.explained.at);
    return roots.first;
}

/* Which steps of stdlib and the script give the figure; "": none does. */
static const char *steps_giving(Run *run, const Search *search, uint32_t *count)
{
    World *world = run->world;
    const char *steps = "";
    for (uint32_t i = world->steps.count; i-- > 1;) {
        const Step *step = &world->steps.at[i];
        for (uint32_t j = 0; j < step->count; j++) {
            const Effect *effect = &world->effects.at[step->first + j];
            if (effect->sort == EFFECT_GIVES && is_so(world_text(world, effect->name), search->name, search->length)) {
                steps = arena_print(&run->arena, "%s%s%s", world_word(world, world->shapes.at[step->shape].name),
                                    (*count)++ == 0 ? "" : ", ", steps);
                break;
            }
        }
    }
    return steps;
}

const char *why_not_here(Run *run, const char *figure)
{
    World *world = run->world;
    Search search = search_for(run, figure);
    const char *name = arena_copy(&run->arena, search.name, search.length), *nearest = search.nearest.nearest;
    if (search_for(run, name).count > 0) {
        return arena_print(&run->arena, "%s is not told of %s here.%s%s%s", name, search.of,
                           nearest == NULL ? "" : " Did you mean ", nearest == NULL ? "" : nearest, nearest == NULL ? "" : "?");
    }
    uint32_t binding = world_declared(world, SPACE_VALUE, names_find(&world->names, search.name, search.length));
    if (BOUND_OF(binding) == BOUND_FIGURE) { /* one of the whole paper is always here */
        return arena_print(&run->arena, "%s is told of each thing of a set, and here there is none.", name);
    }
    uint32_t count = 0;
    const char *steps = steps_giving(run, &search, &count);
    return count == 0
               ? NULL
               : arena_print(&run->arena, "No step of this procedure gives %s; %s %s.", name, steps, count == 1 ? "does" : "do");
}
