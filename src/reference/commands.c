/* Commands and options, from the lists of which the program is made. */
#include "reference/chapters.h"

static const struct { const char *name, *arguments, *summary, *help; } commands[] = {
#define COMMAND(name, arguments, summary, help) {#name, arguments, summary, help},
#include "commands/commands.def"
#undef COMMAND
};

static const struct { char letter; const char *name, *value, *commands, *tells; } options[] = {
#define OPTION(id, letter, name, value, commands, tells) {letter, name, value, commands, tells},
#include "commands/options.def"
#undef OPTION
};

void chapter_commands(Reference *reference)
{
    static const Chapter chapter = {"commands", "Commands and options", NULL, ""}; /* waterleaf(1) */
    Book *book = &reference->book;
    book_chapter(book, &chapter);
    book_section(book, "Commands");
    for (size_t i = 0; i < sizeof commands / sizeof commands[0]; i++) {
        book_entry(book, "command", commands[i].name, commands[i].summary);
        book_lines(book, NULL, part_print(reference, "waterleaf %s %s", commands[i].name, commands[i].arguments));
        book_paragraph(book, commands[i].help);
    }
    book_section(book, "Options");
    for (size_t i = 0; i < sizeof options / sizeof options[0]; i++) {
        book_entry(book, "option", part_print(reference, "--%s", options[i].name), options[i].value);
        book_paragraph(book, part_print(reference, "%s.", options[i].tells));
        if (options[i].letter != 0) {
            book_pair(book, "Short", part_print(reference, "`-%c`", options[i].letter));
        }
        book_pair(book, "For", *options[i].commands == '*' ? "every command" : options[i].commands);
    }
}
