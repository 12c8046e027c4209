/* A table of a document in plain text: columns as wide as they need to be, and
 * where that is too wide, the widest are wrapped. */
#ifndef WATERLEAF_RENDER_TABLE_H
#define WATERLEAF_RENDER_TABLE_H

#include "documents/document.h"
#include "base/text.h"

enum { TABLE_COLUMNS = 12 }; /* further cells of a row are no table that a page could hold */

typedef struct TableShape {
    size_t columns;
    size_t widths[TABLE_COLUMNS];
    size_t whole; /* all of it, with what stands between */
} TableShape;

/* How wide the columns of TABLE are where ROOM columns of signs are there for it. */
TableShape table_shape(Memory *memory, const DocumentNode *table, size_t room);

/* Adds the cells of ROW, INDENT columns from the left. */
void table_row(Text *out, const DocumentNode *row, const TableShape *shape, size_t indent);

#endif
