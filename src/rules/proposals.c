/* The value that would do: the number that a rule's `change` names is moved
 * until the requirement holds, rounded as it was typed towards the safe side, put in, and the
 * whole paper judged again, in all its variants.
 */
#include "rules/verdicts.h"

#include "meaning/kind.h"
#include "reckoning/solve.h"
#include "reckoning/variant.h"

#include <math.h>
#include <string.h>

enum {
    ROUNDS = 24, /* halves of the way, till what is left of it is less than a part in ten million */
    WORKS_TRIED = 40 /* of a paper with more variants the first ones: a proposal must not take minutes */
};

typedef struct Search {
    Judge *judge;
    Run *run;            /* the judge's own, on which is tried */
    uint32_t rule, requirement, paper;
    NodeId literal;      /* the number that is moved */
    uint32_t place;      /* of it, in world.converted */
    Ends ends;           /* of this rule alone */
    uint32_t hindering;  /* the rule that speaks where the last value was put in; 0: none */
    Messages *messages;
} Search;

static void put(Search *search, double value)
{
    search->run->world->converted.at[search->place] = value;
    search->run->generation++;
}

/* ---- the works of a paper: its variants, then its batches ---- */

/* How many of them are tried. */
static uint32_t work_count(World *world, uint32_t paper)
{
    uint32_t count = variant_count(world, paper);
    for (uint32_t i = 1; i < world->batches.count; i++) {
        count += world->batches.at[i].paper == paper;
    }
    return count > WORKS_TRIED ? WORKS_TRIED : count;
}

/* Begins work NUMBER, one of so many. False: it is a batch that does not say which variant it orders. */
static bool begin_work(Search *search, uint32_t number)
{
    World *world = search->run->world;
    uint32_t variants = variant_count(world, search->paper);
    if (number < variants) {
        variant_begin(search->run, search->paper, number);
        return true;
    }
    number -= variants;
    uint32_t batch = 1;
    while (world->batches.at[batch].paper != search->paper || number-- > 0) {
        batch++;
    }
    return variant_begin_batch(search->run, batch);
}

/* ---- the margin at a value ---- */

/* Whether the number that is moved is what the combination's own rule would change: of a rule that binds several lines the others have numbers
 * of their own. Where a rule hinders all that it binds counts. */
static bool is_meant(Search *search, const Combination *combination)
{
    uint32_t ref;
    NodeId literal = places_of_change(search->run, combination, &ref);
    return literal == search->literal || search->hindering != 0;
}

/* The least margin of the requirement over all that is meant; INFINITY where it is not asked, NAN where there is no answer. */
static double margin(Search *search)
{
    Run *run = search->run;
    run->generation++;
    memset(run->about_ends.at, 0, run->about_ends.count);
    if (!solve_quietly(run)) {
        return NAN;
    }
    Verdicts verdicts = {.judge = search->judge, .run = run, .keeps_all = true};
    verdicts_add_rule(&verdicts, search->rule);
    ends_judge(&verdicts, &search->ends);
    double least = INFINITY;
    for (uint32_t i = 0; i < verdicts.combinations.count; i++) {
        const Combination *combination = &verdicts.combinations.at[i];
        for (uint32_t j = 0; j < combination->count; j++) {
            const Verdict *verdict = &combination->verdicts[j];
            if (verdict->requirement == search->requirement && verdict->asked && verdict->told && is_meant(search, combination)) {
                double here = verdict->holds && verdict->margin < 0 ? 0 : verdict->margin;
                least = here < least ? here : least;
            }
        }
    }
    verdicts_close(&verdicts);
    return least;
}

static double margin_at(Search *search, double value)
{
    put(search, value);
    return margin(search);
}

/* The value nearest to NOW, towards END, at which the requirement holds; END is one. */
static double nearest(Search *search, double now, double end)
{
    double fails = now, holds = end;
    for (int round = 0; round < ROUNDS; round++) {
        double middle = (fails + holds) / 2;
        if (margin_at(search, middle) >= 0) {
            holds = middle;
        } else {
            fails = middle;
        }
    }
    return holds;
}

/* ---- all that is wrong, to see whether something new comes ---- */

/* Of one work: the rules that speak with the places where they do; how many messages else there would be. */
typedef struct Wrongs { LIST(uint64_t) at; uint32_t others; bool broken; } Wrongs;

static uint64_t wrong_of(uint32_t rule, Span at)
{
    return (uint64_t)rule << 32 | at.start;
}

static bool has_wrong(const Wrongs *wrongs, uint64_t wrong)
{
    for (uint32_t i = 0; i < wrongs->at.count; i++) {
        if (wrongs->at.at[i] == wrong) {
            return true;
        }
    }
    return false;
}

static void add_wrong(Memory *memory, Wrongs *wrongs, uint64_t wrong)
{
    if (!has_wrong(wrongs, wrong)) {
        list_push(memory, &wrongs->at, wrong);
    }
}

static void judge_all(Search *search, Wrongs *wrongs)
{
    Run *run = search->run;
    run->generation++;
    memset(run->about_ends.at, 0, run->about_ends.count);
    uint32_t unsaid = search->messages->unsaid;
    if (!solve_quietly(run)) {
        wrongs->broken = true;
        return;
    }
    variant_judge(run);
    wrongs->others = search->messages->unsaid - unsaid;
    Verdicts verdicts = {.judge = search->judge, .run = run};
    verdicts_add_all(&verdicts);
    ends_judge(&verdicts, &search->judge->ends);
    for (uint32_t i = 0; i < verdicts.combinations.count; i++) {
        if (verdicts_failing(run->world, &verdicts.combinations.at[i]) != NULL) {
            MessagePlace places[MESSAGE_PLACES];
            places_of_combination(run, &verdicts.combinations.at[i], places);
            add_wrong(run->memory, wrongs, wrong_of(verdicts.combinations.at[i].rule, places[0].at));
        }
    }
    verdicts_close(&verdicts);
}

/* Whether something is wrong AFTER that was right BEFORE; a rule that now speaks is the one that hinders. */
static bool is_worse(Search *search, const Wrongs *before, const Wrongs *after)
{
    for (uint32_t i = 0; i < after->at.count; i++) {
        if (!has_wrong(before, after->at.at[i])) {
            search->hindering = (uint32_t)(after->at.at[i] >> 32);
            return true;
        }
    }
    return after->others > before->others;
}

/* is_fine for one work, which is begun anew with each value: it may be that of a vary line. */
static bool is_fine_in(Search *search, uint32_t work, double now, double value, uint64_t mended)
{
    Wrongs before = {.others = 0}, after = {.others = 0};
    put(search, now);
    if (!begin_work(search, work)) {
        return true; /* nothing is worked out of it */
    }
    judge_all(search, &before);
    put(search, value);
    begin_work(search, work);
    judge_all(search, &after);
    bool fine = !after.broken && !has_wrong(&after, mended) && !is_worse(search, &before, &after);
    memory_return(search->run->memory, before.at.at);
    memory_return(search->run->memory, after.at.at);
    return fine;
}

/* Whether VALUE is wrong nowhere where it was right, and NOW is mended; for every work of the paper. */
static bool is_fine(Search *search, double now, double value, uint64_t mended)
{
    uint32_t count = work_count(search->run->world, search->paper);
    for (uint32_t i = 0; i < count; i++) {
        if (!is_fine_in(search, i, now, value, mended)) {
            return false;
        }
    }
    return true;
}

/* ---- rounding ---- */

static int decimals_for(const World *world, NodeId literal, double in_unit)
{
    if (world->types.at[literal] == TYPE(TYPE_NUMBER, kind_named(world, KNOWN_count))) {
        return 0; /* sheets, baths, posts come whole */
    }
    int typed = world_node(world, literal)->extra > 9 ? 9 : world_node(world, literal)->extra;
    int needed = run_decimals(in_unit, 2); /* two figures: 5 % becomes 6.1 %, not 7 % */
    return needed > typed ? needed : typed;
}

/* FURTHER last digits beyond the nearest that does: where the requirement makes a step, the value at the step itself does not do. */
static double rounded(const Unit *unit, double base, int decimals, bool up, int further)
{
    double scale = pow(10, decimals), number = (unit == NULL ? base : unit_from_base(unit, base)) * scale;
    double near = floor(number + 0.5);
    number = fabs(number - near) < 1e-3 ? near : up ? ceil(number) : floor(number);
    number += up ? further : -further;
    return unit == NULL ? number / scale : unit_to_base(unit, number / scale);
}

static const char *number_text(Run *run, NodeId literal, double base, int decimals)
{
    const World *world = run->world;
    UnitId unit = world_node(world, literal)->form == NODE_QUANTITY ? world->bindings.at[literal] : 0;
    double number = unit == 0 ? base : unit_from_base(&world->units.at[unit], base);
    const char *text = run_plain_number(run, number, decimals);
    return unit == 0 ? text : arena_print(&run->arena, "%s %s", text, unit_text(run->world, unit));
}

/* ---- searching ---- */

/* In each work of the paper where the requirement fails, the nearest value that does; of these the one that does for all. */
static bool search_all(Search *search, double now, double low, double high, double *found, bool *up, bool decided)
{
    uint32_t count = work_count(search->run->world, search->paper);
    bool any = false;
    *found = now;
    for (uint32_t i = 0; i < count; i++) {
        put(search, now);
        if (!begin_work(search, i)) {
            continue;
        }
        double here = margin(search);
        if (!(here < 0)) {
            continue;
        }
        double high_margin = margin_at(search, high), low_margin = margin_at(search, low);
        bool at_high = high_margin >= 0, at_low = low_margin >= 0;
        if (any || decided ? !(*up ? at_high : at_low) : !at_high && !at_low) {
            return false;
        }
        if (!any && !decided) { /* where the rule is not asked any more nothing is mended: the other end first, then the nearer */
            bool nearer_low = at_low && now - low < high - now;
            *up = isinf(low_margin) ? at_high : isinf(high_margin) ? !at_low : at_high && !nearer_low;
        }
        double value = nearest(search, now, *up ? high : low);
        *found = !any || (*up ? value > *found : value < *found) ? value : *found;
        any = true;
    }
    return any;
}

static Run *trial_run(Judge *judge)
{
    if (!judge->trial_open) {
        run_open(&judge->trial, judge->world, judge->memory);
        judge->trial.judging = true;
        judge->trial_open = true;
    }
    return &judge->trial;
}

/* Where one rule does and another now speaks, a value further on may do for both: the search goes on with that rule. */
static bool go_on_with_hindering(Search *search, double value)
{
    uint32_t count = work_count(search->run->world, search->paper);
    Rule rule = search->run->world->rules.at[search->hindering];
    search->rule = search->hindering;
    for (search->requirement = rule.require; search->requirement < rule.require + rule.require_count; search->requirement++) {
        for (uint32_t i = 0; i < count; i++) {
            put(search, value);
            if (begin_work(search, i) && margin(search) < 0) {
                return true;
            }
        }
    }
    return false;
}

typedef struct Rounding { const Unit *unit; Band band; double now; uint64_t mended; } Rounding;

/* FOUND as it would be typed, where it does for all. */
static bool round_and_try(Search *search, const Rounding *rounding, double found, int decimals, bool up, double *value)
{
    for (int further = 0; further < 2; further++) {
        *value = rounded(rounding->unit, found, decimals, up, further);
        bool within = *value >= rounding->band.low - 1e-9 * fabs(rounding->band.low)
            && *value <= rounding->band.high + 1e-9 * fabs(rounding->band.high);
        if (within && is_fine(search, rounding->now, *value, rounding->mended)) {
            return true;
        }
    }
    return false;
}

static bool find_value(Verdicts *verdicts, const Combination *combination, const Verdict *verdict, Proposal *proposal)
{
    Run *run = verdicts->run;
    World *world = run->world;
    Frame frame = {.slots = combination->slots};
    Value range = run_value(run, &frame, world->rules.at[combination->rule].change_range);
    NodeId literal = proposal->literal;
    if (!verdict->compares || !run_told(range)) {
        return false;
    }
    Band band = run->bands.at[range.thing];
    uint32_t place = world_node(world, literal)->value;
    double now = world->converted.at[place], found, value = now;
    MessagePlace places[MESSAGE_PLACES];
    places_of_combination(run, combination, places);
    UnitId unit = world_node(world, literal)->form == NODE_QUANTITY ? world->bindings.at[literal] : 0;
    Rounding rounding = {unit == 0 ? NULL : &world->units.at[unit], band, now, wrong_of(combination->rule, places[0].at)};
    Search search = {.judge = verdicts->judge, .run = trial_run(verdicts->judge), .rule = combination->rule,
                     .requirement = verdict->requirement, .paper = run->paper, .literal = literal, .place = place, .messages = world->messages};
    bool up = true, done = false, goes_on = now >= band.low - 1e-12 && now <= band.high + 1e-12;
    for (int turn = 0; turn < 3 && goes_on; turn++) {
        goes_on = search_all(&search, value, band.low, band.high, &found, &up, turn > 0);
        if (goes_on) {
            int decimals = decimals_for(world, literal, rounding.unit == NULL ? found : unit_from_base(rounding.unit, found));
            done = round_and_try(&search, &rounding, found, decimals, up, &value);
            proposal->text = done ? number_text(run, literal, value, decimals) : NULL;
            goes_on = !done && search.hindering != 0 && go_on_with_hindering(&search, value);
        }
    }
    world->converted.at[place] = now;
    ends_forget(&search.ends, world->memory);
    return done;
}

bool proposals_find(Verdicts *verdicts, const Combination *combination, const Verdict *verdict, Proposal *proposal)
{
    Run *run = verdicts->run;
    World *world = run->world;
    *proposal = (Proposal){0};
    proposal->literal = places_of_change(run, combination, &proposal->ref);
    if (proposal->literal == 0) {
        return false;
    }
    const Node *at = world_node(world, proposal->literal);
    proposal->now = number_text(run, proposal->literal, world->converted.at[at->value], at->extra > 9 ? 9 : at->extra);
    Messages *messages = world->messages;
    bool muted = messages->muted;
    messages->muted = true;
    bool found = find_value(verdicts, combination, verdict, proposal);
    messages->muted = muted;
    return found;
}
