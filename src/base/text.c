/* Text that grows, and how far two words are apart. (UTF-8 is in utf8.c.) */
#include "base/text.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum {
    FIRST_TEXT_ROOM = 64,
    LONGEST_WORD = 128 /* code points; what differs over more than that is no slip of the pen */
};

void text_open(Text *text, Memory *memory) { *text = (Text){.memory = memory}; }

void text_close(Text *text)
{
    memory_return(text->memory, text->at);
    text_open(text, text->memory);
}

void text_clear(Text *text)
{
    text->length = 0;
    if (text->at)
        text->at[0] = '\0';
}

/* Room for LENGTH further bytes and the NUL. */
static void make_room(Text *text, size_t length)
{
    if (length < text->room - text->length)
        return;
    if (length > PTRDIFF_MAX - text->length - 1)
        memory_throw(text->memory, FAILURE_MEMORY);
    size_t room = text->room > 0 ? text->room * 2 : FIRST_TEXT_ROOM;
#ifdef WATERLEAF_STRESS
    /* In the tests short texts move whenever they grow, as short lists do. */
    room = text->room < 1000 ? 0 : room;
#endif
    if (room < text->length + length + 1)
        room = text->length + length + 1;
    text->at = memory_resize(text->memory, text->at, room);
    text->room = room;
}

void text_add(Text *text, const char *bytes, size_t length)
{
    make_room(text, length);
    if (length > 0)
        memcpy(text->at + text->length, bytes, length);
    text->length += length;
    text->at[text->length] = '\0';
}

void text_put(Text *text, const char *c_string) { text_add(text, c_string, strlen(c_string)); }

void text_char(Text *text, char c) { text_add(text, &c, 1); }

void text_print(Text *text, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    bool fine = length >= 0;
    if (fine) {
        make_room(text, (size_t)length);
        vsnprintf(text->at + text->length, (size_t)length + 1, format, again);
        text->length += (size_t)length;
    }
    va_end(again);
    if (!fine)
        memory_throw(text->memory, FAILURE_MEMORY);
}

/* Without the difference of capitals, for the scripts that a desk in Europe
 * writes: Latin, Greek, Cyrillic. */
static uint32_t without_capitals(uint32_t c)
{
    if ((c >= 'A' && c <= 'Z') || (c >= 0xC0 && c <= 0xDE && c != 0xD7) || (c >= 0x391 && c <= 0x3A9) ||
        (c >= 0x410 && c <= 0x42F))
        return c + 32;
    if (c >= 0x400 && c <= 0x40F)
        return c + 80;
    bool odd_is_small = (c >= 0x100 && c <= 0x137) || (c >= 0x14A && c <= 0x177);
    bool even_is_small = (c >= 0x139 && c <= 0x148) || (c >= 0x179 && c <= 0x17E);
    if ((odd_is_small && c % 2 == 0) || (even_is_small && c % 2 == 1))
        return c + 1;
    return c;
}

typedef struct Word {
    uint32_t letters[LONGEST_WORD];
    unsigned length;
} Word;

/* False when the word is too long. */
static bool read_word(Word *word, const char *bytes, size_t length)
{
    word->length = 0;
    for (size_t at = 0; at < length;) {
        size_t taken;
        if (word->length == LONGEST_WORD)
            return false;
        word->letters[word->length++] = without_capitals(utf8_decode(bytes + at, length - at, &taken));
        at += taken;
    }
    return true;
}

static unsigned least(unsigned one, unsigned other) { return one < other ? one : other; }

/* The next line of the table of distances: of the first ROW letters of ONE from
 * the first 0, 1, 2 ... of OTHER. */
static unsigned fill_row(const Word *one, const Word *other, unsigned row, const unsigned *two_before,
                         const unsigned *before, unsigned *now)
{
    now[0] = row;
    unsigned best = row;
    for (unsigned column = 1; column <= other->length; column++) {
        uint32_t letter = one->letters[row - 1];
        bool equal = letter == other->letters[column - 1];
        unsigned edits = least(before[column - 1] + (equal ? 0 : 1), least(before[column], now[column - 1]) + 1);
        if (row > 1 && column > 1 && letter == other->letters[column - 2] &&
            one->letters[row - 2] == other->letters[column - 1])
            edits = least(edits, two_before[column - 2] + 1);
        now[column] = edits;
        best = least(best, edits);
    }
    return best;
}

unsigned text_distance(const char *one, size_t one_length, const char *other, size_t other_length, unsigned most)
{
    Word from, to;
    if (!read_word(&from, one, one_length) || !read_word(&to, other, other_length))
        return one_length == other_length && memcmp(one, other, one_length) == 0 ? 0 : most + 1;
    unsigned apart = from.length > to.length ? from.length - to.length : to.length - from.length;
    if (apart > most)
        return most + 1;
    unsigned rows[3][LONGEST_WORD + 1];
    for (unsigned column = 0; column <= to.length; column++)
        rows[0][column] = column;
    unsigned best_before = 0;
    for (unsigned row = 1; row <= from.length; row++) {
        unsigned best = fill_row(&from, &to, row, rows[(row + 1) % 3], rows[(row + 2) % 3], rows[row % 3]);
        /* A swap reaches back over one row, so two rows must be past MOST. */
        if (best > most && best_before > most)
            return most + 1;
        best_before = best;
    }
    return least(rows[from.length % 3][to.length], most + 1);
}

void text_nearest(TextNearest *search, const char *known)
{
    size_t length = strlen(search->to), known_length = strlen(known);
    unsigned most = length < 4 ? 1 : length < 8 ? 2 : 3;
    if (search->nearest != NULL) {
        if (search->distance == 0) {
            return;
        }
        most = search->distance - 1;
    }
    unsigned distance = text_distance(search->to, length, known, known_length, most);
    if (distance <= most && distance < length) { /* a word of one letter is near to nothing but itself */
        search->nearest = known;
        search->distance = distance;
    }
}
