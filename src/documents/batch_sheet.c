/* Making the batch sheet. The words of the sheet that are no data stand here;
 * what is told of materials and steps comes with the outcome. */
#include "documents/batch_sheet.h"

#include <math.h>
#include <string.h>

enum {
    PARCEL_PAGES = 12, /* beyond, one page stands for all: they are equal */
    LOAD_FIELDS = 12,  /* the same for the loads of a beating */
    LOG_LINES = 6, MOST_LOG_LINES = 20
};

typedef struct Sheet {
    Document *document;
    Arena *arena;
    const BatchSheet *told;
    const Outcome *outcome;
} Sheet;

static const char *name_of(const Sheet *sheet)
{
    return sheet->outcome->batch != NULL ? sheet->outcome->batch : sheet->outcome->title;
}

static void add_caution(Sheet *sheet, const Caution *caution)
{
    DocumentNode *node = document_add(sheet->document, DOCUMENT_CAUTION, caution->signal == NULL ? "caution" : caution->signal, caution->says);
    document_hint(sheet->document, node, caution->wear);
}

/* ---- the head ---- */

static void add_order(Sheet *sheet)
{
    const Outcome *outcome = sheet->outcome;
    Document *document = sheet->document;
    document_pair(document, "good sheets wanted",
                  arena_print(sheet->arena, "%.0f, with an assurance of %.4g %%%s", outcome->sheets_good, 100 * outcome->sure,
                              outcome->sure_is_practice ? " (common practice: nobody told it)" : ""));
    document_pair(document, "sheets to form, in all", arena_print(sheet->arena, "%.0f", outcome->sheets_formed));
    if (outcome->parcels > 1) {
        document_pair(document, "parcels", arena_print(sheet->arena, "%.0f, each of %.0f sheet%s", outcome->parcels, outcome->sheets_of_parcel,
                                                        outcome->sheets_of_parcel == 1 ? "" : "s"));
    }
}

static void add_head(Sheet *sheet, const char *part)
{
    const Outcome *outcome = sheet->outcome;
    Document *document = sheet->document;
    document_heading(document, 1, arena_print(sheet->arena, "Batch sheet %s: %s", name_of(sheet), part));
    if (outcome->batch != NULL) {
        document_add(document, DOCUMENT_CODE, "batch", outcome->batch)->marks = DOCUMENT_ASIDE;
    }
    document_enter(document, DOCUMENT_PAIRS, NULL, NULL);
    document_pair(document, "paper", outcome->title);
    document_pair(document, "mill", outcome->mill == NULL ? "none told: worked out without equipment" : outcome->mill);
    document_pair(document, "start", outcome->start == NULL ? "not told" : outcome->start);
    add_order(sheet);
    for (uint32_t i = 0; i < outcome->fact_count; i++) {
        document_pair(document, outcome->facts[i].name, outcome->facts[i].text);
    }
    document_pair(document, "worked out from", arena_print(sheet->arena, "%s, edition 1, stdlib %s", sheet->told->script, sheet->told->stdlib));
    document_leave(document);
}

static void add_deference(Sheet *sheet)
{
    Document *document = sheet->document;
    for (uint32_t i = 0; i < sheet->outcome->general_count; i++) {
        add_caution(sheet, &sheet->outcome->general[i]);
    }
    document_add(document, DOCUMENT_NOTE, NULL,
                 "The supplier's safety data sheet, local codes and licensed practice come first, before anything on this sheet. "
                 "That no rule speaks against a step is no clearance of it.");
}

/* ---- what to weigh ---- */

/* What is written beside a material: what was found, and what was weighed then, load by load. */
static void add_weighed(Sheet *sheet, const WeighLine *line)
{
    Document *document = sheet->document;
    document_enter(document, DOCUMENT_FIELDS, NULL, NULL)->marks = DOCUMENT_IN_LINE;
    document_field(document, 0, "moisture found", NULL);
    bool by_load = line->loads > 1 && line->loads <= LOAD_FIELDS;
    for (double load = 1; by_load && load <= line->loads; load++) {
        document_field(document, 0, arena_print(sheet->arena, "load %.0f weighed", load), NULL);
    }
    if (!by_load) {
        document_field(document, 0, "weighed", NULL);
    }
    document_field(document, 0, "lot", NULL);
    document_field(document, 0, "expiry", NULL);
    document_field(document, 0, "by", NULL);
    document_leave(document);
}

/* "3 × 514 g", or "1 × 515 g, 2 × 514 g": they add up to what is weighed for the parcel. */
static const char *loads_text(Sheet *sheet, const WeighLine *line)
{
    if (line->loads <= 0) {
        return "";
    }
    const char *even = arena_print(sheet->arena, "%.0f × %s", line->loads - line->heavier_loads, line->weigh_out_of_load.shown);
    return line->heavier_loads <= 0 ? even
        : arena_print(sheet->arena, "%.0f × %s, %s", line->heavier_loads, line->weigh_out_of_heavier.shown, even);
}

static void weigh_row(Sheet *sheet, const WeighLine *line, bool loads)
{
    Document *document = sheet->document;
    document_enter(document, DOCUMENT_ROW, NULL, NULL);
    document_cell(document, DOCUMENT_TICK_BOX, "");
    document_cell(document, DOCUMENT_ROW_HEAD, line->material);
    document_cell(document, DOCUMENT_NUMBER, line->share.told ? line->share.shown : "");
    document_cell(document, DOCUMENT_NUMBER, line->dry_of_parcel.shown);
    document_cell(document, DOCUMENT_NUMBER, line->moisture.told ? line->moisture.shown : "");
    document_cell(document, DOCUMENT_NUMBER | DOCUMENT_STRONG, line->weigh_out_of_parcel.shown);
    if (loads) {
        document_cell(document, DOCUMENT_NUMBER | DOCUMENT_STRONG, loads_text(sheet, line));
    }
    add_weighed(sheet, line);
    document_leave(document);
}

static void add_weighing(Sheet *sheet, bool of_parcel)
{
    const Outcome *outcome = sheet->outcome;
    Document *document = sheet->document;
    uint32_t count = 0;
    bool loads = false;
    for (uint32_t i = 0; i < outcome->weigh_count; i++) {
        if (outcome->weigh[i].by_parcel == of_parcel) {
            count++;
            loads = loads || outcome->weigh[i].loads > 0;
        }
    }
    if (count == 0) {
        return;
    }
    document_heading(document, 2, of_parcel ? "What to weigh for this parcel" : "What to weigh");
    document_enter(document, DOCUMENT_TABLE, NULL, "Materials to weigh");
    document_enter(document, DOCUMENT_HEAD, NULL, NULL);
    document_cell(document, 0, "done");
    document_cell(document, 0, "material");
    document_cell(document, DOCUMENT_NUMBER, "share");
    document_cell(document, DOCUMENT_NUMBER, "oven-dry");
    document_cell(document, DOCUMENT_NUMBER, "stored at");
    document_cell(document, DOCUMENT_NUMBER, "weigh out");
    if (loads) {
        document_cell(document, DOCUMENT_NUMBER, "by beater load");
    }
    document_leave(document);
    for (uint32_t i = 0; i < outcome->weigh_count; i++) {
        if (outcome->weigh[i].by_parcel == of_parcel) {
            weigh_row(sheet, &outcome->weigh[i], loads);
        }
    }
    document_leave(document);
    document_add(document, DOCUMENT_NOTE, NULL,
                 "Where the moisture found is another than the one it is stored at: weigh out the oven-dry mass ÷ (1 − moisture found).");
}

/* ---- the steps ---- */

static void add_readings(Sheet *sheet, const StepOutcome *step)
{
    Document *document = sheet->document;
    bool any = false;
    for (uint32_t i = 0; i < step->read_count; i++) {
        any = any || !step->reads[i].is_signed;
    }
    if (any) {
        document_enter(document, DOCUMENT_FIELDS, NULL, NULL);
        for (uint32_t i = 0; i < step->read_count; i++) {
            if (!step->reads[i].is_signed) {
                document_field(document, 0, step->reads[i].what, step->reads[i].expected);
            }
        }
        document_leave(document);
    }
    for (uint32_t i = 0; i < step->read_count; i++) {
        if (step->reads[i].is_signed) {
            document_enter(document, DOCUMENT_HOLD, "HOLD", "Work stops here until this is read, is right, and is signed.");
            document_field(document, 0, step->reads[i].what, step->reads[i].expected);
            document_field(document, DOCUMENT_LONG, "signed, day and hour", NULL);
            document_leave(document);
        }
    }
}

static void add_step(Sheet *sheet, const StepOutcome *step)
{
    Document *document = sheet->document;
    document_enter(document, DOCUMENT_KEEP, NULL, NULL);
    for (uint32_t i = 0; i < step->caution_count; i++) {
        add_caution(sheet, &step->cautions[i]);
    }
    DocumentNode *tick = document_add(document, DOCUMENT_TICK, arena_print(sheet->arena, "%u", step->number), step->step);
    tick->level = 3;
    document_hint(document, tick, step->tell_count > 0 ? step->tells[0] : NULL);
    for (uint32_t i = 1; i < step->tell_count; i++) {
        document_add(document, DOCUMENT_PARAGRAPH, NULL, step->tells[i]);
    }
    if (step->ends > step->begins) {
        document_add(document, DOCUMENT_NOTE, NULL, arena_print(sheet->arena, "Takes about %s.", document_hours(sheet->arena, step->ends - step->begins)));
    }
    add_readings(sheet, step);
    document_enter(document, DOCUMENT_FIELDS, NULL, NULL)->marks = DOCUMENT_IN_LINE;
    document_field(document, 0, "begun, day and hour", NULL);
    document_field(document, 0, "ended", NULL);
    document_field(document, 0, "by", NULL);
    document_leave(document);
    document_leave(document);
}

static void add_steps(Sheet *sheet, bool of_parcel)
{
    bool any = false;
    for (uint32_t i = 0; i < sheet->outcome->step_count; i++) {
        if (sheet->outcome->steps[i].of_parcel == of_parcel) {
            if (!any) {
                document_heading(sheet->document, 2, of_parcel ? "To forming" : "From the press to the pack");
            }
            any = true;
            add_step(sheet, &sheet->outcome->steps[i]);
        }
    }
}

/* ---- grids to write into ---- */

static void add_grid(Sheet *sheet, const char *caption, const char *const *heads, uint32_t columns, uint32_t rows)
{
    Document *document = sheet->document;
    document_enter(document, DOCUMENT_TABLE, NULL, caption);
    document_enter(document, DOCUMENT_HEAD, NULL, NULL);
    for (uint32_t i = 0; i < columns; i++) {
        document_cell(document, 0, heads[i]);
    }
    document_leave(document);
    for (uint32_t row = 0; row < rows; row++) {
        document_enter(document, DOCUMENT_ROW, NULL, NULL);
        for (uint32_t i = 0; i < columns; i++) {
            document_cell(document, DOCUMENT_BLANK, "");
        }
        document_leave(document);
    }
    document_leave(document);
}

/* A line for the start and for each hour of the forming, which is a parcel's last step. */
static uint32_t log_lines(const Outcome *outcome)
{
    double hours = 0;
    for (uint32_t i = 0; i < outcome->step_count; i++) {
        if (outcome->steps[i].of_parcel) {
            hours = outcome->steps[i].ends - outcome->steps[i].begins;
        }
    }
    double lines = ceil(hours) + 2;
    return lines > MOST_LOG_LINES ? MOST_LOG_LINES : lines > LOG_LINES ? (uint32_t)lines : LOG_LINES;
}

static void add_vat_log(Sheet *sheet)
{
    static const char *const heads[] = {"time", "sheet no.", "litres added", "temperature", "trial weight", "by"};
    document_heading(sheet->document, 2, "Log of the vat");
    document_add(sheet->document, DOCUMENT_PARAGRAPH, NULL,
                 "A trial sheet before the run and every hour. 2 % light or heavy: change the next top-up by as much. "
                 "5 % light or heavy: stop, stir, and make another trial sheet before going on.");
    add_grid(sheet, "What was added and found", heads, 6, log_lines(sheet->outcome));
}

static void add_counts(Sheet *sheet)
{
    static const char *const counts[] = {"formed", "broke, back to the beater", "to the tub, if sized", "good", "retree", "broken"};
    Document *document = sheet->document;
    document_enter(document, DOCUMENT_TABLE, NULL, "Sheets counted");
    document_enter(document, DOCUMENT_HEAD, NULL, NULL);
    document_cell(document, 0, "sheets");
    document_cell(document, DOCUMENT_NUMBER, "worked out");
    document_cell(document, 0, "counted");
    document_cell(document, 0, "by");
    document_leave(document);
    for (size_t i = 0; i < sizeof counts / sizeof counts[0]; i++) {
        document_enter(document, DOCUMENT_ROW, NULL, NULL);
        document_cell(document, DOCUMENT_ROW_HEAD, counts[i]);
        document_cell(document, DOCUMENT_NUMBER, i == 0 ? arena_print(sheet->arena, "%.0f", sheet->outcome->sheets_formed)
                          : i == 3 ? arena_print(sheet->arena, "%.0f wanted", sheet->outcome->sheets_good) : "");
        document_cell(document, DOCUMENT_BLANK, "");
        document_cell(document, DOCUMENT_BLANK, "");
        document_leave(document);
    }
    document_leave(document);
}

static void add_reconciliation(Sheet *sheet)
{
    static const char *const heads[] = {"step", "done otherwise than it stands here", "why", "allowed by"};
    Document *document = sheet->document;
    document_enter(document, DOCUMENT_KEEP, NULL, NULL);
    document_heading(document, 2, "What came of it");
    add_counts(sheet);
    add_grid(sheet, "What was done otherwise, and who allowed it", heads, 4, 3);
    document_enter(document, DOCUMENT_FIELDS, NULL, NULL);
    document_field(document, DOCUMENT_LONG, "signed, day", NULL);
    document_leave(document);
    document_leave(document);
}

/* ---- how the numbers came about ---- */

static void add_list(Sheet *sheet, const char *heading, const char *const *lines, uint32_t count)
{
    if (count == 0) {
        return;
    }
    document_heading(sheet->document, 2, heading);
    document_enter(sheet->document, DOCUMENT_LIST, NULL, NULL);
    for (uint32_t i = 0; i < count; i++) {
        document_add(sheet->document, DOCUMENT_ITEM, NULL, lines[i]);
    }
    document_leave(sheet->document);
}

/* A paper without carbonate has six figures of it. */
static bool is_nothing(const Quantity *quantity)
{
    return quantity->told && TYPE_SORT(quantity->type) == TYPE_NUMBER && quantity->value == 0 && !quantity->has_band;
}

static void add_figures(Sheet *sheet)
{
    Document *document = sheet->document;
    document_heading(document, 2, "Figures");
    bool nothing = false;
    for (uint32_t i = 0; i < sheet->outcome->figure_count; i++) {
        nothing = nothing || (sheet->outcome->figures[i].of == NULL && is_nothing(&sheet->outcome->figures[i].quantity));
    }
    if (nothing) {
        document_add(document, DOCUMENT_NOTE, NULL, "Figures that come to nothing are left out.");
    }
    document_enter(document, DOCUMENT_TABLE, NULL, "Figures of the paper and the batch");
    document_enter(document, DOCUMENT_HEAD, NULL, NULL);
    document_cell(document, 0, "figure");
    document_cell(document, DOCUMENT_NUMBER, "worked out");
    document_cell(document, DOCUMENT_NUMBER, "may lie between");
    document_leave(document);
    for (uint32_t i = 0; i < sheet->outcome->figure_count; i++) {
        const NamedQuantity *figure = &sheet->outcome->figures[i];
        if (figure->of != NULL || !figure->quantity.told || is_nothing(&figure->quantity)) {
            continue;
        }
        document_enter(document, DOCUMENT_ROW, NULL, NULL);
        document_cell(document, DOCUMENT_ROW_HEAD, figure->name);
        document_cell(document, DOCUMENT_NUMBER, figure->quantity.shown);
        document_cell(document, DOCUMENT_NUMBER, figure->quantity.has_band ? figure->quantity.band_shown : "");
        document_leave(document);
    }
    document_leave(document);
}

/* Each claim with the words that a label may print for it. */
static const char *const *claim_lines(const Sheet *sheet)
{
    const Outcome *outcome = sheet->outcome;
    const char **lines = arena_take(sheet->arena, (outcome->claim_count + 1u) * sizeof(const char *));
    for (uint32_t i = 0; i < outcome->claim_count; i++) {
        const ClaimOutcome *claim = &outcome->claims[i];
        bool proven = claim->wording != NULL;
        lines[i] = arena_print(sheet->arena, "%s: %s%s", claim->name, proven ? "" : "refused: ", proven ? claim->wording : claim->missing);
    }
    return lines;
}

/* What every page of a part says. */
static void enter_part(Sheet *sheet, const char *part)
{
    DocumentNode *node = document_enter(sheet->document, DOCUMENT_PART, NULL, arena_print(sheet->arena, "%s, %s", name_of(sheet), part));
    node->hint = arena_print(sheet->arena, "%s, edition 1, stdlib %s", sheet->told->script, sheet->told->stdlib);
}

static void add_grounds(Sheet *sheet)
{
    const Outcome *outcome = sheet->outcome;
    Document *document = sheet->document;
    enter_part(sheet, "what it rests on");
    add_head(sheet, "what it rests on");
    add_figures(sheet);
    add_list(sheet, "Claims", claim_lines(sheet), outcome->claim_count);
    add_list(sheet, "Accepted exceptions", outcome->accepted, outcome->accepted_count);
    add_list(sheet, "Changed from stdlib by the script", outcome->replaced, outcome->replaced_count);
    add_list(sheet, "Taken from stdlib, as nothing else was told", outcome->defaults, outcome->default_count);
    add_list(sheet, "Common practice or from memory, not from a source", outcome->by_practice, outcome->practice_count);
    document_leave(document);
}

/* ---- the parts ---- */

static void add_notes(Sheet *sheet)
{
    for (uint32_t i = 0; i < sheet->outcome->note_count; i++) {
        document_add(sheet->document, DOCUMENT_PARAGRAPH, NULL, sheet->outcome->notes[i]);
    }
}

static void add_parcel(Sheet *sheet, const char *part)
{
    Document *document = sheet->document;
    enter_part(sheet, part);
    add_head(sheet, part);
    add_deference(sheet);
    add_notes(sheet);
    add_weighing(sheet, true);
    add_steps(sheet, true);
    add_vat_log(sheet);
    document_leave(document);
}

static void add_shared(Sheet *sheet)
{
    Document *document = sheet->document;
    enter_part(sheet, "after forming");
    add_head(sheet, "after forming");
    add_deference(sheet);
    add_weighing(sheet, false);
    add_steps(sheet, false);
    add_reconciliation(sheet);
    document_leave(document);
}

void batch_sheet_add(Document *document, const BatchSheet *told)
{
    Sheet sheet = {document, document->arena, told, told->outcome};
    if (document->root->first == NULL) {
        document->root->text = arena_print(document->arena, "Batch sheet %s: %s", name_of(&sheet), told->outcome->title);
    }
    double parcels = told->outcome->parcels;
    if (parcels <= PARCEL_PAGES) {
        for (double i = 1; i <= parcels; i++) {
            add_parcel(&sheet, arena_print(document->arena, "parcel %.0f of %.0f", i, parcels));
        }
    } else {
        add_parcel(&sheet, arena_print(document->arena, "parcel ___ of %.0f, all alike", parcels));
    }
    add_shared(&sheet);
    add_grounds(&sheet);
}
