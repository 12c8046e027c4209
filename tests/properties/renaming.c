/* The trade is in stdlib, not in the program: with every name that stdlib declares (kinds, units, materials, moulds,
 * steps, what they take, figures, fields, words, states, marks, tables, cautions, claims) replaced by an invented one,
 * in stdlib and in the scripts, all amounts stay the same.
 *
 * What stays: the words of the language (grammar/words.def) and those that the program itself knows
 * (src/meaning/known.def). A kind, a basis or a unit that only shares its spelling with such a word is replaced all the
 * same where it stands for itself: the program knows a thing's `mass`, but no kind of that name. Where the design lets the
 * program know a kind (`count`), it stays. The renamed files stand in build/tests/renamed, to be looked at. */
#include "../folder.h"
#include "amounts.h"

#include <ctype.h>
#include <sys/stat.h>

static const char renamed[] = "build/tests/renamed";

static const char *const kept[] = {
#define KNOWN(id, text) text,
#include "meaning/known.def"
#undef KNOWN
#define WORD(kind, spelling) spelling,
#define HEAD(kind, spelling) spelling,
#include "grammar/words.def"
    "decimal", "decimals",
};
enum { KEPT = sizeof kept / sizeof *kept };

typedef struct NamesKnown { char **at; size_t count; } NamesKnown;

static bool is_kept(const char *at, size_t length)
{
    for (size_t i = 0; i < KEPT; i++)
        if (strlen(kept[i]) == length && strncmp(kept[i], at, length) == 0)
            return true;
    return false;
}

static size_t find_name(const NamesKnown *names, const char *at, size_t length)
{
    for (size_t i = 0; i < names->count; i++)
        if (strlen(names->at[i]) == length && strncmp(names->at[i], at, length) == 0)
            return i;
    return names->count;
}

/* Signs that stand between the parts of a unit or are operators, though their bytes could be letters. */
static bool is_sign(const char *at)
{
    static const char *const signs[] = {"²", "³", "·", "±", "×", "÷", "−", "…", "≤", "≥", "≠", "‰"};
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++)
        if (strncmp(at, signs[i], strlen(signs[i])) == 0)
            return true;
    return false;
}

static size_t name_length(const char *at)
{
    size_t length = 0;
    while ((isalnum((unsigned char)at[length]) || (unsigned char)at[length] >= 0x80 ||
            (length > 0 && at[length] == '-' && isalnum((unsigned char)at[length + 1]))) &&
           !is_sign(at + length))
        length++;
    return length;
}

/* The forms of % that the lexer owns, from the sign on. */
static size_t percent_length(const char *at)
{
    static const char *const forms[] = {"% w/v dry", "% w/v as-weighed", "% w/w"};
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++)
        if (strncmp(at, forms[i], strlen(forms[i])) == 0)
            return strlen(forms[i]);
    return 0;
}

/* Where in the text a name stands: what was in front of it on its line. */
typedef struct Place {
    char head[64], before[64], second[64]; /* the first word of the line; the two last words or signs, the last first */
    int brackets;
    bool quoted, braced;
} Place;

static bool is(const char *word, const char *other) { return strcmp(word, other) == 0; }

static void place_pass(Place *place, const char *at, size_t length)
{
    bool name = name_length(at) > 0;
    length = length < sizeof place->head ? length : sizeof place->head - 1;
    if (*at == '\n')
        *place = (Place){0};
    if (*at == ' ' || *at == '\n')
        return;
    place->brackets += (*at == '(') - (*at == ')');
    strcpy(place->second, place->before);
    snprintf(place->before, sizeof place->before, "%.*s", (int)length, at);
    if (name && place->head[0] == '\0')
        strcpy(place->head, place->before);
}

/* As what a name stands here that is replaced though a known word is spelt like it: "kind", "basis", "unit"; NULL: as none.
 * DECLARES: this is where stdlib declares it. */
static const char *stands_as(const Place *place, bool *declares)
{
    bool head_before = is(place->before, place->head) && place->second[0] == '\0';
    *declares = head_before;
    if (is(place->head, "kind") && !is(place->second, "shown"))
        return "kind";
    if (is(place->head, "basis"))
        return head_before ? "basis" : "kind";
    if (is(place->head, "unit") && (head_before || is(place->before, "also")))
        return *declares = true, "unit";
    if (is(place->before, "as") || (is(place->before, "of") && (is(place->head, "unit") || is(place->head, "table"))))
        return "kind";
    if ((is(place->before, "of") || is(place->before, "on")) && is(place->second, "%"))
        return "basis";
    if (isdigit((unsigned char)place->before[0]))
        return "unit";
    if (is(place->before, "in") && (is(place->second, "shown") || place->braced || place->brackets > 0))
        return "unit";
    return NULL;
}

/* What is looked up for the name: itself, or for a spelling that is kept elsewhere "kind mass"; an empty KEY: it stays. */
static void key_of(const NamesKnown *names, const Place *place, const char *at, size_t length, bool collecting, char key[128])
{
    bool declares = false;
    const char *as = is_kept(at, length) ? stands_as(place, &declares) : "";
    key[0] = '\0';
    if (as == NULL || (as[0] != '\0' && (strncmp(at, "count", length) == 0 || strncmp(at, "in", length) == 0)))
        return;
    snprintf(key, 128, "%s%s%.*s", as, as[0] != '\0' ? " " : "", (int)length, at);
    bool known = find_name(names, key, strlen(key)) < names->count;
    if (as[0] != '\0' && !known && !(collecting && declares))
        key[0] = '\0';
}

/* Goes through the names in TEXT: collects them where PAGE is NULL, else writes TEXT with its names replaced. */
static void go_through(NamesKnown *names, const char *text, Page *page)
{
    Place place = {0};
    for (const char *at = text; *at != '\0';) {
        size_t length = 1;
        char key[128] = "";
        place.quoted = *at == '\n' ? false : place.quoted != (*at == '"' && (at == text || at[-1] != '\\'));
        if (place.quoted && (*at == '{' || *at == '}'))
            place.braced = *at == '{' && at[1] != '{';
        if (*at == '#' && !place.quoted)
            length = strcspn(at, "\n");
        else if (place.quoted && !place.braced)
            length = 1;
        else if (percent_length(at) > 0)
            length = percent_length(at);
        else if (isdigit((unsigned char)*at))
            length = strspn(at, "0123456789_.:-");
        else if (name_length(at) > 0) {
            length = name_length(at);
            key_of(names, &place, at, length, page == NULL, key);
        } else
            while (((unsigned char)at[length] & 0xC0) == 0x80) /* a sign of several bytes */
                length++;
        size_t which = key[0] == '\0' ? names->count : find_name(names, key, strlen(key));
        if (page == NULL && key[0] != '\0' && which == names->count) {
            names->at = check_resize(names->at, (names->count + 1) * sizeof *names->at);
            names->at[names->count++] = check_copy(key, strlen(key));
        }
        if (page != NULL && which < names->count)
            page_print(page, "zq%c%c%cx", (int)('a' + which / 676), (int)('a' + which / 26 % 26), (int)('a' + which % 26));
        else if (page != NULL)
            page_add(page, at, length);
        place_pass(&place, at, length);
        at += length;
    }
}

static bool write_renamed(NamesKnown *names, const char *path)
{
    char target[512];
    snprintf(target, sizeof target, "%s/%s", renamed, path);
    for (char *slash = strchr(target + 1, '/'); slash != NULL; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        mkdir(target, 0777);
        *slash = '/';
    }
    char *text = check_read(path, NULL);
    Page page = {0};
    if (text != NULL)
        go_through(names, text, &page);
    FILE *file = fopen(target, "wb");
    bool fine = file != NULL && text != NULL && fwrite(page.at, 1, page.length, file) == page.length;
    fine = file != NULL && fclose(file) == 0 && fine;
    free(page.at);
    free(text);
    return fine;
}

static bool amounts_of_file(Checks *checks, Workshop *workshop, const char *path, Amounts *amounts)
{
    bool fine = workshop_clear(workshop) == WATERLEAF_FINE && workshop_read(workshop, path) == WATERLEAF_FINE &&
                workshop_work_out(workshop, NULL, 0, amounts_of, amounts) == WATERLEAF_FINE;
    const Messages *messages = workshop_messages(workshop);
    uint32_t line = 0, column = 0;
    if (messages->list.count > 0)
        sources_line(&workshop_world(workshop)->sources, messages->list.at[0].at.start, &line, &column);
    return check(checks, fine && messages->errors == 0, "%s:%u: %s", path, line,
                 messages->list.count > 0 ? messages->list.at[0].says : workshop_trouble(workshop));
}

/* The amounts come in the order in which stdlib declares their figures, so they are held against one another one by one. */
static void try_script(Checks *checks, Workshop *plain, Workshop *invented, const char *path)
{
    char other[512];
    Amounts one = {0}, two = {0};
    snprintf(other, sizeof other, "%s/%s", renamed, path);
    bool worked = amounts_of_file(checks, plain, path, &one);
    if (amounts_of_file(checks, invented, other, &two) && worked) {
        size_t differ = 0;
        for (size_t i = 0; i < one.count && i < two.count; i++)
            if (!amount_same(&one.at[i], &two.at[i], 1e-12) && differ++ < 3)
                printf("  %s: %s: %.15g, and %s: %.15g\n", path, one.at[i].key, one.at[i].value, two.at[i].key, two.at[i].value);
        check(checks, one.count > 0 && one.count == two.count && differ == 0, "%s: %zu amounts and %zu, of which %zu differ", path, one.count,
              two.count, differ);
    }
    amounts_clear(&one);
    amounts_clear(&two);
}

int main(void)
{
    Checks checks = {0};
    Paths stdlib = {0}, scripts = {0};
    NamesKnown names = {0};
    char folder[512];
    folder_add(&stdlib, "stdlib", ".wleaf");
    folder_add(&scripts, "examples", ".wleaf");
    folder_add(&scripts, "tests/golden/flow", ".wleaf");
    folder_add(&scripts, "tests/golden/language", "own-things.wleaf");
    folder_add(&scripts, "tests/golden/language", "values.wleaf");
    folder_add(&scripts, "tests/golden/language", "variants.wleaf");
    folder_add(&scripts, "tests/golden/language", "changes.wleaf");
    for (size_t i = 0; i < stdlib.count; i++) {
        char *text = check_read(stdlib.at[i], NULL);
        if (check(&checks, text != NULL, "%s cannot be read", stdlib.at[i]))
            go_through(&names, text, NULL);
        free(text);
    }
    size_t placed = 0;
    for (size_t i = 0; i < names.count; i++)
        placed += strchr(names.at[i], ' ') != NULL;
    for (size_t i = 0; i < stdlib.count; i++)
        check(&checks, write_renamed(&names, stdlib.at[i]), "%s cannot be written", stdlib.at[i]);
    for (size_t i = 0; i < scripts.count; i++)
        check(&checks, write_renamed(&names, scripts.at[i]), "%s cannot be written", scripts.at[i]);
    write_renamed(&names, "examples/waterleaf.root");
    snprintf(folder, sizeof folder, "%s/stdlib", renamed);
    Workshop *plain = workshop_open(&(WorkshopWish){0}), *invented = workshop_open(&(WorkshopWish){.stdlib = folder});
    printf("renaming: %zu names, %zu of them spelt as one of the %d words that stay\n", names.count, placed, KEPT);
    if (check(&checks, plain != NULL && invented != NULL && names.count > 500 && placed >= 8 && workshop_trouble(invented)[0] == '\0', "no workshop: %s",
              invented == NULL ? "" : workshop_trouble(invented)))
        for (size_t i = 0; i < scripts.count; i++)
            if (strstr(scripts.at[i], "/mills/") == NULL)
                try_script(&checks, plain, invented, scripts.at[i]);
    workshop_close(plain);
    workshop_close(invented);
    for (size_t i = 0; i < names.count; i++)
        free(names.at[i]);
    free(names.at);
    folder_free(&stdlib);
    folder_free(&scripts);
    return checks_end(&checks, "renaming");
}
