/* Making the Outcome of a solved run. */
#ifndef WATERLEAF_RECKONING_RESULT_H
#define WATERLEAF_RECKONING_RESULT_H

#include "reckoning/outcome.h"
#include "reckoning/run.h"

/* The outcome of a run that solve_paper has solved, in the run's arena. BANDS: with low and high of each figure, which takes
 * many further solves. */
Outcome *result_make(Run *run, bool bands);

/* A value as a Quantity. UNIT 0: its kind's; DECIMALS -1: four significant digits. */
Quantity result_quantity(Run *run, Value value, Type type, UnitId unit, int decimals);

/* How a thing, a subject or an item is called. */
const char *result_name(Run *run, uint32_t ref);

#endif
