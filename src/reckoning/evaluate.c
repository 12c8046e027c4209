/* Working out expressions. The kinds were settled before; here are doubles,
 * things and words, and the marks of where they come from. */
#include "reckoning/run.h"

#include "base/limits.h"
#include "reckoning/trace.h"

#include <math.h>
#include <string.h>

Value run_absent(uint32_t marks)
{
    return (Value){NAN, 0, marks | VALUE_ABSENT};
}

bool run_equal(double one, double other)
{
    double larger = fabs(one) > fabs(other) ? fabs(one) : fabs(other);
    double apart = fabs(one - other);
    return apart <= 1e-12 * larger && isfinite(apart); /* nothing is as much as what is infinite */
}

double run_round_up(double number)
{
    double near = floor(number + 0.5);
    return run_equal(number, near) ? near : ceil(number);
}

static Value truth(bool holds, uint32_t marks)
{
    return (Value){holds ? 1 : 0, 0, marks & ~VALUE_ABSENT};
}

bool run_holds(Run *run, Frame *frame, NodeId condition)
{
    return condition == 0 || run_value(run, frame, condition).number == 1;
}

bool run_fails(Run *run, Frame *frame, NodeId condition)
{
    return run_value(run, frame, condition).number == 0;
}

/* A sum whose terms nearly cancel is nothing: "against 0: of the largest term". */
static double difference(double one, double other)
{
    double result = one - other;
    double larger = fabs(one) > fabs(other) ? fabs(one) : fabs(other);
    return fabs(result) <= 1e-15 * larger ? 0 : result;
}

static Value divided_by_nothing(Run *run, NodeId node, uint32_t marks)
{
    if (run->last) {
        run_say(run, SAY_division_by_nothing, node, world_written(run->world, node), NULL);
    }
    return run_absent(marks);
}

static Value arithmetic(Run *run, NodeId node, Operator operator, Value one, Value other)
{
    uint32_t marks = one.marks | other.marks;
    switch (operator) {
    case OPERATOR_ADD:
        return run_number(one.number + other.number, marks);
    case OPERATOR_SUBTRACT:
        return run_number(difference(one.number, other.number), marks);
    case OPERATOR_OVER:
        return divided_by_nothing(run, node, marks);
    default:
        return run_number(pow(one.number, other.number), marks);
    }
}

/* A number alone may stand where a range is wanted. */
static Band ends_of(const Run *run, Value value)
{
    return value.thing == 0 ? (Band){value.number, value.number, value.number} : run->bands.at[value.thing];
}

/* Things and words have no number. */
bool run_same(const Run *run, TypeSort sort, Value one, Value other)
{
    if (sort == TYPE_NUMBER) {
        return run_equal(one.number, other.number);
    }
    if (sort == TYPE_BAND || sort == TYPE_SIZE) {
        Band mine = ends_of(run, one), theirs = ends_of(run, other);
        return run_equal(mine.low, theirs.low) && run_equal(mine.high, theirs.high);
    }
    if (sort == TYPE_TEXT) {
        return strcmp(run->texts.at[one.thing], run->texts.at[other.thing]) == 0;
    }
    return one.number == other.number && one.thing == other.thing;
}

static Value compared(const Run *run, TypeSort sort, Operator operator, Value one, Value other)
{
    uint32_t marks = one.marks | other.marks;
    bool equal = run_same(run, sort, one, other);
    switch (operator) {
    case OPERATOR_EQUAL:
        return truth(equal, marks);
    case OPERATOR_UNEQUAL:
        return truth(!equal, marks);
    case OPERATOR_LESS:
        return truth(!equal && one.number < other.number, marks);
    case OPERATOR_LESS_EQUAL:
        return truth(equal || one.number < other.number, marks);
    case OPERATOR_MORE:
        return truth(!equal && one.number > other.number, marks);
    default:
        return truth(equal || one.number > other.number, marks);
    }
}

static Value is_it(Run *run, Frame *frame, NodeId node, bool not)
{
    World *world = run->world;
    NodeId left = world_node(world, node)->first, right = world_node(world, left)->next;
    Value of = run_value(run, frame, left);
    uint32_t binding = world->bindings.at[node];
    if (BOUND_OF(binding) == BOUND_NOTHING) { /* is none */
        return truth(run_told(of) == not, of.marks);
    }
    if (!run_told(of)) {
        return truth(not, of.marks); /* what was left out is none of the words */
    }
    bool holds;
    if (BOUND_OF(binding) == BOUND_PART) {
        Value word = run_attribute(run, of.thing, BOUND_INDEX(binding));
        holds = run_told(word) && word.thing == world_node(world, right)->value;
    } else if (BOUND_OF(binding) == BOUND_MARK) {
        holds = run_has_mark(run, of.thing, BOUND_INDEX(binding));
    } else if (BOUND_OF(binding) == BOUND_STEP_PART) {
        uint32_t step = world->calls.at[run->done.at[REF_INDEX(of.thing)].call].step;
        holds = world->shapes.at[world->steps.at[step].shape].name == BOUND_INDEX(binding);
    } else if (BOUND_OF(binding) == BOUND_WORD_OF) {
        Value word = run_value(run, frame, right);
        holds = run_told(word) && run_is_word(run, of.thing, word.thing);
    } else {
        Value other = run_value(run, frame, right);
        holds = run_told(other) && of.thing == other.thing;
    }
    return truth(holds != not, of.marks);
}

static Value both(Run *run, Frame *frame, NodeId left, NodeId right, bool and)
{
    Value one = run_value(run, frame, left);
    if (run_told(one) && (one.number == 0) == and) {
        return one;
    }
    Value other = run_value(run, frame, right);
    if (run_told(other) && (other.number == 0) == and) {
        return other;
    }
    return run_told(one) ? other : one;
}

static Value binary(Run *run, Frame *frame, NodeId node, const Node *at)
{
    Operator operator = (Operator)at->extra;
    NodeId left = at->first, right = world_node(run->world, left)->next;
    if (operator <= OPERATOR_MORE_EQUAL) {
        Value one = run_value(run, frame, left), other = run_value(run, frame, right);
        uint32_t marks = one.marks | other.marks;
        if ((marks & VALUE_ABSENT) != 0) {
            return run_absent(marks);
        }
        if (operator == OPERATOR_TIMES) {
            return run_number(one.number * other.number, marks);
        }
        if (operator == OPERATOR_OVER && other.number != 0) {
            return run_number(one.number / other.number, marks);
        }
        return operator <= OPERATOR_POWER ? arithmetic(run, node, operator, one, other)
                                          : compared(run, TYPE_SORT(run->world->types.at[left]), operator, one, other);
    }
    if (operator <= OPERATOR_IS_NOT) {
        return is_it(run, frame, node, operator == OPERATOR_IS_NOT);
    }
    return both(run, frame, left, right, operator == OPERATOR_AND);
}

static Value given(Run *run, uint32_t index)
{
    const Given *at = &run->given.at[index];
    if (at->walk != run->walk) {
        return run_absent(0);
    }
    if (at->twice && run->last) {
        run_say(run, SAY_given_twice, 0, world_word(run->world, run->world->given.at[index]), NULL);
    }
    return at->value;
}

/* The day on which the batch begins, where a batch is worked and tells it. */
static Value batch_start(const Run *run)
{
    NodeId start = run->batch == 0 ? 0 : run->world->batches.at[run->batch].start;
    UnitId day = start == 0 ? 0 : unit_of_day(run->world, kind_of_day(run->world));
    if (day == 0) {
        return run_absent(0);
    }
    return run_number(unit_to_base(&run->world->units.at[day], (double)(int32_t)world_node(run->world, start)->value), 0);
}

static Value core(Run *run, Name name)
{
    switch (name) {
    case KNOWN_start:
        return batch_start(run);
    case KNOWN_sheets_formed:
        return run_number(run->sheets_formed, 0);
    case KNOWN_sheets_good:
        return run_number(run->sheets_good, 0);
    case KNOWN_parcels:
        return run_number(run->parcels, 0);
    case KNOWN_fibre_charge:
        return run_number(run->fibre_charge, 0);
    case KNOWN_sheets:
        return run->sheet_made ? run_number(run->left, 0) : run_absent(0);
    case KNOWN_formed:
        return run->sheet_made ? run_number(run->formed, 0) : run_absent(0);
    default:
        return run_told_text(run, name);
    }
}

/* Only the lines of a paper name a stream, and then one of their own furnish. */
static Value stream_called(Run *run, Name name)
{
    const Paper *paper = &run->world->papers.at[run->paper];
    uint32_t i = 0;
    while (i + 1 < run->stream_count && run->world->furnish.at[paper->furnish + i].name != name) {
        i++;
    }
    return (Value){.thing = REF(REF_SUBJECT, SUBJECT_STREAMS + i)};
}

static Value thing_or_none(ThingId thing)
{
    return thing == 0 ? run_absent(0) : (Value){0, REF(REF_THING, thing), 0};
}

static Value name_value(Run *run, Frame *frame, NodeId node)
{
    uint32_t binding = run->world->bindings.at[node], index = BOUND_INDEX(binding);
    switch (BOUND_OF(binding)) { /* never: a name is settled as one of these, or as a set, which is no value */
    case BOUND_SLOT:
        return frame->slots[index];
    case BOUND_SELF:
        return run_attribute(run, frame->self, index);
    case BOUND_THING:
        return (Value){0, REF(REF_THING, index), 0};
    case BOUND_WORD:
        return (Value){0, index, 0};
    case BOUND_VARY:
        return run->choices[index];
    case BOUND_LET:
        return run_let(run, index);
    case BOUND_FIGURE:
        return run_figure(run, index);
    case BOUND_GIVEN:
        return given(run, index);
    case BOUND_HELD:
        return thing_or_none(run_held(run, index));
    case BOUND_HELD_NAMED:
        return thing_or_none(run_held_named(run, index));
    case BOUND_ROOT:
        return thing_or_none(index == KNOWN_paper ? run->world->papers.at[run->paper].thing : run->mill);
    case BOUND_SUBJECT: {
        uint32_t subject = index == KNOWN_sheet ? SUBJECT_SHEET : SUBJECT_STUFF;
        return (Value){.thing = REF(REF_SUBJECT, subject)};
    }
    case BOUND_STREAM:
        return stream_called(run, index);
    case BOUND_CORE:
        return core(run, index);
    default:
        return run_absent(0);
    }
}

/* .aim .low .high .typical of a band or a number, .length and .width of a size */
static Value number_part(Run *run, Frame *frame, NodeId inner, Name part)
{
    Value of = run_value(run, frame, inner);
    if (!run_told(of) || of.thing == 0) {
        return of;
    }
    const Band *band = &run->bands.at[of.thing];
    double number = part == KNOWN_low || part == KNOWN_length ? band->low
        : part == KNOWN_high || part == KNOWN_width ? band->high : band->aim;
    return run_number(number, of.marks);
}

static Value dot(Run *run, Frame *frame, NodeId node, const Node *at)
{
    uint32_t binding = run->world->bindings.at[node];
    if (BOUND_OF(binding) == BOUND_CORE) {
        return core(run, BOUND_INDEX(binding));
    }
    if (BOUND_OF(binding) == BOUND_SLOT) { /* {change.now} */
        return frame->slots[BOUND_INDEX(binding)];
    }
    if (BOUND_OF(binding) == BOUND_STEP_PART) {
        Value step = run_value(run, frame, at->first);
        return run_told(step) ? run_step_part(run, step.thing, BOUND_INDEX(binding)) : step;
    }
    if (BOUND_OF(binding) == BOUND_NUMBER_PART) {
        return number_part(run, frame, at->first, BOUND_INDEX(binding));
    }
    Value of = run_value(run, frame, at->first);
    if (!run_told(of)) {
        return of;
    }
    Value value = run_attribute(run, of.thing, BOUND_INDEX(binding));
    value.marks |= of.marks;
    return value;
}

static Value band_value(Run *run, double aim, double low, double high, uint32_t marks)
{
    list_push(run->memory, &run->bands, (Band){aim, low, high});
    return (Value){aim, run->bands.count - 1, marks};
}

static Value range(Run *run, Frame *frame, const Node *at)
{
    Value low = run_value(run, frame, at->first);
    Value high = run_value(run, frame, world_node(run->world, at->first)->next);
    uint32_t marks = low.marks | high.marks;
    return (marks & VALUE_ABSENT) != 0 ? run_absent(marks) : band_value(run, (low.number + high.number) / 2, low.number, high.number, marks);
}

static Value tolerance(Run *run, Frame *frame, NodeId node, const Node *at)
{
    Value aim = run_value(run, frame, at->first);
    Value allowed = run_value(run, frame, world_node(run->world, at->first)->next);
    bool relative = run->world->bindings.at[node] != 0;
    double both_sides = relative ? fabs(aim.number) * allowed.number : allowed.number;
    uint32_t marks = aim.marks | allowed.marks;
    return (marks & VALUE_ABSENT) != 0 ? run_absent(marks)
        : band_value(run, aim.number, aim.number - both_sides, aim.number + both_sides, marks);
}

/* The end at which this run takes it; which are asked for is noted on the way. */
static Value about(Run *run, Frame *frame, NodeId node, const Node *at)
{
    uint32_t binding = run->world->bindings.at[node];
    NodeId range_node = world_node(run->world, at->first)->next;
    if (BOUND_OF(binding) != BOUND_SLOT) { /* no range is told */
        return run_value(run, frame, at->first);
    }
    uint32_t place = BOUND_INDEX(binding);
    run->about_used.at[place] = 1;
    int8_t end = run->about_ends.at[place];
    if (end == 0) {
        return run_value(run, frame, at->first);
    }
    NodeId low = world_node(run->world, range_node)->first;
    return run_value(run, frame, end < 0 ? low : world_node(run->world, low)->next);
}

static Value size(Run *run, Frame *frame, const Node *at)
{
    Value length = run_value(run, frame, at->first);
    Value width = run_value(run, frame, world_node(run->world, at->first)->next);
    uint32_t marks = length.marks | width.marks;
    return (marks & VALUE_ABSENT) != 0 ? run_absent(marks) : band_value(run, length.number, length.number, width.number, marks);
}

static Value text(Run *run, Frame *frame, NodeId node)
{
    const char *filled = run_text(run, frame, node); /* which may add texts of its own */
    list_push(run->memory, &run->texts, filled);
    return (Value){0, run->texts.count - 1, 0};
}

/* Days since 1970, or minutes of a day. */
static Value date(Run *run, NodeId node, const Node *at)
{
    UnitId day = unit_of_day(run->world, TYPE_INDEX(run->world->types.at[node]));
    double base = unit_to_base(&run->world->units.at[day], at->form == NODE_DATE ? (double)(int32_t)at->value : (double)at->value);
    return run_number(at->form == NODE_DATE ? base : base / 1440, 0);
}

static Value inside(Run *run, Frame *frame, NodeId node, const Node *at)
{
    switch ((NodeForm)at->form) {
    case NODE_NAME:
        return name_value(run, frame, node);
    case NODE_DOT:
        return dot(run, frame, node, at);
    case NODE_NUMBER: case NODE_QUANTITY:
        return (Value){run->world->converted.at[at->value], 0, 0};
    case NODE_BINARY:
        return binary(run, frame, node, at);
    case NODE_CALL:
        return run_call(run, frame, node);
    case NODE_NARROW: case NODE_CONVERT:
        return run_value(run, frame, at->first);
    case NODE_ABOUT:
        return about(run, frame, node, at);
    case NODE_RANGE:
        return range(run, frame, at);
    case NODE_TOLERANCE:
        return tolerance(run, frame, node, at);
    case NODE_SIZE:
        return size(run, frame, at);
    case NODE_TEXT:
        return text(run, frame, node);
    case NODE_NOT: {
        Value of = run_value(run, frame, at->first);
        return run_told(of) ? truth(of.number == 0, of.marks) : of;
    }
    case NODE_DATE: case NODE_CLOCK:
        return date(run, node, at);
    default:
        return run_absent(0);
    }
}

static Value too_deep(Run *run, NodeId node)
{
    run_say(run, SAY_too_deep, node, NULL, NULL);
    run->failed = true;
    run->depth--;
    return run_absent(0);
}

/* Formulas that ask for one another again and again would run on for ages: they end here. */
bool run_goes_on(Run *run, NodeId node)
{
    if (++run->evaluations < LIMIT_EVALUATIONS) {
        return true;
    }
    if (run->evaluations == LIMIT_EVALUATIONS) {
        run_say(run, SAY_too_much_work, node, NULL, NULL);
    }
    run->evaluations = LIMIT_EVALUATIONS + 1;
    run->failed = true;
    return false;
}

Value run_value(Run *run, Frame *frame, NodeId node)
{
    if (node == 0) {
        return run_absent(0);
    }
    const Node *at = world_node(run->world, node);
    if (run->trace == NULL) { /* the two that are asked for most */
        if (at->form == NODE_NAME) {
            uint32_t binding = run->world->bindings.at[node];
            if (BOUND_OF(binding) == BOUND_SLOT) {
                return frame->slots[BOUND_INDEX(binding)];
            }
        } else if (at->form == NODE_QUANTITY || at->form == NODE_NUMBER) {
            return (Value){run->world->converted.at[at->value], 0, 0};
        }
    }
    if (!run_goes_on(run, node)) {
        return run_absent(0);
    }
    if (++run->depth > RUN_DEPTH) {
        return too_deep(run, node);
    }
    uint32_t first = run->trace == NULL ? 0 : run->trace->notes.count;
    Value value = inside(run, frame, node, at);
    run->depth--;
    if (run->trace != NULL) {
        trace_note(run, frame, node, first, value);
    }
    return value;
}
