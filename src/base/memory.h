/* All memory, and the one way out when it fails.
 *
 * A Memory owns every block that was taken through it. A request is never
 * answered with NULL: when it cannot be met, memory_throw leaves for the rescue
 * point that the workshop set (setjmp in workshop.c; for what a command takes
 * itself in commands/main.c; and nowhere else), and
 * memory_return_all gives everything back. So no code between the two checks
 * for failure, and none leaks.
 *
 * The fault loop of the tests sets fail_at: the request of that number fails,
 * and with fail_on every later one too.
 */
#ifndef WATERLEAF_BASE_MEMORY_H
#define WATERLEAF_BASE_MEMORY_H

#include <setjmp.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

typedef enum Failure {
    FAILURE_NONE,
    FAILURE_MEMORY, /* a request could not be met, or the limit was passed */
    FAILURE_LIMIT,  /* a limit of the language was passed; its message is said already */
    FAILURE_WRITE   /* a write did not go through */
} Failure;

struct MemoryBlock;

typedef struct Memory {
    jmp_buf *rescue;            /* where a failure goes; NULL: abort */
    struct MemoryBlock *blocks; /* all that is held */
    uint64_t requests;          /* how many so far */
    uint64_t fail_at;           /* 0: none fails */
    bool fail_on;
    size_t held;                /* bytes now */
    size_t most_held;           /* bytes at the most so far */
    size_t limit;               /* 0: none */
    Failure failure;            /* why the last throw was */
    uint64_t reads, read_fails_at;   /* the same for reading a file ... */
    uint64_t writes, write_fails_at; /* ... and for writing one */
    int open_file;              /* what base/files has open while it asks for memory, and one: a throw closes it */
} Memory;

/* SIZE bytes, all zero, aligned for any type. Never NULL. */
void *memory_take(Memory *memory, size_t size);

/* The block at OLD made NEW_SIZE bytes; what is new is not cleared. OLD may be
 * NULL. Never NULL. Large blocks are moved by the system without copying. */
void *memory_resize(Memory *memory, void *old, size_t new_size);

/* Says that SIZE bytes at BYTES are written next: their pages are taken in one go, which costs a third of touching
 * them one by one. Only a hint. */
void memory_touch(void *bytes, size_t size);

/* Gives one block back; NULL is allowed. */
void memory_return(Memory *memory, void *block);

/* Gives everything back that was taken. */
void memory_return_all(Memory *memory);

/* Leaves for the rescue point. */
_Noreturn void memory_throw(Memory *memory, Failure failure);

#endif
