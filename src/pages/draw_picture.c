/* Pictures: lines, boxes and what fills them, torn edges, words. */
#include "pages/draw.h"
#include "render/shapes.h"

static const double BLACK = 0, WHITE = 1, LIGHT = 0.9, DARK = 0.25;
static const double BESIDE = 0.8; /* mm that may be drawn beside a picture: half a line, and fibres of a torn edge */
static const double PLATE = 1.5;  /* points around words that stand on a hatch */

static void set_grey(cairo_t *cairo, double grey) { cairo_set_source_rgb(cairo, grey, grey, grey); }

static void put_outline(cairo_t *cairo, const ShapePoints *points, bool closed)
{
    cairo_new_path(cairo);
    for (unsigned i = 0; i < points->count; i++)
        cairo_line_to(cairo, points->at[i].x, points->at[i].y);
    if (closed)
        cairo_close_path(cairo);
}

static void stroke(cairo_t *cairo, unsigned marks)
{
    static const double dashes[] = {SHAPES_DASH, SHAPES_GAP};
    cairo_set_line_width(cairo, (marks & SHAPE_HEAVY) != 0 ? SHAPES_HEAVY : SHAPES_THIN);
    cairo_set_dash(cairo, dashes, (marks & SHAPE_DASHED) != 0 ? 2 : 0, 0);
    cairo_stroke(cairo);
    cairo_set_dash(cairo, NULL, 0, 0);
}

/* Fills the outline that was put, and keeps it. */
static void fill(Drawing *drawing, const DocumentNode *picture, const DocumentNode *shape)
{
    cairo_t *cairo = drawing->cairo;
    unsigned marks = shape->marks & SHAPES_FILLS;
    if (marks == 0)
        return;
    set_grey(cairo, (marks & SHAPE_DARK_FILL) != 0 ? DARK : (marks & SHAPE_LIGHT_FILL) != 0 ? LIGHT : WHITE);
    cairo_fill_preserve(cairo);
    set_grey(cairo, BLACK);
    ShapePoints hatch = shapes_hatch(drawing->letters->arena, picture, marks, shape->numbers);
    if (hatch.count == 0)
        return;
    cairo_path_t *outline = cairo_copy_path(cairo);
    cairo_new_path(cairo);
    if ((marks & SHAPE_DOTTED_FILL) != 0) {
        for (unsigned i = 0; i < hatch.count; i++) {
            cairo_new_sub_path(cairo);
            cairo_arc(cairo, hatch.at[i].x, hatch.at[i].y, SHAPES_DOT, 0, 2 * 3.14159265358979);
        }
        cairo_fill(cairo);
    } else {
        for (unsigned i = 0; i + 1 < hatch.count; i += 2) {
            cairo_move_to(cairo, hatch.at[i].x, hatch.at[i].y);
            cairo_line_to(cairo, hatch.at[i + 1].x, hatch.at[i + 1].y);
        }
        cairo_set_line_width(cairo, SHAPES_HATCH);
        cairo_stroke(cairo);
    }
    cairo_append_path(cairo, outline);
    cairo_path_destroy(outline);
}

static void draw_shape(Drawing *drawing, const DocumentNode *picture, const DocumentNode *shape, int kind)
{
    cairo_t *cairo = drawing->cairo;
    const double *at = shape->numbers;
    if (kind == SHAPE_TORN) {
        ShapePoints edge = shapes_torn(drawing->letters->arena, at);
        put_outline(cairo, &edge, true);
    } else if (kind == SHAPE_BOX) {
        cairo_new_path(cairo);
        cairo_rectangle(cairo, at[0], at[1], at[2], at[3]);
    } else {
        cairo_new_path(cairo);
        for (unsigned i = 0; i + 1 < shape->number_count; i += 2)
            cairo_line_to(cairo, at[i], at[i + 1]);
    }
    if (kind != SHAPE_LINE)
        fill(drawing, picture, shape);
    stroke(cairo, shape->marks);
}

/* Words set in one line, no wider than the picture has room for where they stand: smaller, and if that is not enough, cut. */
static Setting *set_words(Drawing *drawing, const DocumentNode *picture, const DocumentNode *words, double scale, double *width)
{
    const double *at = words->numbers;
    double size = at[2] * scale / MM(1), right = picture->numbers[0] - at[0];
    double room = (words->marks & DOCUMENT_NUMBER) != 0 ? at[0] : (words->marks & SHAPE_MIDDLE) != 0 ? 2 * (at[0] < right ? at[0] : right) : right;
    room = room < 1 ? 1 : room;
    Setting *setting = letters_words(drawing->letters, LETTERS_PLAIN, size, -1, words->text);
    if (setting->width > room * scale) {
        double smaller = room * scale / setting->width;
        setting = letters_words(drawing->letters, LETTERS_ONE_LINE, size * (smaller < 0.7 ? 0.7 : smaller), room * scale, words->text);
    }
    *width = letters_line_width(setting, 0);
    return setting;
}

static void draw_words(Drawing *drawing, const DocumentNode *picture, const DocumentNode *words, double x, double y, double scale)
{
    cairo_t *cairo = drawing->cairo;
    unsigned ground = shapes_ground(words);
    double width;
    const Setting *setting = set_words(drawing, picture, words, scale, &width);
    double left = x + words->numbers[0] * scale, above = y + words->numbers[1] * scale - letters_ascent(setting);
    left -= (words->marks & DOCUMENT_NUMBER) != 0 ? width : (words->marks & SHAPE_MIDDLE) != 0 ? width / 2 : 0;
    if ((ground & (SHAPE_STRIPED_FILL | SHAPE_DOTTED_FILL | SHAPE_CROSSED_FILL)) != 0) {
        set_grey(cairo, WHITE);
        cairo_rectangle(cairo, left - PLATE, above + 0.12 * setting->size, width + 2 * PLATE, 1.1 * setting->size);
        cairo_fill(cairo);
    }
    set_grey(cairo, (ground & SHAPE_DARK_FILL) != 0 ? WHITE : BLACK);
    letters_draw(cairo, setting, 0, 1, left, above);
    set_grey(cairo, BLACK);
}

void draw_picture(Drawing *drawing, const Placed *placed, double x)
{
    const DocumentNode *picture = placed->strip->node;
    cairo_t *cairo = drawing->cairo;
    double scale = placed->strip->scale;
    cairo_save(cairo);
    cairo_rectangle(cairo, x - BESIDE * scale, placed->y - BESIDE * scale, (picture->numbers[0] + 2 * BESIDE) * scale, (picture->numbers[1] + 2 * BESIDE) * scale);
    cairo_clip(cairo);
    cairo_set_line_join(cairo, CAIRO_LINE_JOIN_ROUND);
    for (const DocumentNode *shape = picture->first; shape != NULL; shape = shape->next) {
        int kind = shapes_kind(shape);
        if (kind == SHAPE_WORDS) {
            draw_words(drawing, picture, shape, x, placed->y, scale);
        } else if (kind >= 0) {
            cairo_save(cairo);
            cairo_translate(cairo, x, placed->y);
            cairo_scale(cairo, scale, scale);
            draw_shape(drawing, picture, shape, kind);
            cairo_restore(cairo);
        }
    }
    cairo_restore(cairo);
}
