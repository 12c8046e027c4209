/* All numbers of a solved paper, in one fixed order: figures of the paper, of
 * each thing of a set, and of each step. */
#ifndef WATERLEAF_RECKONING_FIGURES_H
#define WATERLEAF_RECKONING_FIGURES_H

#include "reckoning/run.h"

typedef struct FigureSeen {
    Name name;
    uint32_t ref;       /* the thing of the set; 0: of the paper or step */
    Name set;
    int32_t record;     /* the step that gives it; -1: none */
    uint32_t place;     /* among those that this step gives */
    Type type;
    Value value;
    UnitId shown;
    int16_t decimals;
    NodeId line;
} FigureSeen;

typedef void FigureVisit(Run *run, void *with, const FigureSeen *seen);

/* Visits every number; the order depends on nothing but the paper. */
void figures_each(Run *run, FigureVisit *visit, void *with);

/* Low and high of each, in that order: the paper solved anew with every `about` at the end that moves it most. LOW and HIGH
 * hold COUNT numbers, NaN where a figure is not told. The run is solved at its typical values again afterwards. */
void figures_bands(Run *run, double *low, double *high, uint32_t count);

uint32_t figures_count(Run *run);

#endif
