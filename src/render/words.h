/* Words of a document as they may be shown: whatever a script holds, no sign
 * that steers a terminal, turns the direction of writing or is no text at all
 * gets out; and a number stays beside what it counts. */
#ifndef WATERLEAF_RENDER_WORDS_H
#define WATERLEAF_RENDER_WORDS_H

#include "base/text.h"

/* Adds TEXT to OUT with what cannot be shown replaced, breaks and runs of blanks made one blank. */
void words_clean(Text *out, const char *text);

/* Whether no line may end at the blank at PLACE of cleaned TEXT: a number or an operator stands in front of it. */
bool words_glued(const char *text, size_t place);

/* How many bytes of cleaned TEXT go into a line of ROOM columns, at least one sign. What is longer than a line is cut. */
size_t words_line(const char *text, size_t room);

/* How many columns the longest part of cleaned TEXT takes that should not be cut. */
size_t words_longest(const char *text);

#endif
