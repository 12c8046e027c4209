/* From low to high: whatever the values of all abouts are, those of a script and those of stdlib, within what each says,
 * the figures lie between the low and the high that are told for them. Each about is put at its low end, its high end, its
 * usual value or somewhere between, by chance. The stdlib so settled stands in build/tests/settled, to be looked at. */
#include "../folder.h"
#include "amounts.h"

#include <sys/stat.h>

enum { ROUNDS = 10 };

/* Low and high are found with each about at the end that moves the figure most its way. These go up and down in teeth, as
 * another whole load, parcel, sheet or top-up is reached (the last is a mass times a difference that may be of either sign),
 * so that what lies between two ends may lie beyond both; they are not held here. */
static const char *const in_teeth[] = {"load-dry", "load-water", "load-consistency", "chest-volume", "chest-consistency", "chest-concentration",
                                       "vat-from-chest", "vat-water", "top-up", "level-rise", "surplus", "surplus-fibre", "jug", "slurry-water",
                                       "starting-concentration", "sheets-entering", "bath-hours", "precharge"};

static const char settled[] = "build/tests/settled";

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

/* Takes out what the writer expects: it is of the usual values. */
static void drop_expects(char *text)
{
    for (char *line = text; *line != '\0'; line += strcspn(line, "\n") + (line[strcspn(line, "\n")] == '\n'))
        if (strncmp(line + strspn(line, " "), "expect ", 7) == 0)
            memset(line, ' ', strcspn(line, "\n"));
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
        unsigned which = dice_below(dice, 4);
        page_add(page, at, (size_t)(about - at));
        if (which == 0)
            page_add(page, typical, (size_t)(between - typical));
        else if (which == 1) { /* the low end may be told without its unit */
            page_add(page, low, number_length(low));
            page_add(page, unit, high_length - (size_t)(unit - high));
        } else if (which == 2)
            page_add(page, high, high_length);
        else {
            double from = strtod(low, NULL), to = strtod(high, NULL);
            page_print(page, "%.6f%.*s", dice_between(dice, from, to), (int)(high_length - (size_t)(unit - high)), unit);
        }
        at = high + high_length;
        count++;
    }
    return count;
}

/* SPLIT: the order is made in several parcels, so that what is of one parcel goes in teeth, too. */
static bool is_in_teeth(const char *key, bool split)
{
    if (split && (strstr(key, " | figure | ") == NULL || strstr(key, " | fibre-charge | ") != NULL))
        return true;
    for (size_t i = 0; i < sizeof in_teeth / sizeof *in_teeth; i++) {
        char part[64];
        snprintf(part, sizeof part, " | %s | ", in_teeth[i]);
        if (strstr(key, part) != NULL)
            return true;
    }
    return false;
}

static bool ends_in(const char *key, const char *end)
{
    size_t length = strlen(key), tail = strlen(end);
    return length >= tail && strcmp(key + length - tail, end) == 0;
}

static void hold_within(Checks *checks, const char *path, const Amounts *spread, const Amounts *one)
{
    unsigned outside = 0;
    bool split = false;
    for (size_t i = 0; i < spread->count && i < one->count; i++) {
        const Amount *mine = &spread->at[i], *now = &one->at[i];
        /* No band is told where nothing moves the figure by more than its shown decimals. */
        double room = (mine->low == mine->high ? 1e-3 : 1e-9) * fmax(fabs(mine->low), fabs(mine->high));
        const char *bar = strstr(mine->key, " | ");
        if (ends_in(mine->key, " | parcels"))
            split = mine->value > 1 || now->value > 1;
        if (bar == NULL || strstr(bar + 3, " | ") == NULL || strstr(mine->key, "| weigh |") != NULL || is_in_teeth(mine->key, split))
            continue; /* counts, hours and what is weighed are told once; the figures beside them tell how far they may be off */
        bool within = strcmp(mine->key, now->key) == 0 && mine->told == now->told &&
                      (!mine->told || (now->value >= mine->low - room && now->value <= mine->high + room));
        if (!within && outside++ < 3)
            printf("  %s: %s: %.15g is not within %.15g and %.15g\n", path, mine->key, now->value, mine->low, mine->high);
    }
    check(checks, spread->count == one->count && outside == 0, "%s: %u of %zu amounts lie outside", path, outside, spread->count);
}

/* Stdlib in a folder, each about in it settled; how many there were. */
static unsigned write_stdlib(Checks *checks, const Paths *stdlib, Dice *dice)
{
    unsigned count = 0;
    for (size_t i = 0; i < stdlib->count; i++) {
        char target[512];
        snprintf(target, sizeof target, "%s/%s", settled, stdlib->at[i]);
        for (char *slash = strchr(target, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
            *slash = '\0';
            mkdir(target, 0777);
            *slash = '/';
        }
        char *text = check_read(stdlib->at[i], NULL);
        Page page = {0};
        count += text == NULL ? 0 : write_settled(&page, text, dice);
        FILE *file = fopen(target, "wb");
        bool fine = file != NULL && text != NULL && fwrite(page.at, 1, page.length, file) == page.length;
        fine = file != NULL && fclose(file) == 0 && fine;
        check(checks, fine, "%s cannot be written", target);
        free(page.at);
        free(text);
    }
    return count;
}

static void try_script(Checks *checks, Dice *dice, Workshop *workshop, const char *path, const Amounts *spread)
{
    char *text = check_read(path, NULL);
    Page page = {0};
    Amounts one = {0};
    drop_expects(text);
    write_settled(&page, text, dice);
    if (amounts_of_text(checks, workshop, path, page.at, page.length, &one))
        hold_within(checks, path, spread, &one);
    amounts_clear(&one);
    free(page.at);
    free(text);
}

/* One stdlib with settled abouts, and each script with its own settled. */
static void try_round(Checks *checks, Dice *dice, const Paths *stdlib, const Paths *paths, const Amounts *spread)
{
    char folder[512];
    unsigned count = write_stdlib(checks, stdlib, dice);
    snprintf(folder, sizeof folder, "%s/stdlib", settled);
    Workshop *workshop = workshop_open(&(WorkshopWish){.stdlib = folder, .unjudged = true});
    if (check(checks, workshop != NULL && workshop_trouble(workshop)[0] == '\0' && count > 100, "no workshop with a settled stdlib (%u abouts): %s",
              count, workshop != NULL ? workshop_trouble(workshop) : ""))
        for (size_t i = 0; i < paths->count; i++)
            try_script(checks, dice, workshop, paths->at[i], &spread[i]);
    workshop_close(workshop);
}

int main(void)
{
    Checks checks = {0};
    Dice dice = dice_seeded("spread", 5);
    Paths paths = {0}, stdlib = {0};
    folder_add(&stdlib, "stdlib", ".wleaf");
    folder_add(&paths, "examples", "binders-laid.wleaf");
    folder_add(&paths, "examples", "botanical.wleaf");
    folder_add(&paths, "examples", "heath.wleaf");
    folder_add(&paths, "examples", "kozo-tissue.wleaf");
    folder_add(&paths, "examples", "printing.wleaf");
    folder_add(&paths, "tests/golden/flow", "followed.wleaf");
    folder_add(&paths, "tests/golden/flow", "every-step.wleaf");
    Amounts *spread = check_resize(NULL, paths.count * sizeof *spread);
    memset(spread, 0, paths.count * sizeof *spread);
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    bool told = check(&checks, workshop != NULL, "no workshop");
    for (size_t i = 0; told && i < paths.count; i++) {
        char *text = check_read(paths.at[i], NULL);
        told = check(&checks, text != NULL, "%s cannot be read", paths.at[i])
            && amounts_of_text(&checks, workshop, paths.at[i], text, strlen(text), &spread[i]);
        free(text);
    }
    for (int round = 0; told && round < ROUNDS; round++)
        try_round(&checks, &dice, &stdlib, &paths, spread);
    workshop_close(workshop);
    for (size_t i = 0; i < paths.count; i++)
        amounts_clear(&spread[i]);
    free(spread);
    folder_free(&paths);
    folder_free(&stdlib);
    return checks_end(&checks, "spread");
}
