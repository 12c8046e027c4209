/* Pictures, where people look rather than read: shares as a bar, sizes at scale, days as
 * bars, curves over a number, and names in squares that stand on a corner. Drawn with the few shapes that back ends know, black on
 * white; what each shows stands in words beside it.
 *
 * Lengths are mm; letters are so large that they can be read on a clipboard.
 */
#include "documents/maker.h"

#include "meaning/document_lines.h"
#include "meaning/kind.h"
#include "meaning/line.h"
#include "meaning/unit.h"

#include <math.h>
#include <string.h>

enum { PARTS = 60, POINTS = 200, CURVES = 4 };

static const double WIDE = 160, LETTERS = 9, LINE = 5.2, SWATCH = 3.6;

typedef struct Part {
    const char *label;
    double one, other;    /* a share; length and width; begin and end */
    const char *shown;    /* what stands behind the label; NULL: nothing */
} Part;

typedef struct Curve { const char *label; uint32_t count; double x[POINTS], y[POINTS]; } Curve;

typedef struct Picture {
    Maker *maker;
    KnownName form;
    Part parts[PARTS];
    uint32_t part_count;
    Curve *curves;
    uint32_t curve_count;
    double band_low, band_high;
    const char *band_label, *across, *upward;
    UnitId unit;          /* of what is drawn upward */
} Picture;

static void shape(Picture *picture, DocumentShape form, unsigned marks, double a, double b, double c, double d)
{
    const double numbers[] = {a, b, c, d};
    document_shape(picture->maker->document, form, marks, numbers, 4, NULL);
}

static void words(Picture *picture, unsigned marks, double x, double y, double size, const char *text)
{
    const double numbers[] = {x, y, size};
    document_shape(picture->maker->document, SHAPE_WORDS, marks, numbers, 3, text);
}

/* Fills by turns: neighbours differ without colour. */
static unsigned fill_of(uint32_t number)
{
    static const unsigned fills[] = {SHAPE_LIGHT_FILL, SHAPE_STRIPED_FILL, SHAPE_PLAIN_FILL, SHAPE_DOTTED_FILL, SHAPE_DARK_FILL, SHAPE_CROSSED_FILL};
    return fills[number % (sizeof fills / sizeof fills[0])];
}

static void height(Picture *picture, DocumentNode *node, double high)
{
    const double size[] = {WIDE, high};
    document_numbers(picture->maker->document, node, size, 2);
}

/* ---- what the lines tell ---- */

static double in_mm(const Picture *picture, double length)
{
    UnitId mm = unit_of(picture->maker->world, KNOWN_mm);
    return mm == 0 ? length * 1000 : unit_from_base(&picture->maker->world->units.at[mm], length);
}

static void part_of_item(Maker *maker, NodeId line, void *with)
{
    Picture *picture = with;
    NodeId one = document_line_value(maker->world, line, 1), other = document_line_value(maker->world, line, 2);
    const char *label = maker_text(maker, line, 0);
    Value first = run_value(maker->run, maker->frame, one), second = other == 0 ? run_absent(0) : run_value(maker->run, maker->frame, other);
    if (picture->part_count == PARTS || !run_told(first) || (other != 0 && !run_told(second))) {
        return;
    }
    Part part = {.label = label == NULL ? "" : label, .one = first.number, .other = run_told(second) ? second.number : 0};
    Type type = maker->world->types.at[one];
    if (TYPE_SORT(type) == TYPE_SIZE && first.thing != 0) {
        Band size = maker->run->bands.at[first.thing];
        part.one = size.low;
        part.other = size.high;
    }
    if (picture->form == KNOWN_shares && TYPE_SORT(type) == TYPE_NUMBER) {
        part.shown = maker_node_text(maker, one);
        if (TYPE_INDEX(type) == KIND_ONE || kind_is_share(maker->world, TYPE_INDEX(type))) {
            part.shown = run_number_text(maker->run, first.number, TYPE(TYPE_NUMBER, KIND_ONE), unit_of(maker->world, KNOWN_percent), -1);
        }
    }
    picture->parts[picture->part_count++] = part;
}

static void point_of_item(Maker *maker, NodeId line, void *with)
{
    Picture *picture = with;
    Curve *curve = &picture->curves[picture->curve_count];
    NodeId each = document_line_each(maker->world, line), value_node = document_line_value(maker->world, line, 1);
    uint32_t item = maker->frame->slots[BOUND_INDEX(maker->world->bindings.at[each])].thing;
    Value value = run_value(maker->run, maker->frame, value_node);
    Type type = maker->world->types.at[value_node];
    if (!run_told(value) || curve->count == POINTS) {
        return;
    }
    if (curve->label == NULL) {
        curve->label = maker_text(maker, line, 0);
    }
    if (picture->unit == 0 && TYPE_SORT(type) == TYPE_NUMBER && TYPE_INDEX(type) != KIND_ONE) {
        picture->unit = unit_shown(maker->world, TYPE_INDEX(type));
    }
    bool numbered = REF_SORT(item) == REF_PARCEL || REF_SORT(item) == REF_NUMBER;
    curve->x[curve->count] = numbered ? REF_INDEX(item) + 1.0 : curve->count + 1.0;
    curve->y[curve->count++] = value.number;
}

static void read_band(Maker *maker, NodeId line, Picture *picture)
{
    Value value = run_value(maker->run, maker->frame, document_line_value(maker->world, line, 1));
    if (run_told(value) && value.thing != 0) {
        picture->band_label = maker_text(maker, line, 0);
        picture->band_low = maker->run->bands.at[value.thing].low;
        picture->band_high = maker->run->bands.at[value.thing].high;
    }
}

static void line_of_picture(Maker *maker, NodeId line, void *with)
{
    Picture *picture = with;
    switch (line_head(maker->world, line)) {
    case KNOWN_part:
        maker_each(maker, line, part_of_item, picture);
        break;
    case KNOWN_course:
        if (document_line_each(maker->world, line) != 0 && picture->curve_count < CURVES) {
            maker_each(maker, line, point_of_item, picture);
            picture->curve_count += picture->curves[picture->curve_count].count > 0;
        }
        break;
    case KNOWN_band:
        read_band(maker, line, picture);
        break;
    case KNOWN_across:
        picture->across = maker_text(maker, line, 0);
        break;
    case KNOWN_upward:
        picture->upward = maker_text(maker, line, 0);
        break;
    default:
        break;
    }
}

/* ---- shares ---- */

static void draw_legend(Picture *picture, double x, double y, unsigned fill, const char *text)
{
    shape(picture, SHAPE_BOX, fill, x, y, SWATCH, SWATCH);
    words(picture, 0, x + SWATCH + 2, y + SWATCH - 0.4, LETTERS, text);
}

static void draw_shares(Picture *picture, DocumentNode *node)
{
    double sum = 0, x = 0;
    for (uint32_t i = 0; i < picture->part_count; i++) {
        sum += picture->parts[i].one > 0 ? picture->parts[i].one : 0;
    }
    height(picture, node, 12 + LINE * picture->part_count);
    for (uint32_t i = 0; i < picture->part_count && sum > 0; i++) {
        const Part *part = &picture->parts[i];
        double wide = WIDE * (part->one > 0 ? part->one : 0) / sum;
        shape(picture, SHAPE_BOX, fill_of(i), x, 0.3, wide, 9);
        x += wide;
        draw_legend(picture, 0, 11.5 + LINE * i, fill_of(i), arena_print(picture->maker->document->arena, "%s %s", part->label, part->shown == NULL ? "" : part->shown));
    }
    shape(picture, SHAPE_BOX, SHAPE_HEAVY, 0, 0.3, WIDE, 9);
}

/* ---- sizes ---- */

static void draw_sizes(Picture *picture, DocumentNode *node)
{
    static const double most_wide = 88, most_high = 62;
    double length = 0, width = 0;
    for (uint32_t i = 0; i < picture->part_count; i++) {
        length = fmax(length, in_mm(picture, picture->parts[i].one));
        width = fmax(width, in_mm(picture, picture->parts[i].other));
    }
    if (!(length > 0 && width > 0)) {
        return;
    }
    /* a sheet lies: its longer side runs across */
    bool turned = length < width;
    double across = turned ? width : length, down = turned ? length : width, scale = fmin(most_wide / across, most_high / down);
    double high = fmax(down * scale, LINE * (picture->part_count + 1.0)) + 1;
    height(picture, node, high);
    for (uint32_t i = 0; i < picture->part_count; i++) {
        const Part *part = &picture->parts[i];
        double mine = in_mm(picture, turned ? part->other : part->one) * scale, under = in_mm(picture, turned ? part->one : part->other) * scale;
        double x = 0.5 + (across * scale - mine) / 2, y = 0.5 + (down * scale - under) / 2;
        bool inner = i + 1 == picture->part_count && i > 0;
        shape(picture, inner ? SHAPE_TORN : SHAPE_BOX, inner ? SHAPE_LIGHT_FILL : i == 0 ? SHAPE_HEAVY : SHAPE_DASHED, x, y, mine, under);
        const char *text = arena_print(picture->maker->document->arena, "%s: %.0f × %.0f mm", part->label, in_mm(picture, part->one), in_mm(picture, part->other));
        double row = 1 + LINE * i, left = most_wide + 6;
        shape(picture, inner ? SHAPE_TORN : SHAPE_BOX, inner ? SHAPE_LIGHT_FILL : i == 0 ? SHAPE_HEAVY : SHAPE_DASHED, left, row, SWATCH + 1.4, SWATCH);
        words(picture, 0, left + SWATCH + 3.4, row + SWATCH - 0.4, LETTERS, text);
    }
    double rounded = pow(10, floor(log10(across / 4)));
    double bar = rounded * (across / 4 >= 5 * rounded ? 5 : across / 4 >= 2 * rounded ? 2 : 1), at = LINE * picture->part_count + 4;
    double left = most_wide + 6;
    shape(picture, SHAPE_LINE, SHAPE_HEAVY, left, at, left + bar * scale, at);
    words(picture, 0, left + bar * scale + 2, at + 1, LETTERS, arena_print(picture->maker->document->arena, "%.0f mm", bar));
}

/* ---- days ---- */

/* What a day is. */
static double day_of(const Picture *picture)
{
    UnitId day = unit_of_day(picture->maker->world, 0);
    return day == 0 ? 86400 : unit_to_base(&picture->maker->world->units.at[day], 1);
}

static void draw_days(Picture *picture, DocumentNode *node)
{
    static const double names = 34, row = 5.6;
    double day = day_of(picture), last = 0;
    for (uint32_t i = 0; i < picture->part_count; i++) {
        last = fmax(last, picture->parts[i].other / day);
    }
    double days = ceil(last - 1e-9), every = days <= 14 ? 1 : days <= 35 ? 7 : 14, wide = WIDE - names - 2;
    if (!(days >= 1)) {
        return;
    }
    double bottom = row * picture->part_count;
    height(picture, node, bottom + 9);
    for (double at = 0; at <= days; at += every) {
        double x = names + wide * at / days;
        shape(picture, SHAPE_LINE, at > 0 ? SHAPE_DASHED : 0, x, 0, x, bottom + 1);
        words(picture, SHAPE_MIDDLE, x, bottom + 5, LETTERS - 1, arena_print(picture->maker->document->arena, "%.0f", at));
    }
    words(picture, DOCUMENT_NUMBER, names - 2, bottom + 5, LETTERS - 1, "days from the start");
    for (uint32_t i = 0; i < picture->part_count; i++) {
        const Part *part = &picture->parts[i];
        double begin = names + wide * part->one / day / days, long_mm = wide * (part->other - part->one) / day / days;
        words(picture, DOCUMENT_NUMBER, names - 2, row * i + 4, LETTERS - 1, part->label);
        /* work of minutes is no thinner than a line that can be seen */
        shape(picture, SHAPE_BOX, long_mm < 2 ? SHAPE_DARK_FILL : SHAPE_LIGHT_FILL, begin, row * i + 1, fmax(long_mm, 0.8), row - 2);
    }
    shape(picture, SHAPE_LINE, 0, names, bottom + 1, WIDE - 2, bottom + 1);
}

/* ---- curves ---- */

typedef struct Axes { double left, top, wide, high, x_low, x_high, y_low, y_high; } Axes;

static double x_of(const Axes *axes, double x) { return axes->left + axes->wide * (x - axes->x_low) / (axes->x_high - axes->x_low); }
static double y_of(const Axes *axes, double y) { return axes->top + axes->high * (axes->y_high - y) / (axes->y_high - axes->y_low); }

static double shown(const Picture *picture, double in_base)
{
    return picture->unit == 0 ? in_base : unit_from_base(&picture->maker->world->units.at[picture->unit], in_base);
}

static void range_of(const Picture *picture, Axes *axes)
{
    axes->x_low = axes->y_low = INFINITY;
    axes->x_high = axes->y_high = -INFINITY;
    for (uint32_t i = 0; i < picture->curve_count; i++) {
        for (uint32_t j = 0; j < picture->curves[i].count; j++) {
            axes->x_low = fmin(axes->x_low, picture->curves[i].x[j]);
            axes->x_high = fmax(axes->x_high, picture->curves[i].x[j]);
            axes->y_low = fmin(axes->y_low, shown(picture, picture->curves[i].y[j]));
            axes->y_high = fmax(axes->y_high, shown(picture, picture->curves[i].y[j]));
        }
    }
    if (picture->band_label != NULL) {
        axes->y_low = fmin(axes->y_low, shown(picture, picture->band_low));
        axes->y_high = fmax(axes->y_high, shown(picture, picture->band_high));
    }
    double more = 0.08 * (axes->y_high - axes->y_low);
    axes->y_low -= more;
    axes->y_high += more;
}

static void draw_axes(Picture *picture, const Axes *axes)
{
    Arena *arena = picture->maker->document->arena;
    double span = axes->y_high - axes->y_low, step = pow(10, floor(log10(span / 3)));
    step *= span / 3 >= 5 * step ? 5 : span / 3 >= 2 * step ? 2 : 1;
    int decimals = step < 1 ? (int)ceil(-log10(step) - 1e-9) : 0;
    for (double y = ceil(axes->y_low / step) * step; y <= axes->y_high; y += step) {
        shape(picture, SHAPE_LINE, 0, axes->left - 1.2, y_of(axes, y), axes->left, y_of(axes, y));
        words(picture, DOCUMENT_NUMBER, axes->left - 2, y_of(axes, y) + 1.2, LETTERS - 1, arena_print(arena, "%.*f", decimals, y));
    }
    double count = axes->x_high - axes->x_low, every = count <= 12 ? 1 : count <= 30 ? 5 : count <= 60 ? 10 : 25;
    for (double x = axes->x_low; x <= axes->x_high; x = every * (floor(x / every) + 1)) {
        shape(picture, SHAPE_LINE, 0, x_of(axes, x), axes->top + axes->high, x_of(axes, x), axes->top + axes->high + 1.2);
        words(picture, SHAPE_MIDDLE, x_of(axes, x), axes->top + axes->high + 4.8, LETTERS - 1, arena_print(arena, "%.0f", x));
    }
    const double corner[] = {axes->left, axes->top, axes->left, axes->top + axes->high, axes->left + axes->wide, axes->top + axes->high};
    document_shape(picture->maker->document, SHAPE_LINE, 0, corner, 6, NULL);
    words(picture, 0, axes->left + 1, axes->top - 1.4, LETTERS - 1, picture->upward == NULL ? "" : picture->upward);
    words(picture, DOCUMENT_NUMBER, axes->left + axes->wide, axes->top + axes->high + 9, LETTERS - 1, picture->across == NULL ? "" : picture->across);
}

static void draw_band(Picture *picture, const Axes *axes)
{
    double low = y_of(axes, shown(picture, picture->band_low)), high = y_of(axes, shown(picture, picture->band_high)), right = axes->left + axes->wide;
    shape(picture, SHAPE_LINE, SHAPE_DASHED, axes->left, low, right, low);
    shape(picture, SHAPE_LINE, SHAPE_DASHED, axes->left, high, right, high);
    words(picture, DOCUMENT_NUMBER, right, high - 1, LETTERS - 1, picture->band_label);
}

static void draw_curves(Picture *picture, DocumentNode *node)
{
    Axes axes = {.left = 18, .top = 5, .wide = WIDE - 20, .high = 42};
    range_of(picture, &axes);
    if (picture->curve_count == 0 || !(axes.x_high > axes.x_low && axes.y_high > axes.y_low)) {
        return;
    }
    double legend = axes.top + axes.high + 11;
    height(picture, node, legend + LINE * picture->curve_count);
    draw_axes(picture, &axes);
    if (picture->band_label != NULL) {
        draw_band(picture, &axes);
    }
    for (uint32_t i = 0; i < picture->curve_count; i++) {
        const Curve *curve = &picture->curves[i];
        double points[2 * POINTS], y = legend + LINE * i;
        for (uint32_t j = 0; j < curve->count; j++) {
            points[2 * j] = x_of(&axes, curve->x[j]);
            points[2 * j + 1] = y_of(&axes, shown(picture, curve->y[j]));
        }
        document_shape(picture->maker->document, SHAPE_LINE, i == 0 ? SHAPE_HEAVY : 0, points, 2 * curve->count, NULL);
        shape(picture, SHAPE_LINE, i == 0 ? SHAPE_HEAVY : 0, axes.left, y + 2, axes.left + 10, y + 2);
        words(picture, 0, axes.left + 13, y + 3.2, LETTERS, curve->label == NULL ? "" : curve->label);
    }
}

/* ---- signs ---- */

/* One behind the other, each with its name in it, on two lines where it has two words. */
static void draw_signs(Picture *picture, DocumentNode *node)
{
    static const double half = 10;
    Arena *arena = picture->maker->document->arena;
    const double size[] = {2 * (half + 1) * picture->part_count, 2 * half + 1};
    document_numbers(picture->maker->document, node, size, 2);
    for (uint32_t i = 0; i < picture->part_count; i++) {
        double x = 0.5 + half + 2 * (half + 1) * i, y = 0.5 + half;
        const double corners[] = {x, y - half, x + half, y, x, y + half, x - half, y, x, y - half};
        document_shape(picture->maker->document, SHAPE_LINE, SHAPE_HEAVY, corners, 10, NULL);
        const char *label = picture->parts[i].label, *second = strpbrk(label, " -");
        if (second == NULL) {
            words(picture, SHAPE_MIDDLE, x, y + 0.8, 6, label);
        } else {
            words(picture, SHAPE_MIDDLE, x, y - 0.5, 6, arena_print(arena, "%.*s", (int)(second - label), label));
            words(picture, SHAPE_MIDDLE, x, y + 2.2, 6, second + 1);
        }
    }
}

/* ---- the whole ---- */

static KnownName form_of(const World *world, NodeId line)
{
    static const KnownName forms[] = {KNOWN_shares, KNOWN_sizes, KNOWN_days, KNOWN_curves, KNOWN_signs};
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        if (document_line_has(world, line, forms[i])) {
            return forms[i];
        }
    }
    return KNOWN_shares;
}

void maker_picture(Maker *maker, NodeId line)
{
    Picture picture = {.maker = maker, .form = form_of(maker->world, line)};
    if (!run_holds(maker->run, maker->frame, line_when(maker->world, line))) {
        return;
    }
    picture.curves = arena_take(&maker->run->arena, CURVES * sizeof *picture.curves);
    maker_lines(maker, line, line_of_picture, &picture);
    if (picture.part_count == 0 && picture.curve_count == 0) {
        return; /* nothing is there that could be drawn */
    }
    DocumentNode *node = maker_enter(maker, DOCUMENT_PICTURE, maker_text(maker, line, 0), maker_text(maker, line, 1));
    switch (picture.form) {
    case KNOWN_sizes: draw_sizes(&picture, node); break;
    case KNOWN_days: draw_days(&picture, node); break;
    case KNOWN_signs: draw_signs(&picture, node); break;
    case KNOWN_curves: draw_curves(&picture, node); break;
    default: draw_shares(&picture, node); break;
    }
    maker_leave(maker);
}
