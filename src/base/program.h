/* Another program at work for this one: it is given all of its input at once,
 * and its output is taken whole, when it has ended well. */
#ifndef WATERLEAF_BASE_PROGRAM_H
#define WATERLEAF_BASE_PROGRAM_H

#include "base/memory.h"

typedef enum ProgramAnswer {
    PROGRAM_FINE,
    PROGRAM_MISSING, /* there is none, or it cannot be started */
    PROGRAM_REFUSED, /* it ended with another status than 0; what it has to say it said itself */
    PROGRAM_BROKEN   /* it was ended, or the system gave no room for what goes to and fro */
} ProgramAnswer;

/* A program that makes ready while this one still works out what to give it. */
typedef struct Program { int child, to, out; } Program; /* child 0: none runs */

/* Starts PATH without arguments and without environment, so that its answer depends on what it is given alone. */
ProgramAnswer program_start(Program *program, const char *path);

/* Gives it all of INPUT, and takes what it makes of it: *OUTPUT, from MEMORY. It is over then. */
ProgramAnswer program_finish(Memory *memory, Program *program, const char *input, size_t length, char **output, size_t *output_length);

/* It is not wanted any more, or never ran. */
void program_give_up(Program *program);

/* Runs the program that the system knows by the first of WORDS, with these words (the last is NULL), in the environment C.UTF-8; what
 * it complains about is thrown away. */
ProgramAnswer program_ask(Memory *memory, char *const *words, const char *input, size_t length, char **output, size_t *output_length);

/* Where a program called NAME is: beside the one that runs, or where `make install` puts what is only used by others
 * (../libexec/waterleaf). From MEMORY; NULL where it is in neither place. */
char *program_beside(Memory *memory, const char *name);

#endif
