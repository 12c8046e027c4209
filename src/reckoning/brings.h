/* Which steps bring something about: named in a message where it is missing. */
#ifndef WATERLEAF_RECKONING_BRINGS_H
#define WATERLEAF_RECKONING_BRINGS_H

#include "meaning/world.h"

/* The steps that have what they work on be WORD, which is one of the states or marks that FIELD holds: ": a, b or c". "" where there
 * are none, or too many to be a help. The text lasts as long as the messages. */
const char *brings_state(World *world, FieldId field, Name word);

/* The same of the steps that have an effect of SORT, as forming sheets. */
const char *brings_effect(World *world, EffectSort sort);

#endif
