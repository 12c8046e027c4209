/* Memory for the libraries that draw: where there is none the program ends here, and says so. They themselves would fall, or go on and
 * leave out a word, a font, a shape: pages that are not what was written.
 *
 * These stand in front of the C library's own, for every library of this program. */
#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define WATCHED
#endif
#endif
#if !defined(WATCHED) && !defined(__SANITIZE_ADDRESS__) /* whoever watches memory has his own */

#include <dlfcn.h>
#include <errno.h>
#include <stddef.h>
#include <stdlib.h>
#include <unistd.h>

enum { TROUBLE = 2 };

void *memalign(size_t to, size_t size);

static void *enough(void *block)
{
    static const char says[] = "There is not enough memory to set these pages.\n";
    if (block == NULL) {
        (void)!write(STDERR_FILENO, says, sizeof says - 1);
        _exit(TROUBLE);
    }
    return block;
}

/* The function of that name that would be called without this one. */
#define BEHIND(name, ...) \
    static void *(*behind)(__VA_ARGS__); \
    if (behind == NULL) \
        *(void **)&behind = dlsym(RTLD_NEXT, name)

void *malloc(size_t size)
{
    BEHIND("malloc", size_t);
    return enough(behind(size > 0 ? size : 1));
}

void *calloc(size_t count, size_t size)
{
    BEHIND("calloc", size_t, size_t);
    return enough(behind(count > 0 ? count : 1, size > 0 ? size : 1));
}

void *realloc(void *old, size_t size)
{
    BEHIND("realloc", void *, size_t);
    return enough(behind(old, size > 0 ? size : 1));
}

void *memalign(size_t to, size_t size)
{
    BEHIND("memalign", size_t, size_t);
    return enough(behind(to, size > 0 ? size : 1));
}

void *aligned_alloc(size_t to, size_t size) { return memalign(to, size); }

int posix_memalign(void **out, size_t to, size_t size)
{
    *out = memalign(to, size);
    return 0;
}

#else
typedef int nothing_here;
#endif
