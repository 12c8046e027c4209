/* Blanks to write into: one below the other, or side by side. */
#include "pages/strips.h"

static const double SIZE = 12, GAP = MM(2), SHORTEST = MM(20), SHORTEST_BELOW = MM(34), BETWEEN = MM(5);

static void put_label(Letters *letters, const DocumentNode *field)
{
    letters_put(letters, LETTERS_PLAIN, field->label);
    if (*field->text != 0) {
        letters_put(letters, LETTERS_PLAIN, " (");
        letters_put(letters, LETTERS_PLAIN, field->text);
        letters_put(letters, LETTERS_PLAIN, ")");
    }
}

/* ---- side by side ---- */

/* What is left of a line is shared among its blanks. */
static void end_line(Blanks *line, double used, double width)
{
    double share = line->count == 0 || used >= width ? 0 : (width - used) / line->count;
    for (unsigned i = 0; i < line->count; i++) {
        line->at[i].x += i * share;
        line->at[i].blank += i * share;
        line->at[i].width += share;
    }
}

Blanks *strips_blanks(Strips *strips, const DocumentNode *fields, double size, double width, unsigned *lines, double *height)
{
    unsigned count = 0;
    for (const DocumentNode *field = fields->first; field != NULL; field = field->next)
        count++;
    Blanks *all = arena_take(strips->arena, (count + 1u) * sizeof *all), *line = all;
    double used = 0;
    *lines = count > 0 ? 1 : 0;
    *height = 0;
    for (const DocumentNode *field = fields->first; field != NULL; field = field->next) {
        put_label(strips->letters, field);
        Setting *words = letters_set(strips->letters, LETTERS_PLAIN, size, width - GAP - SHORTEST);
        double needed = words->width + GAP + SHORTEST, from = used == 0 ? 0 : used + BETWEEN;
        if (line->count > 0 && (from + needed > width || line->count == STRIPS_COLUMNS)) {
            end_line(line++, used, width);
            ++*lines;
            from = 0;
        }
        double high = words->lines * words->leading + 2 * LINE_OF_BLANK;
        high = high < WRITE_PITCH ? WRITE_PITCH : high;
        if (line->count == 0) {
            line->y = *height;
            *height += high;
        } else if (line->y + high > *height) {
            *height = line->y + high;
        }
        line->at[line->count++] = (Blank){field, words, from, from + words->width + GAP, SHORTEST};
        used = from + needed;
    }
    end_line(line, used, width);
    return all;
}

static void side_by_side(Strips *strips, const DocumentNode *fields)
{
    unsigned lines;
    double height;
    Strip *strip = strips_add(strips, STRIP_FIELDS, fields, 0);
    strip->blanks = strips_blanks(strips, fields, SIZE, strip->width, &lines, &height);
    strip->blank_lines = lines;
    strip->height = height + LINE_OF_BLANK;
}

/* ---- one below the other ---- */

/* Where the blanks of FIELDS begin: behind the longest words, as far as that leaves something to write on. */
static double column_of(Strips *strips, const DocumentNode *fields, double width)
{
    double widest = 0;
    for (const DocumentNode *field = fields->first; field != NULL; field = field->next) {
        if ((field->marks & DOCUMENT_LONG) != 0)
            continue;
        put_label(strips->letters, field);
        double wide = letters_set(strips->letters, LETTERS_PLAIN, SIZE, -1)->width;
        widest = wide > widest ? wide : widest;
    }
    double most = width - GAP - SHORTEST_BELOW;
    return widest < most ? widest : most;
}

static void add_field(Strips *strips, const DocumentNode *field, double column)
{
    Strip *strip = strips_add(strips, STRIP_FIELD, field, 0);
    bool is_long = (field->marks & DOCUMENT_LONG) != 0;
    put_label(strips->letters, field);
    strip->cells[0] = letters_set(strips->letters, LETTERS_PLAIN, SIZE, is_long ? strip->width - GAP - SHORTEST_BELOW : column);
    strip->count = 1;
    strip->blank_x = (is_long ? strip->cells[0]->width : column) + GAP;
    double words = strip->cells[0]->lines * strip->cells[0]->leading + 2 * LINE_OF_BLANK;
    strips_high(strip, words < WRITE_PITCH ? WRITE_PITCH - words : 0, 2 * LINE_OF_BLANK);
}

void strips_fields(Strips *strips, const DocumentNode *fields)
{
    if (fields->first == NULL)
        return;
    if ((fields->marks & DOCUMENT_IN_LINE) != 0) {
        side_by_side(strips, fields);
        return;
    }
    double column = column_of(strips, fields, strips->width - strips->left - strips->right);
    for (const DocumentNode *field = fields->first; field != NULL; field = field->next)
        add_field(strips, field, column);
}
