/* Text that grows, and what is asked of UTF-8. */
#ifndef WATERLEAF_BASE_TEXT_H
#define WATERLEAF_BASE_TEXT_H

#include "base/memory.h"

#include <stdarg.h>

typedef struct Text Text;
struct Text {
    Memory *memory;
    char *at; /* ends in NUL once anything was added; before that NULL */
    size_t length;
    size_t room;
};

void text_open(Text *text, Memory *memory);
void text_close(Text *text);
void text_clear(Text *text);
void text_add(Text *text, const char *bytes, size_t length);
void text_put(Text *text, const char *c_string);
void text_char(Text *text, char c);
void text_print(Text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* One code point from at most LENGTH bytes; its length in *TAKEN (at least 1).
 * A byte that begins no valid sequence gives 0xFFFD and takes 1. */
uint32_t utf8_decode(const char *bytes, size_t length, size_t *taken);

/* How many code points; invalid bytes count one each. */
size_t utf8_count(const char *bytes, size_t length);

/* Columns on a terminal: 0 for combining marks, 2 for wide forms, else 1. */
int utf8_width(uint32_t code_point);
size_t utf8_columns(const char *bytes, size_t length);

/* Whether a code point is to be made visible before anybody's words are printed: a control, an end of a line that is none of
 * ours, a sign that turns the direction of what follows, what is no text. A terminal would obey some of them. */
bool utf8_hidden(uint32_t code_point);

/* Adds words for a screen: what is hidden in them made visible, ends of lines and tabs as blanks. */
void text_add_visible(Text *text, const char *words, size_t length);

/* Prints a sentence and the end of the line to standard error, what is hidden in it made visible; 4,000 bytes at the most. */
void text_trouble(const char *format, va_list arguments);

/* The number of edits (insert, delete, change, swap of neighbours) between two
 * words, by code point, stopping at MOST + 1. Case differences cost nothing. */
unsigned text_distance(const char *one, size_t one_length, const char *other, size_t other_length, unsigned most);

/* The nearest of some words to one that is not known: `{.to = word}`, then each that is known. NEAREST is
 * NULL while none is near enough to be meant. */
typedef struct TextNearest { const char *to, *nearest; unsigned distance; } TextNearest;
void text_nearest(TextNearest *search, const char *known);

#endif
