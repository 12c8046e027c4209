/* Blanks to write into: one below the other, or side by side. */
#include "pages/strips.h"

static const double GAP = MM(2), SHORTEST = MM(18), LEAST = MM(12) /* of words */, SHORTEST_BELOW = MM(34), BETWEEN = MM(5), ABOVE = 4;

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

/* How many lines the fields take where they may be no wider than ROOM. */
static unsigned lines_in(const Blank *blanks, unsigned count, double room)
{
    unsigned lines = 1, in_line = 0;
    double used = 0;
    for (unsigned i = 0; i < count; i++) {
        double more = blanks[i].blank + SHORTEST + (in_line > 0 ? BETWEEN : 0);
        if (in_line > 0 && (used + more > room || in_line == STRIPS_COLUMNS)) {
            lines++;
            used = in_line = 0;
            more = blanks[i].blank + SHORTEST;
        }
        used += more;
        in_line++;
    }
    return lines;
}

/* The narrowest that takes no more lines: so none is full and the next one empty. */
static double even_room(const Blank *blanks, unsigned count, double width)
{
    enum { STEPS = 40 };
    unsigned lines = lines_in(blanks, count, width);
    for (int step = 1; step < STEPS; step++) {
        if (lines_in(blanks, count, width * step / STEPS) == lines)
            return width * step / STEPS;
    }
    return width;
}

/* Puts one more field into LINE, whose lines end at *HEIGHT. */
static void put_blank(Blanks *line, Blank blank, double from, double *height)
{
    double high = blank.words->lines * blank.words->leading + 2 * LINE_OF_BLANK;
    high = high < line->pitch ? line->pitch : high;
    if (line->count == 0)
        line->y = *height;
    if (line->y + high > *height)
        *height = line->y + high;
    blank.x += from;
    blank.blank += from;
    line->at[line->count++] = blank;
}

Blanks *strips_blanks(Strips *strips, const DocumentNode *fields, double size, double width, unsigned *lines, double *height)
{
    unsigned count = 0;
    for (const DocumentNode *field = fields->first; field != NULL; field = field->next)
        count += field->form == DOCUMENT_FIELD;
    Blanks *all = arena_take(strips->arena, (count + 1u) * sizeof *all), *line = all;
    for (unsigned i = 0; i <= count; i++)
        all[i].pitch = strips->style.write_pitch;
    double most = width - GAP - SHORTEST < LEAST ? LEAST : width - GAP - SHORTEST;
    Blank *blanks = arena_take(strips->arena, (count + 1u) * sizeof *blanks), *blank = blanks;
    for (const DocumentNode *field = fields->first; field != NULL; field = field->next) {
        if (field->form != DOCUMENT_FIELD)
            continue;
        put_label(strips->letters, field);
        Setting *words = letters_set(strips->letters, LETTERS_PLAIN, size, most);
        *blank++ = (Blank){field, words, 0, words->width + GAP, SHORTEST};
    }
    double room = even_room(blanks, count, width), used = 0;
    *height = 0;
    for (unsigned i = 0; i < count; i++) {
        double needed = blanks[i].blank + SHORTEST, from = line->count == 0 ? 0 : used + BETWEEN;
        if (line->count > 0 && (from + needed > room || line->count == STRIPS_COLUMNS)) {
            end_line(line++, used, width);
            from = 0;
        }
        put_blank(line, blanks[i], from, height);
        used = from + needed;
    }
    end_line(line, used, width);
    *lines = (unsigned)(line - all) + (line->count > 0);
    return all;
}

static void side_by_side(Strips *strips, const DocumentNode *fields)
{
    unsigned lines;
    double height;
    Strip *strip = strips_add(strips, STRIP_FIELDS, fields, 0);
    strip->blanks = strips_blanks(strips, fields, strips->style.body, strip->width, &lines, &height);
    strip->blank_lines = lines;
    strip->height = height + LINE_OF_BLANK;
}

/* ---- one below the other ---- */

/* Where the blanks of FIELDS begin: behind the longest words, as far as that leaves something to write on. */
static double column_of(Strips *strips, const DocumentNode *fields, double width)
{
    double widest = 0;
    for (const DocumentNode *field = fields->first; field != NULL; field = field->next) {
        if (field->form != DOCUMENT_FIELD || (field->marks & DOCUMENT_LONG) != 0)
            continue;
        put_label(strips->letters, field);
        double wide = letters_set(strips->letters, LETTERS_PLAIN, strips->style.body, -1)->width;
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
    strip->cells[0] = letters_set(strips->letters, LETTERS_PLAIN, strips->style.body, is_long ? strip->width - GAP - SHORTEST_BELOW : column);
    strip->count = 1;
    strip->blank_x = (is_long ? strip->cells[0]->width : column) + GAP;
    double words = strip->cells[0]->lines * strip->cells[0]->leading + 2 * LINE_OF_BLANK;
    strips_high(strip, words + ABOVE < WRITE_PITCH ? WRITE_PITCH - words : ABOVE, 2 * LINE_OF_BLANK);
}

void strips_fields(Strips *strips, const DocumentNode *fields)
{
    if (fields->first == NULL)
        return;
    if ((fields->marks & DOCUMENT_IN_LINE) != 0 || strips->style.close) {
        side_by_side(strips, fields);
        return;
    }
    double column = column_of(strips, fields, strips_room(strips));
    for (const DocumentNode *field = fields->first; field != NULL; field = field->next) {
        if (field->form == DOCUMENT_FIELD)
            add_field(strips, field, column);
    }
}
