/* The reader of carried documents, whose refusals come back here instead of ending the program. */
#ifndef WATERLEAF_TESTS_FUZZ_REFUSED_H
#define WATERLEAF_TESTS_FUZZ_REFUSED_H

#include "pages/read.h"

/* Reads BYTES, which end in NUL and are changed; false where they are no document. */
bool refused_or_read(Document *document, Arena *arena, char *bytes, PagesWish *wish);

#endif
