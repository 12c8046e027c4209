/* Names as numbers: equal text, equal Name. Dense from 1, so that tables by
 * name are plain lists. 0 is no name. */
#ifndef WATERLEAF_BASE_NAMES_H
#define WATERLEAF_BASE_NAMES_H

#include "base/list.h"

typedef uint32_t Name;

typedef struct NameEntry {
    uint32_t start;  /* in text */
    uint32_t length; /* bytes */
    uint32_t hash;
} NameEntry;

typedef struct Names {
    LIST(char) text; /* each name followed by a NUL */
    LIST(NameEntry) entries;
    LIST(uint32_t) buckets; /* a power of two; 0 is free */
} Names;

void names_open(Names *names, Memory *memory);

/* Gives back what the names hold. */
void names_close(Names *names, Memory *memory);

/* The Name of LENGTH bytes at TEXT; made if there is none. */
Name names_intern(Names *names, Memory *memory, const char *text, size_t length);

/* The same for text in a C string. */
Name names_of(Names *names, Memory *memory, const char *text);

/* The Name of the text if it was interned before, else 0. */
Name names_find(const Names *names, const char *text, size_t length);

/* The text of NAME, ending in NUL. Good until the next names_intern. "" for 0. */
const char *names_text(const Names *names, Name name);

#endif
