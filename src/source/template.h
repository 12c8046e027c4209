/* A script that asks: the questions in its comments, and the script that their answers make of it. It is a whole script as it
 * stands, with a usual answer wherever one is asked for; what it is about is nothing to this file.
 *
 *     #? WORD USUAL: QUESTION? REASON      a question; USUAL is a value, a "text", or words of which one is chosen: a4|letter
 *     #? WORD USUAL                        nothing is asked: a value that a template read later may tell otherwise, in the same form
 *     #? in-N-days DATE                    nothing is asked: the day in N days
 *     #> LINE                              what to do next, with {WORD} for answers
 *     line of the script  #? WORD …        here the usual answers of these words give way
 */
#ifndef WATERLEAF_SOURCE_TEMPLATE_H
#define WATERLEAF_SOURCE_TEMPLATE_H

#include "base/arena.h"
#include "base/list.h"
#include "base/text.h"

typedef struct Question {
    const char *word;
    const char *usual;    /* of a choice the first */
    const char *choices;  /* all of them, parted by |; NULL: none */
    const char *asks, *reason;
    bool text;            /* it stands in quotes, and may say anything */
    bool unasked;
    int32_t days;         /* it is the day so many days from now; 0: it is none */
    const char *answer;   /* NULL: the usual one */
} Question;

typedef LIST(Question) Questions;

/* Adds the questions of a template to QUESTIONS; what lies in them is ARENA's. NULL, or what is wrong in the template. */
const char *template_questions(Arena *arena, const char *text, Questions *questions);

/* The script with the answers in it, added to OUT. NULL, or what is wrong in the template. */
const char *template_fill(Arena *arena, const char *text, const Questions *questions, Text *out);

/* The lines of what to do next, added to OUT. {file} is FILE; what a shell would take apart is quoted. */
void template_next(Arena *arena, const char *text, const Questions *questions, const char *file, Text *out);

/* The first sentence of the first comment of a template: what it is. */
const char *template_about(Arena *arena, const char *text);

/* The question of that word; NULL: there is none. */
Question *template_question(const Questions *questions, const char *word);

/* What stands for a question. */
const char *template_answer(const Question *question);

/* NULL, or a sentence that says why an answer cannot even be put into a script. */
const char *template_refuses(Arena *arena, const Question *question, const char *answer);

/* A name, as scripts have them, of what a text says: "Garden Rough" is garden-rough. */
const char *template_name(Arena *arena, const char *text);

#endif
