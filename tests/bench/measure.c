/* What is measured of the library, as a whole process:
 *
 *   measure tokens|tree|kinds|check FILE [--unjudged] [--figures]
 *
 * reads FILE as far as that. With --unjudged rules and claims are passed over. With --figures it prints what it took: bytes of the script, walks, variants, the most
 * bytes held, messages. */
#include "waterleaf.h"

#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

static const char *const stages[] = {"tokens", "tree", "kinds", "check"};

int main(int count, char **arguments)
{
    int stage = -1;
    for (int i = 0; i < 4 && count >= 3; i++)
        if (strcmp(arguments[1], stages[i]) == 0)
            stage = i;
    if (stage < 0) {
        fputs("usage: measure tokens|tree|kinds|check FILE [--figures]\n", stderr);
        return 2;
    }
    bool unjudged = false, figures = false;
    for (int i = 3; i < count; i++) {
        unjudged = unjudged || strcmp(arguments[i], "--unjudged") == 0;
        figures = figures || strcmp(arguments[i], "--figures") == 0;
    }
    Workshop *workshop = workshop_open(&(WorkshopWish){.unjudged = unjudged});
    if (workshop == NULL)
        return 2;
    WaterleafAnswer answer = workshop_read_only(workshop, arguments[2], stage < 3 ? stage : 2);
    if (answer == WATERLEAF_FINE && stage == 3)
        answer = workshop_check(workshop);
    const Messages *messages = workshop_messages(workshop);
    bool wrong = answer != WATERLEAF_FINE || messages == NULL || messages->errors > 0;
    if (wrong)
        fprintf(stderr, "measure: %s: %s\n", arguments[2],
                messages != NULL && messages->list.count > 0 ? messages->list.at[0].says : workshop_trouble(workshop));
    struct stat file;
    if (figures && stat(arguments[2], &file) == 0)
        printf("bytes %lld walks %llu variants %llu held %zu\n", (long long)file.st_size, (unsigned long long)workshop_walks(workshop),
               (unsigned long long)workshop_variants(workshop), workshop_most_held(workshop));
    return wrong;
}
