/* From bytes to the tokens of one line. */
#include "syntax/lexer.h"

#include "parser.h"
#include "syntax/lexeme.h"
#include "syntax/scan.h"

#include <string.h>

enum { TAB_COLUMNS = 4 };

void lexer_open(Lexer *lexer, Memory *memory, Names *names, Tree *tree, Mistakes *mistakes, UnitSpellings *units,
                const unsigned char *text, uint32_t length, uint32_t base)
{
    *lexer = (Lexer){.memory = memory,
                     .names = names,
                     .tree = tree,
                     .mistakes = mistakes,
                     .units = units,
                     .text = text,
                     .cursor = text,
                     .limit = text + length,
                     .base = base};
    text_open(&lexer->piece, memory);
    list_reserve(memory, &lexer->tokens, 256);
    if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
        lexer->cursor += 3;
}

void lexer_close(Lexer *lexer)
{
    memory_return(lexer->memory, lexer->tokens.at);
    text_close(&lexer->piece);
}

/* ---- Lines ------------------------------------------------------------------------ */

/* Passes blanks, blank lines and comments. *INDENT is the column where it stops. */
static void skip_to_line(Lexer *lexer, uint32_t *indent)
{
    uint32_t column = 0;
    const unsigned char *at = lexer->cursor, *start, *end;
    for (;;) {
        if (*at == ' ') {
            at++;
            column++;
        } else if (*at == '\t') {
            at++;
            column = (column / TAB_COLUMNS + 1) * TAB_COLUMNS;
        } else if (*at == '\n') {
            at++;
            column = 0;
        } else if (*at == '#') {
            lexer->cursor = at + 1;
            lexeme_comment(lexer, at);
            at = lexer->cursor;
        } else if (*at == '\r' || *at >= 0x80) { /* other blanks, perhaps */
            unsigned kind = scan_token(at, &start, &end);
            if (kind == SCAN_NEWLINE && start == at)
                column = 0;
            else if (start == at)
                break;
            else {
                column += (uint32_t)utf8_count((const char *)at, (size_t)(start - at));
                end = start;
            }
            at = end;
        } else
            break;
    }
    lexer->cursor = at;
    *indent = column;
}

static bool at_end(const Lexer *lexer)
{
    return lexer->cursor >= lexer->limit;
}

/* Whether the line at the cursor is an `end`. */
static bool is_end_line(const Lexer *lexer)
{
    const unsigned char *end, *start;
    if (scan_head(lexer->cursor, &end) != SCAN_HEAD_END)
        return false;
    unsigned kind = scan_token(end, &start, &end);
    if (kind == SCAN_NAME)
        kind = scan_token(end, &start, &end);
    return kind == SCAN_NEWLINE || kind == SCAN_NUL || kind == SCAN_COMMENT;
}

/* How deep the next line from AT on stands that is neither blank nor a comment. */
static uint32_t next_indent(const Lexer *lexer, const unsigned char *at)
{
    while (at < lexer->limit) {
        uint32_t column = 0;
        for (; *at == ' ' || *at == '\t'; at++)
            column = *at == ' ' ? column + 1 : (column / TAB_COLUMNS + 1) * TAB_COLUMNS;
        if (*at != '\n' && *at != '\r' && *at != '#')
            return column;
        const unsigned char *stop = memchr(at, '\n', (size_t)(lexer->limit - at));
        at = stop ? stop + 1 : lexer->limit;
    }
    return 0;
}

/* Whether the line at the cursor opens a block, stands no deeper than the one before it, and has
 * deeper lines in its block: it is then a line of its own, and the comma in front of it a slip. */
static bool is_line_of_its_own(const Lexer *lexer, uint32_t indent)
{
    const unsigned char *end;
    if (indent > lexer->line.indent || scan_head(lexer->cursor, &end) < SCAN_HEAD)
        return false;
    const unsigned char *newline = memchr(end, '\n', (size_t)(lexer->limit - end));
    if (!newline)
        return false;
    const unsigned char *stop = newline;
    while (stop > end && stop[-1] <= ' ')
        stop--;
    return stop[-1] == ':' && next_indent(lexer, newline + 1) > indent;
}

/* Behind a comma at the line's end: whether the line goes on. */
static bool goes_on(Lexer *lexer)
{
    uint32_t indent;
    const unsigned char *here = lexer->cursor;
    uint32_t comments = lexer->tree->comments.count;
    skip_to_line(lexer, &indent);
    if (!at_end(lexer) && !is_end_line(lexer) && !is_line_of_its_own(lexer, indent))
        return true;
    Token comma = lexer->tokens.at[--lexer->tokens.count];
    Span at = {comma.start, comma.end};
    mistakes_edit(lexer->mistakes, lexer_say(lexer, SAY_comma_dangling, at, NULL, NULL), at, "");
    lexer_spoil(lexer);
    lexer->cursor = here;
    lexer->tree->comments.count = comments;
    return false;
}
static void check_brackets(Lexer *lexer)
{
    if (lexer->bracket_count == 0)
        return;
    Bracket bracket = lexer->brackets[lexer->bracket_count - 1];
    Span at = {bracket.place, bracket.place + 1};
    if (lexer->line.spoilt)
        return;
    if (bracket.sign == '{')
        lexer_say(lexer, SAY_brace_open, at, NULL, NULL);
    else
        lexer_say(lexer, SAY_bracket_open, at, lexer_quote(lexer, at), bracket.sign == '(' ? ")" : "]");
    lexer_spoil(lexer);
}

/* Takes the `:` off the end of the line. */
static void take_colon(Lexer *lexer)
{
    uint32_t count = lexer->tokens.count;
    if (lexer->colons == 0)
        return;
    while (count > 0 && lexer->tokens.at[count - 1].kind == TOKEN_COLON)
        count--;
    uint32_t colons = lexer->tokens.count - count;
    lexer->line.opens = colons > 0;
    if (colons > 1) {
        Span at = {lexer->tokens.at[count].start, lexer->last_end};
        mistakes_edit(lexer->mistakes, lexer_say(lexer, SAY_colon_twice, at, NULL, NULL), at, ":");
    }
    lexer->tokens.count = count;
    for (uint32_t i = 0; colons < lexer->colons && i < count; i++) {
        Token token = lexer->tokens.at[i];
        if (token.kind == TOKEN_COLON && !lexer->line.spoilt) {
            lexer_say(lexer, SAY_colon_inside, (Span){token.start, token.end}, NULL, NULL);
            lexer_spoil(lexer);
        }
    }
}

static void take_head(Lexer *lexer)
{
    const unsigned char *start = lexer->cursor, *end = start;
    unsigned kind = scan_head(start, &end);
    Line *line = &lexer->line;
    line->head = kind == SCAN_HEAD_WHEN ? HEAD_WHEN : kind == SCAN_HEAD_END ? HEAD_END : kind >= SCAN_HEAD ? HEAD_WORD : HEAD_NONE;
    lexer->binds = kind == SCAN_HEAD_BINDS || kind == SCAN_HEAD_UNIT;
    lexer->unit_head = lexer->wants_unit = kind == SCAN_HEAD_UNIT;
    if (line->head != HEAD_NONE)
        line->word = lexer_name(lexer, start, end);
    lexer->cursor = end;
    line->head_end = lexer->last_end = lexer_place(lexer, end);
    if (kind == SCAN_HEAD_WHEN)
        lexer_push(lexer, TOKEN_WHEN, line->start, line->head_end, 0);
}

bool lexer_line(Lexer *lexer)
{
    lexer->line = (Line){0};
    lexer->unfit_said = false;
    lexer->mistakes->line_count = 0;
    skip_to_line(lexer, &lexer->line.indent);
    if (at_end(lexer) || lexer->mistakes->stopped)
        return false;
    lexer->tokens.count = 0;
    lexer->bracket_count = lexer->colons = 0;
    lexer->last = 0;
    lexer->about = 0;
    lexer->line.start = lexer_place(lexer, lexer->cursor);
    lexer->line_stop = lexer->limit - lexer->cursor > LIMIT_LINE_BYTES ? lexer->cursor + LIMIT_LINE_BYTES : lexer->limit;
    take_head(lexer);
    do
        lexeme_take_all(lexer);
    while (lexer->last == TOKEN_COMMA && goes_on(lexer));
    lexer->line.end = lexer->last_end;
    if (lexer->tokens.count > 0 && lexer->line.end < lexer->line.head_end)
        lexer->line.end = lexer->line.head_end;
    check_brackets(lexer);
    take_colon(lexer);
    return true;
}
