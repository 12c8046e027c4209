/* Writing JSON: objects and arrays are opened and ended in order, commas and
 * quotes look after themselves. Numbers have 12 significant digits whatever the
 * locale; what is no number, and text that is NULL, is null. KEY is NULL in arrays.
 *
 * The members of the outermost arrays stand on lines of their own, so that the
 * output can be read and compared line by line.
 */
#ifndef WATERLEAF_RENDER_JSON_H
#define WATERLEAF_RENDER_JSON_H

#include "base/text.h"

enum { JSON_DEPTH = 96 };

typedef struct Json {
    Text *out;
    unsigned depth;
    char closing[JSON_DEPTH]; /* of what is open */
    bool any[JSON_DEPTH + 1]; /* whether something stands in it already */
} Json;

void json_put_open(Json *json, Text *out);
void json_put_object(Json *json, const char *key);
void json_put_array(Json *json, const char *key);
void json_put_end(Json *json);

void json_put_text(Json *json, const char *key, const char *value);
void json_put_number(Json *json, const char *key, double value);
void json_put_truth(Json *json, const char *key, bool value);
void json_put_null(Json *json, const char *key);

/* What was written as JSON elsewhere. */
void json_put_raw(Json *json, const char *key, const char *written);

/* Ends all that is open, and the line. */
void json_put_close(Json *json);

#endif
