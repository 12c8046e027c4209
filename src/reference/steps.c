/* Steps: what each takes, gives and does. */
#include "reference/chapters.h"

#include "meaning/line.h"

static const struct { const char *word, *tells; } effects[] = {
#define EFFECT(id, word, tells) {word, tells},
#include "meaning/effects.def"
#undef EFFECT
};
_Static_assert(sizeof effects / sizeof effects[0] == EFFECT_SORTS, "one for each");

static void put_argument(Reference *reference, const Field *field)
{
    Text written;
    text_open(&written, reference->memory);
    for (uint32_t i = 0; i < field->phrase_count; i++) {
        text_print(&written, "%s ", part_name(reference, reference->world->words.at[field->phrase + i]));
    }
    const char *type = part_type(reference, field->type);
    if (field->limited_to != 0) {
        type = part_print(reference, "%s that is %s", type, part_name(reference, field->limited_to));
    }
    const char *otherwise = field->value != 0 ? part_print(reference, "`%s`", part_written(reference, field->value)) : field->optional ? "it may be left out" : "it must be told";
    book_row(&reference->book, (const char *const[]){part_print(reference, "`%s%s`", written.at == NULL ? "" : written.at, part_name(reference, field->name)),
                                                     type, otherwise, part_remark(reference, field->line), NULL});
}

static void put_arguments(Reference *reference, const Step *step)
{
    const World *world = reference->world;
    const Shape *shape = &world->shapes.at[step->shape];
    bool any = false;
    for (FieldId id = shape->first; id != 0; id = world->fields.at[id].next) {
        if (world->fields.at[id].sort != FIELD_TAKES) {
            continue;
        }
        if (!any) {
            book_table(&reference->book, (const char *const[]){"argument", "what it is", "where it is not told", "of it", NULL});
        }
        put_argument(reference, &world->fields.at[id]);
        any = true;
    }
    if (any) {
        book_table_end(&reference->book);
    } else {
        book_paragraph(&reference->book, "It takes no arguments.");
    }
}

/* The effects that it has, each once, and the lines that ask for them. */
static void put_effects(Reference *reference, const Step *step)
{
    const World *world = reference->world;
    Text words, lines;
    text_open(&words, reference->memory);
    text_open(&lines, reference->memory);
    bool told[EFFECT_SORTS] = {0};
    NodeId last = 0;
    for (uint32_t i = step->first; i < step->first + step->count; i++) {
        const Effect *effect = &world->effects.at[i];
        if (!told[effect->sort]) {
            text_put(&words, words.length > 0 ? ", " : "");
            book_link(&words, "power", effects[effect->sort].word);
            told[effect->sort] = true;
        }
        if (effect->line != last) {
            line_put_whole(world, effect->line, "", &lines);
            last = effect->line;
        }
    }
    if (words.length > 0) {
        book_pair(&reference->book, "Powers", words.at);
        book_lines(&reference->book, NULL, lines.at);
    }
}

void chapter_steps(Reference *reference)
{
    static const Chapter chapter = {"steps", "Steps", "waterleaf-steps", "the steps of a procedure: what each takes, gives and does"};
    const World *world = reference->world;
    book_chapter(&reference->book, &chapter);
    book_section(&reference->book, "Powers");
    book_paragraph(&reference->book, "What a step may do. There is nothing else that a step can do.");
    for (int i = 0; i < EFFECT_SORTS; i++) {
        book_entry(&reference->book, "power", effects[i].word, NULL);
        book_paragraph(&reference->book, effects[i].tells);
    }
    for (uint32_t id = 1; id < world->steps.count; id++) {
        const Step *step = &world->steps.at[id];
        part_section(reference, step->line);
        book_entry(&reference->book, "step", part_name(reference, world->shapes.at[step->shape].name), step->role == 0 ? NULL : part_name(reference, step->role));
        part_comment(reference, step->line);
        put_arguments(reference, step);
        put_effects(reference, step);
    }
}
