/* Judging at worst and at best: which end of each `about` moves what is judged,
 * and the paper solved anew with all of them at those ends.
 *
 * Which way an `about` moves a margin is felt once for papers that are walked alike: the same lines done with the same
 * things, only other numbers. Such are the variants of one paper, of which there may be a thousand.
 */
#include "rules/verdicts.h"

#include "reckoning/flow.h"
#include "reckoning/solve.h"

#include <math.h>
#include <string.h>

typedef struct Item {
    const Combination *combination;
    Verdict *verdict;
    bool best;
    uint32_t corner;     /* the number of the ends at which it is judged; 0: not yet */
    double usual;
} Item;

typedef struct Looking {
    Verdicts *verdicts;
    Run *run;
    Item *items;
    uint32_t count;
    Ends *ends;
    uint64_t usual_mark; /* of the walk at the usual values */
} Looking;

static void find_items(Looking *looking)
{
    Verdicts *verdicts = looking->verdicts;
    const World *world = looking->run->world;
    uint32_t most = 0;
    for (uint32_t i = 0; i < verdicts->combinations.count; i++) {
        most += verdicts->combinations.at[i].count;
    }
    looking->items = arena_take(&looking->run->arena, (most + 1u) * sizeof(Item));
    for (uint32_t i = 0; i < verdicts->combinations.count; i++) {
        const Combination *combination = &verdicts->combinations.at[i];
        for (uint32_t j = 0; j < combination->count; j++) {
            Verdict *verdict = &combination->verdicts[j];
            uint8_t judged = world->requirements.at[verdict->requirement].judged;
            bool holds_anyway = judged == JUDGED_BEST && verdict->holds; /* at best it is no worse */
            if (judged != JUDGED_TYPICAL && verdict->asked && verdict->told && !holds_anyway) {
                looking->items[looking->count++] = (Item){combination, verdict, judged == JUDGED_BEST, 0, verdict->margin};
            }
        }
    }
}

static uint64_t mixed(uint64_t hash, uint64_t with)
{
    return (hash ^ with) * UINT64_C(0x100000001B3);
}

/* Papers with one key are walked alike. */
static uint64_t key_of(const Looking *looking)
{
    Run *run = looking->run;
    const Paper *paper = &run->world->papers.at[run->paper];
    uint64_t key = mixed(UINT64_C(0xCBF29CE484222325), run->paper + 1);
    key = mixed(key, run->mill);
    for (uint32_t i = 0; i < paper->call_count; i++) {
        key = mixed(key, flow_is_done(run, paper->calls + i));
    }
    for (uint32_t i = 0; i < paper->vary_count; i++) {
        key = mixed(key, TYPE_SORT(run->world->varies.at[paper->vary + i].type) == TYPE_NUMBER ? 0 : run->choices[i].thing);
    }
    for (uint32_t i = 0; i < run->stream_count; i++) {
        key = mixed(key, run->stream_share[i] > 0);
    }
    for (uint32_t i = 0; i < looking->count; i++) {
        key = mixed(key, (uint64_t)looking->items[i].verdict->requirement << 20 | i);
    }
    for (uint32_t i = 0; i < run->about_used.count; i++) {
        key = run->about_used.at[i] != 0 ? mixed(key, i) : key;
    }
    return key;
}

static void measure_all(Looking *looking, bool words)
{
    for (uint32_t i = 0; i < looking->count; i++) {
        verdicts_measure(looking->verdicts, looking->items[i].combination, looking->items[i].verdict, words);
    }
}

void ends_forget(Ends *ends, Memory *memory)
{
    memory_return(memory, ends->abouts);
    memory_return(memory, ends->raising);
    memory_return(memory, ends->walked);
    *ends = (Ends){0};
}

/* A mark of all that was walked: two solves with one mark differ in figures alone. */
static uint64_t mark_of_walk(const Run *run)
{
    uint64_t mark = UINT64_C(0xCBF29CE484222325);
    const double totals[] = {run->unknown, run->fibre_charge, run->sheets_formed, run->left, run->parcels, run->clock};
#define MIX(number)                                        \
    do {                                                   \
        double mixing = (number);                          \
        uint64_t bits;                                     \
        memcpy(&bits, &mixing, sizeof bits);               \
        mark = mixed(mark, bits);                          \
    } while (0)
    for (size_t i = 0; i < sizeof totals / sizeof totals[0]; i++) {
        MIX(totals[i]);
    }
    for (uint32_t i = 0; i < SUBJECTS; i++) {
        for (uint32_t j = 0; run->subjects[i].live && j < run->subjects[i].count; j++) {
            MIX(run->subjects[i].contents[j].mass);
        }
    }
    for (uint32_t i = 1; i < run->done.count; i++) {
        const StepDone *done = &run->done.at[i];
        uint32_t slots = run->world->shapes.at[run->world->steps.at[run->world->calls.at[done->call].step].shape].slots;
        for (uint32_t j = 0; j < slots; j++) {
            MIX(done->values[j].number);
        }
    }
#undef MIX
    return mark;
}

/* Figures and settled attributes are worked out anew; what was walked stays. */
static void forget_figures(Run *run)
{
    run->generation++;
    run->version++;
    run->contents_version++;
    for (uint32_t i = 0; i < run->figures.count; i++) {
        run->figures.at[i].walk = 0;
    }
}

/* One about at one end: which of the margins that it was not yet seen to move it moves. False: some are still not moved. */
static bool feel(Looking *looking, uint32_t about, int8_t end)
{
    Run *run = looking->run;
    run->about_ends.at[looking->ends->abouts[about]] = end;
    bool all = true, solved = solve_quietly(run);
    looking->ends->walked[about] |= !solved || mark_of_walk(run) != looking->usual_mark;
    if (solved) {
        measure_all(looking, false);
    }
    for (uint32_t i = 0; i < looking->count; i++) {
        const Item *item = &looking->items[i];
        double change = solved && item->verdict->told ? item->verdict->margin - item->usual : 0;
        int8_t *raising = &looking->ends->raising[(size_t)about * looking->count + i];
        if (*raising == 0 && fabs(change) > 1e-11 * fabs(item->usual)) {
            *raising = change > 0 ? end : (int8_t)-end;
        }
        all = all && *raising != 0;
    }
    run->about_ends.at[looking->ends->abouts[about]] = 0;
    return all;
}

static void feel_all(Looking *looking, uint64_t key)
{
    Run *run = looking->run;
    Ends *ends = looking->ends;
    ends_forget(ends, run->memory);
    ends->abouts = memory_take(run->memory, (run->about_used.count + 1u) * sizeof(uint32_t));
    for (uint32_t i = 0; i < run->about_used.count; i++) {
        if (run->about_used.at[i] != 0) {
            ends->abouts[ends->about_count++] = i;
        }
    }
    ends->item_count = looking->count;
    ends->raising = memory_take(run->memory, (size_t)ends->about_count * looking->count + 1u);
    memset(ends->raising, 0, (size_t)ends->about_count * looking->count + 1u);
    ends->walked = memory_take(run->memory, ends->about_count + 1u);
    memset(ends->walked, 0, ends->about_count + 1u);
    looking->usual_mark = mark_of_walk(run);
    for (uint32_t about = 0; about < ends->about_count; about++) {
        if (!feel(looking, about, -1)) {
            feel(looking, about, 1); /* what is held at a limit may move one way only */
        }
    }
    ends->key = key;
}

/* The end of ABOUT at which the item is to be judged. */
static int8_t end_for(const Looking *looking, uint32_t about, uint32_t item)
{
    int8_t raising = looking->ends->raising[(size_t)about * looking->count + item];
    return looking->items[item].best ? raising : (int8_t)-raising;
}

/* Puts the ends of the item FIRST and of all later ones that agree with it: they are judged at one CORNER. */
static void set_corner(Looking *looking, uint32_t first, uint32_t corner)
{
    Run *run = looking->run;
    const Ends *ends = looking->ends;
    for (uint32_t about = 0; about < ends->about_count; about++) {
        run->about_ends.at[ends->abouts[about]] = end_for(looking, about, first);
    }
    for (uint32_t i = first + 1; i < looking->count; i++) {
        bool agrees = looking->items[i].corner == 0;
        for (uint32_t about = 0; about < ends->about_count && agrees; about++) {
            int8_t here = run->about_ends.at[ends->abouts[about]], wanted = end_for(looking, about, i);
            agrees = wanted == 0 || here == 0 || here == wanted;
        }
        for (uint32_t about = 0; about < ends->about_count && agrees; about++) {
            int8_t wanted = end_for(looking, about, i);
            if (wanted != 0) {
                run->about_ends.at[ends->abouts[about]] = wanted;
            }
        }
        looking->items[i].corner = agrees ? corner : looking->items[i].corner;
    }
}

static bool has_corner(const Looking *looking, uint32_t item)
{
    for (uint32_t about = 0; about < looking->ends->about_count; about++) {
        if (end_for(looking, about, item) != 0) {
            return true;
        }
    }
    return false;
}

/* Whether some about that is at an end now moves what is walked. */
static bool is_walked(const Looking *looking)
{
    for (uint32_t about = 0; about < looking->ends->about_count; about++) {
        if (looking->ends->walked[about] != 0 && looking->run->about_ends.at[looking->ends->abouts[about]] != 0) {
            return true;
        }
    }
    return false;
}

/* Judges the item FIRST and all that can be judged with it. *USUAL: whether the run stands at its usual values. */
static void judge_corner(Looking *looking, uint32_t first, bool *usual)
{
    Run *run = looking->run;
    bool at_usual = !has_corner(looking, first); /* no about moves it: it is what it is */
    bool solved = true;
    memset(run->about_ends.at, 0, run->about_ends.count);
    if (!at_usual) {
        set_corner(looking, first, looking->items[first].corner);
    }
    bool walked = is_walked(looking);
    if (walked || !*usual) {
        solved = solve_quietly(run);
        *usual = !walked;
    }
    if (!solved) { /* with these ends there is no such paper: it is judged as it usually is */
        memset(run->about_ends.at, 0, run->about_ends.count);
        solve_quietly(run);
        *usual = true;
    }
    forget_figures(run); /* as they are at these ends */
    for (uint32_t i = first; i < looking->count; i++) {
        if (looking->items[i].corner == looking->items[first].corner) {
            verdicts_measure(looking->verdicts, looking->items[i].combination, looking->items[i].verdict, true);
        }
    }
}

bool ends_judge(Verdicts *verdicts, Ends *ends)
{
    Run *run = verdicts->run;
    Looking looking = {.verdicts = verdicts, .run = run, .ends = ends};
    find_items(&looking);
    if (looking.count == 0) {
        return false;
    }
    uint64_t key = key_of(&looking);
    bool moved = false;
    if (ends->key != key || ends->item_count != looking.count) { /* never: 64 bits of two papers that are alike by chance */
        feel_all(&looking, key);
        moved = true;
    }
    bool usual = !moved;
    uint32_t corners = 0;
    for (uint32_t first = 0; first < looking.count; first++) {
        if (looking.items[first].corner == 0) {
            looking.items[first].corner = ++corners;
            judge_corner(&looking, first, &usual);
        }
    }
    memset(run->about_ends.at, 0, run->about_ends.count);
    forget_figures(run);
    return !usual;
}
