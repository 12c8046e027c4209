/* The one way out where pages cannot be made: a sentence on standard error, and exit status 2. */
#ifndef WATERLEAF_PAGES_STOP_H
#define WATERLEAF_PAGES_STOP_H

_Noreturn void pages_stop(const char *format, ...) __attribute__((format(printf, 1, 2)));

#endif
