/* Planted faults: sound scripts with one line replaced (faults.tsv), and the name of the rule or claim that must find it.
 * What a script uses is put into it in place of its `use` line, so that a fault may stand in a mill's script, too.
 */
#ifndef WATERLEAF_TESTS_RULES_FAULTS_H
#define WATERLEAF_TESTS_RULES_FAULTS_H

#include "table.h"

/* The script at PATH with what its first `use` line names in place of that line; from malloc. */
static inline char *fault_script(Checks *checks, const char *path)
{
    char *text = check_read(path, NULL), *use = text == NULL ? NULL : strstr(text, "\nuse \"");
    if (!check(checks, text != NULL, "there is no %s", path) || use == NULL)
        return text;
    const char *name = use + strlen("\nuse \""), *end = strchr(name, '"'), *slash = strrchr(path, '/');
    char used_path[512];
    snprintf(used_path, sizeof used_path, "%.*s/%.*s.wleaf", (int)(slash - path), path, (int)(end - name), name);
    char *used = check_read(used_path, NULL);
    Page page = {0};
    if (check(checks, used != NULL && strncmp(used, "waterleaf 1\n", 12) == 0, "%s: cannot use %s", path, used_path)) {
        page_add(&page, text, (size_t)(use + 1 - text));
        page_add(&page, used + 12, strlen(used + 12));
        page_add(&page, end + 1, strlen(end + 1));
    }
    free(used);
    free(text);
    return page.at;
}

/* The stretch of *AT up to the next " // ", from malloc; *AT is moved behind it. NULL: there is none. */
static inline char *fault_stretch(const char **at)
{
    if (*at == NULL)
        return NULL;
    const char *end = strstr(*at, " // ");
    char *stretch = check_copy(*at, end == NULL ? strlen(*at) : (size_t)(end - *at));
    *at = end == NULL ? NULL : end + strlen(" // ");
    return stretch;
}

/* TEXT, which it gives back, with WITH in place of its first line that says LINE; NULL: there is no such line. */
static inline char *fault_replace(char *text, const char *sought, const char *with)
{
    Page page = {0};
    unsigned found = 0;
    for (const char *line = text, *end; *line != '\0'; line = end + (*end != '\0')) {
        end = line + strcspn(line, "\n");
        bool here = found == 0 && table_same_line(line, end, sought);
        found += here;
        page_add(&page, here ? with : line, here ? strlen(with) : (size_t)(end - line));
        page_add(&page, "\n", 1);
    }
    free(text);
    if (found == 1)
        return page.at;
    free(page.at);
    return NULL;
}

/* Part 0 the script, 1 the line, 2 what stands in its place, 3 the name; where one slip shows in two lines, " // " parts them.
 * From malloc; NULL where a line is not there. */
static inline char *fault_plant(Checks *checks, const TableRow *row)
{
    char *text = fault_script(checks, row->part[0]);
    const char *lines = row->part[1], *withs = row->part[2];
    for (char *line, *with; text != NULL && (line = fault_stretch(&lines)) != NULL;) {
        with = fault_stretch(&withs);
        text = fault_replace(text, line, with == NULL ? "" : with);
        check(checks, text != NULL, "faults.tsv:%u: %s has no line %s", row->line, row->part[0], line);
        free(line);
        free(with);
    }
    return text;
}

#endif
