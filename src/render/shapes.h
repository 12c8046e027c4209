/* What the shapes of a picture look like, whoever draws them: torn edges, what boxes are filled with. The same numbers give the
 * same outlines on every machine. Lengths in mm; also linked into waterleaf-pages. */
#ifndef WATERLEAF_RENDER_SHAPES_H
#define WATERLEAF_RENDER_SHAPES_H

#include "documents/document.h"

#define SHAPES_THIN 0.2
#define SHAPES_HEAVY 0.5
#define SHAPES_HATCH 0.16
#define SHAPES_DOT 0.24       /* radius */
#define SHAPES_DASH 1.6
#define SHAPES_GAP 1.0
#define SHAPES_POINT (25.4 / 72)

enum { SHAPES_FILLS = SHAPE_PLAIN_FILL | SHAPE_LIGHT_FILL | SHAPE_STRIPED_FILL | SHAPE_DOTTED_FILL | SHAPE_DARK_FILL | SHAPE_CROSSED_FILL };

typedef struct ShapePoint {
    double x, y;
} ShapePoint;

typedef struct ShapePoints {
    ShapePoint *at;
    unsigned count;
} ShapePoints;

/* Whether PICTURE has a size that a page could hold, 1 mm to 2 m; other pictures are their words alone. */
bool shapes_fine(const DocumentNode *picture);

/* Which shape NODE, a part of a picture, is; -1 where it has not the numbers for one, or lies far outside the picture. */
int shapes_kind(const DocumentNode *node);

/* The outline of a box (x, y, width, height), as paper is torn: closed. */
ShapePoints shapes_torn(Arena *arena, const double *box);

/* What a box is filled with by MARKS, within it and the picture: pairs of ends of lines; or where dots stand. None where it is filled
 * evenly. */
ShapePoints shapes_hatch(Arena *arena, const DocumentNode *picture, unsigned marks, const double *box);

/* The marks of the box on which WORDS stand, 0: none. */
unsigned shapes_ground(const DocumentNode *words);

#endif
