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
    return first == 0 || world_node(run->world, first)->form != NODE_NAME ? "" : world_written(run->world, first);
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

static bool step_is_meant(Run *run, const Search *search, uint32_t call)
{
    const char *of = search->of, *step = step_name(run, call), *name = line_name(run, call);
    return of == NULL || strcmp(of, step) == 0 || strcmp(of, name) == 0 || strcmp(of, first_argument(run, call)) == 0
        || strcmp(of, numbered_name(run, call, step)) == 0 || strcmp(of, numbered_name(run, call, name)) == 0;
}

static void look_at(Run *run, void *with, const FigureSeen *seen)
{
    Search *search = with;
    if (!is_so(world_text(run->world, seen->name), search->name, search->length) || search->count == search->room) {
        return;
    }
    const char *of = seen->ref != 0 ? result_name(run, seen->ref) : NULL;
    bool meant = seen->record >= 0 ? step_is_meant(run, search, run->records[seen->record].call)
        : search->of == NULL || (of != NULL && strcmp(of, search->of) == 0);
    text_nearest(&search->nearest, seen->record < 0 ? (of == NULL ? "" : of) : step_name(run, run->records[seen->record].call));
    if (meant) {
        search->found[search->count++] = (Match){*seen, of};
    }
}

/* ---- one of them ---- */

/* The event of a step's figure: the last of that line that gave that value. */
static const TraceEvent *giving(const Unfold *unfold, const FigureSeen *seen)
{
    uint32_t call = unfold->run->records[seen->record].call;
    const TraceEvent *found = NULL;
    for (uint32_t i = 0; i < unfold->trace->events.count; i++) {
        const TraceEvent *event = &unfold->trace->events.at[i];
        const Effect *effect = &unfold->world->effects.at[event->effect];
        bool same = !event->begins && effect->sort == EFFECT_GIVES && effect->line == seen->line && effect->name == seen->name;
        if (same && (event->call == call || event->within == call) && event->end > event->first) {
            found = event;
        }
    }
    return found;
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
    Run *run = unfold->run;
    const FigureSeen *seen = &match->seen;
    bool number = TYPE_SORT(seen->type) == TYPE_NUMBER && run_told(seen->value);
    uint32_t binding = world_declared(unfold->world, SPACE_VALUE, seen->name);
    bool unknown = seen->record < 0 && seen->line != 0 && binding == BIND(BOUND_FIGURE, unfold->world->unknown);
    if (seen->record < 0 && seen->line == 0 && !unfold->trace->full) {
        unfold_core(unfold, roots, seen->name, world_word(unfold->world, seen->name), seen->value.number, 0);
        return;
    }
    WhyPart *part =
        unfold_part(unfold, roots, title(unfold, match, search), shown(unfold, seen), number ? seen->value.number : NAN);
    if (is_too_much(unfold, part)) {
        return;
    }
    if (unknown) {
        unfold_solved(unfold, part, 0);
        return;
    }
    Made made = {.line = seen->line, .marks = line_marks(unfold->world, seen->line), .decimals = -1};
    if (seen->record >= 0) {
        const TraceEvent *event = giving(unfold, seen);
        made.note = event == NULL ? 0 : event->end - 1;
    } else {
        run->trace = unfold->trace;
        run_figure_of(run, BOUND_INDEX(binding), seen->ref);
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
    const World *world = unfold->world;
    const Paper *paper = &world->papers.at[run->paper];
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    for (uint32_t i = 0; i < paper->vary_count && i < UNFOLD_CHOICES; i++) {
        const Vary *vary = &world->varies.at[paper->vary + i];
        NodeId node = run->batch == 0 ? 0 : world->choices.at[world->batches.at[run->batch].choices + i];
        uint32_t left = node != 0 ? 1 : vary->count;
        for (node = node != 0 ? node : vary->first; node != 0 && left-- > 0; node = world_node(world, node)->next) {
            Value value = run_value(run, &frame, node);
            if (value.number == run->choices[i].number || (value.number != value.number && value.thing == run->choices[i].thing)) {
                unfold->choices[i] = unfold->trace->notes.count - 1;
                break;
            }
        }
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

const WhyPart *why_figure(Run *run, const char *figure, unsigned depth)
{
    Search search = search_for(run, figure);
    Trace trace;
    bool muted = run->world->messages->muted;
    run->world->messages->muted = true;
    run->evaluations = 0;
    trace_open(&trace, run);
    Unfold unfold = {.run = run, .world = run->world, .trace = &trace, .depth = depth};
    note_choices(&unfold);
    flow_walk(run, true);
    WhyPart roots = {0};
    for (uint32_t i = 0; i < search.count; i++) {
        unfold.parts = 0;
        explain(&unfold, &roots, &search.found[i], &search);
    }
    trace_close(&trace, run);
    run->world->messages->muted = muted;
    memory_return(run->memory, unfold.explained.at);
    return roots.first;
}

/* Which steps of stdlib and the script give the figure; "": none does. */
static const char *steps_giving(Run *run, const Search *search, uint32_t *count)
{
    World *world = run->world;
    const char *steps = "";
    for (uint32_t i = 0; i < world->steps.count; i++) {
        const Step *step = &world->steps.at[i];
        for (uint32_t j = 0; j < step->count; j++) {
            const Effect *effect = &world->effects.at[step->first + j];
            if (effect->sort == EFFECT_GIVES && is_so(world_text(world, effect->name), search->name, search->length)) {
                steps = arena_print(&run->arena, "%s%s%s", steps, (*count)++ == 0 ? "" : ", ",
                                    world_word(world, world->shapes.at[step->shape].name));
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
    uint32_t count = 0;
    const char *steps = steps_giving(run, &search, &count), *name = arena_copy(&run->arena, search.name, search.length);
    const char *nearest = search.nearest.nearest;
    uint32_t binding = world_declared(world, SPACE_VALUE, names_find(&world->names, search.name, search.length));
    bool of_set = binding != WORLD_BROKEN && BOUND_OF(binding) == BOUND_FIGURE && world->figures.at[BOUND_INDEX(binding)].set != 0;
    bool here = search_for(run, name).count > 0;
    if (search.of != NULL && (of_set || count > 0) && here) {
        return arena_print(&run->arena, "%s is not told of %s here.%s%s%s", name, search.of,
                           nearest == NULL ? "" : " Did you mean ", nearest == NULL ? "" : nearest, nearest == NULL ? "" : "?");
    }
    if (of_set) {
        return arena_print(&run->arena, "%s is told of each thing of a set, and here there is none.", name);
    }
    return count == 0
               ? NULL
               : arena_print(&run->arena, "No step of this procedure gives %s; %s %s.", name, steps, count == 1 ? "does" : "do");
}
