/* What the test programs share that are no cmocka units: counting what holds
 * and what does not, reading a file, growing a text. They run from the root of
 * the project, and end by printing "NAME: N passed, N failed" on a line. */
#ifndef WATERLEAF_TESTS_CHECK_H
#define WATERLEAF_TESTS_CHECK_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

typedef struct Checks {
    unsigned passed, failed;
    unsigned most_shown; /* failures that are printed; 0: 40 */
} Checks;

/* Counts; what failed is printed as the format says. Gives HOLDS back. */
static inline bool __attribute__((format(printf, 3, 4))) check(Checks *checks, bool holds, const char *format, ...)
{
    if (holds) {
        checks->passed++;
        return true;
    }
    if (checks->failed++ < (checks->most_shown ? checks->most_shown : 40)) {
        va_list arguments;
        va_start(arguments, format);
        fputs("  ", stdout);
        vprintf(format, arguments);
        putchar('\n');
        va_end(arguments);
    }
    return false;
}

/* The program's exit status. A program that checked nothing has failed. */
static inline int checks_end(Checks *checks, const char *name)
{
    if (checks->passed + checks->failed == 0)
        check(checks, false, "%s checked nothing", name);
    printf("%s: %u passed, %u failed\n", name, checks->passed, checks->failed);
    return checks->failed != 0;
}

/* The file's bytes with a NUL behind, from malloc; NULL where it cannot be read. */
static inline char *check_read(const char *path, size_t *length)
{
    FILE *file = fopen(path, "rb");
    if (file == NULL)
        return NULL;
    size_t room = 1 << 16, count = 0, got;
    char *bytes = malloc(room);
    while (bytes != NULL && (got = fread(bytes + count, 1, room - count - 1, file)) > 0) {
        count += got;
        if (room - count < 2) {
            char *more = realloc(bytes, room *= 2);
            if (more == NULL)
                free(bytes);
            bytes = more;
        }
    }
    fclose(file);
    if (bytes == NULL)
        return NULL;
    bytes[count] = '\0';
    if (length != NULL)
        *length = count;
    return bytes;
}

/* Memory for the tests themselves: they end where there is none. */
static inline void *check_resize(void *old, size_t size)
{
    void *block = realloc(old, size);
    if (block == NULL) {
        fputs("no memory for the test itself\n", stderr);
        exit(2);
    }
    return block;
}

static inline char *check_copy(const char *text, size_t length)
{
    char *copy = check_resize(NULL, length + 1);
    memcpy(copy, text, length);
    copy[length] = '\0';
    return copy;
}

/* A text that grows. */
typedef struct Page { char *at; size_t length, room; } Page;

static inline void page_add(Page *page, const char *bytes, size_t length)
{
    if (page->room < page->length + length + 1)
        page->at = check_resize(page->at, page->room = 2 * (page->length + length) + 256);
    if (length > 0)
        memcpy(page->at + page->length, bytes, length);
    page->length += length;
    page->at[page->length] = '\0';
}

static inline void __attribute__((format(printf, 2, 3))) page_print(Page *page, const char *format, ...)
{
    char line[4096];
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(line, sizeof line, format, arguments);
    va_end(arguments);
    page_add(page, line, length < 0 ? 0 : (size_t)length < sizeof line ? (size_t)length : sizeof line - 1);
}

/* Numbers that look drawn at random and are the same in every run of a seed (splitmix64). */
typedef struct Dice { uint64_t state; } Dice;

static inline uint64_t dice_roll(Dice *dice)
{
    uint64_t z = dice->state += 0x9E3779B97F4A7C15u;
    z = (z ^ z >> 30) * 0xBF58476D1CE4E5B9u;
    z = (z ^ z >> 27) * 0x94D049BB133111EBu;
    return z ^ z >> 31;
}

static inline unsigned dice_below(Dice *dice, unsigned most) { return (unsigned)(dice_roll(dice) % most); }

/* From LOW to HIGH in steps of a thousandth of the way, so that it is typed short. */
static inline double dice_between(Dice *dice, double low, double high)
{
    return low + (high - low) * dice_below(dice, 1001) / 1000.0;
}

/* The seed: WATERLEAF_SEED, else FALLBACK. It is printed, so that a failure can be had again. */
static inline Dice dice_seeded(const char *name, uint64_t fallback)
{
    const char *told = getenv("WATERLEAF_SEED");
    uint64_t seed = told != NULL && *told != '\0' ? strtoull(told, NULL, 10) : fallback;
    printf("%s: seed %llu\n", name, (unsigned long long)seed);
    return (Dice){seed};
}

#endif
