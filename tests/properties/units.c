/* An input written in another unit changes nothing: each quantity of each script, one after the other, is told in each
 * other unit that its unit can be told in. */
#include "../folder.h"
#include "amounts.h"

#include <ctype.h>

/* So many of OTHER make one of UNIT: exact in decimals, or as close as 17 digits come. */
typedef struct Other { const char *unit, *other; double times; } Other;

static const Other others[] = {
    {"g", "kg", 0.001},       {"g", "mg", 1000},            {"g", "lb", 1 / 453.59237},  {"kg", "g", 1000},
    {"kg", "oz-avoirdupois", 16 / 0.45359237},              {"t", "kg", 1000},           {"mm", "m", 0.001},
    {"mm", "in", 1 / 25.4},   {"in", "mm", 25.4},           {"in", "cm", 2.54},          {"L", "mL", 1000},
    {"L", "gal-imperial", 1 / 4.54609},                     {"L", "gal-US", 1 / 3.785411784},
    {"h", "min", 60},         {"h", "s", 3600},             {"min", "h", 1 / 60.0},      {"min", "s", 60},
    {"d", "h", 24},           {"g/m²", "kg/m²", 0.001},     {"g/m²", "gsm", 1},          {"g/m²", "mg/cm²", 0.1},
    {"kPa", "MPa", 0.001},    {"kPa", "bar", 0.01},         {"MPa", "kPa", 1000},        {"mg/L", "g/L", 0.001},
    {"kg/L", "g/mL", 1},      {"g/cm³", "kg/L", 1},         {"sheets/h", "sheets/d", 24}, {"L/kg", "mL/g", 1},
    {"g/L", "kg/hL", 0.1},
};
enum { OTHERS = sizeof others / sizeof *others };

/* The number that begins at AT and is no part of a name, a range or a size with one unit; its length, 0: none. */
static size_t number_at(const char *text, const char *at)
{
    if (!isdigit((unsigned char)*at) || (at > text && (isalnum((unsigned char)at[-1]) || strchr("._-", at[-1]) != NULL)))
        return 0;
    size_t length = strspn(at, "0123456789_");
    if (at[length] == '.' && isdigit((unsigned char)at[length + 1]))
        length += 1 + strspn(at + length + 1, "0123456789");
    return at[length] == ' ' ? length : 0;
}

static size_t unit_at(const char *at)
{
    size_t length = 0;
    while (isalpha((unsigned char)at[length]) || at[length] == '/' || (unsigned char)at[length] >= 0x80)
        length++;
    return length;
}

static double read_number(const char *at, size_t length)
{
    char digits[64];
    size_t count = 0;
    for (size_t i = 0; i < length && count + 1 < sizeof digits; i++)
        if (at[i] != '_')
            digits[count++] = at[i];
    digits[count] = '\0';
    return strtod(digits, NULL);
}

static void try_other(Checks *checks, Workshop *workshop, const char *path, const char *text, const char *at, size_t number, size_t unit,
                      const Other *other, const Amounts *before)
{
    Page page = {0};
    Amounts after = {0};
    char what[300];
    page_add(&page, text, (size_t)(at - text));
    page_print(&page, "%.17g %s", read_number(at, number) * other->times, other->other);
    const char *rest = at + number + 1 + unit;
    if (strchr(page.at + (at - text), 'e') == NULL) { /* numbers are typed without exponents */
        page_add(&page, rest, strlen(rest));
        snprintf(what, sizeof what, "%s: %.*s told as %s", path, (int)(number + 1 + unit), at, page.at + (at - text));
        what[strcspn(what, "\n")] = '\0';
        if (amounts_of_text(checks, workshop, path, page.at, page.length, &after))
            amounts_compare(checks, what, before, &after, 1e-12);
    }
    amounts_clear(&after);
    free(page.at);
}

static void try_script(Checks *checks, Workshop *workshop, const char *path)
{
    char *text = check_read(path, NULL);
    Amounts before = {0};
    bool quoted = false;
    if (check(checks, text != NULL, "%s cannot be read", path) && amounts_of_text(checks, workshop, path, text, strlen(text), &before))
        for (const char *at = text; *at != '\0'; at++) {
            quoted = *at == '\n' ? false : quoted != (*at == '"');
            if (!quoted && *at == '#')
                at += strcspn(at, "\n") - 1;
            size_t number = quoted ? 0 : number_at(text, at), unit = number == 0 ? 0 : unit_at(at + number + 1);
            for (int i = 0; unit > 0 && i < OTHERS; i++)
                if (strlen(others[i].unit) == unit && strncmp(others[i].unit, at + number + 1, unit) == 0)
                    try_other(checks, workshop, path, text, at, number, unit, &others[i], &before);
        }
    amounts_clear(&before);
    free(text);
}

int main(void)
{
    Checks checks = {0};
    Paths paths = {0};
    folder_add(&paths, "examples", ".wleaf");
    folder_add(&paths, "tests/golden/flow", "second.wleaf");
    folder_add(&paths, "tests/golden/language", "own-things.wleaf");
    bool all = getenv("WATERLEAF_FULL") != NULL && getenv("WATERLEAF_FULL")[0] != '\0';
    if (all)
        folder_add(&paths, "tests/golden/flow", "every-step.wleaf");
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = true});
    if (check(&checks, workshop != NULL, "no workshop"))
        for (size_t i = 0; i < paths.count; i++)
            if (strstr(paths.at[i], "/mills/") == NULL)
                try_script(&checks, workshop, paths.at[i]);
    workshop_close(workshop);
    folder_free(&paths);
    return checks_end(&checks, "units");
}
