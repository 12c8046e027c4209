/* Tidying: each line is taken apart into its head, its first argument and the rest; lines
 * that stand together are then set in columns.
 *
 *     head  first  rest, rest          # comment
 *
 * The lines of one block share their columns up to the next blank line or comment. A line that opens
 * or closes a block has none.
 */
#include "syntax/tidy.h"

#include "parser.h"
#include "syntax/lexer.h"

#include <string.h>

enum { INDENT = 2, GAP = 2, WIDEST_COLUMN = 24, PROCEDURES_DEEP = 64 };

typedef enum RowForm { ROW_LINE, ROW_OPENS, ROW_ENDS, ROW_COMMENT, ROW_BLANK } RowForm;

/* A line of what comes out. */
typedef struct Row {
    uint8_t form;
    bool first_alone;     /* the first argument is one word, and more stands behind it */
    uint16_t depth;
    uint32_t group;       /* of lines that share their columns */
    const char *head, *first, *rest; /* "" where there is none; a line break in it: the line goes on there */
    const char *comment;  /* behind it; NULL: none */
} Row;

typedef struct Columns { size_t head, first; uint32_t lines; } Columns;

typedef struct Tidying {
    ParseWorld *world;
    TidyWord *is_word;
    void *with;
    Arena arena;
    Lexer lexer;
    LIST(Row) rows;
    LIST(Columns) groups;
    uint32_t group[LIMIT_BLOCKS + 2]; /* by depth, the one at hand; 0: a new one begins */
    Tree comments;        /* of the lexer: only the comments in it */
    uint32_t next_comment;
    uint32_t depth;
    uint64_t procedures;  /* by depth, as bits: the block there is a procedure, or stands in one */
    uint32_t at;          /* up to where the script is put into rows */
    Text part;
} Tidying;

/* ---- spellings ---- */

static const char *spelled(uint32_t kind)
{
    switch (kind) {
    case TOKEN_PLUS: return "+";
    case TOKEN_MINUS: return "-";
    case TOKEN_TIMES: return "*";
    case TOKEN_OVER: return "/";
    case TOKEN_POWER: return "^";
    case TOKEN_EQUAL: case TOKEN_BIND: return "=";
    case TOKEN_UNEQUAL: return "<>";
    case TOKEN_LESS: return "<";
    case TOKEN_LESS_EQUAL: return "<=";
    case TOKEN_MORE: return ">";
    case TOKEN_MORE_EQUAL: return ">=";
    case TOKEN_RANGE: return "..";
    case TOKEN_IS_NOT: return "is not";
    case TOKEN_TOLERANCE: return "±";
    case TOKEN_ABOUT_BETWEEN: return ", between"; /* its comma is a part of it */
    default: return NULL;
    }
}

static const char *source_at(const Tidying *tidying, uint32_t place) { return (const char *)lexer_at(&tidying->lexer, place); }

/* A text begins and ends with plain quotes. */
static void put_text(Tidying *tidying, uint32_t start, uint32_t end)
{
    static const char *const curly[] = {"\xE2\x80\x9C", "\xE2\x80\x9D", "\xE2\x80\x9E"};
    const char *from = source_at(tidying, start), *to = source_at(tidying, end);
    for (size_t i = 0; i < 3; i++) {
        if (strncmp(from, curly[i], 3) == 0) {
            from += 2;
            text_char(&tidying->part, '"');
            from++;
            break;
        }
    }
    bool ends_curly = to - from >= 3 && (strncmp(to - 3, curly[0], 3) == 0 || strncmp(to - 3, curly[1], 3) == 0);
    text_add(&tidying->part, from, (size_t)(to - from) - (ends_curly ? 3 : 0));
    if (ends_curly) {
        text_char(&tidying->part, '"');
    }
}

static void put_token(Tidying *tidying, Token token)
{
    const char *sign = spelled(token.kind);
    if (sign != NULL) {
        text_put(&tidying->part, sign);
    } else if ((token.kind == TOKEN_UNIT || token.kind == TOKEN_UNIT_NAME) && token.value != 0) {
        text_put(&tidying->part, names_text(tidying->world->names, token.value));
    } else if (token.kind == TOKEN_TEXT || token.kind == TOKEN_TEXT_OPEN || token.kind == TOKEN_TEXT_CLOSE) {
        put_text(tidying, token.start, token.end);
    } else {
        text_add(&tidying->part, source_at(tidying, token.start), token.end - token.start);
        if (token.kind == TOKEN_CALL) {
            text_char(&tidying->part, '(');
        }
    }
}

/* ---- blanks between tokens ---- */

static bool is_quantity(uint32_t kind) { return kind == TOKEN_NUMBER || kind == TOKEN_UNIT || kind == TOKEN_DATE || kind == TOKEN_CLOCK; }

/* Kinds of the tokens around a place in a line: two in front of it and two behind. */
typedef struct Around { uint32_t far_before, before, behind, far_behind; } Around;

/* Whether a blank stands there; TYPED: whether one did. */
static bool is_apart(Around at, bool typed)
{
    uint32_t before = at.before, behind = at.behind;
    if (behind == TOKEN_COMMA || behind == TOKEN_ROUND_CLOSE || behind == TOKEN_SQUARE_CLOSE || behind == TOKEN_DOT || before == TOKEN_DOT || behind == TOKEN_ABOUT_BETWEEN
        || before == TOKEN_ROUND_OPEN || before == TOKEN_SQUARE_OPEN || before == TOKEN_CALL) {
        return false;
    }
    if (before == TOKEN_TEXT_OPEN || before == TOKEN_TEXT_MIDDLE || behind == TOKEN_TEXT_MIDDLE || behind == TOKEN_TEXT_CLOSE) {
        return false;
    }
    if (behind == TOKEN_RANGE || before == TOKEN_RANGE) {
        bool plain = behind == TOKEN_RANGE ? is_quantity(before) && is_quantity(at.far_behind) : is_quantity(at.far_before) && is_quantity(behind);
        return typed && !plain;
    }
    return true;
}

/* ---- one line ---- */

static const char *taken(Tidying *tidying)
{
    const char *text = arena_copy(&tidying->arena, tidying->part.at == NULL ? "" : tidying->part.at, tidying->part.length);
    text_clear(&tidying->part);
    return text;
}

/* The comments in front of PLACE that are not put anywhere yet stand within a line that goes on. */
static void put_inner_comments(Tidying *tidying, uint32_t place)
{
    while (tidying->next_comment < tidying->comments.comments.count) {
        Span comment = tidying->comments.comments.at[tidying->next_comment];
        if (comment.start >= place) {
            return;
        }
        bool own = true; /* nothing stands in front of it on its line */
        for (const char *at = source_at(tidying, comment.start); at > (const char *)tidying->lexer.text && at[-1] != '\n' && own; at--) {
            own = at[-1] == ' ' || at[-1] == '\t';
        }
        text_put(&tidying->part, own ? "\n" : "  ");
        text_add(&tidying->part, source_at(tidying, comment.start), comment.end - comment.start);
        while (tidying->part.length > 0 && (tidying->part.at[tidying->part.length - 1] == ' ' || tidying->part.at[tidying->part.length - 1] == '\r')) {
            tidying->part.at[--tidying->part.length] = 0;
        }
        tidying->next_comment++;
    }
}

static bool has_break(const Tidying *tidying, uint32_t from, uint32_t to)
{
    return to > from && memchr(source_at(tidying, from), '\n', to - from) != NULL;
}

static bool is_word(const Tidying *tidying, Token token)
{
    return token.kind == TOKEN_PREPOSITION || (token.kind == TOKEN_NAME && tidying->is_word != NULL && tidying->is_word(tidying->with, token.value));
}

static bool in_procedure(const Tidying *tidying)
{
    return tidying->depth > 0 && tidying->depth < PROCEDURES_DEEP && (tidying->procedures >> tidying->depth & 1) != 0;
}

/* In a procedure a further argument has a comma in front of it: a word that opens one, or a number, behind a value. */
static bool wants_comma(const Tidying *tidying, uint32_t token, uint32_t brackets)
{
    Token last = tidying->lexer.tokens.at[token - 1], at = tidying->lexer.tokens.at[token];
    bool name = last.kind == TOKEN_NAME && !is_word(tidying, last);
    bool value = is_quantity(last.kind) || last.kind == TOKEN_TEXT || last.kind == TOKEN_TEXT_CLOSE || last.kind == TOKEN_ROUND_CLOSE
        || last.kind == TOKEN_SQUARE_CLOSE;
    bool opens = is_word(tidying, at) || (at.kind == TOKEN_NUMBER && value);
    return brackets == 0 && token > 1 && opens && (value || name) && in_procedure(tidying);
}

static Around around(const Tidying *tidying, uint32_t place, uint32_t end)
{
    const Token *at = tidying->lexer.tokens.at;
    return (Around){place > 1 ? at[place - 2].kind : 0, at[place - 1].kind, at[place].kind, place + 1 < end ? at[place + 1].kind : 0};
}

/* Tokens FIRST up to END as they are written. */
static const char *put_tokens(Tidying *tidying, uint32_t first, uint32_t end, bool commas)
{
    const Lexer *lexer = &tidying->lexer;
    uint32_t brackets = 0;
    for (uint32_t i = first; i < end; i++) {
        Token token = lexer->tokens.at[i];
        if (i > first) {
            Token before = lexer->tokens.at[i - 1];
            bool typed = token.start > before.end + (before.kind == TOKEN_CALL);
            if (before.kind == TOKEN_COMMA && has_break(tidying, before.end, token.start)) {
                put_inner_comments(tidying, token.start);
                text_char(&tidying->part, '\n');
            } else if (commas && wants_comma(tidying, i, brackets)) {
                text_put(&tidying->part, ", ");
            } else if (is_apart(around(tidying, i, end), typed)) {
                text_put(&tidying->part, brackets == 0 && (token.kind == TOKEN_ORIGIN || token.kind == TOKEN_SHOWN) ? "  " : " ");
            }
        }
        put_token(tidying, token);
        brackets += token.kind == TOKEN_CALL || token.kind == TOKEN_ROUND_OPEN || token.kind == TOKEN_SQUARE_OPEN || token.kind == TOKEN_TEXT_OPEN;
        brackets -= token.kind == TOKEN_ROUND_CLOSE || token.kind == TOKEN_SQUARE_CLOSE || token.kind == TOKEN_TEXT_CLOSE;
    }
    return taken(tidying);
}

/* Whether the first argument is a word or text of its own, behind which another argument begins without a comma. */
static bool stands_alone(const Tidying *tidying, uint32_t first)
{
    const Lexer *lexer = &tidying->lexer;
    if (first + 1 >= lexer->tokens.count || has_break(tidying, lexer->tokens.at[first].end, lexer->tokens.at[first + 1].start)) {
        return false;
    }
    uint32_t kind = lexer->tokens.at[first].kind, next = lexer->tokens.at[first + 1].kind;
    bool begins = next == TOKEN_PREPOSITION || next == TOKEN_FROM || next == TOKEN_NARROW || next == TOKEN_NUMBER || next == TOKEN_NAME || next == TOKEN_TEXT
        || next == TOKEN_TEXT_OPEN || next == TOKEN_ABOUT || next == TOKEN_DATE || next == TOKEN_BIND || next == TOKEN_ORIGIN || next == TOKEN_SHOWN
        || next == TOKEN_CALL || next == TOKEN_SQUARE_OPEN || next == TOKEN_ROUND_OPEN || next == TOKEN_EACH;
    return (kind == TOKEN_NAME || kind == TOKEN_TEXT || kind == TOKEN_UNIT_NAME) && begins
        && !(in_procedure(tidying) && is_word(tidying, lexer->tokens.at[first]));
}

/* Lines that are read like a sentence: in columns, `each made from steps` and `takes losing lost as share` would be torn apart. */
static bool reads_on(const char *head)
{
    return strcmp(head, "each") == 0 || strcmp(head, "change") == 0 || strcmp(head, "takes") == 0;
}

/* A comment on the same line, behind its last token. */
static const char *comment_behind(Tidying *tidying, uint32_t end)
{
    if (tidying->next_comment >= tidying->comments.comments.count) {
        return NULL;
    }
    Span comment = tidying->comments.comments.at[tidying->next_comment];
    if (comment.start < end || has_break(tidying, end, comment.start)) {
        return NULL;
    }
    tidying->next_comment++;
    size_t length = comment.end - comment.start;
    const char *text = source_at(tidying, comment.start);
    while (length > 1 && (text[length - 1] == ' ' || text[length - 1] == '\t' || text[length - 1] == '\r')) {
        length--;
    }
    tidying->at = comment.end;
    return arena_copy(&tidying->arena, text, length);
}

static Row *add_row(Tidying *tidying, RowForm form)
{
    list_push(tidying->world->memory, &tidying->rows, (Row){.form = (uint8_t)form, .depth = (uint16_t)tidying->depth,
                                                             .head = "", .first = "", .rest = ""});
    return &tidying->rows.at[tidying->rows.count - 1];
}

/* ---- columns ---- */

static void end_groups(Tidying *tidying) { memset(tidying->group, 0, sizeof tidying->group); }

/* The row joins the lines of its block that share their columns. */
static void join_group(Tidying *tidying, Row *row)
{
    Memory *memory = tidying->world->memory;
    if (tidying->groups.count == 0) {
        list_add(memory, &tidying->groups);
    }
    uint32_t *at = &tidying->group[tidying->depth];
    *at = *at != 0 ? *at : list_add(memory, &tidying->groups);
    row->group = *at;
    Columns *columns = &tidying->groups.at[*at];
    size_t head = utf8_columns(row->head, strlen(row->head)), one = utf8_columns(row->first, strlen(row->first));
    columns->lines++;
    columns->head = *row->first != 0 && head > columns->head && head <= WIDEST_COLUMN ? head : columns->head;
    columns->first = row->first_alone && one > columns->first && one <= WIDEST_COLUMN ? one : columns->first;
}

/* ---- what stands between lines ---- */

static uint32_t breaks(const Tidying *tidying, uint32_t from, uint32_t to)
{
    uint32_t count = 0;
    for (const char *at = source_at(tidying, from), *end = source_at(tidying, to); at < end; at++) {
        count += *at == '\n' || (*at == '\r' && (at + 1 == end || at[1] != '\n'));
    }
    return count;
}

/* Comments and blank lines up to PLACE: of several blank lines one stays, none at the head of the script. */
static void put_between(Tidying *tidying, uint32_t place)
{
    for (;;) {
        const Span *comments = tidying->comments.comments.at;
        bool comment = tidying->next_comment < tidying->comments.comments.count && comments[tidying->next_comment].start < place;
        uint32_t until = comment ? comments[tidying->next_comment].start : place;
        if (breaks(tidying, tidying->at, until) > 1 && tidying->rows.count > 0) {
            add_row(tidying, ROW_BLANK);
            end_groups(tidying);
        }
        tidying->at = until;
        if (!comment) {
            return;
        }
        uint32_t end = comments[tidying->next_comment].end; /* which comment_behind may pass over */
        const char *text = comment_behind(tidying, until);
        add_row(tidying, ROW_COMMENT)->comment = text;
        tidying->at = end;
        end_groups(tidying);
    }
}

/* ---- a line of the script ---- */

static void put_line(Tidying *tidying)
{
    const Line line = tidying->lexer.line;
    bool ends = line.head == HEAD_END;
    /* a comment in front of an `end` belongs to what is inside */
    put_between(tidying, line.start);
    if (ends && tidying->depth > 0) {
        tidying->depth--;
    }
    uint32_t first = line.head == HEAD_WHEN ? 1 : 0, count = tidying->lexer.tokens.count;
    const char *head = arena_copy(&tidying->arena, source_at(tidying, line.start), line.head_end - line.start);
    bool alone = !line.opens && !ends && first < count && !reads_on(head) && stands_alone(tidying, first);
    bool procedure = in_procedure(tidying);
    const char *one = put_tokens(tidying, first, alone ? first + 1 : count, !alone && procedure);
    const char *rest = alone ? put_tokens(tidying, first + 1, count, procedure) : "";
    Row *row = add_row(tidying, ends ? ROW_ENDS : line.opens ? ROW_OPENS : ROW_LINE);
    row->head = head;
    row->first = one;
    row->rest = rest;
    row->first_alone = alone;
    bool plain = tidying->depth == 0 && (strcmp(head, "waterleaf") == 0 || strcmp(head, "use") == 0);
    if (row->form == ROW_LINE && !plain) {
        join_group(tidying, row);
    }
    tidying->at = line.end;
    uint32_t place = tidying->rows.count - 1;
    const char *comment = comment_behind(tidying, line.end);
    tidying->rows.at[place].comment = comment;
    if (line.opens && tidying->depth <= LIMIT_BLOCKS) {
        tidying->depth++;
        tidying->group[tidying->depth] = 0;
        bool inside = procedure || strcmp(head, "procedure") == 0;
        if (tidying->depth < PROCEDURES_DEEP) {
            tidying->procedures = (tidying->procedures & ~(UINT64_C(1) << tidying->depth)) | (uint64_t)inside << tidying->depth;
        }
    }
}

/* ---- putting it down ---- */

static void put_blanks(Text *out, size_t count)
{
    while (count-- > 0) {
        text_char(out, ' ');
    }
}

/* TEXT, its further lines a step deeper than DEPTH. */
static void put_broken(Text *out, const char *text, uint32_t depth)
{
    for (const char *at = text; *at != 0; at++) {
        text_char(out, *at);
        if (*at == '\n') {
            put_blanks(out, (depth + 1) * INDENT);
        }
    }
}

static void put_row(Text *out, const Row *row, Columns columns)
{
    size_t head = utf8_columns(row->head, strlen(row->head)), one = utf8_columns(row->first, strlen(row->first));
    bool alone = row->group == 0 || columns.lines < 2;
    put_blanks(out, row->depth * INDENT);
    text_put(out, row->head);
    if (*row->first != 0) {
        put_blanks(out, alone || head > columns.head ? 1 : columns.head - head + GAP);
        put_broken(out, row->first, row->depth);
    }
    if (*row->rest != 0) {
        put_blanks(out, alone || one > columns.first ? 1 : columns.first - one + GAP);
        put_broken(out, row->rest, row->depth);
    }
    if (row->form == ROW_OPENS) {
        text_char(out, ':');
    }
    if (row->comment != NULL) {
        put_blanks(out, row->form == ROW_COMMENT ? 0 : GAP);
        text_put(out, row->comment);
    }
    text_char(out, '\n');
}

static void put_rows(const Tidying *tidying, Text *out)
{
    for (uint32_t i = 0; i < tidying->rows.count; i++) {
        const Row *row = &tidying->rows.at[i];
        if (row->form == ROW_BLANK) {
            text_char(out, '\n');
        } else {
            put_row(out, row, row->group == 0 ? (Columns){0} : tidying->groups.at[row->group]);
        }
    }
}

void tidy_script(ParseWorld *world, uint32_t number, TidyWord *is_argument_word, void *with, Text *out)
{
    Source source = world->sources->list.at[number];
    const unsigned char *text = (const unsigned char *)sources_text(world->sources, &source);
    Messages silent;
    Mistakes mistakes;
    UnitSpellings units = {0};
    Tidying tidying = {.world = world, .is_word = is_argument_word, .with = with, .at = source.base};
    messages_open(&silent, world->memory);
    silent.muted = true;
    mistakes_open(&mistakes, world->memory, &silent, text, source.base);
    arena_open(&tidying.arena, world->memory);
    tree_open(&tidying.comments, world->memory);
    text_open(&tidying.part, world->memory);
    lexer_open(&tidying.lexer, world->memory, world->names, &tidying.comments, &mistakes, &units, text, source.length, source.base);
    while (lexer_line(&tidying.lexer)) {
        put_line(&tidying);
    }
    put_between(&tidying, source.base + source.length);
    if (tidying.rows.count > 0 && tidying.rows.at[tidying.rows.count - 1].form == ROW_BLANK) {
        tidying.rows.count--;
    }
    put_rows(&tidying, out);
    lexer_close(&tidying.lexer);
    mistakes_close(&mistakes);
    messages_close(&silent);
    memory_return(world->memory, units.of.at);
    memory_return(world->memory, tidying.rows.at);
    memory_return(world->memory, tidying.groups.at);
    memory_return(world->memory, tidying.comments.nodes.at);
    memory_return(world->memory, tidying.comments.numbers.at);
    memory_return(world->memory, tidying.comments.comments.at);
    memory_return(world->memory, tidying.comments.scripts.at);
    text_close(&tidying.part);
    arena_close(&tidying.arena);
}
