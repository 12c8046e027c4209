/* Every message there is: its failing example gets it and nothing else, its
 * mended one nothing, and as shown to people it reads as the golden text
 * NAME.txt beside this file. Where the example would be too long for the list of
 * messages, it is the script NAME.wleaf beside this file, and NAME-mended.wleaf the
 * same put right; those without either stand in README.md, with how else they are tested.
 *
 *   messages FOLDER [--update]
 */
#include "../check.h"
#include "source/show.h"
#include "waterleaf.h"

static bool read_example(Checks *checks, Workshop *workshop, const char *name, const char *script)
{
    return check(checks, workshop_clear(workshop) == WATERLEAF_FINE &&
                             workshop_read_text(workshop, "example.wleaf", script, strlen(script)) == WATERLEAF_FINE &&
                             workshop_check(workshop) == WATERLEAF_FINE,
                 "%s: its example cannot be checked: %s", name, workshop_trouble(workshop));
}

/* All that was said, in one line. */
static const char *said(Workshop *workshop, char *room, size_t size)
{
    const Messages *messages = workshop_messages(workshop);
    size_t length = 0;
    room[0] = '\0';
    for (uint32_t i = 0; i < messages->list.count && length < size; i++)
        length += (size_t)snprintf(room + length, size - length, " [%s] %s", messages->list.at[i].name,
                                   messages->list.at[i].says);
    return room;
}

/* The first message in the long form; belongs to TEXT. */
static void show_first(Workshop *workshop, Memory *memory, Text *text)
{
    const World *world = workshop_world(workshop);
    text_open(text, memory);
    show_message(text, &world->sources, &world->names, &workshop_messages(workshop)->list.at[0], (ShowHow){0});
}

static void hold_golden(Checks *checks, const char *folder, const char *name, const char *shown, bool update)
{
    char path[512];
    snprintf(path, sizeof path, "%s/%s.txt", folder, name);
    if (update) {
        FILE *file = fopen(path, "wb");
        check(checks, file != NULL && fputs(shown, file) >= 0 && fclose(file) == 0, "%s cannot be written", path);
        return;
    }
    char *golden = check_read(path, NULL);
    if (check(checks, golden != NULL, "there is no %s", path))
        check(checks, strcmp(golden, shown) == 0, "%s says\n%s\nand shown is\n%s", path, golden, shown);
    free(golden);
}

/* Whether README tells how the message is tested: a line "- `name`: ...". */
static bool in_readme(const char *readme, const char *name)
{
    char entry[128];
    snprintf(entry, sizeof entry, "- `%s`:", name);
    return readme != NULL && strstr(readme, entry) != NULL;
}

static bool pass_over(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)with;
    (void)workshop;
    return outcome != NULL;
}

/* Whether there is a script NAME and ENDING; reads it, checks it and works it out. */
static bool read_script(Checks *checks, Workshop *workshop, const char *folder, const char *name, const char *ending)
{
    char path[512];
    snprintf(path, sizeof path, "%s/%s%s", folder, name, ending);
    FILE *file = fopen(path, "rb");
    if (file == NULL)
        return false;
    fclose(file);
    check(checks, workshop_clear(workshop) == WATERLEAF_FINE && workshop_read(workshop, path) == WATERLEAF_FINE &&
                      workshop_check(workshop) == WATERLEAF_FINE && workshop_work_out(workshop, NULL, 0, pass_over, NULL) != WATERLEAF_FAILED,
          "%s cannot be checked: %s", path, workshop_trouble(workshop));
    return true;
}

/* What was said is the message NAME alone, and reads as its golden text. */
static void hold_said(Checks *checks, Workshop *workshop, const char *folder, const char *name, bool update)
{
    char room[2048];
    const Messages *messages = workshop_messages(workshop);
    bool alone = messages->list.count == 1 && strcmp(messages->list.at[0].name, name) == 0;
    if (!check(checks, alone, "%s: its failing example gets%s", name, said(workshop, room, sizeof room)))
        return;
    jmp_buf rescue;
    Memory memory = {.rescue = &rescue};
    Text text = {0};
    if (setjmp(rescue) == 0) {
        show_first(workshop, &memory, &text);
        hold_golden(checks, folder, name, text.at, update);
    }
    memory_return_all(&memory);
}

static void try_message(Checks *checks, Workshop *workshop, const char *folder, const char *readme, const MessageKind *kind, bool update)
{
    char room[2048];
    bool script = kind->fails[0] == '\0' && read_script(checks, workshop, folder, kind->name, ".wleaf");
    bool example = kind->fails[0] != '\0' && read_example(checks, workshop, kind->name, kind->fails);
    check(checks, (script || kind->fails[0] != '\0') != in_readme(readme, kind->name),
          "%s: there must be either an example or a line of README.md that tells how it is tested", kind->name);
    if (script || example)
        hold_said(checks, workshop, folder, kind->name, update);
    if ((script && check(checks, read_script(checks, workshop, folder, kind->name, "-mended.wleaf"), "%s has no mended script", kind->name)) ||
        (example && check(checks, kind->mended[0] != '\0', "%s has no mended example", kind->name) &&
         read_example(checks, workshop, kind->name, kind->mended)))
        check(checks, workshop_messages(workshop)->list.count == 0, "%s: its mended example gets%s", kind->name,
              said(workshop, room, sizeof room));
}

int main(int count, char **arguments)
{
    Checks checks = {.most_shown = 200};
    const char *folder = count > 1 ? arguments[1] : "tests/messages";
    bool update = count > 2 && strcmp(arguments[2], "--update") == 0;
    char path[512];
    snprintf(path, sizeof path, "%s/README.md", folder);
    char *readme = check_read(path, NULL);
    Workshop *workshop = workshop_open(&(WorkshopWish){0});
    if (check(&checks, workshop != NULL, "no workshop"))
        for (int name = 0; name < MESSAGE_NAMES; name++)
            try_message(&checks, workshop, folder, readme, &message_kinds[name], update);
    workshop_close(workshop);
    free(readme);
    return checks_end(&checks, "messages");
}
