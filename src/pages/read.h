/* A document as it was carried here (render/pages.h), and how its pages are wanted. */
#ifndef WATERLEAF_PAGES_READ_H
#define WATERLEAF_PAGES_READ_H

#include "documents/document.h"

typedef struct PagesWish {
    bool as_svg;
    bool letter;      /* the size of the pages; else A4 */
    const char *date; /* as ISO 8601 has it, or NULL */
} PagesWish;

/* Reads BYTES, which end in NUL and are changed. Stops where they are no document. */
void pages_read(Document *document, Arena *arena, char *bytes, PagesWish *wish);

#endif
