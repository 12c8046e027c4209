/* What reading one script has to say: counts the messages, keeps to one a
 * mistake, and stops reading when there are too many. */
#ifndef WATERLEAF_SYNTAX_MISTAKES_H
#define WATERLEAF_SYNTAX_MISTAKES_H

#include "source/message.h"

typedef struct Mistakes {
    Messages *messages;
    Arena words;               /* of the message being said */
    const unsigned char *text; /* the script's bytes ... */
    uint32_t base;             /* ... and the place of the first */
    uint32_t script_count;
    uint32_t line_count;
    bool stopped;              /* no more is read, nor said */
} Mistakes;

void mistakes_open(Mistakes *mistakes, Memory *memory, Messages *messages, const unsigned char *text, uint32_t base);
void mistakes_close(Mistakes *mistakes);

/* Says KIND at AT with up to four words, the rest NULL. NULL when nothing more is said. */
Message *mistakes_say(Mistakes *mistakes, MessageName kind, Span at, const char *one, const char *two, const char *three,
                      const char *four);

/* Adds what to write there instead, where it is sure. MESSAGE may be NULL. */
void mistakes_edit(Mistakes *mistakes, Message *message, Span at, const char *text);

/* Adds the second place. MESSAGE may be NULL. */
void mistakes_also(Mistakes *mistakes, Message *message, Span at, const char *says);

/* What is written from START to END, cut where it is long. */
const char *mistakes_quote(Mistakes *mistakes, uint32_t start, uint32_t end);

#endif
