/* Framing: half messages wait for their rest, several at once are taken one by one. */
#include "editor/wire.h"

#include <errno.h>
#include <poll.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>
#include <unistd.h>

enum { CHUNK = 65536, MOST_HEAD = 4096 }; /* bytes */

void wire_open(Wire *wire, Memory *memory, int in, int out)
{
    *wire = (Wire){.memory = memory, .in = in, .out = out};
    text_open(&wire->pending, memory);
}

void wire_close(Wire *wire) { text_close(&wire->pending); }

static bool is_blank(char sign) { return sign == ' ' || sign == '\t'; }

/* The number that the LENGTH bytes at AT are, with blanks around it; -1: they are none, or too large a one. */
static long number_of(const char *at, size_t length)
{
    size_t digit = 0, first;
    long number = 0;
    while (digit < length && is_blank(at[digit])) {
        digit++;
    }
    for (first = digit; digit < length && at[digit] >= '0' && at[digit] <= '9'; digit++) {
        number = number > WIRE_MOST ? number : number * 10 + (at[digit] - '0');
    }
    bool any = digit > first;
    while (digit < length && is_blank(at[digit])) {
        digit++;
    }
    return any && digit == length && number <= WIRE_MOST ? number : -1;
}

/* The length that the head tells, behind which the body begins; -1: it is no head; -2: it is not whole yet. A head that goes on
 * for ever is none, however it is cut. */
static long read_head(const char *at, size_t length, size_t *body)
{
    long told = -1;
    size_t seen = length < MOST_HEAD ? length : MOST_HEAD;
    for (size_t line = 0;;) {
        const char *end = memchr(at + line, '\n', seen - line);
        if (end == NULL) {
            return seen == MOST_HEAD ? -1 : -2;
        }
        size_t size = (size_t)(end - at) - line;
        size -= size > 0 && end[-1] == '\r';
        if (size == 0) {
            *body = (size_t)(end - at) + 1;
            return told;
        }
        if (size > 15 && strncasecmp(at + line, "Content-Length:", 15) == 0 && (told = number_of(at + line + 15, size - 15)) < 0) {
            return -1;
        }
        line = (size_t)(end - at) + 1;
    }
}

/* More bytes; WIRE_MESSAGE: some came. */
static WireAnswer fill(Wire *wire, int milliseconds)
{
    struct pollfd waiting = {.fd = wire->in, .events = POLLIN};
    int ready = poll(&waiting, 1, milliseconds);
    if (ready == 0) {
        return WIRE_NOTHING;
    }
    if (ready < 0) {
        return errno == EINTR ? WIRE_NOTHING : WIRE_FAILED;
    }
    char bytes[CHUNK];
    ssize_t count = read(wire->in, bytes, sizeof bytes);
    if (count <= 0) {
        return count == 0 ? WIRE_ENDED : errno == EINTR ? WIRE_NOTHING : WIRE_FAILED;
    }
    text_add(&wire->pending, bytes, (size_t)count);
    return WIRE_MESSAGE;
}

WireAnswer wire_read(Wire *wire, int milliseconds, const char **body, size_t *length)
{
    if (wire->taken > 0) { /* what was handed out is done with */
        size_t rest = wire->pending.length - wire->taken;
        memmove(wire->pending.at, wire->pending.at + wire->taken, rest);
        wire->pending.length = rest;
        wire->pending.at[rest] = 0;
        wire->taken = 0;
    }
    for (;;) {
        size_t begins = 0;
        long told = wire->pending.length == 0 ? -2 : read_head(wire->pending.at, wire->pending.length, &begins);
        if (told == -1) {
            return WIRE_BROKEN;
        }
        if (told >= 0 && wire->pending.length - begins >= (size_t)told) {
            *body = wire->pending.at + begins;
            *length = (size_t)told;
            wire->taken = begins + (size_t)told;
            return WIRE_MESSAGE;
        }
        WireAnswer answer = fill(wire, milliseconds);
        if (answer != WIRE_MESSAGE) {
            return answer;
        }
    }
}

bool wire_waiting(const Wire *wire)
{
    struct pollfd waiting = {.fd = wire->in, .events = POLLIN};
    return wire->pending.length > wire->taken || poll(&waiting, 1, 0) > 0;
}

bool wire_write(Wire *wire, const char *body, size_t length)
{
    char head[64];
    int size = snprintf(head, sizeof head, "Content-Length: %zu\r\n\r\n", length);
    const char *parts[] = {head, body};
    size_t lengths[] = {(size_t)size, length};
    for (int part = 0; part < 2; part++) {
        for (size_t done = 0; done < lengths[part];) {
            ssize_t count = write(wire->out, parts[part] + done, lengths[part] - done);
            if (count < 0 && errno != EINTR) {
                return false;
            }
            done += count > 0 ? (size_t)count : 0;
        }
    }
    return true;
}
