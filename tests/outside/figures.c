/* Figures and functions of stdlib against what others have published: figures.tsv. Each row is asked as a figure of its own,
 * of a paper of that grammage.
 *
 *   figures [--stdlib FOLDER]
 */
#include "../rules/table.h"
#include "waterleaf.h"

#include <math.h>

typedef struct Asked { Checks *checks; TableRows rows; bool *seen; } Asked;

static const char paper[] =
    "paper sheets:\n"
    "  title     \"Sheets of {weight in g/m²}\"\n"
    "  vary      weight over %s\n"
    "  mould     a4\n"
    "  grammage  weight\n"
    "  furnish:\n"
    "    cotton-linters  100 %%\n"
    "  end\n"
    "  procedure:\n"
    "    beat        cotton-linters at 2.5 %%, for 20 min\n"
    "    blend\n"
    "    charge-vat  to 1 %%\n"
    "    form        into posts of 20, surplus to beater\n"
    "    press       at 700 kPa, for 15 min\n"
    "    loft-dry    for 2 d\n"
    "  end\n"
    "end\n";

static void write_script(Page *page, const TableRows *rows)
{
    Page weights = {0};
    page_print(page, "waterleaf 1\n");
    for (size_t i = 0; i < rows->count; i++) {
        page_print(page, "reckon asked-%zu as %s = %s\n", i, rows->at[i].part[1], rows->at[i].part[2]);
        bool seen = false;
        for (size_t j = 0; j < i; j++)
            seen |= strcmp(rows->at[j].part[0], rows->at[i].part[0]) == 0;
        if (!seen)
            page_print(&weights, "%s%s g/m²", weights.length > 0 ? ", " : "", rows->at[i].part[0]);
    }
    page_print(page, paper, weights.at);
    free(weights.at);
}

/* Base units in one of the units that the rows name. */
static double factor_of(const World *world, const char *unit)
{
    if (strcmp(unit, "%") == 0)
        return 0.01;
    Name name = names_find(&world->names, unit, strlen(unit));
    UnitId id = name != 0 && name < world->unit_by_name.count ? world->unit_by_name.at[name] : 0;
    return id == 0 ? strcmp(unit, "mN") == 0 ? 0.001 : 0 : world->units.at[id].factor;
}

static void compare(Asked *asked, const World *world, const TableRow *row, const Quantity *found)
{
    bool none = strcmp(row->part[4], "none") == 0;
    double factor = factor_of(world, row->part[3]), value = found->value / factor;
    if (none || !found->told || factor == 0)
        check(asked->checks, none && !found->told, "figures.tsv:%u: %s is %s", row->line, row->part[2], found->told ? "told" : "not told");
    else
        check(asked->checks, fabs(value - strtod(row->part[4], NULL)) <= strtod(row->part[5], NULL), "figures.tsv:%u: %s is %.6g %s, not %s (%s)",
              row->line, row->part[2], value, row->part[3], row->part[4], row->part[6]);
}

static bool look_up(void *with, Workshop *workshop, const Outcome *outcome)
{
    Asked *asked = with;
    for (uint32_t f = 0; f < outcome->figure_count; f++)
        for (size_t i = 0; i < asked->rows.count; i++) {
            const TableRow *row = &asked->rows.at[i];
            char name[32], title[64];
            snprintf(name, sizeof name, "asked-%zu", i);
            snprintf(title, sizeof title, "Sheets of %s g/m²", row->part[0]);
            if (strcmp(outcome->figures[f].name, name) == 0 && strcmp(outcome->title, title) == 0) {
                compare(asked, workshop_world(workshop), row, &outcome->figures[f].quantity);
                asked->seen[i] = true;
            }
        }
    return true;
}

int main(int count, char **arguments)
{
    Checks checks = {.most_shown = 200};
    Asked asked = {.checks = &checks, .rows = table_read(&checks, "tests/outside/figures.tsv", 7)};
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = count > 2 ? arguments[2] : NULL});
    Page page = {0};
    asked.seen = calloc(asked.rows.count + 1, sizeof *asked.seen);
    write_script(&page, &asked.rows);
    if (check(&checks, workshop != NULL && asked.seen != NULL && workshop_read_text(workshop, "figures.wleaf", page.at, page.length) == WATERLEAF_FINE,
              "no workshop, or the script cannot be read"))
        check(&checks, workshop_work_out(workshop, NULL, 0, look_up, &asked) == WATERLEAF_FINE, "%s", workshop_trouble(workshop));
    const Messages *messages = workshop == NULL ? NULL : workshop_messages(workshop);
    for (uint32_t i = 0; messages != NULL && i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        check(&checks, message->severity != SEVERITY_ERROR, "%s: %.*s", message->says, (int)(message->at.end - message->at.start),
              sources_bytes(&workshop_world(workshop)->sources, message->at.start));
    }
    for (size_t i = 0; asked.seen != NULL && i < asked.rows.count; i++)
        check(&checks, asked.seen[i] || strcmp(asked.rows.at[i].part[4], "none") == 0, "figures.tsv:%u: %s is not worked out", asked.rows.at[i].line,
              asked.rows.at[i].part[2]);
    workshop_close(workshop);
    free(page.at);
    free(asked.seen);
    table_free(&asked.rows);
    return checks_end(&checks, "figures");
}
