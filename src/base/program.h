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

/* Runs PATH without arguments and without environment, so that its answer depends on INPUT alone.
 * *OUTPUT is taken from MEMORY. */
ProgramAnswer program_run(Memory *memory, const char *path, const char *input, size_t length, char **output, size_t *output_length);

/* Runs the program that the system knows by the first of WORDS, with these words (the last is NULL), in the environment C.UTF-8; what
 * it complains about is thrown away. */
ProgramAnswer program_ask(Memory *memory, char *const *words, const char *input, size_t length, char **output, size_t *output_length);

/* Where a program called NAME is: beside the one that runs, or where `make install` puts what is only used by others
 * (../libexec/waterleaf). From MEMORY; NULL where it is in neither place. */
char *program_beside(Memory *memory, const char *name);

#endif
