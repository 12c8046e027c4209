/* --depends: a rule for make, of which scripts an output depends on. */
#include "commands/command.h"

#include "base/files.h"

/* As make reads it: blanks, # and $ are told from its own. */
static void put_path(Text *out, const char *path)
{
    for (; *path != 0; path++) {
        if (*path == ' ' || *path == '#' || *path == '\\') {
            text_char(out, '\\');
        } else if (*path == '$') {
            text_char(out, '$');
        }
        text_char(out, *path);
    }
}

void depends_add(Text *out, Workshop *workshop)
{
    const World *world = workshop_world(workshop);
    for (uint32_t i = 1; i < world->sources.list.count; i++) {
        if (!world->sources.list.at[i].library) {
            text_put(out, " \\\n  ");
            put_path(out, names_text(&world->names, world->sources.list.at[i].path));
        }
    }
}

int depends_write(const Options *options, const Text *scripts)
{
    Text rule;
    text_open(&rule, options->memory);
    put_path(&rule, options->out != NULL ? options->out : options->depends);
    text_char(&rule, ':');
    text_add(&rule, scripts->at == NULL ? "" : scripts->at, scripts->length);
    text_char(&rule, '\n');
    bool fine = files_write(options->memory, options->depends, rule.at, rule.length) == FILE_FINE;
    text_close(&rule);
    return fine ? COMMAND_FINE : command_trouble("%s cannot be written.", options->depends);
}
