/* What is told of a material where it is weighed out: that the water it is stored with is what lies between its oven-dry
 * mass and what is weighed. Of every example and golden batch. */
#include "../folder.h"
#include "amounts.h"

typedef struct Weighing { Checks *checks; const char *path; unsigned lines; } Weighing;

static void hold_stored(const Weighing *weighing, const char *name, const WeighLine *line)
{
    double water = 1 - line->dry.value / line->weigh_out.value;
    if (check(weighing->checks, line->moisture.told, "%s: %s: %s: not told what water it is stored with", weighing->path, name, line->material))
        check(weighing->checks, fabs(line->moisture.value - water) <= 1e-9 && fabs(line->moisture.in_unit - 100 * water) <= 1e-7,
              "%s: %s: %s: stored at %s, and %.6g of what is weighed is water", weighing->path, name, line->material, line->moisture.shown, water);
}

static bool weigh(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop;
    Weighing *weighing = with;
    for (uint32_t i = 0; i < outcome->weigh_count; i++, weighing->lines++)
        hold_stored(weighing, outcome->batch != NULL ? outcome->batch : outcome->title, &outcome->weigh[i]);
    return true;
}

static void try_file(Checks *checks, Workshop *workshop, const char *path)
{
    Weighing weighing = {.checks = checks, .path = path};
    bool fine = workshop_clear(workshop) == WATERLEAF_FINE && workshop_read(workshop, path) == WATERLEAF_FINE &&
                workshop_work_out(workshop, NULL, 0, weigh, &weighing) == WATERLEAF_FINE;
    check(checks, fine && workshop_messages(workshop)->errors == 0 && weighing.lines > 0, "%s: nothing to weigh: %s", path, workshop_trouble(workshop));
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
    workshop_close(workshop);
    folder_free(&paths);
    return checks_end(&checks, "weighing");
}
