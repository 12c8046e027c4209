/* How pages look. */
#ifndef WATERLEAF_PAGES_DRAW_H
#define WATERLEAF_PAGES_DRAW_H

#include "pages/sheets.h"
#include "pages/tags.h"

typedef struct Drawing {
    cairo_t *cairo;
    Tags tags;
    Letters *letters;
    Images *images;
    const Sheets *sheets;
    double left; /* the margin */
    double width, bottom; /* of what is between the margins; where that ends */
} Drawing;

/* Draws one page and what belongs to all of them; NUMBER from 0. */
void draw_page(Drawing *drawing, uint32_t number);

/* The strips of a page that are rows (draw_rows.c) and those to write into (draw_fields.c). X, Y: their upper left corner. */
void draw_row(Drawing *drawing, const Placed *placed, double x);
void draw_head_again(Drawing *drawing, const StripTable *table, double x, double y);
void draw_field(Drawing *drawing, const Placed *placed, double x);
void draw_blanks(Drawing *drawing, const Blanks *blanks, unsigned lines, double x, double y);

/* A picture (draw_picture.c). */
void draw_picture(Drawing *drawing, const Placed *placed, double x);

/* A code (draw_code.c). */
void draw_code(Drawing *drawing, const Placed *placed, double x);

/* A line of WIDE points, and a box to tick. */
void draw_line(Drawing *drawing, double wide, double x1, double y1, double x2, double y2);
void draw_box(Drawing *drawing, double x, double y);

#endif
