/* Tables of a command's output, for people. */
#include "commands/columns.h"

#include <string.h>

size_t columns_of(const char *text)
{
    return utf8_columns(text, strlen(text));
}

static void cell(Text *out, const char *text, size_t width, bool right)
{
    size_t have = columns_of(text);
    for (size_t i = have; right && i < width; i++) {
        text_char(out, ' ');
    }
    text_put(out, text);
    for (size_t i = have; !right && i < width; i++) {
        text_char(out, ' ');
    }
}

void columns_put(Text *out, const Cells *rows, uint32_t count, int width, int left)
{
    size_t widths[COLUMNS_MOST] = {0};
    for (uint32_t i = 0; i < count; i++) {
        for (int j = 0; j < width; j++) {
            size_t have = columns_of(rows[i].text[j]);
            widths[j] = have > widths[j] ? have : widths[j];
        }
    }
    for (uint32_t i = 0; i < count; i++) {
        text_put(out, "  ");
        for (int j = 0; j < width; j++) {
            cell(out, rows[i].text[j], widths[j], j >= left);
            text_put(out, j + 1 < width ? "   " : "");
        }
        while (out->length > 0 && out->at[out->length - 1] == ' ') {
            out->at[--out->length] = 0;
        }
        text_char(out, '\n');
    }
}
