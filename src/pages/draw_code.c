/* Codes, as areas of exact size. */
#include "pages/draw.h"

static void draw_modules(cairo_t *cairo, const Code *code, double x, double y, double wide, double high)
{
    cairo_new_path(cairo);
    for (unsigned row = 0; row < code->rows; row++) {
        const unsigned char *dark = code->dark + row * code->columns;
        for (unsigned column = 0, run; column < code->columns; column += run) {
            for (run = 1; column + run < code->columns && dark[column + run] == dark[column];)
                run++;
            if (dark[column])
                cairo_rectangle(cairo, x + column * wide, y + row * high, run * wide, high);
        }
    }
    cairo_fill(cairo);
}

void draw_code(Drawing *drawing, const Placed *placed, double x)
{
    const Strip *strip = placed->strip;
    if (placed->begins && strip->code.rows > 0) {
        tags_begin(&drawing->tags, "Figure", tags_words(&drawing->tags, "code: ", strip->node->text));
        draw_modules(drawing->cairo, &strip->code, x + strip->code_x, placed->y + strip->code_y, strip->module, strip->bar_high);
        tags_end(&drawing->tags);
    }
    tags_begin(&drawing->tags, "P", NULL);
    letters_draw(drawing->cairo, strip->cells[0], placed->first, placed->lines, x, placed->y + (placed->begins ? strip->before : 0));
    tags_end(&drawing->tags);
}
