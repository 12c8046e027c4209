/* What HTML draws: codes, and pictures as SVG within it, each with its words for who cannot see it; somebody's own mark. */
#include "base/decimal.h"
#include "documents/code.h"
#include "render/html_parts.h"
#include "render/mark.h"
#include "render/shapes.h"

#include <string.h>

/* ---- codes ---- */

/* A module of half a millimetre is read from a sheet that was wet; a bar is read by the row. */
static void put_modules(Page *page, const Code *code, unsigned quiet, unsigned high)
{
    text_print(page->out, " style=\"width:%u.%umm\" viewBox=\"0 0 %u %u\"><path d=\"", (code->columns + 2 * quiet) / 2,
               (code->columns + 2 * quiet) % 2 * 5, code->columns + 2 * quiet, code->rows * high + 2 * quiet);
    for (unsigned row = 0; row < code->rows; row++) {
        const unsigned char *dark = code->dark + row * code->columns;
        for (unsigned column = 0, run; column < code->columns; column += run) {
            for (run = 1; column + run < code->columns && dark[column + run] == dark[column];) {
                run++;
            }
            if (dark[column]) {
                text_print(page->out, "M%u %uh%uv%uh-%uz", column + quiet, row * high + quiet, run, high, run);
            }
        }
    }
    text_put(page->out, "\"/></svg>");
}

/* What is too long for a code stands there in words alone. */
void html_code(Page *page, const DocumentNode *node)
{
    enum { BARS_HIGH = 24 };
    bool bars = (node->marks & DOCUMENT_BARS) != 0;
    Arena arena;
    arena_open(&arena, page->out->memory);
    Code made;
    text_put(page->out, (node->marks & DOCUMENT_ASIDE) != 0 ? "<figure class=\"code aside\">" : "<figure class=\"code\">");
    if (bars ? code_bars(&made, &arena, node->text) : code_squares(&made, &arena, node->text)) {
        html_element(page, "<svg role=\"img\" aria-label=\"code: ", node->text, "\"");
        put_modules(page, &made, bars ? CODE_QUIET_BARS : CODE_QUIET_SQUARES, bars ? BARS_HIGH : 1);
    }
    html_element(page, "<figcaption>", node->label, " ");
    html_element(page, "", node->text, "</figcaption></figure>\n");
    arena_close(&arena);
}

/* ---- pictures: lengths are millimetres, which the picture's own scale turns into what there is room for ---- */

enum { DECIMALS = 2 };

static void put_point(Page *page, char before, double x, double y)
{
    text_char(page->out, before);
    decimal_put(page->out, x, DECIMALS);
    text_char(page->out, ' ');
    decimal_put(page->out, y, DECIMALS);
}

static void put_number(Page *page, const char *name, double number)
{
    text_print(page->out, " %s=\"", name);
    decimal_put(page->out, number, DECIMALS);
    text_char(page->out, '"');
}

static void put_box(Page *page, const double *box)
{
    put_number(page, "x", box[0]);
    put_number(page, "y", box[1]);
    put_number(page, "width", box[2]);
    put_number(page, "height", box[3]);
}

static void put_path(Page *page, const ShapePoints *points)
{
    text_put(page->out, " d=\"");
    for (unsigned i = 0; i < points->count; i++) {
        put_point(page, i == 0 ? 'M' : 'L', points->at[i].x, points->at[i].y);
    }
}

static void put_hatch(Page *page, const ShapePoints *points, unsigned marks)
{
    if (points->count == 0) {
        return;
    }
    bool dots = (marks & SHAPE_DOTTED_FILL) != 0;
    text_print(page->out, "<path class=\"%s\" d=\"", dots ? "dot" : "hatch");
    for (unsigned i = 0; i < points->count; i++) {
        put_point(page, dots || i % 2 == 0 ? 'M' : 'L', points->at[i].x, points->at[i].y);
        text_put(page->out, dots ? "h0" : ""); /* a line of no length with round ends */
    }
    text_put(page->out, "\"/>\n");
}

static const char *fill_of(unsigned marks)
{
    unsigned fill = marks & SHAPES_FILLS;
    return fill == 0 ? "" : (fill & SHAPE_LIGHT_FILL) != 0 ? " paper" : (fill & SHAPE_DARK_FILL) != 0 ? " dark" : " white";
}

static void put_class(Page *page, const DocumentNode *shape, int kind)
{
    text_print(page->out, " class=\"line%s%s%s\"", (shape->marks & SHAPE_HEAVY) != 0 ? " heavy" : "",
               (shape->marks & SHAPE_DASHED) != 0 ? " dashed" : "", kind == SHAPE_LINE ? "" : fill_of(shape->marks));
}

static void put_shape(Page *page, Arena *arena, const DocumentNode *picture, const DocumentNode *shape, int kind)
{
    const double *at = shape->numbers;
    text_put(page->out, kind == SHAPE_BOX ? "<rect" : "<path");
    put_class(page, shape, kind);
    if (kind == SHAPE_BOX) {
        put_box(page, at);
        text_put(page->out, "/>\n");
    } else {
        ShapePoints points = kind == SHAPE_TORN ? shapes_torn(arena, at) : (ShapePoints){0};
        ShapePoint *line = arena_take(arena, (shape->number_count / 2 + 1u) * sizeof *line);
        for (unsigned i = 0; kind == SHAPE_LINE && i + 1 < shape->number_count; i += 2) {
            line[i / 2] = (ShapePoint){at[i], at[i + 1]};
        }
        points = kind == SHAPE_LINE ? (ShapePoints){line, shape->number_count / 2} : points;
        put_path(page, &points);
        text_put(page->out, kind == SHAPE_TORN ? "Z\"/>\n" : "\"/>\n");
    }
    if (kind != SHAPE_LINE) {
        ShapePoints hatch = shapes_hatch(arena, picture, shape->marks, at);
        put_hatch(page, &hatch, shape->marks);
    }
}

/* Words on a hatch have white around their letters; on a dark ground they are white. */
static void put_words(Page *page, const DocumentNode *words)
{
    unsigned ground = shapes_ground(words);
    bool hatch = (ground & (SHAPE_STRIPED_FILL | SHAPE_DOTTED_FILL | SHAPE_CROSSED_FILL)) != 0;
    text_print(page->out, "<text class=\"words%s\"", hatch ? " freed" : (ground & SHAPE_DARK_FILL) != 0 ? " bright" : "");
    put_number(page, "x", words->numbers[0]);
    put_number(page, "y", words->numbers[1]);
    put_number(page, "font-size", words->numbers[2] * SHAPES_POINT);
    text_put(page->out, (words->marks & DOCUMENT_NUMBER) != 0 ? " text-anchor=\"end\"" : (words->marks & SHAPE_MIDDLE) != 0 ? " text-anchor=\"middle\"" : "");
    html_element(page, ">", words->text, "</text>\n");
}

static void put_shapes(Page *page, const DocumentNode *picture)
{
    Arena arena;
    arena_open(&arena, page->out->memory);
    for (const DocumentNode *shape = picture->first; shape != NULL; shape = shape->next) {
        int kind = shapes_kind(shape);
        if (kind == SHAPE_WORDS) {
            put_words(page, shape);
        } else if (kind >= 0) {
            put_shape(page, &arena, picture, shape, kind);
        }
    }
    arena_close(&arena);
}

void html_picture(Page *page, const DocumentNode *node)
{
    unsigned number = ++page->pictures;
    bool caption = node->label != NULL && *node->label != 0;
    text_put(page->out, "<figure class=\"picture\" tabindex=\"0\">\n");
    if (caption) {
        text_print(page->out, "<figcaption id=\"picture%u\">", number);
        html_element(page, "", node->label, "</figcaption>\n");
    }
    if (!shapes_fine(node)) {
        html_element(page, "<p>", node->text, "</p>\n</figure>\n");
        return;
    }
    text_put(page->out, "<svg role=\"img\" aria-labelledby=\"");
    if (caption) {
        text_print(page->out, "picture%u ", number);
    }
    text_print(page->out, "picture%u-words\" viewBox=\"0 0 ", number);
    decimal_put(page->out, node->numbers[0], DECIMALS);
    text_char(page->out, ' ');
    decimal_put(page->out, node->numbers[1], DECIMALS);
    text_put(page->out, "\" style=\"max-width:");
    decimal_put(page->out, node->numbers[0], DECIMALS);
    html_element(page, "mm\">\n<title>", caption ? node->label : "picture", "</title>\n");
    text_print(page->out, "<desc id=\"picture%u-words\">", number);
    html_element(page, "", node->text, "</desc>\n");
    put_shapes(page, node);
    text_put(page->out, "</svg>\n</figure>\n");
}

/* ---- a mark, and labels ---- */

/* What could not be drawn stands there in words: who reads the script was told why (render/mark.h). */
void html_image(Page *page, const DocumentNode *node)
{
    MarkTrouble trouble;
    if (node->number_count < 2 || !mark_sound(page->out->memory, node, &trouble)) {
        html_element(page, "<p>", node->text, "</p>\n");
        return;
    }
    text_print(page->out, "<p class=\"mark\"><img src=\"data:%s;base64,%s\" alt=\"", node->label, node->hint);
    html_escaped(page, node->text);
    text_put(page->out, "\" style=\"width:min(100%,");
    decimal_put(page->out, node->numbers[0], DECIMALS);
    text_put(page->out, "mm);height:");
    decimal_put(page->out, node->numbers[1], DECIMALS);
    text_put(page->out, "mm\"></p>\n");
}

/* As wide and high as on their stock, so that one sees how full they are; where the screen is narrower, as wide as that. */
void html_labels(Page *page, const DocumentNode *node)
{
    text_put(page->out, "<div class=\"labels\"");
    if (node->number_count > STOCK_HEIGHT) {
        text_put(page->out, " style=\"--wide:");
        decimal_put(page->out, node->numbers[STOCK_WIDTH], DECIMALS);
        text_put(page->out, "mm;--high:");
        decimal_put(page->out, node->numbers[STOCK_HEIGHT], DECIMALS);
        text_put(page->out, "mm\"");
    }
    text_put(page->out, ">\n");
}
