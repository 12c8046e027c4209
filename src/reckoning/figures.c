/* Going through all numbers, and between which ends each lies. */
#include "reckoning/figures.h"

#include "reckoning/flow.h"
#include "reckoning/solve.h"

#include <math.h>
#include <string.h>

typedef struct OfSet { FigureVisit *visit; void *with; uint32_t figure; Name set; } OfSet;

static bool visit_item(Run *run, void *with, uint32_t ref)
{
    OfSet *of_set = with;
    const Figure *figure = &run->world->figures.at[of_set->figure];
    NodeId set = world_node(run->world, figure->set)->first, when = world_node(run->world, set)->next;
    if (when != 0) {
        Value slots[RUN_SLOTS];
        Frame frame = {.slots = slots};
        slots[BOUND_INDEX(run->world->bindings.at[figure->set])] = (Value){0, ref, 0};
        if (!run_holds(run, &frame, world_node(run->world, when)->first)) {
            return true;
        }
    }
    Value value = run_figure_of(run, of_set->figure, ref);
    FigureSeen seen = {.name = figure->name, .ref = ref, .set = of_set->set, .record = -1, .type = figure->type, .value = value,
                       .shown = figure->shown, .decimals = figure->decimals, .line = figure->line};
    of_set->visit(run, of_set->with, &seen);
    return true;
}

static void visit_set(Run *run, uint32_t id, FigureVisit *visit, void *with)
{
    NodeId set = world_node(run->world, run->world->figures.at[id].set)->first;
    OfSet of_set = {visit, with, id, world_node(run->world, set)->value};
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    run_each(run, &frame, set, visit_item, &of_set);
}

static void visit_core(Run *run, FigureVisit *visit, void *with)
{
    KindId count = kind_named(run->world, KNOWN_count);
    Type sheets = TYPE(TYPE_NUMBER, count == 0 ? KIND_ONE : count);
    struct { Name name; double value; Type type; } cores[] = {
        {KNOWN_sheets_good, run->sheets_good, sheets},
        {KNOWN_sheets_formed, run->sheets_formed, sheets},
        {KNOWN_parcels, run->parcels, TYPE(TYPE_NUMBER, KIND_ONE)},
        {KNOWN_fibre_charge, run->fibre_charge,
         run->world->unknown == 0 ? 0 : run->world->figures.at[run->world->unknown].type},
    };
    for (size_t i = 0; i < sizeof cores / sizeof cores[0]; i++) {
        bool fibre = cores[i].name == KNOWN_fibre_charge;
        FigureSeen seen = {.name = cores[i].name, .record = -1, .type = cores[i].type, .value = run_number(cores[i].value, 0),
                           .decimals = fibre ? 3 : 0};
        visit(run, with, &seen);
    }
}

void figures_each(Run *run, FigureVisit *visit, void *with)
{
    World *world = run->world;
    visit_core(run, visit, with);
    for (uint32_t id = 1; id < world->figures.count; id++) {
        const Figure *figure = &world->figures.at[id];
        if (figure->set != 0) {
            visit_set(run, id, visit, with);
            continue;
        }
        Value value = run_figure(run, id);
        FigureSeen seen = {.name = figure->name, .record = -1, .type = figure->type, .value = value,
                           .shown = figure->shown, .decimals = figure->decimals, .line = figure->line};
        visit(run, with, &seen);
    }
    for (uint32_t i = 0; i < run->record_count; i++) {
        for (uint32_t j = 0; j < run->records[i].figures.count; j++) {
            const StepFigure *figure = &run->records[i].figures.at[j];
            FigureSeen seen = {.name = figure->name, .record = (int32_t)i, .place = j, .type = figure->type, .value = figure->value,
                               .shown = figure->shown, .decimals = figure->decimals, .line = figure->line};
            visit(run, with, &seen);
        }
    }
}

typedef struct Numbers { double *at; uint32_t count, room; } Numbers;

static void take_number(Run *run, void *with, const FigureSeen *seen)
{
    Numbers *numbers = with;
    (void)run;
    if (numbers->count < numbers->room) {
        numbers->at[numbers->count] = TYPE_SORT(seen->type) == TYPE_NUMBER ? seen->value.number : NAN;
    }
    numbers->count++;
}

uint32_t figures_count(Run *run)
{
    Numbers numbers = {0};
    figures_each(run, take_number, &numbers);
    return numbers.count;
}

/* Solves with the ends as they are set; the numbers into AT. False: no answer there. AT is NULL where the paper shall stand as
 * it did, with all that is told of it. */
static bool solve_at_ends(Run *run, double *at, uint32_t count)
{
    run->feeling = at != NULL;
    bool solved = solve_quietly(run);
    run->feeling = false;
    if (!solved || at == NULL) {
        return solved;
    }
    Messages *messages = run->world->messages;
    bool muted = messages->muted;
    messages->muted = true;
    Numbers numbers = {at, 0, count};
    figures_each(run, take_number, &numbers);
    messages->muted = muted;
    return numbers.count == count;
}

typedef struct Bands {
    Run *run;
    uint32_t count, abouts;
    uint32_t *places;   /* of the abouts that the paper asks for */
    double *typical, *now;
    double *usual[3];   /* the typical ones, by what is left unrounded */
    int8_t *raising;    /* [about][figure]: the end that raises it, 0: neither */
    double *low, *high;
} Bands;

static void widen(Bands *bands, uint32_t i, double value)
{
    if (value == value) {
        bands->low[i] = value < bands->low[i] ? value : bands->low[i];
        bands->high[i] = value > bands->high[i] ? value : bands->high[i];
    }
}

/* Which way the end of an `about` that is set moves each figure, against what it is at the usual values. */
static void feel_end(Bands *bands, uint32_t about, int8_t end, const double *usual, bool wide)
{
    bool solved = solve_at_ends(bands->run, bands->now, bands->count);
    for (uint32_t i = 0; solved && i < bands->count; i++) {
        double change = bands->now[i] - usual[i];
        int8_t *raising = &bands->raising[(size_t)about * bands->count + i];
        if (fabs(change) > 1e-11 * fabs(usual[i]) && *raising == 0) {
            *raising = change > 0 ? end : (int8_t)-end;
        }
        if (wide) {
            widen(bands, i, bands->now[i]);
        }
    }
}

/* Whole sheets hide that an `about` moves a figure when it moves it by little, though with others it may move it by a sheet;
 * and so do loads and what else stdlib rounds. So where there are others it is first felt without whole sheets, then with
 * nothing rounded. */
static void feel_one(Bands *bands, uint32_t about)
{
    static const Even turns[] = {EVEN_SHEETS, EVEN_ALL, EVEN_NOTHING};
    Run *run = bands->run;
    for (uint32_t turn = bands->abouts > 1 ? 0 : 2; turn < 3; turn++) {
        run->even = turns[turn];
        for (int8_t end = -1; end <= 1; end = (int8_t)(end + 2)) {
            run->about_ends.at[bands->places[about]] = end;
            feel_end(bands, about, end, bands->usual[run->even], run->even == EVEN_NOTHING);
        }
    }
    run->about_ends.at[bands->places[about]] = 0;
}

/* The figures at the usual values, rounded as they are and not. */
static void find_usual(Bands *bands)
{
    Run *run = bands->run;
    bands->usual[EVEN_NOTHING] = bands->typical;
    for (run->even = EVEN_SHEETS; run->even <= EVEN_ALL && bands->abouts > 1; run->even++) {
        double *usual = bands->usual[run->even] = memory_take(run->memory, (bands->count + 1u) * sizeof(double));
        if (!solve_at_ends(run, usual, bands->count)) {
            memcpy(usual, bands->typical, bands->count * sizeof(double));
        }
    }
    run->even = EVEN_NOTHING;
}

static bool same_ends(const Bands *bands, uint32_t i, uint32_t j)
{
    for (uint32_t a = 0; a < bands->abouts; a++) {
        if (bands->raising[(size_t)a * bands->count + i] != bands->raising[(size_t)a * bands->count + j]) {
            return false;
        }
    }
    return true;
}

static uint32_t moved_by(const Bands *bands, uint32_t i)
{
    uint32_t moved = 0;
    for (uint32_t a = 0; a < bands->abouts; a++) {
        moved += bands->raising[(size_t)a * bands->count + i] != 0;
    }
    return moved;
}

/* All figures that are moved alike are worked out together, with every `about` at its end. */
static void at_corner(Bands *bands, uint32_t figure, int8_t way)
{
    Run *run = bands->run;
    for (uint32_t a = 0; a < bands->abouts; a++) {
        run->about_ends.at[bands->places[a]] = (int8_t)(way * bands->raising[(size_t)a * bands->count + figure]);
    }
    if (solve_at_ends(run, bands->now, bands->count)) {
        for (uint32_t i = figure; i < bands->count; i++) {
            if (same_ends(bands, figure, i)) {
                widen(bands, i, bands->now[i]);
            }
        }
    }
}

static void find_abouts(Bands *bands)
{
    Run *run = bands->run;
    bands->places = memory_take(run->memory, (run->about_used.count + 1u) * sizeof(uint32_t));
    for (uint32_t i = 0; i < run->about_used.count; i++) {
        if (run->about_used.at[i] != 0) {
            bands->places[bands->abouts++] = i;
        }
    }
}

/* Each way of raising a figure that there is, once. One `about` alone has shown both its ends already. */
static void go_to_corners(Bands *bands)
{
    for (uint32_t i = 0; i < bands->count; i++) {
        bool done = moved_by(bands, i) < 2;
        for (uint32_t j = 0; j < i && !done; j++) {
            done = same_ends(bands, i, j);
        }
        if (!done) {
            at_corner(bands, i, 1);
            at_corner(bands, i, -1);
        }
    }
}

static void find_bands(Bands *bands)
{
    Run *run = bands->run;
    bands->now = memory_take(run->memory, (bands->count + 1u) * sizeof(double));
    bands->raising = memory_take(run->memory, (size_t)(bands->abouts + 1u) * bands->count + 1u);
    find_usual(bands);
    for (uint32_t a = 0; a < bands->abouts; a++) {
        feel_one(bands, a);
    }
    go_to_corners(bands);
    memset(run->about_ends.at, 0, run->about_ends.count);
    solve_at_ends(run, NULL, 0);
    memory_return(run->memory, bands->now);
    memory_return(run->memory, bands->usual[EVEN_SHEETS]);
    memory_return(run->memory, bands->usual[EVEN_ALL]);
    memory_return(run->memory, bands->raising);
}

void figures_bands(Run *run, double *low, double *high, uint32_t count)
{
    Bands bands = {.run = run, .count = count, .low = low, .high = high};
    bands.typical = memory_take(run->memory, (count + 1u) * sizeof(double));
    Numbers numbers = {bands.typical, 0, count};
    figures_each(run, take_number, &numbers);
    memcpy(low, bands.typical, count * sizeof(double));
    memcpy(high, bands.typical, count * sizeof(double));
    find_abouts(&bands);
    if (bands.abouts > 0) {
        find_bands(&bands);
    }
    memory_return(run->memory, bands.typical);
    memory_return(run->memory, bands.places);
}
