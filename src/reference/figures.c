/* Figures with their formulas; what the formulas use: constants, functions and tables. */
#include "reference/chapters.h"

#include "meaning/line.h"

/* What the program finds itself: nobody wrote a formula of it. */
static const struct { const char *name, *tells; } found[] = {
    {"fibre-charge", "Oven-dry fibre that is charged for the batch. It is worked out backwards from the sheets to be formed, through all that is lost."},
    {"sheets-formed", "Sheets that must be formed, so that as many good ones are left as were ordered."},
    {"sheets-good", "Good sheets, as they were ordered."},
};

static void put_figure(Reference *reference, const Figure *figure)
{
    const World *world = reference->world;
    part_section(reference, figure->line);
    book_entry(&reference->book, "figure", part_name(reference, figure->name), part_type(reference, figure->type));
    part_comment(reference, figure->line);
    if (figure->set != 0) {
        book_pair(&reference->book, "One for", part_print(reference, "`%s`", part_written(reference, figure->set)));
    }
    if (figure->value != 0) {
        book_pair(&reference->book, "Formula", part_print(reference, "`%s`", part_written(reference, figure->value)));
    } else {
        book_pair(&reference->book, "Solved", part_print(reference, "`%s`", part_written(reference, figure->line)));
    }
    if (figure->shown != 0) {
        book_pair(&reference->book, "Shown in", part_name(reference, world->units.at[figure->shown].name));
    }
    const char *source = part_text(reference, figure->source);
    if (source != NULL) {
        book_pair(&reference->book, "Source", source);
    }
}

/* The steps that give it, and how each works it out. */
static void put_given(Reference *reference, uint32_t number)
{
    const World *world = reference->world;
    Name name = world->given.at[number];
    book_entry(&reference->book, "figure", part_name(reference, name), part_type(reference, world->given_types.at[number]));
    for (uint32_t id = 1; id < world->steps.count; id++) {
        const Step *step = &world->steps.at[id];
        for (uint32_t i = step->first; i < step->first + step->count; i++) {
            const Effect *effect = &world->effects.at[i];
            if (effect->sort == EFFECT_GIVES && effect->name == name) {
                const char *remark = part_remark(reference, effect->line);
                book_item(&reference->book, part_print(reference, "%s: `%s`%s%s", part_link(reference, "step", part_name(reference, world->shapes.at[step->shape].name)),
                                                       part_written(reference, effect->one), *remark == 0 ? "" : ". ", remark));
            }
        }
    }
}

static void put_lets(Reference *reference)
{
    const World *world = reference->world;
    book_section(&reference->book, "Constants and functions");
    for (uint32_t id = 1; id < world->lets.count; id++) {
        const Let *let = &world->lets.at[id];
        if (let->name != 0 && let->line != 0) {
            book_entry(&reference->book, "let", part_name(reference, let->name), part_type(reference, let->type));
            part_comment(reference, let->line);
            book_lines(&reference->book, NULL, part_line(reference, let->line));
        }
    }
    book_section(&reference->book, "Tables");
    for (uint32_t id = 1; id < world->tables.count; id++) {
        if (world->tables.at[id].name != 0) {
            book_entry(&reference->book, "table", part_name(reference, world->tables.at[id].name), NULL);
            part_comment(reference, world->tables.at[id].line);
            book_lines(&reference->book, NULL, part_line(reference, world->tables.at[id].line));
        }
    }
}

void chapter_figures(Reference *reference)
{
    static const Chapter chapter = {"figures", "Figures", "waterleaf-figures", "figures with their formulas and sources"};
    const World *world = reference->world;
    book_chapter(&reference->book, &chapter);
    book_section(&reference->book, "Found by working backwards");
    for (size_t i = 0; i < sizeof found / sizeof found[0]; i++) {
        book_entry(&reference->book, "figure", found[i].name, NULL);
        book_paragraph(&reference->book, found[i].tells);
    }
    for (uint32_t id = 1; id < world->figures.count; id++) {
        put_figure(reference, &world->figures.at[id]);
    }
    book_section(&reference->book, "Given by steps");
    for (uint32_t i = 0; i < world->given.count; i++) {
        put_given(reference, i);
    }
    put_lets(reference);
}
