/* What was weighed, and what became of it in all: the bill, the additions, the
 * ledger. */
#include "reckoning/unfold.h"

#include "reckoning/result.h"

#include <math.h>
#include <string.h>

/* ---- the bill, the additions, the ledger ---- */

/* The event during which an entry of the ledger was made; NULL: at the end of all. */
static const TraceEvent *event_of_entry(const Unfold *unfold, uint32_t entry)
{
    LIST_EACH(const TraceEvent, event, &unfold->trace->events) {
        if (entry >= event->ledger && entry < event->ledger_end) {
            return event;
        }
    }
    return NULL;
}

static const TraceEvent *event_of_addition(const Unfold *unfold, uint32_t addition)
{
    const TraceEvent *event = unfold->trace->events.at;
    while (addition < event->additions || addition >= event->additions_end) {
        event++;
    }
    return event;
}

/* Part of what must be weighed: by one line, in one parcel or for the sheets that are there. BEFORE: as in unfold_event. */
static void fill_entry(Unfold *unfold, WhyPart *part, const LedgerEntry *entry, const TraceEvent *event, uint32_t before, unsigned level)
{
    Run *run = unfold->run;
    const Effect *effect = unfold_effect(unfold, event);
    if (effect->sort == EFFECT_USES) {
        Made made = {.note = unfold_amount(unfold, event), .line = effect->line};
        unfold_formula(unfold, part, &made, level);
        return;
    }
    bool by_sheet = event->left > 0;
    double times = by_sheet ? event->left : run->parcels;
    part->formula = by_sheet ? "of one sheet * count.sheets" : "of one parcel * parcels";
    part->with_numbers = arena_print(&run->arena, "%s * %s", unfold_mass_text(unfold, entry->mass / times),
                                     by_sheet ? unfold_count_text(unfold, times) : run_plain_number(run, times, 0));
    if (unfold_ends(unfold, level + 1)) {
        part->end = WHY_DEEPER;
        return;
    }
    unfold_event(unfold, part, event, entry->material, before, level + 1);
    if (by_sheet) {
        WhyPart *sheets = unfold_part(unfold, part, "count.sheets", unfold_count_text(unfold, times), times);
        unfold_sheets(unfold, sheets, event->end, level + 1);
    } else {
        unfold_core(unfold, part, KNOWN_parcels, "parcels", run->parcels, level + 1);
    }
}

static void unfold_entry(Unfold *unfold, WhyPart *parent, const LedgerEntry *entry, const TraceEvent *event, uint32_t before,
                         unsigned level)
{
    Run *run = unfold->run;
    bool uses = unfold_effect(unfold, event)->sort == EFFECT_USES;
    const char *step =
        event->begins ? "charged" : arena_print(&run->arena, "%s by %s", uses ? "used" : "added", unfold_step(unfold, event->call));
    WhyPart *part =
        unfold_part(unfold, parent, arena_print(&run->arena, "%s %s", result_name(run, REF(REF_THING, entry->material)), step),
                    unfold_mass_text(unfold, entry->mass), entry->mass);
    fill_entry(unfold, part, entry, event, before, level);
}

static void unfold_bill(Unfold *unfold, WhyPart *part, ThingId material, unsigned level)
{
    Run *run = unfold->run;
    if (unfold_ends(unfold, level + 1)) {
        part->end = WHY_DEEPER;
        return;
    }
    if (unfold_told_of(unfold, TOLD_BILL, material)) {
        part->end = WHY_ABOVE;
        return;
    }
    const char *text = "";
    uint32_t charged = 0;
    LIST_EACH(const LedgerEntry, entry, &run->ledger) {
        const TraceEvent *event = event_of_entry(unfold, (uint32_t)(entry - run->ledger.at));
        if (entry->material == material && (entry->way == KNOWN_charged || entry->way == KNOWN_added)) {
            text = arena_print(&run->arena, "%s%s%s", text, *text == 0 ? "" : " + ", unfold_mass_text(unfold, entry->mass));
            unfold_entry(unfold, part, entry, event, charged, level + 1);
            charged += event->begins;
        }
    }
    part->with_numbers = strstr(text, " + ") == NULL ? NULL : text;
    part->end = part->first == NULL ? WHY_NOTHING : WHY_MADE;
}

static void say_laid_on(WhyPart *part)
{
    part->end = WHY_DEFAULT;
    part->says = "laid on the sheet: all of it stays";
}

/* What stays of an addition; of one that is laid on the sheet all does, and nothing says so. */
static void unfold_retained(Unfold *unfold, WhyPart *part, const TraceEvent *event, ThingId material, unsigned level)
{
    Made made = unfold_retention_made(unfold, event, material);
    if (made.note != 0) {
        unfold_formula(unfold, part, &made, level);
        return;
    }
    say_laid_on(part);
    part->place = world_node(unfold->world, unfold_effect(unfold, event)->line)->start;
}

static void unfold_addition(Unfold *unfold, WhyPart *part, uint32_t index, Name field, unsigned level)
{
    const Addition *addition = &unfold->run->additions.at[index];
    const TraceEvent *event = event_of_addition(unfold, index);
    if (unfold_ends(unfold, level + 1)) {
        part->end = WHY_DEEPER;
    } else if (field == KNOWN_retention) {
        unfold_retained(unfold, part, event, addition->material, level);
    } else if (field == KNOWN_dose) {
        Made made = {.note = unfold_amount(unfold, event), .line = unfold_effect(unfold, event)->line};
        unfold_formula(unfold, part, &made, level);
    } else {
        LedgerEntry entry = {.material = addition->material, .mass = addition->mass};
        fill_entry(unfold, part, &entry, event, 0, level);
    }
}

/* False: no stream brings it. */
static bool say_of_furnish(Unfold *unfold, WhyPart *part, ThingId material)
{
    const World *world = unfold->world;
    const Paper *paper = &world->papers.at[unfold->run->paper];
    for (uint32_t i = 0; i < paper->furnish_count; i++) {
        const FurnishLine *line = &world->furnish.at[paper->furnish + i];
        if (line->material == material && unfold->run->subjects[SUBJECT_STREAMS + i].live) {
            part->end = WHY_DEFAULT;
            part->says = "as of all that is charged: what is lost of it the steps say";
            part->place = world_node(world, line->line)->start;
            return true;
        }
    }
    return false;
}

/* The retention of a material that was added once. False: never, or more often. */
static bool only_retention(Unfold *unfold, WhyPart *part, ThingId material, unsigned level)
{
    const TraceEvent *found = NULL;
    LIST_EACH(const Addition, addition, &unfold->run->additions) {
        if (addition->material != material) {
            continue;
        }
        if (found != NULL) {
            return false;
        }
        found = event_of_addition(unfold, (uint32_t)(addition - unfold->run->additions.at));
    }
    if (found != NULL) {
        unfold_retained(unfold, part, found, material, level);
    }
    return found != NULL;
}

/* What is in all good sheets at the end. */
static void unfold_left(Unfold *unfold, WhyPart *part, unsigned level)
{
    Run *run = unfold->run;
    WhyPart *sheets = unfold_part(unfold, part, "count.sheets at the end", unfold_count_text(unfold, run->left), run->left);
    unfold_sheets(unfold, sheets, unfold->trace->notes.count, level);
    for (uint32_t i = 0; i < run->subjects[SUBJECT_SHEET].count; i++) {
        Content content = run->subjects[SUBJECT_SHEET].contents[i];
        WhyPart *of = unfold_part(unfold, part,
                                  arena_print(&run->arena, "%s in the sheet", result_name(run, REF(REF_THING, content.material))),
                                  unfold_mass_text(unfold, content.mass), content.mass);
        unfold_content(unfold, of, SUBJECT_SHEET, content.material, unfold->trace->notes.count, level);
    }
}

/* Why an entry of the ledger was made. NULL: it is what is there at the end. */
static void unfold_whence(Unfold *unfold, WhyPart *part, const TraceEvent *event, unsigned level)
{
    Run *run = unfold->run;
    if (unfold_ends(unfold, level + 1)) {
        part->end = WHY_DEEPER;
    } else if (event == NULL) {
        unfold_left(unfold, part, level + 1);
    } else if (event->begins) {
        for (uint32_t i = 0; i < run->stream_count; i++) {
            unfold_share(unfold, part, i, level + 1);
        }
        unfold_core(unfold, part, KNOWN_fibre_charge, "fibre-charge", run->fibre_charge, level + 1);
        unfold_core(unfold, part, KNOWN_parcels, "parcels", run->parcels, level + 1);
    } else if (!unfold_causes(unfold, part, event, event->left > 0 ? SUBJECT_SHEET : SUBJECT_STUFF, level + 1)) {
        part->end = WHY_ABOVE;
    }
}

void unfold_item(Unfold *unfold, WhyPart *part, uint32_t ref, Name field, unsigned level)
{
    uint32_t index = REF_INDEX(ref);
    switch (REF_SORT(ref)) {
    case REF_BILL:
        unfold_bill(unfold, part, run_material(unfold->run, ref), level);
        return;
    case REF_ADDITION:
        unfold_addition(unfold, part, index, field, level);
        return;
    case REF_CONTENT:
        if (only_retention(unfold, part, run_material(unfold->run, ref), level)) {
            return;
        }
        unfold_retentions(unfold, part, run_material(unfold->run, ref), level + 1);
        if (part->first == NULL && part->end != WHY_DEEPER && !say_of_furnish(unfold, part, run_material(unfold->run, ref))) {
            say_laid_on(part);
        }
        return;
    case REF_LEDGER:
        unfold_whence(unfold, part, event_of_entry(unfold, index), level);
        return;
    default:
        part->end = WHY_NOTHING;
    }
}

/* ---- the ledger ---- */

typedef struct LedgerTerm { uint32_t entry; double mass; } LedgerTerm;
typedef LIST(LedgerTerm) LedgerTerms; /* the last stands first */

static void find_ledger_terms(const Unfold *unfold, uint32_t note, NodeId expression, LedgerTerms *terms)
{
    double mass = NAN;
    for (uint32_t i = note; i > unfold_note(unfold, note)->first; i = unfold_note(unfold, i - 1)->first) {
        const TraceNote *at = unfold_note(unfold, i - 1);
        if (at->node == expression) {
            mass = at->value.number;
        } else if (world_node(unfold->world, at->node)->form == NODE_EACH) {
            if (mass == mass) {
                list_push(unfold->run->memory, terms, (LedgerTerm){REF_INDEX(at->value.thing), mass});
            }
            mass = NAN;
        }
    }
}

static void unfold_group(Unfold *unfold, WhyPart *parent, const LedgerTerms *terms, uint32_t first, unsigned level)
{
    Run *run = unfold->run;
    LedgerEntry one = run->ledger.at[terms->at[first].entry];
    const TraceEvent *event = event_of_entry(unfold, terms->at[first].entry);
    double sum = 0;
    const char *list = "";
    for (uint32_t i = terms->count; i-- > 0;) {
        LedgerEntry entry = run->ledger.at[terms->at[i].entry];
        if (entry.way == one.way && event_of_entry(unfold, terms->at[i].entry) == event) {
            sum += terms->at[i].mass;
            list = arena_print(&run->arena, "%s%s%s %s", list, *list == 0 ? "" : ", ",
                               entry.material == 0 ? "water" : result_name(run, REF(REF_THING, entry.material)),
                               unfold_mass_text(unfold, terms->at[i].mass));
        }
    }
    const char *name = event == NULL ? "in the sheets that are left" : event->begins ? "charged"
        : arena_print(&run->arena, "%s by %s", world_word(unfold->world, one.way), unfold_step(unfold, event->call));
    WhyPart *part = unfold_part(unfold, parent, name, unfold_mass_text(unfold, sum), sum);
    part->says = arena_print(&run->arena, "that is %s", list);
    unfold_whence(unfold, part, event, level);
}

void unfold_ledger(Unfold *unfold, WhyPart *part, uint32_t note, NodeId expression, unsigned level)
{
    Run *run = unfold->run;
    LedgerTerms terms = {0};
    find_ledger_terms(unfold, note, expression, &terms);
    for (uint32_t i = terms.count; i-- > 0;) {
        bool first = true;
        for (uint32_t j = i + 1; j < terms.count && first; j++) {
            first = run->ledger.at[terms.at[j].entry].way != run->ledger.at[terms.at[i].entry].way
                || event_of_entry(unfold, terms.at[j].entry) != event_of_entry(unfold, terms.at[i].entry);
        }
        if (first) {
            unfold_group(unfold, part, &terms, i, level);
        }
    }
    memory_return(run->memory, terms.at);
}
