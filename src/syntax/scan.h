/* The automata of grammar/lexer.re. They have no state: a place in, what begins
 * there and its end out. All bytes scanned end in NUL. */
#ifndef WATERLEAF_SYNTAX_SCAN_H
#define WATERLEAF_SYNTAX_SCAN_H

/* The lexeme behind blanks, inside a line: TOKEN_... or SCAN_.... */
unsigned scan_token(const unsigned char *cursor, const unsigned char **start, const unsigned char **end);

/* The first word of a line: SCAN_HEAD..., or SCAN_STRANGE and SCAN_NUL, which leave *END alone. */
unsigned scan_head(const unsigned char *cursor, const unsigned char **end);

/* The end of the name, unit or run of blanks at CURSOR; CURSOR where there is none. */
const unsigned char *scan_name(const unsigned char *cursor);
const unsigned char *scan_unit(const unsigned char *cursor);
const unsigned char *scan_blanks(const unsigned char *cursor);

/* The next stretch of a text between quotes, and of a comment. */
unsigned scan_text(const unsigned char *cursor, const unsigned char **end);
unsigned scan_comment(const unsigned char *cursor, const unsigned char **end);

#endif
