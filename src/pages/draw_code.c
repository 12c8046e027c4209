/* Codes, as areas of exact size. */
#include "pages/draw.h"

#include <string.h>

/* TEXT as a PDF has it in hexadecimal, in UTF-16. */
static void put_pdf_text(Text *out, const char *text)
{
    text_put(out, "<FEFF");
    for (size_t length = strlen(text), at = 0, taken; at < length; at += taken) {
        uint32_t sign = utf8_decode(text + at, length - at, &taken);
        if (sign > 0xFFFF)
            text_print(out, "%04X%04X", 0xD800 + ((sign - 0x10000) >> 10), 0xDC00 + ((sign - 0x10000) & 0x3FF));
        else
            text_print(out, "%04X", sign);
    }
    text_put(out, ">");
}

static const char *told(Drawing *drawing, const DocumentNode *node)
{
    Text text;
    text_open(&text, drawing->letters->arena->memory);
    text_put(&text, "/Alt ");
    const char *words = arena_print(drawing->letters->arena, "code: %s", node->text);
    put_pdf_text(&text, words);
    const char *kept = arena_copy(drawing->letters->arena, text.at, text.length);
    text_close(&text);
    return kept;
}

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
        tags_begin(&drawing->tags, "Figure", told(drawing, strip->node));
        draw_modules(drawing->cairo, &strip->code, x + strip->code_x, placed->y + strip->code_y, strip->module, strip->bar_high);
        tags_end(&drawing->tags);
    }
    tags_begin(&drawing->tags, "P", NULL);
    letters_draw(drawing->cairo, strip->cells[0], placed->first, placed->lines, x, placed->y + (placed->begins ? strip->before : 0));
    tags_end(&drawing->tags);
}
