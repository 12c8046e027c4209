/* A script that asks: its questions are found in its comments, and answers put in the place of what stands there. */
#include "source/template.h"

#include <stdlib.h>
#include <string.h>

static const char ASKS[] = "#?", NEXT[] = "#>";
enum { LONGEST_ANSWER = 120, LONGEST_NAME = 60 };

static const char *end_of_line(const char *at)
{
    return at + strcspn(at, "\n");
}

static const char *over_blanks(const char *at)
{
    return at + strspn(at, " ");
}

static bool begins(const char *at, const char *with)
{
    return strncmp(at, with, strlen(with)) == 0;
}

Question *template_question(const Questions *questions, const char *word)
{
    for (uint32_t i = 0; i < questions->count; i++) {
        if (strcmp(questions->at[i].word, word) == 0) {
            return &questions->at[i];
        }
    }
    return NULL;
}

const char *template_answer(const Question *question)
{
    return question->answer != NULL ? question->answer : question->usual;
}

/* ---- questions ---- */

/* `in-30-days 2099-12-31`: 30. */
static int32_t days_of(const char *word)
{
    char *end;
    long days = begins(word, "in-") ? strtol(word + 3, &end, 10) : 0;
    return days > 0 && days < 10000 && strcmp(end, "-days") == 0 ? (int32_t)days : 0;
}

/* What stands behind the word: the usual answer, a colon, the question, the reason. */
static bool read_question(Arena *arena, const char *at, const char *end, Question *question)
{
    size_t length = strcspn(at, " \n");
    question->word = arena_copy(arena, at, length);
    question->days = days_of(question->word);
    at = over_blanks(at + length);
    question->text = *at == '"';
    question->unasked = !question->text && memchr(at, ':', (size_t)(end - at)) == NULL;
    const char *usual_end = question->unasked ? end
        : question->text ? memchr(at + 1, '"', (size_t)(end - at - 1)) : memchr(at, ':', (size_t)(end - at));
    if (usual_end == NULL || at >= usual_end) {
        return false;
    }
    question->usual = arena_copy(arena, at + question->text, (size_t)(usual_end - at) - question->text);
    if (question->unasked) {
        return true;
    }
    const char *bar = strchr(question->usual, '|');
    if (bar != NULL && !question->text) {
        question->choices = question->usual;
        question->usual = arena_copy(arena, question->choices, (size_t)(bar - question->choices));
    }
    at = usual_end + question->text;
    const char *mark = memchr(at, '?', (size_t)(end - at));
    if (*at != ':' || mark == NULL) {
        return false;
    }
    at = over_blanks(at + 1);
    question->asks = arena_copy(arena, at, (size_t)(mark + 1 - at));
    at = over_blanks(mark + 1);
    question->reason = arena_copy(arena, at, (size_t)(end - at));
    return true;
}

const char *template_questions(Arena *arena, const char *text, Questions *questions)
{
    for (const char *line = text; *line != 0; line = *end_of_line(line) == 0 ? end_of_line(line) : end_of_line(line) + 1) {
        const char *at = over_blanks(line);
        if (!begins(at, ASKS)) {
            continue;
        }
        Question question = {0};
        const char *end = end_of_line(line);
        if (!read_question(arena, over_blanks(at + 2), end, &question)) {
            return arena_print(arena, "This is no question: %.*s", (int)(end - at), at);
        }
        Question *same = template_question(questions, question.word);
        if (same != NULL && same->unasked && question.unasked) {
            same->answer = question.usual;
            continue;
        }
        if (same != NULL) {
            return arena_print(arena, "There are two questions called %s.", question.word);
        }
        list_push(arena->memory, questions, question);
    }
    return NULL;
}

const char *template_about(Arena *arena, const char *text)
{
    const char *at = begins(text, "# ") ? text : strstr(text, "\n# ");
    if (at == NULL) {
        return "";
    }
    at += (*at == '\n') + 2;
    const char *line = end_of_line(at);
    const char *stop = memchr(at, '.', (size_t)(line - at));
    return arena_copy(arena, at, (size_t)((stop == NULL ? line : stop) - at));
}

/* ---- answers ---- */

/* Whether names may hold it. Of the signs beyond ASCII those are left out that are known to be none; of any other the checker tells. */
static bool is_of_names(uint32_t sign)
{
    bool plain = (sign >= 'a' && sign <= 'z') || (sign >= '0' && sign <= '9');
    bool letter = sign >= 0xC0 && sign != 0xD7 && sign != 0xF7 && sign < 0x1F000;
    bool mark = (sign >= 0x2000 && sign < 0x2C00) || (sign >= 0x3000 && sign < 0x3040) || (sign >= 0xFE00 && sign < 0xFE10)
        || (sign >= 0xFF00 && sign < 0xFF21);
    return plain || (letter && !mark);
}

const char *template_name(Arena *arena, const char *text)
{
    size_t length = strlen(text);
    char *name = arena_take(arena, length * 2 + sizeof "paper-");
    size_t made = 0;
    bool gap = false;
    unsigned signs = 0;
    for (size_t at = 0, taken; at < length && signs < LONGEST_NAME; at += taken) {
        uint32_t sign = utf8_decode(text + at, length - at, &taken);
        bool capital = sign >= 'A' && sign <= 'Z';
        if (!capital && !is_of_names(sign)) {
            gap = sign != '\''; /* Binders' is one word */
            continue;
        }
        if (made == 0 && sign >= '0' && sign <= '9') {
            made = (size_t)(stpcpy(name, "paper-") - name); /* a name begins with a letter */
        } else if (gap && made > 0) {
            name[made++] = '-';
        }
        gap = false;
        signs++;
        if (capital) {
            name[made++] = (char)(sign + 32);
        } else {
            memcpy(name + made, text + at, taken);
            made += taken;
        }
    }
    return made == 0 ? "paper-1" : name;
}

static const char *is_no_choice(Arena *arena, const Question *question, const char *answer)
{
    size_t length = strlen(answer);
    for (const char *at = question->choices; length > 0; at = strchr(at, '|') + 1) {
        if (begins(at, answer) && (at[length] == '|' || at[length] == 0)) {
            return NULL;
        }
        if (strchr(at, '|') == NULL) {
            break;
        }
    }
    return arena_print(arena, "This is none of %s.", question->choices);
}

const char *template_refuses(Arena *arena, const Question *question, const char *answer)
{
    size_t length = strlen(answer), signs = 0;
    for (size_t at = 0, taken; at < length; at += taken, signs++) {
        if (utf8_hidden(utf8_decode(answer + at, length - at, &taken))) {
            return "There is a sign in it that cannot be seen. Type it anew.";
        }
    }
    if (*over_blanks(answer) == 0) {
        return "There is nothing in it.";
    }
    if (signs > LONGEST_ANSWER) {
        return arena_print(arena, "It is longer than %d signs.", LONGEST_ANSWER);
    }
    if (question->choices != NULL) {
        return is_no_choice(arena, question, answer);
    }
    if (!question->text && strpbrk(answer, "#\":{}\\()[]=") != NULL) {
        return arena_print(arena, "A value is wanted, as %s, and nothing else.", question->usual);
    }
    return NULL;
}

/* ---- the script ---- */

/* A text as a script has it. Curly quotes need nothing: what begins with a straight quote ends with one. */
static void quoted(Text *out, const char *text)
{
    text_char(out, '"');
    for (; *text != 0; text++) {
        if (*text == '"' || *text == '\\') {
            text_char(out, '\\');
        } else if (*text == '{' || *text == '}') {
            text_char(out, *text);
        }
        text_char(out, *text);
    }
    text_char(out, '"');
}

/* A word that begins or ends at AT is not a part of a longer one. */
static bool stands_alone(const char *line, const char *at, size_t length)
{
    static const char of_words[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_.";
    return (at == line || strchr(of_words, at[-1]) == NULL || !strchr(of_words, *at))
        && (at[length] == 0 || strchr(of_words, at[length]) == NULL || !strchr(of_words, at[length - 1]));
}

/* All that is FROM in LINE becomes TO; how often. */
static unsigned put_instead(Arena *arena, const char **line, const char *from, const char *to)
{
    Text made;
    text_open(&made, arena->memory);
    size_t length = strlen(from);
    unsigned count = 0;
    for (const char *at = *line; *at != 0;) {
        if (begins(at, from) && stands_alone(*line, at, length)) {
            text_put(&made, to);
            at += length;
            count++;
        } else {
            text_char(&made, *at++);
        }
    }
    *line = arena_copy(arena, made.at == NULL ? "" : made.at, made.length);
    text_close(&made);
    return count;
}

static unsigned put_answer(Arena *arena, const char **line, const Question *question)
{
    const char *answer = template_answer(question);
    if (!question->text) {
        return put_instead(arena, line, question->usual, answer);
    }
    Text from, to;
    text_open(&from, arena->memory);
    text_open(&to, arena->memory);
    quoted(&from, question->usual);
    quoted(&to, answer);
    unsigned count = put_instead(arena, line, from.at, to.at);
    text_close(&from);
    text_close(&to);
    return count + put_instead(arena, line, template_name(arena, question->usual), template_name(arena, answer));
}

/* One line that ends in `#? WORD …`, MARK. */
static const char *fill_line(Arena *arena, const char *line, const char *mark, const Questions *questions, Text *out)
{
    const char *made = arena_copy(arena, line, (size_t)(mark - line)), *end = end_of_line(mark);
    bool example = false;
    for (const char *at = over_blanks(mark + 2); at < end;) {
        size_t length = strcspn(at, " \n");
        const char *word = arena_copy(arena, at, length);
        const Question *question = template_question(questions, word);
        if (question == NULL) {
            return arena_print(arena, "There is no question called %s.", word);
        }
        if (put_answer(arena, &made, question) == 0) {
            return arena_print(arena, "%s does not stand here: %s", question->usual, made);
        }
        example = example || question->answer == NULL;
        at = over_blanks(at + length);
    }
    text_put(out, made);
    text_put(out, example ? "# example\n" : "\n");
    return NULL;
}

/* The mark at the end of a line; a text may hold the same signs. */
static const char *mark_of(const char *line, const char *end)
{
    const char *found = NULL;
    bool within = false;
    for (const char *at = line; at + 1 < end && found == NULL; at++) {
        within = within != (*at == '"');
        found = !within && begins(at, ASKS) ? at : NULL;
    }
    return found;
}

const char *template_fill(Arena *arena, const char *text, const Questions *questions, Text *out)
{
    const char *wrong = NULL;
    for (const char *line = text; *line != 0 && wrong == NULL;) {
        const char *end = end_of_line(line), *at = over_blanks(line), *mark = mark_of(line, end);
        if (!begins(at, ASKS) && !begins(at, NEXT)) {
            if (mark != NULL) {
                wrong = fill_line(arena, line, mark, questions, out);
            } else {
                text_add(out, line, (size_t)(end - line));
                text_char(out, '\n');
            }
        }
        line = *end == 0 ? end : end + 1;
    }
    return wrong;
}

/* ---- what to do next ---- */

static void add_for_shell(Text *out, const char *word)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_./-";
    if (*word != 0 && strspn(word, plain) == strlen(word)) {
        text_put(out, word);
        return;
    }
    text_char(out, '\'');
    for (; *word != 0; word++) {
        if (*word == '\'') {
            text_put(out, "'\\''");
        } else {
            text_char(out, *word);
        }
    }
    text_char(out, '\'');
}

static void add_next(Arena *arena, const char *at, const char *end, const Questions *questions, const char *file, Text *out)
{
    text_put(out, "  ");
    while (at < end) {
        const char *close = *at == '{' ? memchr(at, '}', (size_t)(end - at)) : NULL;
        const char *word = close == NULL ? NULL : arena_copy(arena, at + 1, (size_t)(close - at - 1));
        const Question *question = word == NULL ? NULL : template_question(questions, word);
        if (word != NULL && (question != NULL || strcmp(word, "file") == 0)) {
            const char *answer = question == NULL ? file : template_answer(question);
            add_for_shell(out, question != NULL && question->text ? template_name(arena, answer) : answer);
            at = close + 1;
        } else {
            text_char(out, *at++);
        }
    }
    text_char(out, '\n');
}

void template_next(Arena *arena, const char *text, const Questions *questions, const char *file, Text *out)
{
    for (const char *line = text; *line != 0;) {
        const char *end = end_of_line(line);
        if (begins(line, NEXT)) {
            add_next(arena, over_blanks(line + 2), end, questions, file, out);
        }
        line = *end == 0 ? end : end + 1;
    }
}
