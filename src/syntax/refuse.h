/* What the lexer refuses because it has two readings, or none. Each says one
 * message that shows how every reading is written. */
#ifndef WATERLEAF_SYNTAX_REFUSE_H
#define WATERLEAF_SYNTAX_REFUSE_H

#include "syntax/lexer.h"

/* 1,500 and [190,300] */
void refuse_comma(Lexer *lexer, Span at);

/* 12-3 */
void refuse_dash(Lexer *lexer, Span at);

/* 05/06/27, 5.6.2027, 2027-6-5 */
void refuse_day(Lexer *lexer, Span at);

/* .5 */
void refuse_point(Lexer *lexer, Span at);

/* A minus that is no clear subtraction and no clear sign: `total -1`, `a- b`, `-x`. BEFORE is the
 * span of the token in front of it, {0, 0} where there is none, BEHIND that of the lexeme behind. */
void refuse_minus(Lexer *lexer, Span before, Span minus, Span behind);

/* Days since 1970-01-01 of "dddd-dd-dd", and minutes of "dd:dd"; false when there is no such
 * day or time, which is said. */
bool refuse_or_read_date(Lexer *lexer, Span at, uint32_t *days);
bool refuse_or_read_clock(Lexer *lexer, Span at, uint32_t *minutes);

#endif
