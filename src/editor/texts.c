/* What is open, and the addresses of files. */
#include "editor/texts.h"

#include "base/text.h"

#include <stdlib.h>
#include <string.h>

void texts_open(OpenTexts *texts, Memory *memory) { *texts = (OpenTexts){.memory = memory}; }

OpenText *texts_of(OpenTexts *texts, const char *uri)
{
    for (uint32_t i = 0; i < texts->list.count; i++) {
        if (strcmp(texts->list.at[i].uri, uri) == 0) {
            return &texts->list.at[i];
        }
    }
    return NULL;
}

OpenText *texts_at(OpenTexts *texts, const char *path)
{
    for (uint32_t i = 0; i < texts->list.count; i++) {
        if (strcmp(texts->list.at[i].path, path) == 0) {
            return &texts->list.at[i];
        }
    }
    return NULL;
}

static char *kept(Memory *memory, const char *text, size_t length)
{
    char *copy = memory_take(memory, length + 1);
    memcpy(copy, text, length);
    copy[length] = 0;
    return copy;
}

OpenText *texts_put(OpenTexts *texts, const char *uri, int64_t version, const char *text, size_t length)
{
    OpenText *open = texts_of(texts, uri);
    char *copy = kept(texts->memory, text, length);
    if (open == NULL) {
        char *name = kept(texts->memory, uri, strlen(uri)), *path = texts_path(texts->memory, uri);
        list_push(texts->memory, &texts->list, (OpenText){.uri = name, .path = path});
        open = &texts->list.at[texts->list.count - 1];
    } else {
        memory_return(texts->memory, open->text);
    }
    open->text = copy;
    open->length = length;
    open->version = version;
    open->unread = open->unchecked = true;
    return open;
}

void texts_replace(OpenTexts *texts, OpenText *open, size_t start, size_t end, const char *text, size_t length)
{
    start = start < open->length ? start : open->length;
    end = end < start ? start : end < open->length ? end : open->length;
    size_t rest = open->length - end;
    char *made = memory_take(texts->memory, start + length + rest + 1);
    memcpy(made, open->text, start);
    memcpy(made + start, text, length);
    memcpy(made + start + length, open->text + end, rest);
    open->length = start + length + rest;
    made[open->length] = 0;
    memory_return(texts->memory, open->text);
    open->text = made;
    open->unread = open->unchecked = true;
}

void texts_drop(OpenTexts *texts, const char *uri)
{
    OpenText *open = texts_of(texts, uri);
    if (open != NULL) {
        memory_return(texts->memory, open->uri);
        memory_return(texts->memory, open->path);
        memory_return(texts->memory, open->text);
        memory_return(texts->memory, open->uses);
        *open = texts->list.at[--texts->list.count];
    }
}

static int digit(char c) { return c >= '0' && c <= '9' ? c - '0' : c >= 'a' && c <= 'f' ? c - 'a' + 10 : c >= 'A' && c <= 'F' ? c - 'A' + 10 : -1; }

char *texts_path(Memory *memory, const char *uri)
{
    const char *at = strncmp(uri, "file://", 7) == 0 ? strchr(uri + 7, '/') : NULL;
    if (at == NULL) {
        return kept(memory, uri, strlen(uri));
    }
    Text path;
    text_open(&path, memory);
    for (; *at != 0; at++) {
        bool coded = *at == '%' && digit(at[1]) >= 0 && digit(at[2]) >= 0;
        text_char(&path, coded ? (char)(digit(at[1]) * 16 + digit(at[2])) : *at);
        at += coded ? 2 : 0;
    }
    char *copy = kept(memory, path.at == NULL ? "" : path.at, path.at == NULL ? 0 : strlen(path.at));
    text_close(&path);
    return copy;
}

char *texts_uri(Memory *memory, const char *path)
{
    Text uri;
    text_open(&uri, memory);
    text_put(&uri, path[0] == '/' ? "file://" : "");
    for (const unsigned char *at = (const unsigned char *)path; *at != 0; at++) {
        bool plain = (*at >= 'a' && *at <= 'z') || (*at >= 'A' && *at <= 'Z') || (*at >= '0' && *at <= '9') || strchr("-._~/", *at) != NULL;
        if (plain) {
            text_char(&uri, (char)*at);
        } else {
            text_print(&uri, "%%%02X", *at);
        }
    }
    char *copy = kept(memory, uri.at == NULL ? "" : uri.at, uri.length);
    text_close(&uri);
    return copy;
}
