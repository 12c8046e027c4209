/* How the two forms spell words: HTML (page_…) and mdoc, in which manual pages are written (manual_…). */
#ifndef WATERLEAF_REFERENCE_FORMS_H
#define WATERLEAF_REFERENCE_FORMS_H

#include "reference/book.h"

void page_head(Text *page);
void page_foot(Text *page);
/* Words as they are; and words with `code` and [links](#anchor) in them. */
void page_words(Text *page, const char *words);
void page_text(Text *page, const char *text);

void manual_head(Text *manual, const Chapter *chapter);
void manual_foot(Text *manual);
/* A paragraph begins: nothing where one has just begun. */
void manual_begin(Text *manual);
/* Words in the line of a macro, without quotes; and a text as one argument of it, in quotes. */
void manual_words(Text *manual, const char *words);
void manual_argument(Text *manual, const char *text);
/* A line of its own, which it ends; and a part of a line, the first or a further one. Each sentence begins a line. */
void manual_text(Text *manual, const char *text);
void manual_part(Text *manual, const char *text, bool first);
void manual_lines(Text *manual, const char *lines);

#endif
