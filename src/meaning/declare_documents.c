/* Declaring documents and sections: what is printed, in which order, and in which words. */
#include "meaning/declare.h"

#include "meaning/document_lines.h"
#include "meaning/line.h"

enum { BLOCKS_OF_PLAN = 12 };

static bool from_stdlib(const World *world, NodeId line)
{
    return line_is_word(world, line_behind(world, line, KNOWN_from), KNOWN_stdlib);
}

/* document NAME: …, section NAME: … at the top; `document NAME from stdlib:` declares nothing. */
void declare_plan_name(World *world, NodeId line)
{
    bool section = line_head(world, line) == KNOWN_section;
    if (!section && from_stdlib(world, line)) {
        return;
    }
    Name name = declare_only_name(world, line, section ? "section" : "document");
    if (name == 0) {
        return;
    }
    uint32_t plan = list_add(world->memory, &world->plans);
    world->plans.at[plan] = (Plan){.name = name, .line = line, .section = section};
    declare_name(world, section ? SPACE_SECTION : SPACE_DOCUMENT, name, plan, world_node(world, line)->first);
}

/* ---- the lines ---- */

/* NAME is known in what follows, as an item of SET. */
static void bind_each(Scope *scope, NodeId node, Name name, NodeId set)
{
    World *world = scope->world;
    Type of = settle_set(scope, set), item = settle_item(of);
    if (TYPE_SORT(item) == TYPE_STEP && world_node(world, set)->form == NODE_CALL) {
        item = TYPE(TYPE_STEP, world_node(world, world_node(world, set)->first)->value);
    }
    uint16_t slot = scope_add(scope, name, item, world_span(world, node));
    settle_bind(world, node, of, BIND(BOUND_SLOT, slot));
}

/* each m from SET: as the head of a block, or within a line. */
static bool settle_line_each(Scope *scope, NodeId line)
{
    World *world = scope->world;
    NodeId each = document_line_each(world, line);
    if (each != 0) {
        bind_each(scope, each, world_node(world, each)->value, world_node(world, each)->first);
        return true;
    }
    if (line_head(world, line) != KNOWN_each) {
        return false;
    }
    NodeId name = line_first(world, line), set = line_behind(world, line, KNOWN_from);
    if (name == 0 || set == 0 || world_node(world, name)->form != NODE_NAME) {
        line_say_written_so(world, line, "each m from SET:");
        return false;
    }
    bind_each(scope, name, world_node(world, name)->value, set);
    return true;
}

static bool asks_text(Name head, uint32_t number)
{
    switch (head) {
    case KNOWN_fact: case KNOWN_column: case KNOWN_part: case KNOWN_course: case KNOWN_band: case KNOWN_code:
        return number == 0;
    case KNOWN_field:
        return number == 0;
    case KNOWN_caution:
        return number > 0;
    case KNOWN_text: case KNOWN_note: case KNOWN_item: case KNOWN_row: case KNOWN_labels: case KNOWN_mark:
        return false; /* whatever it is is shown as people read it */
    default:
        return true;
    }
}

static void settle_values(Scope *scope, NodeId line, const DocumentLine *form)
{
    World *world = scope->world;
    uint32_t count = 0;
    for (NodeId value; (value = document_line_value(world, line, count)) != 0; count++) {
        if (form->head == KNOWN_section || form->head == KNOWN_each) {
            continue; /* names, which are looked at elsewhere */
        }
        const char *words = document_line_misspelt(world, form->head, value);
        if (words != NULL) {
            message_say(world->messages, SAY_unknown_word, world_span(world, value), world_word(world, world_node(world, value)->value),
                        world_word(world, form->head), words, NULL);
            return;
        }
        Type want = asks_text(form->head, count) ? TYPE(TYPE_TEXT, 0) : 0;
        ShapeId stock = form->head == KNOWN_labels && count == 0 ? settle_shape(world, KNOWN_label_stock) : 0;
        settle(scope, value, stock != 0 ? TYPE(TYPE_THING, stock) : want);
    }
    bool counts = form->head != KNOWN_section && form->head != KNOWN_each && form->head != KNOWN_when && form->head != KNOWN_otherwise;
    bool block = line_block(world, line) != 0;
    if ((counts && (count < form->least || count > form->most)) || (block && form->block == 'n') || (!block && form->block == 'b')) {
        line_say_written_so(world, line, form->form);
    }
}

static void settle_lines(Scope *scope, NodeId first, char where, unsigned depth);

/* section NAME: within a document its lines stand here; section NAME without a block stands for one that is declared by itself. */
static void settle_section(Scope *scope, NodeId line, char where, unsigned depth)
{
    World *world = scope->world;
    NodeId name = line_first(world, line), block = line_block(world, line);
    if (name == 0 || world_node(world, name)->form != NODE_NAME) {
        line_say_written_so(world, line, document_line(KNOWN_section)->form);
        return;
    }
    Name word = world_node(world, name)->value;
    if (block != 0) {
        settle_lines(scope, world_node(world, block)->first, where, depth + 1);
    } else if (world_declared(world, SPACE_SECTION, word) == 0) {
        message_say(world->messages, SAY_unknown_name, world_span(world, name), "section", world_word(world, word),
                    world_guess(world, word, SPACE_SECTION), NULL);
    }
}

static char inside_of(Name head, char where)
{
    return head == KNOWN_table ? 't' : head == KNOWN_picture ? 'p' : head == KNOWN_labels ? 'l' : head == KNOWN_steps ? 's'
        : head == KNOWN_each || head == KNOWN_when || head == KNOWN_otherwise || head == KNOWN_together || head == KNOWN_hold ? where : '-';
}

static void settle_document_line(Scope *scope, NodeId line, char where, unsigned depth)
{
    World *world = scope->world;
    Name head = line_head(world, line);
    const DocumentLine *form = document_line(head);
    if (form == NULL || line_unreadable(world, line)) {
        return; /* said when heads were looked at */
    }
    if (form->where != '-' && form->where != where) {
        const char *place = form->where == 't' ? "table" : form->where == 'p' ? "picture" : form->where == 'l' ? "labels"
            : form->where == 's' ? "steps" : "document";
        message_say(world->messages, SAY_line_stands_in, line_span(world, line), world_word(world, head), place, NULL);
        return;
    }
    if (head == KNOWN_section) {
        settle_section(scope, line, where, depth);
        return;
    }
    uint32_t locals = scope->local_count;
    settle_line_each(scope, line);
    NodeId when = line_when(world, line), block = line_block(world, line);
    if (when != 0) {
        settle_condition(scope, when);
    }
    settle_values(scope, line, form);
    if (block != 0) {
        settle_lines(scope, world_node(world, block)->first, inside_of(head, where), depth + 1);
    }
    scope->local_count = locals;
}

static void settle_lines(Scope *scope, NodeId first, char where, unsigned depth)
{
    if (depth > BLOCKS_OF_PLAN) {
        message_say(scope->world->messages, SAY_document_too_large, world_span(scope->world, first), NULL);
        return;
    }
    for (NodeId line = first; line != 0; line = world_node(scope->world, line)->next) {
        settle_document_line(scope, line, where, depth);
    }
}

static void settle_plan(World *world, uint32_t plan)
{
    NodeId line = world->plans.at[plan].line, block = line_block(world, line);
    uint32_t errors = world->messages->errors;
    Scope scope;
    scope_open(&scope, world);
    if (block == 0) {
        line_say_written_so(world, line, world->plans.at[plan].section ? "section NAME: …" : "document NAME: …");
    } else {
        settle_lines(&scope, world_node(world, block)->first, world->plans.at[plan].section ? '-' : 'd', 0);
    }
    world->plans.at[plan].slots = scope.slots;
    world->plans.at[plan].broken = world->messages->errors != errors || !declare_block_is_whole(world, line);
}

/* ---- what a mill changes ---- */

/* The line `section NAME` within a document; 0: it has none. */
static NodeId section_line(const World *world, NodeId block, Name name)
{
    for (NodeId line = block == 0 ? 0 : world_node(world, block)->first; line != 0; line = world_node(world, line)->next) {
        NodeId first = line_first(world, line);
        if (line_head(world, line) == KNOWN_section && first != 0 && world_node(world, first)->value == name) {
            return line;
        }
        NodeId inner = section_line(world, line_block(world, line), name);
        if (inner != 0) {
            return inner;
        }
    }
    return 0;
}

static bool stays_always(const World *world, NodeId line, Name name)
{
    uint32_t section = world_declared(world, SPACE_SECTION, name);
    bool declared = section != 0 && section != WORLD_BROKEN && line_block(world, line) == 0;
    return document_line_has(world, line, KNOWN_always) || (declared && document_line_has(world, world->plans.at[section].line, KNOWN_always));
}

static bool was_moved(const World *world, uint32_t plan, Name name)
{
    for (uint32_t i = 0; i < world->plan_changes.count; i++) {
        if (world->plan_changes.at[i].plan == plan && world->plan_changes.at[i].section == name) {
            return true;
        }
    }
    return false;
}

/* The section that NODE names, in the document or, where that will do, declared by itself; 0, and a message: there is none. */
static Name section_named(World *world, uint32_t plan, NodeId node, bool declared_too)
{
    Name name = world_node(world, node)->form == NODE_NAME ? world_node(world, node)->value : 0;
    bool here = name != 0 && section_line(world, line_block(world, world->plans.at[plan].line), name) != 0;
    if (name != 0 && (here || (declared_too && world_declared(world, SPACE_SECTION, name) != 0))) {
        return name;
    }
    message_say(world->messages, SAY_unknown_name, world_span(world, node), "section",
                name == 0 ? world_written(world, node) : world_word(world, name), name == 0 ? "" : world_guess(world, name, SPACE_SECTION), NULL);
    return 0;
}

/* leave-out NAME; put NAME before NAME; put NAME after NAME */
static void read_change(World *world, uint32_t plan, NodeId line)
{
    NodeId first = line_first(world, line);
    NodeId before = line_behind(world, line, KNOWN_before), after = line_behind(world, line, KNOWN_after);
    bool out = line_head(world, line) == KNOWN_leave_out;
    if (line_unreadable(world, line)) {
        return;
    }
    if (first == 0 || out != (before == 0 && after == 0) || line_block(world, line) != 0) {
        line_say_written_so(world, line, out ? "leave-out SECTION" : "put SECTION before SECTION");
        return;
    }
    NodeId beside = before != 0 ? before : after;
    Name name = section_named(world, plan, first, !out), place = out ? 0 : section_named(world, plan, beside, false);
    if (name == 0 || (!out && place == 0)) {
        return;
    }
    NodeId stands = section_line(world, line_block(world, world->plans.at[plan].line), name);
    if (out && stays_always(world, stands, name)) {
        message_say(world->messages, SAY_section_stays, world_span(world, first), world_word(world, name), NULL);
        return;
    }
    if (was_moved(world, plan, name) || place == name || (place != 0 && was_moved(world, plan, place))) {
        message_say(world->messages, SAY_section_moved_twice, line_span(world, line), world_word(world, place != 0 && !was_moved(world, plan, name) ? place : name), NULL);
        return;
    }
    list_push(world->memory, &world->plan_changes, (PlanChange){plan, name, place, after != 0, line});
    list_push(world->memory, &world->replaced, line);
}

static void changes_of_line(Lot *lot, NodeId line)
{
    World *world = lot->world;
    if (line_head(world, line) != KNOWN_document || !from_stdlib(world, line) || line_unreadable(world, line)) {
        return;
    }
    NodeId name = line_first(world, line), block = line_block(world, line);
    Name word = name != 0 && world_node(world, name)->form == NODE_NAME ? world_node(world, name)->value : 0;
    uint32_t plan = word == 0 ? 0 : world_declared(world, SPACE_DOCUMENT, word);
    if (plan == WORLD_BROKEN) {
        return;
    }
    if (plan == 0 || block == 0) {
        if (word != 0 && block != 0) {
            message_say(world->messages, SAY_unknown_name, world_span(world, name), "document", world_word(world, word),
                        world_guess(world, word, SPACE_DOCUMENT), NULL);
        } else {
            line_say_written_so(world, line, "document NAME from stdlib: leave-out SECTION …");
        }
        return;
    }
    for (NodeId at = world_node(world, block)->first; at != 0; at = world_node(world, at)->next) {
        read_change(world, plan, at);
    }
}

void declare_settle_documents(Lot *lot)
{
    World *world = lot->world;
    for (uint32_t plan = lot->plans; plan < world->plans.count; plan++) {
        settle_plan(world, plan);
    }
    declare_each_line(lot, changes_of_line);
}

/* ---- heads that nobody knows ---- */

bool declare_changes_document(const World *world, NodeId line)
{
    return line_head(world, line) == KNOWN_document && from_stdlib(world, line);
}
