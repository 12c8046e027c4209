/* What papers ask of steps. */
#ifndef WATERLEAF_MEANING_STEPS_H
#define WATERLEAF_MEANING_STEPS_H

#include "meaning/settle.h"

/* Reads a line that does STEP, sorts its arguments, and gives its place in calls. */
uint32_t steps_read_call(Scope *scope, uint32_t step, NodeId line, uint32_t branch);

/* The type of a mass of one material, as `fields content` declares it. */
Type steps_mass_type(const World *world);

#endif
