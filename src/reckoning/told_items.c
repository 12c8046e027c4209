/* What documents are made of beside the numbers of the run: the lists of an outcome as
 * sets whose items have parts, and what the work at hand is called. Only while a
 * document is made is any of it told.
 */
#include "reckoning/run.h"

#include "reckoning/outcome.h"

#include <math.h>
#include <string.h>

/* A Ref of such an item: its set, and its place there. */
enum { TOLD_PLACE_BITS = 20 };

static const KnownName sets[] = {KNOWN_weighing, KNOWN_instructions, KNOWN_facts, KNOWN_proofs, KNOWN_figures, KNOWN_standing_cautions,
                                 KNOWN_acceptances, KNOWN_notes, KNOWN_replacements, KNOWN_defaults, KNOWN_unsourced};

uint32_t run_told_first(Name set)
{
    uint32_t number = 0;
    while (sets[number] != (KnownName)set) {
        number++;
    }
    return REF(REF_TOLD, number << TOLD_PLACE_BITS);
}

uint32_t run_told_index(uint32_t ref) { return ref & ((1u << TOLD_PLACE_BITS) - 1); }

Value run_text_value(Run *run, const char *text)
{
    if (text == NULL || *text == 0) {
        return run_absent(0);
    }
    list_push(run->memory, &run->texts, text);
    return (Value){0, run->texts.count - 1, 0};
}

uint32_t run_told_count(const Run *run, Name set)
{
    if (run->telling == NULL) {
        return 0;
    }
    const Outcome *outcome = run->telling->outcome;
    switch (set) {
    case KNOWN_weighing: return outcome->weigh_count;
    case KNOWN_instructions: return outcome->step_count;
    case KNOWN_facts: return outcome->fact_count;
    case KNOWN_proofs: return outcome->claim_count;
    case KNOWN_figures: return outcome->figure_count;
    case KNOWN_standing_cautions: return outcome->general_count;
    case KNOWN_acceptances: return outcome->accepted_count;
    case KNOWN_notes: return outcome->note_count;
    case KNOWN_replacements: return outcome->replaced_count;
    case KNOWN_defaults: return outcome->default_count;
    default: return outcome->practice_count;
    }
}

/* ---- parts ---- */

/* "3 × 514 g", or "1 × 515 g, 2 × 514 g": they add up to what is weighed for the parcel. */
static const char *loads_text(Run *run, const WeighLine *line)
{
    if (line->loads <= 1) {
        return NULL;
    }
    const char *even = arena_print(&run->arena, "%.0f × %s", line->loads - line->heavier_loads, line->weigh_out_of_load.shown);
    return line->heavier_loads <= 0 ? even : arena_print(&run->arena, "%.0f × %s, %s", line->heavier_loads, line->weigh_out_of_heavier.shown, even);
}

static const char *shown(const Quantity *quantity) { return quantity->told ? quantity->shown : NULL; }

static Value word(bool is, KnownName yes, KnownName no) { return (Value){0, is ? yes : no, 0}; }

static Value weighing_part(Run *run, const WeighLine *line, Name part)
{
    switch (part) {
    case KNOWN_material: return run_text_value(run, line->material);
    case KNOWN_class: return run_text_value(run, line->class);
    case KNOWN_share: return run_text_value(run, shown(&line->share));
    case KNOWN_oven_dry: return run_text_value(run, shown(&line->dry_of_parcel));
    case KNOWN_stored: return run_text_value(run, shown(&line->moisture));
    case KNOWN_weigh_out: return run_text_value(run, shown(&line->weigh_out_of_parcel));
    case KNOWN_by_load: return run_text_value(run, loads_text(run, line));
    case KNOWN_loads: return line->loads > 0 ? run_number(line->loads, 0) : run_absent(0);
    case KNOWN_how_often: return word(line->by_parcel, KNOWN_by_parcel, KNOWN_once);
    case KNOWN_number: return line->share.told && line->is_fibre ? run_number(line->share.value, line->share.marks) : run_absent(0);
    default: return run_absent(0);
    }
}

const char *run_hours_text(Run *run, double hours)
{
    if (hours >= 48) {
        return arena_print(&run->arena, "%.3g days", hours / 24);
    }
    double minutes = ceil(hours * 60 - 0.001), whole = floor(minutes / 60);
    minutes -= 60 * whole;
    return whole == 0 ? arena_print(&run->arena, "%.0f min", minutes)
        : minutes == 0 ? arena_print(&run->arena, "%.0f h", whole) : arena_print(&run->arena, "%.0f h %.0f min", whole, minutes);
}

/* Hours as a value of the kind of time. */
static Value hours_value(const Run *run, double hours)
{
    UnitId day = unit_of_day(run->world, 0);
    return run_number(day == 0 ? hours * 3600 : unit_to_base(&run->world->units.at[day], hours / 24), 0);
}

static Value instruction_part(Run *run, const StepOutcome *step, Name part)
{
    switch (part) {
    case KNOWN_number: return run_number(step->number, 0);
    case KNOWN_name: return run_text_value(run, step->step);
    case KNOWN_role: return run_text_value(run, step->role);
    case KNOWN_how_often: return word(step->of_parcel, KNOWN_by_parcel, KNOWN_once);
    case KNOWN_time: return step->ends > step->begins ? run_text_value(run, run_hours_text(run, step->ends - step->begins)) : run_absent(0);
    case KNOWN_begins: return hours_value(run, step->begins);
    case KNOWN_ends: return hours_value(run, step->ends);
    default: return run_absent(0);
    }
}

static Value caution_part(Run *run, const Caution *caution, Name part)
{
    switch (part) {
    case KNOWN_signal: return run_text_value(run, caution->signal == NULL ? "caution" : caution->signal);
    case KNOWN_says: return run_text_value(run, caution->says);
    case KNOWN_wear: return run_text_value(run, caution->wear);
    default: return run_absent(0);
    }
}

/* A number whose last decimals are not known is told with four digits at most. */
static const char *rounded(Run *run, const Quantity *quantity)
{
    if (!quantity->has_band) { /* what is not told has none */
        return shown(quantity);
    }
    int decimals = run_decimals(quantity->in_unit, 4);
    const char *point = strchr(quantity->shown, '.');
    int told = point == NULL ? 0 : (int)strspn(point + 1, "0123456789");
    return run_number_text(run, quantity->value, quantity->type, quantity->unit, decimals < told ? decimals : told);
}

static const char *band_text(Run *run, const Quantity *quantity)
{
    if (!quantity->has_band) {
        return NULL;
    }
    if (run_is_day(run->world, quantity->type)) {
        return quantity->band_shown;
    }
    double larger = fmax(fabs(quantity->low_in_unit), fabs(quantity->high_in_unit));
    int decimals = run_decimals(larger, 4);
    const char *point = strchr(quantity->shown, '.');
    int told = point == NULL ? 0 : (int)strspn(point + 1, "0123456789");
    decimals = decimals < told ? decimals : told;
    return arena_print(&run->arena, "%s to %s", run_plain_number(run, quantity->low_in_unit, decimals),
                       run_plain_number(run, quantity->high_in_unit, decimals));
}

/* A paper without carbonate has six figures of it. */
static bool is_nothing(const Quantity *quantity)
{
    return TYPE_SORT(quantity->type) == TYPE_NUMBER && quantity->value == 0 && !quantity->has_band;
}

static Value figure_part(Run *run, const NamedQuantity *figure, Name part)
{
    bool told = figure->of == NULL && figure->quantity.told && !is_nothing(&figure->quantity);
    if (!told) {
        return run_absent(0);
    }
    switch (part) {
    case KNOWN_name: return run_text_value(run, figure->name);
    case KNOWN_worked_out: return run_text_value(run, rounded(run, &figure->quantity));
    case KNOWN_low_to_high: return run_text_value(run, band_text(run, &figure->quantity));
    default: return run_absent(0);
    }
}

static Value line_part(Run *run, const char *text, Name part) { return part == KNOWN_text ? run_text_value(run, text) : run_absent(0); }

Value run_told_part(Run *run, uint32_t ref, const Field *field)
{
    const Outcome *outcome = run->telling->outcome; /* without one there are no such items */
    uint32_t index = run_told_index(ref);
    switch (sets[REF_INDEX(ref) >> TOLD_PLACE_BITS]) {
    case KNOWN_weighing: return weighing_part(run, &outcome->weigh[index], field->name);
    case KNOWN_instructions: return instruction_part(run, &outcome->steps[index], field->name);
    case KNOWN_facts:
        return field->name == KNOWN_name ? run_text_value(run, outcome->facts[index].name) : line_part(run, outcome->facts[index].text, field->name);
    case KNOWN_proofs:
        return field->name == KNOWN_name ? run_text_value(run, outcome->claims[index].name)
            : field->name == KNOWN_wording ? run_text_value(run, outcome->claims[index].wording)
            : field->name == KNOWN_because ? run_text_value(run, outcome->claims[index].because) : run_absent(0);
    case KNOWN_figures: return figure_part(run, &outcome->figures[index], field->name);
    case KNOWN_standing_cautions: return caution_part(run, &outcome->general[index], field->name);
    case KNOWN_acceptances: return line_part(run, outcome->accepted[index], field->name);
    case KNOWN_notes: return line_part(run, outcome->notes[index], field->name);
    case KNOWN_replacements: return line_part(run, outcome->replaced[index], field->name);
    case KNOWN_defaults: return line_part(run, outcome->defaults[index], field->name);
    default: return line_part(run, outcome->by_practice[index], field->name);
    }
}

/* ---- the work at hand ---- */

static Value counted(Run *run, NodeId node)
{
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    return run_value(run, &frame, node);
}

static const char *day_text(Run *run, NodeId node)
{
    Span span = world_span(run->world, node); /* of no node nothing */
    return arena_print(&run->arena, "%.*s", (int)(span.end - span.start), sources_bytes(&run->world->sources, span.start));
}

Value run_told_text(Run *run, Name name)
{
    const Telling *telling = run->telling;
    const Batch *batch = run->batch == 0 ? NULL : &run->world->batches.at[run->batch];
    if (name == KNOWN_good_counted || name == KNOWN_retree_counted) {
        return batch == NULL ? run_absent(0) : counted(run, name == KNOWN_good_counted ? batch->good : batch->retree);
    }
    if (telling == NULL) {
        return run_absent(0);
    }
    const Outcome *outcome = telling->outcome;
    switch (name) { /* never: these are all that are known (as_core in meaning/settle_names.c) */
    case KNOWN_written_for: return run_text_value(run, outcome->batch != NULL ? outcome->batch : outcome->title);
    case KNOWN_batch_name: return run_text_value(run, outcome->batch);
    case KNOWN_mill_name: return run_text_value(run, outcome->mill);
    case KNOWN_paper_name: return run_text_value(run, outcome->paper);
    case KNOWN_starts_on: return run_text_value(run, outcome->start);
    case KNOWN_packed_on: return run_text_value(run, batch == NULL ? NULL : day_text(run, batch->packed));
    case KNOWN_page_name: return run_text_value(run, telling->page);
    case KNOWN_script_name: return run_text_value(run, telling->script);
    case KNOWN_stdlib_mark: return run_text_value(run, telling->stdlib);
    case KNOWN_assurance:
        return run_text_value(run, arena_print(&run->arena, "%.4g %%%s", 100 * outcome->sure,
                                               outcome->sure_is_practice ? " (common practice: nobody told it)" : ""));
    default: return run_absent(0);
    }
}

/* ---- figures, beside their value ---- */

static const NamedQuantity *figure_named(const Outcome *outcome, const char *name)
{
    for (uint32_t i = 0; i < outcome->figure_count; i++) {
        if (outcome->figures[i].of == NULL && strcmp(outcome->figures[i].name, name) == 0) {
            return &outcome->figures[i];
        }
    }
    return NULL;
}

static const Measured *measured_named(const Outcome *outcome, const char *name)
{
    for (uint32_t i = 0; i < outcome->measured_count; i++) {
        if (strcmp(outcome->measured[i].name, name) == 0) {
            return &outcome->measured[i];
        }
    }
    return NULL;
}

Value run_told_of_figure(Run *run, Name function, uint32_t figure)
{
    if (run->telling == NULL) {
        return run_absent(0);
    }
    const char *name = world_text(run->world, run->world->figures.at[figure].name);
    const NamedQuantity *told = figure_named(run->telling->outcome, name);
    const Measured *measured = measured_named(run->telling->outcome, name);
    switch (function) { /* never: these are all the functions */
    case KNOWN_worked_out: return run_text_value(run, told == NULL ? NULL : rounded(run, &told->quantity));
    case KNOWN_low_to_high: return run_text_value(run, told == NULL ? NULL : band_text(run, &told->quantity));
    case KNOWN_how_known: return run_text_value(run, measured != NULL ? "measured" : "designed");
    case KNOWN_readings_of: return run_text_value(run, measured == NULL ? NULL : measured->shown);
    case KNOWN_method: return run_text_value(run, measured == NULL ? NULL : measured->method);
    default: return run_absent(0);
    }
}
