/* Makes what of stdlib is built into the program: make-image FOLDER IMAGE START. IMAGE is its world, START the scripts to start with.
 * Any message about stdlib, or about one of these scripts as it stands, is an error here. */
#include "workshop_parts.h"

#include "base/files.h"
#include "source/show.h"
#include "source/template.h"

#include <string.h>

const char *workshop_built_in(size_t *length)
{
    *length = 0;
    return NULL;
}

const char *workshop_built_in_start(void) { return ""; }

/* Whether nothing was said; else it is told. */
static bool is_silent(Workshop *workshop, Memory *memory)
{
    const Messages *messages = workshop_messages(workshop);
    Text text;
    text_open(&text, memory);
    for (uint32_t i = 0; i < messages->list.count; i++) {
        show_message(&text, &workshop->world.sources, &workshop->world.names, &messages->list.at[i], (ShowHow){.one_line = false});
    }
    bool silent = messages->list.count == 0 && *workshop_trouble(workshop) == 0;
    if (!silent) {
        fprintf(stderr, "%s%s\n", text.at == NULL ? "" : text.at, workshop_trouble(workshop));
    }
    text_close(&text);
    return silent;
}

/* A script to start with: that its marks are in order, and that it is without a mistake as it stands. */
static bool start_is_sound(Workshop *workshop, Arena *arena, const char *folder, const char *name, const char *text)
{
    Questions questions = {0};
    Text filled;
    text_open(&filled, arena->memory);
    const char *wrong = template_questions(arena, text, &questions);
    wrong = wrong == NULL ? template_fill(arena, text, &questions, &filled) : wrong;
    if (wrong != NULL) {
        fprintf(stderr, "%s/start/%s.wleaf: %s\n", folder, name, wrong);
        return false;
    }
    workshop_clear(workshop);
    workshop_read(workshop, arena_print(arena, "%s/start/%s.wleaf", folder, name));
    workshop_check(workshop);
    return is_silent(workshop, arena->memory);
}

static bool start_scripts_are_sound(Workshop *workshop, Memory *memory, const char *folder)
{
    Arena arena;
    arena_open(&arena, memory);
    bool sound = true;
    for (const char *name = workshop->start; *name != 0;) {
        const char *text = name + strlen(name) + 1;
        sound = start_is_sound(workshop, &arena, folder, name, text) && sound;
        name = text + strlen(text) + 1;
    }
    return sound;
}

static bool write_whole(Memory *memory, const char *path, const char *bytes, size_t length)
{
    bool fine = files_write(memory, path, bytes, length) == FILE_FINE;
    if (!fine) {
        fprintf(stderr, "%s cannot be written.\n", path);
    }
    return fine;
}

int main(int count, char **words)
{
    if (count != 4) {
        fputs("make-image FOLDER IMAGE START\n", stderr);
        return 2;
    }
    WorkshopWish wish = {.stdlib = words[1]};
    Workshop *workshop = workshop_open(&wish);
    if (workshop == NULL) {
        fputs("There is not enough memory.\n", stderr);
        return 2;
    }
    Memory memory = {0};
    int answer = 1;
    if (is_silent(workshop, &memory) && start_scripts_are_sound(workshop, &memory, words[1])) {
        answer = write_whole(&memory, words[2], workshop->image, workshop->image_length)
            && write_whole(&memory, words[3], workshop->start_read.at, workshop->start_read.length) ? 0 : 2;
    }
    memory_return_all(&memory);
    workshop_close(workshop);
    return answer;
}
