/* What is asked of a thing or a subject: told, by default, or by formula. */
#include "reckoning/run.h"

#include <math.h>

/* What was worked out is kept in small tables: the highest bits of its key, spread, tell the place. */
enum { ATTRIBUTE_SHIFT = 54, PART_SHIFT = 55 };
_Static_assert(UINT64_MAX >> ATTRIBUTE_SHIFT == ATTRIBUTES_KEPT - 1, "each place is in the table");
_Static_assert(UINT64_MAX >> PART_SHIFT == PARTS_KEPT - 1, "each place is in the table");
static const uint64_t SPREAD = 0x9E3779B97F4A7C15u; /* odd: no two keys become one */

static Value not_told(void)
{
    return run_absent(0);
}

static Value formula(Run *run, uint32_t ref, NodeId node)
{
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots, .self = ref};
    return run_value(run, &frame, node);
}

static Value thing_or_none(ThingId thing)
{
    return thing == 0 ? not_told() : (Value){.thing = REF(REF_THING, thing)};
}

static Value by_default(Run *run, uint32_t ref, const Field *field)
{
    Value value = formula(run, ref, field->value);
    value.marks |= field->marks;
    return value;
}

static Value thing_attribute(Run *run, ThingId thing, FieldId id)
{
    World *world = run->world;
    const Field *field = &world->fields.at[id];
    for (uint32_t i = world->things.at[thing].first; i != 0; i = world->values.at[i].next) {
        const ThingValue *at = &world->values.at[i];
        if (at->field == id) {
            if (at->thing != 0) {
                return thing_or_none(at->thing);
            }
            Value value = formula(run, REF(REF_THING, thing), at->node);
            value.marks |= at->marks;
            return value;
        }
    }
    return by_default(run, REF(REF_THING, thing), field);
}

/* Settled attributes are asked for often and stay: a small table keeps them. */
static Value kept_thing_attribute(Run *run, ThingId thing, FieldId id)
{
    uint64_t key = (uint64_t)run->generation << 40 ^ (uint64_t)thing << 16 ^ id;
    key *= SPREAD;
    AttributeKept *kept = &run->kept[key >> ATTRIBUTE_SHIFT];
    if (kept->key == key && run->trace == NULL) {
        return kept->value;
    }
    Value value = thing_attribute(run, thing, id);
    *kept = (AttributeKept){key, value};
    return value;
}

static Value of_material(Run *run, ThingId material, const Field *field, FieldId id)
{
    if (field->name == KNOWN_material) {
        return thing_or_none(material);
    }
    return material == 0 ? not_told() : kept_thing_attribute(run, material, id);
}

static Value subject_attribute(Run *run, uint32_t index, FieldId id)
{
    const Field *field = &run->world->fields.at[id];
    const Subject *subject = &run->subjects[index];
    if (!subject->live) {
        return not_told();
    }
    if (field->sort == FIELD_GIVES) {
        /* asked for often between two changes: worked out once */
        uint32_t version = field->of_subject == 2 ? run->contents_version : run->version;
        if (subject->versions[field->slot] == version && run->trace == NULL) {
            return subject->attributes[field->slot];
        }
        Value value = formula(run, REF(REF_SUBJECT, index), field->value);
        if (field->of_subject) {
            subject->attributes[field->slot] = value;
            subject->versions[field->slot] = version;
        }
        return value;
    }
    /* a stream is of one material; stuff is of many, and so of none, unless a script says what is meant by it */
    if (field->name == KNOWN_material && (subject->material != 0 || field->owner == settle_shape(run->world, KNOWN_content))) {
        return of_material(run, subject->material, field, id);
    }
    return subject->attributes[field->slot];
}

static Value content_attribute(Run *run, uint32_t index, FieldId id)
{
    const Field *field = &run->world->fields.at[id];
    const Content *content = &run->subjects[index >> 8].contents[index & 255];
    if (field->name == KNOWN_mass) {
        return run_number(content->mass, content->marks);
    }
    if (field->name == KNOWN_retention && field->owner == settle_shape(run->world, KNOWN_content)) {
        return run_number(content->retention, content->marks);
    }
    return of_material(run, content->material, field, id);
}

static Value bill_attribute(Run *run, uint32_t index, FieldId id)
{
    const Field *field = &run->world->fields.at[id];
    const BillItem *item = run->at_end ? &run->bill.at[index] : &run->bill_before.at[index];
    return field->name == KNOWN_mass ? run_number(item->mass, item->marks) : of_material(run, item->material, field, id);
}

static Value addition_attribute(Run *run, uint32_t index, FieldId id)
{
    const Field *field = &run->world->fields.at[id];
    const Addition *addition = run->at_end ? &run->additions.at[index] : &run->additions_before.at[index];
    if (field->name == KNOWN_mass) {
        return run_number(addition->mass, 0);
    }
    if (field->name == KNOWN_dose) { /* each addition is told on a basis of its own: the field's kind says which are meant */
        return settle_fits(run->world, addition->dose_type, field->type) ? addition->dose : not_told();
    }
    if (field->name == KNOWN_goes_to) {
        return (Value){.thing = addition->into};
    }
    if (field->name == KNOWN_retention && field->owner == settle_shape(run->world, KNOWN_addition)) {
        return run_number(addition->retention, 0);
    }
    return of_material(run, addition->material, field, id);
}

static Value ledger_attribute(Run *run, uint32_t index, FieldId id)
{
    const Field *field = &run->world->fields.at[id];
    const LedgerEntry *entry = run->at_end ? &run->ledger.at[index] : &run->ledger_before.at[index];
    if (field->name == KNOWN_mass) {
        return run_number(entry->mass, 0);
    }
    if (field->name == KNOWN_way) {
        return (Value){.thing = entry->way};
    }
    return of_material(run, entry->material, field, id);
}

static Value met_attribute(Run *run, uint32_t index, FieldId id)
{
    const Met *met = &run->met.at[index];
    const Field *field = &run->world->fields.at[id];
    return field->name == KNOWN_mass ? run_number(met->mass, 0) : of_material(run, met->material, field, id);
}

/* Of a parcel, and of what is only counted, which has the same fields. */
static Value counted_attribute(Run *run, uint32_t ref, const Field *field)
{
    return field->name == KNOWN_number ? run_number((double)REF_INDEX(ref) + 1, 0) : by_default(run, ref, field);
}

static Value told_attribute(Run *run, uint32_t ref, const Field *field)
{
    Value value = run_told_part(run, ref, field);
    return run_told(value) ? value : by_default(run, ref, field);
}

Value run_attribute(Run *run, uint32_t ref, FieldId field)
{
    uint32_t index = REF_INDEX(ref);
    switch (REF_SORT(ref)) { /* never 2: a step is asked for its parts (run_step_part), and there are no other sorts */
    case REF_THING:
        return kept_thing_attribute(run, index, field);
    case REF_SUBJECT:
        return subject_attribute(run, index, field);
    case REF_CONTENT:
        return content_attribute(run, index, field);
    case REF_BILL:
        return bill_attribute(run, index, field);
    case REF_ADDITION:
        return addition_attribute(run, index, field);
    case REF_LEDGER:
        return ledger_attribute(run, index, field);
    case REF_PARCEL: case REF_NUMBER:
        return counted_attribute(run, ref, &run->world->fields.at[field]);
    case REF_MET:
        return met_attribute(run, index, field);
    case REF_TOLD:
        return told_attribute(run, ref, &run->world->fields.at[field]);
    case REF_STEP:
        break;
    }
    return not_told();
}

/* A content or an item bears the marks of its material. */
ThingId run_material(Run *run, uint32_t ref)
{
    uint32_t index = REF_INDEX(ref);
    switch (REF_SORT(ref)) { /* never: there are no other sorts */
    case REF_THING:
        return index;
    case REF_CONTENT:
        return run->subjects[index >> 8].contents[index & 255].material;
    case REF_BILL:
        return run->at_end ? run->bill.at[index].material : run->bill_before.at[index].material;
    case REF_ADDITION:
        return run->at_end ? run->additions.at[index].material : run->additions_before.at[index].material;
    case REF_LEDGER:
        return run->at_end ? run->ledger.at[index].material : run->ledger_before.at[index].material;
    case REF_MET:
        return run->met.at[index].material;
    case REF_SUBJECT: case REF_PARCEL: case REF_NUMBER: case REF_STEP: case REF_TOLD:
        break;
    }
    return 0;
}

bool run_is_word(Run *run, uint32_t ref, Name word)
{
    World *world = run->world;
    ThingId thing = run_material(run, ref); /* the blank where it is none: that is called nothing */
    if (world->things.at[thing].name == word) {
        return true;
    }
    for (uint32_t i = world->things.at[thing].first; i != 0; i = world->values.at[i].next) {
        FieldId id = world->values.at[i].field;
        const Field *field = &world->fields.at[id];
        if (field->sort == FIELD_MARK ? field->name == word
                                      : settle_has_word(world, id, word) && run_attribute(run, REF(REF_THING, thing), id).thing == word) {
            return true;
        }
    }
    return false;
}

static Value step_or_none(uint32_t step)
{
    return step == 0 ? not_told() : (Value){.thing = REF(REF_STEP, step)};
}

/* The place in its frame of what a step takes, gives or lets; -1: nothing is called so. */
static int place_of_part(const World *world, const Step *step, Name part)
{
    int place = 0;
    for (FieldId id = world->shapes.at[step->shape].first; id != 0; id = world->fields.at[id].next, place++) {
        if (world->fields.at[id].name == part) {
            return place;
        }
    }
    for (uint32_t i = 0; i < step->count; i++) {
        const Effect *effect = &world->effects.at[step->first + i];
        if ((effect->sort == EFFECT_GIVES || effect->sort == EFFECT_LETS) && effect->name == part) {
            return effect->slot;
        }
    }
    return -1;
}

Value run_step_part(Run *run, uint32_t ref, Name part)
{
    uint32_t index = REF_INDEX(ref);
    switch (REF_SORT(ref)) { /* never: nothing else is asked for a step */
    case REF_ADDITION:
        return step_or_none(run->at_end ? run->additions.at[index].step : run->additions_before.at[index].step);
    case REF_MET:
        return step_or_none(run->met.at[index].step);
    case REF_CONTENT:
        return step_or_none(run->subjects[index >> 8].contents[index & 255].step);
    case REF_STEP:
        break;
    default:
        return not_told();
    }
    const StepDone *done = &run->done.at[index];
    const Step *step = &run->world->steps.at[run->world->calls.at[done->call].step];
    switch (part) {
    case KNOWN_number:
        return run_number(index, 0);
    case KNOWN_begins:
        return run_number(done->begins, 0);
    case KNOWN_ends:
        return run_number(done->ends, 0);
    case KNOWN_role:
        return step->role == 0 ? not_told() : (Value){.thing = step->role};
    case KNOWN_vessel:
        return thing_or_none(done->vessel);
    default: {
        uint64_t key = (uint64_t)run->world->calls.at[done->call].step << 32 | part;
        PartKept *kept = &run->parts[(key * SPREAD) >> PART_SHIFT];
        if (kept->key != key) {
            *kept = (PartKept){key, place_of_part(run->world, step, part)};
        }
        int place = kept->place;
        return place < 0 || done->values == NULL ? not_told() : done->values[place];
    }
    }
}

bool run_has_mark(Run *run, uint32_t ref, FieldId mark)
{
    World *world = run->world;
    if (REF_SORT(ref) == REF_SUBJECT) {
        return (run->subjects[REF_INDEX(ref)].mark_bits >> world->fields.at[mark].slot & 1) != 0;
    }
    for (uint32_t i = world->things.at[run_material(run, ref)].first; i != 0; i = world->values.at[i].next) {
        if (world->values.at[i].field == mark) {
            return true;
        }
    }
    return false;
}

static ThingId first_held(const World *world, ThingId holder, ShapeId shape)
{
    for (ThingId id = world->things.at[holder].first_held; id != 0; id = world->things.at[id].next_held) {
        if (settle_shape_within(world, world->things.at[id].shape, shape)) {
            return id;
        }
    }
    return 0;
}

static ThingId find_held(Run *run, ShapeId shape)
{
    World *world = run->world;
    ThingId paper = world->papers.at[run->paper].thing;
    FieldId own = settle_field(world, world->things.at[paper].shape, world->shapes.at[shape].name);
    if (TYPE_SORT(world->fields.at[own].type) == TYPE_THING) {
        Value value = run_attribute(run, REF(REF_THING, paper), own);
        return run_told(value) ? REF_INDEX(value.thing) : 0;
    }
    return first_held(world, run->mill, shape);
}

ThingId run_held(Run *run, ShapeId shape)
{
    HeldKept *kept = &run->held.at[shape];
    if (kept->generation != run->generation) {
        *kept = (HeldKept){run->generation, find_held(run, shape)};
    }
    return kept->thing;
}

ThingId run_held_named(Run *run, Name name)
{
    World *world = run->world;
    for (ThingId id = world->things.at[run->mill].first_held; id != 0; id = world->things.at[id].next_held) {
        if (world->things.at[id].name == name) {
            return id;
        }
    }
    return 0;
}

Value run_let(Run *run, uint32_t let)
{
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    const Let *at = &run->world->lets.at[let];
    Value value = run_value(run, &frame, at->value);
    value.marks |= line_marks(run->world, at->line);
    return value;
}

Value run_figure(Run *run, uint32_t figure)
{
    if (figure == run->world->unknown) {
        return run_number(run->unknown, 0);
    }
    FigureKept *kept = &run->figures.at[figure];
    if (kept->walk == run->walk) {
        return kept->value;
    }
    Value value = run_figure_of(run, figure, 0);
    kept = &run->figures.at[figure];
    if (run->at_end) { /* before the end the subjects still change */
        *kept = (FigureKept){value, run->walk};
    }
    return value;
}

Value run_figure_of(Run *run, uint32_t figure, uint32_t ref)
{
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    const Figure *at = &run->world->figures.at[figure];
    if (at->set != 0) {
        slots[BOUND_INDEX(run->world->bindings.at[at->set])] = (Value){.thing = ref};
    }
    return run_value(run, &frame, at->value);
}
