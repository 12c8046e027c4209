/* What stands on the pages told to readers that cannot see them: the tree of
 * tags within a PDF. Cairo writes the tags; the words for pictures, and what a
 * head is the head of, are added to them by finish.c. */
#ifndef WATERLEAF_PAGES_TAGS_H
#define WATERLEAF_PAGES_TAGS_H

#include "base/list.h"
#include "documents/document.h"

#include <cairo.h>

typedef struct Tag {
    const char *name;
    const char *added; /* what stands in its PDF object beside what Cairo writes; NULL: nothing */
} Tag;

typedef LIST(Tag) TagList;

enum { TAGS_DEEP = 64 };

typedef struct Tags {
    cairo_t *cairo;
    Memory *memory;
    Arena *arena;
    bool off; /* for what has no tags */
    TagList made; /* all that were begun, in order */
    const char *open[TAGS_DEEP];
    const DocumentNode *of[TAGS_DEEP]; /* NULL: a tag within what belongs to a node */
    unsigned depth;
} Tags;

void tags_begin(Tags *tags, const char *name, const char *added);
void tags_end(Tags *tags);

/* What gives a tag words for who cannot see it: BEFORE, then TEXT. */
const char *tags_words(Tags *tags, const char *before, const char *text);

/* Ends and begins tags until we are inside NODE. */
void tags_reach(Tags *tags, const DocumentNode *node);

/* Ends all within which words may stand, so that what is drawn next belongs to none of them. */
void tags_rise(Tags *tags);

/* Ends all. */
void tags_close(Tags *tags);

#endif
