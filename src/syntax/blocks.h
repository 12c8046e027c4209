/* From the flat list of a script's lines to blocks inside each other.
 *
 * Where each `:` has its `end` nothing else is asked. Only where the two do not
 * come out even is the indentation looked at, to find the one line at which
 * an `end` or a `:` is missing, misspelt or too much.
 */
#ifndef WATERLEAF_SYNTAX_BLOCKS_H
#define WATERLEAF_SYNTAX_BLOCKS_H

#include "syntax/build.h"

typedef enum LineRole { LINE_PLAIN, LINE_OPENS, LINE_ENDS } LineRole;

/* Twelve bytes, since a large script has a million lines. */
typedef struct LineRecord {
    NodeId line; /* NODE_LINE; for an `end` a NODE_NONE with its place, `value` and `first` the names behind it */
    NodeId last; /* the line's last child */
    uint16_t indent;
    uint8_t role;
    bool said;   /* the line has its message already */
} LineRecord;

typedef LIST(LineRecord) LineRecords;

/* Links the lines below SCRIPT. */
void blocks_join(Build *build, const LineRecords *lines, NodeId script);

#endif
