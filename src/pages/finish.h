/* What Cairo leaves out of a PDF, added behind it as a further version of some of its
 * objects: the language, that its title is shown, the words for pictures, what
 * heads of tables are heads of, and a name of the file that depends on nothing but what is in it. */
#ifndef WATERLEAF_PAGES_FINISH_H
#define WATERLEAF_PAGES_FINISH_H

#include "base/text.h"
#include "pages/tags.h"

/* Adds it to PDF. TAGS: all that were begun, in order. Stops where the PDF is not as Cairo writes them. */
void finish_pdf(Text *pdf, const TagList *tags);

#endif
