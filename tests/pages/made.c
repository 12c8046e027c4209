/* Makes a document from lines, as every back end shows it, for the tests of layouts:
 *
 *   made html|text|pdf|svg a4|letter < LINES
 *
 * A line is FORM|MARKS|LABEL|TEXT|HINT|NUMBERS, of a heading or a part of steps LEVEL in place of the label; "end" ends what
 * holds others. Marks are numbers; of a shape the label is its name. PDF and SVG are written as waterleaf-pages takes them. */
#include "base/text.h"
#include "documents/document.h"
#include "render/html.h"
#include "render/pages.h"
#include "render/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { PARTS = 6, MOST_NUMBERS = 4000 };

static DocumentForm form_named(const char *name)
{
    for (int form = 0; form < DOCUMENT_FORMS; form++) {
        if (strcmp(document_form_name((DocumentForm)form), name) == 0) {
            return (DocumentForm)form;
        }
    }
    fprintf(stderr, "no form %s\n", name);
    exit(2);
}

static void put_numbers(Document *document, DocumentNode *node, const char *text)
{
    static double numbers[MOST_NUMBERS];
    unsigned count = 0;
    for (char *end; count < MOST_NUMBERS; text = end) {
        numbers[count] = strtod(text, &end);
        if (end == text) {
            break;
        }
        count++;
    }
    document_numbers(document, node, numbers, count);
}

static void add(Document *document, char *line)
{
    char *parts[PARTS] = {"", "", "", "", "", ""};
    for (int i = 0; line != NULL && i < PARTS; i++) {
        parts[i] = strsep(&line, "|");
    }
    if (strcmp(parts[0], "end") == 0) {
        document_leave(document);
        return;
    }
    DocumentForm form = form_named(parts[0]);
    bool level = form == DOCUMENT_HEADING;
    DocumentNode *node = document_holds(form) ? document_enter(document, form, parts[2], parts[3])
                                              : document_add(document, form, level ? "" : parts[2], parts[3]);
    node->level = level ? (unsigned)atoi(parts[2]) : 0;
    node->marks = (unsigned)strtoul(parts[1], NULL, 10);
    document_hint(document, node, *parts[4] == 0 ? NULL : parts[4]);
    put_numbers(document, node, parts[5]);
}

int main(int count, char **words)
{
    if (count != 3) {
        return 2;
    }
    Memory memory = {0};
    Arena arena;
    arena_open(&arena, &memory);
    Document document;
    document_open(&document, &arena, "Pages");
    char *line = NULL;
    size_t room = 0;
    for (ssize_t length; (length = getline(&line, &room, stdin)) > 0;) {
        line[length - 1] = line[length - 1] == '\n' ? 0 : line[length - 1];
        add(&document, line);
    }
    free(line);
    Text out;
    text_open(&out, &memory);
    if (strcmp(words[1], "html") == 0) {
        render_html(&out, &document, words[2]);
    } else if (strcmp(words[1], "text") == 0) {
        render_text(&out, &document);
    } else {
        render_pages(&out, &document, words[2], words[1], NULL);
    }
    bool fine = fwrite(out.at, 1, out.length, stdout) == out.length;
    memory_return_all(&memory);
    return fine ? 0 : 2;
}
