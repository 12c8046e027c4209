/* What each effect of a step does to what is worked on, to the bill and to the
 * record. C knows the effects of steps; what the steps are, stdlib and the mill's
 * scripts say.
 */
#include "reckoning/effects.h"

#include "reckoning/brings.h"
#include "reckoning/flow.h"
#include "reckoning/subjects.h"
#include "reckoning/trace.h"

#include <math.h>

static Value of(Doing *doing, NodeId node)
{
    return run_value(doing->run, doing->frame, node);
}

/* The subject that an effect is about; -1: it is none that is there. */
static int subject_of(Doing *doing, NodeId node)
{
    Run *run = doing->run;
    Value value = of(doing, node);
    if (run_told(value) && REF_SORT(value.thing) == REF_SUBJECT && run->subjects[REF_INDEX(value.thing)].live) {
        return (int)REF_INDEX(value.thing);
    }
    if (run->last) {
        bool sheet = run_told(value) && REF_INDEX(value.thing) == SUBJECT_SHEET, stuff = run_told(value) && REF_INDEX(value.thing) == SUBJECT_STUFF;
        run_say(run, SAY_not_there, node, world_written(run->world, node),
                sheet ? brings_effect(run->world, EFFECT_MAKES) : stuff ? brings_effect(run->world, EFFECT_JOINS) : NULL);
    }
    run->failed = true;
    return -1;
}

/* The same of what changes how much there is: to what has become stuff or sheets already it would be done in vain. */
static int subject_to_change(Doing *doing, NodeId node)
{
    Run *run = doing->run;
    int index = subject_of(doing, node);
    if (index < 0 || !(index == SUBJECT_STUFF ? run->sheet_made : run->subjects[index].joined)) {
        return index;
    }
    if (run->last) {
        run_say(run, SAY_no_longer_there, node, world_word(run->world, subjects_name(run, (uint32_t)index)),
                index == SUBJECT_STUFF ? "sheets" : "stuff");
    }
    run->failed = true;
    return -1;
}

/* An amount is nothing or more: of what is less nobody knows how to do it, DONE. What is below it by less than the solve and doubles can tell
 * is nothing. This is said in the last walk, as a trial may rest on a guess. */
static void judge_amount(Doing *doing, Value value, NodeId node, const char *done)
{
    Run *run = doing->run;
    if (run->last && value.number < -1e-9) {
        const char *much = node != 0 ? run_shown(run, doing->frame, node, value, run->world->types.at[node])
            : run_number_text(run, value.number, TYPE(TYPE_NUMBER, KIND_ONE), unit_of(run->world, KNOWN_percent), -1);
        run_say(run, SAY_less_than_nothing, node, much, done);
        run->failed = true;
    }
}

/* An amount that must be told: what adds, loses, spoils or makes. */
static bool told_amount(Doing *doing, Value value, NodeId node, const char *done)
{
    if (run_told(value)) {
        if ((value.marks & VALUE_ROUNDED) != 0 && doing->run->last) {
            run_say(doing->run, SAY_rounded_mass, node, world_written(doing->run->world, node), NULL);
        }
        judge_amount(doing, value, node, done);
        return true;
    }
    if (doing->run->last) {
        run_say(doing->run, SAY_amount_not_told, node, world_written(doing->run->world, node), NULL);
    }
    doing->run->failed = true;
    return false;
}

static void do_sets(Doing *doing)
{
    Run *run = doing->run;
    int index = subject_to_change(doing, doing->effect->target);
    if (index < 0) {
        return;
    }
    Value value = of(doing, doing->effect->one);
    FieldId field = doing->effect->detail;
    bool adds_up = subjects_adds_up(run, field);
    Value *now = &run->subjects[index].attributes[run->world->fields.at[field].slot];
    if (!run_told(value) && adds_up) {
        return; /* a water that is not told passes */
    }
    if (run->last && subjects_is_mass(run, field)) {
        double change = value.number - (run_told(*now) ? now->number : 0);
        subjects_note(run, 0, change, change > 0 ? KNOWN_added : KNOWN_drained, index == SUBJECT_SHEET);
    }
    *now = value;
}

static void do_states(Doing *doing)
{
    Run *run = doing->run;
    int index = subject_of(doing, doing->effect->target);
    if (index < 0) {
        return;
    }
    const Field *field = &run->world->fields.at[doing->effect->detail];
    bool not = (doing->effect->flags & EFFECT_SIGNED) != 0;
    if (field->sort == FIELD_MARK) {
        uint64_t bit = (uint64_t)1 << field->slot;
        run->subjects[index].mark_bits = not ? run->subjects[index].mark_bits & ~bit : run->subjects[index].mark_bits | bit;
    } else if (!not) {
        run->subjects[index].attributes[field->slot] = (Value){0, doing->effect->name, 0};
    }
}

void effects_bill(Run *run, ThingId material, double mass, bool of_parcel, uint32_t marks)
{
    for (uint32_t i = 0; i < run->bill.count; i++) {
        BillItem *item = &run->bill.at[i];
        if (item->material == material) {
            item->mass += mass;
            item->marks |= marks;
            item->of_parcel = item->of_parcel && of_parcel;
            return;
        }
    }
    list_push(run->memory, &run->bill, (BillItem){material, mass, of_parcel, marks});
}

static FieldId material_field(Run *run, Name name)
{
    return settle_field(run->world, settle_shape(run->world, KNOWN_material), name);
}

/* What of an addition ends in the sheet: told in the line, or the material's. */
static Value retention_of(Doing *doing, ThingId material)
{
    if (doing->effect->two != 0) {
        return of(doing, doing->effect->two);
    }
    Value value = run_attribute(doing->run, REF(REF_THING, material), material_field(doing->run, KNOWN_retention)); /* of no field nothing is told */
    return run_told(value) ? value : run_number(1, 0);
}

static void do_adds(Doing *doing)
{
    Run *run = doing->run;
    const Effect *effect = doing->effect;
    Value what = of(doing, effect->three), amount = of(doing, effect->one);
    if (!run_told(what)) {
        return;
    }
    int index = subject_to_change(doing, effect->target);
    if (index < 0 || !told_amount(doing, amount, effect->one, "added")) {
        return;
    }
    double mass = amount.number;
    uint32_t marks = amount.marks;
    if (effect->detail != 0) {
        Value basis = run_attribute(run, REF(REF_SUBJECT, (uint32_t)index), effect->detail);
        if (!told_amount(doing, basis, effect->one, "added")) {
            return;
        }
        mass *= basis.number;
    }
    ThingId material = REF_INDEX(what.thing);
    bool to_sheet = index == SUBJECT_SHEET;
    Value retention = to_sheet ? run_number(1, 0) : retention_of(doing, material);
    Content *content = subjects_content(run, (uint32_t)index, material);
    if (content == NULL || !told_amount(doing, retention, effect->two, "kept in the sheet")) {
        return;
    }
    double sum = content->mass + mass;
    content->retention = sum > 0 ? (content->mass * content->retention + mass * retention.number) / sum : retention.number;
    content->mass = sum;
    content->marks |= marks | retention.marks;
    content->step = run->step;
    if (run->last) {
        double billed = mass * (to_sheet ? run->left : run->parcels);
        effects_bill(run, material, billed, !to_sheet, marks);
        list_push(run->memory, &run->additions,
                  (Addition){material, billed, retention.number, run->call, effect->one, amount,
                             run->world->types.at[effect->one], run->step,
                             to_sheet ? KNOWN_sheet : index == SUBJECT_STUFF ? KNOWN_stuff : KNOWN_stream});
        subjects_note(run, material, mass, KNOWN_added, to_sheet);
    }
}

static bool matches(Run *run, const Effect *effect, ThingId material, Value what)
{
    if (effect->detail == 0) {
        return run_told(what) && REF_INDEX(what.thing) == material;
    }
    const Field *field = &run->world->fields.at[effect->detail];
    if (field->sort == FIELD_MARK) {
        return run_has_mark(run, REF(REF_THING, material), effect->detail);
    }
    Value word = run_attribute(run, REF(REF_THING, material), effect->detail);
    return run_told(word) && word.thing == effect->name;
}

/* What steps before left in a vessel is in no sheet, but it is met by what comes after. */
static void remove_from_vessel(Doing *doing, ThingId vessel)
{
    Run *run = doing->run;
    const Effect *effect = doing->effect;
    Value share = effect->one == 0 ? run_number(1, 0) : of(doing, effect->one);
    Value what = effect->detail == 0 ? of(doing, effect->three) : run_absent(0);
    judge_amount(doing, share, effect->one, "taken out");
    for (uint32_t i = 0; i < run->residues.count; i++) {
        Residue *residue = &run->residues.at[i];
        if (residue->vessel == vessel && run_told(share) && matches(run, effect, residue->material, what)) {
            residue->mass *= 1 - share.number;
        }
    }
}

/* What is taken away leaves something of WHAT where that is NEEDED later on, and is never more than was there. This is said in
 * the last walk, as a trial may rest on a guess. */
static void judge_share(Doing *doing, double share, Name what, bool needed)
{
    Run *run = doing->run;
    if (run->last && (needed ? share >= 1 : share > 1)) {
        const char *much = run_number_text(run, share, TYPE(TYPE_NUMBER, KIND_ONE), unit_of(run->world, KNOWN_percent), -1);
        run_say(run, SAY_nothing_left, doing->effect->one, much, world_word(run->world, what));
        run->failed = true;
    }
}

static void do_removes(Doing *doing)
{
    Run *run = doing->run;
    const Effect *effect = doing->effect;
    Value from = of(doing, effect->target);
    if (!run_told(from)) {
        return;
    }
    if (REF_SORT(from.thing) == REF_THING) {
        remove_from_vessel(doing, REF_INDEX(from.thing));
        return;
    }
    int index = subject_to_change(doing, effect->target);
    Value share = effect->one == 0 ? run_number(1, 0) : of(doing, effect->one);
    Value what = effect->detail == 0 ? of(doing, effect->three) : run_absent(0);
    if (index < 0 || !told_amount(doing, share, effect->one, "taken out")) {
        return;
    }
    for (uint32_t i = 0; i < run->subjects[index].count; i++) {
        Content *content = &run->subjects[index].contents[i];
        if (matches(run, effect, content->material, what)) {
            judge_share(doing, share.number, run->world->things.at[content->material].name,
                        content->material == run->subjects[index].material);
            subjects_note(run, content->material, -content->mass * share.number, KNOWN_drained, index == SUBJECT_SHEET);
            content->mass *= 1 - share.number;
        }
    }
}

static void note_all(Run *run, uint32_t index, double share, Name way)
{
    for (uint32_t i = 0; run->last && i < run->subjects[index].count; i++) {
        subjects_note(run, run->subjects[index].contents[i].material, -run->subjects[index].contents[i].mass * share, way,
                      index == SUBJECT_SHEET);
    }
    subjects_note_held(run, index, -share, way, false);
}

static void do_loses(Doing *doing)
{
    Run *run = doing->run;
    Value share = of(doing, doing->effect->one);
    int index = subject_to_change(doing, doing->effect->target);
    if (index < 0 || !told_amount(doing, share, doing->effect->one, "lost")) {
        return;
    }
    judge_share(doing, share.number, subjects_name(run, (uint32_t)index), true);
    note_all(run, (uint32_t)index, share.number, KNOWN_lost);
    subjects_scale(run, (uint32_t)index, 1 - share.number);
}

static void do_spoils(Doing *doing)
{
    Run *run = doing->run;
    Value share = of(doing, doing->effect->one);
    if (!told_amount(doing, share, doing->effect->one, "spoiled")) {
        return;
    }
    if (!run->sheet_made) {
        if (run->last) {
            run_say(run, SAY_no_sheets_yet, doing->effect->line, brings_effect(run->world, EFFECT_MAKES), NULL);
        }
        run->failed = true;
        return;
    }
    note_all(run, SUBJECT_SHEET, share.number, KNOWN_spoiled);
    run->left *= 1 - share.number;
}

/* This, what is left in vessels and what is needed are asked only in the last walk (acts_on_trial, in meaning/needed.c). */
static void do_uses(Doing *doing)
{
    Run *run = doing->run;
    Value what = of(doing, doing->effect->three), mass = of(doing, doing->effect->one);
    if (!run_told(what) || !run_told(mass)) {
        return;
    }
    judge_amount(doing, mass, doing->effect->one, "used");
    double billed = mass.number * (run->sheet_made ? 1 : run->parcels);
    effects_bill(run, REF_INDEX(what.thing), billed, !run->sheet_made, mass.marks);
    list_push(run->memory, &run->ledger, (LedgerEntry){REF_INDEX(what.thing), billed, KNOWN_added, run->call});
    list_push(run->memory, &run->ledger, (LedgerEntry){REF_INDEX(what.thing), -billed, KNOWN_used, run->call});
}

/* A vessel that is not told is not followed; nor is an amount that nobody told. */
static void do_leaves(Doing *doing)
{
    Run *run = doing->run;
    Value what = of(doing, doing->effect->three), where = of(doing, doing->effect->target), mass = of(doing, doing->effect->one);
    if (run_told(what) && run_told(where) && run_told(mass)) {
        judge_amount(doing, mass, doing->effect->one, "left behind");
        list_push(run->memory, &run->residues,
                  (Residue){REF_INDEX(where.thing), REF_INDEX(what.thing), mass.number, run->step});
    }
}

static void do_holds_back(Doing *doing)
{
    Run *run = doing->run;
    Value mass = of(doing, doing->effect->one);
    int index = subject_to_change(doing, doing->effect->target);
    if (index < 0 || !run_told(mass)) {
        return;
    }
    told_amount(doing, mass, doing->effect->one, "held back");
    double fibre = subjects_fibre(run, (uint32_t)index);
    double part = fibre > 0 ? mass.number / fibre : 0;
    note_all(run, (uint32_t)index, part, KNOWN_held_back);
    subjects_scale(run, (uint32_t)index, 1 - part);
}

/* How much more a stream must begin with, so that it holds its share when it joins. */
static void note_gains(Run *run, uint32_t only)
{
    for (uint32_t i = 0; i < run->stream_count; i++) {
        uint32_t index = SUBJECT_STREAMS + i;
        if ((only != 0 && only != index) || run->subjects[index].joined || run->subjects[index].count == 0) {
            continue;
        }
        double wanted = run->fibre_charge * run->stream_share[i];
        double have = run->subjects[index].contents[0].mass;
        if (have > 0) {
            run->stream_gain[i] *= wanted / have;
        }
    }
}

static void do_joins(Doing *doing)
{
    Run *run = doing->run;
    int only = doing->effect->one == 0 ? 0 : subject_to_change(doing, doing->effect->one);
    if (only >= 0) {
        note_gains(run, (uint32_t)only);
        subjects_join(run, (uint32_t)only);
    }
}

static void do_makes(Doing *doing)
{
    Run *run = doing->run;
    Value fibre = of(doing, doing->effect->one);
    if (!run->subjects[SUBJECT_STUFF].live || run->sheet_made) {
        if (run->last) {
            run_say(run, run->sheet_made ? SAY_formed_twice : SAY_not_there, doing->effect->line, "stuff", brings_effect(run->world, EFFECT_JOINS));
        }
        run->failed = true;
        return;
    }
    if (!told_amount(doing, fibre, doing->effect->one, "in a sheet")) {
        return;
    }
    if (doing->effect->detail == 0) {
        run->measured = fibre.number;
        run->measured_at = doing->effect->one;
        run->measured_call = run->call;
        fibre.number *= run->measured_times;
        run->unknown = fibre.number; /* it is not sought */
    }
    subjects_make_sheet(run, fibre.number);
}

static void do_occupies(Doing *doing)
{
    Run *run = doing->run;
    Value time = of(doing, doing->effect->one);
    if (!run_told(time)) {
        return;
    }
    double takes = time.number;
    if ((doing->effect->flags & EFFECT_AT_RATE) != 0) {
        double count = run->sheet_made && !run->of_parcel ? run->left : run->sheets_formed / run->parcels;
        takes = time.number > 0 ? count / time.number : 0;
    }
    doing->occupied = fmax(takes, doing->occupied);
}

/* Whether some line of the procedure brings about the state that CONDITION asks for: then it only stands in the wrong place.
 * What must not be so was brought about by a line that stands too early. */
static bool is_reached_later(Run *run, NodeId condition)
{
    const World *world = run->world;
    const Node *at = world_node(world, condition);
    if (at->form != NODE_BINARY || at->extra != OPERATOR_IS) {
        return true;
    }
    Name word = world_node(world, world_node(world, at->first)->next)->value;
    const Paper *paper = &world->papers.at[run->paper];
    for (uint32_t i = paper->calls; i < paper->calls + paper->call_count; i++) {
        const Step *step = &world->steps.at[world->calls.at[i].step];
        for (uint32_t j = 0; j < step->count; j++) {
            const Effect *effect = &world->effects.at[step->first + j];
            bool sets = effect->sort == EFFECT_STATES && effect->name == word && (effect->flags & EFFECT_SIGNED) == 0;
            if (sets && i != run->call) {
                return true;
            }
        }
    }
    return false;
}

/* Which steps bring about the state that CONDITION asks for; of another condition nobody knows. */
static const char *steps_in_front(World *world, NodeId condition)
{
    uint32_t binding = world->bindings.at[condition];
    const Node *at = world_node(world, condition);
    bool asked = at->form == NODE_BINARY && at->extra == OPERATOR_IS && (BOUND_OF(binding) == BOUND_PART || BOUND_OF(binding) == BOUND_MARK);
    return asked ? brings_state(world, BOUND_INDEX(binding), world_node(world, world_node(world, at->first)->next)->value) : "";
}

static void do_needs(Doing *doing)
{
    Run *run = doing->run;
    if (!run_fails(run, doing->frame, doing->effect->one)) {
        return;
    }
    const char *text = doing->effect->two == 0 ? world_written(run->world, doing->effect->one)
                                               : run_text(run, doing->frame, doing->effect->two);
    run_say(run, is_reached_later(run, doing->effect->one) ? SAY_wrong_order : SAY_missing_step, doing->effect->line, text,
            steps_in_front(run->world, doing->effect->one));
    run->failed = true;
}

static void do_formula(Doing *doing)
{
    Run *run = doing->run;
    const Effect *effect = doing->effect;
    Value value = of(doing, effect->one);
    value.thing = TYPE_SORT(effect->detail) == TYPE_NUMBER ? 0 : value.thing;
    doing->frame->slots[effect->slot] = value;
    trace_keep(run, &doing->frame->slots[effect->slot]);
    if (effect->sort != EFFECT_GIVES) {
        return;
    }
    Given *given = &run->given.at[effect->three];
    given->twice = given->walk == run->walk;
    given->walk = run->walk;
    given->value = value;
    given->effect = (uint32_t)(effect - run->world->effects.at);
    if (doing->record != NULL) {
        list_push(run->memory, &doing->record->figures, (StepFigure){effect->name, effect->detail, value, effect->line, effect->shown, effect->decimals});
    }
}

static void do_tells(Doing *doing)
{
    Run *run = doing->run;
    StepRecord *record = doing->record;
    StepFill **end = record->fills_end;
    run->fills = end;
    const char *says = run_text(run, doing->frame, doing->effect->one);
    run->fills = NULL;
    for (; *end != NULL; end = &(*end)->next) {
        (*end)->sentence = record->tells.count;
    }
    record->fills_end = end;
    list_push(run->memory, &record->tells, (StepSentence){says, doing->effect->one});
}

static void do_reads(Doing *doing)
{
    Run *run = doing->run;
    const Effect *effect = doing->effect;
    Value value = of(doing, effect->two); /* where nothing is expected it is not told */
    Type type = run->world->types.at[effect->two];
    bool band = run_told(value) && value.thing != 0 && TYPE_SORT(type) == TYPE_NUMBER;
    StepReading reading = {.what = run_text(run, doing->frame, effect->one), .is_signed = (effect->flags & EFFECT_SIGNED) != 0,
                           .text = effect->one, .window = value, .type = type};
    reading.expected = !run_told(value) ? NULL
        : band ? run_band_text(run, run->bands.at[value.thing], type, 0)
               : run_shown(run, doing->frame, effect->two, value, type);
    list_push(run->memory, &doing->record->reads, reading);
}

static void do_cautions(Doing *doing)
{
    Value value = of(doing, doing->effect->one);
    if (run_told(value) && REF_SORT(value.thing) == REF_THING) {
        list_push(doing->run->memory, &doing->record->cautions, REF_INDEX(value.thing));
    }
}

static void do_waits(Doing *doing)
{
    Value time = of(doing, doing->effect->one);
    doing->waited += run_told(time) ? time.number : 0;
}

/* What only a sheet of paper asks for: words. */
static void do_for_sheet(Doing *doing)
{
    switch ((EffectSort)doing->effect->sort) {
    case EFFECT_TELLS:
        if (!doing->run->feeling) {
            do_tells(doing);
        }
        break;
    case EFFECT_READS:
        if (!doing->run->feeling) {
            do_reads(doing);
        }
        break;
    default: do_cautions(doing); break;
    }
}

void effects_do(Doing *doing)
{
    switch ((EffectSort)doing->effect->sort) { /* never 2: EFFECT_SORTS is how many there are, and beyond it is none */
    case EFFECT_SETS: do_sets(doing); break;
    case EFFECT_STATES: do_states(doing); break;
    case EFFECT_ADDS: do_adds(doing); break;
    case EFFECT_REMOVES: do_removes(doing); break;
    case EFFECT_LOSES: do_loses(doing); break;
    case EFFECT_SPOILS: do_spoils(doing); break;
    case EFFECT_USES: do_uses(doing); break;
    case EFFECT_LEAVES: do_leaves(doing); break;
    case EFFECT_HOLDS_BACK: do_holds_back(doing); break;
    case EFFECT_JOINS: do_joins(doing); break;
    case EFFECT_MAKES: do_makes(doing); break;
    case EFFECT_NEEDS: do_needs(doing); break;
    case EFFECT_GIVES: case EFFECT_LETS: do_formula(doing); break;
    case EFFECT_OCCUPIES: do_occupies(doing); break;
    case EFFECT_WAITS: do_waits(doing); break;
    case EFFECT_TELLS: case EFFECT_READS: case EFFECT_CAUTIONS:
        if (!doing->run->judging) {
            do_for_sheet(doing);
        }
        break;
    case EFFECT_CALLS: case EFFECT_SORTS: break; /* a call of another step is the walk's */
    }
}
