/* start: a first mill and a first paper. What is asked, and what is written, stands in stdlib/start; here are only the asking,
 * the checking of each answer, and the writing of all or nothing.
 *
 * The mill's questions come first; the last of them, `kind`, chooses the script of the paper, whose questions follow. An answer that
 * is wrong in itself is asked for again; one that is at odds with others may be kept, and is settled by those that follow. */
#include "commands/command.h"

#include "base/files.h"
#include "source/template.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static const char FIRST[] = "mill", KIND[] = "kind", NAMES_PAPER[] = "paper";
enum { LINE_ROOM = 1000, MOST_TOLD = 3 };

typedef enum Standing { STANDS, AT_ODDS, WRONG, UNCHECKED } Standing;

typedef struct Start {
    const Options *options;
    Workshop *workshop;
    Memory *memory;
    Arena arena;
    Questions questions;
    uint32_t of_mill;           /* so many are the mill's; the others are of the kind of paper */
    const char *mill, *paper;   /* the scripts that ask */
    const char *folder;
    Text mill_made, paper_made; /* and what the answers make of them */
    Text told;                  /* the names of the messages that were told of answers that were kept */
    bool asks;                  /* somebody is there to answer */
    bool failed;                /* memory, or stdlib: it is said already */
} Start;

static bool fails(Start *start, const char *why)
{
    command_trouble("%s", why);
    start->failed = true;
    return false;
}

/* ---- what the answers make ---- */

static const char *day_in(Start *start, int32_t days)
{
    time_t seconds = ((time_t)start->options->day + days) * 86400;
    struct tm date;
    char written[32] = "";
    if (gmtime_r(&seconds, &date) != NULL) {
        strftime(written, sizeof written, "%Y-%m-%d", &date);
    }
    return arena_copy(&start->arena, written, strlen(written));
}

static bool take_questions(Start *start, const char *text)
{
    uint32_t first = start->questions.count;
    const char *wrong = template_questions(&start->arena, text, &start->questions);
    for (uint32_t i = first; i < start->questions.count; i++) {
        Question *question = &start->questions.at[i];
        question->answer = question->days > 0 ? day_in(start, question->days) : NULL; /* what options tell comes later */
    }
    return wrong == NULL || fails(start, wrong);
}

static bool take_options(Start *start, uint32_t first);

/* The script of the paper of the kind that is chosen, and what it asks; what another kind asked is forgotten. */
static bool choose_kind(Start *start)
{
    start->questions.count = start->of_mill;
    for (uint32_t i = 0; i < start->of_mill; i++) {
        Question *question = &start->questions.at[i];
        question->answer = question->unasked && question->days == 0 ? NULL : question->answer;
    }
    const Question *kind = template_question(&start->questions, KIND);
    start->paper = kind == NULL ? NULL : workshop_start_text(start->workshop, template_answer(kind));
    if (start->paper == NULL) {
        return fails(start, "This stdlib has no script to start with.");
    }
    return take_questions(start, start->paper) && take_options(start, start->of_mill);
}

static bool make_one(Start *start, const char *text, Text *made)
{
    Text filled;
    text_open(&filled, start->memory);
    text_clear(made);
    const char *wrong = template_fill(&start->arena, text, &start->questions, &filled);
    if (wrong == NULL && workshop_tidy(start->workshop, start->folder, filled.at, filled.length, made) == WATERLEAF_FAILED) {
        wrong = workshop_trouble(start->workshop);
    }
    if (wrong == NULL && made->length == 0) {
        text_add(made, filled.at, filled.length); /* it cannot be read, and the check says why */
    }
    text_close(&filled);
    return wrong == NULL || fails(start, wrong);
}

static bool make_both(Start *start)
{
    return make_one(start, start->mill, &start->mill_made) && make_one(start, start->paper, &start->paper_made);
}

/* ---- checking ---- */

/* Both scripts as one, without what only tells that they are two. */
static void add_alone(Text *out, const Text *script)
{
    for (const char *line = script->at; *line != 0;) {
        size_t length = strcspn(line, "\n");
        if (strncmp(line, "waterleaf ", 10) != 0 && strncmp(line, "use ", 4) != 0) {
            text_add(out, line, length);
        }
        text_char(out, '\n');
        line += length + (line[length] != 0);
    }
}

/* What the checker says of the answers as they stand: its messages are in the workshop. */
static Standing check(Start *start)
{
    if (!make_both(start)) {
        return UNCHECKED;
    }
    Text both;
    text_open(&both, start->memory);
    text_put(&both, "waterleaf 1\n");
    add_alone(&both, &start->mill_made);
    add_alone(&both, &start->paper_made);
    Workshop *workshop = start->workshop;
    WaterleafAnswer answer = workshop_clear(workshop);
    answer = answer == WATERLEAF_FINE ? workshop_read_text(workshop, "the answers", both.at, both.length) : answer;
    bool wrong = answer == WATERLEAF_FINE && workshop_messages(workshop)->list.count > 0;
    answer = answer == WATERLEAF_FINE && !wrong ? workshop_check(workshop) : answer;
    text_close(&both);
    if (answer != WATERLEAF_FINE) {
        fails(start, workshop_trouble(workshop));
        return UNCHECKED;
    }
    return wrong ? WRONG : workshop_messages(workshop)->list.count > 0 ? AT_ODDS : STANDS;
}

/* The messages in words; where they stand in scripts that nobody has seen is of no use. */
static void add_messages(Start *start, Text *out)
{
    const Messages *messages = workshop_messages(start->workshop);
    for (uint32_t i = 0; i < messages->list.count && i < MOST_TOLD; i++) {
        const Message *message = &messages->list.at[i];
        text_print(out, "  %s%s%s [%s]\n", message->says, *message->mend == 0 ? "" : " ", message->mend, message->name);
    }
}

static void say(Start *start, const Text *text)
{
    if (text->length > 0 && !files_put(start->memory, stderr, text->at, text->length)) {
        start->failed = true;
    }
}

/* Whether one of the messages is of a name that was not told yet; then all of them are told now. */
static bool is_new(Start *start)
{
    const Messages *messages = workshop_messages(start->workshop);
    bool new = false;
    for (uint32_t i = 0; i < messages->list.count; i++) {
        const char *name = arena_print(&start->arena, " %s ", messages->list.at[i].name);
        if (start->told.at == NULL || strstr(start->told.at, name) == NULL) {
            text_put(&start->told, name);
            new = true;
        }
    }
    return new;
}

/* ---- asking ---- */

static const char *trimmed(Start *start, char *line)
{
    line += strspn(line, " \t");
    size_t length = strlen(line);
    while (length > 0 && (line[length - 1] == ' ' || line[length - 1] == '\t')) {
        length--;
    }
    return arena_copy(&start->arena, line, length);
}

static void add_choices(Start *start, const Question *question, Text *out)
{
    for (const char *at = question->choices; at != NULL; at = strchr(at, '|') == NULL ? NULL : strchr(at, '|') + 1) {
        const char *choice = arena_copy(&start->arena, at, strcspn(at, "|"));
        const char *script = strcmp(question->word, KIND) == 0 ? workshop_start_text(start->workshop, choice) : NULL;
        if (script != NULL) {
            text_print(out, "    %-12s %s\n", choice, template_about(&start->arena, script));
        }
    }
}

/* Asks once. False: whoever was asked is gone. *ANSWER is NULL where what stands in brackets was taken. */
static bool ask(Start *start, const Question *question, const char **answer)
{
    char line[LINE_ROOM];
    bool cut = true;
    Text prompt;
    text_open(&prompt, start->memory);
    text_print(&prompt, "\n%s %s\n", question->asks, question->reason);
    add_choices(start, question, &prompt);
    text_print(&prompt, "  %s [%s]: ", question->choices == NULL ? question->word : question->choices, template_answer(question));
    say(start, &prompt);
    text_close(&prompt);
    if (start->failed || !files_read_line(start->memory, stdin, line, sizeof line, &cut)) {
        return false;
    }
    *answer = cut ? line : trimmed(start, line);
    *answer = **answer == 0 ? NULL : arena_copy(&start->arena, *answer, strlen(*answer));
    return true;
}

/* Puts an answer in place; where it cannot be, why. The paper's script must have another name than the mill's. */
static const char *take(Start *start, Question *question, const char *answer)
{
    const char *refused = template_refuses(&start->arena, question, answer);
    if (refused == NULL && strcmp(question->word, NAMES_PAPER) == 0 && strcmp(template_name(&start->arena, answer), FIRST) == 0) {
        refused = "The mill's script is called so.";
    }
    question->answer = refused == NULL ? answer : question->answer;
    return refused;
}

static void say_refused(Start *start, const char *word, const char *refused)
{
    Text text;
    text_open(&text, start->memory);
    if (start->asks) {
        text_print(&text, "  %s\n", refused);
    } else {
        text_print(&text, "--%s: %s\n", word, refused);
    }
    say(start, &text);
    text_close(&text);
}

/* Asks until the answer can stand, or is kept although it is at odds with others. */
static bool settle(Start *start, uint32_t number)
{
    for (;;) {
        const char *answer;
        Question *question = &start->questions.at[number];
        const char *before = question->answer;
        if (!ask(start, question, &answer)) {
            return false;
        }
        const char *refused = answer == NULL ? NULL : take(start, question, answer);
        if (refused != NULL) {
            say_refused(start, question->word, refused);
            continue;
        }
        if (strcmp(question->word, KIND) == 0) {
            return true; /* what its script asks is not known yet */
        }
        Standing standing = check(start);
        if (standing == UNCHECKED) {
            return false;
        }
        /* what a text says is at odds with nothing: another answer is meant, and is asked for later or was kept */
        bool tells = standing == WRONG || (standing == AT_ODDS && !start->questions.at[number].text && is_new(start));
        if (!tells) {
            return true;
        }
        Text text;
        text_open(&text, start->memory);
        add_messages(start, &text);
        text_put(&text, standing == WRONG ? "" : "  Another answer, or Enter to keep it and settle this with the answers that follow.\n");
        say(start, &text);
        text_close(&text);
        if (standing == WRONG) {
            start->questions.at[number].answer = before;
        }
    }
}

/* ---- all the answers ---- */

/* What options tell of the questions from FIRST on; false where one cannot stand. */
static bool take_options(Start *start, uint32_t first)
{
    for (uint32_t i = first; i < start->questions.count; i++) {
        Question *question = &start->questions.at[i];
        const char *told = question->unasked ? NULL : command_told(start->options, question->word);
        const char *refused = told == NULL ? NULL : take(start, question, told);
        if (refused != NULL) {
            say_refused(start, question->word, refused);
            return false;
        }
    }
    return true;
}

/* Each answer that an option tells, by itself: which of them the checker means must not be guessed. */
static bool options_stand(Start *start)
{
    for (uint32_t i = 0; i < start->questions.count && start->paper != NULL; i++) {
        Questions all = start->questions;
        Question *alone = memory_take(start->memory, all.count * sizeof *alone);
        memcpy(alone, all.at, all.count * sizeof *alone);
        for (uint32_t other = 0; other < all.count; other++) {
            alone[other].answer = other == i || alone[other].unasked || strcmp(alone[other].word, KIND) == 0 ? alone[other].answer : NULL;
        }
        start->questions.at = alone;
        Standing standing = all.at[i].answer == NULL ? STANDS : check(start);
        start->questions = all;
        memory_return(start->memory, alone);
        if (standing == UNCHECKED) {
            return false;
        }
        if (standing == WRONG) {
            Text text;
            text_open(&text, start->memory);
            text_print(&text, "--%s %s:\n", all.at[i].word, all.at[i].answer);
            add_messages(start, &text);
            say(start, &text);
            text_close(&text);
            return false;
        }
    }
    return true;
}

/* All the questions that no option told; AGAIN: also those that were answered. */
static bool ask_all(Start *start, bool again)
{
    for (uint32_t i = 0; i < start->questions.count; i++) {
        const Question *question = &start->questions.at[i];
        bool kind = strcmp(question->word, KIND) == 0;
        bool wanted = !question->unasked && command_told(start->options, question->word) == NULL && !(again && kind);
        if (wanted && !settle(start, i)) {
            return false;
        }
        if (wanted && kind && !choose_kind(start)) {
            return false;
        }
    }
    return true;
}

/* Whether all answers can stand together. */
static bool settle_all(Start *start)
{
    bool again = false;
    while (!start->asks || ask_all(start, again)) {
        Standing standing = check(start);
        if (standing == STANDS || standing == UNCHECKED) {
            return standing == STANDS;
        }
        Text text;
        text_open(&text, start->memory);
        text_put(&text, "These answers do not go together:\n");
        add_messages(start, &text);
        text_put(&text, start->asks ? "Once more, then; Enter keeps an answer.\n" : "");
        say(start, &text);
        text_close(&text);
        if (!start->asks) {
            return false;
        }
        again = true;
    }
    return false;
}

/* ---- writing ---- */

static const char *path_of(Start *start, const char *name)
{
    return arena_print(&start->arena, "%s/%s.wleaf", strcmp(start->folder, "/") == 0 ? "" : start->folder, name);
}

static int say_unwritten(const Start *start, FileTrouble trouble)
{
    switch (trouble) {
    case FILE_TAKEN: return command_trouble("%s is there already and is not empty. Name a folder that is new; nothing was written.", start->folder);
    case FILE_MISSING: return command_trouble("%s cannot be made: the folder that it should stand in is not there.", start->folder);
    case FILE_FORBIDDEN: return command_trouble("%s may not be written to. Nothing was written.", start->folder);
    default: return command_trouble("%s cannot be written. What was begun was taken away again.", start->folder);
    }
}

static bool counts(void *with, Workshop *workshop, const Outcome *outcome)
{
    (void)workshop, (void)outcome;
    ++*(uint32_t *)with;
    return true;
}

/* What stands on the disk is read as everybody will read it, and the order is worked out. */
static bool stands_on_disk(Start *start, const char *path)
{
    uint32_t worked_out = 0;
    Workshop *workshop = start->workshop;
    return workshop_clear(workshop) == WATERLEAF_FINE && workshop_read(workshop, path) == WATERLEAF_FINE
        && workshop_check(workshop) == WATERLEAF_FINE && workshop_messages(workshop)->list.count == 0
        && workshop_work_out(workshop, NULL, 0, counts, &worked_out) == WATERLEAF_FINE && worked_out > 0;
}

static int tell(Start *start, const char *mill, const char *paper)
{
    Text out;
    text_open(&out, start->memory);
    text_print(&out, "%s and %s are written, checked and worked out.\n", mill, paper);
    uint32_t count = 0;
    for (uint32_t i = 0; i < start->questions.count; i++) {
        const Question *question = &start->questions.at[i];
        if (question->answer == NULL && !question->unasked) {
            text_print(&out, "%s %s %s", count == 0 ? "Taken for an example:" : ",", question->word, question->usual);
            count++;
        }
    }
    text_put(&out, count == 0 ? "Next:\n" : ".\nWhat is marked `example` in them is invented: put your own in its place. Next:\n");
    template_next(&start->arena, start->paper, &start->questions, paper, &out);
    return command_put(start->options, &out, false);
}

static int write_both(Start *start)
{
    const char *name = template_name(&start->arena, template_answer(template_question(&start->questions, NAMES_PAPER)));
    const NewFile files[] = {{path_of(start, FIRST), start->mill_made.at, start->mill_made.length},
                             {path_of(start, name), start->paper_made.at, start->paper_made.length}};
    bool made;
    FileTrouble trouble = files_write_folder(start->memory, start->folder, files, 2, &made);
    if (trouble != FILE_FINE) {
        return say_unwritten(start, trouble);
    }
    if (!stands_on_disk(start, files[1].path)) {
        files_take_back(start->folder, files, 2, made);
        command_trouble("%s", *workshop_trouble(start->workshop) != 0 ? workshop_trouble(start->workshop) : "What was written does not stand.");
        command_show_messages(start->options, start->workshop, false);
        return COMMAND_TROUBLE;
    }
    return tell(start, files[0].path, files[1].path);
}

/* ---- the command ---- */

/* What is asked is known, and what options tell is in place; 0, or how it ends. */
static int begin(Start *start)
{
    start->mill = workshop_start_text(start->workshop, FIRST);
    if (start->mill == NULL) {
        return command_trouble("This stdlib has no script to start with.");
    }
    if (!take_questions(start, start->mill)) {
        return COMMAND_TROUBLE;
    }
    if (!take_options(start, 0)) {
        return COMMAND_PROBLEM;
    }
    start->of_mill = start->questions.count;
    if (!choose_kind(start) || !options_stand(start)) {
        return start->failed ? COMMAND_TROUBLE : COMMAND_PROBLEM;
    }
    return COMMAND_FINE;
}

static int make(Start *start)
{
    int answer = begin(start);
    if (answer != COMMAND_FINE) {
        return answer;
    }
    if (!settle_all(start)) {
        return start->failed ? COMMAND_TROUBLE : start->asks ? command_trouble("\nNothing was written.") : COMMAND_PROBLEM;
    }
    return write_both(start);
}

/* FOLDER without the strokes at its end. */
static const char *folder_named(Start *start, const char *folder)
{
    size_t length = strlen(folder);
    while (length > 1 && folder[length - 1] == '/') {
        length--;
    }
    return arena_copy(&start->arena, folder, length);
}

int command_start(const Options *options, int count, char **words)
{
    if (count != 1 || *words[0] == 0) {
        return command_trouble("start takes a FOLDER, which is new or empty.");
    }
    Workshop *workshop = command_workshop(options);
    if (workshop == NULL) {
        return COMMAND_TROUBLE;
    }
    Start start = {.options = options, .workshop = workshop, .memory = options->memory, .asks = !options->yes && isatty(STDIN_FILENO)};
    arena_open(&start.arena, options->memory);
    text_open(&start.mill_made, options->memory);
    text_open(&start.paper_made, options->memory);
    text_open(&start.told, options->memory);
    start.folder = folder_named(&start, words[0]);
    FileTrouble trouble = files_may_begin(options->memory, start.folder);
    int answer = trouble == FILE_FINE ? make(&start) : say_unwritten(&start, trouble);
    workshop_close(workshop);
    return answer;
}
