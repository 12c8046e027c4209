/* A document as plain text: for a terminal, a pipe, a pinned-up sheet. */
#ifndef WATERLEAF_RENDER_TEXT_H
#define WATERLEAF_RENDER_TEXT_H

#include "documents/document.h"
#include "base/text.h"

/* Adds the document to OUT, in lines of at most 96 columns where words allow. */
void render_text(Text *out, const Document *document);

#endif
