/* What the files of the workshop share. */
#ifndef WATERLEAF_WORKSHOP_PARTS_H
#define WATERLEAF_WORKSHOP_PARTS_H

#include "meaning/image.h"
#include "reckoning/run.h"
#include "rules/judge.h"
#include "syntax/parse.h"
#include "waterleaf.h"

struct Workshop {
    Memory memory;
    jmp_buf rescue;
    Arena scratch;
    Messages messages;
    World world;
    Run run;
    bool run_open;
    Judge judge;
    bool unjudged;
    const char *(*at_hand)(void *with, const char *path, size_t *length);
    void *at_hand_with;
    const char *image;      /* stdlib's world */
    size_t image_length;
    const char *start;      /* the scripts to start with: name, NUL, text, NUL, …, and one NUL more */
    Text start_read;        /* where these were read from a folder */
    char mark[17];
    const char *trouble;    /* of the last call */
    char trouble_text[600]; /* where nothing can be taken any more */
    LIST(const char *) loaded; /* real paths of the scripts that were read, NULL while under way is kept in way */
    LIST(const char *) way;
    char *root;             /* what scripts may use lies below it; NULL: nothing may be used */
    const char *root_prefix; /* how the user's paths lead to it: "examples/"; NULL: unknown */
    uint32_t library_sources, library_papers, library_batches;
    uint64_t variants;
    Text why;
    const WhyPart *why_parts;
    bool fresh;             /* the stdlib that is built in stands in it, and nothing was asked of it yet */
    bool broken;            /* a failure left it unusable */
};

typedef WaterleafAnswer Stage(Workshop *workshop, void *with);

/* Does one stage; what fails in it is caught. */
WaterleafAnswer workshop_guarded(Workshop *workshop, Stage *stage, void *with);

/* Whether PATH is ROOT or lies below it; both without links and dots. */
bool workshop_is_below(const char *path, const char *root);

/* Reads the script at PATH and, before anything is declared, all that it uses. The number of its source in *SOURCE. */
WaterleafAnswer workshop_load(Workshop *workshop, const char *path, uint32_t *source);

/* Reads a text at hand into the tree, and nothing that it uses. */
uint32_t workshop_parse_text(Workshop *workshop, const char *name, const char *text, size_t length);

/* The same for a text at hand. */
void workshop_load_text(Workshop *workshop, const char *name, const char *text, size_t length, uint32_t *source);

/* stdlib: the image that is built in, or a folder. */
void workshop_stdlib(Workshop *workshop, const char *folder);

/* Sets what went wrong, for workshop_trouble. */
void workshop_say_trouble(Workshop *workshop, const char *format, ...) __attribute__((format(printf, 2, 3)));

/* The image that is built in; NULL, and 0, in the program that makes it. */
const char *workshop_built_in(size_t *length);

/* The scripts to start with that are built in, as Workshop.start has them; "" in the program that makes them. */
const char *workshop_built_in_start(void);

#endif
