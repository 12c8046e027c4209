/* What could stand at a place: the heads that a block knows, or names and units behind one. */
#include "editor/serving.h"

#include "meaning/document_lines.h"
#include "meaning/line.h"
#include "meaning/settle.h"

#include <stdlib.h>
#include <string.h>

enum { BLOCKS = 64, WORD = 100 };

/* The blocks around a place, by the first words of their lines. */
typedef struct Around {
    char heads[BLOCKS][WORD];
    unsigned depth;
    char head[WORD];     /* of the line at hand, once it is whole; "" while it is being written */
    char before[WORD];   /* the word in front of the one at hand */
} Around;

static bool is_letter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '-' || c == '%' || (unsigned char)c >= 0x80; }

static size_t take_word(const char *at, const char *end, char word[WORD])
{
    size_t length = 0;
    while (at + length < end && is_letter(at[length])) {
        length++;
    }
    snprintf(word, WORD, "%.*s", (int)(length < WORD - 1 ? length : WORD - 1), at);
    return length;
}

/* Lines that end in a colon open blocks, `end` closes them: that holds for a script that is being written, too. */
static void look_around(const char *text, size_t offset, Around *around)
{
    memset(around, 0, sizeof *around);
    const char *end = text + offset;
    for (const char *line = text; line < end;) {
        const char *stop = memchr(line, '\n', (size_t)(end - line)), *from = line;
        while (from < end && (*from == ' ' || *from == '\t')) {
            from++;
        }
        char head[WORD];
        size_t length = take_word(from, end, head);
        if (stop == NULL) {
            bool whole = from + length < end;
            snprintf(around->head, WORD, "%s", whole ? head : "");
            const char *word = end;
            while (word > from && is_letter(word[-1])) {
                word--;
            }
            const char *gap = word;
            while (gap > from && gap[-1] == ' ') {
                gap--;
            }
            const char *before = gap;
            while (before > from && (is_letter(before[-1]) || before[-1] == '.')) {
                before--;
            }
            snprintf(around->before, WORD, "%.*s", (int)(gap - before < WORD - 1 ? gap - before : WORD - 1), before);
            return;
        }
        const char *last = stop;
        while (last > from && (last[-1] == ' ' || last[-1] == '\r')) {
            last--;
        }
        if (strcmp(head, "end") == 0) {
            around->depth -= around->depth > 0;
        } else if (last > from && last[-1] == ':' && *from != '#' && around->depth < BLOCKS) {
            snprintf(around->heads[around->depth++], WORD, "%s", head);
        }
        line = stop + 1;
    }
}

/* ---- the list ---- */

typedef struct List { const World *world; json_t *items; Text comment; unsigned count; } List;

enum { KIND_KEYWORD = 14, KIND_FUNCTION = 3, KIND_VALUE = 12, KIND_UNIT = 11, KIND_FIELD = 5, KIND_CLASS = 7, MOST = 2000 };

static void add(List *list, const char *name, int kind, NodeId line, const char *rank)
{
    if (*name == 0 || list->count++ > MOST) {
        return;
    }
    char sort[140];
    snprintf(sort, sizeof sort, "%s%.100s", rank, name);
    text_clear(&list->comment);
    if (line != 0) {
        sources_comment_above(&list->world->sources, world_node(list->world, line)->start, &list->comment);
    }
    const char *about = list->comment.at == NULL || list->comment.length == 0 ? "" : list->comment.at;
    json_array_append_new(list->items, json_pack("{s:s, s:i, s:s, s:{s:s, s:s}}", "label", name, "kind", kind, "sortText", sort, "documentation", "kind", "plaintext", "value", about));
}

static void add_fields(List *list, ShapeId shape)
{
    const World *world = list->world;
    for (; shape != 0; shape = world->shapes.at[shape].parent) {
        for (FieldId id = world->shapes.at[shape].first; id != 0; id = world->fields.at[id].next) {
            if (world->fields.at[id].sort == FIELD_HAS || world->fields.at[id].sort == FIELD_TAKES) {
                add(list, world_text(world, world->fields.at[id].name), KIND_FIELD, world->fields.at[id].line, "a");
            }
        }
    }
}

static void add_words(List *list, const KnownName *words, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        add(list, world_text(list->world, words[i]), KIND_KEYWORD, 0, "b");
    }
}

static void add_things(List *list, ShapeId shape, const char *rank)
{
    const World *world = list->world;
    for (ThingId id = 1; id < world->things.count; id++) {
        if (world->things.at[id].holder == 0 && settle_shape_within(world, world->things.at[id].shape, shape)) {
            bool own = !sources_at(&world->sources, world_node(world, world->things.at[id].line)->start)->library;
            add(list, world_text(world, world->things.at[id].name), KIND_VALUE, world->things.at[id].line, own ? "a" : rank);
        }
    }
}

/* A step with its argument words, as somebody would begin its line. */
static void add_steps(List *list)
{
    const World *world = list->world;
    for (uint32_t i = 1; i < world->steps.count; i++) {
        const Shape *shape = &world->shapes.at[world->steps.at[i].shape];
        add(list, world_text(world, shape->name), KIND_FUNCTION, world->steps.at[i].line, "a");
    }
}

static void add_argument_words(List *list, uint32_t step)
{
    const World *world = list->world;
    for (FieldId id = world->shapes.at[world->steps.at[step].shape].first; id != 0; id = world->fields.at[id].next) {
        Text words;
        text_open(&words, world->memory);
        for (uint32_t i = 0; i < world->fields.at[id].phrase_count; i++) {
            text_print(&words, "%s%s", i > 0 ? " " : "", world_text(world, world->words.at[world->fields.at[id].phrase + i]));
        }
        add(list, words.at == NULL ? "" : words.at, KIND_KEYWORD, world->fields.at[id].line, "a");
        text_close(&words);
    }
}

/* ---- heads ---- */

static void add_heads(List *list, const Around *around)
{
    static const KnownName top[] = {KNOWN_use, KNOWN_paper, KNOWN_batch, KNOWN_mill, KNOWN_material, KNOWN_step, KNOWN_let, KNOWN_reckon, KNOWN_rule, KNOWN_claim,
                                    KNOWN_table, KNOWN_fields, KNOWN_kind, KNOWN_unit, KNOWN_replace, KNOWN_document, KNOWN_section};
    static const KnownName of_paper[] = {KNOWN_vary, KNOWN_let, KNOWN_furnish, KNOWN_procedure, KNOWN_expect, KNOWN_note, KNOWN_accept};
    static const KnownName of_batch[] = {KNOWN_paper, KNOWN_mill, KNOWN_sheets, KNOWN_start, KNOWN_note, KNOWN_packed, KNOWN_good, KNOWN_retree, KNOWN_measured};
    static const KnownName of_procedure[] = {KNOWN_when, KNOWN_otherwise, KNOWN_note};
    const World *world = list->world;
    const char *inner = around->depth == 0 ? "" : around->heads[around->depth - 1];
    bool procedure = false, document = false;
    for (unsigned i = 0; i < around->depth; i++) {
        procedure = procedure || strcmp(around->heads[i], "procedure") == 0;
        document = document || strcmp(around->heads[i], "document") == 0 || (i == 0 && strcmp(around->heads[i], "section") == 0);
    }
    Name name = names_find(&world->names, inner, strlen(inner));
    if (around->depth == 0) {
        add_words(list, top, sizeof top / sizeof top[0]);
        for (ShapeId shape = 1; shape < world->shapes.count; shape++) {
            if (!world->shapes.at[shape].step) {
                add(list, world_text(world, world->shapes.at[shape].name), KIND_CLASS, world->shapes.at[shape].line, "c");
            }
        }
    } else if (procedure) {
        add_steps(list);
        add_words(list, of_procedure, sizeof of_procedure / sizeof of_procedure[0]);
    } else if (document) {
        for (size_t i = 0; document_line_head(i) != KNOWN_NAMES; i++) {
            add(list, world_text(world, document_line_head(i)), KIND_KEYWORD, 0, "a");
        }
    } else if (strcmp(inner, "furnish") == 0) {
        add_things(list, settle_shape(world, KNOWN_material), "b");
    } else if (strcmp(inner, "batch") == 0) {
        add_words(list, of_batch, sizeof of_batch / sizeof of_batch[0]);
    } else {
        add_fields(list, name == 0 ? 0 : settle_shape(world, name));
        if (strcmp(inner, "paper") == 0) {
            add_words(list, of_paper, sizeof of_paper / sizeof of_paper[0]);
        }
        for (ShapeId shape = 1; strcmp(inner, "mill") == 0 && shape < world->shapes.count; shape++) {
            if (!world->shapes.at[shape].step) {
                add(list, world_text(world, world->shapes.at[shape].name), KIND_CLASS, world->shapes.at[shape].line, "c");
            }
        }
    }
    if (around->depth > 0) {
        add(list, "end", KIND_KEYWORD, 0, "z");
    }
}

/* ---- behind a head ---- */

static bool is_number(const char *word)
{
    char *end;
    return *word != 0 && (strtod(word, &end), *end == 0);
}

static void add_units(List *list)
{
    for (UnitId id = 1; id < list->world->units.count; id++) {
        const Unit *unit = &list->world->units.at[id];
        if (unit->line != 0 && unit->either == 0) {
            add(list, world_text(list->world, unit->name), KIND_UNIT, unit->line, "a");
        }
    }
}

/* A field's words, or the things that it asks for. */
static void add_values(List *list, FieldId field)
{
    const World *world = list->world;
    const Field *at = &world->fields.at[field];
    for (uint32_t i = 0; i < at->word_count; i++) {
        add(list, world_text(world, world->words.at[at->words + i]), KIND_VALUE, at->line, "a");
    }
    Type type = TYPE_SORT(at->type) == TYPE_LIST ? world->element_types.at[TYPE_INDEX(at->type)] : at->type;
    if (TYPE_SORT(type) == TYPE_THING) {
        add_things(list, TYPE_INDEX(type), "b");
    }
}

static void add_behind(List *list, const Around *around)
{
    const World *world = list->world;
    const char *inner = around->depth == 0 ? "" : around->heads[around->depth - 1];
    Name head = names_find(&world->names, around->head, strlen(around->head)), block = names_find(&world->names, inner, strlen(inner));
    if (is_number(around->before)) {
        add_units(list);
        return;
    }
    uint32_t step = head == 0 ? 0 : world_declared(world, SPACE_STEP, head);
    if (step != 0 && step != WORLD_BROKEN && around->depth > 1) {
        add_argument_words(list, step);
        add_things(list, settle_shape(world, KNOWN_material), "b");
        return;
    }
    FieldId field = block == 0 || head == 0 ? 0 : settle_field(world, settle_shape(world, block), head);
    if (field != 0) {
        add_values(list, field);
        return;
    }
    if (head == KNOWN_mill || head == KNOWN_paper) {
        add_things(list, settle_shape(world, head), "a");
        return;
    }
    if (head == KNOWN_accept) {
        for (uint32_t i = 1; i < world->rules.count; i++) {
            if (world->rules.at[i].claim == 0) {
                add(list, world_text(world, world->rules.at[i].name), KIND_VALUE, world->rules.at[i].line, "a");
            }
        }
        return;
    }
    for (uint32_t i = 1; i < world->figures.count; i++) {
        add(list, world_text(world, world->figures.at[i].name), KIND_VALUE, world->figures.at[i].line, "a");
    }
    for (uint32_t i = 1; i < world->lets.count; i++) {
        add(list, world_text(world, world->lets.at[i].name), KIND_VALUE, world->lets.at[i].line, "b");
    }
    add_things(list, 0, "c");
}

json_t *answer_completion(Server *server, OpenText *open, const json_t *params)
{
    size_t offset = serving_offset(server, open, json_object_get(params, "position"));
    Around *around = memory_take(server->memory, sizeof *around);
    json_t *items = json_array();
    look_around(open->text, offset, around);
    if (serving_read(server, open)) {
        List list = {.world = workshop_world(server->workshop), .items = items};
        text_open(&list.comment, server->memory);
        (around->head[0] == 0 ? add_heads : add_behind)(&list, around);
        text_close(&list.comment);
    }
    memory_return(server->memory, around);
    return json_pack("{s:b, s:o}", "isIncomplete", 0, "items", items);
}
