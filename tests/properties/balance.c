/* What goes in comes out: of every material, and of water, the ledger of gains and losses sums to nothing, in each
 * example and golden batch and in random recipes; what the ledger says came in is what is billed, and what it says left as
 * sheets is what so many sheets hold. The sums are asked for in the language, by lines put behind the script.
 *
 * Not held: the water of a sheet, which tells a moisture and no mass (what the stuff's water becomes at the mould counts as
 * drained), and what stays behind in vessels (`leaves`), which is residue and not billed. */
#include "../folder.h"
#include "amounts.h"
#include "recipe.h"

enum { RECIPES = 200 };

static const char asked[] =
    "\n"
    "reckon tested-left(each m from bill) as mass = sum(e.mass, each e from ledger when e.material is m.material)\n"
    "reckon tested-through(each m from bill) as mass = sum(most(e.mass, 0 g), each e from ledger when e.material is m.material)\n"
    "reckon tested-in-sheets(each m from bill) as mass = sum(0 g - e.mass, each e from ledger when e.material is m.material and e.way is sheet)\n"
    "reckon tested-water-left as mass = sum(e.mass, each e from ledger when e.material is none)\n"
    "reckon tested-water-through as mass = sum(most(e.mass, 0 g), each e from ledger when e.material is none)\n";

typedef struct Balance { Checks *checks; const char *path; unsigned outcomes; } Balance;

static const Quantity *figure(const Outcome *outcome, const char *name, const char *of)
{
    for (uint32_t i = 0; i < outcome->figure_count; i++) {
        const NamedQuantity *one = &outcome->figures[i];
        if (strcmp(one->name, name) == 0 && strcmp(one->of ? one->of : "", of) == 0)
            return &one->quantity;
    }
    return NULL;
}

static void hold_balance(const Balance *balance, const Outcome *outcome, const char *what, const Quantity *left, const Quantity *through)
{
    const char *name = outcome->batch != NULL ? outcome->batch : outcome->title;
    if (check(balance->checks, left != NULL && left->told && through != NULL && through->told && through->value > 0,
              "%s: %s: %s: nothing goes through", balance->path, name, what))
        check(balance->checks, fabs(left->value) <= 1e-9 * through->value, "%s: %s: %s: of %.12g kg, %.12g kg are left over", balance->path, name,
              what, through->value, left->value);
}

/* The ledger against the bill, and against one sheet: MATERIAL came in as it is weighed, and left in the sheets that are left. */
static void hold_ends(const Balance *balance, const Outcome *outcome, const WeighLine *line)
{
    const Quantity *through = figure(outcome, "tested-through", line->material), *sheets = figure(outcome, "tested-in-sheets", line->material);
    const Quantity *one = figure(outcome, "in-a-sheet", line->material), *survival = figure(outcome, "survival", "");
    double left = survival != NULL ? survival->value * outcome->sheets_formed : NAN;
    check(balance->checks, through != NULL && amounts_near(through->value, line->dry.value, 1e-9), "%s: %s: %.12g kg came in, and %.12g kg are billed",
          balance->path, line->material, through != NULL ? through->value : NAN, line->dry.value);
    check(balance->checks, sheets != NULL && one != NULL && fabs(sheets->value - one->value * left) <= 1e-9 * line->dry.value,
          "%s: %s: %.12g kg left in sheets, and %.12g sheets of %.12g kg", balance->path, line->material, sheets != NULL ? sheets->value : NAN, left,
          one != NULL ? one->value : NAN);
}

static bool weigh(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Balance *balance = with;
    balance->outcomes++;
    for (uint32_t i = 0; i < outcome->weigh_count; i++) {
        const char *material = outcome->weigh[i].material;
        hold_balance(balance, outcome, material, figure(outcome, "tested-left", material), figure(outcome, "tested-through", material));
        hold_ends(balance, outcome, &outcome->weigh[i]);
    }
    hold_balance(balance, outcome, "water", figure(outcome, "tested-water-left", ""), figure(outcome, "tested-water-through", ""));
    const Quantity *reconciled = figure(outcome, "reconciled", "");
    check(balance->checks, reconciled != NULL && reconciled->told && fabs(reconciled->value - 1) <= 1e-9, "%s: reconciled is not 100 %%",
          balance->path);
    return true;
}

static void try_text(Checks *checks, Workshop *workshop, const char *path, const char *text)
{
    Page page = {0};
    page_add(&page, text, strlen(text));
    page_add(&page, asked, strlen(asked));
    Balance balance = {.checks = checks, .path = path};
    bool fine = workshop_clear(workshop) == WATERLEAF_FINE && workshop_read_text(workshop, path, page.at, page.length) == WATERLEAF_FINE &&
                workshop_work_out(workshop, NULL, 0, weigh, &balance) == WATERLEAF_FINE;
    const Messages *messages = workshop_messages(workshop);
    check(checks, fine && messages->errors == 0 && balance.outcomes > 0, "%s: %s", path,
          messages->list.count > 0 ? messages->list.at[0].says : workshop_trouble(workshop));
    free(page.at);
}

int main(void)
{
    Checks checks = {0};
    Dice dice = dice_seeded("balance", 2);
    Paths paths = {0};
    folder_add(&paths, "examples", ".wleaf");
    folder_add(&paths, "tests/golden/flow", ".wleaf");
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    if (check(&checks, workshop != NULL, "no workshop")) {
        for (size_t i = 0; i < paths.count; i++) {
            char *text = strstr(paths.at[i], "/mills/") != NULL ? NULL : check_read(paths.at[i], NULL);
            if (text != NULL)
                try_text(&checks, workshop, paths.at[i], text);
            free(text);
        }
        Page page = {0};
        recipe_begin(&page);
        for (unsigned i = 0; i < RECIPES; i++) {
            Recipe recipe = recipe_random(&dice);
            recipe_write(&page, &recipe, i);
        }
        try_text(&checks, workshop, "recipes.wleaf", page.at);
        free(page.at);
    }
    workshop_close(workshop);
    folder_free(&paths);
    return checks_end(&checks, "balance");
}
