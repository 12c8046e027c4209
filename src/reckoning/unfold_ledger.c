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
    for (uint32_t i = 0; i < unfold->trace->events.count; i++) {
        const TraceEvent *event = &unfold->trace->events.at[i];
        if (entry >= event->ledger && entry < event->ledger_end) {
            return event;
        }
    }
    return NULL;
}

/* Part of what must be weighed: by one line, in one parcel or for the sheets that are there. BEFORE: as in unfold_event. */
static void fill_entry(Unfold *unfold, WhyPart *part, const LedgerEntry *entry, const TraceEvent *event, uint32_t before, unsigned level)
{
    Run *run = unfold->run;
    const Effect *effect = unfold_effect(unfold, event);
    bool begins = event->begins, uses = !begins && effect->sort == EFFECT_USES;
    bool by_sheet = !begins && event->left > 0 && !uses;
    if (uses) {
        Made made = {.note = unfold_amount(unfold, event), .line = effect->line, .decimals = -1};
        unfold_formula(unfold, part, &made, level);
        return;
    }
    double times = by_sheet ? event->left : run->parcels;
    part->formula = by_sheet ? "of one sheet * count.sheets" : "of one parcel * parcels";
    Type count = TYPE(TYPE_NUMBER, kind_named(run->world, KNOWN_count));
    part->with_numbers = arena_print(&run->arena, "%s * %s", unfold_mass_text(unfold, entry->mass / times),
                                     by_sheet ? run_number_text(run, times, count, 0, -1) : run_plain_number(run, times, 0));
    if (unfold_ends(unfold, level + 1)) {
        part->end = WHY_DEEPER;
        return;
    }
    unfold_event(unfold, part, event, entry->material, before, level + 1);
    if (by_sheet) {
        WhyPart *sheets = unfold_part(unfold, part, "count.sheets", run_number_text(run, times, count, 0, -1), times);
        unfold_sheets(unfold, sheets, event->end, level + 1);
    } else {
        unfold_core(unfold, part, KNOWN_parcels, "parcels", run->parcels, level + 1);
    }
}

static void unfold_entry(Unfold *unfold, WhyPart *parent, const LedgerEntry *entry, const TraceEvent *event, uint32_t before,
                         unsigned level)
{
    Run *run = unfold->run;
    bool uses = !event->begins && unfold_effect(unfold, event)->sort == EFFECT_USES;
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
    if (unfold_told(unfold, TOLD_BILL, material, 0, 0)) {
        part->end = WHY_ABOVE;
        return;
    }
    const char *text = "";
    uint32_t charged = 0;
    for (uint32_t i = 0; i < run->ledger.count; i++) {
        LedgerEntry entry = run->ledger.at[i];
        const TraceEvent *event = event_of_entry(unfold, i);
        if (entry.material == material && event != NULL && (entry.way == KNOWN_charged || entry.way == KNOWN_added)) {
            text = arena_print(&run->arena, "%s%s%s", text, *text == 0 ? "" : " + ", unfold_mass_text(unfold, entry.mass));
            unfold_entry(unfold, part, &entry, event, event->begins ? charged++ : 0, level + 1);
        }
    }
    part->with_numbers = strstr(text, " + ") == NULL ? NULL : text;
    part->end = part->first == NULL ? WHY_NOTHING : WHY_MADE;
}

static void unfold_addition(Unfold *unfold, WhyPart *part, uint32_t index, Name field, unsigned level)
{
    Run *run = unfold->run;
    const Addition *addition = &run->additions.at[index];
    for (uint32_t i = 0; i < unfold->trace->events.count; i++) {
        const TraceEvent *event = &unfold->trace->events.at[i];
        if (index < event->additions || index >= event->additions_end) {
            continue;
        }
        if (unfold_ends(unfold, level + 1)) {
            part->end = WHY_DEEPER;
        } else if (field == KNOWN_retention) {
            Made made = unfold_retention_made(unfold, event, addition->material);
            unfold_formula(unfold, part, &made, level);
        } else if (field == KNOWN_dose) {
            Made made = {.note = unfold_amount(unfold, event), .line = unfold_effect(unfold, event)->line, .decimals = -1};
            unfold_formula(unfold, part, &made, level);
        } else {
            LedgerEntry entry = {.material = addition->material, .mass = addition->mass};
            fill_entry(unfold, part, &entry, event, 0, level);
        }
        return;
    }
    part->end = WHY_NOTHING;
}

static void say_of_furnish(Unfold *unfold, WhyPart *part, ThingId material)
{
    const World *world = unfold->world;
    const Paper *paper = &world->papers.at[unfold->run->paper];
    part->end = WHY_DEFAULT;
    part->says = "as of all that is charged: what is lost of it the steps say";
    for (uint32_t i = 0; i < paper->furnish_count; i++) {
        const FurnishLine *line = &world->furnish.at[paper->furnish + i];
        if (line->material == material) {
            part->place = world_node(world, line->line)->start;
        }
    }
}

/* The retention of a material that was added once. */
static bool only_retention(Unfold *unfold, WhyPart *part, ThingId material, unsigned level)
{
    const TraceEvent *found = NULL;
    for (uint32_t i = 0; i < unfold->run->additions.count; i++) {
        for (uint32_t j = 0; unfold->run->additions.at[i].material == material && j < unfold->trace->events.count; j++) {
            const TraceEvent *event = &unfold->trace->events.at[j];
            if (i >= event->additions && i < event->additions_end) {
                if (found != NULL) {
                    return false;
                }
                found = event;
            }
        }
    }
    Made made = found == NULL ? (Made){0} : unfold_retention_made(unfold, found, material);
    if (made.note != 0) {
        unfold_formula(unfold, part, &made, level);
    }
    return made.note != 0;
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
        unfold_retentions(unfold, part, unfold->trace->events.at + unfold->trace->events.count, run_material(unfold->run, ref),
                          level + 1);
        if (part->first == NULL) {
            say_of_furnish(unfold, part, run_material(unfold->run, ref));
        }
        return;
    case REF_LEDGER: {
        const TraceEvent *event = event_of_entry(unfold, index);
        LedgerEntry entry = unfold->run->ledger.at[index];
        if (event != NULL) {
            unfold_causes(unfold, part, event, SUBJECT_STUFF, level + 1);
            return;
        }
        part->says = world_word(unfold->world, entry.way);
        break;
    }
    default:
        break;
    }
    part->end = WHY_NOTHING;
}

/* ---- the ledger ---- */

typedef struct LedgerTerm { uint32_t entry; double mass; } LedgerTerm;

static uint32_t ledger_terms(const Unfold *unfold, uint32_t note, NodeId expression, LedgerTerm *terms, uint32_t most)
{
    uint32_t count = 0;
    double mass = NAN;
    for (uint32_t i = note; i > unfold_note(unfold, note)->first; i = unfold_note(unfold, i - 1)->first) {
        const TraceNote *at = unfold_note(unfold, i - 1);
        if (at->node == expression) {
            mass = at->value.number;
        } else if (at->node != 0 && world_node(unfold->world, at->node)->form == NODE_EACH) {
            if (mass == mass && count < most) {
                terms[count++] = (LedgerTerm){REF_INDEX(at->value.thing), mass};
            }
            mass = NAN;
        }
    }
    return count;
}

static bool is_charge(const LedgerEntry *entry) { return entry->way == KNOWN_charged; }

/* What is in all good sheets at the end. */
static void unfold_left(Unfold *unfold, WhyPart *part, unsigned level)
{
    Run *run = unfold->run;
    Type count = TYPE(TYPE_NUMBER, kind_named(run->world, KNOWN_count));
    WhyPart *sheets =
        unfold_part(unfold, part, "count.sheets at the end", run_number_text(run, run->left, count, 0, -1), run->left);
    unfold_sheets(unfold, sheets, unfold->trace->notes.count, level);
    for (uint32_t i = 0; i < run->subjects[SUBJECT_SHEET].count; i++) {
        Content content = run->subjects[SUBJECT_SHEET].contents[i];
        WhyPart *of = unfold_part(unfold, part,
                                  arena_print(&run->arena, "%s in the sheet", result_name(run, REF(REF_THING, content.material))),
                                  unfold_mass_text(unfold, content.mass), content.mass);
        unfold_content(unfold, of, SUBJECT_SHEET, content.material, unfold->trace->notes.count, level);
    }
}

static void unfold_group(Unfold *unfold, WhyPart *parent, const LedgerTerm *terms, uint32_t count, uint32_t first, unsigned level)
{
    Run *run = unfold->run;
    LedgerEntry one = run->ledger.at[terms[first].entry];
    const TraceEvent *event = event_of_entry(unfold, terms[first].entry);
    double sum = 0;
    const char *list = "";
    for (uint32_t i = count; i-- > 0;) {
        LedgerEntry entry = run->ledger.at[terms[i].entry];
        if (entry.way == one.way && event_of_entry(unfold, terms[i].entry) == event) {
            sum += terms[i].mass;
            list = arena_print(&run->arena, "%s%s%s %s", list, *list == 0 ? "" : ", ",
                               entry.material == 0 ? "water" : result_name(run, REF(REF_THING, entry.material)),
                               unfold_mass_text(unfold, terms[i].mass));
        }
    }
    const char *name = event == NULL ? "in the sheets that are left" : is_charge(&one) ? "charged"
        : arena_print(&run->arena, "%s by %s", world_word(unfold->world, one.way), unfold_step(unfold, event->call));
    WhyPart *part = unfold_part(unfold, parent, name, unfold_mass_text(unfold, sum), sum);
    part->says = arena_print(&run->arena, "that is %s", list);
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

void unfold_ledger(Unfold *unfold, WhyPart *part, uint32_t note, NodeId expression, unsigned level)
{
    enum { ENTRIES_MOST = 2000 };
    Run *run = unfold->run;
    LedgerTerm *terms = arena_take(&run->arena, ENTRIES_MOST * sizeof *terms);
    uint32_t count = ledger_terms(unfold, note, expression, terms, ENTRIES_MOST);
    for (uint32_t i = count; i-- > 0;) {
        bool first = true;
        for (uint32_t j = i + 1; j < count && first; j++) {
            first = run->ledger.at[terms[j].entry].way != run->ledger.at[terms[i].entry].way
                || event_of_entry(unfold, terms[j].entry) != event_of_entry(unfold, terms[i].entry);
        }
        if (first) {
            unfold_group(unfold, part, terms, count, i, level);
        }
    }
}
