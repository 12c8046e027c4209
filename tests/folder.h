/* All files below a folder whose name ends in an ending, sorted, so that a run
 * is the same everywhere. */
#ifndef WATERLEAF_TESTS_FOLDER_H
#define WATERLEAF_TESTS_FOLDER_H

#include "check.h"

#include <fts.h>

typedef struct Paths { char **at; size_t count; } Paths;

static inline int folder_order(const void *one, const void *other)
{
    return strcmp(*(char *const *)one, *(char *const *)other);
}

static inline void folder_add(Paths *paths, const char *folder, const char *ending)
{
    char *start = check_copy(folder, strlen(folder));
    FTS *walk = fts_open((char *[]){start, NULL}, FTS_PHYSICAL | FTS_NOCHDIR, NULL);
    size_t first = paths->count;
    for (FTSENT *entry; walk != NULL && (entry = fts_read(walk)) != NULL;) {
        size_t length = strlen(entry->fts_path), tail = strlen(ending);
        if (entry->fts_info != FTS_F || length < tail || strcmp(entry->fts_path + length - tail, ending) != 0)
            continue;
        paths->at = check_resize(paths->at, (paths->count + 1) * sizeof *paths->at);
        paths->at[paths->count++] = check_copy(entry->fts_path, length);
    }
    if (walk != NULL)
        fts_close(walk);
    free(start);
    if (paths->count > first)
        qsort(paths->at + first, paths->count - first, sizeof *paths->at, folder_order);
}

static inline void folder_free(Paths *paths)
{
    for (size_t i = 0; i < paths->count; i++)
        free(paths->at[i]);
    free(paths->at);
    *paths = (Paths){0};
}

#endif
