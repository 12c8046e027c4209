/* The only place where files are opened. Memory is asked for before a file is
 * opened wherever that can be; where it cannot, Memory.open_file tells a throw
 * what to close. */
#include "base/files.h"

#include "base/list.h"
#include "base/text.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum {
    SPARE = 8,
    FIRST_READ = 64 << 10,
    MOST_NEIGHBOURS = 100,
    PIPE_WAITS = 2000 /* milliseconds */
};

/* The fault loop's hooks. */
static bool is_made_to_fail(uint64_t *count, uint64_t fails_at, bool fail_on)
{
    ++*count;
    bool fails = fails_at > 0 && (*count == fails_at || (fail_on && *count > fails_at));
    if (fails)
        errno = EIO;
    return fails;
}

static bool read_fails(Memory *memory) { return is_made_to_fail(&memory->reads, memory->read_fails_at, memory->fail_on); }

static bool write_fails(Memory *memory)
{
    return is_made_to_fail(&memory->writes, memory->write_fails_at, memory->fail_on);
}

/* What errno means; OTHERWISE when it means nothing that we know a name for. */
static FileTrouble trouble_of_errno(FileTrouble otherwise)
{
    switch (errno) {
    case ENOENT:
    case ENOTDIR:
    case ENAMETOOLONG:
        return FILE_MISSING;
    case EACCES:
    case EPERM:
    case EROFS:
        return FILE_FORBIDDEN;
    case EISDIR:
        return FILE_FOLDER;
    case ENXIO:
        return FILE_DEVICE;
    default:
        return otherwise;
    }
}

static FileTrouble trouble_of_state(const struct stat *state, size_t most)
{
    if (S_ISDIR(state->st_mode))
        return FILE_FOLDER;
    if (S_ISREG(state->st_mode) && (uintmax_t)state->st_size > most)
        return FILE_TOO_LARGE;
    bool read_through = S_ISREG(state->st_mode) || S_ISFIFO(state->st_mode) || S_ISCHR(state->st_mode);
    return read_through ? FILE_FINE : FILE_DEVICE;
}

/* ---- Reading ---- */

/* read that waits, and is not disturbed by signals. */
static ssize_t read_some(Memory *memory, int file, char *bytes, size_t room)
{
    if (read_fails(memory))
        return -1;
    for (;;) {
        ssize_t count = read(file, bytes, room);
        if (count >= 0 || (errno != EINTR && errno != EAGAIN))
            return count;
        if (errno == EAGAIN)
            (void)poll(&(struct pollfd){.fd = file, .events = POLLIN}, 1, -1);
    }
}

/* Reads all that FILE still gives. EXPECTED saves growing; one byte more than
 * MOST is enough to know that there is too much. */
static FileTrouble read_whole(Memory *memory, int file, size_t front, size_t expected, size_t most, char **bytes, size_t *length)
{
    size_t room = (expected < most ? expected : most) + 1;
    char *all = memory_resize(memory, NULL, front + room + SPARE);
    size_t count = 0;
    ssize_t more;
    while ((more = read_some(memory, file, all + front + count, room - count)) > 0) {
        count += (size_t)more;
        if (count > most)
            break;
        if (count == room) {
            room = room < FIRST_READ ? FIRST_READ : room * 2;
            all = memory_resize(memory, all, front + room + SPARE);
        }
    }
    if (more < 0 || count > most) {
        int kept = errno;
        memory_return(memory, all);
        errno = kept;
        return more < 0 ? trouble_of_errno(FILE_UNREADABLE) : FILE_TOO_LARGE;
    }
    memset(all + front + count, 0, SPARE);
    *bytes = all;
    *length = count;
    return FILE_FINE;
}

static FileTrouble read_standard_input(Memory *memory, size_t front, size_t most, char **bytes, size_t *length)
{
    struct stat state;
    if (fstat(STDIN_FILENO, &state) != 0)
        return FILE_UNREADABLE;
    if (S_ISDIR(state.st_mode))
        return FILE_FOLDER;
    return read_whole(memory, STDIN_FILENO, front, FIRST_READ - 1, most, bytes, length);
}

/* Opens without waiting for ever for somebody to write into a pipe; reading then waits. */
static FileTrouble open_to_read(Memory *memory, const char *path, size_t most, int *file, size_t *size)
{
    struct stat state;
    if (read_fails(memory))
        return FILE_UNREADABLE;
    if (stat(path, &state) != 0)
        return trouble_of_errno(FILE_UNREADABLE);
    FileTrouble trouble = trouble_of_state(&state, most);
    if (trouble != FILE_FINE)
        return trouble;
    *file = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY | O_NONBLOCK);
    if (*file < 0)
        return trouble_of_errno(FILE_UNREADABLE);
    /* It may be another file by now. */
    trouble = fstat(*file, &state) == 0 ? trouble_of_state(&state, most) : FILE_UNREADABLE;
    if (trouble == FILE_FINE && S_ISCHR(state.st_mode) && !isatty(*file))
        trouble = FILE_DEVICE;
    /* Who writes into a pipe may come a little later; as an empty script, with which nothing is wrong, it must not be taken. */
    if (trouble == FILE_FINE && S_ISFIFO(state.st_mode) && poll(&(struct pollfd){.fd = *file, .events = POLLIN}, 1, PIPE_WAITS) == 0)
        trouble = FILE_UNREADABLE;
    if (trouble == FILE_FINE && fcntl(*file, F_SETFL, 0) != 0)
        trouble = FILE_UNREADABLE;
    if (trouble != FILE_FINE)
        close(*file);
    *size = S_ISREG(state.st_mode) ? (size_t)state.st_size : FIRST_READ - 1;
    return trouble;
}

FileTrouble files_read(Memory *memory, const char *path, size_t most, char **bytes, size_t *length)
{
    return files_read_behind(memory, path, 0, most, bytes, length);
}

FileTrouble files_read_behind(Memory *memory, const char *path, size_t front, size_t most, char **bytes, size_t *length)
{
    *bytes = NULL;
    *length = 0;
    if (most > PTRDIFF_MAX / 2)
        most = PTRDIFF_MAX / 2;
    if (strcmp(path, "-") == 0)
        return read_standard_input(memory, front, most, bytes, length);
    int file = -1;
    size_t size = 0;
    FileTrouble trouble = open_to_read(memory, path, most, &file, &size);
    if (trouble != FILE_FINE)
        return trouble;
    memory->open_file = file + 1;
    trouble = read_whole(memory, file, front, size, most, bytes, length);
    memory->open_file = 0;
    int kept = errno;
    close(file);
    errno = kept;
    return trouble;
}

/* ---- Writing ---- */

static bool write_all(Memory *memory, int file, const char *bytes, size_t length)
{
    while (length > 0) {
        if (write_fails(memory))
            return false;
        ssize_t count = write(file, bytes, length);
        if (count < 0 && errno == EAGAIN)
            (void)poll(&(struct pollfd){.fd = file, .events = POLLOUT}, 1, -1);
        if (count < 0 && errno != EINTR && errno != EAGAIN)
            return false;
        if (count > 0) {
            bytes += count;
            length -= (size_t)count;
        }
    }
    return true;
}

static FileTrouble write_directly(Memory *memory, const char *path, const char *bytes, size_t length)
{
    int file = open(path, O_WRONLY | O_CLOEXEC | O_NOCTTY | O_APPEND);
    if (file < 0)
        return trouble_of_errno(FILE_UNWRITABLE);
    bool fine = write_all(memory, file, bytes, length);
    fine = close(file) == 0 && fine;
    return fine ? FILE_FINE : FILE_UNWRITABLE;
}

/* The path of a new file in the folder of PATH that nobody uses. */
static void put_neighbour(Text *out, const char *path, unsigned number)
{
    const char *slash = strrchr(path, '/');
    text_clear(out);
    text_add(out, path, slash ? (size_t)(slash - path) + 1 : 0);
    text_print(out, ".waterleaf-%ld-%u", (long)getpid(), number);
}

static int open_neighbour(Memory *memory, Text *neighbour, const char *path)
{
    for (unsigned number = 0; number < MOST_NEIGHBOURS; number++) {
        put_neighbour(neighbour, path, number);
        if (write_fails(memory))
            return -1;
        int file = open(neighbour->at, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, 0666);
        if (file >= 0 || errno != EEXIST)
            return file;
    }
    return -1;
}

/* Fills the open neighbour and closes it; only what is safe on the disk may
 * take the place of what was there. */
static bool fill_neighbour(Memory *memory, int file, const struct stat *old, const char *bytes, size_t length)
{
    bool fine = !old || fchmod(file, old->st_mode & 07777) == 0;
    fine = fine && write_all(memory, file, bytes, length);
    fine = fine && !write_fails(memory) && fsync(file) == 0;
    int kept = errno;
    if (close(file) == 0)
        errno = kept;
    else
        fine = false;
    return fine;
}

/* So that the new name, too, outlives a power cut. That it cannot be made sure
 * of is no failure: the file is whole either way. */
static void settle_folder(const char *path)
{
    char folder[PATH_MAX] = ".";
    const char *slash = strrchr(path, '/');
    size_t length = slash ? (size_t)(slash - path) + 1 : 0;
    if (length >= sizeof folder)
        return;
    if (length > 0) {
        memcpy(folder, path, length);
        folder[length] = '\0';
    }
    int file = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (file >= 0) {
        (void)fsync(file);
        close(file);
    }
}

static FileTrouble replace(Memory *memory, const char *path, const struct stat *old, const char *bytes, size_t length)
{
    if (old && access(path, W_OK) != 0)
        return trouble_of_errno(FILE_UNWRITABLE);
    Text neighbour;
    text_open(&neighbour, memory);
    /* Room for the longest name now: nothing may throw once the file is there. */
    text_add(&neighbour, path, strlen(path));
    text_print(&neighbour, ".waterleaf-%ld-%u", LONG_MIN, UINT_MAX);
    int file = open_neighbour(memory, &neighbour, path);
    FileTrouble trouble = file < 0 ? trouble_of_errno(FILE_UNWRITABLE) : FILE_FINE;
    if (file >= 0) {
        bool fine = fill_neighbour(memory, file, old, bytes, length);
        fine = fine && !write_fails(memory) && rename(neighbour.at, path) == 0;
        if (!fine) {
            trouble = trouble_of_errno(FILE_UNWRITABLE);
            unlink(neighbour.at);
        }
    }
    text_close(&neighbour);
    if (trouble == FILE_FINE)
        settle_folder(path);
    return trouble;
}

/* Paths such as /dev/stdout lead to what somebody else has open: that is to be
 * written to, not replaced behind his back. */
static bool is_of_the_system(const char *path)
{
    return strncmp(path, "/dev/", 5) == 0 || strncmp(path, "/proc/", 6) == 0;
}

FileTrouble files_write(Memory *memory, const char *path, const char *bytes, size_t length)
{
    struct stat state;
    bool exists = stat(path, &state) == 0;
    if (!exists && errno != ENOENT)
        return trouble_of_errno(FILE_UNWRITABLE);
    if (exists && S_ISDIR(state.st_mode))
        return FILE_FOLDER;
    if (exists && (!S_ISREG(state.st_mode) || is_of_the_system(path)))
        return write_directly(memory, path, bytes, length);
    /* A link stays, and what it leads to is replaced. */
    char real[PATH_MAX];
    if (exists && realpath(path, real))
        path = real;
    return replace(memory, path, exists ? &state : NULL, bytes, length);
}

/* ---- New files in a new folder ---- */

/* Whether nothing is in it, hidden things too. */
static FileTrouble look_whether_empty(Memory *memory, const char *folder)
{
    DIR *open_folder = read_fails(memory) ? NULL : opendir(folder);
    if (!open_folder)
        return errno == ENOTDIR ? FILE_TAKEN : trouble_of_errno(FILE_UNREADABLE);
    bool empty = true;
    errno = 0;
    for (struct dirent *entry; empty && (entry = readdir(open_folder)) != NULL;)
        empty = strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0;
    FileTrouble trouble = !empty ? FILE_TAKEN : errno != 0 ? FILE_UNREADABLE : FILE_FINE;
    closedir(open_folder);
    return trouble;
}

FileTrouble files_may_begin(Memory *memory, const char *folder)
{
    struct stat state;
    if (lstat(folder, &state) == 0)
        return look_whether_empty(memory, folder);
    if (errno != ENOENT)
        return trouble_of_errno(FILE_UNWRITABLE);
    const char *slash = strrchr(folder, '/');
    char above[PATH_MAX] = ".";
    size_t length = slash ? (size_t)(slash - folder) + 1 : 0;
    if (length >= sizeof above)
        return FILE_MISSING;
    memcpy(above, length > 0 ? folder : ".", length > 0 ? length : 1);
    above[length > 0 ? length : 1] = '\0';
    return access(above, W_OK | X_OK) == 0 ? FILE_FINE : trouble_of_errno(FILE_UNWRITABLE);
}

/* Gives a whole file its name, unless somebody took that meanwhile. Not all file systems can do this in one go; a second name can be
 * given by nearly all others. */
static bool name_anew(Memory *memory, const char *from, const char *to)
{
    if (write_fails(memory))
        return false;
    if (renameat2(AT_FDCWD, from, AT_FDCWD, to, RENAME_NOREPLACE) == 0)
        return true;
    if (errno != EINVAL && errno != ENOSYS)
        return false;
    if (link(from, to) != 0)
        return false;
    unlink(from);
    return true;
}

static FileTrouble write_new(Memory *memory, Text *neighbour, const NewFile *new_file)
{
    int file = open_neighbour(memory, neighbour, new_file->path);
    if (file < 0)
        return trouble_of_errno(FILE_UNWRITABLE);
    bool fine = fill_neighbour(memory, file, NULL, new_file->bytes, new_file->length)
        && name_anew(memory, neighbour->at, new_file->path);
    FileTrouble trouble = fine ? FILE_FINE : errno == EEXIST ? FILE_TAKEN : trouble_of_errno(FILE_UNWRITABLE);
    if (!fine)
        unlink(neighbour->at);
    return trouble;
}

void files_take_back(const char *folder, const NewFile *files, size_t count, bool made)
{
    for (size_t i = 0; i < count; i++)
        unlink(files[i].path);
    if (made)
        rmdir(folder);
}

FileTrouble files_write_folder(Memory *memory, const char *folder, const NewFile *files, size_t count, bool *made)
{
    Text neighbour;
    text_open(&neighbour, memory);
    /* Room for the longest name now: nothing may throw once there is something to take back. */
    for (size_t i = 0; i < count; i++) {
        text_clear(&neighbour);
        text_print(&neighbour, "%s.waterleaf-%ld-%u", files[i].path, LONG_MIN, UINT_MAX);
    }
    *made = !write_fails(memory) && mkdir(folder, 0777) == 0;
    FileTrouble trouble = *made ? FILE_FINE : errno == EEXIST ? look_whether_empty(memory, folder) : trouble_of_errno(FILE_UNWRITABLE);
    size_t written = 0;
    while (trouble == FILE_FINE && written < count) {
        trouble = write_new(memory, &neighbour, &files[written]);
        written += trouble == FILE_FINE;
    }
    if (trouble != FILE_FINE)
        files_take_back(folder, files, written, *made);
    text_close(&neighbour);
    if (trouble == FILE_FINE) {
        settle_folder(files[0].path);
        settle_folder(folder);
    }
    return trouble;
}

bool files_read_line(Memory *memory, FILE *stream, char *line, size_t room, bool *cut)
{
    if (read_fails(memory) || !fgets(line, (int)room, stream))
        return false;
    size_t length = strlen(line);
    bool full = length + 1 == room && line[length - 1] != '\n';
    int sign = full ? getc(stream) : '\n';
    for (*cut = sign != '\n' && sign != EOF; sign != '\n' && sign != EOF;)
        sign = getc(stream);
    line[strcspn(line, "\r\n")] = '\0';
    return true;
}

bool files_put(Memory *memory, FILE *stream, const char *bytes, size_t length)
{
    if (write_fails(memory))
        return false;
    return (length == 0 || fwrite(bytes, 1, length, stream) == length) && fflush(stream) == 0;
}

/* ---- Folders ---- */

typedef struct Search {
    const char *ending;
    size_t most;
    Text folders; /* still to be read, and read already; each ends in NUL */
    Text files;   /* the same */
    LIST(size_t) starts; /* of each in files */
} Search;

/* The names in FOLDER, each ending in NUL, behind OUT. The folder is read twice,
 * first to know how much room they need: none may be asked for while it is open.
 * False: errno says why. */
static bool read_folder(Memory *memory, const char *folder, Text *out)
{
    for (;;) {
        text_clear(out);
        DIR *open_folder = read_fails(memory) ? NULL : opendir(folder);
        if (!open_folder)
            return false;
        size_t needed = 0;
        errno = 0;
        for (struct dirent *entry; (entry = readdir(open_folder)) != NULL;) {
            size_t length = strlen(entry->d_name) + 1;
            if (entry->d_name[0] == '.')
                continue;
            needed += length;
            if (needed < out->room)
                text_add(out, entry->d_name, length);
        }
        int reading = errno;
        closedir(open_folder);
        errno = reading;
        if (reading != 0)
            return false;
        if (needed < out->room || needed == 0)
            return true;
        /* Some more than is needed now, should a file come between. */
        size_t room = needed + needed / 4 + 1;
        out->at = memory_resize(memory, out->at, room);
        out->room = room;
    }
}

static bool has_ending(const char *name, const char *ending)
{
    size_t length = strlen(name);
    size_t end = strlen(ending);
    return length >= end && memcmp(name + length - end, ending, end) == 0;
}

/* Links count as what they lead to, except links to folders, which may lead
 * round in a circle. */
static FileTrouble consider(Search *search, Memory *memory, const char *path)
{
    struct stat state;
    if (lstat(path, &state) != 0)
        return errno == ENOENT ? FILE_FINE : trouble_of_errno(FILE_UNREADABLE);
    if (S_ISDIR(state.st_mode)) {
        text_add(&search->folders, path, strlen(path) + 1);
        return FILE_FINE;
    }
    if (!has_ending(path, search->ending))
        return FILE_FINE;
    if (stat(path, &state) != 0)
        return errno == ENOENT || errno == ELOOP ? FILE_FINE : trouble_of_errno(FILE_UNREADABLE);
    if (!S_ISREG(state.st_mode))
        return FILE_FINE;
    if (search->starts.count >= search->most)
        return FILE_TOO_LARGE;
    list_push(memory, &search->starts, search->files.length);
    text_add(&search->files, path, strlen(path) + 1);
    return FILE_FINE;
}

static FileTrouble search_folder(Search *search, Memory *memory, const char *folder)
{
    Text names, path;
    text_open(&names, memory);
    text_open(&path, memory);
    FileTrouble trouble = read_folder(memory, folder, &names) ? FILE_FINE : trouble_of_errno(FILE_UNREADABLE);
    bool slash = folder[0] != '\0' && folder[strlen(folder) - 1] == '/';
    /* Considering adds to the folders, so that FOLDER moves. */
    text_print(&path, slash ? "%s" : "%s/", folder);
    size_t before = path.length;
    for (size_t at = 0; trouble == FILE_FINE && at < names.length; at += strlen(names.at + at) + 1) {
        path.length = before;
        text_put(&path, names.at + at);
        trouble = consider(search, memory, path.at);
    }
    text_close(&names);
    text_close(&path);
    return trouble;
}

static int compare_paths(const void *one, const void *other)
{
    return strcmp(*(const char *const *)one, *(const char *const *)other);
}

/* The files found, in order, as one run of text. */
static char *sorted(const Search *search, Memory *memory)
{
    uint32_t count = search->starts.count;
    const char **paths = memory_take(memory, (count + 1) * sizeof *paths);
    for (uint32_t i = 0; i < count; i++)
        paths[i] = search->files.at + search->starts.at[i];
    qsort(paths, count, sizeof *paths, compare_paths);
    char *all = memory_take(memory, search->files.length + 2);
    char *end = all;
    for (uint32_t i = 0; i < count; i++)
        end = stpcpy(end, paths[i]) + 1;
    memory_return(memory, paths);
    return all;
}

FileTrouble files_below(Memory *memory, const char *folder, const char *ending, size_t most, char **paths)
{
    Search search = {.ending = ending, .most = most < UINT32_MAX / 2 ? most : UINT32_MAX / 2};
    text_open(&search.folders, memory);
    text_open(&search.files, memory);
    text_add(&search.folders, folder, strlen(folder) + 1);
    FileTrouble trouble = FILE_FINE;
    for (size_t at = 0; trouble == FILE_FINE && at < search.folders.length; at += strlen(search.folders.at + at) + 1)
        trouble = search_folder(&search, memory, search.folders.at + at);
    *paths = trouble == FILE_FINE ? sorted(&search, memory) : NULL;
    text_close(&search.folders);
    text_close(&search.files);
    memory_return(memory, search.starts.at);
    return trouble;
}

/* ---- Paths ---- */

char *files_real_path(Memory *memory, const char *path)
{
    char real[PATH_MAX];
    if (!realpath(path, real))
        return NULL;
    size_t length = strlen(real);
    return memcpy(memory_take(memory, length + 1), real, length);
}

bool files_exist(const char *path)
{
    struct stat state;
    return stat(path, &state) == 0 && S_ISREG(state.st_mode);
}

bool files_is_folder(const char *path)
{
    struct stat about;
    return stat(path, &about) == 0 && S_ISDIR(about.st_mode);
}
