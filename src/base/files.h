/* The only place where files are opened. What is read is read whole; what is
 * written is written whole or not at all (to a neighbour, then renamed). */
#ifndef WATERLEAF_BASE_FILES_H
#define WATERLEAF_BASE_FILES_H

#include "base/memory.h"
#include <stdio.h>

typedef enum FileTrouble {
    FILE_FINE,
    FILE_MISSING,
    FILE_FOLDER,     /* it is a folder */
    FILE_DEVICE,     /* neither a file nor a pipe nor a terminal */
    FILE_TOO_LARGE,  /* more than MOST bytes */
    FILE_FORBIDDEN,
    FILE_UNREADABLE, /* errno says why */
    FILE_UNWRITABLE,
    FILE_TAKEN       /* there is something already where something new was to stand */
} FileTrouble;

/* Reads PATH, "-" for standard input, at most MOST bytes. Standard input may be
 * anything but a folder. *BYTES is taken from MEMORY with 8 spare zero bytes
 * behind it. A file is not read when its size already tells that it is too large. */
FileTrouble files_read(Memory *memory, const char *path, size_t most, char **bytes, size_t *length);

/* The same, with FRONT bytes left free in front of what is read: *BYTES is where they begin. A large text can so
 * be read right behind others, and need not be copied. */
FileTrouble files_read_behind(Memory *memory, const char *path, size_t front, size_t most, char **bytes, size_t *length);

/* Writes PATH whole or leaves what was there. A pipe, a terminal and the like,
 * which cannot be replaced, are written to directly. */
FileTrouble files_write(Memory *memory, const char *path, const char *bytes, size_t length);

/* New files in a folder, which is made where there is none and else must be empty: all of them, or nothing, and then there
 * is no folder either that was not there before. Nothing that exists is ever written over. */
typedef struct NewFile { const char *path, *bytes; size_t length; } NewFile;
FileTrouble files_write_folder(Memory *memory, const char *folder, const NewFile *files, size_t count, bool *made);

/* Whether such a folder may be made or is there and empty, before anything is written. */
FileTrouble files_may_begin(Memory *memory, const char *folder);

/* Takes them away again, and the folder where it was MADE. */
void files_take_back(const char *folder, const NewFile *files, size_t count, bool made);

/* One line of an open stream, its end cut off, into ROOM bytes; of a longer one the rest is passed over, and *CUT is true. False: there is none. */
bool files_read_line(Memory *memory, FILE *stream, char *line, size_t room, bool *cut);

/* Writes to an open stream and flushes; false when that fails. */
bool files_put(Memory *memory, FILE *stream, const char *bytes, size_t length);

/* All files below FOLDER whose name ends in ENDING, sorted, as NUL-separated
 * paths ending in two NULs, from MEMORY. What is hidden and links to folders are passed over.
 * FILE_TOO_LARGE when there are more than MOST; any folder that cannot be read is told. */
FileTrouble files_below(Memory *memory, const char *folder, const char *ending, size_t most, char **paths);

/* The absolute path without links or dots, from MEMORY; NULL when there is none. */
char *files_real_path(Memory *memory, const char *path);

/* Whether PATH is a folder. */
bool files_is_folder(const char *path);

/* Whether PATH is a regular file. */
bool files_exist(const char *path);

#endif
