/* From positions to bytes and back. */
#include "editor/positions.h"

#include "base/text.h"

#include <string.h>

static uint32_t units(uint32_t code_point, size_t bytes, Counting counting)
{
    return counting == COUNTING_UTF8 ? (uint32_t)bytes : counting == COUNTING_UTF16 && code_point > 0xFFFF ? 2 : 1;
}

size_t position_offset(const char *text, size_t length, Position position, Counting counting)
{
    size_t at = 0;
    for (uint32_t line = 0; line < position.line; line++) {
        const char *end = memchr(text + at, '\n', length - at);
        if (end == NULL) {
            return length;
        }
        at = (size_t)(end - text) + 1;
    }
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
    size_t at = 0;
    offset = offset < length ? offset : length;
    for (const char *end; (end = memchr(text + at, '\n', offset - at)) != NULL;) {
        at = (size_t)(end - text) + 1;
        position.line++;
    }
    while (at < offset) {
        size_t taken;
        uint32_t code_point = utf8_decode(text + at, length - at, &taken);
        position.character += units(code_point, taken, counting);
        at += taken;
    }
    return position;
}
