/* Reading a document that was carried here. */
#include "pages/read.h"

#include "base/list.h"
#include "base/text.h"
#include "pages/stop.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { FIELDS = 7 };

typedef struct Reading {
    Document *document;
    LIST(const char *) images; /* their bytes, of each once */
} Reading;

_Noreturn static void refuse(void) { pages_stop("What came in is no document to set. waterleaf write … --as pdf sends one."); }

/* The next line, ended by NUL. */
static char *next_line(char **at)
{
    char *line = *at, *end = strchr(line, '\n');
    if (end == NULL)
        refuse();
    *end = 0;
    *at = end + 1;
    return line;
}

/* What stands behind WORD in LINE, or NULL. */
static const char *behind(const char *line, const char *word)
{
    size_t length = strlen(word);
    return strncmp(line, word, length) == 0 && line[length] == ' ' ? line + length + 1 : NULL;
}

static unsigned number(const char *text)
{
    char *end;
    unsigned long value = strtoul(text, &end, 10);
    if (end == text || *end != 0 || value > INT32_MAX)
        refuse();
    return (unsigned)value;
}

static const char *date_of(Arena *arena, const char *seconds)
{
    char *end, written[32];
    long long value = strtoll(seconds, &end, 10);
    time_t moment = (time_t)value;
    struct tm parts;
    if (end == seconds || *end != 0 || gmtime_r(&moment, &parts) == NULL || strftime(written, sizeof written, "%Y-%m-%dT%H:%M:%SZ", &parts) == 0)
        pages_stop("SOURCE_DATE_EPOCH is %s, which is no number of seconds since 1970. Set it to one, or unset it.", seconds);
    return arena_copy(arena, written, strlen(written));
}

static char *read_wish(Arena *arena, char **at, PagesWish *wish)
{
    if (strcmp(next_line(at), "waterleaf-pages 2") != 0)
        refuse();
    for (;;) {
        char *line = next_line(at);
        const char *value;
        if ((value = behind(line, "as")) != NULL)
            wish->as_svg = strcmp(value, "svg") == 0;
        else if ((value = behind(line, "page")) != NULL)
            wish->letter = strcmp(value, "letter") == 0;
        else if ((value = behind(line, "date")) != NULL)
            wish->date = date_of(arena, value);
        else
            return line;
    }
}

static DocumentForm form_named(const char *name)
{
    for (int form = 0; form < DOCUMENT_FORMS; form++) {
        if (strcmp(document_form_name((DocumentForm)form), name) == 0)
            return (DocumentForm)form;
    }
    refuse();
}

/* This program asks for no locale, so that a point is a point. */
static void read_numbers(Document *document, DocumentNode *node, const char *text)
{
    unsigned count = 0, room = *text == 0 ? 0 : 1;
    for (const char *at = text; *at != 0; at++)
        room += *at == ' ';
    double *numbers = arena_take(document->arena, (room + 1u) * sizeof *numbers);
    while (count < room) {
        char *end;
        numbers[count] = strtod(text, &end);
        if (end == text || !isfinite(numbers[count]) || *end != (count + 1 < room ? ' ' : 0))
            refuse();
        text = end + 1;
        count++;
    }
    document_numbers(document, node, numbers, count);
}

static const char *hint_of_image(Reading *reading, const char *hint)
{
    if (*hint != '=') {
        list_push(reading->document->arena->memory, &reading->images, hint);
        return hint;
    }
    unsigned place = number(hint + 1);
    if (place >= reading->images.count)
        refuse();
    return reading->images.at[place];
}

/* Whether what follows is inside the node. */
static bool read_node(Reading *reading, char *line)
{
    Document *document = reading->document;
    char *fields[FIELDS];
    for (int i = 0; i < FIELDS; i++) {
        fields[i] = line;
        line = strchr(line, i < FIELDS - 1 ? '\t' : 0);
        if (line == NULL)
            refuse();
        if (i < FIELDS - 1)
            *line++ = 0;
    }
    DocumentForm form = form_named(fields[0]);
    DocumentNode *node;
    if (form == DOCUMENT_ROOT) {
        document_open(document, document->arena, fields[4]);
        node = document->root;
    } else {
        if (document->inside == NULL)
            refuse();
        node = document_holds(form) ? document_enter(document, form, fields[3], fields[4])
                                    : document_add(document, form, fields[3], fields[4]);
    }
    node->level = number(fields[1]);
    node->marks = number(fields[2]);
    node->hint = *fields[5] == 0 ? NULL : form == DOCUMENT_IMAGE ? hint_of_image(reading, fields[5]) : fields[5];
    read_numbers(document, node, fields[6]);
    return document_holds(form);
}

/* Scripts are UTF-8, and so is what is made of them; the libraries would complain of other bytes in words of their own. */
static void look_at_bytes(const char *bytes)
{
    for (size_t at = 0, taken; bytes[at] != 0; at += taken) {
        if (utf8_decode(bytes + at, strnlen(bytes + at, 4), &taken) == 0xFFFD && taken == 1)
            refuse();
    }
}

void pages_read(Document *document, Arena *arena, char *bytes, PagesWish *wish)
{
    *wish = (PagesWish){0};
    *document = (Document){.arena = arena};
    look_at_bytes(bytes);
    char *line = read_wish(arena, &bytes, wish);
    unsigned depth = 0;
    Reading reading = {.document = document};
    do {
        if (strcmp(line, "end") == 0) {
            if (depth-- == 0)
                refuse();
            document_leave(document);
        } else {
            depth += read_node(&reading, line);
        }
        line = depth > 0 ? next_line(&bytes) : NULL;
    } while (line != NULL);
    if (*bytes != 0)
        refuse();
    memory_return(arena->memory, reading.images.at);
}
