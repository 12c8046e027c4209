/* What each effect of a step does (effects.def) to what is worked on, to the bill
 * and to the record.
 */
#ifndef WATERLEAF_RECKONING_EFFECTS_H
#define WATERLEAF_RECKONING_EFFECTS_H

#include "reckoning/run.h"

/* One step as it is done in a walk: EFFECT is the one whose turn it is. The times are in the base unit of time. */
typedef struct Doing {
    Run *run;
    Frame *frame;
    const Effect *effect;
    StepRecord *record; /* NULL but in the last walk, and not where rules are judged */
    double waited, occupied;
} Doing;

/* Does the effect, but for a call of another step. A mistake is said in the last walk; the run has failed then. */
void effects_do(Doing *doing);

/* MASS of MATERIAL more on the bill, for the whole order. OF_PARCEL: it is weighed out by the parcel; MARKS: where the amount comes from (VALUE_…). */
void effects_bill(Run *run, ThingId material, double mass, bool of_parcel, uint32_t marks);

#endif
