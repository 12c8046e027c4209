/* The flow agrees with the closed chain of sums that a plain paper comes to: 10,000 random recipes, to a part in 10^9. The
 * sheets to form are held against the binomial distribution of the GNU Scientific Library. */
#include "amounts.h"
#include "recipe.h"

#include <gsl/gsl_cdf.h>

enum { RECIPES = 10000, OF_SCRIPT = 100 };

typedef struct Comparing { Checks *checks; const Recipe *recipes; unsigned compared; } Comparing;

static double figure(const Outcome *outcome, const char *name, const char *of)
{
    for (uint32_t i = 0; i < outcome->figure_count; i++) {
        const NamedQuantity *one = &outcome->figures[i];
        if (strcmp(one->name, name) == 0 && strcmp(one->of ? one->of : "", of) == 0)
            return one->quantity.told ? one->quantity.value : NAN;
    }
    return NAN;
}

static bool agrees(Comparing *comparing, const Outcome *outcome, const char *name, const char *of, double wanted)
{
    double found = figure(outcome, name, of);
    bool near = amounts_near(found, wanted, 1e-9);
    if (!near)
        printf("  %s: %s %s: the flow gives %.15g, the chain %.15g\n", outcome->batch, name, of, found, wanted);
    (void)comparing;
    return near;
}

/* The fewest parcels that hold what must be formed at the least; it is then rounded up to equal parcels. */
static double parcels_of(const Recipe *recipe, const Outcome *outcome)
{
    double least = recipe->sheets;
    double survival = (1 - recipe->spoiled / 100) * recipe->kept / 100;
    while (gsl_cdf_binomial_Q(recipe->sheets - 1, survival, (unsigned)least) < recipe->sure / 100.0 * (1 - 1e-12) && least < outcome->sheets_formed)
        least++;
    double parcels = ceil(least / recipe->parcel);
    return outcome->sheets_formed == parcels * ceil(least / parcels) ? parcels : NAN;
}

/* A WaterleafShow: one check for each recipe. */
static bool compare(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Comparing *comparing = with;
    unsigned number = (unsigned)atoi(outcome->batch + strlen("batch-"));
    const Recipe *recipe = &comparing->recipes[number];
    Chain chain = recipe_chain(recipe, outcome->sheets_formed, outcome->parcels);
    char of[64];
    bool same = true; /* all are looked at, so that all that differ are told */
    same = agrees(comparing, outcome, "dry-grammage", "", chain.dry_grammage) && same;
    same = agrees(comparing, outcome, "grammage-before-sizing", "", chain.before_sizing) && same;
    same = agrees(comparing, outcome, "fibre-grammage", "", chain.fibre_grammage) && same;
    same = agrees(comparing, outcome, "sheet-area", "", chain.area) && same;
    same = agrees(comparing, outcome, "fibre-per-sheet", "", chain.fibre_per_sheet) && same;
    same = agrees(comparing, outcome, "fibre-charge", "", chain.fibre_charge) && same;
    same = agrees(comparing, outcome, "survival", "", chain.survival) && same;
    same = agrees(comparing, outcome, "finished-grammage", "", recipe->grammage / 1000) && same;
    for (unsigned i = 0; i < recipe->fibres; i++) {
        snprintf(of, sizeof of, "fibre-%u-%u", number, i);
        same &= agrees(comparing, outcome, "weigh-out", of, chain.weigh_fibre[i]);
    }
    for (unsigned i = 0; i < recipe->added; i++) {
        snprintf(of, sizeof of, "added-%u-%u", number, i);
        same &= agrees(comparing, outcome, "weigh-out", of, chain.weigh_added[i]);
    }
    check(comparing->checks, same && fmod(outcome->sheets_formed, outcome->parcels) == 0 && outcome->parcels == parcels_of(recipe, outcome),
          "%s is not what the chain gives", outcome->batch);
    comparing->compared++;
    return true;
}

static void try_script(Checks *checks, Workshop *workshop, const Recipe *recipes)
{
    Page page = {0};
    recipe_begin(&page);
    for (unsigned i = 0; i < OF_SCRIPT; i++)
        recipe_write(&page, &recipes[i], i);
    Comparing comparing = {.checks = checks, .recipes = recipes};
    bool fine = workshop_clear(workshop) == WATERLEAF_FINE && workshop_read_text(workshop, "recipes.wleaf", page.at, page.length) == WATERLEAF_FINE &&
                workshop_work_out(workshop, NULL, 0, compare, &comparing) == WATERLEAF_FINE;
    const Messages *messages = workshop_messages(workshop);
    check(checks, fine && messages->list.count == 0 && comparing.compared == OF_SCRIPT, "%u of %u worked out: %s", comparing.compared, OF_SCRIPT,
          messages->list.count > 0 ? messages->list.at[0].says : workshop_trouble(workshop));
    free(page.at);
}

int main(void)
{
    Checks checks = {.most_shown = 10};
    Dice dice = dice_seeded("chain", 1);
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    static Recipe recipes[OF_SCRIPT];
    for (unsigned i = 0; i < RECIPES / OF_SCRIPT && check(&checks, workshop != NULL, "no workshop"); i++) {
        for (unsigned n = 0; n < OF_SCRIPT; n++)
            recipes[n] = recipe_random(&dice);
        try_script(&checks, workshop, recipes);
    }
    workshop_close(workshop);
    return checks_end(&checks, "chain");
}
