/* The scripts that an editor has open: what it shows stands before what is on the disk. */
#ifndef WATERLEAF_EDITOR_TEXTS_H
#define WATERLEAF_EDITOR_TEXTS_H

#include "base/list.h"
#include "editor/positions.h"

typedef struct OpenText {
    char *uri, *path;
    char *text;          /* ends in NUL */
    size_t length;
    int64_t version;
    bool unread;         /* it, or what it uses, changed since names and kinds were looked at */
    bool unchecked;      /* its papers were not worked out since */
    bool misread;        /* when it was told of last, something was wrong with its names or kinds */
    bool failed;         /* it could not be read or checked: the next question tries again */
    char *uses;          /* the paths of what it used when it was read, each with a line's end before and behind; NULL: nothing is known */
} OpenText;

typedef struct OpenTexts {
    Memory *memory;
    LIST(OpenText) list;
} OpenTexts;

void texts_open(OpenTexts *texts, Memory *memory);

/* The one of that address, or path; NULL: none is open. */
OpenText *texts_of(OpenTexts *texts, const char *uri);
OpenText *texts_at(OpenTexts *texts, const char *path);

/* Takes TEXT in place of whatever was there. */
OpenText *texts_put(OpenTexts *texts, const char *uri, int64_t version, const char *text, size_t length);

/* Puts TEXT in place of the bytes from START to END. */
void texts_replace(OpenTexts *texts, OpenText *open, size_t start, size_t end, const char *text, size_t length);

void texts_drop(OpenTexts *texts, const char *uri);

/* The path that a file address names, and back; from MEMORY. What is no file's address is its own path. */
char *texts_path(Memory *memory, const char *uri);
char *texts_uri(Memory *memory, const char *path);

#endif
