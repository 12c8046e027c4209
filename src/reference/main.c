/* Writes the reference, of what the program knows and what the tests hold. A program of the build.
 *
 *     make-reference SOURCES GRAMMAR OUT       OUT/reference.html and OUT/waterleaf-….7 */
#include "reference/chapters.h"

#include <stdio.h>

static void put_all(Reference *reference)
{
    static void (*const chapters[])(Reference *reference) = {
        chapter_language, chapter_quantities, chapter_steps, chapter_things, chapter_figures, chapter_rules, chapter_documents,
        chapter_messages, chapter_commands, chapter_formats};
    for (size_t i = 0; i < sizeof chapters / sizeof chapters[0]; i++) {
        chapters[i](reference);
    }
}

int main(int count, char **words)
{
    if (count != 4) {
        fputs("usage: make-reference SOURCES GRAMMAR OUT\n", stderr);
        return 2;
    }
    WorkshopWish wish = {0};
    Workshop *workshop = workshop_open(&wish);
    if (workshop == NULL) {
        fputs("There is not enough memory.\n", stderr);
        return 2;
    }
    jmp_buf rescue;
    Memory memory = {.rescue = &rescue};
    Reference reference = {.memory = &memory, .world = workshop_world(workshop), .root = words[1], .grammar = words[2]};
    bool written = false;
    if (setjmp(rescue) == 0) {
        book_open(&reference.book, &memory, words[3]);
        put_all(&reference);
        written = book_close(&reference.book);
    }
    memory_return_all(&memory);
    workshop_close(workshop);
    return written ? 0 : 2;
}
