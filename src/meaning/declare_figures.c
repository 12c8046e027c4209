/* Declaring what is worked out by formula: let, reckon, solve, table. */
#include "meaning/declare.h"

#include "meaning/kind.h"
#include "meaning/line.h"
#include "meaning/unit.h"

#include <string.h>

/* The name in `let NAME = …` or `let NAME(u as moisture) = …`. */
static Name formula_name(World *world, NodeId line, const char *noun)
{
    NodeId first = line_first(world, line);
    if (first != 0 && (world_node(world, first)->form == NODE_NAME || world_node(world, first)->form == NODE_CALL)) {
        return world_node(world, first)->value;
    }
    if (!line_unreadable(world, line)) {
        message_say(world->messages, SAY_name_missing, line_span(world, line), noun, NULL);
    }
    return 0;
}

void declare_let_name(World *world, NodeId line)
{
    Name name = formula_name(world, line, "let");
    if (name == 0) {
        return;
    }
    uint32_t id = list_add(world->memory, &world->lets);
    world->lets.at[id] = (Let){.name = name, .line = line, .value = line_bound(world, line),
                               .function = world_node(world, line_first(world, line))->form == NODE_CALL};
    declare_name(world, SPACE_VALUE, name, BIND(BOUND_LET, id), line_first(world, line));
}

/* Parameters and the type told behind `as`. */
void declare_let(World *world, uint32_t id)
{
    NodeId line = world->lets.at[id].line, first = line_first(world, line);
    Name limited;
    NodeId as = 0;
    for (NodeId part = first; part != 0; part = world_node(world, part)->next) {
        if (world_node(world, part)->form == NODE_PREPOSITION && world_node(world, part)->value == KNOWN_as) {
            as = world_node(world, part)->next;
        }
    }
    world->lets.at[id].type = declare_type(world, as, &limited);
    if (!world->lets.at[id].function) {
        return;
    }
    world->lets.at[id].parameters = world->locals.count;
    for (NodeId part = world_node(world, first)->first; part != 0; part = world_node(world, part)->next) {
        const Node *at = world_node(world, part);
        const Node *inner = at->form == NODE_NARROW ? world_node(world, at->first) : at;
        KindId kind = at->form == NODE_NARROW ? kind_named(world, at->value) : 0;
        if (at->form != NODE_NARROW || inner->form != NODE_NAME) {
            message_say(world->messages, SAY_parameter_needs_kind, world_span(world, part), NULL);
            continue;
        }
        Type type = kind != 0 ? TYPE(TYPE_NUMBER, kind) : 0;
        ShapeId shape = kind == 0 ? settle_shape(world, at->value) : 0;
        if (shape != 0) {
            type = TYPE(TYPE_THING, shape);
        } else if (kind == 0) {
            message_say(world->messages, SAY_unknown_name, world_span(world, part), "kind",
                        world_word(world, world_node(world, part)->value),
                        world_guess(world, world_node(world, part)->value, SPACE_KIND), NULL);
        }
        Local local = {world_node(world, world_node(world, part)->first)->value, type,
                       world->lets.at[id].parameter_count};
        list_push(world->memory, &world->locals, local);
        world->lets.at[id].parameter_count++;
    }
}

void declare_settle_let(Scope *scope, uint32_t id)
{
    World *world = scope->world;
    Let *let = &world->lets.at[id];
    if (let->settled != 0) {
        return;
    }
    let->settled = 1;
    uint32_t parameters = let->parameters, count = let->parameter_count;
    for (uint32_t i = 0; i < count; i++) {
        Local local = world->locals.at[parameters + i];
        scope_add(scope, local.name, local.type, line_span(world, world->lets.at[id].line));
    }
    NodeId value = world->lets.at[id].value;
    Type type = 0;
    if (value == 0) {
        if (!line_unreadable(world, world->lets.at[id].line)) {
            message_say(world->messages, SAY_value_missing, line_span(world, world->lets.at[id].line),
                        world_word(world, world->lets.at[id].name), "a value behind `=`", NULL);
        }
    } else {
        type = settle(scope, value, world->lets.at[id].type);
    }
    if (world->lets.at[id].type == 0) {
        world->lets.at[id].type = type;
    }
    world->lets.at[id].slots = scope->slots;
    world->lets.at[id].settled = 2;
}

void settle_let_first(World *world, uint32_t id)
{
    if (world->lets.at[id].settled == 0) {
        Scope scope;
        scope_open(&scope, world);
        declare_settle_let(&scope, id);
    }
}

/* The NUMBER or QUANTITY behind `shown in UNIT,`: how many decimals. */
void declare_read_shown(World *world, NodeId line, UnitId *unit, int16_t *decimals)
{
    *decimals = -1;
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (world_node(world, part)->form != NODE_SHOWN) {
            continue;
        }
        *unit = unit_at(world, world_node(world, part)->first);
        NodeId next = world_node(world, part)->next;
        if (next != 0 && (world_node(world, next)->form == NODE_QUANTITY || world_node(world, next)->form == NODE_NUMBER)) {
            double told = world->tree.numbers.at[world_node(world, next)->value];
            *decimals = (int16_t)(told >= 0 && told <= 12 ? told : -1);
        }
    }
}

void declare_figure_name(World *world, NodeId line)
{
    Name name = formula_name(world, line, "reckon");
    if (name == 0) {
        return;
    }
    uint32_t id = list_add(world->memory, &world->figures);
    world->figures.at[id] = (Figure){.name = name, .line = line, .value = line_bound(world, line), .decimals = -1,
                                     .source = line_source(world, line)};
    declare_name(world, SPACE_VALUE, name, BIND(BOUND_FIGURE, id), line_first(world, line));
}

void declare_figure(World *world, uint32_t id)
{
    NodeId line = world->figures.at[id].line, first = line_first(world, line);
    Name limited;
    NodeId as = 0;
    for (NodeId part = first; part != 0; part = world_node(world, part)->next) {
        if (world_node(world, part)->form == NODE_PREPOSITION && world_node(world, part)->value == KNOWN_as) {
            as = world_node(world, part)->next;
        }
    }
    if (as == 0 && !line_unreadable(world, line)) {
        message_say(world->messages, SAY_field_needs_type, line_span(world, line), "reckon", NULL);
    }
    Type type = declare_type(world, as, &limited);
    UnitId shown = 0;
    int16_t decimals;
    declare_read_shown(world, line, &shown, &decimals);
    Figure *figure = &world->figures.at[id];
    figure->type = type;
    figure->shown = shown;
    figure->decimals = decimals;
    NodeId inner = world_node(world, first)->first;
    if (world_node(world, first)->form == NODE_CALL && inner != 0 && world_node(world, inner)->form == NODE_EACH) {
        figure->set = inner;
    }
}

static void settle_figure(World *world, uint32_t id)
{
    Scope scope;
    scope_open(&scope, world);
    NodeId each = world->figures.at[id].set, value = world->figures.at[id].value;
    if (each != 0) {
        NodeId set = world_node(world, each)->first;
        NodeId when = world_node(world, set)->next;
        Type of = settle_set(&scope, set);
        Type item = TYPE_SORT(of) == TYPE_SET && TYPE_INDEX(of) != 0 ? TYPE(TYPE_THING, TYPE_INDEX(of)) : 0;
        uint16_t slot = scope_add(&scope, world_node(world, each)->value, item, world_span(world, each));
        settle_bind(world, each, of, BIND(BOUND_SLOT, slot));
        if (when != 0) {
            settle_condition(&scope, world_node(world, when)->first);
        }
    }
    if (value != 0) {
        settle(&scope, value, world->figures.at[id].type);
    } else if (!world->figures.at[id].solved_for && !line_unreadable(world, world->figures.at[id].line)) {
        message_say(world->messages, SAY_value_missing, line_span(world, world->figures.at[id].line),
                    world_word(world, world->figures.at[id].name), "a value behind `=`", NULL);
    }
    world->figures.at[id].slots = scope.slots;
}

/* solve X as KIND[, within SHARE], so-that FIGURE = AIM */
void declare_solve(World *world, NodeId line)
{
    NodeId first = line_first(world, line), as = line_behind(world, line, KNOWN_as);
    Name limited;
    if (first == 0 || world_node(world, first)->form != NODE_NAME) {
        return;
    }
    if (world->unknown != 0) {
        Message *message = message_say(world->messages, SAY_solve_twice, line_span(world, line), NULL);
        message_also(world->messages, message, line_span(world, world->solve_line), "here");
        return;
    }
    uint32_t id = list_add(world->memory, &world->figures);
    world->figures.at[id] = (Figure){.name = world_node(world, first)->value, .line = line, .decimals = -1, .solved_for = true,
                                     .in_trial = true};
    Type type = declare_type(world, as, &limited);
    world->figures.at[id].type = type;
    declare_name(world, SPACE_VALUE, world->figures.at[id].name, BIND(BOUND_FIGURE, id), first);
    world->unknown = id;
    world->solve_line = line;
    world->solve_aim = line_bound(world, line);
}

static void settle_solve(World *world)
{
    NodeId figure = line_behind(world, world->solve_line, KNOWN_so_that);
    Scope scope;
    scope_open(&scope, world);
    Type type = figure == 0 ? 0 : settle(&scope, figure, 0);
    uint32_t binding = figure == 0 ? 0 : world->bindings.at[figure];
    world->solved_figure = BOUND_OF(binding) == BOUND_FIGURE ? BOUND_INDEX(binding) : 0;
    if (world->solve_aim != 0) {
        settle(&scope, world->solve_aim, type);
    }
    settle(&scope, line_behind(world, world->solve_line, KNOWN_within), 0);
    ShapeId stream = settle_shape(world, KNOWN_stream);
    Type unknown = world->figures.at[world->unknown].type;
    for (FieldId id = stream == 0 ? 0 : world->shapes.at[stream].first; id != 0; id = world->fields.at[id].next) {
        const Field *field = &world->fields.at[id];
        if (field->sort == FIELD_GIVES && TYPE_SORT(field->type) == TYPE_NUMBER && TYPE_SORT(unknown) == TYPE_NUMBER
            && kind_same(world, TYPE_INDEX(field->type), TYPE_INDEX(unknown))) {
            world->fibre_field = id;
        }
    }
}

static bool written_alike(const World *world, NodeId one, NodeId other)
{
    Span mine = world_span(world, one), theirs = world_span(world, other);
    size_t length = mine.end - mine.start;
    return length == theirs.end - theirs.start
        && memcmp(sources_bytes(&world->sources, mine.start), sources_bytes(&world->sources, theirs.start), length) == 0;
}

/* what-if VALUE, over SHARE */
static void settle_what_if(Lot *lot, NodeId line)
{
    World *world = lot->world;
    if (line_head(world, line) != KNOWN_what_if || line_unreadable(world, line)) {
        return;
    }
    NodeId value = line_first(world, line), least = line_behind(world, line, KNOWN_over);
    if (value == 0 || world_node(world, value)->form == NODE_PREPOSITION || least == 0) {
        message_say(world->messages, SAY_argument_missing, line_span(world, line), "what-if",
                    least == 0 ? "`over`, and the least share of it that can be measured" : "what shall be watched", "Add it.", NULL);
        return;
    }
    Scope scope;
    scope_open(&scope, world);
    Type type = settle(&scope, value, 0);
    settle(&scope, least, TYPE(TYPE_NUMBER, KIND_ONE));
    uint32_t binding = world->bindings.at[value];
    bool of_each = BOUND_OF(binding) == BOUND_FIGURE && binding != WORLD_BROKEN && world->figures.at[BOUND_INDEX(binding)].set != 0;
    if (TYPE_SORT(type) != TYPE_NUMBER) {
        if (type != 0 || of_each) {
            message_say(world->messages, SAY_wrong_kind, world_span(world, value), "a number of the whole paper",
                        of_each ? "a figure of each thing" : world_type_text(world, type), NULL);
        }
        return;
    }
    for (uint32_t i = 0; i < world->sensitive.count; i++) {
        if (written_alike(world, world->sensitive.at[i].value, value)) {
            world->sensitive.at[i] = (Sensitive){value, least};
            return;
        }
    }
    list_push(world->memory, &world->sensitive, (Sensitive){value, least});
}

void declare_table_name(World *world, NodeId line)
{
    Name name = formula_name(world, line, "table");
    if (name == 0) {
        return;
    }
    uint32_t binding = world_declared(world, SPACE_VALUE, name);
    if (line_is_word(world, line_behind(world, line, KNOWN_from), KNOWN_stdlib)) {
        if (BOUND_OF(binding) != BOUND_TABLE && binding != WORLD_BROKEN) {
            message_say(world->messages, SAY_unknown_name, world_span(world, line_first(world, line)), "table",
                        world_word(world, name), world_guess(world, name, SPACE_VALUE), NULL);
        } else {
            list_push(world->memory, &world->replaced, line);
        }
        return;
    }
    uint32_t id = list_add(world->memory, &world->tables);
    world->tables.at[id] = (Table){.name = name, .line = line};
    declare_name(world, SPACE_VALUE, name, BIND(BOUND_TABLE, id), line_first(world, line));
}

/* A table's key is of a kind, or a word of some field. */
static Type key_type(World *world, NodeId part)
{
    if (part == 0 || world_node(world, part)->form != NODE_NAME) {
        return 0;
    }
    KindId kind = kind_named(world, world_node(world, part)->value);
    return kind != 0 ? TYPE(TYPE_NUMBER, kind) : TYPE(TYPE_WORD, 0);
}

static Type column_type(World *world, NodeId part, Name *limited)
{
    NodeId next = world_node(world, part)->next;
    *limited = 0;
    if (next == 0 || !line_is_word(world, next, KNOWN_as)) {
        return TYPE(TYPE_WORD, 0);
    }
    NodeId type = world_node(world, next)->next;
    if (type != 0 && world_node(world, type)->form == NODE_NAME && kind_named(world, world_node(world, type)->value) == 0
        && world_node(world, type)->value != KNOWN_text && settle_shape(world, world_node(world, type)->value) == 0) {
        return TYPE(TYPE_WORD, 0); /* `level as severity`: words of that field */
    }
    return declare_type(world, type, limited);
}

static void read_columns(World *world, uint32_t table, NodeId line)
{
    ShapeId shape = list_add(world->memory, &world->shapes);
    world->shapes.at[shape] = (Shape){.name = world->tables.at[table].name, .root = shape, .line = line};
    for (NodeId part = line_first(world, line); part != 0 && line_is_argument(world, part);
         part = world_node(world, part)->next) {
        bool behind_as = world_node(world, part)->form == NODE_PREPOSITION;
        if (behind_as) {
            part = world_node(world, part)->next;
            continue;
        }
        Name limited;
        Type type = column_type(world, part, &limited);
        declare_add_field(world, shape, (Field){.name = world_node(world, part)->value, .sort = FIELD_HAS, .type = type,
                                                .line = line});
    }
    world->tables.at[table].row_shape = shape;
}

static void settle_row_of_columns(World *world, uint32_t table, NodeId line)
{
    ShapeId shape = world->tables.at[table].row_shape;
    ThingId thing = list_add(world->memory, &world->things);
    world->things.at[thing] = (Thing){.shape = shape, .line = line};
    Scope scope;
    scope_open(&scope, world);
    NodeId part = line_first(world, line);
    for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
        if (part == 0 || !line_is_argument(world, part)) {
            if (!line_unreadable(world, line)) {
                message_say(world->messages, SAY_row_too_short, line_span(world, line),
                            world_word(world, world->fields.at[id].name), NULL);
            }
            return;
        }
        settle(&scope, part, world->fields.at[id].type);
        ThingValue value = {.field = id, .node = part, .line = line, .next = world->things.at[thing].first};
        list_push(world->memory, &world->values, value);
        world->things.at[thing].first = world->values.count - 1;
        part = world_node(world, part)->next;
    }
}

static void add_row(World *world, uint32_t table, NodeId line)
{
    list_push(world->memory, &world->rows, (Row){line, 0, line_marks(world, line)});
    uint32_t row = world->rows.count - 1;
    Table *at = &world->tables.at[table];
    if (at->first_row == 0) {
        at->first_row = row;
    } else {
        world->rows.at[at->last_row].next = row;
    }
    at->last_row = row;
}

static void read_rows(World *world, uint32_t table, NodeId table_line)
{
    NodeId block = line_block(world, table_line);
    for (NodeId at = block == 0 ? 0 : world_node(world, block)->first; at != 0; at = world_node(world, at)->next) {
        Name head = line_head(world, at);
        if (head == KNOWN_columns && world->tables.at[table].row_shape == 0) {
            read_columns(world, table, at);
        } else if (head == KNOWN_row) {
            add_row(world, table, at);
        } else if (!line_unreadable(world, at)) {
            world_say_unknown_line(world, line_span(world, at), "table", world_word(world, head), "Write row or columns.");
        }
    }
}

void declare_table(World *world, uint32_t table)
{
    NodeId line = world->tables.at[table].line;
    Name limited;
    Type key = key_type(world, line_behind(world, line, KNOWN_of));
    Type result = declare_type(world, line_behind(world, line, KNOWN_as), &limited);
    world->tables.at[table].key = key;
    world->tables.at[table].result = result;
    for (NodeId part = world_node(world, line)->first; part != 0; part = world_node(world, part)->next) {
        if (line_is_word(world, part, KNOWN_linear)) {
            world->tables.at[table].linear = true;
        }
    }
    read_rows(world, table, line);
}

static void settle_row(World *world, uint32_t table, NodeId line)
{
    if (world->tables.at[table].row_shape != 0) {
        settle_row_of_columns(world, table, line);
        return;
    }
    NodeId key = line_first(world, line), value = key == 0 ? 0 : world_node(world, key)->next;
    if (value == 0 || !line_is_argument(world, value)) {
        if (!line_unreadable(world, line)) {
            message_say(world->messages, SAY_row_too_short, line_span(world, line), "value", NULL);
        }
        return;
    }
    Scope scope;
    scope_open(&scope, world);
    settle(&scope, key, world->tables.at[table].key);
    settle(&scope, value, world->tables.at[table].result);
}

static void settle_rows_from(World *world, uint32_t table, uint32_t row)
{
    for (; row != 0; row = world->rows.at[row].next) {
        settle_row(world, table, world->rows.at[row].line);
    }
}

/* `table NAME from stdlib:` lines of this lot. */
static void add_to_table(Lot *lot, NodeId line)
{
    World *world = lot->world;
    if (line_head(world, line) != KNOWN_table || !line_is_word(world, line_behind(world, line, KNOWN_from), KNOWN_stdlib)) {
        return;
    }
    NodeId first = line_first(world, line);
    uint32_t binding = first == 0 ? 0 : world_declared(world, SPACE_VALUE, world_node(world, first)->value);
    if (BOUND_OF(binding) != BOUND_TABLE || binding == WORLD_BROKEN) {
        return;
    }
    uint32_t table = BOUND_INDEX(binding), last = world->tables.at[table].last_row;
    read_rows(world, table, line);
    if (table < lot->tables) {
        settle_rows_from(world, table, last == 0 ? world->tables.at[table].first_row : world->rows.at[last].next);
    }
}

void declare_settle_figures(Lot *lot)
{
    World *world = lot->world;
    declare_each_line(lot, add_to_table);
    for (uint32_t id = lot->lets; id < world->lets.count; id++) {
        settle_let_first(world, id);
    }
    for (uint32_t id = lot->tables; id < world->tables.count; id++) {
        settle_rows_from(world, id, world->tables.at[id].first_row);
    }
    for (uint32_t id = lot->figures; id < world->figures.count; id++) {
        settle_figure(world, id);
    }
    if (world->unknown >= lot->figures && world->unknown != 0) {
        settle_solve(world);
    }
    declare_each_line(lot, settle_what_if);
}
