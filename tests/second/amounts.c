/* What the program makes of each batch of a script, as lines for the second opinion: amounts only, rules are passed over.
 *
 *   amounts FILE
 *
 * Parts of a line are divided by tabs; a number stands with all its digits and in front of the unit in which it is shown.
 *
 *   B BATCH                        begins a batch
 *   F NAME OF VALUE UNIT           a figure of the paper, or of a material of it; "none" where it is not told
 *   S STEP                         begins a step
 *   G NAME  VALUE UNIT             a figure of that step
 *   W MATERIAL DRY UNIT WEIGH-OUT UNIT */
#include "waterleaf.h"

#include <stdio.h>

static void put_quantity(const World *world, const Quantity *quantity)
{
    if (!quantity->told) {
        fputs("\tnone\t", stdout);
        return;
    }
    const char *unit = quantity->unit == 0 ? "" : names_text(&world->names, world->units.at[quantity->unit].name);
    printf("\t%.17g\t%s", quantity->in_unit, unit);
}

static void put_figures(const World *world, char letter, const NamedQuantity *figures, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        printf("%c\t%s\t%s", letter, figures[i].name, figures[i].of == NULL ? "" : figures[i].of);
        put_quantity(world, &figures[i].quantity);
        putchar('\n');
    }
}

/* A WaterleafShow. */
static bool show(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)with;
    const World *world = workshop_world(workshop);
    printf("B\t%s\n", outcome->batch == NULL ? "" : outcome->batch);
    put_figures(world, 'F', outcome->figures, outcome->figure_count);
    for (uint32_t i = 0; i < outcome->step_count; i++) {
        printf("S\t%s\n", outcome->steps[i].step);
        put_figures(world, 'G', outcome->steps[i].figures, outcome->steps[i].figure_count);
    }
    for (uint32_t i = 0; i < outcome->weigh_count; i++) {
        printf("W\t%s", outcome->weigh[i].material);
        put_quantity(world, &outcome->weigh[i].dry);
        put_quantity(world, &outcome->weigh[i].weigh_out);
        putchar('\n');
    }
    return true;
}

int main(int count, char **arguments)
{
    if (count != 2) {
        fputs("usage: amounts FILE\n", stderr);
        return 2;
    }
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    if (workshop == NULL)
        return 2;
    bool fine = workshop_read(workshop, arguments[1]) == WATERLEAF_FINE && workshop_work_out(workshop, NULL, 0, show, NULL) == WATERLEAF_FINE;
    const Messages *messages = workshop_messages(workshop);
    fine = fine && messages != NULL && messages->errors == 0;
    if (!fine)
        fprintf(stderr, "amounts: %s: %s\n", arguments[1],
                messages != NULL && messages->list.count > 0 ? messages->list.at[0].says : workshop_trouble(workshop));
    fine = fflush(stdout) == 0 && fine;
    workshop_close(workshop);
    return fine ? 0 : 1;
}
