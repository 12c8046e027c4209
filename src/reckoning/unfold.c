/* The walk from a value to its parts, down to what was typed. */
#include "reckoning/unfold.h"

#include "reckoning/result.h"

#include <math.h>
#include <string.h>

enum { LEAVES_MOST = 200, TERMS_MOST = 400 };

WhyPart *unfold_part(Unfold *unfold, WhyPart *parent, const char *figure, const char *shown, double value)
{
    WhyPart *part = arena_take(&unfold->run->arena, sizeof *part);
    *part = (WhyPart){.figure = figure, .shown = shown, .value = value};
    unfold->parts++;
    if (parent->last != NULL) {
        parent->last->next = part;
    } else {
        parent->first = part;
    }
    parent->last = part;
    return part;
}

bool unfold_ends(const Unfold *unfold, unsigned level)
{
    return level >= UNFOLD_DEPTH || unfold->parts >= UNFOLD_PARTS || (unfold->depth > 0 && level >= unfold->depth);
}

bool unfold_told(Unfold *unfold, uint32_t what, uint32_t of, uint32_t self, double value)
{
    for (uint32_t i = 0; i < unfold->explained.count; i++) {
        const Explained *at = &unfold->explained.at[i];
        if (at->what == what && at->of == of && at->self == self
            && (at->value == value || (at->value != at->value && value != value))) {
            return true;
        }
    }
    list_push(unfold->run->memory, &unfold->explained, (Explained){what, of, self, value});
    return false;
}

bool unfold_told_note(Unfold *unfold, uint32_t note)
{
    const TraceNote *at = unfold_note(unfold, note);
    return unfold_told(unfold, at->node, at->within, at->self, at->value.number);
}

/* ---- where something stands ---- */

void unfold_set_place(Unfold *unfold, WhyPart *part, NodeId node, NodeId line, uint32_t marks)
{
    const World *world = unfold->world;
    part->place = world_node(world, node)->start;
    part->marks |= marks | line_marks(world, line);
    NodeId piece = world_node(world, line_source(world, line))->first; /* of the line that is none, and of none that is told, 0 */
    if (piece != 0) {
        const char *text = world_text(world, world_node(world, piece)->value);
        part->source = arena_copy(&unfold->run->arena, text, strlen(text));
    }
}

/* "usually", for what is not well known; and what was typed, where the number alone does not show it. */
static const char *typed_text(Unfold *unfold, const WhyPart *part, NodeId node, const Made *made)
{
    Run *run = unfold->run;
    const World *world = unfold->world;
    const char *written = unfold_formula_text(unfold, node);
    bool library = sources_at(&world->sources, world_node(world, node)->start)->library;
    bool same = strcmp(written, part->shown) == 0;
    if (made->left_out) {
        return arena_print(&run->arena, "left out, so %s default%s%s", library ? "stdlib's" : "the script's own", same ? "" : ": ",
                           same ? "" : written);
    }
    if (library) {
        return same ? "from stdlib" : arena_print(&run->arena, "from stdlib: %s", written);
    }
    return same ? "typed" : arena_print(&run->arena, "typed as %s", written);
}

void unfold_end_typed(Unfold *unfold, WhyPart *part, NodeId node, const Made *made)
{
    part->end = made->left_out ? WHY_DEFAULT : WHY_TYPED;
    part->says = typed_text(unfold, part, node, made);
    unfold_set_place(unfold, part, node, made->line, made->marks);
}

/* ---- formulas ---- */

typedef struct Leaves { uint32_t *at; uint32_t count; } Leaves; /* `at` is NULL: they are only counted; else a 0 stands behind them */

static void add_leaf(Leaves *list, uint32_t note)
{
    if (list->at != NULL) {
        list->at[list->count] = note;
    }
    list->count++;
}

/* What has a value of its own in the formula at NOTE, from left to right: choose(…) calls among it. */
static void find_leaves(const Unfold *unfold, uint32_t note, Leaves *list)
{
    const World *world = unfold->world;
    NodeId node = unfold_note(unfold, note)->node;
    const Node *at = world_node(world, node);
    Bound bound = BOUND_OF(world->bindings.at[node]);
    switch ((NodeForm)at->form) {
    case NODE_NAME: case NODE_DOT:
        if (TYPE_SORT(world->types.at[node]) == TYPE_NUMBER) {
            add_leaf(list, note);
        }
        return;
    case NODE_CALL:
        if (bound != BOUND_FUNCTION || unfold_is_over_set(world, node) || BOUND_INDEX(world->bindings.at[node]) == KNOWN_choose) {
            add_leaf(list, note);
            return;
        }
        break;
    case NODE_TEXT: case NODE_LIST:
        return;
    default:
        break;
    }
    for (NodeId inner = at->first; inner != 0; inner = world_node(world, inner)->next) {
        find_leaves(unfold, unfold_child(unfold, note, inner), list); /* of what was not worked out, note 0: nothing */
    }
}

static Leaves leaves_of(Unfold *unfold, uint32_t note)
{
    Leaves counted = {0};
    find_leaves(unfold, note, &counted);
    Leaves list = {.at = arena_take(&unfold->run->arena, (counted.count + 1u) * sizeof(uint32_t))};
    find_leaves(unfold, note, &list);
    return list;
}

/* Whether PART is made of more than can be told one by one: it says so. */
static bool is_too_many(Unfold *unfold, WhyPart *part, uint32_t count, uint32_t most)
{
    if (count <= most) {
        return false;
    }
    part->end = WHY_DEEPER;
    part->says = arena_print(&unfold->run->arena, "made of %u values, too many to be told one by one", count);
    return true;
}

/* "density is none: yes, so …", and what was chosen. */
static void unfold_choice(Unfold *unfold, WhyPart *parent, uint32_t note, unsigned level)
{
    const World *world = unfold->world;
    NodeId condition = world_node(world, unfold_note(unfold, note)->node)->first;
    uint32_t asked = unfold_child(unfold, note, condition), chosen = 0;
    for (NodeId inner = world_node(world, condition)->next; inner != 0; inner = world_node(world, inner)->next) {
        chosen = chosen == 0 ? unfold_child(unfold, note, inner) : chosen;
    }
    Value answer = unfold_note(unfold, asked)->value;
    const char *shown = !run_told(answer) ? "not told" : answer.number != 0 ? "yes" : "no";
    WhyPart *part = unfold_part(unfold, parent, unfold_formula_text(unfold, condition), shown, NAN);
    part->end = WHY_ANSWER;
    part->place = world_node(world, condition)->start;
    if (chosen != 0) {
        NodeId node = unfold_note(unfold, chosen)->node;
        part->says = arena_print(&unfold->run->arena, "so %s is taken", unfold_formula_text(unfold, node));
    }
    unfold_leaves(unfold, part, asked, level + 1);
    unfold_leaves(unfold, parent, chosen, level);
}

/* Whether one in front of PLACE is called and shown the same: it is told once. */
static bool is_repeated(Unfold *unfold, const Leaves *list, uint32_t place)
{
    const char *name = unfold_name(unfold, list->at[place]), *number = unfold_shown(unfold, list->at[place]);
    for (uint32_t i = 0; i < place; i++) {
        if (strcmp(unfold_name(unfold, list->at[i]), name) == 0 && strcmp(unfold_shown(unfold, list->at[i]), number) == 0) {
            return true;
        }
    }
    return false;
}

void unfold_leaves(Unfold *unfold, WhyPart *parent, uint32_t note, unsigned level)
{
    if (unfold_ends(unfold, level)) {
        return;
    }
    Leaves list = leaves_of(unfold, note);
    if (is_too_many(unfold, parent, list.count, LEAVES_MOST)) {
        return;
    }
    for (uint32_t i = 0; list.at[i] != 0; i++) {
        uint32_t binding = unfold->world->bindings.at[unfold_note(unfold, list.at[i])->node];
        if (binding == BIND(BOUND_FUNCTION, KNOWN_choose)) {
            unfold_choice(unfold, parent, list.at[i], level);
        } else if (!is_repeated(unfold, &list, i)) {
            unfold_value(unfold, parent, list.at[i], level);
        }
    }
}

static void unfold_terms(Unfold *unfold, WhyPart *part, uint32_t note, unsigned level);

void unfold_formula(Unfold *unfold, WhyPart *part, const Made *made, unsigned level)
{
    const World *world = unfold->world;
    if (made->note == 0) {
        part->end = WHY_NOT_TOLD;
        return;
    }
    NodeId node = unfold_note(unfold, made->note)->node;
    if (unfold_is_plain(world, node)) {
        bool above = unfold_told_note(unfold, made->note);
        unfold_end_typed(unfold, part, node, made);
        part->end = above ? WHY_ABOVE : part->end;
        return;
    }
    if (unfold_ends(unfold, level)) {
        part->end = WHY_DEEPER;
        return;
    }
    if (unfold_told_note(unfold, made->note)) {
        part->end = WHY_ABOVE;
        return;
    }
    if (made->effect != NULL && made->call != 0) {
        part->says = arena_print(&unfold->run->arena, "%s by %s", made->effect->sort == EFFECT_SETS ? "set" : "given",
                                 unfold_step(unfold, made->call));
    }
    const char *formula = unfold_formula_text(unfold, node);
    part->formula = strcmp(formula, part->figure) == 0 ? NULL : formula;
    unfold_set_place(unfold, part, node, made->line, made->marks);
    if (unfold_is_over_set(world, node)) {
        unfold_terms(unfold, part, made->note, level + 1);
        return;
    }
    const char *numbers = unfold_with_numbers(unfold, made->note);
    bool alone = world_node(world, node)->form == NODE_NAME || world_node(world, node)->form == NODE_DOT;
    part->with_numbers = alone || strcmp(numbers, part->shown) == 0 || strcmp(numbers, formula) == 0 ? NULL : numbers;
    if (!alone) {
        unfold_leaves(unfold, part, made->note, level + 1);
    } else if (!unfold_ends(unfold, level + 1)) { /* words, too */
        unfold_value(unfold, part, made->note, level + 1);
    }
    if (part->first == NULL && part->end == WHY_MADE) { /* it is made of nothing but numbers: they are what was typed */
        part->end = unfold_ends(unfold, level + 1) ? WHY_DEEPER : WHY_TYPED;
    }
}

/* ---- sums over sets ---- */

typedef struct Term { uint32_t item, note; } Term;

static uint32_t count_terms(const Unfold *unfold, uint32_t note, NodeId expression)
{
    uint32_t count = 0, first = unfold_note(unfold, note)->first;
    for (uint32_t i = note; i > first; i = unfold_note(unfold, i - 1)->first) {
        count += unfold_note(unfold, i - 1)->node == expression;
    }
    return count;
}

/* The item at which the term at NOTE was worked out: it was noted last in front of it, but for what is asked of each. */
static uint32_t item_of(const Unfold *unfold, uint32_t note)
{
    do {
        note = unfold_note(unfold, note)->first - 1;
    } while (world_node(unfold->world, unfold_note(unfold, note)->node)->form != NODE_EACH);
    return unfold_note(unfold, note)->value.thing;
}

/* The COUNT items that a sum went to and what each brought, from first to last. */
static void find_terms(const Unfold *unfold, uint32_t note, NodeId expression, Term *terms, uint32_t count)
{
    uint32_t place = count, first = unfold_note(unfold, note)->first;
    for (uint32_t i = note; i > first; i = unfold_note(unfold, i - 1)->first) {
        if (unfold_note(unfold, i - 1)->node == expression) {
            terms[--place] = (Term){item_of(unfold, i - 1), i - 1};
        }
    }
}

/* Why a term is nothing: the first of its parts that is 0. */
static void say_nothing(Unfold *unfold, WhyPart *part, uint32_t note)
{
    Leaves list = leaves_of(unfold, note);
    for (uint32_t i = 0; list.at[i] != 0; i++) {
        Made made;
        if (unfold_note(unfold, list.at[i])->value.number == 0 && unfold_made(unfold, list.at[i], &made)) {
            NodeId node = unfold_note(unfold, made.note)->node;
            part->says =
                arena_print(&unfold->run->arena, "for %s is %s",
                            unfold_formula_text(unfold, unfold_note(unfold, list.at[i])->node), unfold_shown(unfold, list.at[i]));
            unfold_set_place(unfold, part, node, made.line, made.marks);
            return;
        }
    }
}

/* What a term belongs to: a material, a parcel, or a step, which is told by its line. */
static const char *term_name(Unfold *unfold, uint32_t item)
{
    return REF_SORT(item) == REF_STEP ? unfold_step(unfold, unfold->run->done.at[REF_INDEX(item)].call) : result_name(unfold->run, item);
}

static void unfold_term(Unfold *unfold, WhyPart *parent, const Term *term, unsigned level)
{
    const World *world = unfold->world;
    NodeId node = unfold_note(unfold, term->note)->node;
    NodeForm form = (NodeForm)world_node(world, node)->form;
    if (form == NODE_NAME || form == NODE_DOT || form == NODE_CALL) {
        unfold_leaves(unfold, parent, term->note, level);
        return;
    }
    WhyPart *part = unfold_part(unfold, parent, arena_print(&unfold->run->arena, "that of %s", term_name(unfold, term->item)),
                                unfold_shown(unfold, term->note), unfold_note(unfold, term->note)->value.number);
    Made made = {.note = term->note};
    unfold_formula(unfold, part, &made, level);
}

/* All terms that are nothing, in one part. */
static void unfold_nothing(Unfold *unfold, WhyPart *parent, const Term *terms, uint32_t count)
{
    Run *run = unfold->run;
    const char *names = "";
    uint32_t last = UINT32_MAX;
    for (uint32_t i = 0; i < count; i++) {
        const TraceNote *at = unfold_note(unfold, terms[i].note);
        if (at->value.number == 0) {
            names = arena_print(&run->arena, "%s%s%s", names, *names == 0 ? "" : ", ", term_name(unfold, terms[i].item));
            last = i;
        }
    }
    if (last != UINT32_MAX) {
        WhyPart *part =
            unfold_part(unfold, parent, arena_print(&run->arena, "that of %s", names), unfold_shown(unfold, terms[last].note), 0);
        part->end = WHY_NOTHING;
        say_nothing(unfold, part, terms[last].note);
    }
}

/* 3.65 g + 0.81 g: the terms that are something. */
static const char *terms_text(Unfold *unfold, const Term *terms, uint32_t count, Name function)
{
    Text out;
    text_open(&out, unfold->run->memory);
    bool sums = function == KNOWN_sum;
    if (!sums && function != KNOWN_product) {
        text_print(&out, "%s(", world_text(unfold->world, function));
    }
    uint32_t some = 0;
    for (uint32_t i = 0; i < count; i++) {
        double value = unfold_note(unfold, terms[i].note)->value.number;
        if (value == 0 && sums) {
            continue;
        }
        text_put(&out, some++ == 0 ? "" : sums ? " + " : function == KNOWN_product ? " * " : ", ");
        text_put(&out, unfold_shown(unfold, terms[i].note));
    }
    text_put(&out, sums || function == KNOWN_product ? "" : ")");
    const char *text = some < 2 ? NULL : arena_copy(&unfold->run->arena, out.at, out.length);
    text_close(&out);
    return text;
}

static void unfold_count(Unfold *unfold, WhyPart *part, uint32_t note)
{
    NodeId node = unfold_note(unfold, note)->node;
    part->end = WHY_TYPED;
    part->place = world_node(unfold->world, node)->start;
    part->says = "counted";
}

static void unfold_terms(Unfold *unfold, WhyPart *part, uint32_t note, unsigned level)
{
    const World *world = unfold->world;
    NodeId node = unfold_note(unfold, note)->node, expression = world_node(world, node)->first;
    Name function = BOUND_INDEX(world->bindings.at[node]);
    if (function == KNOWN_count) {
        unfold_count(unfold, part, note);
        return;
    }
    uint32_t count = count_terms(unfold, note, expression);
    if (count == 0) {
        part->end = WHY_NOTHING;
        part->says = "there is none";
        return;
    }
    Term *terms = arena_take(&unfold->run->arena, count * sizeof *terms);
    find_terms(unfold, note, expression, terms, count);
    bool ledger = REF_SORT(terms[0].item) == REF_LEDGER;
    if (!ledger && is_too_many(unfold, part, count, TERMS_MOST)) {
        return;
    }
    if (unfold_ends(unfold, level)) {
        part->with_numbers = ledger ? NULL : terms_text(unfold, terms, count, function);
        part->end = WHY_DEEPER;
        return;
    }
    if (ledger) {
        unfold_ledger(unfold, part, note, expression, level);
        return;
    }
    part->with_numbers = terms_text(unfold, terms, count, function);
    for (uint32_t i = 0; i < count; i++) {
        if (unfold_note(unfold, terms[i].note)->value.number != 0 || function != KNOWN_sum) {
            unfold_term(unfold, part, &terms[i], level);
        }
    }
    if (function == KNOWN_sum) {
        unfold_nothing(unfold, part, terms, count);
    }
}

/* ---- one value ---- */

/* What nothing was made of: items of lists, what became of a mass, what nobody tells. */
static void unfold_other(Unfold *unfold, WhyPart *part, uint32_t note, unsigned level)
{
    const World *world = unfold->world;
    uint32_t ref;
    FieldId field;
    if (!unfold_asked(unfold, note, &ref, &field)) {
        part->end = WHY_SOLVED;
        part->says = "from the course of the procedure"; /* when a step was done, and as which */
        return;
    }
    Name name = world->fields.at[field].name;
    switch (REF_SORT(ref)) {
    case REF_SUBJECT:
        unfold_passed(unfold, part, REF_INDEX(ref), field, note, level);
        return;
    case REF_CONTENT:
        if (name == KNOWN_mass) {
            uint32_t subject = REF_INDEX(ref) >> 8;
            unfold_content(unfold, part, subject, run_material(unfold->run, ref), note, level);
            return;
        }
        break;
    case REF_NUMBER:
        part->end = WHY_SOLVED;
        part->says = "as it is counted";
        return;
    case REF_PARCEL:
        part->end = WHY_SOLVED;
        part->says = "the number of the parcel";
        return;
    default:
        break;
    }
    unfold_item(unfold, part, ref, name, level);
}

static void say_not_told(Unfold *unfold, WhyPart *part, uint32_t note, const Made *made)
{
    const World *world = unfold->world;
    uint32_t binding = world->bindings.at[unfold_note(unfold, note)->node];
    part->end = WHY_NOT_TOLD;
    if (BOUND_OF(binding) == BOUND_GIVEN) {
        part->says = "no step of this procedure gives it";
    } else if (made->left_out) {
        part->says = "it is left out, and there is no default";
        unfold_set_place(unfold, part, made->line, made->line, made->marks);
    } else {
        uint32_t of = unfold_child(unfold, note, world_node(world, unfold_note(unfold, note)->node)->first); /* 0: a name, which has none */
        part->says = run_told(unfold_note(unfold, of)->value) ? "nobody tells it"
            : world_node(world, unfold_note(unfold, of)->node)->form == NODE_ABSENT ? "it is asked of none"
            : arena_print(&unfold->run->arena, "there is no %s here", unfold_formula_text(unfold, unfold_note(unfold, of)->node));
    }
}

static bool is_name(const World *world, NodeId node)
{
    return world_node(world, node)->form == NODE_NAME || world_node(world, node)->form == NODE_DOT;
}

void unfold_named(Unfold *unfold, WhyPart *parent, uint32_t note, const char *name, NodeId line, unsigned level)
{
    if (is_name(unfold->world, unfold_note(unfold, note)->node)) {
        unfold_value(unfold, parent, note, level);
        parent->last->figure = name;
        return;
    }
    double value = note == 0 ? 1 : unfold_note(unfold, note)->value.number;
    WhyPart *part = unfold_part(unfold, parent, name, note == 0 ? "100 %" : unfold_shown(unfold, note), value);
    Made made = {.note = note, .line = line};
    unfold_formula(unfold, part, &made, level);
    if (note == 0) {
        part->end = WHY_TYPED;
        part->says = "all of it";
        unfold_set_place(unfold, part, line, line, made.marks);
    }
}

/* A parameter of a formula is told as what stands for it here. False: it stands for a sum of its own. */
static bool unfold_parameter(Unfold *unfold, WhyPart *parent, uint32_t note, unsigned level)
{
    const World *world = unfold->world;
    const TraceNote *at = unfold_note(unfold, note);
    bool parameter = BOUND_OF(world->bindings.at[at->node]) == BOUND_SLOT && at->within == 0;
    if (!parameter || !is_name(world, unfold_note(unfold, at->origin)->node)) {
        return false;
    }
    const char *name = unfold_formula_text(unfold, at->node), *here = unfold_name(unfold, at->origin);
    unfold_value(unfold, parent, at->origin, level);
    if (strcmp(name, here) != 0) {
        parent->last->figure = arena_print(&unfold->run->arena, "%s, here %s,", name, parent->last->figure);
    }
    return true;
}

void unfold_value(Unfold *unfold, WhyPart *parent, uint32_t note, unsigned level)
{
    if (unfold_parameter(unfold, parent, note, level)) {
        return;
    }
    const World *world = unfold->world;
    const TraceNote *at = unfold_note(unfold, note);
    uint32_t binding = world->bindings.at[at->node];
    bool number = TYPE_SORT(world->types.at[at->node]) == TYPE_NUMBER && run_told(at->value);
    double value = number ? at->value.number : NAN;
    bool parameter = BOUND_OF(binding) == BOUND_SLOT && at->within == 0;
    const char *name = unfold_name(unfold, note);
    WhyPart *part = unfold_part(unfold, parent, parameter ? arena_print(&unfold->run->arena, "%s, given in brackets,", name) : name,
                                unfold_shown(unfold, note), value);
    Made made = {.note = note};
    if (unfold_is_over_set(world, at->node) || unfold_is_plain(world, at->node)) {
        unfold_formula(unfold, part, &made, level);
    } else if (world_node(world, at->node)->form == NODE_CALL && BOUND_OF(binding) == BOUND_TABLE) {
        unfold_table(unfold, part, note, level);
    } else if (BOUND_OF(binding) == BOUND_CORE) {
        unfold_fill_core(unfold, part, BOUND_INDEX(binding), note, level);
    } else if (BOUND_OF(binding) == BOUND_FIGURE && BOUND_INDEX(binding) == world->unknown) {
        unfold_solved(unfold, part, level);
    } else if (!unfold_made(unfold, note, &made)) {
        if (run_told(at->value)) {
            unfold_other(unfold, part, note, level);
        } else {
            say_not_told(unfold, part, note, &made);
        }
    } else if (made.note == 0) {
        say_not_told(unfold, part, note, &made);
    } else {
        unfold_formula(unfold, part, &made, level);
    }
}
