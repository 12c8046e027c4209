/* Limits: rules with one number on one side of it, on it, and on the other, one last shown digit apart. Rows of limits.tsv:
 *
 *   NAME    LINES    BELOW    AT    ABOVE    SPEAKS
 *
 * LINES are put into example.wleaf as those of an example are (example.h), each of the three numbers in turn in place of
 * their `_` (24|76: the first in place of the first, the second of the next). SPEAKS tells for each number how the rule must
 * speak: no, note, warning, error (once), yes (however often, as any of them), or - where this is not asked.
 *
 *   limits [NAME] [--stdlib FOLDER] [--show]
 */
#include "limits.h"

static void try_limit(Checks *checks, Workshop *workshop, Template *template, const TableRow *row, bool shown)
{
    const char *name = row->part[0];
    for (unsigned i = 0; i < LIMIT_NUMBERS; i++) {
        LimitSays says = limit_says(checks, row, i);
        if (says == LIMIT_NOT_ASKED)
            continue;
        Verdict verdict;
        char *script = limit_script(checks, template, row, i);
        if (judge(checks, workshop, name, script, NULL, &verdict) &&
            check(checks, verdict.unfit == 0, "limits.tsv:%u: not judged:%s", row->line, verdict.text))
            check(checks, limit_met(says, &verdict), "limits.tsv:%u: at %s %s must say: %s; said is:%s", row->line, row->part[2 + i], name,
                  limit_words[says], verdict.text);
        if (shown) {
            printf("---- %s at %s\n", name, row->part[2 + i]);
            show_said(workshop);
        }
        free(script);
    }
}

int main(int count, char **arguments)
{
    Checks checks = {.most_shown = 200};
    WorkshopWish wish = {0};
    const char *only = NULL;
    bool shown = false;
    for (int i = 1; i < count; i++) {
        if (strcmp(arguments[i], "--show") == 0)
            shown = true;
        else if (strcmp(arguments[i], "--stdlib") == 0 && i + 1 < count)
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
                    try_limit(&checks, workshop, &template, &rows.at[i], shown);
        template_close(&template);
    }
    workshop_close(workshop);
    table_free(&rows);
    return checks_end(&checks, "limits");
}
