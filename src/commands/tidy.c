/* tidy: scripts are written anew in their one form. */
#include "commands/command.h"

#include "base/files.h"
#include "base/limits.h"

#include <stdio.h>
#include <string.h>

enum { MOST_SCRIPTS = 20000 };

typedef struct Tidying {
    const Options *options;
    Workshop *workshop;
    Memory *memory;
    Text text, said;
    Json json;
    uint32_t untidy;
    bool problem, trouble;
} Tidying;

static void tell(Tidying *tidying, const char *path, bool changed, bool unreadable)
{
    if (tidying->options->json) {
        json_put_object(&tidying->json, NULL);
        json_put_text(&tidying->json, "file", path);
        json_put_truth(&tidying->json, "tidy", !changed && !unreadable);
        json_put_truth(&tidying->json, "written", changed && !tidying->options->only_check);
        json_put_truth(&tidying->json, "readable", !unreadable);
        json_put_end(&tidying->json);
    } else if (changed) {
        text_add_visible(&tidying->said, path, strlen(path));
        text_put(&tidying->said, tidying->options->only_check ? " is not tidy\n" : "\n");
    }
}

static void tidy_one(Tidying *tidying, const char *path)
{
    char *bytes;
    size_t length;
    bool input = strcmp(path, "-") == 0;
    if (files_read(tidying->memory, path, LIMIT_SOURCE_BYTES, &bytes, &length) != FILE_FINE) {
        command_trouble("%s cannot be read.", path);
        tidying->trouble = true;
        return;
    }
    text_clear(&tidying->text);
    WaterleafAnswer answer = workshop_tidy(tidying->workshop, input ? "standard input" : path, bytes, length, &tidying->text);
    if (answer == WATERLEAF_FAILED) {
        command_trouble("%s", workshop_trouble(tidying->workshop));
        tidying->trouble = true;
    } else if (answer != WATERLEAF_FINE) {
        command_show_messages(tidying->options, tidying->workshop, false);
        tidying->problem = true;
        tell(tidying, path, false, true);
    } else {
        bool changed = tidying->text.length != length || memcmp(tidying->text.at, bytes, length) != 0;
        tidying->untidy += changed;
        if (input && !tidying->options->only_check) {
            tidying->trouble = command_put(tidying->options, &tidying->text, false) != COMMAND_FINE || tidying->trouble;
        } else {
            if (changed && !tidying->options->only_check && files_write(tidying->memory, path, tidying->text.at, tidying->text.length) != FILE_FINE) {
                command_trouble("%s cannot be written; it is as it was.", path);
                tidying->trouble = true;
            }
            tell(tidying, path, changed, false);
        }
    }
    memory_return(tidying->memory, bytes);
}

static void tidy_folder(Tidying *tidying, const char *folder)
{
    char *paths;
    if (files_below(tidying->memory, folder, ".wleaf", MOST_SCRIPTS, &paths) != FILE_FINE) {
        command_trouble("The folder %s cannot be read.", folder);
        tidying->trouble = true;
        return;
    }
    for (const char *path = paths; *path != 0; path += strlen(path) + 1) {
        tidy_one(tidying, strncmp(path, "./", 2) == 0 ? path + 2 : path);
    }
}

int command_tidy(const Options *options, int count, char **words)
{
    Workshop *workshop = command_workshop(options);
    if (workshop == NULL) {
        return COMMAND_TROUBLE;
    }
    Tidying tidying = {.options = options, .workshop = workshop, .memory = options->memory};
    text_open(&tidying.text, options->memory);
    text_open(&tidying.said, options->memory);
    if (options->json) {
        json_put_open(&tidying.json, &tidying.said);
        command_json_head(&tidying.json, workshop);
        json_put_array(&tidying.json, "files");
    }
    for (int i = 0; i < count || (count == 0 && i == 0); i++) {
        const char *path = count == 0 ? "." : words[i];
        (files_is_folder(path) ? tidy_folder : tidy_one)(&tidying, path);
    }
    if (options->json) {
        json_put_close(&tidying.json);
    }
    int answer = command_put(options, &tidying.said, false);
    workshop_close(workshop);
    return answer != COMMAND_FINE || tidying.trouble ? COMMAND_TROUBLE
        : tidying.problem || (options->only_check && tidying.untidy > 0) ? COMMAND_PROBLEM : COMMAND_FINE;
}
