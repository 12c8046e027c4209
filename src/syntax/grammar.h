/* The parser that Lemon makes of grammar/parser.y, used for one line at a time. */
#ifndef WATERLEAF_SYNTAX_GRAMMAR_H
#define WATERLEAF_SYNTAX_GRAMMAR_H

#include "syntax/build.h"

enum { GRAMMAR_TOKENS = 80 }; /* more than the grammar has */

/* Reads the line's tokens. False where one does not fit, or where building
 * refused: *AT is its place, COUNT where the end of the line does not fit. */
bool grammar_read(Build *build, const Token *tokens, uint32_t count, uint32_t *at);

/* Which kinds of token would have fitted in place of tokens[AT], where reading
 * stopped; [0] is the end of the line. Reads the line once more for it. */
void grammar_expected(Build *build, const Token *tokens, uint32_t at, bool fits[GRAMMAR_TOKENS]);

#endif
