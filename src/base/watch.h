/* Waiting until something in some folders changes. */
#ifndef WATERLEAF_BASE_WATCH_H
#define WATERLEAF_BASE_WATCH_H

#include <stdbool.h>

typedef struct Watch { int changes, signals; } Watch;

/* From now on an interrupt or a wish to end is noted and ends nothing by itself. False: the system has no such thing. */
bool watch_open(Watch *watch);
void watch_folder(Watch *watch, const char *folder);

/* Waits for a change, and until it is quiet again. False: somebody wants it to end. */
bool watch_wait(Watch *watch);
void watch_close(Watch *watch);

#endif
