/* A small writer of JSON (RFC 8259). */
#include "render/json.h"

#include "base/decimal.h"

#include <math.h>
#include <string.h>

enum { DIGITS = 12 };

void json_put_open(Json *json, Text *out) { *json = (Json){.out = out}; }

static void put_quoted(Text *out, const char *value)
{
    size_t length = strlen(value);
    text_char(out, '"');
    for (size_t at = 0, taken; at < length; at += taken) {
        uint32_t sign = utf8_decode(value + at, length - at, &taken);
        if (sign == '"' || sign == '\\')
            text_print(out, "\\%c", (char)sign);
        else if (sign == '\n')
            text_put(out, "\\n");
        else if (sign == 0xFFFD)
            text_put(out, "\xEF\xBF\xBD");
        else if (utf8_hidden(sign) && sign < 0x10000)
            text_print(out, "\\u%04x", (unsigned)sign);
        else
            text_add(out, value + at, taken);
    }
    text_char(out, '"');
}

/* What stands in front of a value: comma, line break, key. */
static void put_before(Json *json, const char *key)
{
    bool line_each = json->depth == 2 && json->closing[1] == ']';
    if (json->any[json->depth])
        text_put(json->out, line_each ? "," : ", ");
    if (line_each)
        text_char(json->out, '\n');
    json->any[json->depth] = true;
    if (key) {
        put_quoted(json->out, key);
        text_put(json->out, ": ");
    }
}

static void open_one(Json *json, const char *key, char opening, char closing)
{
    put_before(json, key);
    text_char(json->out, opening);
    if (json->depth < JSON_DEPTH)
        json->closing[json->depth++] = closing;
    json->any[json->depth] = false;
}

void json_put_object(Json *json, const char *key) { open_one(json, key, '{', '}'); }
void json_put_array(Json *json, const char *key) { open_one(json, key, '[', ']'); }

void json_put_end(Json *json)
{
    if (json->depth == 0)
        return;
    if (json->depth == 2 && json->closing[1] == ']' && json->any[2])
        text_char(json->out, '\n');
    text_char(json->out, json->closing[--json->depth]);
}

void json_put_text(Json *json, const char *key, const char *value)
{
    put_before(json, key);
    if (value)
        put_quoted(json->out, value);
    else
        text_put(json->out, "null");
}

void json_put_number(Json *json, const char *key, double value)
{
    put_before(json, key);
    if (isfinite(value))
        decimal_put_digits(json->out, value, DIGITS);
    else
        text_put(json->out, "null");
}

void json_put_truth(Json *json, const char *key, bool value)
{
    put_before(json, key);
    text_put(json->out, value ? "true" : "false");
}

void json_put_null(Json *json, const char *key)
{
    put_before(json, key);
    text_put(json->out, "null");
}

void json_put_raw(Json *json, const char *key, const char *written)
{
    put_before(json, key);
    text_put(json->out, written);
}

void json_put_close(Json *json)
{
    while (json->depth > 0)
        json_put_end(json);
    text_char(json->out, '\n');
}
