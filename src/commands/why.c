/* why: how a figure came about; what a message means. */
#include "commands/command.h"

#include <stdio.h>
#include <string.h>

static int why_message(const Options *options, const char *name)
{
    MessageName id = message_named(name);
    if (id == MESSAGE_NAMES) {
        TextNearest search = {.to = name};
        for (int i = 0; i < MESSAGE_NAMES; i++) {
            text_nearest(&search, message_kinds[i].name);
        }
        return search.nearest != NULL ? command_trouble("There is no message called %s. Did you mean %s?", name, search.nearest)
                                      : command_trouble("There is no message called %s. waterleaf list messages lists them.", name);
    }
    const MessageKind *kind = &message_kinds[id];
    static const char *const severities[] = {"note", "warning", "error"};
    Memory *memory = options->memory;
    Text text;
    text_open(&text, memory);
    text_print(&text, "%s (%s)\n\n%s%s%s\n", kind->name, severities[kind->severity], kind->says, *kind->mend ? " " : "", kind->mend);
    if (*kind->why != 0) {
        text_print(&text, "\n%s\n", kind->why);
    }
    if (*kind->fails != 0) {
        text_print(&text, "\nThis gets it:\n\n%s\nThis does not:\n\n%s", kind->fails, kind->mended);
    }
    int answer = command_put(options, &text, true);
    return answer;
}

static int why_figure(const Options *options, char **words)
{
    Workshop *workshop = command_workshop(options);
    if (workshop == NULL) {
        return COMMAND_TROUBLE;
    }
    const char *explained = "";
    WaterleafAnswer answer = workshop_read(workshop, words[0]);
    if (answer == WATERLEAF_FINE) {
        answer = workshop_why(workshop, words[1], words[2], options->depth, &explained);
    }
    bool worked = answer == WATERLEAF_FINE || answer == WATERLEAF_ERRORS; /* errors are shown as messages */
    int end = worked ? command_end(options, workshop_messages(workshop)) : command_trouble("%s", workshop_trouble(workshop));
    if (command_show_messages(options, workshop, false) != COMMAND_FINE) {
        end = COMMAND_TROUBLE;
    }
    Memory *memory = options->memory;
    Text text;
    text_open(&text, memory);
    if (options->json) {
        Json json;
        json_open(&json, &text);
        command_json_head(&json, workshop);
        json_text(&json, "name", words[1]);
        json_text(&json, "figure", words[2]);
        json_text(&json, "text", answer == WATERLEAF_FINE ? explained : NULL);
        command_json_problems(&json, "problems", workshop);
        json_close(&json);
    } else {
        text_put(&text, explained);
    }
    if (command_put(options, &text, true) != COMMAND_FINE) {
        end = COMMAND_TROUBLE;
    }
    workshop_close(workshop);
    return end;
}

int command_why(const Options *options, int count, char **words)
{
    if (count == 1) {
        return why_message(options, words[0]);
    }
    if (count == 3) {
        return why_figure(options, words);
    }
    return command_trouble("why takes a FILE, the NAME of a batch or paper and a FIGURE; or the name of a message.");
}
