/* A token: what it is, where it stands, and one number that belongs to it. The
 * kinds that the grammar knows come from the parser (TOKEN_...); those below are
 * only what the automata of grammar/lexer.re tell the lexer. */
#ifndef WATERLEAF_SYNTAX_TOKEN_H
#define WATERLEAF_SYNTAX_TOKEN_H

#include <stdint.h>

typedef struct Token {
    uint32_t start; /* places in the space of all sources */
    uint32_t end;
    uint32_t value; /* a Name, a date's days, a clock's minutes */
    uint32_t kind;
} Token;

enum {
    SCAN_NAME = 200,
    SCAN_COMMA_NUMBER, /* 1,500 */
    SCAN_DASH_NUMBER,  /* 12-3 */
    SCAN_UNCLEAR_DAY,  /* 05/06/27 */
    SCAN_POINT_NUMBER, /* .5 */
    SCAN_QUOTE,
    SCAN_CURLY_QUOTE,
    SCAN_BRACE_OPEN,
    SCAN_BRACE_CLOSE,
    SCAN_ESCAPE,
    SCAN_PLAIN,
    SCAN_COMMENT,
    SCAN_NEWLINE,
    SCAN_NUL,
    SCAN_UNIT_SIGN,
    SCAN_UNFIT,   /* no text at all, or a control sign */
    SCAN_STRANGE, /* a sign without a meaning */
    SCAN_HEAD,
    SCAN_HEAD_BINDS,
    SCAN_HEAD_UNIT,
    SCAN_HEAD_WHEN,
    SCAN_HEAD_END
};

#endif
