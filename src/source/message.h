/* What is said to the user: one list of all messages (messages.def), and a
 * collector. Whoever knows that something is wrong says so once, with places
 * and words; sorting, leaving out and printing come later and elsewhere.
 */
#ifndef WATERLEAF_SOURCE_MESSAGE_H
#define WATERLEAF_SOURCE_MESSAGE_H

#include "base/arena.h"
#include "source/source.h"

typedef enum Severity { SEVERITY_NOTE, SEVERITY_WARNING, SEVERITY_ERROR } Severity;

typedef enum MessageName {
#define MESSAGE(id, name, severity, says, mend, why, fails, mended) SAY_##id,
#include "source/messages.def"
#undef MESSAGE
    MESSAGE_NAMES
} MessageName;

typedef struct MessageKind {
    const char *name;     /* "unknown-name" */
    Severity severity;
    const char *says;     /* what is wrong; {1} to {4} stand for the words given */
    const char *mend;     /* what to do */
    const char *why;      /* the long text */
    const char *fails;    /* a script that gets the message; "" where only a file or a call can */
    const char *mended;   /* the same, mended */
} MessageKind;

extern const MessageKind message_kinds[MESSAGE_NAMES];

/* The message called NAME, or MESSAGE_NAMES. */
MessageName message_named(const char *name);

enum { MESSAGE_PLACES = 4 };

typedef struct MessagePlace {
    Span at;
    const char *says;
} MessagePlace;

typedef struct Message {
    uint32_t kind;      /* a MessageName; of rules MESSAGE_NAMES and more */
    Severity severity;
    Span at;
    const char *says;   /* filled in */
    const char *mend;   /* filled in; "" where there is nothing to advise */
    const char *name;   /* "unknown-name", or that of a rule or claim */
    const char *source; /* what a rule rests on; NULL: nothing is told */
    MessagePlace others[MESSAGE_PLACES]; /* the second place, and further ones */
    uint32_t other_count;
    const char *found, *limit, *needed; /* "expected / found / difference" lines; NULL where not */
    bool compares;      /* they are what was expected, what was found, and the difference */
    Span edit;          /* what to write there instead, where it is sure; start 0: none */
    const char *edit_text;
    bool while_reading; /* said before anything was worked out: of those, one a line is kept */
    uint32_t order;     /* as they came */
} Message;

/* What was said already. */
typedef struct MessageSaid {
    uint32_t kind; /* and one; 0: free */
    Span at;
} MessageSaid;

typedef struct Messages {
    Memory *memory;
    Arena words;
    LIST(Message) list;
    LIST(MessageSaid) said; /* a hash table; its count is a power of two */
    uint32_t said_count;
    Message scratch;        /* what is said in vain */
    uint32_t errors, warnings, notes;
    uint32_t most;      /* further ones are counted but not kept; an error takes the place of something lesser */
    bool muted;         /* trial walks say nothing */
    uint32_t unsaid;    /* how many would have been said while muted */
    bool reading;       /* scripts are being read and settled */
} Messages;

void messages_open(Messages *messages, Memory *memory);
void messages_close(Messages *messages);

/* Says the message; up to four words for {1} to {4}, ended by NULL. The words
 * are copied, very long ones cut. The same message at the same place is kept once: then, and when muted, what is
 * returned is a scratch Message that is never shown. Never NULL; good until the
 * next message_say. */
Message *message_say(Messages *messages, MessageName kind, Span at, ... /* const char *, NULL */) __attribute__((sentinel));

/* What a rule of a script says: its words are filled in already. */
typedef struct MessageOfRule {
    uint32_t number;      /* of the rule; no two have one */
    const char *name;
    Severity severity;
    const char *says, *mend, *source; /* source: NULL where none is told */
} MessageOfRule;

/* Says it as message_say does. */
Message *message_say_rule(Messages *messages, const MessageOfRule *rule, Span at);

/* Whether the message of rule NUMBER was said at AT before, or would not be heard. */
bool message_is_in_vain(const Messages *messages, uint32_t number, Span at);

/* Whether an error that is said now would be kept: else it is no use to look for what might have been meant. */
bool messages_heard(const Messages *messages);

/* Adds a further place; more than MESSAGE_PLACES are passed over. */
void message_also(Messages *messages, Message *message, Span other, const char *says);

/* In the order of files and places; the scripts of stdlib last. Of the errors that were said of one line while it was
 * read, the first is kept: what else is odd there mostly follows from it. */
void messages_sort(Messages *messages, const Sources *sources);

#endif
