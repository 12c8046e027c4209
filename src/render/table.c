/* Tables in plain text. */
#include "render/table.h"

#include "render/words.h"

#include <string.h>

enum { GAP = 2, NARROW = 6 };

/* The words of a cell. */
static void put_cell(Text *out, const DocumentNode *cell)
{
    if ((cell->marks & DOCUMENT_TICK_BOX) != 0)
        text_put(out, "[ ]");
    else if ((cell->marks & DOCUMENT_BLANK) != 0)
        text_put(out, "__________");
    else
        words_clean(out, cell->text);
}

static size_t least_of(size_t one, size_t other) { return one < other ? one : other; }

/* Takes from the widest column that its longest word allows; then, where that is not enough, from any. */
static void narrow(TableShape *shape, const size_t *longest, size_t room)
{
    for (int hard = 0; hard < 2; hard++) {
        while (shape->whole > room) {
            size_t widest = TABLE_COLUMNS;
            for (size_t i = 0; i < shape->columns; i++) {
                size_t least = hard ? NARROW : longest[i];
                if (shape->widths[i] > least && (widest == TABLE_COLUMNS || shape->widths[i] > shape->widths[widest]))
                    widest = i;
            }
            if (widest == TABLE_COLUMNS)
                break;
            shape->widths[widest]--;
            shape->whole--;
        }
    }
}

TableShape table_shape(Memory *memory, const DocumentNode *table, size_t room)
{
    TableShape shape = {0};
    size_t longest[TABLE_COLUMNS] = {0};
    Text words;
    text_open(&words, memory);
    for (const DocumentNode *row = table->first; row != NULL; row = row->next) {
        size_t column = 0;
        for (const DocumentNode *cell = row->first; cell != NULL && column < TABLE_COLUMNS; cell = cell->next) {
            if (cell->form != DOCUMENT_CELL)
                continue;
            text_clear(&words);
            put_cell(&words, cell);
            size_t width = least_of(utf8_columns(words.at, words.length), room);
            size_t word = least_of(words.at == NULL ? 0 : words_longest(words.at), room);
            shape.widths[column] = width > shape.widths[column] ? width : shape.widths[column];
            longest[column] = word > longest[column] ? word : longest[column];
            column++;
        }
        shape.columns = column > shape.columns ? column : shape.columns;
    }
    text_close(&words);
    for (size_t i = 0; i < shape.columns; i++)
        shape.whole += shape.widths[i] + (i > 0 ? GAP : 0);
    narrow(&shape, longest, room);
    return shape;
}

static void put_spaces(Text *out, size_t count)
{
    for (size_t i = 0; i < count; i++)
        text_char(out, ' ');
}

/* The cells of one row while it is written, line after line. */
typedef struct RowCells {
    Text words; /* of all cells, each ending in NUL */
    size_t at[TABLE_COLUMNS];
    unsigned marks[TABLE_COLUMNS];
    size_t count;
} RowCells;

static void take_cells(RowCells *cells, const DocumentNode *row)
{
    for (const DocumentNode *cell = row->first; cell != NULL && cells->count < TABLE_COLUMNS; cell = cell->next) {
        if (cell->form != DOCUMENT_CELL)
            continue;
        cells->at[cells->count] = cells->words.length;
        cells->marks[cells->count++] = cell->marks;
        put_cell(&cells->words, cell);
        text_char(&cells->words, '\0');
    }
}

/* One line of the row; false where nothing is left for it. Blanks at its end are not written. */
static bool put_line(Text *out, RowCells *cells, const TableShape *shape, size_t indent)
{
    size_t column = 0, start = indent;
    bool any = false;
    for (size_t i = 0; i < cells->count; i++) {
        const char *text = cells->words.at + cells->at[i];
        if (*text != 0) {
            size_t length = words_line(text, shape->widths[i]);
            size_t width = utf8_columns(text, length);
            bool right = (cells->marks[i] & DOCUMENT_NUMBER) != 0 && width < shape->widths[i];
            size_t to = start + (right ? shape->widths[i] - width : 0);
            put_spaces(out, to > column ? to - column : 0);
            text_add(out, text, length);
            column = to + width;
            cells->at[i] += length;
            while (cells->words.at[cells->at[i]] == ' ')
                cells->at[i]++;
            any = true;
        }
        start += shape->widths[i] + GAP;
    }
    if (any)
        text_char(out, '\n');
    return any;
}

void table_row(Text *out, const DocumentNode *row, const TableShape *shape, size_t indent)
{
    RowCells cells = {0};
    text_open(&cells.words, out->memory);
    take_cells(&cells, row);
    while (put_line(out, &cells, shape, indent)) {
    }
    text_close(&cells.words);
}
