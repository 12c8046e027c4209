/* Twice the formed sheets take twice the fibre beyond the heel; and each formed sheet takes as much as any other. */
#include "amounts.h"
#include "recipe.h"

enum { RECIPES = 40 };

typedef struct Taken { double formed, beyond_heel; } Taken;

static double figure(const Outcome *outcome, const char *name)
{
    for (uint32_t i = 0; i < outcome->figure_count; i++)
        if (strcmp(outcome->figures[i].name, name) == 0 && outcome->figures[i].of == NULL && outcome->figures[i].quantity.told)
            return outcome->figures[i].quantity.value;
    return NAN;
}

static double heel(const Outcome *outcome)
{
    for (uint32_t i = 0; i < outcome->step_count; i++)
        for (uint32_t f = 0; f < outcome->steps[i].figure_count; f++)
            if (strcmp(outcome->steps[i].figures[f].name, "vat-heel") == 0)
                return outcome->steps[i].figures[f].quantity.value;
    return NAN;
}

static bool take(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    *(Taken *)with = (Taken){outcome->sheets_formed, (figure(outcome, "fibre-charge") - heel(outcome)) * outcome->parcels};
    return false;
}

static Taken taken_for(Workshop *workshop, double sheets)
{
    Taken taken = {NAN, NAN};
    workshop_work_out(workshop, "batch-0", sheets, take, &taken);
    return taken;
}

/* A first order, and among those about twice as large one that forms exactly twice as many. */
static void try_recipe(Checks *checks, Workshop *workshop, const Recipe *recipe)
{
    Page page = {0};
    recipe_begin(&page);
    recipe_write(&page, recipe, 0);
    if (check(checks, workshop_clear(workshop) == WATERLEAF_FINE && workshop_read_text(workshop, "one.wleaf", page.at, page.length) == WATERLEAF_FINE,
              "the recipe cannot be read: %s", workshop_trouble(workshop))) {
        Taken once = taken_for(workshop, recipe->sheets), twice = {0, 0};
        for (unsigned sheets = 2 * recipe->sheets; sheets < 2 * recipe->sheets + 60 && !(twice.formed >= 2 * once.formed); sheets++)
            twice = taken_for(workshop, sheets);
        check(checks, amounts_near(twice.beyond_heel / twice.formed, once.beyond_heel / once.formed, 1e-10),
              "%u sheets: %g formed of %.12g kg, and %g of %.12g kg", recipe->sheets, once.formed, once.beyond_heel, twice.formed, twice.beyond_heel);
        if (twice.formed == 2 * once.formed)
            check(checks, amounts_near(twice.beyond_heel, 2 * once.beyond_heel, 1e-10), "%u sheets: %.12g kg, and twice as many %.12g kg",
                  recipe->sheets, once.beyond_heel, twice.beyond_heel);
    }
    free(page.at);
}

int main(void)
{
    Checks checks = {0};
    Dice dice = dice_seeded("doubling", 3);
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    for (unsigned i = 0; i < RECIPES && check(&checks, workshop != NULL, "no workshop"); i++) {
        Recipe recipe = recipe_random(&dice);
        recipe.sheets = 1 + recipe.sheets % 40;
        try_recipe(&checks, workshop, &recipe);
    }
    workshop_close(workshop);
    return checks_end(&checks, "doubling");
}
