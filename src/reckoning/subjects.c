/* Streams, stuff and sheets. */
#include "reckoning/subjects.h"

#include <math.h>
#include <string.h>

static ShapeId shape_of(Run *run, Name name)
{
    return settle_shape(run->world, name);
}

static void open_subject(Run *run, uint32_t index, ShapeId shape)
{
    Subject *subject = &run->subjects[index];
    ShapeId root = run->world->shapes.at[shape].root;
    uint32_t slots = run->world->shapes.at[root].slots;
    if (subject->attributes == NULL) {
        subject->attributes = arena_take(&run->arena, (slots + 1u) * sizeof(Value));
        subject->versions = arena_take(&run->arena, (slots + 1u) * sizeof(uint32_t));
    }
    for (uint32_t i = 0; i < slots; i++) {
        subject->attributes[i] = run_absent(0);
    }
    subject->shape = shape;
    subject->material = 0;
    subject->live = false;
    subject->joined = false;
    subject->mark_bits = 0;
    subject->count = 0;
}

void subjects_reset(Run *run)
{
    open_subject(run, SUBJECT_STUFF, shape_of(run, KNOWN_stuff));
    open_subject(run, SUBJECT_SHEET, shape_of(run, KNOWN_sheet));
    ShapeId stream = shape_of(run, KNOWN_stream);
    for (uint32_t i = 0; i < run->stream_count; i++) {
        open_subject(run, SUBJECT_STREAMS + i, stream);
    }
    run->sheet_made = false;
    run->formed = run->left = 0;
}

/* What was worked out of a subject before no longer holds. */
static void changes(Run *run)
{
    run->version++;
    run->contents_version++;
}

/* Defaults of `has` and the first word of each `states`, in the order declared. */
static void begin(Run *run, uint32_t index)
{
    World *world = run->world;
    Subject *subject = &run->subjects[index];
    subject->live = true;
    changes(run);
    for (ShapeId shape = subject->shape; shape != 0; shape = world->shapes.at[shape].parent) {
        for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
            const Field *field = &world->fields.at[id];
            if (field->sort == FIELD_STATES) {
                subject->attributes[field->slot] = (Value){.thing = world->words.at[field->words]};
            } else if (field->sort == FIELD_HAS && field->value != 0) {
                Value slots[RUN_SLOTS];
                Frame frame = {.slots = slots, .self = REF(REF_SUBJECT, index)};
                changes(run); /* it may rest on one above it */
                subject->attributes[field->slot] = run_value(run, &frame, field->value);
            }
        }
    }
}

Content *subjects_content(Run *run, uint32_t index, ThingId material)
{
    Subject *subject = &run->subjects[index];
    for (uint32_t i = 0; i < subject->count; i++) {
        if (subject->contents[i].material == material) {
            return &subject->contents[i];
        }
    }
    if (subject->count == RUN_CONTENTS) {
        run_say(run, SAY_too_many_materials, 0, NULL, NULL);
        run->failed = true;
        return NULL;
    }
    subject->contents[subject->count] = (Content){.material = material, .retention = 1};
    return &subject->contents[subject->count++];
}

void subjects_begin_stream(Run *run, uint32_t number, double mass)
{
    uint32_t index = SUBJECT_STREAMS + number;
    const FurnishLine *line = &run->world->furnish.at[run->world->papers.at[run->paper].furnish + number];
    run->subjects[index].material = line->material;
    Content *content = subjects_content(run, index, line->material);
    content->mass = mass;
    begin(run, index);
}

double subjects_fibre(Run *run, uint32_t index)
{
    FieldId field = run->world->fibre_field;
    if (field == 0) {
        double sum = 0;
        for (uint32_t i = 0; i < run->subjects[index].count; i++) {
            sum += run->subjects[index].contents[i].mass;
        }
        return sum;
    }
    Value fibre = run_attribute(run, REF(REF_SUBJECT, index), field);
    return run_told(fibre) ? fibre.number : 0;
}

/* The kind of which KIND, which is no product, is a part. */
static KindId whole_of(const World *world, KindId kind)
{
    KindId whole = world->expansions.at[world->kinds.at[kind].expansion].factors[0].kind;
    while (world->kinds.at[whole].whole != 0) {
        whole = world->kinds.at[whole].whole;
    }
    return whole;
}

static bool adds_up(const World *world, FieldId id)
{
    const Field *field = &world->fields.at[id];
    if (TYPE_SORT(field->type) != TYPE_NUMBER) {
        return false;
    }
    KindId kind = TYPE_INDEX(field->type);
    const Expansion *expansion = &world->expansions.at[world->kinds.at[kind].expansion];
    if (expansion->count != 1 || world->kinds.at[kind].compares) {
        return false;
    }
    KindId mass = TYPE_INDEX(world->figures.at[world->unknown].type); /* where nothing is sought, no kind is known to be one */
    return (expansion->factors[0].power == 1 && whole_of(world, kind) == whole_of(world, mass)) || expansion->factors[0].power == 3;
}

bool subjects_adds_up(Run *run, FieldId id)
{
    uint8_t *kept = &run->adds_up.at[id];
    if (*kept == 0) {
        *kept = adds_up(run->world, id) ? 2 : 1;
    }
    return *kept == 2;
}

void subjects_scale(Run *run, uint32_t index, double by)
{
    World *world = run->world;
    Subject *subject = &run->subjects[index];
    for (uint32_t i = 0; i < subject->count; i++) {
        subject->contents[i].mass *= by;
    }
    for (ShapeId shape = subject->shape; shape != 0; shape = world->shapes.at[shape].parent) {
        for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
            if (world->fields.at[id].sort == FIELD_HAS && subjects_adds_up(run, id)) {
                subject->attributes[world->fields.at[id].slot].number *= by; /* one that is not told stays so */
            }
        }
    }
}

bool subjects_is_mass(Run *run, FieldId id)
{
    const World *world = run->world;
    return subjects_adds_up(run, id)
        && world->expansions.at[world->kinds.at[TYPE_INDEX(world->fields.at[id].type)].expansion].factors[0].power == 1;
}

void subjects_note(Run *run, ThingId material, double mass, Name way, bool of_sheet)
{
    if (!run->last || mass == 0) {
        return;
    }
    double times = of_sheet ? run->left : run->parcels;
    list_push(run->memory, &run->ledger, (LedgerEntry){material, mass * times, way, run->call});
}

Name subjects_name(const Run *run, uint32_t subject)
{
    const Paper *paper = &run->world->papers.at[run->paper];
    return subject == SUBJECT_STUFF ? KNOWN_stuff : subject == SUBJECT_SHEET ? KNOWN_sheet
        : run->world->furnish.at[paper->furnish + subject - SUBJECT_STREAMS].name;
}

/* Where two meet: what adds up adds; other numbers become the mean by their fibre; what only compares stays
 * told only when it is equal; a state must agree. What is not told is no number, equals none and makes none. */
static void join_attribute(Run *run, uint32_t from, FieldId id, double mine, double theirs, bool first)
{
    World *world = run->world;
    const Field *field = &world->fields.at[id];
    if (field->sort != FIELD_STATES && field->sort != FIELD_HAS) {
        return; /* a mark's slot is a bit */
    }
    Value *into = &run->subjects[SUBJECT_STUFF].attributes[field->slot];
    Value other = run->subjects[from].attributes[field->slot];
    if (field->sort == FIELD_STATES) {
        if (!first && into->thing != other.thing && run->last) {
            const char *joining = arena_print(world->scratch, "%s is %s", world_text(world, subjects_name(run, from)), world_text(world, other.thing));
            run_say(run, SAY_states_differ, 0, joining, world_word(world, into->thing));
        }
        *into = first ? other : *into;
        return;
    }
    bool number = TYPE_SORT(field->type) == TYPE_NUMBER;
    bool compares = number && world->kinds.at[TYPE_INDEX(field->type)].compares;
    if (first) {
        *into = other;
    } else if (subjects_adds_up(run, id)) {
        *into = run_number(into->number + other.number, into->marks | other.marks);
    } else if (!number || compares) {
        bool equal = run_equal(into->number, other.number) && into->thing == other.thing;
        *into = equal ? *into : run_absent(0);
    } else {
        *into = run_number((into->number * mine + other.number * theirs) / (mine + theirs), into->marks | other.marks);
    }
}

static void join_contents(Run *run, uint32_t from)
{
    Subject *other = &run->subjects[from];
    for (uint32_t i = 0; i < other->count; i++) {
        Content *into = subjects_content(run, SUBJECT_STUFF, other->contents[i].material);
        if (into == NULL) {
            return;
        }
        double mass = into->mass + other->contents[i].mass;
        if (mass > 0) {
            into->retention = (into->mass * into->retention + other->contents[i].mass * other->contents[i].retention) / mass;
        }
        into->mass = mass;
        into->marks |= other->contents[i].marks;
        uint32_t step = other->contents[i].step;
        into->step = step > into->step ? step : into->step; /* that added last of it, whichever stream stands first */
    }
}

static void join_one(Run *run, uint32_t from)
{
    World *world = run->world;
    Subject *stuff = &run->subjects[SUBJECT_STUFF], *stream = &run->subjects[from];
    bool first = !stuff->live;
    if (first) {
        begin(run, SUBJECT_STUFF);
        stuff->mark_bits = stream->mark_bits;
    } else {
        stuff->mark_bits &= stream->mark_bits;
    }
    changes(run);
    double mine = first ? 0 : subjects_fibre(run, SUBJECT_STUFF), theirs = subjects_fibre(run, from);
    for (ShapeId shape = stream->shape; shape != 0; shape = world->shapes.at[shape].parent) {
        for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
            join_attribute(run, from, id, mine, theirs, first);
        }
    }
    join_contents(run, from);
    stream->joined = true;
}

void subjects_join(Run *run, uint32_t only)
{
    for (uint32_t i = 0; i < run->stream_count; i++) {
        uint32_t index = SUBJECT_STREAMS + i;
        if ((only == 0 || only == index) && run->subjects[index].live && !run->subjects[index].joined) {
            join_one(run, index);
        }
    }
}

static void find_passing(Run *run)
{
    World *world = run->world;
    ShapeId stuff = shape_of(run, KNOWN_stuff), sheet = shape_of(run, KNOWN_sheet);
    for (FieldId id = world->shapes.at[sheet].first; id != 0; id = world->fields.at[id].next) {
        FieldId same = settle_field(world, stuff, world->fields.at[id].name);
        uint8_t sort = world->fields.at[id].sort;
        if (same != 0 && world->fields.at[same].sort == sort && (sort == FIELD_MARK || sort == FIELD_HAS)) {
            list_push(run->memory, &run->passing, same);
            list_push(run->memory, &run->passing, id);
        }
    }
}

void subjects_note_held(Run *run, uint32_t index, double times, Name way, bool forming)
{
    if (!run->last) {
        return;
    }
    World *world = run->world;
    Subject *subject = &run->subjects[index];
    for (ShapeId shape = subject->shape; shape != 0; shape = world->shapes.at[shape].parent) {
        for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
            if (world->fields.at[id].sort != FIELD_HAS) {
                continue; /* a mark's slot is a bit, not a place among the attributes */
            }
            Value value = subject->attributes[world->fields.at[id].slot];
            bool passes = false;
            for (uint32_t i = 0; forming && i < run->passing.count; i += 2) {
                passes = passes || run->passing.at[index == SUBJECT_SHEET ? i + 1 : i] == id;
            }
            if (run_told(value) && !passes && subjects_is_mass(run, id)) {
                subjects_note(run, 0, value.number * times, way, index == SUBJECT_SHEET);
            }
        }
    }
}

/* Attributes of one name pass from the stuff to the sheet; what adds up is shared out. */
static void pass_attributes(Run *run, double part)
{
    World *world = run->world;
    Subject *stuff = &run->subjects[SUBJECT_STUFF], *sheet = &run->subjects[SUBJECT_SHEET];
    if (run->passing.count == 0) {
        find_passing(run);
    }
    for (uint32_t i = 0; i < run->passing.count; i += 2) {
        FieldId same = run->passing.at[i];
        const Field *field = &world->fields.at[run->passing.at[i + 1]];
        if (field->sort == FIELD_MARK) {
            uint64_t bit = stuff->mark_bits >> world->fields.at[same].slot & 1;
            sheet->mark_bits |= bit << field->slot;
            continue;
        }
        Value value = stuff->attributes[world->fields.at[same].slot];
        if (subjects_adds_up(run, same)) {
            value.number *= part;
        }
        sheet->attributes[field->slot] = value;
    }
}

void subjects_make_sheet(Run *run, double fibre)
{
    Subject *stuff = &run->subjects[SUBJECT_STUFF], *sheet = &run->subjects[SUBJECT_SHEET];
    double have = subjects_fibre(run, SUBJECT_STUFF);
    double part = have > 0 ? fibre / have : 0;
    sheet->count = 0;
    for (uint32_t i = 0; i < stuff->count; i++) {
        Content content = stuff->contents[i];
        subjects_note(run, content.material, -content.mass * (1 - content.retention), KNOWN_drained, false);
        content.mass *= part * content.retention;
        content.retention = 1;
        sheet->contents[sheet->count++] = content;
    }
    begin(run, SUBJECT_SHEET);
    pass_attributes(run, part);
    subjects_note_held(run, SUBJECT_STUFF, -1, KNOWN_drained, true);
    run->sheet_made = true;
    run->formable = have / fibre; /* of sheets of nothing there is no end, and no charge is found for them */
    run->formed = run->left = run->sheets_formed;
    subjects_note_held(run, SUBJECT_SHEET, 1, KNOWN_added, true); /* what a sheet begins with and has not from the stuff */
}
