/* How a figure came about, in words: its formula, the formula with this batch's
 * numbers, then each part, down to what was typed. */
#ifndef WATERLEAF_RECKONING_WHY_H
#define WATERLEAF_RECKONING_WHY_H

#include "base/text.h"
#include "reckoning/run.h"

/* Explains FIGURE ("alkaline-reserve", "weigh-out of MATERIAL", a step's "pool-depth") of the solved run to
 * DEPTH parts within parts (0: all the way). Added to OUT. False: no figure is called so. */
bool why_figure(Run *run, const char *figure, unsigned depth, Text *out);

#endif
