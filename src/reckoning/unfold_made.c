/* Where a value comes from: the formula of a figure, the line that gave it, what
 * stands in a script, a default. */
#include "reckoning/unfold.h"

bool unfold_is_plain(const World *world, NodeId node)
{
    switch ((NodeForm)world_node(world, node)->form) {
    case NODE_NUMBER: case NODE_QUANTITY: case NODE_ABOUT: case NODE_TOLERANCE: case NODE_RANGE: case NODE_SIZE: case NODE_TEXT:
    case NODE_DATE: case NODE_CLOCK: case NODE_ABSENT:
        return true;
    case NODE_NAME: /* rough, hot, a mould: what somebody wrote */
        return BOUND_OF(world->bindings.at[node]) == BOUND_WORD || BOUND_OF(world->bindings.at[node]) == BOUND_THING;
    default:
        return false;
    }
}

bool unfold_is_over_set(const World *world, NodeId call)
{
    for (NodeId inner = world_node(world, call)->first; inner != 0; inner = world_node(world, inner)->next) {
        if (world_node(world, inner)->form == NODE_EACH) {
            return true;
        }
    }
    return false;
}

uint32_t unfold_find(const Unfold *unfold, NodeId node, uint32_t first, uint32_t end)
{
    for (uint32_t i = end; i-- > first;) {
        if (unfold_note(unfold, i)->node == node) {
            return i;
        }
    }
    return 0;
}

uint32_t unfold_child(const Unfold *unfold, uint32_t note, NodeId node)
{
    const TraceNote *at = unfold_note(unfold, note);
    for (uint32_t i = note; i > at->first;) {
        uint32_t child = i - 1;
        if (unfold_note(unfold, child)->node == node) {
            return child;
        }
        i = unfold_note(unfold, child)->first;
    }
    return 0;
}

/* ---- attributes ---- */

bool unfold_asked(Unfold *unfold, uint32_t note, uint32_t *ref, FieldId *field)
{
    const World *world = unfold->world;
    const TraceNote *at = unfold_note(unfold, note);
    const Node *node = world_node(world, at->node);
    Bound bound = BOUND_OF(world->bindings.at[at->node]);
    *field = BOUND_INDEX(world->bindings.at[at->node]);
    if (node->form == NODE_NAME && bound == BOUND_SELF) {
        *ref = at->self;
        return true;
    }
    if (node->form != NODE_DOT || bound != BOUND_PART) {
        return false;
    }
    Value of = unfold_note(unfold, unfold_child(unfold, note, node->first))->value;
    *ref = of.thing;
    return run_told(of);
}

/* What is told of a thing; what is told for all; nothing. */
static bool thing_made(Unfold *unfold, uint32_t note, ThingId thing, FieldId field, Made *made)
{
    const World *world = unfold->world;
    for (uint32_t i = world->things.at[thing].first; i != 0; i = world->values.at[i].next) {
        const ThingValue *value = &world->values.at[i];
        if (value->field == field) {
            made->note = unfold_child(unfold, note, value->node);
            made->line = value->line;
            made->marks = value->marks;
            return true;
        }
    }
    made->note = unfold_child(unfold, note, world->fields.at[field].value);
    made->line = world->fields.at[field].line;
    made->marks = world->fields.at[field].marks;
    made->left_out = true;
    return true;
}

const TraceChange *unfold_change(const Unfold *unfold, uint32_t subject, uint32_t slot, uint32_t note, const TraceEvent **event)
{
    const Trace *trace = unfold->trace;
    for (uint32_t i = trace->events.count; i-- > 0;) {
        *event = &trace->events.at[i];
        for (uint32_t j = (*event)->changes; (*event)->end <= note && j < (*event)->changes_end; j++) {
            const TraceChange *change = &trace->changes.at[j];
            if (change->subject == subject && change->material == 0 && change->slot == slot) {
                return change;
            }
        }
    }
    return NULL;
}

/* Whether the stuff has an attribute of that name, too, which passes on to the sheet. */
static bool is_of_stuff(const World *world, const Field *field)
{
    FieldId same = settle_field(world, settle_shape(world, KNOWN_stuff), field->name);
    return same != 0 && world->fields.at[same].sort == FIELD_HAS;
}

/* By a `sets` line, or as the subject began. */
static bool subject_made(Unfold *unfold, uint32_t note, uint32_t subject, FieldId field, Made *made)
{
    const World *world = unfold->world;
    const TraceEvent *event;
    const Field *at = &world->fields.at[field];
    if (at->sort == FIELD_GIVES) {
        made->note = unfold_child(unfold, note, at->value);
        made->line = at->line;
        return true;
    }
    if (unfold_change(unfold, subject, at->slot, note, &event) == NULL) {
        return false;
    }
    const Effect *effect = &world->effects.at[event->effect];
    if (!event->begins && effect->sort == EFFECT_SETS) {
        made->note = unfold_find(unfold, effect->one, event->first, event->end);
        made->line = effect->line;
        made->effect = effect;
        made->call = event->call;
        return true;
    }
    uint32_t began = unfold_find(unfold, at->value, event->first, event->end);
    while (event->begins && began != 0 && unfold_note(unfold, began)->self != REF(REF_SUBJECT, subject)) {
        began = unfold_find(unfold, at->value, event->first, began); /* each stream worked it out */
    }
    bool passed = !event->begins && (subject != SUBJECT_SHEET || is_of_stuff(world, at));
    if (began == 0 || passed) {
        return false;
    }
    made->note = began;
    made->line = at->line;
    made->marks = at->marks;
    made->call = event->call;
    return true;
}

/* What an item of a set has of its own, and not of its material. */
static bool is_own(const World *world, RefSort sort, const Field *field)
{
    switch (sort) {
    case REF_THING:
        return false;
    case REF_PARCEL: case REF_NUMBER:
        return field->name == KNOWN_number;
    default:
        return field->name == KNOWN_mass || field->name == KNOWN_dose
            || (field->name == KNOWN_retention && field->owner != settle_shape(world, KNOWN_material));
    }
}

bool unfold_attribute(Unfold *unfold, uint32_t note, uint32_t ref, FieldId field, Made *made)
{
    if (REF_SORT(ref) == REF_SUBJECT) {
        return subject_made(unfold, note, REF_INDEX(ref), field, made);
    }
    return !is_own(unfold->world, REF_SORT(ref), &unfold->world->fields.at[field])
        && thing_made(unfold, note, run_material(unfold->run, ref), field, made);
}

/* ---- names ---- */

static void effect_made(Unfold *unfold, Made *made, const Effect *effect, uint32_t note)
{
    made->note = note;
    made->line = effect->line;
    made->marks = line_marks(unfold->world, effect->line);
    made->effect = effect;
    made->is_declared = effect->sort == EFFECT_GIVES;
    made->unit = effect->shown;
    made->decimals = effect->decimals;
}

static bool given_made(Unfold *unfold, uint32_t note, uint32_t index, Made *made)
{
    for (uint32_t i = unfold->trace->events.count; i-- > 0;) {
        const TraceEvent *event = &unfold->trace->events.at[i];
        const Effect *effect = &unfold->world->effects.at[event->effect];
        if (event->end <= note && effect->sort == EFFECT_GIVES && effect->three == index) {
            effect_made(unfold, made, effect, event->end - 1);
            made->call = event->call;
            return true;
        }
    }
    return false;
}

/* The line of a step that gives or lets what stands in SLOT; NULL: it is an argument. */
static const Effect *effect_of_slot(const World *world, uint32_t call, uint32_t slot)
{
    const Step *step = &world->steps.at[world->calls.at[call].step];
    for (uint32_t i = 0; i < step->count; i++) {
        const Effect *effect = &world->effects.at[step->first + i];
        if ((effect->sort == EFFECT_GIVES || effect->sort == EFFECT_LETS) && effect->slot == slot) {
            return effect;
        }
    }
    return NULL;
}

/* What the line at CALL tells of what its step takes at PLACE, or else the step's own default: its node, and where it stands. */
static NodeId argument_made(const World *world, uint32_t call, uint32_t place, Made *made)
{
    const Call *at = &world->calls.at[call];
    FieldId field = world->shapes.at[world->steps.at[at->step].shape].first;
    for (uint32_t i = 0; i < place; i++) {
        field = world->fields.at[field].next;
    }
    NodeId told = world->arguments.at[at->arguments + place];
    made->left_out = told == 0;
    made->line = told != 0 ? at->line : world->fields.at[field].line;
    return told != 0 ? told : world->fields.at[field].value;
}

static bool slot_made(Unfold *unfold, uint32_t note, uint32_t slot, Made *made)
{
    const TraceNote *at = unfold_note(unfold, note);
    made->note = at->origin;
    if (at->within == 0) {
        return true; /* of a `let` with parameters: what stood in the brackets */
    }
    const Effect *effect = effect_of_slot(unfold->world, at->within, slot);
    if (effect != NULL) {
        effect_made(unfold, made, effect, at->origin);
        return true;
    }
    argument_made(unfold->world, at->within, slot, made);
    return true;
}

/* What a step that was done was told as PART. Of one that is done again in other lines: the value that is the same. */
static bool step_part_made(Unfold *unfold, uint32_t note, Name part, Made *made)
{
    const World *world = unfold->world;
    Value step = unfold_note(unfold, unfold_child(unfold, note, world_node(world, unfold_note(unfold, note)->node)->first))->value;
    if (!run_told(step)) {
        return false;
    }
    uint32_t call = unfold->run->done.at[REF_INDEX(step.thing)].call, place = 0;
    FieldId field = world->shapes.at[world->steps.at[world->calls.at[call].step].shape].first;
    while (field != 0 && world->fields.at[field].name != part) {
        field = world->fields.at[field].next;
        place++;
    }
    if (field == 0) {
        return false; /* when it was done, and as which: the course of the procedure */
    }
    NodeId node = argument_made(world, call, place, made);
    uint32_t found = unfold_find(unfold, node, 1, note);
    while (found != 0 && unfold_note(unfold, found)->value.number != unfold_note(unfold, note)->value.number) {
        found = unfold_find(unfold, node, 1, found);
    }
    made->note = found;
    return true;
}

static bool figure_made(Unfold *unfold, uint32_t note, uint32_t id, Made *made)
{
    const Figure *figure = &unfold->world->figures.at[id];
    /* a figure alone may be kept from when it was asked for first */
    made->note = figure->set == 0 ? unfold_find(unfold, figure->value, 1, note) : unfold_child(unfold, note, figure->value);
    made->line = figure->line;
    made->marks = line_marks(unfold->world, figure->line);
    made->is_declared = true;
    made->unit = figure->shown;
    made->decimals = figure->decimals;
    return made->note != 0;
}

/* What a vary line was chosen to be: by the batch, or as the variant. */
static bool vary_made(const Unfold *unfold, uint32_t index, Made *made)
{
    const Batch *batch = &unfold->world->batches.at[unfold->run->batch];
    made->note = unfold->choices[index];
    made->line = unfold->run->batch != 0 ? batch->paper_line
        : unfold->world->varies.at[unfold->world->papers.at[unfold->run->paper].vary + index].line;
    return true;
}

static bool number_part_made(Unfold *unfold, uint32_t note, Made *made)
{
    NodeId inner = world_node(unfold->world, unfold_note(unfold, note)->node)->first;
    uint32_t of = unfold_child(unfold, note, inner);
    if (unfold_is_plain(unfold->world, inner) || !unfold_made(unfold, of, made) || made->note == 0) {
        *made = (Made){.note = of}; /* what is typed there, or is no attribute: sums, what the program seeks */
    }
    return true;
}

bool unfold_made(Unfold *unfold, uint32_t note, Made *made)
{
    const World *world = unfold->world;
    NodeId node = unfold_note(unfold, note)->node;
    uint32_t binding = world->bindings.at[node], index = BOUND_INDEX(binding), ref;
    NodeForm form = (NodeForm)world_node(world, node)->form;
    *made = (Made){0};
    if (form != NODE_NAME && form != NODE_DOT && form != NODE_CALL) {
        return false;
    }
    switch (BOUND_OF(binding)) {
    case BOUND_FIGURE:
        return figure_made(unfold, note, index, made);
    case BOUND_LET:
        made->note = unfold_child(unfold, note, world->lets.at[index].value);
        made->line = world->lets.at[index].line;
        made->marks = line_marks(world, world->lets.at[index].line);
        return true;
    case BOUND_GIVEN:
        return given_made(unfold, note, index, made);
    case BOUND_SLOT:
        return slot_made(unfold, note, index, made);
    case BOUND_VARY:
        return vary_made(unfold, index, made);
    case BOUND_STEP_PART:
        return step_part_made(unfold, note, index, made);
    case BOUND_NUMBER_PART:
        return number_part_made(unfold, note, made);
    case BOUND_SELF: case BOUND_PART: {
        FieldId field;
        return unfold_asked(unfold, note, &ref, &field) && unfold_attribute(unfold, note, ref, field, made);
    }
    default:
        return false;
    }
}
