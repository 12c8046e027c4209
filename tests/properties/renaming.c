/* The trade is in stdlib, not in the program: with every name that stdlib declares (kinds, units, materials, moulds,
 * steps, what they take, figures, fields, words, states, marks, tables, cautions, claims) replaced by an invented one,
 * in stdlib and in the scripts, all amounts stay the same.
 *
 * What stays: the words of the language (grammar/words.def) and those that the program itself knows
 * (src/meaning/known.def). The renamed files stand in build/tests/renamed, to be looked at. */
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

/* Calls for each name in TEXT: collects it where PAGE is NULL, else writes TEXT with its names replaced. */
static void go_through(NamesKnown *names, const char *text, Page *page)
{
    bool quoted = false, braced = false;
    for (const char *at = text; *at != '\0';) {
        size_t length = 1;
        bool name = false;
        quoted = *at == '\n' ? false : quoted != (*at == '"' && (at == text || at[-1] != '\\'));
        if (quoted && (*at == '{' || *at == '}'))
            braced = *at == '{' && at[1] != '{';
        if (*at == '#' && !quoted)
            length = strcspn(at, "\n");
        else if (quoted && !braced)
            length = 1;
        else if (percent_length(at) > 0)
            length = percent_length(at);
        else if (isdigit((unsigned char)*at))
            length = strspn(at, "0123456789_.:-");
        else if (name_length(at) > 0) {
            length = name_length(at);
            name = !is_kept(at, length);
        } else
            while (((unsigned char)at[length] & 0xC0) == 0x80) /* a sign of several bytes */
                length++;
        size_t which = name ? find_name(names, at, length) : 0;
        if (page == NULL && name && which == names->count) {
            names->at = check_resize(names->at, (names->count + 1) * sizeof *names->at);
            names->at[names->count++] = check_copy(at, length);
        }
        if (page != NULL && name && which < names->count)
            page_print(page, "zq%c%c%cx", (int)('a' + which / 676), (int)('a' + which / 26 % 26), (int)('a' + which % 26));
        else if (page != NULL)
            page_add(page, at, length);
        at += length == 0 ? 1 : length;
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
    if (amounts_of_file(checks, plain, path, &one) & amounts_of_file(checks, invented, other, &two)) {
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
    for (size_t i = 0; i < stdlib.count; i++) {
        char *text = check_read(stdlib.at[i], NULL);
        if (check(&checks, text != NULL, "%s cannot be read", stdlib.at[i]))
            go_through(&names, text, NULL);
        free(text);
    }
    for (size_t i = 0; i < stdlib.count; i++)
        check(&checks, write_renamed(&names, stdlib.at[i]), "%s cannot be written", stdlib.at[i]);
    for (size_t i = 0; i < scripts.count; i++)
        check(&checks, write_renamed(&names, scripts.at[i]), "%s cannot be written", scripts.at[i]);
    write_renamed(&names, "examples/waterleaf.root");
    snprintf(folder, sizeof folder, "%s/stdlib", renamed);
    Workshop *plain = workshop_open(&(WorkshopWish){0}), *invented = workshop_open(&(WorkshopWish){.stdlib = folder});
    printf("renaming: %zu names, %d words stay\n", names.count, KEPT);
    if (check(&checks, plain != NULL && invented != NULL && names.count > 500 && workshop_trouble(invented)[0] == '\0', "no workshop: %s",
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
