/* Tables: how wide their columns are, and their rows as strips. */
#include "pages/strips.h"

enum { SHORT_TABLE = 12 }; /* rows: a table of no more stays on one page */

static const double HEAD_SMALLER = 2, CAPTION_SMALLER = 1;
static const double BLANK_LEAST = MM(14), BLANK_WANTED = MM(30), MORE = MM(7);

typedef struct Shape {
    unsigned columns;
    double least[STRIPS_COLUMNS], wanted[STRIPS_COLUMNS];
    bool blank[STRIPS_COLUMNS], tick[STRIPS_COLUMNS];
} Shape;

static unsigned style_of(const DocumentNode *cell)
{
    return ((cell->marks & DOCUMENT_STRONG) != 0 || cell->parent->form == DOCUMENT_HEAD ? LETTERS_BOLD : LETTERS_PLAIN)
           | ((cell->marks & DOCUMENT_NUMBER) != 0 ? LETTERS_RIGHT : LETTERS_PLAIN);
}

static double size_of(const Strips *strips, const DocumentNode *cell, double size)
{
    return cell->parent->form == DOCUMENT_HEAD && !strips->style.close ? size - HEAD_SMALLER : size;
}

static double caption_size(const Strips *strips) { return strips->style.table - (strips->style.close ? 0 : CAPTION_SMALLER); }

static double larger(double one, double other) { return one > other ? one : other; }

static void measure_cell(Strips *strips, Shape *shape, unsigned column, const DocumentNode *cell, double size)
{
    double least = 0, wanted = 0;
    if ((cell->marks & DOCUMENT_TICK_BOX) != 0) {
        shape->tick[column] = true;
        least = wanted = TICK_SIDE;
    }
    if (*cell->text != 0) {
        least = larger(least, letters_longest(strips->letters, style_of(cell), size_of(strips, cell, size), cell->text));
        wanted = larger(wanted, letters_words(strips->letters, style_of(cell), size_of(strips, cell, size), -1, cell->text)->width);
        if ((cell->marks & DOCUMENT_NUMBER) != 0 && cell->parent->form == DOCUMENT_ROW)
            least = wanted; /* an amount stands in one line */
    }
    if ((cell->marks & DOCUMENT_BLANK) != 0) {
        shape->blank[column] = true;
        least = larger(least, BLANK_LEAST);
        wanted = larger(wanted, BLANK_WANTED);
    }
    shape->least[column] = larger(shape->least[column], least + 2 * CELL_SIDE);
    shape->wanted[column] = larger(shape->wanted[column], wanted + 2 * CELL_SIDE);
}

static Shape measure(Strips *strips, const DocumentNode *table, double size)
{
    Shape shape = {0};
    for (const DocumentNode *row = table->first; row != NULL; row = row->next) {
        unsigned column = 0;
        for (const DocumentNode *cell = row->first; cell != NULL && column < STRIPS_COLUMNS; cell = cell->next) {
            if (cell->form == DOCUMENT_CELL)
                measure_cell(strips, &shape, column++, cell, size);
        }
        shape.columns = column > shape.columns ? column : shape.columns;
    }
    return shape;
}

static double sum(const double *widths, unsigned count)
{
    double all = 0;
    for (unsigned i = 0; i < count; i++)
        all += widths[i];
    return all;
}

/* What is left over goes to what is written into; else the columns stand a little more freely, but near each other:
 * an eye that goes along a row is not to lose it. */
static void give_rest(StripTable *table, const Shape *shape, double rest, bool fields)
{
    unsigned blanks = 0;
    for (unsigned i = 0; i < shape->columns; i++)
        blanks += shape->blank[i];
    for (unsigned i = 0; i < shape->columns; i++) {
        double even = rest / shape->columns;
        table->widths[i] += blanks > 0 ? (shape->blank[i] ? rest / blanks : 0) : fields || even < MORE ? even : MORE;
    }
    table->grid = blanks > 0;
}

static bool has_fields(const DocumentNode *row) { return row->last != NULL && row->last->form == DOCUMENT_FIELDS; }

/* Where there is not room for all that is wanted: what asks for no more than an even share has it, so that no short word is parted for
 * the sake of a long sentence; the others give way evenly. */
static void share_room(StripTable *table, const Shape *shape, double room)
{
    bool served[STRIPS_COLUMNS] = {false};
    double least = sum(shape->least, shape->columns), wanted = sum(shape->wanted, shape->columns);
    unsigned left = shape->columns;
    for (unsigned i = 0; i < shape->columns; i++) {
        double rest = room - (least - shape->least[i]);
        if (!served[i] && shape->wanted[i] <= room / left && shape->wanted[i] <= rest) {
            served[i] = true;
            table->widths[i] = shape->wanted[i];
            room -= shape->wanted[i];
            least -= shape->least[i];
            wanted -= shape->wanted[i];
            left--;
            i = (unsigned)-1; /* what is left for the others may be more now */
        }
    }
    for (unsigned i = 0; i < shape->columns; i++) {
        if (!served[i])
            table->widths[i] = least > room ? shape->least[i] * room / least
                : shape->least[i] + (wanted > least ? (shape->wanted[i] - shape->least[i]) * (room - least) / (wanted - least) : 0);
    }
}

static void set_widths(StripTable *table, const Shape *shape, double room, double tightness)
{
    double wanted = sum(shape->wanted, shape->columns);
    bool fields = false;
    for (const DocumentNode *row = table->node->first; row != NULL; row = row->next)
        fields = fields || has_fields(row);
    for (unsigned i = 0; i < shape->columns; i++)
        table->widths[i] = shape->wanted[i];
    if (wanted > room)
        share_room(table, shape, room);
    table->columns = shape->columns;
    bool ticks = false;
    for (unsigned i = 0; i < shape->columns; i++)
        ticks = ticks || shape->blank[i] || shape->tick[i];
    table->above = ticks || fields ? CELL_ABOVE : CELL_ABOVE / 2 * tightness;
    if (shape->columns > 0)
        give_rest(table, shape, wanted < room ? room - wanted : 0, fields);
    table->width = sum(table->widths, shape->columns);
}

/* As large as there is room for without parting words. */
static void shape_table(Strips *strips, StripTable *table, double room)
{
    Shape shape;
    for (table->size = strips->style.table;; table->size -= 1) {
        shape = measure(strips, table->node, table->size);
        if (sum(shape.least, shape.columns) <= room || table->size <= strips->style.least_table)
            break;
    }
    double share = strips->style.table / strips_of_pages.table;
    set_widths(table, &shape, room, share * share);
}

/* ---- rows ---- */

static void set_cells(Strips *strips, Strip *strip, const StripTable *table, const DocumentNode *row, double *least)
{
    for (const DocumentNode *cell = row->first; cell != NULL && strip->count < STRIPS_COLUMNS; cell = cell->next) {
        if (cell->form != DOCUMENT_CELL)
            continue;
        double room = table->widths[strip->count] - 2 * CELL_SIDE;
        if ((cell->marks & DOCUMENT_TICK_BOX) != 0)
            *least = larger(*least, TICK_SIDE + 2 * CELL_ABOVE);
        if ((cell->marks & DOCUMENT_BLANK) != 0)
            *least = larger(*least, strips->style.write_pitch);
        strip->cells[strip->count++] = *cell->text == 0 ? NULL
            : letters_words(strips->letters, style_of(cell), size_of(strips, cell, table->size), room + 0.01, cell->text);
    }
}

/* Fields below a row begin below its second cell, so that what is ticked stands out. */
static void set_fields(Strips *strips, Strip *strip, const StripTable *table, const DocumentNode *row)
{
    strip->blank_x = (table->columns > 1 ? table->widths[0] : 0) + CELL_SIDE;
    for (const DocumentNode *fields = row->first; fields != NULL; fields = fields->next) {
        if (fields->form != DOCUMENT_FIELDS)
            continue;
        double height;
        strip->blanks = strips_blanks(strips, fields, table->size - (strips->style.close ? 0 : 1), table->width - strip->blank_x - CELL_SIDE, &strip->blank_lines, &height);
        for (unsigned i = 0; i < strip->blank_lines; i++)
            strip->blanks[i].y += strip->height - table->above;
        strip->height += height + BELOW_FIELDS;
        return; /* one line of them a row */
    }
}

static void add_row(Strips *strips, StripTable *table, const DocumentNode *row)
{
    Strip *strip = strips_add(strips, STRIP_ROW, row, 0);
    double least = 0;
    strip->table = table;
    strip->width = table->width;
    strip->is_head = row->form == DOCUMENT_HEAD;
    set_cells(strips, strip, table, row, &least);
    strips_high(strip, table->above, table->above);
    if (strip->height < least) {
        strip->behind += least - strip->height;
        strip->height = least;
    }
    set_fields(strips, strip, table, row);
    if (strip->is_head)
        strip->hold = HOLD_TIGHT;
}

static void add_caption(Strips *strips, StripTable *table)
{
    const DocumentNode *node = table->node;
    if (*node->text != 0 && !strips->after_heading) {
        Strip *strip = strips_add(strips, STRIP_WORDS, node, 10);
        strip->cells[0] = letters_words(strips->letters, LETTERS_ITALIC, caption_size(strips), strip->width, node->text);
        strip->count = 1;
        strip->is_caption = true;
        strip->hold = HOLD_TIGHT;
        strips_high(strip, 0, 1);
    }
    letters_put(strips->letters, LETTERS_ITALIC, node->text);
    letters_put(strips->letters, LETTERS_ITALIC, *node->text == 0 ? "continued" : ", continued");
    table->continued = letters_set(strips->letters, LETTERS_ONE_LINE, caption_size(strips), strips_room(strips));
}

/* A short table stays whole, and of a long one no row stands alone; what is noted about it stands with its last row. */
static void hold_rows(Strips *strips, uint32_t first, bool then_note)
{
    uint32_t last = strips->list.count - 1, rows = strips->list.count - first;
    bool fields = false;
    for (uint32_t i = first; i <= last; i++)
        fields = fields || strips->list.at[i].blanks != NULL;
    for (uint32_t i = first; i < last; i++) {
        Strip *strip = &strips->list.at[i];
        bool held = !fields && (rows <= SHORT_TABLE + 1 || i + 2 > last || i <= first + 1);
        if (held && strip->hold == HOLD_NOT)
            strip->hold = HOLD_KEPT;
    }
    if (then_note && strips->list.at[last].hold == HOLD_NOT)
        strips->list.at[last].hold = HOLD_KEPT;
}

void strips_table(Strips *strips, const DocumentNode *node)
{
    StripTable *table = arena_take(strips->arena, sizeof *table);
    table->node = node;
    table->x = strips->left;
    shape_table(strips, table, strips_room(strips));
    add_caption(strips, table);
    uint32_t first = strips->list.count;
    for (const DocumentNode *row = node->first; row != NULL; row = row->next) {
        if (row->form != DOCUMENT_HEAD && row->form != DOCUMENT_ROW)
            continue;
        add_row(strips, table, row);
        if (row->form == DOCUMENT_HEAD) {
            table->head = arena_take(strips->arena, sizeof *table->head);
            *table->head = strips->list.at[strips->list.count - 1];
        }
    }
    table->again = table->continued->leading + 1 + (table->head == NULL ? 0 : table->head->height);
    if (strips->list.count > first) {
        strips->list.at[first].above = strips->list.at[first].above + 4;
        hold_rows(strips, first, node->next != NULL && node->next->form == DOCUMENT_NOTE);
    }
}
