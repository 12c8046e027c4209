/* Which paper a run is about: its variant, its mill, its order. */
#ifndef WATERLEAF_RECKONING_VARIANT_H
#define WATERLEAF_RECKONING_VARIANT_H

#include "reckoning/run.h"

void run_open(Run *run, World *world, Memory *memory);
void run_close(Run *run);

/* How many variants PAPER has; 0, and a message, where there are too many. */
uint32_t variant_count(World *world, uint32_t paper);

/* Begins variant NUMBER of PAPER. */
void variant_begin(Run *run, uint32_t paper, uint32_t number);

/* Begins the variant that BATCH orders. False, with a message, where it does not say which. */
bool variant_begin_batch(Run *run, uint32_t batch);

/* The same values of the vary lines, read anew: a number in them may have been changed. */
void variant_choose_again(Run *run);

/* SHEETS in place of what was ordered; 0: as ordered. */
void variant_order(Run *run, double sheets);

/* The title of the variant at hand, in the run's arena. */
const char *variant_title(Run *run);

/* A value of a vary line as it is shown, and as it may be written on the command line (SPELLED: "300", "300g/m2"). */
const char *variant_choice_text(Run *run, uint32_t vary);

/* Judges the paper's expect lines; says what does not hold. */
void variant_judge(Run *run);

#endif
