/* What reading one script has to say. */
#include "syntax/mistakes.h"

#include "base/limits.h"

#include <string.h>

enum {
    LONGEST_QUOTE = 60,  /* bytes of the script in a message */
    MOST_LINE_MESSAGES = 3
};

void mistakes_open(Mistakes *mistakes, Memory *memory, Messages *messages, const unsigned char *text, uint32_t base)
{
    *mistakes = (Mistakes){.messages = messages, .text = text, .base = base};
    arena_open(&mistakes->words, memory);
}

void mistakes_close(Mistakes *mistakes)
{
    arena_close(&mistakes->words);
}

Message *mistakes_say(Mistakes *mistakes, MessageName kind, Span at, const char *one, const char *two, const char *three,
                      const char *four)
{
    mistakes->line_count++;
    if (mistakes->stopped || mistakes->line_count > MOST_LINE_MESSAGES)
        return NULL;
    if (++mistakes->script_count > LIMIT_SCRIPT_MESSAGES) {
        mistakes->stopped = true;
        message_say(mistakes->messages, SAY_reading_stopped, at, NULL);
        return NULL;
    }
    return message_say(mistakes->messages, kind, at, one, two, three, four, NULL);
}

void mistakes_edit(Mistakes *mistakes, Message *message, Span at, const char *text)
{
    if (!message)
        return;
    message->edit = at;
    message->edit_text = arena_copy(&mistakes->messages->words, text, strlen(text));
}

void mistakes_also(Mistakes *mistakes, Message *message, Span at, const char *says)
{
    if (message)
        message_also(mistakes->messages, message, at, says);
}

const char *mistakes_quote(Mistakes *mistakes, uint32_t start, uint32_t end)
{
    const char *at = (const char *)mistakes->text + (start - mistakes->base);
    size_t length = end - start;
    if (length <= LONGEST_QUOTE)
        return arena_copy(&mistakes->words, at, length);
    length = LONGEST_QUOTE;
    while (length > 0 && ((unsigned char)at[length] & 0xC0) == 0x80)
        length--;
    return arena_print(&mistakes->words, "%.*s...", (int)length, at);
}
