/* Running another program. What comes back stands in a file without a name, in memory:
 * nothing is left behind. */
#include "base/program.h"

#include "base/files.h"
#include "base/text.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <spawn.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

static bool fill(int file, const char *bytes, size_t length)
{
    for (size_t done = 0; done < length;) {
        ssize_t count = write(file, bytes + done, length - done);
        if (count < 0 && errno != EINTR)
            return false;
        done += count > 0 ? (size_t)count : 0;
    }
    return true;
}

/* Starts it with the two files in place of its input and output. */
static ProgramAnswer start(char *const *words, char *const *environment, bool quiet, int input, int output, pid_t *child)
{
    posix_spawn_file_actions_t actions;
    if (posix_spawn_file_actions_init(&actions) != 0)
        return PROGRAM_BROKEN;
    int wrong = posix_spawn_file_actions_adddup2(&actions, input, STDIN_FILENO);
    wrong = wrong != 0 ? wrong : posix_spawn_file_actions_adddup2(&actions, output, STDOUT_FILENO);
    if (wrong == 0 && quiet)
        wrong = posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    if (wrong == 0)
        wrong = (quiet ? posix_spawnp : posix_spawn)(child, words[0], &actions, NULL, words, environment);
    posix_spawn_file_actions_destroy(&actions);
    return wrong == 0 ? PROGRAM_FINE : wrong == ENOMEM || wrong == EAGAIN ? PROGRAM_BROKEN : PROGRAM_MISSING;
}

static ProgramAnswer wait_for(pid_t child)
{
    int status = 0;
    while (waitpid(child, &status, 0) < 0) {
        if (errno != EINTR)
            return PROGRAM_BROKEN;
    }
    if (!WIFEXITED(status))
        return PROGRAM_BROKEN;
    return WEXITSTATUS(status) == 0 ? PROGRAM_FINE : WEXITSTATUS(status) == 127 ? PROGRAM_MISSING : PROGRAM_REFUSED;
}

/* Memory is asked for while OUTPUT is open: a throw closes it. */
static bool take(Memory *memory, int output, char **bytes, size_t *length)
{
    struct stat state;
    if (fstat(output, &state) != 0 || lseek(output, 0, SEEK_SET) != 0)
        return false;
    *length = (size_t)state.st_size;
    memory->open_file = output + 1;
    *bytes = memory_take(memory, *length + 1);
    memory->open_file = 0;
    for (size_t done = 0; done < *length;) {
        ssize_t count = read(output, *bytes + done, *length - done);
        if (count == 0 || (count < 0 && errno != EINTR))
            return false;
        done += count > 0 ? (size_t)count : 0;
    }
    return true;
}

ProgramAnswer program_ask(Memory *memory, char *const *words, const char *input, size_t length, char **output, size_t *output_length)
{
    char language[] = "LC_ALL=C.UTF-8", *environment[] = {language, NULL};
    *output = NULL;
    *output_length = 0;
    pid_t child = 0;
    int in = memfd_create("input", MFD_CLOEXEC), out = memfd_create("output", MFD_CLOEXEC);
    ProgramAnswer answer = in >= 0 && out >= 0 && fill(in, input, length) && lseek(in, 0, SEEK_SET) == 0 ? start(words, environment, true, in, out, &child) : PROGRAM_BROKEN;
    answer = answer == PROGRAM_FINE ? wait_for(child) : answer;
    if (in >= 0)
        close(in);
    if (answer == PROGRAM_FINE && !take(memory, out, output, output_length))
        answer = PROGRAM_BROKEN;
    if (out >= 0)
        close(out);
    return answer;
}

ProgramAnswer program_start(Program *program, const char *path)
{
    char name[PATH_MAX];
    strncpy(name, path, sizeof name - 1);
    name[sizeof name - 1] = '\0';
    char *words[] = {name, NULL}, *none[] = {NULL};
    int both[2];
    *program = (Program){0, -1, memfd_create("output", MFD_CLOEXEC)};
    if (program->out < 0 || pipe2(both, O_CLOEXEC) != 0) {
        program_give_up(program);
        return PROGRAM_BROKEN;
    }
    pid_t child = 0;
    ProgramAnswer answer = start(words, none, false, both[0], program->out, &child);
    close(both[0]);
    program->to = both[1];
    program->child = answer == PROGRAM_FINE ? (int)child : 0;
    if (answer != PROGRAM_FINE)
        program_give_up(program);
    return answer;
}

ProgramAnswer program_finish(Memory *memory, Program *program, const char *input, size_t length, char **output, size_t *output_length)
{
    *output = NULL;
    *output_length = 0;
    if (program->child == 0)
        return PROGRAM_MISSING;
    bool given = fill(program->to, input, length); /* where not, it has ended, and its status says how */
    close(program->to);
    program->to = -1;
    ProgramAnswer answer = wait_for(program->child);
    program->child = 0;
    if (answer == PROGRAM_FINE && (!given || !take(memory, program->out, output, output_length)))
        answer = PROGRAM_BROKEN;
    program_give_up(program);
    return answer;
}

void program_give_up(Program *program)
{
    if (program->child > 0) {
        kill(program->child, SIGKILL);
        (void)wait_for(program->child);
    }
    if (program->to >= 0)
        close(program->to);
    if (program->out >= 0)
        close(program->out);
    *program = (Program){0, -1, -1};
}

char *program_beside(Memory *memory, const char *name)
{
    static const char *const places[] = {"", "../libexec/waterleaf/"};
    char own[PATH_MAX];
    ssize_t length = readlink("/proc/self/exe", own, sizeof own - 1);
    if (length <= 0)
        return NULL;
    own[length] = '\0';
    char *slash = strrchr(own, '/');
    if (slash == NULL)
        return NULL;
    slash[1] = '\0';
    Text path;
    text_open(&path, memory);
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        text_clear(&path);
        text_print(&path, "%s%s%s", own, places[i], name);
        if (files_exist(path.at))
            return path.at;
    }
    text_close(&path);
    return NULL;
}
