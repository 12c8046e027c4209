/* Places in a text, as editors tell them: a line from 0 and a count within it, of bytes
 * (utf-8), of 16-bit units (utf-16) or of characters (utf-32). */
#ifndef WATERLEAF_EDITOR_POSITIONS_H
#define WATERLEAF_EDITOR_POSITIONS_H

#include <stddef.h>
#include <stdint.h>

typedef enum Counting { COUNTING_UTF16, COUNTING_UTF8, COUNTING_UTF32 } Counting;

typedef struct Position { uint32_t line, character; } Position;

/* The byte at POSITION; behind the end of a line or text, that end. */
size_t position_offset(const char *text, size_t length, Position position, Counting counting);

/* The position of a byte. */
Position position_of(const char *text, size_t length, size_t offset, Counting counting);

#endif
