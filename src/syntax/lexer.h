/* From bytes to the tokens of one line.
 *
 * The lexer settles here what a lexeme means where it stands: whether `in` is
 * inches, whether `=` binds, what a minus is, where a line goes on. What can be
 * read in two ways it refuses (refuse.h), and goes on behind it.
 */
#ifndef WATERLEAF_SYNTAX_LEXER_H
#define WATERLEAF_SYNTAX_LEXER_H

#include "base/limits.h"
#include "base/text.h"
#include "syntax/mistakes.h"
#include "syntax/token.h"
#include "syntax/tree.h"
#include "syntax/unit_spelling.h"

typedef struct Bracket {
    uint32_t place;
    unsigned char sign;  /* ( [ { */
    bool curly;          /* of {: the text around it began with a curly quote */
} Bracket;

typedef enum LineHead { HEAD_NONE, HEAD_WORD, HEAD_WHEN, HEAD_END } LineHead;

/* What is known of the line just read, beside its tokens. */
typedef struct Line {
    LineHead head;
    Name word;           /* of the head */
    uint32_t start;
    uint32_t head_end;
    uint32_t end;        /* behind the last lexeme, the `:` included */
    uint32_t indent;     /* in columns */
    bool opens;          /* it ends in `:` */
    bool spoilt;         /* something was skipped; a message was said */
} Line;

typedef struct Lexer {
    Memory *memory;
    Names *names;        /* NULL: count only, intern nothing */
    Tree *tree;          /* takes the comments */
    Mistakes *mistakes;
    UnitSpellings *units;
    const unsigned char *text, *cursor, *limit;
    const unsigned char *line_stop; /* where the line passes the limit */
    uint32_t base;
    LIST(Token) tokens;  /* of the line */
    Line line;
    Bracket brackets[LIMIT_BRACKETS];
    uint32_t bracket_count;
    uint32_t last;       /* kind of the token before; 0 at the line's start */
    uint32_t last_end;   /* its end */
    uint32_t about;      /* an `about` inside so many brackets, less one, waits for its `between`; 0: none */
    uint32_t colons;     /* in the line so far */
    bool binds;          /* the next `=` outside brackets binds */
    bool unit_head;      /* the line is headed `unit` */
    bool wants_unit;     /* a word here is a unit */
    bool unfit_said;     /* in this line */
    Text piece;          /* of a text with escapes */
} Lexer;

void lexer_open(Lexer *lexer, Memory *memory, Names *names, Tree *tree, Mistakes *mistakes, UnitSpellings *units,
                const unsigned char *text, uint32_t length, uint32_t base);
void lexer_close(Lexer *lexer);

/* Reads the next line that is not blank; false at the end of the script. */
bool lexer_line(Lexer *lexer);

static inline uint32_t lexer_place(const Lexer *lexer, const unsigned char *at)
{
    return lexer->base + (uint32_t)(at - lexer->text);
}

static inline const unsigned char *lexer_at(const Lexer *lexer, uint32_t place)
{
    return lexer->text + (place - lexer->base);
}

static inline Span lexer_span(const Lexer *lexer, const unsigned char *start, const unsigned char *end)
{
    return (Span){lexer_place(lexer, start), lexer_place(lexer, end)};
}

/* Adds a token to the line. */
static inline void lexer_push(Lexer *lexer, uint32_t kind, uint32_t start, uint32_t end, uint32_t value)
{
    list_push(lexer->memory, &lexer->tokens, (Token){start, end, value, kind});
    lexer->last = kind;
    lexer->last_end = end;
}

/* The Name of what is written there; 0 when only counting, and for what passes the limit of a line. */
static inline Name lexer_name(Lexer *lexer, const unsigned char *start, const unsigned char *end)
{
    if (!lexer->names || end - start > LIMIT_LINE_BYTES)
        return 0;
    return names_intern(lexer->names, lexer->memory, (const char *)start, (size_t)(end - start));
}

/* Says KIND at AT, with up to two words. NULL when nothing more is said. */
static inline Message *lexer_say(Lexer *lexer, MessageName kind, Span at, const char *one, const char *two)
{
    return mistakes_say(lexer->mistakes, kind, at, one, two, NULL, NULL);
}

static inline const char *lexer_quote(Lexer *lexer, Span at)
{
    return mistakes_quote(lexer->mistakes, at.start, at.end);
}

/* Marks the line as not readable whole: something in it was skipped. */
static inline void lexer_spoil(Lexer *lexer)
{
    lexer->line.spoilt = true;
}

#endif
