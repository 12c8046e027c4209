/* Settling what only rules ask: the parts of a step that was done, and what the
 * message of a rule works out. */
#include "meaning/settle.h"

#include "meaning/kind.h"
#include "meaning/unit.h"

static Type count_type(const World *world)
{
    KindId kind = kind_named(world, KNOWN_count);
    return TYPE(TYPE_NUMBER, kind != 0 ? kind : KIND_ONE);
}

static Type additions_type(const World *world)
{
    return TYPE(TYPE_SET, settle_shape(world, KNOWN_addition));
}

/* {change.now} and the like: what the message of a rule works out. */
bool settle_change(Scope *scope, NodeId node, NodeId inner, Name part)
{
    World *world = scope->world;
    if (!scope->of_rule || world_node(world, inner)->form != NODE_NAME || world_node(world, inner)->value != KNOWN_change) {
        return false;
    }
    static const struct { KnownName name; int place; } parts[] = {
        {KNOWN_needed, RULE_NEEDED}, {KNOWN_now, RULE_NOW}, {KNOWN_material, RULE_MATERIAL}, {KNOWN_step, RULE_STEP}};
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++) {
        if (parts[i].name == part) {
            settle_bind(world, node, TYPE(TYPE_TEXT, 0), BIND(BOUND_SLOT, scope->rule_texts + parts[i].place));
            return true;
        }
    }
    return false;
}

static bool step_is_called(const World *world, uint32_t step, Name name)
{
    const Step *at = &world->steps.at[step];
    return name == 0 || at->role == name || world->shapes.at[at->shape].name == name;
}

/* The type of the argument, `gives` or `let` called PART of the steps of that role or name; *UNLIKE where two differ. */
static Type part_of_steps(const World *world, Name role, Name part, Type *unlike)
{
    Type found = 0;
    for (uint32_t id = 1; id < world->steps.count; id++) {
        const Step *step = &world->steps.at[id];
        if (!step_is_called(world, id, role)) {
            continue;
        }
        FieldId taken = settle_field(world, step->shape, part);
        Type type = taken != 0 ? world->fields.at[taken].type : 0;
        for (uint32_t i = 0; i < step->count && type == 0; i++) {
            const Effect *effect = &world->effects.at[step->first + i];
            bool formula = effect->sort == EFFECT_GIVES || effect->sort == EFFECT_LETS;
            type = formula && effect->name == part ? effect->detail : 0;
        }
        if (type != 0 && found != 0 && type != found) {
            *unlike = type;
        }
        found = found == 0 ? type : found;
    }
    return found;
}

/* What is asked of a step that was done. */
Type settle_part_of_step(Scope *scope, NodeId node, Name role, Name part)
{
    World *world = scope->world;
    Type type = 0, unlike = 0;
    switch (part) {
    case KNOWN_number:
        type = count_type(world);
        break;
    case KNOWN_begins: case KNOWN_ends: {
        KindId time = kind_of_time(world);
        type = time == 0 ? 0 : TYPE(TYPE_NUMBER, time);
        break;
    }
    case KNOWN_vessel:
        type = TYPE(TYPE_THING, settle_shape(world, KNOWN_vessel));
        break;
    case KNOWN_role:
        type = TYPE(TYPE_WORD, 0);
        break;
    case KNOWN_additions:
        settle_bind(world, node, additions_type(world), BIND(BOUND_SET, KNOWN_additions));
        return additions_type(world);
    default:
        type = part_of_steps(world, role, part, &unlike);
    }
    if (unlike != 0) {
        message_say(world->messages, SAY_part_of_two_kinds, world_span(world, node), world_word(world, part),
                    world_type_text(world, type), world_type_text(world, unlike), NULL);
        return 0;
    }
    if (type == 0) {
        message_say(world->messages, SAY_no_such_part, world_span(world, node), "step", world_word(world, part),
                    "number, begins, ends, additions, vessel, role, and what its steps take and give", NULL);
        return 0;
    }
    settle_bind(world, node, type, BIND(BOUND_STEP_PART, part));
    return type;
}

void settle_is_step(Scope *scope, NodeId node, NodeId right)
{
    World *world = scope->world;
    Name name = world_node(world, right)->value;
    uint32_t step = world_declared(world, SPACE_STEP, name);
    if (step == 0) {
        message_say(world->messages, SAY_unknown_name, world_span(world, right), "step", world_word(world, name),
                    world_guess(world, name, SPACE_STEP), NULL);
    }
    settle_bind(world, node, TYPE(TYPE_TRUTH, 0), BIND(BOUND_STEP_PART, name));
}
