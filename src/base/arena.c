/* Short-lived memory: a chain of chunks, of which all before the one in use are
 * full and all behind it are kept for later. */
#include "base/arena.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

typedef struct ArenaChunk {
    struct ArenaChunk *next;
    size_t size; /* of what follows */
} ArenaChunk;

/* A chunk is a little smaller than a power of two, so that with the headers it
 * fills whole pages. */
enum {
    HEADERS = 64,
#ifdef WATERLEAF_STRESS
    /* In the tests chunks are small and stay so: most of what is taken has a block of its own, whose ends the sanitizers watch. */
    FIRST_CHUNK = 256,
    LARGEST_CHUNK = 256,
#else
    FIRST_CHUNK = 4 << 10,
    LARGEST_CHUNK = 4 << 20,
#endif
    ALIGNMENT = 8
};

static char *chunk_bytes(ArenaChunk *chunk) { return (char *)(chunk + 1); }

void arena_open(Arena *arena, Memory *memory) { *arena = (Arena){.memory = memory}; }

static ArenaChunk *new_chunk(Arena *arena, size_t least)
{
    size_t size = arena->now ? (arena->now->size + HEADERS) * 2 : FIRST_CHUNK;
    if (size > LARGEST_CHUNK)
        size = LARGEST_CHUNK;
    size -= HEADERS;
    if (size < least)
        size = least;
    if (size > SIZE_MAX - sizeof(ArenaChunk))
        memory_throw(arena->memory, FAILURE_MEMORY);
    ArenaChunk *chunk = memory_resize(arena->memory, NULL, sizeof *chunk + size);
    *chunk = (ArenaChunk){.size = size};
    return chunk;
}

/* Makes a chunk with room for SIZE the one in use: one that was kept, else a
 * new one. */
static void next_chunk(Arena *arena, size_t size)
{
    ArenaChunk **behind_now = arena->now ? &arena->now->next : &arena->first;
    ArenaChunk **link = behind_now;
    while (*link && (*link)->size < size)
        link = &(*link)->next;
    ArenaChunk *chunk = *link;
    if (chunk)
        *link = chunk->next;
    else
        chunk = new_chunk(arena, size);
    chunk->next = *behind_now;
    *behind_now = chunk;
    arena->now = chunk;
    arena->used = 0;
}

static void *take_unset(Arena *arena, size_t size)
{
    if (size > SIZE_MAX - ALIGNMENT)
        memory_throw(arena->memory, FAILURE_MEMORY);
    size = (size + ALIGNMENT - 1) & ~(size_t)(ALIGNMENT - 1);
    if (!arena->now || arena->now->size - arena->used < size)
        next_chunk(arena, size);
    void *bytes = chunk_bytes(arena->now) + arena->used;
    arena->used += size;
    return bytes;
}

void *arena_take(Arena *arena, size_t size) { return memset(take_unset(arena, size), 0, size); }

char *arena_copy(Arena *arena, const char *text, size_t length)
{
    if (length == SIZE_MAX)
        memory_throw(arena->memory, FAILURE_MEMORY);
    char *copy = take_unset(arena, length + 1);
    if (length > 0)
        memcpy(copy, text, length);
    copy[length] = '\0';
    return copy;
}

char *arena_print(Arena *arena, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    char *text = NULL;
    if (length >= 0) {
        text = take_unset(arena, (size_t)length + 1);
        vsnprintf(text, (size_t)length + 1, format, again);
    }
    va_end(again);
    if (!text)
        memory_throw(arena->memory, FAILURE_MEMORY);
    return text;
}

ArenaMark arena_mark(const Arena *arena) { return (ArenaMark){arena->now, arena->used}; }

#ifdef WATERLEAF_STRESS
/* In the tests what was given back holds rubbish, so that whoever still looks at it is found. */
static void spoil(Arena *arena, ArenaMark mark)
{
    ArenaChunk *chunk = arena->now == NULL ? NULL : mark.chunk ? mark.chunk : arena->first;
    for (size_t from = mark.chunk ? mark.used : 0; chunk != NULL; chunk = chunk->next, from = 0) {
        size_t to = chunk == arena->now ? arena->used : chunk->size;
        if (to > from)
            memset(chunk_bytes(chunk) + from, 0xA5, to - from);
        if (chunk == arena->now)
            break;
    }
}
#else
static void spoil(const Arena *arena, ArenaMark mark)
{
    (void)arena;
    (void)mark;
}
#endif

void arena_back_to(Arena *arena, ArenaMark mark)
{
    spoil(arena, mark);
    arena->now = mark.chunk;
    arena->used = mark.used;
}

void arena_reset(Arena *arena)
{
    spoil(arena, (ArenaMark){0});
    arena->now = NULL;
    arena->used = 0;
}

void arena_close(Arena *arena)
{
    ArenaChunk *chunk = arena->first;
    while (chunk) {
        ArenaChunk *next = chunk->next;
        memory_return(arena->memory, chunk);
        chunk = next;
    }
    arena_open(arena, arena->memory);
}
