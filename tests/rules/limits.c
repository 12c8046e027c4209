/* Limits: rules with one number on one side of it, on it, and on the other, one last shown digit apart. Rows of limits.tsv:
 *
 *   NAME    LINES    BELOW    AT    ABOVE    SPEAKS
 *
 * LINES are put into example.wleaf as those of an example are (example.h), each of the three numbers in turn in place of
 * their `_`. SPEAKS tells for each number whether the rule must speak: yes, no, or - where this is not asked.
 *
 *   limits [NAME ...] [--stdlib FOLDER]
 */
#include "limits.h"

static void try_limit(Checks *checks, Workshop *workshop, Template *template, const TableRow *row)
{
    const char *name = row->part[0];
    for (unsigned i = 0; i < LIMIT_NUMBERS; i++) {
        bool speaks;
        if (!limit_speaks(checks, row, i, &speaks))
            continue;
        Verdict verdict;
        char *script = limit_script(checks, template, row, i);
        if (judge(checks, workshop, name, script, NULL, &verdict))
            check(checks, (verdict.of_rule > 0) == speaks, "limits.tsv:%u: at %s %s %s; said is:%s", row->line, row->part[2 + i], name,
                  speaks ? "must speak" : "must not speak", verdict.text);
        free(script);
    }
}

int main(int count, char **arguments)
{
    Checks checks = {.most_shown = 200};
    WorkshopWish wish = {0};
    const char *only = NULL;
    for (int i = 1; i < count; i++) {
        if (strcmp(arguments[i], "--stdlib") == 0 && i + 1 < count)
            wish.stdlib = arguments[++i];
        else
            only = arguments[i];
    }
    TableRows rows = table_read(&checks, "tests/rules/limits.tsv", 6);
    Workshop *workshop = workshop_open(&wish);
    if (check(&checks, workshop != NULL && rows.count > 0, "no workshop, or no limits")) {
        Template template;
        if (template_open(&checks, workshop, "tests/rules/example.wleaf", &template))
            for (size_t i = 0; i < rows.count; i++)
                if (only == NULL || strcmp(rows.at[i].part[0], only) == 0)
                    try_limit(&checks, workshop, &template, &rows.at[i]);
        template_close(&template);
    }
    workshop_close(workshop);
    table_free(&rows);
    return checks_end(&checks, "limits");
}
