/* What is asked of UTF-8: code points, how many, and how wide they print. The
 * C library's wcwidth depends on the locale; this does not. */
#include "base/text.h"

#include <stdio.h>

static const uint32_t NOT_VALID = 0xFFFD;

static bool goes_on(unsigned char byte) { return (byte & 0xC0) == 0x80; }

/* How many bytes a sequence that begins with FIRST has; 0: it begins none. */
static size_t sequence_length(unsigned char first)
{
    if (first < 0x80)
        return 1;
    if (first < 0xC2 || first > 0xF4)
        return 0;
    return first < 0xE0 ? 2 : first < 0xF0 ? 3 : 4;
}

uint32_t utf8_decode(const char *bytes, size_t length, size_t *taken)
{
    static const uint32_t smallest[] = {0, 0, 0x80, 0x800, 0x10000};
    *taken = 1;
    if (length == 0)
        return NOT_VALID;
    const unsigned char *byte = (const unsigned char *)bytes;
    size_t count = sequence_length(byte[0]);
    if (count == 1)
        return byte[0];
    if (count == 0 || count > length)
        return NOT_VALID;
    uint32_t code_point = byte[0] & (0x7FU >> count);
    for (size_t i = 1; i < count; i++) {
        if (!goes_on(byte[i]))
            return NOT_VALID;
        code_point = code_point << 6 | (byte[i] & 0x3FU);
    }
    bool surrogate = code_point >= 0xD800 && code_point <= 0xDFFF;
    if (code_point < smallest[count] || code_point > 0x10FFFF || surrogate)
        return NOT_VALID;
    *taken = count;
    return code_point;
}

bool utf8_hidden(uint32_t code_point)
{
    bool control = code_point < 0x20 || (code_point >= 0x7F && code_point < 0xA0);
    bool separator = code_point == 0x2028 || code_point == 0x2029;
    bool direction = (code_point >= 0x202A && code_point <= 0x202E) || (code_point >= 0x2066 && code_point <= 0x2069);
    bool no_text = code_point == NOT_VALID || (code_point & 0xFFFE) == 0xFFFE || (code_point >= 0xFDD0 && code_point <= 0xFDEF);
    return control || separator || direction || no_text;
}

void text_add_visible(Text *text, const char *words, size_t length)
{
    for (size_t at = 0, taken; at < length; at += taken) {
        uint32_t sign = utf8_decode(words + at, length - at, &taken);
        if (sign == '\n' || sign == '\t') {
            text_char(text, ' ');
        } else if (utf8_hidden(sign)) {
            text_put(text, "\xEF\xBF\xBD");
        } else {
            text_add(text, words + at, taken);
        }
    }
}

void text_trouble(const char *format, va_list arguments)
{
    char words[4000];
    int length = vsnprintf(words, sizeof words, format, arguments);
    size_t most = length < 0 ? 0 : (size_t)length < sizeof words ? (size_t)length : sizeof words - 1;
    for (size_t at = 0, taken; at < most; at += taken) {
        uint32_t sign = utf8_decode(words + at, most - at, &taken);
        if (utf8_hidden(sign) && sign != '\n') {
            fputs("\xEF\xBF\xBD", stderr);
        } else {
            fwrite(words + at, 1, taken, stderr);
        }
    }
    fputc('\n', stderr);
}

size_t utf8_count(const char *bytes, size_t length)
{
    size_t count = 0;
    for (size_t at = 0, taken; at < length; at += taken) {
        utf8_decode(bytes + at, length - at, &taken);
        count++;
    }
    return count;
}

typedef struct Range {
    uint32_t first, last;
} Range;

static const Range no_column[] = {
#define NO_COLUMN(first, last) {first, last},
#include "base/widths.def"
#undef NO_COLUMN
};

static const Range two_columns[] = {
#define TWO_COLUMNS(first, last) {first, last},
#include "base/widths.def"
#undef TWO_COLUMNS
};

static bool is_among(const Range *ranges, size_t count, uint32_t code_point)
{
    while (count > 0) {
        size_t middle = count / 2;
        if (code_point < ranges[middle].first) {
            count = middle;
        } else if (code_point > ranges[middle].last) {
            ranges += middle + 1;
            count -= middle + 1;
        } else {
            return true;
        }
    }
    return false;
}

int utf8_width(uint32_t code_point)
{
    if (code_point < no_column[0].first)
        return 1;
    if (is_among(no_column, sizeof no_column / sizeof *no_column, code_point))
        return 0;
    return is_among(two_columns, sizeof two_columns / sizeof *two_columns, code_point) ? 2 : 1;
}

size_t utf8_columns(const char *bytes, size_t length)
{
    size_t columns = 0;
    for (size_t at = 0, taken; at < length; at += taken)
        columns += (size_t)utf8_width(utf8_decode(bytes + at, length - at, &taken));
    return columns;
}
