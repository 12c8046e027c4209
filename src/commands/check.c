/* check: what is wrong in scripts. */
#include "commands/command.h"

#include "base/files.h"
#include "base/watch.h"
#include "source/show.h"

#include <stdio.h>
#include <string.h>

enum { MOST_SCRIPTS = 20000 };

/* What was printed already: a script that many use is told of once. */
typedef struct Printed { Memory *memory; Names keys; } Printed;

typedef struct Checking {
    const Options *options;
    Workshop *workshop;
    Printed printed;
    Text text;
    Json json;
    uint32_t errors, warnings, scripts;
    Text depends;          /* the scripts that were read */
    Watch *watch;          /* NULL: nothing is watched */
    bool failed;
} Checking;

static bool printed_before(Checking *checking, const Message *message)
{
    Memory *memory = checking->printed.memory;
    const World *world = workshop_world(checking->workshop);
    const Source *source = sources_at(&world->sources, message->at.start);
    Text key;
    text_open(&key, memory);
    text_print(&key, "%s:%u:%u", names_text(&world->names, source->path), message->at.start - source->base, (unsigned)message->kind);
    bool before = names_find(&checking->printed.keys, key.at, key.length) != 0;
    names_intern(&checking->printed.keys, memory, key.at, key.length);
    text_close(&key);
    return before;
}

/* Only what was not printed for another script. */
static void print_problems(Checking *checking)
{
    const Messages *messages = workshop_messages(checking->workshop);
    const World *world = workshop_world(checking->workshop);
    Messages fresh = *messages;
    Memory *memory = checking->printed.memory;
    fresh.list.at = memory_take(memory, (messages->list.count + 1u) * sizeof(Message));
    fresh.list.count = 0;
    for (uint32_t i = 0; i < messages->list.count; i++) {
        if (!printed_before(checking, &messages->list.at[i])) {
            fresh.list.at[fresh.list.count++] = messages->list.at[i];
            checking->errors += messages->list.at[i].severity == SEVERITY_ERROR;
            checking->warnings += messages->list.at[i].severity == SEVERITY_WARNING;
        }
    }
    for (uint32_t i = 0; i < fresh.list.count; i++) {
        if (checking->options->sarif) {
            sarif_result(&checking->json, checking->workshop, &fresh.list.at[i], memory);
            continue;
        }
        if (checking->options->json) {
            command_json_problem(&checking->json, checking->workshop, &fresh.list.at[i]);
            continue;
        }
        show_message(&checking->text, &world->sources, &world->names, &fresh.list.at[i],
                     (ShowHow){.one_line = checking->options->one_line, .colour = checking->options->colour_of_output});
        if (!checking->options->one_line) {
            text_char(&checking->text, '\n');
        }
    }
    if (!checking->options->json && !checking->options->sarif && !checking->options->one_line) {
        command_tell_more(&checking->text, messages);
    }
}

static WaterleafAnswer read_and_check(Checking *checking, const char *path)
{
    workshop_clear(checking->workshop);
    WaterleafAnswer answer = workshop_read(checking->workshop, path);
    return answer == WATERLEAF_FINE ? workshop_check(checking->workshop) : answer;
}

/* The folders of all scripts that were read. */
static void watch_sources(Checking *checking)
{
    const World *world = workshop_world(checking->workshop);
    for (uint32_t i = 1; checking->watch != NULL && i < world->sources.list.count; i++) {
        const char *path = names_text(&world->names, world->sources.list.at[i].path), *slash = strrchr(path, '/');
        char folder[4096];
        snprintf(folder, sizeof folder, "%.*s", slash == NULL ? 1 : slash == path ? 1 : (int)(slash - path), slash == NULL ? "." : path);
        if (!world->sources.list.at[i].library) {
            watch_folder(checking->watch, folder);
        }
    }
}

static void check_one(Checking *checking, const char *path)
{
    WaterleafAnswer answer = read_and_check(checking, path);
    checking->scripts++;
    if (answer == WATERLEAF_FINE && checking->options->mend && strcmp(path, "-") != 0
        && mend_script(checking->options, checking->workshop, path, &checking->text, &checking->failed)) {
        answer = read_and_check(checking, path);
    }
    watch_sources(checking);
    if (checking->options->depends != NULL) {
        depends_add(&checking->depends, checking->workshop);
    }
    if (answer != WATERLEAF_FINE) {
        command_trouble("%s", workshop_trouble(checking->workshop));
        checking->failed = true;
    }
    checking->failed = checking->failed || command_unread(workshop_messages(checking->workshop));
    print_problems(checking);
}

static void check_folder(Checking *checking, const char *folder)
{
    char *paths;
    if (files_below(checking->printed.memory, folder, ".wleaf", MOST_SCRIPTS, &paths) != FILE_FINE) {
        command_trouble("The folder %s cannot be read.", folder);
        checking->failed = true;
        return;
    }
    for (const char *path = paths; *path != 0 && !checking->failed; path += strlen(path) + 1) {
        check_one(checking, strncmp(path, "./", 2) == 0 ? path + 2 : path);
    }
}

/* All that was asked for, once; what is to be said stands in checking->text. */
static void check_all(Checking *checking, int count, char **words)
{
    const Options *options = checking->options;
    if (options->json || options->sarif) {
        json_put_open(&checking->json, &checking->text);
        if (options->sarif) {
            sarif_begin(&checking->json);
        } else {
            command_json_head(&checking->json, checking->workshop);
            json_put_array(&checking->json, "problems");
        }
    }
    for (int i = 0; i < count || (count == 0 && i == 0); i++) {
        const char *path = count == 0 ? "." : words[i];
        if (files_is_folder(path)) {
            if (checking->watch != NULL) {
                watch_folder(checking->watch, path);
            }
            check_folder(checking, path);
        } else {
            check_one(checking, path);
        }
    }
    if (options->json || options->sarif) {
        json_put_close(&checking->json);
    }
}

static const char *many(uint32_t count, const char *one, const char *more) { return count == 1 ? one : more; }

/* Again and again; each time one line tells how it stands. */
static int watch(Checking *checking, int count, char **words)
{
    Watch watch;
    if (!watch_open(&watch)) {
        return command_trouble("This system cannot tell when a file changes.");
    }
    checking->watch = &watch;
    int answer = COMMAND_FINE;
    do {
        names_close(&checking->printed.keys, checking->printed.memory);
        names_open(&checking->printed.keys, checking->printed.memory);
        text_clear(&checking->text);
        checking->errors = checking->warnings = checking->scripts = 0;
        checking->failed = false;
        check_all(checking, count, words);
        text_print(&checking->text, "%u %s, %u %s in %u %s\n", checking->errors, many(checking->errors, "error", "errors"), checking->warnings,
                   many(checking->warnings, "warning", "warnings"), checking->scripts, many(checking->scripts, "script", "scripts"));
        answer = command_put(checking->options, &checking->text, false);
    } while (answer == COMMAND_FINE && watch_wait(&watch));
    watch_close(&watch);
    return answer;
}

int command_check(const Options *options, int count, char **words)
{
    if (options->watch && (options->json || options->sarif || options->mend)) {
        return command_trouble("--watch goes without --json, --sarif and --mend.");
    }
    Workshop *workshop = command_workshop(options);
    if (workshop == NULL) {
        return COMMAND_TROUBLE;
    }
    Checking checking = {.options = options, .workshop = workshop};
    checking.printed.memory = options->memory;
    names_open(&checking.printed.keys, options->memory);
    text_open(&checking.text, options->memory);
    text_open(&checking.depends, options->memory);
    if (options->watch) {
        int ended = watch(&checking, count, words);
        workshop_close(workshop);
        return ended;
    }
    check_all(&checking, count, words);
    int answer = command_put(options, &checking.text, false);
    if (answer == COMMAND_FINE && options->depends != NULL && !checking.failed) {
        answer = depends_write(options, &checking.depends);
    }
    if (answer == COMMAND_FINE) {
        answer = checking.failed ? COMMAND_TROUBLE
            : checking.errors > 0 || (options->strict && checking.warnings > 0) ? COMMAND_PROBLEM : COMMAND_FINE;
    }
    workshop_close(workshop);
    return answer;
}
