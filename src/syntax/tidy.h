/* The one form of a script: columns as in a notebook, one spelling of units and signs,
 * comments and blank lines where they were. It is made of the script's tokens and
 * comments, so that nothing can be lost, and what the script means stays as it is. */
#ifndef WATERLEAF_SYNTAX_TIDY_H
#define WATERLEAF_SYNTAX_TIDY_H

#include "base/text.h"
#include "syntax/parse.h"

/* Whether a name is a word that opens an argument of some step: taking-up, keeping. */
typedef bool TidyWord(void *with, Name name);

/* Adds the one form of the script of number SOURCE, which was read without an error, to OUT. IS_WORD may be NULL: no name is one. */
void tidy_script(ParseWorld *world, uint32_t source, TidyWord *is_word, void *with, Text *out);

#endif
