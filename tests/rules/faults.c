/* Planted faults: one line of a sound script replaced; the rule or claim that must find it does, by name, and nothing else
 * is an error or a warning, but for what the script's own writer expects.
 *
 *   faults [NAME ...] [--stdlib FOLDER] [--show]
 */
#include "example.h"
#include "faults.h"

static void try_fault(Checks *checks, Workshop *workshop, const TableRow *row, bool shown)
{
    const char *name = row->part[3];
    Verdict verdict;
    char *script = fault_plant(checks, row);
    if (script == NULL || !judge(checks, workshop, name, script, NULL, &verdict)) {
        free(script);
        return;
    }
    const Messages *messages = workshop_messages(workshop);
    unsigned others = 0;
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const Message *message = &messages->list.at[i];
        others += message->severity != SEVERITY_NOTE && strcmp(message->name, name) != 0 && message->kind != SAY_expected_otherwise;
    }
    check(checks, verdict.of_rule > 0, "faults.tsv:%u: %s does not find \"%s\" in %s; said is:%s", row->line, name, row->part[2], row->part[0],
          verdict.text);
    check(checks, others == 0, "faults.tsv:%u: beside %s there is:%s", row->line, name, verdict.text);
    if (shown)
        show_said(workshop);
    free(script);
}

/* The scripts themselves are sound, each put together as the faults put it together. */
static void try_sound(Checks *checks, Workshop *workshop, const TableRows *rows)
{
    for (size_t i = 0; i < rows->count; i++) {
        const char *path = rows->at[i].part[0];
        bool seen = false;
        for (size_t j = 0; j < i; j++)
            seen |= strcmp(rows->at[j].part[0], path) == 0;
        Verdict verdict;
        char *script = seen ? NULL : fault_script(checks, path);
        if (script != NULL && judge(checks, workshop, "", script, NULL, &verdict))
            check(checks, workshop_messages(workshop)->errors + workshop_messages(workshop)->warnings == 0, "%s by itself gets%s", path,
                  verdict.text);
        free(script);
    }
}

/* Each rule and claim has a fault; of those of safety, which are many, twenty. */
static void try_all_have_one(Checks *checks, Workshop *workshop, const TableRows *rows)
{
    unsigned of_safety = 0;
    workshop_clear(workshop);
    const World *world = workshop_world(workshop);
    for (uint32_t i = 1; i < world->rules.count; i++) {
        const char *name = world_text(world, world->rules.at[i].name);
        uint32_t place = world_span(world, world->rules.at[i].line).start;
        bool safety = strstr(world_text(world, sources_at(&world->sources, place)->path), "safety") != NULL, found = false;
        for (size_t j = 0; j < rows->count; j++)
            found |= strcmp(rows->at[j].part[3], name) == 0;
        check(checks, found || safety, "no fault in faults.tsv is for %s", name);
        of_safety += found && safety;
    }
    check(checks, of_safety >= 20, "faults.tsv has faults for %u rules of safety, not 20", of_safety);
}

static bool wanted(const char **names, unsigned count, const char *name)
{
    for (unsigned i = 0; i < count; i++)
        if (strcmp(names[i], name) == 0)
            return true;
    return count == 0;
}

int main(int count, char **arguments)
{
    Checks checks = {.most_shown = 200};
    WorkshopWish wish = {0};
    const char *names[64];
    unsigned named = 0;
    bool shown = false;
    for (int i = 1; i < count; i++) {
        if (strcmp(arguments[i], "--show") == 0)
            shown = true;
        else if (strcmp(arguments[i], "--stdlib") == 0 && i + 1 < count)
            wish.stdlib = arguments[++i];
        else if (named < 64)
            names[named++] = arguments[i];
    }
    TableRows rows = table_read(&checks, "tests/rules/faults.tsv", 4);
    Workshop *workshop = workshop_open(&wish);
    if (check(&checks, workshop != NULL && rows.count > 0, "no workshop, or no faults")) {
        try_sound(&checks, workshop, &rows);
        if (named == 0)
            try_all_have_one(&checks, workshop, &rows);
        for (size_t i = 0; i < rows.count; i++)
            if (wanted(names, named, rows.at[i].part[3]))
                try_fault(&checks, workshop, &rows.at[i], shown);
    }
    workshop_close(workshop);
    table_free(&rows);
    return checks_end(&checks, "faults");
}
