/* What the commands share: their options, and how they end.
 *
 * A command gets its words without options. It ends with COMMAND_FINE,
 * COMMAND_PROBLEM (something in a script) or COMMAND_TROUBLE (the call or the system).
 */
#ifndef WATERLEAF_COMMANDS_COMMAND_H
#define WATERLEAF_COMMANDS_COMMAND_H

#include "base/text.h"
#include "render/json.h"
#include "waterleaf.h"

#define COMMAND_VERSION "0.1"

enum { COMMAND_FINE, COMMAND_PROBLEM, COMMAND_TROUBLE };

typedef struct Options {
    bool json, one_line, strict, what_if, unproofed, only_check, sarif, mend, watch, yes;
    bool colour, colour_of_output; /* on standard error, on standard output */
    Memory *memory;      /* of the command; main gives all of it back */
    double sheets;       /* 0: as ordered */
    int32_t day;         /* on which is judged, days since 1970-01-01 */
    unsigned depth;      /* 0: all the way */
    double first_label;  /* 0: the first */
    const char *as;      /* NULL: as the ending of `out` says, else text */
    const char *out;     /* NULL: standard output */
    const char *page;    /* "a4" or "letter" */
    const char *stdlib;  /* NULL: the one built in */
    const char *const *told; /* what stood behind each option of options.def, as it was typed; NULL: nothing */
    const char *depends; /* the file for a rule for make; NULL: none is wanted */
} Options;

typedef struct Command {
    const char *name;
    int (*run)(const Options *options, int count, char **words);
    const char *arguments; /* how it is called */
    const char *summary;   /* one line */
    const char *help;      /* the rest of its page */
} Command;

/* What stood behind --NAME; NULL: nothing. */
const char *command_told(const Options *options, const char *name);

#define COMMAND(name, arguments, summary, help) int command_##name(const Options *options, int count, char **words);
#include "commands/commands.def"
#undef COMMAND

/* A workshop as the options ask for it; NULL, with a sentence on standard error, where there is none. */
Workshop *command_workshop(const Options *options);

/* Adds a word of LENGTH bytes, the one of number AT among COUNT, to LISTED, an ended text of ROOM bytes: "a, b or c". What has no room is cut. */
void command_add_word(char *listed, size_t room, size_t at, size_t count, const char *word, size_t length);

/* Prints a sentence to standard error and gives COMMAND_TROUBLE. */
int command_trouble(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* Prints TEXT to standard output, or into the file that was asked for. COMMAND_TROUBLE where that fails. */
int command_put(const Options *options, const Text *text, bool to_file);

/* The same for what a command ends with END; where that is trouble, a file stays as it was. */
int command_put_end(const Options *options, const Text *text, int end);

/* Whether the messages are in what is put out, so that they need not be shown: in JSON, where it comes to be written. */
bool command_tells_messages(const Options *options, int end);

/* Whether a script that is used could not be read, which is no problem of the script. */
bool command_unread(const Messages *messages);

/* How a command ends after what was said: a problem where there are errors (or, strictly, warnings). */
int command_end(const Options *options, const Messages *messages);

/* That there are more messages than are kept, where there are. */
void command_tell_more(Text *text, const Messages *messages);

/* The messages as text, to standard error or, where they are what was asked for, to standard output. */
int command_show_messages(const Options *options, Workshop *workshop, bool on_output);

/* The head of every JSON document, and the messages as its "problems". */
void command_json_head(Json *json, const Workshop *workshop);
void command_json_problem(Json *json, Workshop *workshop, const Message *message);
void command_json_problems(Json *json, const char *key, Workshop *workshop);

/* A quantity as JSON has it. */
void command_json_quantity(Json *json, const char *key, Workshop *workshop, const Quantity *quantity);

/* SARIF: what stands before the results, and each of them; json_put_close ends it. */
void sarif_begin(Json *json);
void sarif_result(Json *json, Workshop *workshop, const Message *message, Memory *memory);

/* Makes the sure edits of what was said of PATH, which was checked last, and tells them in SAID. Whether the script is another now;
 * *FAILED: it could not be written, which is said. */
bool mend_script(const Options *options, Workshop *workshop, const char *path, Text *said, bool *failed);

/* Notes the scripts that stand in the workshop, and writes the rule. */
void depends_add(Text *out, Workshop *workshop);
int depends_write(const Options *options, const Text *scripts);

/* A path as the JSON and the messages show it. */
const char *command_path(const Workshop *workshop, const Source *source);

#endif
