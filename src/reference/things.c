/* What can be told of things (fields), and the things of stdlib: materials, moulds, cautions, label stock. */
#include "reference/chapters.h"

#include "meaning/line.h"
#include "meaning/settle.h"

#include <string.h>

static const char *state_words(const Reference *reference, const Field *field)
{
    Text text;
    text_open(&text, reference->memory);
    for (uint32_t i = 0; i < field->word_count; i++) {
        text_print(&text, "%s%s", i > 0 ? ", " : "one of ", part_name(reference, reference->world->words.at[field->words + i]));
    }
    return text.at == NULL ? "" : text.at;
}

static const char *otherwise(const Reference *reference, const Field *field)
{
    switch (field->sort) {
    case FIELD_GIVES: return part_print(reference, "worked out: `%s`", part_written(reference, field->value));
    case FIELD_MARK: return "not so";
    case FIELD_STATES: return "";
    default:
        return field->value != 0 ? part_print(reference, "`%s`", part_written(reference, field->value)) : field->optional ? "not told" : "must be told";
    }
}

static void put_field(Reference *reference, const Field *field)
{
    const char *name = part_print(reference, "`%s`", part_name(reference, field->name));
    const char *type = field->sort == FIELD_MARK ? "a mark: yes or no" : field->sort == FIELD_STATES ? state_words(reference, field) : part_type(reference, field->type);
    /* marks share a line, and so its comment */
    const char *remark = field->sort == FIELD_MARK && field->line == 0 ? "" : part_remark(reference, field->line);
    book_row(&reference->book, (const char *const[]){name, type, otherwise(reference, field), remark, NULL});
}

static void put_shape(Reference *reference, const Shape *shape)
{
    const World *world = reference->world;
    const char *within = shape->parent == 0 ? NULL
        : part_print(reference, "all that %s has, and", part_link(reference, "fields", part_name(reference, world->shapes.at[shape->parent].name)));
    book_entry(&reference->book, "fields", part_name(reference, shape->name), within);
    part_comment(reference, shape->line);
    if (shape->first == 0) {
        book_paragraph(&reference->book, "It has no fields of its own.");
        return;
    }
    book_table(&reference->book, (const char *const[]){"field", "what it is", "where it is not told", "of it", NULL});
    for (FieldId id = shape->first; id != 0; id = world->fields.at[id].next) {
        put_field(reference, &world->fields.at[id]);
    }
    book_table_end(&reference->book);
}

static void put_thing(Reference *reference, const Thing *thing)
{
    const World *world = reference->world;
    part_section(reference, thing->line);
    book_entry(&reference->book, "thing", part_name(reference, thing->name),
               part_link(reference, "fields", part_name(reference, world->shapes.at[thing->shape].name)));
    part_comment(reference, thing->line);
    book_lines(&reference->book, NULL, part_line(reference, thing->line));
}

void chapter_things(Reference *reference)
{
    static const Chapter chapter = {"things", "Materials and other things", "waterleaf-things",
                                    "materials, moulds, cautions and label stock, and what can be told of them"};
    const World *world = reference->world;
    book_chapter(&reference->book, &chapter);
    book_section(&reference->book, "Fields");
    book_paragraph(&reference->book, "What can be told and asked of each thing. A mill adds fields of its own by a line `fields NAME:` in its script.");
    for (ShapeId id = 1; id < world->shapes.count; id++) {
        const Shape *shape = &world->shapes.at[id];
        if (!shape->step && shape->line != 0 && strcmp(part_name(reference, line_head(world, shape->line)), "fields") == 0) {
            put_shape(reference, shape);
        }
    }
    for (ThingId id = 1; id < world->things.count; id++) {
        const Thing *thing = &world->things.at[id];
        /* a claim is a thing, too: it has a chapter of its own */
        if (thing->name != 0 && thing->line != 0 && line_head(world, thing->line) != KNOWN_claim && line_head(world, thing->line) != KNOWN_row) {
            put_thing(reference, thing);
        }
    }
}
