/* Going through the sets that the program knows, and the rows of tables. */
#include "reckoning/run.h"

#include <math.h>

typedef struct Going {
    RunVisit *visit;
    void *with;
    NodeId word;  /* bill(fibre): only those that are so; 0: all */
} Going;

static bool is_of_word(Run *run, uint32_t ref, NodeId word)
{
    if (word == 0) {
        return true;
    }
    FieldId field = TYPE_INDEX(run->world->types.at[word]);
    Value value = run_attribute(run, ref, field);
    return run_told(value) && value.thing == world_node(run->world, word)->value;
}

static void each_numbered(Run *run, const Going *going, RefSort sort, uint32_t first, uint32_t count)
{
    for (uint32_t i = first; i < first + count; i++) {
        uint32_t ref = REF(sort, i);
        if (is_of_word(run, ref, going->word) && !going->visit(run, going->with, ref)) {
            return;
        }
    }
}

static void each_content(Run *run, const Going *going, Value of)
{
    uint32_t index = REF_INDEX(of.thing);
    switch (REF_SORT(of.thing)) {
    case REF_STEP:
        each_numbered(run, going, REF_MET, run->done.at[index].met, run->done.at[index].met_count);
        break;
    case REF_SUBJECT:
        each_numbered(run, going, REF_CONTENT, index << 8, run->subjects[index].count);
        break;
    default: /* a thing holds nothing, nor does what is not told */
        break;
    }
}

/* The additions of one step, and of the steps that it is made of; a step that is not told has none. */
static void each_addition_of(Run *run, const Going *going, Value of)
{
    uint32_t count = run->at_end ? run->additions.count : run->additions_before.count;
    for (uint32_t i = 0; i < count; i++) {
        uint32_t step = run->at_end ? run->additions.at[i].step : run->additions_before.at[i].step;
        while (step != 0 && step != REF_INDEX(of.thing)) {
            step = run->done.at[step].outer;
        }
        if (step != 0 && !going->visit(run, going->with, REF(REF_ADDITION, i))) {
            return;
        }
    }
}

/* All steps that were done, or those of one role or name. */
static void each_step(Run *run, const Going *going)
{
    const World *world = run->world;
    Name word = world_node(world, going->word)->value; /* 0 of no node */
    for (uint32_t i = 1; i < run->done.count; i++) {
        const Step *step = &world->steps.at[world->calls.at[run->done.at[i].call].step];
        bool meant = word == 0 || step->role == word || world->shapes.at[step->shape].name == word;
        if (meant && !going->visit(run, going->with, REF(REF_STEP, i))) {
            return;
        }
    }
}

/* The claims that the paper asks for. */
static void each_claim(Run *run, const Going *going)
{
    const World *world = run->world;
    for (uint32_t i = world->things.at[world->papers.at[run->paper].thing].first; i != 0; i = world->values.at[i].next) {
        const ThingValue *value = &world->values.at[i];
        if (world->fields.at[value->field].name != KNOWN_claims) {
            continue;
        }
        for (NodeId node = value->node; world_node(world, node)->form == NODE_NAME; node = world_node(world, node)->next) {
            if (!going->visit(run, going->with, REF(REF_THING, BOUND_INDEX(world->bindings.at[node])))) {
                return;
            }
        }
    }
}

/* The things of a shape stay as they are once a script is read: they are looked for once. */
static ShapeKept things_of(Run *run, ShapeId shape)
{
    const World *world = run->world;
    while (run->shapes.count <= shape) {
        list_add(run->memory, &run->shapes);
    }
    ShapeKept *kept = &run->shapes.at[shape];
    if (!kept->known) {
        *kept = (ShapeKept){true, run->shaped.count, 0};
        for (ThingId id = 1; id < world->things.count; id++) {
            if (settle_shape_within(world, world->things.at[id].shape, shape)) {
                list_push(run->memory, &run->shaped, id);
                kept->count++;
            }
        }
    }
    return *kept;
}

static void each_thing(Run *run, const Going *going, ShapeId shape)
{
    ShapeKept kept = things_of(run, shape);
    for (uint32_t i = kept.first; i < kept.first + kept.count; i++) {
        ThingId id = run->shaped.at[i];
        ThingId holder = run->world->things.at[id].holder;
        if ((holder == 0 || holder == run->mill) && !going->visit(run, going->with, REF(REF_THING, id))) {
            return;
        }
    }
}

static Value subject_of_set(Run *run, Frame *frame, NodeId set)
{
    const Node *at = world_node(run->world, set);
    if (at->form == NODE_CALL || at->form == NODE_DOT) {
        return run_value(run, frame, at->first);
    }
    return (Value){0, frame->self, 0};
}

void run_each(Run *run, Frame *frame, NodeId set, RunVisit *visit, void *with)
{
    uint32_t binding = run->world->bindings.at[set];
    Going going = {.visit = visit, .with = with};
    const Node *at = world_node(run->world, set);
    if (BOUND_OF(binding) == BOUND_TABLE) {
        each_thing(run, &going, run->world->tables.at[BOUND_INDEX(binding)].row_shape);
        return;
    }
    going.word = at->form == NODE_CALL ? at->first : 0;
    switch (BOUND_INDEX(binding)) { /* never: these are all the sets */
    case KNOWN_contents:
        going.word = 0;
        each_content(run, &going, subject_of_set(run, frame, set));
        break;
    case KNOWN_streams:
        each_numbered(run, &going, REF_SUBJECT, SUBJECT_STREAMS, run->stream_count);
        break;
    case KNOWN_bill:
        each_numbered(run, &going, REF_BILL, 0, run->at_end ? run->bill.count : run->bill_before.count);
        break;
    case KNOWN_steps:
        each_step(run, &going);
        break;
    case KNOWN_claims:
        each_claim(run, &going);
        break;
    case KNOWN_additions:
        if (at->form == NODE_DOT) {
            each_addition_of(run, &going, subject_of_set(run, frame, set));
            break;
        }
        each_numbered(run, &going, REF_ADDITION, 0, run->at_end ? run->additions.count : run->additions_before.count);
        break;
    case KNOWN_ledger:
        each_numbered(run, &going, REF_LEDGER, 0, run->at_end ? run->ledger.count : run->ledger_before.count);
        break;
    case KNOWN_parcels:
        each_numbered(run, &going, REF_PARCEL, 0, (uint32_t)run->parcels);
        break;
    case KNOWN_numbers: {
        double count = run_value(run, frame, at->first).number; /* none where it is not told, and then not 1 or more */
        going.word = 0;
        each_numbered(run, &going, REF_NUMBER, 0, count >= 1 ? (uint32_t)fmin(count + 1e-9, RUN_NUMBERS) : 0);
        break;
    }
    case KNOWN_weighing: case KNOWN_instructions: case KNOWN_facts: case KNOWN_proofs: case KNOWN_figures: case KNOWN_standing_cautions:
    case KNOWN_acceptances: case KNOWN_notes: case KNOWN_replacements: case KNOWN_defaults: case KNOWN_unsourced:
        each_numbered(run, &going, REF_TOLD, REF_INDEX(run_told_first(BOUND_INDEX(binding))), run_told_count(run, BOUND_INDEX(binding)));
        break;
    case KNOWN_all:
        each_thing(run, &going, BOUND_INDEX(run->world->bindings.at[at->first]));
        break;
    default:
        break;
    }
}
