/* From a solved run to what is shown of it. */
#include "reckoning/result.h"

#include "meaning/arguments.h"
#include "reckoning/figures.h"
#include "reckoning/flow.h"
#include "reckoning/told.h"
#include "reckoning/variant.h"

#include "base/decimal.h"

#include <math.h>
#include <string.h>

const char *result_name(Run *run, uint32_t ref)
{
    if (REF_SORT(ref) == REF_PARCEL) {
        return arena_print(&run->arena, "parcel %u", REF_INDEX(ref) + 1);
    }
    ShapeId content = settle_shape(run->world, KNOWN_content);
    return run_shown(run, NULL, 0, (Value){0, ref, 0}, TYPE(TYPE_THING, content));
}

static UnitId unit_for(Run *run, Type type, UnitId unit)
{
    return unit != 0 ? unit : unit_shown(run->world, TYPE_SORT(type) == TYPE_NUMBER ? TYPE_INDEX(type) : KIND_ONE);
}

static double in_unit(Run *run, double value, UnitId unit)
{
    return unit == 0 ? value : unit_from_base(&run->world->units.at[unit], value);
}

Quantity result_quantity(Run *run, Value value, Type type, UnitId unit, int decimals)
{
    bool number = TYPE_SORT(type) == TYPE_NUMBER;
    Quantity quantity = {.type = type, .told = run_told(value), .unit = unit_for(run, type, unit),
                         .marks = value.marks & ~(VALUE_ABSENT | VALUE_ROUNDED), .shown = "not told"};
    if (!quantity.told) {
        return quantity;
    }
    quantity.value = quantity.low = quantity.high = value.number;
    quantity.in_unit = quantity.low_in_unit = quantity.high_in_unit = in_unit(run, value.number, quantity.unit);
    quantity.shown = number ? run_number_text(run, value.number, type, quantity.unit, decimals)
                            : run_shown(run, NULL, 0, value, type);
    return quantity;
}

static void set_band(Run *run, Quantity *quantity, double low, double high, int decimals)
{
    if (!quantity->told || low == high || low != low || high != high) {
        return;
    }
    double low_shown = in_unit(run, low, quantity->unit), high_shown = in_unit(run, high, quantity->unit);
    int shown = decimals >= 0 ? decimals : run_decimals(quantity->in_unit, 4);
    double least = 0.5 * pow(10, -shown);
    if (fabs(high_shown - quantity->in_unit) < least && fabs(low_shown - quantity->in_unit) < least) {
        return;
    }
    quantity->has_band = true;
    quantity->low = low;
    quantity->high = high;
    quantity->low_in_unit = low_shown < high_shown ? low_shown : high_shown;
    quantity->high_in_unit = low_shown < high_shown ? high_shown : low_shown;
    quantity->band_shown = run_is_day(run->world, quantity->type) ? run_band_text(run, (Band){.low = low, .high = high}, quantity->type, 0)
        : arena_print(&run->arena, "%s to %s", run_plain_number(run, quantity->low_in_unit, decimals), run_plain_number(run, quantity->high_in_unit, decimals));
}

/* ---- figures ---- */

typedef struct Making {
    Outcome *outcome;
    const double *low, *high;
    uint32_t seen;
} Making;

static const char *set_noun(Name set)
{
    return set == KNOWN_streams ? "stream" : set == KNOWN_parcels ? "parcel" : "material";
}

static void make_figure(Run *run, void *with, const FigureSeen *seen)
{
    Making *making = with;
    uint32_t i = making->seen++;
    NamedQuantity named = {.name = arena_print(&run->arena, "%s", world_text(run->world, seen->name)), .line = seen->line};
    named.quantity = result_quantity(run, seen->value, seen->type, seen->shown, seen->decimals);
    if (making->low != NULL) {
        set_band(run, &named.quantity, making->low[i], making->high[i], seen->decimals);
    }
    if (seen->record >= 0) {
        StepOutcome *step = &making->outcome->steps[seen->record];
        step->figures[step->figure_count++] = named;
        return;
    }
    if (seen->ref != 0) {
        named.of = result_name(run, seen->ref);
        named.set = set_noun(seen->set);
    }
    making->outcome->figures[making->outcome->figure_count++] = named;
}

/* ---- steps ---- */

static FieldId caution_field(Run *run, Name name)
{
    return settle_field(run->world, settle_shape(run->world, KNOWN_caution), name);
}

static const char *caution_part(Run *run, ThingId thing, Name name)
{
    FieldId field = caution_field(run, name);
    Value value = field == 0 ? run_absent(0) : run_attribute(run, REF(REF_THING, thing), field);
    return run_told(value) ? run_shown(run, NULL, 0, value, run->world->fields.at[field].type) : NULL;
}

static Caution make_caution(Run *run, ThingId thing)
{
    const char *says = caution_part(run, thing, KNOWN_says);
    return (Caution){.name = arena_print(&run->arena, "%s", world_text(run->world, run->world->things.at[thing].name)),
                     .signal = caution_part(run, thing, KNOWN_signal), .says = says == NULL ? "" : says,
                     .wear = caution_part(run, thing, KNOWN_wear)};
}

/* Hours: a day has 24, and what a day is the dates of stdlib tell; where there are none, time counts in seconds. */
static double hours(const Run *run, double time)
{
    UnitId day = unit_of_day(run->world, 0);
    return day == 0 ? time / 3600 : unit_from_base(&run->world->units.at[day], time * 24);
}

static void make_step(Run *run, StepOutcome *step, const StepRecord *record, uint32_t number)
{
    World *world = run->world;
    const Call *call = &world->calls.at[record->call];
    *step = (StepOutcome){.number = number, .line = call->line, .of_parcel = record->of_parcel,
                          .begins = hours(run, record->begins), .ends = hours(run, record->ends)};
    Name role = world->steps.at[call->step].role;
    step->step = arena_print(&run->arena, "%s", world_text(world, world->shapes.at[world->steps.at[call->step].shape].name));
    step->role = arena_print(&run->arena, "%s", world_text(world, role));
    step->cautions = arena_take(&run->arena, record->cautions.count * sizeof *step->cautions);
    for (uint32_t i = 0; i < record->cautions.count; i++) {
        step->cautions[step->caution_count++] = make_caution(run, record->cautions.at[i]);
    }
    step->figures = arena_take(&run->arena, record->figures.count * sizeof *step->figures);
    told_make(run, step, record);
}

/* ---- what to weigh ---- */

/* "" where no class is told. */
static const char *class_of(Run *run, ThingId material)
{
    FieldId field = settle_field(run->world, settle_shape(run->world, KNOWN_material), KNOWN_class);
    Value value = field == 0 ? run_absent(0) : run_attribute(run, REF(REF_THING, material), field);
    return run_told(value) ? run_shown(run, NULL, 0, value, run->world->fields.at[field].type) : "";
}

static Quantity scaled(Run *run, Value value, Type type, UnitId unit, int decimals, double by)
{
    value.number *= by;
    return result_quantity(run, value, type, unit, decimals);
}

/* The loads of the beating that works on the stream of MATERIAL; 0: it is not beaten by loads. */
static double loads_of(Run *run, ThingId material)
{
    World *world = run->world;
    const Paper *paper = &world->papers.at[run->paper];
    for (uint32_t i = 0; i < run->record_count; i++) {
        const StepRecord *record = &run->records[i];
        NodeId first = arguments_first(world, record->call);
        if (BOUND_OF(world->bindings.at[first]) != BOUND_STREAM) {
            continue;
        }
        bool mine = false;
        for (uint32_t j = 0; j < paper->furnish_count; j++) {
            const FurnishLine *line = &world->furnish.at[paper->furnish + j];
            mine = mine || (line->material == material && line->name == BOUND_INDEX(world->bindings.at[first]));
        }
        for (uint32_t j = 0; mine && j < record->figures.count; j++) {
            if (record->figures.at[j].name == KNOWN_loads && run_told(record->figures.at[j].value)) {
                return record->figures.at[j].value.number;
            }
        }
    }
    return 0;
}

static Quantity share_of(Run *run, ThingId material, bool *is_fibre)
{
    const Paper *paper = &run->world->papers.at[run->paper];
    Type share = TYPE(TYPE_NUMBER, KIND_ONE);
    UnitId percent = unit_of(run->world, KNOWN_percent);
    double sum = 0;
    for (uint32_t i = 0; i < run->stream_count; i++) {
        if (run->world->furnish.at[paper->furnish + i].material == material) {
            sum += run->stream_share[i];
            *is_fibre = true;
        }
    }
    if (*is_fibre) {
        return result_quantity(run, run_number(sum, 0), share, percent, DECIMALS_OPEN);
    }
    for (uint32_t i = 0; i < run->additions.count; i++) {
        const Addition *addition = &run->additions.at[i];
        if (addition->material == material && kind_is_share(run->world, TYPE_INDEX(addition->dose_type))) {
            return result_quantity(run, addition->dose, addition->dose_type, 0, DECIMALS_OPEN);
        }
    }
    return result_quantity(run, run_absent(0), share, 0, DECIMALS_OPEN);
}

/* What is weighed is rounded to what the scale shows; 0: no scale is told. */
static double scale_step(Run *run, uint32_t item)
{
    uint32_t figure = world_declared(run->world, SPACE_VALUE, KNOWN_scale_step);
    if (BOUND_OF(figure) != BOUND_FIGURE) {
        return 0;
    }
    Value step = run_figure_of(run, BOUND_INDEX(figure), REF(REF_BILL, item));
    return run_told(step) && step.number > 0 ? step.number : 0;
}

/* The finest that is told of an amount: what the mill's scale shows, or else the last of the decimals. */
typedef struct Finest { double least; UnitId unit; int decimals; bool of_scale; } Finest;

static Finest finest_step(Run *run, uint32_t item, Type type, UnitId unit, int decimals)
{
    Finest step = {.least = scale_step(run, item), .unit = unit, .decimals = decimals};
    UnitId shown = unit_for(run, type, unit);
    if (step.least > 0) {
        double in_shown = in_unit(run, step.least, shown);
        step.of_scale = true;
        step.unit = shown;
        step.decimals = 0;
        while (step.decimals < 12 && !run_equal(in_shown * pow(10, step.decimals), floor(in_shown * pow(10, step.decimals) + 0.5))) {
            step.decimals++; /* so many that each step can be told, of a scale that shows halves or fives too */
        }
    } else if (decimals >= 0) {
        step.least = pow(10, -decimals) * (shown == 0 ? 1 : run->world->units.at[shown].factor);
    }
    return step;
}

static Value on_scale(Value value, Finest step)
{
    if (step.of_scale) {
        value.number = floor(value.number / step.least + 0.5) * step.least;
    }
    return value;
}

/* Over the loads of a parcel: all alike, but that some take one step more where it does not come out even. */
static void share_over_loads(Run *run, WeighLine *line, Value of_parcel, Type type, Finest step)
{
    Value each = of_parcel, heavier = of_parcel;
    if (line->loads > 1 && run_told(of_parcel)) {
        double steps = step.least > 0 ? floor(of_parcel.number / step.least + 0.5) : 0;
        double even = floor(steps / line->loads);
        line->heavier_loads = steps - even * line->loads;
        each.number = step.least > 0 ? even * step.least : of_parcel.number / line->loads;
        heavier.number = each.number + step.least;
    }
    line->weigh_out_of_load = result_quantity(run, each, type, step.unit, step.decimals);
    line->weigh_out_of_heavier = result_quantity(run, line->heavier_loads > 0 ? heavier : run_absent(0), type, step.unit, step.decimals);
}

/* What of a material is water as it lies in the store: materials tell their moisture or their solids, and what is
 * weighed comes from either. */
static Quantity stored_water(Run *run, Value dry, Type dry_type, Value out, Type out_type)
{
    Value water = run_absent(0);
    if (run_told(out) && out.number > 0 && kind_same_dimension(run->world, TYPE_INDEX(dry_type), TYPE_INDEX(out_type))) {
        double share = run_equal(dry.number, out.number) ? 0 : 1 - dry.number / out.number;
        water = run_number(share, dry.marks | out.marks);
    }
    return result_quantity(run, water, TYPE(TYPE_NUMBER, KIND_ONE), unit_of(run->world, KNOWN_percent), DECIMALS_OPEN);
}

static void make_weigh_line(Run *run, WeighLine *line, uint32_t item)
{
    World *world = run->world;
    const BillItem *bill = &run->bill.at[item];
    uint32_t figure = world_declared(world, SPACE_VALUE, KNOWN_weigh_out);
    bool known = BOUND_OF(figure) == BOUND_FIGURE;
    const Figure *weigh = &world->figures.at[known ? BOUND_INDEX(figure) : 0];
    Value out = known ? run_figure_of(run, BOUND_INDEX(figure), REF(REF_BILL, item)) : run_absent(0);
    Type mass = world->figures.at[world->unknown].type;
    Type out_type = known ? weigh->type : mass;
    UnitId unit = weigh->shown;
    int decimals = known ? weigh->decimals : DECIMALS_OPEN;
    double part = bill->of_parcel ? 1 / run->parcels : 1;
    Value dry = run_number(bill->mass, bill->marks);
    *line = (WeighLine){.thing = bill->material, .by_parcel = bill->of_parcel, .material = result_name(run, REF(REF_THING, bill->material))};
    line->class = class_of(run, bill->material);
    line->share = share_of(run, bill->material, &line->is_fibre);
    line->moisture = stored_water(run, dry, mass, out, out_type);
    line->dry = result_quantity(run, dry, mass, 0, 3);
    line->weigh_out = result_quantity(run, out, out_type, unit, decimals);
    Finest step = finest_step(run, item, out_type, unit, decimals);
    line->dry_of_parcel = scaled(run, dry, mass, 0, step.of_scale ? step.decimals : 3, part);
    line->scale_step = step.of_scale ? step.least : 0;
    out.number *= part;
    out = on_scale(out, step);
    line->weigh_out_of_parcel = result_quantity(run, out, out_type, step.unit, step.decimals);
    line->loads = line->is_fibre ? loads_of(run, bill->material) : 0;
    share_over_loads(run, line, out, out_type, step);
}

/* ---- what the sheet owes to stdlib, to practice and to memory ---- */

/* The items of LIST, of SIZE bytes, in the arena, and how many; the list is gone. */
static void *keep_any(Run *run, AnyList *list, size_t size, uint32_t *count)
{
    void *kept = arena_take(&run->arena, list->count * size);
    if (list->count > 0) {
        memcpy(kept, list->at, list->count * size);
    }
    *count = list->count;
    memory_return(run->memory, list->at);
    return kept;
}

#define keep(run, list, count) keep_any((run), (AnyList *)(void *)(list), sizeof *(list)->at, (count))

typedef LIST(const char *) Lines;

static void add_line(Run *run, Lines *lines, const char *text)
{
    for (uint32_t i = 0; i < lines->count; i++) {
        if (strcmp(lines->at[i], text) == 0) {
            return;
        }
    }
    list_push(run->memory, lines, text);
}

static const char *mark_text(uint32_t marks)
{
    return (marks & MARK_MEMORY) != 0 ? "from memory" : "common practice";
}

static void add_defaults(Run *run, Lines *defaults, Lines *practice, const StepRecord *record)
{
    World *world = run->world;
    const Call *call = &world->calls.at[record->call];
    const Shape *shape = &world->shapes.at[world->steps.at[call->step].shape];
    uint32_t i = 0;
    for (FieldId id = shape->first; id != 0; id = world->fields.at[id].next, i++) {
        const Field *field = &world->fields.at[id];
        if (world->arguments.at[call->arguments + i] != 0 || field->value == 0 || TYPE_SORT(field->type) != TYPE_NUMBER) {
            continue;
        }
        const char *what = arena_print(&run->arena, "%s, %s: ", world_text(world, shape->name), world_text(world, field->name));
        Span span = world_span(world, field->value);
        add_line(run, defaults, arena_print(&run->arena, "%s%.*s", what, (int)(span.end - span.start),
                                       sources_bytes(&world->sources, span.start)));
        if ((field->marks & (MARK_PRACTICE | MARK_MEMORY)) != 0) {
            add_line(run, practice, arena_print(&run->arena, "%s%s", what, mark_text(field->marks)));
        }
    }
}

static void add_practice_of_materials(Run *run, Lines *practice)
{
    World *world = run->world;
    for (uint32_t i = 0; i < run->bill.count; i++) {
        ThingId thing = run->bill.at[i].material;
        for (uint32_t at = world->things.at[thing].first; at != 0; at = world->values.at[at].next) {
            const ThingValue *value = &world->values.at[at];
            if ((value->marks & (MARK_PRACTICE | MARK_MEMORY)) != 0) {
                add_line(run, practice, arena_print(&run->arena, "%s, %s: %s", world_text(world, world->things.at[thing].name),
                                               world_text(world, world->fields.at[value->field].name), mark_text(value->marks)));
            }
        }
    }
}

static void make_lists(Run *run, Outcome *outcome)
{
    World *world = run->world;
    Lines defaults = {0}, practice = {0}, replaced = {0};
    for (uint32_t i = 0; i < run->record_count; i++) {
        add_defaults(run, &defaults, &practice, &run->records[i]);
    }
    add_practice_of_materials(run, &practice);
    for (uint32_t i = 0; i < world->replaced.count; i++) {
        Span span = line_span(world, world->replaced.at[i]);
        add_line(run, &replaced, arena_print(&run->arena, "%.*s", (int)(span.end - span.start), sources_bytes(&world->sources, span.start)));
    }
    outcome->defaults = keep(run, &defaults, &outcome->default_count);
    outcome->by_practice = keep(run, &practice, &outcome->practice_count);
    outcome->replaced = keep(run, &replaced, &outcome->replaced_count);
}

static void make_notes(Run *run, Outcome *outcome)
{
    World *world = run->world;
    const Paper *paper = &world->papers.at[run->paper];
    Lines notes = {0};
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    for (uint32_t i = paper->expects; i < paper->expects + paper->expect_count; i++) {
        if (world->checks.at[i].note) {
            add_line(run, &notes, run_text(run, &frame, world->checks.at[i].figure));
        }
    }
    NodeId note = world->batches.at[run->batch].note;
    if (world_node(world, note)->form == NODE_TEXT) {
        add_line(run, &notes, run_text(run, &frame, note));
    }
    outcome->notes = keep(run, &notes, &outcome->note_count);
}

/* The attributes of a thing that the paper holds, in one line: "300 g/m², mean 5 %, sheets 10 %". */
static const char *held_text(Run *run, ThingId thing)
{
    World *world = run->world;
    const char *text = "";
    for (FieldId id = world->shapes.at[world->things.at[thing].shape].first; id != 0; id = world->fields.at[id].next) {
        Value value = run_attribute(run, REF(REF_THING, thing), id);
        if (world->fields.at[id].sort == FIELD_TAKES && run_told(value)) {
            bool first = *text == 0;
            text = arena_print(&run->arena, "%s%s%s%s", text, first ? "" : ", ", first ? "" : world_text(world, world->fields.at[id].name),
                               first ? "" : " ");
            text = arena_print(&run->arena, "%s%s", text, run_shown(run, NULL, 0, value, world->fields.at[id].type));
        }
    }
    return text;
}

static void make_facts(Run *run, Outcome *outcome)
{
    World *world = run->world;
    ThingId thing = world->papers.at[run->paper].thing;
    LIST(Fact) facts = {0};
    for (FieldId id = world->shapes.at[world->things.at[thing].shape].first; id != 0; id = world->fields.at[id].next) {
        const Field *field = &world->fields.at[id];
        Value value = run_attribute(run, REF(REF_THING, thing), id);
        if (field->sort != FIELD_HAS || !run_told(value) || field->name == KNOWN_title || TYPE_SORT(field->type) == TYPE_LIST) {
            continue;
        }
        bool held = TYPE_SORT(field->type) == TYPE_THING && REF_SORT(value.thing) == REF_THING
            && world->things.at[REF_INDEX(value.thing)].holder != 0;
        const char *text = held ? held_text(run, REF_INDEX(value.thing)) : run_shown(run, NULL, 0, value, field->type);
        list_push(run->memory, &facts, (Fact){arena_print(&run->arena, "%s", world_text(world, field->name)), text});
    }
    outcome->facts = keep(run, &facts, &outcome->fact_count);
}

static void make_general(Run *run, Outcome *outcome)
{
    World *world = run->world;
    ShapeId shape = settle_shape(world, KNOWN_caution);
    FieldId mark = settle_field(world, shape, KNOWN_on_every_sheet);
    LIST(Caution) general = {0};
    for (ThingId id = 1; id < world->things.count; id++) {
        if (world->things.at[id].shape == shape && run_has_mark(run, REF(REF_THING, id), mark)) {
            list_push(run->memory, &general, make_caution(run, id));
        }
    }
    outcome->general = keep(run, &general, &outcome->general_count);
}

static void make_head(Run *run, Outcome *outcome)
{
    World *world = run->world;
    const Paper *paper = &world->papers.at[run->paper];
    const Batch *batch = &world->batches.at[run->batch]; /* of none nothing is told */
    outcome->paper = arena_print(&run->arena, "%s", world_text(world, world->things.at[paper->thing].name));
    outcome->title = variant_title(run);
    outcome->batch = run->batch == 0 ? NULL : arena_print(&run->arena, "%s", world_text(world, batch->name));
    outcome->mill = run->mill == 0 ? NULL : arena_print(&run->arena, "%s", world_text(world, world->things.at[run->mill].name));
    if (batch->start != 0) {
        Span span = world_span(world, batch->start);
        outcome->start = arena_print(&run->arena, "%.*s", (int)(span.end - span.start), sources_bytes(&world->sources, span.start));
    }
    outcome->choices = arena_take(&run->arena, paper->vary_count * sizeof(ChoiceMade));
    for (uint32_t i = 0; i < paper->vary_count; i++) {
        const char *name = arena_print(&run->arena, "%s", world_text(world, world->varies.at[paper->vary + i].name));
        outcome->choices[outcome->choice_count++] = (ChoiceMade){name, variant_choice_text(run, i)};
    }
    outcome->sheets_good = run->sheets_good;
    outcome->sheets_formed = run->sheets_formed;
    outcome->parcels = run->parcels;
    outcome->sheets_of_parcel = run->sheets_formed / run->parcels;
    outcome->sure = run->sure;
    outcome->sure_is_practice = batch->sure == 0;
}

/* Mean, ends and spread of what was measured for one figure. */
static Measured make_measured(Run *run, const MeasuredLine *line)
{
    World *world = run->world;
    const Figure *figure = &world->figures.at[line->figure];
    bool list = world_node(world, line->values)->form == NODE_LIST;
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    Measured made = {.name = arena_print(&run->arena, "%s", world_text(world, figure->name)), .low = INFINITY, .high = -INFINITY};
    double sum = 0, squares = 0;
    for (NodeId at = list ? world_node(world, line->values)->first : line->values; at != 0; at = list ? world_node(world, at)->next : 0) {
        Value value = world_node(world, at)->form == NODE_UNIT ? run_absent(0) : run_value(run, &frame, at);
        if (run_told(value)) {
            double before = made.count == 0 ? value.number : sum / made.count;
            sum += value.number;
            made.count++;
            squares += (value.number - before) * (value.number - sum / made.count); /* of the distances from the mean so far */
            made.low = fmin(made.low, value.number);
            made.high = fmax(made.high, value.number);
        }
    }
    made.mean = sum / made.count;
    made.spread = made.count < 2 ? NAN : sqrt(squares / (made.count - 1));
    const char *mean = run_number_text(run, made.mean, figure->type, figure->shown, DECIMALS_OPEN);
    made.shown = made.count < 2 ? arena_print(&run->arena, "%s, one reading", mean)
        : arena_print(&run->arena, "%s, mean of %u, from %s to %s", mean, made.count,
                      run_number_text(run, made.low, figure->type, figure->shown, DECIMALS_OPEN), run_number_text(run, made.high, figure->type, figure->shown, DECIMALS_OPEN));
    made.method = run_text(run, &frame, line->method);
    return made;
}

static void make_all_measured(Run *run, Outcome *outcome)
{
    const World *world = run->world;
    outcome->measured = arena_take(&run->arena, world->measured.count * sizeof *outcome->measured);
    for (uint32_t i = 0; i < world->measured.count; i++) {
        MeasuredLine line = world->measured.at[i];
        if (line.batch == run->batch && run->batch != 0) {
            outcome->measured[outcome->measured_count++] = make_measured(run, &line);
        }
    }
}

Outcome *result_make(Run *run, bool bands)
{
    uint32_t count = figures_count(run);
    double *low = NULL, *high = NULL;
    if (bands) {
        low = arena_take(&run->arena, count * sizeof *low);
        high = arena_take(&run->arena, count * sizeof *high);
        figures_bands(run, low, high, count);
    }
    Outcome *outcome = arena_take(&run->arena, sizeof *outcome);
    make_head(run, outcome);
    outcome->steps = arena_take(&run->arena, run->record_count * sizeof(StepOutcome));
    for (uint32_t i = 0; i < run->record_count; i++) {
        make_step(run, &outcome->steps[i], &run->records[i], i + 1);
    }
    outcome->step_count = run->record_count;
    outcome->figures = arena_take(&run->arena, count * sizeof(NamedQuantity));
    Making making = {.outcome = outcome, .low = low, .high = high};
    figures_each(run, make_figure, &making);
    outcome->weigh = arena_take(&run->arena, run->bill.count * sizeof(WeighLine));
    for (uint32_t i = 0; i < run->bill.count; i++) {
        make_weigh_line(run, &outcome->weigh[outcome->weigh_count++], i);
    }
    make_lists(run, outcome);
    make_notes(run, outcome);
    make_facts(run, outcome);
    make_general(run, outcome);
    make_all_measured(run, outcome);
    return outcome;
}
