/* Writes what is told of the command line elsewhere, from the lists of commands and options: completions for three shells,
 * and the manual page. A program of the build.
 *
 *     make-manual bash|zsh|fish|man */
#include <stdio.h>
#include <string.h>

typedef struct Told { const char *name, *arguments, *summary, *help; } Told;
typedef struct Choice { char letter; const char *name, *value, *commands, *tells; } Choice;

static const Told commands[] = {
#define COMMAND(name, arguments, summary, help) {#name, arguments, summary, help},
#include "commands/commands.def"
#undef COMMAND
};
enum { COMMANDS = sizeof commands / sizeof commands[0] };

static const Choice choices[] = {
#define OPTION(id, letter, name, value, commands, tells) {letter, name, value, commands, tells},
#include "commands/options.def"
#undef OPTION
};
enum { CHOICES = sizeof choices / sizeof choices[0] };

static const char documents[] = "batch-sheet labels spec-sheet chemical-labels";
static const char lists[] = "units kinds materials steps figures rules claims documents messages";

static int is_for(const Choice *choice, const char *command)
{
    char name[40];
    snprintf(name, sizeof name, " %s ", command);
    return *choice->commands == '*' || strstr(choice->commands, name) != NULL;
}

/* TEXT with each of SIGNS behind ESCAPE. */
static void put(const char *text, const char *signs, const char *escape)
{
    for (; *text != 0; text++) {
        if (strchr(signs, *text) != NULL) {
            fputs(escape, stdout);
        }
        putchar(*text);
    }
}

static void put_words(const char *value)
{
    for (; *value != 0; value++) {
        putchar(*value == '|' ? ' ' : *value);
    }
}

static int is_words(const char *value) { return value != NULL && strchr(value, '|') != NULL; }
static int is_file(const char *value) { return value != NULL && (strcmp(value, "FILE") == 0 || strcmp(value, "DIR") == 0); }

static void bash(void)
{
    printf("# Completion of waterleaf for bash: made from the lists of commands and options.\n"
           "_waterleaf() {\n"
           "    local word=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD-1]} command=${COMP_WORDS[1]} options=\n"
           "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n        mapfile -t COMPREPLY < <(compgen -W '");
    for (int i = 0; i < COMMANDS; i++) {
        printf("%s ", commands[i].name);
    }
    printf("--help --version' -- \"$word\")\n        return\n    fi\n    case $before in\n");
    for (int i = 0; i < CHOICES; i++) {
        if (is_words(choices[i].value)) {
            printf("    --%s) mapfile -t COMPREPLY < <(compgen -W '", choices[i].name);
            put_words(choices[i].value);
            printf("' -- \"$word\"); return ;;\n");
        } else if (choices[i].value != NULL && !is_file(choices[i].value)) {
            printf("    --%s) return ;;\n", choices[i].name);
        }
    }
    printf("    esac\n    case $command in\n");
    for (int i = 0; i < COMMANDS; i++) {
        printf("    %s) options='", commands[i].name);
        for (int j = 0; j < CHOICES; j++) {
            if (is_for(&choices[j], commands[i].name)) {
                printf("--%s ", choices[j].name);
            }
        }
        printf("' ;;\n");
    }
    printf("    esac\n    case $word in\n    -*) mapfile -t COMPREPLY < <(compgen -W \"$options\" -- \"$word\"); return ;;\n    esac\n"
           "    if [ \"$COMP_CWORD\" -eq 2 ]; then\n        case $command in\n"
           "        write) mapfile -t COMPREPLY < <(compgen -W '%s' -- \"$word\"); return ;;\n"
           "        list) mapfile -t COMPREPLY < <(compgen -W '%s' -- \"$word\"); return ;;\n        esac\n    fi\n"
           "    mapfile -t COMPREPLY < <(compgen -f -X '!*.wleaf' -- \"$word\"; compgen -d -- \"$word\")\n}\n"
           "complete -o filenames -F _waterleaf waterleaf\n",
           documents, lists);
}

static void zsh(void)
{
    printf("#compdef waterleaf\n# Completion of waterleaf for zsh: made from the lists of commands and options.\n"
           "_waterleaf() {\n    local -a commands\n    commands=(\n");
    for (int i = 0; i < COMMANDS; i++) {
        printf("        '%s:", commands[i].name);
        put(commands[i].summary, ":", "\\");
        printf("'\n");
    }
    printf("    )\n    if (( CURRENT == 2 )); then\n        _describe 'command' commands\n        return\n    fi\n    local command=$words[2]\n    shift words\n    (( CURRENT-- ))\n    case $command in\n");
    for (int i = 0; i < COMMANDS; i++) {
        printf("    %s)\n        _arguments -s", commands[i].name);
        for (int j = 0; j < CHOICES; j++) {
            const Choice *choice = &choices[j];
            if (!is_for(choice, commands[i].name)) {
                continue;
            }
            printf(" \\\n            '--%s[", choice->name);
            put(choice->tells, "[]:", "\\");
            printf("]");
            if (is_words(choice->value)) {
                printf(":%s:(", choice->name);
                put_words(choice->value);
                printf(")");
            } else if (choice->value != NULL) {
                printf(":%s:%s", choice->value, is_file(choice->value) ? "_files" : "");
            }
            printf("'");
        }
        if (strcmp(commands[i].name, "write") == 0) {
            printf(" \\\n            '1:document:(%s)' '2:script:_files -g \"*.wleaf\"' '3:name:'", documents);
        } else if (strcmp(commands[i].name, "list") == 0) {
            printf(" \\\n            '1:list:(%s)' '2:word:'", lists);
        } else if (strcmp(commands[i].name, "start") == 0) {
            printf(" \\\n            '1:folder:_files -/'");
        } else if (strcmp(commands[i].name, "lsp") != 0) {
            printf(" \\\n            '*:script:_files -g \"*.wleaf\"'");
        }
        printf("\n        ;;\n");
    }
    printf("    esac\n}\n_waterleaf \"$@\"\n");
}

static void fish(void)
{
    printf("# Completion of waterleaf for fish: made from the lists of commands and options.\n");
    for (int i = 0; i < COMMANDS; i++) {
        printf("complete -c waterleaf -n __fish_use_subcommand -a %s -d '", commands[i].name);
        put(commands[i].summary, "'\\", "\\");
        printf("'\n");
    }
    for (int i = 0; i < COMMANDS; i++) {
        for (int j = 0; j < CHOICES; j++) {
            const Choice *choice = &choices[j];
            if (!is_for(choice, commands[i].name)) {
                continue;
            }
            printf("complete -c waterleaf -n '__fish_seen_subcommand_from %s' -l %s", commands[i].name, choice->name);
            if (choice->letter != 0) {
                printf(" -s %c", choice->letter);
            }
            if (is_words(choice->value)) {
                printf(" -x -a '");
                put_words(choice->value);
                printf("'");
            } else if (choice->value != NULL) {
                printf(is_file(choice->value) ? " -r -F" : " -x");
            }
            printf(" -d '");
            put(choice->tells, "'\\", "\\");
            printf("'\n");
        }
    }
    printf("complete -c waterleaf -n '__fish_seen_subcommand_from write' -a '%s'\ncomplete -c waterleaf -n '__fish_seen_subcommand_from list' -a '%s'\n", documents, lists);
}

/* A line of mdoc: no macro at its head, and sentences on lines of their own. */
static void put_manual(const char *text)
{
    int head = 1;
    for (; *text != 0; text++) {
        if (head && (*text == '.' || *text == '\'')) {
            fputs("\\&", stdout);
        }
        fputs(*text == '\\' ? "\\e" : *text == '-' ? "\\-" : "", stdout);
        if (*text != '\\' && *text != '-') {
            putchar(*text);
        }
        head = *text == '\n';
        if (text[0] == '.' && text[1] == ' ') {
            putchar('\n');
            text++;
            head = 1;
        }
    }
}

static void put_argument(const char *arguments)
{
    if (*arguments != 0) {
        printf(" Ar ");
        for (; *arguments != 0; arguments++) {
            fputs(*arguments == '|' ? " | " : "", stdout);
            if (*arguments != '|') {
                putchar(*arguments);
            }
        }
    }
}

static void man(void)
{
    printf(".\\\" Made from the lists of commands and options.\n.Dd $Mdocdate$\n.Dt WATERLEAF 1\n.Os\n.Sh NAME\n.Nm waterleaf\n.Nd the procedures of a hand paper mill\n.Sh SYNOPSIS\n");
    for (int i = 0; i < COMMANDS; i++) {
        printf(".Nm waterleaf\n.Cm %s", commands[i].name);
        put_argument(commands[i].arguments);
        printf("\n");
    }
    printf(".Sh DESCRIPTION\n.Nm\nreads scripts in which a paper is written down once: its furnish, its sizes, its steps.\nIt checks them, works backwards from the order, and writes what the shop floor and the customer need.\n"
           ".Pp\nA\n.Ar FILE\nof\n.Sq \\-\nis standard input.\n.Sh COMMANDS\n.Bl -tag -width Ds\n");
    for (int i = 0; i < COMMANDS; i++) {
        printf(".It Cm %s", commands[i].name);
        put_argument(commands[i].arguments);
        printf("\n");
        put_manual(commands[i].summary);
        printf(".\n");
        put_manual(commands[i].help);
    }
    printf(".El\n.Sh OPTIONS\n.Bl -tag -width Ds\n");
    for (int i = 0; i < CHOICES; i++) {
        printf(".It ");
        if (choices[i].letter != 0) {
            printf("Fl %c , ", choices[i].letter);
        }
        printf("Fl Fl %s", choices[i].name);
        if (choices[i].value != NULL) {
            put_argument(choices[i].value);
        }
        printf("\n");
        put_manual(choices[i].tells);
        printf(".\n");
        if (*choices[i].commands != '*') {
            printf("For\n.Cm%s.\n", choices[i].commands);
        }
    }
    printf(".El\n.Sh ENVIRONMENT\n.Bl -tag -width Ds\n.It Ev NO_COLOR\nNever any colour.\n.It Ev SOURCE_DATE_EPOCH\nThe day that a PDF bears, in seconds since 1970.\n.El\n"
           ".Sh EXIT STATUS\n.Bl -tag -width Ds\n.It 0\nNothing is wrong; there may be warnings.\n.It 1\nThere is a problem in a script.\n.It 2\nThere is one in the call or the system.\n.El\n"
           ".Sh CAVEATS\nThat no rule speaks against a step is no clearance of it.\nThe supplier's safety data sheet, local codes and licensed practice come first.\n");
}

int main(int count, char **words)
{
    static const struct { const char *name; void (*write)(void); } forms[] = {{"bash", bash}, {"zsh", zsh}, {"fish", fish}, {"man", man}};
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        if (count == 2 && strcmp(words[1], forms[i].name) == 0) {
            forms[i].write();
            return ferror(stdout) || fflush(stdout) != 0;
        }
    }
    fputs("usage: make-manual bash|zsh|fish|man\n", stderr);
    return 2;
}
