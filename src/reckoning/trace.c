/* Noting values and changes for `why`. */
#include "reckoning/trace.h"

#include "reckoning/subjects.h"

#include <string.h>

/* How many attributes it has: none where the paper has fewer streams. */
static uint32_t slots_of(const Run *run, const Subject *subject)
{
    const World *world = run->world;
    return subject->attributes == NULL ? 0 : world->shapes.at[world->shapes.at[subject->shape].root].slots;
}

void trace_open(Trace *trace, Run *run)
{
    *trace = (Trace){.before = arena_take(&run->arena, SUBJECTS * sizeof(Subject))};
    list_add(run->memory, &trace->notes);
    for (uint32_t i = 0; i < SUBJECTS; i++) {
        uint32_t slots = slots_of(run, &run->subjects[i]);
        Value *attributes = arena_take(&run->arena, (slots + 1u) * sizeof(Value));
        for (uint32_t j = 0; j < slots; j++) {
            attributes[j] = run_absent(0);
        }
        trace->before[i].attributes = attributes;
    }
    run->trace = trace;
}

void trace_close(Trace *trace, Run *run)
{
    run->trace = NULL;
    memory_return(run->memory, trace->notes.at);
    memory_return(run->memory, trace->events.at);
    memory_return(run->memory, trace->changes.at);
    memory_return(run->memory, trace->kept.at);
}

/* ---- values ---- */

/* What is full takes no more. */
static void add(Run *run, TraceNote note)
{
    Trace *trace = run->trace;
    if (trace->notes.count == TRACE_MOST) {
        trace->full = true;
        return;
    }
    list_push(run->memory, &trace->notes, note);
}

/* What is kept of SLOT; NULL: nothing is. */
static TraceKept *kept_of(Trace *trace, const Value *slot)
{
    for (uint32_t i = 0; i < trace->kept.count; i++) {
        if (trace->kept.at[i].slot == slot) {
            return &trace->kept.at[i];
        }
    }
    return NULL;
}

void trace_note(Run *run, const Frame *frame, NodeId node, uint32_t first, Value value)
{
    TraceNote note = {.node = node, .first = first, .self = frame->self, .within = frame->call, .value = value};
    uint32_t binding = run->world->bindings.at[node];
    if (world_node(run->world, node)->form == NODE_NAME && BOUND_OF(binding) == BOUND_SLOT) {
        const TraceKept *kept = kept_of(run->trace, &frame->slots[BOUND_INDEX(binding)]);
        note.origin = kept == NULL ? 0 : kept->note;
    }
    add(run, note);
}

void trace_item(Run *run, NodeId each, uint32_t item)
{
    if (run->trace != NULL) {
        add(run, (TraceNote){.node = each, .first = run->trace->notes.count, .value.thing = item});
    }
}

void trace_keep(Run *run, const Value *slot)
{
    Trace *trace = run->trace;
    if (trace == NULL) {
        return;
    }
    uint32_t note = trace->notes.count - 1;
    TraceKept *kept = kept_of(trace, slot);
    if (kept != NULL) {
        kept->note = note;
        return;
    }
    list_push(run->memory, &trace->kept, (TraceKept){slot, note});
}

void trace_forget(Run *run, const Value *slots, uint32_t count)
{
    for (uint32_t i = 0; run->trace != NULL && i < run->trace->kept.count; i++) {
        TraceKept *kept = &run->trace->kept.at[i];
        if (kept->slot >= slots && kept->slot < slots + count) {
            kept->note = 0;
        }
    }
}

/* ---- what effects change ---- */

/* Whether the effect may change what is worked on, the count, or what later lines ask for. */
static bool matters(const Effect *effect)
{
    return effect->sort <= EFFECT_MAKES || effect->sort == EFFECT_GIVES;
}

static void note_fibre(Run *run)
{
    Trace *trace = run->trace;
    run->trace = NULL; /* it is asked for here, not by a formula */
    trace->now.fibre[SUBJECT_STUFF] = subjects_fibre(run, SUBJECT_STUFF);
    for (uint32_t i = SUBJECT_STREAMS; i < SUBJECTS; i++) { /* not of the sheet, whose attributes have places of their own */
        trace->now.fibre[i] = subjects_fibre(run, i);
    }
    run->trace = trace;
}

void trace_before(Run *run, const Effect *effect)
{
    Trace *trace = run->trace;
    if (trace == NULL || !matters(effect)) {
        return;
    }
    trace->now = (TraceEvent){.first = trace->notes.count, .ledger = run->ledger.count, .additions = run->additions.count,
                              .left_before = run->left, .changes = trace->changes.count};
    if (effect->sort == EFFECT_GIVES) {
        return;
    }
    for (uint32_t i = 0; i < SUBJECTS; i++) {
        Value *attributes = trace->before[i].attributes;
        uint32_t slots = slots_of(run, &run->subjects[i]);
        trace->before[i] = run->subjects[i];
        trace->before[i].attributes = attributes;
        for (uint32_t j = 0; j < slots; j++) {
            attributes[j] = run->subjects[i].attributes[j];
        }
    }
    note_fibre(run);
}

static double mass_of(const Subject *subject, ThingId material)
{
    for (uint32_t i = 0; i < subject->count; i++) {
        if (subject->contents[i].material == material) {
            return subject->contents[i].mass;
        }
    }
    return 0;
}

/* To the last bit, as what is not told is the same as what is not told. */
static bool same(Value one, Value other)
{
    return one.thing == other.thing && memcmp(&one.number, &other.number, sizeof one.number) == 0;
}

static void note_subject(Run *run, uint32_t index, uint32_t set)
{
    const Subject *now = &run->subjects[index], *before = &run->trace->before[index];
    for (uint32_t i = 0; i < now->count; i++) {
        double was = mass_of(before, now->contents[i].material);
        if (was != now->contents[i].mass) {
            TraceChange change = {.subject = index, .material = now->contents[i].material,
                                  .before.number = was, .after.number = now->contents[i].mass};
            list_push(run->memory, &run->trace->changes, change);
        }
    }
    for (uint32_t i = 0; i < slots_of(run, now); i++) {
        if (i == set || !same(before->attributes[i], now->attributes[i])) {
            TraceChange change = {.subject = index, .slot = i, .before = before->attributes[i], .after = now->attributes[i]};
            list_push(run->memory, &run->trace->changes, change);
        }
    }
    if (now->joined && !before->joined) {
        run->trace->now.joined |= 1u << (index - SUBJECT_STREAMS);
    }
}

/* The subject that a `sets` line worked on; SUBJECTS: none. */
static uint32_t target_of(const Run *run, const Effect *effect)
{
    const Trace *trace = run->trace;
    for (uint32_t i = trace->notes.count; effect->sort == EFFECT_SETS && i-- > trace->now.first;) {
        if (trace->notes.at[i].node == effect->target) {
            return REF_INDEX(trace->notes.at[i].value.thing);
        }
    }
    return SUBJECTS;
}

static void end_event(Run *run)
{
    Trace *trace = run->trace;
    trace->now.end = trace->notes.count;
    trace->now.ledger_end = run->ledger.count;
    trace->now.additions_end = run->additions.count;
    trace->now.changes_end = trace->changes.count;
    trace->now.left = run->left;
    list_push(run->memory, &trace->events, trace->now);
}

void trace_after(Run *run, const Effect *effect, uint32_t within)
{
    Trace *trace = run->trace;
    if (trace == NULL || !matters(effect)) {
        return;
    }
    trace->now.effect = (uint32_t)(effect - run->world->effects.at);
    trace->now.call = run->call;
    trace->now.within = within;
    uint32_t target = target_of(run, effect);
    for (uint32_t i = 0; i < SUBJECTS && effect->sort != EFFECT_GIVES; i++) {
        note_subject(run, i, i == target ? run->world->fields.at[effect->detail].slot : UINT32_MAX);
    }
    end_event(run);
}

void trace_streams(Run *run)
{
    Trace *trace = run->trace;
    if (trace == NULL) {
        return;
    }
    trace->now = (TraceEvent){.begins = true, .first = 1};
    for (uint32_t i = SUBJECT_STREAMS; i < SUBJECTS; i++) {
        if (run->subjects[i].live) { /* it began, where there was nothing */
            note_subject(run, i, UINT32_MAX);
        }
    }
    end_event(run);
}
