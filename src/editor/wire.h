/* Messages to and from an editor: JSON behind a head that tells its length, as
 * the Language Server Protocol 3.17 has it, over two open files. */
#ifndef WATERLEAF_EDITOR_WIRE_H
#define WATERLEAF_EDITOR_WIRE_H

#include "base/memory.h"
#include "base/text.h"

enum { WIRE_MOST = 64 << 20 }; /* bytes of one message */

typedef enum WireAnswer {
    WIRE_MESSAGE,
    WIRE_NOTHING,  /* none came in the time that was given */
    WIRE_ENDED,    /* nobody is there any more */
    WIRE_BROKEN,   /* what came is no message: nothing behind it can be read */
    WIRE_FAILED    /* the system gives nothing more to read */
} WireAnswer;

typedef struct Wire {
    Memory *memory;
    int in, out;
    Text pending;    /* read, and not taken yet */
    size_t taken;    /* of it */
} Wire;

void wire_open(Wire *wire, Memory *memory, int in, int out);
void wire_close(Wire *wire);

/* The next message: *BODY and *LENGTH, good until the next call. MILLISECONDS: how long to wait for one, -1: for ever. */
WireAnswer wire_read(Wire *wire, int milliseconds, const char **body, size_t *length);

/* Whether something came that was not taken yet, a half message among it. */
bool wire_waiting(const Wire *wire);

/* False where nobody takes it. */
bool wire_write(Wire *wire, const char *body, size_t length);

#endif
