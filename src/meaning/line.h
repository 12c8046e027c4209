/* Looking at the parts of a line. */
#ifndef WATERLEAF_MEANING_LINE_H
#define WATERLEAF_MEANING_LINE_H

#include "meaning/world.h"

/* Marks of where a value comes from. */
enum { MARK_SOURCE = 1, MARK_PRACTICE = 2, MARK_MEMORY = 4, MARK_SUPPLIER = 8, MARK_MEASURED = 16 };

static inline Name line_head(const World *world, NodeId line) { return world_node(world, line)->value; }
static inline bool line_unreadable(const World *world, NodeId line) { return world_node(world, line)->extra != 0; }

/* The first part; 0: none. */
NodeId line_first(const World *world, NodeId line);

/* The name that the head makes with the word behind it, a hyphen between them, and where the two stand; 0: none that is known. */
Name line_hyphened(const World *world, NodeId line, Span *both);

/* The same of the name at PART and the one behind it. */
Name line_joined(const World *world, NodeId part, Span *both);

/* The expression behind the `=` that binds; 0: none. */
NodeId line_bound(const World *world, NodeId line);

/* The condition behind `when`; 0: none. */
NodeId line_when(const World *world, NodeId line);

/* The BLOCK; 0: none. */
NodeId line_block(const World *world, NodeId line);

/* The UNIT behind `shown in`; the TEXT behind else; 0: none. */
NodeId line_shown(const World *world, NodeId line);
NodeId line_else(const World *world, NodeId line);

/* The marks of origin told in a line, and its first `source` text. */
uint32_t line_marks(const World *world, NodeId line);
NodeId line_source(const World *world, NodeId line);

/* Whether PART stands for a value: no note, no condition, no block. */
bool line_is_argument(const World *world, NodeId part);

/* Whether PART is the word NAME, as a preposition or a name. */
bool line_is_word(const World *world, NodeId part, Name name);

/* The part behind the word NAME in a line; 0: none. */
NodeId line_behind(const World *world, NodeId line, Name name);

/* How the line without its block is written, for pointing at. */
Span line_span(const World *world, NodeId line);

/* Says that LINE must be written as FORM, "states NAME WORD, WORD"; nothing of one that cannot be read anyway. */
void line_say_written_so(World *world, NodeId line, const char *form);

/* LINE and the block that it opens, its `end` included. */
Span line_whole(const World *world, NodeId line);

/* Adds LINE with its block as it was written, BEFORE in front of each row of it, and as deep as if LINE stood at the margin. */
void line_put_whole(const World *world, NodeId line, const char *before, Text *out);

#endif
