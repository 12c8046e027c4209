/* Declaring steps: what each takes, and its effects in order. */
#include "meaning/declare.h"

#include "meaning/arguments.h"
#include "meaning/kind.h"
#include "meaning/line.h"
#include "meaning/steps.h"

void declare_step_name(World *world, NodeId line)
{
    Name name = declare_only_name(world, line, "step");
    if (name == 0) {
        return;
    }
    ShapeId shape = list_add(world->memory, &world->shapes);
    world->shapes.at[shape] = (Shape){.name = name, .root = shape, .line = line, .step = true};
    if (world->steps.count == 0) {
        list_add(world->memory, &world->steps);
    }
    list_push(world->memory, &world->steps, (Step){.shape = shape, .line = line});
    declare_name(world, SPACE_STEP, name, world->steps.count - 1, world_node(world, line)->first);
}

static void note_given(World *world, NodeId line)
{
    NodeId name = line_first(world, line), as = line_behind(world, line, KNOWN_as);
    Name limited;
    if (name == 0 || world_node(world, name)->form != NODE_NAME) {
        return;
    }
    Name given = world_node(world, name)->value;
    Type type = declare_type(world, as, &limited);
    for (uint32_t i = 0; i < world->given.count; i++) {
        if (world->given.at[i] == given) {
            if (type != 0 && world->given_types.at[i] != 0 && type != world->given_types.at[i]) {
                message_say(world->messages, SAY_given_of_two_kinds, line_span(world, line), world_word(world, given),
                            world_type_text(world, type), world_type_text(world, world->given_types.at[i]), NULL);
            }
            return;
        }
    }
    list_push(world->memory, &world->given, given);
    list_push(world->memory, &world->given_types, type);
}

/* What it takes, what it gives: known before any effect is settled. */
void declare_step(World *world, uint32_t step)
{
    NodeId block = line_block(world, world->steps.at[step].line);
    for (NodeId at = block == 0 ? 0 : world_node(world, block)->first; at != 0; at = world_node(world, at)->next) {
        if (line_head(world, at) == KNOWN_takes) {
            declare_take(world, world->steps.at[step].shape, at);
        } else if (line_head(world, at) == KNOWN_gives) {
            note_given(world, at);
        } else if (line_head(world, at) == KNOWN_role) {
            NodeId role = line_first(world, at);
            world->steps.at[step].role = role != 0 && world_node(world, role)->form == NODE_NAME
                ? world_node(world, role)->value : 0;
        }
    }
}

static Type share_type(void)
{
    return TYPE(TYPE_NUMBER, KIND_ONE);
}

Type steps_mass_type(const World *world)
{
    ShapeId content = settle_shape(world, KNOWN_content);
    FieldId mass = settle_field(world, content, KNOWN_mass);
    return mass == 0 ? 0 : world->fields.at[mass].type;
}

static Type thing_type(const World *world, Name shape)
{
    ShapeId id = settle_shape(world, shape);
    return id == 0 ? 0 : TYPE(TYPE_THING, id);
}

static Effect *add_effect(World *world, EffectSort sort, NodeId line)
{
    uint32_t id = list_add(world->memory, &world->effects);
    world->effects.at[id] = (Effect){.sort = (uint8_t)sort, .line = line, .when = line_when(world, line)};
    return &world->effects.at[id];
}

/* A part that is wanted; settles it. 0 where it is missing. */
static NodeId wanted(Scope *scope, NodeId part, Type type)
{
    if (part != 0 && line_is_argument(scope->world, part)) {
        settle(scope, part, type);
        return part;
    }
    return 0;
}

static NodeId second_part(const World *world, NodeId line)
{
    NodeId first = line_first(world, line);
    NodeId next = first == 0 ? 0 : world_node(world, first)->next;
    return next != 0 && line_is_argument(world, next) ? next : 0;
}

/* sets S.ATTR = EXPR */
static void read_set(Scope *scope, NodeId line, NodeId value)
{
    World *world = scope->world;
    NodeId target = line_first(world, line);
    if (target == 0 || world_node(world, target)->form != NODE_DOT) {
        line_say_written_so(world, line, "sets sheet.moisture = …");
        return;
    }
    Type type = settle(scope, target, 0);
    settle(scope, value, type);
    uint32_t binding = world->bindings.at[target];
    FieldId field = BOUND_OF(binding) == BOUND_PART ? BOUND_INDEX(binding) : 0;
    if (type != 0 && (field == 0 || world->fields.at[field].sort != FIELD_HAS)) {
        message_say(world->messages, SAY_cannot_be_set, world_span(world, target), world_written(world, target), NULL);
        return;
    }
    NodeId object = world_node(world, target)->first;
    Effect *effect = add_effect(world, EFFECT_SETS, line);
    effect->target = object;
    effect->one = value;
    effect->detail = field;
}

static void add_state(World *world, NodeId line, NodeId subject, Type of, NodeId word_node, bool not)
{
    if (TYPE_SORT(of) != TYPE_THING) {
        return;
    }
    Name word = world_node(world, word_node)->value;
    ShapeId shape = TYPE_INDEX(of);
    FieldId field = settle_field_with_word(world, shape, word);
    FieldId mark = settle_field(world, shape, word);
    if (field == 0 && (mark == 0 || world->fields.at[mark].sort != FIELD_MARK)) {
        message_say(world->messages, SAY_no_such_state, world_span(world, word_node),
                    world_word(world, world->shapes.at[shape].name), world_word(world, word), NULL);
        return;
    }
    Effect *effect = add_effect(world, EFFECT_STATES, line);
    effect->target = subject;
    effect->detail = field != 0 ? field : mark;
    effect->name = word;
    effect->flags = not ? EFFECT_SIGNED : 0;
}

/* sets S is WORD, WORD */
static void read_states(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId first = line_first(world, line);
    if (first == 0 || world_node(world, first)->form != NODE_BINARY
        || (world_node(world, first)->extra != OPERATOR_IS && world_node(world, first)->extra != OPERATOR_IS_NOT)) {
        line_say_written_so(world, line, "sets sheet is dry, sized");
        return;
    }
    NodeId subject = world_node(world, first)->first, word = world_node(world, subject)->next;
    bool not = world_node(world, first)->extra == OPERATOR_IS_NOT;
    Type of = settle(scope, subject, 0);
    add_state(world, line, subject, of, word, not);
    for (NodeId part = world_node(world, first)->next; part != 0 && line_is_argument(world, part);
         part = world_node(world, part)->next) {
        if (world_node(world, part)->form == NODE_NAME) {
            add_state(world, line, subject, of, part, not);
        }
    }
}

/* The attribute of SHAPE by which an amount of kind AMOUNT becomes a mass; 0 with *MASS set: it is one. */
static FieldId multiplier(World *world, ShapeId shape, KindId amount, bool *mass, uint32_t *count)
{
    Type wanted_mass = steps_mass_type(world);
    KindId as_mass = TYPE_INDEX(wanted_mass);
    *mass = kind_fits(world, amount, as_mass);
    *count = 0;
    FieldId found = 0;
    for (ShapeId at = shape; at != 0 && !*mass; at = world->shapes.at[at].parent) {
        for (FieldId id = world->shapes.at[at].first; id != 0; id = world->fields.at[id].next) {
            const Field *field = &world->fields.at[id];
            if (field->sort == FIELD_MARK || TYPE_SORT(field->type) != TYPE_NUMBER) {
                continue;
            }
            KindId basis = TYPE_INDEX(field->type);
            KindId product = kind_product(world, amount, basis, 1);
            const Expansion *expansion = &world->expansions.at[world->kinds.at[product].expansion];
            if (product != 0 && expansion->count == 1 && expansion->factors[0].power == 1
                && kind_same_dimension(world, product, as_mass)) {
                found = id;
                (*count)++;
            }
        }
    }
    return found;
}

/* adds M to S, AMOUNT[, retained SHARE] */
static void read_adds(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId material = wanted(scope, line_first(world, line), thing_type(world, KNOWN_material));
    NodeId subject = wanted(scope, line_behind(world, line, KNOWN_to), 0);
    NodeId amount = subject == 0 ? 0 : world_node(world, subject)->next;
    if (material == 0 || subject == 0 || amount == 0 || !line_is_argument(world, amount)) {
        line_say_written_so(world, line, "adds MATERIAL to stuff, AMOUNT");
        return;
    }
    NodeId retained = line_behind(world, line, KNOWN_retained);
    if (retained != 0) {
        settle(scope, retained, share_type());
    }
    Type type = settle(scope, amount, 0), of = world->types.at[subject];
    bool mass = true;
    uint32_t count = 0;
    FieldId field = 0;
    if (TYPE_SORT(type) == TYPE_NUMBER && TYPE_SORT(of) == TYPE_THING) {
        ShapeId shape = TYPE_INDEX(of);
        field = multiplier(world, shape, TYPE_INDEX(type), &mass, &count);
        bool sheet = settle_shape_within(world, shape, settle_shape(world, KNOWN_sheet));
        if (mass ? !sheet : count != 1) {
            message_say(world->messages, mass ? SAY_amount_without_basis : SAY_amount_of_what, world_span(world, amount),
                        world_type_text(world, type), world_word(world, world->shapes.at[shape].name), NULL);
            return;
        }
    }
    Effect *effect = add_effect(world, EFFECT_ADDS, line);
    effect->target = subject;
    effect->one = amount;
    effect->two = retained;
    effect->three = material;
    effect->detail = mass ? 0 : field;
}

/* removes M, class or mark from S or VESSEL[, SHARE] */
static void read_removes(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId what = line_first(world, line), from = wanted(scope, line_behind(world, line, KNOWN_from), 0);
    if (what == 0 || from == 0 || world_node(world, what)->form != NODE_NAME) {
        line_say_written_so(world, line, "removes MATERIAL from WHERE, SHARE");
        return;
    }
    Name word = world_node(world, what)->value;
    ShapeId material = settle_shape(world, KNOWN_material);
    FieldId field = settle_field_with_word(world, material, word), mark = settle_field(world, material, word);
    bool marks = mark != 0 && world->fields.at[mark].sort == FIELD_MARK;
    if (field == 0 && !marks) {
        settle(scope, what, TYPE(TYPE_THING, material));
    }
    NodeId share = world_node(world, from)->next;
    share = share != 0 && line_is_argument(world, share) ? wanted(scope, share, share_type()) : 0;
    Effect *effect = add_effect(world, EFFECT_REMOVES, line);
    effect->target = from;
    effect->one = share;
    effect->three = what;
    effect->detail = field != 0 ? field : marks ? mark : 0;
    effect->name = word;
}

static void read_share_of(Scope *scope, NodeId line, EffectSort sort)
{
    World *world = scope->world;
    NodeId share = wanted(scope, line_first(world, line), share_type());
    NodeId from = sort == EFFECT_LOSES ? wanted(scope, line_behind(world, line, KNOWN_from), 0) : 0;
    if (share == 0 || (sort == EFFECT_LOSES && from == 0)) {
        line_say_written_so(world, line, sort == EFFECT_LOSES ? "loses SHARE from stuff" : "spoils SHARE");
        return;
    }
    Effect *effect = add_effect(world, sort, line);
    effect->one = share;
    effect->target = from;
}

/* uses M, MASS and leaves M in VESSEL, MASS */
static void read_mass_of(Scope *scope, NodeId line, EffectSort sort)
{
    World *world = scope->world;
    NodeId material = wanted(scope, line_first(world, line), thing_type(world, KNOWN_material));
    NodeId vessel = sort == EFFECT_LEAVES ? wanted(scope, line_behind(world, line, KNOWN_in), thing_type(world, KNOWN_vessel)) : 0;
    NodeId mass = sort == EFFECT_LEAVES ? (vessel == 0 ? 0 : world_node(world, vessel)->next) : second_part(world, line);
    mass = mass != 0 ? wanted(scope, mass, steps_mass_type(world)) : 0;
    if (material == 0 || mass == 0) {
        line_say_written_so(world, line, sort == EFFECT_USES ? "uses MATERIAL, MASS" : "leaves MATERIAL in VESSEL, MASS");
        return;
    }
    Effect *effect = add_effect(world, sort, line);
    effect->three = material;
    effect->target = vessel;
    effect->one = mass;
}

static void read_holds_back(Scope *scope, NodeId line)
{
    World *world = scope->world;
    Type type = world->unknown != 0 ? world->figures.at[world->unknown].type : 0;
    NodeId mass = wanted(scope, line_first(world, line), type);
    NodeId from = wanted(scope, line_behind(world, line, KNOWN_from), thing_type(world, KNOWN_stuff));
    if (mass == 0 || from == 0) {
        line_say_written_so(world, line, "holds-back MASS from stuff");
        return;
    }
    Effect *effect = add_effect(world, EFFECT_HOLDS_BACK, line);
    effect->one = mass;
    effect->target = from;
}

static void read_joins(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId what = line_first(world, line);
    if (what == 0) {
        line_say_written_so(world, line, "joins streams into stuff");
        return;
    }
    bool all = line_is_word(world, what, KNOWN_streams);
    if (!all) {
        settle(scope, what, thing_type(world, KNOWN_stream));
    }
    Effect *effect = add_effect(world, EFFECT_JOINS, line);
    effect->one = all ? 0 : what;
}

static void read_makes(Scope *scope, NodeId line)
{
    World *world = scope->world;
    Type type = world->unknown != 0 ? world->figures.at[world->unknown].type : 0;
    NodeId of = wanted(scope, line_behind(world, line, KNOWN_of), type);
    if (of == 0 || !line_is_word(world, line_first(world, line), KNOWN_sheet)) {
        line_say_written_so(world, line, "makes sheet from stuff, of FIBRE");
        return;
    }
    uint32_t binding = world->bindings.at[of];
    bool unknown = BOUND_OF(binding) == BOUND_FIGURE && BOUND_INDEX(binding) == world->unknown;
    Effect *effect = add_effect(world, EFFECT_MAKES, line);
    effect->one = of;
    effect->detail = unknown;
}

/* occupies E, for TIME or at RATE; waits for TIME */
static void read_time(Scope *scope, NodeId line, EffectSort sort)
{
    World *world = scope->world;
    NodeId station = sort == EFFECT_OCCUPIES ? wanted(scope, line_first(world, line), 0) : 0;
    NodeId time = wanted(scope, line_behind(world, line, KNOWN_for), 0);
    NodeId rate = sort == EFFECT_OCCUPIES && time == 0 ? wanted(scope, line_behind(world, line, KNOWN_at), 0) : 0;
    if ((time == 0 && rate == 0) || (sort == EFFECT_OCCUPIES && station == 0)) {
        line_say_written_so(world, line, sort == EFFECT_WAITS ? "waits for TIME" : "occupies VESSEL, for TIME");
        return;
    }
    Effect *effect = add_effect(world, sort, line);
    effect->target = station;
    effect->one = time != 0 ? time : rate;
    effect->flags = rate != 0 ? EFFECT_AT_RATE : 0;
}

static void read_needs(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId condition = line_first(world, line), text = line_else(world, line);
    if (condition == 0) {
        line_say_written_so(world, line, "needs CONDITION else \"…\"");
        return;
    }
    settle_condition(scope, condition);
    if (text != 0) {
        settle(scope, text, TYPE(TYPE_TEXT, 0));
    }
    Effect *effect = add_effect(world, EFFECT_NEEDS, line);
    effect->one = condition;
    effect->two = text;
}

/* gives NAME as KIND = EXPR; let NAME [as KIND] = EXPR: known to the lines below. */
static void read_formula(Scope *scope, NodeId line, EffectSort sort)
{
    World *world = scope->world;
    NodeId name = line_first(world, line), value = line_bound(world, line), as = line_behind(world, line, KNOWN_as);
    if (name == 0 || value == 0 || world_node(world, name)->form != NODE_NAME || (sort == EFFECT_GIVES && as == 0)) {
        line_say_written_so(world, line, sort == EFFECT_GIVES ? "gives NAME as KIND = …" : "let NAME as KIND = …");
        return;
    }
    Name limited;
    Type type = declare_type(world, as, &limited);
    Type settled = settle(scope, value, type);
    uint16_t slot = scope_add(scope, world_node(world, name)->value, type != 0 ? type : settled, world_span(world, name));
    Effect *effect = add_effect(world, sort, line);
    effect->name = world_node(world, name)->value;
    effect->one = value;
    effect->slot = slot;
    effect->detail = type != 0 ? type : settled;
    UnitId shown = 0;
    int16_t decimals;
    declare_read_shown(world, line, &shown, &decimals);
    effect = &world->effects.at[world->effects.count - 1];
    effect->shown = shown;
    effect->decimals = decimals;
    for (uint32_t i = 0; sort == EFFECT_GIVES && i < world->given.count; i++) {
        if (world->given.at[i] == effect->name) {
            effect->three = i; /* its place among all that steps give */
        }
    }
}

static void read_reads(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId text = wanted(scope, line_first(world, line), TYPE(TYPE_TEXT, 0));
    if (text == 0) {
        line_say_written_so(world, line, "reads \"…\", expecting …");
        return;
    }
    NodeId expecting = line_behind(world, line, KNOWN_expecting);
    if (expecting != 0) {
        bool band = world_node(world, expecting)->form == NODE_TOLERANCE || world_node(world, expecting)->form == NODE_RANGE;
        NodeId inner = band ? world_node(world, expecting)->first : expecting;
        (void)inner;
        settle(scope, expecting, 0);
    }
    bool is_signed = false;
    for (NodeId part = world_node(world, text)->next; part != 0; part = world_node(world, part)->next) {
        is_signed = is_signed || line_is_word(world, part, KNOWN_signed);
    }
    Effect *effect = add_effect(world, EFFECT_READS, line);
    effect->one = text;
    effect->two = expecting;
    effect->flags = is_signed ? EFFECT_SIGNED : 0;
}

static void read_text(Scope *scope, NodeId line)
{
    NodeId text = wanted(scope, line_first(scope->world, line), TYPE(TYPE_TEXT, 0));
    if (text == 0) {
        line_say_written_so(scope->world, line, "tells \"…\"");
        return;
    }
    add_effect(scope->world, EFFECT_TELLS, line)->one = text;
}

static void read_caution(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId name = line_first(world, line);
    Type type = name == 0 ? 0 : settle(scope, name, 0);
    if (name == 0 || (type != 0 && TYPE_SORT(type) != TYPE_THING)) {
        line_say_written_so(world, line, "cautions NAME");
        return;
    }
    add_effect(world, EFFECT_CAUTIONS, line)->one = name;
}

/* A line headed by another step's name. */
static void read_call(Scope *scope, NodeId line)
{
    World *world = scope->world;
    Name head = line_head(world, line);
    uint32_t step = world_declared(world, SPACE_STEP, head);
    if (step == 0 || step == WORLD_BROKEN) {
        if (step == 0 && !line_unreadable(world, line)) {
            const char *guess = world_guess(world, head, SPACE_STEP);
            world_say_unknown_line(world, line_span(world, line), "step", world_word(world, head), guess);
        }
        return;
    }
    uint32_t call = steps_read_call(scope, step, line, 0);
    add_effect(world, EFFECT_CALLS, line)->detail = call;
}

uint32_t steps_read_call(Scope *scope, uint32_t step, NodeId line, uint32_t branch)
{
    World *world = scope->world;
    NodeId found[ARGUMENTS_MOST];
    FieldId taken[ARGUMENTS_MOST];
    ShapeId shape = world->steps.at[step].shape;
    arguments_match(scope, shape, line, line_first(world, line), found);
    uint32_t count = arguments_taken(world, shape, taken);
    uint32_t first = world->arguments.count;
    for (uint32_t i = 0; i < count; i++) {
        list_push(world->memory, &world->arguments, found[i]);
    }
    NodeId when = line_when(world, line);
    if (when != 0) {
        settle_condition(scope, when);
    }
    if (world->calls.count == 0) {
        list_add(world->memory, &world->calls);
    }
    list_push(world->memory, &world->calls,
              (Call){.step = step, .line = line, .arguments = first, .branch = branch, .when = when});
    return world->calls.count - 1;
}

static void read_effect(Scope *scope, NodeId line)
{
    switch (line_head(scope->world, line)) {
    case KNOWN_role: case KNOWN_takes:
        break;
    case KNOWN_sets: {
        NodeId value = line_bound(scope->world, line);
        value != 0 ? read_set(scope, line, value) : read_states(scope, line);
        break;
    }
    case KNOWN_adds: read_adds(scope, line); break;
    case KNOWN_removes: read_removes(scope, line); break;
    case KNOWN_loses: read_share_of(scope, line, EFFECT_LOSES); break;
    case KNOWN_spoils: read_share_of(scope, line, EFFECT_SPOILS); break;
    case KNOWN_uses: read_mass_of(scope, line, EFFECT_USES); break;
    case KNOWN_leaves: read_mass_of(scope, line, EFFECT_LEAVES); break;
    case KNOWN_holds_back: read_holds_back(scope, line); break;
    case KNOWN_joins: read_joins(scope, line); break;
    case KNOWN_makes: read_makes(scope, line); break;
    case KNOWN_occupies: read_time(scope, line, EFFECT_OCCUPIES); break;
    case KNOWN_waits: read_time(scope, line, EFFECT_WAITS); break;
    case KNOWN_needs: read_needs(scope, line); break;
    case KNOWN_gives: read_formula(scope, line, EFFECT_GIVES); break;
    case KNOWN_let: read_formula(scope, line, EFFECT_LETS); break;
    case KNOWN_tells: read_text(scope, line); break;
    case KNOWN_reads: read_reads(scope, line); break;
    case KNOWN_cautions: read_caution(scope, line); break;
    default: read_call(scope, line); break;
    }
    NodeId when = line_when(scope->world, line);
    if (when != 0 && world_declared(scope->world, SPACE_STEP, line_head(scope->world, line)) == 0) {
        settle_condition(scope, when);
    }
}

/* What a step takes beyond what a call can tell is said at the first that is too many. */
static void say_too_many_taken(World *world, ShapeId shape, uint32_t count)
{
    uint32_t all = 0;
    for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
        if (all++ == count) {
            message_say(world->messages, SAY_too_many_names, line_span(world, world->fields.at[id].line), NULL);
        }
    }
}

static void settle_step(World *world, uint32_t step)
{
    Scope scope;
    scope_open(&scope, world);
    ShapeId shape = world->steps.at[step].shape;
    FieldId taken[ARGUMENTS_MOST];
    uint32_t count = arguments_taken(world, shape, taken);
    say_too_many_taken(world, shape, count);
    for (uint32_t i = 0; i < count; i++) {
        const Field field = world->fields.at[taken[i]];
        if (field.value != 0) {
            settle(&scope, field.value, field.type);
        }
        scope_add(&scope, field.name, field.type, line_span(world, field.line));
    }
    uint32_t first = world->effects.count;
    NodeId block = line_block(world, world->steps.at[step].line);
    for (NodeId at = block == 0 ? 0 : world_node(world, block)->first; at != 0; at = world_node(world, at)->next) {
        read_effect(&scope, at);
    }
    world->steps.at[step].first = first;
    world->steps.at[step].count = world->effects.count - first;
    world->shapes.at[shape].slots = scope.slots;
}

void declare_settle_steps(Lot *lot)
{
    for (uint32_t step = lot->steps; step < lot->world->steps.count; step++) {
        if (lot->world->steps.at[step].shape != 0) {
            settle_step(lot->world, step);
        }
    }
}
