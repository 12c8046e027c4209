/* What is said to the user, collected. */
#include "source/message.h"

#include "base/text.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

enum {
    MOST_MESSAGES = 200,
    FIRST_SAID = 64,
    MOST_WORDS = 4,
    LONGEST_WORDS = 500 /* bytes; more would push the message itself off the screen */
};

const MessageKind message_kinds[MESSAGE_NAMES] = {
#define MESSAGE(id, name, severity, says, mend, why, fails, mended) {name, severity, says, mend, why, fails, mended},
#include "source/messages.def"
#undef MESSAGE
};

MessageName message_named(const char *name)
{
    unsigned kind = 0;
    while (kind < MESSAGE_NAMES && strcmp(message_kinds[kind].name, name) != 0)
        kind++;
    return (MessageName)kind;
}

void messages_open(Messages *messages, Memory *memory)
{
    *messages = (Messages){.memory = memory, .most = MOST_MESSAGES};
    arena_open(&messages->words, memory);
}

void messages_close(Messages *messages)
{
    memory_return(messages->memory, messages->list.at);
    memory_return(messages->memory, messages->said.at);
    arena_close(&messages->words);
    messages_open(messages, messages->memory);
}

/* The slot of the table that holds this message, or the free one for it. */
static MessageSaid *said_slot(const Messages *messages, uint32_t kind, Span at)
{
    uint32_t mask = messages->said.count - 1;
    uint64_t hash = ((uint64_t)at.start << 32 | at.end) * UINT64_C(0x9E3779B97F4A7C15) + kind * UINT64_C(0xC2B2AE3D27D4EB4F);
    for (uint32_t slot = (uint32_t)(hash >> 32) & mask;; slot = (slot + 1) & mask) {
        MessageSaid *said = &messages->said.at[slot];
        if (said->kind == 0 || (said->kind == kind && said->at.start == at.start && said->at.end == at.end))
            return said;
    }
}

static void grow_said(Messages *messages)
{
    uint32_t old_count = messages->said.count;
    MessageSaid *old = messages->said.at;
    uint32_t count = old_count > 0 ? old_count * 2 : FIRST_SAID;
    messages->said.at = memory_take(messages->memory, count * sizeof *old);
    messages->said.count = messages->said.room = count;
    for (uint32_t i = 0; i < old_count; i++)
        if (old[i].kind != 0)
            *said_slot(messages, old[i].kind, old[i].at) = old[i];
    memory_return(messages->memory, old);
}

/* Whether this message was said at this place before; from now on it was. */
static bool is_said(Messages *messages, uint32_t name, Span at)
{
    if (messages->said_count >= messages->said.count / 2)
        grow_said(messages);
    uint32_t kind = name + 1;
    MessageSaid *said = said_slot(messages, kind, at);
    if (said->kind != 0)
        return true;
    *said = (MessageSaid){kind, at};
    messages->said_count++;
    return false;
}

static uint32_t *count_of(Messages *messages, Severity severity)
{
    return severity == SEVERITY_ERROR     ? &messages->errors
           : severity == SEVERITY_WARNING ? &messages->warnings
                                          : &messages->notes;
}

/* Where a message of this severity is kept: behind the others, or when there
 * are too many, in place of the last of those that weigh least and less than it.
 * NULL: nowhere. */
static Message *place_for(Messages *messages, Severity severity)
{
    if (messages->list.count < messages->most) {
        uint32_t place = list_add(messages->memory, &messages->list);
        return &messages->list.at[place];
    }
    Message *least = NULL;
    for (uint32_t i = 0; i < messages->list.count; i++) {
        Message *message = &messages->list.at[i];
        if (message->severity < severity && (!least || message->severity <= least->severity))
            least = message;
    }
    return least;
}

bool messages_heard(const Messages *messages) { return !messages->muted && messages->errors < messages->most; }

/* As much of the words as is shown, without cutting a character in two. */
static size_t shown_length(const char *words)
{
    size_t length = strnlen(words, LONGEST_WORDS + 1);
    if (length <= LONGEST_WORDS)
        return length;
    length = LONGEST_WORDS;
    while (length > 0 && ((unsigned char)words[length] & 0xC0) == 0x80)
        length--;
    return length;
}

static void add_words(Text *text, const char *words)
{
    size_t length = shown_length(words);
    text_add(text, words, length);
    if (words[length] != '\0')
        text_put(text, "...");
}

static const char *fill_in(Messages *messages, const char *pattern, const char *const *words)
{
    Text text;
    text_open(&text, messages->memory);
    for (const char *at = pattern; *at; at++) {
        bool stands_for_words = at[0] == '{' && at[1] >= '1' && at[1] <= '0' + MOST_WORDS && at[2] == '}';
        if (stands_for_words) {
            add_words(&text, words[at[1] - '1']);
            at += 2;
        } else {
            text_char(&text, *at);
            if (at[0] == '{' && at[1] == '{')
                at++;
        }
    }
    const char *filled = arena_copy(&messages->words, text.at, text.length);
    text_close(&text);
    return filled;
}

static Message *say_in_vain(Messages *messages, uint32_t kind, Severity severity, Span at)
{
    messages->scratch = (Message){.kind = kind, .severity = severity, .name = "", .at = at, .says = "", .mend = ""};
    return &messages->scratch;
}

/* A message without words yet, where it is kept; or the scratch. */
static Message *begin_message(Messages *messages, uint32_t kind, Severity severity, const char *name, Span at)
{
    ++*count_of(messages, severity);
    uint32_t order = messages->said_count;
    Message *message = place_for(messages, severity);
    if (!message)
        return say_in_vain(messages, kind, severity, at);
    *message = (Message){.kind = kind, .severity = severity, .name = name, .at = at, .says = "", .mend = "",
                         .while_reading = messages->reading, .order = order};
    return message;
}

Message *message_say(Messages *messages, MessageName kind, Span at, ...)
{
    Severity severity = message_kinds[kind].severity;
    messages->unsaid += messages->muted;
    if (messages->muted || is_said(messages, kind, at))
        return say_in_vain(messages, kind, severity, at);
    const char *words[MOST_WORDS] = {"", "", "", ""};
    va_list arguments;
    va_start(arguments, at);
    for (size_t i = 0; i < MOST_WORDS; i++) {
        const char *given = va_arg(arguments, const char *);
        if (!given)
            break;
        words[i] = given;
    }
    va_end(arguments);
    Message *message = begin_message(messages, kind, severity, message_kinds[kind].name, at);
    if (message == &messages->scratch)
        return message;
    /* Filling in takes memory from an arena, which moves no list. */
    message->says = fill_in(messages, message_kinds[kind].says, words);
    message->mend = fill_in(messages, message_kinds[kind].mend, words);
    return message;
}

static const char *kept_words(Messages *messages, const char *words)
{
    return words == NULL ? NULL : arena_copy(&messages->words, words, shown_length(words));
}

Message *message_say_rule(Messages *messages, const MessageOfRule *rule, Span at)
{
    uint32_t kind = MESSAGE_NAMES + rule->number;
    messages->unsaid += messages->muted;
    if (messages->muted || is_said(messages, kind, at))
        return say_in_vain(messages, kind, rule->severity, at);
    Message *message = begin_message(messages, kind, rule->severity, "", at);
    if (message == &messages->scratch)
        return message;
    message->name = kept_words(messages, rule->name);
    message->says = kept_words(messages, rule->says);
    message->mend = kept_words(messages, rule->mend);
    message->source = kept_words(messages, rule->source);
    return message;
}

bool message_is_in_vain(const Messages *messages, uint32_t number, Span at)
{
    return messages->muted || (messages->said.count > 0 && said_slot(messages, MESSAGE_NAMES + number + 1, at)->kind != 0);
}

void message_also(Messages *messages, Message *message, Span other, const char *says)
{
    if (message->other_count < MESSAGE_PLACES) {
        const char *words = message == &messages->scratch ? "" : arena_copy(&messages->words, says, strlen(says));
        message->others[message->other_count++] = (MessagePlace){other, words};
    }
}

static int compare_places(const void *one, const void *other, void *world)
{
    const Sources *sources = world;
    const Message *first = one;
    const Message *second = other;
    bool first_library = sources_at(sources, first->at.start)->library;
    bool second_library = sources_at(sources, second->at.start)->library;
    if (first_library != second_library)
        return first_library ? 1 : -1;
    /* Places go on from file to file, so they order the files as well. */
    if (first->at.start != second->at.start)
        return first->at.start < second->at.start ? -1 : 1;
    return first->order < second->order ? -1 : first->order > second->order;
}

static uint32_t line_start(const Sources *sources, uint32_t place)
{
    const Source *source = sources_at(sources, place);
    while (place > source->base && sources_bytes(sources, place - 1)[0] != '\n') {
        place--;
    }
    return place;
}

/* One mistake, one message. */
static void keep_one_a_line(Messages *messages, const Sources *sources)
{
    uint32_t kept = 0, last_line = 0;
    for (uint32_t i = 0; i < messages->list.count; i++) {
        Message message = messages->list.at[i];
        bool error = message.while_reading && message.severity == SEVERITY_ERROR;
        uint32_t line = error ? line_start(sources, message.at.start) : 0;
        if (error && kept > 0 && line == last_line) {
            uint32_t before = kept - 1;
            while (before > 0 && messages->list.at[before].severity != SEVERITY_ERROR) {
                before--;
            }
            if (message.order < messages->list.at[before].order) {
                messages->list.at[before] = message;
            }
            messages->errors--;
            continue;
        }
        last_line = error ? line : last_line;
        messages->list.at[kept++] = message;
    }
    messages->list.count = kept;
}

void messages_sort(Messages *messages, const Sources *sources)
{
    if (messages->list.count > 1)
        qsort_r(messages->list.at, messages->list.count, sizeof *messages->list.at, compare_places, (void *)(uintptr_t)sources);
    keep_one_a_line(messages, sources);
}
