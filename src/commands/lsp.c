/* lsp: the language server, on standard input and output. */
#include "commands/command.h"

#include "editor/server.h"

#include <unistd.h>

int command_lsp(const Options *options, int count, char **words)
{
    (void)words;
    if (count > 0) {
        return command_trouble("lsp takes no words: an editor starts it, and speaks to it on standard input and output.");
    }
    ServerWish wish = {.stdlib = options->stdlib, .version = COMMAND_VERSION, .day = options->day, .in = STDIN_FILENO, .out = STDOUT_FILENO};
    return server_run(options->memory, &wish);
}
