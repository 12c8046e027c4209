/* Makes the image of stdlib that is built into the program: make-image FOLDER OUT.
 * Any message about stdlib is an error here. */
#include "workshop_parts.h"

#include "base/files.h"
#include "source/show.h"

const char *workshop_built_in(size_t *length)
{
    *length = 0;
    return NULL;
}

int main(int count, char **words)
{
    if (count != 3) {
        fputs("make-image FOLDER OUT\n", stderr);
        return 2;
    }
    WorkshopWish wish = {.stdlib = words[1]};
    Workshop *workshop = workshop_open(&wish);
    if (workshop == NULL) {
        fputs("There is not enough memory.\n", stderr);
        return 2;
    }
    const Messages *messages = workshop_messages(workshop);
    Text text;
    Memory memory = {0};
    text_open(&text, &memory);
    for (uint32_t i = 0; i < messages->list.count; i++) {
        show_message(&text, &workshop->world.sources, &workshop->world.names, &messages->list.at[i], (ShowHow){.one_line = false});
    }
    int answer = 0;
    if (messages->list.count > 0 || *workshop_trouble(workshop) != 0) {
        fprintf(stderr, "%s%s\n", text.at == NULL ? "" : text.at, workshop_trouble(workshop));
        answer = 1;
    } else if (files_write(&memory, words[2], workshop->image, workshop->image_length) != FILE_FINE) {
        fprintf(stderr, "%s cannot be written.\n", words[2]);
        answer = 2;
    }
    memory_return_all(&memory);
    workshop_close(workshop);
    return answer;
}
