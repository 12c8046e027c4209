/* What the hands do differently between two papers.
 *
 * An Outcome is gone when it has been shown, so what the hands are told is first taken down: a Hands is a list
 * of plain traits, each with its number, how far that may be off before hands do anything else, and its words. Two of them are
 * then held against each other. Nothing of the scripts but what comes of them is in it: layout, names of batches and
 * changes within the tolerances are no difference.
 */
#ifndef WATERLEAF_DOCUMENTS_COMPARISON_H
#define WATERLEAF_DOCUMENTS_COMPARISON_H

#include "base/arena.h"
#include "reckoning/outcome.h"

/* How far two numbers may be apart and be the same for the hands. */
#define COMPARISON_AMOUNT 0.02 /* of the larger; or what the scale shows, where that is more */
#define COMPARISON_TIME 0.05
enum { COMPARISON_LEVEL = 1 }; /* K, between two temperatures */

typedef enum Measure { MEASURE_WORDS, MEASURE_AMOUNT, MEASURE_TIME, MEASURE_LEVEL, MEASURE_COUNT } Measure;

/* The one thing that is compared at a time. */
typedef struct Trait {
    const char *what;    /* "amount", "time", … see comparison.c */
    const char *of;      /* "linen-rag", "load-water" */
    const char *under;   /* the sentence in which it stands, its values left open; NULL: none */
    const char *shown;
    Measure measure;
    double low, high;    /* equal but for ranges; times in hours, all else in base units */
    double least;        /* a difference smaller than this is none, whatever its share */
} Trait;

typedef struct HandsStep {
    const char *name;    /* "add nettle": the step, and on what it works */
    uint32_t number;     /* from 1 */
    const char *says;    /* its first sentence; "" */
    uint32_t traits, trait_count;
} HandsStep;

typedef struct Hands {
    Arena arena;
    const char *paper, *title, *batch, *mill; /* batch and mill: NULL where there is none */
    double sheets_good;
    LIST(Trait) traits;  /* of the whole paper; then, from traits_of_steps, those of each step */
    uint32_t whole_count;
    LIST(HandsStep) steps;
    LIST(Trait) rules;   /* of: the rule's name; under: the line at which it speaks; shown: what it says */
} Hands;

typedef struct Difference {
    const char *what, *of;
    const char *step;    /* NULL: of the whole paper */
    uint32_t number_in_one, number_in_other; /* of the step; 0: it is not there */
    const char *one, *other; /* NULL: only in the other of the two */
    double change;       /* from one to the other, as a share of one; NaN where that says nothing */
} Difference;

typedef struct Differences { LIST(Difference) list; } Differences;

/* Takes down what the hands do; all is copied. WORLD is that of OUTCOME. */
void comparison_take(Hands *hands, Memory *memory, const World *world, const Outcome *outcome);

/* Adds a message of a rule: its name, the LENGTH bytes of the line at which it stands, what it says. */
void comparison_rule(Hands *hands, const char *name, const char *line, size_t length, const char *says);

/* Holds the two against each other. The texts belong to them and to ONE's arena. */
void comparison_find(Differences *differences, Hands *one, const Hands *other);

#endif
