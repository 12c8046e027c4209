/* The walk: which steps are done, with what they were told, in which order and at
 * what time; what their effects do is in effects.c.
 */
#include "reckoning/flow.h"

#include "reckoning/done.h"
#include "reckoning/effects.h"
#include "reckoning/subjects.h"
#include "reckoning/trace.h"

#include <math.h>
#include <string.h>

enum { EFFECTS_OF_STEP = 256 };

/* A fresh frame: arguments as told, by default, or left out; all other places not told. */
static void fill_frame(Run *run, const Call *call, Frame *outer, Frame *frame, uint32_t slots)
{
    World *world = run->world;
    for (uint32_t i = 0; i < slots; i++) {
        frame->slots[i] = run_absent(0);
    }
    trace_forget(run, frame->slots, slots);
    uint32_t i = 0;
    for (FieldId id = world->shapes.at[world->steps.at[call->step].shape].first; id != 0; id = world->fields.at[id].next, i++) {
        NodeId told = world->arguments.at[call->arguments + i];
        const Field *field = &world->fields.at[id];
        if (told != 0) {
            frame->slots[i] = run_value(run, outer, told);
            trace_keep(run, &frame->slots[i]);
        } else if (field->value != 0) {
            frame->slots[i] = run_value(run, frame, field->value);
            frame->slots[i].marks |= field->marks;
            trace_keep(run, &frame->slots[i]);
        }
    }
}

/* Which effects of a step act in this walk. In a trial walk a formula is worked out only where an acting effect, or
 * another step, asks for it: looked at from the last line back. */
static void choose_acting(Run *run, Frame *frame, const Step *step, uint64_t acting[4])
{
    uint64_t asked[2] = {0, 0};
    memset(acting, 0, 4 * sizeof *acting);
    for (uint32_t i = step->count; i-- > 0;) {
        const Effect *effect = &run->world->effects.at[step->first + i];
        bool acts = run->last || (effect->flags & EFFECT_IN_TRIAL) != 0;
        bool formula = effect->sort == EFFECT_GIVES || effect->sort == EFFECT_LETS;
        if (acts && formula && !run->last && (effect->flags & EFFECT_TO_ALL) == 0) {
            acts = (asked[effect->slot / 64 & 1] >> effect->slot % 64 & 1) != 0;
        }
        if (acts && run_holds(run, frame, effect->when)) {
            acting[i / 64] |= (uint64_t)1 << i % 64;
            asked[0] |= effect->uses[0];
            asked[1] |= effect->uses[1];
        }
    }
}

/* The procedure's own lines ask for settled values only: frame and choice stay the same from walk to walk, and are kept. */
static void prepare(Run *run, uint32_t id, const Step *step, Frame *outer, Frame *frame, uint64_t acting[4])
{
    const Call *call = &run->world->calls.at[id];
    const Paper *paper = &run->world->papers.at[run->paper];
    uint32_t slots = run->world->shapes.at[step->shape].slots;
    bool own = id >= paper->calls; /* the calls of steps stand in front of those of papers */
    if (!own || run->trace != NULL) {
        fill_frame(run, call, outer, frame, slots);
        choose_acting(run, frame, step, acting);
        return;
    }
    ArgumentsKept *kept = &run->arguments[id - paper->calls];
    if (kept->generation != run->generation) {
        fill_frame(run, call, outer, frame, slots);
        *kept = (ArgumentsKept){.generation = run->generation, .values = arena_take(&run->arena, (slots + 1u) * sizeof(Value))};
        memcpy(kept->values, frame->slots, slots * sizeof(Value));
    } else {
        memcpy(frame->slots, kept->values, slots * sizeof(Value));
    }
    if (!kept->chosen[run->last]) {
        choose_acting(run, frame, step, kept->acting[run->last]);
        kept->chosen[run->last] = true;
    }
    memcpy(acting, kept->acting[run->last], sizeof kept->acting[0]);
}

static void do_call(Run *run, uint32_t id, Frame *outer, StepRecord *record, Doing *times)
{
    World *world = run->world;
    const Step *step = &world->steps.at[world->calls.at[id].step];
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots, .call = id, .outer = outer};
    uint64_t acting[4];
    if (!run_goes_on(run, world->calls.at[id].line)) {
        return;
    }
    if (++run->depth > RUN_DEPTH || step->count > EFFECTS_OF_STEP) {
        run_say(run, SAY_too_deep, world->calls.at[id].line, NULL, NULL);
        run->failed = true;
        run->depth--;
        return;
    }
    prepare(run, id, step, outer, &frame, acting);
    Doing doing = {.run = run, .frame = &frame, .record = record};
    uint32_t outer_step = run->step;
    run->step = run->last ? done_begin(run, id, &frame, step, acting) : 0;
    for (uint32_t part = 0; part < 4; part++) {
        for (uint64_t bits = acting[part]; bits != 0 && !(run->failed && run->last); bits &= bits - 1) { /* what comes behind a mistake rests on it */
            doing.effect = &world->effects.at[step->first + part * 64 + (uint32_t)__builtin_ctzll(bits)];
            trace_before(run, doing.effect);
            if (doing.effect->sort == EFFECT_CALLS) {
                do_call(run, doing.effect->detail, &frame, record, &doing);
            } else {
                effects_do(&doing);
            }
            trace_after(run, doing.effect, id);
            run->version += doing.effect->sort <= EFFECT_MAKES; /* it changed what is worked on */
            run->contents_version += doing.effect->sort > EFFECT_STATES && doing.effect->sort <= EFFECT_MAKES;
        }
    }
    if (run->last) {
        done_end(run, run->step, frame.slots, world->shapes.at[step->shape].slots);
    }
    run->step = outer_step;
    run->depth--;
    times->waited += doing.waited;
    times->occupied = fmax(doing.occupied, times->occupied);
}

static bool branch_holds(Run *run, Frame *frame, uint32_t branch)
{
    for (; branch != 0; branch = run->world->branches.at[branch].outer) {
        const Branch *at = &run->world->branches.at[branch];
        if (run_holds(run, frame, at->condition) == at->otherwise) {
            return false;
        }
    }
    return true;
}

bool flow_is_done(Run *run, uint32_t call)
{
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    const Call *at = &run->world->calls.at[call];
    return branch_holds(run, &frame, at->branch) && run_holds(run, &frame, at->when);
}

static void begin_streams(Run *run)
{
    const Paper *paper = &run->world->papers.at[run->paper];
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    for (uint32_t i = 0; i < run->stream_count; i++) {
        const FurnishLine *line = &run->world->furnish.at[paper->furnish + i];
        if (!run_holds(run, &frame, line->when)) {
            run->stream_share[i] = 0; /* it is not in this variant */
            continue;
        }
        Value share = run_value(run, &frame, line->share);
        run->stream_share[i] = share.number;
        double mass = run->fibre_charge * share.number * run->stream_gain[i];
        subjects_begin_stream(run, i, mass);
        if (run->last) {
            effects_bill(run, line->material, mass * run->parcels, true, 0);
            subjects_note(run, line->material, mass, KNOWN_charged, false);
            subjects_note_held(run, SUBJECT_STREAMS + i, 1, KNOWN_charged, false);
        }
    }
}

static StepRecord *record_for(Run *run, uint32_t call)
{
    if (!run->last || run->judging) {
        return NULL;
    }
    StepRecord *record = &run->records[run->record_count++];
    *record = (StepRecord){.call = call, .of_parcel = !run->sheet_made};
    record->fills_end = &record->fills;
    return record;
}

static void finish(Run *run)
{
    run->at_end = true;
    run->call = 0;
    for (uint32_t i = 0; run->last && run->sheet_made && i < run->subjects[SUBJECT_SHEET].count; i++) {
        subjects_note(run, run->subjects[SUBJECT_SHEET].contents[i].material, -run->subjects[SUBJECT_SHEET].contents[i].mass,
                      KNOWN_sheet, true);
    }
    if (run->last && run->sheet_made) {
        subjects_note_held(run, SUBJECT_SHEET, -1, KNOWN_sheet, false);
    }
    if (run->last && !run->sheet_made && !run->failed) {
        run_say(run, SAY_nothing_formed, 0, NULL, NULL);
        run->failed = true;
    }
}

/* The lists of the walk before stay readable for steps that ask for them. */
static void clear_lists(Run *run)
{
    if (!run->last) {
        return;
    }
#define SWAP(list)                                                                   \
    do {                                                                             \
        void *at = run->list.at;                                                     \
        uint32_t room = run->list.room;                                              \
        run->list.at = run->list##_before.at;                                        \
        run->list.room = run->list##_before.room;                                    \
        run->list##_before.at = at;                                                  \
        run->list##_before.room = room;                                              \
        run->list##_before.count = run->list.count;                                  \
        run->list.count = 0;                                                         \
    } while (0)
    SWAP(bill);
    SWAP(additions);
    SWAP(ledger);
#undef SWAP
    for (uint32_t i = 0; i < run->record_count; i++) {
        memory_return(run->memory, run->records[i].tells.at);
        memory_return(run->memory, run->records[i].reads.at);
        memory_return(run->memory, run->records[i].cautions.at);
        memory_return(run->memory, run->records[i].figures.at);
    }
    run->record_count = 0;
}

void flow_walk(Run *run, bool last)
{
    const Paper *paper = &run->world->papers.at[run->paper];
    run->last = last;
    run->failed = run->failed && !last; /* what made a trial fail is said, once, in the last walk */
    run->walk++;
    run->walks++;
    run->at_end = false;
    run->call = 0;
    clear_lists(run);
    done_clear(run);
    subjects_reset(run);
    begin_streams(run);
    trace_streams(run);
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    for (uint32_t i = 0; i < paper->call_count && !(run->failed && last); i++) {
        uint32_t call = paper->calls + i;
        run->call = call;
        if (!flow_is_done(run, call)) {
            continue;
        }
        StepRecord *record = record_for(run, call);
        Doing times = {.run = run};
        uint32_t first = run->done.count;
        run->of_parcel = !run->sheet_made;
        do_call(run, call, &frame, record, &times);
        double takes = fmax(times.waited, times.occupied);
        if (record != NULL) {
            record->begins = run->clock;
            record->ends = run->clock + takes;
        }
        run->clock += takes;
        for (uint32_t done = first; done < run->done.count; done++) {
            run->done.at[done].ends = run->clock;
        }
    }
    finish(run);
}
