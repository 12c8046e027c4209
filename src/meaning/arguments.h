/* Sorting the parts of a line into the arguments that a step or a thing takes. */
#ifndef WATERLEAF_MEANING_ARGUMENTS_H
#define WATERLEAF_MEANING_ARGUMENTS_H

#include "meaning/settle.h"

enum { ARGUMENTS_MOST = 64 /* as many as names that are seen, SCOPE_LOCALS */ };

/* The `takes` of SHAPE, those of what it is within first; how many. */
uint32_t arguments_taken(const World *world, ShapeId shape, FieldId taken[ARGUMENTS_MOST]);

/* What CALL tells of the first thing that its step takes; 0: it tells nothing of it, or the step takes nothing. */
NodeId arguments_first(const World *world, uint32_t call);

/* Sorts the parts of LINE from FIRST on into FOUND, in the order of arguments_taken:
 * each the first part of its value, 0 where it is left out. What does not fit, is too many or is
 * missing is said. False when anything was. */
bool arguments_match(Scope *scope, ShapeId shape, NodeId line, NodeId first, NodeId found[ARGUMENTS_MOST]);

/* Whether the next part of a list of values goes on behind PART. */
bool arguments_list_goes_on(const World *world, NodeId part);

#endif
