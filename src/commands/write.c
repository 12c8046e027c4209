/* write: the batch sheet, as text or as a page to print. */
#include "commands/command.h"

#include "documents/batch_sheet.h"
#include "render/html.h"
#include "render/text.h"

#include <stdio.h>
#include <string.h>

typedef struct Writing {
    const Options *options;
    Memory *memory;
    Arena arena;
    Document document;
    uint32_t count;
} Writing;

/* All that are asked for stand in one document. */
static bool add(void *with, Workshop *workshop, const Outcome *outcome)
{
    Writing *writing = with;
    const World *world = workshop_world(workshop);
    const Source *source = outcome->step_count == 0 ? NULL
        : sources_at(&world->sources, world->tree.nodes.at[outcome->steps[0].line].start);
    BatchSheet sheet = {.outcome = outcome, .script = source == NULL ? "" : command_path(workshop, source),
                        .stdlib = workshop_stdlib_mark(workshop)};
    batch_sheet_add(&writing->document, &sheet);
    writing->count++;
    return true;
}

static bool ends_in(const char *path, const char *ending)
{
    size_t length = path == NULL ? 0 : strlen(path), wanted = strlen(ending);
    return length > wanted && strcmp(path + length - wanted, ending) == 0;
}

int command_write(const Options *options, int count, char **words)
{
    if (count < 2 || count > 3) {
        return command_trouble("write takes batch-sheet, a FILE and, where the script has more than one, a NAME.");
    }
    if (strcmp(words[0], "batch-sheet") != 0) {
        return command_trouble("This version writes batch sheets, not %s.", words[0]);
    }
    Workshop *workshop = command_workshop(options);
    if (workshop == NULL) {
        return COMMAND_TROUBLE;
    }
    Memory *memory = options->memory;
    Writing writing = {.options = options, .memory = memory};
    arena_open(&writing.arena, memory);
    document_open(&writing.document, &writing.arena, "Batch sheet");
    WaterleafAnswer answer = workshop_read(workshop, words[1]);
    if (answer == WATERLEAF_FINE) {
        answer = workshop_work_out(workshop, count > 2 ? words[2] : NULL, options->sheets, add, &writing);
    }
    int end = answer != WATERLEAF_FINE ? command_trouble("%s", workshop_trouble(workshop))
                                       : command_end(options, workshop_messages(workshop));
    if (command_show_messages(options, workshop, false) != COMMAND_FINE) {
        end = COMMAND_TROUBLE;
    }
    /* where there is an error nothing is written: half a batch sheet would be worked from */
    if (end == COMMAND_FINE && writing.count > 0) {
        bool html = options->as != NULL ? strcmp(options->as, "html") == 0 : ends_in(options->out, ".html");
        Text text;
        text_open(&text, memory);
        if (html) {
            render_html(&text, &writing.document, options->page);
        } else {
            render_text(&text, &writing.document);
        }
        end = command_put(options, &text, true);
    }
    workshop_close(workshop);
    return end;
}
