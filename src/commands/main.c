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
    {"check", command_check, "[FILE…]", "what is wrong in scripts; without FILE in every script below this folder",
     "Names and kinds are checked in every branch, and every batch and variant is worked out.\n"
     "Nothing is printed where nothing is wrong.\n"},
    {"weigh", command_weigh, "FILE [NAME]", "the amounts and all figures, as tables",
     "NAME is a batch, a paper's word, a variant's title, or \"botanical weight=300 finish=rough\".\n"
     "It may be left out where there is one; then every batch is worked out.\n"
     "With --what-if it is told what each number that you typed does to the sheet and to the count when it is in truth a tenth\n"
     "more or a tenth less, and the hands do all else as they did: the charge, the fibre lifted with each sheet and the number\n"
     "formed stay. What moves most comes first; what no mill could measure is left out.\n"},
    {"write", command_write, "DOCUMENT FILE [NAME]", "a document, to print or to read: batch-sheet, labels, spec-sheet, chemical-labels",
     "Documents are declared in stdlib, and a mill may change them or declare its own.\n"
     "With --as text, html, pdf or svg (one file a page); without it the ending of OUT decides.\n"
     "Written to standard output, or with -o OUT to a file, whole or not at all.\n"},
    {"compare", command_compare, "FILE NAME [FILE] NAME", "what the hands do differently",
     "Two papers, variants or batches, of one file or of two. What differs by less than hands would notice is the same:\n"
     "amounts by 2 % or by what the mill's scale shows, whichever is more; times by 5 %; temperatures by 1 K; of what is read,\n"
     "the window by the same; what is counted, not at all. Differences are no error.\n"},
    {"why", command_why, "FILE NAME FIGURE | MESSAGE", "how a figure came about, or what a message, a rule or a claim means",
     "A figure of one material is asked for as \"weigh-out of MATERIAL\", a step's as \"loads\" or, where several lines give it,\n"
     "\"loads of beat\" or \"loads of MATERIAL\". --depth N stops after N levels: 1 is the formula alone.\n"},
    {"tidy", command_tidy, "[--check] [FILE…]", "scripts in their one form; without FILE every script below this folder",
     "Columns as in a notebook, one spelling of units and signs; comments and blank lines stay. What a script means stays as it is.\n"
     "A script with a mistake in its writing is left as it is, with the message. FILE of - goes from standard input to standard output.\n"
     "With --check nothing is written: each file that is not tidy is named, and it ends with 1 where there is one.\n"},
    {"lsp", command_lsp, "", "the language server, which editors start", "It speaks the Language Server Protocol 3.17 on standard input and output.\n"},
    {"list", command_list, "units|kinds|materials|steps|figures|rules|claims|documents|messages [WORD]", "what there is",
     "With WORD only those whose name or first line holds it.\n"},
};
enum { COMMANDS = sizeof commands / sizeof commands[0] };

static const char options_help[] =
    "  --json          JSON on standard output, and nothing else\n"
    "  --short         one line a problem\n"
    "  --strict        warnings count\n"
    "  --sheets N      good sheets wanted, in place of what the batch says\n"
    "  --what-if       of weigh: what each number moves when it is a tenth more or less\n"
    "  --as FORM       text, html, pdf or svg\n"
    "  -o OUT          into a file; - is the standard output\n"
    "  --page SIZE     a4 or letter\n"
    "  --first-label N the first label of the first sheet that is still there\n"
    "  --check         of tidy: name what is not tidy, and write nothing\n"
    "  --unproofed     of write: a PDF is not read back before it is written\n"
    "  --depth N       of why: how far to unfold\n"
    "  --on DATE       the day on which it is judged, as 2027-03-01; else today\n"
    "  --stdlib DIR    read stdlib from a folder\n"
    "  --no-color      never any colour (NO_COLOR is kept too)\n"
    "  --help          of the program or of a command\n"
    "  --version       of the program\n"
    "A FILE of - is standard input.\n"
    "Ends with 0 where nothing is wrong, 1 with a problem in a script, 2 with one in the call or the system.\n";

static int put(const char *text)
{
    return fputs(text, stdout) < 0 || fflush(stdout) != 0 ? command_trouble("The output could not be written.") : COMMAND_FINE;
}

static int help(const Command *command)
{
    if (command != NULL) {
        printf("waterleaf %s %s\n\n%s.\n%s\nOptions:\n", command->name, command->arguments, command->summary, command->help);
        return put(options_help);
    }
    puts("waterleaf COMMAND: the procedures of a hand paper mill, from a script to what is weighed and done\n");
    for (int i = 0; i < COMMANDS; i++) {
        printf("  %-7s %-40s %s\n", commands[i].name, commands[i].arguments, commands[i].summary);
    }
    puts("\nOptions:");
    return put(options_help);
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

enum { OPTION_JSON = 1000, OPTION_SHORT, OPTION_STRICT, OPTION_SHEETS, OPTION_WHAT_IF, OPTION_AS, OPTION_PAGE, OPTION_DEPTH, OPTION_STDLIB, OPTION_ON,
       OPTION_FIRST_LABEL, OPTION_UNPROOFED, OPTION_CHECK, OPTION_NO_COLOUR, OPTION_HELP, OPTION_VERSION };

static const struct option long_options[] = {
    {"json", no_argument, NULL, OPTION_JSON}, {"what-if", no_argument, NULL, OPTION_WHAT_IF}, {"short", no_argument, NULL, OPTION_SHORT},
    {"strict", no_argument, NULL, OPTION_STRICT}, {"sheets", required_argument, NULL, OPTION_SHEETS},
    {"as", required_argument, NULL, OPTION_AS}, {"page", required_argument, NULL, OPTION_PAGE},
    {"check", no_argument, NULL, OPTION_CHECK}, {"unproofed", no_argument, NULL, OPTION_UNPROOFED}, {"first-label", required_argument, NULL, OPTION_FIRST_LABEL}, {"depth", required_argument, NULL, OPTION_DEPTH}, {"on", required_argument, NULL, OPTION_ON}, {"stdlib", required_argument, NULL, OPTION_STDLIB},
    {"no-color", no_argument, NULL, OPTION_NO_COLOUR}, {"help", no_argument, NULL, OPTION_HELP},
    {"version", no_argument, NULL, OPTION_VERSION}, {NULL, 0, NULL, 0},
};

/* One option taken; false, with a sentence, where it is wrong. */
static bool take_option(Options *options, int option, bool *wants_help, bool *wants_version)
{
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
    case OPTION_ON:
        if (!read_day(optarg, &options->day)) {
            command_trouble("--on takes a day, as 2027-03-01, not %s.", optarg);
            return false;
        }
        return true;
    case 'o': options->out = strcmp(optarg, "-") != 0 ? optarg : NULL; return true; /* - is the standard output */
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
    case OPTION_CHECK: options->only_check = true; return true;
    case OPTION_UNPROOFED: options->unproofed = true; return true;
    case OPTION_FIRST_LABEL:
        if (!read_number(optarg, 1000, &options->first_label)) {
            command_trouble("--first-label takes a whole number from 1 to 1,000, not %s.", optarg);
            return false;
        }
        return true;
    case OPTION_AS:
        options->as = optarg;
        if (strcmp(optarg, "text") != 0 && strcmp(optarg, "html") != 0 && strcmp(optarg, "pdf") != 0 && strcmp(optarg, "svg") != 0) {
            command_trouble("--as takes text, html, pdf or svg, not %s.", optarg);
            return false;
        }
        return true;
    case OPTION_PAGE:
        options->page = optarg;
        if (strcmp(optarg, "a4") != 0 && strcmp(optarg, "letter") != 0) {
            command_trouble("--page takes a4 or letter, not %s.", optarg);
            return false;
        }
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
    Options options = {.page = "a4", .day = (int32_t)(time(NULL) / 86400), .colour = isatty(STDERR_FILENO) && !colourless,
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
    }
    if (wants_version) {
        return put("waterleaf " COMMAND_VERSION ", edition 1\n");
    }
    const Command *command = optind < count ? command_named(words[optind]) : NULL;
    if (wants_help) {
        return help(command);
    }
    if (optind == count) {
        fputs("waterleaf takes a command: check, weigh, write, compare, why, tidy or list. waterleaf --help tells more.\n", stderr);
        return COMMAND_TROUBLE;
    }
    if (command == NULL) {
        return unknown_command(words[optind]);
    }
    return run(command, &options, count - optind - 1, words + optind + 1);
}
