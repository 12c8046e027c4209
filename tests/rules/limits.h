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

/* Whether the row tells what its rule does at number NUMBER, and what. */
static inline bool limit_speaks(Checks *checks, const TableRow *row, unsigned number, bool *speaks)
{
    const char *at = row->part[5];
    for (unsigned i = 0; i < number; i++)
        at += strcspn(at, " ") + (at[strcspn(at, " ")] != '\0');
    size_t length = strcspn(at, " ");
    *speaks = length == 3 && strncmp(at, "yes", 3) == 0;
    bool quiet = length == 2 && strncmp(at, "no", 2) == 0;
    if (!*speaks && !quiet)
        check(checks, length == 1 && *at == '-', "limits.tsv:%u: not yes, no or -: %s", row->line, row->part[5]);
    return *speaks || quiet;
}

/* example.wleaf with the row's lines, and its number NUMBER in them; from malloc. */
static inline char *limit_script(Checks *checks, Template *template, const TableRow *row, unsigned number)
{
    Page lines = {0};
    unsigned put = 0;
    for (const char *at = row->part[1]; *at != '\0'; at++)
        if (*at == '_') {
            page_add(&lines, row->part[2 + number], strlen(row->part[2 + number]));
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
