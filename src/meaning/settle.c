/* Settling: operations, and the way to the other parts. */
#include "meaning/settle.h"

#include "meaning/kind.h"

void scope_open(Scope *scope, World *world)
{
    *scope = (Scope){.world = world};
}

uint16_t scope_place(Scope *scope, Span at)
{
    if (scope->slots >= SCOPE_SLOTS) {
        message_say(scope->world->messages, SAY_too_many_names, at, NULL);
        return 0;
    }
    return scope->slots++;
}

uint16_t scope_add(Scope *scope, Name name, Type type, Span at)
{
    World *world = scope->world;
    for (uint32_t i = 0; i < scope->local_count; i++) {
        if (scope->locals[i].name == name) {
            message_say(world->messages, SAY_name_twice, at, world_word(world, name), NULL);
            return scope->locals[i].slot;
        }
    }
    if (scope->local_count == SCOPE_LOCALS) {
        message_say(world->messages, SAY_too_many_names, at, NULL);
        return 0;
    }
    uint16_t slot = scope_place(scope, at);
    scope->locals[scope->local_count++] = (Local){name, type, slot};
    return slot;
}

void settle_bind(World *world, NodeId node, Type type, uint32_t binding)
{
    world->types.at[node] = type;
    world->bindings.at[node] = binding;
}

bool settle_fits(const World *world, Type type, Type want)
{
    if (want == 0 || type == 0 || type == want || TYPE_SORT(type) == TYPE_ABSENT) {
        return true;
    }
    uint32_t index = TYPE_INDEX(type), wanted = TYPE_INDEX(want);
    switch (TYPE_SORT(want)) {
    case TYPE_NUMBER:
        return TYPE_SORT(type) == TYPE_NUMBER && kind_fits(world, index, wanted);
    case TYPE_BAND:
        return (TYPE_SORT(type) == TYPE_BAND || TYPE_SORT(type) == TYPE_NUMBER) && kind_fits(world, index, wanted);
    case TYPE_THING:
        return TYPE_SORT(type) == TYPE_THING && settle_shape_within(world, index, wanted);
    case TYPE_WORD: {
        if (TYPE_SORT(type) != TYPE_WORD || wanted == 0 || index == 0) {
            return TYPE_SORT(type) == TYPE_WORD;
        }
        const Field *have = &world->fields.at[index];
        for (uint32_t i = 0; i < have->word_count; i++) {
            if (!settle_has_word(world, wanted, world->words.at[have->words + i])) {
                return false;
            }
        }
        return true;
    }
    case TYPE_LIST: {
        Type element = world->element_types.at[wanted];
        return settle_fits(world, TYPE_SORT(type) == TYPE_LIST ? world->element_types.at[index] : type, element);
    }
    case TYPE_SET:
        return TYPE_SORT(type) == TYPE_SET;
    case TYPE_TEXT: case TYPE_TRUTH: case TYPE_SIZE: case TYPE_STEP: case TYPE_ABSENT: case TYPE_UNKNOWN:
        return TYPE_SORT(type) == TYPE_SORT(want);
    }
    return false;
}

static const char *sign_of(uint16_t operator)
{
    static const char *const signs[] = {"+", "-", "*", "/", "^", "=", "<>", "<", "<=", ">", ">=", "is", "is not", "and", "or"};
    return signs[operator];
}

/* + and - among levels (temperatures, dates) and their rises. */
static Type sum_of_levels(Scope *scope, NodeId node, KindId one, KindId other)
{
    World *world = scope->world;
    bool minus = world_node(world, node)->extra == OPERATOR_SUBTRACT;
    KindId rise = world->kinds.at[one].rise, other_rise = world->kinds.at[other].rise;
    if (rise != 0 && other_rise != 0 && kind_same(world, one, other) && minus) {
        return TYPE(TYPE_NUMBER, rise);
    }
    if (rise != 0 && other_rise == 0 && kind_fits(world, other, rise)) {
        return TYPE(TYPE_NUMBER, one);
    }
    if (rise == 0 && other_rise != 0 && kind_fits(world, one, other_rise) && !minus) {
        return TYPE(TYPE_NUMBER, other);
    }
    message_say(world->messages, SAY_levels_do_not_add, world_span(world, node), kind_text(world, one),
                kind_text(world, other), kind_text(world, rise != 0 ? rise : other_rise), NULL);
    return 0;
}

/* What a literal takes from what stands on the other side of the sign: nothing from what is no number. */
static Type beside(Type other, Type want)
{
    bool none = TYPE_SORT(other) == TYPE_THING || TYPE_SORT(other) == TYPE_WORD || TYPE_SORT(other) == TYPE_TEXT
        || TYPE_SORT(other) == TYPE_TRUTH;
    return other == 0 ? want : none ? 0 : other;
}

/* `3 % of sheet` beside a share: several kinds may have that basis, and the one that stands there is meant, where it is among them. */
static bool takes_kind_of(Scope *scope, NodeId node, Type other)
{
    return world_node(scope->world, node)->form == NODE_QUANTITY && TYPE_SORT(other) == TYPE_NUMBER
        && kind_is_share(scope->world, TYPE_INDEX(other)) && settle_could(scope, node, other);
}

/* Both sides of + - or a comparison: a literal on one side takes the kind of the other. */
static bool settle_both(Scope *scope, NodeId node, Type want, Type *one, Type *other)
{
    World *world = scope->world;
    NodeId left = world_node(world, node)->first, right = world_node(world, left)->next;
    bool level = TYPE_SORT(want) == TYPE_NUMBER && world->kinds.at[TYPE_INDEX(want)].rise != 0;
    if (level) {
        want = 0;
    }
    if (settle_is_open(world, left) && !settle_is_open(world, right)) {
        *other = settle(scope, right, 0);
        *one = settle(scope, left, beside(*other, want));
    } else {
        bool both = settle_is_open(world, left);
        *one = settle(scope, left, both ? want : 0);
        *other = settle(scope, right, settle_is_open(world, right) ? beside(*one, want) : takes_kind_of(scope, right, *one) ? *one : 0);
    }
    return *one != 0 && *other != 0;
}

static Type settle_sum(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    Type one, other;
    if (!settle_both(scope, node, want, &one, &other)) {
        return 0;
    }
    uint16_t operator = world_node(world, node)->extra;
    Span span = world_span(world, node);
    if (TYPE_SORT(one) != TYPE_NUMBER || TYPE_SORT(other) != TYPE_NUMBER) {
        message_say(world->messages, SAY_not_for_this, span, sign_of(operator), world_type_text(world, one),
                    world_type_text(world, other), NULL);
        return 0;
    }
    KindId mine = TYPE_INDEX(one), theirs = TYPE_INDEX(other);
    if (world->kinds.at[mine].rise != 0 || world->kinds.at[theirs].rise != 0) {
        return sum_of_levels(scope, node, mine, theirs);
    }
    if (world->kinds.at[mine].compares || world->kinds.at[theirs].compares) {
        message_say(world->messages, SAY_compares_only, span,
                    kind_text(world, world->kinds.at[mine].compares ? mine : theirs), NULL);
        return 0;
    }
    KindId sum = kind_sum(world, mine, theirs);
    if (sum == 0) {
        bool shares = kind_is_share(world, mine) && kind_is_share(world, theirs);
        message_say(world->messages, shares ? SAY_bases_differ : SAY_do_not_add, span, kind_text(world, mine),
                    kind_text(world, theirs), NULL);
        return 0;
    }
    return TYPE(TYPE_NUMBER, sum);
}

static Type settle_product(Scope *scope, NodeId node)
{
    World *world = scope->world;
    NodeId left = world_node(world, node)->first, right = world_node(world, left)->next;
    uint16_t operator = world_node(world, node)->extra;
    Type one = settle(scope, left, 0), other = settle(scope, right, 0);
    if (one == 0 || other == 0) {
        return 0;
    }
    Span span = world_span(world, node);
    if (TYPE_SORT(one) != TYPE_NUMBER || TYPE_SORT(other) != TYPE_NUMBER) {
        message_say(world->messages, SAY_not_for_this, span, sign_of(operator), world_type_text(world, one),
                    world_type_text(world, other), NULL);
        return 0;
    }
    KindId mine = TYPE_INDEX(one), theirs = TYPE_INDEX(other);
    KindId odd = world->kinds.at[mine].compares || world->kinds.at[mine].rise != 0 ? mine : theirs;
    if (world->kinds.at[odd].compares || world->kinds.at[odd].rise != 0) {
        message_say(world->messages, SAY_compares_only, span, kind_text(world, odd), NULL);
        return 0;
    }
    KindId product = kind_product(world, mine, theirs, operator == OPERATOR_TIMES ? 1 : -1);
    if (product == 0) {
        message_say(world->messages, SAY_too_many_factors, span, NULL);
        return 0;
    }
    return TYPE(TYPE_NUMBER, product);
}

static Type settle_power(Scope *scope, NodeId node)
{
    World *world = scope->world;
    NodeId left = world_node(world, node)->first, right = world_node(world, left)->next;
    Type base = settle(scope, left, 0);
    const Node *exponent = world_node(world, right);
    double power = exponent->form == NODE_NUMBER ? world->tree.numbers.at[exponent->value] : 0.5;
    Type raised = settle(scope, right, exponent->form == NODE_NUMBER ? TYPE(TYPE_NUMBER, KIND_ONE) : 0);
    if (base == 0 || raised == 0) {
        return 0;
    }
    bool numbers = TYPE_SORT(base) == TYPE_NUMBER && TYPE_SORT(raised) == TYPE_NUMBER;
    bool whole = power == (double)(int)power && power <= 9;
    if (numbers && whole) {
        KindId kind = kind_power(world, TYPE_INDEX(base), (int)power);
        if (kind != 0) {
            return TYPE(TYPE_NUMBER, kind);
        }
    }
    if (!numbers || !kind_is_share(world, TYPE_INDEX(base)) || !kind_fits(world, TYPE_INDEX(raised), KIND_ONE)) {
        message_say(world->messages, SAY_power_of_kind, world_span(world, node), world_type_text(world, base), NULL);
        return 0;
    }
    return TYPE(TYPE_NUMBER, KIND_ONE);
}

static Type settle_comparison(Scope *scope, NodeId node)
{
    World *world = scope->world;
    Type one, other;
    if (!settle_both(scope, node, 0, &one, &other)) {
        return 0;
    }
    uint16_t operator = world_node(world, node)->extra;
    bool numbers = TYPE_SORT(one) == TYPE_NUMBER && TYPE_SORT(other) == TYPE_NUMBER;
    if (numbers && (kind_fits(world, TYPE_INDEX(one), TYPE_INDEX(other))
                    || kind_fits(world, TYPE_INDEX(other), TYPE_INDEX(one)))) {
        return TYPE(TYPE_TRUTH, 0);
    }
    if (numbers) {
        bool shares = kind_is_share(world, TYPE_INDEX(one)) && kind_is_share(world, TYPE_INDEX(other));
        message_say(world->messages, shares ? SAY_bases_differ : SAY_do_not_compare, world_span(world, node),
                    kind_text(world, TYPE_INDEX(one)), kind_text(world, TYPE_INDEX(other)), NULL);
        return 0;
    }
    if (operator <= OPERATOR_UNEQUAL && TYPE_SORT(one) == TYPE_SORT(other) && TYPE_SORT(one) != TYPE_SET) {
        return TYPE(TYPE_TRUTH, 0);
    }
    message_say(world->messages, SAY_not_for_this, world_span(world, node), sign_of(operator),
                world_type_text(world, one), world_type_text(world, other), NULL);
    return 0;
}

void settle_condition(Scope *scope, NodeId node)
{
    settle(scope, node, TYPE(TYPE_TRUTH, 0));
}

static Type settle_binary(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    const Node *at = world_node(world, node);
    switch ((Operator)at->extra) {
    case OPERATOR_ADD: case OPERATOR_SUBTRACT:
        return settle_sum(scope, node, want);
    case OPERATOR_TIMES: case OPERATOR_OVER:
        return settle_product(scope, node);
    case OPERATOR_POWER:
        return settle_power(scope, node);
    case OPERATOR_EQUAL: case OPERATOR_UNEQUAL: case OPERATOR_LESS: case OPERATOR_LESS_EQUAL:
    case OPERATOR_MORE: case OPERATOR_MORE_EQUAL:
        return settle_comparison(scope, node);
    case OPERATOR_IS: case OPERATOR_IS_NOT:
        return settle_is(scope, node);
    case OPERATOR_AND: case OPERATOR_OR: {
        NodeId left = at->first, right = world_node(world, left)->next;
        settle_condition(scope, left);
        settle_condition(scope, right);
        return TYPE(TYPE_TRUTH, 0);
    }
    }
    return 0;
}

/* (x as KIND): the dimension must be that of KIND. */
static Type settle_narrow(Scope *scope, NodeId node)
{
    World *world = scope->world;
    Name name = world_node(world, node)->value;
    NodeId inner = world_node(world, node)->first;
    KindId kind = kind_named(world, name);
    if (kind == 0) {
        message_say(world->messages, SAY_unknown_name, world_span(world, node), "kind", world_word(world, name),
                    world_guess(world, name, SPACE_KIND), NULL);
        settle(scope, inner, 0);
        return 0;
    }
    Type place = TYPE(TYPE_NUMBER, kind);
    Type type = settle(scope, inner, settle_is_open(world, inner) ? place : 0);
    if (type == 0) {
        return 0;
    }
    if (TYPE_SORT(type) != TYPE_NUMBER || !kind_same_dimension(world, TYPE_INDEX(type), kind)) {
        message_say(world->messages, SAY_cannot_be_read_as, world_span(world, node), world_type_text(world, type),
                    kind_text(world, kind), NULL);
        return 0;
    }
    return place;
}

static Type settle_inside(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    switch ((NodeForm)world_node(world, node)->form) {
    case NODE_NAME:
        return settle_name(scope, node, want);
    case NODE_DOT:
        return settle_dot(scope, node, want);
    case NODE_CALL:
        return settle_call(scope, node, want);
    case NODE_BINARY:
        return settle_binary(scope, node, want);
    case NODE_NARROW:
        return settle_narrow(scope, node);
    case NODE_NOT:
        settle_condition(scope, world_node(world, node)->first);
        return TYPE(TYPE_TRUTH, 0);
    case NODE_ABSENT:
        return TYPE(TYPE_ABSENT, 0);
    case NODE_BAD:
        return 0;
    default:
        return settle_literal(scope, node, want);
    }
}

Type settle(Scope *scope, NodeId node, Type want)
{
    World *world = scope->world;
    if (node == 0) {
        return 0;
    }
    Type type = settle_inside(scope, node, want);
    world->types.at[node] = type;
    if (settle_fits(world, type, want)) {
        return type;
    }
    bool shares = TYPE_SORT(type) == TYPE_NUMBER && TYPE_SORT(want) == TYPE_NUMBER
        && kind_is_share(world, TYPE_INDEX(type)) && kind_is_share(world, TYPE_INDEX(want));
    message_say(world->messages, shares ? SAY_wrong_basis : SAY_wrong_kind, world_span(world, node),
                world_type_text(world, want), world_type_text(world, type), NULL);
    world->types.at[node] = 0;
    return 0;
}

Type settle_set(Scope *scope, NodeId node)
{
    World *world = scope->world;
    Type type = settle(scope, node, TYPE(TYPE_SET, 0));
    Bound bound = BOUND_OF(world->bindings.at[node]);
    if (type != 0 && bound != BOUND_SET && bound != BOUND_TABLE) {
        message_say(world->messages, SAY_set_itself, world_span(world, node), world_written(world, node), NULL);
        return 0;
    }
    return type;
}

bool settle_could(Scope *scope, NodeId node, Type want)
{
    Messages *messages = scope->world->messages;
    bool muted = messages->muted;
    uint32_t locals = scope->local_count;
    uint16_t slots = scope->slots;
    uint32_t unsaid = messages->unsaid;
    messages->muted = true;
    settle(scope, node, want);
    messages->muted = muted;
    scope->local_count = locals;
    scope->slots = slots;
    return messages->unsaid == unsaid; /* what rests on a mistake that was said could stand anywhere */
}
