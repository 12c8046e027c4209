/* What is told of a material where it is weighed out: that the water it is stored with is what lies between its oven-dry
 * mass and what is weighed; and that what is rounded for the scale adds up: the loads come to what the parcel is told to
 * weigh, as it stands on the sheet, and the parcels to the batch but for half a step of the scale each. Of every example
 * and golden batch, and of one whose loads come out uneven. */
#include "../folder.h"
#include "amounts.h"

typedef struct Weighing { Checks *checks; const char *path; unsigned lines, uneven; } Weighing;

static void hold_stored(const Weighing *weighing, const char *name, const WeighLine *line)
{
    double water = 1 - line->dry.value / line->weigh_out.value;
    check(weighing->checks, line->moisture.told == line->weigh_out.told, "%s: %s: %s: told either what water it is stored with or what is weighed out, not both",
          weighing->path, name, line->material);
    if (line->moisture.told)
        check(weighing->checks, fabs(line->moisture.value - water) <= 1e-9 && fabs(line->moisture.in_unit - 100 * water) <= 1e-7,
              "%s: %s: %s: stored at %s, and %.6g of what is weighed is water", weighing->path, name, line->material, line->moisture.shown, water);
}

/* "15700 g": the number that a person adds up. */
static double as_read(const Quantity *quantity) { return strtod(quantity->shown, NULL); }

static void hold_loads(Weighing *weighing, const char *name, const WeighLine *line)
{
    double even = line->loads - line->heavier_loads;
    double sum = even * as_read(&line->weigh_out_of_load) + (line->heavier_loads > 0 ? line->heavier_loads * as_read(&line->weigh_out_of_heavier) : 0);
    double total = as_read(&line->weigh_out_of_parcel);
    check(weighing->checks, line->heavier_loads >= 0 && line->heavier_loads < line->loads, "%s: %s: %s: %g loads, %g of them heavier", weighing->path,
          name, line->material, line->loads, line->heavier_loads);
    check(weighing->checks, fabs(sum - total) <= 1e-9 * total, "%s: %s: %s: %g loads come to %.9g, and %s are weighed", weighing->path, name,
          line->material, line->loads, sum, line->weigh_out_of_parcel.shown);
    weighing->uneven += line->heavier_loads > 0;
}

static void hold_parcels(const Weighing *weighing, const Outcome *outcome, const char *name, const WeighLine *line)
{
    double parcels = line->by_parcel ? outcome->parcels : 1, step = 0;
    for (uint32_t i = 0; i < outcome->figure_count; i++) {
        const NamedQuantity *figure = &outcome->figures[i];
        if (strcmp(figure->name, "scale-step") == 0 && figure->of != NULL && strcmp(figure->of, line->material) == 0 && figure->quantity.told)
            step = figure->quantity.value;
    }
    double off = fabs(parcels * line->weigh_out_of_parcel.value - line->weigh_out.value);
    check(weighing->checks, off <= parcels * step / 2 + 1e-12 * line->weigh_out.value, "%s: %s: %s: %g parcels of %s, and %s in all", weighing->path,
          name, line->material, parcels, line->weigh_out_of_parcel.shown, line->weigh_out.shown);
}

static unsigned uneven_seen;

static bool weigh(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Weighing *weighing = with;
    const char *name = outcome->batch != NULL ? outcome->batch : outcome->title;
    for (uint32_t i = 0; i < outcome->weigh_count; i++, weighing->lines++) {
        hold_stored(weighing, name, &outcome->weigh[i]);
        hold_parcels(weighing, outcome, name, &outcome->weigh[i]);
        if (outcome->weigh[i].loads > 0)
            hold_loads(weighing, name, &outcome->weigh[i]);
    }
    return true;
}

static void try_file(Checks *checks, Workshop *workshop, const char *path)
{
    Weighing weighing = {.checks = checks, .path = path};
    bool fine = workshop_clear(workshop) == WATERLEAF_FINE && workshop_read(workshop, path) == WATERLEAF_FINE &&
                workshop_work_out(workshop, NULL, 0, weigh, &weighing) == WATERLEAF_FINE;
    check(checks, fine && workshop_messages(workshop)->errors == 0 && weighing.lines > 0, "%s: nothing to weigh: %s", path, workshop_trouble(workshop));
}

/* Three and more loads on a scale that shows ten grams, on one that shows a gram, and with no scale at all. */
static void try_uneven(Checks *checks, Workshop *workshop, unsigned sheets, const char *scale)
{
    Page page = {0};
    page_print(&page, "waterleaf 1\nmould m:\n  opening 300 mm by 420 mm\nend\nmill here:\n  beater trough of 23 L\n  chest of 400 L\n  vat of 120 L\n  parcel 500 sheets\n%send\n", scale);
    page_print(&page, "paper plain:\n  title \"Plain\"\n  mould m\n  grammage 150 g/m²\n  furnish:\n    cotton-linters 70 %%\n    linen-rag 30 %%\n  end\n  procedure:\n");
    page_print(&page, "    beat cotton-linters at 2 %%, for 1 h\n    beat linen-rag at 2 %%, for 1 h\n    blend\n    form-by-measure\n    press at 300 kPa\n    loft-dry for 1 d\n  end\nend\n");
    page_print(&page, "batch \"U\":\n  paper plain\n  mill here\n  sheets %u\nend\n", sheets);
    char path[80];
    snprintf(path, sizeof path, "uneven, %u sheets,%.30s", sheets, scale[0] == '\0' ? " no scale" : scale);
    Weighing weighing = {.checks = checks, .path = path};
    bool fine = workshop_clear(workshop) == WATERLEAF_FINE && workshop_read_text(workshop, "uneven.wleaf", page.at, page.length) == WATERLEAF_FINE &&
                workshop_work_out(workshop, NULL, 0, weigh, &weighing) == WATERLEAF_FINE;
    const Messages *messages = workshop_messages(workshop);
    check(checks, fine && messages->errors == 0 && weighing.lines > 0, "%s: %s", path,
          messages->list.count > 0 ? messages->list.at[0].says : workshop_trouble(workshop));
    uneven_seen += weighing.uneven;
    free(page.at);
}

int main(void)
{
    Checks checks = {0};
    Paths paths = {0};
    folder_add(&paths, "examples", ".wleaf");
    folder_add(&paths, "tests/golden/flow", ".wleaf");
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    if (check(&checks, workshop != NULL, "no workshop"))
        for (size_t i = 0; i < paths.count; i++)
            if (strstr(paths.at[i], "/mills/") == NULL)
                try_file(&checks, workshop, paths.at[i]);
    static const char *const scales[] = {"  scale s up to 100 kg, showing 10 g\n", "  scale s up to 100 kg, showing 1 g\n",
                                         "  scale s up to 100 kg, showing 0.005 kg\n", ""};
    for (size_t i = 0; workshop != NULL && i < sizeof scales / sizeof *scales; i++)
        for (unsigned sheets = 20; sheets <= 260; sheets += 30)
            try_uneven(&checks, workshop, sheets, scales[i]);
    check(&checks, uneven_seen > 10, "only %u materials had uneven loads", uneven_seen);
    workshop_close(workshop);
    folder_free(&paths);
    return checks_end(&checks, "weighing");
}
