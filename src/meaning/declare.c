/* Declaring: the passes in order. */
#include "meaning/declare.h"

#include "meaning/line.h"

#include <string.h>

void declare_each_line(Lot *lot, void (*visit)(Lot *lot, NodeId line))
{
    World *world = lot->world;
    for (uint32_t source = lot->first_source; source < world->tree.scripts.count; source++) {
        NodeId script = world->tree.scripts.at[source];
        for (NodeId line = script == 0 ? 0 : world_node(world, script)->first; line != 0; line = world_node(world, line)->next) {
            visit(lot, line);
        }
    }
}

static NodeId place_of(const World *world, Space space, uint32_t what)
{
    switch (space) {
    case SPACE_SHAPE:
        return world->shapes.at[what].line;
    case SPACE_STEP:
        return world->steps.at[what].line;
    case SPACE_KIND:
        return world->kinds.at[what].line;
    case SPACE_PAPER:
        return world->papers.at[what].line;
    case SPACE_HELD:
        return world->things.at[what].line;
    case SPACE_RULE:
        return world->rules.at[what].line;
    case SPACE_DOCUMENT: case SPACE_SECTION:
        return world->plans.at[what].line;
    case SPACE_VALUE: case DECLARED_SPACES:
        break;
    }
    uint32_t index = BOUND_INDEX(what);
    switch (BOUND_OF(what)) {
    case BOUND_THING:
        return world->things.at[index].line;
    case BOUND_LET:
        return world->lets.at[index].line;
    case BOUND_FIGURE:
        return world->figures.at[index].line;
    case BOUND_TABLE:
        return world->tables.at[index].line;
    default:
        return 0;
    }
}

void declare_name(World *world, Space space, Name name, uint32_t what, NodeId at)
{
    uint32_t taken = world_declared(world, space, name);
    if (taken != 0 && taken != WORLD_BROKEN) {
        Message *message = message_say(world->messages, SAY_name_taken, world_span(world, at), world_word(world, name), NULL);
        NodeId other = place_of(world, space, taken);
        if (other != 0) {
            message_also(world->messages, message, line_span(world, other), "it already stands for this");
        }
        return;
    }
    world_declare(world, space, name, what);
}

Name declare_first_name(World *world, NodeId line, const char *noun)
{
    NodeId first = world_node(world, line)->first;
    if (first != 0 && world_node(world, first)->form == NODE_NAME) {
        return world_node(world, first)->value;
    }
    if (!line_unreadable(world, line)) {
        message_say(world->messages, SAY_name_missing, line_span(world, line), noun, NULL);
    }
    return 0;
}

/* Whether PART goes on with what stands in front of it: no comma, no word such as `of` between. */
static bool goes_on(const World *world, NodeId part)
{
    return part != 0 && line_is_argument(world, part) && world_node(world, part)->form != NODE_PREPOSITION
        && (world_node(world, part)->marks & NODE_BEHIND_COMMA) == 0;
}

Name declare_whole_name(World *world, NodeId line, NodeId first, Name name)
{
    NodeId behind = world_node(world, first)->next, last = first;
    if (!goes_on(world, behind) || line_unreadable(world, line)) {
        return name;
    }
    const char *joined = world_word(world, name);
    for (NodeId part = behind; goes_on(world, part) && world_node(world, part)->form == NODE_NAME; part = world_node(world, part)->next) {
        joined = arena_print(world->scratch, "%s-%s", joined, world_text(world, world_node(world, part)->value));
        last = part;
    }
    bool names = last != first && !goes_on(world, world_node(world, last)->next);
    const char *remedy = names ? arena_print(world->scratch, "Join them with hyphens: %s.", joined) : "Take it out.";
    Message *message = message_say(world->messages, SAY_name_parted, world_span(world, behind), world_word(world, name),
                                   world_written(world, behind), remedy, NULL);
    if (!names) {
        return name;
    }
    declare_silence(world, name); /* what other lines call so is meant to be this */
    message->edit = (Span){world_span(world, first).start, world_span(world, last).end};
    message->edit_text = joined;
    return names_of(&world->names, world->memory, joined);
}

Name declare_only_name(World *world, NodeId line, const char *noun)
{
    Name name = declare_first_name(world, line, noun);
    return name == 0 ? 0 : declare_whole_name(world, line, world_node(world, line)->first, name);
}

static void shapes_of_line(Lot *lot, NodeId line)
{
    if (line_head(lot->world, line) == KNOWN_fields) {
        declare_shape_name(lot->world, line);
    }
}

static void names_of_line(Lot *lot, NodeId line)
{
    World *world = lot->world;
    switch (line_head(world, line)) {
    case KNOWN_kind:
        declare_kind_name(world, line);
        break;
    case KNOWN_step:
        declare_step_name(world, line);
        break;
    case KNOWN_let:
        declare_let_name(world, line);
        break;
    case KNOWN_reckon:
        declare_figure_name(world, line);
        break;
    case KNOWN_batch:
        declare_batch_name(world, line);
        break;
    case KNOWN_unit:
        declare_unit_name(lot, line);
        break;
    case KNOWN_rule: case KNOWN_claim:
        declare_rule_name(world, line);
        break;
    case KNOWN_document: case KNOWN_section:
        declare_plan_name(world, line);
        break;
    default:
        break;
    }
}

static void tables_of_line(Lot *lot, NodeId line)
{
    if (line_head(lot->world, line) == KNOWN_table) {
        declare_table_name(lot->world, line);
    } else if (line_head(lot->world, line) == KNOWN_fields) {
        declare_shape_parent(lot->world, line);
    } else if (line_head(lot->world, line) == KNOWN_basis) {
        declare_basis(lot->world, line);
    }
}

static void solve_of_line(Lot *lot, NodeId line)
{
    World *world = lot->world;
    if (line_head(world, line) == KNOWN_solve) {
        declare_solve(world, line);
    } else if (line_head(world, line) == KNOWN_parcels) {
        NodeId most = line_behind(world, line, KNOWN_most);
        Scope scope;
        scope_open(&scope, world);
        if (most != 0) {
            world->parcels_at_most = most;
        }
    }
}

static void fields_of_line(Lot *lot, NodeId line)
{
    if (line_head(lot->world, line) == KNOWN_fields) {
        declare_fields(lot->world, line);
    }
}

static void things_of_line(Lot *lot, NodeId line)
{
    World *world = lot->world;
    Name head = line_head(world, line);
    if (head == KNOWN_paper) {
        declare_paper_name(world, line);
        return;
    }
    ShapeId shape = settle_shape(world, head);
    if (shape != 0 && head != KNOWN_batch) {
        declare_thing(world, line, shape);
    }
}

static Lot lot_from(World *world, uint32_t first_source)
{
    if (world->steps.count == 0) {
        list_add(world->memory, &world->steps);
    }
    return (Lot){.world = world, .first_source = first_source, .kinds = world->kinds.count, .units = world->units.count,
                 .shapes = world->shapes.count, .fields = world->fields.count, .things = world->things.count,
                 .lets = world->lets.count, .figures = world->figures.count, .tables = world->tables.count,
                 .steps = world->steps.count, .papers = world->papers.count, .batches = world->batches.count,
                 .rows = world->rows.count, .rules = world->rules.count, .plans = world->plans.count};
}

static void room_for_nodes(World *world)
{
    uint32_t nodes = world->tree.nodes.count;
    list_reserve(world->memory, &world->types, nodes - world->types.count);
    list_reserve(world->memory, &world->bindings, nodes - world->bindings.count);
    memset(&world->types.at[world->types.count], 0, (nodes - world->types.count) * sizeof(Type));
    memset(&world->bindings.at[world->bindings.count], 0, (nodes - world->bindings.count) * sizeof(uint32_t));
    world->types.count = nodes;
    world->bindings.count = nodes;
    uint32_t numbers = world->tree.numbers.count;
    list_reserve(world->memory, &world->converted, numbers - world->converted.count);
    for (; world->converted.count < numbers; world->converted.count++) {
        world->converted.at[world->converted.count] = world->tree.numbers.at[world->converted.count];
    }
}

static void declare_meanings(Lot *lot)
{
    World *world = lot->world;
    for (KindId kind = lot->kinds; kind < world->kinds.count; kind++) {
        declare_kind(world, kind);
    }
    for (UnitId unit = lot->units; unit < world->units.count; unit++) {
        declare_unit(world, unit);
    }
    declare_each_line(lot, tables_of_line);
    for (KindId kind = lot->kinds; kind < world->kinds.count; kind++) {
        declare_shown(world, kind);
    }
    declare_each_line(lot, fields_of_line);
    declare_each_line(lot, declare_mend_blocks);
    declare_each_line(lot, things_of_line);
    for (ThingId thing = lot->things; thing < world->things.count; thing++) {
        declare_held(world, thing);
    }
    for (uint32_t let = lot->lets; let < world->lets.count; let++) {
        declare_let(world, let);
    }
    declare_each_line(lot, solve_of_line);
    for (uint32_t figure = lot->figures; figure < world->figures.count; figure++) {
        if (!world->figures.at[figure].solved_for) {
            declare_figure(world, figure);
        }
    }
    for (uint32_t table = lot->tables; table < world->tables.count; table++) {
        declare_table(world, table);
    }
    for (uint32_t step = lot->steps; step < world->steps.count; step++) {
        if (world->steps.at[step].shape != 0) {
            declare_step(world, step);
        }
    }
}

static void settle_parcels(World *world)
{
    if (world->parcels_at_most != 0) {
        Scope scope;
        scope_open(&scope, world);
        settle(&scope, world->parcels_at_most, 0);
    }
}

void declare_scripts(World *world, uint32_t first_source)
{
    room_for_nodes(world);
    Lot lot = lot_from(world, first_source);
    declare_each_line(&lot, shapes_of_line);
    declare_each_line(&lot, declare_mend_top);
    declare_each_line(&lot, names_of_line);
    declare_meanings(&lot);
    declare_replacements(&lot);
    declare_settle_fields(&lot);
    declare_settle_figures(&lot);
    declare_settle_things(&lot);
    if (lot.steps != world->steps.count || world->solve_line >= 1) {
        settle_parcels(world);
    }
    declare_settle_steps(&lot);
    declare_settle_rules(&lot);
    declare_rule_replacements(&lot);
    declare_settle_documents(&lot);
    for (uint32_t paper = lot.papers; paper < world->papers.count; paper++) {
        declare_paper(world, paper);
    }
    for (uint32_t paper = lot.papers; paper < world->papers.count; paper++) {
        declare_settle_paper(world, paper);
        declare_ages_of_paper(world, paper);
    }
    for (uint32_t batch = lot.batches; batch < world->batches.count; batch++) {
        declare_batch(world, batch);
    }
    if (lot.steps != world->steps.count || lot.figures != world->figures.count) {
        declare_mark_needed(world);
        for (uint32_t step = lot.steps; step < world->steps.count; step++) {
            if (world->steps.at[step].shape != 0) {
                declare_ages_of_step(world, step);
            }
        }
    }
    if (lot.lets != world->lets.count || lot.figures != world->figures.count || lot.fields != world->fields.count
        || world->replaced.count > 0) {
        declare_rings(&lot);
    }
}
