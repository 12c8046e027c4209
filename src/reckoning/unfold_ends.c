/* Where unfolding ends: rows of tables, what the program seeks itself, and the
 * order. */
#include "reckoning/unfold.h"

#include "reckoning/solve.h"

#include <math.h>
#include <string.h>

/* ---- tables ---- */

static uint32_t row_of(const World *world, const Table *table, NodeId value)
{
    for (uint32_t row = table->first_row; row != 0; row = world->rows.at[row].next) {
        NodeId key = line_first(world, world->rows.at[row].line);
        if (key != 0 && world_node(world, key)->next == value) {
            return row;
        }
    }
    return 0;
}

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
    unfold_set_place(unfold, part, node, 0, 0);
    if (argument != 0) {
        const char *key = unfold_shown(unfold, argument);
        part->with_numbers = arena_print(&unfold->run->arena, "%s(%s)", world_text(world, table->name), key);
    }
    if (unfold_ends(unfold, level + 1)) {
        part->end = WHY_DEEPER;
        return;
    }
    if (argument != 0) {
        unfold_value(unfold, part, argument, level + 1);
    }
    bool any = false;
    for (uint32_t i = note; i > unfold_note(unfold, note)->first; i = unfold_note(unfold, i - 1)->first) {
        uint32_t row = row_of(world, table, unfold_note(unfold, i - 1)->node);
        if (row != 0) {
            unfold_row(unfold, part, table, row, i - 1);
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
    if (node != 0) {
        unfold_set_place(unfold, part, node, 0, 0);
    }
}

static void unfold_expression(Unfold *unfold, WhyPart *parent, NodeId node, const char *name, unsigned level)
{
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
    const Batch *batch = run->batch == 0 ? NULL : &run->world->batches.at[run->batch];
    double survival = run->formed > 0 ? run->left / run->formed : 0;
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
        unfold_part(unfold, part, "sure", arena_print(&run->arena, "%s %%", run_plain_number(run, 100 * run->sure, -1)), run->sure);
    end_ordered(unfold, sure, batch == NULL ? 0 : batch->sure, "taken where nobody tells it");
    WhyPart *left =
        unfold_part(unfold, part, "count.sheets at the end",
                    run_number_text(run, run->left, TYPE(TYPE_NUMBER, kind_named(run->world, KNOWN_count)), 0, -1), run->left);
    unfold_sheets(unfold, left, unfold->trace->notes.count, level + 1);
    if (run->world->parcels_at_most != 0) {
        unfold_expression(unfold, part, run->world->parcels_at_most, "parcels at most", level + 1);
    }
}

/* From the charge to the sheets of a parcel: what its fibre goes through. */
static void unfold_charge(Unfold *unfold, WhyPart *part, unsigned level)
{
    Run *run = unfold->run;
    const World *world = unfold->world;
    part->end = WHY_SOLVED;
    part->says = arena_print(
        &run->arena, "solved, so that the stuff of one parcel gives exactly %s",
        run_number_text(run, run->sheets_formed / run->parcels, TYPE(TYPE_NUMBER, kind_named(run->world, KNOWN_count)), 0, 0));
    for (uint32_t i = 0; i < unfold->trace->events.count && !unfold_ends(unfold, level + 1); i++) {
        const TraceEvent *event = &unfold->trace->events.at[i];
        const Effect *effect = &world->effects.at[event->effect];
        bool takes =
            !event->begins && (effect->sort == EFFECT_LOSES || effect->sort == EFFECT_HOLDS_BACK || effect->sort == EFFECT_MAKES);
        if (takes && event->changes_end > event->changes && unfold->trace->changes.at[event->changes].subject != SUBJECT_SHEET
            && effect->sort != EFFECT_MAKES) {
            uint32_t note = unfold_find(unfold, effect->one, event->first, event->end);
            unfold_named(unfold, part, note,
                         arena_print(&run->arena, "%s by %s", effect->sort == EFFECT_LOSES ? "lost" : "held back",
                                     unfold_step(unfold, event->call)),
                         effect->line, level + 1);
        }
        if (takes && effect->sort == EFFECT_MAKES) {
            uint32_t note = unfold_find(unfold, effect->one, event->first, event->end);
            if (note != 0) {
                unfold_leaves(unfold, part, note, level + 1);
            }
        }
    }
    if (!unfold_ends(unfold, level + 1)) {
        unfold_core(unfold, part, KNOWN_sheets_formed, "sheets-formed", run->sheets_formed, level + 1);
        unfold_core(unfold, part, KNOWN_parcels, "parcels", run->parcels, level + 1);
    }
}

void unfold_fill_core(Unfold *unfold, WhyPart *part, Name core, uint32_t note, unsigned level)
{
    Run *run = unfold->run;
    const Batch *batch = run->batch == 0 ? NULL : &run->world->batches.at[run->batch];
    if (core == KNOWN_sheets) {
        unfold_sheets(unfold, part, note, level);
        return;
    }
    Name key = core == KNOWN_formed ? KNOWN_sheets_formed : core;
    if (unfold_told(unfold, TOLD_CORE + key, 0, 0, part->value)) {
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
        if (run->world->parcels_at_most != 0 && !unfold_ends(unfold, level + 1)) {
            unfold_expression(unfold, part, run->world->parcels_at_most, "parcels at most", level + 1);
        }
        break;
    default:
        end_ordered(unfold, part, batch == NULL ? 0 : batch->sheets, "as there is no batch");
    }
}

void unfold_core(Unfold *unfold, WhyPart *parent, Name core, const char *name, double value, unsigned level)
{
    Run *run = unfold->run;
    bool fibre = core == KNOWN_fibre_charge;
    Type type = fibre && run->world->unknown != 0 ? run->world->figures.at[run->world->unknown].type
        : TYPE(TYPE_NUMBER, core == KNOWN_parcels ? KIND_ONE : kind_named(run->world, KNOWN_count));
    WhyPart *part = unfold_part(unfold, parent, name,
                                run_number_text(run, value, type, 0,
                                                fibre                  ? 3
                                                : core == KNOWN_sheets ? -1
                                                                       : 0),
                                value);
    unfold_fill_core(unfold, part, core, unfold->trace->notes.count, level);
}

/* The fibre in a sheet, where the step that forms it measures it in. */
static void unfold_measured(Unfold *unfold, WhyPart *part, unsigned level)
{
    for (uint32_t i = 0; i < unfold->trace->events.count; i++) {
        const TraceEvent *event = &unfold->trace->events.at[i];
        const Effect *effect = &unfold->world->effects.at[event->effect];
        if (event->begins || effect->sort != EFFECT_MAKES) {
            continue;
        }
        part->says = arena_print(&unfold->run->arena, "measured in by %s", unfold_step(unfold, event->call));
        if (!unfold_ends(unfold, level + 1)) {
            Made made = {.note = unfold_find(unfold, effect->one, event->first, event->end), .line = effect->line, .decimals = -1};
            unfold_formula(unfold, part, &made, level);
        }
    }
}

/* The fibre in a sheet: solved so that a figure meets its aim. */
void unfold_solved(Unfold *unfold, WhyPart *part, unsigned level)
{
    Run *run = unfold->run;
    World *world = unfold->world;
    if (unfold_told(unfold, TOLD_UNKNOWN + world->unknown, 0, 0, part->value)) {
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
    if (!unfold_ends(unfold, level + 1)) {
        unfold_expression(unfold, part, world->solve_aim, "the aim", level + 1);
    }
}
