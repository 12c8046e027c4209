/* A document as one HTML file: nothing is loaded from outside, and it prints
 * as the shop floor needs it. */
#ifndef WATERLEAF_RENDER_HTML_H
#define WATERLEAF_RENDER_HTML_H

#include "documents/document.h"
#include "base/text.h"

/* Adds the document to OUT, for paper of SIZE: "a4" or "letter". */
void render_html(Text *out, const Document *document, const char *size);

#endif
