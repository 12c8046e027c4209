/* Letters of a part that is only read, at a desk and by nobody with wet hands: a little smaller where that brings it on one page. */
#ifndef WATERLEAF_PAGES_PARTS_H
#define WATERLEAF_PAGES_PARTS_H

#include "pages/strips.h"

/* Chooses the style in which what is in PART, a node, is set. */
void parts_begin(Strips *strips, const DocumentNode *part);

#endif
