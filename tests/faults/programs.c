/* The fault loop over the whole programs: every command, the language server and what sets pages, each with a call that fails: a request for
 * memory (its own and the libraries'), opening, reading, writing, fsync, rename, close and the rest, once or from then on; reading and
 * writing that is disturbed and goes on by a few bytes; a full disk (a small one is mounted; where that is refused, output to /dev/full and
 * writing that fails with ENOSPC are what is left of it, which is said); and killed at any moment, and in each place in which it writes.
 *
 * What must come of it: exit status 2 with a message in our own words, or else what comes without the fault, and no more memory left than
 * without it. Never another answer, a crash, a file half written or left over. The programs are the ones that are shipped, but put together
 * when they start, so that preloaded/failing.c stands between them and the C library; under the sanitizers: faults.c. They get fonts' settings
 * and a cache of their own, and it is looked at afterwards that no cache was written, the system's least of all.
 *
 * For memory a program does not begin anew for each request: it parts in two at it, the request fails in the copy, and when the copy was
 * looked at the program goes on. So each of the hundred thousands can be tried. What sets pages has threads, which a copy has not: it begins anew.
 *
 * Of each kind some calls are tried, from the first to the last; where WATERLEAF_FULL is set all, but of memory 1000 a command and way. Every
 * golden script is checked, weighed and tidied with some calls that fail, too.
 *
 *   programs                  all
 *   programs [every] WORD     only those commands whose line holds WORD, and each that is found is shown whole
 *   programs every            each request for memory of all, which takes long */
#include "failing.h"
#include "folder.h"

#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <signal.h>
#include <spawn.h>
#include <sys/mman.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

enum { WORKERS = 2, MOST_SECONDS = 30, MOST_FILES = 12, KILLS = 12, PAGES_IN_FULL = 30, MEMORY_IN_FULL = 1000, MEMORY_AS_USUAL = 40, MEMORY_OF_GOLDEN_IN_FULL = 60, MEMORY_OF_GOLDEN = 4 };

typedef struct Case {
    const char *line;     /* the words of the call, parted by blanks */
    const char *input;    /* what it is given on standard input; NULL: nothing */
    bool pages;           /* of what sets pages, which is slow */
    bool server;
    const char *golden;   /* the folder of one of many scripts, for which fewer requests for memory are tried; NULL: none of them */
    bool slow;            /* other programs look at what comes: in the usual tier only that these cannot be begun */
    unsigned few;         /* how many calls of a kind are tried in the usual tier; 0: 5 */
} Case;

static const char session[] = "session", carried[] = "carried", labels[] = "labels", marked[] = "marked", untidy[] = "untidy.wleaf";

static const Case cases[] = {
    {.line = "check first.wleaf"},
    {.line = "check --json wrong.wleaf"},
    {.line = "check --sarif wrong.wleaf"},
    {.line = "check --mend wrong.wleaf"},
    {.line = "check --short .", .few = 3},
    {.line = "check --depends rule -o out first.wleaf"},
    {.line = "check -", .input = "first.wleaf"},
    {.line = "weigh first.wleaf"},
    {.line = "weigh --json first.wleaf"},
    {.line = "weigh --json heath.wleaf H-21 -o out", .few = 3},
    {.line = "weigh --what-if first.wleaf"},
    {.line = "weigh --what-if --json first.wleaf -o out"},
    {.line = "write batch-sheet heath.wleaf H-21 -o out --as text", .few = 3},
    {.line = "write batch-sheet first.wleaf --as html"},
    {.line = "write spec-sheet first.wleaf -o new"},
    {.line = "write labels heath.wleaf H-21 -o out --as html", .few = 3},
    {.line = "write chemical-labels binders-laid.wleaf BL-3 -o out", .few = 3},
    {.line = "write labels heath.wleaf H-21 -o out --as pdf --unproofed", .few = 2},
    {.line = "write labels heath.wleaf H-21 -o out --as pdf", .few = 1, .slow = true},
    {.line = "write labels heath.wleaf H-21 -o out.svg --unproofed", .few = 1},
    {.line = "compare heath.wleaf H-21 first.wleaf sketch", .few = 3},
    {.line = "compare --json heath.wleaf H-21 H-21 -o out", .few = 3},
    {.line = "why first.wleaf sketch fibre-charge"},
    {.line = "why --json first.wleaf sketch alkaline-reserve"},
    {.line = "why wrong-basis"},
    {.line = "tidy untidy.wleaf"},
    {.line = "tidy --check --json ."},
    {.line = "tidy -", .input = untidy},
    {.line = "list materials"},
    {.line = "list --json rules -o out"},
    {.line = "lsp --on 2027-03-01", .input = session, .server = true},
    {.line = "pages of a batch sheet", .input = carried, .pages = true, .few = 2},
    {.line = "pages of labels", .input = labels, .pages = true, .few = 1},
    {.line = "pages with a mark", .input = marked, .pages = true, .few = 1}};
enum { CASES = sizeof cases / sizeof cases[0] };

typedef struct File { char *name, *bytes; size_t length; } File;
typedef struct Files { File at[MOST_FILES + 40]; size_t count; } Files;

/* What came of one run. */
typedef struct Came {
    int status, signal;
    char *out, *said;
    size_t out_length;
    Files files;
    int64_t live; /* blocks of memory that were not given back */
} Came;

/* What the workers count, in memory that all see. */
typedef struct Counts { unsigned passed, failed; uint64_t runs; } Counts;

typedef struct Loop {
    const char *root, *folder, *common; /* of the project; in which this worker works; of all workers */
    Files given;               /* what stands in the folder before each run, folders' files among them */
    Failing *failing;
    int failing_file, out, said;
    Counts *counts;
    bool shows, every;
} Loop;

static bool all_of_them(void) { return getenv("WATERLEAF_FULL") != NULL && getenv("WATERLEAF_FULL")[0] != '\0'; }

static void trouble(const char *what)
{
    fprintf(stderr, "%s: %s\n", what, strerror(errno));
    exit(2);
}

/* ---- files ---- */

static void put_file(const char *folder, const char *name, const char *bytes, size_t length)
{
    char path[4096];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = fopen(path, "wb");
    if (file == NULL || fwrite(bytes, 1, length, file) != length || fclose(file) != 0)
        trouble(path);
}

static void files_add(Files *files, const char *name, const char *bytes, size_t length)
{
    if (files->count == sizeof files->at / sizeof files->at[0])
        trouble("too many files");
    files->at[files->count++] = (File){check_copy(name, strlen(name)), check_copy(bytes, length), length};
}

static const File *files_named(const Files *files, const char *name)
{
    for (size_t i = 0; i < files->count; i++) {
        if (strcmp(files->at[i].name, name) == 0)
            return &files->at[i];
    }
    return NULL;
}

static bool is_same(const File *one, const File *other)
{
    return one == NULL || other == NULL ? one == other : one->length == other->length && memcmp(one->bytes, other->bytes, one->length) == 0;
}

static void files_free(Files *files)
{
    for (size_t i = 0; i < files->count; i++) {
        free(files->at[i].name);
        free(files->at[i].bytes);
    }
    files->count = 0;
}

static void files_take(Files *files, const char *folder)
{
    Paths paths = {0};
    folder_add(&paths, folder, "");
    for (size_t i = 0; i < paths.count; i++) {
        size_t length = 0;
        char *bytes = check_read(paths.at[i], &length);
        if (bytes != NULL)
            files_add(files, paths.at[i] + strlen(folder) + 1, bytes, length);
        free(bytes);
    }
    folder_free(&paths);
}

/* The folder becomes WAS again; only what differs from that NOW is written. */
static void restore(Loop *loop, const Files *was, const Files *now)
{
    char path[4096];
    for (size_t i = 0; i < now->count; i++) {
        if (files_named(was, now->at[i].name) == NULL) {
            snprintf(path, sizeof path, "%s/%s", loop->folder, now->at[i].name);
            unlink(path);
        }
    }
    for (size_t i = 0; i < was->count; i++) {
        const File *file = &was->at[i];
        if (!is_same(file, files_named(now, file->name)))
            put_file(loop->folder, file->name, file->bytes, file->length);
    }
}

/* ---- running ---- */

static volatile sig_atomic_t too_long;
static void ring(int sign) { (void)sign, too_long = 1; }

static char *taken(int file, size_t *length)
{
    struct stat about;
    if (fstat(file, &about) != 0)
        trouble("output");
    char *bytes = check_resize(NULL, (size_t)about.st_size + 1);
    if (pread(file, bytes, (size_t)about.st_size, 0) != about.st_size)
        trouble("output");
    bytes[about.st_size] = '\0';
    if (length != NULL)
        *length = (size_t)about.st_size;
    return bytes;
}

/* Waits for it, but not for ever; KILL_AFTER microseconds it is killed; 0: it is not. */
static int wait_for(pid_t child, useconds_t kill_after)
{
    int status = 0;
    if (kill_after > 0) {
        usleep(kill_after);
        kill(child, SIGKILL);
    }
    too_long = 0;
    alarm(MOST_SECONDS);
    while (waitpid(child, &status, 0) < 0) {
        if (errno != EINTR)
            trouble("waitpid");
        if (too_long)
            kill(child, SIGKILL);
    }
    alarm(0);
    return status;
}

typedef struct Start { const char *out_to; useconds_t kill_after; int asks, answers; } Start;

static pid_t begin(Loop *loop, const Case *one, Start how)
{
    char program[4096], input[4096], preload[4096], line[8300], *words[20] = {line};
    snprintf(program, sizeof program, "%s/build/tests/faulty/%s", loop->root, one->pages ? "waterleaf-pages" : "waterleaf");
    snprintf(preload, sizeof preload, "LD_PRELOAD=%s/build/tests/faulty/failing.so", loop->root);
    snprintf(line, sizeof line, "waterleaf %s", one->line);
    int count = 1;
    for (char *at = strchr(line, ' '); at != NULL && !one->pages; at = strchr(at, ' ')) {
        *at++ = '\0';
        words[count++] = at;
    }
    char path[] = "PATH=/usr/bin:/bin", language[] = "LC_ALL=C.UTF-8", plain[] = "NO_COLOR=1", fonts[4096], home[4096], cache[4096];
    char *environment[] = {preload, path, language, plain, fonts, home, cache, NULL};
    snprintf(fonts, sizeof fonts, "FONTCONFIG_FILE=%s/fonts.conf", loop->common);
    snprintf(home, sizeof home, "HOME=%s/home", loop->common);
    snprintf(cache, sizeof cache, "XDG_CACHE_HOME=%s/home", loop->common);
    snprintf(input, sizeof input, "%s/%s", loop->folder, one->input != NULL ? one->input : "");
    if (ftruncate(loop->out, 0) != 0 || ftruncate(loop->said, 0) != 0 || lseek(loop->out, 0, SEEK_SET) != 0 || lseek(loop->said, 0, SEEK_SET) != 0)
        trouble("output");
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addopen(&actions, 0, one->input != NULL ? input : "/dev/null", O_RDONLY, 0);
    if (how.out_to != NULL)
        posix_spawn_file_actions_addopen(&actions, 1, how.out_to, O_WRONLY | O_APPEND, 0);
    else
        posix_spawn_file_actions_adddup2(&actions, loop->out, 1);
    posix_spawn_file_actions_adddup2(&actions, loop->said, 2);
    posix_spawn_file_actions_adddup2(&actions, loop->failing_file, FAILING_PLACE);
    if (how.asks > 0) {
        posix_spawn_file_actions_adddup2(&actions, how.asks, FAILING_ASKS);
        posix_spawn_file_actions_adddup2(&actions, how.answers, FAILING_ANSWERS);
    }
    posix_spawn_file_actions_addchdir_np(&actions, loop->folder);
    pid_t child;
    int wrong = posix_spawn(&child, program, &actions, NULL, words, environment);
    posix_spawn_file_actions_destroy(&actions);
    if (wrong != 0) {
        errno = wrong;
        trouble(program);
    }
    return child;
}

static void set(Came *came, int status)
{
    came->signal = WIFSIGNALED(status) ? WTERMSIG(status) : 0;
    came->status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

/* Where the root of a script cannot be found its path is told as it was typed, and not from the root on: without the FOLDER it is the same. */
static void take_out(char *text, size_t *length, const char *folder)
{
    size_t wide = strlen(folder);
    for (char *at = text; (at = strstr(at, folder)) != NULL; *length -= wide)
        memmove(at, at + wide, strlen(at + wide) + 1);
}

/* What is there after it ended. */
static void collect(Loop *loop, const Case *one, Came *came)
{
    came->out = taken(loop->out, &came->out_length);
    if (one->golden != NULL)
        take_out(came->out, &came->out_length, one->golden);
    came->said = taken(loop->said, NULL);
    came->live = loop->failing->live;
    files_take(&came->files, loop->folder);
    loop->counts->runs++;
}

static Came run(Loop *loop, const Case *one, Start how)
{
    Came came = {0};
    set(&came, wait_for(begin(loop, one, how), how.kill_after));
    collect(loop, one, &came);
    restore(loop, &loop->given, &came.files);
    return came;
}

static void came_free(Came *came)
{
    free(came->out);
    free(came->said);
    files_free(&came->files);
}

/* ---- judging ---- */

/* What is no word of ours: a library's own complaint, or what a program says when it falls. */
static const char *foreign_word(const char *said)
{
    static const char *const words[] = {"GLib", "Pango", "Gtk", "Fontconfig", "Cairo", "ssertion", "(null)", "terminate", "runtime error", "Sanitizer", "corrupted", "free()"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strstr(said, words[i]) != NULL)
            return words[i];
    }
    return NULL;
}

/* Each file is what it was or what it becomes, and none is there that is not there without the fault. */
static const char *wrong_file(const Loop *loop, const Came *came, const Came *always)
{
    for (size_t i = 0; i < came->files.count; i++) {
        const File *file = &came->files.at[i], *before = files_named(&loop->given, file->name), *after = files_named(&always->files, file->name);
        if (!(before != NULL && is_same(file, before)) && !(after != NULL && is_same(file, after)))
            return file->name;
    }
    for (size_t i = 0; i < loop->given.count; i++) {
        if (files_named(&came->files, loop->given.at[i].name) == NULL)
            return loop->given.at[i].name;
    }
    return NULL;
}

static bool same_files(const Came *one, const Came *other)
{
    bool same = one->files.count == other->files.count;
    for (size_t i = 0; same && i < one->files.count; i++)
        same = is_same(&one->files.at[i], files_named(&other->files, one->files.at[i].name));
    return same;
}

/* Each message of the server is one that comes without the fault, or an error; as many come. */
static bool same_or_refused(const Came *came, const Came *always)
{
    const char *at = came->out, *other = always->out, mark[] = "Content-Length: ";
    while (*at != '\0') {
        const char *end = strstr(at + 1, mark), *in = other;
        size_t length = end == NULL ? strlen(at) : (size_t)(end - at);
        bool found = false;
        for (; !found && (in = strstr(in, mark)) != NULL; in++)
            found = strncmp(in, at, length) == 0 && (in[length] == '\0' || strncmp(in + length, mark, strlen(mark)) == 0);
        if (!found && memmem(at, length, "\"error\":{", 9) == NULL && memmem(at, length, "There is not enough memory", 26) == NULL
            && memmem(at, length, "annot be read", 13) == NULL)
            return false;
        at += length;
    }
    return true;
}

/* What is wrong with what came; NULL: nothing. */
static const char *fault_of(const Loop *loop, const Case *one, const Came *came, const Came *always)
{
    static char says[256];
    const char *name = wrong_file(loop, came, always), *foreign = foreign_word(came->said);
    if (came->signal != 0)
        return snprintf(says, sizeof says, "it ends by signal %d%s", came->signal, too_long ? ": too long" : ""), says;
    if (name != NULL)
        return snprintf(says, sizeof says, "the file %s is neither what it was nor what it becomes", name), says;
    if (foreign != NULL)
        return snprintf(says, sizeof says, "this is no word of ours: %s", foreign), says;
    if (came->status == 2)
        return *came->said == '\0' && strstr(came->out, "cannot be read") == NULL ? "it ends with 2, and says nothing" : NULL; /* check says it on standard output */
    if (came->status != always->status)
        return snprintf(says, sizeof says, "it ends with %d", came->status), says;
    if (!one->pages && came->live > always->live)
        return snprintf(says, sizeof says, "it ends well, and %lld blocks of memory are left that are given back without the fault", (long long)(came->live - always->live)), says;
    if (one->server)
        return same_or_refused(came, always) ? NULL : "the server answers something else";
    if (came->out_length != always->out_length || memcmp(came->out, always->out, came->out_length) != 0)
        return "it ends well, and what it puts out is something else";
    if (!same_files(came, always))
        return "it ends well, and what it wrote is something else";
    return strcmp(came->said, always->said) == 0 ? NULL : "it ends well, and what it says is something else";
}

static void judge(Loop *loop, const Case *one, const Came *came, const char *fault, const char *what)
{
    if (fault == NULL) {
        loop->counts->passed++;
        return;
    }
    if (__atomic_fetch_add(&loop->counts->failed, 1, __ATOMIC_RELAXED) < 20 || loop->shows)
        printf("  %s; %s: %s\n    status %d, said: %.200s\n", one->line, what, fault, came->status, came->said);
    if (loop->shows)
        printf("    put out: %.400s\n", came->out);
    fflush(stdout);
}

/* ---- the faults of one command ---- */

static const char *const kind_names[FAILING_KINDS] = {"memory", "open", "read", "write", "fsync", "rename", "close", "state", "spawn", "wait"};

typedef struct Fault { FailingKind kind; FailingHow how; int error; } Fault;

static void try_one(Loop *loop, const Case *one, const Came *always, Fault fault, uint64_t number)
{
    static const char *const hows[] = {"once", "from then on", "interrupted", "short", "in a copy", "in a copy from then on", "killed"};
    char what[128];
    *loop->failing = (Failing){.kind = fault.kind, .how = fault.how, .error = (uint32_t)fault.error, .number = number};
    Came came = run(loop, one, (Start){0});
    snprintf(what, sizeof what, "%s %llu fails %s (%s)", kind_names[fault.kind], (unsigned long long)number, hows[fault.how], fault.error == 0 ? "" : strerrorname_np(fault.error));
    const char *wrong = fault_of(loop, one, &came, always);
    bool must_be_same = fault.how == FAILING_INTERRUPTED || fault.how == FAILING_SHORT;
    judge(loop, one, &came, wrong == NULL && must_be_same && came.status != always->status ? "it does not go on" : wrong, what);
    came_free(&came);
}

/* COUNT calls, MOST of them tried, shared among the workers; the first and the last among them. */
static void try_calls(Loop *loop, const Case *one, const Came *always, Fault fault, uint64_t count, uint64_t most, unsigned worker)
{
    most = (all_of_them() && fault.kind != FAILING_MEMORY && !one->golden) || most > count ? count : most;
    for (uint64_t i = worker; i < most; i += WORKERS)
        try_one(loop, one, always, fault, most == 1 ? 1 : 1 + i * (count - 1) / (most - 1));
}

/* Each request for memory, the first FIRST and then every STRIDE-th, in one run that parts at each. */
static void try_each(Loop *loop, const Case *one, const Came *always, FailingHow how, uint64_t first, uint64_t stride)
{
    int asks[2], answers[2];
    if (pipe2(asks, O_CLOEXEC) != 0 || pipe2(answers, O_CLOEXEC) != 0)
        trouble("pipe");
    *loop->failing = (Failing){.kind = FAILING_MEMORY, .how = how, .error = ENOMEM, .number = first, .stride = stride};
    pid_t program = begin(loop, one, (Start){.asks = asks[1], .answers = answers[0]});
    close(asks[1]);
    close(answers[0]);
    Files now = {.count = 0};
    char asked;
    for (bool late = false;;) {
        struct pollfd ready = {.fd = asks[0], .events = POLLIN};
        if (poll(&ready, 1, MOST_SECONDS * 1000) == 0) {
            late = true; /* the copy that hangs, or the program itself */
            kill(loop->failing->copy > 0 ? loop->failing->copy : program, SIGKILL);
        }
        if (read(asks[0], &asked, 1) != 1)
            break;
        if (asked == FAILING_TRIED) {
            Came came = {0};
            char what[128];
            set(&came, loop->failing->status);
            collect(loop, one, &came);
            snprintf(what, sizeof what, "memory %llu fails %s%s", (unsigned long long)loop->failing->calls[FAILING_MEMORY], how == FAILING_EACH ? "once" : "from then on", late ? "; too long" : "");
            judge(loop, one, &came, fault_of(loop, one, &came, always), what);
            restore(loop, &now, &came.files);
            came_free(&came);
            late = false;
        } else {
            files_free(&now);
            files_take(&now, loop->folder);
        }
        if (write(answers[1], "", 1) != 1)
            break;
    }
    Came came = {0};
    Failing after = *loop->failing;
    set(&came, wait_for(program, 0));
    collect(loop, one, &came);
    const char *wrong = fault_of(loop, one, &came, always);
    judge(loop, one, &came, wrong == NULL && came.status != always->status ? "it does not go on" : wrong, "behind the copies of it");
    restore(loop, &loop->given, &came.files);
    files_free(&now);
    came_free(&came);
    close(asks[0]);
    close(answers[1]);
    for (uint32_t i = 0; i < after.left_count; i++)
        try_one(loop, one, always, (Fault){FAILING_MEMORY, how == FAILING_EACH ? FAILING_ONCE : FAILING_ON, ENOMEM}, after.left[i]);
}

/* COUNT requests, about MOST of them tried. What sets pages has threads, which a copy has not. */
static void try_memory(Loop *loop, const Case *one, const Came *always, uint64_t count, unsigned worker)
{
    uint64_t most = one->pages ? (all_of_them() ? PAGES_IN_FULL : 2 * one->few)
        : one->golden ? (all_of_them() ? MEMORY_OF_GOLDEN_IN_FULL : MEMORY_OF_GOLDEN) : all_of_them() ? MEMORY_IN_FULL : MEMORY_AS_USUAL;
    uint64_t stride = loop->every ? 1 : count / most + 1;
    for (unsigned on = 0; on < 2; on++) {
        if (one->pages)
            try_calls(loop, one, always, (Fault){FAILING_MEMORY, on == 1 ? FAILING_ON : FAILING_ONCE, ENOMEM}, count, loop->every ? count : most, on == 1 ? 1 - worker : worker);
        else
            try_each(loop, one, always, on == 1 ? FAILING_EACH_ON : FAILING_EACH, 1 + worker * stride, stride * WORKERS);
    }
}

static const Fault faults[] = {
    {FAILING_OPEN, FAILING_ONCE, EMFILE}, {FAILING_OPEN, FAILING_ON, EACCES}, {FAILING_READ, FAILING_ONCE, EIO}, {FAILING_READ, FAILING_ON, EIO},
    {FAILING_WRITE, FAILING_ONCE, EIO}, {FAILING_WRITE, FAILING_ON, ENOSPC}, {FAILING_FSYNC, FAILING_ONCE, EIO}, {FAILING_FSYNC, FAILING_ON, ENOSPC},
    {FAILING_RENAME, FAILING_ONCE, EACCES}, {FAILING_CLOSE, FAILING_ONCE, EIO}, {FAILING_CLOSE, FAILING_ON, EIO}, {FAILING_STATE, FAILING_ONCE, EIO},
    {FAILING_STATE, FAILING_ON, EACCES}, {FAILING_SPAWN, FAILING_ONCE, EAGAIN}, {FAILING_SPAWN, FAILING_ON, ENOENT}, {FAILING_WAIT, FAILING_ONCE, ENOMEM}};

static void try_case(Loop *loop, const Case *one, unsigned worker)
{
    *loop->failing = (Failing){0};
    Came always = run(loop, one, (Start){0});
    Failing calls = *loop->failing;
    if (always.signal != 0 || always.status > 1 || always.status < 0) {
        judge(loop, one, &always, "it cannot be had without a fault", "nothing fails");
        return;
    }
    uint64_t few = one->few > 0 ? one->few : 5;
    if (worker == 0 && loop->shows) {
        for (int kind = 0; kind < FAILING_KINDS; kind++)
            printf("%s %llu, ", kind_names[kind], (unsigned long long)calls.calls[kind]);
        printf("in %s\n", one->line);
    }
    bool whole = !one->slow || all_of_them();
    if (whole)
        try_memory(loop, one, &always, calls.calls[FAILING_MEMORY], worker);
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++)
        if (whole || faults[i].kind == FAILING_SPAWN)
            try_calls(loop, one, &always, faults[i], calls.calls[faults[i].kind], few, (worker + (unsigned)i) % WORKERS);
    if (worker == 0 && whole)
        for (int kind = FAILING_READ; kind <= FAILING_WRITE; kind++) {
            try_one(loop, one, &always, (Fault){(FailingKind)kind, FAILING_INTERRUPTED, 0}, 1);
            try_one(loop, one, &always, (Fault){(FailingKind)kind, FAILING_SHORT, 0}, 1);
        }
    came_free(&always);
}

/* ---- a full disk ---- */

static void try_full_output(Loop *loop, const Case *one, const char *to)
{
    *loop->failing = (Failing){0};
    Came always = run(loop, one, (Start){0}), came = run(loop, one, (Start){.out_to = to});
    const char *foreign = foreign_word(came.said);
    if (always.out_length > 0)
        judge(loop, one, &came, came.signal != 0 || came.status != 2 ? "it does not end with 2" : *came.said == '\0' ? "it says nothing" : foreign, "the output goes to a full disk");
    came_free(&always);
    came_free(&came);
}

/* A disk of 64 KB with nothing free on it: what is written there stays as it was. */
static void try_full_disk(Loop *loop, const char *word)
{
    char disk[4096], fill[65536];
    snprintf(disk, sizeof disk, "%s/../disk", loop->folder);
    if (mkdir(disk, 0700) != 0 || mount("none", disk, "tmpfs", 0, "size=64k") != 0) {
        printf("programs: no small disk can be mounted here: that part is left out\n");
        return;
    }
    put_file(disk, "out", "before\n", 7);
    char path[4200], full[4200];
    snprintf(full, sizeof full, "%s/full", disk);
    int file = open(full, O_WRONLY | O_CREAT | O_CLOEXEC, 0600);
    memset(fill, 'x', sizeof fill);
    while (write(file, fill, sizeof fill) > 0)
        ;
    close(file);
    for (int i = 0; i < CASES; i++) {
        char line[8192];
        const char *out = strstr(cases[i].line, "-o out");
        if ((word != NULL && strstr(cases[i].line, word) == NULL) || out == NULL || strstr(cases[i].line, "--depends") != NULL)
            continue;
        snprintf(line, sizeof line, "%.*s -o ../disk/out%s", (int)(out - cases[i].line - 1), cases[i].line, out + strlen("-o out"));
        Case there = cases[i];
        there.line = line;
        *loop->failing = (Failing){0};
        Came came = run(loop, &there, (Start){0});
        Files now = {.count = 0};
        files_take(&now, disk);
        snprintf(path, sizeof path, "%s/out", disk);
        char *kept = check_read(path, NULL);
        judge(loop, &there, &came, came.signal != 0 || came.status != 2 || *came.said == '\0' ? "it does not end with 2 and a message"
              : now.count != 2 ? "a file is left over" : kept == NULL || strcmp(kept, "before\n") != 0 ? "what was there is lost" : NULL, "the disk is full");
        free(kept);
        files_free(&now);
        came_free(&came);
    }
    for (int i = 0; i < CASES; i++) {
        if ((word == NULL || strstr(cases[i].line, word) != NULL) && strstr(cases[i].line, "-o out") == NULL)
            try_full_output(loop, &cases[i], full);
    }
    umount(disk);
    rmdir(disk);
}

/* ---- killed ---- */

/* What stands under the file's name: what was there, or the whole of what was to be written. Only a neighbour may be left over. */
static const char *half_written(const Loop *loop, const Came *came, const Came *always)
{
    for (size_t i = 0; i < came->files.count; i++) {
        const File *file = &came->files.at[i], *after = files_named(&always->files, file->name);
        if (strstr(file->name, ".waterleaf-") == NULL && !is_same(file, files_named(&loop->given, file->name)) && !(after != NULL && is_same(file, after)))
            return "a file is half written";
    }
    return files_named(&came->files, "out") == NULL ? "what was there is lost" : NULL;
}

static void try_kills(Loop *loop, const Case *one, unsigned worker)
{
    static const FailingKind kinds[] = {FAILING_OPEN, FAILING_WRITE, FAILING_FSYNC, FAILING_RENAME, FAILING_CLOSE};
    *loop->failing = (Failing){0};
    struct timespec begins, ends;
    clock_gettime(CLOCK_MONOTONIC, &begins);
    Came always = run(loop, one, (Start){0});
    clock_gettime(CLOCK_MONOTONIC, &ends);
    Failing calls = *loop->failing;
    for (size_t i = worker; i < sizeof kinds / sizeof kinds[0]; i += WORKERS)
        for (uint64_t number = 1; number <= calls.calls[kinds[i]]; number++)
            for (uint32_t behind = 0; behind < 2; behind++) {
                *loop->failing = (Failing){.kind = kinds[i], .how = FAILING_KILLED, .error = behind, .number = number};
                Came came = run(loop, one, (Start){0});
                judge(loop, one, &came, half_written(loop, &came, &always), "it is killed in writing");
                came_free(&came);
            }
    *loop->failing = (Failing){0};
    Dice dice = {worker + 1};
    double took = (double)(ends.tv_sec - begins.tv_sec) * 1e6 + (double)(ends.tv_nsec - begins.tv_nsec) / 1e3;
    for (unsigned i = 0; i < (all_of_them() ? 10u : 1u) * KILLS / WORKERS; i++) {
        Came came = run(loop, one, (Start){.kill_after = (useconds_t)(dice_between(&dice, 0.1, 1.1) * took)});
        judge(loop, one, &came, half_written(loop, &came, &always), "it is killed");
        came_free(&came);
    }
    came_free(&always);
}

/* ---- what is given ---- */

static void give(Loop *loop, const char *from, const char *name)
{
    char path[4096];
    size_t length = 0;
    snprintf(path, sizeof path, "%s/%s", loop->root, from);
    char *bytes = check_read(path, &length);
    if (bytes == NULL)
        trouble(path);
    files_add(&loop->given, name, bytes, length);
    free(bytes);
}

static void say(Page *page, const char *body) { page_print(page, "Content-Length: %zu\r\n\r\n%s", strlen(body), body); }

/* What an editor says of a folder with two scripts: two scripts are opened, one is changed, and every question is asked. */
static void give_session(Loop *loop)
{
    static const char *const asked[] = {"hover", "definition", "references", "documentSymbol", "foldingRange", "formatting", "codeLens", "documentLink", "completion",
        "inlayHint", "semanticTokens/full", "codeAction", "diagnostic", "selectionRange", "rangeFormatting", "rename"};
    static const char *const opened[] = {
        "waterleaf 1\\nlet a = .5 g\\nlet b = wnidow\\nlet c = a + 2 g\\n",
        "waterleaf 1\\npaper sketch:\\n  title \\\"Sketch\\\"\\n  mould a3\\n  grammage 160 g/m\xC2\xB2\\n  furnish:\\n    cotton-linters 100 %\\n  end\\nend\\n"};
    Page page = {0};
    char body[2048];
    snprintf(body, sizeof body, "{\"jsonrpc\":\"2.0\",\"id\":1,\"method\":\"initialize\",\"params\":{\"capabilities\":{},\"rootUri\":\"file://%s/mills\"}}", loop->folder);
    say(&page, body);
    say(&page, "{\"jsonrpc\":\"2.0\",\"method\":\"initialized\",\"params\":{}}");
    for (int i = 0; i < 2; i++) {
        snprintf(body, sizeof body, "{\"jsonrpc\":\"2.0\",\"method\":\"textDocument/didOpen\",\"params\":{\"textDocument\":{\"uri\":\"file:///mill/%d.wleaf\",\"version\":1,\"text\":\"%s\"}}}", i, opened[i]);
        say(&page, body);
    }
    for (size_t i = 0; i < sizeof asked / sizeof asked[0]; i++)
        for (int script = 0; script < 2; script++) {
            snprintf(body, sizeof body, "{\"jsonrpc\":\"2.0\",\"id\":%zu,\"method\":\"textDocument/%s\",\"params\":{\"textDocument\":{\"uri\":\"file:///mill/%d.wleaf\"},"
                     "\"position\":{\"line\":%d,\"character\":%d},\"positions\":[{\"line\":1,\"character\":5}],\"newName\":\"d\",\"context\":{\"includeDeclaration\":true,\"diagnostics\":[]},"
                     "\"range\":{\"start\":{\"line\":0,\"character\":0},\"end\":{\"line\":9,\"character\":0}}}}", 10 + 2 * i + (size_t)script, asked[i], script, script == 0 ? 3 : 6, script == 0 ? 8 : 6);
            say(&page, body);
        }
    say(&page, "{\"jsonrpc\":\"2.0\",\"method\":\"textDocument/didChange\",\"params\":{\"textDocument\":{\"uri\":\"file:///mill/0.wleaf\",\"version\":2},\"contentChanges\":[{\"range\":{\"start\":{\"line\":1,\"character\":8},\"end\":{\"line\":1,\"character\":10}},\"text\":\"0.5\"}]}}");
    say(&page, "{\"jsonrpc\":\"2.0\",\"id\":90,\"method\":\"textDocument/diagnostic\",\"params\":{\"textDocument\":{\"uri\":\"file:///mill/0.wleaf\"}}}");
    say(&page, "{\"jsonrpc\":\"2.0\",\"id\":91,\"method\":\"workspace/symbol\",\"params\":{\"query\":\"a\"}}");
    say(&page, "{\"jsonrpc\":\"2.0\",\"id\":92,\"method\":\"shutdown\"}");
    say(&page, "{\"jsonrpc\":\"2.0\",\"method\":\"exit\"}");
    files_add(&loop->given, session, page.at, page.length);
    free(page.at);
}

/* A document as it is carried to the program that sets pages: a stand-in for that program keeps it. */
static void give_carried(Loop *loop, const char *name, const char *call, const char *as)
{
    char line[16384];
    snprintf(line, sizeof line, "mkdir -p '%s/carrying' && cd '%s/carrying' && cp '%s/build/tests/faulty/waterleaf' . && printf '#!/bin/sh\\nexec cat >\"%s/carrying/kept\"\\n' >waterleaf-pages && chmod +x waterleaf-pages"
             " && ./waterleaf write %s --as %s --unproofed >/dev/null 2>&1; test -s kept && mv kept ../'%s' && rm -r '%s/carrying'",
             loop->folder, loop->folder, loop->root, loop->folder, call, as, name, loop->folder);
    if (system(line) != 0)
        trouble("no document was carried");
    snprintf(line, sizeof line, "%s/%s", loop->folder, name);
    size_t length = 0;
    char *bytes = check_read(line, &length);
    if (bytes == NULL)
        trouble(line);
    files_add(&loop->given, name, bytes, length);
    free(bytes);
}

static void give_all(Loop *loop)
{
    static const char wrong[] = "let a = .5 g\nlet c = 22\"\nlet b = wnidow\nlet d = 1 m + 2 g\n";
    static const char crooked[] = "waterleaf 1\nlet a   =   5 g\n\n\n\nlet   c=a+2g # sum\n";
    char line[8192];
    give(loop, "examples/first.wleaf", "first.wleaf");
    give(loop, "examples/heath.wleaf", "heath.wleaf");
    give(loop, "examples/binders-laid.wleaf", "binders-laid.wleaf");
    give(loop, "examples/mills/sallow.wleaf", "mills/sallow.wleaf");
    give(loop, "examples/mills/wrenfold.wleaf", "mills/wrenfold.wleaf");
    give(loop, "examples/mills/wrenfold.svg", "mills/wrenfold.svg");
    give(loop, "examples/waterleaf.root", "waterleaf.root");
    files_add(&loop->given, "wrong.wleaf", wrong, strlen(wrong));
    files_add(&loop->given, untidy, crooked, strlen(crooked));
    files_add(&loop->given, "out", "before\n", 7);
    give_session(loop);
    snprintf(line, sizeof line, "batch-sheet '%s/examples/first.wleaf'", loop->root);
    give_carried(loop, carried, line, "pdf");
    snprintf(line, sizeof line, "labels '%s/examples/heath.wleaf' H-21", loop->root);
    give_carried(loop, labels, line, "svg");
    snprintf(line, sizeof line, "labels '%s/examples/binders-laid.wleaf' BL-3", loop->root);
    give_carried(loop, marked, line, "pdf");
}

/* ---- the fonts ---- */

/* A program in which calls fail may write a broken cache of fonts, which would then be every program's: they get one of their own. */
static void give_fonts(const char *folder)
{
    char conf[4096], home[4096], cache[4096];
    snprintf(conf, sizeof conf, "<?xml version=\"1.0\"?><!DOCTYPE fontconfig SYSTEM \"fonts.dtd\">\n<fontconfig><dir>/usr/share/fonts</dir><cachedir>%s/fontcache</cachedir></fontconfig>\n", folder);
    put_file(folder, "fonts.conf", conf, strlen(conf));
    snprintf(home, sizeof home, "%s/home", folder);
    snprintf(cache, sizeof cache, "%s/fontcache", folder);
    if (mkdir(home, 0700) != 0 || mkdir(cache, 0700) != 0)
        trouble(home);
}

/* The names in FOLDER, with their sizes and, TIMED, their times; "" where it is not there. */
static void list_folder(Page *page, const char *folder, bool timed)
{
    Paths paths = {0};
    folder_add(&paths, folder, "");
    for (size_t i = 0; i < paths.count; i++) {
        struct stat about;
        if (lstat(paths.at[i], &about) == 0)
            page_print(page, "%s %lld %lld.%09ld\n", paths.at[i], (long long)about.st_size, timed ? (long long)about.st_mtim.tv_sec : 0, timed ? about.st_mtim.tv_nsec : 0);
    }
    folder_free(&paths);
}

static char *list_system_caches(bool timed)
{
    static const char *const caches[] = {"/var/cache/fontconfig", "/usr/lib/fontconfig/cache"};
    Page page = {0};
    page_print(&page, "%s", "");
    for (size_t i = 0; i < sizeof caches / sizeof caches[0]; i++)
        list_folder(&page, caches[i], timed);
    return page.at;
}

/* As they were, by name, size and time, of which BEFORE has both lists. Another test that runs meanwhile may write the same anew: times alone are told, and are no fault. */
static void check_fonts(Checks *checks, const char *folder, char *const before[2])
{
    char own[4096], home[4096], *after[2] = {list_system_caches(false), list_system_caches(true)};
    Page page = {0};
    snprintf(own, sizeof own, "%s/fontcache", folder);
    snprintf(home, sizeof home, "%s/home", folder);
    page_print(&page, "%s", "");
    list_folder(&page, own, true);
    list_folder(&page, home, true);
    check(checks, page.length == 0, "pages are set by no cache of fonts, and one was written:\n%s", page.at);
    check(checks, strcmp(before[0], after[0]) == 0, "the system's caches of fonts are others than before:\n%s  and were:\n%s", after[0], before[0]);
    if (strcmp(before[1], after[1]) != 0)
        printf("programs: somebody wrote the system's caches of fonts anew:\n%s", after[1]);
    free(page.at);
    free(after[0]);
    free(after[1]);
}

/* ---- every golden ---- */

/* Every golden script and example, as it stands where it stands: what is wrong with it, its amounts, its one form. */
static void try_goldens(Loop *loop, unsigned worker, const char *word)
{
    static const char *const folders[] = {"tests/golden", "examples"}, *const calls[] = {"check", "weigh --json", "tidy --check"};
    for (size_t i = 0; i < sizeof folders / sizeof folders[0]; i++) {
        char folder[4096];
        Paths scripts = {0};
        snprintf(folder, sizeof folder, "%s/%s", loop->root, folders[i]);
        folder_add(&scripts, folder, ".wleaf");
        for (size_t j = 0; j < scripts.count * sizeof calls / sizeof calls[0]; j++) {
            char line[8192], below[4096];
            const char *script = scripts.at[j / 3];
            snprintf(line, sizeof line, "%s %s", calls[j % 3], script);
            snprintf(below, sizeof below, "%.*s", (int)(strrchr(script, '/') + 1 - script), script);
            Case one = {.line = line, .few = all_of_them() ? 3 : 1, .golden = below};
            *loop->failing = (Failing){0};
            Came always = run(loop, &one, (Start){0});
            if ((word == NULL || strstr(line, word) != NULL) && always.status != 2) /* as of a mill, which has nothing to weigh */
                try_case(loop, &one, worker);
            came_free(&always);
        }
        folder_free(&scripts);
    }
}

/* ---- all ---- */

static void work(Loop *loop, unsigned worker, const char *word)
{
    char folder[4096], mills[4200];
    snprintf(folder, sizeof folder, "%s/%u", loop->folder, worker);
    snprintf(mills, sizeof mills, "%s/mills", folder);
    if (mkdir(folder, 0700) != 0 || mkdir(mills, 0700) != 0)
        trouble(folder);
    loop->folder = folder;
    loop->out = memfd_create("out", MFD_CLOEXEC);
    loop->said = memfd_create("said", MFD_CLOEXEC);
    loop->failing_file = memfd_create("failing", MFD_CLOEXEC);
    if (loop->out < 0 || loop->said < 0 || loop->failing_file < 0 || ftruncate(loop->failing_file, sizeof(Failing)) != 0)
        trouble("memory");
    loop->failing = mmap(NULL, sizeof(Failing), PROT_READ | PROT_WRITE, MAP_SHARED, loop->failing_file, 0);
    if (loop->failing == MAP_FAILED)
        trouble("memory");
    give_all(loop);
    restore(loop, &loop->given, &(Files){.count = 0});
    for (int i = 0; i < CASES; i++) {
        if (word != NULL && strstr(cases[i].line, word) == NULL)
            continue;
        uint64_t before = loop->counts->runs;
        try_case(loop, &cases[i], worker);
        if (loop->shows || all_of_them())
            printf("of %s: %llu runs\n", cases[i].line, (unsigned long long)(loop->counts->runs - before));
        if (i % WORKERS == (int)worker)
            try_full_output(loop, &cases[i], "/dev/full");
        if (strstr(cases[i].line, "-o out --as") != NULL && strstr(cases[i].line, "pdf") == NULL)
            try_kills(loop, &cases[i], worker);
    }
    try_goldens(loop, worker, word);
    if (worker == 0)
        try_full_disk(loop, word);
}

int main(int count, char **words)
{
    bool every = count > 1 && strcmp(words[1], "every") == 0;
    const char *word = count > (every ? 2 : 1) ? words[every ? 2 : 1] : NULL;
    char root[2048], folder[] = "/tmp/waterleaf-faults-XXXXXX", clean[4096];
    if (getcwd(root, sizeof root) == NULL || mkdtemp(folder) == NULL)
        trouble("folder");
    setrlimit(RLIMIT_CORE, &(struct rlimit){0, 0});
    sigaction(SIGALRM, &(struct sigaction){.sa_handler = ring}, NULL);
    give_fonts(folder);
    char *before[2] = {list_system_caches(false), list_system_caches(true)};
    Counts *counts = mmap(NULL, WORKERS * sizeof *counts, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    pid_t children[WORKERS];
    for (unsigned i = 0; i < WORKERS; i++) {
        Loop loop = {.every = every, .root = root, .folder = folder, .common = folder, .counts = &counts[i], .shows = word != NULL};
        children[i] = fork();
        if (children[i] == 0) {
            work(&loop, i, word);
            fflush(stdout);
            _exit(0);
        }
    }
    Checks checks = {0};
    uint64_t runs = 0;
    for (unsigned i = 0; i < WORKERS; i++) {
        int status;
        check(&checks, waitpid(children[i], &status, 0) == children[i] && status == 0, "worker %u did not come to its end", i);
        checks.passed += counts[i].passed;
        checks.failed += counts[i].failed;
        runs += counts[i].runs;
    }
    check_fonts(&checks, folder, before);
    free(before[0]);
    free(before[1]);
    snprintf(clean, sizeof clean, "rm -rf '%s'", folder);
    if (system(clean) != 0)
        trouble(folder);
    printf("programs: %llu runs\n", (unsigned long long)runs);
    return checks_end(&checks, "programs");
}
