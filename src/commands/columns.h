/* Tables of a command's output, for people. */
#ifndef WATERLEAF_COMMANDS_COLUMNS_H
#define WATERLEAF_COMMANDS_COLUMNS_H

#include "base/text.h"

enum { COLUMNS_MOST = 12 };
typedef struct Cells { const char *text[COLUMNS_MOST]; } Cells;

/* How many columns of a terminal TEXT takes. */
size_t columns_of(const char *text);

/* Rows of WIDTH cells, as wide as their widest; the first LEFT columns at the left, all others at the right. */
void columns_put(Text *out, const Cells *rows, uint32_t count, int width, int left);

#endif
