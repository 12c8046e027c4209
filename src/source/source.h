/* The scripts that were read, and places in them.
 *
 * All scripts stand in one space of offsets, one behind the other, stdlib
 * first: a place is one 32-bit number and a Span two. File, line and column are
 * worked out only when a message is printed. Offset 0 is no place.
 */
#ifndef WATERLEAF_SOURCE_SOURCE_H
#define WATERLEAF_SOURCE_SOURCE_H

#include "base/list.h"
#include "base/names.h"

typedef struct Span {
    uint32_t start;
    uint32_t end; /* one behind the last byte */
} Span;

typedef struct Source {
    Name path;       /* as the user knows it: relative to the root where there is one */
    uint32_t base;   /* the place of its first byte */
    uint32_t length; /* bytes */
    uint32_t text;   /* where its bytes begin in texts; 8 zero bytes stand behind them */
    bool library;    /* belongs to stdlib */
} Source;

typedef struct Sources {
    LIST(Source) list; /* in the order of their bases; [0] is a blank */
    LIST(char) texts;
} Sources;

void sources_open(Sources *sources, Memory *memory);

/* Adds a script whose LENGTH bytes are copied; gives its number. */
uint32_t sources_add(Sources *sources, Memory *memory, Name path, const char *bytes, size_t length, bool library);

/* The same for a user's script that was read behind texts.count free bytes of BLOCK, a block of MEMORY's with 8 zero
 * bytes behind the text: it is kept, and the other texts are moved in front. */
uint32_t sources_adopt(Sources *sources, Memory *memory, Name path, char *block, size_t length);

/* The script that holds PLACE; never fails (place 0 gives the blank). */
const Source *sources_at(const Sources *sources, uint32_t place);

/* The bytes of SOURCE, ending in NUL. Good until the next sources_add. */
const char *sources_text(const Sources *sources, const Source *source);

/* The bytes at PLACE. */
const char *sources_bytes(const Sources *sources, uint32_t place);

/* Line and column from 1; the column counts characters. */
void sources_line(const Sources *sources, uint32_t place, uint32_t *line, uint32_t *column);

/* The long text of a declaration: the lines of comments right above the line at
 * PLACE, without their "# ". Appended to OUT, lines parted by \n. */
struct Text;
void sources_comment_above(const Sources *sources, uint32_t place, struct Text *out);

#endif
