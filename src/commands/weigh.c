/* weigh: the amounts and all figures, as tables for people or as JSON. */
#include "commands/command.h"
#include "commands/columns.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

typedef struct Weighing { const Options *options; Text text; Json json; } Weighing;

/* ---- for people ---- */

static void weigh_table(Text *out, const Outcome *outcome)
{
    Cells *rows = memory_take(out->memory, (outcome->weigh_count + 1u) * sizeof *rows);
    rows[0] = (Cells){{"material", "share", "stored at", "oven-dry", "weigh out"}};
    for (uint32_t i = 0; i < outcome->weigh_count; i++) {
        const WeighLine *line = &outcome->weigh[i];
        rows[i + 1] = (Cells){{line->material, line->share.told ? line->share.shown : "", line->moisture.told ? line->moisture.shown : "",
                             line->dry.shown, line->weigh_out.shown}};
    }
    text_put(out, "\nTo weigh, for the whole batch\n");
    columns_put(out, rows, outcome->weigh_count + 1, 5, 1);
}

static void figure_rows(Text *out, const NamedQuantity *figures, uint32_t count)
{
    Cells *rows = memory_take(out->memory, (count + 1u) * sizeof *rows);
    uint32_t used = 0;
    for (uint32_t i = 0; i < count; i++) {
        const NamedQuantity *figure = &figures[i];
        if (!figure->quantity.told) {
            continue;
        }
        const char *name = figure->name;
        if (figure->of != NULL) {
            Text text;
            text_open(&text, out->memory);
            text_print(&text, "%s of %s", figure->name, figure->of);
            name = text.at;
        }
        rows[used++] = (Cells){{name, figure->quantity.shown, figure->quantity.has_band ? figure->quantity.band_shown : ""}};
    }
    columns_put(out, rows, used, 3, 1);
}

/* ---- what moves it, for people ---- */

enum { LINE_COLUMNS = 32 };

/* "botanical.wleaf:31" */
static const char *place_text(Memory *memory, const Workshop *workshop, NodeId node)
{
    const Sources *sources = &workshop_world(workshop)->sources;
    uint32_t line = 0, column = 0, start = workshop_world(workshop)->tree.nodes.at[node].start;
    Text text;
    text_open(&text, memory);
    sources_line(sources, start, &line, &column);
    text_print(&text, "%s:%u", command_path(workshop, sources_at(sources, start)), line);
    return text.at;
}

static const char *cut(Memory *memory, const char *line)
{
    if (columns_of(line) <= LINE_COLUMNS) {
        return line;
    }
    Text text;
    text_open(&text, memory);
    size_t taken, length = strlen(line), at = 0;
    for (int columns = 0; at < length && columns < LINE_COLUMNS - 1; at += taken) {
        columns += utf8_width(utf8_decode(line + at, length - at, &taken));
    }
    text_add(&text, line, at);
    text_put(&text, "…");
    return text.at;
}

static void put_share(Text *text, double share)
{
    if (share == share) {
        text_print(text, "%+.*f", fabs(share) < 0.0995 ? 1 : 0, 100 * share);
    } else {
        text_put(text, "none");
    }
}

/* "+9.7 -9.7 %" */
static const char *moves_text(Memory *memory, const Moves *moves)
{
    if (moves->more != moves->more && moves->less != moves->less) {
        return "";
    }
    Text text;
    text_open(&text, memory);
    put_share(&text, moves->more);
    text_put(&text, " ");
    put_share(&text, moves->less);
    text_put(&text, " %");
    return text.at;
}

static void what_if_table(Text *out, const Workshop *workshop, const Outcome *outcome)
{
    enum { BEFORE = 3 };
    if (outcome->sensitive == NULL) {
        return;
    }
    Memory *memory = out->memory;
    text_put(out, "\nWhat it does when a number is in truth a tenth more, and a tenth less, and all else is done as told here\n");
    if (outcome->what_if_count == 0) {
        text_put(out, "  No number that is typed moves a figure by as much as could be measured.\n");
        return;
    }
    Cells *rows = memory_take(memory, (outcome->what_if_count + 1u) * sizeof *rows);
    rows[0] = (Cells){{"number", "typed in", "line"}};
    for (uint32_t j = 0; j < outcome->sensitive_count; j++) {
        rows[0].text[BEFORE + j] = outcome->sensitive[j];
    }
    for (uint32_t i = 0; i < outcome->what_if_count; i++) {
        const WhatIf *told = &outcome->what_if[i];
        rows[i + 1] = (Cells){{told->typed, place_text(memory, workshop, told->number), cut(memory, told->line)}};
        for (uint32_t j = 0; j < outcome->sensitive_count; j++) {
            rows[i + 1].text[BEFORE + j] = moves_text(memory, &told->moves[j]);
        }
    }
    columns_put(out, rows, outcome->what_if_count + 1, BEFORE + (int)outcome->sensitive_count, BEFORE);
}

static void as_text(Text *out, const Workshop *workshop, const Outcome *outcome)
{
    text_print(out, "%s%s%s\n", outcome->batch == NULL ? "" : outcome->batch, outcome->batch == NULL ? "" : ": ", outcome->title);
    text_print(out, "%.0f good sheet%s, %.0f to form", outcome->sheets_good, outcome->sheets_good == 1 ? "" : "s", outcome->sheets_formed);
    text_print(out, ", in %.0f parcel%s; %s%s\n", outcome->parcels, outcome->parcels == 1 ? "" : "s",
               outcome->mill == NULL ? "without equipment" : "at ", outcome->mill == NULL ? "" : outcome->mill);
    weigh_table(out, outcome);
    text_put(out, "\nFigures, and where something is not well known from low to high\n");
    figure_rows(out, outcome->figures, outcome->figure_count);
    for (uint32_t i = 0; i < outcome->step_count; i++) {
        const StepOutcome *step = &outcome->steps[i];
        if (step->figure_count > 0) {
            text_print(out, "\n%u. %s\n", step->number, step->step);
            figure_rows(out, step->figures, step->figure_count);
        }
    }
    what_if_table(out, workshop, outcome);
    text_char(out, '\n');
}

/* ---- JSON ---- */

/* Figures of each thing of a set stand together under their name. */
static void json_figures(Json *json, Workshop *workshop, const NamedQuantity *figures, uint32_t count)
{
    json_put_object(json, "figures");
    for (uint32_t i = 0; i < count; i++) {
        if (figures[i].of == NULL) {
            command_json_quantity(json, figures[i].name, workshop, &figures[i].quantity);
            continue;
        }
        json_put_object(json, figures[i].name);
        json_put_text(json, "of", figures[i].set);
        json_put_object(json, "values");
        uint32_t first = i;
        while (i < count && strcmp(figures[i].name, figures[first].name) == 0) {
            command_json_quantity(json, figures[i].of, workshop, &figures[i].quantity);
            i++;
        }
        i--;
        json_put_end(json);
        json_put_end(json);
    }
    json_put_end(json);
}

static void json_weigh(Json *json, Workshop *workshop, const Outcome *outcome)
{
    json_put_array(json, "weigh");
    for (uint32_t i = 0; i < outcome->weigh_count; i++) {
        const WeighLine *line = &outcome->weigh[i];
        json_put_object(json, NULL);
        json_put_text(json, "material", line->material);
        json_put_text(json, "class", line->class);
        command_json_quantity(json, "share", workshop, &line->share);
        command_json_quantity(json, "dry", workshop, &line->dry);
        command_json_quantity(json, "weigh-out", workshop, &line->weigh_out);
        if (line->loads > 0) {
            command_json_quantity(json, "per-load", workshop, &line->weigh_out_of_load);
            json_put_number(json, "loads", line->loads);
            json_put_number(json, "heavier-loads", line->heavier_loads);
            command_json_quantity(json, "per-heavier-load", workshop, &line->weigh_out_of_heavier);
        } else {
            json_put_null(json, "per-load");
            json_put_null(json, "loads");
            json_put_null(json, "heavier-loads");
            json_put_null(json, "per-heavier-load");
        }
        json_put_end(json);
    }
    json_put_end(json);
}

static void json_steps(Json *json, Workshop *workshop, const Outcome *outcome)
{
    json_put_array(json, "steps");
    for (uint32_t i = 0; i < outcome->step_count; i++) {
        const StepOutcome *step = &outcome->steps[i];
        uint32_t line = 0, column = 0;
        sources_line(&workshop_world(workshop)->sources, workshop_world(workshop)->tree.nodes.at[step->line].start, &line, &column);
        json_put_object(json, NULL);
        json_put_text(json, "step", step->step);
        json_put_number(json, "line", line);
        Text told;
        text_open(&told, json->out->memory);
        for (uint32_t j = 0; j < step->tell_count; j++) {
            text_print(&told, "%s%s", j > 0 ? " " : "", step->tells[j]);
        }
        json_put_text(json, "text", told.at == NULL ? "" : told.at);
        text_close(&told);
        json_figures(json, workshop, step->figures, step->figure_count);
        json_put_array(json, "reads");
        for (uint32_t j = 0; j < step->read_count; j++) {
            json_put_object(json, NULL);
            json_put_text(json, "what", step->reads[j].what);
            json_put_text(json, "expected", step->reads[j].expected);
            json_put_truth(json, "signed", step->reads[j].is_signed);
            json_put_end(json);
        }
        json_put_end(json);
        json_put_array(json, "cautions");
        for (uint32_t j = 0; j < step->caution_count; j++) {
            json_put_text(json, NULL, step->cautions[j].name);
        }
        json_put_end(json);
        json_put_end(json);
    }
    json_put_end(json);
}

/* Each claim as it was judged, and what the paper accepts in spite of a rule. */
static void json_claims(Json *json, const Outcome *outcome)
{
    json_put_array(json, "claims");
    for (uint32_t i = 0; i < outcome->claim_count; i++) {
        json_put_object(json, NULL);
        json_put_text(json, "name", outcome->claims[i].name);
        json_put_text(json, "wording", outcome->claims[i].wording);
        json_put_text(json, "missing", outcome->claims[i].missing);
        json_put_end(json);
    }
    json_put_end(json);
    json_put_array(json, "accepted");
    for (uint32_t i = 0; i < outcome->accepted_count; i++) {
        json_put_text(json, NULL, outcome->accepted[i]);
    }
    json_put_end(json);
}

/* null where it was not asked. */
static void json_what_if(Json *json, Workshop *workshop, const Outcome *outcome)
{
    const Sources *sources = &workshop_world(workshop)->sources;
    if (outcome->sensitive == NULL) {
        json_put_null(json, "what-if");
        return;
    }
    json_put_array(json, "what-if");
    for (uint32_t i = 0; i < outcome->what_if_count; i++) {
        const WhatIf *told = &outcome->what_if[i];
        uint32_t line = 0, column = 0, start = workshop_world(workshop)->tree.nodes.at[told->number].start;
        sources_line(sources, start, &line, &column);
        json_put_object(json, NULL);
        json_put_text(json, "typed", told->typed);
        json_put_text(json, "file", command_path(workshop, sources_at(sources, start)));
        json_put_number(json, "line", line);
        json_put_number(json, "column", column);
        json_put_text(json, "text", told->line);
        json_put_object(json, "moves");
        for (uint32_t j = 0; j < outcome->sensitive_count; j++) {
            json_put_object(json, outcome->sensitive[j]);
            json_put_number(json, "more", told->moves[j].more);
            json_put_number(json, "less", told->moves[j].less);
            json_put_end(json);
        }
        json_put_end(json);
        json_put_end(json);
    }
    json_put_end(json);
}

static void as_json(Json *json, Workshop *workshop, const Outcome *outcome)
{
    json_put_object(json, NULL);
    json_put_text(json, "paper", outcome->paper);
    json_put_text(json, "title", outcome->title);
    json_put_object(json, "variant");
    for (uint32_t i = 0; i < outcome->choice_count; i++) {
        json_put_text(json, outcome->choices[i].name, outcome->choices[i].value);
    }
    json_put_end(json);
    json_put_text(json, "batch", outcome->batch);
    json_put_text(json, "mill", outcome->mill);
    json_put_number(json, "sheets", outcome->sheets_good);
    json_figures(json, workshop, outcome->figures, outcome->figure_count);
    json_weigh(json, workshop, outcome);
    json_steps(json, workshop, outcome);
    json_claims(json, outcome);
    command_json_problems(json, "problems", workshop);
    json_what_if(json, workshop, outcome);
    json_put_end(json);
}

static bool show(void *with, Workshop *workshop, const Outcome *outcome)
{
    Weighing *weighing = with;
    if (weighing->options->json) {
        as_json(&weighing->json, workshop, outcome);
    } else {
        as_text(&weighing->text, workshop, outcome);
    }
    return true;
}

int command_weigh(const Options *options, int count, char **words)
{
    if (count < 1 || count > 2) {
        return command_trouble("weigh takes a FILE and, where the script has more than one, the NAME of a batch or paper.");
    }
    Workshop *workshop = command_workshop(options);
    if (workshop == NULL) {
        return COMMAND_TROUBLE;
    }
    Memory *memory = options->memory;
    Weighing weighing = {.options = options};
    text_open(&weighing.text, memory);
    if (options->json) {
        json_put_open(&weighing.json, &weighing.text);
        command_json_head(&weighing.json, workshop);
        json_put_array(&weighing.json, "papers");
    }
    WaterleafAnswer answer = workshop_read(workshop, words[0]);
    if (answer == WATERLEAF_FINE) {
        const char *name = count > 1 ? words[1] : NULL;
        answer = options->what_if ? workshop_what_if(workshop, name, options->sheets, show, &weighing)
                                  : workshop_work_out(workshop, name, options->sheets, show, &weighing);
    }
    const Messages *messages = workshop_messages(workshop);
    int end = answer != WATERLEAF_FINE ? command_trouble("%s", workshop_trouble(workshop)) : command_end(options, messages);
    if (options->json) {
        json_put_end(&weighing.json);
        command_json_problems(&weighing.json, "problems", workshop);
        json_put_close(&weighing.json);
    }
    if (!command_tells_messages(options, end) && command_show_messages(options, workshop, false) != COMMAND_FINE) {
        end = COMMAND_TROUBLE;
    }
    if (command_put_end(options, &weighing.text, end) != COMMAND_FINE) {
        end = COMMAND_TROUBLE;
    }
    workshop_close(workshop);
    return end;
}
