/* The program's own reading of scripts, each as "= FILE" ("! FILE" where something was said) and its tree as tests/unit/tree_dump.h writes it.
 *
 *   trees FILE ... */
#include "base/files.h"
#include "parse_world.h"

#include <setjmp.h>
#include <stdio.h>

enum { LARGEST_SCRIPT = 4 << 20 };

/* Prints the tree of FILE, or jumps to the rescue point. */
static void print_tree(Reading *reading, const char *file)
{
    char *bytes;
    size_t length;
    if (files_read(&reading->memory, file, LARGEST_SCRIPT, &bytes, &length) != FILE_FINE)
        longjmp(*reading->memory.rescue, 1);
    reading_prepare(reading, bytes, length);
    reading->script = parse_script(&reading->world, reading->source);
    printf("%c %s\n%s", reading->messages.list.count == 0 ? '=' : '!', file, reading_tree(reading));
}

/* Whether FILE could be read. */
static bool tell(const char *file)
{
    Reading reading = {0};
    jmp_buf rescue;
    reading.memory.rescue = &rescue;
    if (setjmp(rescue) != 0) {
        fprintf(stderr, "%s cannot be read.\n", file);
        reading_close(&reading);
        return false;
    }
    print_tree(&reading, file);
    reading_close(&reading);
    return true;
}

int main(int count, char **files)
{
    for (int i = 1; i < count; i++)
        if (!tell(files[i]))
            return 2;
    return fflush(stdout) == 0 ? 0 : 2;
}
