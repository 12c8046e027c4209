/* Cleaning the words of a document. */
#include "render/words.h"

#include <string.h>

static bool is_blank(uint32_t sign)
{
    return sign == ' ' || (sign >= 0x09 && sign <= 0x0D) || sign == 0x85 || sign == 0x2028 || sign == 0x2029;
}

static bool is_hidden(uint32_t sign)
{
    bool control = sign < 0x20 || (sign >= 0x7F && sign < 0xA0);
    bool direction = (sign >= 0x202A && sign <= 0x202E) || (sign >= 0x2066 && sign <= 0x2069);
    bool no_text = sign == 0xFFFD || (sign & 0xFFFE) == 0xFFFE || (sign >= 0xFDD0 && sign <= 0xFDEF);
    return control || direction || no_text;
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
        if (is_hidden(sign))
            text_put(out, "\xEF\xBF\xBD");
        else
            text_add(out, text + at, taken);
        blank = false;
        any = true;
    }
}

bool words_glued(const char *text, size_t place)
{
    if (place == 0 || text[place] != ' ')
        return false;
    char before = text[place - 1];
    return before >= '0' && before <= '9';
}
