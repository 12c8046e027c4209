/* Looking at somebody's own mark. PNG: ISO/IEC 15948; SVG: W3C, SVG 1.1. */
#include "render/mark.h"

#include <string.h>

enum { MOST_DOTS = 40000000, MOST_SIDE = 30000 };

/* ---- base64 (RFC 4648, 4) ---- */

static int value_of(char sign)
{
    static const char signs[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    const char *at = sign == 0 ? NULL : strchr(signs, sign);
    return at == NULL ? -1 : (int)(at - signs);
}

bool mark_bytes(Text *out, const char *base64)
{
    size_t length = base64 == NULL ? 0 : strlen(base64), filled = length;
    while (filled > 0 && length - filled < 2 && base64[filled - 1] == '=')
        filled--;
    if (length == 0 || length % 4 != 0)
        return false;
    unsigned bits = 0, held = 0;
    for (size_t i = 0; i < filled; i++) {
        int value = value_of(base64[i]);
        if (value < 0)
            return false;
        held = (held << 6 | (unsigned)value) & 0xFFFF;
        bits += 6;
        if (bits >= 8) {
            bits -= 8;
            text_char(out, (char)(held >> bits & 0xFF));
        }
    }
    return true;
}

static bool refuse(MarkTrouble *trouble, const char *what, const char *mend)
{
    *trouble = (MarkTrouble){what, mend};
    return false;
}

/* ---- PNG: a chain of chunks, each with a sum over its bytes ---- */

static uint32_t number_at(const unsigned char *at)
{
    return (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
}

static uint32_t sum_over(const unsigned char *at, size_t length)
{
    uint32_t sum = 0xFFFFFFFFu;
    for (size_t i = 0; i < length; i++) {
        sum ^= at[i];
        for (int bit = 0; bit < 8; bit++)
            sum = (sum & 1) != 0 ? sum >> 1 ^ 0xEDB88320u : sum >> 1;
    }
    return ~sum;
}

static bool has_name(const unsigned char *chunk, const char *name) { return memcmp(chunk + 4, name, 4) == 0; }

static bool png_sound(const unsigned char *at, size_t length, MarkTrouble *trouble)
{
    static const char broken[] = "it is broken, or cut off", again[] = "Save it once more";
    const unsigned char *end = at + length;
    bool first = true, last = false, any = false;
    for (at += 8; !last; first = false) {
        if (end - at < 12 || number_at(at) > (size_t)(end - at) - 12)
            return refuse(trouble, broken, again);
        uint32_t size = number_at(at);
        if (sum_over(at + 4, size + 4u) != number_at(at + 8 + size) || first != has_name(at, "IHDR") || (first && size != 13))
            return refuse(trouble, broken, again);
        if (first && (number_at(at + 8) > MOST_SIDE || number_at(at + 12) > MOST_SIDE || (uint64_t)number_at(at + 8) * number_at(at + 12) > MOST_DOTS))
            return refuse(trouble, "it has more than 40 million dots", "Save it smaller");
        any = any || has_name(at, "IDAT");
        last = has_name(at, "IEND");
        at += size + 12;
    }
    return any || refuse(trouble, broken, again);
}

/* ---- SVG ---- */

static bool is_blank(char sign) { return sign == ' ' || sign == '\t' || sign == '\n' || sign == '\r'; }

static bool begins(const char *at, const char *word) { return strncmp(at, word, strlen(word)) == 0; }

/* What may be referred to: a part of the picture itself, or bytes that stand where the reference is. */
static bool is_inside(const char *at)
{
    while (is_blank(*at) || *at == '"' || *at == '\'')
        at++;
    return *at == '#' || begins(at, "data:");
}

/* An attribute NAME at AT, with or without a prefix: where its value begins; else NULL. */
static const char *value_at(const char *at, const char *name, const char *text)
{
    if (!begins(at, name) || at == text || !(is_blank(at[-1]) || at[-1] == ':' || at[-1] == '"' || at[-1] == '\''))
        return NULL;
    for (at += strlen(name); is_blank(*at);)
        at++;
    if (*at != '=')
        return NULL;
    for (at++; is_blank(*at);)
        at++;
    return at;
}

/* Whether an element NAME begins at AT, with or without a prefix. */
static bool opens(const char *at, const char *name)
{
    if (*at != '<')
        return false;
    size_t prefix = strcspn(at, " \t\r\n/>:");
    const char *begin = at[prefix] == ':' ? at + prefix + 1 : at + 1;
    size_t length = strlen(name);
    return begins(begin, name) && (is_blank(begin[length]) || begin[length] == '>' || begin[length] == '/');
}

static bool refers_outside(const char *at, const char *text)
{
    const char *value = value_at(at, "href", text);
    value = value != NULL ? value : value_at(at, "src", text);
    return (value != NULL && !is_inside(value)) || (begins(at, "url(") && !is_inside(at + 4)) || begins(at, "@import") || begins(at, "<?xml-stylesheet")
           || begins(at, "<!ENTITY");
}

static bool svg_sound(const char *text, size_t length, MarkTrouble *trouble)
{
    static const char outside[] = "it refers to something outside itself", letters[] = "it has words in it, which look different on each machine";
    bool any = false;
    if (strlen(text) != length || begins(text, "\xFE\xFF") || begins(text, "\xFF\xFE"))
        return refuse(trouble, "it is no SVG in UTF-8", "Save it as one");
    const char *coded = begins(text, "<?xml") ? strstr(text, "encoding") : NULL, *head = strstr(text, "?>");
    if (coded != NULL && head != NULL && coded < head && strncasecmp(coded + strcspn(coded, "\"'") + 1, "utf-8", 5) != 0)
        return refuse(trouble, "it is no SVG in UTF-8", "Save it as one");
    for (const char *at = text; *at != 0; at++) {
        if (refers_outside(at, text))
            return refuse(trouble, outside, "Take into it what it refers to, or take that out");
        if (opens(at, "script"))
            return refuse(trouble, "it has a program in it", "Take that out");
        if (opens(at, "text"))
            return refuse(trouble, letters, "Turn them into outlines, and save it again");
        any = any || opens(at, "svg");
    }
    return any || refuse(trouble, "it is no SVG", "Save it as one");
}

bool mark_sound(Memory *memory, const DocumentNode *node, MarkTrouble *trouble)
{
    Text bytes;
    text_open(&bytes, memory);
    bool sound;
    if (!mark_bytes(&bytes, node->hint) || bytes.length < 8)
        sound = refuse(trouble, "it is broken, or cut off", "Save it once more");
    else if (node->label != NULL && strcmp(node->label, "image/svg+xml") == 0)
        sound = svg_sound(bytes.at, bytes.length, trouble);
    else if (node->label != NULL && strcmp(node->label, "image/png") == 0 && memcmp(bytes.at, "\x89PNG\r\n\x1A\n", 8) == 0)
        sound = png_sound((const unsigned char *)bytes.at, bytes.length, trouble);
    else
        sound = refuse(trouble, "it is neither a PNG nor an SVG", "Save it as one of them");
    text_close(&bytes);
    return sound;
}
