/* The tables beside the tests of rules: rows of parts between tabs; \n in a part stands for a new line. */
#ifndef WATERLEAF_TESTS_RULES_TABLE_H
#define WATERLEAF_TESTS_RULES_TABLE_H

#include "../check.h"

#include <ctype.h>

enum { TABLE_PARTS = 8 };

typedef struct TableRow { char *part[TABLE_PARTS]; unsigned count, line; } TableRow;

typedef struct TableRows { TableRow *at; size_t count; char *text; } TableRows;

/* In place: \n becomes a new line. */
static inline void table_unfold(char *part)
{
    char *into = part;
    for (const char *at = part; *at != '\0'; at++)
        if (at[0] == '\\' && at[1] == 'n') {
            *into++ = '\n';
            at++;
        } else {
            *into++ = *at;
        }
    *into = '\0';
}

/* All rows of PATH that have PARTS parts; lines that begin with # are comments, an empty part is -. */
static inline TableRows table_read(Checks *checks, const char *path, unsigned parts)
{
    TableRows rows = {.text = check_read(path, NULL)};
    unsigned number = 0;
    check(checks, rows.text != NULL, "there is no %s", path);
    for (char *line = rows.text, *next; line != NULL && *line != '\0'; line = next) {
        next = line + strcspn(line, "\n");
        if (*next != '\0')
            *next++ = '\0';
        number++;
        if (line[0] == '#' || line[0] == '\0')
            continue;
        TableRow row = {.part = {line}, .count = 1, .line = number};
        for (char *at = line; *at != '\0' && row.count < TABLE_PARTS; at++)
            if (*at == '\t') {
                *at = '\0';
                row.part[row.count++] = at + 1;
            }
        if (!check(checks, row.count == parts, "%s:%u: %u parts, not %u", path, number, row.count, parts))
            continue;
        for (unsigned i = 0; i < row.count; i++)
            if (strcmp(row.part[i], "-") == 0)
                *row.part[i] = '\0';
            else
                table_unfold(row.part[i]);
        rows.at = check_resize(rows.at, (rows.count + 1) * sizeof row);
        rows.at[rows.count++] = row;
    }
    return rows;
}

static inline void table_free(TableRows *rows)
{
    free(rows->at);
    free(rows->text);
    *rows = (TableRows){0};
}

/* Whether the line at AT, up to END, says what WORDS say, however they are spaced; a comment behind it does not count. */
static inline bool table_same_line(const char *at, const char *end, const char *words)
{
    for (;;) {
        while (at < end && isblank((unsigned char)*at))
            at++;
        while (isblank((unsigned char)*words))
            words++;
        if (*words == '\0')
            return at == end || *at == '#';
        while (at < end && *words != '\0' && !isblank((unsigned char)*at) && *at == *words) {
            at++;
            words++;
        }
        bool ends = at == end || isblank((unsigned char)*at);
        if (!ends || !(*words == '\0' || isblank((unsigned char)*words)))
            return false;
    }
}

#endif
