/* The rows of limits.tsv as scripts; limits.c says how they are written. */
#ifndef WATERLEAF_TESTS_RULES_LIMITS_H
#define WATERLEAF_TESTS_RULES_LIMITS_H

#include "example.h"
#include "table.h"

enum { LIMIT_NUMBERS = 3 };

/* The lines of TEXT as pieces; one that ends in a colon takes those up to its `end` with it. */
static inline Pieces pieces_of_text(const char *text)
{
    Pieces pieces = {0};
    while (*text != '\0') {
        const char *end = text;
        int depth = 0;
        do {
            const char *start = end + (end > text);
            end = start + strcspn(start, "\n");
            depth += end > start && end[-1] == ':';
            depth -= strncmp(start + strspn(start, " "), "end", 3) == 0 && end - start - (long)strspn(start, " ") == 3;
        } while (depth > 0 && *end != '\0');
        const char *at = text;
        Piece piece = {.head = piece_word(&at, end), .text = check_copy(text, (size_t)(end - text)), .block = memchr(text, '\n', (size_t)(end - text)) != NULL};
        piece.second = piece_word(&at, end);
        pieces.at = check_resize(pieces.at, (pieces.count + 1) * sizeof piece);
        pieces.at[pieces.count++] = piece;
        text = end + (*end != '\0');
    }
    return pieces;
}

/* What a row asks of its rule at one number. */
typedef enum LimitSays { LIMIT_QUIET, LIMIT_NOTE, LIMIT_WARNING, LIMIT_ERROR, LIMIT_YES, LIMIT_NOT_ASKED, LIMIT_SAYS } LimitSays;

static const char *const limit_words[LIMIT_SAYS] = {"no", "note", "warning", "error", "yes", "-"};

static inline LimitSays limit_says(Checks *checks, const TableRow *row, unsigned number)
{
    const char *at = row->part[5];
    for (unsigned i = 0; i < number; i++)
        at += strcspn(at, " ") + (at[strcspn(at, " ")] != '\0');
    for (int says = 0; says < LIMIT_SAYS; says++)
        if (strcspn(at, " ") == strlen(limit_words[says]) && strncmp(at, limit_words[says], strlen(limit_words[says])) == 0)
            return (LimitSays)says;
    check(checks, false, "limits.tsv:%u: not three of no, note, warning, error, yes and -: %s", row->line, row->part[5]);
    return LIMIT_NOT_ASKED;
}

static inline bool limit_met(LimitSays says, const Verdict *verdict)
{
    if (says == LIMIT_NOT_ASKED)
        return true;
    if (says == LIMIT_QUIET || says == LIMIT_YES)
        return (verdict->of_rule > 0) == (says == LIMIT_YES);
    return verdict->of_rule == 1 && (int)verdict->worst == (int)says - (int)LIMIT_NOTE;
}

/* Adds the next of the numbers at *AT, which stand between strokes; the last stands for all that follow. */
static inline void limit_number(Page *page, const char **at)
{
    size_t length = strcspn(*at, "|");
    page_add(page, *at, length);
    if ((*at)[length] == '|')
        *at += length + 1;
}

/* example.wleaf with the row's lines, and its number NUMBER in them; from malloc. */
static inline char *limit_script(Checks *checks, Template *template, const TableRow *row, unsigned number)
{
    Page lines = {0};
    unsigned put = 0;
    const char *value = row->part[2 + number];
    for (const char *at = row->part[1]; *at != '\0'; at++)
        if (*at == '_') {
            limit_number(&lines, &value);
            put++;
        } else {
            page_add(&lines, at, 1);
        }
    check(checks, put > 0, "limits.tsv:%u: no _ in its lines", row->line);
    Pieces pieces = pieces_of_text(lines.at);
    char *script = template_fill(checks, template, row->part[0], &pieces);
    pieces_free(&pieces);
    free(lines.at);
    return script;
}

#endif
