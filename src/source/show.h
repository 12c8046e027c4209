/* Messages as text for people: the long form with the line and the place
 * marked, and the short form, one line each. (JSON: render/json.) */
#ifndef WATERLEAF_SOURCE_SHOW_H
#define WATERLEAF_SOURCE_SHOW_H

#include "base/text.h"
#include "source/message.h"

typedef struct ShowHow {
    bool one_line; /* FILE:LINE:COL: severity: text [message-name] */
    bool colour;
} ShowHow;

void show_message(Text *out, const Sources *sources, const Names *names, const Message *message, ShowHow how);

#endif
