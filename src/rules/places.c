/* Where in the user's scripts a thing was written, and the number there that a
 * proposal would change. */
#include "rules/verdicts.h"

static bool is_own(const World *world, NodeId node)
{
    return !sources_at(&world->sources, world_node(world, node)->start)->library;
}

static Span own_line(const World *world, NodeId line)
{
    return is_own(world, line) ? line_span(world, line) : (Span){0, 0};
}

static Span of_step(Run *run, uint32_t step)
{
    return line_span(run->world, run->world->calls.at[run->done.at[step].line].line);
}

/* ---- the number that a proposal would change ---- */

typedef struct Finding { Name name; NodeId literal; uint32_t ref; } Finding;

static bool take_first(Run *run, void *with, uint32_t ref)
{
    Finding *finding = with;
    NodeId literal = run_typed_part(run, ref, finding->name);
    finding->literal = literal != 0 && is_own(run->world, literal) ? literal : 0;
    finding->ref = ref;
    return finding->literal == 0;
}

NodeId places_of_change(Run *run, const Combination *combination, uint32_t *ref)
{
    const World *world = run->world;
    Rule rule = world->rules.at[combination->rule];
    Frame frame = {.slots = combination->slots};
    Finding finding = {.name = rule.change};
    *ref = 0;
    if (rule.change == 0) {
        return 0;
    }
    uint32_t binding = world->bindings.at[rule.change_of];
    if (BOUND_OF(binding) == BOUND_SET || BOUND_OF(binding) == BOUND_TABLE) {
        run_each(run, &frame, rule.change_of, take_first, &finding);
    } else {
        Value of = run_value(run, &frame, rule.change_of);
        if (run_told(of)) {
            take_first(run, &finding, of.thing);
        }
    }
    *ref = finding.ref;
    return finding.literal;
}

/* ---- places ---- */

static Span of_material(Run *run, ThingId material)
{
    const World *world = run->world;
    const Paper *paper = &world->papers.at[run->paper];
    for (uint32_t i = 0; i < paper->furnish_count; i++) {
        if (world->furnish.at[paper->furnish + i].material == material) {
            return line_span(world, world->furnish.at[paper->furnish + i].line);
        }
    }
    for (uint32_t i = 0; i < run->additions.count; i++) {
        if (run->additions.at[i].material == material) {
            return of_step(run, run->additions.at[i].step);
        }
    }
    return own_line(world, world->things.at[material].line);
}

/* A claim stands where the paper asks for it. */
static Span of_claim(Run *run, ThingId claim)
{
    const World *world = run->world;
    for (uint32_t i = world->things.at[world->papers.at[run->paper].thing].first; i != 0; i = world->values.at[i].next) {
        const ThingValue *value = &world->values.at[i];
        for (NodeId node = world->fields.at[value->field].name == KNOWN_claims ? value->node : 0;
             node != 0 && world_node(world, node)->form == NODE_NAME; node = world_node(world, node)->next) {
            if (world->bindings.at[node] == BIND(BOUND_THING, claim)) {
                return world_span(world, node);
            }
        }
    }
    return (Span){0, 0};
}

bool places_claim_is_asked(Run *run, ThingId claim)
{
    return of_claim(run, claim).start != 0;
}

static Span of_thing(Run *run, ThingId thing)
{
    const World *world = run->world;
    ShapeId shape = world->things.at[thing].shape;
    if (shape == settle_shape(world, KNOWN_claim)) {
        return of_claim(run, thing);
    }
    if (settle_shape_within(world, shape, settle_shape(world, KNOWN_material))) {
        return of_material(run, thing);
    }
    return own_line(world, world->things.at[thing].line);
}

Span places_of(Run *run, Value value, Type type)
{
    uint32_t index = REF_INDEX(value.thing);
    if (!run_told(value) || (TYPE_SORT(type) != TYPE_THING && TYPE_SORT(type) != TYPE_STEP)) {
        return (Span){0, 0};
    }
    switch (REF_SORT(value.thing)) {
    case REF_STEP:
        return of_step(run, index);
    case REF_ADDITION:
        return of_step(run, run->additions.at[index].step);
    case REF_MET:
        return run->met.at[index].step != 0 ? of_step(run, run->met.at[index].step) : of_material(run, run->met.at[index].material);
    case REF_BILL:
        return of_material(run, run->bill.at[index].material);
    case REF_SUBJECT:
        return index >= SUBJECT_STREAMS
            ? line_span(run->world, run->world->furnish.at[run->world->papers.at[run->paper].furnish + index - SUBJECT_STREAMS].line)
            : (Span){0, 0};
    case REF_THING:
        return of_thing(run, index);
    default:
        return (Span){0, 0};
    }
}

static void add_place(MessagePlace places[MESSAGE_PLACES], uint32_t *count, Span at, const char *says)
{
    for (uint32_t i = 0; i < *count; i++) {
        if (places[i].at.start == at.start) {
            return;
        }
    }
    if (at.start != 0 && *count < MESSAGE_PLACES) {
        places[(*count)++] = (MessagePlace){at, says};
    }
}

/* What the rule says is marked; else what a proposal would change; else what its sets bound, the last first. The claim that it
 * meets, or else the rule itself, stands behind. */
uint32_t places_of_combination(Run *run, const Combination *combination, MessagePlace places[MESSAGE_PLACES])
{
    const World *world = run->world;
    Rule rule = world->rules.at[combination->rule];
    Frame frame = {.slots = combination->slots};
    uint32_t count = 0, ref = 0;
    Span claim = rule.claim != 0 ? of_claim(run, rule.claim) : (Span){0, 0};
    for (uint32_t i = rule.marked; i < rule.marked + rule.marked_count; i++) {
        NodeId node = world->marked.at[i];
        add_place(places, &count, places_of(run, run_value(run, &frame, node), world->types.at[node]), "this is meant, too");
    }
    NodeId literal = rule.claim == 0 ? places_of_change(run, combination, &ref) : 0;
    if (literal != 0) {
        add_place(places, &count, count == 0 ? world_span(world, literal) : (Span){0, 0}, "");
    }
    if (rule.claim != 0) {
        add_place(places, &count, claim, "");
    }
    for (uint32_t i = rule.each + rule.each_count; i-- > rule.each;) {
        Value value = combination->slots[world->eachs.at[i].slot];
        bool is_claim = run_told(value) && REF_SORT(value.thing) == REF_THING
            && world->things.at[REF_INDEX(value.thing)].shape == settle_shape(world, KNOWN_claim);
        Span at = places_of(run, value, TYPE(TYPE_THING, 0));
        if (is_claim && claim.start == 0) {
            claim = at;
        } else if (count == 0) {
            add_place(places, &count, at, "");
        }
    }
    add_place(places, &count, claim, "this claim asks for it");
    if (count == 0) {
        add_place(places, &count, line_span(world, world->papers.at[run->paper].line), "");
    }
    if (claim.start == 0) {
        uint32_t failing = verdicts_failing(world, combination)->requirement; /* what is marked of a rule fails */
        add_place(places, &count, line_span(world, world->requirements.at[failing].line), "the rule");
    }
    return count;
}
