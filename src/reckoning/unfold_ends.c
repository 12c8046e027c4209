/* Where unfolding ends: rows of tables, what the program seeks itself, and the
 * order. */
#include "reckoning/unfold.h"

#include "reckoning/solve.h"

#include <math.h>
#include <string.h>

/* ---- tables ---- */

static void unfold_row(Unfold *unfold, WhyPart *parent, const Table *table, uint32_t row, uint32_t note)
{
    const World *world = unfold->world;
    Run *run = unfold->run;
    NodeId line = world->rows.at[row].line, key = line_first(world, line), value = world_node(world, key)->next;
    WhyPart *part = unfold_part(unfold, parent, arena_print(&run->arena, "row %s of the table %s", unfold_formula_text(unfold, key),
                                                            world_text(world, table->name)),
                                run_shown(run, NULL, value, unfold_note(unfold, note)->value, table->result),
                                unfold_note(unfold, note)->value.number);
    Made made = {.note = note, .line = line, .marks = world->rows.at[row].marks};
    unfold_end_typed(unfold, part, value, &made);
    part->end = unfold_told_note(unfold, note) ? WHY_ABOVE : WHY_ROW;
}

void unfold_table(Unfold *unfold, WhyPart *part, uint32_t note, unsigned level)
{
    const World *world = unfold->world;
    NodeId node = unfold_note(unfold, note)->node;
    const Table *table = &world->tables.at[BOUND_INDEX(world->bindings.at[node])];
    uint32_t argument = unfold_child(unfold, note, world_node(world, node)->first);
    part->place = world_node(world, node)->start;
    part->with_numbers =
        arena_print(&unfold->run->arena, "%s(%s)", world_text(world, table->name), unfold_shown(unfold, argument));
    if (unfold_ends(unfold, level + 1)) {
        part->end = WHY_DEEPER;
        return;
    }
    unfold_value(unfold, part, argument, level + 1);
    bool any = false;
    for (uint32_t row = table->first_row; row != 0; row = world->rows.at[row].next) {
        NodeId key = line_first(world, world->rows.at[row].line);
        uint32_t found = unfold_child(unfold, note, world_node(world, key)->next);
        if (found != 0) {
            unfold_row(unfold, part, table, row, found);
            any = true;
        }
    }
    if (!any) {
        WhyPart *none = unfold_part(unfold, part, "a row for it", "not told", NAN);
        none->end = WHY_NOT_TOLD;
        none->says = "the table has none";
    }
}

/* ---- what the program seeks, and the order ---- */

static void end_ordered(Unfold *unfold, WhyPart *part, NodeId node, const char *otherwise)
{
    part->end = WHY_ORDERED;
    part->says = node != 0 ? "ordered" : otherwise;
    part->place = world_node(unfold->world, node)->start;
}

static void unfold_expression(Unfold *unfold, WhyPart *parent, NodeId node, const char *name, unsigned level)
{
    if (unfold_ends(unfold, level)) {
        return;
    }
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    Value value = run_value(unfold->run, &frame, node);
    uint32_t note = unfold->trace->notes.count - 1;
    if (!run_told(value) || unfold->trace->full) {
        return;
    }
    if (unfold_is_plain(unfold->world, node)) {
        WhyPart *part = unfold_part(unfold, parent, name, unfold_shown(unfold, note), value.number);
        Made made = {.note = note};
        unfold_end_typed(unfold, part, node, &made);
        return;
    }
    unfold_leaves(unfold, parent, note, level);
}

static void unfold_sheets_formed(Unfold *unfold, WhyPart *part, unsigned level)
{
    Run *run = unfold->run;
    const Batch *batch = &run->world->batches.at[run->batch]; /* where there is none the blank one, which tells nothing */
    double survival = run->left / run->formed;
    part->end = WHY_SOLVED;
    part->says = arena_print(&run->arena,
        "solved: of each formed sheet %.2f %% is left as good, so that of so many at least %.0f are good with an assurance of "
        "%.1f %%, where %.0f %% was asked for (binomial), in %s", 100 * survival, run->sheets_good,
        100 * solve_assurance(run->sheets_formed, run->sheets_good, survival), 100 * run->sure,
        run->parcels == 1 ? "one parcel" : arena_print(&run->arena, "%.0f equal parcels", run->parcels));
    if (unfold_ends(unfold, level + 1)) {
        return;
    }
    unfold_core(unfold, part, KNOWN_sheets_good, "sheets-good", run->sheets_good, level + 1);
    WhyPart *sure =
        unfold_part(unfold, part, "sure", arena_print(&run->arena, "%s %%", run_plain_number(run, 100 * run->sure, DECIMALS_NEEDED)), run->sure);
    end_ordered(unfold, sure, batch->sure, "taken where nobody tells it");
    WhyPart *left = unfold_part(unfold, part, "count.sheets at the end", unfold_count_text(unfold, run->left), run->left);
    unfold_sheets(unfold, left, unfold->trace->notes.count, level + 1);
    unfold_expression(unfold, part, run->world->parcels_at_most, "parcels at most", level + 1);
}

/* From the charge to the sheets of a parcel: what its fibre goes through. */
static void unfold_charge(Unfold *unfold, WhyPart *part, unsigned level)
{
    Run *run = unfold->run;
    part->end = WHY_SOLVED;
    part->says = arena_print(
        &run->arena, "solved, so that the stuff of one parcel gives exactly %s",
        run_number_text(run, run->sheets_formed / run->parcels, TYPE(TYPE_NUMBER, kind_named(run->world, KNOWN_count)), 0, 0));
    if (unfold_ends(unfold, level + 1)) {
        return;
    }
    LIST_EACH(const TraceEvent, event, &unfold->trace->events) {
        const Effect *effect = unfold_effect(unfold, event);
        bool takes = (effect->sort == EFFECT_LOSES || effect->sort == EFFECT_HOLDS_BACK) && event->changes_end > event->changes
            && unfold->trace->changes.at[event->changes].subject != SUBJECT_SHEET;
        if (takes) {
            unfold_named(unfold, part, unfold_amount(unfold, event),
                         arena_print(&run->arena, "%s by %s", effect->sort == EFFECT_LOSES ? "lost" : "held back",
                                     unfold_step(unfold, event->call)),
                         effect->line, level + 1);
        }
        if (effect->sort == EFFECT_MAKES) {
            unfold_leaves(unfold, part, unfold_amount(unfold, event), level + 1);
        }
    }
    unfold_core(unfold, part, KNOWN_sheets_formed, "sheets-formed", run->sheets_formed, level + 1);
    unfold_core(unfold, part, KNOWN_parcels, "parcels", run->parcels, level + 1);
}

void unfold_fill_core(Unfold *unfold, WhyPart *part, Name core, uint32_t note, unsigned level)
{
    Run *run = unfold->run;
    const Batch *batch = &run->world->batches.at[run->batch];
    if (core == KNOWN_sheets) {
        unfold_sheets(unfold, part, note, level);
        return;
    }
    Name key = core == KNOWN_formed ? KNOWN_sheets_formed : core;
    if (unfold_told_of(unfold, TOLD_CORE, key)) {
        part->end = WHY_ABOVE;
        return;
    }
    switch (core) {
    case KNOWN_sheets_formed: case KNOWN_formed:
        unfold_sheets_formed(unfold, part, level);
        break;
    case KNOWN_fibre_charge:
        unfold_charge(unfold, part, level);
        break;
    case KNOWN_parcels:
        part->end = WHY_SOLVED;
        part->says = "solved with the sheets to form: as many as are needed";
        unfold_expression(unfold, part, run->world->parcels_at_most, "parcels at most", level + 1);
        break;
    case KNOWN_start:
        end_ordered(unfold, part, batch->start, "as nobody orders it");
        break;
    default:
        end_ordered(unfold, part, batch->sheets, "as there is no batch");
    }
}

void unfold_core(Unfold *unfold, WhyPart *parent, Name core, const char *name, double value, unsigned level)
{
    Run *run = unfold->run;
    bool fibre = core == KNOWN_fibre_charge;
    Type type = fibre ? run->world->figures.at[run->world->unknown].type
        : TYPE(TYPE_NUMBER, core == KNOWN_parcels ? KIND_ONE : kind_named(run->world, KNOWN_count));
    WhyPart *part = unfold_part(unfold, parent, name, run_number_text(run, value, type, 0, fibre ? 3 : 0), value);
    unfold_fill_core(unfold, part, core, unfold->trace->notes.count, level);
}

/* The fibre in a sheet, where the step that forms it measures it in. */
static void unfold_measured(Unfold *unfold, WhyPart *part, unsigned level)
{
    LIST_EACH(const TraceEvent, event, &unfold->trace->events) {
        const Effect *effect = unfold_effect(unfold, event);
        if (effect->sort != EFFECT_MAKES) {
            continue;
        }
        part->says = arena_print(&unfold->run->arena, "measured in by %s", unfold_step(unfold, event->call));
        if (!unfold_ends(unfold, level + 1)) {
            Made made = {.note = unfold_amount(unfold, event), .line = effect->line};
            unfold_formula(unfold, part, &made, level);
        }
    }
}

/* The fibre in a sheet: solved so that a figure meets its aim. */
void unfold_solved(Unfold *unfold, WhyPart *part, unsigned level)
{
    Run *run = unfold->run;
    World *world = unfold->world;
    if (unfold_told_of(unfold, TOLD_UNKNOWN, world->unknown)) {
        part->end = WHY_ABOVE;
        return;
    }
    if (run->measured_at != 0) {
        unfold_measured(unfold, part, level);
        return;
    }
    const Figure *figure = &world->figures.at[world->solved_figure];
    const char *name = world_word(world, figure->name);
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    Value found = run_figure(run, world->solved_figure), aim = run_value(run, &frame, world->solve_aim);
    part->end = WHY_SOLVED;
    part->place = world_node(world, world->solve_line)->start;
    part->says = arena_print(&run->arena, "solved, so that %s, which comes to %s, meets its aim, %s", name,
                             run_number_text(run, found.number, figure->type, figure->shown, figure->decimals),
                             run_number_text(run, aim.number, figure->type, figure->shown, figure->decimals));
    unfold_expression(unfold, part, world->solve_aim, "the aim", level + 1);
}
