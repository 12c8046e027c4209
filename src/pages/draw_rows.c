/* Rows of tables, and blanks to write into. */
#include "pages/draw.h"

static const double HAIR = 0.4, RULE = 0.9, WRITE = 0.5;

/* ---- blanks ---- */

static void draw_blank(Drawing *drawing, double x, double y, double width)
{
    tags_begin(&drawing->tags, "Figure", "/Alt (to write in)");
    draw_line(drawing, WRITE, x, y, x + width, y);
    tags_end(&drawing->tags);
}

/* Fields are items of a list; those of a hold stand in it each for itself. */
static bool is_item(const DocumentNode *field) { return field->parent->form == DOCUMENT_FIELDS; }

static void draw_label(Drawing *drawing, const DocumentNode *field, const Setting *words, unsigned first, unsigned lines, double x, double y)
{
    tags_begin(&drawing->tags, is_item(field) ? "Lbl" : "Span", NULL);
    letters_draw(drawing->cairo, words, first, lines, x, y);
    tags_end(&drawing->tags);
}

void draw_field(Drawing *drawing, const Placed *placed, double x)
{
    const Strip *strip = placed->strip;
    const Setting *words = strip->cells[0];
    double y = placed->y + (placed->begins ? strip->before : 0);
    draw_label(drawing, strip->node, words, placed->first, placed->lines, x, y);
    if (!placed->ends)
        return;
    if (is_item(strip->node))
        tags_begin(&drawing->tags, "LBody", NULL);
    double line = y + (placed->lines - 1) * words->leading + letters_ascent(words) + LINE_OF_BLANK;
    draw_blank(drawing, x + strip->blank_x, line, strip->width - strip->blank_x);
    tags_reach(&drawing->tags, strip->node);
}

static double line_of(const Blanks *blanks)
{
    double deepest = 0;
    for (unsigned i = 0; i < blanks->count; i++) {
        const Setting *words = blanks->at[i].words;
        double needed = (words->lines - 1) * words->leading + letters_ascent(words) + LINE_OF_BLANK;
        deepest = needed > deepest ? needed : deepest;
    }
    return blanks->y + (deepest < blanks->pitch - LINE_OF_BLANK ? blanks->pitch - LINE_OF_BLANK : deepest);
}

void draw_blanks(Drawing *drawing, const Blanks *blanks, unsigned lines, double x, double y)
{
    for (unsigned line = 0; line < lines; line++, blanks++) {
        double at = y + line_of(blanks);
        for (unsigned i = 0; i < blanks->count; i++) {
            const Blank *blank = &blanks->at[i];
            double words = (blank->words->lines - 1) * blank->words->leading + letters_ascent(blank->words) + LINE_OF_BLANK;
            tags_begin(&drawing->tags, "LI", NULL);
            draw_label(drawing, blank->node, blank->words, 0, blank->words->lines, x + blank->x, at - words);
            tags_begin(&drawing->tags, "LBody", NULL);
            draw_blank(drawing, x + blank->blank, at, blank->width);
            tags_end(&drawing->tags);
            tags_end(&drawing->tags);
        }
    }
}

/* ---- rows ---- */

static void draw_cell(Drawing *drawing, const DocumentNode *cell, const Setting *words, const Placed *placed, double x, double y)
{
    bool column_head = cell->parent->form == DOCUMENT_HEAD, row_head = (cell->marks & DOCUMENT_ROW_HEAD) != 0;
    tags_begin(&drawing->tags, column_head || row_head ? "TH" : "TD",
               column_head ? "/A << /O /Table /Scope /Column >>" : row_head ? "/A << /O /Table /Scope /Row >>" : NULL);
    if ((cell->marks & DOCUMENT_TICK_BOX) != 0 && placed->begins)
        draw_box(drawing, x, y);
    if (words != NULL)
        letters_draw(drawing->cairo, words, placed->first, placed->lines, x, y);
    tags_end(&drawing->tags);
}

static void draw_cells(Drawing *drawing, const Placed *placed, double x, double y)
{
    const Strip *strip = placed->strip;
    unsigned column = 0;
    for (const DocumentNode *cell = strip->node->first; cell != NULL && column < strip->count; cell = cell->next) {
        if (cell->form != DOCUMENT_CELL)
            continue;
        draw_cell(drawing, cell, strip->cells[column], placed, x + CELL_SIDE, y);
        x += strip->table->widths[column++];
    }
}

static void draw_lines(Drawing *drawing, const Strip *strip, double x, double y, double height)
{
    const StripTable *table = strip->table;
    draw_line(drawing, strip->is_head ? RULE : HAIR, x, y + height, x + table->width, y + height);
    if (!table->grid || strip->is_head)
        return;
    for (unsigned i = 0; i <= table->columns; i++) {
        draw_line(drawing, HAIR, x, y, x, y + height);
        x += i < table->columns ? table->widths[i] : 0;
    }
}

/* Fields below a row are a row of their own, of one wide cell. */
static void draw_fields(Drawing *drawing, const Placed *placed, double x)
{
    static const char *const wide[] = {"", "1", "2", "3", "4", "5", "6", "7", "8", "9", "10", "11", "12"};
    const Strip *strip = placed->strip;
    Tags *tags = &drawing->tags;
    tags_reach(tags, strip->node->parent);
    tags_begin(tags, "TR", NULL);
    tags_begin(tags, "TD", arena_print(drawing->letters->arena, "/A << /O /Table /ColSpan %s >>", wide[strip->table->columns]));
    tags_begin(tags, "L", NULL);
    draw_blanks(drawing, strip->blanks, strip->blank_lines, x + strip->blank_x, placed->y);
    tags_reach(tags, strip->node->parent);
}

void draw_row(Drawing *drawing, const Placed *placed, double x)
{
    const Strip *strip = placed->strip;
    draw_cells(drawing, placed, x, placed->y + strip->table->above);
    if (strip->blanks != NULL && placed->ends)
        draw_fields(drawing, placed, x);
    tags_rise(&drawing->tags);
    draw_lines(drawing, strip, x, placed->y, placed->height);
}

/* What is repeated at the head of a page is there for the eye: the tags have it already. */
void draw_head_again(Drawing *drawing, const StripTable *table, double x, double y)
{
    bool off = drawing->tags.off;
    tags_rise(&drawing->tags);
    drawing->tags.off = true;
    letters_draw(drawing->cairo, table->continued, 0, 1, x, y);
    Placed head = {.strip = table->head, .lines = table->head->lines, .begins = true, .ends = true,
                   .y = y + table->continued->leading + 1, .height = table->head->height};
    draw_row(drawing, &head, x);
    drawing->tags.off = off;
}
