/* What a step tells, with the values that stand in its sentences. */
#ifndef WATERLEAF_RECKONING_TOLD_H
#define WATERLEAF_RECKONING_TOLD_H

#include "reckoning/flow.h"
#include "reckoning/outcome.h"

/* Fills in STEP's sentences, readings, values, object and choices. RECORD is of the last walk. */
void told_make(Run *run, StepOutcome *step, const StepRecord *record);

#endif
