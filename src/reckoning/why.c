/* Unfolding a figure. The paper is walked once more with a trace; the words are
 * made of the scripts' own lines. */
#include "reckoning/why.h"

#include "reckoning/flow.h"
#include "reckoning/trace.h"
#include "reckoning/result.h"
#include "reckoning/solve.h"

#include <string.h>

enum { WHY_DEPTH = 24, WHY_LEAVES = 40, WHY_LINES = 600 };
#define TOLD_CALL 0x80000000u

/* A function that is being explained: its parameters are what stands in the call. */
typedef struct Function { NodeId call; const struct Function *outer; } Function;

typedef struct Unfolding {
    Run *run;
    World *world;
    Text *out;
    unsigned depth;
    uint32_t lines;
    uint32_t before;     /* only what was noted before this place counts: it belongs to the value that is explained */
    LIST(uint32_t) told; /* formulas, and with TOLD_CALL calls of functions, that were explained already */
    const Function *function; /* NULL: a step or a figure is explained */
} Unfolding;

static void explain_node(Unfolding *unfolding, NodeId node, uint32_t call, unsigned level);

static void indent(Unfolding *unfolding, unsigned level)
{
    for (unsigned i = 0; i < level; i++) {
        text_put(unfolding->out, "  ");
    }
    unfolding->lines++;
}

/* Where NODE was noted last, during CALL if it was there; the count of notes where it was not. */
static uint32_t note_of(const Unfolding *unfolding, NodeId node, uint32_t call)
{
    const Trace *trace = unfolding->run->trace;
    uint32_t found = trace->notes.count;
    for (uint32_t i = unfolding->before; i-- > 0;) {
        const TraceNote *note = &trace->notes.at[i];
        if (note->node == node && note->call == call) {
            return i;
        }
        if (note->node == node && found == trace->notes.count) {
            found = i;
        }
    }
    return found;
}

static bool value_of(Unfolding *unfolding, NodeId node, uint32_t call, Value *value)
{
    uint32_t place = note_of(unfolding, node, call);
    if (place == unfolding->run->trace->notes.count) {
        return false;
    }
    *value = unfolding->run->trace->notes.at[place].value;
    return true;
}

static const char *shown(Unfolding *unfolding, NodeId node, uint32_t call)
{
    Value value;
    if (!value_of(unfolding, node, call, &value)) {
        return world_written(unfolding->world, node);
    }
    Frame frame = {.call = unfolding->function == NULL ? call : 0};
    return run_shown(unfolding->run, &frame, node, value, unfolding->world->types.at[node]);
}

/* The parts of a formula that have values of their own, from left to right. */
static void leaves(const World *world, NodeId node, NodeId *list, uint32_t *count)
{
    const Node *at = world_node(world, node);
    switch ((NodeForm)at->form) {
    case NODE_NAME: case NODE_DOT:
        if (*count < WHY_LEAVES && TYPE_SORT(world->types.at[node]) == TYPE_NUMBER) {
            list[(*count)++] = node;
        }
        return;
    case NODE_CALL: {
        Bound bound = BOUND_OF(world->bindings.at[node]);
        bool over_set = false;
        for (NodeId inner = at->first; inner != 0; inner = world_node(world, inner)->next) {
            over_set = over_set || world_node(world, inner)->form == NODE_EACH;
        }
        if ((over_set || bound == BOUND_TABLE || bound == BOUND_LET || bound == BOUND_FIGURE) && *count < WHY_LEAVES) {
            list[(*count)++] = node;
            return;
        }
        break;
    }
    default:
        break;
    }
    for (NodeId inner = at->first; inner != 0; inner = world_node(world, inner)->next) {
        leaves(world, inner, list, count);
    }
}

static void put_source(Unfolding *unfolding, uint32_t from, uint32_t to)
{
    const char *bytes = sources_bytes(&unfolding->world->sources, from);
    bool blank = false;
    for (uint32_t i = 0; i < to - from; i++) {
        if (bytes[i] == ' ' || bytes[i] == '\n' || bytes[i] == '\t' || bytes[i] == '\r') {
            blank = true;
            continue;
        }
        if (blank) {
            text_char(unfolding->out, ' ');
        }
        blank = false;
        text_char(unfolding->out, bytes[i]);
    }
    if (blank) {
        text_char(unfolding->out, ' ');
    }
}

static void put_formula(Unfolding *unfolding, NodeId node)
{
    Span span = world_span(unfolding->world, node);
    put_source(unfolding, span.start, span.end);
}

/* The formula with this batch's numbers in place of its names. */
static void put_with_numbers(Unfolding *unfolding, NodeId node, uint32_t call, const NodeId *list, uint32_t count)
{
    Span span = world_span(unfolding->world, node);
    uint32_t from = span.start;
    for (uint32_t i = 0; i < count; i++) {
        Span leaf = world_span(unfolding->world, list[i]);
        put_source(unfolding, from, leaf.start);
        text_put(unfolding->out, shown(unfolding, list[i], call));
        from = leaf.end;
    }
    put_source(unfolding, from, span.end);
}

static void put_marks(Unfolding *unfolding, uint32_t marks)
{
    static const struct { uint32_t mark; const char *text; } all[] = {
        {MARK_PRACTICE, "common practice"}, {MARK_MEMORY, "from memory"}, {MARK_SUPPLIER, "told by the supplier"},
        {MARK_MEASURED, "measured"}};
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        if ((marks & all[i].mark) != 0) {
            text_print(unfolding->out, "; %s", all[i].text);
        }
    }
}

static void put_source_text(Unfolding *unfolding, NodeId line)
{
    NodeId source = line == 0 ? 0 : line_source(unfolding->world, line);
    if (source != 0 && world_node(unfolding->world, source)->first != 0) {
        text_print(unfolding->out, "; source: %s",
                   world_text(unfolding->world, world_node(unfolding->world, world_node(unfolding->world, source)->first)->value));
    }
}

static void put_place(Unfolding *unfolding, NodeId node)
{
    uint32_t line, column, place = world_node(unfolding->world, node)->start;
    const Source *source = sources_at(&unfolding->world->sources, place);
    sources_line(&unfolding->world->sources, place, &line, &column);
    text_print(unfolding->out, " (%s, line %u", world_text(unfolding->world, source->path), line);
}

static bool is_plain(const World *world, NodeId node)
{
    NodeForm form = (NodeForm)world_node(world, node)->form;
    return form == NODE_NUMBER || form == NODE_QUANTITY || form == NODE_ABOUT || form == NODE_TOLERANCE;
}

static bool told_before(Unfolding *unfolding, uint32_t what)
{
    for (uint32_t i = 0; i < unfolding->told.count; i++) {
        if (unfolding->told.at[i] == what) {
            return true;
        }
    }
    list_push(unfolding->run->memory, &unfolding->told, what);
    return false;
}

static void forget(Unfolding *unfolding, uint32_t what)
{
    for (uint32_t i = 0; i < unfolding->told.count; i++) {
        if (unfolding->told.at[i] == what) {
            unfolding->told.at[i] = 0;
        }
    }
}

static bool deep_enough(const Unfolding *unfolding, unsigned level)
{
    return level > WHY_DEPTH || unfolding->lines > WHY_LINES || (unfolding->depth > 0 && level > unfolding->depth);
}

/* NAME = VALUE; formula; formula with numbers; then its parts. */
static void explain_formula(Unfolding *unfolding, const char *name, const char *value, NodeId formula, NodeId line, uint32_t call,
                            uint32_t marks, unsigned level)
{
    indent(unfolding, level);
    text_print(unfolding->out, "%s is %s", name, value);
    if (formula == 0) {
        text_put(unfolding->out, ".\n");
        return;
    }
    if (is_plain(unfolding->world, formula)) {
        text_put(unfolding->out, ", written as ");
        put_formula(unfolding, formula);
        put_place(unfolding, formula);
        put_source_text(unfolding, line);
        put_marks(unfolding, marks);
        text_put(unfolding->out, ").\n");
        return;
    }
    if (told_before(unfolding, formula)) {
        text_put(unfolding->out, ", as above.\n");
        return;
    }
    NodeId list[WHY_LEAVES];
    uint32_t count = 0, outer = unfolding->before, place = note_of(unfolding, formula, call);
    unfolding->before = place == unfolding->run->trace->notes.count ? outer : place + 1;
    leaves(unfolding->world, formula, list, &count);
    text_put(unfolding->out, ":\n");
    indent(unfolding, level);
    text_put(unfolding->out, "  = ");
    put_formula(unfolding, formula);
    put_place(unfolding, formula);
    put_source_text(unfolding, line);
    text_put(unfolding->out, ")\n");
    if (count > 0) {
        indent(unfolding, level);
        text_put(unfolding->out, "  = ");
        put_with_numbers(unfolding, formula, call, list, count);
        text_put(unfolding->out, "\n");
    }
    for (uint32_t i = 0; i < count && !deep_enough(unfolding, level + 1); i++) {
        explain_node(unfolding, list[i], call, level + 1);
    }
    unfolding->before = outer;
}

/* A parameter of a function is what stands for it in the call, where the names are those of whoever calls. */
static void explain_parameter(Unfolding *unfolding, NodeId node, const char *value, uint32_t call, unsigned level)
{
    World *world = unfolding->world;
    const Function *function = unfolding->function;
    NodeId argument = world_node(world, function->call)->first;
    for (uint32_t slot = BOUND_INDEX(world->bindings.at[node]); slot > 0 && argument != 0; slot--) {
        argument = world_node(world, argument)->next;
    }
    unfolding->function = function->outer;
    if (argument != 0 && world_node(world, argument)->form == NODE_NAME && world_node(world, argument)->value == world_node(world, node)->value) {
        explain_node(unfolding, argument, call, level);
    } else {
        explain_formula(unfolding, world_written(world, node), value, argument, 0, call, 0, level);
    }
    unfolding->function = function;
}

static void explain_slot(Unfolding *unfolding, NodeId node, uint32_t call, unsigned level)
{
    World *world = unfolding->world;
    const char *name = world_written(world, node), *value = shown(unfolding, node, call);
    if (unfolding->function != NULL) {
        explain_parameter(unfolding, node, value, call, level);
        return;
    }
    if (call == 0) {
        return;
    }
    const Effect *effect = run_formula_at(world, call, node);
    if (effect != NULL) {
        explain_formula(unfolding, name, value, effect->one, effect->line, call, 0, level);
        return;
    }
    uint32_t i = 0;
    for (FieldId id = world->shapes.at[world->steps.at[world->calls.at[call].step].shape].first; id != 0; id = world->fields.at[id].next, i++) {
        if (i == BOUND_INDEX(world->bindings.at[node]) && world->fields.at[id].name == world_node(world, node)->value) {
            NodeId told = world->arguments.at[world->calls.at[call].arguments + i];
            NodeId from = told != 0 ? told : world->fields.at[id].value;
            explain_formula(unfolding, name, value, from, told != 0 ? 0 : world->fields.at[id].line, call,
                            told != 0 ? 0 : world->fields.at[id].marks, level);
        }
    }
}

/* The last `sets` of FIELD in this procedure, and the line that did it. */
static const Effect *setter_of(Unfolding *unfolding, FieldId field, uint32_t before, uint32_t *call)
{
    const Run *run = unfolding->run;
    for (uint32_t i = run->record_count; i-- > 0;) {
        uint32_t at = run->records[i].call;
        const Step *step = &unfolding->world->steps.at[unfolding->world->calls.at[at].step];
        for (uint32_t j = step->count; j-- > 0 && (before == 0 || at <= before);) {
            const Effect *effect = &unfolding->world->effects.at[step->first + j];
            if (effect->sort == EFFECT_SETS && effect->detail == field) {
                *call = at;
                return effect;
            }
        }
    }
    return NULL;
}

static void explain_attribute(Unfolding *unfolding, NodeId node, uint32_t call, unsigned level)
{
    World *world = unfolding->world;
    FieldId id = BOUND_INDEX(world->bindings.at[node]);
    const Field *field = &world->fields.at[id];
    const char *name = world_written(world, node), *value = shown(unfolding, node, call);
    if (field->sort == FIELD_GIVES) {
        explain_formula(unfolding, name, value, field->value, field->line, call, 0, level);
        return;
    }
    uint32_t setting = 0;
    const Effect *setter = setter_of(unfolding, id, call, &setting);
    if (setter != NULL) {
        explain_formula(unfolding, name, value, setter->one, setter->line, setting, 0, level);
        return;
    }
    Value of = run_absent(0);
    NodeId inner = world_node(world, node)->form == NODE_DOT ? world_node(world, node)->first : 0;
    if (inner != 0 && value_of(unfolding, inner, call, &of) && run_told(of) && REF_SORT(of.thing) == REF_THING) {
        for (uint32_t i = world->things.at[REF_INDEX(of.thing)].first; i != 0; i = world->values.at[i].next) {
            if (world->values.at[i].field == id && world->values.at[i].node != 0) {
                explain_formula(unfolding, name, value, world->values.at[i].node, world->values.at[i].line, 0,
                                world->values.at[i].marks, level);
                return;
            }
        }
    }
    explain_formula(unfolding, name, value, field->value, field->line, 0, field->marks, level);
}

static void explain_given(Unfolding *unfolding, uint32_t index, const char *value, unsigned level)
{
    World *world = unfolding->world;
    const Given *given = &unfolding->run->given.at[index];
    const char *name = world_word(world, world->given.at[index]);
    const Effect *effect = run_given_by(unfolding->run, index);
    if (effect == NULL) {
        indent(unfolding, level);
        text_print(unfolding->out, "%s is not told: no step of this procedure gives it.\n", name);
        return;
    }
    explain_formula(unfolding, name, value, effect->one, effect->line, given->call, 0, level);
}

static void explain_core(Unfolding *unfolding, Name core, const char *value, unsigned level)
{
    Run *run = unfolding->run;
    const char *name = world_word(unfolding->world, core);
    indent(unfolding, level);
    switch (core) {
    case KNOWN_sheets_formed: {
        double survival = run->formed > 0 ? run->left / run->formed : 0;
        text_print(unfolding->out,
                   "%s is %s: each formed sheet is left with a chance of %.4f, and of so many at least %.0f are left with an "
                   "assurance of %.1f %% (%.0f %% was asked for; binomial), in %.0f equal parcel%s.\n",
                   name, value, survival, run->sheets_good,
                   100 * solve_assurance(run->sheets_formed, run->sheets_good, survival), 100 * run->sure, run->parcels,
                   run->parcels == 1 ? "" : "s");
        break;
    }
    case KNOWN_fibre_charge:
        text_print(unfolding->out, "%s is %s: solved, so that the stuff of one parcel gives exactly %.0f sheet%s.\n", name, value,
                   run->sheets_formed / run->parcels, run->sheets_formed == run->parcels ? "" : "s");
        break;
    default:
        text_print(unfolding->out, "%s is %s, from the order.\n", name, value);
    }
}

static void explain_figure(Unfolding *unfolding, uint32_t figure, const char *value, unsigned level)
{
    World *world = unfolding->world;
    const Figure *at = &world->figures.at[figure];
    const char *name = world_word(world, at->name);
    if (figure == world->unknown) {
        indent(unfolding, level);
        text_print(unfolding->out, "%s is %s: solved, so that %s meets its aim.\n", name, value,
                   world_text(world, world->figures.at[world->solved_figure].name));
        return;
    }
    explain_formula(unfolding, name, value, at->value, at->line, 0, 0, level);
}

/* Of which thing of the set the term noted at PLACE is: the variable was noted on the way to it. */
static void put_item(Unfolding *unfolding, NodeId sum, uint32_t place)
{
    const World *world = unfolding->world;
    const Trace *trace = unfolding->run->trace;
    for (NodeId each = world_node(world, sum)->first; each != 0; each = world_node(world, each)->next) {
        if (world_node(world, each)->form != NODE_EACH) {
            continue;
        }
        for (uint32_t i = place; i-- > 0 && place - i < 40;) {
            NodeId node = trace->notes.at[i].node;
            if (node != 0 && world_node(world, node)->form == NODE_NAME
                && world->bindings.at[node] == world->bindings.at[each] && world_node(world, node)->value == world_node(world, each)->value) {
                text_print(unfolding->out, " of %s", result_name(unfolding->run, trace->notes.at[i].value.thing));
                return;
            }
        }
    }
}

/* sum(…, each m from contents): each term by its material. */
static void explain_sum(Unfolding *unfolding, NodeId node, uint32_t call, unsigned level)
{
    World *world = unfolding->world;
    NodeId expression = world_node(world, node)->first;
    Value total;
    if (!value_of(unfolding, node, call, &total) || world_node(world, expression)->form == NODE_EACH) {
        return;
    }
    indent(unfolding, level);
    put_formula(unfolding, node);
    text_print(unfolding->out, " is %s", shown(unfolding, node, call));
    const Trace *trace = unfolding->run->trace;
    uint32_t end = unfolding->before;
    while (end > 0 && !(trace->notes.at[end - 1].node == node && (trace->notes.at[end - 1].call == call || call == 0))) {
        end--;
    }
    uint32_t terms = 0;
    for (uint32_t i = end > 0 ? end - 1 : 0; i-- > 0 && terms < 12;) {
        if (trace->notes.at[i].node == node) {
            break; /* the working out before this one */
        }
        if (trace->notes.at[i].node == expression) {
            text_put(unfolding->out, terms++ == 0 ? ": " : ", ");
            text_put(unfolding->out, run_shown(unfolding->run, NULL, 0, trace->notes.at[i].value, world->types.at[expression]));
            put_item(unfolding, node, i);
        }
    }
    text_put(unfolding->out, ".\n");
}

/* A function is explained anew wherever it is called: its parameters are others there. */
static void explain_let(Unfolding *unfolding, NodeId node, const char *value, uint32_t call, unsigned level)
{
    World *world = unfolding->world;
    const Let *let = &world->lets.at[BOUND_INDEX(world->bindings.at[node])];
    const Function *outer_function = unfolding->function;
    Function inner = {node, outer_function};
    if (world_node(world, node)->form == NODE_CALL) {
        if (told_before(unfolding, node | TOLD_CALL)) {
            indent(unfolding, level);
            text_print(unfolding->out, "%s is %s, as above.\n", world_written(world, node), value);
            return;
        }
        forget(unfolding, let->value);
        unfolding->function = &inner;
    }
    uint32_t outer = unfolding->before, place = note_of(unfolding, node, call);
    unfolding->before = place == unfolding->run->trace->notes.count ? outer : place;
    explain_formula(unfolding, world_written(world, node), value, let->value, let->line, call, line_marks(world, let->line), level);
    unfolding->before = outer;
    unfolding->function = outer_function;
}

static void explain_node(Unfolding *unfolding, NodeId node, uint32_t call, unsigned level)
{
    World *world = unfolding->world;
    uint32_t binding = world->bindings.at[node], index = BOUND_INDEX(binding);
    const char *value = shown(unfolding, node, call);
    switch (BOUND_OF(binding)) {
    case BOUND_FIGURE:
        explain_figure(unfolding, index, value, level);
        break;
    case BOUND_LET:
        explain_let(unfolding, node, value, call, level);
        break;
    case BOUND_GIVEN:
        explain_given(unfolding, index, value, level);
        break;
    case BOUND_SLOT:
        explain_slot(unfolding, node, call, level);
        break;
    case BOUND_SELF: case BOUND_PART:
        explain_attribute(unfolding, node, call, level);
        break;
    case BOUND_CORE:
        explain_core(unfolding, index, value, level);
        break;
    case BOUND_FUNCTION:
        explain_sum(unfolding, node, call, level);
        break;
    case BOUND_TABLE:
        indent(unfolding, level);
        text_print(unfolding->out, "%s is %s, from the table %s.\n", world_written(world, node), value,
                   world_text(world, world->tables.at[index].name));
        break;
    case BOUND_VARY:
        indent(unfolding, level);
        text_print(unfolding->out, "%s is %s in this variant.\n", world_written(world, node), value);
        break;
    default:
        break;
    }
}

static uint32_t figure_named(const World *world, const char *name, size_t length)
{
    Name word = names_find(&world->names, name, length);
    uint32_t binding = word == 0 ? 0 : world_declared(world, SPACE_VALUE, word);
    return BOUND_OF(binding) == BOUND_FIGURE && binding != WORLD_BROKEN ? BOUND_INDEX(binding) : 0;
}

/* "weigh-out of" a material */
static bool explain_of_thing(Unfolding *unfolding, uint32_t figure, const char *thing)
{
    Run *run = unfolding->run;
    const Figure *at = &unfolding->world->figures.at[figure];
    bool found = false;
    for (uint32_t i = 0; i < run->bill.count; i++) {
        const char *name = result_name(run, REF(REF_BILL, i));
        if (thing != NULL && strcmp(name, thing) != 0) {
            continue;
        }
        found = true;
        Value value = run_figure_of(run, figure, REF(REF_BILL, i));
        unfolding->before = run->trace->notes.count;
        const char *title = arena_print(&run->arena, "%s of %s", world_text(unfolding->world, at->name), name);
        unfolding->told.count = 0;
        explain_formula(unfolding, title, result_quantity(run, value, at->type, at->shown, at->decimals).shown, at->value, at->line,
                        0, 0, 0);
    }
    return found;
}

static bool explain_named(Unfolding *unfolding, const char *figure)
{
    Run *run = unfolding->run;
    World *world = unfolding->world;
    const char *of = strstr(figure, " of ");
    size_t length = of == NULL ? strlen(figure) : (size_t)(of - figure);
    uint32_t id = figure_named(world, figure, length);
    if (id != 0 && world->figures.at[id].set != 0) {
        return explain_of_thing(unfolding, id, of == NULL ? NULL : of + 4);
    }
    if (id != 0) {
        Value value = run_figure(run, id);
        unfolding->before = run->trace->notes.count;
        const Figure *at = &world->figures.at[id];
        explain_figure(unfolding, id, result_quantity(run, value, at->type, at->shown, at->decimals).shown, 0);
        return true;
    }
    Name word = names_find(&world->names, figure, strlen(figure));
    if (word == KNOWN_sheets_formed || word == KNOWN_sheets_good || word == KNOWN_parcels || word == KNOWN_fibre_charge) {
        bool fibre = word == KNOWN_fibre_charge;
        double number = fibre ? run->fibre_charge : word == KNOWN_parcels ? run->parcels
            : word == KNOWN_sheets_good ? run->sheets_good : run->sheets_formed;
        Type type = fibre && world->unknown != 0 ? world->figures.at[world->unknown].type : TYPE(TYPE_NUMBER, KIND_ONE);
        explain_core(unfolding, word, run_number_text(run, number, type, 0, -1), 0);
        return true;
    }
    bool found = false;
    for (uint32_t i = 0; i < run->record_count && word != 0; i++) {
        for (uint32_t j = 0; j < run->records[i].figures.count; j++) {
            const StepFigure *step_figure = &run->records[i].figures.at[j];
            if (step_figure->name != word) {
                continue;
            }
            found = true;
            const char *title = arena_print(&run->arena, "%s of %s", figure,
                                            world_written(world, world->calls.at[run->records[i].call].line));
            title = arena_copy(&run->arena, title, strcspn(title, "\n"));
            unfolding->told.count = 0;
            explain_formula(unfolding, title, result_quantity(run, step_figure->value, step_figure->type, step_figure->shown, step_figure->decimals).shown,
                            line_bound(world, step_figure->line), step_figure->line, run->records[i].call, 0, 0);
        }
    }
    return found;
}

bool why_figure(Run *run, const char *figure, unsigned depth, Text *out)
{
    Trace trace = {0};
    bool muted = run->world->messages->muted;
    run->world->messages->muted = true;
    run->trace = &trace;
    flow_walk(run, true);
    Unfolding unfolding = {.run = run, .world = run->world, .out = out, .depth = depth, .before = trace.notes.count};
    bool found = explain_named(&unfolding, figure);
    run->trace = NULL;
    run->world->messages->muted = muted;
    memory_return(run->memory, trace.notes.at);
    memory_return(run->memory, unfolding.told.at);
    return found;
}
