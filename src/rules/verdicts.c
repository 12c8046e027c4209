/* Going through the combinations of a rule, and measuring what it requires. */
#include "rules/verdicts.h"

#include "reckoning/flow.h"

#include <math.h>
#include <string.h>

typedef struct Going {
    Verdicts *verdicts;
    Rule rule;
    uint32_t id, level;
    uint32_t judged;     /* combinations so far */
    Frame *frame;
    bool at_ends;        /* some requirement is judged at an end: all combinations are kept */
} Going;

/* ---- measuring ---- */

static bool is_comparison(const World *world, NodeId condition)
{
    const Node *at = world_node(world, condition);
    return at->form == NODE_BINARY && at->extra <= OPERATOR_MORE_EQUAL && TYPE_SORT(world->types.at[at->first]) == TYPE_NUMBER;
}

static double margin_of(Operator operator, double left, double right)
{
    switch (operator) {
    case OPERATOR_LESS: case OPERATOR_LESS_EQUAL:
        return right - left;
    case OPERATOR_MORE: case OPERATOR_MORE_EQUAL:
        return left - right;
    case OPERATOR_EQUAL:
        return -fabs(left - right);
    default:
        return fabs(left - right);
    }
}

/* Whether what stands at NODE has its own way to be shown: it is a figure, or given, or written there. *UNIT: that in which it is shown, or was
 * typed for a step or thing; 0: nobody chose one. */
static bool is_shown_so(Run *run, Frame *frame, NodeId node, UnitId *unit)
{
    const World *world = run->world;
    uint32_t binding = world->bindings.at[node];
    NodeForm form = (NodeForm)world_node(world, node)->form;
    if (BOUND_OF(binding) == BOUND_FIGURE) {
        *unit = world->figures.at[BOUND_INDEX(binding)].shown;
        return true;
    }
    if (BOUND_OF(binding) == BOUND_GIVEN) { /* it is told, so some step's line gave it */
        *unit = run_given_by(run, BOUND_INDEX(binding))->shown;
        return *unit != 0;
    }
    *unit = run_typed_unit(run, frame, node, world->types.at[node]);
    return form == NODE_QUANTITY || form == NODE_NUMBER;
}

/* Of two units the first that is one of TYPE's kind; 0: that in which the kind is shown. */
static UnitId unit_for(const World *world, Type type, UnitId one, UnitId other)
{
    return world->units.at[one].kind == TYPE_INDEX(type) ? one : world->units.at[other].kind == TYPE_INDEX(type) ? other : 0;
}

/* Both sides as people read them, each in the unit chosen for it, or else in that of the other: 9 times where at most 5 times are allowed,
 * though its kind is shown in sheets. Where rounding makes them look alike, with more decimals. */
static void put_words(Run *run, Frame *frame, const Node *at, Value left, Value right, Verdict *verdict)
{
    World *world = run->world;
    NodeId one = at->first, other = world_node(world, one)->next;
    Type type = world->types.at[one], limit_type = world->types.at[other];
    UnitId chosen, limit_chosen;
    bool so = is_shown_so(run, frame, one, &chosen), limit_so = is_shown_so(run, frame, other, &limit_chosen);
    UnitId unit = unit_for(world, type, chosen, limit_chosen), limit_unit = unit_for(world, limit_type, limit_chosen, chosen);
    verdict->found = so ? run_shown(run, frame, one, left, type) : run_number_text(run, left.number, type, unit, -1);
    verdict->limit = limit_so ? run_shown(run, frame, other, right, limit_type) : run_number_text(run, right.number, limit_type, limit_unit, -1);
    bool equal = run_equal(left.number, right.number); /* then they are alike */
    for (int decimals = 0; !equal && decimals < 9 && strcmp(verdict->found, verdict->limit) == 0; decimals++) {
        verdict->found = run_number_text(run, left.number, type, limit_unit, decimals);
        const char *limit = run_number_text(run, right.number, limit_type, limit_unit, decimals);
        verdict->limit = strcmp(verdict->found, limit) != 0 ? limit : verdict->found;
    }
}

/* What of the rule's lets is asked for is worked out, once for a combination. */
typedef struct Lets { uint32_t first; uint64_t done; } Lets;

static void work_out(Run *run, Frame *frame, Lets *lets, uint64_t asked)
{
    for (uint64_t bits = asked & ~lets->done; bits != 0; bits &= bits - 1) {
        RuleLet let = run->world->rule_lets.at[lets->first + (uint32_t)__builtin_ctzll(bits)];
        frame->slots[let.slot] = run_value(run, frame, let.value);
    }
    lets->done |= asked;
}

static void measure(Run *run, Frame *frame, Lets *lets, const Requirement *requirement, Verdict *verdict, bool words)
{
    const World *world = run->world;
    work_out(run, frame, lets, requirement->when_asks);
    verdict->asked = requirement->when == 0 || run_holds(run, frame, requirement->when);
    verdict->told = verdict->holds = false;
    if (!verdict->asked) {
        return;
    }
    work_out(run, frame, lets, requirement->asks);
    Value value = run_value(run, frame, requirement->condition);
    verdict->told = run_told(value);
    verdict->holds = verdict->told && value.number != 0;
    verdict->margin = verdict->holds ? 1 : -1;
    verdict->compares = is_comparison(world, requirement->condition);
    if (!verdict->compares || !verdict->told) {
        return;
    }
    const Node *at = world_node(world, requirement->condition);
    Value left = run_value(run, frame, at->first), right = run_value(run, frame, world_node(world, at->first)->next);
    verdict->margin = margin_of((Operator)at->extra, left.number, right.number);
    if (!verdict->holds && words) {
        put_words(run, frame, at, left, right, verdict);
    }
}

void verdicts_measure(Verdicts *verdicts, const Combination *combination, Verdict *verdict, bool words)
{
    Frame frame = {.slots = combination->slots};
    World *world = verdicts->run->world;
    Lets lets = {world->rules.at[combination->rule].lets, 0};
    Requirement requirement = world->requirements.at[verdict->requirement];
    measure(verdicts->run, &frame, &lets, &requirement, verdict, words);
}

void verdicts_work_out(Run *run, const Combination *combination)
{
    Frame frame = {.slots = combination->slots};
    const Rule *rule = &run->world->rules.at[combination->rule];
    Lets lets = {rule->lets, 0};
    work_out(run, &frame, &lets, rule->let_count == 0 ? 0 : ~(uint64_t)0 >> (64 - rule->let_count));
}

const Verdict *verdicts_failing(const World *world, const Combination *combination)
{
    bool claim = world->rules.at[combination->rule].claim != 0;
    for (uint32_t i = 0; i < combination->count; i++) {
        const Verdict *verdict = &combination->verdicts[i];
        if (verdict->asked && !verdict->holds && (verdict->told || claim)) {
            return verdict;
        }
    }
    return NULL;
}

/* ---- combinations ---- */

/* All that is bound is there: the requirements are measured, and kept where one fails or must be looked at again. */
static void judge_combination(Going *going)
{
    Verdicts *verdicts = going->verdicts;
    Run *run = verdicts->run;
    World *world = run->world;
    const Rule *rule = &going->rule;
    Verdict here[REQUIREMENTS_OF_RULE];
    uint32_t count = rule->require_count;
    Combination combination = {.rule = going->id, .slots = going->frame->slots, .verdicts = here, .count = count};
    Lets lets = {rule->lets, 0};
    going->judged++;
    for (uint32_t i = 0; i < count; i++) {
        Requirement requirement = world->requirements.at[rule->require + i];
        here[i] = (Verdict){.requirement = rule->require + i};
        measure(run, going->frame, &lets, &requirement, &here[i], true);
    }
    if (!going->at_ends && !verdicts->keeps_all && verdicts_failing(world, &combination) == NULL) {
        return;
    }
    combination.slots = arena_take(&run->arena, (rule->slots + 1u) * sizeof(Value));
    memcpy(combination.slots, going->frame->slots, rule->slots * sizeof(Value));
    combination.verdicts = arena_take(&run->arena, (count + 1u) * sizeof(Verdict));
    memcpy(combination.verdicts, here, count * sizeof(Verdict));
    list_push(run->memory, &verdicts->combinations, combination);
}

static void bind_from(Going *going, uint32_t level);

static bool bind_item(Run *run, void *with, uint32_t ref)
{
    Going *going = with;
    uint32_t level = going->level;
    Each each = run->world->eachs.at[going->rule.each + level];
    going->frame->slots[each.slot] = (Value){0, ref, 0};
    if (each.when == 0 || run_holds(run, going->frame, each.when)) {
        bind_from(going, level + 1);
    }
    going->level = level;
    return !run->failed;
}

static void bind_from(Going *going, uint32_t level)
{
    if (level == going->rule.each_count) {
        judge_combination(going);
        return;
    }
    going->level = level;
    run_each(going->verdicts->run, going->frame, going->verdicts->run->world->eachs.at[going->rule.each + level].set, bind_item, going);
}

static bool judged_at_ends(const World *world, const Rule *rule)
{
    for (uint32_t i = rule->require; i < rule->require + rule->require_count; i++) {
        if (world->requirements.at[i].judged != JUDGED_TYPICAL) {
            return true;
        }
    }
    return false;
}

static bool rule_is_claim(const World *world, uint32_t id)
{
    return world->rules.at[id].claim != 0;
}

void verdicts_add_rule(Verdicts *verdicts, uint32_t id)
{
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    const World *world = verdicts->run->world;
    const Rule *rule = &world->rules.at[id];
    _Static_assert((int)NAMES_OF_RULE <= (int)RUN_SLOTS, "a rule's names find room in a frame");
    for (uint32_t i = 0; i < rule->slots; i++) {
        slots[i] = run_absent(0);
    }
    Going going = {.verdicts = verdicts, .rule = *rule, .id = id, .frame = &frame, .at_ends = judged_at_ends(world, rule)};
    bind_from(&going, 0);
    if (rule_is_claim(world, id) && going.judged == 0) { /* nothing is there that it could be said of */
        Combination nothing = {.rule = id, .slots = arena_take(&verdicts->run->arena, (going.rule.slots + 1u) * sizeof(Value))};
        memcpy(nothing.slots, slots, going.rule.slots * sizeof(Value));
        list_push(verdicts->run->memory, &verdicts->combinations, nothing);
    }
}

void verdicts_add_all(Verdicts *verdicts)
{
    for (uint32_t rule = 1; rule < verdicts->run->world->rules.count; rule++) {
        ThingId claim = verdicts->run->world->rules.at[rule].claim;
        if (claim == 0 || places_claim_is_asked(verdicts->run, claim)) {
            verdicts_add_rule(verdicts, rule);
        }
    }
}

void verdicts_close(Verdicts *verdicts)
{
    memory_return(verdicts->run->memory, verdicts->combinations.at);
    verdicts->combinations.at = NULL;
    verdicts->combinations.count = verdicts->combinations.room = 0;
}
