/* What could have stood somewhere, in words. */
#ifndef WATERLEAF_SYNTAX_EXPECTED_H
#define WATERLEAF_SYNTAX_EXPECTED_H

#include "syntax/grammar.h"

/* "a name, a quantity or the end of the line": at most five, from the kinds of
 * token that would have fitted. */
const char *expected_words(Arena *arena, const bool fits[GRAMMAR_TOKENS]);

#endif
