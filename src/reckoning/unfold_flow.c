/* What became of masses and counts on their way from the store to the sheet: told
 * from the first effect to the last, each once. */
#include "reckoning/unfold.h"

#include "reckoning/result.h"
#include "reckoning/subjects.h"

#include <math.h>
#include <string.h>

typedef struct Story {
    Unfold *unfold;
    WhyPart *part;
    unsigned level;
    ThingId material;
    bool told;         /* events were told above that are not mentioned yet */
    uint32_t subject;  /* and where the last of them left so much */
    double mass;
} Story;

static Type mass_type(Unfold *unfold)
{
    FieldId field = settle_field(unfold->world, settle_shape(unfold->world, KNOWN_content), KNOWN_mass);
    return unfold->world->fields.at[field].type;
}

const char *unfold_mass_text(Unfold *unfold, double mass)
{
    return run_number_text(unfold->run, mass, mass_type(unfold), 0, DECIMALS_NEEDED);
}

const char *unfold_count_text(Unfold *unfold, double count)
{
    return run_number_text(unfold->run, count, TYPE(TYPE_NUMBER, kind_named(unfold->world, KNOWN_count)), 0, DECIMALS_NEEDED);
}

static const char *subject_text(Unfold *unfold, uint32_t subject)
{
    const char *name = result_name(unfold->run, REF(REF_SUBJECT, subject));
    return subject >= SUBJECT_STREAMS ? "its stream" : arena_print(&unfold->run->arena, "the %s", name);
}

/* Where the streams began it is the blank one. */
const Effect *unfold_effect(const Unfold *unfold, const TraceEvent *event)
{
    return &unfold->world->effects.at[event->effect];
}

static uint32_t event_place(const Unfold *unfold, const TraceEvent *event)
{
    return (uint32_t)(event - unfold->trace->events.at);
}

/* What an effect was told: the note of its amount. 0: it is told none. */
uint32_t unfold_amount(const Unfold *unfold, const TraceEvent *event)
{
    return unfold_find(unfold, unfold_effect(unfold, event)->one, event->first, event->end);
}

static const char *amount_text(Unfold *unfold, const TraceEvent *event)
{
    uint32_t note = unfold_amount(unfold, event);
    return note == 0 ? "100 %" : unfold_with_numbers(unfold, note);
}

static const char *bracketed(Unfold *unfold, const TraceEvent *event, const char *text)
{
    NodeId amount = unfold_effect(unfold, event)->one;
    bool sum = world_node(unfold->world, amount)->form == NODE_BINARY;
    return sum ? arena_print(&unfold->run->arena, "(%s)", text) : text;
}

enum { ANY_SUBJECT = SUBJECTS };

/* What an event did to MATERIAL in SUBJECT, BEFORE so many others of it. NULL: nothing. */
static const TraceChange *change_of(const Unfold *unfold, const TraceEvent *event, uint32_t subject, ThingId material, uint32_t before)
{
    for (uint32_t i = event->changes; i < event->changes_end; i++) {
        const TraceChange *change = &unfold->trace->changes.at[i];
        bool meant = (subject == ANY_SUBJECT || change->subject == subject) && change->material == material;
        if (meant && before-- == 0) {
            return change;
        }
    }
    return NULL;
}

/* ---- the line of the furnish ---- */

static const char *share_text(Unfold *unfold, uint32_t stream)
{
    UnitId percent = unit_of(unfold->world, KNOWN_percent);
    return run_number_text(unfold->run, unfold->run->stream_share[stream], TYPE(TYPE_NUMBER, KIND_ONE), percent, DECIMALS_NEEDED);
}

void unfold_share(Unfold *unfold, WhyPart *part, uint32_t stream, unsigned level)
{
    const Paper *paper = &unfold->world->papers.at[unfold->run->paper];
    const FurnishLine *line = &unfold->world->furnish.at[paper->furnish + stream];
    const TraceEvent *event = unfold->trace->events.at; /* the first: the streams began */
    uint32_t note = unfold_find(unfold, line->share, event->first, event->end);
    if (note == 0) {
        return;
    }
    const char *name = arena_print(&unfold->run->arena, "%s in the furnish", world_word(unfold->world, line->name));
    WhyPart *share = unfold_part(unfold, part, name, share_text(unfold, stream), unfold_note(unfold, note)->value.number);
    Made made = {.note = note, .line = line->line};
    unfold_formula(unfold, share, &made, level);
}

static void tell_charged(Story *story, const TraceChange *change)
{
    Unfold *unfold = story->unfold;
    Run *run = unfold->run;
    uint32_t stream = change->subject - SUBJECT_STREAMS;
    const FurnishLine *line = &unfold->world->furnish.at[unfold->world->papers.at[run->paper].furnish + stream];
    double gain = run->stream_gain[stream];
    bool gains = !run_equal(gain, 1);
    WhyPart *part =
        unfold_part(unfold, story->part, arena_print(&run->arena, "%s charged", result_name(run, REF(REF_THING, change->material))),
                    unfold_mass_text(unfold, change->after.number), change->after.number);
    const char *share = share_text(unfold, stream);
    part->formula =
        gains ? "its part of the furnish * fibre-charge * what makes good its losses" : "its part of the furnish * fibre-charge";
    part->with_numbers = arena_print(&run->arena, "%s * %s%s%s", share,
                                     run_number_text(run, run->fibre_charge, mass_type(unfold), 0, 3), gains ? " * " : "",
                                     gains ? run_plain_number(run, gain, DECIMALS_NEEDED) : "");
    part->place = world_node(unfold->world, line->line)->start;
    if (unfold_ends(unfold, story->level + 1)) {
        part->end = WHY_DEEPER;
        return;
    }
    unfold_share(unfold, part, stream, story->level + 1);
    unfold_core(unfold, part, KNOWN_fibre_charge, "fibre-charge", run->fibre_charge, story->level + 1);
    if (gains) {
        WhyPart *good = unfold_part(unfold, part, "what makes good its losses", run_plain_number(run, gain, DECIMALS_NEEDED), gain);
        good->end = WHY_SOLVED;
        good->says = arena_print(&run->arena, "solved, so that %s is %s of the fibre where the streams join",
                                 world_word(unfold->world, line->name), share);
    }
}

/* ---- effects ---- */

/* The retention that an addition was reckoned with: told in the step, or the material's. */
Made unfold_retention_made(Unfold *unfold, const TraceEvent *event, ThingId material)
{
    World *world = unfold->world;
    const Effect *effect = unfold_effect(unfold, event);
    FieldId field = settle_field(world, settle_shape(world, KNOWN_material), KNOWN_retention);
    if (effect->two != 0) {
        return (Made){.note = unfold_find(unfold, effect->two, event->first, event->end), .line = effect->line};
    }
    Made made = {.line = world->fields.at[field].line, .marks = world->fields.at[field].marks, .left_out = true};
    NodeId node = world->fields.at[field].value;
    for (uint32_t i = world->things.at[material].first; i != 0; i = world->values.at[i].next) {
        if (world->values.at[i].field == field) {
            node = world->values.at[i].node;
            made = (Made){.line = world->values.at[i].line, .marks = world->values.at[i].marks};
        }
    }
    made.note = unfold_find(unfold, node, event->first, event->end);
    return made;
}

static void unfold_retention(Unfold *unfold, WhyPart *part, const TraceEvent *event, ThingId material, unsigned level)
{
    Made made = unfold_retention_made(unfold, event, material);
    const char *name = arena_print(&unfold->run->arena, "retention of %s", result_name(unfold->run, REF(REF_THING, material)));
    WhyPart *retention =
        unfold_part(unfold, part, name, unfold_shown(unfold, made.note), unfold_note(unfold, made.note)->value.number);
    unfold_formula(unfold, retention, &made, level);
}

/* What a dose is a share of. An attribute that is reckoned has a note; one that is kept stands as the last event left it. */
static Value basis_of(const Unfold *unfold, const TraceEvent *event, uint32_t subject, uint32_t *note)
{
    const Field *basis = &unfold->world->fields.at[unfold_effect(unfold, event)->detail];
    *note = unfold_find(unfold, basis->value, event->first, event->end);
    const TraceEvent *at;
    return *note != 0 ? unfold_note(unfold, *note)->value : unfold_change(unfold, subject, basis->slot, event->first, &at)->after;
}

static void unfold_before(Unfold *unfold, WhyPart *parent, uint32_t subject, FieldId field, const TraceEvent *event, unsigned level);

static void unfold_basis(Unfold *unfold, WhyPart *part, const TraceEvent *event, uint32_t subject, unsigned level)
{
    FieldId field = unfold_effect(unfold, event)->detail;
    const Field *basis = &unfold->world->fields.at[field];
    uint32_t note;
    Value value = basis_of(unfold, event, subject, &note);
    if (note == 0) {
        unfold_before(unfold, part, subject, field, event, level);
        return;
    }
    const char *name = arena_print(&unfold->run->arena, "%s.%s", result_name(unfold->run, REF(REF_SUBJECT, subject)),
                                   world_text(unfold->world, basis->name));
    WhyPart *on = unfold_part(unfold, part, name, unfold_mass_text(unfold, value.number), value.number);
    Made made = {.note = note, .line = basis->line};
    unfold_formula(unfold, on, &made, level);
}

/* Why the effect did it: its amount, and what that rests on. Told once. */
bool unfold_causes(Unfold *unfold, WhyPart *part, const TraceEvent *event, uint32_t subject, unsigned level)
{
    const World *world = unfold->world;
    const Effect *effect = unfold_effect(unfold, event);
    uint32_t note = unfold_amount(unfold, event);
    if (unfold_ends(unfold, level)) {
        part->end = WHY_DEEPER;
        return true;
    }
    if (unfold_told_of(unfold, TOLD_EVENT, event_place(unfold, event))) {
        return false;
    }
    if (note == 0 || unfold_is_plain(world, unfold_note(unfold, note)->node)) {
        unfold_named(unfold, part, note, "its amount", effect->line, level);
    } else {
        unfold_leaves(unfold, part, note, level);
    }
    if (effect->sort == EFFECT_ADDS && effect->detail != 0) {
        unfold_basis(unfold, part, event, subject, level);
    }
    return true;
}

static const char *basis_text(Unfold *unfold, const TraceEvent *event, uint32_t subject, bool numbers)
{
    const Effect *effect = unfold_effect(unfold, event);
    if (effect->detail == 0) {
        return "";
    }
    if (numbers) {
        uint32_t note;
        return arena_print(&unfold->run->arena, " * %s", unfold_mass_text(unfold, basis_of(unfold, event, subject, &note).number));
    }
    return arena_print(&unfold->run->arena, " * %s.%s", result_name(unfold->run, REF(REF_SUBJECT, subject)),
                       world_text(unfold->world, unfold->world->fields.at[effect->detail].name));
}

/* What stayed of a material that was there when the sheet was made: its mean retention, as a share; 1: of other effects. */
static double stayed(const Unfold *unfold, const TraceEvent *event, double before, double after)
{
    if (unfold_effect(unfold, event)->sort != EFFECT_MAKES) {
        return 1;
    }
    double fibre = unfold_note(unfold, unfold_amount(unfold, event))->value.number;
    return after / (before * fibre / event->fibre[SUBJECT_STUFF]);
}

static const char *verb_of(const Effect *effect)
{
    switch ((EffectSort)effect->sort) {
    case EFFECT_LOSES: return "after the losses of";
    case EFFECT_HOLDS_BACK: return "after what is held back by";
    case EFFECT_REMOVES: return "after what is removed by";
    case EFFECT_ADDS: return "added by";
    default: return "in one sheet by";
    }
}

/* The formula of what an effect does to a mass; NUMBERS: with this batch's. */
static const char *effect_text(Unfold *unfold, const TraceEvent *event, uint32_t subject, double before, double after, bool numbers)
{
    Arena *arena = &unfold->run->arena;
    const Effect *effect = unfold_effect(unfold, event);
    const char *amount = numbers || effect->one == 0 ? amount_text(unfold, event) : unfold_formula_text(unfold, effect->one);
    const char *mass = numbers ? unfold_mass_text(unfold, before) : "mass";
    if (effect->sort == EFFECT_ADDS) {
        bool needs = effect->detail != 0;
        return arena_print(arena, "%s%s", needs ? bracketed(unfold, event, amount) : amount,
                           basis_text(unfold, event, subject, numbers));
    }
    amount = bracketed(unfold, event, amount);
    if (effect->sort == EFFECT_HOLDS_BACK) {
        return arena_print(arena, "%s * (1 - %s / %s)", mass, amount,
                           numbers ? unfold_mass_text(unfold, event->fibre[subject]) : "fibre there");
    }
    if (effect->sort == EFFECT_MAKES) {
        double kept = stayed(unfold, event, before, after);
        bool all = run_equal(kept, 1);
        UnitId percent = unit_of(unfold->run->world, KNOWN_percent);
        return arena_print(arena, "%s * %s / %s%s%s", mass, amount,
                           numbers ? unfold_mass_text(unfold, event->fibre[SUBJECT_STUFF]) : "fibre there", all ? "" : " * ",
                           all       ? ""
                           : numbers ? run_number_text(unfold->run, kept, TYPE(TYPE_NUMBER, KIND_ONE), percent, DECIMALS_NEEDED)
                                     : "what stays of it");
    }
    return arena_print(arena, "%s * (1 - %s)", mass, amount);
}

void unfold_retentions(Unfold *unfold, WhyPart *part, ThingId material, unsigned level)
{
    LIST_EACH(const TraceEvent, event, &unfold->trace->events) {
        const TraceChange *change = change_of(unfold, event, ANY_SUBJECT, material, 0);
        if (unfold_effect(unfold, event)->sort == EFFECT_ADDS && change != NULL && change->subject != SUBJECT_SHEET) {
            if (unfold_ends(unfold, level)) {
                part->end = WHY_DEEPER;
                return;
            }
            unfold_retention(unfold, part, event, material, level);
        }
    }
}

/* Whether nothing new was told of it. */
static bool all_above(const WhyPart *part)
{
    const WhyPart *inner = part->first;
    while (inner != NULL && inner->end == WHY_ABOVE) {
        inner = inner->next;
    }
    return part->first != NULL && inner == NULL;
}

static void tell_effect(Story *story, const TraceEvent *event, uint32_t subject, double before, double after)
{
    Unfold *unfold = story->unfold;
    Run *run = unfold->run;
    const Effect *effect = unfold_effect(unfold, event);
    bool adds = effect->sort == EFFECT_ADDS;
    const char *name = arena_print(&run->arena, "%s %s %s", result_name(run, REF(REF_THING, story->material)), verb_of(effect),
                                   unfold_step(unfold, event->call));
    double value = adds ? after - before : after;
    WhyPart *part = unfold_part(unfold, story->part, name, unfold_mass_text(unfold, value), value);
    part->with_numbers = effect_text(unfold, event, subject, before, after, true);
    part->place = world_node(unfold->world, effect->line)->start;
    bool above = !unfold_causes(unfold, part, event, subject, story->level + 1) || (!adds && all_above(part));
    if (above) {
        part->end = WHY_ABOVE;
        part->first = part->last = NULL;
    } else {
        part->formula = effect_text(unfold, event, subject, before, after, false);
    }
    if (!run_equal(stayed(unfold, event, before, after), 1)) {
        part->formula = effect_text(unfold, event, subject, before, after, false);
        part->end = WHY_MADE;
        unfold_retentions(unfold, part, story->material, story->level + 1);
    }
}

/* What was told above is only mentioned, once. */
static void mention_told(Story *story)
{
    if (story->told) {
        Unfold *unfold = story->unfold;
        const char *name =
            arena_print(&unfold->run->arena, "%s so far in %s", result_name(unfold->run, REF(REF_THING, story->material)),
                        subject_text(unfold, story->subject));
        WhyPart *part = unfold_part(unfold, story->part, name, unfold_mass_text(unfold, story->mass), story->mass);
        part->end = WHY_ABOVE;
    }
    story->told = false;
}

/* The subject of the next of the streams LEFT that were joined. */
static uint32_t next_joined(uint32_t *left)
{
    uint32_t stream = (uint32_t)__builtin_ctz(*left);
    *left &= *left - 1;
    return SUBJECT_STREAMS + stream;
}

static double tell_of(Story *story, uint32_t subject, uint32_t note);

/* What comes from another subject is told before it; the mass that was there, where the sheet is made of it. */
static double tell_from(Story *story, const TraceEvent *event, double before)
{
    for (uint32_t left = event->joined; left != 0;) {
        tell_of(story, next_joined(&left), event->first);
    }
    bool makes = unfold_effect(story->unfold, event)->sort == EFFECT_MAKES;
    return makes ? tell_of(story, SUBJECT_STUFF, event->first) : before;
}

/* What became of it in SUBJECT up to NOTE; the mass that is there then. */
static double tell_of(Story *story, uint32_t subject, uint32_t note)
{
    Unfold *unfold = story->unfold;
    double mass = NAN;
    LIST_EACH(const TraceEvent, event, &unfold->trace->events) {
        const TraceChange *change = change_of(unfold, event, subject, story->material, 0);
        bool later = event->end > note && !event->begins; /* what streams begin with rests on their mass */
        if (later || change == NULL) {
            continue;
        }
        mass = change->after.number;
        double before = tell_from(story, event, change->before.number);
        if (unfold_effect(unfold, event)->sort == EFFECT_JOINS || unfold_ends(unfold, story->level)) {
            continue;
        }
        if (unfold_told(unfold, TOLD_MASS, event_place(unfold, event), subject, story->material)) {
            story->told = true;
            story->mass = mass;
            story->subject = subject;
            continue;
        }
        mention_told(story);
        if (event->begins) {
            tell_charged(story, change);
        } else {
            tell_effect(story, event, subject, before, mass);
        }
    }
    return mass;
}

void unfold_content(Unfold *unfold, WhyPart *part, uint32_t subject, ThingId material, uint32_t note, unsigned level)
{
    if (unfold_ends(unfold, level + 1)) {
        part->end = WHY_DEEPER;
        return;
    }
    Story story = {.unfold = unfold, .part = part, .level = level + 1, .material = material};
    tell_of(&story, subject, note);
    if (part->first == NULL) {
        part->end = story.told ? WHY_ABOVE : WHY_NOTHING;
        return;
    }
    mention_told(&story);
}

void unfold_event(Unfold *unfold, WhyPart *parent, const TraceEvent *event, ThingId material, uint32_t before, unsigned level)
{
    const TraceChange *change = change_of(unfold, event, ANY_SUBJECT, material, before);
    if (change == NULL || unfold_ends(unfold, level)) {
        return;
    }
    Story story = {.unfold = unfold, .part = parent, .level = level, .material = material, .subject = change->subject,
                   .mass = change->after.number};
    if (unfold_told(unfold, TOLD_MASS, event_place(unfold, event), change->subject, material)) {
        story.told = true;
        mention_told(&story);
    } else if (event->begins) {
        tell_charged(&story, change);
    } else {
        tell_effect(&story, event, change->subject, change->before.number, change->after.number);
    }
}

/* ---- attributes that pass on ---- */

static void unfold_before(Unfold *unfold, WhyPart *parent, uint32_t subject, FieldId field, const TraceEvent *event, unsigned level)
{
    const Field *at = &unfold->world->fields.at[field];
    const TraceEvent *found;
    const TraceChange *change = unfold_change(unfold, subject, at->slot, event->first, &found);
    Value value = change->after; /* it is told, and so some event has told it */
    const char *name = arena_print(&unfold->run->arena, "%s.%s before %s", result_name(unfold->run, REF(REF_SUBJECT, subject)),
                                   world_text(unfold->world, at->name), unfold_step(unfold, event->call));
    WhyPart *part = unfold_part(unfold, parent, name, unfold_plain_text(unfold, value, at->type), value.number);
    Made made = {.line = at->line};
    if (unfold_attribute(unfold, event->first, REF(REF_SUBJECT, subject), field, &made)) {
        unfold_formula(unfold, part, &made, level);
    } else {
        unfold_passed(unfold, part, subject, field, event->first, level);
    }
}

static bool has_mean(const World *world, const Field *field)
{
    return TYPE_SORT(field->type) == TYPE_NUMBER && !world->kinds.at[TYPE_INDEX(field->type)].compares;
}

typedef struct Joined { const char *text; double fibre; } Joined; /* 4 * 150 g + 8 * 90 g, and the fibre of all */

static void add_joined(Unfold *unfold, WhyPart *part, FieldId field, const TraceEvent *event, uint32_t subject, bool by_fibre,
                       Joined *joined, unsigned level)
{
    Run *run = unfold->run;
    const Field *at = &unfold->world->fields.at[field];
    const TraceEvent *found;
    const TraceChange *change = unfold_change(unfold, subject, at->slot, event->first, &found);
    if (change == NULL) {
        return; /* nothing was stuff before */
    }
    joined->text = arena_print(&run->arena, "%s%s%s%s%s", joined->text, *joined->text == 0 ? "" : " + ",
                               unfold_plain_text(unfold, change->after, at->type), by_fibre ? " * " : "",
                               by_fibre ? unfold_mass_text(unfold, event->fibre[subject]) : "");
    joined->fibre += event->fibre[subject];
    unfold_before(unfold, part, subject, field, event, level);
}

/* Where streams meet each other, and what became stuff before them: what adds up adds, other numbers become the mean by their fibre; what
 * only compares is the same on all sides. */
static void pass_joined(Unfold *unfold, WhyPart *part, FieldId field, const TraceEvent *event, unsigned level)
{
    bool sums = subjects_adds_up(unfold->run, field), mean = !sums && has_mean(unfold->world, &unfold->world->fields.at[field]);
    Joined joined = {.text = ""};
    add_joined(unfold, part, field, event, SUBJECT_STUFF, mean, &joined, level);
    for (uint32_t left = event->joined; left != 0;) {
        add_joined(unfold, part, field, event, next_joined(&left), mean, &joined, level);
    }
    if (sums) {
        part->formula = "the sum of what is joined";
        part->with_numbers = joined.text;
    } else if (mean) {
        part->formula = "the mean of what is joined, by its fibre";
        part->with_numbers =
            arena_print(&unfold->run->arena, "(%s) / %s", joined.text, unfold_mass_text(unfold, joined.fibre));
    } else {
        part->says = "the same in all that is joined";
    }
}

/* The stuff's attribute that a sheet has its own from. */
static FieldId field_in_stuff(const Run *run, FieldId field)
{
    const uint32_t *pair = run->passing.at;
    while (pair[1] != field) {
        pair += 2;
    }
    return *pair;
}

/* Where a sheet is formed: what adds up is shared out by the fibre, all else is as it was in the stuff. */
static void pass_to_sheet(Unfold *unfold, WhyPart *part, FieldId field, const TraceEvent *event, unsigned level)
{
    FieldId from = field_in_stuff(unfold->run, field);
    const Field *at = &unfold->world->fields.at[from];
    if (subjects_adds_up(unfold->run, from)) {
        const TraceEvent *found;
        const TraceChange *change = unfold_change(unfold, SUBJECT_STUFF, at->slot, event->first, &found);
        const char *amount = unfold_formula_text(unfold, unfold_effect(unfold, event)->one);
        part->formula = arena_print(&unfold->run->arena, "what it was in the stuff * %s / fibre there", bracketed(unfold, event, amount));
        part->with_numbers = arena_print(&unfold->run->arena, "%s * %s / %s", unfold_plain_text(unfold, change->after, at->type),
                                         bracketed(unfold, event, amount_text(unfold, event)),
                                         unfold_mass_text(unfold, event->fibre[SUBJECT_STUFF]));
    } else {
        part->says = arena_print(&unfold->run->arena, "as it was in the stuff at %s", unfold_step(unfold, event->call));
    }
    unfold_before(unfold, part, SUBJECT_STUFF, from, event, level);
}

/* A state: the first of its words when streams or sheets begin, then what steps have made of it. */
static void pass_state(Unfold *unfold, WhyPart *part, FieldId field, const TraceEvent *event)
{
    if (unfold_effect(unfold, event)->sort == EFFECT_STATES) {
        part->end = WHY_TYPED;
        part->says = arena_print(&unfold->run->arena, "set by %s", unfold_step(unfold, event->call));
        return;
    }
    part->end = WHY_DEFAULT;
    part->says = "as it begins";
    part->place = world_node(unfold->world, unfold->world->fields.at[field].line)->start;
}

/* Where a share of all is lost or held back, as much of it as of the fibre. */
static void pass_what_is_left(Unfold *unfold, WhyPart *part, uint32_t subject, FieldId field, const TraceEvent *event, unsigned level)
{
    Run *run = unfold->run;
    const Field *at = &unfold->world->fields.at[field];
    const Effect *effect = unfold_effect(unfold, event);
    const TraceEvent *found;
    Value before = unfold_change(unfold, subject, at->slot, event->first, &found)->after;
    bool holds = effect->sort == EFFECT_HOLDS_BACK;
    part->formula = arena_print(&run->arena, "what it was before %s * (1 - %s%s)", unfold_step(unfold, event->call),
                                bracketed(unfold, event, unfold_formula_text(unfold, effect->one)), holds ? " / fibre there" : "");
    part->with_numbers =
        arena_print(&run->arena, "%s * (1 - %s%s%s)", unfold_plain_text(unfold, before, at->type),
                    bracketed(unfold, event, amount_text(unfold, event)), holds ? " / " : "",
                    holds ? unfold_mass_text(unfold, event->fibre[subject]) : "");
    unfold_before(unfold, part, subject, field, event, level);
    unfold_causes(unfold, part, event, subject, level);
}

void unfold_passed(Unfold *unfold, WhyPart *part, uint32_t subject, FieldId field, uint32_t note, unsigned level)
{
    const Field *at = &unfold->world->fields.at[field];
    if (at->name == KNOWN_material && subject >= SUBJECT_STREAMS) {
        const Paper *paper = &unfold->world->papers.at[unfold->run->paper];
        part->end = WHY_TYPED;
        part->says = "of its line of the furnish";
        part->place = world_node(unfold->world, unfold->world->furnish.at[paper->furnish + subject - SUBJECT_STREAMS].line)->start;
        return;
    }
    const TraceEvent *event;
    unfold_change(unfold, subject, at->slot, note, &event);
    if (unfold_ends(unfold, level + 1)) {
        part->end = WHY_DEEPER;
        return;
    }
    const Effect *effect = unfold_effect(unfold, event);
    if (unfold_told(unfold, TOLD_PASSED, event_place(unfold, event), subject, field)) {
        part->end = WHY_ABOVE;
        return;
    }
    part->place = world_node(unfold->world, effect->line)->start;
    if (effect->sort == EFFECT_JOINS) {
        pass_joined(unfold, part, field, event, level + 1);
    } else if (at->sort == FIELD_STATES) {
        pass_state(unfold, part, field, event);
    } else if (effect->sort == EFFECT_MAKES) {
        pass_to_sheet(unfold, part, field, event, level + 1);
    } else {
        pass_what_is_left(unfold, part, subject, field, event, level + 1);
    }
}

/* ---- the count ---- */

void unfold_sheets(Unfold *unfold, WhyPart *part, uint32_t note, unsigned level)
{
    Run *run = unfold->run;
    Type type = TYPE(TYPE_NUMBER, kind_named(run->world, KNOWN_count));
    if (unfold_ends(unfold, level + 1)) {
        part->end = WHY_DEEPER;
        return;
    }
    if (unfold_told_value(unfold, TOLD_CORE, KNOWN_sheets, part->value)) {
        part->end = WHY_ABOVE;
        return;
    }
    Text formula, numbers;
    text_open(&formula, run->memory);
    text_open(&numbers, run->memory);
    text_put(&formula, "sheets-formed");
    text_put(&numbers, run_number_text(run, run->sheets_formed, type, 0, 0));
    unfold_core(unfold, part, KNOWN_sheets_formed, "sheets-formed", run->sheets_formed, level + 1);
    LIST_EACH(const TraceEvent, event, &unfold->trace->events) {
        uint32_t at = unfold_amount(unfold, event);
        if (event->end > note || unfold_effect(unfold, event)->sort != EFFECT_SPOILS || unfold_note(unfold, at)->value.number == 0) {
            continue;
        }
        const char *amount = bracketed(unfold, event, amount_text(unfold, event));
        text_print(&formula, " * (1 - spoiled in %s)", unfold_step(unfold, event->call));
        text_print(&numbers, " * (1 - %s)", amount);
        unfold_named(unfold, part, at, arena_print(&run->arena, "spoiled in %s", unfold_step(unfold, event->call)),
                     unfold_effect(unfold, event)->line, level + 1);
    }
    part->formula = arena_copy(&run->arena, formula.at, formula.length);
    part->with_numbers = arena_copy(&run->arena, numbers.at, numbers.length);
    text_close(&formula);
    text_close(&numbers);
    if (strcmp(part->formula, "sheets-formed") == 0) {
        part->with_numbers = NULL;
    }
}
