/* Calls that fail: loaded before a program, it stands between that and the system, and lets the call fail that failing.h tells.
 * What the C library calls within itself is not reached; standard output, which it buffers, is where it is handed over. */
#include "../failing.h"

#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>
#include <unistd.h>

enum { FEW_BYTES = 100 };

static Failing *told; /* NULL: nothing fails */
static uint64_t calls[FAILING_KINDS];
static int64_t live;
static pid_t started_by;
static bool is_copy, is_writing; /* a file was made that has not its name yet, or a program was begun that makes it */

/* Memory is taken by the C library's own names: no search may ask for memory in turn. */
extern void *__libc_malloc(size_t), *__libc_calloc(size_t, size_t), *__libc_realloc(void *, size_t), *__libc_memalign(size_t, size_t);
extern void __libc_free(void *);

__attribute__((constructor)) static void begin(void)
{
    void *place = (void *)syscall(SYS_mmap, NULL, sizeof *told, PROT_READ | PROT_WRITE, MAP_SHARED, FAILING_PLACE, 0L);
    syscall(SYS_close, FAILING_PLACE);
    told = place == MAP_FAILED ? NULL : place;
    started_by = (pid_t)syscall(SYS_getppid);
    for (int file = FAILING_ASKS; file <= FAILING_ANSWERS; file++)
        fcntl(file, F_SETFD, FD_CLOEXEC);
}

__attribute__((destructor)) static void end(void)
{
    if (told != NULL)
        told->live = live;
}

/* Who started a copy is who started the program. */
pid_t getppid(void) { return started_by; }

static void kill_it(void) { syscall(SYS_kill, (long)getpid(), (long)SIGKILL); }

static void ask(char what)
{
    char answer;
    if (syscall(SYS_write, FAILING_ASKS, &what, 1L) != 1 || syscall(SYS_read, FAILING_ANSWERS, &answer, 1L) != 1)
        kill_it();
}

/* True in the copy. In the program, when the copy has ended and was looked at: what both share is put back. */
static bool is_in_copy(void)
{
    static uint64_t changes;
    off_t at[3];
    uint64_t now = calls[FAILING_OPEN] + calls[FAILING_WRITE] + calls[FAILING_RENAME];
    if (now != changes || told->tried == 0)
        ask(FAILING_FILES_MAY_DIFFER);
    changes = now;
    for (int file = 0; file < 3; file++)
        at[file] = syscall(SYS_lseek, file, 0L, SEEK_CUR);
    told->live = 0;
    pid_t copy = fork();
    if (copy == 0) {
        is_copy = true;
        return true;
    }
    told->copy = copy;
    while (copy < 0 || syscall(SYS_wait4, copy, &told->status, 0L, NULL) < 0) {
        if (copy < 0 || errno != EINTR)
            kill_it();
    }
    told->tried++;
    ask(FAILING_TRIED);
    for (int file = 0; file < 3; file++) {
        if (at[file] >= 0 && file > 0)
            syscall(SYS_ftruncate, file, at[file]);
        if (at[file] >= 0)
            syscall(SYS_lseek, file, at[file], SEEK_SET);
    }
    return false;
}

static bool fails_in_copy(uint64_t call)
{
    static bool failed;
    if (is_copy)
        return failed && told->how == FAILING_EACH_ON;
    if (call < told->number || (call - told->number) % told->stride != 0)
        return false;
    if (is_writing) {
        if (told->left_count < FAILING_MOST_LEFT)
            told->left[told->left_count++] = call;
        return false;
    }
    int before = errno;
    failed = is_in_copy();
    errno = failed ? (int)told->error : before;
    return failed;
}

/* Whether this call fails; errno says how. */
static bool fails(FailingKind kind)
{
    if (told == NULL)
        return false;
    uint64_t call = ++calls[kind];
    if (!is_copy)
        told->calls[kind] = call;
    if (told->number == 0 || told->kind != (uint32_t)kind)
        return false;
    if (told->how == FAILING_EACH || told->how == FAILING_EACH_ON)
        return fails_in_copy(call);
    bool here = told->how == FAILING_ON ? call >= told->number : told->how == FAILING_INTERRUPTED ? call % 2 == 1
        : told->how != FAILING_SHORT && call == told->number;
    if (here && told->how == FAILING_KILLED && told->error == 0)
        kill_it();
    if (!here || told->how == FAILING_KILLED)
        return false;
    told->met++;
    errno = told->how == FAILING_INTERRUPTED ? EINTR : (int)told->error;
    return true;
}

/* Behind a call that went through. */
static void is_done(FailingKind kind)
{
    if (told != NULL && told->how == FAILING_KILLED && told->error != 0 && told->kind == (uint32_t)kind && calls[kind] == told->number)
        kill_it();
}

static size_t shortened(FailingKind kind, size_t size)
{
    if (told == NULL || told->number == 0 || told->how != FAILING_SHORT || told->kind != (uint32_t)kind || size <= FEW_BYTES)
        return size;
    told->met++;
    return FEW_BYTES;
}

/* The function of that name behind this one. */
#define BEHIND(result, name, ...) \
    static result (*next)(__VA_ARGS__); \
    if (next == NULL) \
        *(void **)&next = dlsym(RTLD_NEXT, name)

/* ---- memory ---- */

static void *counted(void *block)
{
    live += block != NULL;
    return block;
}

void *malloc(size_t size) { return fails(FAILING_MEMORY) ? NULL : counted(__libc_malloc(size)); }
void *calloc(size_t count, size_t size) { return fails(FAILING_MEMORY) ? NULL : counted(__libc_calloc(count, size)); }
void *memalign(size_t to, size_t size) { return fails(FAILING_MEMORY) ? NULL : counted(__libc_memalign(to, size)); }

void *realloc(void *old, size_t size)
{
    if (fails(FAILING_MEMORY))
        return NULL;
    void *block = __libc_realloc(old, size);
    live += (old == NULL && block != NULL) - (old != NULL && size == 0 && block == NULL);
    return block;
}

void free(void *block)
{
    live -= block != NULL;
    __libc_free(block);
}

void *aligned_alloc(size_t to, size_t size) { return memalign(to, size); }

int posix_memalign(void **out, size_t to, size_t size)
{
    void *block = memalign(to, size);
    if (block == NULL)
        return ENOMEM;
    *out = block;
    return 0;
}

void *mmap(void *at, size_t size, int rights, int flags, int file, off_t from)
{
    return fails(FAILING_MEMORY) ? MAP_FAILED : (void *)syscall(SYS_mmap, at, size, rights, flags, file, from);
}

void *mmap64(void *at, size_t size, int rights, int flags, int file, off_t from) { return mmap(at, size, rights, flags, file, from); }

void *mremap(void *at, size_t old, size_t size, int flags, ...)
{
    void *to = NULL;
    if ((flags & MREMAP_FIXED) != 0) {
        va_list more;
        va_start(more, flags);
        to = va_arg(more, void *);
        va_end(more);
    }
    return fails(FAILING_MEMORY) ? MAP_FAILED : (void *)syscall(SYS_mremap, at, old, size, flags, to);
}

/* ---- opening ---- */

static int open_it(int folder, const char *path, int flags, mode_t mode)
{
    int file = fails(FAILING_OPEN) ? -1 : (int)syscall(SYS_openat, folder, path, flags, mode);
    is_writing = is_writing || (file >= 0 && (flags & O_CREAT) != 0);
    is_done(FAILING_OPEN);
    return file;
}

#define MODE(flags) \
    mode_t mode = 0; \
    if (((flags) & (O_CREAT | O_TMPFILE)) != 0) { \
        va_list more; \
        va_start(more, flags); \
        mode = va_arg(more, mode_t); \
        va_end(more); \
    }

int open(const char *path, int flags, ...) { MODE(flags) return open_it(AT_FDCWD, path, flags, mode); }
int open64(const char *path, int flags, ...) { MODE(flags) return open_it(AT_FDCWD, path, flags, mode); }
int openat(int folder, const char *path, int flags, ...) { MODE(flags) return open_it(folder, path, flags, mode); }
int openat64(int folder, const char *path, int flags, ...) { MODE(flags) return open_it(folder, path, flags, mode); }

FILE *fopen(const char *path, const char *how)
{
    BEHIND(FILE *, "fopen", const char *, const char *);
    return fails(FAILING_OPEN) ? NULL : next(path, how);
}

FILE *fopen64(const char *path, const char *how) { return fopen(path, how); }

DIR *opendir(const char *path)
{
    BEHIND(DIR *, "opendir", const char *);
    return fails(FAILING_OPEN) ? NULL : next(path);
}

int memfd_create(const char *name, unsigned flags) { return fails(FAILING_OPEN) ? -1 : (int)syscall(SYS_memfd_create, name, flags); }
int pipe2(int both[2], int flags) { return fails(FAILING_OPEN) ? -1 : (int)syscall(SYS_pipe2, both, flags); }

/* ---- reading and writing ---- */

ssize_t read(int file, void *bytes, size_t size) { return fails(FAILING_READ) ? -1 : syscall(SYS_read, file, bytes, shortened(FAILING_READ, size)); }
ssize_t pread(int file, void *bytes, size_t size, off_t from) { return fails(FAILING_READ) ? -1 : syscall(SYS_pread64, file, bytes, size, from); }
ssize_t pread64(int file, void *bytes, size_t size, off_t from) { return pread(file, bytes, size, from); }

size_t fread(void *bytes, size_t size, size_t count, FILE *stream)
{
    BEHIND(size_t, "fread", void *, size_t, size_t, FILE *);
    return told != NULL && told->how != FAILING_INTERRUPTED && fails(FAILING_READ) ? 0 : next(bytes, size, count, stream);
}

struct dirent *readdir(DIR *folder)
{
    BEHIND(struct dirent *, "readdir", DIR *);
    return told != NULL && told->how != FAILING_INTERRUPTED && fails(FAILING_READ) ? NULL : next(folder);
}

ssize_t write(int file, const void *bytes, size_t size)
{
    ssize_t count = file != STDERR_FILENO && fails(FAILING_WRITE) ? -1 : syscall(SYS_write, file, bytes, shortened(FAILING_WRITE, size));
    if (file != STDERR_FILENO)
        is_done(FAILING_WRITE);
    return count;
}

/* The C library's streams are not disturbed: it is the system that does, and only where there are handlers. */
static bool stream_fails(const FILE *stream) { return stream != stderr && told != NULL && told->how != FAILING_INTERRUPTED && fails(FAILING_WRITE); }

size_t fwrite(const void *bytes, size_t size, size_t count, FILE *stream)
{
    BEHIND(size_t, "fwrite", const void *, size_t, size_t, FILE *);
    return stream_fails(stream) ? 0 : next(bytes, size, count, stream);
}

int fflush(FILE *stream)
{
    BEHIND(int, "fflush", FILE *);
    return stream_fails(stream) ? EOF : next(stream);
}

int fputs(const char *text, FILE *stream)
{
    BEHIND(int, "fputs", const char *, FILE *);
    return stream_fails(stream) ? EOF : next(text, stream);
}

/* ---- the rest ---- */

int fsync(int file)
{
    int answer = fails(FAILING_FSYNC) ? -1 : (int)syscall(SYS_fsync, file);
    is_done(FAILING_FSYNC);
    return answer;
}

int rename(const char *from, const char *to)
{
    int answer = fails(FAILING_RENAME) ? -1 : (int)syscall(SYS_rename, from, to);
    is_writing = is_writing && answer != 0;
    is_done(FAILING_RENAME);
    return answer;
}

/* It is closed all the same, as the system does it. */
int close(int file)
{
    int answer = (int)syscall(SYS_close, file), error = errno;
    is_done(FAILING_CLOSE);
    if (fails(FAILING_CLOSE))
        return -1;
    errno = error;
    return answer;
}

int stat(const char *path, struct stat *about) { return fails(FAILING_STATE) ? -1 : fstatat(AT_FDCWD, path, about, 0); }
int lstat(const char *path, struct stat *about) { return fails(FAILING_STATE) ? -1 : fstatat(AT_FDCWD, path, about, AT_SYMLINK_NOFOLLOW); }
int fstat(int file, struct stat *about) { return fails(FAILING_STATE) ? -1 : fstatat(file, "", about, AT_EMPTY_PATH); }
off_t lseek(int file, off_t to, int from) { return fails(FAILING_STATE) ? -1 : syscall(SYS_lseek, file, to, from); }
int fchmod(int file, mode_t mode) { return fails(FAILING_STATE) ? -1 : (int)syscall(SYS_fchmod, file, mode); }
int access(const char *path, int mode) { return fails(FAILING_STATE) ? -1 : (int)syscall(SYS_access, path, mode); }
ssize_t readlink(const char *path, char *out, size_t size) { return fails(FAILING_STATE) ? -1 : syscall(SYS_readlink, path, out, size); }

char *realpath(const char *path, char *out)
{
    BEHIND(char *, "realpath", const char *, char *);
    return fails(FAILING_STATE) ? NULL : next(path, out);
}

int posix_spawn(pid_t *child, const char *path, const posix_spawn_file_actions_t *actions, const posix_spawnattr_t *how, char *const *words, char *const *environment)
{
    BEHIND(int, "posix_spawn", pid_t *, const char *, const posix_spawn_file_actions_t *, const posix_spawnattr_t *, char *const *, char *const *);
    if (fails(FAILING_SPAWN))
        return errno;
    is_writing = true;
    return next(child, path, actions, how, words, environment);
}

int posix_spawnp(pid_t *child, const char *path, const posix_spawn_file_actions_t *actions, const posix_spawnattr_t *how, char *const *words, char *const *environment)
{
    BEHIND(int, "posix_spawnp", pid_t *, const char *, const posix_spawn_file_actions_t *, const posix_spawnattr_t *, char *const *, char *const *);
    if (fails(FAILING_SPAWN))
        return errno;
    is_writing = true;
    return next(child, path, actions, how, words, environment);
}

int poll(struct pollfd *files, nfds_t count, int milliseconds)
{
    return fails(FAILING_WAIT) ? -1 : (int)syscall(SYS_poll, files, count, milliseconds);
}
