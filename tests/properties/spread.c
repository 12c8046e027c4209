/* From low to high: whatever the values of a script's own abouts are, within what each says, the figures lie between the
 * low and the high that are told for them. Each about is put at its low end, its high end or its usual value, by chance. */
#include "../folder.h"
#include "amounts.h"

enum { ROUNDS = 12 };

/* The end of a value that begins at AT: at a comma outside brackets, or where the line ends or its origin is told. */
static size_t value_length(const char *at)
{
    size_t length = strcspn(at, ",\n");
    static const char *const origins[] = {"   ", " practice", " source", " memory", " supplier", " measured"};
    for (size_t i = 0; i < sizeof origins / sizeof *origins; i++) {
        const char *found = strstr(at, origins[i]);
        if (found != NULL && (size_t)(found - at) < length)
            length = (size_t)(found - at);
    }
    return length;
}

/* The digits of the number at AT, without the dots of a range behind it. */
static size_t number_length(const char *at)
{
    size_t length = strspn(at, "0123456789_");
    if (at[length] == '.' && at[length + 1] != '.')
        length += 1 + strspn(at + length + 1, "0123456789");
    return length;
}

/* Writes TEXT with each `about TYPICAL, between LOW..HIGH` as one of the three; gives how many there were. */
static unsigned write_settled(Page *page, const char *text, Dice *dice)
{
    unsigned count = 0;
    for (const char *at = text, *about; *at != '\0';) {
        about = strstr(at, "about ");
        const char *between = about == NULL ? NULL : strstr(about, ", between ");
        if (between == NULL || (size_t)(between - about) > strcspn(about, "\n")) {
            size_t rest = about == NULL ? strlen(at) : (size_t)(about - at) + 6;
            page_add(page, at, rest);
            at += rest;
            continue;
        }
        const char *low = between + strlen(", between "), *high = strstr(low, "..") + 2, *typical = about + 6;
        size_t high_length = value_length(high);
        const char *unit = high + number_length(high);
        unsigned which = dice_below(dice, 3);
        page_add(page, at, (size_t)(about - at));
        if (which == 0)
            page_add(page, typical, (size_t)(between - typical));
        else if (which == 1) { /* the low end may be told without its unit */
            page_add(page, low, number_length(low));
            page_add(page, unit, high_length - (size_t)(unit - high));
        } else
            page_add(page, high, high_length);
        at = high + high_length;
        count++;
    }
    return count;
}

static void hold_within(Checks *checks, const char *path, const Amounts *spread, const Amounts *one)
{
    unsigned outside = 0;
    for (size_t i = 0; i < spread->count && i < one->count; i++) {
        const Amount *mine = &spread->at[i], *now = &one->at[i];
        /* No band is told where nothing moves the figure by more than its shown decimals. */
        double room = (mine->low == mine->high ? 1e-3 : 1e-9) * fmax(fabs(mine->low), fabs(mine->high));
        if (strstr(mine->key, "| weigh |") != NULL)
            continue; /* what is weighed is told once; the figures beside it tell how far it may be off */
        bool within = strcmp(mine->key, now->key) == 0 && mine->told == now->told &&
                      (!mine->told || (now->value >= mine->low - room && now->value <= mine->high + room));
        if (!within && outside++ < 3)
            printf("  %s: %s: %.15g is not within %.15g and %.15g\n", path, mine->key, now->value, mine->low, mine->high);
    }
    check(checks, spread->count == one->count && outside == 0, "%s: %u of %zu amounts lie outside", path, outside, spread->count);
}

static void try_script(Checks *checks, Dice *dice, Workshop *workshop, const char *path)
{
    char *text = check_read(path, NULL);
    Amounts spread = {0};
    if (check(checks, text != NULL, "%s cannot be read", path) && amounts_of_text(checks, workshop, path, text, strlen(text), &spread))
        for (int i = 0; i < ROUNDS; i++) {
            Page page = {0};
            Amounts one = {0};
            check(checks, write_settled(&page, text, dice) > 0, "%s has no about of its own", path);
            if (amounts_of_text(checks, workshop, path, page.at, page.length, &one))
                hold_within(checks, path, &spread, &one);
            amounts_clear(&one);
            free(page.at);
        }
    amounts_clear(&spread);
    free(text);
}

int main(void)
{
    Checks checks = {0};
    Dice dice = dice_seeded("spread", 5);
    Paths paths = {0};
    folder_add(&paths, "examples", "binders-laid.wleaf");
    folder_add(&paths, "examples", "kozo-tissue.wleaf");
    folder_add(&paths, "tests/golden/flow", "followed.wleaf");
    folder_add(&paths, "tests/golden/flow", "every-step.wleaf");
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    if (check(&checks, workshop != NULL, "no workshop"))
        for (size_t i = 0; i < paths.count; i++)
            try_script(&checks, &dice, workshop, paths.at[i]);
    workshop_close(workshop);
    folder_free(&paths);
    return checks_end(&checks, "spread");
}
