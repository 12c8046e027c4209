/* What programs.c and the library that it loads before a program (preloaded/failing.c) tell each other, in memory that both see: which call
 * fails and how, and how many calls of each kind there were. It stands in the file descriptor FAILING_PLACE. */
#ifndef WATERLEAF_TESTS_FAILING_H
#define WATERLEAF_TESTS_FAILING_H

#include <stdint.h>

enum { FAILING_PLACE = 200, FAILING_ASKS, FAILING_ANSWERS, FAILING_MOST_LEFT = 200 };

typedef enum FailingKind {
    FAILING_MEMORY, /* malloc and its like, of the libraries too; mappings */
    FAILING_OPEN,   /* files, folders, pipes, files in memory */
    FAILING_READ,
    FAILING_WRITE,  /* but not of what is said on standard error */
    FAILING_FSYNC,
    FAILING_RENAME,
    FAILING_CLOSE,
    FAILING_STATE,  /* what is asked of a file, and where in it one stands */
    FAILING_SPAWN,
    FAILING_WAIT,   /* poll */
    FAILING_KINDS
} FailingKind;

typedef enum FailingHow {
    FAILING_ONCE,
    FAILING_ON,          /* it, and all that follow */
    FAILING_INTERRUPTED, /* each call of the kind is disturbed once before it goes through */
    FAILING_SHORT,       /* reading and writing go on by a few bytes a call */
    FAILING_EACH,        /* the program parts at each request for memory: in a copy of it that request fails, and then it goes on to the next */
    FAILING_EACH_ON,     /* the same, and in the copy all that follow fail, too */
    FAILING_KILLED       /* the program is killed in its place; in the place behind it where ERROR is not 0 */
} FailingHow;

typedef struct Failing {
    uint32_t kind, how, error;
    uint64_t number; /* of the call that fails, from 1; 0: none */
    uint64_t calls[FAILING_KINDS];
    uint64_t met;    /* how many failed */
    int64_t live;    /* blocks of memory that were not given back when it ended by itself */
    /* Of FAILING_EACH. NUMBER is the first, and then it is every STRIDE-th. */
    uint64_t stride, tried;
    int32_t copy, status;               /* the copy that runs, and how it ended, as waitpid tells it */
    uint64_t left[FAILING_MOST_LEFT];   /* not tried so, as a file was being written or a program ran, which are one's for both */
    uint32_t left_count;
} Failing;

/* What it tells the test through FAILING_ASKS; it goes on when it is answered. */
enum { FAILING_FILES_MAY_DIFFER = 'f', FAILING_TRIED = 't' };

#endif
