/* What the commands share. */
#include "commands/command.h"

#include "base/files.h"
#include "source/show.h"

#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

void command_add_word(char *listed, size_t room, size_t at, size_t count, const char *word, size_t length)
{
    size_t used = strlen(listed);
    snprintf(listed + used, room - used, "%s%.*s", at == 0 ? "" : at + 1 == count ? " or " : ", ", (int)length, word);
}

int command_trouble(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    text_trouble(format, arguments);
    va_end(arguments);
    return COMMAND_TROUBLE;
}

Workshop *command_workshop(const Options *options)
{
    WorkshopWish wish = {.stdlib = options->stdlib, .day = options->day};
    Workshop *workshop = workshop_open(&wish);
    if (workshop == NULL) {
        command_trouble("There is not enough memory.");
    } else if (*workshop_trouble(workshop) != 0) {
        command_trouble("%s", workshop_trouble(workshop));
        workshop_close(workshop);
        return NULL;
    }
    return workshop;
}

/* A reader that has seen enough, as `head`, needs no word. */
static int unwritten(void)
{
    return errno == EPIPE ? COMMAND_TROUBLE : command_trouble("The output could not be written.");
}

int command_put(const Options *options, const Text *text, bool to_file)
{
    const char *bytes = text->at == NULL ? "" : text->at;
    if (to_file && options->out != NULL) {
        return files_write(text->memory, options->out, bytes, text->length) == FILE_FINE
            ? COMMAND_FINE : command_trouble("%s cannot be written; what was there is as it was.", options->out);
    }
    return files_put(text->memory, stdout, bytes, text->length) ? COMMAND_FINE : unwritten();
}

static bool is_left_out(const Options *options, int end) { return end == COMMAND_TROUBLE && options->out != NULL; }

int command_put_end(const Options *options, const Text *text, int end)
{
    return is_left_out(options, end) ? COMMAND_FINE : command_put(options, text, true);
}

bool command_tells_messages(const Options *options, int end) { return options->json && !is_left_out(options, end); }

bool command_unread(const Messages *messages)
{
    for (uint32_t i = 0; i < messages->list.count; i++) {
        if (messages->list.at[i].kind == SAY_use_unreadable) {
            return true;
        }
    }
    return false;
}

int command_end(const Options *options, const Messages *messages)
{
    if (command_unread(messages)) {
        return COMMAND_TROUBLE;
    }
    return messages->errors > 0 || (options->strict && messages->warnings > 0) ? COMMAND_PROBLEM : COMMAND_FINE;
}

void command_tell_more(Text *text, const Messages *messages)
{
    uint32_t said = messages->errors + messages->warnings + messages->notes;
    if (said > messages->list.count) {
        text_print(text, "There are %u more. Mend these first.\n", said - messages->list.count);
    }
}

int command_show_messages(const Options *options, Workshop *workshop, bool on_output)
{
    const Messages *messages = workshop_messages(workshop);
    const World *world = workshop_world(workshop);
    Memory *memory = options->memory;
    Text text;
    text_open(&text, memory);
    for (uint32_t i = 0; i < messages->list.count; i++) {
        show_message(&text, &world->sources, &world->names, &messages->list.at[i],
                     (ShowHow){.one_line = options->one_line, .colour = on_output ? options->colour_of_output : options->colour});
        if (!options->one_line) {
            text_char(&text, '\n');
        }
    }
    if (!options->one_line) {
        command_tell_more(&text, messages);
    }
    bool fine = text.length == 0 || files_put(memory, on_output ? stdout : stderr, text.at, text.length);
    return fine ? COMMAND_FINE : unwritten();
}

void command_json_head(Json *json, const Workshop *workshop)
{
    json_put_object(json, NULL);
    json_put_number(json, "waterleaf", 1);
    json_put_number(json, "edition", 1);
    json_put_text(json, "stdlib", workshop_stdlib_mark(workshop));
}

const char *command_path(const Workshop *workshop, const Source *source)
{
    return workshop_path(workshop, world_text(workshop_world(workshop), source->path));
}

static void place(Json *json, Workshop *workshop, uint32_t at, const char *line_key, const char *column_key)
{
    uint32_t line = 0, column = 0;
    sources_line(&workshop_world(workshop)->sources, at, &line, &column);
    json_put_number(json, line_key, line);
    json_put_number(json, column_key, column);
}

static void file_of(Json *json, Workshop *workshop, uint32_t at)
{
    json_put_text(json, "file", command_path(workshop, sources_at(&workshop_world(workshop)->sources, at)));
}

void command_json_problem(Json *json, Workshop *workshop, const Message *message)
{
    static const char *const severities[] = {"note", "warning", "error"};
    json_put_object(json, NULL);
    json_put_text(json, "name", message->name);
    json_put_text(json, "severity", severities[message->severity]);
    file_of(json, workshop, message->at.start);
    place(json, workshop, message->at.start, "line", "column");
    place(json, workshop, message->at.end, "end-line", "end-column");
    json_put_text(json, "message", message->says);
    json_put_text(json, "mend", *message->mend == 0 ? NULL : message->mend);
    json_put_text(json, "source", message->source);
    json_put_text(json, "found", message->found);
    json_put_text(json, "limit", message->limit);
    json_put_text(json, "needed", message->needed);
    json_put_array(json, "places");
    for (uint32_t i = 0; i < message->other_count; i++) {
        json_put_object(json, NULL);
        file_of(json, workshop, message->others[i].at.start);
        place(json, workshop, message->others[i].at.start, "line", "column");
        json_put_text(json, "says", message->others[i].says);
        json_put_end(json);
    }
    json_put_end(json);
    json_put_array(json, "edits");
    if (message->edit.start != 0 && message->edit_text != NULL) {
        json_put_object(json, NULL);
        file_of(json, workshop, message->edit.start);
        place(json, workshop, message->edit.start, "line", "column");
        place(json, workshop, message->edit.end, "end-line", "end-column");
        json_put_text(json, "text", message->edit_text);
        json_put_end(json);
    }
    json_put_end(json);
    json_put_end(json);
}

void command_json_problems(Json *json, const char *key, Workshop *workshop)
{
    const Messages *messages = workshop_messages(workshop);
    if (key != NULL) {
        json_put_array(json, key);
    }
    for (uint32_t i = 0; i < messages->list.count; i++) {
        command_json_problem(json, workshop, &messages->list.at[i]);
    }
    if (key != NULL) {
        json_put_end(json);
    }
}

void command_json_quantity(Json *json, const char *key, Workshop *workshop, const Quantity *quantity)
{
    if (!quantity->told) {
        json_put_null(json, key);
        return;
    }
    static const struct { uint32_t mark; const char *name; } marks[] = {
        {1, "source"}, {2, "practice"}, {4, "memory"}, {8, "supplier"}, {16, "measured"}};
    json_put_object(json, key);
    json_put_number(json, "value", quantity->in_unit);
    json_put_text(json, "unit", quantity->unit == 0 ? NULL : names_text(&workshop_world(workshop)->names, workshop_world(workshop)->units.at[quantity->unit].name));
    if (quantity->has_band) {
        json_put_number(json, "low", quantity->low_in_unit);
        json_put_number(json, "high", quantity->high_in_unit);
    } else {
        json_put_null(json, "low");
        json_put_null(json, "high");
    }
    json_put_text(json, "shown", quantity->shown);
    json_put_array(json, "provenance");
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++) {
        if ((quantity->marks & marks[i].mark) != 0) {
            json_put_text(json, NULL, marks[i].name);
        }
    }
    json_put_end(json);
    json_put_end(json);
}
