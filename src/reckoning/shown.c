/* Values as people read them: in texts, on sheets, in messages. */
#include "reckoning/run.h"

#include "reckoning/flow.h"

#include "base/decimal.h"

#include <math.h>
#include <string.h>

int run_decimals(double number, int digits)
{
    if (number == 0 || !isfinite(number)) {
        return 0;
    }
    int before = (int)floor(log10(fabs(number))) + 1;
    int decimals = digits - before;
    return decimals < 0 ? 0 : decimals > 12 ? 12 : decimals;
}

static KindId kind_of(Type type)
{
    return TYPE_SORT(type) == TYPE_NUMBER || TYPE_SORT(type) == TYPE_BAND ? TYPE_INDEX(type) : KIND_ONE;
}

static UnitId day_of(const World *world, Type type) { return unit_of_day(world, kind_of(type)); }

bool run_is_day(const World *world, Type type) { return day_of(world, type) != 0; }

/* Dates are days since 1970 times the day; shown as ISO 8601 has them. */
static const char *date_text(Run *run, double in_base, UnitId day)
{
    double days = floor(unit_from_base(&run->world->units.at[day], in_base) + 1e-9);
    long era_days = (long)days + 719468;
    long era = (era_days >= 0 ? era_days : era_days - 146096) / 146097;
    unsigned day_of_era = (unsigned)(era_days - era * 146097);
    unsigned year_of_era = (day_of_era - day_of_era / 1460 + day_of_era / 36524 - day_of_era / 146096) / 365;
    long year = (long)year_of_era + era * 400;
    unsigned day_of_year = day_of_era - (365 * year_of_era + year_of_era / 4 - year_of_era / 100);
    unsigned month_shifted = (5 * day_of_year + 2) / 153;
    unsigned day_of_month = day_of_year - (153 * month_shifted + 2) / 5 + 1;
    unsigned month = month_shifted < 10 ? month_shifted + 3 : month_shifted - 9;
    return arena_print(&run->arena, "%04ld-%02u-%02u", year + (month <= 2), month, day_of_month);
}

/* With four significant digits, and no needless zeros, where nobody told how many decimals. */
static void put_number(Text *out, double number, int decimals)
{
    if (decimals >= 0) {
        decimal_put(out, number, (unsigned)decimals);
        return;
    }
    decimal_put(out, number, (unsigned)run_decimals(number, 4));
    if (strchr(out->at, '.') != NULL) {
        while (out->at[out->length - 1] == '0') {
            out->length--;
        }
        out->length -= out->at[out->length - 1] == '.';
        out->at[out->length] = 0;
    }
}

const char *run_plain_number(Run *run, double number, int decimals)
{
    Text out;
    text_open(&out, run->memory);
    put_number(&out, number, decimals);
    const char *text = arena_copy(&run->arena, out.at, out.length);
    text_close(&out);
    return text;
}

const char *run_number_text(Run *run, double in_base, Type type, UnitId unit, int decimals)
{
    World *world = run->world;
    UnitId day = day_of(world, type);
    if (day != 0) {
        return date_text(run, in_base, day);
    }
    unit = unit == 0 ? unit_shown(world, kind_of(type)) : unit;
    double number = unit == 0 ? in_base : unit_from_base(&world->units.at[unit], in_base);
    Text out;
    text_open(&out, run->memory);
    put_number(&out, number, decimals);
    if (unit != 0) {
        text_put(&out, " ");
        text_put(&out, unit_text(world, unit));
    }
    const char *text = arena_copy(&run->arena, out.at, out.length);
    text_close(&out);
    return text;
}

const char *run_band_text(Run *run, Band band, Type type, UnitId unit)
{
    if (run_equal(band.low, band.high)) {
        return run_number_text(run, band.low, type, unit, DECIMALS_OPEN);
    }
    UnitId day = day_of(run->world, type);
    if (day != 0) {
        return arena_print(&run->arena, "%s to %s", date_text(run, band.low, day), date_text(run, band.high, day));
    }
    unit = unit == 0 ? unit_shown(run->world, kind_of(type)) : unit;
    const Unit *at = &run->world->units.at[unit];
    double low = unit == 0 ? band.low : unit_from_base(at, band.low), high = unit == 0 ? band.high : unit_from_base(at, band.high);
    /* enough decimals that the two ends differ clearly; where that is more than four digits, enough that they differ */
    int decimals = run_decimals(high - low, 2), least = run_decimals(high - low, 1);
    int most = run_decimals(fabs(high) > fabs(low) ? high : low, 4);
    most = most > least ? most : least;
    decimals = decimals > most ? most : decimals;
    bool whole = run_equal(low, floor(low + 0.5)) && run_equal(high, floor(high + 0.5));
    decimals = whole ? 0 : decimals;
    Text out;
    text_open(&out, run->memory);
    decimal_put(&out, low, (unsigned)decimals);
    text_put(&out, " to ");
    decimal_put(&out, high, (unsigned)decimals);
    if (unit != 0) {
        text_print(&out, " %s", unit_text(run->world, unit));
    }
    const char *text = arena_copy(&run->arena, out.at, out.length);
    text_close(&out);
    return text;
}

/* The `gives` or `let` of the step that CALL does and whose value stands at SLOT; NULL: none does. No step has two of one name. */
static const Effect *formula_at(const World *world, uint32_t call, uint32_t slot)
{
    const Step *step = &world->steps.at[world->calls.at[call].step];
    for (uint32_t i = 0; i < step->count; i++) {
        const Effect *effect = &world->effects.at[step->first + i];
        if ((effect->sort == EFFECT_GIVES || effect->sort == EFFECT_LETS) && effect->slot == slot) {
            return effect;
        }
    }
    return NULL;
}

const Effect *run_given_by(const Run *run, uint32_t index)
{
    const Given *given = &run->given.at[index];
    return given->walk == run->walk ? &run->world->effects.at[given->effect] : NULL;
}

/* What is told to the step of *FRAME of what it takes at SLOT, in the frame around it; or else by default, in that of the step itself. */
static NodeId argument_of(const World *world, const Frame **frame, uint32_t slot)
{
    const Call *call = &world->calls.at[(*frame)->call];
    NodeId told = world->arguments.at[call->arguments + slot];
    if (told != 0) {
        *frame = (*frame)->outer;
        return told;
    }
    FieldId id = world->shapes.at[world->steps.at[call->step].shape].first;
    for (uint32_t i = 0; i < slot; i++) {
        id = world->fields.at[id].next;
    }
    return world->fields.at[id].value;
}

/* The literal that was typed for a parameter, or in a step's own line: its own unit and decimals are kept. In a step a number is called by
 * what it takes, gives or lets: the items of an `each` are things. */
static NodeId typed_for(const World *world, const Frame *frame, NodeId node)
{
    while (frame != NULL && frame->call != 0 && world_node(world, node)->form == NODE_NAME && BOUND_OF(world->bindings.at[node]) == BOUND_SLOT) {
        uint32_t slot = BOUND_INDEX(world->bindings.at[node]);
        const Effect *formula = formula_at(world, frame->call, slot);
        node = formula != NULL ? formula->one : argument_of(world, &frame, slot);
    }
    if (world_node(world, node)->form == NODE_ABOUT) {
        node = world_node(world, node)->first;
    }
    NodeForm form = (NodeForm)world_node(world, node)->form;
    return form == NODE_QUANTITY || form == NODE_NUMBER ? node : 0;
}

static const char *thing_text(Run *run, uint32_t ref, ShapeId shape)
{
    World *world = run->world;
    ThingId thing = run_material(run, ref);
    Name name = world->things.at[thing].name;
    switch (REF_SORT(ref)) {
    case REF_THING: {
        const char *head = world_text(world, world->shapes.at[world->things.at[thing].shape].name);
        return name == 0 ? arena_print(&run->arena, "the %s", head) : arena_print(&run->arena, "%s", world_text(world, name));
    }
    case REF_SUBJECT: {
        uint32_t subject = REF_INDEX(ref);
        const Paper *paper = &world->papers.at[run->paper];
        name = subject >= SUBJECT_STREAMS ? world->furnish.at[paper->furnish + subject - SUBJECT_STREAMS].name
            : subject == SUBJECT_SHEET ? KNOWN_sheet : KNOWN_stuff;
        return arena_print(&run->arena, "%s", world_text(world, name));
    }
    case REF_PARCEL: case REF_NUMBER:
        return arena_print(&run->arena, "%u", REF_INDEX(ref) + 1);
    case REF_TOLD:
        return arena_print(&run->arena, "%s %u", world_text(world, world->shapes.at[shape].name), run_told_index(ref) + 1);
    default:
        return thing == 0 ? "water" : arena_print(&run->arena, "%s", world_text(world, name));
    }
}

/* What the line that works NODE out tells of how it is shown. */
static int declared_decimals(Run *run, const Frame *frame, NodeId node, UnitId *unit)
{
    const World *world = run->world;
    uint32_t index = BOUND_INDEX(world->bindings.at[node]);
    const Effect *effect = NULL;
    switch (BOUND_OF(world->bindings.at[node])) {
    case BOUND_FIGURE:
        *unit = world->figures.at[index].shown;
        return world->figures.at[index].decimals;
    case BOUND_GIVEN:
        effect = run_given_by(run, index);
        break;
    case BOUND_SLOT:
        effect = frame == NULL ? NULL : formula_at(world, frame->call, index);
        break;
    default:
        break;
    }
    *unit = effect == NULL ? 0 : effect->shown;
    return effect == NULL ? DECIMALS_OPEN : effect->decimals;
}

const char *run_shown(Run *run, const Frame *frame, NodeId node, Value value, Type type)
{
    World *world = run->world;
    if (!run_told(value)) {
        return "not told";
    }
    switch (TYPE_SORT(type)) {
    case TYPE_NUMBER: {
        UnitId unit;
        int decimals = declared_decimals(run, frame, node, &unit);
        NodeId literal = unit != 0 ? 0 : typed_for(world, frame, node); /* nobody tells decimals without their unit */
        if (literal != 0) {
            unit = world->bindings.at[literal]; /* of a number without a unit it is none */
            decimals = world_node(world, literal)->extra;
        }
        return run_number_text(run, value.number, type, unit, decimals);
    }
    case TYPE_BAND:
        return value.thing == 0 ? run_number_text(run, value.number, type, 0, DECIMALS_OPEN)
                                : run_band_text(run, run->bands.at[value.thing], type, 0);
    case TYPE_THING:
        return thing_text(run, value.thing, TYPE_INDEX(type));
    case TYPE_STEP: {
        uint32_t step = run->world->calls.at[run->done.at[REF_INDEX(value.thing)].call].step;
        return arena_print(&run->arena, "%s", world_text(world, world->shapes.at[world->steps.at[step].shape].name));
    }
    case TYPE_WORD:
        return arena_print(&run->arena, "%s", world_text(world, value.thing));
    case TYPE_TEXT:
        return run->texts.at[value.thing];
    case TYPE_TRUTH:
        return value.number != 0 ? "yes" : "no";
    case TYPE_SIZE: {
        Band size = run->bands.at[value.thing];
        Type side = TYPE(TYPE_NUMBER, TYPE_INDEX(type));
        return arena_print(&run->arena, "%s by %s", run_number_text(run, size.low, side, 0, DECIMALS_OPEN),
                           run_number_text(run, size.high, side, 0, DECIMALS_OPEN));
    }
    default:
        return "";
    }
}

/* {x}, {x in lb}, {x, 1 decimal} */
static const char *fill_text(Run *run, Frame *frame, NodeId fill)
{
    World *world = run->world;
    NodeId inner = world_node(world, fill)->first;
    int decimals = (int)world_node(world, fill)->extra - 1;
    UnitId unit = 0;
    if (world_node(world, inner)->form == NODE_CONVERT) {
        NodeId unit_node = world_node(world, world_node(world, inner)->first)->next;
        unit = world->bindings.at[unit_node];
    }
    StepFill **noted = run->fills;
    run->fills = NULL; /* a value may be a text of its own */
    Value value = run_value(run, frame, inner);
    Type type = world->types.at[inner];
    bool number = TYPE_SORT(type) == TYPE_NUMBER;
    if (number && decimals < 0 && world_node(world, inner)->form == NODE_DOT) {
        unit = run_typed_unit(run, frame, inner, type); /* 9 times stay times, though their kind is shown in sheets */
    }
    const char *shown = !run_told(value) ? "____" /* what nobody told is left to be written in by hand */
        : number && (unit != 0 || decimals >= 0) ? run_number_text(run, value.number, type, unit, decimals)
                                                 : run_shown(run, frame, inner, value, type);
    if (noted != NULL) {
        *noted = arena_take(&run->arena, sizeof **noted);
        **noted = (StepFill){.fill = fill, .value = value, .type = type, .unit = unit, .decimals = (int16_t)decimals, .shown = shown};
        run->fills = &(*noted)->next;
    }
    return shown;
}

const char *run_text(Run *run, Frame *frame, NodeId text)
{
    World *world = run->world;
    if (world_node(world, text)->form != NODE_TEXT) { /* one that is worked out, as by `choose` */
        Value value = run_value(run, frame, text);
        return run_told(value) ? run->texts.at[value.thing] : "";
    }
    Text out;
    text_open(&out, run->memory);
    for (NodeId part = world_node(world, text)->first; part != 0; part = world_node(world, part)->next) {
        if (world_node(world, part)->form == NODE_PIECE) {
            text_put(&out, world_text(world, world_node(world, part)->value));
        } else if (world_node(world, part)->form == NODE_FILL) {
            text_put(&out, fill_text(run, frame, part));
        }
    }
    const char *result = arena_copy(&run->arena, out.at == NULL ? "" : out.at, out.length);
    text_close(&out);
    return result;
}
