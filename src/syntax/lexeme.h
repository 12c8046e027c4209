/* The lexemes of a line: each is scanned, and what it means where it stands is settled. */
#ifndef WATERLEAF_SYNTAX_LEXEME_H
#define WATERLEAF_SYNTAX_LEXEME_H

#include "syntax/lexer.h"

/* Adds tokens to the line until the cursor is at a line's end or at the script's. */
void lexeme_take_all(Lexer *lexer);

/* Notes the comment whose # stands at START, in front of the cursor. */
void lexeme_comment(Lexer *lexer, const unsigned char *start);

#endif
