/* Steps as they are done in the last walk, for the rules that ask of them. */
#include "reckoning/done.h"

#include <string.h>

void done_clear(Run *run)
{
    run->done.count = run->met.count = run->residues.count = 0;
    list_push(run->memory, &run->done, (StepDone){0});
    run->step = 0;
    run->clock = 0;
}

static void meet(Run *run, ThingId material, double mass, uint32_t step)
{
    if (mass > 0) {
        list_push(run->memory, &run->met, (Met){material, mass, step});
    }
}

static void meet_subject(Run *run, uint32_t subject)
{
    for (uint32_t i = 0; i < run->subjects[subject].count; i++) {
        const Content *content = &run->subjects[subject].contents[i];
        meet(run, content->material, content->mass, content->step);
    }
}

/* That of a stream, the stuff or the sheet among them all. */
static uint64_t bit_of(uint32_t subject)
{
    return (uint64_t)1 << subject;
}

/* The streams, stuff and sheet on which the acting effects of a step work, as bits. */
static uint64_t worked_on(Run *run, Frame *frame, const Step *step, const uint64_t acting[4])
{
    uint64_t subjects = 0;
    for (uint32_t i = 0; i < step->count; i++) {
        const Effect *effect = &run->world->effects.at[step->first + i];
        if ((acting[i / 64] >> i % 64 & 1) == 0 || effect->sort > EFFECT_MAKES) {
            continue;
        }
        if (effect->sort == EFFECT_MAKES) {
            subjects |= bit_of(SUBJECT_STUFF);
        } else if (effect->sort == EFFECT_JOINS && effect->one == 0) {
            for (uint32_t j = 0; j < run->stream_count; j++) {
                subjects |= run->subjects[SUBJECT_STREAMS + j].joined ? 0 : bit_of(SUBJECT_STREAMS + j);
            }
            subjects |= bit_of(SUBJECT_STUFF);
        } else {
            Value value = run_value(run, frame, effect->sort == EFFECT_JOINS ? effect->one : effect->target);
            bool subject = run_told(value) && REF_SORT(value.thing) == REF_SUBJECT;
            subjects |= subject ? bit_of(REF_INDEX(value.thing)) : 0;
        }
    }
    return subjects;
}

/* The vessel that the step names, or else the one that it occupies. */
static ThingId vessel_of(Run *run, Frame *frame, const Step *step, ShapeId vessel)
{
    uint32_t slot = 0;
    for (FieldId id = run->world->shapes.at[step->shape].first; id != 0; id = run->world->fields.at[id].next, slot++) {
        Type type = run->world->fields.at[id].type;
        if (TYPE_SORT(type) == TYPE_THING && settle_shape_within(run->world, TYPE_INDEX(type), vessel) && run_told(frame->slots[slot])) {
            return REF_INDEX(frame->slots[slot].thing);
        }
    }
    for (uint32_t i = 0; i < step->count; i++) {
        const Effect *effect = &run->world->effects.at[step->first + i];
        Type type = effect->sort == EFFECT_OCCUPIES ? run->world->types.at[effect->target] : 0;
        if (TYPE_SORT(type) == TYPE_THING && settle_shape_within(run->world, TYPE_INDEX(type), vessel)) {
            Value value = run_value(run, frame, effect->target);
            return run_told(value) ? REF_INDEX(value.thing) : 0;
        }
    }
    return 0;
}

uint32_t done_begin(Run *run, uint32_t call, Frame *frame, const Step *step, const uint64_t acting[4])
{
    ThingId vessel = vessel_of(run, frame, step, settle_shape(run->world, KNOWN_vessel));
    uint64_t subjects = worked_on(run, frame, step, acting);
    StepDone done = {.call = call, .line = run->call, .outer = run->step, .begins = run->clock, .vessel = vessel, .met = run->met.count};
    for (uint32_t i = 0; i < SUBJECTS; i++) {
        if ((subjects >> i & 1) != 0 && run->subjects[i].live) {
            meet_subject(run, i);
        }
    }
    for (uint32_t i = 0; i < run->residues.count; i++) { /* each lies in a vessel that is told */
        if (run->residues.at[i].vessel == vessel) {
            meet(run, run->residues.at[i].material, run->residues.at[i].mass, run->residues.at[i].step);
        }
    }
    done.met_count = run->met.count - done.met;
    list_push(run->memory, &run->done, done);
    return run->done.count - 1;
}

void done_end(Run *run, uint32_t step, const Value *slots, uint32_t count)
{
    Value *values = arena_take(&run->arena, count * sizeof(Value));
    memcpy(values, slots, count * sizeof(Value));
    run->done.at[step].values = values;
}
