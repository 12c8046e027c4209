/* check --mend: the sure edits are made, shown, and what was is kept beside it. */
#include "commands/command.h"

#include "base/files.h"

#include <stdlib.h>
#include <string.h>

/* A name that is only guessed, and a value that a rule proposes, are for whoever writes the script. */
static bool is_sure(const Message *message)
{
    return message->edit.start != 0 && message->edit_text != NULL && message->kind < MESSAGE_NAMES && message->kind != SAY_unknown_name
        && message->kind != SAY_unknown_head && message->kind != SAY_unknown_line && message->kind != SAY_unknown_word && message->kind != SAY_unknown_unit;
}

static int by_place(const void *one, const void *other)
{
    const Message *const *a = one, *const *b = other;
    return (*a)->edit.start < (*b)->edit.start ? -1 : (*a)->edit.start > (*b)->edit.start;
}

static void put_line(Text *out, const char *sign, const char *text, size_t length, size_t at)
{
    size_t from = at, to = at;
    while (from > 0 && text[from - 1] != '\n') {
        from--;
    }
    while (to < length && text[to] != '\n') {
        to++;
    }
    text_print(out, "  %s ", sign);
    text_add_visible(out, text + from, to - from);
    text_char(out, '\n');
}

bool mend_script(const Options *options, Workshop *workshop, const char *path, Text *said, bool *failed)
{
    const Messages *messages = workshop_messages(workshop);
    const World *world = workshop_world(workshop);
    Memory *memory = options->memory;
    const Message **sure = memory_take(memory, (messages->list.count + 1u) * sizeof *sure);
    size_t count = 0;
    const Source *source = NULL;
    for (uint32_t i = 1; i < world->sources.list.count; i++) {
        const Source *at = &world->sources.list.at[i];
        source = !at->library && strcmp(names_text(&world->names, at->path), path) == 0 ? at : source;
    }
    for (uint32_t i = 0; i < messages->list.count && source != NULL; i++) {
        const Message *message = &messages->list.at[i];
        bool here = is_sure(message) && message->edit.start >= source->base && message->edit.end <= source->base + source->length;
        if (here) {
            sure[count++] = message;
        }
    }
    if (count == 0) {
        return false;
    }
    qsort(sure, count, sizeof *sure, by_place);
    const char *text = sources_text(&world->sources, source);
    Text made, backup;
    text_open(&made, memory);
    text_open(&backup, memory);
    uint32_t at = source->base;
    size_t said_before = said->length;
    for (size_t i = 0; i < count; i++) {
        Span edit = sure[i]->edit;
        if (edit.start < at) {
            continue; /* within one that is made */
        }
        text_add(&made, text + (at - source->base), edit.start - at);
        size_t place = made.length;
        text_put(&made, sure[i]->edit_text);
        at = edit.end;
        uint32_t line, column;
        sources_line(&world->sources, edit.start, &line, &column);
        text_add_visible(said, path, strlen(path));
        text_print(said, ":%u: %s\n", line, sure[i]->says);
        put_line(said, "-", text, source->length, edit.start - source->base);
        Text whole;
        text_open(&whole, memory);
        text_add(&whole, made.at, made.length);
        text_add(&whole, text + (at - source->base), source->base + source->length - at);
        put_line(said, "+", whole.at, whole.length, place);
        text_close(&whole);
    }
    text_add(&made, text + (at - source->base), source->base + source->length - at);
    text_print(&backup, "%s~", path);
    if (files_write(memory, backup.at, text, source->length) != FILE_FINE) {
        command_trouble("%s cannot be written, so nothing is mended.", backup.at);
        *failed = true;
    } else if (files_write(memory, path, made.at, made.length) != FILE_FINE) {
        command_trouble("%s cannot be written; it is as it was.", path);
        *failed = true;
    }
    if (*failed) {
        said->length = said_before; /* none of it was done */
        return false;
    }
    memory_return(memory, sure);
    text_close(&made);
    text_close(&backup);
    return true;
}
