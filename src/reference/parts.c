/* What the chapters share: how names, types and lines of stdlib are told. */
#include "reference/chapters.h"

#include "base/files.h"
#include "meaning/kind.h"
#include "meaning/line.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { MOST = 4 << 20 };

const char *part_read(Reference *reference, const char *path)
{
    char *bytes;
    size_t length;
    return files_read(reference->memory, path, MOST, &bytes, &length) == FILE_FINE ? bytes : NULL;
}

const char *part_file(Reference *reference, const char *folder, const char *name, const char *ending)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s/%s%s", reference->root, folder, name, ending);
    return part_read(reference, path);
}

const char *part_name(const Reference *reference, Name name)
{
    return names_text(&reference->world->names, name);
}

const char *part_print(const Reference *reference, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    char *printed = memory_take(reference->memory, (size_t)length + 1);
    va_start(arguments, format);
    vsnprintf(printed, (size_t)length + 1, format, arguments);
    va_end(arguments);
    return printed;
}

const char *part_link(const Reference *reference, const char *group, const char *name)
{
    Text text;
    text_open(&text, reference->memory);
    book_link(&text, group, name);
    return text.at;
}

/* What is written over several rows, or in columns, stands in one row with single blanks; texts in quotes stay as they are. */
const char *part_written(const Reference *reference, NodeId node)
{
    const Node *written = world_node(reference->world, node);
    Text text;
    text_open(&text, reference->memory);
    const char *at = sources_bytes(&reference->world->sources, written->start), *end = at + (written->end - written->start);
    for (bool quoted = false; at < end; at++) {
        quoted = quoted != (*at == '"');
        text_char(&text, *at == '\n' ? ' ' : *at);
        if (!quoted && (*at == '\n' || *at == ' ')) {
            at += strspn(at + 1, " \n");
        }
    }
    return text.at == NULL ? "" : text.at;
}

const char *part_line(const Reference *reference, NodeId line)
{
    Text text;
    text_open(&text, reference->memory);
    line_put_whole(reference->world, line, "", &text);
    return text.at;
}

static const char *words_of(const Reference *reference, const Field *field)
{
    Text text;
    text_open(&text, reference->memory);
    text_put(&text, "one of ");
    for (uint32_t i = 0; i < field->word_count; i++) {
        text_print(&text, "%s%s", i > 0 ? ", " : "", part_name(reference, reference->world->words.at[field->words + i]));
    }
    return text.at;
}

const char *part_type(const Reference *reference, Type type)
{
    const World *world = reference->world;
    uint32_t index = TYPE_INDEX(type);
    switch (TYPE_SORT(type)) {
    case TYPE_NUMBER:
        return index != KIND_ONE && world->kinds.at[index].name != 0 ? part_link(reference, "kind", part_name(reference, world->kinds.at[index].name))
                                                                     : world_type_text((World *)(uintptr_t)world, type);
    case TYPE_THING: return part_link(reference, "fields", part_name(reference, world->shapes.at[index].name));
    case TYPE_WORD: return words_of(reference, &world->fields.at[index]);
    case TYPE_LIST: return part_print(reference, "a list, each %s", part_type(reference, world->element_types.at[index]));
    default: return part_print(reference, "%s", world_type_text((World *)(uintptr_t)world, type));
    }
}

const char *part_text(const Reference *reference, NodeId node)
{
    const World *world = reference->world;
    if (node == 0 || world_node(world, node)->form != NODE_TEXT) {
        return NULL;
    }
    const char *written = part_written(reference, node);
    return part_print(reference, "%.*s", (int)strlen(written) - 2, written + 1);
}

/* TEXT in its paragraphs, which a blank line parts. */
static void put_paragraphs(Reference *reference, char *text)
{
    while (text != NULL && *text != 0) {
        char *end = strstr(text, "\n\n");
        if (end != NULL) {
            *end = 0;
        }
        if (strncmp(text, "    ", 4) == 0) {
            book_lines(&reference->book, NULL, text);
        } else {
            book_paragraph(&reference->book, text);
        }
        text = end == NULL ? NULL : end + 2;
    }
}

static char *comment_above(const Reference *reference, NodeId line)
{
    Text text;
    text_open(&text, reference->memory);
    sources_comment_above(&reference->world->sources, world_node(reference->world, line)->start, &text);
    return text.at;
}

void part_comment(Reference *reference, NodeId line)
{
    put_paragraphs(reference, line == 0 ? NULL : comment_above(reference, line));
}

static const char *origin(const Reference *reference, NodeId line)
{
    uint32_t marks = line_marks(reference->world, line);
    const char *source = part_text(reference, line_source(reference->world, line));
    return source != NULL ? source : (marks & MARK_PRACTICE) != 0 ? "common practice"
        : (marks & MARK_MEMORY) != 0 ? "from memory: look it up before you rely on it" : NULL;
}

void part_origin(Reference *reference, NodeId line)
{
    const char *from = origin(reference, line);
    if (from != NULL) {
        book_pair(&reference->book, "Source", from);
    }
}

const char *part_remark(const Reference *reference, NodeId line)
{
    const char *comment = comment_above(reference, line), *from = origin(reference, line);
    Text text;
    text_open(&text, reference->memory);
    for (const char *at = comment == NULL ? "" : comment; *at != 0; at++) {
        text_char(&text, *at == '\n' ? ' ' : *at);
    }
    if (from != NULL) {
        text_print(&text, "%s(%s)", text.length > 0 ? " " : "", from);
    }
    return text.at == NULL ? "" : text.at;
}

/* "Press and loft" of "stdlib/rules/press-and-loft.wleaf". */
static const char *title_of(const Reference *reference, const Source *source)
{
    const char *path = part_name(reference, source->path), *stem = strrchr(path, '/') == NULL ? path : strrchr(path, '/') + 1;
    char *title = memory_take(reference->memory, strlen(stem) + 1);
    for (size_t i = 0; stem[i] != 0 && stem[i] != '.'; i++) {
        title[i] = stem[i] == '-' ? ' ' : stem[i];
    }
    title[0] = title[0] >= 'a' && title[0] <= 'z' ? (char)(title[0] - 'a' + 'A') : title[0];
    return title;
}

/* The comment that stands at the head of a script, below its edition. */
static char *head_of(const Reference *reference, const Source *source)
{
    const char *at = strchr(sources_text(&reference->world->sources, source), '\n');
    Text text;
    text_open(&text, reference->memory);
    for (at = at == NULL ? "" : at + 1 + strspn(at + 1, "\n"); *at == '#'; at = strchr(at, '\n') + 1) {
        at += at[1] == ' ' ? 2 : 1;
        text_add(&text, at, strcspn(at, "\n") + 1);
    }
    return text.at;
}

void part_section(Reference *reference, NodeId line)
{
    const Source *source = sources_at(&reference->world->sources, world_node(reference->world, line)->start);
    if (source != reference->file) {
        reference->file = source;
        book_section(&reference->book, title_of(reference, source));
        put_paragraphs(reference, head_of(reference, source));
    }
}
