/* Runs each target over every file of its corpus, under the sanitizers: nothing may crash, and all that a target
 * says must hold. Usage: replay FOLDER */
#include "fuzz.h"

#include "../folder.h"

static const struct { const char *name; void (*run)(const uint8_t *bytes, size_t length); } targets[] = {
    {"lexer", fuzz_lexer}, {"tidy", fuzz_tidy}, {"whole", fuzz_whole}, {"carried", fuzz_carried}, {"pages", fuzz_pages},
    {"framing", fuzz_framing}, {"session", fuzz_session}};

/* Each path is printed before it is run, so that the last one told is the one that failed. */
static void replay(Checks *checks, const char *folder, size_t target)
{
    Paths paths = {0};
    char below[4096];
    snprintf(below, sizeof below, "%s/%s", folder, targets[target].name);
    folder_add(&paths, below, "");
    check(checks, paths.count > 0, "%s holds nothing", below);
    for (size_t i = 0; i < paths.count; i++) {
        size_t length = 0;
        char *bytes = check_read(paths.at[i], &length), *exact = bytes == NULL ? NULL : check_copy(bytes, length);
        printf("%s\n", paths.at[i]);
        fflush(stdout);
        if (check(checks, bytes != NULL, "%s cannot be read", paths.at[i]))
            targets[target].run((const uint8_t *)exact, length);
        free(bytes);
        free(exact);
    }
    folder_free(&paths);
}

int main(int count, char **arguments)
{
    Checks checks = {0};
    for (size_t i = 0; i < sizeof targets / sizeof targets[0]; i++)
        replay(&checks, count > 1 ? arguments[1] : "tests/fuzz/corpus", i);
    return checks_end(&checks, "replay");
}
