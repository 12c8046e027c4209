/* From positions to bytes and back. */
#include "editor/positions.h"

#include "base/text.h"

#include <stdbool.h>
#include <string.h>

static uint32_t units(uint32_t code_point, size_t bytes, Counting counting)
{
    return counting == COUNTING_UTF8 ? (uint32_t)bytes : counting == COUNTING_UTF16 && code_point > 0xFFFF ? 2 : 1;
}

/* A line ends where the protocol has it: at a feed, a return, or both. */
typedef struct Lines {
    const char *text;
    size_t length;
    size_t feed;  /* the next one behind the line that was begun last; LENGTH: none */
    size_t start; /* of that line */
} Lines;

static size_t find(const char *text, char sign, size_t from, size_t end)
{
    const char *found = memchr(text + from, sign, end - from);
    return found == NULL ? end : (size_t)(found - text);
}

static Lines lines_of(const char *text, size_t length) { return (Lines){text, length, find(text, '\n', 0, length), 0}; }

/* Begins the next line if it begins at END or in front of it. */
static bool next_line(Lines *lines, size_t end)
{
    size_t at = find(lines->text, '\r', lines->start, lines->feed), behind = at + 1;
    if (at == lines->length) {
        return false;
    }
    if (at + 1 == lines->feed && lines->feed < lines->length) { /* both */
        behind++;
    }
    if (behind > end) {
        return false;
    }
    lines->start = behind;
    if (lines->feed < behind) {
        lines->feed = find(lines->text, '\n', behind, lines->length);
    }
    return true;
}

size_t position_offset(const char *text, size_t length, Position position, Counting counting)
{
    Lines lines = lines_of(text, length);
    for (uint32_t line = 0; line < position.line; line++) {
        if (!next_line(&lines, length)) {
            return length;
        }
    }
    size_t at = lines.start;
    uint32_t count = 0;
    while (at < length && text[at] != '\n' && text[at] != '\r' && count < position.character) {
        size_t taken;
        uint32_t code_point = utf8_decode(text + at, length - at, &taken);
        count += units(code_point, taken, counting);
        at += taken;
    }
    return at;
}

Position position_of(const char *text, size_t length, size_t offset, Counting counting)
{
    Position position = {0, 0};
    offset = offset < length ? offset : length;
    Lines lines = lines_of(text, length);
    while (next_line(&lines, offset)) {
        position.line++;
    }
    size_t at = lines.start;
    while (at < offset) {
        size_t taken;
        uint32_t code_point = utf8_decode(text + at, length - at, &taken);
        position.character += units(code_point, taken, counting);
        at += taken;
    }
    return position;
}
