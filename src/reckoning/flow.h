/* The walk: a procedure done from its first line to its last, on paper. */
#ifndef WATERLEAF_RECKONING_FLOW_H
#define WATERLEAF_RECKONING_FLOW_H

#include "reckoning/run.h"

typedef struct StepFigure { Name name; Type type; Value value; NodeId line; UnitId shown; int16_t decimals; } StepFigure;
typedef struct StepSentence { const char *says; NodeId text; } StepSentence;
typedef struct StepReading { const char *what, *expected; bool is_signed; NodeId text; Value window; Type type; } StepReading;

/* A value in a sentence, in the arena of the run. */
typedef struct StepFill {
    uint32_t sentence; /* its place in tells */
    NodeId fill;
    Value value;
    Type type;
    UnitId unit;
    int16_t decimals;
    const char *shown;
    struct StepFill *next;
} StepFill;

/* What the last walk noted of one line of the procedure. */
struct StepRecord {
    uint32_t call;
    bool of_parcel;
    LIST(StepSentence) tells;
    StepFill *fills; /* of all its sentences */
    StepFill **fills_end;
    LIST(StepReading) reads;
    LIST(ThingId) cautions;
    LIST(StepFigure) figures;
    double begins, ends; /* in the base unit of time */
};

/* One walk with the run's fibre charge, fibre in a sheet and count. LAST: what is only told is
 * worked out and recorded too, and mistakes are said. */
void flow_walk(Run *run, bool last);

/* Whether the line CALL of the procedure is done in this variant. */
bool flow_is_done(Run *run, uint32_t call);

#endif
