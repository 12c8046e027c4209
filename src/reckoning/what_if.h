/* What each number that is typed moves when it is in truth a tenth more or less. */
#ifndef WATERLEAF_RECKONING_WHAT_IF_H
#define WATERLEAF_RECKONING_WHAT_IF_H

#include "reckoning/outcome.h"
#include "reckoning/run.h"

enum { WHAT_IF_FIGURES = 8 };

/* Adds it to OUTCOME, for the values that the `what-if` lines name. The run is the solved one that OUTCOME was made of; its numbers
 * are as they were afterwards, but what was walked is not: it must begin anew. */
void what_if_add(Run *run, Outcome *outcome);

#endif
