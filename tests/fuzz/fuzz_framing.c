/* Messages within a stream: however the stream is cut, the same messages come out of it and it ends in the same way, as a
 * reader says that is written here once more and takes all at once; and no more is held than what waits for its rest.
 *
 * The first byte chooses how the stream, which is all that follows, is cut. */
#include "fuzz.h"

#include "editor/wire.h"

#include <string.h>
#include <strings.h>
#include <unistd.h>

enum { MOST_HEAD = 4096, PIPE_ROOM = 32768, CHUNK = 65536 };

typedef struct Came { uint32_t count, sum; WireAnswer end; } Came;

static void take_down(Came *came, const char *body, size_t length)
{
    came->count++;
    came->sum = came->sum * 31 + fuzz_dice((const uint8_t *)body, length) + (uint32_t)length;
}

/* ---- as it ought to be ---- */

/* A head's length, its blank line among it, and what it tells; 0: the stream ends in it; -1: it is none. */
static long head_of(const char *at, size_t length, long long *told)
{
    *told = -1;
    size_t start = 0;
    for (size_t i = 0; i < length && i < MOST_HEAD; i++) {
        if (at[i] != '\n')
            continue;
        size_t size = i - start - (i > start && at[i - 1] == '\r');
        if (size == 0)
            return *told < 0 ? -1 : (long)i + 1;
        if (size > 15 && strncasecmp(at + start, "content-length:", 15) == 0) {
            size_t digit = start + 15, end = start + size;
            while (digit < end && (at[digit] == ' ' || at[digit] == '\t'))
                digit++;
            *told = digit < end && at[digit] >= '0' && at[digit] <= '9' ? 0 : -1;
            for (; *told >= 0 && digit < end && at[digit] >= '0' && at[digit] <= '9'; digit++)
                *told = *told > WIRE_MOST ? *told : *told * 10 + (at[digit] - '0');
            for (; digit < end && (at[digit] == ' ' || at[digit] == '\t'); digit++) {
            }
            if (*told < 0 || *told > WIRE_MOST || digit < end)
                return -1;
        }
        start = i + 1;
    }
    return length >= MOST_HEAD ? -1 : 0;
}

static Came expected(const char *at, size_t length)
{
    Came came = {.end = WIRE_ENDED};
    for (;;) {
        long long told;
        long head = head_of(at, length, &told);
        if (head < 0)
            came.end = WIRE_BROKEN;
        if (head <= 0 || (size_t)told > length - (size_t)head)
            return came;
        take_down(&came, at + head, (size_t)told);
        at += head + told;
        length -= (size_t)head + (size_t)told;
    }
}

/* ---- as it is ---- */

static size_t next_piece(uint8_t how, uint32_t *dice, size_t left)
{
    *dice = *dice * 1664525u + 1013904223u;
    size_t piece = how == 0 ? PIPE_ROOM : how < 8 ? how : how < 128 ? 1 + (*dice >> 16) % 16 : 1 + (*dice >> 16) % 4096;
    return piece < left ? piece : left;
}

/* Takes what has come; false where nothing more can come. */
static bool take_all(Wire *wire, Came *came)
{
    const char *body;
    size_t length;
    for (;;) {
        WireAnswer answer = wire_read(wire, 0, &body, &length);
        if (answer != WIRE_MESSAGE) {
            came->end = answer;
            return answer == WIRE_NOTHING;
        }
        take_down(came, body, length);
    }
}

static Came came_of(uint8_t how, const char *at, size_t length)
{
    int ends[2];
    Memory memory = {0};
    Wire wire;
    Came came = {0};
    uint32_t dice = how;
    fuzz_must(pipe(ends) == 0, "no pipe");
    wire_open(&wire, &memory, ends[0], ends[1]);
    bool open = true;
    while (open && length > 0) {
        size_t piece = next_piece(how, &dice, length);
        fuzz_must(write(ends[1], at, piece) == (ssize_t)piece, "a pipe takes nothing");
        at += piece;
        length -= piece;
        open = take_all(&wire, &came);
    }
    close(ends[1]);
    if (open)
        take_all(&wire, &came);
    close(ends[0]);
    wire_close(&wire);
    fuzz_must(memory.held == 0, "it keeps %zu bytes", memory.held);
    return came;
}

void fuzz_framing(const uint8_t *bytes, size_t length)
{
    if (length == 0)
        return;
    const char *at = (const char *)bytes + 1;
    Came should = expected(at, length - 1), cut = came_of(bytes[0], at, length - 1), whole = came_of(0, at, length - 1);
    fuzz_must(whole.count == should.count && whole.sum == should.sum && whole.end == should.end, "%u messages come, and then %d: it should be %u, and then %d", whole.count, (int)whole.end,
              should.count, (int)should.end);
    fuzz_must(cut.count == whole.count && cut.sum == whole.sum && cut.end == whole.end, "cut (%u), %u messages come, and then %d: whole %u, and then %d", bytes[0], cut.count, (int)cut.end,
              whole.count, (int)whole.end);
}
