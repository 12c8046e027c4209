/* Chooses few of the inputs that the fuzzer has found for the corpus that the tests replay: again and again the one that
 * reaches most of what is not reached yet, the smaller of two. The corpus keeps what it has; what an earlier choice
 * added to it, the files found-NN, goes first. Compiled with -DTARGET=fuzz_NAME. Usage: keep CORPUS FOUND MOST BYTES */
#include "fuzz.h"

#include "../folder.h"

#include <unistd.h>

/* The compiler counts in a byte how often each edge was passed. */
static uint8_t *counters;
static size_t edges;

void __sanitizer_cov_8bit_counters_init(uint8_t *start, uint8_t *end);
void __sanitizer_cov_8bit_counters_init(uint8_t *start, uint8_t *end)
{
    counters = start;
    edges = (size_t)(end - start);
}

typedef struct Candidate { const char *path; char *bytes; uint8_t *passed; size_t length; } Candidate;

/* Runs the target over PATH; which edges it passes, a bit each. */
static Candidate run(const char *path)
{
    Candidate candidate = {.path = path, .passed = check_resize(NULL, edges / 8 + 1)};
    candidate.bytes = check_read(path, &candidate.length);
    fuzz_must(candidate.bytes != NULL, "%s cannot be read", path);
    char *exact = check_copy(candidate.bytes, candidate.length);
    memset(counters, 0, edges);
    TARGET((const uint8_t *)exact, candidate.length);
    memset(candidate.passed, 0, edges / 8 + 1);
    for (size_t i = 0; i < edges; i++)
        candidate.passed[i / 8] |= (uint8_t)((counters[i] != 0) << i % 8);
    free(exact);
    return candidate;
}

static size_t take(uint8_t *reached, const Candidate *candidate, bool really)
{
    size_t count = 0;
    for (size_t i = 0; i < edges / 8 + 1; i++) {
        count += (size_t)__builtin_popcount(candidate->passed[i] & ~reached[i] & 0xFF);
        if (really)
            reached[i] |= candidate->passed[i];
    }
    return count;
}

static void put(const char *corpus, size_t number, const Candidate *candidate)
{
    char path[4096];
    snprintf(path, sizeof path, "%s/found-%02zu", corpus, number);
    FILE *file = fopen(path, "wb");
    fuzz_must(file != NULL && fwrite(candidate->bytes, 1, candidate->length, file) == candidate->length && fclose(file) == 0, "%s cannot be written", path);
}

/* The best that fits into BYTES; NULL: none reaches anything new. */
static const Candidate *best_of(const Candidate *candidates, size_t count, uint8_t *reached, size_t bytes)
{
    const Candidate *best = NULL;
    size_t most = 0;
    for (size_t i = 0; i < count; i++) {
        size_t adds = candidates[i].length > bytes ? 0 : take(reached, &candidates[i], false);
        if (adds > most || (adds == most && adds > 0 && candidates[i].length < best->length)) {
            best = &candidates[i];
            most = adds;
        }
    }
    return best;
}

/* Takes away what an earlier choice added; marks what the rest of the corpus reaches, and gives its bytes. */
static size_t reach(const char *corpus, uint8_t *reached, size_t *files)
{
    Paths paths = {0};
    size_t bytes = 0;
    folder_add(&paths, corpus, "");
    for (size_t i = 0; i < paths.count; i++) {
        if (strncmp(strrchr(paths.at[i], '/') + 1, "found-", 6) == 0) {
            fuzz_must(unlink(paths.at[i]) == 0, "%s cannot be taken away", paths.at[i]);
            continue;
        }
        Candidate kept = run(paths.at[i]);
        take(reached, &kept, true);
        bytes += kept.length;
        ++*files;
        free(kept.bytes);
        free(kept.passed);
    }
    folder_free(&paths);
    return bytes;
}

int main(int count, char **arguments)
{
    fuzz_must(count == 5, "usage: keep CORPUS FOUND MOST BYTES");
    size_t most = strtoul(arguments[3], NULL, 10), room = strtoul(arguments[4], NULL, 10), files = 0, found = 0;
    uint8_t *reached = check_resize(NULL, edges / 8 + 1);
    memset(reached, 0, edges / 8 + 1);
    size_t bytes = reach(arguments[1], reached, &files);
    Paths paths = {0};
    folder_add(&paths, arguments[2], "");
    Candidate *candidates = check_resize(NULL, (paths.count + 1) * sizeof *candidates);
    for (size_t i = 0; i < paths.count; i++)
        candidates[i] = run(paths.at[i]);
    const Candidate *best;
    while (files < most && (best = best_of(candidates, paths.count, reached, room > bytes ? room - bytes : 0)) != NULL) {
        take(reached, best, true);
        put(arguments[1], ++found, best);
        bytes += best->length;
        files++;
    }
    size_t passed = 0;
    for (size_t i = 0; i < edges / 8 + 1; i++)
        passed += (size_t)__builtin_popcount(reached[i]);
    printf("%zu of %zu added; %zu files, %zu bytes, which pass %zu edges of %zu\n", found, paths.count, files, bytes, passed, edges);
    for (size_t i = 0; i < paths.count; i++) {
        free(candidates[i].bytes);
        free(candidates[i].passed);
    }
    free(candidates);
    free(reached);
    folder_free(&paths);
    return 0;
}
