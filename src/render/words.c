/* Cleaning the words of a document, and parting them into lines. */
#include "render/words.h"

#include <string.h>

static bool is_blank(uint32_t sign)
{
    return sign == ' ' || (sign >= 0x09 && sign <= 0x0D) || sign == 0x85 || sign == 0x2028 || sign == 0x2029;
}

void words_clean(Text *out, const char *text)
{
    size_t length = strlen(text);
    bool blank = false, any = false;
    for (size_t at = 0, taken; at < length; at += taken) {
        uint32_t sign = utf8_decode(text + at, length - at, &taken);
        if (is_blank(sign)) {
            blank = any;
            continue;
        }
        if (blank)
            text_char(out, ' ');
        if (utf8_hidden(sign))
            text_put(out, "\xEF\xBF\xBD");
        else
            text_add(out, text + at, taken);
        blank = false;
        any = true;
    }
}

bool words_glued(const char *text, size_t place)
{
    static const char *const operators[] = {"×", "÷", "−", "±"};
    if (place == 0 || text[place] != ' ')
        return false;
    char before = text[place - 1];
    bool glued = before >= '0' && before <= '9';
    for (size_t i = 0; i < sizeof operators / sizeof operators[0]; i++) {
        size_t length = strlen(operators[i]);
        glued = glued || (place >= length && memcmp(text + place - length, operators[i], length) == 0);
    }
    return glued;
}

/* The sign at TEXT and its columns. */
static size_t sign_columns(const char *text, size_t *taken)
{
    return (size_t)utf8_width(utf8_decode(text, strnlen(text, 4), taken));
}

size_t words_line(const char *text, size_t room)
{
    size_t at = 0, column = 0, good = 0, poor = 0;
    for (size_t taken; text[at] != 0; at += taken) {
        if (text[at] == ' ') {
            poor = at;
            good = words_glued(text, at) ? good : at;
        }
        column += sign_columns(text + at, &taken);
        if (column > room)
            return good > 0 ? good : poor > 0 ? poor : at > 0 ? at : taken;
    }
    return at;
}

size_t words_longest(const char *text)
{
    size_t longest = 0, column = 0;
    for (size_t at = 0, taken; text[at] != 0; at += taken) {
        size_t wide = sign_columns(text + at, &taken);
        column = text[at] == ' ' && !words_glued(text, at) ? 0 : column + wide;
        longest = column > longest ? column : longest;
    }
    return longest;
}
