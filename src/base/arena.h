/* Short-lived memory taken in one go and given back in one go. First chunk 4
 * KiB, doubling to 4 MiB; arena_reset keeps the chunks for the next use. */
#ifndef WATERLEAF_BASE_ARENA_H
#define WATERLEAF_BASE_ARENA_H

#include "base/memory.h"

struct ArenaChunk;

typedef struct Arena {
    Memory *memory;
    struct ArenaChunk *first;
    struct ArenaChunk *now;
    size_t used; /* of the chunk in use */
} Arena;

typedef struct ArenaMark {
    struct ArenaChunk *chunk;
    size_t used;
} ArenaMark;

void arena_open(Arena *arena, Memory *memory);

/* SIZE bytes, zeroed, aligned to 8. Never NULL. */
void *arena_take(Arena *arena, size_t size);

/* A copy of LENGTH bytes with a NUL behind it. */
char *arena_copy(Arena *arena, const char *text, size_t length);

/* printf into the arena; the result ends in NUL. */
char *arena_print(Arena *arena, const char *format, ...) __attribute__((format(printf, 2, 3)));

ArenaMark arena_mark(const Arena *arena);
void arena_back_to(Arena *arena, ArenaMark mark);
void arena_reset(Arena *arena);
void arena_close(Arena *arena);

#endif
