/* One lexeme after the other, and what each means where it stands. */
#include "syntax/lexeme.h"

#include "parser.h"
#include "syntax/refuse.h"
#include "syntax/scan.h"

#include <string.h>

/* ---- What is no text -------------------------------------------------------- */

/* One message for a run of bad bytes, and one such message a line. */
static void skip_unfit(Lexer *lexer, const unsigned char *start)
{
    const unsigned char *end = lexer->cursor, *next = end, *from;
    while (next < lexer->limit) {
        unsigned kind = scan_token(end, &from, &next);
        if (from != end || !(kind == SCAN_UNFIT || (kind == SCAN_NUL && from < lexer->limit)))
            break;
        end = next;
    }
    lexer->cursor = end;
    if (!lexer->unfit_said)
        lexer_say(lexer, SAY_unreadable_bytes, lexer_span(lexer, start, end), NULL, NULL);
    lexer->unfit_said = true;
    lexer_spoil(lexer);
}

static void skip_strange(Lexer *lexer, const unsigned char *start)
{
    Span at = lexer_span(lexer, start, lexer->cursor);
    const char *advice = *start == ';'    ? "A line ends where it ends; leave the sign away."
                         : *start == '\'' ? "Texts stand in double quotes, feet are written ft."
                                          : "Leave it away, or write in words what is meant.";
    if (!lexer->unfit_said)
        lexer_say(lexer, SAY_strange_sign, at, lexer_quote(lexer, at), advice);
    lexer->unfit_said = true;
    lexer_spoil(lexer);
}

void lexeme_comment(Lexer *lexer, const unsigned char *start)
{
    const unsigned char *cursor = lexer->cursor, *end = cursor;
    for (;;) {
        unsigned kind = scan_comment(cursor, &end);
        if (kind == SCAN_PLAIN) {
            cursor = end;
        } else if (kind == SCAN_NEWLINE && (*cursor != 0 || cursor >= lexer->limit)) {
            break;
        } else {
            lexer->cursor = end;
            skip_unfit(lexer, cursor);
            cursor = lexer->cursor;
        }
    }
    lexer->cursor = cursor;
    if (lexer->names)
        list_push(lexer->memory, &lexer->tree->comments, lexer_span(lexer, start, cursor));
}

/* ---- Texts ------------------------------------------------------------------- */

static void open_bracket(Lexer *lexer, unsigned char sign, const unsigned char *start, bool curly)
{
    if (lexer->bracket_count == LIMIT_BRACKETS) {
        if (!lexer->line.spoilt)
            lexer_say(lexer, SAY_brackets_too_deep, lexer_span(lexer, start, start + 1), NULL, NULL);
        lexer_spoil(lexer);
        return;
    }
    lexer->brackets[lexer->bracket_count++] = (Bracket){lexer_place(lexer, start), sign, curly};
}

static unsigned char top_bracket(const Lexer *lexer)
{
    return lexer->bracket_count > 0 ? lexer->brackets[lexer->bracket_count - 1].sign : 0;
}

/* The Name of the piece from START to END, of which what came before its last
 * escape stands in lexer->piece. */
static Name piece_name(Lexer *lexer, const unsigned char *start, const unsigned char *end)
{
    if (!lexer->names || end - start > LIMIT_LINE_BYTES)
        return 0;
    Text *piece = &lexer->piece;
    if (piece->length == 0)
        return start == end ? 0 : lexer_name(lexer, start, end);
    text_add(piece, (const char *)start, (size_t)(end - start));
    Name name = names_intern(lexer->names, lexer->memory, piece->at, piece->length);
    text_clear(piece);
    return name;
}

static void say_text_open(Lexer *lexer, uint32_t start, const unsigned char *end)
{
    Span at = {start, lexer_place(lexer, end)};
    mistakes_edit(lexer->mistakes, lexer_say(lexer, SAY_text_open, at, NULL, NULL), (Span){at.end, at.end}, "\"");
}

/* Reads on in a text up to its quote or its next brace. START is the place of
 * the quote or of the brace behind which the text goes on. */
static void take_text(Lexer *lexer, uint32_t start, bool first, bool curly)
{
    const unsigned char *from = lexer->cursor, *at = from, *end;
    for (;;) {
        unsigned kind = scan_text(at, &end);
        lexer->cursor = end;
        bool closes = kind == SCAN_QUOTE || (kind == SCAN_CURLY_QUOTE && curly);
        bool ends = kind == SCAN_NEWLINE && (*at != 0 || at >= lexer->limit);
        bool too_long = at > lexer->line_stop;
        if (closes || ends || too_long) {
            if (ends)
                lexer->cursor = at;
            if (ends && !too_long)
                say_text_open(lexer, start, at);
            lexer_push(lexer, first ? TOKEN_TEXT : TOKEN_TEXT_CLOSE, start, lexer_place(lexer, lexer->cursor),
                       piece_name(lexer, from, at));
            return;
        }
        if (kind == SCAN_BRACE_OPEN) {
            lexer_push(lexer, first ? TOKEN_TEXT_OPEN : TOKEN_TEXT_MIDDLE, start, lexer_place(lexer, end),
                       piece_name(lexer, from, at));
            open_bracket(lexer, '{', at, curly);
            return;
        }
        if (kind == SCAN_ESCAPE || kind == SCAN_UNFIT || kind == SCAN_NEWLINE) {
            text_add(&lexer->piece, (const char *)from, (size_t)(at - from));
            if (kind == SCAN_ESCAPE)
                text_char(&lexer->piece, (char)at[1]);
            else
                skip_unfit(lexer, at);
            from = lexer->cursor;
        }
        at = lexer->cursor;
    }
}

static void close_brace(Lexer *lexer, const unsigned char *start)
{
    if (top_bracket(lexer) != '{') {
        skip_strange(lexer, start);
        return;
    }
    bool curly = lexer->brackets[--lexer->bracket_count].curly;
    lexer->about = 0;
    take_text(lexer, lexer_place(lexer, start), false, curly);
}

/* Whether a token of this kind ends a value. */
static bool ends_value(uint32_t kind)
{
    switch (kind) {
    case TOKEN_NAME: case TOKEN_NUMBER: case TOKEN_UNIT: case TOKEN_UNIT_NAME: case TOKEN_BAD: case TOKEN_ROUND_CLOSE:
    case TOKEN_SQUARE_CLOSE: case TOKEN_TEXT: case TOKEN_TEXT_CLOSE: case TOKEN_DATE: case TOKEN_CLOCK: case TOKEN_ABSENT:
        return true;
    default:
        return false;
    }
}

/* A quote where a value has just ended inside braces: the brace was not closed. */
static bool closes_open_brace(Lexer *lexer, const unsigned char *start)
{
    if (top_bracket(lexer) != '{' || !ends_value(lexer->last))
        return false;
    Bracket bracket = lexer->brackets[--lexer->bracket_count];
    Span at = {bracket.place, bracket.place + 1};
    mistakes_edit(lexer->mistakes, lexer_say(lexer, SAY_brace_open, at, NULL, NULL), (Span){lexer->last_end, lexer->last_end}, "}");
    lexer_push(lexer, TOKEN_TEXT_CLOSE, lexer_place(lexer, start), lexer_place(lexer, lexer->cursor), 0);
    return true;
}

/* 22" is how inches are typed elsewhere. */
static bool inch_mark(Lexer *lexer)
{
    const unsigned char *at = lexer->cursor;
    size_t length = *at == '"' ? 1 : at[0] == 0xE2 && at[1] == 0x80 && (at[2] == 0xB3 || at[2] == 0x9D) ? 3 : 0;
    if (length == 0)
        return false;
    unsigned char behind = at[length];
    if (!(behind <= ' ' || behind == ',' || behind == ')' || behind == ']' || behind == '.' || behind == '#' || behind == ':'))
        return false;
    Span mark = lexer_span(lexer, at, at + length), number = {lexer->tokens.at[lexer->tokens.count - 1].start, mark.end};
    const char *digits = mistakes_quote(lexer->mistakes, number.start, mark.start);
    Message *message = lexer_say(lexer, SAY_inch_mark, number, lexer_quote(lexer, number), digits);
    mistakes_edit(lexer->mistakes, message, mark, " in");
    lexer->cursor += length;
    lexer_push(lexer, TOKEN_UNIT, mark.start, mark.end, lexer->names ? names_of(lexer->names, lexer->memory, "in") : 0);
    lexer->wants_unit = false;
    return true;
}

/* ---- Numbers ------------------------------------------------------------------ */

static void take_number(Lexer *lexer, const unsigned char *start)
{
    Span at = lexer_span(lexer, start, lexer->cursor);
    bool long_number = at.end - at.start > LIMIT_NUMBER_DIGITS;
    if (long_number)
        lexer_say(lexer, SAY_number_too_long, at, NULL, NULL);
    lexer_push(lexer, long_number ? TOKEN_BAD : TOKEN_NUMBER, at.start, at.end, 0);
    lexer->wants_unit = true;
    if (*lexer->cursor == '"' || *lexer->cursor == 0xE2)
        inch_mark(lexer);
}

/* Refuses a number with two readings; it still stands for a value, which is not known. Right
 * behind another one it is taken for a part of the same mistake. */
static void take_refused(Lexer *lexer, void (*refuse)(Lexer *lexer, Span at), Span at)
{
    if (lexer->last != TOKEN_BAD)
        refuse(lexer, at);
    lexer_push(lexer, TOKEN_BAD, at.start, at.end, 0);
    lexer->wants_unit = true;
}

static void take_date(Lexer *lexer, Span at)
{
    uint32_t days = 0;
    bool good = refuse_or_read_date(lexer, at, &days);
    lexer_push(lexer, good ? TOKEN_DATE : TOKEN_BAD, at.start, at.end, days);
}

static void take_clock(Lexer *lexer, Span at)
{
    uint32_t minutes = 0;
    bool good = refuse_or_read_clock(lexer, at, &minutes);
    lexer_push(lexer, good ? TOKEN_CLOCK : TOKEN_BAD, at.start, at.end, minutes);
}

/* ---- Units --------------------------------------------------------------------- */

static bool name_goes_on(const unsigned char *at)
{
    return scan_name(at) != at || (*at >= '0' && *at <= '9') || (*at == '-' && scan_name(at + 1) != at + 1);
}

static const unsigned char *whole_word(const unsigned char *at, const char *word)
{
    size_t length = strlen(word);
    if (strncmp((const char *)at, word, length) != 0 || name_goes_on(at + length))
        return NULL;
    return at + length;
}

/* The end of what belongs to the % in front of AT: w/v, w/w, on NAME, of NAME.
 * A NAME that is itself asked for a part, or called, is no basis. */
static const unsigned char *share_end(const Lexer *lexer, const unsigned char *at)
{
    const unsigned char *from = scan_blanks(at), *end;
    bool bracketed = *from == '(';
    const unsigned char *measure = from + (bracketed ? 1 : 0);
    if (measure[0] == 'w' && measure[1] == '/' && (measure[2] == 'v' || measure[2] == 'w') && !name_goes_on(measure + 3) &&
        (!bracketed || measure[3] == ')')) {
        end = measure + (bracketed ? 4 : 3);
        const unsigned char *state = scan_blanks(end), *behind = whole_word(state, "dry");
        if (!behind)
            behind = whole_word(state, "as-weighed");
        return behind && measure[2] == 'v' ? behind : end;
    }
    if (lexer->unit_head)
        return at;
    const unsigned char *basis = from[0] == 'o' && (from[1] == 'n' || from[1] == 'f') ? scan_blanks(from + 2) : from;
    if (basis == from || basis == from + 2)
        return at;
    end = scan_name(basis);
    bool asked = *end == '(' || (*end == '.' && end[1] != '.' && scan_name(end + 1) != end + 1);
    return end == basis || asked ? at : end;
}

/* Cuts the last factor off. */
static const unsigned char *cut_factor(const unsigned char *start, const unsigned char *end)
{
    do
        end--;
    while (end > start && *end != '/' && *end != '*' && !(end[0] == 0xC2 && end[1] == 0xB7) && !(end[0] == 0xE2 && end[1] == 0x8B));
    return end;
}

static void push_unit(Lexer *lexer, uint32_t kind, const unsigned char *start, const unsigned char *end)
{
    Name unit = 0;
    if (lexer->names && end - start <= LIMIT_LINE_BYTES)
        unit = unit_spelling(lexer->units, lexer->names, lexer->memory, (const char *)start, (size_t)(end - start));
    lexer->cursor = end;
    lexer_push(lexer, kind, lexer_place(lexer, start), lexer_place(lexer, end), unit);
}

/* Whether a reserved word from START to END has an exponent: in² and in^2 are no less units than m². */
static bool is_raised_word(const unsigned char *start, const unsigned char *end)
{
    bool raised = *end == '^' || (end[0] == 0xC2 && end[1] != 0xB7) || (end[0] == 0xE2 && end[1] == 0x81);
    return *start >= 'a' && *start <= 'z' && raised && scan_unit(start) > end;
}

/* Takes the lexeme at START, that was scanned as SCANNED, as a unit if it is one. */
static bool take_unit(Lexer *lexer, unsigned scanned, const unsigned char *start, const unsigned char *end, uint32_t kind)
{
    bool raised = is_raised_word(start, end);
    if (scanned == TOKEN_CONVERT && !raised) { /* `in`: inches, behind a number or behind the `in` that converts */
        bool behind_number = lexer->last != TOKEN_SQUARE_CLOSE || lexer->tokens.at[lexer->tokens.count - 2].kind == TOKEN_NUMBER;
        if (!behind_number)
            return false;
        push_unit(lexer, kind, start, end);
        return true;
    }
    if (!raised && scanned != SCAN_UNIT_SIGN && (scanned != SCAN_NAME || *end == '('))
        return false;
    end = scan_unit(start);
    if (end == start)
        return false;
    while (*end == '(' && *start != '%' && end > start)
        end = cut_factor(start, end);
    if (end == start)
        return false;
    if (*start == '%' && end == start + 1)
        end = share_end(lexer, end);
    push_unit(lexer, kind, start, end);
    return true;
}

/* ---- Words and signs ------------------------------------------------------------ */

static void take_name(Lexer *lexer, const unsigned char *start)
{
    const unsigned char *end = lexer->cursor;
    if (*end != '(') {
        lexer_push(lexer, TOKEN_NAME, lexer_place(lexer, start), lexer_place(lexer, end), lexer_name(lexer, start, end));
        return;
    }
    lexer_push(lexer, TOKEN_CALL, lexer_place(lexer, start), lexer_place(lexer, end), lexer_name(lexer, start, end));
    open_bracket(lexer, '(', end, false);
    lexer->cursor = end + 1;
}

static bool converts_here(const Lexer *lexer)
{
    unsigned char top = top_bracket(lexer);
    return top == '(' || top == '{' || lexer->last == TOKEN_SHOWN;
}

/* A reserved word. */
static void take_word(Lexer *lexer, uint32_t kind, const unsigned char *start)
{
    Span at = lexer_span(lexer, start, lexer->cursor);
    Token *last = lexer->tokens.count > 0 ? &lexer->tokens.at[lexer->tokens.count - 1] : NULL;
    if (lexer->last == TOKEN_DOT && lexer->last_end == at.start)
        kind = TOKEN_NAME; /* a part may be called by any word */
    else if (kind == TOKEN_NOT && lexer->last == TOKEN_IS) {
        last->kind = lexer->last = TOKEN_IS_NOT;
        last->end = lexer->last_end = at.end;
        return;
    } else if (kind == TOKEN_BETWEEN && lexer->about == lexer->bracket_count + 1) {
        lexer->about = 0;
        if (lexer->last == TOKEN_COMMA)
            lexer->tokens.count--;
        kind = TOKEN_ABOUT_BETWEEN;
    } else if (kind == TOKEN_CONVERT && converts_here(lexer))
        lexer->wants_unit = true;
    else if ((kind == TOKEN_CONVERT || kind == TOKEN_NARROW) && !converts_here(lexer))
        kind = TOKEN_PREPOSITION;
    else if (kind == TOKEN_ABOUT)
        lexer->about = lexer->bracket_count + 1;
    else if (kind == TOKEN_WHEN && lexer->bracket_count == 0)
        lexer->binds = false;
    lexer_push(lexer, kind, at.start, at.end, lexer_name(lexer, start, lexer->cursor));
}

static void take_minus(Lexer *lexer, const unsigned char *start)
{
    const unsigned char *behind, *end;
    Span minus = lexer_span(lexer, start, lexer->cursor);
    unsigned kind = scan_token(lexer->cursor, &behind, &end);
    bool value = ends_value(lexer->last), touches = behind == lexer->cursor && kind != SCAN_NEWLINE && kind != SCAN_NUL;
    if (value && lexer->last_end != minus.start && !touches) {
        lexer_push(lexer, TOKEN_MINUS, minus.start, minus.end, 0);
        return;
    }
    if (!value && touches && kind == TOKEN_NUMBER) {
        lexer->cursor = end;
        take_number(lexer, start);
        return;
    }
    Span before = {0, 0};
    if (value)
        before = (Span){lexer->tokens.at[lexer->tokens.count - 1].start, lexer->last_end};
    bool begins_value = kind == SCAN_NAME || kind == TOKEN_NUMBER || kind == TOKEN_ROUND_OPEN;
    bool refused_next = kind >= SCAN_COMMA_NUMBER && kind <= SCAN_POINT_NUMBER;
    if (refused_next && !value)
        lexer_spoil(lexer); /* what is behind has the message */
    else if (!begins_value && lexer->last != TOKEN_BAD)
        lexer_say(lexer, SAY_strange_sign, minus, lexer_quote(lexer, minus), "A minus stands between two values, with blanks on both sides.");
    else if (lexer->last != TOKEN_BAD)
        refuse_minus(lexer, before, minus, lexer_span(lexer, behind, end));
    lexer_spoil(lexer);
    if (value)
        lexer_push(lexer, TOKEN_MINUS, minus.start, minus.end, 0);
}

static void close_bracket(Lexer *lexer, uint32_t kind, const unsigned char *start)
{
    unsigned char opener = kind == TOKEN_ROUND_CLOSE ? '(' : '[';
    Span at = lexer_span(lexer, start, lexer->cursor);
    if (top_bracket(lexer) == opener) {
        lexer->bracket_count--;
        lexer_push(lexer, kind, at.start, at.end, 0);
        lexer->wants_unit = kind == TOKEN_SQUARE_CLOSE;
        return;
    }
    if (!lexer->line.spoilt) {
        Message *message = lexer_say(lexer, SAY_bracket_surplus, at, lexer_quote(lexer, at), NULL);
        if (lexer->bracket_count > 0) {
            uint32_t place = lexer->brackets[lexer->bracket_count - 1].place;
            mistakes_also(lexer->mistakes, message, (Span){place, place + 1}, "this one is still open");
        }
    }
    lexer_spoil(lexer);
}

/* A sign of words.def. */
static void take_sign(Lexer *lexer, uint32_t kind, const unsigned char *start)
{
    Span at = lexer_span(lexer, start, lexer->cursor);
    switch (kind) {
    case TOKEN_MINUS:
        take_minus(lexer, start);
        return;
    case TOKEN_EQUAL:
        if (lexer->binds && lexer->bracket_count == 0) {
            lexer->binds = false;
            kind = TOKEN_BIND;
        }
        break;
    case TOKEN_ROUND_OPEN:
    case TOKEN_SQUARE_OPEN:
        open_bracket(lexer, *start, start, false);
        break;
    case TOKEN_ROUND_CLOSE:
    case TOKEN_SQUARE_CLOSE:
        close_bracket(lexer, kind, start);
        return;
    case TOKEN_COLON:
        lexer->colons++;
        break;
    default:
        break;
    }
    lexer_push(lexer, kind, at.start, at.end, 0);
}

/* An `about` only waits for a `between` right behind its value. */
static void settle_about(Lexer *lexer)
{
    const unsigned char *start, *end;
    bool asked = lexer->about == lexer->bracket_count + 1;
    if (asked && scan_token(lexer->cursor, &start, &end) != TOKEN_BETWEEN)
        lexer->about = 0;
}

static void take_scanned(Lexer *lexer, unsigned kind, const unsigned char *start)
{
    if (kind == SCAN_NAME) {
        take_name(lexer, start);
        return;
    }
    if (kind == TOKEN_NUMBER) {
        take_number(lexer, start);
        return;
    }
    Span at = lexer_span(lexer, start, lexer->cursor);
    switch (kind) {
    case TOKEN_DATE:        take_date(lexer, at); return;
    case TOKEN_CLOCK:       take_clock(lexer, at); return;
    case SCAN_COMMA_NUMBER: take_refused(lexer, refuse_comma, at); return;
    case SCAN_DASH_NUMBER:  take_refused(lexer, refuse_dash, at); return;
    case SCAN_UNCLEAR_DAY:  take_refused(lexer, refuse_day, at); return;
    case SCAN_POINT_NUMBER: take_refused(lexer, refuse_point, at); return;
    case SCAN_QUOTE:
        if (!closes_open_brace(lexer, start))
            take_text(lexer, at.start, true, *start != '"');
        return;
    case SCAN_BRACE_CLOSE:  close_brace(lexer, start); return;
    case SCAN_UNIT_SIGN:
        if (!take_unit(lexer, kind, start, lexer->cursor, TOKEN_UNIT_NAME))
            skip_strange(lexer, start);
        return;
    case SCAN_NUL:
    case SCAN_UNFIT:        skip_unfit(lexer, start); return;
    case SCAN_STRANGE:      skip_strange(lexer, start); return;
    default: break;
    }
    if ((*start >= 'a' && *start <= 'z'))
        take_word(lexer, kind, start);
    else
        take_sign(lexer, kind, start);
    if (kind == TOKEN_COMMA)
        settle_about(lexer);
}

/* ---- One after the other ----------------------------------------------------------- */

/* The end of the line that the cursor is in, with all lines on which it goes on. */
static const unsigned char *end_of_line(const Lexer *lexer)
{
    const unsigned char *at = lexer->cursor;
    bool comma = lexer->last == TOKEN_COMMA;
    for (;;) {
        const unsigned char *stop = memchr(at, '\n', (size_t)(lexer->limit - at));
        if (!stop)
            return lexer->limit;
        const unsigned char *last = stop;
        while (last > at && last[-1] <= ' ')
            last--;
        if (last > at)
            comma = last[-1] == ',';
        if (!comma)
            return stop;
        at = stop + 1;
    }
}

/* Gives the line up when it passes the limit. */
static void cut_line(Lexer *lexer)
{
    Span at = {lexer->line.start, lexer->line.head_end};
    if (lexer->mistakes->line_count == 0)
        lexer_say(lexer, SAY_line_too_long, at, NULL, NULL);
    lexer_spoil(lexer);
    lexer->cursor = end_of_line(lexer);
    lexer->last = TOKEN_BAD; /* what was cut off is not missed */
}

void lexeme_take_all(Lexer *lexer)
{
    const unsigned char *start, *end;
    for (;;) {
        unsigned kind = scan_token(lexer->cursor, &start, &end);
        lexer->cursor = end;
        bool wants_unit = lexer->wants_unit;
        lexer->wants_unit = false;
        if (kind == SCAN_NEWLINE || (kind == SCAN_NUL && start >= lexer->limit)) {
            lexer->cursor = start;
            return;
        }
        if (kind == SCAN_COMMENT)
            lexeme_comment(lexer, start);
        else if (!(wants_unit && take_unit(lexer, kind, start, end, lexer->last == 0 ? TOKEN_UNIT_NAME : TOKEN_UNIT)))
            take_scanned(lexer, kind, start);
        if (lexer->cursor > lexer->line_stop)
            cut_line(lexer);
    }
}
