/* One script read from a C string, with all that belongs to it, for the tests of src/syntax. */
#ifndef WATERLEAF_TESTS_PARSE_WORLD_H
#define WATERLEAF_TESTS_PARSE_WORLD_H

#include <string.h>

#include "syntax/parse.h"
#include "tree_dump.h"

typedef struct Reading {
    Memory memory;
    Names names;
    Sources sources;
    Tree tree;
    Messages messages;
    ParseWorld world;
    uint32_t source;
    NodeId script;
    Text out;
} Reading;

static inline void reading_prepare(Reading *reading, const char *text, size_t length)
{
    names_open(&reading->names, &reading->memory);
    sources_open(&reading->sources, &reading->memory);
    tree_open(&reading->tree, &reading->memory);
    messages_open(&reading->messages, &reading->memory);
    text_open(&reading->out, &reading->memory);
    Name path = names_of(&reading->names, &reading->memory, "test.wleaf");
    reading->source = sources_add(&reading->sources, &reading->memory, path, text, length, false);
    reading->world = (ParseWorld){&reading->memory, &reading->names, &reading->sources, &reading->tree, &reading->messages};
}

static inline void reading_bytes(Reading *reading, const char *text, size_t length)
{
    *reading = (Reading){0};
    reading_prepare(reading, text, length);
    reading->script = parse_script(&reading->world, reading->source);
}

static inline void reading_of(Reading *reading, const char *text)
{
    reading_bytes(reading, text, strlen(text));
}

static inline void reading_close(Reading *reading)
{
    memory_return_all(&reading->memory);
}

/* The tree as text. */
static inline const char *reading_tree(Reading *reading)
{
    Dump dump = {&reading->tree, &reading->names, &reading->out};
    text_clear(&reading->out);
    text_put(&reading->out, "");
    dump_node(&dump, reading->script, 0);
    return reading->out.at ? reading->out.at : "";
}

/* The messages as "name line:column", parted by ", ". */
static inline const char *reading_said(Reading *reading)
{
    messages_sort(&reading->messages, &reading->sources);
    text_clear(&reading->out);
    for (uint32_t i = 0; i < reading->messages.list.count; i++) {
        const Message *message = &reading->messages.list.at[i];
        uint32_t line, column;
        sources_line(&reading->sources, message->at.start, &line, &column);
        text_print(&reading->out, "%s%s %u:%u", i ? ", " : "", message->name, line, column);
    }
    return reading->out.length ? reading->out.at : "";
}

#endif
