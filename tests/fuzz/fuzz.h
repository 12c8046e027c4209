/* The targets of the fuzzer: each is a function of any bytes, which ends the program where something does not hold.
 * entry.c makes one of them the fuzzer's, replay.c runs all over their corpora. */
#ifndef WATERLEAF_TESTS_FUZZ_H
#define WATERLEAF_TESTS_FUZZ_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

void fuzz_lexer(const uint8_t *bytes, size_t length);   /* from bytes to tokens, and to the tree */
void fuzz_tidy(const uint8_t *bytes, size_t length);    /* the one form of a script */
void fuzz_whole(const uint8_t *bytes, size_t length);   /* all that is asked of a script */
void fuzz_carried(const uint8_t *bytes, size_t length); /* what comes to the program that sets pages */
void fuzz_pages(const uint8_t *bytes, size_t length);   /* what becomes of it */
void fuzz_framing(const uint8_t *bytes, size_t length); /* messages within a stream */
void fuzz_session(const uint8_t *bytes, size_t length); /* an editor and the language server */

/* What must hold whatever the bytes are. */
static inline void __attribute__((format(printf, 2, 3))) fuzz_must(bool holds, const char *format, ...)
{
    if (!holds) {
        va_list arguments;
        va_start(arguments, format);
        fputs("does not hold: ", stderr);
        vfprintf(stderr, format, arguments);
        fputc('\n', stderr);
        va_end(arguments);
        abort();
    }
}

/* A number that is the same for the same bytes: by it is chosen what is asked of a script. */
static inline uint32_t fuzz_dice(const uint8_t *bytes, size_t length)
{
    uint32_t sum = 2166136261u;
    for (size_t i = 0; i < length; i++)
        sum = (sum ^ bytes[i]) * 16777619u;
    return sum ^ sum >> 15;
}

#endif
