/* Steps as they are done in the last walk, for the rules that ask of them: with
 * what they were told and gave, their vessel, and all that their material met.
 */
#ifndef WATERLEAF_RECKONING_DONE_H
#define WATERLEAF_RECKONING_DONE_H

#include "reckoning/run.h"

/* At the beginning of a walk. */
void done_clear(Run *run);

/* A step begins: what it works on and what lies in its vessel are noted as they are. Its place in run.done. */
uint32_t done_begin(Run *run, uint32_t call, Frame *frame, const Step *step, const uint64_t acting[4]);

/* It is done: the COUNT values of its frame are kept. */
void done_end(Run *run, uint32_t step, const Value *slots, uint32_t count);

#endif
