/* The language server: an editor's questions, each answered from a script that was checked. */
#ifndef WATERLEAF_EDITOR_SERVER_H
#define WATERLEAF_EDITOR_SERVER_H

#include "waterleaf.h"

typedef struct ServerWish {
    const char *stdlib;  /* NULL: the one built in */
    const char *version;
    int32_t day;         /* on which it is judged */
    int in, out;
} ServerWish;

/* Speaks the Language Server Protocol until the editor says `exit` or goes away. 0 where it said `shutdown` before, else 1;
 * 2, with a message, where the system fails. */
int server_run(Memory *memory, const ServerWish *wish);

#endif
