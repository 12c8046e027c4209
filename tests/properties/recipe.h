/* A plain recipe with random numbers: as a script, and worked out by the closed
 * chain of sums that a plain paper comes to, which knows nothing of walks,
 * steps or solving. */
#ifndef WATERLEAF_TESTS_RECIPE_H
#define WATERLEAF_TESTS_RECIPE_H

#include "check.h"

enum { RECIPE_FIBRES = 3, RECIPE_ADDED = 3 };

typedef struct Recipe {
    unsigned fibres, added;
    double share[RECIPE_FIBRES], moisture[RECIPE_FIBRES];      /* per cent, as all shares here */
    double dose[RECIPE_ADDED], retention[RECIPE_ADDED], solids[RECIPE_ADDED];
    double grammage, finished_moisture;                        /* g/m² */
    double width, length, shrinkage;                           /* mm */
    double beater_loss, vat_loss, vat, consistency;            /* L */
    bool sized, hardened;
    double pick_up, strength, density, moisture_before, hardener; /* kg/L */
    unsigned sheets, sure, parcel;
    double spoiled, kept;
} Recipe;

/* What the chain gives; masses in kg, areas in m². */
typedef struct Chain {
    double dry_grammage, before_sizing, fibre_grammage, area, fibre_per_sheet, vat_heel, fibre_charge, survival, size_on;
    double weigh_fibre[RECIPE_FIBRES], weigh_added[RECIPE_ADDED];
} Chain;

static inline double recipe_number(Dice *dice, double low, double high)
{
    double number;
    char typed[32];
    snprintf(typed, sizeof typed, "%.2f", dice_between(dice, low, high));
    number = strtod(typed, NULL); /* as it will be typed */
    return number;
}

static inline Recipe recipe_random(Dice *dice)
{
    Recipe recipe = {.fibres = 1 + dice_below(dice, RECIPE_FIBRES), .added = dice_below(dice, RECIPE_ADDED + 1)};
    double left = 100;
    for (unsigned i = 0; i < recipe.fibres; i++) {
        recipe.share[i] = i + 1 == recipe.fibres ? left : 1 + dice_below(dice, (unsigned)left - (recipe.fibres - 1 - i));
        left -= recipe.share[i];
        recipe.moisture[i] = recipe_number(dice, 2, 14);
    }
    for (unsigned i = 0; i < recipe.added; i++) {
        recipe.dose[i] = recipe_number(dice, 0.1, 9);
        recipe.retention[i] = recipe_number(dice, 20, 100);
        recipe.solids[i] = recipe_number(dice, 5, 100);
    }
    recipe.grammage = recipe_number(dice, 20, 440);
    recipe.finished_moisture = recipe_number(dice, 4, 9);
    recipe.width = recipe_number(dice, 150, 700);
    recipe.length = recipe_number(dice, 200, 1100);
    recipe.shrinkage = recipe_number(dice, 0, 9);
    recipe.beater_loss = dice_below(dice, 2) ? recipe_number(dice, 0, 6) : 0;
    recipe.vat_loss = recipe_number(dice, 0, 6);
    recipe.vat = recipe_number(dice, 300, 900);
    recipe.consistency = recipe_number(dice, 0.5, 1.4);
    recipe.sized = dice_below(dice, 2);
    recipe.hardened = recipe.sized && dice_below(dice, 2);
    recipe.pick_up = recipe_number(dice, 20, 110);
    recipe.strength = recipe_number(dice, 1, 7);
    recipe.density = recipe_number(dice, 0.97, 1.04);
    recipe.moisture_before = recipe_number(dice, 3, 10);
    recipe.hardener = recipe.hardened ? recipe_number(dice, 1, 20) : 0;
    recipe.sheets = 1 + dice_below(dice, 300);
    recipe.sure = 50 + dice_below(dice, 50);
    recipe.parcel = dice_below(dice, 3) == 0 ? 20 + dice_below(dice, 200) : 1000000;
    recipe.spoiled = recipe_number(dice, 0, 8);
    recipe.kept = recipe_number(dice, 55, 100);
    return recipe;
}

static inline void recipe_materials(Page *page, const Recipe *recipe, unsigned number)
{
    for (unsigned i = 0; i < recipe->fibres; i++)
        page_print(page, "material fibre-%u-%u:\n  class fibre\n  shrink 3 %%\n  moisture %.2f %%\nend\n", number, i, recipe->moisture[i]);
    for (unsigned i = 0; i < recipe->added; i++)
        page_print(page, "material added-%u-%u:\n  class filler\n  solids %.2f %%\n  retention %.2f %%\nend\n", number, i, recipe->solids[i],
                   recipe->retention[i]);
    page_print(page, "mould mould-%u:\n  opening %.2f mm by %.2f mm\nend\n", number, recipe->width, recipe->length);
    page_print(page, "mill mill-%u:\n  beater of 300 L\n  chest of 2_000 L\n  vat of %.2f L\n  tub of 60 L, needing 10 L\n  parcel %u sheets\nend\n",
               number, recipe->vat, recipe->parcel);
}

static inline void recipe_procedure(Page *page, const Recipe *recipe, unsigned number)
{
    page_print(page, "  procedure:\n");
    for (unsigned i = 0; i < recipe->fibres; i++)
        page_print(page, "    beat fibre-%u-%u at 2 %%, for 1 h, losing %.2f %%\n", number, i, recipe->beater_loss);
    page_print(page, "    blend into chest\n");
    for (unsigned i = 0; i < recipe->added; i++)
        page_print(page, "    add added-%u-%u %.2f %% on fibre\n", number, i, recipe->dose[i]);
    page_print(page, "    charge-vat to %.2f %%\n", recipe->consistency);
    page_print(page, "    form into posts of 25, surplus to beater, losing %.2f %%, retaining 98 %%, couched at 12 %%, trial at 6 %%, topped-up at 2.3 %%\n", recipe->vat_loss);
    page_print(page, "    press at 700 kPa, reaching 38 %%, gaining 10 %%, spoiling %.2f %%\n    part\n", recipe->spoiled);
    page_print(page, "    loft-dry for 2 d, to %.2f %%, shrinking %.2f %%, spoiling 0 %%\n", recipe->moisture_before, recipe->shrinkage);
    if (recipe->sized) {
        page_print(page, "    tub-size with size-of-all, at %.2f %% w/v dry, taking-up %.2f %% of sheet-as-it-is, weighing %.2f kg/L, spoiling 0 %%",
                   recipe->strength, recipe->pick_up, recipe->density);
        if (recipe->hardened)
            page_print(page, ", hardened with hardener-of-all, %.2f %% of size", recipe->hardener);
        page_print(page, "\n    loft-dry for 2 d, shrinking 0 %%, spoiling 0 %%\n");
    }
    page_print(page, "    sort keeping %.2f %%\n  end\n", recipe->kept);
}

/* The paper, its things and its batch, all called after NUMBER. */
static inline void recipe_write(Page *page, const Recipe *recipe, unsigned number)
{
    recipe_materials(page, recipe, number);
    page_print(page, "paper paper-%u:\n  title \"Paper %u\"\n  mould mould-%u\n  grammage %.2f g/m²\n  moisture %.2f %%\n  furnish:\n", number,
               number, number, recipe->grammage, recipe->finished_moisture);
    for (unsigned i = 0; i < recipe->fibres; i++)
        page_print(page, "    fibre-%u-%u %.0f %%\n", number, i, recipe->share[i]);
    page_print(page, "  end\n");
    recipe_procedure(page, recipe, number);
    page_print(page, "end\nbatch \"batch-%u\":\n  paper paper-%u\n  mill mill-%u\n  sheets %u, sure %u %%\nend\n", number, number, number,
               recipe->sheets, recipe->sure);
}

/* What every script of recipes begins with. */
static inline void recipe_begin(Page *page)
{
    page_print(page, "waterleaf 1\nmaterial size-of-all:\n  class surface-size\n  moisture 12 %%\nend\n"
                     "material hardener-of-all:\n  class hardener\n  moisture 0 %%\nend\n");
}

/* The closed chain, for FORMED sheets in so many parcels: each parcel has its own charge and heel. */
static inline Chain recipe_chain(const Recipe *recipe, double formed, double parcels)
{
    Chain chain = {.dry_grammage = recipe->grammage / 1000 * (1 - recipe->finished_moisture / 100)};
    double dosed = 1, retained = 1, drawn = 1 - recipe->shrinkage / 100, solids = recipe->consistency / 100;
    for (unsigned i = 0; i < recipe->added; i++) {
        dosed += recipe->dose[i] / 100;
        retained += recipe->dose[i] / 100 * recipe->retention[i] / 100;
    }
    if (recipe->sized)
        chain.size_on = recipe->pick_up / 100 * recipe->strength / 100 / recipe->density / (1 - recipe->moisture_before / 100);
    chain.before_sizing = chain.dry_grammage / (1 + chain.size_on * (1 + recipe->hardener / 100));
    chain.fibre_grammage = chain.before_sizing / retained;
    chain.area = recipe->width * recipe->length * 1e-6 * drawn * drawn;
    chain.fibre_per_sheet = chain.fibre_grammage * chain.area;
    chain.vat_heel = recipe->vat * solids / (solids / 1.55 + 1 - solids) / dosed;
    double blended = chain.fibre_per_sheet * formed / parcels / (1 - recipe->vat_loss / 100) + chain.vat_heel;
    chain.fibre_charge = blended;
    chain.survival = (1 - recipe->spoiled / 100) * recipe->kept / 100;
    for (unsigned i = 0; i < recipe->fibres; i++)
        chain.weigh_fibre[i] = parcels * blended * recipe->share[i] / 100 / (1 - recipe->beater_loss / 100) / (1 - recipe->moisture[i] / 100);
    for (unsigned i = 0; i < recipe->added; i++)
        chain.weigh_added[i] = parcels * blended * recipe->dose[i] / 100 / (recipe->solids[i] / 100);
    return chain;
}

#endif
