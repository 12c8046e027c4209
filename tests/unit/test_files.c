/* Files: read whole or refused, written whole or not at all. */
#include "unit.h"

#include "base/files.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static const size_t MOST = 1 << 20;

/* Each test works in a folder of its own, which is the current one meanwhile. */
typedef struct Place {
    char folder[64];
    Memory memory;
} Place;

static int enter(void **state)
{
    static Place place;
    place = (Place){.folder = "/tmp/waterleaf-files-XXXXXX"};
    *state = &place;
    return mkdtemp(place.folder) ? chdir(place.folder) : -1;
}

static int leave(void **state)
{
    Place *place = *state;
    memory_return_all(&place->memory);
    char command[256];
    snprintf(command, sizeof command, "chmod -R u+rwx %s; rm -r %s", place->folder, place->folder);
    return chdir("/") != 0 || system(command) != 0;
}

static void put_file(const char *path, const char *text)
{
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fputs(text, file);
    assert_int_equal(fclose(file), 0);
}

static void assert_file(const char *path, const char *expected)
{
    char text[256] = "";
    FILE *file = fopen(path, "r");
    assert_non_null(file);
    size_t length = fread(text, 1, sizeof text - 1, file);
    fclose(file);
    text[length] = '\0';
    assert_string_equal(text, expected);
}

static int files_here(void)
{
    DIR *folder = opendir(".");
    assert_non_null(folder);
    int count = -2; /* . and .. */
    while (readdir(folder))
        count++;
    closedir(folder);
    return count;
}

static int open_files(void)
{
    int count = 0;
    for (int file = 0; file < 256; file++)
        count += fcntl(file, F_GETFD) != -1;
    return count;
}

static void a_file_is_read_whole(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    char *bytes;
    size_t length;
    put_file("one", "beat linen-rag\n");
    assert_int_equal(files_read(memory, "one", MOST, &bytes, &length), FILE_FINE);
    assert_int_equal(length, 15);
    assert_memory_equal(bytes, "beat linen-rag\n\0\0\0\0\0\0\0", 15 + 8);
    put_file("empty", "");
    assert_int_equal(files_read(memory, "empty", 0, &bytes, &length), FILE_FINE);
    assert_int_equal(length, 0);
    assert_memory_equal(bytes, "\0\0\0\0\0\0\0", 8);
    /* The system says of these that they are empty. */
    assert_int_equal(files_read(memory, "/proc/self/status", MOST, &bytes, &length), FILE_FINE);
    assert_true(length > 100);
    assert_memory_equal(bytes, "Name:", 5);
}

static void too_much_is_refused(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    char *bytes;
    size_t length;
    put_file("one", "12345");
    assert_int_equal(files_read(memory, "one", 5, &bytes, &length), FILE_FINE);
    size_t held = memory->held;
    assert_int_equal(files_read(memory, "one", 4, &bytes, &length), FILE_TOO_LARGE);
    assert_int_equal(files_read(memory, "/proc/self/status", 10, &bytes, &length), FILE_TOO_LARGE);
    assert_int_equal(truncate("one", (off_t)1 << 40), 0);
    assert_int_equal(files_read(memory, "one", MOST, &bytes, &length), FILE_TOO_LARGE);
    assert_null(bytes);
    assert_int_equal(memory->held, held);
}

static void what_is_no_file_is_refused(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    char *bytes;
    size_t length;
    assert_int_equal(files_read(memory, "none", MOST, &bytes, &length), FILE_MISSING);
    assert_int_equal(files_read(memory, "", MOST, &bytes, &length), FILE_MISSING);
    put_file("one", "");
    assert_int_equal(files_read(memory, "one/two", MOST, &bytes, &length), FILE_MISSING);
    assert_int_equal(files_read(memory, ".", MOST, &bytes, &length), FILE_FOLDER);
    assert_int_equal(files_read(memory, "/dev/zero", MOST, &bytes, &length), FILE_DEVICE);
    assert_int_equal(files_read(memory, "/dev/null", MOST, &bytes, &length), FILE_DEVICE);
    assert_int_equal(symlink("round", "round"), 0);
    assert_int_equal(files_read(memory, "round", MOST, &bytes, &length), FILE_UNREADABLE);
    assert_int_equal(errno, ELOOP);
    if (geteuid() != 0) {
        assert_int_equal(chmod("one", 0), 0);
        assert_int_equal(files_read(memory, "one", MOST, &bytes, &length), FILE_FORBIDDEN);
    }
    assert_int_equal(memory->held, 0);
}

/* A pipe that nobody writes to must not make us wait for ever. */
static void pipes_are_read(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    char *bytes, path[32];
    size_t length;
    assert_int_equal(mkfifo("pipe", 0600), 0);
    assert_int_equal(files_read(memory, "pipe", MOST, &bytes, &length), FILE_UNREADABLE);
    assert_int_equal(length, 0);
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "paper", 5), 5);
    assert_int_equal(close(ends[1]), 0);
    snprintf(path, sizeof path, "/dev/fd/%d", ends[0]);
    assert_int_equal(files_read(memory, path, MOST, &bytes, &length), FILE_FINE);
    assert_string_equal(bytes, "paper");
    close(ends[0]);
}

/* Reads standard input from FILE, which is closed. */
static FileTrouble read_input(Memory *memory, int file, size_t most, char **bytes, size_t *length)
{
    int kept = dup(STDIN_FILENO);
    dup2(file, STDIN_FILENO);
    close(file);
    FileTrouble trouble = files_read(memory, "-", most, bytes, length);
    dup2(kept, STDIN_FILENO);
    close(kept);
    return trouble;
}

static void standard_input_is_read(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    char *bytes;
    size_t length;
    put_file("one", "12345");
    assert_int_equal(read_input(memory, open("one", O_RDONLY), 5, &bytes, &length), FILE_FINE);
    assert_string_equal(bytes, "12345");
    assert_int_equal(read_input(memory, open("one", O_RDONLY), 4, &bytes, &length), FILE_TOO_LARGE);
    assert_int_equal(read_input(memory, open("/dev/zero", O_RDONLY), 300000, &bytes, &length), FILE_TOO_LARGE);
    assert_int_equal(read_input(memory, open("/dev/null", O_RDONLY), 4, &bytes, &length), FILE_FINE);
    assert_int_equal(length, 0);
    assert_int_equal(read_input(memory, open(".", O_RDONLY), 4, &bytes, &length), FILE_FOLDER);
    int ends[2];
    assert_int_equal(pipe(ends), 0);
    assert_int_equal(write(ends[1], "paper", 5), 5);
    close(ends[1]);
    assert_int_equal(read_input(memory, ends[0], MOST, &bytes, &length), FILE_FINE);
    assert_string_equal(bytes, "paper");
}

static void a_file_is_written_whole(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    struct stat status;
    mode_t mask = umask(027);
    assert_int_equal(files_write(memory, "one", "first", 5), FILE_FINE);
    umask(mask);
    assert_file("one", "first");
    assert_int_equal(stat("one", &status), 0);
    assert_int_equal(status.st_mode & 07777, 0640);
    assert_int_equal(chmod("one", 0751), 0);
    assert_int_equal(files_write(memory, "one", "second", 6), FILE_FINE);
    assert_file("one", "second");
    assert_int_equal(stat("one", &status), 0);
    assert_int_equal(status.st_mode & 07777, 0751);
    assert_int_equal(files_write(memory, "one", "", 0), FILE_FINE);
    assert_file("one", "");
    assert_int_equal(files_here(), 1);
    assert_int_equal(memory->held, 0);
}

static void links_stay_links(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    struct stat status;
    assert_int_equal(mkdir("folder", 0700), 0);
    put_file("folder/one", "old");
    assert_int_equal(symlink("folder/one", "link"), 0);
    assert_int_equal(files_write(memory, "link", "new", 3), FILE_FINE);
    assert_file("folder/one", "new");
    assert_int_equal(lstat("link", &status), 0);
    assert_true(S_ISLNK(status.st_mode));
}

static void what_cannot_be_written_is_told(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    assert_int_equal(files_write(memory, ".", "x", 1), FILE_FOLDER);
    assert_int_equal(files_write(memory, "none/one", "x", 1), FILE_MISSING);
    assert_int_equal(files_write(memory, "/dev/full", "x", 1), FILE_UNWRITABLE);
    assert_int_equal(files_write(memory, "/dev/null", "x", 1), FILE_FINE);
    if (geteuid() != 0) {
        put_file("one", "old");
        assert_int_equal(chmod("one", 0400), 0);
        assert_int_equal(files_write(memory, "one", "x", 1), FILE_FORBIDDEN);
        assert_file("one", "old");
    }
    assert_int_equal(memory->held, 0);
}

/* A file that somebody has open is written to behind what he wrote. */
static void streams_of_the_system_are_written_to(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    int ends[2];
    char path[32], got[8] = "";
    assert_int_equal(pipe(ends), 0);
    snprintf(path, sizeof path, "/dev/fd/%d", ends[1]);
    assert_int_equal(files_write(memory, path, "paper", 5), FILE_FINE);
    assert_int_equal(read(ends[0], got, sizeof got), 5);
    assert_string_equal(got, "paper");
    close(ends[0]);
    close(ends[1]);
    int file = open("one", O_WRONLY | O_CREAT, 0600);
    assert_int_equal(write(file, "before ", 7), 7);
    snprintf(path, sizeof path, "/dev/fd/%d", file);
    assert_int_equal(files_write(memory, path, "behind", 6), FILE_FINE);
    close(file);
    assert_file("one", "before behind");
}

/* Whichever step of writing fails, the old file or the new one is there, and
 * nothing else. */
static void failing_writes_leave_what_was_there(void **state)
{
    (void)state;
    for (int persistent = 0; persistent < 2; persistent++) {
        put_file("one", "old");
        FileTrouble trouble = FILE_UNWRITABLE;
        uint64_t number = 1;
        for (; trouble != FILE_FINE; number++) {
            Memory memory = {.write_fails_at = number, .fail_on = persistent == 1};
            trouble = files_write(&memory, "one", "new", 3);
            assert_true(trouble == FILE_FINE || trouble == FILE_UNWRITABLE);
            assert_file("one", trouble == FILE_FINE ? "new" : "old");
            assert_int_equal(files_here(), 1);
            assert_int_equal(memory.held, 0);
        }
        assert_int_equal(number, 4 + 2); /* open, write, settle, rename; and once more without a fault */
        assert_int_equal(unlink("one"), 0);
    }
    Memory memory = {.write_fails_at = 2};
    assert_int_equal(files_write(&memory, "fresh", "new", 3), FILE_UNWRITABLE);
    assert_int_equal(files_here(), 0);
}

static void failing_reads_are_told(void **state)
{
    (void)state;
    put_file("one", "old");
    FileTrouble trouble = FILE_UNREADABLE;
    uint64_t number = 1;
    int open_before = open_files();
    for (; trouble != FILE_FINE; number++) {
        Memory memory = {.read_fails_at = number};
        char *bytes;
        size_t length;
        trouble = files_read(&memory, "one", MOST, &bytes, &length);
        if (trouble != FILE_FINE) {
            assert_int_equal(trouble, FILE_UNREADABLE);
            assert_int_equal(errno, EIO);
            assert_int_equal(memory.held, 0);
        }
        assert_int_equal(open_files(), open_before);
        memory_return_all(&memory);
    }
    assert_int_equal(number, 3 + 2); /* open, read, see the end */
}

static void streams_are_put_to(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    FILE *file = fopen("one", "w");
    assert_true(files_put(memory, file, "paper", 5));
    assert_file("one", "paper");
    fclose(file);
    FILE *full = fopen("/dev/full", "w");
    assert_false(files_put(memory, full, "paper", 5));
    fclose(full);
    Memory failing = {.write_fails_at = 1};
    assert_false(files_put(&failing, stdout, "", 0));
    assert_true(files_put(&failing, stdout, "", 0));
}

static void make_tree(void)
{
    assert_int_equal(mkdir("tree", 0700), 0);
    assert_int_equal(mkdir("tree/b", 0700), 0);
    assert_int_equal(mkdir("tree/b/deep.leaf", 0700), 0);
    assert_int_equal(mkdir("tree/.hidden", 0700), 0);
    put_file("tree/z.leaf", "");
    put_file("tree/b.leaf", "");
    put_file("tree/b/one.leaf", "");
    put_file("tree/b/one.leaf.old", "");
    put_file("tree/b/deep.leaf/two.leaf", "");
    put_file("tree/.hidden/three.leaf", "");
    put_file("tree/.four.leaf", "");
    assert_int_equal(symlink("..", "tree/b/up.leaf"), 0);
    assert_int_equal(symlink("../z.leaf", "tree/b/link.leaf"), 0);
    assert_int_equal(symlink("nowhere", "tree/b/broken.leaf"), 0);
}

static void files_below_a_folder_are_found(void **state)
{
    static const char expected[] = "tree/b.leaf\0tree/b/deep.leaf/two.leaf\0tree/b/link.leaf\0tree/b/one.leaf\0tree/z.leaf\0";
    Memory *memory = &((Place *)*state)->memory;
    char *paths;
    make_tree();
    assert_int_equal(files_below(memory, "tree", ".leaf", 5, &paths), FILE_FINE);
    assert_memory_equal(paths, expected, sizeof expected);
    assert_int_equal(files_below(memory, "tree/", ".leaf", 5, &paths), FILE_FINE);
    assert_memory_equal(paths, expected, sizeof expected);
    assert_int_equal(files_below(memory, "tree", ".none", 5, &paths), FILE_FINE);
    assert_memory_equal(paths, "\0", 2);
    assert_int_equal(files_below(memory, "tree", ".leaf", 4, &paths), FILE_TOO_LARGE);
    assert_int_equal(files_below(memory, "none", ".leaf", 4, &paths), FILE_MISSING);
    assert_int_equal(files_below(memory, "tree/z.leaf", ".leaf", 4, &paths), FILE_MISSING);
    if (geteuid() != 0) {
        assert_int_equal(chmod("tree/b", 0), 0);
        assert_int_equal(files_below(memory, "tree", ".leaf", 5, &paths), FILE_FORBIDDEN);
        assert_null(paths);
    }
}

static void paths_are_made_real(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    put_file("one", "");
    assert_int_equal(symlink("one", "link"), 0);
    char *real = files_real_path(memory, "./link");
    assert_non_null(real);
    assert_string_equal(strrchr(real, '/'), "/one");
    assert_int_equal(real[0], '/');
    assert_null(files_real_path(memory, "none"));
    assert_true(files_exist("link"));
    assert_false(files_exist("."));
    assert_false(files_exist("none"));
    assert_false(files_exist("/dev/null"));
}

static const NewFile two_files[] = {{"new/a", "one", 3}, {"new/b", "two", 3}};

static void new_files_are_written_together(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    bool made;
    assert_int_equal(files_may_begin(memory, "new"), FILE_FINE);
    assert_int_equal(files_write_folder(memory, "new", two_files, 2, &made), FILE_FINE);
    assert_true(made);
    assert_file("new/a", "one");
    assert_file("new/b", "two");
    assert_int_equal(files_may_begin(memory, "new"), FILE_TAKEN);
    assert_int_equal(files_write_folder(memory, "new", two_files, 2, &made), FILE_TAKEN);
    assert_file("new/a", "one");
    files_take_back("new", two_files, 2, true);
    assert_false(files_is_folder("new"));
    /* a folder that was there stays, and what is hidden counts */
    assert_int_equal(mkdir("new", 0777), 0);
    assert_int_equal(files_write_folder(memory, "new", two_files, 2, &made), FILE_FINE);
    assert_false(made);
    files_take_back("new", two_files, 2, made);
    assert_true(files_is_folder("new"));
    put_file("new/.hidden", "x");
    assert_int_equal(files_may_begin(memory, "new"), FILE_TAKEN);
    assert_int_equal(files_may_begin(memory, "new/.hidden"), FILE_TAKEN);
    assert_int_equal(files_may_begin(memory, "none/new"), FILE_MISSING);
}

/* Every write fails in turn; a name that somebody takes meanwhile stays his. */
static void new_files_are_all_there_or_none(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    bool made, fine = false;
    int before = open_files(), tries = 0;
    for (memory->write_fails_at = 1; !fine; memory->write_fails_at++, tries++) {
        memory->writes = 0;
        fine = files_write_folder(memory, "new", two_files, 2, &made) == FILE_FINE;
        assert_int_equal(files_is_folder("new"), fine);
    }
    memory->write_fails_at = 0;
    assert_true(tries > 8);
    assert_int_equal(open_files(), before);
    files_take_back("new", two_files, 2, true);
    const NewFile same[] = {{"new/a", "one", 3}, {"new/a", "two", 3}};
    assert_int_equal(files_write_folder(memory, "new", same, 2, &made), FILE_TAKEN);
    assert_false(files_is_folder("new"));
}

static void lines_are_read_one_by_one(void **state)
{
    Memory *memory = &((Place *)*state)->memory;
    char line[8];
    bool cut;
    put_file("lines", "one\r\n\nmuch too long\n1234567\nlast");
    FILE *stream = fopen("lines", "r");
    assert_non_null(stream);
    static const struct { const char *line; bool cut; } expected[] = {{"one", false}, {"", false}, {"much to", true}, {"1234567", false}, {"last", false}};
    for (size_t i = 0; i < sizeof expected / sizeof expected[0]; i++) {
        assert_true(files_read_line(memory, stream, line, sizeof line, &cut));
        assert_string_equal(line, expected[i].line);
        assert_int_equal(cut, expected[i].cut);
    }
    assert_false(files_read_line(memory, stream, line, sizeof line, &cut));
    fclose(stream);
}

static void use_all(Memory *memory)
{
    char *bytes;
    size_t length;
    files_read(memory, "/proc/self/status", MOST, &bytes, &length);
    files_read(memory, "tree/z.leaf", MOST, &bytes, &length);
    files_below(memory, "tree", ".leaf", 10, &bytes);
    files_real_path(memory, "tree");
    files_write(memory, "tree/new", "x", 1);
    bool made;
    if (files_write_folder(memory, "new", two_files, 2, &made) == FILE_FINE)
        files_take_back("new", two_files, 2, made);
}

static void faults_leave_nothing_open(void **state)
{
    (void)state;
    make_tree();
    int open_before = open_files();
    assert_true(unit_fault_loop(use_all) > 10);
    assert_int_equal(open_files(), open_before);
}

#define TEST(name) cmocka_unit_test_setup_teardown(name, enter, leave)

int main(void)
{
    const struct CMUnitTest tests[] = {
        TEST(a_file_is_read_whole),
        TEST(too_much_is_refused),
        TEST(what_is_no_file_is_refused),
        TEST(pipes_are_read),
        TEST(standard_input_is_read),
        TEST(a_file_is_written_whole),
        TEST(links_stay_links),
        TEST(what_cannot_be_written_is_told),
        TEST(streams_of_the_system_are_written_to),
        TEST(failing_writes_leave_what_was_there),
        TEST(failing_reads_are_told),
        TEST(streams_are_put_to),
        TEST(files_below_a_folder_are_found),
        TEST(paths_are_made_real),
        TEST(new_files_are_written_together),
        TEST(new_files_are_all_there_or_none),
        TEST(lines_are_read_one_by_one),
        TEST(faults_leave_nothing_open),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
