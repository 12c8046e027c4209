/* The program: its table of commands, its options, its help. */
#include "commands/command.h"

#include <errno.h>
#include <getopt.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static const Command commands[] = {
#define COMMAND(name, arguments, summary, help) {#name, command_##name, arguments, summary, help},
#include "commands/commands.def"
#undef COMMAND
};
enum { COMMANDS = sizeof commands / sizeof commands[0] };

/* A line of help. */
typedef struct OptionLine { char letter; const char *name, *value, *commands, *tells; } OptionLine;

static const OptionLine option_lines[] = {
#define OPTION(id, letter, name, value, commands, tells) {letter, name, value, commands, tells},
#include "commands/options.def"
#undef OPTION
};
enum { OPTIONS = sizeof option_lines / sizeof option_lines[0] };

static int put(const char *text)
{
    return fputs(text, stdout) < 0 || fflush(stdout) != 0 ? command_trouble("The output could not be written.") : COMMAND_FINE;
}

const char *command_told(const Options *options, const char *name)
{
    for (int i = 0; i < OPTIONS; i++) {
        if (strcmp(option_lines[i].name, name) == 0) {
            return options->told[i];
        }
    }
    return NULL;
}

static bool is_for(const OptionLine *option, const Command *command)
{
    char name[32];
    snprintf(name, sizeof name, " %s ", command == NULL ? "" : command->name);
    return command == NULL || *option->commands == '*' || strstr(option->commands, name) != NULL;
}

/* Those of the command, or all. */
static void list_options(const Command *command)
{
    for (int i = 0; i < OPTIONS; i++) {
        const OptionLine *option = &option_lines[i];
        char written[64];
        snprintf(written, sizeof written, "%s%s%s%s", option->letter != 0 ? "-o, " : "", "--", option->name, "");
        if (option->value != NULL) {
            size_t length = strlen(written);
            snprintf(written + length, sizeof written - length, " %s", option->value);
        }
        if (is_for(option, command)) {
            printf("  %-26s %s\n", written, option->tells);
        }
    }
}

static int help(const Command *command)
{
    if (command != NULL) {
        printf("waterleaf %s %s\n\n%s.\n%s\nOptions:\n", command->name, command->arguments, command->summary, command->help);
    } else {
        puts("waterleaf COMMAND: the procedures of a hand paper mill, from a script to what is weighed and done\n");
        for (int i = 0; i < COMMANDS; i++) {
            size_t wide = utf8_columns(commands[i].arguments, strlen(commands[i].arguments));
            printf("  %-7s %s%*s %s\n", commands[i].name, commands[i].arguments, wide < 40 ? (int)(40 - wide) : 0, "", commands[i].summary);
        }
        puts("\nOptions:");
    }
    list_options(command);
    return put("A FILE of - is standard input.\n"
               "Ends with 0 where nothing is wrong, 1 with a problem in a script, 2 with one in the call or the system.\n");
}

static const Command *command_named(const char *name)
{
    for (int i = 0; i < COMMANDS; i++) {
        if (strcmp(commands[i].name, name) == 0) {
            return &commands[i];
        }
    }
    return NULL;
}

static int no_command(void)
{
    char listed[256] = "";
    for (size_t i = 0; i < COMMANDS; i++) {
        command_add_word(listed, sizeof listed, i, COMMANDS, commands[i].name, strlen(commands[i].name));
    }
    return command_trouble("waterleaf takes a command: %s. waterleaf --help tells more.", listed);
}

static int unknown_command(const char *name)
{
    TextNearest search = {.to = name};
    for (int i = 0; i < COMMANDS; i++) {
        text_nearest(&search, commands[i].name);
    }
    return search.nearest != NULL ? command_trouble("There is no command called %s. Did you mean %s?", name, search.nearest)
                                  : command_trouble("There is no command called %s. waterleaf --help lists them.", name);
}

static bool read_number(const char *text, double most, double *number)
{
    char *end;
    errno = 0;
    *number = strtod(text, &end);
    return *end == 0 && end != text && errno == 0 && *number >= 1 && *number <= most && *number == (double)(long)*number;
}

/* A day as ISO 8601 has it, in days since 1970-01-01. */
static bool read_day(const char *text, int32_t *day)
{
    struct tm date = {.tm_isdst = -1};
    const char *end = strptime(text, "%Y-%m-%d", &date);
    char again[16] = "";
    if (end == NULL || *end != 0) {
        return false;
    }
    int month = date.tm_mon, of_month = date.tm_mday;
    time_t seconds = timegm(&date);
    *day = (int32_t)(seconds / 86400);
    strftime(again, sizeof again, "%Y-%m-%d", &date);
    return date.tm_mon == month && date.tm_mday == of_month && strcmp(again, text) == 0 && *day != 0;
}

enum {
    OPTION_NONE = 1000,
#define OPTION(id, letter, name, value, commands, tells) OPTION_##id,
#include "commands/options.def"
#undef OPTION
};

static const struct option long_options[] = {
#define OPTION(id, letter, name, value, commands, tells) {name, (value) != NULL ? required_argument : no_argument, NULL, OPTION_##id},
#include "commands/options.def"
#undef OPTION
    {NULL, 0, NULL, 0},
};

/* Whether TEXT is one of the choices WORD|WORD; else a sentence says which there are. */
static bool is_choice(const char *option, const char *choices, const char *text)
{
    char listed[128] = "";
    size_t count = 1, at = 0;
    for (const char *bar = choices; (bar = strchr(bar, '|')) != NULL; bar++) {
        count++;
    }
    for (const char *word = choices; at < count; at++) {
        size_t length = strcspn(word, "|");
        if (strlen(text) == length && strncmp(text, word, length) == 0) {
            return true;
        }
        command_add_word(listed, sizeof listed, at, count, word, length);
        word += length + 1;
    }
    command_trouble("--%s takes %s, not %s.", option, listed, text);
    return false;
}

/* One option taken; false, with a sentence, where it is wrong. */
static bool take_option(Options *options, int option, bool *wants_help, bool *wants_version)
{
    const OptionLine *line = &option_lines[option > OPTION_NONE ? option - OPTION_NONE - 1 : 0]; /* -o is none of the list's own */
    double number = 0;
    switch (option) {
    case OPTION_JSON: options->json = true; return true;
    case OPTION_WHAT_IF: options->what_if = true; return true;
    case OPTION_SHORT: options->one_line = true; return true;
    case OPTION_STRICT: options->strict = true; return true;
    case OPTION_NO_COLOUR: options->colour = options->colour_of_output = false; return true;
    case OPTION_HELP: *wants_help = true; return true;
    case OPTION_VERSION: *wants_version = true; return true;
    case OPTION_STDLIB: options->stdlib = optarg; return true;
    case OPTION_SARIF: options->sarif = true; return true;
    case OPTION_MEND: options->mend = true; return true;
    case OPTION_WATCH: options->watch = true; return true;
    case OPTION_DEPENDS: options->depends = optarg; return true;
    case OPTION_ON:
        if (!read_day(optarg, &options->day)) {
            command_trouble("--on takes a day, as 2027-03-01, not %s.", optarg);
            return false;
        }
        return true;
    case 'o': case OPTION_OUT: options->out = strcmp(optarg, "-") != 0 ? optarg : NULL; return true; /* - is the standard output */
    case OPTION_SHEETS:
        if (!read_number(optarg, 1000000, &options->sheets)) {
            command_trouble("--sheets takes a whole number from 1 to 1,000,000, not %s.", optarg);
            return false;
        }
        return true;
    case OPTION_DEPTH:
        if (!read_number(optarg, 100, &number)) {
            command_trouble("--depth takes a whole number from 1 to 100, not %s.", optarg);
            return false;
        }
        options->depth = (unsigned)number;
        return true;
    case OPTION_YES: options->yes = true; return true;
    case OPTION_CHECK: options->only_check = true; return true;
    case OPTION_UNPROOFED: options->unproofed = true; return true;
    case OPTION_FIRST_LABEL:
        if (!read_number(optarg, 1000, &options->first_label)) {
            command_trouble("--first-label takes a whole number from 1 to 1,000, not %s.", optarg);
            return false;
        }
        return true;
    case OPTION_AS: options->as = optarg; return is_choice(line->name, line->value, optarg);
    case OPTION_PAGE: options->page = optarg; return is_choice(line->name, line->value, optarg);
#define OPTION(id, letter, name, value, commands, tells) case OPTION_##id:
#include "start.def"
#undef OPTION
        return true;
    default:
        return false;
    }
}

static int unknown_option(const char *option)
{
    const char *nearest = "";
    unsigned most = 2;
    for (const struct option *at = long_options; at->name != NULL && strncmp(option, "--", 2) == 0; at++) {
        unsigned distance = text_distance(option + 2, strlen(option + 2), at->name, strlen(at->name), most);
        if (distance <= most) {
            nearest = at->name;
            most = distance == 0 ? 0 : distance - 1;
        }
    }
    return *nearest != 0 ? command_trouble("There is no option %s. Did you mean --%s?", option, nearest)
                         : command_trouble("There is no option %s. waterleaf --help lists them.", option);
}

/* What a command takes for itself is given back here, also when a request fails; the workshop has a rescue of its own. */
static int run(const Command *command, Options *options, int count, char **words)
{
    Memory memory = {0};
    jmp_buf rescue;
    int answer;
    options->memory = &memory;
    memory.rescue = &rescue;
    if (setjmp(rescue) == 0) {
        answer = command->run(options, count, words);
    } else {
        answer = command_trouble("There is not enough memory for this.");
    }
    memory_return_all(&memory);
    return answer;
}

int main(int count, char **words)
{
    signal(SIGPIPE, SIG_IGN); /* a reader that goes away is a failed write, not the program's end */
    bool colourless = getenv("NO_COLOR") != NULL;
    const char *told[OPTIONS] = {NULL};
    Options options = {.told = told, .page = "a4", .day = (int32_t)(time(NULL) / 86400), .colour = isatty(STDERR_FILENO) && !colourless,
                       .colour_of_output = isatty(STDOUT_FILENO) && !colourless};
    bool wants_help = false, wants_version = false;
    opterr = 0;
    for (int option; (option = getopt_long(count, words, ":o:", long_options, NULL)) != -1;) {
        if (option == ':') {
            return command_trouble("The option %s needs a value.", words[optind - 1]);
        }
        if (option == '?') {
            return unknown_option(words[optind - 1]);
        }
        if (!take_option(&options, option, &wants_help, &wants_version)) {
            return COMMAND_TROUBLE;
        }
        if (option > OPTION_NONE) {
            told[option - OPTION_NONE - 1] = optarg;
        }
    }
    if (wants_version) {
        return put("waterleaf " COMMAND_VERSION ", edition 1\n");
    }
    const Command *command = optind < count ? command_named(words[optind]) : NULL;
    if (wants_help) {
        return help(command);
    }
    if (optind == count) {
        return no_command();
    }
    if (command == NULL) {
        return unknown_command(words[optind]);
    }
    return run(command, &options, count - optind - 1, words + optind + 1);
}
