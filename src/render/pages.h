/* A document as it is carried to the program that sets pages, waterleaf-pages:
 *
 *     waterleaf-pages 2
 *     as pdf
 *     page a4
 *     date 1767225600                   seconds since 1970, where the pages are to bear a date
 *     root<TAB>level<TAB>marks<TAB>label<TAB>text<TAB>hint<TAB>numbers
 *     part<TAB>…                        what is inside stands behind what holds it,
 *     end                               until it ends
 *     end
 *
 * All words are cleaned, so that none holds a tab or the end of a line, and no
 * line is to end at a no-break space. Numbers stand with a blank between, in so
 * many digits that each is read as the same double, whatever the locale. Where the
 * hint of an image is =0, =1 …, it is that of the image of this number, from 0, among those that were told in full. */
#ifndef WATERLEAF_RENDER_PAGES_H
#define WATERLEAF_RENDER_PAGES_H

#include "base/text.h"
#include "documents/document.h"

/* Adds DOCUMENT to OUT for pages of SIZE, "a4" or "letter", AS "pdf" or "svg". DATE is NULL where they bear none. */
void render_pages(Text *out, const Document *document, const char *size, const char *as, const char *date);

#endif
