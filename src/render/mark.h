/* Somebody's own mark, a PNG or SVG: whether it is whole, is of a size that can be drawn, and looks the same everywhere, which
 * means that it asks for nothing outside itself and for no fonts. Looked at before a document is written, in any form. Also
 * linked into waterleaf-pages. */
#ifndef WATERLEAF_RENDER_MARK_H
#define WATERLEAF_RENDER_MARK_H

#include "base/text.h"
#include "documents/document.h"

/* Two sentences' parts: "The mark “…” cannot be drawn: WHAT. MEND." */
typedef struct MarkTrouble {
    const char *what, *mend;
} MarkTrouble;

/* Adds the bytes that BASE64 stands for; false where it stands for none. */
bool mark_bytes(Text *out, const char *base64);

/* Whether NODE, a DOCUMENT_IMAGE, can be drawn; else TROUBLE says why not. (What is inside the compressed parts of a PNG, and whether an
 * SVG is well formed, shows only when it is drawn.) */
bool mark_sound(Memory *memory, const DocumentNode *node, MarkTrouble *trouble);

#endif
