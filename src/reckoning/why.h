/* How a figure came about: its formula, the formula with this batch's numbers,
 * then each part, down to what was typed. */
#ifndef WATERLEAF_RECKONING_WHY_H
#define WATERLEAF_RECKONING_WHY_H

#include "meaning/world.h"

typedef struct Run Run; /* run.h */

/* How a part ends, where it is not made of others. */
typedef enum WhyEnd {
    WHY_MADE,      /* of its parts */
    WHY_TYPED,     /* written in a script */
    WHY_DEFAULT,   /* left out by the writer: what a script of stdlib or of the mill says for that case */
    WHY_ROW,       /* of a table */
    WHY_SOLVED,    /* sought by the program */
    WHY_ORDERED,   /* told by the batch */
    WHY_ANSWER,    /* a condition: yes or no */
    WHY_NOTHING,   /* nothing of it is there */
    WHY_NOT_TOLD,  /* nobody tells it */
    WHY_ABOVE,     /* explained already */
    WHY_DEEPER     /* further than was asked for */
} WhyEnd;

/* The word of an end, as JSON has it: "typed". */
const char *why_end_word(WhyEnd end);

/* One value of the working. */
typedef struct WhyPart WhyPart;
struct WhyPart {
    const char *figure;       /* "stuff.fibre" */
    const char *shown;        /* "19466 g" */
    double value;             /* in base units; NaN: not told, or no number */
    const char *formula;      /* as it is written; NULL: none */
    const char *with_numbers; /* the same with this batch's numbers; NULL: it would say nothing new */
    const char *says;         /* words about it; NULL: none */
    WhyEnd end;
    uint32_t place;           /* in the sources, where it stands; 0: nowhere */
    const char *source;       /* NULL: none is told */
    uint32_t marks;           /* MARK_… */
    WhyPart *first, *last, *next;
};

/* Explains FIGURE ("alkaline-reserve", "weigh-out of MATERIAL", a step's "pool-depth", "loads of beat") of the solved run,
 * DEPTH parts within parts (0: all the way). Several where several are called so, one behind the other. NULL: none is. */
const WhyPart *why_figure(Run *run, const char *figure, unsigned depth);

/* The same in words, added to OUT. */
void why_text(const World *world, const WhyPart *parts, Text *out);

/* "No step of this procedure gives pool-depth: form does." in the run's arena; NULL: no step gives such a figure. */
const char *why_not_here(Run *run, const char *figure);

#endif
