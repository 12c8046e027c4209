/* Messages: the sentence, what it is about, how it reads, and both of its examples, as the tests hold them. */
#include "reference/chapters.h"

#include "source/message.h"

#include <string.h>

/* As a message of any words reads: "… is no unit." */
static const char *open_sentence(const Reference *reference, const char *sentence)
{
    Text text;
    text_open(&text, reference->memory);
    for (const char *at = sentence; *at != 0; at++) {
        if (at[0] == '{' && at[1] == '{') {
            text_char(&text, *at++);
        } else if (at[0] == '{' && at[1] != 0 && at[2] == '}') {
            text_put(&text, "…");
            at += 2;
        } else {
            text_char(&text, *at);
        }
    }
    return text.at == NULL ? "" : text.at;
}

static void put_example(Reference *reference, const char *label, const char *listed, const char *file, const char *ending)
{
    const char *lines = *listed != 0 ? listed : part_file(reference, "tests/messages", file, ending);
    if (lines != NULL) {
        book_lines(&reference->book, label, lines);
    }
}

static void put_message(Reference *reference, const MessageKind *kind)
{
    static const char *const severities[] = {"note", "warning", "error"};
    Book *book = &reference->book;
    const char *shown = part_file(reference, "tests/messages", kind->name, ".txt");
    book_entry(book, "message", kind->name, severities[kind->severity]);
    book_paragraph(book, part_print(reference, "%s %s", open_sentence(reference, kind->says), open_sentence(reference, kind->mend)));
    if (*kind->why != 0) {
        book_paragraph(book, kind->why);
    }
    if (shown == NULL) {
        book_paragraph(book, "What gets it is too long to stand here.");
        return;
    }
    put_example(reference, "This gets it", kind->fails, kind->name, ".wleaf");
    book_lines(book, "It reads", shown);
    put_example(reference, "This does not", kind->mended, kind->name, "-mended.wleaf");
}

void chapter_messages(Reference *reference)
{
    static const Chapter chapter = {"messages", "Messages", "waterleaf-messages", "all messages, each with what gets it, how it reads, and how it is mended"};
    book_chapter(&reference->book, &chapter);
    for (int id = 0; id < MESSAGE_NAMES; id++) {
        put_message(reference, &message_kinds[id]);
    }
}
