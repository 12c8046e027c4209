/* What a step tells: its sentences and readings, and, apart from them, the values that stand there and what the step was
 * given, so that two papers can be compared without reading numbers out of words. */
#include "reckoning/told.h"

#include "reckoning/result.h"

#include <string.h>

/* How NODE is written, without its blanks. */
static const char *written(Run *run, NodeId node)
{
    const World *world = run->world;
    Span span = world_span(world, node);
    const char *from = sources_bytes(&world->sources, span.start);
    char *text = arena_copy(&run->arena, from, span.end - span.start);
    size_t length = 0;
    for (const char *at = text; *at != 0; at++) {
        if ((unsigned char)*at > ' ') { /* no blank, and no end of a line */
            text[length++] = *at;
        }
    }
    text[length] = 0;
    return text;
}

/* The value alone, without the unit in which it is to be shown. */
static const char *fill_name(Run *run, NodeId fill)
{
    NodeId inner = world_node(run->world, fill)->first;
    while (world_node(run->world, inner)->form == NODE_CONVERT || world_node(run->world, inner)->form == NODE_NARROW) {
        inner = world_node(run->world, inner)->first;
    }
    return written(run, inner);
}

/* A sentence with its values left open. */
static const char *left_open(Run *run, NodeId text)
{
    const World *world = run->world;
    if (world_node(world, text)->form != NODE_TEXT) {
        return written(run, text);
    }
    Text out;
    text_open(&out, run->memory);
    for (NodeId part = world_node(world, text)->first; part != 0; part = world_node(world, part)->next) {
        if (world_node(world, part)->form == NODE_PIECE) {
            text_put(&out, world_text(world, world_node(world, part)->value));
        } else {
            text_print(&out, "{%s}", fill_name(run, part));
        }
    }
    const char *result = arena_copy(&run->arena, out.at == NULL ? "" : out.at, out.length);
    text_close(&out);
    return result;
}

/* A value, from low to high where it is a range. */
static Quantity ranged(Run *run, Value value, Type type, UnitId unit, int decimals)
{
    Quantity quantity = result_quantity(run, value, type, unit, decimals);
    bool number = TYPE_SORT(type) == TYPE_NUMBER || TYPE_SORT(type) == TYPE_BAND;
    if (quantity.told && number && value.thing != 0) {
        const Band *band = &run->bands.at[value.thing];
        quantity.has_band = true;
        quantity.low = band->low;
        quantity.high = band->high;
    }
    return quantity;
}

static void make_values(Run *run, StepOutcome *step, const StepRecord *record)
{
    uint32_t count = 0;
    for (const StepFill *fill = record->fills; fill != NULL; fill = fill->next) {
        count++;
    }
    step->values = arena_take(&run->arena, count * sizeof *step->values);
    for (const StepFill *fill = record->fills; fill != NULL; fill = fill->next) {
        ToldValue *told = &step->values[step->value_count++];
        *told = (ToldValue){.sentence = fill->sentence, .name = fill_name(run, fill->fill),
                            .quantity = ranged(run, fill->value, fill->type, fill->unit, fill->decimals)};
        told->quantity.shown = fill->shown;
    }
}

/* A vessel is where something is done, and not what it is done with. */
static bool is_vessel(const World *world, Type type)
{
    return TYPE_SORT(type) == TYPE_THING && settle_shape_within(world, TYPE_INDEX(type), settle_shape(world, KNOWN_vessel));
}

/* The things and words among the arguments of the line; those of the last walk are kept. */
static void make_choices(Run *run, StepOutcome *step, const StepRecord *record)
{
    const World *world = run->world;
    const Call *call = &world->calls.at[record->call];
    const Shape *shape = &world->shapes.at[world->steps.at[call->step].shape];
    const Value *values = run->arguments[record->call - world->papers.at[run->paper].calls].values;
    step->choices = arena_take(&run->arena, shape->slots * sizeof *step->choices);
    step->object = "";
    uint32_t slot = 0;
    for (FieldId id = shape->first; id != 0; id = world->fields.at[id].next, slot++) {
        const Field *field = &world->fields.at[id];
        TypeSort sort = TYPE_SORT(field->type);
        if (values == NULL || (sort != TYPE_THING && sort != TYPE_WORD && sort != TYPE_TEXT) || !run_told(values[slot])) { /* never: what has a record was done, and its arguments were kept */
            continue;
        }
        const char *text = run_shown(run, NULL, 0, values[slot], field->type);
        if (slot == 0 && !is_vessel(world, field->type)) {
            step->object = text;
        } else {
            step->choices[step->choice_count++] = (StepChoice){arena_print(&run->arena, "%s", world_text(world, field->name)), text};
        }
    }
}

void told_make(Run *run, StepOutcome *step, const StepRecord *record)
{
    step->tells = arena_take(&run->arena, record->tells.count * sizeof *step->tells);
    step->written = arena_take(&run->arena, record->tells.count * sizeof *step->written);
    for (uint32_t i = 0; i < record->tells.count; i++) {
        step->written[i] = left_open(run, record->tells.at[i].text);
        step->tells[step->tell_count++] = record->tells.at[i].says;
    }
    step->reads = arena_take(&run->arena, record->reads.count * sizeof *step->reads);
    for (uint32_t i = 0; i < record->reads.count; i++) {
        const StepReading *reading = &record->reads.at[i];
        bool number = TYPE_SORT(reading->type) == TYPE_NUMBER || TYPE_SORT(reading->type) == TYPE_BAND;
        step->reads[step->read_count++] = (Reading){
            .what = reading->what, .expected = reading->expected, .is_signed = reading->is_signed, .written = left_open(run, reading->text),
            .window = ranged(run, number ? reading->window : run_absent(0), reading->type, 0, -1)};
    }
    make_values(run, step, record);
    make_choices(run, step, record);
}
