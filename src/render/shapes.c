/* Torn edges, and hatches. */
#include "render/shapes.h"

#include <math.h>

enum { MOST_SIDE = 2000, NEAR = 2 * MOST_SIDE, MOST_HATCHES = 20000 };

static const double STRIPES = 1.5, CROSSES = 1.9, DOTS = 1.3; /* apart */
static const double TEAR_STEP = 0.7, TEAR_DEPTH = 0.55;

bool shapes_fine(const DocumentNode *picture)
{
    const double *size = picture->numbers;
    return picture->number_count >= 2 && size[0] >= 1 && size[0] <= MOST_SIDE && size[1] >= 1 && size[1] <= MOST_SIDE;
}

int shapes_kind(const DocumentNode *node)
{
    int kind = node->form == DOCUMENT_SHAPE && node->label != NULL ? document_shape_named(node->label) : -1;
    unsigned count = node->number_count;
    bool whole = kind == SHAPE_LINE ? count >= 4 && count % 2 == 0 : kind == SHAPE_WORDS ? count == 3 && node->text != NULL : count == 4;
    for (unsigned i = 0; i < count; i++)
        whole = whole && node->numbers[i] >= -NEAR && node->numbers[i] <= NEAR;
    if ((kind == SHAPE_BOX || kind == SHAPE_TORN) && whole)
        whole = node->numbers[2] >= 0 && node->numbers[3] >= 0;
    return whole ? kind : -1;
}

/* ---- torn edges ---- */

/* From 0 to 1, by place alone (the mixing is that of FNV, with the high bits brought down). */
static double chance(unsigned side, unsigned place)
{
    uint32_t mixed = 0x811C9DC5u;
    for (unsigned i = 0; i < 4; i++) {
        mixed = (mixed ^ ((place >> (8 * i)) & 0xFF)) * 0x01000193u;
        mixed = (mixed ^ (side + 17)) * 0x01000193u;
    }
    mixed ^= mixed >> 15;
    mixed *= 0x2C1B3C6Du;
    mixed ^= mixed >> 12;
    return mixed / 4294967296.0;
}

/* Between the chances of two places, without a kink at either. */
static double rolling(unsigned side, double place)
{
    unsigned before = (unsigned)place;
    double share = place - before;
    share = share * share * (3 - 2 * share);
    return (1 - share) * chance(side, before) + share * chance(side, before + 1);
}

/* How far out the edge is at ALONG mm from the beginning of its side: long waves, and fibres that stick out. At the ends it is
 * drawn in, since no corner of a formed sheet is sharp. */
static double tear(unsigned side, double along, double length)
{
    double out = 1.1 * (rolling(side, along / 5.5) - 0.5) + 0.7 * (rolling(side + 4, along / 1.3) - 0.5) + 0.5 * (chance(side + 8, (unsigned)(along / TEAR_STEP + 0.5)) - 0.5);
    double end = along < length - along ? along : length - along;
    if (end < 1.6)
        out -= 1.1 * (1 - end / 1.6) * (1 - end / 1.6);
    return TEAR_DEPTH * out;
}

ShapePoints shapes_torn(Arena *arena, const double *box)
{
    /* from the upper left corner round with the clock: where a side begins, where it runs to, which way is out */
    const double sides[4][6] = {{box[0], box[1], 1, 0, 0, -1}, {box[0] + box[2], box[1], 0, 1, 1, 0},
                                {box[0] + box[2], box[1] + box[3], -1, 0, 0, 1}, {box[0], box[1] + box[3], 0, -1, -1, 0}};
    unsigned steps[4], all = 0;
    for (unsigned side = 0; side < 4; side++) {
        steps[side] = (unsigned)(box[side % 2 == 0 ? 2 : 3] / TEAR_STEP) + 1;
        all += steps[side];
    }
    ShapePoints points = {.at = arena_take(arena, all * sizeof *points.at)};
    for (unsigned side = 0; side < 4; side++) {
        const double *at = sides[side], length = box[side % 2 == 0 ? 2 : 3];
        for (unsigned step = 0; step < steps[side]; step++) {
            double along = length * step / steps[side], out = tear(side, along, length);
            points.at[points.count++] = (ShapePoint){at[0] + along * at[2] + out * at[4], at[1] + along * at[3] + out * at[5]};
        }
    }
    return points;
}

/* ---- what boxes are filled with ---- */

typedef struct Area {
    double left, top, right, bottom;
} Area;

static Area area_of(const DocumentNode *picture, const double *box)
{
    Area area = {box[0] > 0 ? box[0] : 0, box[1] > 0 ? box[1] : 0, box[0] + box[2], box[1] + box[3]};
    area.right = area.right < picture->numbers[0] ? area.right : picture->numbers[0];
    area.bottom = area.bottom < picture->numbers[1] ? area.bottom : picture->numbers[1];
    return area;
}

static void put(ShapePoints *points, double x, double y) { points->at[points->count++] = (ShapePoint){x, y}; }

/* Lines x + way * y = a multiple of APART: so those of boxes that touch meet. */
static void put_lines(ShapePoints *points, const Area *area, int way, double apart)
{
    double least = area->left + (way > 0 ? area->top : -area->bottom), most = area->right + (way > 0 ? area->bottom : -area->top);
    for (double number = ceil(least / apart); number * apart < most && points->count + 2 <= MOST_HATCHES; number++) {
        double sum = number * apart;
        /* where it meets the left and right side, and if that is above or below, the upper or lower */
        double x0 = area->left, y0 = way * (sum - x0), x1 = area->right, y1 = way * (sum - x1);
        double *ys[2] = {&y0, &y1}, *xs[2] = {&x0, &x1};
        for (int i = 0; i < 2; i++) {
            double y = *ys[i] < area->top ? area->top : *ys[i] > area->bottom ? area->bottom : *ys[i];
            if (y != *ys[i]) {
                *ys[i] = y;
                *xs[i] = sum - way * y;
            }
        }
        put(points, x0, y0);
        put(points, x1, y1);
    }
}

/* In rows, each second one between the dots of the first. */
static void put_dots(ShapePoints *points, const Area *area)
{
    double edge = SHAPES_DOT + SHAPES_THIN / 2;
    for (double row = ceil((area->top + edge) / DOTS); row * DOTS <= area->bottom - edge; row++) {
        double shift = fmod(row, 2) == 0 ? 0 : 0.5;
        for (double column = ceil((area->left + edge) / DOTS - shift); (column + shift) * DOTS <= area->right - edge && points->count < MOST_HATCHES; column++)
            put(points, (column + shift) * DOTS, row * DOTS);
    }
}

ShapePoints shapes_hatch(Arena *arena, const DocumentNode *picture, unsigned marks, const double *box)
{
    ShapePoints points = {0};
    Area area = area_of(picture, box);
    if ((marks & (SHAPE_STRIPED_FILL | SHAPE_DOTTED_FILL | SHAPE_CROSSED_FILL)) == 0 || area.right <= area.left || area.bottom <= area.top)
        return points;
    double wide = area.right - area.left, high = area.bottom - area.top;
    double room = (wide / DOTS + 2) * (high / DOTS + 2) + 4 * ((wide + high) / STRIPES + 4);
    points.at = arena_take(arena, (room < MOST_HATCHES ? (size_t)room : MOST_HATCHES) * sizeof *points.at + 2 * sizeof *points.at);
    if ((marks & SHAPE_DOTTED_FILL) != 0) {
        put_dots(&points, &area);
    } else {
        double apart = (marks & SHAPE_STRIPED_FILL) != 0 ? STRIPES : CROSSES;
        put_lines(&points, &area, 1, apart);
        if ((marks & SHAPE_CROSSED_FILL) != 0)
            put_lines(&points, &area, -1, apart);
    }
    return points;
}

unsigned shapes_ground(const DocumentNode *words)
{
    unsigned marks = 0;
    double x = words->numbers[0], y = words->numbers[1] - words->numbers[2] * SHAPES_POINT / 3; /* amid the letters */
    for (const DocumentNode *node = words->parent->first; node != words; node = node->next) {
        int kind = shapes_kind(node);
        const double *box = node->numbers;
        bool filled = (kind == SHAPE_BOX || kind == SHAPE_TORN) && (node->marks & SHAPES_FILLS) != 0;
        if (filled && x >= box[0] && x <= box[0] + box[2] && y >= box[1] && y <= box[1] + box[3])
            marks = node->marks & SHAPES_FILLS;
    }
    return marks;
}
