/* Going through the lines of a document, and what is made of most of them. */
#include "documents/maker.h"

#include "meaning/document_lines.h"
#include "meaning/line.h"
#include "reckoning/outcome.h"

#include <string.h>

enum { SECTIONS_DEEP = 12 };

/* ---- items and blocks ---- */

typedef struct Binding { Maker *maker; NodeId line; uint16_t slot; MakeBody *body; void *with; } Binding;

static bool bind_item(Run *run, void *with, uint32_t ref)
{
    const Binding *binding = with;
    Maker *maker = binding->maker;
    maker->frame->slots[binding->slot] = (Value){0, ref, 0};
    if (run_holds(run, maker->frame, line_when(maker->world, binding->line))) {
        binding->body(maker, binding->line, binding->with);
    }
    return !run->failed && maker->trouble == NULL;
}

void maker_each(Maker *maker, NodeId line, MakeBody *body, void *with)
{
    const World *world = maker->world;
    NodeId each = document_line_each(world, line), set = each != 0 ? world_node(world, each)->first : 0;
    if (each == 0 && line_head(world, line) == KNOWN_each) {
        each = line_first(world, line);
        set = line_behind(world, line, KNOWN_from);
    }
    if (each == 0) {
        if (run_holds(maker->run, maker->frame, line_when(world, line))) {
            body(maker, line, with);
        }
        return;
    }
    Binding binding = {maker, line, (uint16_t)BOUND_INDEX(world->bindings.at[each]), body, with};
    run_each(maker->run, maker->frame, set, bind_item, &binding);
}

static void block_of_item(Maker *maker, NodeId line, void *with)
{
    const Binding *inner = with;
    maker_lines(maker, line, inner->body, inner->with);
}

void maker_lines(Maker *maker, NodeId line, MakeBody *body, void *with)
{
    const World *world = maker->world;
    NodeId block = line_block(world, line);
    bool held = true; /* whether the last `when` did */
    for (NodeId at = block == 0 ? 0 : world_node(world, block)->first; at != 0 && maker->trouble == NULL; at = world_node(world, at)->next) {
        Binding inner = {.body = body, .with = with};
        switch (line_head(world, at)) {
        case KNOWN_when:
            held = run_holds(maker->run, maker->frame, line_when(world, at));
            if (held) {
                maker_lines(maker, at, body, with);
            }
            break;
        case KNOWN_otherwise:
            if (!held) {
                maker_lines(maker, at, body, with);
            }
            break;
        case KNOWN_each:
            maker_each(maker, at, block_of_item, &inner);
            break;
        default:
            body(maker, at, with);
            break;
        }
    }
}

/* ---- texts ---- */

const char *maker_node_text(Maker *maker, NodeId node)
{
    Run *run = maker->run;
    if (node == 0) {
        return NULL;
    }
    if (world_node(maker->world, node)->form == NODE_TEXT) {
        return run_text(run, maker->frame, node);
    }
    Value value = run_value(run, maker->frame, node);
    return run_told(value) ? run_shown(run, maker->frame, node, value, maker->world->types.at[node]) : NULL;
}

const char *maker_text(Maker *maker, NodeId line, uint32_t number)
{
    return maker_node_text(maker, document_line_value(maker->world, line, number));
}

/* ---- groups ---- */

void maker_close_group(Maker *maker)
{
    if (maker->group != NULL) {
        document_leave(maker->document);
        maker->group = NULL;
    }
}

DocumentNode *maker_enter(Maker *maker, DocumentForm form, const char *label, const char *text)
{
    maker_close_group(maker);
    return document_enter(maker->document, form, label, text);
}

void maker_leave(Maker *maker)
{
    maker_close_group(maker);
    document_leave(maker->document);
}

static void group(Maker *maker, DocumentForm form, unsigned marks)
{
    if (maker->group != NULL && (maker->group->form != form || maker->group->marks != marks)) {
        maker_close_group(maker);
    }
    if (maker->group == NULL) {
        maker->group = document_enter(maker->document, form, NULL, NULL);
        maker->group->marks = marks;
    }
}

static DocumentNode *add(Maker *maker, DocumentForm form, const char *label, const char *text)
{
    maker_close_group(maker);
    return document_add(maker->document, form, label, text);
}

/* ---- pages and sections ---- */

static void page_of_item(Maker *maker, NodeId line, void *with)
{
    (void)with;
    const char *before = maker->telling.page, *name = maker_text(maker, line, 0), *small = maker_text(maker, line, 1);
    maker->telling.page = name;
    DocumentNode *part = maker_enter(maker, DOCUMENT_PART, NULL, name == NULL ? "" : name);
    document_hint(maker->document, part, small);
    maker_lines(maker, line, maker_line, NULL);
    maker_leave(maker);
    maker->telling.page = before;
}

/* A section of which nothing but headings came is left out: there is nothing to tell under them. */
static void take_back_bare_headings(Maker *maker, DocumentNode *inside, DocumentNode *last)
{
    DocumentNode *first = last == NULL ? inside->first : last->next;
    for (const DocumentNode *node = first; node != NULL; node = node->next) {
        if (node->form != DOCUMENT_HEADING) {
            return;
        }
    }
    if (last == NULL) {
        inside->first = NULL;
    } else {
        last->next = NULL;
    }
    inside->last = last;
    (void)maker;
}

static void section_called(Maker *maker, Name name);

/* What the mill puts beside the section: in the order in which it wrote the lines. */
static void sections_beside(Maker *maker, Name name, bool behind)
{
    const World *world = maker->world;
    for (uint32_t i = 0; i < world->plan_changes.count; i++) {
        PlanChange change = world->plan_changes.at[i];
        if (change.plan == maker->wish->plan && change.beside == name && change.behind == behind) {
            section_called(maker, change.section);
        }
    }
}

static bool stands_elsewhere(const Maker *maker, Name name)
{
    const World *world = maker->world;
    for (uint32_t i = 0; i < world->plan_changes.count; i++) {
        if (world->plan_changes.at[i].plan == maker->wish->plan && world->plan_changes.at[i].section == name) {
            return true;
        }
    }
    return false;
}

/* The lines of the section at LINE, which is declared there, or is one of those that are declared by themselves and have a frame of their own. */
static void section_lines(Maker *maker, NodeId line, uint16_t slots)
{
    Value values[RUN_SLOTS];
    Frame own = {.slots = values}, *outer = maker->frame;
    maker_close_group(maker);
    DocumentNode *inside = maker->document->inside, *last = inside->last;
    if (slots > 0) {
        for (uint16_t i = 0; i < slots && i < RUN_SLOTS; i++) {
            values[i] = run_absent(0);
        }
    }
    maker->frame = slots > 0 ? &own : maker->frame;
    maker_lines(maker, line, maker_line, NULL);
    maker_close_group(maker);
    maker->frame = outer;
    take_back_bare_headings(maker, inside, last);
}

/* The line `section NAME: …` within BLOCK; 0: there is none. */
static NodeId inline_section(const World *world, NodeId block, Name name)
{
    for (NodeId line = block == 0 ? 0 : world_node(world, block)->first; line != 0; line = world_node(world, line)->next) {
        NodeId first = line_first(world, line), inner = line_block(world, line);
        if (line_head(world, line) == KNOWN_section && inner != 0 && first != 0 && world_node(world, first)->value == name) {
            return line;
        }
        NodeId found = inline_section(world, inner, name);
        if (found != 0) {
            return found;
        }
    }
    return 0;
}

static void section_called(Maker *maker, Name name)
{
    const World *world = maker->world;
    uint32_t section = world_declared(world, SPACE_SECTION, name);
    NodeId here = inline_section(world, line_block(world, world->plans.at[maker->wish->plan].line), name);
    if (maker->depth >= SECTIONS_DEEP) {
        maker->trouble = arena_print(&maker->run->arena, "The section %s stands within itself. Take it out of itself.", world_text(world, name));
        return;
    }
    maker->depth++;
    if (here != 0) {
        section_lines(maker, here, 0);
    } else if (section != 0 && section != WORLD_BROKEN && !world->plans.at[section].broken) {
        section_lines(maker, world->plans.at[section].line, (uint16_t)(world->plans.at[section].slots + 1));
    }
    maker->depth--;
}

static void section_of_line(Maker *maker, NodeId line)
{
    NodeId first = line_first(maker->world, line);
    Name name = first == 0 ? 0 : world_node(maker->world, first)->value;
    if (stands_elsewhere(maker, name)) {
        return;
    }
    sections_beside(maker, name, false);
    section_called(maker, name);
    sections_beside(maker, name, true);
}

/* ---- lines ---- */

static void field_of_item(Maker *maker, NodeId line, void *with)
{
    (void)with;
    Name head = line_head(maker->world, line);
    const char *label = maker_text(maker, line, 0), *expected = maker_text(maker, line, 1);
    group(maker, DOCUMENT_FIELDS, head == KNOWN_blank ? DOCUMENT_IN_LINE : 0);
    document_field(maker->document, head == KNOWN_signature ? DOCUMENT_LONG : 0, label == NULL ? "" : label, expected);
}

/* A fact that is not told is not printed: what must be told is asked for where it is declared. */
static void fact_of_item(Maker *maker, NodeId line, void *with)
{
    (void)with;
    const char *label = maker_text(maker, line, 0), *text = maker_text(maker, line, 1);
    if (text != NULL) {
        group(maker, DOCUMENT_PAIRS, 0);
        document_pair(maker->document, label == NULL ? "" : label, text);
    }
}

static void item_of_item(Maker *maker, NodeId line, void *with)
{
    (void)with;
    const char *text = maker_text(maker, line, 0);
    if (text != NULL) {
        group(maker, DOCUMENT_LIST, 0);
        document_add(maker->document, DOCUMENT_ITEM, NULL, text);
    }
}

static void add_code(Maker *maker, NodeId line)
{
    const char *label = maker_text(maker, line, 0), *text = maker_text(maker, line, 1);
    if (text != NULL && *text != 0) {
        unsigned bars = document_line_has(maker->world, line, KNOWN_bars) ? DOCUMENT_BARS : 0;
        unsigned aside = document_line_has(maker->world, line, KNOWN_aside) ? DOCUMENT_ASIDE : 0;
        add(maker, DOCUMENT_CODE, label == NULL ? "" : label, text)->marks = bars | aside;
    }
}

static bool ends_in(const char *name, const char *ending)
{
    size_t length = strlen(name), wanted = strlen(ending);
    return length > wanted && strcmp(name + length - wanted, ending) == 0;
}

static bool is_in_label(const Document *document)
{
    for (const DocumentNode *node = document->inside; node != NULL; node = node->parent) {
        if (node->form == DOCUMENT_LABEL) {
            return true;
        }
    }
    return false;
}

/* A mill's own mark, from a file of its own. */
static void add_mark(Maker *maker, NodeId line)
{
    static const double on_page[] = {60, 14}, on_label[] = {30, 7}; /* mm, wide and high */
    const char *name = maker_text(maker, line, 0), *words = maker_text(maker, line, 1), *why = NULL;
    const char *type = name == NULL ? NULL : ends_in(name, ".svg") ? "image/svg+xml" : ends_in(name, ".png") ? "image/png" : NULL;
    if (name == NULL) {
        return;
    }
    const char *bytes = type == NULL || maker->wish->read == NULL ? NULL : maker->wish->read(maker->wish->with, name, maker->document->arena, &why);
    if (bytes == NULL) {
        maker->trouble = arena_print(&maker->run->arena, "The mark %.200s cannot be printed: %s", name,
                                     type == NULL ? "a mark is a file that ends in .svg or .png." : why == NULL ? "it cannot be read." : why);
        return;
    }
    DocumentNode *image = add(maker, DOCUMENT_IMAGE, type, words == NULL ? name : words);
    image->marks = document_line_has(maker->world, line, KNOWN_aside) ? DOCUMENT_ASIDE : 0;
    document_hint(maker->document, image, bytes);
    document_numbers(maker->document, image, is_in_label(maker->document) ? on_label : on_page, 2);
}

static void line_of_item(Maker *maker, NodeId line, void *with)
{
    (void)with;
    Document *document = maker->document;
    const char *first = maker_text(maker, line, 0);
    switch (line_head(maker->world, line)) {
    case KNOWN_headline:
        maker_close_group(maker);
        document_heading(document, 1, first == NULL ? "" : first);
        break;
    case KNOWN_heading:
        maker_close_group(maker);
        document_heading(document, 2, first == NULL ? "" : first);
        break;
    case KNOWN_text:
        if (first != NULL) {
            add(maker, DOCUMENT_PARAGRAPH, NULL, first);
        }
        break;
    case KNOWN_note:
        if (first != NULL) {
            add(maker, DOCUMENT_NOTE, NULL, first);
        }
        break;
    case KNOWN_tick: {
        DocumentNode *tick = add(maker, DOCUMENT_TICK, "", first == NULL ? "" : first);
        document_hint(document, tick, maker_text(maker, line, 1));
        break;
    }
    case KNOWN_caution: {
        DocumentNode *caution = add(maker, DOCUMENT_CAUTION, first == NULL ? "caution" : first, maker_text(maker, line, 1));
        document_hint(document, caution, maker_text(maker, line, 2));
        break;
    }
    case KNOWN_hold:
        maker_enter(maker, DOCUMENT_HOLD, first, maker_text(maker, line, 1));
        maker_lines(maker, line, maker_line, NULL);
        maker_leave(maker);
        break;
    case KNOWN_together:
        maker_enter(maker, DOCUMENT_KEEP, NULL, NULL);
        maker_lines(maker, line, maker_line, NULL);
        maker_leave(maker);
        break;
    case KNOWN_title:
        if (document->root->first == NULL && first != NULL) {
            document->root->text = arena_copy(document->arena, first, strlen(first));
        }
        break;
    default:
        break;
    }
}

void maker_line(Maker *maker, NodeId line, void *with)
{
    const World *world = maker->world;
    switch (line_head(world, line)) {
    case KNOWN_pages: case KNOWN_page:
        maker_each(maker, line, page_of_item, with);
        break;
    case KNOWN_section:
        section_of_line(maker, line);
        break;
    case KNOWN_fact:
        maker_each(maker, line, fact_of_item, with);
        break;
    case KNOWN_item:
        maker_each(maker, line, item_of_item, with);
        break;
    case KNOWN_field: case KNOWN_blank: case KNOWN_signature:
        maker_each(maker, line, field_of_item, with);
        break;
    case KNOWN_table:
        maker_table(maker, line);
        break;
    case KNOWN_steps:
        maker_steps(maker, line);
        break;
    case KNOWN_picture:
        maker_picture(maker, line);
        break;
    case KNOWN_labels:
        maker_labels(maker, line);
        break;
    case KNOWN_code: case KNOWN_mark:
        if (run_holds(maker->run, maker->frame, line_when(world, line))) {
            (line_head(world, line) == KNOWN_code ? add_code : add_mark)(maker, line);
        }
        break;
    default:
        maker_each(maker, line, line_of_item, with);
        break;
    }
}

const char *make_document(Run *run, const Outcome *outcome, const MakeWish *wish, Document *document)
{
    World *world = run->world;
    Value slots[RUN_SLOTS];
    Frame frame = {.slots = slots};
    for (size_t i = 0; i < RUN_SLOTS; i++) {
        slots[i] = run_absent(0);
    }
    Maker maker = {.run = run, .world = world, .document = document, .outcome = outcome, .wish = wish, .frame = &frame,
                   .telling = {.outcome = outcome, .script = wish->script, .stdlib = wish->stdlib}};
    run->telling = &maker.telling;
    run->evaluations = 0;
    maker_lines(&maker, world->plans.at[wish->plan].line, maker_line, NULL);
    maker_close_group(&maker);
    run->telling = NULL;
    if (maker.trouble == NULL && run->failed) {
        maker.trouble = "This document asks for more than can be worked out. Make it shorter.";
    }
    return maker.trouble;
}
