/* What sets pages, of which the refusals come back here instead of ending the program. */
#ifndef WATERLEAF_TESTS_FUZZ_REFUSED_H
#define WATERLEAF_TESTS_FUZZ_REFUSED_H

#include "pages/read.h"

/* Does WORK, or reads BYTES, which end in NUL and are changed; false where that is refused. */
bool refused_or_done(void (*work)(void *with), void *with);
bool refused_or_read(Document *document, Arena *arena, char *bytes, PagesWish *wish);

#endif
