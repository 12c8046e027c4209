/* Tables of documents: columns, a row for each item of a set, and what is written below a row. */
#include "documents/maker.h"

#include "meaning/document_lines.h"
#include "meaning/line.h"

enum { COLUMNS = 12 };

typedef struct Columns {
    NodeId at[COLUMNS];
    uint32_t count;
    bool kept[COLUMNS];  /* some cell holds something, or is to be written into */
    bool told;           /* rows are told one by one, and not for each item of a set */
    DocumentNode *table;
} Columns;

static void find_columns(Maker *maker, NodeId line, void *with)
{
    Columns *columns = with;
    Name head = line_head(maker->world, line);
    if (head == KNOWN_column && columns->count < COLUMNS && run_holds(maker->run, maker->frame, line_when(maker->world, line))) {
        uint32_t place = columns->count++;
        columns->at[place] = line;
        columns->kept[place] = document_line_has(maker->world, line, KNOWN_tick) || document_line_has(maker->world, line, KNOWN_blank)
            || (!columns->told && document_line_value(maker->world, line, 1) == 0);
    }
}

/* Of a table with a set a column without a value is written into; where rows are told one by one, a column that says so. */
static unsigned marks_of(const Maker *maker, const Columns *columns, NodeId column)
{
    const World *world = maker->world;
    bool tick = document_line_has(world, column, KNOWN_tick), value = columns->told || document_line_value(world, column, 1) != 0;
    value = value && !document_line_has(world, column, KNOWN_blank);
    return (document_line_has(world, column, KNOWN_right) ? DOCUMENT_NUMBER : 0u) | (document_line_has(world, column, KNOWN_strong) ? DOCUMENT_STRONG : 0u)
        | (document_line_has(world, column, KNOWN_names_row) ? DOCUMENT_ROW_HEAD : 0u) | (tick ? DOCUMENT_TICK_BOX : 0u)
        | (!value && !tick ? DOCUMENT_BLANK : 0u);
}

/* ---- rows ---- */

static void field_below(Maker *maker, NodeId line, void *with)
{
    Name head = line_head(maker->world, line);
    if (head == KNOWN_field || head == KNOWN_blank || head == KNOWN_signature) {
        maker_line(maker, line, with);
    }
}

static void row_of_item(Maker *maker, NodeId line, void *with)
{
    Columns *columns = with;
    maker_enter(maker, DOCUMENT_ROW, NULL, NULL);
    for (uint32_t i = 0; i < columns->count; i++) {
        unsigned marks = marks_of(maker, columns, columns->at[i]);
        const char *text = (marks & (DOCUMENT_BLANK | DOCUMENT_TICK_BOX)) != 0 ? "" : maker_text(maker, columns->at[i], 1);
        columns->kept[i] = columns->kept[i] || (text != NULL && *text != 0);
        document_cell(maker->document, marks & ~(unsigned)(text == NULL ? DOCUMENT_STRONG : 0), text);
    }
    maker_lines(maker, line, field_below, NULL);
    maker_leave(maker);
}

/* row VALUE, VALUE: told one by one. The first cell names the row; behind it what the columns say. A row that tells nothing
 * behind its name is left out. */
static void row_of_line(Maker *maker, NodeId line, void *with)
{
    Columns *columns = with;
    if (line_head(maker->world, line) != KNOWN_row || !run_holds(maker->run, maker->frame, line_when(maker->world, line))) {
        return;
    }
    const char *cells[COLUMNS] = {NULL};
    bool any = false;
    for (uint32_t i = 0; i < columns->count; i++) {
        cells[i] = maker_text(maker, line, i);
        any = any || (i > 0 && cells[i] != NULL && *cells[i] != 0);
    }
    bool alone = columns->count < 2 || document_line_value(maker->world, line, 1) == 0;
    if (!any && !alone) {
        return;
    }
    maker_enter(maker, DOCUMENT_ROW, NULL, NULL);
    for (uint32_t i = 0; i < columns->count; i++) {
        unsigned marks = marks_of(maker, columns, columns->at[i]);
        columns->kept[i] = columns->kept[i] || (cells[i] != NULL && *cells[i] != 0);
        bool blank = (marks & DOCUMENT_BLANK) != 0 && cells[i] != NULL; /* a value in a column to be written into is printed */
        document_cell(maker->document, blank ? marks & ~(unsigned)DOCUMENT_BLANK : marks, cells[i]);
    }
    maker_leave(maker);
}

/* ---- the whole ---- */

static void put_head(Maker *maker, const Columns *columns)
{
    document_enter(maker->document, DOCUMENT_HEAD, NULL, NULL);
    for (uint32_t i = 0; i < columns->count; i++) {
        document_cell(maker->document, marks_of(maker, columns, columns->at[i]) & DOCUMENT_NUMBER, maker_text(maker, columns->at[i], 0));
    }
    document_leave(maker->document);
}

/* A column in which nothing stands anywhere is taken out. */
static void drop_columns(const Columns *columns)
{
    for (DocumentNode *row = columns->table->first; row != NULL; row = row->next) {
        DocumentNode *before = NULL, *cell = row->first;
        for (uint32_t i = 0; i < columns->count && cell != NULL && cell->form == DOCUMENT_CELL; i++, cell = cell->next) {
            if (columns->kept[i]) {
                before = cell;
            } else if (before == NULL) {
                row->first = cell->next;
            } else {
                before->next = cell->next;
            }
            if (!columns->kept[i] && row->last == cell) {
                row->last = before;
            }
        }
    }
}

void maker_table(Maker *maker, NodeId line)
{
    Columns columns = {.told = document_line_each(maker->world, line) == 0};
    maker_lines(maker, line, find_columns, &columns);
    if (columns.count == 0) {
        return;
    }
    maker_close_group(maker);
    DocumentNode *inside = maker->document->inside, *last = inside->last;
    columns.table = maker_enter(maker, DOCUMENT_TABLE, NULL, maker_text(maker, line, 0));
    put_head(maker, &columns);
    if (!columns.told) {
        maker_each(maker, line, row_of_item, &columns);
    } else if (run_holds(maker->run, maker->frame, line_when(maker->world, line))) {
        maker_lines(maker, line, row_of_line, &columns);
    }
    maker_leave(maker);
    if (columns.table->first == columns.table->last) { /* a head and no row */
        if (last == NULL) {
            inside->first = NULL;
        } else {
            last->next = NULL;
        }
        inside->last = last;
        return;
    }
    drop_columns(&columns);
}
